"""Each check on a card alone: silent on a right card, and the amount by hand where one number is changed."""

from dataclasses import replace
from math import inf, nan

import pytest

from trimkit.check.consistency import Check, CheckTolerances, Disagreement, consistency, schedule_findings
from trimkit.club.card import card_components, card_of, catalogue_mass_g
from trimkit.club.order.order import shipped_order
from trimkit.club.set import plan_order
from trimkit.mechanics.balance import balance
from trimkit.parts.errors import ModelError
from trimkit.trim.bore import DryFit
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.schedule import TrimSchedule

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


def well_told(finding):
    """In sentences, with a next step, in the unit and against the tolerance that it names."""
    words = (finding.text, finding.next_step, finding.unit)
    told = all(isinstance(word, str) and word for word in words) and finding.text.endswith(".")
    return isinstance(finding, Disagreement) and told and abs(finding.amount) > finding.tolerance >= 0


def with_head(**changes):
    return replace(CARD, wanted=replace(CARD.wanted, head=replace(CARD.wanted.head, **changes)))


# What is changed, the check that sees it, by how much, against which tolerance, and words of its sentence.
HEAD_G, BBGL = CARD.wanted.head.head_mass_g, CARD.wanted.head.bbgl_in
SWING = float(balance(card_components(CARD)).swingweight_oz_in)
SEEN = [
    (replace(CARD, cut_length_in=CARD.cut_length_in - 0.25), Check.LENGTHS, -0.25, 1 / 16, "in", "of cap add up to"),
    (replace(CARD, tip_trim_in=-0.5), Check.FIT, inf, 0.0, "in", "tip trim of -0.5 in"),
    (replace(CARD, cut_length_in=0.0), Check.FIT, inf, 0.0, "in", "cut length of 0 in"),
    (with_head(bore_diameter_in=0.355), Check.FIT, inf, 0.0, "in", "bore of head"),
    (replace(CARD, tip_trim_in=CARD.wanted.shaft.tip_section_in - 0.5), Check.FIT, inf, 0.0, "in", "parallel tip"),
    (with_head(head_mass_g=HEAD_G - 8), Check.LADDER, None, 0.5, "rungs", "rungs less than the ladder's 7-iron"),
    (with_head(head_mass_g=HEAD_G + 8), Check.LADDER, None, 0.5, "rungs", "rungs more than the ladder's 7-iron"),
    (replace(CARD, raw_length_in=CARD.raw_length_in + 0.5), Check.RAW_LENGTH, 0.5, 1 / 16, "in", "it should be"),
    (replace(CARD, raw_mass_g=0.95 * catalogue_mass_g(CARD)), Check.RAW_MASS, -0.05, 0.03, "of the mass", "weighs"),
    (replace(CARD, written_swingweight_oz_in=SWING - 1.5 * 1.75), Check.BALANCE, -1.5, 1.0, "points", "add up to"),
]


@pytest.mark.parametrize(("card", "check", "amount", "tolerance", "unit", "words"), SEEN)
def test_what_is_seen_is_told_with_amount_tolerance_unit_and_a_next_step(card, check, amount, tolerance, unit, words):
    finding = found(card)[check]
    assert well_told(finding)
    assert amount is None or finding.amount == pytest.approx(amount, abs=1e-9)
    assert (finding.tolerance, finding.unit) == (pytest.approx(tolerance), unit)
    assert words in finding.text


def test_the_limit_itself_is_allowed():
    rung = 1 / abs(found(with_head(head_mass_g=HEAD_G + 6))[Check.LADDER].amount) * 6
    assert Check.LADDER not in found(with_head(head_mass_g=HEAD_G + 0.5 * rung - 1e-6))
    assert Check.RAW_LENGTH not in found(replace(CARD, raw_length_in=CARD.raw_length_in + 1 / 16))
    assert Check.RAW_MASS not in found(replace(CARD, raw_mass_g=1.03 * catalogue_mass_g(CARD)))
    assert Check.BALANCE not in found(replace(CARD, written_swingweight_oz_in=SWING + 1.75))
    assert Check.LENGTHS not in found(replace(CARD, cut_length_in=CARD.cut_length_in + 1 / 16))


def test_a_dry_fit_within_a_sixteenth_agrees():
    def fitted(off_in):
        fit = DryFit(bare_shaft_in=30.0, dry_fitted_in=30.0 + BBGL + off_in)
        return found(replace(CARD, wanted=replace(CARD.wanted, dry_fit=fit)))

    assert Check.DRY_FIT not in fitted(1 / 16)
    assert fitted(-0.125)[Check.DRY_FIT].amount == pytest.approx(-0.125)
    assert well_told(fitted(-0.125)[Check.DRY_FIT])


def test_a_hybrid_may_be_two_rungs_off_and_a_wood_any_number():
    hybrid = card_of(PLANS["4-hybrid"], ORDER.assembly)

    def heavier(card, grams):
        head = replace(card.wanted.head, head_mass_g=card.wanted.head.head_mass_g + grams)
        return {each.check for each in consistency(replace(card, wanted=replace(card.wanted, head=head)), None, USUAL)}

    assert Check.LADDER not in heavier(hybrid, 2)
    assert Check.LADDER in heavier(hybrid, 20)
    order = shipped_order("wood_pair")
    driver = card_of(next(iter(plan_order(order).every_plan())), order.assembly)
    assert Check.LADDER not in heavier(driver, 30)


def test_a_taper_tip_is_never_trimmed():
    order = shipped_order("taper_soft_step")
    plan = plan_order(order).every_plan()[0]
    card = card_of(plan, order.assembly)
    assert Check.FIT not in {each.check for each in consistency(card, plan, USUAL)}
    (finding,) = [each for each in consistency(replace(card, tip_trim_in=0.25), plan, USUAL) if each.check is Check.FIT]
    assert well_told(finding)
    assert finding.amount == 0.25
    assert "never trimmed" in finding.text


def slipped(club, flex, by_in):
    """The demo's schedule with one row off by so much; what the look at each club says of it."""
    table = CARD.wanted.table
    rows = [
        replace(row, tip_trim_in=row.tip_trim_in + by_in) if (row.club, row.flex) == (club, flex) else row
        for row in ORDER.catalogue.schedule_rows
    ]
    schedule = TrimSchedule.from_rows(rows, CARD.wanted.shaft)
    assert schedule.clubs == table.clubs
    return {name: schedule_findings(schedule, EquivalentClub(name, name, 0.0)) for name in schedule.clubs}


def test_the_shipped_schedule_has_no_row_that_stands_out():
    assert not any(slipped("7-iron", "R", 0.0).values())


@pytest.mark.parametrize("by_in", [0.4, -0.4])
def test_a_slip_in_a_row_stands_out_from_its_neighbours_and_from_the_other_flexes(by_in):
    told = slipped("7-iron", "R", by_in)
    assert not told["4-iron"]
    row = [each for each in told["7-iron"] if "its neighbors 6-iron and 8-iron" in each.text]
    gaps = [each for each in told["7-iron"] if each not in row]
    assert all(map(well_told, told["7-iron"]))
    assert {each.check for each in told["7-iron"]} == {Check.SCHEDULE}
    assert [each.amount for each in row] == [pytest.approx(by_in)]
    assert "7-iron R trims" in row[0].text
    # R is the middle of three flexes: the gap below it grows by the slip, the one above it shrinks by as much.
    assert sorted(each.amount for each in gaps) == pytest.approx(sorted((by_in, -by_in)))
    assert {each.tolerance for each in told["7-iron"]} == {0.25}


def test_a_quarter_of_an_inch_is_still_allowed():
    assert not slipped("7-iron", "R", 0.25)["7-iron"]
    assert slipped("7-iron", "R", 0.26)["7-iron"]


@pytest.mark.parametrize("value", [0.0, -1.0, nan, inf])
def test_a_tolerance_is_more_than_nothing(value):
    with pytest.raises(ModelError, match="tolerance"):
        CheckTolerances(cut_in=value)


def test_of_a_place_between_two_clubs_the_one_that_the_schedule_has_is_looked_at():
    table = CARD.wanted.table
    rows = [
        replace(row, tip_trim_in=row.tip_trim_in + 0.4) if (row.club, row.flex) == ("7-iron", "R") else row
        for row in ORDER.catalogue.schedule_rows
    ]
    schedule = TrimSchedule.from_rows(rows, CARD.wanted.shaft)
    assert "1-iron" not in table.clubs
    assert schedule_findings(schedule, EquivalentClub("1-iron", "7-iron", 0.5)) == slipped("7-iron", "R", 0.4)["7-iron"]
