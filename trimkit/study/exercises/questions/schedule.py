"""Lesson 01: the trim schedule, its rows and the places between two flexes."""

from __future__ import annotations

from trimkit.study.exercises.draw import IRONS_4_TO_9, PARTS_OF_THE_WAY, Draw, at, demo_order, demo_schedule, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches
from trimkit.trim.clubs import with_article
from trimkit.trim.flexplace import FlexPlace

PAIRS = (("A", "R"), ("R", "S"))


def row_by_pattern(draw: Draw) -> Exercise:
    """A row found from another by the gain per club."""
    schedule, flex = demo_schedule(), draw.one_of(("A", "R", "S"))
    first, last = IRONS_4_TO_9[draw.whole(0, 2)], IRONS_4_TO_9[draw.whole(4, 5)]
    known, asked = (schedule.row(club, flex).tip_trim_in for club in (first, last))
    clubs = IRONS_4_TO_9.index(last) - IRONS_4_TO_9.index(first)
    gain = (asked - known) / clubs
    return exercise(
        "01 row by pattern",
        question=(
            f"In flex {flex}, a schedule trims {inches(known)} for {with_article(first)} and {inches(gain)} more for "
            f"each shorter club. What does it trim for {with_article(last)}?"
        ),
        answer=(asked, "in", 0.02),
        mistakes=[
            ("one club too many", asked + gain, f"Count again: the {last} is {clubs} clubs further than the {first}."),
            ("one club too few", asked - gain, f"Count again: the {last} is {clubs} clubs further than the {first}."),
            ("gain only", clubs * gain, f"That is the gain over {clubs} clubs: add it to the {first}'s trim."),
            ("one gain only", known + gain, f"That is one club further: the {last} is {clubs} clubs further."),
            ("wrong direction", known - clubs * gain, "Shorter clubs lose more at the tip, not less."),
        ],
        solution=f"{clubs} clubs further: {n(known)} + {clubs} × {n(gain)} = {inches(asked)}.",
    )


def between_flexes(draw: Draw) -> Exercise:
    """The trim of a place between two flexes."""
    schedule, shaft = demo_schedule(), demo_order().shaft
    club, (soft, stiff), part = draw.one_of(IRONS_4_TO_9), draw.one_of(PAIRS), draw.one_of((0.25, 0.75))
    low, high = (schedule.row(club, flex).tip_trim_in for flex in (soft, stiff))
    answer = schedule.trim_in(at(club), FlexPlace.between(soft, stiff, part, shaft))
    more = part * (high - low)
    return exercise(
        "01 between flexes",
        question=(
            f"For {with_article(club)}, a schedule's tip trim is {inches(low)} (flex {soft}) and {inches(high)} (flex "
            f"{stiff}). The client wants {PARTS_OF_THE_WAY[part]} of the way from {soft} to {stiff}. How much comes "
            "off the tip?"
        ),
        answer=(answer, "in", 0.02),
        mistakes=[
            ("counted from the stiffer flex", high - more, f"Count from {soft} up, not from {stiff} down."),
            ("halfway", (low + high) / 2, f"That is halfway; the order says {PARTS_OF_THE_WAY[part]}."),
            ("difference only", more, f"That is the difference: add it to the trim of flex {soft}."),
            ("softer flex only", low, f"That is flex {soft} itself: go part of the way to {stiff}."),
            ("part of the stiffer trim", low + part * high, "Take the fraction of the difference, not of the trim."),
        ],
        solution=(
            f"The two flexes are {n(high)} − {n(low)} = {plain(high - low)} in apart. {n(low)} + {n(part)} × "
            f"{n(high - low)} = {inches(answer)}."
        ),
    )


def place_of_a_trim(draw: Draw) -> Exercise:
    """How far a trim is between two flexes."""
    schedule, club, (soft, stiff) = demo_schedule(), draw.one_of(IRONS_4_TO_9), draw.one_of(PAIRS)
    low, high = (schedule.row(club, flex).tip_trim_in for flex in (soft, stiff))
    eighths = draw.one_of([k for k in range(2, round((high - low) * 8) - 1) if abs(k / 8 / (high - low) - 0.5) > 0.04])
    trim = low + eighths / 8
    place = schedule.place_of(at(club), trim)
    assert place is not None
    return exercise(
        "01 place of a trim",
        question=(
            f"For {with_article(club)}, flex {soft} takes {inches(low)} of tip trim and flex {stiff} takes "
            f"{inches(high)}. A used club was trimmed {inches(trim)}. What fraction of the way from {soft} to {stiff} "
            "is that (a number from 0 to 1)?"
        ),
        answer=(place.fraction, "", 0.02),
        mistakes=[
            ("counted from the stiffer flex", 1 - place.fraction, f"Count from {soft} up, not from {stiff} down."),
            ("inches for the part", trim - low, "That is in inches: divide by the gap between the two flexes."),
            ("part of the whole trim", trim / high, f"Start counting at flex {soft}, not at an uncut tip."),
        ],
        solution=(
            f"({n(trim)} − {n(low)}) / ({n(high)} − {n(low)}) = {n(trim - low)} / {n(high - low)} = "
            f"{in_words(place.fraction, '')}."
        ),
    )


def cut_on_to_a_stiffer_flex(draw: Draw) -> Exercise:
    """How much more comes off a club that is cut for a softer flex."""
    schedule, club, (soft, stiff) = demo_schedule(), draw.one_of(IRONS_4_TO_9[1:]), draw.one_of(PAIRS)
    low, high = (schedule.row(club, flex).tip_trim_in for flex in (soft, stiff))
    more = high - low
    return exercise(
        "01 cut on",
        question=(
            f"The tip of {with_article(club)} has been trimmed {inches(low)} for flex {soft}; its butt is uncut. Then "
            f"the client changes to flex {stiff}, for which the same schedule trims {inches(high)}. How much more "
            "comes off the tip?"
        ),
        answer=(more, "in", 0.02),
        mistakes=[
            ("cut twice", high, f"Cut only the difference: {inches(low)} is already off and cannot be put back."),
            ("both added", low + high, "Do not add the two trims: the second is the whole trim."),
        ],
        solution=f"{n(high)} − {n(low)} = {inches(more)} more.",
    )


QUESTIONS = (row_by_pattern, between_flexes, place_of_a_trim, cut_on_to_a_stiffer_flex)
