"""Read one CSV file and check every row of it.

A file is read whole before anything is reported: all its faults come back together, each with file, row and column.
Nothing is guessed: a byte-order mark, semicolons, an unknown or missing column, an empty cell or a number outside its
column's range is refused.
"""

from __future__ import annotations

import csv
import io
import stat
from collections import Counter
from functools import partial
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.faults import faults_of
from trimkit.parts.rows import Row

MAX_FILE_BYTES = 10_000_000
MAX_COLUMNS = 100
MAX_ROWS = 20_000
"""Most lines of one CSV file: many more than a shop's tables need, few enough to be checked in seconds; chosen here."""

RowT = TypeVar("RowT", bound=Row)


def file_fault(path: Path, given: str, allowed: str, next_step: str, row: int | None = None) -> DataFileError:
    """Return the DataFileError for one fault in a whole file, or one row of it."""
    return DataFileError((BenchError(given, allowed, next_step, Place(path.name, row)),))


def _plain_file_size(path: Path) -> int:
    status = path.stat()
    if stat.S_ISREG(status.st_mode) or stat.S_ISDIR(status.st_mode):  # opening a folder raises its own error
        return status.st_size
    raise file_fault(path, "it is a pipe or a device", "a file", f"check the path {path}")


def read_text(path: Path) -> str:
    """Return the text of a UTF-8 file of at most 10 MB; no more than that is ever read.

    Raises DataFileError, in words, if the file is absent, not a plain file, too large, empty, not UTF-8 or starts with
    a byte-order mark.
    """
    try:
        size = _plain_file_size(path)
        if size <= MAX_FILE_BYTES:
            with path.open("rb") as file:
                raw = file.read(MAX_FILE_BYTES + 1)
            size = max(size, len(raw))  # it may have grown in the meantime
        if size > MAX_FILE_BYTES:
            raise file_fault(
                path,
                f"the file has {size / 1e6:.0f} MB",
                f"at most {MAX_FILE_BYTES // 10**6} MB",
                "check that it is the right file",
            )
    except OSError as error:
        raise file_fault(
            path, f"the file cannot be read ({error.strerror or error})", "a readable file", f"check the path {path}"
        ) from error
    if raw.startswith((b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")):
        raise file_fault(
            path,
            "the file starts with a byte-order mark, which spreadsheets add",
            "plain UTF-8 text without the mark",
            "save it again as plain CSV or, in a text editor, as 'UTF-8 without BOM'",
            row=1,
        )
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        raise file_fault(
            path, f"byte {error.start} is not UTF-8 text", "UTF-8 text", "save the file again with encoding UTF-8"
        ) from error
    if not text.strip():
        raise file_fault(path, "the file is empty", "a header line and at least one row", "fill it or restore it")
    return text


def _header_faults(path: Path, header: list[str], model: type[Row]) -> list[BenchError]:
    wanted, place = list(model.model_fields), Place(path.name, 1)
    if len(header) == 1 and ";" in header[0]:
        given = "the columns are separated by semicolons"
        return [BenchError(given, "commas between columns and a point in decimals", "save it again with commas", place)]
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
        if name in wanted:
            continue
        given, step = f"the column {name!r} is not known", "remove it or correct its name"
        twin = stems.get(name.rsplit("_", 1)[0])
        if twin is not None and twin not in header:
            given = f"the column {name!r} has a different unit from {twin!r}"
            step = f"convert the numbers and name it {twin}"
        faults.append(BenchError(given, "the columns " + ", ".join(wanted), step, place))
    faults += [
        BenchError(f"the column {name!r} is missing", "every column of this file", f"add the column {name}", place)
        for name, column in model.model_fields.items()
        if name not in header and column.is_required()
    ]
    return faults


def read_rows(path: Path, model: type[RowT], *, may_be_empty: bool = False) -> list[tuple[int, RowT]]:
    """Read a CSV file and return its rows with their numbers, as a person counts them (the header is row 1).

    may_be_empty: whether a header without rows is allowed.
    Raises DataFileError holding every fault of the file: its encoding, its header, and each bad cell. A file of more
    than 20 000 lines is refused before its rows are checked.
    """
    text = read_text(path)
    if (lines := len(text.splitlines())) > MAX_ROWS:
        raise file_fault(path, f"the file has {lines} lines", f"at most {MAX_ROWS}", "check that it is the right file")
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    faults: list[BenchError] = []
    found: list[tuple[int, RowT]] = []
    try:
        header = [name.strip() for name in next(reader)]
        faults += _header_faults(path, header, model)
        if faults:
            raise DataFileError(tuple(faults))
        for cells in reader:
            number = reader.line_num
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) != len(header):
                given, allowed = f"the row has {len(cells)} cells", f"{len(header)} cells, as in the header"
                faults.append(BenchError(given, allowed, "check commas and quotes", Place(path.name, number)))
                continue
            try:
                found.append((number, model.model_validate(dict(zip(header, cells, strict=True)))))
            except ValidationError as error:
                faults += faults_of(model, error, partial(Place, path.name, number))
    except csv.Error as error:
        faults.append(
            BenchError(f"the CSV is broken ({error})", "quoted CSV", "check quotes", Place(path.name, reader.line_num))
        )
    if faults:
        raise DataFileError(tuple(faults))
    if not found and not may_be_empty:
        raise file_fault(path, "the file has a header but no rows", "at least one row", "add a row")
    return found
