"""Lesson 01: the trim schedule, its rows and the places between two flexes."""

from __future__ import annotations

from trimkit.study.exercises.draw import IRONS, PARTS_OF_THE_WAY, Draw, at, demo_order, demo_schedule, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words
from trimkit.trim.clubs import with_article
from trimkit.trim.flexplace import FlexPlace

PAIRS = (("A", "R"), ("R", "S"))


def row_by_pattern(draw: Draw) -> Exercise:
    """A row found from another by the gain per club."""
    schedule, flex = demo_schedule(), draw.one_of(("A", "R", "S"))
    first, last = IRONS[draw.whole(0, 2)], IRONS[draw.whole(4, 5)]
    known, asked = (schedule.row(club, flex).tip_trim_in for club in (first, last))
    clubs = IRONS.index(last) - IRONS.index(first)
    gain = (asked - known) / clubs
    return exercise(
        "01",
        "row by pattern",
        question=(
            f"In flex {flex} a schedule trims {in_words(known, 'in')} for {with_article(first)}, and gains "
            f"{in_words(gain, 'in')} for every club as the clubs get shorter. What does it trim for "
            f"{with_article(last)}?"
        ),
        unit="in",
        answer=asked,
        tolerance=0.02,
        mistakes=[
            (
                "one club too many",
                asked + gain,
                f"The {first} itself does not count: the {last} is {clubs} clubs further.",
            ),
            ("one club too few", asked - gain, f"Count again: the {last} is {clubs} clubs further than the {first}."),
            ("gain only", clubs * gain, f"That is what {clubs} clubs gain: add it to the {first}'s trim."),
            ("one gain only", known + gain, f"That is one club further: the {last} is {clubs} clubs further."),
            ("wrong direction", known - clubs * gain, "Shorter clubs lose more at the tip, not less."),
        ],
        solution=f"{clubs} clubs further: {n(known)} + {clubs} × {n(gain)} = {in_words(asked, 'in')}.",
    )


def between_flexes(draw: Draw) -> Exercise:
    """The trim of a place between two flexes."""
    schedule, shaft = demo_schedule(), demo_order().shaft
    club, (soft, stiff), part = draw.one_of(IRONS), draw.one_of(PAIRS), draw.one_of((0.25, 0.75))
    low, high = (schedule.row(club, flex).tip_trim_in for flex in (soft, stiff))
    answer = schedule.trim_in(at(club), FlexPlace.between(soft, stiff, part, shaft))
    return exercise(
        "01",
        "between flexes",
        question=(
            f"For {with_article(club)} a schedule's tip trim is {in_words(low, 'in')} (flex {soft}) and "
            f"{in_words(high, 'in')} (flex {stiff}). The client wants {PARTS_OF_THE_WAY[part]} of the way from "
            f"{soft} "
            f"to {stiff}. How much comes off the tip?"
        ),
        unit="in",
        answer=answer,
        tolerance=0.02,
        mistakes=[
            (
                "counted from the stiffer flex",
                high - part * (high - low),
                f"You counted from {stiff}; the order counts from {soft}.",
            ),
            ("half-way", (low + high) / 2, f"That is half-way; the order says {PARTS_OF_THE_WAY[part]}."),
            ("difference only", part * (high - low), f"That is what is added to the trim of flex {soft}: add it."),
            ("softer flex only", low, f"That is flex {soft} itself: nothing of the way is gone yet."),
            ("part of the stiffer trim", low + part * high, "Take the part of the difference, not of the whole trim."),
        ],
        solution=(
            f"The two flexes lie {n(high)} − {n(low)} = {plain(high - low)} in apart. "
            f"{n(low)} + {n(part)} × {n(high - low)} = {in_words(answer, 'in')}."
        ),
    )


def place_of_a_trim(draw: Draw) -> Exercise:
    """Which part of the way a trim is."""
    schedule, club, (soft, stiff) = demo_schedule(), draw.one_of(IRONS), draw.one_of(PAIRS)
    low, high = (schedule.row(club, flex).tip_trim_in for flex in (soft, stiff))
    eighths = draw.one_of([k for k in range(2, round((high - low) * 8) - 1) if abs(k / 8 / (high - low) - 0.5) > 0.04])
    trim = low + eighths / 8
    place = schedule.place_of(at(club), trim)
    assert place is not None
    return exercise(
        "01",
        "place of a trim",
        question=(
            f"For {with_article(club)} flex {soft} is cut at {in_words(low, 'in')} of tip trim and flex {stiff} at "
            f"{in_words(high, 'in')}. A used club was trimmed {in_words(trim, 'in')}. Which part of the way from "
            f"{soft} "
            f"to {stiff} is that (a number between 0 and 1)?"
        ),
        unit="",
        answer=place.part,
        tolerance=0.02,
        mistakes=[
            (
                "counted from the stiffer flex",
                1 - place.part,
                f"You counted from {stiff} towards {soft}: turn it round.",
            ),
            ("inches for the part", trim - low, "That is in inches: divide by the distance of the two flexes."),
            ("part of the whole trim", trim / high, f"Start counting at flex {soft}, not at an uncut tip."),
        ],
        solution=(
            f"({n(trim)} − {n(low)}) / ({n(high)} − {n(low)}) = {n(trim - low)} / {n(high - low)} "
            f"= {in_words(place.part, '')}."
        ),
    )


def cut_on_to_a_stiffer_flex(draw: Draw) -> Exercise:
    """How much more comes off a club that is cut for a softer flex."""
    schedule, club, (soft, stiff) = demo_schedule(), draw.one_of(IRONS[1:]), draw.one_of(PAIRS)
    low, high = (schedule.trim_in(at(club), FlexPlace.at(flex)) for flex in (soft, stiff))
    more = high - low
    return exercise(
        "01",
        "cut on",
        question=(
            f"The tip of {with_article(club)} is cut {in_words(low, 'in')} for flex {soft}. Then the client "
            "changes to "
            f"flex {stiff}, for which the same schedule trims {in_words(high, 'in')}. How much more comes off the "
            "tip?"
        ),
        unit="in",
        answer=more,
        tolerance=0.02,
        mistakes=[
            (
                "cut twice",
                high,
                f"{in_words(low, 'in')} are off already: only the difference is cut. What is off cannot be put back.",
            ),
            ("both added", low + high, "The two trims are not added: the second one is the whole trim."),
        ],
        solution=f"{n(high)} − {n(low)} = {in_words(more, 'in')} more.",
    )


QUESTIONS = (row_by_pattern, between_flexes, place_of_a_trim, cut_on_to_a_stiffer_flex)
