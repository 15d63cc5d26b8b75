"""The card: copied right, its sums, what its shaft allows, and the shaft in hand by its own mass."""

from dataclasses import replace

import pytest

from trimkit.club.card import card_of, catalogue_mass_g, on_other_raw_length, trim_limits_in
from trimkit.club.clamp import frequencies_cpm, frequency_cpm
from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set, plan_order
from trimkit.parts.errors import ModelError
from trimkit.trim.plan import plan_club
from trimkit.trim.wanted import ShaftInHand

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


def test_a_short_parallel_piece_should_weigh_what_its_lower_part_weighs():
    """By hand: the tubes' cross sections up to the piece's end, scaled as the whole shaft is to its measured mass."""
    card = card_of(PLANS[3][1], ORDERS["evening_class"].assembly)
    shaft = card.wanted.shaft

    def in_cubic_inches(end_in):
        areas = [(s.outer_diameter_in - s.wall_in) * s.wall_in for s in shaft.sections]
        lengths = [max(0.0, min(s.to_tip_in, end_in) - s.from_tip_in) for s in shaft.sections]
        return sum(area * length for area, length in zip(areas, lengths, strict=True))

    for length in (shaft.raw_length_in - 0.5, shaft.raw_length_in - 3):
        part = in_cubic_inches(length) / in_cubic_inches(shaft.raw_length_in)
        short = replace(card, raw_length_in=length)
        assert catalogue_mass_g(short) == pytest.approx(part * shaft.raw_mass_g, rel=2e-3)  # walls scaled, not areas
        assert catalogue_mass_g(short) < shaft.raw_mass_g - 1
        # Weighing what it should, it is the catalogue's shaft; a longer one has nothing more described.
        as_described = replace(short, raw_mass_g=catalogue_mass_g(short))
        assert frequency_cpm(as_described) == pytest.approx(frequency_cpm(card), rel=1e-9)
    assert catalogue_mass_g(replace(card, raw_length_in=shaft.raw_length_in + 1 / 32)) == shaft.raw_mass_g


def test_a_shaft_as_heavy_on_another_raw_length_keeps_its_part_of_the_mass():
    plan = next(plan for name, plan in PLANS if name == "taper_soft_step")
    card = card_of(plan)
    other = plan_club(plan.wanted.stepped(0))
    assert other.raw_length_in < plan.raw_length_in
    assert on_other_raw_length(card, other) == card_of(other)
    heavy = on_other_raw_length(replace(card, raw_mass_g=1.02 * catalogue_mass_g(card)), other)
    assert heavy.raw_length_in == other.raw_length_in
    assert heavy.raw_mass_g == pytest.approx(1.02 * catalogue_mass_g(card_of(other)), rel=1e-9)


def test_a_stepped_club_from_a_shaft_in_hand_has_the_scale_of_its_own_family():
    """The shaft in hand is this club's raw length: the unstepped club of the scale is on another, as heavy for it."""
    name, plan = next((name, plan) for name, plan in PLANS if name == "taper_soft_step")
    usual = build_club(plan, ORDERS[name].assembly)
    in_hand = ShaftInHand(plan.raw_length_in, catalogue_mass_g(card_of(plan)))
    same = build_club(plan_club(replace(plan.wanted, in_hand=in_hand)), ORDERS[name].assembly)
    assert same.frequency_cpm == pytest.approx(usual.frequency_cpm, abs=1e-6)
    assert same.flex_scale.frequency_cpm == pytest.approx(usual.flex_scale.frequency_cpm, abs=1e-6)
    heavier = replace(in_hand, mass_g=1.02 * in_hand.mass_g)
    heavy = build_club(plan_club(replace(plan.wanted, in_hand=heavier)), ORDERS[name].assembly)
    assert heavy.flex_scale.frequency_cpm[0] > usual.flex_scale.frequency_cpm[0] + 1
