"""The checks as tables: a row a club, the objects' own numbers, units in the names, nothing silently missing."""

from dataclasses import replace

import pandas as pd
import pytest

from trimkit.check import tables as checktables
from trimkit.check.doublecheck import check_cards
from trimkit.check.inverse import trims_for
from trimkit.check.setline import SLOPE_CHOICES, set_line
from trimkit.check.stepworth import step_worth
from trimkit.check.weighting import trim_and_weigh
from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set, plan_order
from trimkit.mechanics.balance import swingweight_oz_in
from trimkit.parts.errors import ModelError

ORDER = shipped_order("evening_class")
CARDS = [card_of(plan, ORDER.assembly) for plan in plan_order(ORDER).every_plan()]
WRONG = [replace(CARDS[0], tip_trim_in=CARDS[0].tip_trim_in + 1), *CARDS[1:]]


def checked():
    return check_cards(WRONG)


def test_the_double_check_has_a_row_a_club_with_the_checks_own_numbers():
    table = checktables.double_check_table(checked())
    assert list(table.index) == [card.club for card in CARDS]
    for club in checked().clubs:
        row = table.loc[club.card.club]
        assert row["deviation_cpm"] == club.deviation_cpm
        assert row["card_tip_trim_in"] - row["rule_tip_trim_in"] == pytest.approx(
            club.card.tip_trim_in - club.plan.tip_trim_in, abs=1e-12
        )
        assert row["verdict"] == club.verdict.value
    assert table["deviation_cpm"].dtype == pd.Float64Dtype()


def test_a_frequency_that_cannot_be_is_missing_and_another_column_says_why():
    broken = [replace(CARDS[0], cut_length_in=CARDS[0].raw_length_in + 5), *CARDS[1:]]
    table = checktables.double_check_table(check_cards(broken))
    assert pd.isna(table["card_frequency_cpm"].iloc[0])
    assert table["found_by"].iloc[0]
    assert table["card_frequency_cpm"].iloc[1:].notna().all()


def test_findings_and_causes_belong_to_the_stopped_club():
    findings, causes = checktables.findings_table(checked()), checktables.causes_table(checked(), most=2)
    assert set(findings.index.get_level_values("club")) == {CARDS[0].club}
    assert set(causes["club"]) == {CARDS[0].club}
    assert len(causes) <= 2
    assert causes["mistake"].iloc[0] in checked().clubs[0].cause


def test_the_line_and_its_slopes():
    report = set_line([(c.plan.club, c.plan.playing_length_in, c.frequency_cpm) for c in build_set(ORDER).clubs])
    table = checktables.line_table(report)
    assert (table["frequency_cpm"] - table["line_cpm"] - table["deviation_cpm"]).abs().max() < 1e-9
    slopes = checktables.slope_table(report)
    assert len(slopes) == 1 + len(SLOPE_CHOICES)
    assert slopes["standing"].str.len().min() > 0


def test_targets_that_cannot_be_met_say_what_is_missing():
    clubs = build_set(ORDER).clubs
    trims = trims_for(CARDS, [club.frequency_cpm + 60 for club in clubs])
    table = checktables.target_table(trims)
    missed = table[~table["met"]]
    assert len(missed) > 0
    assert (missed["missing_cpm"] > 0).all()  # asked for more than the shaft can give: they stay too soft
    assert (missed["frequency_cpm"] < missed["target_cpm"]).all()
    assert (missed["limit"].str.len() > 0).all()


def test_both_targets_or_why_not():
    table = checktables.both_table([("7-iron", ModelError("too heavy", "less", "take another head"))])
    assert table.loc["7-iron", "why_not"] == "too heavy"
    assert not table.loc["7-iron", "met"]


def columns(table):
    return list(table.reset_index().columns)


def test_every_table_has_the_columns_it_promises_in_their_order():
    check = checked()
    assert columns(checktables.findings_table(check)) == [
        "club",
        "check",
        "amount",
        "tolerance",
        "unit",
        "text",
        "next_step",
    ]
    assert columns(checktables.causes_table(check))[1:] == ["club", "mistake", "misfit_in", "misfit_cpm"]
    report = set_line([(c.plan.club, c.plan.playing_length_in, c.frequency_cpm) for c in build_set(ORDER).clubs])
    line = ["playing_length_in", "frequency_cpm", "line_cpm", "deviation_cpm", "tolerance_cpm", "verdict"]
    assert columns(checktables.line_table(report)) == ["club", *line]
    assert columns(checktables.slope_table(report)) == ["slope", "slope_cpm_per_half_in", "standing"]
    worth = checktables.step_table(step_worth(build_set(shipped_order("taper_soft_step")), 1))
    assert columns(worth)[:3] == ["club", "yardstick", "soft_steps"]
    assert columns(worth)[-3:] == ["rule_cpm", "third_cpm", "difference_cpm"]
    assert set(worth["soft_steps"]) == {1}


def test_a_right_club_has_its_rules_cut_length_and_a_wrong_one_the_trim_to_the_line():
    table = checktables.double_check_table(checked())
    assert table["rule_cut_length_in"].tolist() == pytest.approx([card.cut_length_in for card in CARDS], abs=1e-9)
    to_line = [club.to_line for club in checked().clubs]
    expected = [each.change_in for each in to_line if each is not None and each.met]
    assert len(expected) > 0
    assert table["to_line_in"].dropna().tolist() == expected


def test_no_more_than_five_causes_a_club_unless_asked_for():
    causes = checktables.causes_table(checked())
    assert len(causes) == min(5, len(checked().clubs[0].causes))


def test_cut_and_weight_for_both_targets_stand_beside_a_club_that_has_none():
    card = CARDS[4]
    both = trim_and_weigh(card, frequency_cpm(card), swingweight_oz_in("D2"))
    table = checktables.both_table([("5-iron", ModelError("too heavy", "less", "another head")), ("6-iron", both)])
    row = table.loc["6-iron"]
    assert (row["tip_trim_in"], row["tip_weight_g"]) == (both.trim.tip_trim_in, both.tip_weight_g)
    assert row["frequency_cpm"] == pytest.approx(row["target_cpm"], abs=1e-6)
    assert row["swingweight_oz_in"] == pytest.approx(row["target_oz_in"], abs=1e-6)
    assert row["met"]
    assert row["why_not"] == ""
    assert (table.loc["5-iron", "why_not"], table.loc["5-iron", "met"]) == ("too heavy", False)


def test_several_lines_stand_in_one_table_each_with_its_name():
    clubs = [(c.plan.club, c.plan.playing_length_in, c.frequency_cpm) for c in build_set(ORDER).clubs]
    steel, graphite = (replace(set_line(part), name=name) for part, name in ((clubs[:6], "a, R"), (clubs[6:], "b, S")))
    table = checktables.line_table(steel, graphite)
    assert list(table.index) == [name for name, _, _ in clubs]
    assert list(table["line"]) == ["a, R"] * 6 + ["b, S"] * 4
    assert list(table["line_cpm"]) == [club.line_cpm for each in (steel, graphite) for club in each.clubs]
    slopes = checktables.slope_table(steel, graphite)["slope_cpm_per_half_in"]
    assert slopes["this set's own, a, R"] == steel.line.slope_cpm_per_half_in
    assert slopes["this set's own, b, S"] == graphite.line.slope_cpm_per_half_in
    assert len(slopes) == 2 + len(checktables.slope_table(set_line(clubs))) - 1


def test_a_club_without_a_second_opinion_says_why_and_has_no_numbers():
    wanted = CARDS[1].wanted
    unknown = replace(CARDS[1], wanted=replace(wanted, shaft=replace(wanted.shaft, sections=())))
    table = checktables.double_check_table(check_cards([CARDS[0], unknown, *CARDS[2:]]))
    row = table.loc[unknown.club]
    assert row.verdict == f"cuts agree; no second opinion: no tube walls are known for shaft {wanted.shaft.name!r}"
    computed = ["card_frequency_cpm", "rule_frequency_cpm", "deviation_cpm", "deviation_flexes", "to_line_in"]
    assert row[computed].isna().all()
    assert row.card_tip_trim_in == row.rule_tip_trim_in == unknown.tip_trim_in
    assert table.drop(unknown.club)[computed].notna().all().all()
