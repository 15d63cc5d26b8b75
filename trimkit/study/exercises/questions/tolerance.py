"""Lesson 10: how close is close enough."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from trimkit.check.setline import SET_TOLERANCE_CPM, SetLine, against_line
from trimkit.club.club import club_frequencies_cpm
from trimkit.parts.units import nearest_mark
from trimkit.shop.tolerance import Budget
from trimkit.study.exercises.draw import IRONS_4_TO_9, Draw, demo_ladder, demo_set, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches
from trimkit.study.labs.closeness import all_within

MARK = "That is a nearby ruler mark: give the limit itself, to a hundredth of an inch."


def _cpm_per_in(draw: Draw) -> tuple[str, float]:
    """A club of the set and its cpm per inch of tip trim, to a tenth."""
    club = demo_set().club(draw.one_of(IRONS_4_TO_9))
    trim = club.plan.tip_trim_in
    less, more = club_frequencies_cpm(club.plan, club.assembly, (trim - 0.5, trim + 0.5))
    return club.plan.club, round(more - less, 1)


def spread(draw: Draw) -> Exercise:
    """How far several independent effects spread a club's frequency: the root of the sum of squares."""
    effects = [draw.tenth(1.2, 2.0), draw.tenth(0.6, 1.0), draw.tenth(0.3, 0.5)]
    whole, once = sum(effects), np.array([effects])
    answer = float(Budget(("club",), ("EI", "wall", "BBGL"), (0.0,) * 3, np.zeros(1), once).sd_cpm[0])
    ei, wall, bbgl = effects
    return exercise(
        "10 spread",
        question=(
            f"The scatter of a shaft's EI is worth ±{ei:g} cpm on a club, that of its wall ±{wall:g} cpm, and that of "
            f"the BBGL reading ±{bbgl:g} cpm. The three are independent. How far off its plan may the club come out "
            "(±), to a tenth?"
        ),
        answer=(answer, "cpm", 0.06),
        mistakes=[
            ("added up", whole, "Errors do not add up; their squares do. Then take the root."),
            ("no root", answer**2, "That is the sum of the squares (cpm²): take its root."),
            ("largest only", ei, "That is EI alone: the other squares add a little."),
            ("two only", math.hypot(ei, wall), "The BBGL reading is missing: add its square too."),
            ("mean", whole / 3, "Not the mean: add the squares, then take the root."),
            ("root of the sum", math.sqrt(whole), "Square each effect first, add, then take the root."),
        ],
        solution=(
            f"{n(ei)}² + {n(wall)}² + {n(bbgl)}² = {n(ei**2, 2)} + {n(wall**2, 2)} + {n(bbgl**2, 2)} = "
            f"{n(answer**2, 2)} cpm²; its root is {in_words(answer, 'cpm')}."
        ),
    )


def all_of_a_set(draw: Draw) -> Exercise:
    """How often a whole set is within tolerance: the clubs' chances multiplied."""
    clubs, percent = draw.whole(4, 7), draw.whole(86, 96)
    part = percent / 100
    answer = round(100 * all_within([part] * clubs), 1)
    one_less = 100 * all_within([part] * (clubs - 1))
    return exercise(
        "10 all of a set",
        question=(
            f"Each of the {clubs} clubs of a set is within tolerance in {percent} % of all sets, independently of the "
            f"others. In what percentage of all sets are all {clubs} within tolerance?"
        ),
        answer=(answer, "%", 0.6),
        mistakes=[
            ("one club", float(percent), f"That is one club alone: all {clubs} must be within tolerance at once."),
            ("a part, not percent", answer / 100, "That is a fraction of 1: multiply by 100 for percent."),
            ("misses added up", 100.0 - clubs * (100 - percent), "The misses do not add up: multiply the chances."),
            ("times the number", float(percent * clubs), "Multiply the chance by itself, not by the number of clubs."),
            ("divided", percent / clubs, "Do not divide: multiply the chance by itself, once for each club."),
            ("one club outside", 100 - answer, "That is how often at least one club is outside."),
            ("one factor too few", one_less, f"One factor is missing: {clubs} clubs are {clubs} factors."),
        ],
        solution=f"{n(part)} × {n(part)} × … {clubs} times = {n(answer / 100)}, or {in_words(answer, '%')}.",
    )


def cut_tolerance(draw: Draw) -> Exercise:
    """How far off the cut may be for a tolerance in cpm."""
    club, rate = _cpm_per_in(draw)
    tolerance = SET_TOLERANCE_CPM * draw.one_of((0.5, 0.75, 1, 1.25, 1.5))
    answer = tolerance / rate
    return exercise(
        "10 cut tolerance",
        question=(
            f"One inch of tip trim changes the {club} by {rate:.1f} cpm. The set is matched to within {tolerance:g} "
            "cpm. By how many inches may the tip cut alone be off, to a hundredth of an inch?"
        ),
        answer=(answer, "in", 0.01),
        mistakes=[
            ("turned round", rate / tolerance, "Divide the tolerance by the cpm per inch, not the other way round."),
            ("multiplied", rate * tolerance, "Divide, do not multiply: cpm / (cpm per inch) is inches."),
            ("a mark", nearest_mark(answer).marked_in, MARK),
            ("the mark below", math.floor(answer * 16) / 16, MARK),
            ("the mark above", math.ceil(answer * 16) / 16, MARK),
            ("a tenth", round(answer, 1), "Not fine enough: give a hundredth of an inch."),
        ],
        solution=f"{tolerance:g} cpm / {rate:.1f} cpm per inch = {inches(answer)}.",
    )


def mark_in_cpm(draw: Draw) -> Exercise:
    """What cutting at the nearest mark costs, in cpm."""
    club, rate = _cpm_per_in(draw)
    trim = draw.whole(200, 550) / 100
    while abs(nearest_mark(trim).error_in) < 0.015:
        trim = round(trim + 0.01, 2)
    mark = nearest_mark(trim)
    answer = mark.error_in * rate
    other = mark.error_in - math.copysign(1 / 16, mark.error_in)
    return exercise(
        "10 mark in cpm",
        question=(
            f"The plan says {trim:.2f} in of tip trim for the {club}; you cut at the nearest sixteenth. One more inch "
            f"off the tip is {rate:.1f} cpm stiffer. By how many cpm does the rounding make the club stiffer (+) or "
            "softer (−)?"
        ),
        answer=(answer, "cpm", 0.04),
        mistakes=[
            ("wrong sign", -answer, "More off than planned is stiffer (+), less is softer (−)."),
            ("a whole sixteenth", rate / 16, "The nearest mark is never a whole sixteenth away."),
            ("inches", mark.error_in, "That is in inches: multiply by the cpm per inch."),
            ("the mark on the other side", other * rate, f"{mark.mark} is nearer: cut at the nearest sixteenth."),
        ],
        solution=(
            f"Nearest mark {mark.mark} = {plain(mark.marked_in, 4)} in, {n(mark.marked_in, 4)} − {trim:.2f} = "
            f"{n(mark.error_in, 4)} in; × {rate:.1f} cpm per inch = {n(answer, 2)}, about {in_words(answer, 'cpm')}."
        ),
    )


def outside(draw: Draw) -> Exercise:
    """How many clubs of a set are outside the tolerance."""
    ladder, slope, cpm, tolerance = demo_ladder(), 4.0, float(draw.whole(295, 302)), SET_TOLERANCE_CPM
    line = SetLine(ladder.rung("4-iron").playing_length_in, cpm, slope)
    high, low = draw.whole(1, 2), draw.whole(1, 2)
    signs = [1] * high + [-1] * low + [0] * (6 - high - low)
    signs = [signs[k] for k in draw.generator.permutation(6)]
    off = [sign * draw.tenth(2.3, 5) if sign else draw.tenth(-1.6, 1.6) for sign in signs]
    clubs = [
        (club, length := ladder.rung(club).playing_length_in, round(line.at_cpm(length) + each, 1))
        for club, each in zip(IRONS_4_TO_9, off, strict=True)
    ]
    report = against_line(clubs, line, tolerance)
    answer = sum(not club.within for club in report.clubs)
    stiff = sum(not club.within and club.deviation_cpm > 0 for club in report.clubs)
    low_too = "Too soft counts as well: below the line is just as bad."
    high_too = "Too stiff counts as well as too soft."
    if 2 * stiff == answer:
        low_too = high_too = "You counted one side of the line: too stiff and too soft both count."
    first = float(sum(abs(each - cpm) > tolerance for _, _, each in clubs))
    said = "; ".join(f"{name} {each:.1f}" for name, _, each in clubs)
    bad = ", ".join(f"{club.club} {plain(club.deviation_cpm, 1)}" for club in report.clubs if not club.within)
    return exercise(
        "10 outside",
        question=(
            f"A set steps by half an inch per club. Its line is {cpm:.0f} cpm at the 4-iron and rises by {slope:g} "
            f"cpm per club. Measured (cpm): {said}. How many clubs are more than {tolerance:g} cpm (common "
            "practice, no source) off the line?"
        ),
        answer=(float(answer), "clubs", 0.1),
        mistakes=[
            ("stiff ones only", float(stiff), low_too),
            ("soft ones only", float(answer - stiff), high_too),
            (
                "against the first club",
                float(first),
                "Compare each with the line at its own length, not with the 4-iron.",
            ),
            ("all", 6.0, "Most are within it: work out club minus line for each."),
        ],
        solution=f"Off by more than {tolerance:g} cpm (club minus line): {bad}. That is {in_words(answer, 'clubs')}.",
    )


def head_mass(draw: Draw) -> Exercise:
    """How many grams the head may be off."""
    club = demo_set().club(draw.one_of(IRONS_4_TO_9))
    assembly = replace(club.assembly, tip_weight_g=10.0)
    lost = round(club.frequency_cpm - club_frequencies_cpm(club.plan, assembly, (club.plan.tip_trim_in,))[0], 1)
    tolerance = draw.one_of((0.5, 0.75, 1.0, 1.5))
    answer = tolerance / lost * 10
    return exercise(
        "10 head mass",
        question=(
            f"Ten more grams in the head lower the frequency of the {club.plan.club} by {lost:.1f} cpm. How many "
            f"grams may the head be off if that alone may change the frequency by {tolerance:g} cpm?"
        ),
        answer=(answer, "g", 0.1),
        mistakes=[
            ("per gram", tolerance / lost, f"The {lost:.1f} cpm are for ten grams, not one."),
            ("turned round", lost / tolerance, "Divide the allowed cpm by the cpm per gram."),
            ("multiplied", lost * tolerance, "Divide, do not multiply: cpm / (cpm per gram) is grams."),
            ("multiplied per gram", lost * tolerance / 10, "Divide the allowed cpm by the cpm per gram."),
        ],
        solution=(
            f"{lost:.1f} / 10 = {plain(lost / 10)} cpm per gram; {tolerance:g} / {n(lost / 10)} = "
            f"{in_words(answer, 'g')}."
        ),
    )


QUESTIONS = (spread, all_of_a_set, cut_tolerance, mark_in_cpm, outside, head_mass)
