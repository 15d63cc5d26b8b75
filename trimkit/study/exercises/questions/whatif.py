"""Lesson 11: what if: two changes at once, and one change that makes up for another."""

from __future__ import annotations

import math
from dataclasses import replace

from trimkit.club.club import ClubBuild, build_club
from trimkit.mechanics.balance import POINT_OZ_IN
from trimkit.study.exercises.draw import IRONS_4_TO_9, Draw, demo_order, demo_schedule, demo_set, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches
from trimkit.trim.bore import BoreChoice
from trimkit.trim.clubs import with_article
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength
from trimkit.trim.plan import plan_club
from trimkit.trim.stepping import flex_shift
from trimkit.trim.wanted import Decisions


def _changed(club: ClubBuild, head_g: float, bbgl_in: float) -> float:
    """The frequency (cpm) with that much more head mass and BBGL, the tip trim left as it was."""
    head = club.plan.wanted.head
    head = replace(head, head_mass_g=head.head_mass_g + head_g, bbgl_in=head.bbgl_in + bbgl_in)
    leave = Decisions(bore=BoreChoice.LEAVE, why="what if")
    return build_club(plan_club(replace(club.plan.wanted, head=head, decisions=leave)), club.assembly).frequency_cpm


def two_changes(draw: Draw) -> Exercise:
    """Two changes at once."""
    club = demo_set().club(draw.one_of(IRONS_4_TO_9[1:]))
    grams, bbgl = float(draw.one_of((-8, -6, 6, 8))), 0.5
    start = round(_changed(club, 0, 0), 1)
    head, bore = (round(_changed(club, *each) - start, 1) for each in ((grams, 0), (0, bbgl)))
    answer = _changed(club, grams, bbgl)
    added, at_once = plain(start + head + bore, 1), in_words(answer, "cpm")
    same = f"{start + head + bore:.1f}" == f"{answer:.1f}"
    rest = "the same to a tenth" if same else "the difference is rounding and what the two do to each other"
    return exercise(
        "11 two changes",
        question=(
            f"On the bench {with_article(club.plan.club)} reads {start:.1f} cpm. On its own, a head {abs(grams):g} g "
            f"{'heavier' if grams > 0 else 'lighter'} changes it by {in_words(head, 'cpm')}; half an inch more BBGL, "
            f"left uncorrected, changes it by {in_words(bore, 'cpm')}. Roughly what frequency do you expect with both?"
        ),
        answer=(answer, "cpm", 0.4),
        mistakes=[
            ("head only", start + head, "The bore changes it too: add both."),
            ("bore only", start + bore, "The head changes it too: add both."),
            ("signs lost", start + abs(head) + abs(bore), "Keep the signs: subtract what lowers it."),
            ("turned round", start - head - bore, "Keep the signs: subtract what lowers it."),
            ("change only", head + bore, "That is the change: add it to the starting frequency."),
            ("sign of the head turned", start - head + bore, f"The head's sign is reversed: it is {n(head, 1)}."),
            ("sign of the bore turned", start + head - bore, f"The bore's sign is reversed: it is {n(bore, 1)}."),
        ],
        solution=(
            f"Small changes add up: {start:.1f} + {n(head, 1)} + {n(bore, 1)} = {added} cpm. Computed with both at "
            f"once it is {at_once}: {rest}."
        ),
    )


def half_inch_longer(draw: Draw) -> Exercise:
    """Grams off the head that make up for a longer club."""
    club = demo_set().club(draw.one_of(IRONS_4_TO_9))
    longer_by = draw.one_of((0.25, 0.5, 0.75))
    length = GivenLength(club.plan.playing_length_in + longer_by)
    longer = build_club(plan_club(replace(club.plan.wanted, length=length)), club.assembly)
    points = round((longer.swingweight_oz_in - club.swingweight_oz_in) / POINT_OZ_IN, 1)
    per_gram = draw.one_of((0.45, 0.5))
    answer = points / per_gram
    return exercise(
        "11 half an inch longer",
        question=(
            f"{with_article(club.plan.club).capitalize()} built {inches(longer_by)} longer gains {points:.1f} "
            f"swingweight points. One gram at the head is {per_gram:g} points. How many grams lighter must the head "
            "be to bring back the old swingweight, to a tenth of a gram?"
        ),
        answer=(answer, "g", 0.15),
        mistakes=[
            ("multiplied", points * per_gram, "Divide the points by the points per gram."),
            ("turned round", per_gram / points, "Points over points per gram, not the other way round."),
            ("a gram a point", points, f"One gram is {per_gram:g} points, not a whole one."),
            (
                "whole grams, less",
                float(math.floor(answer)),
                "That is a whole number of grams, or nearly: give it to a tenth of a gram.",
            ),
            (
                "whole grams, more",
                float(math.ceil(answer)),
                "That is a whole number of grams, or nearly: give it to a tenth of a gram.",
            ),
        ],
        solution=f"{points:.1f} points / {per_gram:g} points per gram = {in_words(answer, 'g')}.",
    )


def as_soft_as_a_step(draw: Draw) -> Exercise:
    """A parallel tip cut that does what soft steps would."""
    schedule, shaft, step = demo_schedule(), demo_order().shaft, draw.one_of((1, 2))
    club = demo_set().club(draw.one_of(IRONS_4_TO_9)).plan
    part = -flex_shift(step)
    steps_hint = f"{'One soft step is one quarter' if step == 1 else 'Two soft steps are two quarters'} of a flex."
    soft, stiff = (schedule.trim_in(club.equivalent, FlexPlace.at(flex)) for flex in ("R", "S"))
    answer = schedule.trim_in(club.equivalent, FlexPlace.between("S", "R", part, shaft))
    return exercise(
        "11 as soft as a step",
        question=(
            f"A friend plays taper tips in flex S with {'one soft step' if step == 1 else 'two soft steps'}. Take a "
            "step as a quarter of a flex (common practice, no source; lesson 04). You want the same from a "
            "combination-flex shaft with a parallel tip, trimmed in proportion between two flexes (lesson 01). Its "
            f"{club.club} is trimmed {inches(soft)} (flex R) and {inches(stiff)} (flex S). What is the tip trim?"
        ),
        answer=(answer, "in", 0.02),
        mistakes=[
            ("another number of steps", stiff - (0.75 - part) * (stiff - soft), steps_hint),
            (
                "a quarter of an inch each",
                stiff - part,
                "A quarter of a flex is a quarter of the way from S to R, not 1/4 in.",
            ),
            ("below R", soft - part * (stiff - soft), "Count from S toward R, not from R away from S."),
            ("unstepped R", soft, "That is flex R: a whole flex below S."),
            ("counted from R", soft + part * (stiff - soft), "Start at S and go toward R: softer is less tip trim."),
            ("stiffer", stiff + part * (stiff - soft), "A soft step is softer: less off the tip than for S."),
            (
                "step as inches",
                stiff - step * 0.5,
                "Half an inch is the taper family's step: here take a fraction of a flex.",
            ),
            ("unstepped", stiff, "That is flex S itself: your friend's clubs are soft-stepped."),
        ],
        solution=f"{n(part)} of a flex below S: {n(stiff)} − {n(part)} × ({n(stiff)} − {n(soft)}) = {inches(answer)}.",
    )


QUESTIONS = (two_changes, half_inch_longer, as_soft_as_a_step)
