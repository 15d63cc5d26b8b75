"""Read the tables of a workbook (.xlsx): a sheet a table, its cells as values, nothing in it run or fetched.

A workbook is a zip archive of XML. openpyxl reads it, from bytes that were bounded here before: unpacked size, number
of parts, places of cells, and no document type, so that no entity is defined in it. Formulas count by the result
that was stored with them; external links are not followed; macros are refused with their file.
"""

from __future__ import annotations

import contextlib
import io
import itertools
import warnings
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any

from trimkit.parts.csvfile import MAX_ROWS, csv_grid, file_fault, read_bytes
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.faults import names_offered
from trimkit.parts.grid import MAX_COLUMNS, NOTES, Grid, Unreadable
from trimkit.parts.rows import FILES
from trimkit.parts.units import MADE_A_DATE

ENDING = ".xlsx"
MAX_UNPACKED_BYTES = 20_000_000
"""Most bytes in a workbook when unpacked: a shop's tables take a hundredth of it; chosen here."""
MAX_MARKS = 120_000
"""Most angle brackets in its XML, some four for each cell: time and memory go with them more than with the bytes, and
a thousand rows of ten cells take 40 000; chosen here."""
LONGEST_MARK_BYTES = 100_000
"""Most bytes from one angle bracket to the next: an older parser takes a time that grows with their square."""
MAX_PARTS = 500
"""Most files in the archive: several for each sheet, and few enough to be listed at once; chosen here."""

_DOCUMENT_TYPE = tuple("<!DOCTYPE".encode(code) for code in ("ascii", "utf-16-le", "utf-16-be"))
"""What XML begins a document type with, in every encoding that the parser takes it in."""
_AGAIN = "save the tables again as a workbook (.xlsx), without pictures and links, or as CSV files"
_REFUSED = {
    ".xlsm": "it is a workbook with macros, which are programs",
    ".xltm": "it is a workbook with macros, which are programs",
    ".xls": "it is a workbook in the old binary form",
    ".xlsb": "it is a workbook in binary form",
    ".ods": "it is a spreadsheet of another form",
}
_ERRORS = frozenset({"#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A", "#GETTING_DATA"})
_SHEETS = tuple(table.removesuffix(".csv") for table in FILES)
_RESULTLESS = Unreadable(
    "the cell holds a formula without a stored result",
    "a value, or a formula that was computed",
    "open the workbook in a spreadsheet and save it, or type the value",
)


@dataclass(frozen=True)
class Workbook:
    """The tables of a workbook by the names of their CSV files; how_read: in words, its sheets."""

    tables: dict[str, Grid]
    how_read: str


def is_workbook(path: Path) -> bool:
    """Return whether a path has the ending of a workbook, also of one that is refused (with macros, or older)."""
    return path.suffix.lower() in (ENDING, *_REFUSED)


class TableFiles:
    """The tables of a folder of CSV files, or of a workbook; raises DataFileError for a workbook that is refused.

    before: what faults and sources say before the name of a CSV file.
    """

    def __init__(self, path: Path, before: str = "") -> None:
        self.path, self.before = path, before
        self.workbook = read_workbook(path) if is_workbook(path) else None

    def has(self, name: str) -> bool:
        """Whether a table, by the name of its CSV file, is there."""
        return (self.path / name).exists() if self.workbook is None else name in self.workbook.tables

    def label(self, name: str) -> str:
        """Return what faults and sources call a table."""
        if self.workbook is None:
            return self.before + name
        return self.workbook.tables[name].file if self.has(name) else self.path.name

    def grid(self, name: str) -> Grid:
        """Return a table's cells; raises DataFileError if it cannot be read or is not there."""
        if self.workbook is None:
            return csv_grid(self.path / name)
        if not self.has(name):
            sheet = name.removesuffix(".csv")
            raise file_fault(self.path, f"there is no sheet {sheet!r}", "a sheet for each table", f"add {sheet}")
        return self.workbook.tables[name]


def read_workbook(path: Path) -> Workbook:
    """Return the tables of a workbook: the sheet ``heads`` is what ``heads.csv`` is in a folder.

    A sheet of notes and an empty sheet are passed over. Raises DataFileError for a file that is no .xlsx, that is too
    large packed or unpacked, has macros, a password or a document type in its XML; and holding a fault for each sheet
    that is no table, appears twice, or has cells too far out.
    """
    if path.suffix.lower() != ENDING:
        why = _REFUSED.get(path.suffix.lower(), "it is not a workbook")
        raise file_fault(path, why, "a workbook without macros (.xlsx), or CSV files", _AGAIN)
    raw = read_bytes(path)
    _check_archive(path, raw)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what openpyxl leaves out (pictures, validation) is in no table
        try:
            return _sheets(path, raw)
        except DataFileError:
            raise
        except Exception as error:  # openpyxl meets a spoiled workbook with whatever error its reading leads to
            raise file_fault(path, f"the workbook is broken ({type(error).__name__})", "a workbook", _AGAIN) from error


def _check_archive(path: Path, raw: bytes) -> None:
    """Refuse an archive before anything in it is read as XML.

    The stated sizes are limits: of a stored or deflated part, zipfile unpacks no more than is stated for it.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            parts = archive.infolist()
            size = sum(part.file_size for part in parts)
            names = [part.filename.casefold() for part in parts]
            if len(parts) > MAX_PARTS or size > MAX_UNPACKED_BYTES:
                given = f"the workbook has {len(parts)} parts and {size / 1e6:.0f} MB when unpacked"
                allowed = f"at most {MAX_PARTS} parts and {MAX_UNPACKED_BYTES // 10**6} MB"
                raise file_fault(path, given, allowed, _AGAIN)
            if len(set(names)) < len(names):
                raise file_fault(path, "a part is twice in the workbook", "each part once", _AGAIN)
            if any(part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED) for part in parts):
                raise file_fault(path, "the workbook is packed in an unusual way", "a workbook (.xlsx)", _AGAIN)
            if any(part.flag_bits & 1 for part in parts):
                raise file_fault(path, "the workbook has a password", "one without", "take the password off")
            if any("vbaproject" in name or "macrosheet" in name for name in names):
                raise file_fault(path, _REFUSED[".xlsm"], "a workbook without macros (.xlsx)", _AGAIN)
            marks = 0
            for part in parts:
                content = archive.read(part)
                pieces = content.split(b"<", MAX_MARKS - marks + 1)
                marks += len(pieces) - 1
                if marks > MAX_MARKS:
                    given = f"the workbook has more than {MAX_MARKS // 4} cells or formats"
                    raise file_fault(path, given, "the tables alone", _AGAIN)
                if max(map(len, pieces)) > LONGEST_MARK_BYTES:
                    given = f"{part.filename!r} in the workbook has {LONGEST_MARK_BYTES} bytes without a mark"
                    raise file_fault(path, given, "a workbook as a spreadsheet saves it", _AGAIN)
                if any(mark in content for mark in _DOCUMENT_TYPE):
                    given = f"{part.filename!r} in the workbook has a document type, which could define anything"
                    raise file_fault(path, given, "a workbook as a spreadsheet saves it", _AGAIN)
    except DataFileError:
        raise
    except Exception as error:  # zipfile and zlib raise a dozen kinds for a spoiled archive
        given = f"it is not a whole workbook ({type(error).__name__})"
        raise file_fault(path, given, "a workbook (.xlsx)", "copy it again, or save it again") from error


def _sheets(path: Path, raw: bytes) -> Workbook:
    import openpyxl

    tables: dict[str, Grid] = {}
    passed_over: list[str] = []
    faults: list[BenchError] = []
    book = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=True, keep_links=False)
    with contextlib.closing(book):
        for sheet in book.worksheets:
            place = Place(f"{path.name}, sheet {sheet.title}")
            words = sheet.title.casefold().removesuffix(".csv").replace("_", " ").replace("-", " ").split()
            name = "_".join(words) + ".csv"
            try:
                grid = None if words and words[0] in NOTES else _grid(str(place), sheet, raw)
            except DataFileError as error:
                faults += error.faults
                continue
            if grid is None:
                passed_over.append(sheet.title)
            elif name in tables:
                faults.append(BenchError("there are two sheets for this table", "one each", "remove one", place))
            elif name not in FILES:
                given, step = "no table has the name of this sheet", "rename it after what it holds, or call it notes"
                faults.append(BenchError(given, names_offered(sheet.title, _SHEETS), step, place))
            else:
                tables[name] = grid
    if faults:
        raise DataFileError(tuple(faults))
    if not tables:
        given, step = "there is no table in the workbook", "name a sheet after what it holds"
        raise file_fault(path, given, f"sheets called {', '.join(_SHEETS)}", step)
    how = f"sheets {', '.join(name.removesuffix('.csv') for name in tables)}"
    return Workbook(tables, how + (f"; passed over: {', '.join(passed_over)}" if passed_over else ""))


def _grid(file: str, sheet: Any, raw: bytes) -> Grid | None:
    """Return the cells of a sheet; None if there is none."""
    formulas: dict[tuple[int, int], bool] = {}
    last_row = last_column = 0
    for row, column, is_formula, has_result in _filled(raw, sheet._worksheet_path):
        if row > MAX_ROWS or column > MAX_COLUMNS:
            given = f"row {row}, column {column} of the sheet is filled"
            allowed = f"at most {MAX_ROWS} rows and {MAX_COLUMNS} columns"
            fault = BenchError(given, allowed, "remove what lies beyond the table", Place(file))
            raise DataFileError((fault,))
        last_row, last_column = max(last_row, row), max(last_column, column)
        if is_formula:
            formulas[row, column] = has_result
    if not last_row:
        return None
    rows = []
    values = sheet.iter_rows(min_row=1, max_row=last_row, min_col=1, max_col=last_column, values_only=True)
    # No further than the last row: what comes after it in the file (validation, links) is in no table.
    for number, cells in enumerate(itertools.islice(values, last_row), start=1):
        read = (_cell(value, formulas.get((number, column))) for column, value in enumerate(cells, start=1))
        rows.append((number, tuple(read)))
    computed = sum(formulas.values())
    how = (f"{computed} formulas by their stored results",) if computed > 1 else ("a formula by its stored result",)
    header = tuple("" if name is None else str(name) for name in rows[0][1])
    wrong = [name for name in rows[0][1] if isinstance(name, Unreadable)]
    if wrong:
        fault = BenchError(wrong[0].given, "names of columns", "write the names of the columns", Place(file, 1))
        raise DataFileError((fault,))
    hidden = () if sheet.sheet_state == "visible" else ("a hidden sheet",)
    return Grid(file, header, tuple(rows[1:]), (*hidden, *(how if computed else ())))


def _filled(raw: bytes, part: str) -> Iterator[tuple[int, int, bool, bool]]:
    """Yield row and column of every filled cell of a sheet, whether it is a formula, and whether it has a value.

    Raises ValueError for cells out of their order, some of which openpyxl would pass over in silence.
    """
    from openpyxl.utils.cell import coordinate_to_tuple
    from openpyxl.xml.constants import SHEET_MAIN_NS
    from openpyxl.xml.functions import iterparse

    tag = {name: f"{{{SHEET_MAIN_NS}}}{name}" for name in ("row", "c", "f", "v", "is")}
    row = column = 0
    with zipfile.ZipFile(io.BytesIO(raw)) as archive, archive.open(part) as source:
        for _, element in iterparse(source):
            if element.tag != tag["row"]:
                continue
            last, row, column = row, int(element.get("r", row + 1)), 0
            for cell in element:
                at = coordinate_to_tuple(cell.get("r")) if cell.get("r") else (row, column + 1)
                if cell.tag != tag["c"] or row <= last or at[0] != row or at[1] <= column:
                    raise ValueError("cells out of order")
                column = at[1]
                is_formula = cell.find(tag["f"]) is not None
                has_value = bool(cell.findtext(tag["v"])) or cell.find(tag["is"]) is not None
                if is_formula or has_value:
                    yield row, column, is_formula, has_value
            element.clear()


def _cell(value: Any, result_stored: bool | None) -> Any:
    """Return what a cell of a table may be: text, a number, nothing, or why it cannot be read.

    result_stored: of a formula; None for a cell that is none.
    """
    if result_stored is False:
        return _RESULTLESS
    if isinstance(value, date | time | timedelta):
        return Unreadable(f"the cell is a date or a time ({value})", "a number or text", MADE_A_DATE)
    if isinstance(value, bool):
        return Unreadable(f"the cell is {str(value).upper()}", "a number or text", "write the value")
    if isinstance(value, str) and value in _ERRORS:
        return Unreadable(f"the cell shows {value}", "a number or text", "correct its formula")
    return "" if value is None else value
