"""What the finished clubs measured, as a CSV file: an empty form to fill in, and the filled form read back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from trimkit.papers.record.model import Measured, Revision
from trimkit.papers.verdict import measured_club
from trimkit.parts.csvfile import read_rows
from trimkit.parts.csvtext import csv_text, from_inert
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.rows import Length, Mass, Name, Plain, Row
from trimkit.parts.units import MOST_CHARACTERS


def _maybe(quantity: BeforeValidator) -> BeforeValidator:
    """Accept what a quantity accepts, and an empty cell as nothing."""
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
    swingweight: Annotated[str | None, Field(max_length=MOST_CHARACTERS), _maybe(BeforeValidator(_words))]
    total_mass_g: Annotated[float | None, Field(ge=100, le=800), _maybe(Mass)]
    remark: Annotated[str, Field(max_length=2000), BeforeValidator(_words)]


MEASURES = ("playing_length_in", "frequency_cpm", "swingweight", "total_mass_g")


def measured_form(clubs: Sequence[str]) -> str:
    """Return the CSV text of an empty form for a set's clubs, in their order: lengths in in, masses in g, cpm."""
    empty = [""] * (len(MeasuredRow.model_fields) - 2)
    return csv_text(list(MeasuredRow.model_fields), [[n, club, *empty] for n, club in enumerate(clubs, start=1)])


def read_measured(path: Path, revision: Revision) -> dict[int, Measured]:
    """Return what a filled form says, by the club's place in the set from 0; rows without a value are left out.

    revision: the build whose clubs were measured. Raises DataFileError holding every fault: a cell, a place that no
    club has or that stands twice, a club of another name, or a form with no value in it.
    """
    found: dict[int, Measured] = {}
    faults: list[BenchError] = []
    names = [club.club for club in revision.clubs]
    for number, row in read_rows(path, MeasuredRow):
        at = Place(path.name, number, "place")
        if row.place > len(names) or row.club != names[row.place - 1]:
            there = f"place {row.place} is the {names[row.place - 1]}" if row.place <= len(names) else "no such place"
            allowed = ", ".join(f"{n} {name}" for n, name in enumerate(names, start=1))
            faults.append(
                BenchError(f"place {row.place} with club {row.club!r}: {there}", allowed, "correct the row", at)
            )
        elif row.place - 1 in found:
            faults.append(BenchError(f"place {row.place} stands twice", "each club once", "take one row out", at))
        elif row.remark or any(getattr(row, name) is not None for name in MEASURES):
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


def one_measured(
    revision: Revision,
    club: str,
    *,
    playing_length: str | float | None = None,
    frequency_cpm: float | None = None,
    swingweight: str | float | None = None,
    total_mass: str | float | None = None,
    remark: str = "",
) -> dict[int, Measured]:
    """Return what one club measured, by its place in the set from 0; values as in ``verdict.measured_club`` (in, cpm).

    club: its name if only one club has it, else its place from 1. Raises BenchError for a club that is not there or
    stands twice, and if nothing was measured; DataFileError for a value that no club can have.
    """
    names = [each.club for each in revision.clubs]
    places = [n for n, name in enumerate(names) if club == name] or [n for n in range(len(names)) if club == str(n + 1)]
    if len(places) != 1:
        given = f"{len(places)} clubs of the record are called {club!r}"
        allowed = ", ".join(f"{n} {name}" for n, name in enumerate(names, start=1))
        raise BenchError(given, f"one of {allowed}", "give the club's place, the number before its name")
    if not remark and all(value is None for value in (playing_length, frequency_cpm, swingweight, total_mass)):
        raise BenchError("no measured value is given", "one value or more", "say what was measured")
    return {
        places[0]: measured_club(
            playing_length=playing_length,
            frequency_cpm=frequency_cpm,
            swingweight=swingweight,
            total_mass=total_mass,
            remark=remark,
        )
    }
