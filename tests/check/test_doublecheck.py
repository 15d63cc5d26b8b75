"""The double check: right cards pass, a planted difference is found to the hundredth, one bad club moves no line."""

from dataclasses import replace
from functools import cache

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.check.clubcheck import Verdict
from trimkit.check.consistency import Check, CheckTolerances, schedule_findings
from trimkit.check.doublecheck import check_cards, double_check
from trimkit.check.ownline import schedule_clubs_cpm
from trimkit.check.tables import causes_table, double_check_table, findings_table
from trimkit.check.wrongcuts import Cause
from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set, plan_order
from trimkit.parts.errors import ModelError
from trimkit.parts.sources import Standing
from trimkit.trim.bore import BoreChoice
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import plan_club
from trimkit.trim.schedule import TrimSchedule

ORDERS = {name: shipped_order(name) for name in ("evening_class", "taper_soft_step", "wood_pair")}
ORDER = ORDERS["evening_class"]
PLANS = {name: plan_order(order).every_plan() for name, order in ORDERS.items()}
CARDS = {plan.club: card_of(plan, ORDER.assembly) for plan in PLANS["evening_class"]}


def right():
    """The evening class's set as it should be cut."""
    return check_cards(tuple(CARDS.values()))


def checked(**cards):
    """The irons' set with some cards changed; club names with underscores."""
    changed = CARDS | {name.replace("iron_", "") + "-iron": card for name, card in cards.items()}
    return dict(zip(CARDS, check_cards(tuple(changed.values())).clubs, strict=True))


@pytest.mark.parametrize("name", ORDERS)
def test_every_right_card_of_the_demo_orders_is_cut(name):
    check = double_check(build_set(ORDERS[name]))
    assert [club.verdict for club in check.clubs] == [Verdict.CUT] * len(check.clubs)
    assert check.whole_set == ""
    for club in check.clubs:
        assert club.frequency_cpm == pytest.approx(club.rule_cpm, rel=1e-12)
        assert abs(club.deviation_cpm) < 1.0
        assert not club.causes
        assert club.cause == ""
    assert (check.line is None) == (name == "wood_pair")


RIGHT_ONCE = cache(right)


@settings(max_examples=25, deadline=None)
@given(club=st.sampled_from(sorted(CARDS)), off=st.floats(-1.2, 2.5).filter(lambda x: abs(x) > 0.1))
def test_a_planted_tip_trim_is_found_in_cpm_and_in_inches(club, off):
    card = CARDS[club]
    wrong = replace(card, tip_trim_in=card.tip_trim_in + off)
    head, shaft = card.wanted.head, card.wanted.shaft
    if wrong.butt_trim_in < 0 or wrong.tip_trim_in + head.bore_depth_in > shaft.tip_section_in:
        return
    check = check_cards([wrong if name == club else each for name, each in CARDS.items()])
    found = dict(zip(CARDS, check.clubs, strict=True))
    planted_cpm = frequency_cpm(wrong) - frequency_cpm(card)
    before = dict(zip(CARDS, RIGHT_ONCE().clubs, strict=True))[club]
    # The line itself may give way by a part of what the good clubs already scatter by, no more.
    assert found[club].deviation_cpm == pytest.approx(before.deviation_cpm + planted_cpm, abs=0.5)
    assert found[club].verdict is Verdict.STOP
    assert found[club].to_line.change_in == pytest.approx(-off + before.to_line.change_in, abs=0.06)
    assert [name for name, each in found.items() if each.verdict is not Verdict.CUT] == [club]
    # In parts of a flex it has the same sign and the size that the shaft's own gap gives it.
    assert found[club].deviation_flexes * found[club].deviation_cpm >= 0
    own_gap = before.flex_scale.gap_cpm(found[club].line_cpm, stiffer=off > 0)
    assert found[club].deviation_flexes == pytest.approx(found[club].deviation_cpm / own_gap, rel=1e-9)


@pytest.mark.parametrize(("off", "words"), [(0.75, "less off the tip"), (-0.75, "more off the tip")])
def test_the_next_step_says_which_way_the_cut_must_go(off, words):
    card = CARDS["7-iron"]
    found = checked(iron_7=replace(card, tip_trim_in=card.tip_trim_in + off))["7-iron"]
    assert words in found.findings[0].next_step
    assert ("stiffer" if off > 0 else "softer") in found.findings[0].text


@pytest.mark.parametrize(("flex", "side"), [("S", "stiffer"), ("A", "softer")])
def test_a_whole_set_cut_in_another_flex_is_called_what_it_is(flex, side):
    """No club stands out from its own set; the schedule's own clubs tell that all of them are off."""
    other = [plan_club(replace(card.wanted, flex=FlexPlace.at(flex))) for card in CARDS.values()]
    cut = [replace(card, tip_trim_in=plan.tip_trim_in) for card, plan in zip(CARDS.values(), other, strict=True)]
    check = check_cards(cut)
    off = [frequency_cpm(wrong) - frequency_cpm(card) for wrong, card in zip(cut, CARDS.values(), strict=True)]
    (group,) = check.groups
    assert group.shift_cpm == pytest.approx(np.median(off), abs=0.3)
    assert f"{abs(group.shift_cpm):.1f} cpm {side} than the schedule" in check.whole_set
    assert all(club.verdict is Verdict.STOP for club in check.clubs)

    def shifted(cpm):
        return replace(check, groups=(replace(group, shift_cpm=cpm),)).whole_set

    assert shifted(1.9) == shifted(None) == ""
    assert "2.1 cpm stiffer" in shifted(2.1)
    assert "2.1 cpm softer" in shifted(-2.1)


def test_the_line_report_holds_every_club_that_could_be_computed_against_its_place():
    cards = CARDS | {"5-iron": replace(CARDS["5-iron"], tip_trim_in=76.7)}
    check = check_cards(tuple(cards.values()), CheckTolerances(frequency_cpm=3.0))
    (report,) = check.line_reports
    assert (report.line, report.name) == (check.line, "")
    assert [club.club for club in report.clubs] == [name for name in CARDS if name != "5-iron"]
    by_name = dict(zip(CARDS, check.clubs, strict=True))
    for club in report.clubs:
        assert club.deviation_cpm == pytest.approx(by_name[club.club].deviation_cpm)
        assert club.playing_length_in == by_name[club.club].plan.playing_length_in
        assert club.tolerance_cpm == 3.0
    woods = [card_of(plan, ORDERS["wood_pair"].assembly) for plan in PLANS["wood_pair"]]
    assert check_cards(woods).line_reports == ()


def test_a_refused_club_carries_its_card_the_reason_and_what_could_be_computed():
    card = CARDS["6-iron"]
    head = replace(card.wanted.head, bore_diameter_in=0.355)
    refused = replace(card, wanted=replace(card.wanted, head=head))
    club = checked(iron_6=refused)["6-iron"]
    first = club.findings[0]
    assert (club.card, club.plan, club.rule_cpm, club.flex_scale) == (refused, None, None, None)
    assert (first.check, first.amount, first.tolerance, first.unit) == (Check.RULE, float("inf"), 0.0, "in")
    assert "0.355 in" in first.text
    assert first.next_step
    assert club.frequency_cpm == pytest.approx(frequency_cpm(card))
    assert (club.to_line, club.deviation_flexes) == (None, None)
    assert club.cause


def test_a_cut_off_the_rule_is_told_in_both_of_its_numbers():
    card = CARDS["8-iron"]
    wrong = replace(card, tip_trim_in=card.tip_trim_in + 0.125, cut_length_in=card.cut_length_in - 0.125)
    told = [each for each in checked(iron_8=wrong)["8-iron"].findings if each.check is Check.RULE]
    assert [each.amount for each in told] == pytest.approx([0.125, -0.125])
    assert [(each.tolerance, each.unit) for each in told] == [(1 / 16, "in")] * 2
    assert f"tip trim is {wrong.tip_trim_in:.3f} in, the rule's {card.tip_trim_in:.3f} in" in told[0].text
    assert f"cut length is {wrong.cut_length_in:.3f} in, the rule's {card.cut_length_in:.3f} in" in told[1].text
    limit = replace(card, tip_trim_in=card.tip_trim_in + 1 / 16)
    assert not [each for each in checked(iron_8=limit)["8-iron"].findings if each.check is Check.RULE]


def test_the_assembly_counts_in_what_the_rule_s_club_would_be():
    card = CARDS["7-iron"]
    heavy = replace(card.assembly, tip_weight_g=8.0)
    club = checked(iron_7=replace(card, assembly=heavy))["7-iron"]
    assert club.rule_cpm == pytest.approx(frequency_cpm(replace(card, assembly=heavy)))
    assert club.rule_cpm < frequency_cpm(card) - 1


def test_only_causes_that_explain_a_card_as_well_are_named_beside_the_best():
    club = checked(iron_7=replace(CARDS["7-iron"], tip_trim_in=CARDS["7-iron"].tip_trim_in + 0.75))["7-iron"]
    causes = (Cause("best", 0.0, 0.5), Cause("as good", 0.0, 0.7), Cause("worse", 0.0, 0.8), Cause("off", 0.1, 0.5))
    assert replace(club, causes=causes).cause == "best (or: as good)"
    assert replace(club, causes=(Cause("far", 0.25, 3.0),)).cause == (
        "none of the mistakes tried; nearest: far (0.25 in off)"
    )


def test_four_wrong_cards_of_ten_are_the_four_that_are_stopped():
    wrong = {
        name: replace(CARDS[name], tip_trim_in=CARDS[name].tip_trim_in + off)
        for name, off in {"4-iron": 1.5, "7-iron": -1.0, "9-iron": 1.0, "3-hybrid": 0.8}.items()
    }
    check = check_cards(tuple((CARDS | wrong).values()))
    assert {club.card.club for club in check.stopped} == set(wrong)


def test_wedges_are_not_taken_for_mistakes_although_the_irons_line_misses_them():
    for club in right().clubs[-2:]:
        straight = right().line.at_cpm(club.plan.playing_length_in)
        assert club.frequency_cpm < straight - 1.5  # below the straight line on purpose
        assert club.verdict is Verdict.CUT


@pytest.mark.parametrize("why", ["", "  "])
def test_a_bore_left_on_purpose_without_a_reason_is_stopped_and_called_what_it_is(why):
    plan = next(plan for plan in PLANS["evening_class"] if plan.club == "sand wedge")
    decided = replace(plan.wanted, decisions=replace(plan.wanted.decisions, bore=BoreChoice.LEAVE, why=why))
    card = card_of(plan_club(decided), ORDER.assembly)
    check = check_cards([*list(CARDS.values())[:-1], card])
    club = check.clubs[-1]
    assert club.verdict is Verdict.STOP
    assert {finding.check for finding in club.findings} == {Check.LINE}
    assert "decided in the order: 0.5 in of the bore's correction left out" in club.cause
    assert club.findings[0].next_step.startswith("the order decides it: write the reason there (why)")
    assert club.verdict_text == Verdict.STOP.value


def test_a_hybrid_placed_by_number_on_purpose_lies_off_the_line_and_says_so():
    wanted = CARDS["3-hybrid"].wanted
    decided = replace(wanted.decisions, trim_as=TrimAs.ENGRAVED)
    card = card_of(plan_club(replace(wanted, decisions=decided)), ORDER.assembly)
    club = check_cards([card, *list(CARDS.values())[1:]]).clubs[0]
    assert club.deviation_cpm > 2.0
    assert "placed by its engraved number" in club.cause
    assert (club.causes[0].misfit_in, club.causes[0].misfit_cpm) == (0.0, 0.0)


def test_two_woods_are_held_against_the_schedules_own_clubs():
    order = ORDERS["wood_pair"]
    driver, wood = (card_of(plan, order.assembly) for plan in PLANS["wood_pair"])
    check = check_cards([driver, replace(wood, tip_trim_in=wood.tip_trim_in + 1)])
    assert check.line is None
    assert [club.verdict for club in check.clubs] == [Verdict.CUT, Verdict.STOP]
    assert check.clubs[1].deviation_cpm > 2


def test_a_card_that_no_shaft_allows_is_impossible_and_the_others_are_still_judged():
    found = checked(iron_5=replace(CARDS["5-iron"], tip_trim_in=76.7), iron_7=CARDS["7-iron"])
    assert found["5-iron"].verdict is Verdict.IMPOSSIBLE
    assert found["5-iron"].frequency_cpm is None
    assert found["5-iron"].deviation_cpm is None
    assert "too short" in " ".join(finding.text for finding in found["5-iron"].findings)
    assert found["7-iron"].verdict is Verdict.CUT


@pytest.mark.parametrize("field", ["tip_trim_in", "cut_length_in", "raw_length_in"])
@pytest.mark.parametrize("value", [float("nan"), float("inf"), -1.0])
def test_numbers_that_are_none_stop_a_club_and_leak_nowhere(field, value):
    found = checked(iron_6=replace(CARDS["6-iron"], **{field: value}))
    assert found["6-iron"].verdict is not Verdict.CUT
    assert all(club.verdict is Verdict.CUT for name, club in found.items() if name != "6-iron")
    assert all(club.line_cpm == club.line_cpm for club in found.values())


def test_a_club_that_the_rules_refuse_says_why():
    card = CARDS["6-iron"]
    head = replace(card.wanted.head, bore_diameter_in=0.355)
    found = checked(iron_6=replace(card, wanted=replace(card.wanted, head=head)))
    assert found["6-iron"].plan is None
    assert found["6-iron"].verdict is not Verdict.CUT
    assert "rules refuse" in found["6-iron"].findings[0].text


def test_a_wider_tolerance_lets_more_through_and_a_narrower_one_less():
    slightly = replace(CARDS["sand wedge"], tip_trim_in=CARDS["sand wedge"].tip_trim_in + 0.2)
    cards = [*list(CARDS.values())[:-1], slightly]
    wide = check_cards(cards, CheckTolerances(frequency_cpm=4.0, cut_in=0.25))
    narrow = check_cards(cards, CheckTolerances(frequency_cpm=0.05))
    assert wide.clubs[-1].verdict is Verdict.CUT
    assert len(narrow.stopped) > 3
    assert CheckTolerances().source.standing is Standing.FROM_MEMORY


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan"), float("inf")])
@pytest.mark.parametrize("name", ["frequency_cpm", "cut_in", "rungs", "raw_mass_fraction", "swingweight_points"])
def test_a_tolerance_that_is_none_is_refused(name, value):
    with pytest.raises(ModelError, match=name):
        CheckTolerances(**{name: value})


def test_no_card_is_refused():
    with pytest.raises(ModelError, match="no card"):
        check_cards([])


def test_the_shipped_schedule_has_no_row_that_stands_out():
    for plan in PLANS["evening_class"]:
        assert schedule_findings(plan.wanted.table, plan.equivalent) == ()


def test_the_tables_hold_a_row_a_club_with_units_and_say_what_was_found():
    check = check_cards(
        [
            *list(CARDS.values())[:-2],
            replace(CARDS["gap wedge"], tip_trim_in=133.0),
            replace(CARDS["sand wedge"], tip_trim_in=5.25),
        ],
    )
    table = double_check_table(check)
    assert list(table.index) == list(CARDS)
    assert table.loc["sand wedge", "likely_cause"].startswith("the correction for the bore left out")
    assert table.loc["sand wedge", "deviation_cpm"] == pytest.approx(check.clubs[-1].deviation_cpm)
    assert table.card_frequency_cpm.isna().sum() == 1
    numbers = [name for name in table.columns if table[name].dtype.kind == "f"]
    assert all(name.endswith(("_in", "_cpm", "_flexes")) for name in numbers)
    assert len(numbers) == 11
    assert set(findings_table(check).index.get_level_values("club")) == {"gap wedge", "sand wedge"}
    assert set(causes_table(check).club) == {"gap wedge", "sand wedge"}
    assert findings_table(right()).empty
    assert causes_table(right()).empty


def test_a_club_whose_clamp_reaches_past_the_grip_is_judged_by_what_is_left_to_judge():
    """Nothing of the mechanics can be computed; what the card says is still looked at."""
    card = CARDS["6-iron"]
    clamped = replace(card, assembly=replace(card.assembly, clamp_in=60.0), cut_length_in=card.cut_length_in + 0.5)
    tolerances = CheckTolerances(cut_in=0.125)
    cards = CARDS | {"6-iron": clamped}
    club = dict(zip(CARDS, check_cards(tuple(cards.values()), tolerances).clubs, strict=True))["6-iron"]
    assert club.verdict is Verdict.IMPOSSIBLE
    assert (club.card, club.frequency_cpm, club.rule_cpm, club.flex_scale) == (clamped, None, None, None)
    assert club.plan.club == "6-iron"
    assert club.tolerances == tolerances
    assert Check.LENGTHS in {finding.check for finding in club.findings}
    assert club.causes == ()
    assert club.cause == club.findings[0].text


def test_what_is_right_has_nothing_to_tell():
    for club in right().clubs:
        assert (club.findings, club.causes) == ((), ())


def test_a_schedule_s_slip_is_looked_at_with_the_tolerance_that_is_stated():
    card = CARDS["7-iron"]
    rows = [
        replace(row, tip_trim_in=row.tip_trim_in + 0.2) if (row.club, row.flex) == ("7-iron", "S") else row
        for row in ORDER.catalogue.schedule_rows
    ]
    wanted = replace(card.wanted, table=TrimSchedule.from_rows(rows, card.wanted.shaft))
    for limit, told in ((0.25, False), (0.1, True)):
        club = check_cards([replace(card, wanted=wanted)], CheckTolerances(schedule_in=limit)).clubs[0]
        assert (Check.SCHEDULE in {finding.check for finding in club.findings}) is told


def test_a_refused_club_has_an_empty_place_in_the_table_and_its_findings_have_their_tolerance():
    card = CARDS["6-iron"]
    head = replace(card.wanted.head, bore_diameter_in=0.355)
    cards = CARDS | {"6-iron": replace(card, wanted=replace(card.wanted, head=head))}
    check = check_cards(tuple(cards.values()))
    table = double_check_table(check)
    row = table.reset_index().set_index("club").loc["6-iron"]
    assert pd.isna(row["rule_tip_trim_in"])
    findings = findings_table(check)
    assert list(findings["tolerance"]) == [each.tolerance for club in check.clubs for each in club.findings]


def wedges_in_a():
    """The class's set with its two wedges in flex A: eight clubs on one line, two on none."""
    soft = [plan_club(replace(card.wanted, flex=FlexPlace.at("A"))) for card in list(CARDS.values())[8:]]
    return [*list(CARDS.values())[:8], *(card_of(plan, ORDER.assembly) for plan in soft)]


def test_a_softer_pair_of_wedges_is_no_mistake_and_moves_no_line():
    cards = wedges_in_a()
    check = check_cards(cards)
    assert [club.verdict for club in check.clubs] == [Verdict.CUT] * 10
    assert [group.places for group in check.groups] == [tuple(range(8)), (8, 9)]
    assert check.clubs[8].deviation_cpm == pytest.approx(cpm_off_schedule(cards)[0], abs=1e-9)
    alone = check_cards(cards[:8])
    assert [club.line_cpm for club in check.clubs[:8]] == [club.line_cpm for club in alone.clubs]
    assert alone.groups[0].line == check.groups[0].line == check.line_reports[0].line
    assert check.line_reports[0].name == f"{cards[0].wanted.shaft.name}, flex R"
    assert len(check.line_reports) == 1


def cpm_off_schedule(cards):
    pair, plans = cards[8:], [plan_club(card.wanted) for card in cards[8:]]
    return [frequency_cpm(card) - own for card, own in zip(pair, schedule_clubs_cpm(pair, plans), strict=True)]


def test_all_clubs_of_one_shaft_and_flex_off_together_block_themselves_and_no_other():
    cards = wedges_in_a()
    heavy = [replace(card, raw_mass_g=1.029 * card.wanted.shaft.raw_mass_g) for card in cards[:8]]
    check = check_cards([*heavy, *cards[8:]])
    assert check.stopped == ()
    shift = check.groups[0].shift_cpm
    assert shift > 2
    assert check.whole_set.startswith(
        f"The clubs on {cards[0].wanted.shaft.name}, flex R, are all {shift:.1f} cpm stiffer than the schedule"
    )
    assert [check.blocks(club) for club in check.clubs] == [True] * 8 + [False] * 2


def test_a_pair_cut_in_another_flex_is_told_for_the_pair_and_a_lone_club_by_its_own_finding():
    cards = wedges_in_a()
    stiff = [replace(card, tip_trim_in=CARDS[card.club].tip_trim_in) for card in cards[8:]]  # as in R
    check = check_cards([*cards[:8], *stiff])
    assert [club.verdict.stops for club in check.clubs] == [False] * 8 + [True] * 2
    assert "flex A, are all" in check.whole_set
    assert check_cards([*cards[:8], stiff[0], cards[9]]).whole_set == ""
    assert check_cards([*cards[:8], stiff[0]]).whole_set == ""


def silent(card, steps=True):
    """The same card on a shaft whose walls or stations nobody knows."""
    shaft = card.wanted.shaft
    sections = tuple(replace(section, wall_in=None) for section in shaft.sections) if steps else ()
    return replace(card, wanted=replace(card.wanted, shaft=replace(shaft, sections=sections, stations=())))


@pytest.mark.parametrize("steps", [True, False])
@pytest.mark.parametrize("name", ORDERS)
def test_without_walls_the_cuts_are_checked_and_the_mechanics_does_not_pretend(name, steps):
    order = ORDERS[name]
    shaft = silent(card_of(PLANS[name][0]), steps).wanted.shaft
    check = double_check(build_set(replace(order, shaft=shaft)))
    assert (check.line, check.line_reports, check.whole_set, check.stopped) == (None, (), "", ())
    (group,) = check.groups
    assert group.shift_cpm is None
    (judged,) = check.judged
    assert judged.endswith(f": on no line, as nothing is predicted: {shaft.unknown}.")
    assert judged.startswith(check.clubs[0].card.club)
    for club in check.clubs:
        assert club.verdict is Verdict.CUTS_AGREE
        assert club.verdict_text == f"cuts agree; no second opinion: {shaft.unknown}"
        computed = (club.frequency_cpm, club.rule_cpm, club.line_cpm, club.flex_scale, club.deviation_cpm, club.to_line)
        assert computed == (None,) * 6
    assert check.no_second_opinion == f"No second opinion by the beam calculation for any club: {shaft.unknown}."


@pytest.mark.parametrize(
    ("number", "off", "check", "cause"),
    [
        ("tip_trim_in", 1.0, Check.RULE, "tip trim read one inch long"),
        ("cut_length_in", 1.0, Check.LENGTHS, "cut length read one inch long"),
        ("raw_length_in", -1.0, Check.RAW_LENGTH, ""),
        ("tip_trim_in", -9.0, Check.FIT, ""),
        ("cut_length_in", 9.0, Check.FIT, ""),
    ],
)
def test_a_mistake_that_needs_no_mechanics_is_stopped_without_walls_too(number, off, check, cause):
    card = silent(CARDS["7-iron"])
    cards = [silent(each) for each in CARDS.values()]
    cards[list(CARDS).index("7-iron")] = replace(card, **{number: getattr(card, number) + off})
    (club,) = check_cards(cards).stopped
    assert club.card.club == "7-iron"
    assert club.verdict is Verdict.STOP
    assert club.verdict_text == f"stop: it does not agree; no second opinion: {card.wanted.shaft.unknown}"
    assert check in {finding.check for finding in club.findings}
    assert not cause or cause in {each.mistake for each in club.causes if each.explains}
    assert {each.misfit_cpm for each in club.causes} <= {None}


def test_a_shaft_off_its_mass_is_stopped_without_walls_too():
    card = silent(CARDS["7-iron"], steps=False)
    (club,) = check_cards([replace(card, raw_mass_g=0.9 * card.wanted.shaft.raw_mass_g)]).clubs
    assert [finding.check for finding in club.findings] == [Check.RAW_MASS]


def test_a_refused_club_without_walls_is_stopped():
    card = silent(CARDS["6-iron"])
    refused = replace(card, wanted=replace(card.wanted, head=replace(card.wanted.head, bore_diameter_in=0.355)))
    assert checked(iron_6=refused)["6-iron"].verdict is Verdict.STOP


def test_in_a_mixed_set_the_others_keep_their_line_and_their_second_opinion():
    mute = {"4-iron", "8-iron"}
    cards = [silent(card) if name in mute else card for name, card in CARDS.items()]
    check = check_cards(cards)
    for name, club in zip(CARDS, check.clubs, strict=True):
        assert club.verdict is (Verdict.CUTS_AGREE if name in mute else Verdict.CUT)
    (report,) = check.line_reports
    seen = [card for name, card in CARDS.items() if name not in mute]
    assert [club.club for club in report.clubs] == [card.club for card in seen]
    assert [club.line_cpm for club in report.clubs] == [club.line_cpm for club in check_cards(seen).clubs]
    assert [len(group.places) for group in check.groups if group.unknown] == [2]
    assert check.no_second_opinion.startswith(
        "No second opinion by the beam calculation for 4-iron, 8-iron: no tube walls"
    )
    wrong = [replace(card, tip_trim_in=card.tip_trim_in + 1) if card.club == "5-iron" else card for card in cards]
    (stopped,) = check_cards(wrong).stopped
    assert stopped.card.club == "5-iron"
    assert stopped.verdict_text == Verdict.STOP.value
    assert stopped.deviation_cpm == pytest.approx(frequency_cpm(stopped.card) - frequency_cpm(CARDS["5-iron"]), abs=1.0)


def test_a_set_that_the_mechanics_saw_has_nothing_to_say_about_it():
    assert RIGHT_ONCE().no_second_opinion == ""
    assert [club.verdict_text for club in RIGHT_ONCE().clubs] == [Verdict.CUT.value] * len(CARDS)
