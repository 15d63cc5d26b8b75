"""Lesson 10: how close is close enough."""

from __future__ import annotations

import math

import numpy as np

from trimkit.check.setline import SET_TOLERANCE_CPM
from trimkit.club.club import club_frequencies_cpm
from trimkit.parts.units import nearest_mark
from trimkit.shop.tolerance import Budget
from trimkit.study.exercises.draw import IRONS_4_TO_9, Draw, demo_set, n
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
            f"EI alone puts a club ±{ei:g} cpm off its plan, the wall alone ±{wall:g} cpm, the BBGL reading alone "
            f"±{bbgl:g} cpm. The three are independent. All three together: what is the club's ±, to a tenth of a cpm?"
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
            f"Each of the {clubs} clubs of a set is within the limit in {percent} % of all sets, independently of the "
            f"others. In what percentage of all sets are all {clubs} within the limit?"
        ),
        answer=(answer, "%", 0.6),
        mistakes=[
            ("one club", float(percent), f"That is one club alone: all {clubs} must be within the limit at once."),
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
            f"One inch of tip trim changes the {club} by {rate:.1f} cpm. The club may be {tolerance:g} cpm off. If "
            "everything else is right, how far off may the tip cut be, to a hundredth of an inch?"
        ),
        answer=(answer, "in", 0.01),
        mistakes=[
            ("turned round", rate / tolerance, "Divide the allowed cpm by the cpm per inch, not the other way round."),
            ("multiplied", rate * tolerance, "Divide, do not multiply: cpm / (cpm per inch) is inches."),
            ("a mark", nearest_mark(answer).marked_in, MARK),
            ("the mark below", math.floor(answer * 16) / 16, MARK),
            ("the mark above", math.ceil(answer * 16) / 16, MARK),
            ("a tenth", round(answer, 1), "Not fine enough: give a hundredth of an inch."),
        ],
        solution=f"{tolerance:g} cpm / {rate:.1f} cpm per inch = {inches(answer)}.",
    )


QUESTIONS = (spread, all_of_a_set, cut_tolerance)
