"""Write one frequency into the form for the finished clubs; everything else in the file stays as it is."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from pydantic import ValidationError

from trimkit.papers.measured import MeasuredRow, clubs_called
from trimkit.parts.csvfile import file_fault, read_bytes, read_rows
from trimkit.parts.errors import BenchError, DataFileError, Place, SaveError
from trimkit.parts.faults import faults_of
from trimkit.parts.saving import one_writer, save_text

CELL = "frequency_cpm"
DECIMALS = 1


def write_frequency(
    form: Path, frequency_cpm: float, club: str | None = None, place: int | None = None, *, replace: bool = False
) -> str:
    """Write a frequency into a club's row of ``to_measure.csv`` and return the row in words.

    form: as the verb ``tables`` writes it, filled in or not. club: its name as people write it, if only one club of
    the form has it; or place: the number before the name. replace: whether a frequency may be replaced that is there
    already. The number has one decimal, and the file's own decimal sign. Saved whole or not at all.

    Raises DataFileError for a form that cannot be read or a frequency it does not take, BenchError for a club it does
    not have or has twice, SaveError for a filled cell or if the system refuses.
    """
    read_bytes(form)  # the lock would make the folder of a form that is not there
    with one_writer(form.parent):
        rows = read_rows(form, MeasuredRow)
        at = _row(form.name, [row for _, row in rows], club, place)
        number, row = rows[at]
        value = round(frequency_cpm, DECIMALS)
        try:
            filled = {name: "" if cell is None else cell for name, cell in row.model_dump().items()}
            MeasuredRow.model_validate(filled | {CELL: value})
        except ValidationError as error:
            raise DataFileError(tuple(faults_of(MeasuredRow, error, partial(Place, form.name, number)))) from None
        what = f"{row.place} {row.club}"
        if row.frequency_cpm is not None and not replace:
            raise SaveError(
                f"the {what} has {row.frequency_cpm:g} cpm already",
                "an empty cell, or one that may be replaced",
                "replace it if the new reading is the better one (--replace in the shell)",
                Place(form.name, number, CELL),
            )
        text = read_bytes(form).decode("utf-8")
        save_text(form, _with_cell(form, text, at, f"{value:.{DECIMALS}f}"), replace=True)
    return what


def _row(file: str, rows: Sequence[MeasuredRow], club: str | None, place: int | None) -> int:
    """Return which row is that club's, from 0: by its place, its name, or its number if one club alone has it."""
    if place is not None:
        found = [n for n, row in enumerate(rows) if row.place == place]
    else:
        found = clubs_called([row.club for row in rows], club or "")
    if len(found) == 1:
        return found[0]
    asked = f"at place {place}" if place is not None else f"called {(club or '').strip()!r}"
    names = ", ".join(f"{row.place} {row.club}" for row in rows)
    given = f"{len(found) or 'no'} clubs of the form are {asked}"
    raise BenchError(given, f"one of {names}", "give --place, the number before the name", Place(file))


def _with_cell(form: Path, text: str, at: int, number: str) -> str:
    """Return the text with a number in row ``at`` of those that are not empty, counted from 0 without the header."""
    sign = ";" if ";" in text.splitlines()[0] else ","
    spans = [row for row in _cells(text, sign) if any(_plain(text[slice(*cell)]).strip() for cell in row)]
    names = [_plain(text[slice(*cell)]).strip().casefold() for cell in spans[0]]
    if CELL not in names or at + 1 >= len(spans):
        raise file_fault(form, "its rows cannot be told apart", "the form as the verb tables writes it", "make it anew")
    numeric = [names.index(name) for name in ("playing_length_in", CELL, "total_mass_g")]
    if sign == ";" and not any("." in text[slice(*row[n])] for row in spans[1:] for n in numeric if n < len(row)):
        number = number.replace(".", ",")
    start, end = spans[at + 1][names.index(CELL)]
    return text[:start] + number + text[end:]


def _plain(cell: str) -> str:
    return cell[1:-1].replace('""', '"') if cell.startswith('"') else cell


def _cells(text: str, sign: str) -> list[list[tuple[int, int]]]:
    """Return where each cell of each line begins and ends in a CSV text, its quotes included (RFC 4180)."""
    rows: list[list[tuple[int, int]]] = [[]]
    start, quoted = int(text.startswith("\ufeff")), False
    for at, letter in enumerate(text):
        if letter == '"' and text[start] == '"':
            quoted = not quoted
        elif not quoted and letter in (sign, "\n", "\r"):
            rows[-1].append((start, at))
            start = at + 1
            if letter != sign:
                rows.append([])
    rows[-1].append((start, len(text)))
    return rows
