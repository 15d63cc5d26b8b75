"""Write rows as CSV text that a spreadsheet shows but does not run.

The form is RFC 4180 (2005), section 2: commas, CRLF, a quote inside a quoted cell doubled. Text that a spreadsheet
could take for a formula gets an apostrophe before it, as in OWASP, "CSV Injection"
(https://owasp.org/www-community/attacks/CSV_Injection): text beginning with = + - @, a tab, CR or LF. Chosen here in
addition: the full-width forms of the four signs, blanks or apostrophes before any of them, and a column's name.
A number stays a number, even a negative one.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Sequence
from enum import Enum
from numbers import Integral, Real

import numpy as np

from trimkit.parts.errors import BenchError, Place

_RUNS = frozenset("=+-@\t\r\n＝＋－＠")
_BEFORE = " '\xa0"


def _could_run(text: str) -> bool:
    return text.lstrip(_BEFORE)[:1] in _RUNS


def inert(text: str) -> str:
    """Return text that is safe in a spreadsheet: with an apostrophe before it if it could be taken for a formula.

    >>> inert("=1+1"), inert("7-iron")
    ("'=1+1", '7-iron')
    """
    return f"'{text}" if _could_run(text) else text


def from_inert(text: str) -> str:
    """Return the text that :func:`inert` was given; text without its apostrophe comes back as it is.

    >>> from_inert("'=1+1"), from_inert("'tis")
    ('=1+1', "'tis")
    """
    return text[1:] if text.startswith("'") and _could_run(text) else text


def _cell(value: object, place: Place) -> str:
    if value is None:
        return ""
    if isinstance(value, Enum):
        value = value.value
    if isinstance(value, str):
        if "\0" in value:
            raise BenchError("the text holds a null character", "text", "write it again", place)
        return inert(value)
    if isinstance(value, bool | np.bool_):
        return "true" if value else "false"
    if isinstance(value, Integral):
        return str(int(value))
    if isinstance(value, Real):
        number = float(value)
        if not math.isfinite(number):
            raise BenchError(f"the number is {number}", "a finite number, or None for none", "leave it out", place)
        return repr(number)
    raise BenchError(
        f"a value of type {type(value).__name__} is given",
        "text, a number, yes or no, or None",
        "convert it",
        place,
    )


def csv_text(columns: Sequence[str], rows: Iterable[Sequence[object]], file: str | None = None) -> str:
    """Return a header line and rows as CSV text; save it with ``trimkit.parts.saving.save_text``.

    columns: their names, ending with the unit if they hold numbers (``tip_trim_in``). rows: text, numbers (written with
    every digit, in the unit of their column), True and False (``true``, ``false``), None (an empty cell); each as long
    as columns. file: its name in the faults. Raises BenchError with the row and the column for a number that is not
    finite, a value of another type, a null character, a row of another length, or a column named twice or not at all.

    >>> csv_text(["club", "difference_in"], [["7-iron", -0.25]])
    'club,difference_in\\r\\n7-iron,-0.25\\r\\n'
    """
    if not columns or len(set(columns)) < len(columns) or not all(columns):
        raise BenchError(f"the columns are {', '.join(columns) or 'none'}", "each name once", "name them", Place(file))
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([_cell(name, Place(file, 1, name)) for name in columns])
    for number, row in enumerate(rows, start=2):
        if len(row) != len(columns):
            given = f"the row has {len(row)} cells"
            raise BenchError(given, f"{len(columns)}, one per column", "complete it", Place(file, number))
        pairs = zip(columns, row, strict=True)
        writer.writerow([_cell(value, Place(file, number, name)) for name, value in pairs])
    return text.getvalue()
