"""Lesson 10: how close is close enough."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from trimkit.check.setline import SET_TOLERANCE_CPM, SetLine, against_line
from trimkit.club.club import club_frequencies_cpm
from trimkit.parts.units import nearest_mark
from trimkit.shop.tolerance import Budget
from trimkit.study.exercises.draw import IRONS, Draw, at, demo_ladder, demo_set, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words
from trimkit.study.labs.closeness import all_within

MARK = "That is a ruler's mark near it; asked is the limit itself, to a hundredth of an inch."


def _cpm_per_in(draw: Draw) -> tuple[str, float]:
    """A club of the set and how many cpm an inch of tip trim is there, to a tenth."""
    club = demo_set().club(draw.one_of(IRONS))
    trim = club.plan.tip_trim_in
    less, more = club_frequencies_cpm(club.plan, club.assembly, (trim - 0.5, trim + 0.5))
    return club.plan.club, round(more - less, 1)


def spread(draw: Draw) -> Exercise:
    """How far a club spreads from what several numbers do to it: the root of the sum of squares."""
    effects = [draw.tenth(1.2, 2.0), draw.tenth(0.6, 1.0), draw.tenth(0.3, 0.5)]
    whole, once = sum(effects), np.array([effects])
    answer = float(Budget(("club",), ("EI", "wall", "BBGL"), (0.0,) * 3, np.zeros(1), once).sd_cpm[0])
    ei, wall, bbgl = effects
    return exercise(
        "10",
        "spread",
        question=(
            f"One standard deviation (sd) of a shaft's EI is worth {ei:g} cpm at a club, one of its wall {wall:g} cpm, "
            f"one of the BBGL reading {bbgl:g} cpm. They know nothing of each other. What is the sd of the club's "
            "frequency, to a tenth?"
        ),
        unit="cpm",
        answer=answer,
        tolerance=0.06,
        mistakes=[
            ("added up", whole, "Effects do not add up; their squares do. Then take the root."),
            ("no root", answer**2, "That is the variance (cpm²): take its root."),
            ("largest only", ei, "That is the EI alone: the other squares add a little."),
            ("two only", math.hypot(ei, wall), "The BBGL reading is missing: add its square too."),
            ("mean", whole / 3, "No mean: add the squares, then take the root."),
            ("root of the sum", math.sqrt(whole), "Square each effect first, add, then take the root."),
        ],
        solution=(
            f"{n(ei)}² + {n(wall)}² + {n(bbgl)}² = {n(ei**2, 2)} + {n(wall**2, 2)} + {n(bbgl**2, 2)} = "
            f"{n(answer**2, 2)} cpm²; its root is {in_words(answer, 'cpm')}."
        ),
    )


def all_of_a_set(draw: Draw) -> Exercise:
    """How often a whole set keeps within: the clubs' chances multiplied."""
    clubs, percent = draw.whole(4, 7), draw.whole(86, 96)
    part = percent / 100
    answer = round(100 * all_within([part] * clubs), 1)
    return exercise(
        "10",
        "all of a set",
        question=(
            f"Each of the {clubs} clubs of a set keeps within the allowed difference in {percent} % of all sets. They "
            f"know nothing of each other. In how many % of all sets do all {clubs} keep within?"
        ),
        unit="%",
        answer=answer,
        tolerance=0.6,
        mistakes=[
            ("one club", float(percent), f"That is one club alone: all {clubs} must keep within at once."),
            ("a part, not percent", answer / 100, "That is a part of 1: times 100 it is percent."),
            ("misses added up", 100.0 - clubs * (100 - percent), "The misses do not add up: multiply the chances."),
            ("times the number", float(percent * clubs), "Multiply the chance by itself, not by the number of clubs."),
            ("divided", percent / clubs, "Do not divide: multiply the chance by itself, once for each club."),
            ("one club outside", 100 - answer, "That is how often at least one club lies outside."),
            (
                "one factor too few",
                100 * all_within([part] * (clubs - 1)),
                f"One factor is missing: {clubs} clubs are {clubs} factors.",
            ),
        ],
        solution=f"{n(part)} × {n(part)} × … {clubs} times = {n(answer / 100)}, or {in_words(answer, '%')}.",
    )


def cut_tolerance(draw: Draw) -> Exercise:
    """How far the saw may be off for a tolerance in cpm."""
    club, rate = _cpm_per_in(draw)
    tolerance = SET_TOLERANCE_CPM * draw.one_of((0.5, 0.75, 1, 1.25, 1.5))
    answer = tolerance / rate
    return exercise(
        "10",
        "cut tolerance",
        question=(
            f"One inch of tip trim is {rate:.1f} cpm at the {club}. The set is matched to within {tolerance:g} cpm. "
            "By how many inches may the tip cut alone be off, to a hundredth of an inch?"
        ),
        unit="in",
        answer=answer,
        tolerance=0.01,
        mistakes=[
            ("turned round", rate / tolerance, "Divide the tolerance by the cpm of an inch, not the other way."),
            ("multiplied", rate * tolerance, "Divide, do not multiply: cpm / (cpm per inch) are inches."),
            ("a mark", nearest_mark(answer).marked_in, MARK),
            ("the mark below", math.floor(answer * 16) / 16, MARK),
            ("the mark above", math.ceil(answer * 16) / 16, MARK),
            ("a tenth", round(answer, 1), "Not fine enough: give a hundredth of an inch."),
        ],
        solution=f"{tolerance:g} cpm / {rate:.1f} cpm per inch = {in_words(answer, 'in')}.",
    )


def mark_in_cpm(draw: Draw) -> Exercise:
    """What cutting at the nearest mark costs."""
    club, rate = _cpm_per_in(draw)
    trim = draw.whole(200, 550) / 100
    while abs(nearest_mark(trim).error_in) < 0.015:
        trim = round(trim + 0.01, 2)
    mark = nearest_mark(trim)
    answer = mark.error_in * rate
    other = mark.error_in - math.copysign(1 / 16, mark.error_in)
    return exercise(
        "10",
        "mark in cpm",
        question=(
            f"The plan says {trim:.2f} in of tip trim for the {club}; you cut at the nearest sixteenth. One inch "
            "more off the "
            f"tip is {rate:.1f} cpm stiffer. By how many cpm does the rounding make the club stiffer (+) or "
            "softer (−)?"
        ),
        unit="cpm",
        answer=answer,
        tolerance=0.04,
        mistakes=[
            ("wrong sign", -answer, "More off than planned is stiffer (+), less is softer (−)."),
            ("a whole sixteenth", rate / 16, "The nearest mark is never a whole sixteenth away."),
            ("inches", mark.error_in, "That is in inches: times the cpm of an inch."),
            ("the mark on the other side", other * rate, f"{mark.mark} is nearer: cut at the nearest sixteenth."),
        ],
        solution=(
            f"Nearest mark {mark.mark} = {plain(mark.marked_in, 4)} in, {n(mark.marked_in, 4)} − {trim:.2f} = "
            f"{n(mark.error_in, 4)} in; × {rate:.1f} cpm per inch = {n(answer, 2)}, about {in_words(answer, 'cpm')}."
        ),
    )


def outside(draw: Draw) -> Exercise:
    """How many clubs of a set lie outside the tolerance."""
    ladder, slope, cpm, tolerance = demo_ladder(), 4.0, float(draw.whole(315, 322)), SET_TOLERANCE_CPM
    line = SetLine(ladder.playing_length_in(at("4-iron")), cpm, slope)
    high, low = draw.whole(1, 2), draw.whole(1, 2)
    signs = [1] * high + [-1] * low + [0] * (6 - high - low)
    signs = [signs[k] for k in draw.generator.permutation(6)]
    off = [sign * draw.tenth(2.3, 5) if sign else draw.tenth(-1.6, 1.6) for sign in signs]
    clubs = [
        (club, length := ladder.playing_length_in(at(club)), round(line.at_cpm(length) + each, 1))
        for club, each in zip(IRONS, off, strict=True)
    ]
    report = against_line(clubs, line, tolerance)
    answer = sum(not club.within for club in report.clubs)
    stiff = sum(not club.within and club.deviation_cpm > 0 for club in report.clubs)
    said = "; ".join(f"{name} {each:.1f}" for name, _, each in clubs)
    bad = ", ".join(f"{club.club} {plain(club.deviation_cpm, 1)}" for club in report.clubs if not club.within)
    return exercise(
        "10",
        "outside",
        question=(
            f"A set steps by half an inch a club. Its line is {cpm:.0f} cpm at the 4-iron and rises by {slope:g} "
            "cpm a club. "
            f"Measured (cpm): {said}. How many clubs lie more than "
            f"{tolerance:g} cpm (a tolerance from memory) off the line?"
        ),
        unit="clubs",
        answer=float(answer),
        tolerance=0.1,
        mistakes=[
            ("stiff ones only", float(stiff), "Too soft counts as well: the deviation below the line is as bad."),
            ("soft ones only", float(answer - stiff), "Too stiff counts as well as too soft."),
            (
                "against the first club",
                float(sum(abs(each - cpm) > tolerance for _, _, each in clubs)),
                "Compare each with the line at its own length, not with the 4-iron.",
            ),
            ("all", 6.0, "Most are within it: work out club less line for each."),
        ],
        solution=f"Off by more than {tolerance:g} cpm (club less line): {bad}. That is {in_words(answer, 'clubs')}.",
    )


def head_mass(draw: Draw) -> Exercise:
    """How many grams the head may be off."""
    club = demo_set().club(draw.one_of(IRONS))
    assembly = replace(club.assembly, tip_weight_g=10.0)
    lost = round(club.frequency_cpm - club_frequencies_cpm(club.plan, assembly, (club.plan.tip_trim_in,))[0], 1)
    tolerance = draw.one_of((0.5, 0.75, 1.0, 1.5))
    answer = tolerance / lost * 10
    return exercise(
        "10",
        "head mass",
        question=(
            f"Ten grams more in the head lower the frequency of the {club.plan.club} by {lost:.1f} cpm. How many "
            "grams may the "
            f"head be off if that alone may change it by {tolerance:g} cpm?"
        ),
        unit="g",
        answer=answer,
        tolerance=0.1,
        mistakes=[
            ("per gram", tolerance / lost, f"The {lost:.1f} cpm are those of ten grams, not of one."),
            ("turned round", lost / tolerance, "Divide the allowed cpm by the cpm of a gram."),
            ("multiplied", lost * tolerance, "Divide, do not multiply: cpm / (cpm per gram) are grams."),
            ("multiplied per gram", lost * tolerance / 10, "Divide the allowed cpm by the cpm of a gram."),
        ],
        solution=(
            f"{lost:.1f} / 10 = {plain(lost / 10)} cpm a gram; {tolerance:g} / {n(lost / 10)} = "
            f"{in_words(answer, 'g')}."
        ),
    )


QUESTIONS = (spread, all_of_a_set, cut_tolerance, mark_in_cpm, outside, head_mass)
