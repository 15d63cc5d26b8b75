"""Spoiled tables, orders, records: refused in sentences or read as what stands there. No NaN comes to a cut list."""

import csv
import io
import json
import math
import shutil
import tomllib
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.cli import main
from trimkit.club.order import load_order, order_from_tables, shipped_order
from trimkit.club.orderfile import order_tables, order_toml
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record, reopened
from trimkit.papers.record.file import read_record, record_text
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.csvfile import read_rows
from trimkit.parts.errors import BenchError
from trimkit.parts.rows import TABLES

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
RAW = {name: (HERE / name).read_bytes() for name in TABLES}


@pytest.fixture(scope="session")
def folder(tmp_path_factory):
    """A data folder of our own, in which one file at a time is spoiled."""
    copy = tmp_path_factory.mktemp("data")
    for name in TABLES:
        shutil.copy(HERE / name, copy)
    return copy


def through_the_folder(folder, name, raw, taken):
    """Read the whole folder with one spoiled file in it, and plan the three demo orders if it is taken."""
    (folder / name).write_bytes(raw)
    try:
        assert main(["check", str(folder / name)]) in (0, 1)
        try:
            catalogue = load_catalogue(folder)
            orders = [load_order(HERE / "orders" / f"{order}.toml", catalogue) for order in NAMES]
        except BenchError as refusal:
            str(refusal)
            return
        taken()
        for order in orders:
            assert_cuts_are_numbers_that_add_up(order)
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
            assert str(value).strip() == cell.strip()
        elif cell.strip().lstrip("+-").replace(".", "", 1).isascii() and cell.strip().replace(".", "").isdigit():
            assert value == float(cell)
        else:
            assert math.isfinite(value)
    through_the_folder(folder, name, raw, taken)


# Orders

CATALOGUE = load_catalogue()
TABLES_OF = {name: order_tables(shipped_order(name)) for name in NAMES}
TEXTS = {name: order_toml(shipped_order(name)).encode() for name in NAMES}


def assert_says_the_same(given_tables, order):
    """What the order holds, written again, is what was given: nothing filled in, nothing turned into something else."""
    written = order_tables(order)
    for where in ("length", "assembly"):
        for key, value in (given_tables.get(where) or {}).items():
            assert_same(key, value, written.get(where, {}).get(key))
    for given_club, club in zip(given_tables["club"], written["club"], strict=True):
        for key, value in given_club.items():
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


@pytest.mark.parametrize("name", NAMES)
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


@pytest.mark.parametrize("name", NAMES)
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
    name: record_text(first_record(build_set(shipped_order(name)), datetime(2026, 1, 1, tzinfo=UTC))) for name in NAMES
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


@pytest.mark.parametrize("name", NAMES)
@HALF
@given(st.data())
def test_a_record_with_spoiled_bytes(count, name, data):
    taken = count("records, bytes")
    through_the_record(data.draw(spoiled_bytes(RECORDS[name].encode())).decode("utf-8", "replace"), taken)


@pytest.mark.parametrize("name", NAMES)
@SIZE
@given(st.data())
def test_a_record_with_spoiled_values(count, name, data):
    taken = count("records, values")
    through_the_record(json.dumps(data.draw(spoiled_value(json.loads(RECORDS[name])))), taken)
