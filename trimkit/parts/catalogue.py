"""Put the parts together from the checked data files of one folder, and of a shop's own folder beside it.

The two are never mixed up: a shop's own part names its folder in its source, and a name in both is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from trimkit.parts.components import HALF_WALLED_STEP, Grip, Head, Shaft, Station, TubeSection, half_walled
from trimkit.parts.csvfile import file_fault, read_rows
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.rows import TABLES, Row
from trimkit.parts.sources import Source, Standing
from trimkit.parts.tables import LadderRung, RawLength, ScheduleRow

PartT = TypeVar("PartT")

OF_A_SHAFT = ("shaft_sections.csv", "shaft_stations.csv", "schedules.csv", "taper_families.csv")
"""The tables whose first column is a shaft of shafts.csv."""
IF_KNOWN = ("shaft_sections.csv", "shaft_stations.csv")
"""The tables that may lack a shaft, be without rows, or not be there: a shaft whose walls nobody knows is still cut."""


def data_folder() -> Path:
    """Return the folder of the shipped data: the copy inside an installed package, else ``data/`` beside the package.

    Raises DataFileError if neither is there.
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "_data", package.parent / "data"):
        if (folder / "datapackage.json").is_file():
            return folder
    raise file_fault(
        package,
        "the shipped data files are missing",
        "an installed package or a whole checkout",
        "install trimkit again",
    )


@dataclass(frozen=True)
class Catalogue:
    """All parts and tables; parts by name, in the order of their files.

    folder: whose files they are; own_folder: the shop's own, whose parts are added to those of ``folder``.
    """

    folder: Path
    heads: dict[str, Head]
    shafts: dict[str, Shaft]
    grips: dict[str, Grip]
    schedule_rows: tuple[ScheduleRow, ...]
    ladder_rungs: tuple[LadderRung, ...]
    raw_lengths: tuple[RawLength, ...]
    own_folder: Path | None = None


def _pick(model: Row, *leave_out: str) -> dict[str, Any]:
    return {name: value for name, value in model if name not in leave_out}


def _first(file: str) -> str:
    """Return a file's first column: the part's name, or what the row belongs to."""
    return next(iter(TABLES[file].model_fields))


class _Reader:
    """Reads the files of the folders and gathers the faults of all of them.

    folders: each with its standing and a prefix for its files' names. The first holds every file; a
    later one, a shop's own, any number of them.
    """

    def __init__(self, folders: Sequence[tuple[Path, Standing, str]]) -> None:
        self.folders, self.faults = folders, list[BenchError]()
        self.names: dict[str, list[tuple[Place, str]] | None] = {}

    def rows(self, name: str) -> list[tuple[Place, Standing, Row]]:
        found: list[tuple[Place, Standing, Row]] = []
        group = _first(name)
        taken: set[str] = set()
        whole = True
        for number, (folder, standing, before) in enumerate(self.folders):
            if (number or name in IF_KNOWN) and not (folder / name).exists():
                continue
            try:
                read = read_rows(folder / name, TABLES[name], may_be_empty=name in IF_KNOWN)
            except DataFileError as error:
                for fault in error.faults:
                    place = replace(fault.place or Place(), file=before + name)
                    self.faults.append(BenchError(fault.given, fault.allowed, fault.next_step, place))
                whole = False
                continue
            own = [(Place(before + name, row_number), standing, row) for row_number, row in read]
            self.faults += [
                BenchError(
                    f"{getattr(row, group)!r} is in {self.folders[0][0].name}/{name} as well",
                    "names of your own, so that nobody mistakes one part for the other",
                    "give it another name in your folder",
                    place,
                )
                for place, _, row in own
                if getattr(row, group) in taken
            ]
            taken |= {getattr(row, group) for _, _, row in own}
            found += own
        self.names[name] = [(place, getattr(row, group)) for place, _, row in found] if whole else None
        return found

    def orphans(self) -> list[BenchError]:
        """Return a fault for each shaft that rows name and shafts.csv lacks, at the first such row.

        None while shafts.csv itself has faults: the names it should have are then unknown.
        """
        shafts = self.names["shafts.csv"]
        if shafts is None:
            return []
        known = dict.fromkeys(name for _, name in shafts)
        faults = []
        for file in OF_A_SHAFT:
            lost: dict[tuple[str | None, str], list[Place]] = {}
            for place, name in self.names[file] or ():
                if name not in known:
                    lost.setdefault((place.file, name), []).append(place)
            faults += [
                BenchError(
                    f"no shaft has the name {name!r}, which {len(places)} row(s) of this file refer to",
                    "the shafts of shafts.csv: " + ", ".join(known),
                    "correct the name, add the shaft to shafts.csv, or remove these rows",
                    replace(places[0], column=_first(file)),
                )
                for (_, name), places in lost.items()
            ]
        return faults

    def made(
        self, file: str, build: Callable[[Row, Source], PartT], *, once: bool = False
    ) -> Iterator[tuple[str, PartT]]:
        """Yield the first cell and the part of each row. once: a file may have each name once only."""
        files: dict[str, str | None] = {}
        for place, standing, row in self.rows(file):
            name = getattr(row, _first(file))
            if once and files.get(name, "") == place.file:
                given = f"{name!r} appears twice"
                self.faults.append(BenchError(given, "each name once", "rename or remove one", place))
            files.setdefault(name, place.file)
            try:
                yield name, build(row, Source(str(place), standing))
            except BenchError as error:
                self.faults.append(BenchError(error.given, error.allowed, error.next_step, error.place or place))

    def named(self, file: str, part: Callable[..., PartT]) -> dict[str, PartT]:
        column = _first(file)
        return dict(
            self.made(file, lambda r, s: part(name=getattr(r, column), source=s, **_pick(r, column)), once=True)
        )

    def table(self, file: str, part: Callable[..., PartT]) -> tuple[PartT, ...]:
        return tuple(each for _, each in self.made(file, lambda r, s: part(source=s, **_pick(r))))

    def half_walled(self, sections: dict[str, tuple[TubeSection, ...]]) -> dict[str, BenchError]:
        """Return a fault for each shaft with walls for some of its sections only, at the first row without one."""
        places: dict[str, list[Place]] = {}
        for place, shaft in self.names["shaft_sections.csv"] or ():
            places.setdefault(shaft, []).append(place)
        return {
            shaft: BenchError(
                f"a section of shaft {shaft!r} without a wall, and others with one",
                "a wall for every section of a shaft, or for none",
                HALF_WALLED_STEP,
                replace(places[shaft][bare], column="wall_in"),
            )
            for shaft, pieces in sections.items()
            if (bare := half_walled(pieces)) is not None and len(places[shaft]) == len(pieces)
        }

    def pieces(self, file: str, part: Callable[..., PartT]) -> dict[str, tuple[PartT, ...]]:
        """Return sections or stations, grouped by the shaft they belong to."""
        grouped: dict[str, tuple[PartT, ...]] = {}
        for shaft, piece in self.made(file, lambda r, _: part(**_pick(r, "shaft"))):
            grouped[shaft] = (*grouped.get(shaft, ()), piece)
        return grouped


def _own_folder_faults(folder: Path) -> list[BenchError]:
    """Return what is wrong with a shop's own folder itself: not there, nothing in it, a file nobody would read."""
    known = ", ".join(TABLES)
    if not folder.is_dir():
        given = "it is not a readable folder"
        return [BenchError(given, "a folder of CSV files", "check the path", Place(str(folder)))]
    names = sorted(path.name for path in folder.iterdir() if path.suffix.lower() == ".csv")
    if not names:
        return [BenchError("there is no CSV file in it", known, "add one, from the templates", Place(str(folder)))]
    return [
        BenchError(
            f"no data file has the name {name!r}",
            known,
            "rename it after what it holds",
            Place(f"{folder.name}/{name}"),
        )
        for name in names
        if name not in TABLES
    ]


def load_catalogue(
    folder: Path | None = None, standing: Standing | None = None, own_folder: Path | None = None
) -> Catalogue:
    """Read every table of a data folder (default: the shipped demo data) and return the parts.

    standing: of the numbers; by default invented for the shipped data, own data for any other folder.
    own_folder: a shop's own parts, which are added: as many of the files as it has. Its parts name the folder in their
    sources; a name that is in both folders is refused, and so are rows of a shaft that neither has. Raises
    DataFileError holding the faults of all files.
    """
    folder = folder or data_folder()
    if standing is None:
        shipped = folder.resolve() == data_folder().resolve()
        standing = Standing.INVENTED if shipped else Standing.OWN_DATA
    folders = [(folder, standing, "")]
    if own_folder is not None:
        folders.append((own_folder, Standing.OWN_DATA, f"{own_folder.resolve().name}/"))
    reader = _Reader(folders)
    if own_folder is not None:
        reader.faults += _own_folder_faults(own_folder)
    sections = reader.pieces("shaft_sections.csv", TubeSection)
    half = reader.half_walled(sections)
    reader.faults += half.values()
    stations = reader.pieces("shaft_stations.csv", Station)

    def shaft(name: str, flexes: str, **measured: Any) -> Shaft:
        return Shaft(
            name=name,
            flexes=tuple(flexes.split("/")),
            sections=() if name in half else sections.get(name, ()),
            stations=stations.get(name, ()),
            **measured,
        )

    catalogue = Catalogue(
        folder=folder,
        heads=reader.named("heads.csv", Head),
        shafts=reader.named("shafts.csv", shaft),
        grips=reader.named("grips.csv", Grip),
        schedule_rows=reader.table("schedules.csv", ScheduleRow),
        ladder_rungs=reader.table("head_ladder.csv", LadderRung),
        raw_lengths=reader.table("taper_families.csv", RawLength),
        own_folder=own_folder,
    )
    if faults := (*reader.faults, *reader.orphans()):
        raise DataFileError(faults)
    return catalogue


def check_file(path: Path) -> int:
    """Check one data file by its name (``heads.csv``, ``schedules.csv``, ...) and return how many rows it has.

    Raises DataFileError holding every fault, or if no data file has that name.
    """
    model = TABLES.get(path.name)
    if model is None:
        raise file_fault(path, "no data file has this name", ", ".join(TABLES), "rename it after what it holds")
    return len(read_rows(path, model, may_be_empty=path.name in IF_KNOWN))
