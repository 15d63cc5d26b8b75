"""A taper tip in the wrong head: the line does not follow it, and the double check names the head's BBGL."""

import statistics
from dataclasses import replace

import pytest

from trimkit.check.clubcheck import Verdict
from trimkit.check.consistency import Check
from trimkit.check.doublecheck import check_cards, double_check
from trimkit.check.inverse import nearest_raw_length
from trimkit.check.ownline import schedule_clubs_cpm, usual_steps
from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set, plan_order
from trimkit.trim.bore import BoreChoice, DryFit
from trimkit.trim.length import GivenLength
from trimkit.trim.plan import plan_club
from trimkit.trim.wanted import Decisions

STEPPED = shipped_order("taper_soft_step")
PLAIN = replace(STEPPED, soft_steps=0)
CLUBS = [club.head.club for club in PLAIN.clubs]


def with_heads(order, bbgl_in):
    """The order with other BBGL, by club."""
    clubs = tuple(
        replace(each, head=replace(each.head, bbgl_in=bbgl_in.get(each.head.club, each.head.bbgl_in)))
        for each in order.clubs
    )
    return replace(order, clubs=clubs)


def without_reference(order):
    rows = tuple(replace(row, bbgl_reference_in=None) for row in order.catalogue.raw_lengths)
    return replace(order, catalogue=replace(order.catalogue, raw_lengths=rows))


def checked(order):
    return {club.card.club: club for club in double_check(build_set(order)).clubs}


def cards_of(order):
    return {plan.club: card_of(plan, order.assembly) for plan in plan_order(order).every_plan()}


@pytest.mark.parametrize("reference", ["table", "set"])
@pytest.mark.parametrize("order", [PLAIN, STEPPED], ids=["unstepped", "stepped"])
@pytest.mark.parametrize("name", CLUBS)
@pytest.mark.parametrize("bbgl_in", [0.375, 1.625])
def test_the_one_wrong_head_is_stopped_with_its_bbgl_named_in_inches_cpm_and_flexes(order, name, bbgl_in, reference):
    order = order if reference == "table" else without_reference(order)
    right, found = checked(order), checked(with_heads(order, {name: bbgl_in}))
    assert [club for club, each in found.items() if each.verdict is not Verdict.CUT] == [name]
    club = found[name]
    assert [finding.check for finding in club.findings] == [Check.LINE, Check.REFERENCE]
    # With a club at the end of it off, the line may give way by a part of what the good clubs scatter by.
    assert club.deviation_cpm == pytest.approx(
        right[name].deviation_cpm + club.frequency_cpm - right[name].frequency_cpm, abs=1.0
    )
    side = "more" if bbgl_in > 1 else "less"
    assert club.cause.startswith(f"the head's BBGL, {bbgl_in} in: 0.625 in {side} than the reference (1 in")
    assert ("median of the set's heads" in club.cause) is (reference == "set")
    play = "softer" if bbgl_in > 1 else "stiffer"
    worth = club.bore
    assert f"{abs(worth.change_cpm):.1f} cpm {play}, {abs(worth.change_flexes):.2f} of a flex" in club.cause


@pytest.mark.parametrize("order", [PLAIN, STEPPED], ids=["unstepped", "stepped"])
@pytest.mark.parametrize("bbgl_in", [0.5, 1.5])
def test_half_an_inch_stops_every_club_whether_the_line_sees_it_or_gives_way(order, bbgl_in):
    """Half an inch is worth 2.5 to 3.2 cpm here; the line allows 2 and may give way by 1, the reference does not."""
    by_line = set()
    for name in CLUBS:
        found = checked(with_heads(order, {name: bbgl_in}))
        assert [club for club, each in found.items() if each.verdict is not Verdict.CUT] == [name]
        (finding,) = [each for each in found[name].findings if each.check is Check.REFERENCE]
        assert finding.amount == pytest.approx(found[name].bore.change_cpm, abs=1e-9)
        assert (finding.amount < 0) is (bbgl_in > 1)
        assert 2.4 < abs(finding.amount) < 3.3
        assert "measure the BBGL again; " in finding.next_step
        assert found[name].cause.startswith(f"the head's BBGL, {bbgl_in:g} in: 0.5 in ")
        by_line |= {name for each in found[name].findings if each.check is Check.LINE}
    assert by_line < set(CLUBS)


@pytest.mark.parametrize("bbgl_in", [0.75, 1.25])
def test_a_quarter_of_an_inch_is_within_the_tolerance_and_told_by_a_note(bbgl_in):
    built = build_set(with_heads(PLAIN, {"7-iron": bbgl_in}))
    found = {finding.check for club in double_check(built).clubs for finding in club.findings}
    assert Check.REFERENCE not in found
    assert any("By the beam calculation its BBGL makes it " in note.text for note in built.club("7-iron").notes)


def test_a_decision_without_a_reason_still_stops_and_asks_for_one():
    order = with_heads(PLAIN, {"7-iron": 1.5})
    decided = Decisions(bore=BoreChoice.LEAVE)
    clubs = tuple(replace(each, decisions=decided) if each.head.club == "7-iron" else each for each in order.clubs)
    found = checked(replace(order, clubs=clubs))["7-iron"]
    assert found.verdict is Verdict.STOP
    (finding,) = [each for each in found.findings if each.check is Check.REFERENCE]
    assert "write the reason there (why)" in finding.next_step


def test_another_decision_does_not_excuse_a_head_off_its_reference():
    order = with_heads(PLAIN, {"7-iron": 1.5})
    decided = Decisions(outside_rules=True, why="for practice")
    clubs = tuple(replace(each, decisions=decided) if each.head.club == "7-iron" else each for each in order.clubs)
    assert checked(replace(order, clubs=clubs))["7-iron"].verdict is Verdict.STOP


def test_the_line_asks_for_the_reference_whatever_the_head():
    right, wrong = cards_of(PLAIN), cards_of(with_heads(PLAIN, {"9-iron": 1.5, "4-iron": 0.25}))
    asked = [
        schedule_clubs_cpm(list(cards.values()), [plan_club(card.wanted) for card in cards.values()])
        for cards in (right, wrong)
    ]
    assert asked[0] == pytest.approx(asked[1], abs=1e-9)
    reference = {"4-iron": 1.2, "9-iron": 1.2}
    rows = tuple(replace(row, bbgl_reference_in=reference.get(row.club, 1.0)) for row in PLAIN.catalogue.raw_lengths)
    other = cards_of(replace(PLAIN, catalogue=replace(PLAIN.catalogue, raw_lengths=rows)))
    cpm = schedule_clubs_cpm(list(other.values()), [plan_club(card.wanted) for card in other.values()])
    changed = [name for name, one, two in zip(other, asked[0], cpm, strict=True) if abs(one - two) > 1e-9]
    assert changed == list(reference)


def test_a_family_without_any_reference_is_compared_at_the_cards_own_median():
    cards = [
        replace(card, wanted=replace(card.wanted, table=replace(card.wanted.table, set_bbgl_in=None)))
        for card in cards_of(without_reference(with_heads(PLAIN, {"9-iron": 1.5}))).values()
    ]
    found = {club.card.club: club for club in check_cards(cards).clubs}
    assert [name for name, club in found.items() if club.verdict is not Verdict.CUT] == ["9-iron"]
    assert found["9-iron"].bore is None
    asked = schedule_clubs_cpm(cards, [plan_club(card.wanted) for card in cards])
    right = list(cards_of(PLAIN).values())
    assert asked == pytest.approx(schedule_clubs_cpm(right, [plan_club(card.wanted) for card in right]), abs=1e-9)
    dry = [replace(card, wanted=replace(card.wanted, dry_fit=DryFit(40.0, 41.5))) for card in cards]
    assert schedule_clubs_cpm(dry, [plan_club(card.wanted) for card in dry])[0] < asked[0] - 2


def test_a_head_made_up_for_by_another_raw_length_is_on_the_line_and_the_step_alone_is_not():
    """The remedy that the plan names must satisfy the check: one hard step for the head that is half an inch high."""
    cards = cards_of(with_heads(PLAIN, {"9-iron": 1.5}))
    hard = replace(cards["9-iron"].wanted, soft_steps=-1)
    remedied = cards | {"9-iron": card_of(plan_club(hard), PLAIN.assembly)}
    assert [club.verdict for club in check_cards(list(remedied.values())).clubs] == [Verdict.CUT] * len(cards)
    right = cards_of(PLAIN)
    alone = replace(right["9-iron"].wanted, soft_steps=-1)
    check = check_cards(list((right | {"9-iron": card_of(plan_club(alone), PLAIN.assembly)}).values()))
    (club,) = check.stopped
    worth = frequency_cpm(card_of(plan_club(alone), PLAIN.assembly)) - frequency_cpm(right["9-iron"])
    assert club.card.club == "9-iron"
    assert club.deviation_cpm == pytest.approx(checked(PLAIN)["9-iron"].deviation_cpm + worth, abs=0.5)
    assert club.cause.startswith("decided in the order: one hard step, where most of the set has no step")


def test_a_set_is_compared_at_the_step_that_most_of_it_has():
    cards = list(cards_of(PLAIN).values())
    stepped = list(cards_of(STEPPED).values())
    assert usual_steps(cards) == 0
    assert usual_steps([*cards[:3], *stepped[3:]]) == 1
    assert usual_steps([stepped[0], cards[1]]) == 1
    # A club whose raw length ran out is compared with itself unstepped, and so it is not passed over.
    wanted = replace(cards[0].wanted, soft_steps=0)
    last = [replace(card, wanted=replace(card.wanted, soft_steps=5)) for card in cards[1:]]
    plans = [plan_club(wanted), *(plan_club(card.wanted) for card in cards[1:])]
    asked = schedule_clubs_cpm([replace(cards[0], wanted=wanted), *last], plans)
    assert asked[0] == pytest.approx(schedule_clubs_cpm(cards, plans)[0])


def test_a_head_kept_on_purpose_and_why_is_cut_as_decided():
    order = with_heads(PLAIN, {"9-iron": 1.5})
    decided = Decisions(bore=BoreChoice.LEAVE, why="softer")
    clubs = tuple(replace(each, decisions=decided) if each.head.club == "9-iron" else each for each in order.clubs)
    found = checked(replace(order, clubs=clubs))["9-iron"]
    assert found.verdict is Verdict.DECIDED
    assert found.undecided_cpm == pytest.approx(checked(PLAIN)["9-iron"].frequency_cpm, abs=1e-9)  # at its reference
    assert found.cause.startswith("decided in the order: its BBGL 0.5 in more than the reference (1 in), ")
    assert "cpm softer" in found.cause
    assert "decided" not in checked(order)["9-iron"].cause


def test_a_small_difference_is_told_by_the_plan_and_stops_nothing():
    built = build_set(with_heads(PLAIN, {"9-iron": 1.2}))
    assert any("0.2 in more than the reference" in note.text for note in built.club("9-iron").notes)
    assert not double_check(built).stopped


def test_a_whole_set_of_other_heads_is_seen_by_its_shift_and_told_so():
    built = build_set(with_heads(PLAIN, dict.fromkeys(CLUBS, 1.5)))
    check = double_check(built)
    right = build_set(PLAIN).clubs
    changes = [high.frequency_cpm - club.frequency_cpm for high, club in zip(built.clubs, right, strict=True)]
    assert check.groups[0].shift_cpm == pytest.approx(statistics.median(changes), abs=0.1)
    assert "Their heads have 0.5 in more BBGL than the reference." in check.whole_set
    check = double_check(build_set(with_heads(PLAIN, dict.fromkeys(CLUBS, 0.25))))
    assert "Their heads have 0.75 in less BBGL than the reference." in check.whole_set
    most = dict.fromkeys(CLUBS[:4], 1.75)
    assert "Their heads" in double_check(build_set(with_heads(PLAIN, most))).whole_set
    # A set that is off for another reason is not put down to a head or two.
    heavy = replace(PLAIN, assembly=replace(PLAIN.assembly, tip_weight_g=0.0))
    clubs = tuple(replace(each, head=replace(each.head, head_mass_g=each.head.head_mass_g + 8)) for each in heavy.clubs)
    heavy = with_heads(replace(heavy, clubs=clubs), {"9-iron": 1.5})
    whole = double_check(build_set(heavy)).whole_set
    assert whole.endswith("(flex row, shaft, scale)?")


def test_two_taper_clubs_are_held_against_the_familys_own():
    order = replace(with_heads(PLAIN, {"9-iron": 1.5}), clubs=with_heads(PLAIN, {"9-iron": 1.5}).clubs[4:6])
    check = double_check(build_set(order))
    assert check.line is None
    assert [club.verdict for club in check.clubs] == [Verdict.CUT, Verdict.STOP]
    assert "the head's BBGL" in check.clubs[1].cause


def test_the_next_step_names_the_raw_length_that_comes_nearest_to_the_line():
    club = checked(with_heads(PLAIN, {"9-iron": 1.5}))["9-iron"]
    best = min(
        club.card.wanted.table.rows[4:],  # those before are longer than it is worth to try by hand
        key=lambda row: abs(frequency_cpm(replace(club.card, raw_length_in=row.raw_length_in)) - club.line_cpm),
    )
    left = frequency_cpm(replace(club.card, raw_length_in=best.raw_length_in)) - club.line_cpm
    assert left > 0
    words = f"the {best.club}'s, {best.raw_length_in} in, comes nearest, {left:.1f} cpm stiffer"
    assert club.findings[0].next_step.endswith(words)
    low = checked(with_heads(PLAIN, {"9-iron": 0.5}))["9-iron"].findings[0].next_step
    assert "the 8-iron's, 37.25 in, comes nearest" in low
    assert low.endswith("softer")
    # The gap wedge has the family's shortest.
    last = checked(with_heads(PLAIN, {"gap wedge": 1.5}))["gap wedge"].findings[0].next_step
    assert last.endswith("no other raw length of the family comes nearer")


def test_only_raw_lengths_that_reach_are_tried():
    card = cards_of(PLAIN)["6-iron"]
    rows = {row.club: row for row in card.wanted.table.rows}
    assert nearest_raw_length(card, 1000.0).row == rows["9-iron"]  # the next is 36.25 in, and 36.4 stay
    assert nearest_raw_length(card, 1.0).row == rows["2-iron"]
    found = nearest_raw_length(card, frequency_cpm(card) + 0.5)
    assert (found.row, found.frequency_cpm) == (rows["6-iron"], pytest.approx(frequency_cpm(card)))
    exactly = replace(card, cut_length_in=37.25)
    assert nearest_raw_length(exactly, 1000.0).row == rows["8-iron"]
    assert nearest_raw_length(replace(card, cut_length_in=41.0), 300.0) is None
    parallel = next(iter(cards_of(shipped_order()).values()))
    assert nearest_raw_length(parallel, 300.0) is None
    # An extension lies inside the clamp and changes no frequency.
    extended = replace(card, cut_length_in=38.75, extension_in=0.5)
    own = frequency_cpm(replace(extended, raw_length_in=38.75, extension_in=0.0))
    assert nearest_raw_length(extended, own).frequency_cpm == pytest.approx(own)


def test_a_reference_that_the_raw_length_would_not_reach_is_compared_with_an_extension():
    """The head that is high lets a short raw length do; its club at the reference needs half an inch more."""
    order = with_heads(PLAIN, {"9-iron": 1.5})
    clubs = tuple(
        replace(each, length=GivenLength(38.35)) if each.head.club == "9-iron" else each for each in order.clubs
    )
    club = checked(replace(order, clubs=clubs))["9-iron"]
    assert club.card.butt_trim_in == 0.0
    assert club.line_cpm is not None
