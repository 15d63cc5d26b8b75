"""The plan of one club: every decision is a step, and the steps add up."""

import pytest

from trimkit.trim.plan import plan_club
from trimkit.trim.steps import TIP_PARTS, StepKind


def test_a_plain_iron_step_by_step(wanted):
    plan = plan_club(wanted)
    assert [(step.kind, step.inches) for step in plan.steps] == [
        (StepKind.CLUB, 0.0),
        (StepKind.SCHEDULE, 3.5),
        (StepKind.BORE, 0.0),
        (StepKind.TIP_TRIM, 3.5),
        (StepKind.PLAYING_LENGTH, 37.5),
        (StepKind.CUT_LENGTH, 36.375),
        (StepKind.BUTT_TRIM, 2.125),
    ]
    assert (plan.tip_trim_in, plan.cut_length_in, plan.butt_trim_in) == (3.5, 36.375, 2.125)
    assert plan.notes == ()


def test_the_tip_parts_add_up_to_the_tip_trim(wanted):
    plan = plan_club(wanted)
    assert sum(step.inches for step in plan.steps if step.kind in TIP_PARTS) == pytest.approx(plan.tip_trim_in)
