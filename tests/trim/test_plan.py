"""The plan of one club: every decision is a step, the steps add up; of a set: every fault of every club is named."""

import dataclasses
import itertools

import pytest

from trimkit.parts.components import HeadKind
from trimkit.parts.errors import TrimRefused
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import LadderLength
from trimkit.trim.plan import plan_club, plan_set
from trimkit.trim.refusals import RefusedTogether
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
    assert (plan.club, str(plan.equivalent), plan.flex, plan.notes) == ("6-iron", "6-iron", FlexPlace.at("R"), ())
    assert (plan.schedule_trim_in, plan.between_flexes_in, plan.bbgl_correction_in) == (3.5, 0.0, 0.0)


def test_every_rule_at_once_in_the_order_of_the_bench(wanted, make):
    """Worked by hand: a 241.75 g hybrid lies half-way from the 3-iron to the 4-iron, its bore stands at 0.75 in.

    Schedule R: (2 + 2.5) / 2 = 2.25; half-way to S adds 1; the bore takes 0.25: tip trim 3. Playing length
    (39 + 38.5) / 2 = 38.75, half an inch longer for the client 39.25; less 0.75 and 0.125 of cap: cut 38.375; butt
    42 - 3 - 38.375 = 0.625.
    """
    asked = dataclasses.replace(
        wanted,
        head=make.head("4-hybrid", 241.75, HeadKind.HYBRID, bbgl_in=0.75),
        flex=FlexPlace("R", "S", 0.5),
        length=LadderLength(0.5),
    )
    plan = plan_club(asked)
    assert str(plan.equivalent) == "3.5-iron"
    assert [step.inches for step in plan.steps] == [0.0, 2.25, 1.0, -0.25, 3.0, 39.25, 38.375, 0.625]
    assert plan.steps[4].reason == "Together: 2.25 in + 1 in − 0.25 in = 3 in."


def test_the_tip_parts_add_up_to_the_tip_trim(wanted):
    plan = plan_club(wanted)
    assert sum(step.inches for step in plan.steps if step.kind in TIP_PARTS) == pytest.approx(plan.tip_trim_in)


@pytest.fixture
def irons(wanted, make):
    return [
        dataclasses.replace(wanted, head=make.head(f"{number}-iron", 232.0 + 6.5 * (number - 2)))
        for number in range(4, 10)
    ]


def test_a_sound_set_is_planned_in_the_order_s_order(irons):
    planned = plan_set(irons)
    assert [plan.club for plan in planned.every_plan()] == [f"{number}-iron" for number in range(4, 10)]
    trims = [plan.tip_trim_in for plan in planned.plans]
    assert [after - before for before, after in itertools.pairwise(trims)] == [0.5] * 5
    assert planned.refusals == ()


def test_a_fault_of_one_club_does_not_keep_the_others_from_their_plan(irons, make):
    irons[2] = dataclasses.replace(irons[2], head=make.head("6-iron", bore_in=0.355))
    planned = plan_set(irons)
    assert len(planned.plans) == 5
    assert planned.clubs[2] is planned.refusals[0]
    with pytest.raises(TrimRefused, match="test 6-iron: the tip of shaft"):
        planned.every_plan()


def test_all_faults_of_all_clubs_are_named(irons, make):
    irons[0] = dataclasses.replace(irons[0], head=make.head("4-iron", bore_in=0.355, bbgl_in=-5.0))
    irons[5] = dataclasses.replace(irons[5], head=make.head("9-iron", bore_in=0.350))
    planned = plan_set(irons)
    assert [len(refused.faults) for refused in planned.refusals] == [2, 1]
    with pytest.raises(RefusedTogether) as refused:
        planned.every_plan()
    assert len(refused.value.faults) == 3
