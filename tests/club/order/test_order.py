"""Orders: what is written is what is planned; whatever is wrong is told at once, with table and key."""

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from trimkit.club.order.order import load_order, shipped_order
from trimkit.mechanics.balance import swingweight_oz_in
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.errors import DataFileError
from trimkit.parts.sources import Standing
from trimkit.trim.bore import BoreChoice, DryFit
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.length import GivenLength, ReferenceLength
from trimkit.trim.wanted import ShaftInHand

CATALOGUE = load_catalogue()
DEMO = (data_folder() / "orders" / "evening_class.toml").read_text(encoding="utf-8")


@pytest.fixture
def read(tmp_path):
    def order(text, name="order.toml"):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return load_order(path, CATALOGUE)

    return order


def changed(old, new):
    assert old in DEMO
    return DEMO.replace(old, new, 1)


@pytest.mark.parametrize("name", ["evening_class", "taper_soft_step", "wood_pair"])
def test_the_demo_orders_load(name):
    order = shipped_order(name)
    assert order.clubs
    assert order.shaft in CATALOGUE.shafts.values()


def test_what_is_written_is_what_is_ordered(read):
    order = read(DEMO)
    assert (order.client, str(order.flex), order.wanted_swingweight) == ("client 07", "R", "D0")
    assert order.clubs[0].length == ReferenceLength("6-iron", 37.5, None)
    assert order.clubs[-1].dry_fit == DryFit(42.0, 43.5)
    assert order.assembly.ferrule_mass_g == 1.5


def test_decisions_for_one_club_are_kept(read):
    club = read(
        changed(
            'head = "class 9-iron"',
            'head = "class 9-iron"\nplaying_length_in = "36 1/4"\ntrim_as = "mass"\nbore = "leave"\nwhy = "part shots"',
        )
    ).clubs[7]
    assert club.length == GivenLength(36.25)
    decided = club.decisions
    assert (decided.trim_as, decided.bore, decided.why) == (TrimAs.MASS, BoreChoice.LEAVE, "part shots")


def test_a_value_measured_for_the_order_takes_the_place_of_the_table_s_and_says_so(read):
    head = read(changed('head = "class 9-iron"', 'head = "class 9-iron"\nhead_mass_g = "10.2 oz"')).clubs[7].head
    assert head.head_mass_g == pytest.approx(10.2 * 28.349523125)
    assert head.source.standing is Standing.MEASURED


@pytest.mark.parametrize(
    ("old", "new", "place", "sentence"),
    [
        ('head = "class 9-iron"', 'head = "class 1-iron"', "[[club]] 8: head", "there is no head 'class 1-iron'"),
        ('shaft = "steel', 'shaft = "wooden', "shaft", "there is no shaft 'wooden"),
        ('grip = "round', 'grip = "square', "grip", "there is no grip"),
        ('ladder = "demo irons"', 'ladder = "demo"', "ladder", "there is no ladder"),
        ('flex = "R"', 'flex = "X"', "flex", "no flex 'X'"),
        ('flex = "R"', 'flex = "A/S 0.5"', "flex", "R lies in between"),
        ('title = "Evening class, irons and hybrids"', "", "title", "'title' is missing"),
        ('title = "Evening', 'colour = "red"\ntitle = "Evening', "colour", "'colour' is not known"),
        ("playing_length_in = 37.5", "playing_length_in = nan", "[length] playing_length_in", "nan"),
        ("playing_length_in = 37.5", "playing_length_in = 952.5", "[length] playing_length_in", "18 to 50 in"),
        ("playing_length_in = 37.5", 'playing_length_in = "37.5 g"', "[length] playing_length_in", "units in, mm, cm"),
        ("dry_fitted_in = 43.5", "", "[[club]] 10: dry_fitted_in", "two lengths of a dry fit"),
        ("ferrule_mass_g = 1.5", "ferrule_mass_g = -1.5", "[assembly] ferrule_mass_g", "0 to 10 g"),
        ('head = "class 9-iron"', 'head = "class 9-iron"\nhead_mass_g = -3', "[[club]] 8: head_mass_g", "150 to 400 g"),
        ('head = "class 9-iron"', 'head = "class 9-iron"\nbore = "?"', "[[club]] 8: bore", "'?' is given"),
        ("[length]", "[[length]]", "[length] ", "is not a table"),
    ],
)
def test_each_fault_is_a_sentence_with_its_place(read, old, new, place, sentence):
    with pytest.raises(DataFileError) as caught:
        read(changed(old, new))
    (fault,) = caught.value.faults
    assert (fault.place.file, fault.place.key) == ("order.toml", place)
    assert sentence in str(fault)
    assert fault.next_step


def test_a_head_without_a_mass_in_the_data_is_refused_with_its_row(tmp_path):
    for path in data_folder().glob("*.csv"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    heads = (tmp_path / "heads.csv").read_text(encoding="utf-8")
    (tmp_path / "heads.csv").write_text(heads.replace(",254.2,", ",,", 1), encoding="utf-8")
    with pytest.raises(DataFileError, match=r"heads.csv, row 2, column head_mass_g: the cell is empty"):
        load_catalogue(tmp_path)


def test_an_order_without_clubs_is_refused(read):
    with pytest.raises(DataFileError, match="there is no club in the order"):
        read(DEMO[: DEMO.index("[[club]]")])


def test_broken_toml_is_told_with_its_line(read):
    with pytest.raises(DataFileError, match=r"not a TOML file .*line 2"):
        read('title = "x"\nclient = \n')


def test_a_byte_order_mark_changes_nothing_and_one_of_utf_16_is_told(read):
    assert read(b"\xef\xbb\xbf" + DEMO.encode()) == read(DEMO)
    with pytest.raises(DataFileError, match="byte-order mark of UTF-16"):
        read(DEMO.encode("utf-16"))


def test_all_faults_come_together(read):
    with pytest.raises(DataFileError) as caught:
        read(changed('shaft = "steel', 'shaft = "wooden').replace("class 9-iron", "none").replace("37.5", "0"))
    assert {fault.place.key for fault in caught.value.faults} == {
        "shaft",
        "[[club]] 8: head",
        "[length] playing_length_in",
    }


@pytest.mark.parametrize(("name", "value"), [("soft_steps", "7"), ("client", '""'), ("no_such_key", "1")])
def test_a_flex_that_the_shaft_does_not_have_is_told_beside_another_fault_of_the_header(read, name, value):
    text = "\n".join(line for line in DEMO.splitlines() if not line.startswith(f"{name} "))
    text = re.sub(r'^flex = ".*"', 'flex = "Z"', f"{name} = {value}\n{text}", flags=re.MULTILINE)
    with pytest.raises(DataFileError) as caught:
        read(text)
    assert [fault.place.key for fault in caught.value.faults] == [name, "flex"]


def test_a_name_of_nothing_is_told_once(read):
    with pytest.raises(DataFileError) as caught:
        read(re.sub(r'^shaft = ".*"', 'shaft = " "', DEMO, flags=re.MULTILINE))
    assert [fault.place.key for fault in caught.value.faults] == ["shaft"]


VALUES = st.one_of(st.floats(), st.integers(), st.text(max_size=8), st.booleans(), st.lists(st.integers(), max_size=2))


def toml_of(value):
    if isinstance(value, str):
        return '"' + "".join(c if c.isalnum() or c in " ./-" else "_" for c in value if c.isascii()) + '"'
    return str(value).lower() if isinstance(value, bool | float) else str(value)


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    key=st.sampled_from(
        [
            *("head_mass_g", "bbgl_in", "bore_depth_in", "playing_length_in", "trim_as", "bore", "extend"),
            *("shaft", "grip", "ladder", "flex", "soft_steps", "tip_weight_g", "wanted_swingweight"),
            *("raw_length_in", "raw_mass_g"),
        ]
    ),
    value=VALUES,
)
def test_whatever_stands_in_a_club_it_is_taken_as_meant_or_told(read, key, value):
    try:
        order = read(changed('head = "class 9-iron"', f'head = "class 9-iron"\n{key} = {toml_of(value)}'))
    except DataFileError as error:
        assert all(fault.place.file == "order.toml" and fault.next_step for fault in error.faults)  # noqa: PT017
        return
    club, spec = order.clubs[7], order.specs[7]
    head, in_hand = club.head, club.in_hand or ShaftInHand(40.0, 100.0)
    assert spec.shaft in CATALOGUE.shafts.values()
    assert (spec.grip, spec.ladder) == (order.grip, order.ladder)  # the only ones there are for irons
    assert type(spec.soft_steps) is int
    assert -3 <= spec.soft_steps <= 3
    assert 0 <= spec.assembly.tip_weight_g <= 20
    assert 93.5 <= swingweight_oz_in(spec.wanted_swingweight) <= 500
    assert 20 <= (in_hand.length_in or 40) <= 50
    assert 30 <= (in_hand.mass_g or 100) <= 160
    assert 150 <= head.head_mass_g <= 400
    assert -0.5 <= head.bbgl_in <= 4
    assert 0.5 <= head.bore_depth_in <= 4


def test_a_length_for_a_club_that_no_ladder_of_the_order_has_is_one_fault_at_its_key(read):
    with pytest.raises(DataFileError, match=r"\[length\] club: no ladder of the order has a driver") as caught:
        read(changed('club = "6-iron"', 'club = "driver"'))
    assert len(caught.value.faults) == 1


def test_an_empty_order_is_not_asked_for_a_header_line(read):
    with pytest.raises(DataFileError, match=r"order\.toml: the file is empty\. Allowed: a file with its content"):
        read("")
