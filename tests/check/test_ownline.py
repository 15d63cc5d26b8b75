"""The set's own line: straight where the schedule's clubs are, bent where they bend, unmoved by a bad club."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from trimkit.check.ownline import FEWEST_FOR_A_LINE, LineGroup, line_groups, own_line, schedule_clubs_cpm
from trimkit.check.setline import SetLine
from trimkit.club.card import Assembly, card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.pulled import with_pulled
from trimkit.club.set import plan_order
from trimkit.parts.errors import TrimRefused
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import plan_club
from trimkit.trim.wanted import Pulled

LENGTHS = [38.5, 38.0, 37.5, 37.0, 36.5, 36.0, 35.5, 35.25]
SCHEDULE = [316.0, 321.5, 327.0, 332.5, 338.0, 343.5, 345.0, 346.0]  # the last two stop gaining


@given(shift=st.floats(-20, 20), tilt=st.floats(-3, 3), bad=st.integers(0, 7), off=st.floats(-40, 40))
def test_a_set_shifted_and_tilted_is_asked_for_just_that_and_a_bad_club_for_the_same(shift, tilt, bad, off):
    good = [cpm + shift + tilt * (37.5 - length) for cpm, length in zip(SCHEDULE, LENGTHS, strict=True)]
    measured = good.copy()
    measured[bad] += off
    own = own_line(LENGTHS, measured, SCHEDULE)
    assert own.asked_cpm == pytest.approx(good, abs=1e-7)


def test_three_bad_clubs_of_eight_at_one_end_move_nothing():
    # A pairwise median would give way here: 3 of 8 is more than its 29 % (Siegel 1982 gives the repeated one 50 %).
    measured = [*SCHEDULE[:5], *(cpm + off for cpm, off in zip(SCHEDULE[5:], (9.0, 17.0, 26.0), strict=True))]
    assert own_line(LENGTHS, measured, SCHEDULE).asked_cpm == pytest.approx(SCHEDULE, abs=1e-7)
    carried_off = stats.theilslopes(np.subtract(measured, SCHEDULE), LENGTHS).slope
    assert abs(carried_off) > 1


def test_a_club_that_cannot_be_is_left_out_and_still_asked():
    own = own_line(LENGTHS, [None, *SCHEDULE[1:]], SCHEDULE)
    assert own.asked_cpm == pytest.approx(SCHEDULE)
    none = own_line(LENGTHS, SCHEDULE, [None, *SCHEDULE[1:]])
    assert none.asked_cpm[0] is None
    assert none.asked_cpm[1:] == pytest.approx(SCHEDULE[1:])


def test_few_clubs_are_asked_for_what_the_schedules_own_make():
    few = FEWEST_FOR_A_LINE - 1
    own = own_line(LENGTHS[:few], [cpm + 5 for cpm in SCHEDULE[:few]], SCHEDULE[:few])
    assert own.line is None
    assert own.asked_cpm == tuple(SCHEDULE[:few])
    assert own.shift_cpm == pytest.approx(5)
    assert own_line(LENGTHS[:1], [None], [None]).shift_cpm is None


def test_the_schedules_own_clubs_do_not_know_what_the_heads_weigh():
    order = shipped_order()
    plans = plan_order(order).every_plan()
    irons = [plan for plan in plans if plan.club.endswith("-iron")]
    own = schedule_clubs_cpm([card_of(plan, order.assembly) for plan in irons], irons)
    steps = np.diff(own)
    # The ladder's irons are even to half a gram, so their frequencies rise evenly; the measured heads scatter more.
    assert np.ptp(steps) < 1.6
    assert (steps > 4).all()


def test_the_schedule_s_own_club_is_clamped_and_glued_as_the_card_s_is():
    order = shipped_order()
    plans = plan_order(order).every_plan()
    plain = schedule_clubs_cpm([card_of(plan) for plan in plans], plans)
    heavy = schedule_clubs_cpm([card_of(plan, Assembly(tip_weight_g=8.0)) for plan in plans], plans)
    soft = schedule_clubs_cpm([card_of(plan, Assembly(root_spring_n_m_per_rad=5000.0)) for plan in plans], plans)
    # About 5 cpm for 10 g of head, 5 to 7 cpm for such a clamp: no source, the size is what is checked.
    assert all(2 < one - other < 8 for one, other in zip(plain, heavy, strict=True))
    assert all(3 < one - other < 10 for one, other in zip(plain, soft, strict=True))


def test_a_hybrid_decided_by_its_number_still_belongs_where_its_mass_puts_it():
    order = shipped_order()
    plan = next(plan for plan in plan_order(order).every_plan() if plan.club == "3-hybrid")
    decided = plan_club(replace(plan.wanted, decisions=replace(plan.wanted.decisions, trim_as=TrimAs.ENGRAVED)))
    assert str(decided.equivalent) != str(plan.equivalent)
    usual, by_number = (schedule_clubs_cpm([card_of(each)], [each])[0] for each in (plan, decided))
    assert by_number == pytest.approx(usual, abs=1e-9)


def ladders_own(name, **assembly):
    """The cards of a demo order whose heads weigh what the ladder says, and what the rules say for them."""
    order = shipped_order(name)
    order = replace(order, assembly=replace(order.assembly, **assembly))
    cards, plans = [], []
    for plan in plan_order(order).every_plan():
        mass = plan.equivalent.interpolate(lambda club, rungs=plan.wanted.ladder: rungs.rung(club).head_mass_g)
        reference = plan.wanted.head.bbgl_in if plan.wanted.dry_fit else 1.0
        head = replace(plan.wanted.head, head_mass_g=mass, bbgl_in=reference, bore_depth_in=1.25)
        plans.append(plan_club(replace(plan.wanted, head=head)))
        cards.append(card_of(plans[-1], order.assembly))
    return cards, plans


@pytest.mark.parametrize("name", ["evening_class", "taper_soft_step"])
def test_a_club_with_the_ladders_own_head_is_the_schedules_own_club(name):
    cards, plans = ladders_own(name, tip_weight_g=4.0, root_spring_n_m_per_rad=4000.0)
    asked = schedule_clubs_cpm(cards, plans)
    own = [frequency_cpm(card) for card in cards]
    at_reference = [number for number, card in enumerate(cards) if card.wanted.dry_fit is None]
    assert [asked[n] for n in at_reference] == pytest.approx([own[n] for n in at_reference], abs=1e-9)


def test_the_schedules_own_club_has_the_schedules_bbgl_and_the_sets_usual_bore_depth():
    cards, plans = ladders_own("evening_class")
    right = schedule_clubs_cpm(cards, plans)
    rows = tuple(replace(row, bbgl_reference_in=1.25) for row in cards[0].wanted.table.rows)
    higher = [replace(card, wanted=replace(card.wanted, table=replace(card.wanted.table, rows=rows))) for card in cards]
    other = schedule_clubs_cpm(higher, [plan_club(card.wanted) for card in higher])
    assert max(np.subtract(other, right)) < -1  # the same trim, a quarter of an inch higher
    deep = [*cards]
    deep[3] = replace(cards[3], wanted=replace(cards[3].wanted, head=replace(cards[3].wanted.head, bore_depth_in=1.75)))
    assert schedule_clubs_cpm(deep, [plan_club(card.wanted) for card in deep]) == pytest.approx(right, abs=1e-9)


@pytest.mark.parametrize("name", ["evening_class", "taper_soft_step"])
def test_a_pulled_shaft_s_own_club_of_the_schedule_is_that_of_the_shaft_as_bought(name):
    _, plans = ladders_own(name)
    pulled = [Pulled(plan.wanted.shaft, plan.raw_length_in, plan.tip_trim_in) for plan in plans]
    again = [
        plan_club(with_pulled(plan.wanted, piece, plan.cut_length_in))
        for plan, piece in zip(plans, pulled, strict=True)
    ]
    new, same = (schedule_clubs_cpm([card_of(plan) for plan in each], each) for each in (plans, again))
    assert same == pytest.approx(new, abs=1e-9)


def test_a_club_whose_longer_raw_length_is_not_made_keeps_its_own():
    _, plans = ladders_own("taper_soft_step")
    table = plans[0].wanted.table
    longest = table.nearest(plans[0].equivalent)
    table = replace(table, rows=table.rows[table.clubs.index(longest) :])
    assert table.find(longest, 1) is None
    first, *others = (replace(plan.wanted, table=table) for plan in plans)
    plans = [plan_club(wanted) for wanted in (first.stepped(0), *others)]
    cards = [card_of(plan) for plan in plans]
    assert schedule_clubs_cpm(cards, plans)[0] == pytest.approx(frequency_cpm(cards[0]), abs=1e-9)


def test_clubs_on_another_shaft_or_in_another_flex_have_no_part_in_a_line():
    cards, plans = ladders_own("evening_class")
    lengths = [plan.playing_length_in for plan in plans]
    cpm = [frequency_cpm(card) for card in cards]
    (whole,), asked = line_groups(cards, plans, lengths, cpm)
    assert (whole.places, whole.soft_steps) == (tuple(range(10)), 0)
    assert whole.line == own_line(lengths, cpm, schedule_clubs_cpm(cards, plans)).line
    assert asked == own_line(lengths, cpm, schedule_clubs_cpm(cards, plans)).asked_cpm
    stiff = [replace(card.wanted, flex=FlexPlace.at("S")) for card in cards[8:]]
    others = [plan_club(wanted) for wanted in stiff]
    mixed_cards = [*cards[:8], *(card_of(plan, cards[0].assembly) for plan in others)]
    mixed_cpm = [*cpm[:8], *(each + 40 for each in cpm[8:])]
    groups, mixed = line_groups(mixed_cards, [*plans[:8], *others], lengths, mixed_cpm)
    assert [(group.flex, group.places) for group in groups] == [("R", tuple(range(8))), ("S", (8, 9))]
    assert {group.shaft for group in groups} == {cards[0].wanted.shaft.name}
    assert mixed[:8] == own_line(lengths[:8], cpm[:8], schedule_clubs_cpm(cards[:8], plans[:8])).asked_cpm
    assert groups[1].line is None
    assert mixed[8:] == tuple(schedule_clubs_cpm(mixed_cards[8:], others))  # whatever they measure


def test_a_group_says_what_was_done_with_which_clubs():
    group = LineGroup("a shaft", "R", (0, 1), ("8-iron", "9-iron"), 0, None, None)
    few = "fewer than 4 clubs have no line; each is judged against the schedule's own club."
    assert group.said == f"8-iron, 9-iron (a shaft, flex R): {few}"
    assert "; it is judged" in replace(group, places=(0,), clubs=("8-iron",)).said
    four = replace(group, places=(0, 1, 2, 3), clubs=("6-iron",) * 4)
    assert "no line goes through them; each is" in four.said
    lined = replace(four, line=SetLine(37.0, 300.0, 4.0))
    assert lined.said == "6-iron, 6-iron, 6-iron, 6-iron (a shaft, flex R): judged on a line of their own."


def test_clubs_on_a_shaft_without_walls_are_a_group_on_no_line_with_the_reason():
    cards, plans = ladders_own("evening_class")
    bare = replace(cards[0].wanted.shaft, sections=())
    silent = [replace(card, wanted=replace(card.wanted, shaft=bare)) for card in cards[:5]]
    lengths = [plan.playing_length_in for plan in plans]
    cpm = [None] * 5 + [frequency_cpm(card) for card in cards[5:]]
    groups, asked = line_groups([*silent, *cards[5:]], plans, lengths, cpm)
    assert [(group.unknown, group.line is None) for group in groups] == [(bare.unknown, True), ("", False)]
    assert groups[0].said.endswith(f"): on no line, as nothing is predicted: {bare.unknown}.")
    assert groups[1].places == tuple(range(5, 10))
    assert None not in asked[5:]


def test_a_club_whose_flex_the_shaft_lacks_is_a_group_by_itself_and_breaks_nothing():
    cards, plans = ladders_own("evening_class")
    odd = replace(cards[0], wanted=replace(cards[0].wanted, flex=FlexPlace.at("Z")))
    refusal = TrimRefused("no flex 'Z'", "R", "choose one")
    lengths, cpm = [plan.playing_length_in for plan in plans], [frequency_cpm(card) for card in cards]
    groups, asked = line_groups([odd, *cards[1:]], [refusal, *plans[1:]], lengths, cpm)
    assert [group.flex for group in groups] == ["Z", "R"]
    assert asked[0] is None
    assert None not in asked[1:]
