"""Lesson 09: matching a set: the line, its slope, and the clubs off it."""

from __future__ import annotations

import statistics

from trimkit.check.setline import RobustFit, SetLine, against_line, fit_line
from trimkit.study.exercises.draw import IRONS_4_TO_9, Draw, demo_ladder, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches

SLOPE = "cpm per half inch"


def on_the_line(draw: Draw) -> Exercise:
    """A target from one club and the slope."""
    first, last = draw.whole(0, 2), draw.whole(3, 5)
    start, asked = (
        (IRONS_4_TO_9[first], IRONS_4_TO_9[last]) if draw.whole(0, 1) else (IRONS_4_TO_9[last], IRONS_4_TO_9[first])
    )
    ladder, slope, cpm = demo_ladder(), draw.tenth(3.5, 5.5), draw.tenth(295, 320)
    here, there = ladder.rung(start).playing_length_in, ladder.rung(asked).playing_length_in
    line = SetLine(here, cpm, slope)
    answer = line.at_cpm(there)
    change = answer - cpm
    put = "add it to" if change > 0 else "take it off"
    return exercise(
        "09 on the line",
        question=(
            f"The {start} plays at {inches(here)} and reads {cpm:.1f} cpm, right on the set's line, which rises by "
            f"{slope:g} cpm for every half inch shorter. What should the {asked} ({inches(there)}) read?"
        ),
        answer=(answer, "cpm", 0.15),
        mistakes=[
            ("wrong direction", cpm - change, "Shorter clubs read higher, longer ones lower."),
            ("per inch", cpm + change / 2, "The slope is per half inch: an inch is two of them."),
            ("one step", cpm + change / abs(here - there) / 2, "That is for one half inch: count all of them."),
            ("change only", change, f"That is the change: {put} the known club's cpm."),
            ("change without sign", abs(change), f"That is the change: {put} the known club's cpm."),
            ("the same as the other", cpm, "That is the other club's cpm: the line rises as clubs get shorter."),
        ],
        solution=(
            f"{n(here)} − {n(there)} = {plain(here - there)} in, or {plain((here - there) * 2)} half inches shorter; "
            f"{cpm:.1f} + {slope:g} × {n((here - there) * 2)} = {in_words(answer, 'cpm')}."
        ),
    )


def slope_of_two(draw: Draw) -> Exercise:
    """The slope between two clubs."""
    first, last = draw.whole(0, 1), draw.whole(3, 5)
    ladder, low = demo_ladder(), draw.tenth(295, 310)
    long, short = (ladder.rung(IRONS_4_TO_9[k]).playing_length_in for k in (first, last))
    high = round(low + draw.tenth(3.8, 5.4) * (long - short) * 2, 1)
    answer = fit_line([long, short], [low, high]).slope_cpm_per_half_in
    return exercise(
        "09 slope of two",
        question=(
            f"The {IRONS_4_TO_9[first]} ({inches(long)}) reads {low:.1f} cpm and the {IRONS_4_TO_9[last]} "
            f"({inches(short)}) {high:.1f} cpm. What is the slope, in cpm for each half inch shorter?"
        ),
        answer=(answer, SLOPE, 0.06),
        mistakes=[
            ("per inch", 2 * answer, "That is per inch: the slope is per half inch."),
            ("whole difference", high - low, "That is the whole difference: divide by the half inches between them."),
            ("quarter inch", answer / 2, "Count the half inches again: two to the inch."),
        ],
        solution=(
            f"{high:.1f} − {low:.1f} = {high - low:.1f} cpm over {n(long)} − {n(short)} = {plain(long - short)} in = "
            f"{n(2 * (long - short))} half inches; {high - low:.1f} / {n(2 * (long - short))} = "
            f"{in_words(answer, SLOPE)}."
        ),
    )


def deviation(draw: Draw) -> Exercise:
    """How far a club is off the line."""
    ladder, slope, cpm, club = demo_ladder(), draw.tenth(4, 5), draw.tenth(300, 308), draw.one_of(IRONS_4_TO_9[2:])
    here, there = ladder.rung("5-iron").playing_length_in, ladder.rung(club).playing_length_in
    line = SetLine(here, cpm, slope)
    asked = line.at_cpm(there)
    measured = round(asked + draw.one_of((-1, 1)) * draw.tenth(1.5, 5), 1)
    answer = against_line([(club, there, measured)], line).clubs[0].deviation_cpm
    return exercise(
        "09 deviation",
        question=(
            f"A set's line passes through {cpm:.1f} cpm at {inches(here)} and rises by {slope:g} cpm for every half "
            f"inch shorter. The {club} plays at {inches(there)} and reads {measured:.1f} cpm. How many cpm is it "
            "above (+, stiffer) or below (−, softer) the line?"
        ),
        answer=(answer, "cpm", 0.15),
        mistakes=[
            ("line less club", -answer, "Club minus line: above it is +."),
            ("the line itself", asked, "That is the line there: how far is the club off it?"),
            ("against the reference club", measured - cpm, "Compare with the line at this club's own length."),
            ("wrong direction of the line", measured - (2 * cpm - asked), "The line rises as clubs get shorter."),
            ("slope per inch", measured - (cpm + (asked - cpm) / 2), "The slope is per half inch."),
        ],
        solution=(
            f"The line there: {cpm:.1f} + {slope:g} × {n(2 * (here - there))} = {asked:.1f} cpm. "
            f"{measured:.1f} − {asked:.1f} = {in_words(answer, 'cpm')}."
        ),
    )


def median_slope(draw: Draw) -> Exercise:
    """The median slope of three clubs, the middle one of which is off."""
    ladder, start, slope = demo_ladder(), draw.tenth(296, 304), draw.tenth(4, 5)
    clubs = (IRONS_4_TO_9[0], IRONS_4_TO_9[1], IRONS_4_TO_9[4])
    lengths = [ladder.rung(club).playing_length_in for club in clubs]
    off = draw.one_of((-1, 1)) * draw.tenth(1.5, 3.5)
    cpm = [start, round(start + slope + off, 1), round(start + 4 * slope, 1)]
    answer = fit_line(lengths, cpm, RobustFit.PAIRWISE_MEDIAN).slope_cpm_per_half_in
    slopes = [cpm[1] - cpm[0], (cpm[2] - cpm[1]) / 3, (cpm[2] - cpm[0]) / 4]
    repeated = fit_line(lengths, cpm).slope_cpm_per_half_in
    said = "; ".join(
        f"{club} {inches(length)}, {each:.1f} cpm" for club, length, each in zip(clubs, lengths, cpm, strict=True)
    )
    return exercise(
        "09 median slope",
        question=(
            f"Three clubs: {said}. One of them is off. Work out the slope of every pair (cpm per half inch shorter). "
            "What is the median, the middle one, of just these three slopes?"
        ),
        answer=(answer, SLOPE, 0.06),
        mistakes=[
            ("mean", statistics.mean(slopes), "That is the mean: one bad club pulls it. Take the middle one of three."),
            ("largest", max(slopes), "That is the largest of the three: the median is the middle one."),
            ("smallest", min(slopes), "That is the smallest of the three: the median is the middle one."),
            (
                "repeated median",
                repeated,
                "That is the repeated median, the lab's way for many clubs: take the middle slope.",
            ),
            ("per inch", 2 * answer, "That is per inch: the slope is per half inch."),
        ],
        solution=(
            f"The pairs are 1, 3 and 4 half inches apart: slopes {', '.join(f'{each:.2f}' for each in slopes)}. "
            f"Sorted: {', '.join(f'{each:.2f}' for each in sorted(slopes))}; the middle one is "
            f"{in_words(answer, SLOPE)}. Here the bad club has not moved it."
        ),
    )


QUESTIONS = (on_the_line, slope_of_two, deviation, median_slope)
