"""From a target back to grams: swingweight, MOI, and frequency with swingweight at once, each checked forwards."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.check.weighting import WeighedPart, trim_and_weigh, weigh_set, weight_for_moi, weight_for_swingweight
from trimkit.club.card import card_components, card_of
from trimkit.club.club import build_club, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import plan_order
from trimkit.mechanics.balance import balance, swingweight_oz_in
from trimkit.parts.errors import ModelError

ORDER = shipped_order()
PLANS = plan_order(ORDER).every_plan()
CARDS = [card_of(plan, ORDER.assembly) for plan in PLANS]
SIX = CARDS[4]


def with_weight(card, grams):
    return replace(card, assembly=replace(card.assembly, tip_weight_g=grams))


def with_head(card, grams):
    return replace(card, wanted=replace(card.wanted, head=replace(card.wanted.head, head_mass_g=grams)))


@settings(max_examples=30, deadline=None)
@given(number=st.integers(0, len(CARDS) - 1), grams=st.floats(0, 20))
def test_a_planted_tip_weight_is_found_again_from_swingweight_and_from_moi(number, grams):
    card = CARDS[number]
    made = balance(card_components(with_weight(card, grams)))
    by_swing = weight_for_swingweight(card, float(made.swingweight_oz_in))
    by_moi = weight_for_moi(card, float(made.moi_kg_cm2))
    assert (by_swing.mass_g, by_moi.mass_g) == pytest.approx((grams, grams), abs=1e-8)


def test_a_planted_head_mass_is_found_again_and_its_change_counted():
    made = balance(card_components(with_head(SIX, 272.8)))
    found = weight_for_swingweight(SIX, float(made.swingweight_oz_in), WeighedPart.HEAD)
    assert found.mass_g == pytest.approx(272.8, abs=1e-9)
    assert found.change_g == pytest.approx(5.0, abs=1e-9)
    assert weight_for_moi(SIX, float(made.moi_kg_cm2), WeighedPart.HEAD).mass_g == pytest.approx(272.8)


@pytest.mark.parametrize("part", WeighedPart)
def test_a_weight_says_which_part_and_how_much_heavier_it_must_be(part):
    card = with_weight(SIX, 3.0)
    has = 3.0 if part is WeighedPart.TIP_WEIGHT else SIX.wanted.head.head_mass_g
    own = balance(card_components(card))
    for found in (
        weight_for_swingweight(card, float(own.swingweight_oz_in) + 1.75, part),
        weight_for_moi(card, float(own.moi_kg_cm2) + 20, part),
    ):
        assert found.part is part
        assert found.mass_g == pytest.approx(has + found.change_g)
        assert 0.5 < found.change_g < 4
    assert weight_for_swingweight(card, float(own.swingweight_oz_in)).part is WeighedPart.TIP_WEIGHT
    assert weight_for_moi(card, float(own.moi_kg_cm2)).part is WeighedPart.TIP_WEIGHT


def test_one_point_is_about_two_grams_at_the_head():
    """Common practice, no source: about 2 g at the head are worth one swingweight point."""
    own = float(balance(card_components(SIX)).swingweight_oz_in)
    change = weight_for_swingweight(SIX, own + 1.75, WeighedPart.HEAD).change_g
    assert change == pytest.approx(2.0, abs=0.25)


@settings(max_examples=20, deadline=None)
@given(number=st.integers(0, len(CARDS) - 1), cpm=st.floats(-6, 3), points=st.floats(2, 7))
def test_both_targets_are_met_and_seen_by_the_club_that_is_built_from_them(number, cpm, points):
    plan, card = PLANS[number], CARDS[number]
    before = build_club(plan, ORDER.assembly)
    target_cpm, target_oz_in = before.frequency_cpm + cpm, before.swingweight_oz_in + 1.75 * points
    found = trim_and_weigh(card, target_cpm, target_oz_in)
    assert found.met
    finished = recut(plan, found.trim.tip_trim_in, plan.playing_length_in)
    built = build_club(finished, with_weight(card, found.tip_weight_g).assembly)
    assert built.frequency_cpm == pytest.approx(target_cpm, abs=1e-5)
    assert built.swingweight_oz_in == pytest.approx(target_oz_in, abs=1e-8)
    assert found.swingweight == built.swingweight
    assert (found.target_cpm, found.target_oz_in) == (target_cpm, target_oz_in)


def test_weight_and_cut_pull_at_one_another():
    # The heavier head wants more tip trim for the same frequency than the cut alone would.
    own = build_club(PLANS[4], ORDER.assembly)
    both = trim_and_weigh(SIX, own.frequency_cpm, own.swingweight_oz_in + 1.75 * 3)
    assert both.trim.tip_trim_in > SIX.tip_trim_in + 0.2
    assert both.tip_weight_g > 5
    assert both.rounds > 2


def test_where_the_frequency_is_out_of_reach_the_swingweight_is_met_and_the_rest_is_named():
    both = trim_and_weigh(SIX, 450.0, swingweight_oz_in("D4"))
    assert not both.met
    assert both.trim.missing_cpm > 50
    assert both.swingweight == "D4.0"


def test_a_target_that_only_a_negative_weight_meets_is_refused_club_by_club():
    targets = [float(build_club(plan, ORDER.assembly).frequency_cpm) for plan in PLANS]
    solved = weigh_set(CARDS, targets, swingweight_oz_in("D0"))
    refused = [card.club for card, each in zip(CARDS, solved, strict=True) if isinstance(each, ModelError)]
    heavy = [
        card.club
        for card in CARDS
        if float(balance(card_components(card)).swingweight_oz_in) > swingweight_oz_in("D0") + 0.1
    ]
    assert set(heavy) <= set(refused)
    assert len(refused) < len(CARDS)


def test_one_target_a_club():
    with pytest.raises(ModelError, match="one target per club"):
        weigh_set(CARDS, [330.0], 215.0)


def test_a_weight_in_the_assembly_is_what_the_change_counts_from():
    heavier = with_weight(SIX, 4.0)
    made = float(balance(card_components(heavier)).swingweight_oz_in)
    found = weight_for_swingweight(heavier, made)
    assert (found.mass_g, found.change_g) == pytest.approx((4.0, 0.0), abs=1e-9)
