"""Each check on a card alone: silent on a right card, and the amount by hand where one number is changed."""

from dataclasses import replace
from math import inf, nan

import pytest

from trimkit.check.consistency import Check, CheckTolerances, consistency
from trimkit.club.card import card_components, card_of, catalogue_mass_g
from trimkit.club.order import shipped_order
from trimkit.club.set import plan_order
from trimkit.mechanics.balance import balance
from trimkit.parts.errors import ModelError
from trimkit.trim.bore import DryFit

ORDER = shipped_order("evening_class")
PLANS = {plan.club: plan for plan in plan_order(ORDER).every_plan()}
PLAN = PLANS["7-iron"]
CARD = card_of(PLAN, ORDER.assembly)
USUAL = CheckTolerances()


def found(card, plan=PLAN):
    return {finding.check: finding for finding in consistency(card, plan, USUAL)}


@pytest.mark.parametrize("club", PLANS)
def test_a_right_card_is_silent(club):
    assert found(card_of(PLANS[club], ORDER.assembly), PLANS[club]) == {}


def test_a_cut_length_off_by_an_eighth_is_an_eighth_of_playing_length():
    finding = found(replace(CARD, cut_length_in=CARD.cut_length_in + 0.125))[Check.LENGTHS]
    assert finding.amount == pytest.approx(0.125, abs=1e-12)
    assert finding.tolerance == 1 / 16


@pytest.mark.parametrize(("off", "told"), [(0.0624, False), (0.0626, True), (-0.0626, True)])
def test_a_sixteenth_is_the_limit(off, told):
    assert (Check.LENGTHS in found(replace(CARD, cut_length_in=CARD.cut_length_in + off))) is told


def test_cuts_that_are_more_than_the_shaft_name_what_is_missing():
    card = replace(CARD, tip_trim_in=CARD.tip_trim_in + CARD.butt_trim_in + 0.5)
    finding = found(card)[Check.FIT]
    assert finding.amount == pytest.approx(0.5, abs=1e-12)
    assert finding.tolerance == 0
    assert "0.5 in too short" in finding.text


@pytest.mark.parametrize("field", ["tip_trim_in", "cut_length_in", "raw_length_in"])
@pytest.mark.parametrize("value", [nan, inf, -1.0])
def test_a_number_that_no_card_can_have_is_told_and_nothing_is_computed_from_it(field, value):
    findings = consistency(replace(CARD, **{field: value}), None, USUAL)
    assert any(finding.check in (Check.FIT, Check.RAW_LENGTH) for finding in findings)
    for finding in findings:
        assert finding.text
        assert finding.next_step


def test_a_head_of_a_neighbouring_club_is_a_rung_off():
    heavier = PLANS["8-iron"].wanted.head.head_mass_g
    head = replace(CARD.wanted.head, head_mass_g=heavier)
    finding = found(replace(CARD, wanted=replace(CARD.wanted, head=head)))[Check.LADDER]
    assert finding.amount == pytest.approx(1.0, abs=0.1)
    assert finding.unit == "rungs"


def test_a_dry_fit_that_contradicts_the_table_is_told_with_the_difference():
    bare = 30.0
    fit = DryFit(bare_shaft_in=bare, dry_fitted_in=bare + CARD.wanted.head.bbgl_in + 0.25)
    finding = found(replace(CARD, wanted=replace(CARD.wanted, dry_fit=fit)))[Check.DRY_FIT]
    assert finding.amount == pytest.approx(0.25, abs=1e-12)


def test_a_shaft_an_inch_short_and_one_too_heavy():
    assert found(replace(CARD, raw_length_in=CARD.raw_length_in - 1))[Check.RAW_LENGTH].amount == pytest.approx(-1.0)
    heavy = replace(CARD, raw_mass_g=1.05 * catalogue_mass_g(CARD))
    assert found(heavy)[Check.RAW_MASS].amount == pytest.approx(0.05, abs=1e-12)
    assert Check.RAW_MASS not in found(replace(CARD, raw_mass_g=1.02 * catalogue_mass_g(CARD)))


def test_a_swingweight_worked_out_two_points_off_is_two_points():
    own = float(balance(card_components(CARD)).swingweight_oz_in)
    # One point of the letter scale is 1.75 oz in: common practice, no source.
    card = replace(CARD, written_swingweight_oz_in=own + 2 * 1.75)
    assert found(card)[Check.BALANCE].amount == pytest.approx(2.0, abs=1e-9)


@pytest.mark.parametrize("value", [0.0, -1.0, nan, inf])
def test_a_tolerance_is_more_than_nothing(value):
    with pytest.raises(ModelError, match="tolerance"):
        CheckTolerances(cut_in=value)
