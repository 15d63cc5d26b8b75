"""What an order may say, in one place: the example and the schema have every key, and agree with the reader.

The schema is judged by jsonschema, a reference implementation of JSON Schema 2020-12.
"""

import json
import re
import tomllib

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.order.file import order_tables
from trimkit.club.order.order import open_order, order_from_tables, shipped_order
from trimkit.club.order.tables import AssemblyTable, ClubTable, LengthTable, OrderHeader
from trimkit.papers.orderschema import EXAMPLE_FILE, SCHEMA_FILE, example_text, schema_text
from trimkit.papers.templates import write_templates
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.errors import BenchError

SCHEMA = json.loads(schema_text())
JUDGE = jsonschema.Draft202012Validator(SCHEMA)
TABLES = {"": OrderHeader, "length": LengthTable, "assembly": AssemblyTable, "club": ClubTable}
NAMES = ("evening_class", "taper_soft_step", "wood_pair")
ORDERS = {name: order_tables(shipped_order(name)) for name in NAMES}
CATALOGUE = load_catalogue()


def every_key(text):
    """The example with every key in use."""
    return tomllib.loads(re.sub(r"^#(?=\w+ = )", "", text, flags=re.MULTILINE))


@pytest.fixture
def folder(tmp_path):
    write_templates(tmp_path / "parts")
    return tmp_path / "parts"


def test_the_files_are_what_is_generated(folder):
    assert (data_folder() / SCHEMA_FILE).read_text(encoding="utf-8") == schema_text()
    assert (folder / SCHEMA_FILE).read_text(encoding="utf-8") == schema_text()
    assert (folder / EXAMPLE_FILE).read_text(encoding="utf-8") == example_text()


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_no_key_is_missing_in_the_example_or_the_schema_and_each_is_described():
    example = every_key(example_text())
    (club,) = example["club"]
    inside = {"": example, "length": example["length"], "assembly": example["assembly"], "club": club}
    places = SCHEMA["properties"]
    properties = {"": places, "length": places["length"]["properties"], "assembly": places["assembly"]["properties"]}
    properties["club"] = places["club"]["items"]["properties"]
    for table, model in TABLES.items():
        keys = set(model.model_fields)
        assert {key for key in inside[table] if table or key not in TABLES} == keys
        assert {key for key in properties[table] if table or key not in TABLES} == keys
        assert all(properties[table][key]["description"] for key in keys)
        model.model_validate({key: value for key, value in inside[table].items() if key in keys})


def test_the_example_is_an_order_as_it_is_and_with_every_key_of_a_parallel_tip_in_use(folder):
    open_order(folder / EXAMPLE_FILE, folder)
    tables = every_key(example_text())
    JUDGE.validate(tables)
    del tables["club"][0]["bought_length_in"]  # of a pulled taper tip alone; the example's shaft is parallel
    order = order_from_tables(tables, load_catalogue(folder))
    assert order.clubs[0].decisions.why == tables["club"][0]["why"]


@pytest.mark.parametrize("name", NAMES)
def test_the_shipped_orders_keep_to_the_schema(name):
    JUDGE.validate(tomllib.loads((data_folder() / "orders" / f"{name}.toml").read_text(encoding="utf-8")))
    JUDGE.validate(ORDERS[name])


def changed(**club):
    order = json.loads(json.dumps(ORDERS["evening_class"]))
    order["club"][0] |= club
    return order


@pytest.mark.parametrize(
    "tables",
    [
        changed(bbgl_in=12),
        changed(bbgl_in="wide"),
        changed(bbgl_mm=25.4),
        changed(extend="yes"),
        changed(bore="deeper"),
        changed(trim_as="weight"),
        changed(soft_steps=9),
        changed(why="x" * 201),
        changed(head=""),
        {key: value for key, value in changed().items() if key != "shaft"},
        changed() | {"club": []},
        changed() | {"club": changed()["club"] * 30},
        changed() | {"length": {"club": "7-iron"}},
        changed() | {"colour": "red"},
        changed() | {"assembly": {"clamp_in": 50}},
    ],
)
def test_a_spoiled_order_is_refused_by_the_schema_and_by_the_reader(tables):
    assert not JUDGE.is_valid(tables)
    with pytest.raises(BenchError):
        order_from_tables(tables, CATALOGUE)


ANY = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-9, 400),
    st.floats(-9, 400),
    st.text(max_size=8),
    st.sampled_from(["37 1/2 in", "1½", "9.4 oz", "95.3 cm", "D1", "R/S 0.5", "7i", "mass", "leave"]),
)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(sorted(TABLES)), st.data())
def test_whatever_the_reader_takes_the_schema_takes(table, data):
    key = data.draw(st.sampled_from(sorted(TABLES[table].model_fields)))
    tables = changed()
    value = data.draw(ANY)
    part = tables if not table else tables["club"][0] if table == "club" else tables.setdefault(table, {})
    part[key] = value
    try:
        order_from_tables(tables, CATALOGUE)
    except BenchError:
        return
    # None is what a form leaves empty; a TOML file has no such value.
    assert value is None or JUDGE.is_valid(tables)
