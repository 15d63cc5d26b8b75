"""Read one CSV file, as people have them, and check every row of it.

A file is read whole before anything is reported: all its faults come back together, each with file, row and column.
Nothing is guessed: signs mixed between columns or in numbers, an unknown or missing column, an empty cell or a number
outside its column's range is refused.
"""

from __future__ import annotations

import codecs
import csv
import io
import stat
from pathlib import Path

from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.grid import Grid, RowT, checked

MAX_FILE_BYTES = 10_000_000
MAX_ROWS = 20_000
"""Most lines of one CSV file: many more than a shop's tables need, few enough to be checked in seconds; chosen here."""


def file_fault(path: Path, given: str, allowed: str, next_step: str, row: int | None = None) -> DataFileError:
    """Return the DataFileError for one fault in a whole file, or one row of it."""
    return DataFileError((BenchError(given, allowed, next_step, Place(path.name, row)),))


def _plain_file_size(path: Path) -> int:
    status = path.stat()
    if stat.S_ISREG(status.st_mode) or stat.S_ISDIR(status.st_mode):  # opening a folder raises its own error
        return status.st_size
    raise file_fault(path, "it is a pipe or a device", "a file", f"check the path {path}")


def read_bytes(path: Path) -> bytes:
    """Return the bytes of a file of at most 10 MB; no more than that is ever read.

    Raises DataFileError, in words, if the file is absent, not a plain file, or too large.
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
    return raw


def read_text(path: Path) -> str:
    """Return the text of a UTF-8 file of at most 10 MB, without the byte-order mark that it may start with.

    Raises DataFileError as :func:`read_bytes`, and if the file is empty or not UTF-8.
    """
    return _read_marked(path)[0]


def _read_marked(path: Path) -> tuple[str, bool]:
    raw = read_bytes(path)
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise file_fault(
            path, "the file starts with a byte-order mark of UTF-16", "UTF-8 text", "save it again as UTF-8", row=1
        )
    marked = raw.startswith(codecs.BOM_UTF8)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise file_fault(
            path, f"byte {error.start} is not UTF-8 text", "UTF-8 text", "save the file again with encoding UTF-8"
        ) from error
    if not text.strip():
        allowed = "a header line and at least one row" if path.suffix.lower() == ".csv" else "a file with its content"
        raise file_fault(path, "the file is empty", allowed, "fill it or restore it")
    return text, marked


def csv_grid(path: Path) -> Grid:
    """Return the cells of a CSV file: commas between them, or semicolons throughout, with or without a byte-order mark.

    Raises DataFileError for a file that :func:`read_text` refuses, of more than 20 000 lines, with tabs between its
    columns, or with both commas and semicolons.
    """
    text, marked = _read_marked(path)
    if (lines := len(text.splitlines())) > MAX_ROWS:
        raise file_fault(path, f"the file has {lines} lines", f"at most {MAX_ROWS}", "check that it is the right file")
    first = text.splitlines()[0]
    signs = [sign for sign in ",;\t" if sign in first]
    if signs == ["\t"] or len(signs) > 1:
        words = {",": "commas", ";": "semicolons", "\t": "tabs"}
        raise file_fault(
            path,
            f"the header has {' and '.join(words[sign] for sign in signs)} between its columns",
            "commas and decimal points, or semicolons in the whole file",
            "save it again as CSV, with one sign between the columns",
            row=1,
        )
    semicolons = signs == [";"]
    reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=";" if semicolons else ",")
    rows: list[tuple[int, tuple[str, ...]]] = []
    header: tuple[str, ...] = ()
    fault = None
    try:
        header = tuple(next(reader))
        rows.extend((reader.line_num, tuple(cells)) for cells in reader)
    except csv.Error as error:
        place = Place(path.name, reader.line_num)
        fault = BenchError(f"the CSV is broken ({error})", "quoted CSV", "check quotes", place)
        if not header:
            raise DataFileError((fault,)) from None
    how = ("a byte-order mark passed over",) if marked else ()
    return Grid(path.name, header, tuple(rows), how, semicolons, fault)


def read_rows(path: Path, model: type[RowT], *, may_be_empty: bool = False) -> list[tuple[int, RowT]]:
    """Read a CSV file and return its rows with their numbers, as a person counts them (the header is row 1).

    may_be_empty: whether a header without rows is allowed.
    Raises DataFileError holding every fault of the file: its encoding, its header, and each bad cell. A file of more
    than 20 000 lines is refused before its rows are checked.
    """
    return list(checked(csv_grid(path), model, may_be_empty=may_be_empty).rows)
