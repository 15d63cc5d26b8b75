"""The card: copied right, its sums, what its shaft allows, and the shaft in hand by its own mass."""

from dataclasses import replace

import pytest

from trimkit.club.card import card_of, catalogue_mass_g, trim_limits_in
from trimkit.club.clamp import frequencies_cpm, frequency_cpm
from trimkit.club.order import shipped_order
from trimkit.club.set import build_set, plan_order
from trimkit.parts.errors import ModelError

ORDERS = {name: shipped_order(name) for name in ("evening_class", "taper_soft_step", "wood_pair")}
PLANS = [(name, plan) for name, order in ORDERS.items() for plan in plan_order(order).every_plan()]
IDS = [f"{name}: {plan.club}" for name, plan in PLANS]


@pytest.mark.parametrize(("name", "plan"), PLANS, ids=IDS)
def test_a_card_is_its_plan_and_its_sums_close(name, plan):
    card = card_of(plan, ORDERS[name].assembly)
    assert card.butt_trim_in == pytest.approx(plan.butt_trim_in, abs=1e-12)
    assert card.playing_length_in == pytest.approx(plan.playing_length_in, abs=1e-12)
    least, most = trim_limits_in(card)
    assert least == 0
    assert least <= card.tip_trim_in <= most


@pytest.mark.parametrize("name", ORDERS)
def test_a_set_of_cards_measures_what_its_clubs_measure_one_by_one(name):
    order = ORDERS[name]
    cards = [card_of(plan, order.assembly) for plan in plan_order(order).every_plan()]
    together = frequencies_cpm(cards)
    for cpm, card, club in zip(together, cards, build_set(order).clubs, strict=True):
        assert cpm == pytest.approx(frequency_cpm(card), rel=1e-12)
        assert cpm == pytest.approx(club.frequency_cpm, rel=1e-12)


def test_a_shaft_in_hand_that_weighs_more_has_more_wall_and_is_stiffer():
    card = card_of(PLANS[3][1], ORDERS["evening_class"].assembly)
    assert card.profile.mass_g == pytest.approx(catalogue_mass_g(card), rel=1e-9)
    heavy = replace(card, raw_mass_g=1.02 * catalogue_mass_g(card))
    assert heavy.profile.mass_g == pytest.approx(1.02 * catalogue_mass_g(card), rel=1e-9)
    assert frequency_cpm(heavy) > frequency_cpm(card)


def test_a_taper_tip_allows_no_trim():
    plan = next(plan for name, plan in PLANS if name == "taper_soft_step")
    assert trim_limits_in(card_of(plan)) == (0.0, 0.0)


def test_a_cut_length_longer_than_the_shaft_is_refused_in_words():
    card = card_of(PLANS[3][1], ORDERS["evening_class"].assembly)
    with pytest.raises(ModelError, match="raw length"):
        trim_limits_in(replace(card, cut_length_in=card.raw_length_in + 0.5))
