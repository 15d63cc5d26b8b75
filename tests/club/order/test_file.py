"""An order and its file are the same thing: what is written is read back as the same order, whatever stands in it."""

import tomllib
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from trimkit.club.order.file import order_tables, order_toml, toml_text
from trimkit.club.order.order import load_order, open_order, order_from_tables, shipped_order
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.errors import BenchError, DataFileError
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import LadderLength, ReferenceLength

CATALOGUE = load_catalogue()
ORDERS = [shipped_order(name) for name in ("evening_class", "taper_soft_step", "wood_pair")]


@pytest.mark.parametrize("order", ORDERS, ids=lambda order: order.title)
def test_a_written_order_is_read_back_as_the_same_order(order, tmp_path):
    path = tmp_path / "order.toml"
    path.write_text(order_toml(order), encoding="utf-8")
    assert load_order(path, CATALOGUE) == order


@pytest.mark.parametrize("name", ["evening_class", "taper_soft_step", "wood_pair"])
def test_the_tables_of_a_written_order_are_those_of_the_file_by_tomllib(name):
    written = tomllib.loads(order_toml(shipped_order(name)))
    assert written == tomllib.loads((data_folder() / "orders" / f"{name}.toml").read_text(encoding="utf-8"))


def test_a_form_s_values_are_checked_like_a_file_s():
    tables = order_tables(ORDERS[0])
    tables["length"]["playing_length_in"] = "37 1/2"
    assert order_from_tables(tables, CATALOGUE) == ORDERS[0]
    tables["club"][0]["head"] = "none"
    with pytest.raises(DataFileError, match=r"the form, \[\[club\]\] 1: head: there is no head 'none'"):
        order_from_tables(tables, CATALOGUE, "the form")


def test_a_measured_value_that_equals_the_table_s_stays_measured():
    tables = order_tables(ORDERS[0])
    tables["club"][2]["head_mass_g"] = CATALOGUE.heads["class 4-iron"].head_mass_g
    order = order_from_tables(tables, CATALOGUE)
    assert order_from_tables(order_tables(order), CATALOGUE) == order


WORDS = st.text(min_size=1, max_size=60).filter(lambda text: text.strip() == text and text.isprintable())
NASTY = st.one_of(
    WORDS, st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40).map(lambda t: f"<{t}>")
)


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(
    title=NASTY,
    why=NASTY,
    part=st.floats(0, 1, exclude_min=True, exclude_max=True),
    length=st.floats(18, 50),
    mass=st.floats(150, 400),
    step=st.one_of(st.none(), st.floats(0, 1.5)),
    ferrule=st.floats(0, 10),
)
def test_any_order_survives_the_file(title, why, part, length, mass, step, ferrule):
    order = ORDERS[0]
    head = replace(order.clubs[0].head, head_mass_g=mass)
    rule = ReferenceLength("6-iron", length, step)
    clubs = [replace(club, length=rule, decisions=replace(club.decisions, why=why)) for club in order.clubs]
    clubs[0] = replace(clubs[0], head=head)
    assembly = replace(order.assembly, ferrule_mass_g=ferrule)
    changed = replace(order, title=title, clubs=tuple(clubs), assembly=assembly, flex=FlexPlace("R", "S", part))
    again = order_from_tables(tomllib.loads(order_toml(changed)), CATALOGUE)
    assert (again.title, again.flex, again.assembly) == (title, changed.flex, assembly)
    assert [(club.length, club.decisions.why) for club in again.clubs] == [(rule, why)] * len(clubs)
    assert again.clubs[0].head.head_mass_g == mass
    assert order_toml(again) == order_toml(changed)


def test_what_no_file_can_hold_is_refused():
    order = ORDERS[0]
    with pytest.raises(BenchError, match="not in the order's data"):
        order_toml(replace(order, clubs=(replace(order.clubs[0], head=replace(order.clubs[0].head, name="x")),)))
    with pytest.raises(BenchError, match="follow from"):
        order_toml(replace(order, clubs=(replace(order.clubs[0], length=LadderLength(0.5)),)))
    with pytest.raises(BenchError, match="nan"):
        toml_text({"playing_length_in": float("nan")})


def test_faults_of_the_order_and_of_every_data_file_come_together(tmp_path):
    own = tmp_path / "shop"
    own.mkdir()
    (own / "grips.csv").write_text("grip\nx\n", encoding="utf-8")
    path = tmp_path / "order.toml"
    text = order_toml(ORDERS[0]).replace("37.5", "-37.5").replace("ferrule_mass_g = 1.5", "ferrule_mass_g = nan")
    path.write_text(text, encoding="utf-8")
    with pytest.raises(DataFileError) as caught:
        open_order(path, own_parts=own)
    files = {fault.place.file for fault in caught.value.faults}
    assert files == {"shop/grips.csv", "order.toml"}
    keys = {fault.place.key for fault in caught.value.faults if fault.place.file == "order.toml"}
    assert keys == {"[length] playing_length_in", "[assembly] ferrule_mass_g"}
    assert str(caught.value).startswith(f"{len(caught.value.faults)} faults were found; nothing was changed.")


def test_an_order_of_hundreds_of_clubs_is_refused():
    tables = order_tables(ORDERS[0])
    tables["club"] *= 30
    with pytest.raises(DataFileError, match="at most 200"):
        order_from_tables(tables, CATALOGUE)


def test_an_order_nested_without_end_is_a_sentence(tmp_path):
    path = tmp_path / "deep.toml"
    path.write_text("a = " + "[\n" * 5000 + "]\n" * 5000, encoding="utf-8")  # in lines that are not too long
    with pytest.raises(DataFileError, match="not a TOML file"):
        load_order(path, CATALOGUE)


@pytest.mark.parametrize(("name", "value"), [("soft_steps", True), ("soft_steps", 1.0), ("soft_steps", "1")])
def test_a_step_is_a_whole_number_and_nothing_that_could_be_read_as_one(name, value):
    with pytest.raises(DataFileError, match="soft_steps"):
        order_from_tables(order_tables(ORDERS[1]) | {name: value}, CATALOGUE)


@pytest.mark.parametrize("value", ["yes", "no", 1, 0, "false"])
def test_yes_and_no_are_true_and_false_and_nothing_else(value):
    tables = order_tables(ORDERS[0])
    tables["club"][0]["extend"] = value
    with pytest.raises(DataFileError, match=r"\[\[club\]\] 1: extend"):
        order_from_tables(tables, CATALOGUE)
