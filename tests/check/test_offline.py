"""What is said of a club off its line: its amount, its tolerance, and the next step for each way out."""

from dataclasses import replace

import pytest

from trimkit.check.consistency import Check
from trimkit.check.inverse import trim_for
from trimkit.check.offline import off_line, off_rule, say_side
from trimkit.check.onpurpose import on_purpose
from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.trim.bore import BoreChoice
from trimkit.trim.plan import plan_club
from trimkit.trim.wanted import Decisions

CLUB = build_set(shipped_order()).club("6-iron")
CARD = card_of(CLUB.plan, CLUB.assembly)
TAPER = build_set(shipped_order("taper_soft_step")).club("6-iron")


def decided(why):
    return replace(CARD, wanted=replace(CARD.wanted, decisions=Decisions(bore=BoreChoice.LEAVE, why=why)))


def test_a_finding_on_the_line_has_its_amount_and_its_tolerance():
    found = off_line(CARD, -3.5, None, 1.5, explained=False)
    assert (found.check, found.amount, found.tolerance, found.unit) == (Check.LINE, -3.5, 1.5, "cpm")
    assert found.text == "By the beam calculation it would be 3.5 cpm softer than the set's line calls for."
    assert found.next_step == "find the mistake before cutting"
    assert "3.5 cpm stiffer" in off_line(CARD, 3.5, None, 1.5, explained=False).text
    assert (say_side(0.4), say_side(-0.4)) == ("0.4 cpm stiffer", "0.4 cpm softer")


@pytest.mark.parametrize(("off_cpm", "words"), [(2.5, "more off the tip"), (-2.5, "less off the tip")])
def test_what_the_tip_can_make_up_for_is_told_in_inches(off_cpm, words):
    to_line = trim_for(CARD, frequency_cpm(CARD) + off_cpm)
    step = off_line(CARD, -off_cpm, to_line, 2.0, explained=False).next_step
    assert step.startswith("find the mistake; ")
    assert step.endswith(f"{words} would put it on the line")


def test_what_no_tip_trim_can_make_up_for_says_what_stops_it_and_which_raw_length_comes_nearest():
    card = card_of(TAPER.plan, TAPER.assembly)
    to_line = trim_for(card, TAPER.frequency_cpm + 4)  # about a step
    step = off_line(card, -4.0, to_line, 2.0, explained=False).next_step
    assert step.startswith(f"find the mistake; no tip trim puts it on the line ({to_line.limit}): the 6-iron's, ")
    unstepped = build_club(plan_club(TAPER.plan.wanted.stepped(0)), TAPER.assembly)
    left_cpm = unstepped.frequency_cpm - (TAPER.frequency_cpm + 4)
    assert step.endswith(f"comes nearest, {abs(left_cpm):.1f} cpm {'stiffer' if left_cpm > 0 else 'softer'}")
    own = off_line(card, -0.5, trim_for(card, TAPER.frequency_cpm + 0.5), 0.1, explained=False).next_step
    assert own.endswith(": no other raw length of the family comes nearer")


def test_a_parallel_tip_that_no_trim_puts_on_the_line_names_no_raw_length():
    to_line = trim_for(CARD, 200.0)
    step = off_line(CARD, 90.0, to_line, 2.0, explained=False).next_step
    assert not to_line.met
    assert step == f"find the mistake; no tip trim puts it on the line ({to_line.limit})"


def test_what_the_order_explains_is_cut_with_a_reason_and_asks_for_one_without():
    assert (
        off_line(decided(" softer "), 3.0, None, 2.0, explained=True).next_step
        == "cut it as the order decides (softer)"
    )
    asked = off_line(decided(" "), 3.0, None, 2.0, explained=True).next_step
    assert asked.startswith(
        "the order decides it: write the reason there (why) and it may be cut so; without one, find"
    )
    assert off_line(decided("softer"), 3.0, None, 2.0, explained=False).next_step == "find the mistake before cutting"


def test_a_cut_is_off_the_rule_from_more_than_the_tolerance():
    wrong = replace(CARD, tip_trim_in=CARD.tip_trim_in + 0.25, cut_length_in=CARD.cut_length_in - 0.125)
    assert [(each.check, each.unit) for each in off_rule(wrong, CLUB.plan, 1 / 16)] == [(Check.RULE, "in")] * 2
    assert [each.amount for each in off_rule(wrong, CLUB.plan, 1 / 16)] == pytest.approx([0.25, -0.125])
    assert [each.amount for each in off_rule(wrong, CLUB.plan, 0.125)] == pytest.approx([0.25])
    assert [each.tolerance for each in off_rule(wrong, CLUB.plan, 0.125)] == [0.125]
    assert list(off_rule(wrong, CLUB.plan, 0.25)) == []
    trim, cut = (each.text for each in off_rule(wrong, CLUB.plan, 1 / 16))
    assert trim == f"The card's tip trim is {wrong.tip_trim_in:.3f} in, the rule's {CARD.tip_trim_in:.3f} in."
    assert cut.startswith(f"The card's cut length is {wrong.cut_length_in:.3f} in")


def test_a_decision_as_a_cause_explains_the_card_whole():
    sand = build_set(shipped_order()).club("sand wedge").plan
    left = plan_club(replace(sand.wanted, decisions=Decisions(bore=BoreChoice.LEAVE)))
    step = plan_club(TAPER.plan.wanted.stepped(0))
    for plan, words in ((left, "0.5 in of the bore's correction left out"), (step, "no step, where most of the set")):
        (cause,) = on_purpose(plan, None, 1)
        assert words in cause.mistake
        assert (cause.misfit_in, cause.misfit_cpm, cause.explains) == (0.0, 0.0, True)
