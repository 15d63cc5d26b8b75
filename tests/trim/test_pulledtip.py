"""The tip of a pulled shaft: what is off comes off the sum, too much is refused; a taper tip was a raw length."""

import dataclasses

import pytest

from trimkit.parts.components import TipKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Standing
from trimkit.trim.bore import BoreChoice
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import plan_club
from trimkit.trim.refusals import ShaftTooShort, TipTooShort
from trimkit.trim.steps import TIP_PARTS, Severity, StepKind
from trimkit.trim.tip import PULLED_SHAFT
from trimkit.trim.wanted import Decisions, Pulled, ShaftInHand


@pytest.fixture(scope="session")
def on_piece(make):
    """The same club on what is left of its shaft: so much off the tip, so long now (in)."""

    def on(wanted, off_in, long_in):
        was = wanted.shaft
        piece = make.steel(
            was.name, was.tip_kind, was.flexes, long_in, was.tip_diameter_in, was.tip_section_in - off_in
        )
        in_hand = ShaftInHand(long_in, None, Pulled(was, was.raw_length_in, off_in))
        return dataclasses.replace(wanted, shaft=piece, in_hand=in_hand)

    return on


def with_head(wanted, **changes):
    return dataclasses.replace(wanted, head=dataclasses.replace(wanted.head, **changes))


def test_what_is_off_already_comes_off_the_trim_by_hand(wanted, on_piece):
    """A 6-iron in R, 3.5 in by the schedule, BBGL 1.25 for a reference of 1: 3.75 in; 3 in is off: 0.75 in to do.

    37.5 in playing length less 1.25 and 0.125: 36.125 in to keep; of 37 in 0.125 in is left at the butt.
    """
    plan = plan_club(on_piece(with_head(wanted, bbgl_in=1.25), 3.0, 37.0))
    assert [plan.inches(kind) for kind in TIP_PARTS] == [3.5, 0.0, 0.25, -3.0]
    assert (plan.tip_trim_in, plan.raw_length_in, plan.cut_length_in) == (0.75, 37.0, 36.125)
    assert plan.butt_trim_in == pytest.approx(0.125)
    assert plan.pulled_in == -3.0
    (step,) = (step for step in plan.steps if step.kind is StepKind.PULLED)
    assert step.source.standing is Standing.MEASURED
    assert "3 in is off its tip already" in step.reason
    kinds = [step.kind for step in plan.steps]
    assert kinds.index(StepKind.BORE) < kinds.index(StepKind.PULLED) < kinds.index(StepKind.TIP_TRIM)


def test_a_place_between_two_flexes_counts_before_what_is_off(wanted, on_piece):
    """R 3.5, S 5.5: a quarter of the way is 4 in; 3.9 in is off."""
    between = dataclasses.replace(wanted, flex=FlexPlace("R", "S", 0.25))
    assert plan_club(on_piece(between, 3.9, 37.0)).tip_trim_in == pytest.approx(0.1)


@pytest.mark.parametrize(("off", "too_far"), [(3.57, 0.07), (4.5, 1.0), (9.0, 5.5)])
def test_more_off_than_the_club_takes_is_too_stiff_and_says_by_how_much(wanted, on_piece, off, too_far):
    with pytest.raises(TipTooShort, match="the club would be too stiff") as refused:
        plan_club(on_piece(wanted, off, 36.6))
    assert refused.value.too_far_in == pytest.approx(too_far)
    assert "takes 3.5 in of tip trim" in refused.value.given
    assert "stiffer flex or a shorter club" in refused.value.next_step


@pytest.mark.parametrize("off", [3.5, 3.51, 3.5625])
def test_a_measuring_error_too_much_leaves_nothing_to_cut(wanted, on_piece, off):
    plan = plan_club(on_piece(wanted, off, 36.6))
    assert plan.tip_trim_in == 0.0
    assert sum(plan.inches(kind) for kind in TIP_PARTS) == 0.0
    (step,) = (step for step in plan.steps if step.kind is StepKind.PULLED)
    assert "is off its tip already" in step.reason
    assert ("no more than a measuring error" in step.reason) == (off > 3.5)


def test_the_bore_is_corrected_as_far_as_what_is_off_leaves_room(wanted, on_piece):
    """3.5 in by the schedule, 1 in less for the bore, 3 in off: half an inch of the correction can be done."""
    low = with_head(wanted, bbgl_in=0.0)
    with pytest.raises(TipTooShort, match="too stiff") as refused:
        plan_club(on_piece(low, 3.0, 37.5))
    assert refused.value.too_far_in == pytest.approx(0.5)
    assert "decide to correct the bore only as far as the tip goes" in refused.value.next_step
    decided = dataclasses.replace(low, decisions=Decisions(bore=BoreChoice.AS_FAR_AS_IT_GOES, why="in the drawer"))
    plan = plan_club(on_piece(decided, 3.0, 37.5))
    assert (plan.tip_trim_in, plan.bbgl_correction_in, plan.bbgl_uncorrected_in) == (0.0, -0.5, -0.5)
    assert plan_club(decided).bbgl_correction_in == -1.0


def test_no_decision_about_the_bore_helps_where_the_flex_itself_takes_less(wanted, on_piece):
    low = with_head(wanted, bbgl_in=0.0)
    with pytest.raises(TipTooShort) as refused:
        plan_club(on_piece(low, 4.0, 37.5))
    assert "as far as the tip goes" not in refused.value.next_step
    for choice in (BoreChoice.AS_FAR_AS_IT_GOES, BoreChoice.LEAVE):
        decided = dataclasses.replace(low, decisions=Decisions(bore=choice))
        with pytest.raises(TipTooShort) as refused:
            plan_club(on_piece(decided, 4.0, 37.5))
        assert refused.value.too_far_in == pytest.approx(0.5)


def test_a_bore_that_wants_more_makes_room_for_what_is_off(wanted, on_piece):
    decided = dataclasses.replace(
        with_head(wanted, bbgl_in=2.0), decisions=Decisions(bore=BoreChoice.AS_FAR_AS_IT_GOES)
    )
    plan = plan_club(on_piece(decided, 4.25, 36.6))
    assert (plan.tip_trim_in, plan.bbgl_correction_in) == (0.25, 1.0)


def test_what_is_left_of_the_tip_must_fill_the_bore(wanted, on_piece):
    """3.5 in by the schedule and 7 for the bore, 3 of them off: 7.5 in to do of 9 in leave 1.5 in for a 2 in bore."""
    deep = with_head(wanted, bbgl_in=8.0, bore_depth_in=2.0)
    with pytest.raises(TrimRefused, match=r"would leave 1\.5 in of the 9 in parallel tip") as refused:
        plan_club(on_piece(deep, 3.0, 37.0))
    assert "at most 7 in of tip trim" in refused.value.allowed


def test_too_short_names_the_shortfall_of_the_piece(wanted, on_piece):
    """36.375 in to keep and 0.5 in to cut: 36.5 in is 0.375 in too short."""
    with pytest.raises(ShaftTooShort) as refused:
        plan_club(on_piece(wanted, 3.0, 36.5))
    assert refused.value.shortfall_in == pytest.approx(0.375)
    decided = dataclasses.replace(wanted, decisions=Decisions(extend=True))
    assert plan_club(on_piece(decided, 3.0, 36.5)).extension_in == pytest.approx(0.375)


def test_the_sheet_is_told_that_it_is_pulled_and_what_to_look_at(wanted, wanted_taper, on_piece):
    (note,) = (note for note in plan_club(on_piece(wanted, 3.0, 37.0)).notes if note.severity is Severity.CAUTION)
    assert "37 in long now, and 3 in is off its tip already" in note.text
    assert "measure from its tip to the first step: 9 in" in note.next_step
    assert note.source is PULLED_SHAFT
    piece = on_piece(wanted, 3.0, 37.0)
    even = dataclasses.replace(piece, shaft=dataclasses.replace(piece.shaft, sections=()))
    assert any("to the end of its parallel tip: 9 in" in note.next_step for note in plan_club(even).notes)
    uncut = plan_club(on_piece(wanted, 0.0, 41.0)).notes
    assert any("41 in long now, and nothing is off its tip" in note.text for note in uncut)
    taper = plan_club(taper_piece(on_piece, wanted_taper, 38.25, 37.0)).notes
    assert any("37 in long now, and it was bought at 38.25 in" in note.text for note in taper)
    assert not any("another club" in note.text for note in plan_club(wanted).notes)


def taper_piece(on_piece, wanted, bought_in, long_in):
    club = on_piece(wanted, 0.0, long_in)
    in_hand = dataclasses.replace(club.in_hand, pulled=Pulled(wanted.shaft, bought_in))
    return dataclasses.replace(club, in_hand=in_hand)


def test_a_taper_tip_is_what_is_left_of_its_raw_length(wanted_taper, on_piece):
    plan = plan_club(taper_piece(on_piece, wanted_taper, 38.25, 37.0))
    assert wanted_taper.shaft.tip_kind is TipKind.TAPER
    assert (plan.tip_trim_in, plan.raw_length_in) == (0.0, 37.0)
    assert plan.butt_trim_in == pytest.approx(37.0 - plan.cut_length_in)
    step = next(step for step in plan.steps if step.kind is StepKind.RAW_LENGTH)
    assert step.reason.startswith("The family makes 38.25 in for the 6-iron; the pulled shaft was bought at that")
    assert "37 in of it is left" in step.reason
    assert PULLED_SHAFT in step.sources
    stepped = dataclasses.replace(taper_piece(on_piece, wanted_taper, 38.75, 37.0), soft_steps=1)
    assert plan_club(stepped).raw_length_in == 37.0


@pytest.mark.parametrize(
    ("bought", "steps", "side", "by", "decide"),
    [
        (38.75, 0, "soft", "0.5 in longer", "decide on one soft step"),
        (37.25, 0, "stiff", "1 in shorter", "decide on 2 hard steps"),
        (38.25, 1, "stiff", "0.5 in shorter", "decide on no step"),
        (38.0, 0, "stiff", "0.25 in shorter", "take another shaft"),
    ],
)
def test_a_taper_tip_that_was_another_raw_length_is_refused(wanted_taper, on_piece, bought, steps, side, by, decide):
    stepped = dataclasses.replace(wanted_taper, soft_steps=steps)
    with pytest.raises(TrimRefused, match=f"the club would be too {side}") as refused:
        plan_club(taper_piece(on_piece, stepped, bought, 37.0))
    assert f"it is {by} below the first step" in refused.value.given
    assert refused.value.next_step.startswith(decide)


def test_steps_to_a_raw_length_are_those_to_the_nearest_club_that_has_it(family, make, taper):
    assert [family.steps_to("6-iron", raw) for raw in (38.25, 38.75, 37.25, 38.0)] == [0, 1, -2, None]
    rows = [dataclasses.replace(row, raw_length_in=max(row.raw_length_in, 38.25)) for row in make.raw_rows()]
    flat = type(family).from_rows(rows, taper)
    assert [flat.steps_to(club, 38.25) for club in ("5-iron", "6-iron", "8-iron")] == [-1, 0, 0]
    with pytest.raises(TrimRefused, match="no raw length for a driver"):
        family.steps_to("driver", 38.25)


def test_as_new_is_the_same_club_on_the_shaft_as_bought(wanted, on_piece):
    assert on_piece(wanted, 3.0, 37.0).as_new == wanted
    assert wanted.as_new is wanted
    measured = dataclasses.replace(wanted, in_hand=ShaftInHand(41.95))
    assert measured.as_new is measured
