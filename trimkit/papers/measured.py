"""What the finished clubs measured: as people write it, as a CSV form to fill in, and beside what was predicted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, ValidationError

from trimkit.club.set import SetBuild
from trimkit.club.shoptables import SHOP_LIMIT, ShopFile
from trimkit.club.swingweight import SWINGWEIGHT_TOLERANCE_POINTS, SWINGWEIGHT_TOLERANCE_SOURCE
from trimkit.mechanics.balance import POINT_OZ_IN, swingweight_oz_in
from trimkit.papers.record.model import Cuts, Difference, Measured, Predicted, Revision
from trimkit.parts import units
from trimkit.parts.csvfile import read_rows
from trimkit.parts.csvtext import csv_text, from_inert
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.faults import faults_of
from trimkit.parts.rows import Length, Mass, Name, Plain, Row, club_name
from trimkit.parts.sources import Source, Standing

_RULER = Source("one mark of a ruler in sixteenths", Standing.FROM_MEMORY)
_MATCHED = Source("sets are matched to within about 2 cpm", Standing.FROM_MEMORY)
_SHOP = Source("chosen here, to be set to the shop's own", Standing.CHOSEN)


@dataclass(frozen=True)
class FinishedTolerances:
    """How far a finished club may lie from its prediction, either way, and where each figure comes from.

    playing_length_in: in; frequency_cpm: cpm; swingweight_points: points of the letter scale; total_mass_g: g.
    """

    playing_length_in: float = 1 / 16
    frequency_cpm: float = 2.0
    swingweight_points: float = SWINGWEIGHT_TOLERANCE_POINTS
    total_mass_g: float = 3.0
    length_source: Source = _RULER
    frequency_source: Source = _MATCHED
    swingweight_source: Source = SWINGWEIGHT_TOLERANCE_SOURCE
    mass_source: Source = _SHOP

    @classmethod
    def of_shop(cls, shop: ShopFile | None) -> FinishedTolerances:
        """Return the usual tolerances, those that the shop has set itself in their place."""
        if shop is None:
            return cls()
        sources = {
            "playing_length_in": "length_source",
            "frequency_cpm": "frequency_source",
            "swingweight_points": "swingweight_source",
            "total_mass_g": "mass_source",
        }
        own: dict[str, Any] = {}
        for name, source in sources.items():
            if (limit := getattr(shop.tolerances, name)) is not None:
                own |= {name: limit, source: SHOP_LIMIT}
        return cls(**own)


def measured_club(
    *,
    playing_length: str | float | None = None,
    frequency_cpm: float | None = None,
    swingweight: str | float | None = None,
    total_mass: str | float | None = None,
    remark: str = "",
) -> Measured:
    """Return what a finished club measured, as people write it; None for what nobody measured.

    playing_length: inches, or text such as ``"37 1/2"`` or ``"95.3 cm"``; swingweight: ``"D1.5"``, or oz in;
    total_mass: grams, or text such as ``"14.6 oz"``. Raises BenchError for text that cannot be read, and DataFileError
    holding every value that no club can have.

    >>> measured_club(playing_length="37 1/2", swingweight="D0").swingweight_oz_in
    213.5
    """
    values = {
        "playing_length_in": units.length_in(playing_length) if isinstance(playing_length, str) else playing_length,
        "frequency_cpm": frequency_cpm,
        "swingweight_oz_in": swingweight_oz_in(swingweight) if isinstance(swingweight, str) else swingweight,
        "total_mass_g": units.mass_g(total_mass) if isinstance(total_mass, str) else total_mass,
        "remark": remark,
    }
    try:
        return Measured.model_validate(values)
    except ValidationError as error:
        faults = faults_of(Measured, error, lambda name: Place("the measurements", key=name))
        raise DataFileError(tuple(faults)) from None


def differences(
    predicted: Predicted | None, cuts: Cuts, measured: Measured, tolerances: FinishedTolerances
) -> tuple[Difference, ...]:
    """Return each measured value beside its prediction: difference = measured - predicted, in the value's unit.

    predicted: None where there is none; then only the length has a plan to be compared with.
    """
    foreseen = ({} if predicted is None else predicted.model_dump()) | {"playing_length_in": cuts.playing_length_in}
    limits = tolerances
    rows = (
        ("playing length", "in", "playing_length_in", limits.playing_length_in, limits.length_source),
        ("frequency", "cpm", "frequency_cpm", limits.frequency_cpm, limits.frequency_source),
        (
            "swingweight",
            "oz in",
            "swingweight_oz_in",
            limits.swingweight_points * POINT_OZ_IN,
            limits.swingweight_source,
        ),
        ("total mass", "g", "total_mass_g", limits.total_mass_g, limits.mass_source),
    )
    found = []
    for quantity, unit, name, limit, source in rows:
        value = getattr(measured, name)
        if value is None or name not in foreseen:
            continue
        off = value - foreseen[name]
        found.append(
            Difference(
                quantity=quantity,
                unit=unit,
                predicted=foreseen[name],
                measured=value,
                difference=off,
                tolerance=limit,
                tolerance_source=source,
                within=abs(off) <= limit + 1e-9,
            )
        )
    return tuple(found)


def measured_of(revision: Revision, built: SetBuild) -> tuple[Measured | None, ...]:
    """Return what the clubs of a built set measured, by the record of that set; None for a club nobody measured.

    Raises BenchError if the record is of another set or of other cuts (a name, or a cut more than 0.001 in apart).
    """
    recorded, plans = revision.clubs, [club.plan for club in built.clubs]
    same = len(recorded) == len(plans) and all(
        club.club == plan.club
        and abs(club.cuts.tip_trim_in - plan.tip_trim_in) <= 0.001
        and abs(club.cuts.cut_length_in - plan.cut_length_in) <= 0.001
        for club, plan in zip(recorded, plans, strict=True)
    )
    if not same:
        given = f"revision {revision.number} of the record has other clubs or other cuts than the order"
        step = "give the record of this order, or add a revision to it first (trimkit record ... --reason)"
        raise BenchError(
            given, f"the record of {_numbered([plan.club for plan in plans])} as the order cuts them", step
        )
    return tuple(club.measured for club in recorded)


def clubs_called(names: Sequence[str], club: str) -> list[int]:
    """Return which clubs a word may mean, from 0: those of the name as people write it, else those of the number.

    names: the clubs' own, in the order of the set. A number is never a place in the set.
    """
    said = _said(club)
    found = [n for n, name in enumerate(names) if said == name]
    if not found and said.isdecimal():
        found = [n for n, name in enumerate(names) if name.startswith(f"{said}-")]
    return found


def _said(club: str) -> str:
    said = club.strip()
    with suppress(BenchError):  # a number, or a name that whoever asks tells
        said = club_name(said)
    return said


def place_of(revision: Revision, club: str) -> int:
    """Return a club's place in the set, from 0, by its name as people write it, or by its number alone.

    A number is the club of that number (7: the 7-iron), never a place in the set: :func:`place_at`. Raises BenchError
    for a club that the set does not have, and for words that may mean several of its clubs.
    """
    names = [each.club for each in revision.clubs]
    places = clubs_called(names, club)
    if len(places) == 1:
        return places[0]
    if not places:
        step = "write the club's name, such as --club 7i, or its place in the set, such as --place 1"
        raise BenchError(f"no club of the record is called {_said(club)!r}", f"one of {_numbered(names)}", step)
    # Only clubs of one number, or of one name, come here: a name with a number has no blank to be quoted.
    ways = [f"--place {n + 1}" if names.count(names[n]) > 1 else f"--club {names[n]}" for n in places]
    asked = ", ".join(f"the {names[n]} ({way})" for n, way in zip(places, ways, strict=True))
    given = f"{club.strip()!r} may mean {len(places)} clubs of the record"
    raise BenchError(given, asked, "write it as in the brackets")


def place_at(revision: Revision, place: int) -> int:
    """Return a club's place in the set, from 0, by its place from 1; raises BenchError for a place that no club has."""
    names = [each.club for each in revision.clubs]
    if not 1 <= place <= len(names):
        raise BenchError(f"there is no place {place} in the set", _numbered(names), "give the number before a name")
    return place - 1


def _numbered(names: Sequence[str]) -> str:
    return ", ".join(f"{n} {name}" for n, name in enumerate(names, start=1))


# The form


def _maybe(quantity: BeforeValidator) -> BeforeValidator:
    """Accept what a quantity accepts, and an empty cell as None."""
    read: Callable[[Any], Any] = quantity.func  # type: ignore[assignment]
    return BeforeValidator(lambda value: None if isinstance(value, str) and not value.strip() else read(value))


def _words(value: Any) -> Any:
    return from_inert(value) if isinstance(value, str) else value


class MeasuredRow(Row):
    """A row of the form: which club, and what it measured; an empty cell for what nobody measured."""

    place: Annotated[int, Field(ge=1, le=200, description="the club's place in the set, from 1")]
    club: Annotated[Name, BeforeValidator(_words)]
    playing_length_in: Annotated[float | None, Field(ge=18, le=60), _maybe(Length)]
    frequency_cpm: Annotated[float | None, Field(ge=50, le=800), _maybe(Plain)]
    swingweight: Annotated[str | None, Field(max_length=units.MOST_CHARACTERS), _maybe(BeforeValidator(_words))]
    total_mass_g: Annotated[float | None, Field(ge=100, le=800), _maybe(Mass)]
    remark: Annotated[str, Field(max_length=2000), BeforeValidator(_words)]

    @property
    def empty(self) -> bool:
        """Whether nothing was filled in."""
        measures = (self.playing_length_in, self.frequency_cpm, self.swingweight, self.total_mass_g)
        return not self.remark and all(value is None for value in measures)


def measured_form(clubs: Sequence[str]) -> str:
    """Return the CSV text of an empty form for a set's clubs, in their order: lengths in in, masses in g, cpm."""
    empty = [""] * (len(MeasuredRow.model_fields) - 2)
    return csv_text(list(MeasuredRow.model_fields), [[n, club, *empty] for n, club in enumerate(clubs, start=1)])


def wrong_place(row: MeasuredRow, names: Sequence[str], at: Place) -> BenchError | None:
    """Return the fault of a row whose place is not that of its club, ``at`` its place in the file; None if it is."""
    if row.place <= len(names) and row.club == names[row.place - 1]:
        return None
    there = f"place {row.place} is the {names[row.place - 1]}" if row.place <= len(names) else "no such place"
    return BenchError(f"place {row.place} with club {row.club!r}: {there}", _numbered(names), "correct the row", at)


def read_measured(path: Path, revision: Revision) -> dict[int, Measured]:
    """Return what a filled form says, by the club's place in the set from 0; rows without a value are left out.

    revision: the build whose clubs were measured. Raises DataFileError holding every fault: a cell, a place that no
    club has or that is given twice, a club of another name, or a form without a value.
    """
    found: dict[int, Measured] = {}
    faults: list[BenchError] = []
    names = [club.club for club in revision.clubs]
    for number, row in read_rows(path, MeasuredRow):
        at = Place(path.name, number, "place")
        if wrong := wrong_place(row, names, at):
            faults.append(wrong)
        elif row.place - 1 in found:
            faults.append(BenchError(f"place {row.place} is given twice", "each club once", "take one row out", at))
        elif not row.empty:
            try:
                found[row.place - 1] = measured_club(
                    playing_length=row.playing_length_in,
                    frequency_cpm=row.frequency_cpm,
                    swingweight=row.swingweight,
                    total_mass=row.total_mass_g,
                    remark=row.remark,
                )
            except DataFileError as error:
                faults += [BenchError(each.given, each.allowed, each.next_step, at) for each in error.faults]
            except BenchError as error:
                column = Place(path.name, number, "swingweight")
                faults.append(BenchError(error.given, error.allowed, error.next_step, column))
    if not faults and not found:
        given, allowed = "no row has a measured value", "one value or more"
        faults.append(BenchError(given, allowed, "fill in what was measured", Place(path.name)))
    if faults:
        raise DataFileError(tuple(faults))
    return found
