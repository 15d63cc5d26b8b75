"""The cells of one table, from whatever file, checked row by row.

What people add to a table (a column of notes, empty rows and columns) is left out and said; what could be read in two
ways is refused. All faults come back together, each with file, row and column.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import partial
from typing import Any, Generic, TypeVar

from pydantic import ValidationError

from trimkit.parts.errors import BenchError, DataFileError, Place, counted
from trimkit.parts.faults import faults_of, names_offered
from trimkit.parts.rows import Row

MAX_COLUMNS = 100
NOTES = frozenset({"note", "notes", "remark", "remarks", "comment", "comments"})
"""Names of a column of notes: for people, not for the table."""

RowT = TypeVar("RowT", bound=Row)


@dataclass(frozen=True)
class Unreadable:
    """A cell that holds what no table can hold: what it is, what is allowed, what to do."""

    given: str
    allowed: str
    next_step: str


@dataclass(frozen=True)
class Grid:
    """The cells of a table as they are in the file.

    file: what faults call it. header: the names of the columns. rows: each with its number as a person counts it;
    cells are text, numbers, or Unreadable. how: what was done to read it. semicolons: whether these part the columns,
    and a comma may be the decimal sign. fault: where the reading broke off.
    """

    file: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[Any, ...]], ...]
    how: tuple[str, ...] = ()
    semicolons: bool = False
    fault: BenchError | None = None


@dataclass(frozen=True)
class TableRead(Generic[RowT]):
    """The rows of a table with their numbers; how_read: in words, how a table that is not plain was read."""

    rows: tuple[tuple[int, RowT], ...]
    how_read: str


def checked(grid: Grid, model: type[RowT], *, may_be_empty: bool = False) -> TableRead[RowT]:
    """Return the rows of a table, each as its model. may_be_empty: whether a header without rows is allowed.

    Raises DataFileError holding every fault: of its header, or of each bad cell.
    """
    header, left_out = _columns(grid, model)
    notes = [name for name in header if name.casefold() in NOTES and name not in model.model_fields]
    if faults := _header_faults(grid.file, [name for n, name in enumerate(header) if n not in left_out], notes, model):
        raise DataFileError(tuple(faults))
    rows: list[tuple[int, dict[str, Any]]] = []
    empty = 0
    for number, cells in grid.rows:
        if all(_is_empty(cell) for cell in cells):
            empty += 1
        elif fault := _row_fault(grid, number, cells, len(header)):
            faults.append(fault)
        else:
            named = enumerate(zip(header, cells, strict=False))
            rows.append((number, {name: cell for n, (name, cell) in named if n not in left_out and name not in notes}))
    for _, row in rows:
        for name, cell in row.items():
            if isinstance(cell, int | float) and model.model_fields[name].annotation is str:
                row[name] = f"{cell:.15g}"  # a name that is a number, in a workbook
    how = list(grid.how)
    if grid.semicolons:
        decimals, told = _decimal_sign(grid.file, rows, model)
        how.append(f"semicolons between columns, {decimals}")
        faults += told
    found: list[tuple[int, RowT]] = []
    for number, row in rows:
        own = [
            BenchError(cell.given, cell.allowed, cell.next_step, Place(grid.file, number, name))
            for name, cell in row.items()
            if isinstance(cell, Unreadable)
        ]
        faults += own
        if own:
            continue
        try:
            found.append((number, model.model_validate(row)))
        except ValidationError as error:
            faults += faults_of(model, error, partial(Place, grid.file, number))
    if grid.fault is not None:
        faults.append(grid.fault)
    if faults:
        raise DataFileError(tuple(sorted(faults, key=lambda fault: (fault.place and fault.place.row) or 0)))
    if not found and not may_be_empty:
        place = Place(grid.file)
        raise DataFileError((BenchError("it has a header but no rows", "at least one row", "add a row", place),))
    how += [f"the column {name!r} taken as notes" for name in dict.fromkeys(notes)]
    if empty or left_out:
        left = [counted(n, f"empty {what}") for n, what in ((empty, "row"), (len(left_out), "column")) if n]
        how.append(f"{' and '.join(left)} left out")
    return TableRead(tuple(found), "; ".join([*how, *_spelled_out(rows, found, model)]))


def _is_empty(cell: Any) -> bool:
    return cell is None or (isinstance(cell, str) and not cell.strip())


def _columns(grid: Grid, model: type[Row]) -> tuple[list[str], set[int]]:
    """Return the columns' names as the model has them, and the places of those that have no name and no value."""
    header = [name.strip() for name in grid.header]
    nameless = {n for n, name in enumerate(header) if not name}
    for _, cells in grid.rows if nameless else ():
        nameless -= {n for n in nameless if n < len(cells) and not _is_empty(cells[n])}
    known = {name.casefold(): name for name in model.model_fields}
    return [known.get(name.casefold(), name) for name in header], nameless


def _header_faults(file: str, header: list[str], notes: Sequence[str], model: type[Row]) -> list[BenchError]:
    wanted, place = list(model.model_fields), Place(file, 1)
    if len(header) > MAX_COLUMNS:
        given = f"the header has {len(header)} columns"
        return [BenchError(given, "the columns " + ", ".join(wanted), "check that it is the right file", place)]
    faults = [
        BenchError(f"the column {name!r} appears {count} times", "each column once", "remove one", place)
        for name, count in Counter(header).items()
        if count > 1
    ]
    stems = {name.rsplit("_", 1)[0]: name for name in wanted}
    for name in dict.fromkeys(header):
        if name in wanted or name in notes:
            continue
        given, allowed = f"the column {name!r} is not known", f"the columns {', '.join(wanted)}"
        step = "remove it or correct its name; a column of notes is called notes"
        twin = stems.get(name.rsplit("_", 1)[0])
        if not name:
            given, step = "a column has values but no name", "name it, or remove them"
        elif twin is not None and twin not in header:
            given = f"the column {name!r} has a different unit from {twin!r}"
            step = f"convert the numbers and name it {twin}"
        else:
            allowed = names_offered(name, wanted)
        faults.append(BenchError(given, allowed, step, place))
    faults += [
        BenchError(f"the column {name!r} is missing", "every column of this file", f"add the column {name}", place)
        for name, column in model.model_fields.items()
        if name not in header and column.is_required()
    ]
    return faults


def _row_fault(grid: Grid, number: int, cells: Sequence[Any], columns: int) -> BenchError | None:
    """Return what is wrong with the number of cells in a row; what is beyond the header may be empty cells."""
    if len(cells) >= columns and all(map(_is_empty, cells[columns:])):
        return None
    given, allowed, step = (
        f"the row has {len(cells)} cells",
        f"{columns} cells, as in the header",
        "check {} and quotes",
    )
    sign, other = (";", ",") if grid.semicolons else (",", ";")
    if len(cells) == 1 < columns and other in cells[0]:
        given = f"the row has {other!r} between its cells, and the header {sign!r}"
        allowed, step = "one sign between the cells of a whole file", "save the file again with one of them"
    elif len(cells) > columns:
        given = f"the row has {len(cells)} cells, and some beyond the header's {columns} are filled"
    signs = "semicolons" if grid.semicolons else "commas"
    return BenchError(given, allowed, step.format(signs), Place(grid.file, number))


_TWO_READINGS = re.compile(r"^\s*([-+]?[1-9]\d{0,2})[,.](\d{3})(?!\d)")
"""Whole thousands, or three decimals: the sign between the digits does not say which."""


def _numbers_as_text(
    rows: Sequence[tuple[int, dict[str, Any]]], model: type[Row]
) -> Iterator[tuple[int, dict[str, Any], str, str]]:
    columns = [name for name, field in model.model_fields.items() if field.annotation in (float, float | None)]
    for number, row in rows:
        for name in columns:
            if isinstance(row.get(name), str):
                yield number, row, name, row[name]


def _decimal_sign(
    file: str, rows: Sequence[tuple[int, dict[str, Any]]], model: type[Row]
) -> tuple[str, list[BenchError]]:
    """Give every number of a file with semicolons a decimal point; return the file's own sign in words, and the faults.

    A number such as ``1,250`` is refused: the comma may part thousands. So is ``1.250`` unless another number of the
    file shows that the point is its decimal sign.
    """
    cells = list(_numbers_as_text(rows, model))
    with_sign = {sign: [cell for cell in cells if sign in cell[3]] for sign in ",."}
    if with_sign[","] and with_sign["."]:
        (number, _, name, point), (other, _, _, comma) = with_sign["."][0], with_sign[","][0]
        given = f"{point!r} has a decimal point, and {comma!r} in row {other} a comma"
        place = Place(file, number, name)
        for _, row, column, text in with_sign[","]:
            row[column] = text.replace(",", ".")
        return "", [BenchError(given, "one decimal sign in a whole file", "write all with the same sign", place)]
    sign = "," if with_sign[","] else "."
    shown = sign == "." and any(text.count(".") == 1 and not _TWO_READINGS.match(text) for *_, text in with_sign["."])
    for _, row, name, text in with_sign[sign]:
        row[name] = text.replace(",", ".")
        two = _TWO_READINGS.match(text)
        if two is not None and not shown:
            given = f"{text!r} can be read in two ways: {two[1]}.{two[2]} or {two[1]}{two[2]}"
            step = f"write {two[1]}{sign}{two[2]}0 or {two[1]}{two[2]}, whichever is meant"
            row[name] = Unreadable(given, "a number with one reading", step)
    words = {",": "decimal commas", ".": "decimal points"}[sign]
    return words if with_sign[sign] else "no decimals", []


def _spelled_out(
    rows: Sequence[tuple[int, dict[str, Any]]], found: Sequence[tuple[int, Row]], model: type[Row]
) -> list[str]:
    """Say which words were read as others (7i as 7-iron), and how many numbers had a unit or a fraction."""
    words: dict[str, str] = {}
    numbers: list[str] = []
    for (_, row), (_, read) in zip(rows, found, strict=True):
        for name, cell in row.items():
            value = getattr(read, name)
            value = value.value if isinstance(value, Enum) else value
            if isinstance(cell, str) and isinstance(value, str) and cell.strip() != value:
                words[cell.strip()] = value
            elif isinstance(cell, str) and isinstance(value, float) and not _is_plain(cell):
                numbers.append(f"{cell.strip()} as {value:.6g} {name.rsplit('_', 1)[-1]}")
    said = [f"{cell} as {value}" for cell, value in list(words.items())[:3]]
    if len(words) > len(said):
        said[-1] += f" and {counted(len(words) - len(said), 'more such name')}"
    if numbers:
        more = f" and {counted(len(numbers) - 1, 'more number')} with a unit or a fraction" if len(numbers) > 1 else ""
        said.append(f"{numbers[0]}{more}")
    return [", ".join(said)] if said else []


def _is_plain(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True
