"""Read a sensor's series of readings from a CSV file: when, and what it read.

The file is larger than a table of parts and has no words in it, so it is read on its own: 100,000 lines in a fraction
of a second. What could be read in two ways is refused, as in every file of this house.
"""

from __future__ import annotations

import csv
import io
import math
import re
from pathlib import Path

import numpy as np

from trimkit.mechanics.batch import Floats
from trimkit.parts.csvfile import file_fault, read_text
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.shop.swingseries import LARGEST_READING, MOST_READINGS

COLUMNS = ("time_s", "reading")
MOST_FAULTS = 20
"""Faults told of one file: a series that is wrong in one line is often wrong in all."""

_NUMBER = re.compile(r"[-+]?(\d+[.,]?\d*|[.,]\d+)([eE][-+]?\d{1,3})?", re.ASCII)
_THOUSANDS = re.compile(r"[-+]?[1-9]\d{0,2}[.,]\d{3}", re.ASCII)


def read_series(path: Path) -> tuple[Floats, Floats]:
    """Return the times (s) and the readings (any unit) of a CSV file, shape (n,) each.

    Columns ``time_s`` and ``reading`` in either order, or two columns without a header in that order. Commas between
    the columns and decimal points; or semicolons, and one decimal sign in the whole file. A number such as ``1,250``
    counts as decimal only if another number of the file shows that its comma parts no thousands.

    Raises DataFileError with row and column of each fault (the first 20): not two cells, not a finite number, a number
    with two readings, a time that is not after the one before; and for a file of more than 100,000 readings.
    """
    text = read_text(path)
    lines = text.count("\n") + 1
    if lines > MOST_READINGS + 2:
        raise file_fault(
            path, f"the file has some {lines} lines", f"at most {MOST_READINGS}", "cut the series to the swinging"
        )
    first = next(line for line in text.splitlines() if line.strip())
    sign = ";" if ";" in first else ","
    rows: list[tuple[int, list[str]]] = []
    try:
        reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=sign)
        rows.extend((reader.line_num, [cell.strip() for cell in cells]) for cells in reader)
    except csv.Error as error:
        raise file_fault(
            path, f"the CSV is broken ({error})", "two numbers in a line", "check quotes", reader.line_num
        ) from None
    rows = [(number, cells) for number, cells in rows if any(cells)]
    order = _order(path, *rows[0]) if rows else None
    if order is not None:
        rows = rows[1:]
    if not rows:
        raise file_fault(path, "the file has no readings", "a time and a reading in each line", "record again")
    return _numbers(path, rows, order or (0, 1), sign == ";")


def _order(path: Path, row: int, cells: list[str]) -> tuple[int, int] | None:
    """Return which column is which by the header, or None if the first line holds numbers already."""
    names = [cell.casefold() for cell in cells]
    if sorted(names) == sorted(COLUMNS):
        return names.index(COLUMNS[0]), names.index(COLUMNS[1])
    if any(_NUMBER.fullmatch(cell) for cell in cells):
        return None
    raise file_fault(
        path,
        f"the header is {', '.join(repr(cell) for cell in cells[:6])}",
        f"the columns {' and '.join(COLUMNS)}, or two columns of numbers without a header",
        "keep the column of times in seconds and one column of readings, parted by commas or semicolons, and name "
        "them so",
        row,
    )


def _numbers(
    path: Path, rows: list[tuple[int, list[str]]], order: tuple[int, int], semicolons: bool
) -> tuple[Floats, Floats]:
    """Return times and readings, or raise every fault; order: the places of the two columns in a row."""
    cells = [cell for _, pair in rows for cell in pair]
    commas = semicolons and any("," in cell for cell in cells)
    shown = not commas or any("," in cell and not _THOUSANDS.fullmatch(cell) for cell in cells)
    points = commas and any("." in cell for cell in cells)
    faults: list[BenchError] = []
    values: list[tuple[float, float]] = []
    before = -math.inf
    for row, pair in rows:
        if len(pair) != 2:
            step = "take the other columns out, and check the signs between the cells"
            faults.append(BenchError(f"the row has {len(pair)} cells", "two", step, Place(path.name, row)))
        else:
            time, reading = pair[order[0]], pair[order[1]]
            when, what = _number(time, commas), _number(reading, commas)
            for name, cell, number in ((COLUMNS[0], time, when), (COLUMNS[1], reading, what)):
                if not abs(number) <= LARGEST_READING:
                    given, allowed = (
                        f"{cell[:40]!r} is no such number",
                        f"digits, up to {LARGEST_READING:g} either way",
                    )
                    faults.append(BenchError(given, allowed, "correct or remove it", Place(path.name, row, name)))
                elif points and "." in cell:
                    given, step = f"{cell!r} has a decimal point, other numbers have a comma", "write all with one sign"
                    faults.append(BenchError(given, "one decimal sign in a file", step, Place(path.name, row, name)))
                elif not shown and _THOUSANDS.fullmatch(cell):
                    given, step = f"{cell!r} can be thousands or thousandths", "save with more decimals"
                    faults.append(BenchError(given, "a number with one reading", step, Place(path.name, row, name)))
            if when <= before:
                given = f"the time {time} is not after the one before, {before:.9g}"
                step = "sort the file by time, and remove what is in it twice"
                place = Place(path.name, row, COLUMNS[0])
                faults.append(BenchError(given, "times that rise from line to line", step, place))
            before = when
            values.append((when, what))
        if len(faults) >= MOST_FAULTS:
            break
    if faults:
        raise DataFileError(tuple(faults))
    both = np.array(values)
    return both[:, 0], both[:, 1]


def _number(cell: str, commas: bool) -> float:
    """Return the number in a cell, or nan if it holds none: no words, no inf, no foreign digits, no other sign."""
    if not _NUMBER.fullmatch(cell) or ("," in cell and not commas):
        return math.nan
    return float(cell.replace(",", "."))
