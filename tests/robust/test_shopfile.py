"""A spoiled shop's own file: refused in sentences with their keys, or read as what stands there, and computed with.

A file made to keep the reader busy is refused in bounded time.
"""

import json
import math
import time
import tomllib
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.order.file import order_tables, toml_text
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set
from trimkit.club.shopfile import read_shop, shop_from_tables
from trimkit.club.shoptables import MOST_CALIBRATED, TABLES, CalibratedShaft, ShopFile
from trimkit.club.tomlfile import LONGEST_LINE, MOST_CHARACTERS
from trimkit.parts.errors import BenchError, DataFileError

SIZE = settings.get_profile("nightly" if settings.default is settings.get_profile("nightly") else "small")
ORDER = shipped_order("wood_pair")
CATALOGUE, ORDERED = ORDER.catalogue, order_tables(ORDER)
KINDS = [shaft.name for shaft in ORDER.shafts]
WHOLE = {
    "name": "a bench",
    "clamp": {
        "clamp_in": 5.25,
        "root_compliance_rad_per_n_m": 2e-4,
        "root_compliance_sd_rad_per_n_m": 3e-5,
        "measured_on": date(2026, 11, 20),
    },
    "test_weight": {"mass_g": 205.0, "offset_in": 0.5, "inertia_g_cm2": 100.0, "clamp_in": 5.0},
    "usual": {"ferrule_mass_g": 1.5, "tape_mass_g": 2.0, "epoxy_mass_g": 1.5},
    "bench": {
        "tape_thickness_in": 0.005,
        "most_build_up_in": 0.04,
        "caliper_in": 0.001,
        "widest_bore_in": 0.005,
        "longest_extension_in": 1.0,
        "extension_insert_in": 2.0,
        "measuring_error_in": 0.0625,
    },
    "tolerances": {
        "playing_length_in": 0.1,
        "frequency_cpm": 2.5,
        "swingweight_points": 1.0,
        "total_mass_g": 3.0,
        "set_cpm": 3.0,
    },
    "calibrated": [
        {"shaft": name, "ei_factor": 0.97, "ei_factor_sd": 0.01, "readings": 9, "measured_on": date(2026, 11, 21)}
        for name in KINDS
    ],
}
MODELS = TABLES | {"calibrated": CalibratedShaft}


def written(tables):
    """The file as TOML; the dates stand at the end of their tables, where text is turned into a date."""
    plain = json.loads(json.dumps(tables, default=lambda day: f"day {day}"))
    return toml_text(plain).replace('"day ', "").replace('-20"', "-20").replace('-21"', "-21")


TEXT = written(WHOLE)
NASTY = st.sampled_from(
    [
        *("", " ", "nan", "-inf", "1e999", "-1", "0", "37,5", "0x10", "1_0", "5 1/4 in", "13.3 cm", "9.4 oz", "1/0"),
        *("9" * 400, "=1+1", "true", "2026-11-27", "\0", "\x1b[2J", "\u202e", "\ud800"),
        *(True, False, None, [], {}, [1], {"in": 5}, [[]], 10**400, -(10**400), 2**63),
        *(math.nan, math.inf, -math.inf, 1e308, 5e-324, -0.0, 1e-7),
    ]
)
ANY = st.one_of(NASTY, st.floats(), st.floats(-10, 10), st.integers(), st.text(max_size=12), st.dates(), st.datetimes())
ANY_KEY = st.one_of(st.text(max_size=8), st.sampled_from(["clamp_in", "clamp_mm", "mass_g", "shaft", "name", "clamp"]))


def test_the_file_in_hand_has_every_key():
    assert tomllib.loads(TEXT) == WHOLE
    assert set(WHOLE) == set(ShopFile.model_fields)
    for name, model in MODELS.items():
        inside = WHOLE[name][0] if name == "calibrated" else WHOLE[name]
        assert set(inside) == set(model.model_fields)
    assert shop_from_tables(WHOLE, KINDS)


@st.composite
def spoiled(draw):
    """The tables with one or two values changed, taken out or put in, or whole tables in their place."""
    tables = {name: dict(part) if isinstance(part, dict) else part for name, part in WHOLE.items()}
    tables["calibrated"] = [dict(each) for each in WHOLE["calibrated"]]
    for _ in range(draw(st.integers(1, 2))):
        table = draw(st.sampled_from(sorted(tables)))
        part = tables[table]
        if table == "calibrated" and isinstance(part, list) and part:
            part = draw(st.sampled_from(part))
        how = draw(st.sampled_from(["change", "change", "change", "take out", "add", "whole", "twice"]))
        if how == "whole" or not isinstance(part, dict) or not part:
            tables[table] = draw(ANY)
        elif how == "twice" and table == "calibrated":
            tables[table].append(part)
        elif how == "add":
            part[draw(ANY_KEY)] = draw(ANY)
        else:
            key = draw(st.sampled_from(sorted(part)))
            if how == "take out":
                del part[key]
            else:
                near = st.floats(0.8, 1.25).map(lambda by, value=part[key]: value * by)
                part[key] = draw(st.one_of(near, ANY) if isinstance(part[key], float) else ANY)
    return tables


def assert_says_the_same(given_tables, shop):
    """What was taken is what was given: no key passed over, no number turned into another."""
    for name, part in given_tables.items():
        if name == "name":
            assert shop.name == part.strip()
            continue
        rows = zip(part, shop.calibrated, strict=True) if name == "calibrated" else [(part, getattr(shop, name))]
        for row, read in rows:
            for key, value in row.items():
                taken = getattr(read, key)
                if isinstance(value, str):
                    assert taken == value.strip() if isinstance(taken, str) else math.isfinite(taken)
                else:
                    assert taken == value
                    assert not isinstance(value, bool)


def through(tables, read):
    try:
        shop = read()
    except DataFileError as refusal:
        for fault in refusal.faults:
            assert fault.place.file == "shop.toml"
            assert str(fault)
        return False
    assert_says_the_same(tables() if callable(tables) else tables, shop)
    for number in (*shop.assembly.values(), *(each.ei_factor for each in shop.calibrated)):
        assert math.isfinite(number)
        assert number >= 0
    try:
        built = build_set(order_from_tables(ORDERED, CATALOGUE, shop=shop))
    except BenchError as refusal:
        str(refusal)
        return True
    for club in built.clubs:
        assert math.isfinite(club.frequency_cpm)
        assert club.frequency_cpm > 0
    assert shop.in_words
    return True


@settings(SIZE, max_examples=4 * SIZE.max_examples)
@given(st.data())
def test_spoiled_values(count, data):
    taken = count("shop's own files, values")
    tables = data.draw(spoiled())
    if through(tables, lambda: shop_from_tables(tables, KINDS)):
        taken()


@SIZE
@given(st.data())
def test_spoiled_bytes(count, tmp_path_factory, data):
    taken = count("shop's own files, bytes")
    raw = bytearray(TEXT.encode())
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(raw) - 1))
        how = data.draw(st.sampled_from(["flip", "put in", "take out", "cut off"]))
        if how == "flip":
            raw[at] ^= 1 << data.draw(st.integers(0, 7))
        elif how == "put in":
            raw[at:at] = data.draw(st.binary(min_size=1, max_size=3))
        elif how == "take out":
            del raw[at : at + data.draw(st.integers(1, 3))]
        else:
            del raw[max(at, 1) :]
    path = tmp_path_factory.getbasetemp() / "shop.toml"
    path.write_bytes(raw)
    if through(lambda: tomllib.loads(bytes(raw).decode("utf-8-sig")), lambda: read_shop(path, KINDS)):
        taken()


@pytest.mark.parametrize(
    ("text", "refused"),
    [
        ("a." * 100_000 + "a = 1\n", "the shop's own file has 200006 characters, 200005 of them in one line"),
        (f"{'clamp.' * (LONGEST_LINE // 6 - 2)}clamp_in = 1\n", "'clamp' is not known"),
        ("[[calibrated]]\n" * (MOST_CHARACTERS // 15), f"calibrated shafts. Allowed: at most {MOST_CALIBRATED}"),
        ("".join(f"key_{n} = 1\n" for n in range(3_000)), "'key_2999' is not known"),
        ("#" * 3_000 + "\n" + "[clamp]\n" * 2, "it is not a TOML file"),
        (f"x = {'[' * (LONGEST_LINE - 10)}\n", "it is not a TOML file"),
        (f"[clamp]\nclamp_in = {'9' * 3_900}\n", "a number of hundreds of digits"),
        (f"[clamp]\nclamp_in = 0x{'f' * 3_900}\n", "a number of hundreds of digits"),
        (f"[clamp]\nclamp_in = [0x{'f' * 3_900}]\n", "clamp_in"),
        (f"name = 0x{'f' * 3_900}\n", "a number of thousands of digits"),
        (f'[[calibrated]]\nshaft = "x"\nei_factor = 1\nreadings = 0x{"f" * 3_900}\n', "a number of thousands of"),
        (f'[clamp]\nclamp_in = "{"9" * 3_900}"\n', "a number of 3900 characters"),
        (f'[[calibrated]]\nshaft = "{"x" * 3_900}"\nei_factor = 1\n', "at most 80 characters"),
        ("\x00", "it is not a TOML file"),
        (" \n", "the file is empty"),
    ],
    ids=[
        *("dotted", "dotted table", "many", "keys", "twice", "nested", "digits", "hexadecimal", "in a list"),
        *("name of digits", "readings", "text", "name", "nul", "empty"),
    ],
)
def test_a_file_made_to_keep_the_reader_busy_is_refused_in_bounded_time(tmp_path, text, refused):
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    start = time.perf_counter()
    with pytest.raises(DataFileError) as caught:
        read_shop(path, KINDS)
    assert refused in str(caught.value)
    assert time.perf_counter() - start < 20


def test_a_file_that_calibrates_the_most_shafts_is_within_the_bounds():
    row = {"shaft": "x" * 80, "ei_factor": 1.2345678901234567, "ei_factor_sd": 0.012345678901234567}
    text = toml_text({"calibrated": [row] * MOST_CALIBRATED})
    assert len(text) < MOST_CHARACTERS
    assert max(map(len, text.splitlines())) < LONGEST_LINE
