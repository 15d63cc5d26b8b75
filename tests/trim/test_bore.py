"""The bore: how high its bottom stands, what follows from it at the tip, and which tip fits and fills it."""

import dataclasses

import pytest

from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Standing
from trimkit.trim.bore import BoreChoice, DryFit, check_fill, check_fit
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import plan_club
from trimkit.trim.practice import BenchPractice
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.steps import Severity, StepKind
from trimkit.trim.wanted import Decisions


def bore_step(plan):
    (step,) = (step for step in plan.steps if step.kind is StepKind.BORE)
    return step


@pytest.mark.parametrize(
    ("bbgl_in", "correction_in"), [(1.5, 0.5), (1.0, 0.0), (0.75, -0.25), (0.0, -1.0), (-0.25, -1.25)]
)
def test_the_correction_is_the_difference_to_the_schedule_s_reference(wanted, make, bbgl_in, correction_in):
    plan = plan_club(dataclasses.replace(wanted, head=make.head(bbgl_in=bbgl_in)))
    assert plan.bbgl_correction_in == correction_in
    assert plan.tip_trim_in == 3.5 + correction_in
    assert plan.bbgl_uncorrected_in == 0


def test_the_step_says_why(wanted, make):
    step = bore_step(plan_club(dataclasses.replace(wanted, head=make.head(bbgl_in=1.5))))
    assert step.reason == (
        "The bottom of this bore is 1.5 in above the ground line and the schedule is written for 1 in: 0.5 in more "
        "comes off the tip, so that the steps stand at the same height."
    )
    assert Standing.DERIVED in {source.standing for source in step.sources}


def test_a_dry_fit_outranks_the_head_s_table_and_a_disagreement_is_flagged(wanted):
    plan = plan_club(dataclasses.replace(wanted, dry_fit=DryFit(40.0, 41.25)))
    assert plan.tip_trim_in == 3.75
    assert plan.cut_length_in == 37.5 - 1.25 - 0.125
    assert Standing.MEASURED in {source.standing for source in bore_step(plan).sources}
    (note,) = plan.notes
    assert "dry fit gives a BBGL of 1.25 in, the head's table says 1 in" in note.text


def test_a_dry_fit_that_agrees_within_a_sixteenth_is_not_flagged(wanted):
    assert plan_club(dataclasses.replace(wanted, dry_fit=DryFit(40.0, 41.0625))).notes == ()


@pytest.mark.parametrize(("bbgl_in", "where"), [(0.0, "0 in from the"), (-0.125, "0.125 in below the")])
def test_a_bore_that_goes_through_is_said(wanted, make, bbgl_in, where):
    (note,) = plan_club(dataclasses.replace(wanted, head=make.head(bbgl_in=bbgl_in))).notes
    assert "The bore goes through" in note.text
    assert where in note.text
    assert "flush with the sole" in note.next_step


def test_left_softer_on_purpose_is_a_step_of_its_own_with_its_reason(wanted, make):
    decisions = Decisions(bore=BoreChoice.LEAVE, why="a wedge for part shots")
    plan = plan_club(dataclasses.replace(wanted, head=make.head(bbgl_in=1.5), decisions=decisions))
    step = bore_step(plan)
    assert (step.inches, plan.tip_trim_in, plan.bbgl_uncorrected_in) == (0.0, 3.5, 0.5)
    assert step.reason.endswith(
        "of the 0.5 in to correct, 0.5 in are left undone on purpose (a wedge for part shots): the club plays softer "
        "than wanted."
    )
    assert Standing.CHOSEN in {source.standing for source in step.sources}
    assert plan.cut_length_in == 37.5 - 1.5 - 0.125


def test_a_shallow_stand_left_uncorrected_plays_stiffer(wanted, make):
    decisions = Decisions(bore=BoreChoice.LEAVE)
    plan = plan_club(dataclasses.replace(wanted, head=make.head(bbgl_in=0.5), decisions=decisions))
    assert plan.bbgl_uncorrected_in == -0.5
    assert bore_step(plan).reason.endswith("the club plays stiffer than wanted.")


@pytest.mark.parametrize(("bbgl_in", "tip_in", "left_in"), [(1.5, 4.0, 0.0), (0.5, 3.0, 0.0), (-3.0, 0.0, -0.5)])
def test_as_far_as_the_tip_goes(wanted, make, bbgl_in, tip_in, left_in):
    decisions = Decisions(bore=BoreChoice.AS_FAR_AS_IT_GOES)
    plan = plan_club(dataclasses.replace(wanted, head=make.head(bbgl_in=bbgl_in), decisions=decisions))
    assert (plan.tip_trim_in, plan.bbgl_uncorrected_in) == (tip_in, left_in)


def test_a_sum_of_nothing_is_no_tip_trim_and_no_refusal(wanted, make):
    """0.1 + 0.2 is not 0.3 to a computer; a sum that misses 0 by such a hair is 0."""
    rows = [dataclasses.replace(row, tip_trim_in=row.tip_trim_in - 0.2) for row in make.schedule_rows(gain=0.0)]
    schedule = TrimSchedule.from_rows(rows, wanted.shaft)
    asked = dataclasses.replace(wanted, table=schedule, flex=FlexPlace.at("A"), head=make.head(bbgl_in=0.7))
    assert 0.3 + (0.7 - 1.0) < 0
    assert plan_club(asked).tip_trim_in == 0.0


def test_a_bore_at_the_reference_leaves_nothing_to_decide(wanted):
    plan = plan_club(dataclasses.replace(wanted, decisions=Decisions(bore=BoreChoice.LEAVE)))
    assert bore_step(plan).reason.endswith("nothing to correct.")


# The common tip sizes, common practice, no source: 0.335, 0.350, 0.355, 0.370 in.
SIZES = (0.335, 0.350, 0.355, 0.370)


@pytest.mark.parametrize("tip_in", SIZES)
@pytest.mark.parametrize("bore_in", SIZES)
def test_a_tip_of_a_common_size_fits_its_own_bore_and_no_other(make, master, tip_in, bore_in):
    head, shaft = make.head(bore_in=bore_in), dataclasses.replace(master, tip_diameter_in=tip_in)
    if tip_in == bore_in:
        check_fit(head, shaft, BenchPractice())
    else:
        with pytest.raises(TrimRefused):
            check_fit(head, shaft, BenchPractice())


@pytest.mark.parametrize("bore_in", [0.3690, 0.3715, 0.3745])
def test_a_bore_measured_a_few_thousandths_off_still_takes_its_tip(make, master, bore_in):
    check_fit(make.head(bore_in=bore_in), master, BenchPractice())


def test_what_is_left_must_just_fill_the_bore(make, master):
    check_fill(make.head(bore_depth_in=1.25), master, 12.0 - 1.25)
    with pytest.raises(TrimRefused, match=r"at most 10\.75 in"):
        check_fill(make.head(bore_depth_in=1.25), master, 12.0 - 1.2)


def test_a_through_bore_is_a_note_not_a_warning(wanted, make):
    (note,) = plan_club(dataclasses.replace(wanted, head=make.head(bbgl_in=0.0))).notes
    assert note.severity is Severity.NOTE


def test_the_dry_fit_decides_whether_a_bore_goes_through(make, wanted):
    through, not_through = DryFit(40.0, 39.9), DryFit(40.0, 40.2)
    (note, differ) = plan_club(dataclasses.replace(wanted, dry_fit=through)).notes
    assert "0.1 in below the" in note.text
    assert note.source.standing is Standing.DERIVED
    assert differ.source.standing is Standing.MEASURED
    asked = dataclasses.replace(wanted, head=make.head(bbgl_in=0.0), dry_fit=not_through)
    assert not [note for note in plan_club(asked).notes if "goes through" in note.text]


def test_the_step_rests_on_the_measurement_it_took(wanted):
    from_head = bore_step(plan_club(wanted))
    dry_fitted = bore_step(plan_club(dataclasses.replace(wanted, dry_fit=DryFit(40.0, 41.25))))
    assert wanted.head.source in from_head.sources
    assert wanted.head.source not in dry_fitted.sources


def test_a_part_of_an_inch_long_shaft_can_be_measured():
    assert DryFit(0.5, 0.75).bbgl_in == 0.25


@pytest.mark.parametrize(("bore_in", "remedy"), [(0.355, "do not grind the tip down"), (0.375, "a sleeve")])
def test_a_tight_bore_and_a_wide_one_have_remedies_of_their_own(make, master, bore_in, remedy):
    with pytest.raises(TrimRefused) as refused:
        check_fit(make.head(bore_in=bore_in), master, BenchPractice())
    assert remedy in refused.value.next_step
