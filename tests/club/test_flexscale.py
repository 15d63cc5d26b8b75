"""The flex scale: the shaft's own schedule anchors it, place and frequency go back and forth, nothing is continued."""

from dataclasses import replace

import numpy as np
import pytest

from trimkit.club.club import build_club
from trimkit.club.flexscale import FlexScale
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError
from trimkit.trim.bore import BoreChoice
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength
from trimkit.trim.plan import plan_club
from trimkit.trim.wanted import Decisions

BUILT = build_set(shipped_order())
SCALE = FlexScale(("A", "R", "S"), (330.0, 340.0, 352.0))


def fraction(cpm):
    """The place that the scale says, as a number: 0 the softest flex, 1.5 half-way from the second to the third."""
    flexes, _, part = SCALE.say(cpm, decimals=12).partition(" ")
    return SCALE.flexes.index(flexes.split("/")[0]) + float(part or 0)


def test_what_is_said_is_linear_between_neighbours():
    # numpy's piecewise linear interpolation is the independent way to say the same.
    for cpm in np.linspace(330.5, 351.5, 45):
        assert fraction(cpm) == pytest.approx(np.interp(cpm, SCALE.frequency_cpm, (0, 1, 2)), abs=0.005)


@pytest.mark.parametrize("club", BUILT.clubs, ids=lambda club: club.plan.club)
def test_a_club_cut_to_the_middle_flex_is_said_to_be_it(club):
    assert club.flex_scale.say(club.frequency_cpm) == "R"


@pytest.mark.parametrize(("cpm", "words"), [(329.0, "1.0 cpm softer than A"), (353.5, "1.5 cpm stiffer than S")])
def test_nothing_is_continued_past_the_last_flex(cpm, words):
    assert SCALE.say(cpm) == words


@pytest.mark.parametrize(
    ("cpm", "stiffest", "words"),
    [
        (327.46, 323.44, "4.1 cpm stiffer than S"),  # 4.02 apart, but shown as 327.5 and 323.4
        (323.42, 323.36, "S"),  # both shown as 323.4
        (304.54, 323.4, "5.5 cpm softer than A"),
    ],
)
def test_past_the_last_flex_the_difference_is_that_of_what_is_shown(cpm, stiffest, words):
    assert FlexScale(("A", "S"), (309.96, stiffest)).say(cpm) == words


def test_a_single_flex_has_no_places_between():
    assert FlexScale(("R",), (310.0,)).say(307.5) == "2.5 cpm softer than R"


def test_what_is_no_frequency_is_refused():
    with pytest.raises(ModelError, match="finite"):
        SCALE.say(float("nan"))


def test_the_gap_on_the_side_one_looks_to_counts():
    assert SCALE.flexes_apart(337.5, 340.0) == pytest.approx(-0.25)
    assert SCALE.flexes_apart(343.0, 340.0) == pytest.approx(0.25)
    assert FlexScale(("R",), (310.0,), 10.0).flexes_apart(305.0, 310.0) == pytest.approx(-0.5)


@pytest.mark.parametrize(
    ("flexes", "cpm"), [(("A", "R"), (340.0, 340.0)), (("A", "R"), (340.0,)), ((), ()), (("A", "R"), (341.0, 340.0))]
)
def test_a_scale_that_does_not_rise_is_refused(flexes, cpm):
    with pytest.raises(ModelError, match="rising"):
        FlexScale(flexes, cpm)


@pytest.mark.parametrize(("bbgl_in", "side"), [(1.5, "softer"), (0.5, "stiffer")])
def test_a_taper_tip_s_letter_is_the_club_at_its_bbgl_reference(bbgl_in, side):
    """What a head off the reference makes of the club is told once: the place on the scale is the note's amount."""
    order = replace(shipped_order("taper_soft_step"), soft_steps=0)
    clubs = [replace(club, head=replace(club.head, bbgl_in=bbgl_in)) for club in order.clubs[-2:-1]]
    (club,) = build_set(replace(order, clubs=(*order.clubs[:-2], *clubs))).clubs[-1:]
    assert club.bore is not None
    assert club.flex_text == f"{abs(club.bore.change_cpm):.1f} cpm {side} than R"


@pytest.mark.parametrize("reached", [2, 1, 0])
def test_a_flex_that_the_bore_leaves_no_trim_for_is_the_schedule_s_own_club(reached):
    """A bore so low that the softest flexes would need tip put back: they are those of a head at the BBGL reference."""
    four = next(club for club in BUILT.clubs if club.plan.club == "4-iron")
    wanted, weighted = four.plan.wanted, replace(four.assembly, tip_weight_g=5.0)
    reference_in = wanted.table.bbgl_reference_in(four.plan.equivalent)

    def planned(bbgl_in, flex, **decided):
        head = replace(wanted.head, bbgl_in=bbgl_in)
        return plan_club(replace(wanted, head=head, flex=FlexPlace.at(flex), decisions=Decisions(**decided)))

    whole = [planned(reference_in, flex) for flex in wanted.shaft.flexes]
    low_in = reference_in - 0.25 - [0.0, *(plan.tip_trim_in for plan in whole)][len(whole) - reached]
    low = build_club(planned(low_in, "S", bore=BoreChoice.AS_FAR_AS_IT_GOES, why="the head is there"), weighted)
    below = len(whole) - reached
    expected = [build_club(plan, weighted).frequency_cpm for plan in whole]
    assert low.flex_scale.flexes == wanted.shaft.flexes
    assert low.flex_scale.frequency_cpm[:below] == pytest.approx(expected[:below], abs=1e-9)
    assert (low.flex_text == "S") == (reached > 0)


def test_a_club_that_no_flex_can_be_cut_at_is_its_own_flex():
    """An extended driver: with the schedule's trim the raw shaft would not reach."""
    order = shipped_order("wood_pair")
    decided = Decisions(extend=True, why="long")
    driver = replace(order.clubs[0], length=GivenLength(46.75), decisions=decided)
    (club, _) = build_set(replace(order, clubs=(driver, order.clubs[1]))).clubs
    assert club.plan.extension_in > 0
    assert (club.flex_text, club.flex_scale.flexes) == ("R", ("R",))
