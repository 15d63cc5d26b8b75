"""Lesson 07: frequency, the flex scale of one shaft, and the rule beside the mechanics."""

from __future__ import annotations

from dataclasses import replace

from trimkit.club.club import ClubBuild, club_frequencies_cpm
from trimkit.club.flexscale import CPM_PER_FLEX, FlexScale
from trimkit.study.exercises.draw import (
    IRONS_4_TO_9,
    NEAREST_16TH_IN,
    PARTS_OF_THE_WAY,
    Draw,
    demo_order,
    demo_schedule,
    demo_set,
    n,
    plain,
)
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches
from trimkit.trim.clubs import with_article
from trimkit.trim.flexplace import FlexPlace

PAIRS = (("A", "R"), ("R", "S"))
QUOTED_CPM_PER_FLEX = 10.0
ROUGH = "Ten cpm a flex is a rough figure (from our own memory): use the gap between"
OTHERS = f"{CPM_PER_FLEX:g} cpm a flex is the mean of three drivers: use the gap between"


def _club(draw: Draw) -> tuple[ClubBuild, str, str, float, float]:
    """A club of the set, two neighboring flexes and their frequencies there, cpm to a tenth."""
    club = demo_set().club(draw.one_of(IRONS_4_TO_9))
    soft, stiff = draw.one_of(PAIRS)
    anchors = dict(zip(club.flex_scale.flexes, club.flex_scale.frequency_cpm, strict=True))
    return club, soft, stiff, round(anchors[soft], 1), round(anchors[stiff], 1)


def _as_printed(club: ClubBuild) -> FlexScale:
    """A club's flex scale rounded to the tenths of a cpm that the question prints: the answer follows from those."""
    scale = club.flex_scale
    return replace(scale, frequency_cpm=tuple(round(cpm, 1) for cpm in scale.frequency_cpm))


def place_on_the_scale(draw: Draw) -> Exercise:
    """A measured frequency between two flexes of one shaft."""
    club, soft, stiff, low, high = _club(draw)
    share = draw.one_of((0.2, 0.3, 0.35, 0.65, 0.7, 0.8))
    measured = round(low + share * (high - low), 1)
    answer = _as_printed(club).flexes_apart(measured, low)
    return exercise(
        "07 place on the scale",
        question=(
            f"At the same length and with the same head, a shaft cut to flex {soft} reads {low:.1f} cpm and one cut "
            f"to flex {stiff} reads {high:.1f} cpm. {with_article(club.plan.club).capitalize()} built on it reads "
            f"{measured:.1f} cpm. What fraction of the way from {soft} to {stiff} is that (a number from 0 to 1)?"
        ),
        answer=(answer, "", 0.02),
        mistakes=[
            ("counted from the stiffer flex", 1 - answer, f"Count from {soft} up, not from {stiff} down."),
            ("ten cpm a flex", (measured - low) / QUOTED_CPM_PER_FLEX, f"{ROUGH} these two flexes."),
            ("the drivers' flex", (measured - low) / CPM_PER_FLEX, f"{OTHERS} these two flexes."),
            ("cpm for the part", measured - low, "That is in cpm: divide by the gap between the two flexes."),
        ],
        solution=(
            f"({measured:.1f} − {low:.1f}) / ({high:.1f} − {low:.1f}) = {measured - low:.1f} / {high - low:.1f} = "
            f"{in_words(answer, '')} of the way."
        ),
    )


def trim_for_a_frequency(draw: Draw) -> Exercise:
    """The tip trim that the scale gives for a wanted frequency."""
    club, soft, stiff, low, high = _club(draw)
    wanted = round(low + draw.one_of((0.25, 0.3, 0.4, 0.6, 0.7, 0.75)) * (high - low), 1)
    schedule, shaft, place = demo_schedule(), demo_order().shaft, club.plan.equivalent
    part = (wanted - low) / (high - low)
    at_soft, at_stiff = (schedule.trim_in(place, FlexPlace.at(flex)) for flex in (soft, stiff))
    answer = schedule.trim_in(place, FlexPlace.between(soft, stiff, part, shaft))
    return exercise(
        "07 trim for a frequency",
        question=(
            f"{with_article(club.plan.club).capitalize()} trimmed {inches(at_soft)} (flex {soft}) reads {low:.1f} "
            f"cpm; trimmed {inches(at_stiff)} (flex {stiff}) it reads {high:.1f} cpm. What tip trim gives "
            f"{wanted:.1f} cpm, if frequency changes evenly with the cut?"
        ),
        answer=(answer, "in", NEAREST_16TH_IN),
        mistakes=[
            (
                "part itself",
                part,
                "That is the fraction: multiply it by the difference in trim, then add the softer trim.",
            ),
            ("counted from the stiffer flex", at_stiff - part * (at_stiff - at_soft), f"Count from flex {soft} up."),
            ("difference only", part * (at_stiff - at_soft), f"That is what to add to the trim of flex {soft}."),
            ("wrong direction", at_soft - part * (at_stiff - at_soft), "More cpm needs more off the tip, not less."),
        ],
        solution=(
            f"({wanted:.1f} − {low:.1f}) / ({high:.1f} − {low:.1f}) = {n(part)} of the way; {n(at_soft)} + {n(part)} "
            f"× {n(at_stiff - at_soft)} = {inches(answer)}."
        ),
    )


def residual(draw: Draw) -> Exercise:
    """Mechanics minus rule at a place between two flexes."""
    club, soft, stiff, low, high = _club(draw)
    share = draw.one_of((0.25, 0.5, 0.75))
    schedule, shaft = demo_schedule(), demo_order().shaft
    trim = schedule.trim_in(club.plan.equivalent, FlexPlace.between(soft, stiff, share, shaft))
    shop = round(
        club_frequencies_cpm(club.plan, club.assembly, (trim,))[0] + draw.one_of((-1, 1)) * draw.tenth(1, 3), 1
    )
    line = low + share * (high - low)
    from_stiff = high - share * (high - low)
    answer = shop - line
    return exercise(
        "07 residual",
        question=(
            f"Flex {soft} reads {low:.1f} cpm and flex {stiff} {high:.1f} cpm. By the rule, a cut "
            f"{PARTS_OF_THE_WAY[share]} of the way from {soft}'s tip trim to {stiff}'s should read the same fraction "
            f"of the way from {soft}'s cpm to {stiff}'s. It reads {shop:.1f} cpm. By how many cpm is it stiffer (+) "
            "or softer (−) than the rule says?"
        ),
        answer=(answer, "cpm", 0.15),
        mistakes=[
            ("rule less measurement", -answer, "Measured minus expected: more cpm than the rule says is +."),
            ("what the rule says", line, "That is what the rule says: subtract it from the measured cpm."),
            ("counted from the stiffer flex", shop - from_stiff, f"Count from {soft} up, not from {stiff} down."),
            ("against the softer flex", shop - low, f"Compare with the place between, not with flex {soft}."),
            ("against the stiffer flex", shop - high, f"Compare with the place between, not with flex {stiff}."),
        ],
        solution=(
            f"By the rule {low:.1f} + {n(share)} × {high - low:.1f} = {plain(line)} cpm. {shop:.1f} − {n(line)} = "
            f"{plain(answer)} cpm, or {in_words(answer, 'cpm')} as a machine reads."
        ),
    )


def in_flexes(draw: Draw) -> Exercise:
    """The difference between two clubs in flexes, with its sign."""
    club, _, _, _, _ = _club(draw)
    scale = _as_printed(club)
    softest, middle, stiffest = scale.frequency_cpm
    change = draw.one_of((-1, 1)) * draw.tenth(2, 7)
    answer = scale.flexes_apart(middle + change, middle)
    stiffer = change > 0
    gap, other = (stiffest - middle, middle - softest) if stiffer else (middle - softest, stiffest - middle)
    return exercise(
        "07 in flexes",
        question=(
            f"For {with_article(club.plan.club)}, the flexes of a shaft read {softest:.1f} cpm (A), {middle:.1f} cpm "
            f"(R) and {stiffest:.1f} cpm (S). A club reads {middle + change:.1f} cpm. How many flexes stiffer (+) or "
            "softer (−) than R is it?"
        ),
        answer=(answer, "flexes", 0.015),
        mistakes=[
            ("wrong sign", -answer, "Less than R is softer: −. More is stiffer: +."),
            ("cpm for flexes", change, "That is in cpm: divide by the cpm of one flex on that side."),
            ("the other side's gap", change / other, "Divide by the gap on the club's side of R."),
            ("ten cpm a flex", change / QUOTED_CPM_PER_FLEX, f"{ROUGH} this shaft's flexes."),
            ("the drivers' flex", change / CPM_PER_FLEX, f"{OTHERS} this shaft's flexes."),
        ],
        solution=(
            f"{middle + change:.1f} − {middle:.1f} = {plain(change, 1)} cpm; one flex on that side is {gap:.1f} cpm; "
            f"{n(change, 1)} / {gap:.1f} = {in_words(answer, 'flexes')}."
        ),
    )


QUESTIONS = (place_on_the_scale, trim_for_a_frequency, residual, in_flexes)
