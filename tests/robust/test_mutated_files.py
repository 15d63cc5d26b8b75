"""Spoiled tables, orders, records: refused in sentences or read as what stands there. No NaN comes to a cut list."""

import csv
import io
import json
import math
import tempfile
import tomllib
import zipfile
from datetime import UTC, date, datetime
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from trimkit.cli import main
from trimkit.club.order.file import order_tables, order_toml
from trimkit.club.order.order import load_order, order_from_tables, shipped_order
from trimkit.club.order.tables import AssemblyTable, ClubTable, LengthTable
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record, reopened
from trimkit.papers.record.file import read_record, record_text
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.csvfile import read_rows
from trimkit.parts.errors import BenchError
from trimkit.parts.grid import checked
from trimkit.parts.rows import TABLES
from trimkit.parts.workbook import read_workbook

SIZE = settings.get_profile("nightly" if settings.default is settings.get_profile("nightly") else "small")
HALF = settings(SIZE, max_examples=SIZE.max_examples // 2)
NAMES = ("evening_class", "taper_soft_step", "wood_pair")

NASTY = st.sampled_from(
    [
        *("", " ", "nan", "NaN", "-inf", "1e999", "1e308", "-1", "0", "-0.0", "37,5", "0x10", "1_0", "٣٧", "37 1/2"),
        *("1/0", "9" * 400, "95.25 cm", "9.4 oz", "37 in", '37"', "=1+1", "R/S 0.5", "X", "true"),
        *("\0", "\x1b[2J", "\u202e", "\ufeff37"),
    ]
)
NUMBERS = st.one_of(st.floats(), st.floats(-60, 400), st.integers(-400, 400))
CELL = st.one_of(NASTY, NUMBERS.map(str), st.text(max_size=12))
ANY = st.one_of(NASTY, NUMBERS, st.none(), st.booleans(), st.text(max_size=12), st.lists(NUMBERS, max_size=2))
ANY_KEY = st.one_of(st.text(max_size=8), st.sampled_from(["head", "bbgl_in", "bbgl_mm", "colour", "club", "length"]))


def another(value):
    """Something else in the place of a value: near it, so that it may pass, or anything."""
    if isinstance(value, float):
        return st.one_of(st.floats(0.8, 1.25).map(lambda part: value * part), st.just(value), ANY)
    return ANY


@st.composite
def spoiled_bytes(draw, raw):
    """The bytes with a few of them changed, put in, taken out, or with the end cut off."""
    raw = bytearray(raw)
    for _ in range(draw(st.integers(1, 2))):
        at = draw(st.integers(0, max(len(raw) - 1, 0)))
        how = draw(st.sampled_from(["change", "put in", "take out", "cut off", "twice"]))
        if how == "change" and raw:
            raw[at] = draw(st.one_of(st.integers(0, 255), st.sampled_from(b',;"\n\r\t.-0eE= \0')))
        elif how == "put in":
            raw[at:at] = draw(
                st.one_of(st.binary(max_size=4), st.text(max_size=3).map(lambda t: t.encode("utf-8", "replace")))
            )
        elif how == "take out":
            del raw[at : at + draw(st.integers(1, 20))]
        elif how == "cut off":
            del raw[at:]
        else:
            raw[at:at] = raw[at : at + draw(st.integers(1, 80))]
    return bytes(raw)


@st.composite
def spoiled_value(draw, document):
    """A document of names and values with a few values changed, taken out, added or doubled, however deep."""
    document = json.loads(json.dumps(document))
    for _ in range(draw(st.integers(1, 2))):
        part = document
        while isinstance(part, dict | list) and part:
            key = draw(st.sampled_from(sorted(part) if isinstance(part, dict) else range(len(part))))
            if not isinstance(part[key], dict | list) or not part[key] or draw(st.integers(0, 5)) == 0:
                break
            part = part[key]
        else:
            continue
        how = draw(st.sampled_from(["change", "change", "change", "take out", "add", "twice"]))
        if how == "take out":
            del part[key]
        elif how == "add" and isinstance(part, dict):
            part[draw(ANY_KEY)] = draw(ANY)
        elif how == "twice" and isinstance(part, list):
            part.append(part[key])
        else:
            part[key] = draw(another(part[key]))
    return document


def assert_cuts_are_numbers_that_add_up(order):
    """Every club that is planned has finite cuts that add up to its raw length, and finite predictions."""
    try:
        built = build_set(order)
    except BenchError as refusal:
        str(refusal)
        return
    for club in built.clubs:
        plan = club.plan
        cuts = (plan.raw_length_in, plan.extension_in, plan.tip_trim_in, plan.cut_length_in, plan.butt_trim_in)
        assert all(map(math.isfinite, (*cuts, plan.playing_length_in)))
        raw, extension, tip, cut, butt = cuts
        assert raw + extension == pytest.approx(tip + cut + butt, abs=1e-9)
        assert min(tip, butt, extension) >= 0 < cut
        if club.predicted is None:
            assert club.no_prediction
        else:
            predicted = (club.frequency_cpm, club.total_mass_g, club.balance_point_in, club.moi_kg_cm2)
            assert all(math.isfinite(value) and value > 0 for value in predicted)
        assert not any(math.isnan(step.inches) for step in plan.steps)


# Tables

HERE = data_folder()


def rows_like(name, shaft, other, **cells):
    """The rows of one shaft in a table, written again for another shaft with some of their cells changed."""
    header, *rows = csv.reader(io.StringIO((HERE / name).read_text()))
    return [
        [cells.get(title, other if cell == shaft else cell) for title, cell in zip(header, row, strict=True)]
        for row in rows
        if row[0] == shaft
    ]


PARALLEL, TAPER, WOOD = (
    order["shaft"]
    for order in (
        tomllib.loads((HERE / "orders" / f"{name}.toml").read_text())
        for name in ("evening_class", "taper_soft_step", "wood_pair")
    )
)
NOBODY_KNOWS = {
    "heads.csv": rows_like("heads.csv", "class 7-iron", "bare 7-iron", bbgl_in="")
    + rows_like("heads.csv", "taper-bore 8-iron", "bare taper 8-iron", bbgl_in=""),
    "shafts.csv": rows_like("shafts.csv", PARALLEL, "no walls", most_tip_trim_in="7")
    + rows_like("shafts.csv", TAPER, "taper, no steps")
    + rows_like("shafts.csv", WOOD, "no stations", most_tip_trim_in=""),
    "shaft_sections.csv": rows_like("shaft_sections.csv", PARALLEL, "no walls", wall_in=""),
    "schedules.csv": rows_like("schedules.csv", PARALLEL, "no walls") + rows_like("schedules.csv", WOOD, "no stations"),
    "taper_families.csv": rows_like("taper_families.csv", TAPER, "taper, no steps", bbgl_reference_in=""),
}
"""Rows of what a shop has before everything is measured: empty cells, and shafts that no other table describes."""


def with_rows(name):
    more = io.StringIO()
    csv.writer(more, lineterminator="\n").writerows(NOBODY_KNOWS.get(name, []))
    return (HERE / name).read_bytes() + more.getvalue().encode()


RAW = {name: with_rows(name) for name in TABLES}


@pytest.fixture(scope="session")
def folder(tmp_path_factory):
    """A data folder of our own, in which one file at a time is spoiled."""
    copy = tmp_path_factory.mktemp("data")
    for name, raw in RAW.items():
        (copy / name).write_bytes(raw)
    return copy


def planned_or_refused(parts, names, taken):
    """Read a folder or workbook of parts, and plan these orders if it is taken."""
    try:
        catalogue = load_catalogue(parts)
        orders = [order_from_tables(TABLES_OF[name], catalogue) for name in names]
    except BenchError as refusal:
        str(refusal)
        return
    taken()
    for order in orders:
        assert_cuts_are_numbers_that_add_up(order)


def through_the_folder(folder, name, raw, taken):
    """Read the whole folder with one spoiled file in it, and plan four orders if it is taken."""
    (folder / name).write_bytes(raw)
    try:
        assert main(["check", str(folder / name)]) in (0, 1)
        planned_or_refused(folder, (*NAMES, "nobody_knows"), taken)
    finally:
        (folder / name).write_bytes(RAW[name])


@pytest.mark.parametrize("name", TABLES)
@HALF
@given(st.data())
def test_a_table_with_spoiled_bytes(count, folder, name, data):
    taken = count("tables, bytes")
    through_the_folder(folder, name, data.draw(spoiled_bytes(RAW[name])), taken)


@pytest.mark.parametrize("name", TABLES)
@HALF
@given(st.data())
def test_a_table_with_a_spoiled_cell_is_refused_or_holds_that_cell(count, folder, name, data):
    taken = count("tables, cells")
    rows = list(csv.reader(io.StringIO(RAW[name].decode())))
    row, column = data.draw(st.integers(1, len(rows) - 1)), data.draw(st.integers(0, len(rows[0]) - 1))
    old = rows[row][column]
    near = st.floats(0.9, 1.1).map(lambda part: str(float(old) * part)) if old.replace(".", "", 1).isdigit() else CELL
    cell = rows[row][column] = data.draw(st.one_of(near, CELL))
    file = io.StringIO()
    csv.writer(file, lineterminator="\n").writerows(rows)
    raw = file.getvalue().encode("utf-8", "surrogatepass")
    (folder / name).write_bytes(raw)
    try:
        found = dict(read_rows(folder / name, TABLES[name]))
    except BenchError:
        found = {}
    if len(found) == len(rows) - 1:  # else a line end in the cell moved the numbers of the rows
        value = getattr(list(found.values())[row - 1], rows[0][column])
        if not isinstance(value, float):
            assert ("" if value is None else str(value).strip()) == cell.strip()
        elif cell.strip().lstrip("+-").replace(".", "", 1).isascii() and cell.strip().replace(".", "").isdigit():
            assert value == float(cell)
        else:
            assert math.isfinite(value)
    through_the_folder(folder, name, raw, taken)


@pytest.mark.parametrize("name", TABLES)
@HALF
@given(st.data())
def test_a_table_with_semicolons_and_commas_and_a_spoiled_cell_is_refused_or_holds_that_cell(count, folder, name, data):
    taken = count("tables, semicolons")
    header, *rows = csv.reader(io.StringIO(RAW[name].decode()))
    row, column = data.draw(st.integers(0, len(rows) - 1)), data.draw(st.integers(0, len(header) - 1))
    numbers = {n for n, title in enumerate(header) if TABLES[name].model_fields[title].annotation is not str}
    rows = [[cell.replace(".", ",") if n in numbers else cell for n, cell in enumerate(cells)] for cells in rows]
    more = st.sampled_from(
        ["1,250", "0,370", "12,5", "1.250", "1.250,5", "1,250,000", "1½", ";", '"', "37,5 in", "01-Feb"]
    )
    cell = rows[row][column] = data.draw(st.one_of(CELL, more, NUMBERS.map(lambda each: str(each).replace(".", ","))))
    file = io.StringIO()
    csv.writer(file, lineterminator="\n", delimiter=";").writerows([header, *rows])
    raw = file.getvalue().encode("utf-8", "surrogatepass")
    (folder / name).write_bytes(raw)
    try:
        found = [each for _, each in read_rows(folder / name, TABLES[name])]
    except BenchError:
        found = []
    if len(found) == len(rows) and isinstance(value := getattr(found[row], header[column]), float):
        plain = cell.strip().replace(",", ".")
        if plain.lstrip("+-").replace(".", "", 1).isascii() and plain.replace(".", "").isdigit():
            assert value == float(plain)
        assert math.isfinite(value)
        assert "1,250" not in cell
    through_the_folder(folder, name, raw, taken)


# Workbooks

CELL_OF_A_SHEET = st.one_of(
    CELL.filter(lambda text: not ILLEGAL_CHARACTERS_RE.search(text) and text.isprintable()),
    NUMBERS.filter(math.isfinite),
    st.sampled_from(["1½", "01-Feb", "1,250", "#REF!", "=1/2", "=SUM(A1:A9)", "#N/A"]),
    st.booleans(),
    st.dates(datetime(1950, 1, 1).date()),
    st.none(),
)


def a_workbook(name, spoiled=None):
    """The bytes of a workbook of one table; spoiled: (row, column, value) of one cell, the header being row 1."""
    book = openpyxl.Workbook()
    book.active.title = name.removesuffix(".csv")
    header, *rows = csv.reader(io.StringIO(RAW[name].decode()))
    book.active.append(header)
    for cells in rows:
        book.active.append([float(cell) if cell.replace(".", "", 1).isdigit() else cell for cell in cells])
    if spoiled is not None:
        row, column, value = spoiled
        book.active.cell(row, column).value = value
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()


def rows_of(path, name, raw):
    """The rows of a spoiled workbook by their numbers, none if it is refused; the shell says either in a sentence."""
    path.write_bytes(raw)
    assert main(["check", str(path)]) in (0, 1)
    try:
        found = dict(checked(read_workbook(path).tables[name], TABLES[name]).rows)
    except BenchError as refusal:
        str(refusal)
        return {}
    for row in found.values():
        assert all(math.isfinite(value) for _, value in row if isinstance(value, float))
    return found


@pytest.mark.parametrize("name", TABLES)
@HALF
@given(st.data())
def test_a_sheet_with_a_spoiled_cell_is_refused_or_holds_that_cell(count, folder, name, data):
    taken = count("workbooks, cells")
    rows = len(RAW[name].decode().splitlines())
    row, column = data.draw(st.integers(2, rows)), data.draw(st.integers(1, len(TABLES[name].model_fields)))
    cell = data.draw(CELL_OF_A_SHEET)
    found = rows_of(folder / "parts.xlsx", name, a_workbook(name, (row, column, cell)))
    if found:
        taken()
        value = list(found[row])[column - 1][1]
        assert not isinstance(cell, bool | date)
        if isinstance(cell, int | float) and isinstance(value, float):
            assert value == float(f"{cell:.16g}")  # the digits that the workbook is written with
        assert not (isinstance(cell, str) and cell[:1] in "=#" and len(cell) > 1)


@HALF
@given(st.data())
def test_a_workbook_with_spoiled_bytes(count, folder, data):
    taken = count("workbooks, bytes")
    if rows_of(folder / "parts.xlsx", "head_ladder.csv", data.draw(spoiled_bytes(LADDER_BOOK))):
        taken()


@SIZE
@given(st.data())
def test_a_workbook_with_a_spoiled_part(count, folder, data):
    taken = count("workbooks, parts")
    with zipfile.ZipFile(io.BytesIO(LADDER_BOOK)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = data.draw(st.sampled_from(sorted(parts)))
    parts[name] = data.draw(spoiled_bytes(parts[name]))
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for each, content in parts.items():
            archive.writestr(each, content)
    if rows_of(folder / "parts.xlsx", "head_ladder.csv", made.getvalue()):
        taken()


@HALF
@given(st.data())
def test_a_workbook_of_a_whole_shop_with_a_spoiled_cell(count, folder, data):
    taken = count("workbooks, whole shop")
    book, name = openpyxl.Workbook(), data.draw(st.sampled_from(sorted(RAW)))
    book.remove(book.active)
    for each, raw in RAW.items():
        sheet = book.create_sheet(each.removesuffix(".csv"))
        for cells in csv.reader(io.StringIO(raw.decode())):
            sheet.append([float(cell) if cell.replace(".", "", 1).isdigit() else cell or None for cell in cells])
    sheet = book[name.removesuffix(".csv")]
    row, column = data.draw(st.integers(2, sheet.max_row)), data.draw(st.integers(1, sheet.max_column))
    sheet.cell(row, column).value = data.draw(st.one_of(CELL_OF_A_SHEET, st.none()))
    book.save(folder / "shop.xlsx")
    assert main(["check", str(folder / "shop.xlsx")]) in (0, 1)
    planned_or_refused(folder / "shop.xlsx", ORDERS, taken)


LADDER_BOOK = a_workbook("head_ladder.csv")


# Orders

with tempfile.TemporaryDirectory() as _folder:
    for _name, _raw in RAW.items():
        (Path(_folder) / _name).write_bytes(_raw)
    CATALOGUE = load_catalogue(Path(_folder))


def every_key_of_a_club():
    """An order whose clubs have everything of their own that an order knows: two irons, a wedge, a taper, a wood."""
    irons, taper, woods = (order_tables(shipped_order(name)) for name in NAMES)
    shaft = CATALOGUE.shafts[irons["shaft"]]
    own = {name: irons[name] for name in ("shaft", "grip", "ladder")}
    own |= {"flex": "R/S 0.5", "soft_steps": 0, "tip_weight_g": 2.5, "wanted_swingweight": "D2.5"}
    own |= {"raw_length_in": shaft.raw_length_in - 0.5, "raw_mass_g": shaft.raw_mass_g + 0.5}
    other = taper["club"][0] | {"shaft": taper["shaft"], "soft_steps": 1, "bore": "leave", "why": "wanted so"}
    wood = woods["club"][0] | {name: woods[name] for name in ("shaft", "ladder", "flex")}
    pulled = {"pulled": True, "tip_cut_in": 3.5, "raw_length_in": shaft.raw_length_in - 5.0}
    family = {row.club: row.raw_length_in for row in CATALOGUE.raw_lengths if row.family == taper["shaft"]}
    bought = family["8-iron"]
    off_a_taper = taper["club"][-2] | {"shaft": taper["shaft"], "soft_steps": 1, "pulled": True}
    off_a_taper |= {"bought_length_in": bought, "raw_length_in": bought - 1.0}
    clubs = [irons["club"][3] | own, irons["club"][4], irons["club"][9] | {"flex": "A"}, other, wood]
    clubs += [irons["club"][6] | pulled, off_a_taper]
    measured = {"head_mass_g": 281.0, "bore_depth_in": 1.3, "bbgl_in": 0.98, "playing_length_in": 36.25}
    measured |= {"trim_as": "mass", "outside_rules": True, "why": 'the client\'s "own" wish'}
    long = {"playing_length_in": 38.75, "raw_length_in": 41.0, "extend": True}
    clubs += [irons["club"][6] | measured, irons["club"][2] | long]
    length = irons["length"] | {"step_in": 0.5}
    assembly = irons["assembly"] | {"tip_weight_g": 1.0, "root_spring_n_m_per_rad": 5000.0, "clamp_in": 4.5}
    return order_from_tables(irons | {"length": length, "assembly": assembly, "club": clubs}, CATALOGUE)


def nobody_knows():
    """An order on heads without a BBGL and shafts without walls, stations or steps, new and pulled."""
    irons, woods = order_tables(shipped_order("evening_class")), order_tables(shipped_order("wood_pair"))
    bare, taper = {"head": "bare 7-iron"}, {"head": "bare taper 8-iron", "shaft": "taper, no steps"}
    dry_fit = {"bare_shaft_in": 40.0, "dry_fitted_in": 41.0625}
    bought = max(row.raw_length_in for row in CATALOGUE.raw_lengths if (row.family, row.club) == (TAPER, "8-iron"))
    clubs = [
        irons["club"][0],
        bare | dry_fit,
        bare | {"bbgl_in": 1.0, "flex": "A"},
        taper | {"bbgl_in": 1.02},
        taper | dry_fit | {"pulled": True, "bought_length_in": bought, "raw_length_in": bought - 0.5},
        irons["club"][6] | {"pulled": True, "tip_cut_in": 3.0, "raw_length_in": 38.0, "raw_mass_g": 99.0},
        woods["club"][1] | {"shaft": "no stations", "ladder": woods["ladder"]},
    ]
    return order_from_tables(irons | {"shaft": "no walls", "club": clubs}, CATALOGUE)


ORDERS = {name: shipped_order(name) for name in NAMES} | {
    "every_key": every_key_of_a_club(),
    "nobody_knows": nobody_knows(),
}
TABLES_OF = {name: order_tables(order) for name, order in ORDERS.items()}
TEXTS = {name: order_toml(order).encode() for name, order in ORDERS.items()}


def test_the_order_with_every_key_has_every_key_of_a_club():
    tables = TABLES_OF["every_key"]
    dry_fit = {key for club in TABLES_OF["nobody_knows"]["club"] for key in club}
    assert {key for club in tables["club"] for key in club} | dry_fit == set(ClubTable.model_fields)
    assert set(tables["length"]) == set(LengthTable.model_fields)
    assert set(tables["assembly"]) == set(AssemblyTable.model_fields)
    build_set(ORDERS["every_key"])


def test_the_order_of_what_nobody_knows_is_planned_without_a_prediction():
    assert all(club.no_prediction and club.predicted is None for club in build_set(ORDERS["nobody_knows"]).clubs)


def assert_says_the_same(given_tables, order):
    """What the order holds, written again, is what was given: nothing filled in, nothing turned into something else."""
    written = order_tables(order)
    for where in ("length", "assembly"):
        for key, value in (given_tables.get(where) or {}).items():
            assert_same(key, value, written.get(where, {}).get(key))
    for given_club, club in zip(given_tables["club"], written["club"], strict=True):
        for key, value in given_club.items():
            if key != "flex":
                assert_same(key, value, club.get(key))
    for key, value in given_tables.items():
        if key not in ("length", "assembly", "club", "flex"):
            assert_same(key, value, written.get(key))


USUAL = {"bore": "correct", "clamp_in": 5.0}


def assert_same(key, value, written):
    if written is None:  # left out: it has its usual value
        assert value in (USUAL.get(key), None, 0, False, "") or (
            isinstance(value, str) and not value.strip("0. -+ingm\t")
        ), key
    elif isinstance(written, bool) or isinstance(value, bool):
        assert value is written, key
    elif isinstance(value, str) and isinstance(written, float):
        assert math.isfinite(written), key
    elif isinstance(value, str):
        assert value.strip() == written.strip(), key
    else:
        assert value == written, key


@pytest.mark.parametrize("name", ORDERS)
@SIZE
@given(st.data())
def test_an_order_with_spoiled_bytes(count, tmp_path_factory, name, data):
    taken = count("orders, bytes")
    raw = data.draw(spoiled_bytes(TEXTS[name]))
    path = tmp_path_factory.getbasetemp() / "order.toml"
    path.write_bytes(raw)
    try:
        order = load_order(path, CATALOGUE)
    except BenchError as refusal:
        str(refusal)
        return
    taken()
    assert_says_the_same(tomllib.loads(raw.decode()), order)
    assert_cuts_are_numbers_that_add_up(order)


@pytest.mark.parametrize("name", ORDERS)
@SIZE
@given(st.data())
def test_an_order_with_spoiled_values(count, name, data):
    taken = count("orders, values")
    tables = data.draw(spoiled_value(TABLES_OF[name]))
    try:
        order = order_from_tables(tables, CATALOGUE)
    except BenchError as refusal:
        str(refusal)
        return
    taken()
    assert_says_the_same(tables, order)
    assert_cuts_are_numbers_that_add_up(order)


# Records

RECORDS = {
    name: record_text(first_record(build_set(order), datetime(2026, 1, 1, tzinfo=UTC)))
    for name, order in ORDERS.items()
}


def through_the_record(text, taken):
    """A record that is taken says what the text says, is written back the same, and its order is planned or refused."""
    try:
        record = read_record(text)
    except BenchError as refusal:
        str(refusal)
        return
    taken()
    assert json.loads(record_text(record)) == json.loads(text)
    assert read_record(record_text(record)) == record
    for club in record.latest.clubs:
        assert all(math.isfinite(value) for value in club.cuts.model_dump().values())
        assert club.no_prediction if club.predicted is None else math.isfinite(club.predicted.frequency_cpm)
    try:
        order = reopened(record.latest)
    except BenchError:
        return
    assert_cuts_are_numbers_that_add_up(order)


@pytest.mark.parametrize("name", ORDERS)
@HALF
@given(st.data())
def test_a_record_with_spoiled_bytes(count, name, data):
    taken = count("records, bytes")
    through_the_record(data.draw(spoiled_bytes(RECORDS[name].encode())).decode("utf-8", "replace"), taken)


@pytest.mark.parametrize("name", ORDERS)
@SIZE
@given(st.data())
def test_a_record_with_spoiled_values(count, name, data):
    taken = count("records, values")
    through_the_record(json.dumps(data.draw(spoiled_value(json.loads(RECORDS[name])))), taken)
