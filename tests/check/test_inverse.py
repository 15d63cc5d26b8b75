"""From a target back to the cut: the planted cut comes back, the limits hold, and who cannot get there is named."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.check.inverse import trim_for, trims_for
from trimkit.check.setline import FLATTEST_SLOPE, STEEPEST_SLOPE, SetLine, fit_line
from trimkit.club.card import card_of, trim_limits_in
from trimkit.club.clamp import frequencies_cpm, frequency_cpm
from trimkit.club.club import build_club, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import plan_order
from trimkit.parts.errors import ModelError

ORDER = shipped_order()
PLANS = {plan.club: plan for plan in plan_order(ORDER).every_plan()}
CARDS = [card_of(plan, ORDER.assembly) for plan in PLANS.values()]
TAPER = [card_of(plan) for plan in plan_order(shipped_order("taper_soft_step")).every_plan()]


def on_line(line):
    return trims_for(CARDS, [line.at_cpm(card.playing_length_in) for card in CARDS])


@settings(max_examples=40, deadline=None)
@given(number=st.integers(0, len(CARDS) - 1), part=st.floats(0, 1))
def test_the_trim_that_made_a_frequency_is_found_again(number, part):
    low, high = trim_limits_in(CARDS[number])
    planted = low + part * (high - low)
    target = frequency_cpm(replace(CARDS[number], tip_trim_in=planted))
    found = trim_for(CARDS[number], target)
    assert found.met
    assert found.tip_trim_in == pytest.approx(planted, abs=1e-7)
    assert found.frequency_cpm == pytest.approx(target, abs=1e-8)


@settings(max_examples=25, deadline=None)
@given(number=st.integers(0, len(CARDS) - 1), softer=st.floats(0.5, 8), stiffer=st.floats(0.5, 8))
def test_a_stiffer_target_wants_more_off_the_tip(number, softer, stiffer):
    own = frequency_cpm(CARDS[number])
    low, high = trims_for([CARDS[number]] * 2, [own - softer, own + stiffer])
    assert low.tip_trim_in < CARDS[number].tip_trim_in < high.tip_trim_in or not (low.met and high.met)


@pytest.mark.parametrize("slope", [FLATTEST_SLOPE, STEEPEST_SLOPE])
def test_a_set_put_on_a_line_has_its_slope(slope):
    anchor = frequency_cpm(CARDS[4])
    found = on_line(SetLine(37.5, anchor, slope.slope_cpm_per_half_in))
    assert all(trim.met for trim in found)
    # Checked through the other way to build a club: the plan cut anew, and its whole prediction.
    built = [
        build_club(recut(plan, trim.tip_trim_in, plan.playing_length_in), ORDER.assembly)
        for plan, trim in zip(PLANS.values(), found, strict=True)
    ]
    line = fit_line([club.plan.playing_length_in for club in built], [club.frequency_cpm for club in built])
    assert line.slope_cpm_per_half_in == pytest.approx(slope.slope_cpm_per_half_in, abs=1e-6)
    assert line.at_cpm(37.5) == pytest.approx(anchor, abs=1e-6)


def test_a_line_too_steep_says_which_clubs_cannot_get_there_and_by_how_much():
    anchor = frequency_cpm(CARDS[4])
    steep = SetLine(37.5, anchor, 20.0)
    found = {trim.card.club: trim for trim in on_line(steep)}
    missed = [club for club, trim in found.items() if not trim.met]
    assert {"3-hybrid", "gap wedge"} <= set(missed)
    long, short = found["3-hybrid"], found["gap wedge"]
    assert long.tip_trim_in == 0.0
    assert long.missing_cpm < 0
    assert "nothing can be added back" in long.limit
    assert short.tip_trim_in == pytest.approx(trim_limits_in(short.card)[1])
    assert short.missing_cpm > 0
    assert "too soft" in short.limit
    for trim in found.values():
        assert trim.frequency_cpm + trim.missing_cpm == pytest.approx(trim.target_cpm, abs=1e-8)


def test_a_change_is_what_more_comes_off_the_tip():
    own = frequency_cpm(CARDS[4])
    for wanted, sign in ((own + 3, 1), (own - 3, -1)):
        found = trim_for(CARDS[4], wanted)
        assert found.change_in == pytest.approx(found.tip_trim_in - CARDS[4].tip_trim_in)
        assert sign * found.change_in > 0.2
        assert (found.target_cpm, found.missing_cpm, found.limit) == (wanted, 0.0, "")


def test_what_stops_a_club_is_told_apart():
    card = CARDS[4]
    raw = trim_for(card, 600.0)
    assert "raw length" in raw.limit
    assert raw.tip_trim_in == pytest.approx(42.0 - card.cut_length_in)
    stub = replace(card, wanted=replace(card.wanted, shaft=replace(card.wanted.shaft, tip_section_in=5.0)))
    filled = trim_for(stub, 600.0)
    assert "fill the bore" in filled.limit
    assert filled.tip_trim_in == pytest.approx(5.0 - card.wanted.head.bore_depth_in)
    allowed = replace(card.wanted.shaft, most_tip_trim_in=card.tip_trim_in + 0.25)
    limited = trim_for(replace(card, wanted=replace(card.wanted, shaft=allowed)), 600.0)
    assert "its maker allows no more" in limited.limit
    assert limited.tip_trim_in == card.tip_trim_in + 0.25


@pytest.mark.parametrize("card", TAPER, ids=lambda card: card.club)
def test_a_taper_tip_is_never_trimmed(card):
    own = frequency_cpm(card)
    assert trim_limits_in(card) == (0.0, 0.0)
    assert trim_for(card, own).met
    for target in (own - 5, own + 5):
        found = trim_for(card, target)
        assert (found.met, found.tip_trim_in) == (False, 0.0)
        assert found.missing_cpm == pytest.approx(target - own)
        assert "never trimmed" in found.limit


def test_one_batch_gives_what_one_club_at_a_time_gives():
    batched = frequencies_cpm([*CARDS, *TAPER])
    single = [frequency_cpm(card) for card in (*CARDS, *TAPER)]
    assert np.allclose(batched, single, rtol=1e-12)


def test_a_card_copied_without_a_mistake_makes_what_its_plan_makes():
    for plan, card in zip(PLANS.values(), CARDS, strict=True):
        built = build_club(plan, ORDER.assembly)
        assert frequency_cpm(card) == pytest.approx(built.frequency_cpm, rel=1e-12)
        assert card.butt_trim_in == pytest.approx(plan.butt_trim_in, abs=1e-12)
        assert card.playing_length_in == pytest.approx(plan.playing_length_in, abs=1e-12)


@pytest.mark.parametrize("target", [0.0, -1.0, float("nan"), float("inf")])
def test_no_frequency_is_refused(target):
    with pytest.raises(ModelError, match="target_cpm"):
        trim_for(CARDS[0], target)


def test_a_target_too_few_is_refused():
    with pytest.raises(ModelError, match="do not fit"):
        trims_for(CARDS[:3], [330.0, 331.0])


def test_a_shaft_that_does_not_reach_is_refused():
    with pytest.raises(ModelError, match="longer shaft"):
        trim_for(replace(CARDS[0], cut_length_in=43.0), 330.0)


def test_the_frequency_of_an_end_is_met_at_that_end():
    for end in trim_limits_in(CARDS[4]):
        target = frequency_cpm(replace(CARDS[4], tip_trim_in=end))
        found = trim_for(CARDS[4], target)
        assert (found.tip_trim_in, found.target_cpm, found.met) == (end, target, True)


def test_every_answer_belongs_to_its_own_card_and_half_a_cpm_is_a_target():
    for target in (0.5, 300.0, 330.0, 900.0):
        for card, found in zip((*CARDS, *TAPER), trims_for([*CARDS, *TAPER], [target] * 17), strict=True):
            assert found.card is card
            assert found.target_cpm == target
            tried = replace(card, tip_trim_in=found.tip_trim_in)
            assert found.frequency_cpm == pytest.approx(frequency_cpm(tried), abs=1e-6)
