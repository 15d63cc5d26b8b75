"""A whole set: what can be built is planned, and every fault of the rest is named."""

import dataclasses
import itertools

import pytest

from trimkit.parts.errors import TrimRefused
from trimkit.trim.refusals import RefusedTogether
from trimkit.trim.setplan import plan_set


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
