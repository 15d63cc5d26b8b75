"""What is refused, and the sentence that says so: one table, one line for each reason."""

import dataclasses
import math

import pytest

from trimkit.parts.components import HeadKind, TipKind
from trimkit.parts.errors import BenchError, ComponentError, TrimRefused, UnitError
from trimkit.parts.units import length_in, mass_g
from trimkit.trim.bore import BoreChoice, DryFit
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength, LadderLength, ReferenceLength, check_length
from trimkit.trim.plan import plan_club
from trimkit.trim.practice import BenchPractice
from trimkit.trim.refusals import Gathered, RefusedTogether, ShaftTooShort, faults_of, finite
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.wanted import Decisions, ShaftInHand


def planned(wanted, **changes):
    return plan_club(dataclasses.replace(wanted, **changes))


def another(part, **changes):
    return dataclasses.replace(part, **changes)


def renamed_schedule(bench, shaft, clubs):
    rows = bench.make.schedule_rows(shaft.name, ((shaft.flexes[0], 0.5),), clubs)
    return TrimSchedule.from_rows(rows, shaft)


REFUSALS = {
    "a taper tip is never tip-trimmed": (
        lambda b: planned(b.wanted_taper, table=renamed_schedule(b, b.taper, ("6-iron",))),
        ["taper tip", "a raw length for each club", "step it soft or hard"],
    ),
    "a parallel tip has no raw lengths": (
        lambda b: planned(b.wanted, table=another(b.family, shaft=b.master.name)),
        ["parallel tip", "a trim schedule"],
    ),
    "a parallel tip is not stepped": (
        lambda b: planned(b.wanted, soft_steps=1),
        ["one soft step", "parallel tip", "a place between two flexes"],
    ),
    "a piece longer than the shaft described": (
        lambda b: planned(b.wanted, in_hand=ShaftInHand(42.125)),
        ["the raw shaft in hand measures 42.125 in", "at most 42 in", "another shaft"],
    ),
    "a taper piece that is no raw length of the family": (
        lambda b: planned(b.wanted_taper, in_hand=ShaftInHand(38.0)),
        ["no raw length of family 'test taper'", "38.25 in (6-iron)", "37.75 in (7-iron)", "measure it again"],
    ),
    "a taper piece of another club": (
        lambda b: planned(b.wanted_taper, in_hand=ShaftInHand(38.75)),
        ["the 5-iron's raw length", "the 6-iron with no step", "soft_steps = 1 (one soft step)"],
    ),
    "a table of another shaft": (
        lambda b: planned(b.wanted, table=another(b.schedule, shaft="other shaft")),
        ["'other shaft'", "the shaft's own table"],
    ),
    "past the parallel section": (
        lambda b: planned(b.wanted, shaft=another(b.master, tip_section_in=4.5)),
        ["3.5 in of tip trim would leave 1 in of the 4.5 in", "takes 1.25 in", "at most 3.25 in", "can break"],
    ),
    "a tip thicker than the bore": (
        lambda b: planned(b.wanted, head=b.make.head(bore_in=0.355)),
        ["0.370 in", "0.355 in", "do not grind the tip down or drill the bore out"],
    ),
    "a tip thinner than the bore": (
        lambda b: planned(b.wanted_taper, head=b.make.head(bore_in=0.370)),
        ["0.355 in", "0.370 in", "a sleeve that both makers allow"],
    ),
    "a tip of the next common size": (
        lambda b: planned(b.wanted_taper, shaft=another(b.taper, tip_diameter_in=0.350)),
        ["0.350 in", "0.355 in"],
    ),
    "a club that the schedule does not have": (
        lambda b: planned(
            b.wanted, table=renamed_schedule(b, b.master_in_r, ("7-iron", "8-iron")), shaft=b.master_in_r
        ),
        ["no 6-iron", "7-iron, 8-iron", "never continued past its last line"],
    ),
    "a flex that the schedule does not have": (
        lambda b: b.schedule.row("6-iron", "X"),
        ["no flex 'X'", "A, R, S"],
    ),
    "a flex that the shaft does not have": (
        lambda b: planned(b.wanted, flex=FlexPlace.at("X")),
        ["flex 'X'", "A, R, S"],
    ),
    "no flex named": (lambda b: planned(b.wanted, flex=None), ["no flex is named", "A, R, S"]),
    "a place between flexes that are no neighbours": (
        lambda b: planned(b.wanted, flex=FlexPlace("A", "S", 0.5)),
        ["but R lies in between", "A/R, R/S", "how far from A to R, or from R to S"],
    ),
    "a place between flexes of a discrete shaft": (
        lambda b: FlexPlace.between("R", "S", 0.5, b.master_in_r),
        ["made for R alone", "combination-flex shaft"],
    ),
    "a place between flexes of a taper tip": (
        lambda b: FlexPlace.between("R", "S", 0.5, b.taper),
        ["taper tip", "step it"],
    ),
    "a part of the way that is not a number": (
        lambda b: FlexPlace.between("R", "S", math.nan, b.master),
        ["nan", "a finite number"],
    ),
    "a part of the way past the other flex": (
        lambda b: FlexPlace.between("R", "S", 1.5, b.master),
        ["1.5 of the way from flex R to S", "between 0 and 1"],
    ),
    "a place read from an order between flexes that are no neighbours": (
        lambda b: FlexPlace.parse("A/S 0.5", b.master),
        ["A/R, R/S"],
    ),
    "a flex that cannot be read": (lambda b: FlexPlace.parse("R/S", b.master), ["'R/S'", "R/S 0.5"]),
    "a part that cannot be read": (lambda b: FlexPlace.parse("R/S half", b.master), ["'half'", "R/S 1/2"]),
    "a negative sum of schedule and bore": (
        lambda b: planned(b.wanted, head=b.make.head(bbgl_in=-0.25), flex=FlexPlace.at("A"), table=b.short_schedule),
        ["0.75 in short", "stiffer than wanted: A/R 0.75", "correct as far as the tip goes"],
    ),
    "a head lighter than the ladder": (
        lambda b: planned(b.wanted, head=b.make.head("2-hybrid", 228.0, HeadKind.HYBRID)),
        ["4 g less than the 2-iron, the lightest", "232 to 303.5 g", "weigh it again"],
    ),
    "a head heavier than the ladder": (
        lambda b: planned(b.wanted, head=b.make.head(mass_g=310.0), decisions=Decisions(trim_as=TrimAs.MASS)),
        ["6.5 g more than the lob wedge, the heaviest"],
    ),
    "a number that the ladder does not have": (
        lambda b: planned(b.wanted, head=b.make.head("1-iron")),
        ["no 1-iron", "2-iron"],
    ),
    "a club with an unknown name": (
        lambda b: planned(b.wanted, head=b.make.head("12-iron")),
        ["12-iron", "pitching wedge"],
    ),
    "a taper family without the club": (
        lambda b: planned(b.wanted_taper, head=b.make.head("lob wedge", 303.5, HeadKind.WEDGE, 0.355)),
        ["no raw length for a lob wedge", "gap wedge"],
    ),
    "a step past the end of the family": (
        lambda b: planned(b.wanted_taper, head=b.make.head("gap wedge", 290.5, HeadKind.WEDGE, 0.355), soft_steps=-1),
        ["one hard step for the gap wedge", "the shortest of family", "build this club unstepped"],
    ),
    "half a step": (lambda b: planned(b.wanted_taper, soft_steps=0.5), ["a whole number of steps"]),
    "a shaft that is too short": (
        lambda b: planned(b.wanted, length=LadderLength(2.5)),
        ["0.375 in too short", "an extension decided on in the order", "about "],
    ),
    "an extension that would be too long": (
        lambda b: planned(b.wanted, length=LadderLength(4.0), decisions=Decisions(extend=True)),
        ["1.875 in too short", "at most 1 in"],
    ),
    "a butt far below the grip's core": (
        lambda b: planned(b.wanted, grip=another(b.grip, core_diameter_in=0.66)),
        ["0.6 in after the cut", "0.66 in", "smaller core"],
    ),
    "a playing length over the limit": (
        lambda b: check_length(48.5),
        ["48.5 in", "at most 48 in", "Equipment Rules Part 2 section 1c"],
    ),
    "a playing length under the limit": (
        lambda b: check_length(17.5),
        ["17.5 in", "at least 18 in"],
    ),
    "a playing length that is not a number": (
        lambda b: planned(b.wanted, length=GivenLength(math.nan)),
        ["playing length is nan"],
    ),
    "an offset that is not a number": (lambda b: planned(b.wanted, length=LadderLength(math.nan)), ["offset", "nan"]),
    "a reference length that is not a number": (
        lambda b: planned(b.wanted, length=ReferenceLength("6-iron", math.inf)),
        ["playing length of the 6-iron is inf"],
    ),
    "a length gap between clubs that is not a number": (
        lambda b: planned(b.wanted, length=ReferenceLength("6-iron", 37.5, math.nan)),
        ["length gap between clubs is nan"],
    ),
    "a reference club that the ladder does not have": (
        lambda b: planned(b.wanted, length=ReferenceLength("1-iron", 40.0)),
        ["no 1-iron"],
    ),
    "a dry fit that is not a number": (lambda b: DryFit(math.nan, 42.5), ["the bare shaft is nan"]),
    "a dry fit of nothing": (lambda b: DryFit(41.0, 0.0), ["dry-fitted club measures 0 in"]),
    "a mass that is not a number": (lambda b: b.ladder.by_mass(math.nan), ["head mass is nan"]),
    "tape of no thickness": (lambda b: BenchPractice(tape_thickness_in=0.0), ["tape_thickness_in is 0"]),
    "a figure of the bench that is negative": (lambda b: BenchPractice(longest_extension_in=-1.0), ["is -1"]),
}


@pytest.fixture(scope="module")
def cases(bench):
    discrete = bench.make.steel("test master in R", TipKind.PARALLEL, ("R",))
    rows = bench.make.schedule_rows(starts=(("A", 0.5), ("R", 1.5), ("S", 3.5)), gain=0.0)
    bench.master_in_r = discrete
    bench.short_schedule = TrimSchedule.from_rows(rows, bench.master)
    return bench


@pytest.mark.parametrize("reason", REFUSALS)
def test_it_is_refused_with_its_reason_and_a_way_on(cases, reason):
    attempt, said = REFUSALS[reason]
    with pytest.raises(TrimRefused) as refused:
        attempt(cases)
    message = str(refused.value)
    for words in said:
        assert words in message
    assert len(faults_of(refused.value)) == 1
    assert all((refused.value.given, refused.value.allowed, refused.value.next_step))
    assert not any(jargon in message for jargon in ("None", "Error", "Traceback", "  "))


@pytest.mark.parametrize(
    ("attempt", "error"),
    [
        (lambda b: b.make.head(mass_g=-5.0), ComponentError),
        (lambda b: b.make.head(mass_g=math.nan), ComponentError),
        (lambda b: another(b.grip, grip_mass_g=-50.0), ComponentError),
        (lambda b: length_in("38 furlongs"), UnitError),
        (lambda b: mass_g("236 stone"), UnitError),
    ],
)
def test_nan_negative_mass_and_unknown_units_never_get_as_far_as_a_plan(cases, attempt, error):
    with pytest.raises(error) as refused:
        attempt(cases)
    assert isinstance(refused.value, BenchError)


def test_a_shaft_that_is_too_short_says_by_how_much(wanted):
    with pytest.raises(ShaftTooShort) as refused:
        planned(wanted, length=LadderLength(2.5))
    assert refused.value.shortfall_in == 0.375


def test_every_reason_is_named_not_only_the_first(bench):
    with pytest.raises(RefusedTogether) as refused:
        planned(
            bench.wanted,
            head=bench.make.head(bore_in=0.355, bbgl_in=-5.0),
            length=GivenLength(48.5),
        )
    assert len(refused.value.faults) == 3
    assert faults_of(refused.value) == refused.value.faults
    message = str(refused.value)
    assert message.startswith("3 things are in the way; nothing was cut.")
    for words in ("0.355 in", "48.5 in", "nothing can be added at the tip"):
        assert words in message


def test_a_negative_sum_that_is_decided_on_is_cut_as_far_as_the_tip_goes(cases):
    plan = planned(
        cases.wanted,
        head=cases.make.head(bbgl_in=-0.25),
        flex=FlexPlace.at("A"),
        table=cases.short_schedule,
        decisions=Decisions(bore=BoreChoice.AS_FAR_AS_IT_GOES, why="the class wants to feel it"),
    )
    assert (plan.tip_trim_in, plan.bbgl_uncorrected_in) == (0.0, -0.75)


def test_one_refusal_alone_is_no_gathering():
    with pytest.raises(ValueError, match="two faults"):
        RefusedTogether((TrimRefused("a", "b", "c"),))


def test_checks_that_pass_hand_back_their_results():
    gathered = Gathered()
    assert gathered.attempt(lambda: finite("a length", 1.5)) == 1.5
    assert gathered.faults == []
