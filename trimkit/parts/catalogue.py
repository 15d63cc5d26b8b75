"""Put the parts together from the checked tables of one folder or workbook, and of a shop's own beside it.

The two are never mixed up: a shop's own part names its folder in its source, and a name in both is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, TypeVar

from trimkit.parts.components import (
    HALF_WALLED_STEP,
    Grip,
    Head,
    HeadWithoutBbgl,
    Shaft,
    Station,
    TubeSection,
    half_walled,
)
from trimkit.parts.csvfile import csv_grid, file_fault
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.faults import names_offered
from trimkit.parts.grid import TableRead, checked
from trimkit.parts.rows import FILES, RACK_TABLES, TABLES, Row
from trimkit.parts.sources import Source, Standing
from trimkit.parts.tables import LadderRung, RawLength, ScheduleRow
from trimkit.parts.workbook import TableFiles, is_workbook

PartT = TypeVar("PartT")

SHOP_FILE = "shop.toml"
"""The shop's own settings, beside its parts (:mod:`trimkit.club.shopfile`); a folder may hold nothing else."""

OF_A_SHAFT = ("shaft_sections.csv", "shaft_stations.csv", "schedules.csv", "taper_families.csv")
"""The tables whose first column is a shaft of shafts.csv."""
MOST_NAMED = 50
"""Unknown shafts in one table that are compared with the known ones; a table with more is of another folder."""
IF_KNOWN = ("shaft_sections.csv", "shaft_stations.csv")
"""The tables that may lack a shaft, be without rows, or not be there: a shaft whose walls nobody knows is still cut."""
MAY_BE_EMPTY = (*IF_KNOWN, "shelf.csv", "offers.csv")
"""The tables that may have a header and no rows: nothing known, nothing on the shelf, nothing to be bought."""


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

    folder: whose files they are, or the workbook; own_folder: the shop's own, whose parts are added to those of
    ``folder``. heads_without_bbgl: heads whose BBGL an order must give. how_read: a line for each file that is not a
    plain CSV file: how it was read. rows_read: how many rows each table has, by its file; a folder that is read in part
    lacks some.
    """

    folder: Path
    heads: dict[str, Head]
    shafts: dict[str, Shaft]
    grips: dict[str, Grip]
    schedule_rows: tuple[ScheduleRow, ...]
    ladder_rungs: tuple[LadderRung, ...]
    raw_lengths: tuple[RawLength, ...]
    own_folder: Path | None = None
    heads_without_bbgl: dict[str, HeadWithoutBbgl] = field(default_factory=dict)
    how_read: tuple[str, ...] = ()
    rows_read: dict[str, int] = field(default_factory=dict)


def _pick(model: Row, *leave_out: str) -> dict[str, Any]:
    return {name: value for name, value in model if name not in leave_out}


def _first(file: str) -> str:
    """Return a file's first column: the part's name, or what the row belongs to."""
    return next(iter(TABLES[file].model_fields))


class _Reader:
    """Reads the tables of the folders or workbooks and gathers the faults of all of them.

    The first has every table, unless it is read in part; a later one, a shop's own, any number of them.
    """

    def __init__(self, places: Sequence[tuple[Path, Standing, str]], in_part: bool) -> None:
        self.faults, self.how_read, self.in_part = list[BenchError](), list[str](), in_part
        self.files: list[tuple[TableFiles, Standing]] = []
        for path, standing, before in places:
            try:
                files = TableFiles(path, before)
            except DataFileError as error:
                self.faults += error.faults
                continue
            self.files.append((files, standing))
            if files.workbook is not None:
                self.how_read.append(f"{path.name}: {files.workbook.how_read}")
        self.opened = not self.faults
        self.names: dict[str, list[tuple[Place, str]] | None] = {}

    def absent(self) -> tuple[str, ...]:
        return tuple(name for name in TABLES if not any(files.has(name) for files, _ in self.files))

    def rows(self, name: str) -> list[tuple[Place, Standing, Row]]:
        found: list[tuple[Place, Standing, Row]] = []
        group = _first(name)
        taken: dict[str, str] = {}
        whole = self.opened
        for number, (files, standing) in enumerate(self.files):
            if not files.has(name) and (number or self.in_part or not self.opened or name in IF_KNOWN):
                whole = whole and (number > 0 or not self.in_part)
                continue
            label = files.label(name)
            try:
                read: TableRead[Row] = checked(files.grid(name), TABLES[name], may_be_empty=name in IF_KNOWN)
            except DataFileError as error:
                for fault in error.faults:
                    place = replace(fault.place or Place(), file=label)
                    self.faults.append(BenchError(fault.given, fault.allowed, fault.next_step, place))
                whole = False
                continue
            if read.how_read:
                self.how_read.append(f"{label}: {read.how_read}")
            own = [(Place(label, row_number), standing, row) for row_number, row in read.rows]
            self.faults += [
                BenchError(
                    f"{getattr(row, group)!r} is in {taken[getattr(row, group)]} as well",
                    "names of your own, so that nobody mistakes one part for the other",
                    "give it another name in your folder",
                    place,
                )
                for place, _, row in own
                if getattr(row, group) in taken
            ]
            where = label if files.workbook is not None else f"{files.path.name}/{name}"
            taken |= {getattr(row, group): where for _, _, row in own}
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
                    "the shafts of shafts.csv" + (f": {names_offered(name, known)}" if len(lost) <= MOST_NAMED else ""),
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
            if (bare := half_walled(pieces)) is not None and len(places.get(shaft, ())) == len(pieces)
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
    if is_workbook(folder):
        return []
    if not folder.is_dir():
        given = "it is not a readable folder"
        return [BenchError(given, "a folder of CSV files, or a workbook (.xlsx)", "check the path", Place(str(folder)))]
    names = sorted(path.name for path in folder.iterdir() if path.suffix.lower() == ".csv")
    if not names and not (folder / SHOP_FILE).is_file():
        return [BenchError("there is no CSV file in it", known, "add one, from the templates", Place(str(folder)))]
    return [
        BenchError(
            f"no data file has the name {name!r}",
            names_offered(name, FILES),
            "rename it after what it holds",
            Place(f"{folder.name}/{name}"),
        )
        for name in names
        if name not in FILES
    ]


def load_catalogue(
    folder: Path | None = None,
    standing: Standing | None = None,
    own_folder: Path | None = None,
    *,
    in_part: bool = False,
) -> Catalogue:
    """Read every table of a data folder or workbook (default: the shipped demo data) and return the parts.

    standing: of the numbers; by default invented for the shipped data, own data for any other folder.
    own_folder: a shop's own parts, folder or workbook, which are added: as many of the tables as it has. Its parts
    name it in their sources; a name that is in both is refused, and so are rows of a shaft that neither has.
    in_part: whether ``folder`` may lack tables: it is then checked as far as it goes, and not for an order to use.
    Raises DataFileError holding the faults of all files.
    """
    folder = folder or data_folder()
    if standing is None:
        shipped = folder.resolve() == data_folder().resolve()
        standing = Standing.INVENTED if shipped else Standing.OWN_DATA
    places = [(folder, standing, "")]
    if own_folder is not None:
        places.append((own_folder, Standing.OWN_DATA, f"{own_folder.resolve().name}/"))
    reader = _Reader(places, in_part)
    absent = reader.absent()
    if own_folder is not None:
        reader.faults += _own_folder_faults(own_folder)
    if in_part and not is_workbook(folder):
        strays = _own_folder_faults(folder)
        if len(absent) == len(TABLES):
            reader.faults += strays
        else:
            reader.how_read += [f"{folder.name}: passed over, as {stray.given}" for stray in strays]
    sections = reader.pieces("shaft_sections.csv", TubeSection)
    half = reader.half_walled(sections)
    reader.faults += half.values()
    stations = reader.pieces("shaft_stations.csv", Station)

    def head(bbgl_in: float | None, **measured: Any) -> Head | HeadWithoutBbgl:
        return HeadWithoutBbgl(**measured) if bbgl_in is None else Head(bbgl_in=bbgl_in, **measured)

    def shaft(name: str, flexes: str, **measured: Any) -> Shaft:
        return Shaft(
            name=name,
            flexes=tuple(flexes.split("/")),
            sections=() if name in half else sections.get(name, ()),
            stations=stations.get(name, ()),
            **measured,
        )

    heads, shafts = reader.named("heads.csv", head), reader.named("shafts.csv", shaft)
    catalogue = Catalogue(
        folder=folder,
        heads={name: each for name, each in heads.items() if isinstance(each, Head)},
        shafts=shafts,
        grips=reader.named("grips.csv", Grip),
        schedule_rows=reader.table("schedules.csv", ScheduleRow),
        ladder_rungs=reader.table("head_ladder.csv", LadderRung),
        raw_lengths=reader.table("taper_families.csv", RawLength),
        own_folder=own_folder,
        heads_without_bbgl={name: each for name, each in heads.items() if isinstance(each, HeadWithoutBbgl)},
        how_read=tuple(reader.how_read),
        rows_read={file: len(names) for file, names in reader.names.items() if names is not None},
    )
    if faults := (*reader.faults, *reader.orphans()):
        raise DataFileError(faults)
    return catalogue


def rack_table(path: Path) -> str | None:
    """Return the name of the table of a rack that a CSV file is, by its own name or by its header; None for another."""
    if path.name in FILES or path.suffix.lower() != ".csv":
        return path.name if path.name in RACK_TABLES else None
    try:
        header = {name.strip().casefold() for name in csv_grid(path).header}
    except DataFileError:
        return None
    for name, model in RACK_TABLES.items():
        if {column for column, field in model.model_fields.items() if field.is_required()} <= header:
            return name
    return None


def check_file(path: Path) -> TableRead[Row]:
    """Check one data file by its name (``heads.csv``, ``shelf.csv``, ...) and return its rows, and how it was read.

    A table of a rack is known by its header too. Raises DataFileError holding every fault, or if it is no data file.
    """
    name = rack_table(path) or path.name
    if name not in FILES:
        known = names_offered(path.name, FILES)
        raise file_fault(path, "no data file has this name", known, "rename it after what it holds")
    return checked(csv_grid(path), FILES[name], may_be_empty=name in MAY_BE_EMPTY)
