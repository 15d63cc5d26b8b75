"""Taper tips: raw lengths instead of tip trim, stepped soft or hard, and where a family runs out."""

import dataclasses

import pytest

from trimkit.parts.components import HeadKind, TipKind
from trimkit.parts.errors import DataFileError, Place, TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.trim.plan import plan_club
from trimkit.trim.stepping import RawFamily, say_step, step_set
from trimkit.trim.steps import StepKind


def test_a_plain_taper_club_step_by_step(wanted_taper):
    plan = plan_club(wanted_taper)
    assert [(step.kind, step.inches) for step in plan.steps] == [
        (StepKind.CLUB, 0.0),
        (StepKind.RAW_LENGTH, 38.25),
        (StepKind.TIP_TRIM, 0.0),
        (StepKind.PLAYING_LENGTH, 37.5),
        (StepKind.CUT_LENGTH, 36.375),
        (StepKind.BUTT_TRIM, 1.875),
    ]
    assert (plan.flex_shift, plan.notes) == (0.0, ())
    assert (plan.bbgl_correction_in, plan.bbgl_uncorrected_in) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("step", "raw_in", "shift", "inches", "says"),
    [
        (+1, 38.75, -0.25, "0.5 in more", "about 0.25 of a flex softer (others say 0.33)."),
        (+2, 39.25, -0.5, "1 in more", "about 0.5 of a flex softer (others say 0.67)."),
        (-1, 37.75, +0.25, "0.5 in less", "about 0.25 of a flex stiffer (others say 0.33)."),
    ],
)
def test_a_stepped_club_says_its_raw_length_and_its_flex(wanted_taper, step, raw_in, shift, inches, says):
    plan = plan_club(dataclasses.replace(wanted_taper, soft_steps=step))
    assert (plan.raw_length_in, plan.tip_trim_in, plan.flex_shift) == (raw_in, 0.0, shift)
    assert plan.steps[1].reason.endswith(f"{inches} parallel length below the first step, {says}")
    assert plan.cut_length_in == 36.375


def test_a_hybrid_takes_the_raw_length_of_the_nearer_club_and_keeps_its_own_playing_length(wanted_taper, make):
    head = make.head("4-hybrid", 241.1, HeadKind.HYBRID, 0.355)
    plan = plan_club(dataclasses.replace(wanted_taper, head=head))
    assert (str(plan.equivalent), plan.raw_length_in) == ("3.4-iron", 39.75)
    assert plan.playing_length_in == pytest.approx(38.8)
    assert any("0.4 of a club away from the 3-iron" in note.text for note in plan.notes)


def test_half_way_takes_the_longer_raw_length(family, ladder):
    assert family.nearest(ladder.by_mass(241.75)) == "3-iron"
    assert family.nearest(ladder.by_mass(242.0)) == "4-iron"


def test_a_step_between_equal_raw_lengths_changes_nothing_and_says_so(make, taper, wanted_taper):
    rows = [*make.raw_rows(), dataclasses.replace(make.raw_rows()[-1], club="sand wedge")]
    family = RawFamily.from_rows(rows, taper)
    head = make.head("sand wedge", 297.0, HeadKind.WEDGE, 0.355)
    plan = plan_club(dataclasses.replace(wanted_taper, table=family, head=head, soft_steps=1))
    assert any("this step changes nothing" in note.text for note in plan.notes)


FAULTY = {
    "no rows": (lambda rows: [], "there is no family 'test taper'"),
    "a club twice": (lambda rows: [*rows, rows[2]], "4-iron appears twice"),
    "a longer raw length for a shorter club": (
        lambda rows: [*rows[:-1], dataclasses.replace(rows[-1], raw_length_in=37.0)],
        "gap wedge 37 in after 36.25 in",
    ),
    "a club with an unknown name": (lambda rows: [dataclasses.replace(rows[0], club="1 iron"), *rows[1:]], "'1 iron'"),
    "irons and woods mixed": (lambda rows: [*rows, dataclasses.replace(rows[-1], club="3-wood")], "mixes"),
    "longer than the shaft that is described": (
        lambda rows: [dataclasses.replace(rows[0], raw_length_in=41.0), *rows[1:]],
        "the 2-iron needs 41 in",
    ),
    "a BBGL reference for the first club alone": (
        lambda rows: [dataclasses.replace(rows[0], bbgl_reference_in=1.0), *rows[1:]],
        "3-iron has no bbgl_reference_in",
    ),
    "a BBGL reference for all clubs but the first": (
        lambda rows: [rows[0], *(dataclasses.replace(row, bbgl_reference_in=1.0) for row in rows[1:])],
        "2-iron has no bbgl_reference_in",
    ),
}


@pytest.mark.parametrize("fault", FAULTY)
def test_a_faulty_family_is_refused(make, taper, fault):
    spoil, words = FAULTY[fault]
    with pytest.raises(DataFileError) as refused:
        RawFamily.from_rows(spoil(make.raw_rows()), taper)
    assert words in str(refused.value)


def test_a_reference_that_is_missing_is_told_with_its_place_and_what_to_do(make, taper):
    rows = [dataclasses.replace(row, bbgl_reference_in=1.0) for row in make.raw_rows()]
    rows[3] = dataclasses.replace(rows[3], bbgl_reference_in=None, source=Source("row 5", Standing.INVENTED))
    with pytest.raises(DataFileError) as refused:
        RawFamily.from_rows(rows, taper)
    (fault,) = refused.value.faults
    assert fault.given == "5-iron has no bbgl_reference_in, and other clubs of family 'test taper' have one"
    assert (fault.allowed, fault.next_step, fault.place) == (
        "a BBGL reference for every club of a family, or for none",
        "fill it in, or empty the others",
        Place("row 5"),
    )


def test_a_family_knows_no_reference_unless_its_table_or_a_set_says_one(make, taper):
    assert RawFamily.from_rows(make.raw_rows(), taper).bbgl_reference_in("6-iron") is None
    assert RawFamily.from_rows(make.raw_rows(), taper, 0.0).bbgl_reference_in("6-iron") == 0.0
    with pytest.raises(TrimRefused, match="sand wedge"):
        RawFamily.from_rows(make.raw_rows(), taper, 1.0).bbgl_reference_in("sand wedge")


def test_a_stepped_set_lists_what_can_be_built_and_what_cannot(family):
    soft = step_set(family, family.clubs, +1)
    assert [lost.club for lost in soft.missing] == ["2-iron"]
    assert (soft.family, soft.soft_steps) == (family, 1)
    assert [(club, row.club) for club, row in soft.built][:2] == [("3-iron", "2-iron"), ("4-iron", "3-iron")]
    assert len(soft.built) == len(family.clubs) - 1


@pytest.mark.parametrize(
    ("club", "step", "words", "end"),
    [
        ("2-iron", 1, "one soft step for the 2-iron needs a raw length past the 2-iron, the longest", "2-iron"),
        ("4-iron", 3, "3 soft steps for the 4-iron needs a raw length past the 2-iron, the longest", "2-iron"),
        (
            "gap wedge",
            -1,
            "one hard step for the gap wedge needs a raw length past the gap wedge",
            "gap wedge",
        ),
        ("9-iron", -3, "past the gap wedge, the shortest", "gap wedge"),
    ],
)
def test_past_either_end_of_a_family_there_is_no_raw_length(family, club, step, words, end):
    with pytest.raises(TrimRefused) as refused:
        family.row(club, step)
    assert words in refused.value.given
    assert refused.value.allowed == "raw lengths from 2-iron to gap wedge"
    assert "fewer" in refused.value.next_step
    assert family.find(club, step) is None
    assert family.find(club, step - 1 if step > 0 else step + 1).club == end


def test_a_step_is_a_whole_one_and_a_club_of_the_family(family):
    with pytest.raises(TrimRefused, match=r"asks for 0\.5 steps for the 6-iron") as refused:
        family.row("6-iron", 0.5)
    assert refused.value.allowed == "a whole number of steps"
    with pytest.raises(TrimRefused, match="no raw length for a lob wedge") as refused:
        family.row("lob wedge")
    assert refused.value.allowed.startswith("its clubs are 2-iron, 3-iron")
    assert refused.value.next_step


def test_the_parallel_length_changes_by_the_raw_lengths_difference(family):
    assert [family.parallel_change_in("6-iron", step) for step in (2, 1, 0, -1)] == [1.0, 0.5, 0.0, -0.5]


def test_unstepped_every_club_can_be_built(family):
    assert step_set(family, family.clubs, 0).missing == ()


def stiff_family(make, flex="S", name="test taper stiff", **rows):
    shaft = make.steel(name, TipKind.TAPER, (flex,), 42.0, 0.355, 11.5)
    return RawFamily.from_rows(make.raw_rows(name, **rows), shaft)


def test_a_club_that_cannot_be_hard_stepped_can_be_the_stiffer_flex_stepped_soft(make, family):
    (lost,) = step_set(family, family.clubs, -1, [stiff_family(make)]).missing
    assert lost.club == "gap wedge"
    assert isinstance(lost.refusal, TrimRefused)
    assert lost.alternatives == (
        "take 'test taper stiff' in flex S, 3 soft steps: the 8-iron's 37.25 in",
        "build it unstepped from 35.75 in, about 0.25 of a flex softer than the others",
    )


def test_a_longer_family_of_the_same_flex_can_carry_the_step(make, family):
    clubs = ["1-iron", *family.clubs]
    longer = stiff_family(make, "R", "test taper long", first_in=40.75, clubs=clubs)
    (lost,) = step_set(family, family.clubs, +1, [longer]).missing
    assert lost.alternatives[0] == "take 'test taper long' in flex R, one soft step: the 1-iron's 40.75 in"


def test_a_family_that_does_not_have_the_raw_length_is_no_alternative(make, family):
    others = [family, stiff_family(make), stiff_family(make, "firm", "a scale of its own")]
    (lost,) = step_set(family, family.clubs, +1, others).missing
    assert lost.alternatives == ("build it unstepped from 40.25 in, about 0.25 of a flex stiffer than the others",)


def test_two_steps_fall_back_to_one(family):
    first, second = step_set(family, family.clubs, -2).missing
    assert first.alternatives == (
        "build it with one hard step from 35.75 in, about 0.25 of a flex softer than the others",
    )
    assert second.alternatives[0].startswith("build it unstepped")


def test_a_club_that_the_family_never_had_has_no_way_out_in_it(family):
    (lost,) = step_set(family, ["lob wedge"], 0).missing
    assert lost.alternatives == ()


@pytest.mark.parametrize(
    ("step", "words"),
    [(0, "no step"), (1, "one soft step"), (-1, "one hard step"), (2, "2 soft steps"), (-3, "3 hard steps")],
)
def test_a_step_in_words(step, words):
    assert say_step(step) == words
