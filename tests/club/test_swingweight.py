"""What a club needs for its wanted swingweight: by hand from the lever, and by building the club again with it in."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.check.consistency import CheckTolerances
from trimkit.club.card import card_components, card_of
from trimkit.club.club import build_club
from trimkit.club.order.file import order_tables
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set
from trimkit.club.swingweight import (
    SWINGWEIGHT_TOLERANCE_POINTS,
    SWINGWEIGHT_TOLERANCE_SOURCE,
    SwingweightTolerance,
    swingweight_need,
)
from trimkit.mechanics.balance import swingweight_oz_in, swingweight_text
from trimkit.papers.measured import FinishedTolerances
from trimkit.parts.errors import DataFileError, ModelError
from trimkit.trim.steps import Severity

ORDER = shipped_order()
BUILT = build_set(ORDER)
CLUB = BUILT.club("6-iron")
CARD = card_of(CLUB.plan, CLUB.assembly)
# D0 at 213.5 oz in and 1.75 oz in a point: the letter scale, from memory.
GRAMS_PER_OUNCE = 28.349523125


def points(off):
    """The swingweight this many points from the 6-iron's own, on the letter scale, and how far off it then is."""
    wanted = swingweight_text(CLUB.swingweight_oz_in + 1.75 * off)
    return wanted, (CLUB.swingweight_oz_in - swingweight_oz_in(wanted)) / 1.75


def test_a_light_club_needs_the_grams_that_its_lever_gives():
    """By hand: grams = points x 1.75 oz in x 28.35 g/oz / (distance of the weight from the 14 in fulcrum)."""
    wanted, off = points(3)
    need = swingweight_need(CARD, wanted)
    at = next(part.from_cap_in for part in card_components(CARD) if part.name == "tip weight")
    assert need.points_off == pytest.approx(off)
    assert need.add_g == pytest.approx(-off * 1.75 * GRAMS_PER_OUNCE / (at - 14))
    assert 5 < need.add_g < 8  # about 2 g a point
    assert need.head_too_heavy_g == 0
    assert need.swingweight == wanted


@settings(max_examples=20, deadline=None)
@given(off=st.floats(0.0, 8.0), in_it=st.floats(0.0, 6.0))
def test_the_club_built_again_with_the_weight_in_is_what_was_told(off, in_it):
    wanted, _ = points(off + 4.5)
    need = swingweight_need(replace(CARD, assembly=replace(CARD.assembly, tip_weight_g=in_it)), wanted)
    again = build_club(CLUB.plan, replace(CLUB.assembly, tip_weight_g=in_it + need.add_g))
    assert again.swingweight_oz_in == pytest.approx(swingweight_oz_in(wanted), abs=1e-6)
    assert again.frequency_cpm == pytest.approx(need.frequency_cpm, abs=1e-6)
    assert again.swingweight_oz_in == pytest.approx(need.swingweight_oz_in, abs=1e-9)
    assert need.frequency_cpm < CLUB.frequency_cpm


def test_a_heavy_club_first_loses_the_tip_weight_that_is_in_it():
    with_weight = replace(CARD, assembly=replace(CARD.assembly, tip_weight_g=6.0))
    wanted, _ = points(1)
    need = swingweight_need(with_weight, wanted)
    alone = swingweight_need(CARD, wanted)
    assert -6 < need.add_g < 0
    assert need.add_g + 6 == pytest.approx(alone.add_g)
    assert (need.head_too_heavy_g, need.frequency_cpm) == (0, pytest.approx(alone.frequency_cpm))
    assert "less tip weight make up for it" in need.said


def test_a_club_too_heavy_without_any_tip_weight_has_too_heavy_a_head():
    wanted, off = points(-3)
    for in_it in (0.0, 2.0):
        need = swingweight_need(replace(CARD, assembly=replace(CARD.assembly, tip_weight_g=in_it)), wanted)
        at = next(part.from_cap_in for part in card_components(CARD) if part.name == "head")
        assert need.add_g == -in_it
        assert need.head_too_heavy_g == pytest.approx(off * 1.75 * GRAMS_PER_OUNCE / (at - 14))
        assert need.swingweight_oz_in == pytest.approx(CLUB.swingweight_oz_in)
        assert need.frequency_cpm == pytest.approx(CLUB.frequency_cpm)
        assert ("make up for a part of it" in need.said) is (in_it > 0)
        head = replace(CARD.wanted.head, head_mass_g=CARD.wanted.head.head_mass_g - need.head_too_heavy_g)
        lighter = build_club(replace(CLUB.plan, wanted=replace(CLUB.plan.wanted, head=head)), CLUB.assembly)
        assert lighter.swingweight_oz_in == pytest.approx(swingweight_oz_in(wanted), abs=1e-6)


@pytest.mark.parametrize("side", [1, -1])
def test_beyond_the_tolerance_is_more_than_it_on_either_side(side):
    wanted, off = points(2 * side)
    for tolerance, beyond in ((abs(off), False), (abs(off) - 1e-6, True), (abs(off) + 1, False)):
        need = swingweight_need(CARD, wanted, SwingweightTolerance(tolerance))
        assert need.beyond_tolerance is beyond
        assert (need.note is not None) is beyond


def test_the_tolerance_of_a_swingweight_has_one_home():
    assert FinishedTolerances().swingweight_points == SWINGWEIGHT_TOLERANCE_POINTS == 1.0
    assert CheckTolerances().swingweight_points == SWINGWEIGHT_TOLERANCE_POINTS
    assert FinishedTolerances().swingweight_source == SWINGWEIGHT_TOLERANCE_SOURCE
    wanted, off = points(-1.05)
    assert swingweight_need(CARD, wanted).beyond_tolerance is (abs(off) > 1)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, float("nan")])
def test_a_tolerance_that_is_none_is_refused(tolerance):
    with pytest.raises(ModelError, match="a tolerance of"):
        swingweight_need(CARD, "D0", SwingweightTolerance(tolerance))


def test_what_it_needs_is_said_in_words():
    light, heavy = points(3)[0], points(-3)[0]
    need = swingweight_need(CARD, light)
    assert need.said.startswith(f"{abs(need.points_off):.0f} points lighter than {light}; ")
    assert need.said.endswith(f"{need.add_g:.1f} g more tip weight make up for it, at {need.frequency_cpm:.1f} cpm")
    assert need.note.severity is Severity.NOTE
    assert f"tip weight by {need.add_g:+.1f} g" in need.note.next_step
    heavy_need = swingweight_need(CARD, heavy)
    assert "points heavier than" in heavy_need.said
    assert heavy_need.said.endswith(f"the head is {heavy_need.head_too_heavy_g:.1f} g too heavy")
    assert "lighter head" in heavy_need.note.next_step
    own = swingweight_need(replace(CARD, assembly=replace(CARD.assembly, tip_weight_g=need.add_g)), light)
    assert (own.said, own.note) == (f"{light} as wanted", None)
    much = swingweight_need(CARD, points(12)[0])
    assert much.add_g > 20
    assert "heavier head" in much.note.next_step


def test_a_set_knows_what_each_club_needs_for_its_own_wish():
    tables = order_tables(ORDER)
    tables["club"][4]["wanted_swingweight"] = "D4"
    tables["club"][5]["tip_weight_g"] = 5.0
    built = build_set(order_from_tables(tables, ORDER.catalogue))
    assert [club.need.wanted for club in built.clubs] == ["D0"] * 4 + ["D4"] + ["D0"] * 5
    for club in built.clubs:
        assert club.need == swingweight_need(card_of(club.plan, club.assembly), club.need.wanted)
        assert (club.need.note in club.notes) is club.need.beyond_tolerance
    assert built.clubs[4].need.beyond_tolerance
    del tables["wanted_swingweight"]
    unwanted = build_set(order_from_tables(tables, ORDER.catalogue))
    assert [club.need is None for club in unwanted.clubs] == [True] * 4 + [False] + [True] * 5
    assert unwanted.clubs[0].notes == unwanted.clubs[0].plan.notes


@pytest.mark.parametrize("wish", ["heavy please", "D-2", "Z9", "D", "D10", "nan", "213.5", "D0 or so"])
@pytest.mark.parametrize("of_club", [False, True])
def test_a_wish_that_is_not_on_the_scale_is_told_with_what_is_allowed(wish, of_club):
    tables = order_tables(ORDER)
    if of_club:
        tables["club"][2]["wanted_swingweight"] = wish
    else:
        tables["wanted_swingweight"] = wish
    with pytest.raises(DataFileError) as caught:
        order_from_tables(tables, ORDER.catalogue)
    (fault,) = caught.value.faults
    assert fault.place.key == ("[[club]] 3: " if of_club else "") + "wanted_swingweight"
    assert fault.given == f"the wanted swingweight is {wish!r}"
    assert "such as D0, D1.5 or C9" in fault.allowed


@pytest.mark.parametrize("wish", ["D0", "D1.5", "C9", "d2", " E0 ", "A0", "G9.9"])
def test_a_wish_on_the_scale_is_taken(wish):
    tables = order_tables(ORDER) | {"wanted_swingweight": wish}
    assert order_from_tables(tables, ORDER.catalogue).wanted_swingweight == wish.strip()
