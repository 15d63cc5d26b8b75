"""What a step is worth: its sign and size by the mechanics, beside the rule, by yardsticks that are named."""

import tomllib
from dataclasses import replace

import pytest

from trimkit.check.stepworth import family_gaps_cpm, flex_gaps_cpm, step_worth
from trimkit.check.tables import step_table
from trimkit.club.flexscale import CPM_PER_FLEX
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError
from trimkit.trim.flexplace import FlexPlace

TAPER = build_set(shipped_order("taper_soft_step"))
MASTER = build_set(shipped_order())


@pytest.mark.parametrize("row", step_worth(TAPER, 1), ids=lambda row: row.club)
def test_one_soft_step_softens_by_a_few_cpm_and_the_rule_says_a_quarter(row):
    """Common practice, no source: a step is worth a few cpm, about a quarter of a flex."""
    assert -6 < row.change_cpm < -3
    assert row.rule_flexes == -0.25
    assert row.rule_cpm == -0.25 * CPM_PER_FLEX
    assert row.third_cpm == pytest.approx(-CPM_PER_FLEX / 3)
    assert row.difference_cpm == pytest.approx(row.change_cpm + CPM_PER_FLEX / 4)


def test_the_stepped_frequency_is_that_of_the_stepped_set():
    built = {club.plan.club: club.frequency_cpm for club in TAPER.clubs}
    for row in step_worth(TAPER, 1):
        assert row.stepped_cpm == pytest.approx(built[row.club], rel=1e-12)


def test_soft_and_hard_steps_go_opposite_ways_and_two_go_further_than_one():
    one, two, hard = ({row.club: row.change_cpm for row in step_worth(TAPER, step)} for step in (1, 2, -1))
    assert all(two[club] < one[club] < 0 for club in two)
    assert all(change > 0 for change in hard.values())
    assert "gap wedge" not in hard  # the family's shortest raw length is the gap wedge's own
    assert "gap wedge" in one


def test_the_masters_own_gap_is_another_yardstick_for_the_same_step():
    gaps = flex_gaps_cpm(MASTER, "R", "S")
    by_master = {row.club: row for row in step_worth(TAPER, 1, gaps, "R to S of the master")}
    stated = {row.club: row for row in step_worth(TAPER, 1)}
    assert set(by_master) == {row.club for row in step_worth(TAPER, 1)} & set(gaps)
    for club, row in by_master.items():
        assert row.cpm_per_flex == gaps[club]
        assert row.change_cpm == stated[club].change_cpm
        assert row.mechanics_flexes * gaps[club] == pytest.approx(stated[club].mechanics_flexes * CPM_PER_FLEX)


def test_what_the_module_says_of_the_shipped_family_is_so():
    """Invented parts: these are figures of the words, not evidence for either fraction."""
    change = [-row.change_cpm for row in step_worth(TAPER, 1)]
    stated = [-row.mechanics_flexes for row in step_worth(TAPER, 1)]
    by_master = [-row.mechanics_flexes for row in step_worth(TAPER, 1, flex_gaps_cpm(MASTER, "R", "S"))]
    assert (min(change), max(change)) == pytest.approx((3.2, 3.8), abs=0.05)
    assert (min(stated), max(stated)) == pytest.approx((0.23, 0.28), abs=0.005)
    assert (min(by_master), max(by_master)) == pytest.approx((0.32, 0.35), abs=0.005)
    own = family_gaps_cpm(on_family("steel taper 96 g senior"), on_family("steel taper 104 g regular"))
    by_family = [-row.mechanics_flexes for row in step_worth(TAPER, 1, own, "R to A of the family")]
    assert (min(by_family), max(by_family)) == pytest.approx((0.33, 0.35), abs=0.005)


def on_family(name):
    order = shipped_order("taper_soft_step")
    shaft = order.catalogue.shafts[name]
    return build_set(replace(order, soft_steps=0, flex=FlexPlace.at(*shaft.flexes), shaft=shaft))


def test_the_gap_between_two_families_is_the_difference_of_their_clubs_in_both_sets():
    softer, stiffer = on_family("steel taper 104 g regular"), on_family("steel taper 111 g stiff")
    gaps = family_gaps_cpm(softer, stiffer)
    assert list(gaps) == [club.plan.club for club in softer.clubs]
    for club, gap in gaps.items():
        assert gap == stiffer.club(club).frequency_cpm - softer.club(club).frequency_cpm > 5  # thicker walls
    few = replace(stiffer, clubs=stiffer.clubs[2:4])
    assert family_gaps_cpm(softer, few) == {club: gaps[club] for club in ("6-iron", "7-iron")}
    assert family_gaps_cpm(few, softer) == {club: -gap for club, gap in family_gaps_cpm(softer, few).items()}
    with pytest.raises(ModelError, match="sets of 6-iron, 7-iron and of 4-iron, 5-iron"):
        family_gaps_cpm(few, replace(softer, clubs=softer.clubs[:2]))


def test_the_table_shows_the_difference():
    table = step_table((*step_worth(TAPER, 1), *step_worth(TAPER, 1, flex_gaps_cpm(MASTER, "R", "S"), "R to S")))
    assert (3 * table.third_cpm - 4 * table.rule_cpm).abs().max() < 1e-9  # a third and a quarter of the same flex
    assert (table.change_cpm - table.rule_cpm - table.difference_cpm).abs().max() < 1e-9
    assert table.index.is_unique


@pytest.mark.parametrize(("built", "step"), [(TAPER, 0), (MASTER, 1)])
def test_no_step_and_no_taper_tip_are_refused(built, step):
    with pytest.raises(ModelError, match="taper tip"):
        step_worth(built, step)


@pytest.mark.parametrize("figure", [0.0, -3.0, float("nan")])
def test_a_flex_of_nothing_is_refused(figure):
    with pytest.raises(ModelError, match="more than 0 cpm"):
        step_worth(TAPER, 1, figure)


def test_flexes_that_the_shaft_does_not_have_are_refused():
    with pytest.raises(ModelError, match="two flexes"):
        flex_gaps_cpm(MASTER, "S", "X")


def test_a_club_without_a_figure_is_left_out_and_the_next_is_not():
    clubs = [each.club for each in step_worth(TAPER, 1)]
    figures = dict.fromkeys(clubs[1:], 10.0)
    assert [each.club for each in step_worth(TAPER, 1, figures)] == clubs[1:]


def test_a_step_is_worth_what_it_is_in_the_clamp_and_with_the_weights_of_the_order():
    """A heavier club in a compliant clamp swings slower, stepped or not (no source: the direction is checked)."""
    order = shipped_order("taper_soft_step")
    heavy = build_set(
        replace(order, assembly=replace(order.assembly, tip_weight_g=6.0, root_spring_n_m_per_rad=4000.0))
    )
    for light, slow in zip(step_worth(TAPER, 1), step_worth(heavy, 1), strict=True):
        assert slow.unstepped_cpm < light.unstepped_cpm - 5
        assert slow.stepped_cpm < light.stepped_cpm - 5
        assert (slow.step, light.step) == (1, 1)


def test_a_club_whose_raw_length_runs_out_is_left_out_and_the_next_is_not():
    """Four soft steps: the long irons have no raw length left, the short ones have."""
    one = [row.club for row in step_worth(TAPER, 1)]
    longest_first = [row.club for row in step_worth(TAPER, 4)]
    assert len(longest_first) < len(one)
    assert set(longest_first) < set(one)
    assert longest_first[-1] == one[-1]


def test_half_a_cpm_a_flex_is_a_figure_too():
    assert {row.cpm_per_flex for row in step_worth(TAPER, 1, 0.5)} == {0.5}


def test_of_a_mixed_set_the_taper_tips_alone_are_stepped(mixed_orders, mixed_parts):
    built = build_set(order_from_tables(tomllib.loads(mixed_orders["taper and parallel"]), mixed_parts))
    rows = step_worth(built, 1)
    assert [row.club for row in rows] == [f"{number}-iron" for number in range(4, 10)]
    plain = {row.club: row.change_cpm for row in step_worth(TAPER, 1)}
    for row in rows:
        assert row.change_cpm == pytest.approx(plain[row.club], abs=0.3)  # another grip or stepping changes little
    parallel = build_set(order_from_tables(tomllib.loads(mixed_orders["graphite hybrids"]), mixed_parts))
    with pytest.raises(ModelError, match="'graphite hybrid', 'steel") as caught:
        step_worth(parallel, 1)
    assert "taper" in caught.value.allowed
    with pytest.raises(ModelError, match="flexes R and X of shaft") as caught:
        flex_gaps_cpm(parallel, "R", "X")
    assert caught.value.next_step == "choose two of R, A, S"
