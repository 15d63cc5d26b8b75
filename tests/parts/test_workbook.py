"""A workbook is the same tables as its CSV files; what it may hide (macros, dates, bombs) is refused in words.

The workbooks are written by openpyxl, the hostile ones by hand as the XML that they are made of (ECMA-376).
"""

import csv
import subprocess
import sys
import time
import zipfile
from datetime import date, datetime, timedelta

import openpyxl
import pytest

from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.csvfile import MAX_FILE_BYTES
from trimkit.parts.errors import DataFileError
from trimkit.parts.rows import FILES, TABLES
from trimkit.parts.sources import Standing
from trimkit.parts.workbook import LONGEST_MARK_BYTES, MAX_MARKS, read_workbook

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
HEAD = "<row r='1'><c r='A1' t='inlineStr'><is><t>head</t></is></c></row>"
BOMB = """
import resource, sys
from pathlib import Path
import openpyxl
from trimkit.parts.errors import DataFileError
from trimkit.parts.workbook import read_workbook
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
try:
    read_workbook(Path(sys.argv[1]))
except DataFileError as error:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)
    print(error)
"""


def number(text):
    try:
        return float(text)
    except ValueError:
        return text or None


@pytest.fixture
def book():
    """The shipped tables as a workbook, a sheet a table."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name in TABLES:
        sheet = made.create_sheet(name.removesuffix(".csv"))
        with (data_folder() / name).open(encoding="utf-8", newline="") as file:
            for row in csv.reader(file):
                sheet.append([number(cell) for cell in row])
    return made


@pytest.fixture
def path(tmp_path):
    return tmp_path / "parts.xlsx"


@pytest.fixture
def load(book, path):
    def saved(**how):
        book.save(path)
        return load_catalogue(path, **how)

    return saved


@pytest.fixture
def refused(load):
    def faults():
        with pytest.raises(DataFileError) as caught:
            load()
        return caught.value.faults

    return faults


def without_sources(parts):
    return [{k: v for k, v in vars(part).items() if k != "source"} for part in parts]


def test_a_workbook_is_the_same_parts_as_its_csv_files(load):
    ours, shipped = load(), load_catalogue()
    for name in ("heads", "shafts", "grips"):
        mine, theirs = getattr(ours, name), getattr(shipped, name)
        assert list(mine) == list(theirs)
        assert without_sources(mine.values()) == without_sources(theirs.values())
    for name in ("schedule_rows", "ladder_rungs", "raw_lengths"):
        assert without_sources(getattr(ours, name)) == without_sources(getattr(shipped, name))
    head = next(iter(ours.heads.values()))
    assert str(head.source) == f"parts.xlsx, sheet heads, row 2 ({Standing.OWN_DATA.value})"
    assert ours.how_read == (f"parts.xlsx: sheets {', '.join(name.removesuffix('.csv') for name in TABLES)}",)


def test_own_parts_may_be_a_workbook_with_some_of_the_tables(path):
    own = openpyxl.Workbook()
    own.active.title = "Heads"
    own.active.append(list(TABLES["heads.csv"].model_fields))
    own.active.append(["shop 7", "Iron", "7i", "9.65 oz", 0.37, "1¼", "25.4 mm", 0.35, 2500])
    own.save(path)
    parts = load_catalogue(own_folder=path)
    assert set(parts.heads) == {*load_catalogue().heads, "shop 7"}
    head = parts.heads["shop 7"]
    assert (head.club, head.bore_depth_in, head.bbgl_in) == ("7-iron", 1.25, pytest.approx(1.0))
    own.active["A2"] = next(iter(load_catalogue().heads))
    own.save(path)
    with pytest.raises(DataFileError, match=r"parts.xlsx, sheet Heads, row 2: .* is in data/heads.csv as well"):
        load_catalogue(own_folder=path)


def test_what_people_add_to_a_workbook_is_passed_over_and_said(book, load):
    book.create_sheet("Notes")["C7"] = date(2026, 1, 2)
    book.create_sheet("Sheet9")
    sheet = book["heads"]
    sheet["K1"], sheet["K2"] = "Remarks", datetime(2026, 1, 2)
    sheet["A2"].fill = openpyxl.styles.PatternFill("solid", fgColor="FF0000")
    sheet["A1048576"].fill = openpyxl.styles.PatternFill("solid", fgColor="FF0000")
    book["grips"].sheet_state = "hidden"
    read = load()
    assert read.heads.keys() == load_catalogue().heads.keys()
    assert "passed over: Notes, Sheet9" in read.how_read[0]
    assert "parts.xlsx, sheet heads: the column 'Remarks' taken as notes; 1 empty column left out" in read.how_read
    assert "parts.xlsx, sheet grips: a hidden sheet" in read.how_read


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (date(2026, 1, 2), "the cell is a date or a time (2026-01-02"),
        (timedelta(hours=1), "the cell is a date or a time"),
        ("=1/2", "a formula without a stored result"),
        (True, "the cell is TRUE"),
        ("#REF!", "the cell shows #REF!"),
        ("1,25", "'1,25' has a comma"),
        ("01-Feb", "'01-Feb' is a date"),
        (1e9, "1000000000"),
        (-1, "-1"),
        ("37 g", "'37 g' has the unit 'g'"),
        (None, "the cell is empty"),
    ],
)
def test_a_cell_that_is_no_length_is_told_with_its_place(book, refused, value, sentence):
    book["heads"]["F3"] = value
    (fault,) = refused()
    assert str(fault.place) == "parts.xlsx, sheet heads, row 3, column bore_depth_in"
    assert sentence in str(fault)
    assert "Unreadable" not in str(fault)


def test_a_name_that_is_a_number_is_a_name(book, load):
    book["heads"]["A2"], book["heads"]["A3"] = 7, 7.5
    assert list(load().heads)[:2] == ["7", "7.5"]


@pytest.mark.parametrize(("value", "told"), [("=1+1", "a formula without"), (date(2026, 1, 2), "a date")])
def test_a_column_whose_name_cannot_be_read_is_told(book, refused, value, told):
    book["heads"]["C1"] = value
    fault = refused()[0]
    assert (str(fault.place), fault.allowed) == ("parts.xlsx, sheet heads, row 1", "names of columns")
    assert told in fault.given


def test_a_formula_counts_by_the_result_stored_with_it(book, load, path):
    book["heads"]["F3"] = "=1+1/4"
    book.save(path)
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    place = next(name for name, part in parts.items() if b"<f>1+1/4</f>" in part)
    for result in (b"<v></v>", b"<v />", b"<v/>"):
        parts[place] = parts[place].replace(b"<f>1+1/4</f>" + result, b"<f>1+1/4</f><v>1.5</v>")
    with zipfile.ZipFile(path, "w") as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    parts = load_catalogue(path)
    assert list(parts.heads.values())[1].bore_depth_in == 1.5  # the stored result, not what 1+1/4 would give
    assert any("a formula by its stored result" in line for line in parts.how_read)


def test_a_sheet_of_no_table_and_two_of_one_are_told(book, refused):
    book.create_sheet("gripps")["A1"] = "x"
    book.create_sheet("HEADS.csv")["A1"] = "x"
    unknown, twice = refused()
    assert unknown.allowed == f"the nearest of {len(FILES)}: grips"
    assert "two sheets for this table" in twice.given
    assert str(twice.place) == "parts.xlsx, sheet HEADS.csv"


def test_a_missing_sheet_is_named(book, refused):
    del book["grips"]
    assert "there is no sheet 'grips'" in str(refused()[0])


@pytest.mark.parametrize("place", ["A20001", "CW2"])
def test_a_value_far_from_the_table_is_told(book, refused, place):
    book["heads"][place] = book["grips"][place] = 1
    first, second = refused()
    assert "of the sheet is filled" in first.given
    assert [str(fault.place).split()[-1] for fault in (first, second)] == ["heads", "grips"]


@pytest.mark.parametrize("ending", [".xlsm", ".XLSM", ".xls", ".xlsb", ".ods"])
def test_a_workbook_of_another_kind_is_refused_by_its_ending(tmp_path, ending):
    path = tmp_path / f"parts{ending}"
    path.write_bytes(b"anything")
    with pytest.raises(DataFileError, match=r"a workbook with macros|a workbook in|a spreadsheet of another form"):
        load_catalogue(path)


def test_a_file_of_another_ending_is_no_workbook(tmp_path):
    with pytest.raises(DataFileError, match="it is not a workbook"):
        read_workbook(tmp_path / "parts.txt")


# By hand


@pytest.fixture
def handmade(path):
    """Writes a workbook of one sheet, heads, from XML."""

    def made(sheet=HEAD, *, whole=None, styles="", strings="", more=(), packed=zipfile.ZIP_DEFLATED):
        overrides = {"workbook": "sheet.main", "worksheets/sheet1": "worksheet", "styles": "styles"}
        overrides["sharedStrings"] = "sharedStrings"
        types = "".join(
            f'<Override PartName="/xl/{name}.xml" ContentType="{TYPE}.{kind}+xml"/>' for name, kind in overrides.items()
        )
        rels = '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        sheets = '<sheets><sheet name="heads" sheetId="1" r:id="r1"/></sheets>'
        with zipfile.ZipFile(path, "w", packed) as archive:
            archive.writestr("[Content_Types].xml", f'<Types xmlns="{PACKAGE}/content-types">{rels}{types}</Types>')
            archive.writestr("xl/workbook.xml", f'<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}">{sheets}</workbook>')
            archive.writestr(
                "xl/_rels/workbook.xml.rels",
                f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="r1" Type="{OFFICE}/worksheet" '
                'Target="worksheets/sheet1.xml"/></Relationships>',
            )
            data = f'<worksheet xmlns="{MAIN}"><sheetData>{sheet}</sheetData></worksheet>'
            archive.writestr("xl/worksheets/sheet1.xml", whole if whole is not None else data)
            archive.writestr("xl/styles.xml", f'<styleSheet xmlns="{MAIN}">{styles}</styleSheet>')
            archive.writestr("xl/sharedStrings.xml", f'<sst xmlns="{MAIN}">{strings}</sst>')
            for name, content in more:
                archive.writestr(name, content)
        return path

    return made


def test_the_workbook_made_by_hand_is_one(handmade):
    assert read_workbook(handmade()).tables["heads.csv"].header == ("head",)


def test_rows_and_cells_without_a_place_follow_one_another(handmade):
    """ECMA-376: the place of a row or a cell may be left out; it is then the next one."""
    text = "<c t='inlineStr'><is><t>{}</t></is></c>".format
    rows = f"<row>{text('head')}{text('kind')}</row><row><c r='B2'><v>2</v></c><c><v>3</v></c></row>"
    grid = read_workbook(handmade(rows)).tables["heads.csv"]
    assert grid.header == ("head", "kind", "")
    assert grid.rows == ((2, ("", 2, 3)),)


def test_a_workbook_with_a_password_on_its_parts_is_told(handmade, path):
    handmade()
    raw = bytearray(path.read_bytes())
    raw[raw.index(b"PK\x01\x02") + 8] |= 1  # the first bit of a part's flags in the archive's directory: encrypted
    path.write_bytes(raw)
    with pytest.raises(DataFileError, match="the workbook has a password") as caught:
        read_workbook(path)
    assert caught.value.faults[0].next_step == "take the password off"


ENTITIES = "".join(f'<!ENTITY e{n + 1} "{f"&e{n};" * 10}">' for n in range(9))
LAUGHS = (
    f'<!DOCTYPE x [<!ENTITY e0 "lol">{ENTITIES}]><worksheet xmlns="{MAIN}"><sheetData><row r="1"><c r="A1" '
    't="inlineStr"><is><t>&e9;</t></is></c></row></sheetData></worksheet>'
)
FETCH = LAUGHS.replace('"lol"', 'SYSTEM "file:///etc/passwd"').replace("&e9;", "&e0;")


@pytest.mark.parametrize("whole", [LAUGHS, FETCH, LAUGHS.encode("utf-16"), FETCH.encode("utf-16-be")])
def test_entities_are_refused_before_anything_reads_them(handmade, whole):
    start = time.perf_counter()
    with pytest.raises(DataFileError, match="has a document type"):
        read_workbook(handmade(whole=whole))
    assert time.perf_counter() - start < 5


@pytest.mark.skipif(sys.platform != "linux", reason="ru_maxrss counts kB on Linux only")
@pytest.mark.parametrize("packed", [zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_bomb_is_refused_without_being_unpacked(handmade, packed):
    path = handmade(more=[("xl/media/picture.png", b"0" * 110_000_000)], packed=packed)
    done = subprocess.run([sys.executable, "-c", BOMB, str(path)], capture_output=True, text=True, check=True)
    grown_kb, said = done.stdout.split("\n", 1)
    assert "110 MB when unpacked" in said
    assert int(grown_kb) < 20_000


def test_a_part_that_says_it_is_small_is_not_unpacked_further(handmade, path):
    handmade(more=[("xl/media/picture.png", b"0" * 50_000_000)])
    true, said = (50_000_000).to_bytes(4, "little"), (50).to_bytes(4, "little")
    path.write_bytes(path.read_bytes().replace(true, said))
    with pytest.raises(DataFileError, match="not a whole workbook"):
        read_workbook(path)


@pytest.mark.parametrize("packed", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_packing_that_no_spreadsheet_uses_is_refused(handmade, packed):
    with pytest.raises(DataFileError, match="packed in an unusual way"):
        read_workbook(handmade(packed=packed))


@pytest.mark.parametrize(
    ("parts", "sentence"),
    [
        ({"sheet": "<row/>" * (MAX_MARKS + 1)}, "more than 30000 cells or formats"),
        ({"styles": "<cellXfs>" + "<xf/>" * (MAX_MARKS + 1) + "</cellXfs>"}, "more than 30000 cells or formats"),
        ({"strings": "<si><t>a</t></si>" * MAX_MARKS}, "more than 30000 cells or formats"),
        ({"sheet": f"{HEAD}<x y='{'z' * LONGEST_MARK_BYTES}'/>"}, "bytes without a mark"),
        ({"more": [(f"xl/{n}.xml", "<x/>") for n in range(600)]}, "606 parts"),
        ({"more": [("xl/vbaProject.bin", "x")]}, "a workbook with macros"),
        ({"more": [("XL/styles.xml", "<x/>")]}, "a part is twice"),
        ({"sheet": "<row r='5'><c r='A5'><v>1</v></c></row><row r='2'><c r='A2'><v>1</v></c></row>"}, "is broken"),
        ({"sheet": "<row r='1'><c r='B1'><v>1</v></c><c r='A1'><v>2</v></c></row>"}, "is broken"),
        ({"sheet": "<row r='1'><c r='A7'><v>1</v></c></row>"}, "is broken"),
        ({"sheet": "<row r='1'><c r='A1' t='s'><v>99</v></c></row>"}, "is broken"),
        ({"sheet": f"<row r='{'9' * 5000}'/>"}, "is broken"),
        ({"sheet": "<row>" * 30_000 + "</row>" * 30_000}, "is broken|more than"),
        ({"sheet": "<row r='1'><c r='A1'><v>1</v></c>"}, "is broken"),
        ({"sheet": ""}, "no table in the workbook"),
    ],
)
def test_a_workbook_made_to_keep_the_reader_busy_or_to_mislead_it_is_refused(handmade, parts, sentence):
    start = time.perf_counter()
    with pytest.raises(DataFileError, match=sentence):
        read_workbook(handmade(**parts))
    assert time.perf_counter() - start < 30


def test_one_long_formula_shared_by_many_cells_is_not_worked_out(handmade):
    first = f"<row r='1'><c r='A1'><f t='shared' si='0' ref='A1:A99'>{'A1+' * 30_000}1</f><v>1</v></c></row>"
    more = "".join(f"<row r='{n}'><c r='A{n}'><f t='shared' si='0'/><v>1</v></c></row>" for n in range(2, 10_000))
    start = time.perf_counter()
    grid = read_workbook(handmade(first + more)).tables["heads.csv"]
    assert len(grid.rows) == 9_998
    assert time.perf_counter() - start < 60


def test_a_workbook_larger_than_any_file_may_be_is_refused_unread(path):
    with path.open("wb") as file:
        file.truncate(200_000_000)
    with pytest.raises(DataFileError, match=f"200 MB. Allowed: at most {MAX_FILE_BYTES // 10**6} MB"):
        read_workbook(path)


@pytest.mark.parametrize("content", [b"", b"PK", b"PK\x03\x04" + b"x" * 100, b"heads,kind\n"])
def test_what_is_no_archive_is_told(path, content):
    path.write_bytes(content)
    with pytest.raises(DataFileError, match="not a whole workbook"):
        read_workbook(path)


def test_an_external_link_is_not_followed(book, path):
    """The workbook that it leads to is described by a part that is spoiled: whoever follows the link fails."""
    book.save(path)
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name).decode() for name in archive.namelist()}
    link = f'<Relationship Id="other" Type="{OFFICE}/externalLink" Target="externalLinks/externalLink1.xml"/>'
    rels, main = "xl/_rels/workbook.xml.rels", "xl/workbook.xml"
    parts[rels] = parts[rels].replace("</Relationships>", f"{link}</Relationships>")
    reference = f'<externalReferences><externalReference xmlns:r="{OFFICE}" r:id="other"/></externalReferences>'
    parts[main] = parts[main].replace("</sheets>", f"</sheets>{reference}")
    parts["xl/externalLinks/externalLink1.xml"] = "spoiled"
    with zipfile.ZipFile(path, "w") as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    with pytest.raises(Exception, match=r"syntax error|Start tag expected|not well-formed"):
        openpyxl.load_workbook(path, read_only=True, keep_links=True)
    assert load_catalogue(path).heads.keys() == load_catalogue().heads.keys()
