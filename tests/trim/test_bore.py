"""The bore: how high its bottom stands, what follows from it at the tip, and which tip fits and fills it."""

import dataclasses

import pytest

from trimkit.parts.components import HeadKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Standing
from trimkit.trim.bore import BoreChoice, DryFit, check_fill, check_fit, most_tip_trim_in
from trimkit.trim.equivalence import HeadLadder
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
        "comes off the tip, so that the steps sit at the same height."
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


# Woods: 5 in of parallel graphite tip, a schedule written for a BBGL of 1 in, trims 0.5 in for the driver, 1 in for the
# 3-wood; the inches below are sums by hand.
WOODS = ("driver", "3-wood")


@pytest.fixture
def wood(wanted, make):
    """A graphite 3-wood at the schedule's BBGL; its keywords are the head's and the shaft's."""

    def planned(club="3-wood", most_tip_trim_in=2.0, decisions=None, **head):
        shaft = dataclasses.replace(make.graphite(), most_tip_trim_in=most_tip_trim_in)
        kind = HeadKind.DRIVER if club == "driver" else HeadKind.FAIRWAY
        ladder = HeadLadder.from_rungs(make.ladder_rungs("woods", 200.0, 10.0, WOODS, 45.0, 2.0), "woods")
        mass = ladder.rung(club).head_mass_g
        return plan_club(
            dataclasses.replace(
                wanted,
                head=make.head(club, mass, kind, 0.335, **head),
                shaft=shaft,
                table=TrimSchedule.from_rows(make.schedule_rows(shaft.name, (("R", 0.5),), WOODS), shaft),
                ladder=ladder,
                flex=None,
                decisions=decisions or Decisions(),
            )
        )

    return planned


def bore_texts(plan):
    return [(note.severity, note.text) for note in plan.notes if "bore" in note.text]


@pytest.mark.parametrize(("club", "trim_in"), [("driver", 0.5), ("3-wood", 1.0)])
def test_a_wood_s_bore_as_the_schedule_expects_it_is_nothing_to_flag(wood, club, trim_in):
    plan = wood(club)
    assert plan.tip_trim_in == trim_in
    assert bore_texts(plan) == []


def test_a_shallow_bore_loses_more_tip_and_asks_whether_enough_goes_in(wood):
    plan = wood(bbgl_in=1.75, bore_depth_in=1.0)
    assert plan.tip_trim_in == 1.75
    assert bore_texts(plan) == [
        (
            Severity.NOTE,
            "A shallow bore: it ends 0.75 in higher than the shaft's table expects, and 1 in of tip go in.",
        )
    ]
    assert any("enough tip to glue" in note.next_step for note in plan.notes)


def test_a_deep_bore_loses_less_tip(wood):
    plan = wood("driver", bbgl_in=0.75, bore_depth_in=1.75)
    assert plan.tip_trim_in == 0.25
    ((_, text),) = bore_texts(plan)
    assert text.startswith("A deep bore: it ends 0.25 in lower")
    assert any("dry-fit the shaft" in note.next_step for note in plan.notes)


def test_a_measuring_error_makes_no_bore_deep_or_shallow(wood):
    error = BenchPractice().measuring_error_in
    assert bore_texts(wood(bbgl_in=1.0 + error)) == bore_texts(wood(bbgl_in=1.0 - error)) == []
    assert len(bore_texts(wood(bbgl_in=1.0 + error + 0.001))) == 1


def test_an_iron_s_bore_is_told_by_its_step_alone(wanted, make):
    assert plan_club(dataclasses.replace(wanted, head=make.head(bbgl_in=1.5))).notes == ()


def test_a_through_bore_in_graphite_names_the_dust(wood, wanted, make):
    (note,) = [note for note in wood(bbgl_in=0.0).notes if "goes through" in note.text]
    assert "graphite dust" in note.next_step
    (steel,) = plan_club(dataclasses.replace(wanted, head=make.head(bbgl_in=0.0))).notes
    assert "graphite" not in steel.next_step


def test_a_through_bored_driver_runs_out_of_tip_trim_and_the_order_decides(wood):
    with pytest.raises(TrimRefused, match=r"0\.6 in short, and nothing can be added at the tip"):
        wood("driver", bbgl_in=-0.1)
    plan = wood("driver", bbgl_in=-0.1, decisions=Decisions(bore=BoreChoice.AS_FAR_AS_IT_GOES, why="client agrees"))
    assert plan.tip_trim_in == 0.0
    assert plan.bbgl_uncorrected_in == pytest.approx(-0.6)


def test_a_maker_s_limit_comes_before_the_bore_s(wood):
    assert wood(bbgl_in=2.0).tip_trim_in == 2.0
    with pytest.raises(TrimRefused) as refused:
        wood(bbgl_in=2.0625)
    assert refused.value.given == "2 1/16 in of tip trim, and the maker of shaft 'test graphite' allows 2 in"
    assert "past its maker's limit a shaft can break" in refused.value.next_step


def test_without_a_limit_a_graphite_tip_is_cut_only_after_asking_its_maker(wood, wanted):
    (note,) = [note for note in wood(most_tip_trim_in=None).notes if note.severity is Severity.CAUTION]
    assert note.text == "This graphite tip loses 1 in, and nobody wrote down how much its maker allows."
    assert note.source.standing is Standing.COMMON_PRACTICE
    assert "ask its maker before the saw" in note.next_step
    assert all(note.severity is not Severity.CAUTION for note in wood(most_tip_trim_in=2.0).notes)
    uncut = wood(most_tip_trim_in=None, bbgl_in=0.0)
    assert uncut.tip_trim_in == 0.0
    assert all(note.severity is not Severity.CAUTION for note in uncut.notes)
    assert plan_club(wanted).notes == ()  # steel: its parallel tip is the limit


@pytest.mark.parametrize(("limit_in", "most_in"), [(None, 3.75), (3.0, 3.0), (4.0, 3.75), (0.0, 0.0)])
def test_the_most_that_may_come_off_a_tip(make, limit_in, most_in):
    shaft = dataclasses.replace(make.graphite(), most_tip_trim_in=limit_in)
    assert most_tip_trim_in(make.head(bore_depth_in=1.25), shaft) == most_in
