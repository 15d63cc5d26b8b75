"""Put the parts together from the checked data files of one folder."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from trimkit.parts import rows as row_models
from trimkit.parts.components import Grip, Head, Shaft, Station, TubeSection
from trimkit.parts.csvfile import RowT, file_fault, read_rows
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.sources import Source, Standing
from trimkit.parts.tables import LadderRung, RawLength, ScheduleRow

PartT = TypeVar("PartT")


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
    """All parts and tables of one data folder; parts by name, in the order of their files."""

    folder: Path
    heads: dict[str, Head]
    shafts: dict[str, Shaft]
    grips: dict[str, Grip]
    schedule_rows: tuple[ScheduleRow, ...]
    ladder_rungs: tuple[LadderRung, ...]
    raw_lengths: tuple[RawLength, ...]


def _pick(model: row_models.Row, *leave_out: str) -> dict[str, Any]:
    return {name: value for name, value in model if name not in leave_out}


class _Reader:
    """Reads the files of one folder and gathers the faults of all of them."""

    def __init__(self, folder: Path, standing: Standing) -> None:
        self.folder, self.standing, self.faults = folder, standing, list[BenchError]()

    def rows(self, model: type[RowT]) -> list[tuple[Place, RowT]]:
        name = next(file for file, known in row_models.TABLES.items() if known is model)
        try:
            return [(Place(name, number), row) for number, row in read_rows(self.folder / name, model)]
        except DataFileError as error:
            self.faults += error.faults
            return []

    def make(self, place: Place, build: Callable[[Source], PartT]) -> PartT | None:
        try:
            return build(Source(str(place), self.standing))
        except BenchError as error:
            self.faults.append(BenchError(error.given, error.allowed, error.next_step, error.place or place))
            return None

    def by_name(self, model: type[RowT], key: str, build: Callable[[RowT, Source], PartT]) -> dict[str, PartT]:
        parts: dict[str, PartT] = {}
        for place, row in self.rows(model):
            name = getattr(row, key)
            if name in parts:
                self.faults.append(
                    BenchError(f"{name!r} stands twice", "each name once", "rename or remove one", place)
                )
            part = self.make(place, lambda source, r=row: build(r, source))  # type: ignore[misc]
            if part is not None:
                parts[name] = part
        return parts

    def table(self, model: type[RowT], build: Callable[[RowT, Source], PartT]) -> tuple[PartT, ...]:
        made = (self.make(place, lambda source, r=row: build(r, source)) for place, row in self.rows(model))  # type: ignore[misc]
        return tuple(part for part in made if part is not None)

    def pieces(self, model: type[RowT], build: Callable[[RowT], PartT]) -> dict[str, tuple[PartT, ...]]:
        """Return sections or stations, grouped by the shaft they belong to."""
        grouped: dict[str, tuple[PartT, ...]] = {}
        for place, row in self.rows(model):
            piece = self.make(place, lambda _source, r=row: build(r))  # type: ignore[misc]
            if piece is not None:
                name = row.shaft  # type: ignore[attr-defined]
                grouped[name] = (*grouped.get(name, ()), piece)
        return grouped


def load_catalogue(folder: Path | None = None, standing: Standing = Standing.INVENTED) -> Catalogue:
    """Read every table of a data folder (default: the shipped demo data) and return the parts.

    standing: what the numbers are; the shipped ones are invented. Raises DataFileError holding the faults of all files.
    """
    reader = _Reader(folder or data_folder(), standing)
    sections = reader.pieces(row_models.SectionRow, lambda r: TubeSection(**_pick(r, "shaft")))
    stations = reader.pieces(row_models.StationRow, lambda r: Station(**_pick(r, "shaft")))
    catalogue = Catalogue(
        folder=reader.folder,
        heads=reader.by_name(row_models.HeadRow, "head", lambda r, s: Head(name=r.head, source=s, **_pick(r, "head"))),
        shafts=reader.by_name(
            row_models.ShaftRow,
            "shaft",
            lambda r, s: Shaft(
                name=r.shaft,
                flexes=tuple(r.flexes.split("/")),
                sections=sections.get(r.shaft, ()),
                stations=stations.get(r.shaft, ()),
                source=s,
                **_pick(r, "shaft", "flexes"),
            ),
        ),
        grips=reader.by_name(row_models.GripRow, "grip", lambda r, s: Grip(name=r.grip, source=s, **_pick(r, "grip"))),
        schedule_rows=reader.table(row_models.ScheduleFileRow, lambda r, s: ScheduleRow(source=s, **_pick(r))),
        ladder_rungs=reader.table(row_models.LadderFileRow, lambda r, s: LadderRung(source=s, **_pick(r))),
        raw_lengths=reader.table(row_models.RawLengthRow, lambda r, s: RawLength(source=s, **_pick(r))),
    )
    if reader.faults:
        raise DataFileError(tuple(reader.faults))
    return catalogue


def check_file(path: Path) -> int:
    """Check one data file by its name (``heads.csv``, ``schedules.csv``, ...) and return how many rows it has.

    Raises DataFileError holding every fault, or if no data file has that name.
    """
    model = row_models.TABLES.get(path.name)
    if model is None:
        raise file_fault(
            path, "no data file has this name", ", ".join(row_models.TABLES), "rename it after what it holds"
        )
    return len(read_rows(path, model))
