"""A flex as an order names it: read, written, and the same from either side."""

import dataclasses

import pytest

from trimkit.parts.components import TipKind
from trimkit.parts.errors import TrimRefused
from trimkit.trim.flexplace import FlexPlace, neighbours
from trimkit.trim.plan import plan_club


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("R", FlexPlace("R", "R", 0.0)),
        (" S ", FlexPlace("S", "S", 0.0)),
        ("R/S 0.5", FlexPlace("R", "S", 0.5)),
        ("S/R 0.5", FlexPlace("R", "S", 0.5)),
        ("S/R 1/4", FlexPlace("R", "S", 0.75)),
        ("A/R 1/8", FlexPlace("A", "R", 0.125)),
        ("A / R 0.125", FlexPlace("A", "R", 0.125)),
        ("R/S 0", FlexPlace("R", "R", 0.0)),
        ("R/S 1", FlexPlace("S", "S", 0.0)),
        ("S/R 1", FlexPlace("R", "R", 0.0)),
        ("R/R 0.5", FlexPlace("R", "R", 0.0)),
    ],
)
def test_an_order_s_text_is_read(master, text, place):
    assert FlexPlace.parse(text, master) == place


def test_a_place_written_from_the_stiffer_side_is_planned_as_the_same(wanted):
    turned, plain = (
        plan_club(dataclasses.replace(wanted, flex=flex))
        for flex in (FlexPlace("S", "R", 0.25), FlexPlace("R", "S", 0.75))
    )
    assert turned.flex == plain.flex
    assert turned.tip_trim_in == plain.tip_trim_in == 5.0


def test_it_is_written_as_it_is_read(master):
    assert [str(FlexPlace.parse(text, master)) for text in ("R", "S/R 1/4")] == ["R", "R/S 0.75"]


def test_four_flexes_from_one_master_have_three_neighbours(make):
    shaft = make.steel("four", TipKind.PARALLEL, ("L", "A", "R", "S"))
    assert neighbours(shaft) == (("L", "A"), ("A", "R"), ("R", "S"))
    assert FlexPlace.between("A", "L", 0.25, shaft) == FlexPlace("L", "A", 0.75)


def test_a_discrete_shaft_has_no_neighbours(taper):
    assert neighbours(taper) == ()


@pytest.mark.parametrize("part", ["1e99999999", "1e400/1e400", "1/", "/2", "1/2/3", "5/1_0", "0_2", "1/0", "nan"])
def test_a_part_that_is_no_number_is_refused_at_once(master, part):
    with pytest.raises(TrimRefused):
        FlexPlace.parse(f"R/S {part}", master)


@pytest.mark.parametrize("text", ["X/A 1", "A/X 0", "X/X 0.5", "X"])
def test_a_flex_the_shaft_does_not_have_is_refused_wherever_the_place_lies(master, text):
    with pytest.raises(TrimRefused, match="no flex 'X'"):
        FlexPlace.parse(text, master)
