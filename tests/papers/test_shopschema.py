"""What a shop's own file may say, in one place: template and schema have every key, and agree with the reader.

The schema is judged by jsonschema, a reference implementation of JSON Schema 2020-12.
"""

import json
import re
import tomllib
from datetime import date

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.check.consistency import CheckTolerances
from trimkit.club.shopfile import shop_from_tables
from trimkit.club.shoptables import TABLES, CalibratedShaft, ShopFile
from trimkit.papers.measured import FinishedTolerances
from trimkit.papers.shopschema import SCHEMA_FILE, schema_text, template_text
from trimkit.parts.catalogue import data_folder
from trimkit.parts.errors import BenchError

SCHEMA = json.loads(schema_text())
JUDGE = jsonschema.Draft202012Validator(SCHEMA)
MODELS = TABLES | {"calibrated": CalibratedShaft}
EVERY_KEY = tomllib.loads(re.sub(r"^#(?=\w+ = |\[)", "", template_text(), flags=re.MULTILINE))


def as_json(tables):
    """The file as JSON would have it: a date as text."""
    return json.loads(json.dumps(tables, default=date.isoformat))


def test_the_file_is_what_is_generated():
    assert (data_folder() / SCHEMA_FILE).read_text(encoding="utf-8") == schema_text()
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_the_template_says_nothing_as_it_is_and_what_holds_anyway_with_its_bench_and_limits_in_use():
    assert shop_from_tables(tomllib.loads(template_text()), ()) == ShopFile()
    shop = shop_from_tables({name: EVERY_KEY[name] for name in ("clamp", "bench", "tolerances")}, ())
    usual = ShopFile()
    assert {name: getattr(shop.practice, name) for name in shop.practice.own} == {
        name: getattr(usual.practice, name) for name in shop.practice.own
    }
    assert len(shop.practice.own) == len(TABLES["bench"].model_fields)
    assert (shop.clamp.clamp_in, shop.root_spring_n_m_per_rad) == (5.0, None)


def test_the_limits_of_the_template_are_those_that_hold_without_it():
    shop = shop_from_tables({"tolerances": EVERY_KEY["tolerances"]}, ())
    for tolerances in (CheckTolerances, FinishedTolerances):
        own, usual = tolerances.of_shop(shop), tolerances()
        numbers = [name for name in vars(own) if isinstance(getattr(own, name), float)]
        assert [getattr(own, name) for name in numbers] == [getattr(usual, name) for name in numbers]
        assert own != usual  # the source is the shop


def test_no_key_is_missing_in_the_template_or_the_schema_and_each_is_described():
    for name, model in MODELS.items():
        inside, told = EVERY_KEY[name], SCHEMA["properties"][name]
        inside, told = (inside[0], told["items"]) if name == "calibrated" else (inside, told)
        assert set(inside) == set(told["properties"]) == set(model.model_fields)
        assert all(each["description"] for each in told["properties"].values())
    assert set(EVERY_KEY) == set(SCHEMA["properties"]) == set(ShopFile.model_fields)


def test_every_key_in_use_is_taken_by_the_reader_and_the_schema():
    JUDGE.validate(as_json(EVERY_KEY))
    shop = shop_from_tables(EVERY_KEY, [EVERY_KEY["calibrated"][0]["shaft"]])
    assert shop.calibrated[0].measured_on == date(2026, 11, 27)
    JUDGE.validate(shop.model_dump(mode="json", exclude_unset=True))


def changed(table, **keys):
    whole = json.loads(json.dumps(as_json(EVERY_KEY)))
    (whole[table][0] if table == "calibrated" else whole[table]).update(keys)
    return whole


@pytest.mark.parametrize(
    "tables",
    [
        changed("clamp", clamp_in=50),
        changed("clamp", clamp_mm=127),
        changed("bench", caliper_in="fine"),
        changed("tolerances", set_cpm=0),
        changed("calibrated", readings=1.5),
        changed("calibrated", ei_factor=3),
        changed("calibrated", measured_on="today"),
        as_json(EVERY_KEY) | {"calibrated": {"shaft": "a", "ei_factor": 1}},
        as_json(EVERY_KEY) | {"calibrated": [{"shaft": "a"}]},
        as_json(EVERY_KEY) | {"colour": "red"},
        as_json(EVERY_KEY) | {"name": 7},
    ],
)
def test_a_spoiled_file_is_refused_by_the_schema_and_by_the_reader(tables):
    assert not JUDGE.is_valid(tables)
    with pytest.raises(BenchError):
        shop_from_tables(tables, None)


ANY = st.one_of(
    st.booleans(),
    st.integers(-9, 400),
    st.floats(-9, 400),
    st.text(max_size=8),
    st.dates(),
    st.sampled_from(["5 1/4 in", "1½", "9.4 oz", "95.3 cm", "0.97"]),
)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(sorted(MODELS)), st.data())
def test_whatever_the_reader_takes_the_schema_takes(table, data):
    key = data.draw(st.sampled_from(sorted(MODELS[table].model_fields)))
    value = data.draw(ANY)
    inside = EVERY_KEY[table][0] if table == "calibrated" else EVERY_KEY[table]
    inside = inside | {key: value}
    tables = EVERY_KEY | {table: [inside] if table == "calibrated" else inside}
    try:
        shop_from_tables(tables, None)
    except BenchError:
        return
    assert JUDGE.is_valid(as_json(tables))
