"""Figures that the trade works by, as check values. Standing of every one: common practice, no source.

The tables in this file are built from those figures alone; the demo data is not, and is not read here.
"""

import dataclasses

import pytest

from trimkit.parts.components import HeadKind, TipKind
from trimkit.parts.sources import Source, Standing
from trimkit.parts.tables import LadderRung, RawLength
from trimkit.trim.bore import DryFit, bbgl_correction_in
from trimkit.trim.equivalence import HeadLadder
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import plan_club
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import OTHERS_FLEX_PER_STEP, RawFamily, flex_shift, step_set

PRACTICE = Source("common practice, no source", Standing.COMMON_PRACTICE)
HALF_INCH_PATTERN = {"1-iron": 41.0, "2-iron": 40.5, "3-iron": 40.0, "4-iron": 39.5}
FULL_SET = [f"{number}-iron" for number in range(1, 10)]


@pytest.fixture(scope="module")
def combination(make, master):
    """A master whose two softest flexes lie 1 in of tip trim apart, regular and stiff 2 in."""
    return TrimSchedule.from_rows(make.schedule_rows(starts=(("A", 0.5), ("R", 1.5), ("S", 3.5))), master)


@pytest.fixture(scope="module")
def mass_ladder():
    rungs = {"2-iron": (236.0, 39.5), "3-iron": (242.5, 39.0), "4-iron": (249.0, 38.5)}
    return HeadLadder.from_rungs(
        [LadderRung("by mass", club, *values, PRACTICE) for club, values in rungs.items()], "by mass"
    )


@pytest.fixture(scope="module")
def half_inch(make):
    taper = make.steel("half-inch pattern", TipKind.TAPER, ("R",), 41.0, 0.355, 11.5)
    rows = [RawLength(taper.name, club, 41.0 - 0.5 * number, PRACTICE) for number, club in enumerate(FULL_SET)]
    return RawFamily.from_rows(rows, taper)


def test_a_bare_41_in_shaft_that_measures_42_5_dry_fitted_has_1_5_in_bbgl():
    assert DryFit(bare_shaft_in=41.0, dry_fitted_in=42.5).bbgl_in == 1.5


def test_1_5_in_bbgl_against_a_1_in_reference_wants_half_an_inch_more_tip_trim(wanted):
    assert bbgl_correction_in(1.5, 1.0) == 0.5
    by_schedule = plan_club(wanted)
    measured = plan_club(dataclasses.replace(wanted, dry_fit=DryFit(41.0, 42.5)))
    assert measured.bbgl_correction_in == 0.5
    assert measured.tip_trim_in == by_schedule.tip_trim_in + 0.5


@pytest.mark.parametrize(("softer", "stiffer", "apart_in"), [("A", "R", 1.0), ("R", "S", 2.0)])
def test_the_flexes_of_a_combination_shaft_lie_1_in_and_2_in_apart(wanted, combination, softer, stiffer, apart_in):
    soft, stiff = (
        plan_club(dataclasses.replace(wanted, table=combination, flex=FlexPlace.at(flex))) for flex in (softer, stiffer)
    )
    assert stiff.tip_trim_in - soft.tip_trim_in == apart_in


def test_half_way_between_regular_and_stiff_is_cut_1_in_from_either(wanted, combination, master):
    regular, between, stiff = (
        plan_club(dataclasses.replace(wanted, table=combination, flex=FlexPlace.parse(flex, master))).tip_trim_in
        for flex in ("R", "R/S 1/2", "S")
    )
    assert (between - regular, stiff - between) == (1.0, 1.0)


@pytest.mark.parametrize(("mass_g", "as_club"), [(236.0, "2-iron"), (249.0, "4-iron")])
def test_a_hybrid_engraved_4_is_trimmed_and_cut_as_the_iron_of_its_mass(wanted, make, mass_ladder, mass_g, as_club):
    hybrid = make.head("4-hybrid", mass_g, HeadKind.HYBRID)
    plan = plan_club(dataclasses.replace(wanted, head=hybrid, ladder=mass_ladder))
    iron = plan_club(dataclasses.replace(wanted, head=make.head(as_club, mass_g), ladder=mass_ladder))
    assert str(plan.equivalent) == as_club
    assert (plan.tip_trim_in, plan.playing_length_in) == (iron.tip_trim_in, iron.playing_length_in)


def test_a_light_hybrid_trimmed_by_its_number_ends_up_too_stiff_and_too_short(wanted, make, mass_ladder):
    hybrid = make.head("4-hybrid", 236.0, HeadKind.HYBRID)
    (note,) = plan_club(dataclasses.replace(wanted, head=hybrid, ladder=mass_ladder)).notes
    assert "lose 1 in more at the tip and be 1 in shorter" in note.text
    assert note.text.endswith("too stiff and too short.")


@pytest.mark.parametrize(("club", "raw_length_in"), HALF_INCH_PATTERN.items())
def test_raw_lengths_of_one_half_inch_pattern(half_inch, club, raw_length_in):
    assert half_inch.row(club).raw_length_in == raw_length_in


def test_another_pattern_has_the_3_iron_at_39_in(make):
    taper = make.steel("another pattern", TipKind.TAPER, ("R",), 40.0, 0.355, 11.5)
    other = RawFamily.from_rows([RawLength(taper.name, "3-iron", 39.0, PRACTICE)], taper)
    assert other.row("3-iron").raw_length_in == 39.0


@pytest.mark.parametrize(("step", "flexes"), [(+1, -0.25), (+2, -0.5), (-1, +0.25)])
def test_a_step_is_about_a_quarter_of_a_flex(step, flexes):
    assert flex_shift(step) == flexes


@pytest.mark.parametrize(("step", "flexes"), [(+3, -1.0), (-3, +1.0)])
def test_others_say_a_third_so_three_steps_are_a_flex(step, flexes):
    assert flex_shift(step, OTHERS_FLEX_PER_STEP) == pytest.approx(flexes)


def test_one_step_changes_the_parallel_length_by_the_pattern_s_half_inch(half_inch):
    assert half_inch.parallel_change_in("5-iron", +1) == 0.5
    assert half_inch.parallel_change_in("5-iron", -1) == -0.5


def test_hard_stepping_a_full_set_runs_out_at_the_short_end_and_soft_stepping_at_the_long_end(half_inch):
    assert [lost.club for lost in step_set(half_inch, FULL_SET, -1).missing] == ["9-iron"]
    assert [lost.club for lost in step_set(half_inch, FULL_SET, -2).missing] == ["8-iron", "9-iron"]
    assert [lost.club for lost in step_set(half_inch, FULL_SET, +1).missing] == ["1-iron"]
