"""The plan of one club: every decision is a step, the steps add up; of a set: every fault of every club is named."""

import dataclasses
import itertools

import pytest

from trimkit.parts.components import HeadKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.trim.bore import DryFit
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength, LadderLength
from trimkit.trim.plan import plan_club, plan_set
from trimkit.trim.refusals import RefusedTogether
from trimkit.trim.steps import TIP_PARTS, StepKind
from trimkit.trim.wanted import Decisions, ShaftInHand


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


@pytest.fixture(scope="module")
def trusted(wanted):
    """The plain iron with nothing that is made up in its cuts: a measured head, published tables, a length ordered."""
    said, found = Source("a printed table", Standing.PUBLISHED), Source("measured on the part", Standing.MEASURED)
    rows = tuple(dataclasses.replace(row, source=said) for row in wanted.table.rows)
    return dataclasses.replace(
        wanted,
        head=dataclasses.replace(wanted.head, source=found),
        grip=dataclasses.replace(wanted.grip, source=found),
        shaft=dataclasses.replace(wanted.shaft, source=found),
        table=dataclasses.replace(wanted.table, rows=rows),
        length=GivenLength(37.5),
    )


CUTS = (StepKind.SCHEDULE, StepKind.BORE, StepKind.TIP_TRIM, StepKind.CUT_LENGTH, StepKind.BUTT_TRIM)


def made_up(wanted):
    plan = plan_club(wanted)
    return {step.kind for step in plan.steps if step.source.standing is Standing.INVENTED} & set(CUTS)


def test_cuts_by_rules_of_our_own_from_trusted_lengths_are_derived(trusted):
    standings = {step.kind: step.source.standing for step in plan_club(trusted).steps}
    assert [standings[kind] for kind in CUTS] == [Standing.PUBLISHED, *(Standing.DERIVED,) * 4]


@pytest.mark.parametrize(
    ("part", "worse"),
    [
        ("head", {StepKind.BORE, StepKind.TIP_TRIM, StepKind.CUT_LENGTH, StepKind.BUTT_TRIM}),
        ("table", {StepKind.SCHEDULE, StepKind.BORE, StepKind.TIP_TRIM, StepKind.BUTT_TRIM}),
        ("length", {StepKind.CUT_LENGTH, StepKind.BUTT_TRIM}),
        ("grip", {StepKind.CUT_LENGTH, StepKind.BUTT_TRIM}),
        ("shaft", {StepKind.BUTT_TRIM}),
    ],
)
def test_a_step_is_no_better_than_the_worst_that_goes_into_it(wanted, trusted, part, worse):
    assert made_up(dataclasses.replace(trusted, **{part: getattr(wanted, part)})) == worse


def test_what_was_measured_in_hand_stands_for_itself(wanted, trusted):
    own = dataclasses.replace(trusted, head=wanted.head, shaft=wanted.shaft)
    assert made_up(own) == set(CUTS) - {StepKind.SCHEDULE}
    assert made_up(dataclasses.replace(own, dry_fit=DryFit(42.0, 43.0))) == {StepKind.BUTT_TRIM}
    measured = dataclasses.replace(own, dry_fit=DryFit(42.0, 43.0), in_hand=ShaftInHand(length_in=42.0))
    assert made_up(measured) == set()


def test_an_extension_is_no_better_than_the_lengths_that_call_for_it(wanted):
    asked = dataclasses.replace(wanted, length=LadderLength(2.5), decisions=Decisions(extend=True, why="tall"))
    extension = plan_club(asked).steps[-1]
    assert (extension.kind, extension.source.standing) == (StepKind.EXTENSION, Standing.INVENTED)


def test_a_taper_tip_s_butt_trim_counts_its_family_s_row(wanted_taper):
    measured = Source("measured on the part", Standing.MEASURED)
    own = dataclasses.replace(
        wanted_taper,
        head=dataclasses.replace(wanted_taper.head, source=measured),
        grip=dataclasses.replace(wanted_taper.grip, source=measured),
        length=GivenLength(37.0),
    )
    assert made_up(own) == {StepKind.BUTT_TRIM}
