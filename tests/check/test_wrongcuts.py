"""Mistakes in the cuts: each, made on purpose, is the best explanation of the card that it writes."""

from dataclasses import replace

import pytest

from trimkit.check.wrongcuts import CARD_READING_IN, Cause, cutting_causes
from trimkit.club.card import card_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import plan_order
from trimkit.trim.bore import BoreChoice, DryFit
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.plan import plan_club

ORDER = shipped_order()
PLANS = {plan.club: plan for plan in plan_order(ORDER).every_plan()}
SAND = PLANS["sand wedge"]


def best(plan, others=(), **cuts):
    return cutting_causes(replace(card_of(plan, ORDER.assembly), **cuts), plan, others)[0]


@pytest.mark.parametrize(
    ("club", "tip_in", "cut_in", "words"),
    [
        ("sand wedge", -0.5, 0.0, "bore left out"),
        ("sand wedge", -1.0, 0.0, "wrong sign"),
        ("sand wedge", 0.5, 0.0, "bore applied twice"),
        ("7-iron", 1.5, 0.0, "S instead of R"),
        ("7-iron", -1.25, 0.0, "A instead of R"),
        ("7-iron", 0.5, 0.0, "8-iron instead of 7-iron"),
        ("7-iron", -0.5, 0.0, "6-iron instead of 7-iron"),
        ("7-iron", 0.0, 0.1, "cap forgotten"),
        ("7-iron", 0.0, -0.1, "cap taken off twice"),
        ("5-iron", 0.0, 1.12, "playing length cut as shaft"),
        ("5-iron", 0.0, -1.02, "BBGL taken off"),
        ("8-iron", -1.0, 0.0, "one inch short"),
    ],
)
def test_a_known_error_in_inches_has_its_name(club, tip_in, cut_in, words):
    plan = PLANS[club]
    cause = best(plan, tip_trim_in=plan.tip_trim_in + tip_in, cut_length_in=plan.cut_length_in + cut_in)
    assert words in cause.mistake
    assert cause.explains
    assert cause.misfit_cpm == pytest.approx(0, abs=0.3)


def test_a_misfit_is_the_larger_distance_and_its_frequency_is_that_of_the_distance():
    cause = best(SAND, tip_trim_in=SAND.tip_trim_in - 0.5 + 0.02)
    assert cause.misfit_in == pytest.approx(0.02)
    assert 0 < cause.misfit_cpm < 0.4


def test_an_error_that_no_mistake_makes_is_not_explained():
    cause = best(PLANS["7-iron"], tip_trim_in=PLANS["7-iron"].tip_trim_in + 0.77)
    assert not cause.explains
    assert cause.misfit_in > CARD_READING_IN


def test_a_mistake_that_changes_nothing_for_a_club_is_not_named():
    # The 6-iron's bore is the schedule's own, so that no mistake about its correction can be the cause.
    causes = cutting_causes(card_of(PLANS["6-iron"], ORDER.assembly), PLANS["6-iron"], ())
    assert not [cause for cause in causes if "correction for the bore" in cause.mistake]


@pytest.mark.parametrize(
    ("club", "tip", "words"),
    [
        ("7-iron", lambda plan: plan.butt_trim_in, "tip and butt swapped"),
        ("7-iron", lambda plan: plan.tip_trim_in / 25.4, "inches of tip trim cut as millimeters"),
        ("7-iron", lambda plan: plan.tip_trim_in / 2.54, "inches of tip trim cut as centimeters"),
        ("5-iron", lambda plan: plan.tip_trim_in * 25.4, "millimeters of tip trim cut as inches"),
        ("8-iron", lambda plan: plan.tip_trim_in + 1, "tip trim read one inch long"),
        ("sand wedge", lambda plan: plan.tip_trim_in - 0.5 + plan.wanted.bbgl_in, "whole BBGL"),
        ("sand wedge", lambda plan: plan.tip_trim_in - 0.5 + 0.5 * 25.4, "bore in millimeters taken as inches"),
    ],
)
def test_a_number_taken_for_another_is_named(club, tip, words):
    plan = PLANS[club]
    causes = cutting_causes(replace(card_of(plan, ORDER.assembly), tip_trim_in=tip(plan)), plan, ())
    assert any(words in cause.mistake and cause.explains for cause in causes)


def test_another_clubs_cuts_are_named_whole_and_each_alone():
    plan, other = PLANS["7-iron"], card_of(PLANS["5-iron"], ORDER.assembly)
    cuts = {"tip_trim_in": other.tip_trim_in, "cut_length_in": other.cut_length_in}
    assert best(plan, [other], **cuts).mistake == "the cuts of another club: the 5-iron"
    alone = best(plan, [other], cut_length_in=other.cut_length_in)
    assert alone.mistake == "the cut length of another club: the 5-iron"
    tips = cutting_causes(replace(card_of(plan, ORDER.assembly), tip_trim_in=other.tip_trim_in), plan, [other])
    assert "the tip trim of another club: the 5-iron" in [cause.mistake for cause in tips if cause.explains]


def test_the_heads_table_used_against_the_dry_fit():
    wanted = PLANS["6-iron"].wanted
    table = wanted.head.bbgl_in
    plan = plan_club(replace(wanted, dry_fit=DryFit(30.0, 30.0 + table + 0.25)))
    # A quarter of an inch less off the tip and a quarter more of shaft, as the table has it.
    cause = best(plan, tip_trim_in=plan.tip_trim_in - 0.25, cut_length_in=plan.cut_length_in + 0.25)
    assert cause.mistake == "the head's table used against the dry fit"
    assert cause.misfit_in == pytest.approx(0, abs=1e-9)


def test_a_bore_corrected_although_it_was_to_be_left_alone():
    decided = replace(SAND.wanted.decisions, bore=BoreChoice.LEAVE, why="softer")
    plan = plan_club(replace(SAND.wanted, decisions=decided))
    causes = cutting_causes(card_of(SAND, ORDER.assembly), plan, ())
    (cause,) = [cause for cause in causes if "left as is" in cause.mistake]
    assert cause.misfit_in == pytest.approx(0, abs=1e-9)
    assert cause.misfit_cpm == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize(
    ("club", "words"), [("4-hybrid", "by its engraved number"), ("3-hybrid", "by its engraved number")]
)
def test_a_hybrid_cut_by_its_number_is_named_whole_or_its_row_alone(club, words):
    plan = PLANS[club]
    other = plan_club(replace(plan.wanted, decisions=replace(plan.wanted.decisions, trim_as=TrimAs.ENGRAVED)))
    whole = best(plan, tip_trim_in=other.tip_trim_in, cut_length_in=other.cut_length_in)
    assert whole.mistake == f"placed {words}, as a {other.equivalent}"
    row = cutting_causes(replace(card_of(plan, ORDER.assembly), tip_trim_in=other.tip_trim_in), plan, ())
    assert f"the row {words}, the length as it should be" in [cause.mistake for cause in row if cause.explains]


def test_an_iron_cut_by_its_mass_is_named():
    wanted = PLANS["7-iron"].wanted
    wanted = replace(wanted, head=replace(wanted.head, head_mass_g=wanted.head.head_mass_g + 5))
    plan = plan_club(wanted)
    other = plan_club(replace(wanted, decisions=replace(wanted.decisions, trim_as=TrimAs.MASS)))
    cause = best(plan, tip_trim_in=other.tip_trim_in, cut_length_in=other.cut_length_in)
    assert cause.mistake == f"placed by its mass, as a {other.equivalent}"


def test_on_a_taper_tip_another_raw_length_and_the_step_left_out_are_named():
    order = shipped_order("taper_soft_step")
    plans = plan_order(order).every_plan()
    plan = plans[2]
    family = plan.wanted.table
    unstepped = family.row(family.nearest(plan.equivalent)).raw_length_in
    assert unstepped != plan.raw_length_in
    causes = cutting_causes(replace(card_of(plan, order.assembly), raw_length_in=unstepped), plan, ())
    named = {cause.mistake: cause for cause in causes}
    assert named["the step left out"].misfit_in == pytest.approx(0, abs=1e-9)
    assert named["the step left out"].misfit_cpm == pytest.approx(0, abs=1e-6)
    others = [name for name in named if name.startswith("another raw length")]
    assert len(others) == len({row.raw_length_in for row in family.rows} - {plan.raw_length_in})
    assert any("'s instead of the one for the" in name and "None" not in name for name in others)


def test_the_best_cause_comes_first():
    plan = PLANS["7-iron"]
    causes = cutting_causes(replace(card_of(plan, ORDER.assembly), tip_trim_in=plan.tip_trim_in + 0.5), plan, ())
    readings = [round(cause.misfit_in / CARD_READING_IN) for cause in causes]
    assert readings == sorted(readings)


def test_a_card_that_no_shaft_allows_still_has_its_causes_in_inches():
    plan = PLANS["7-iron"]
    causes = cutting_causes(replace(card_of(plan, ORDER.assembly), tip_trim_in=plan.tip_trim_in * 25.4), plan, ())
    assert causes[0].mistake == "millimeters of tip trim cut as inches"
    assert causes[0].misfit_cpm is None


def test_a_raw_length_of_the_family_explains_its_own_card():
    order = shipped_order("taper_soft_step")
    plan = plan_order(order).every_plan()[2]
    other = next(row for row in plan.wanted.table.rows if row.raw_length_in < plan.raw_length_in - 1)
    cause = best_of(cutting_causes(replace(card_of(plan, order.assembly), raw_length_in=other.raw_length_in), plan, ()))
    assert cause.mistake.startswith(f"another raw length: the {other.club}'s")
    assert cause.misfit_in == 0


def best_of(causes):
    return min(causes, key=lambda cause: cause.misfit_in)


@pytest.mark.parametrize(("off", "words"), [(-1.0, "short"), (1.0, "long")])
def test_a_cut_length_read_an_inch_off(off, words):
    plan = PLANS["6-iron"]
    card = replace(card_of(plan, ORDER.assembly), cut_length_in=plan.cut_length_in + off)
    causes = {cause.mistake: cause for cause in cutting_causes(card, plan, ())}
    assert causes[f"cut length read one inch {words}"].misfit_in == pytest.approx(0, abs=1e-12)


def test_a_reading_of_the_card_is_still_explained():
    assert Cause("any", CARD_READING_IN, None).explains
    assert not Cause("any", CARD_READING_IN + 1e-6, None).explains
