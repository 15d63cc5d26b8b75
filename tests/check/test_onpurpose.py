"""A club off its line because the order decides it: cut if the mechanics says that it is that, and the order why."""

from dataclasses import replace

import pytest

from trimkit.check.clubcheck import Verdict
from trimkit.check.consistency import Check, CheckTolerances
from trimkit.check.doublecheck import check_cards, double_check
from trimkit.check.onpurpose import on_purpose, undecided_cpm
from trimkit.check.tables import double_check_table
from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.order.file import order_tables
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.trim.bore import BoreChoice, DryFit
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.plan import plan_club
from trimkit.trim.wanted import Decisions

CLASS, TAPER = (shipped_order(name) for name in ("evening_class", "taper_soft_step"))
AT = {"class": CLASS, "taper": TAPER}


def built(of, number, **keys):
    """One of the shipped orders with keys of one club, counted from 1, built."""
    order = AT[of]
    tables = order_tables(order)
    tables["club"][number - 1] |= keys
    return build_set(order_from_tables(tables, order.catalogue))


DECIDED = [
    pytest.param("class", 10, {"bore": "leave"}, id="bore left"),
    pytest.param("class", 1, {"trim_as": "number"}, id="hybrid by its number"),
    pytest.param("taper", 4, {"soft_steps": 0}, id="unstepped"),
    pytest.param("taper", 4, {"soft_steps": 3}, id="stepped further"),
    pytest.param("taper", 4, {"bbgl_in": 1.75, "bore": "leave"}, id="taper head kept"),
]


@pytest.mark.parametrize(("of", "number", "keys"), DECIDED)
def test_a_decision_with_a_reason_is_cut_and_without_one_stopped(of, number, keys):
    with_why, without = (double_check(built(of, number, **keys, **why)) for why in ({"why": "asked for"}, {}))
    club, stopped = with_why.clubs[number - 1], without.clubs[number - 1]
    assert abs(club.deviation_cpm) > 2
    assert (club.verdict, stopped.verdict) == (Verdict.DECIDED, Verdict.STOP)
    assert with_why.stopped == ()
    assert without.stopped == (stopped,)
    assert not with_why.blocks(club)
    assert without.blocks(stopped)
    assert "write the reason there (why)" in stopped.findings[0].next_step
    assert club.findings[0].next_step == "cut it as the order decides (asked for)"
    assert club.causes[0].mistake.startswith("decided in the order: ")
    assert all(each.verdict is Verdict.CUT for n, each in enumerate(with_why.clubs) if n != number - 1)


@pytest.mark.parametrize(("of", "number", "keys"), DECIDED)
def test_the_club_without_its_decisions_is_the_set_s_own_club(of, number, keys):
    own = build_set(AT[of]).clubs[number - 1]
    if "bbgl_in" in keys:  # a taper head at its reference, and else as it is
        own = built(of, number, bbgl_in=1.0).clubs[number - 1]
    club = double_check(built(of, number, **keys, why="asked for")).clubs[number - 1]
    assert club.undecided_cpm == pytest.approx(own.frequency_cpm, abs=1e-6)


def test_the_verdict_says_how_far_off_and_how_much_of_it_is_decided():
    own = build_set(TAPER).clubs[3]
    check = double_check(built("taper", 4, soft_steps=0, why="no longer raw length left"))
    club = check.clubs[3]
    worth = club.frequency_cpm - own.frequency_cpm
    assert worth > 2
    assert club.verdict_text == (
        f"off the line as decided; cut it: {club.deviation_cpm:.1f} cpm stiffer than the line, {worth:.1f} cpm stiffer "
        "by the decision (no longer raw length left)"
    )
    assert double_check_table(check).iloc[3].verdict == club.verdict_text
    assert check.clubs[2].verdict_text == Verdict.CUT.value
    softer = double_check(built("class", 10, bore="leave", why="part shots")).clubs[9]
    assert softer.verdict_text.count("cpm softer") == 2


def test_a_decision_excuses_nothing_but_itself():
    """With a mistake beside it, the club without its decision is off the line too."""
    order = built("taper", 4, soft_steps=0, why="asked for")
    cards = [card_of(club.plan, club.assembly) for club in order.clubs]
    wrong = cards[3].wanted.head
    heavy = replace(cards[3], wanted=replace(cards[3].wanted, head=replace(wrong, head_mass_g=wrong.head_mass_g - 9)))
    club = check_cards([*cards[:3], heavy, *cards[4:]]).clubs[3]
    assert not club.explained
    assert club.verdict is Verdict.STOP
    assert "write the reason" not in club.findings[0].next_step
    # A finding beside the line is not settled by a reason, so none is asked for.
    reasonless = replace(cards[3].wanted, decisions=replace(cards[3].wanted.decisions, why=""))
    bigger = replace(reasonless, dry_fit=DryFit(40.0, 41.0 - 1 / 8))
    asked = [
        check_cards([*cards[:3], replace(cards[3], wanted=each), *cards[4:]]).clubs[3] for each in (reasonless, bigger)
    ]
    assert ["write the reason" in club.findings[0].next_step for club in asked] == [True, False]
    assert {finding.check for finding in asked[1].findings} == {Check.LINE, Check.DRY_FIT, Check.RULE, Check.LENGTHS}
    miscut = replace(cards[3], cut_length_in=cards[3].cut_length_in - 0.25)
    club = check_cards([*cards[:3], miscut, *cards[4:]]).clubs[3]
    assert club.verdict is Verdict.STOP
    assert {finding.check for finding in club.findings} > {Check.LINE}


def test_how_near_the_undecided_club_must_come_is_the_tolerance_of_the_line():
    one = built("taper", 4, soft_steps=0, why="asked for")
    cards = [card_of(club.plan, club.assembly) for club in one.clubs]
    club = check_cards(cards).clubs[3]
    left = abs(club.undecided_cpm - club.line_cpm)
    assert 0 < left < 1
    for limit, verdict in ((left * 1.01, Verdict.DECIDED), (left * 0.99, Verdict.STOP)):
        assert check_cards(cards, CheckTolerances(frequency_cpm=limit)).clubs[3].verdict is verdict


def test_a_reason_alone_decides_nothing():
    one = built("class", 6, why="asked for", head_mass_g=273.0 - 11)
    club = double_check(one).clubs[5]
    assert club.verdict is not Verdict.DECIDED
    assert club.undecided_cpm is None
    assert on_purpose(one.clubs[5].plan, None, 0) == ()


def test_what_cannot_be_taken_back_is_counted_the_same_inches_the_other_way():
    """A shaft with no tip trim left: what the missing correction is worth is read off a cut that is still possible."""
    club = build_set(CLASS).clubs[3]
    plan, wanted = club.plan, club.plan.wanted
    reference = wanted.table.bbgl_reference_in(plan.equivalent)
    low = replace(wanted, head=replace(wanted.head, bbgl_in=reference - plan.schedule_trim_in - 0.25))
    decided = replace(low, decisions=Decisions(bore=BoreChoice.AS_FAR_AS_IT_GOES, why="the head is there"))
    plan = plan_club(decided)
    assert plan.tip_trim_in == 0
    left = plan.bbgl_uncorrected_in
    assert left == pytest.approx(-0.25)
    card = card_of(plan, club.assembly)
    found = undecided_cpm(card, plan, None, 0)
    # The same shaft as if 0.25 in more had been made at its tip: then nothing is missing.
    shaft = plan.wanted.shaft
    more = profile_of(shaft, shaft.raw_length_in).section(0.0, 0.25).mass_g
    first, *others = (
        replace(each, from_tip_in=each.from_tip_in + 0.25, to_tip_in=each.to_tip_in + 0.25) for each in shaft.sections
    )
    longer = replace(
        shaft,
        raw_length_in=shaft.raw_length_in + 0.25,
        tip_section_in=shaft.tip_section_in + 0.25,
        raw_mass_g=shaft.raw_mass_g + float(more),
        sections=(replace(first, from_tip_in=0.0), *others),
    )
    whole = replace(card, wanted=replace(card.wanted, shaft=longer), raw_length_in=card.raw_length_in + 0.25)
    worth = frequency_cpm(card) - frequency_cpm(whole)
    assert worth > 1  # corrected, it would be softer
    assert frequency_cpm(card) - found == pytest.approx(worth, rel=0.05)  # nearly alike on either side of the cut


def test_a_club_placed_the_usual_way_on_purpose_decides_nothing():
    plan = plan_club(replace(build_set(CLASS).clubs[0].plan.wanted, decisions=Decisions(trim_as=TrimAs.MASS)))
    assert on_purpose(plan, None, 0) == ()
    assert undecided_cpm(card_of(plan), plan, None, 0) is None
