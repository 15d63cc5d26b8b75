"""What a step is worth: its sign and size by the mechanics, beside the rule, by yardsticks that are named."""

from dataclasses import replace

import pytest

from trimkit.check.stepworth import flex_gaps_cpm, step_worth
from trimkit.check.tables import step_table
from trimkit.club.flexscale import CPM_PER_FLEX
from trimkit.club.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError

TAPER = build_set(shipped_order("taper_soft_step"))
MASTER = build_set(shipped_order())


@pytest.mark.parametrize("row", step_worth(TAPER, 1), ids=lambda row: row.club)
def test_one_soft_step_softens_by_a_few_cpm_and_the_rule_says_a_quarter(row):
    """Common practice, no source: a step is worth a few cpm, about a quarter of a flex."""
    assert -6 < row.change_cpm < -3
    assert row.rule_flexes == -0.25
    assert row.rule_cpm == -0.25 * CPM_PER_FLEX
    assert row.difference_cpm == pytest.approx(row.change_cpm + 2.5)


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


def test_the_masters_own_gap_is_another_yardstick_and_makes_the_step_smaller():
    gaps = flex_gaps_cpm(MASTER, "R", "S")
    by_master = {row.club: row for row in step_worth(TAPER, 1, gaps, "R to S of the master")}
    by_memory = {row.club: row for row in step_worth(TAPER, 1)}
    assert set(by_master) == {row.club for row in step_worth(TAPER, 1)} & set(gaps)
    for club, row in by_master.items():
        assert row.cpm_per_flex == gaps[club]
        assert row.change_cpm == by_memory[club].change_cpm
        # The gaps of this made-up master are wider than the figure from memory, so the same step is less of a flex.
        assert -0.25 > row.mechanics_flexes > by_memory[club].mechanics_flexes


def test_the_table_shows_the_difference():
    table = step_table((*step_worth(TAPER, 1), *step_worth(TAPER, 1, flex_gaps_cpm(MASTER, "R", "S"), "R to S")))
    assert (table.difference_cpm < 0).all()
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
