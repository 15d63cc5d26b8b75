"""What questions of lessons 07, 10 and 11 print of clubs, computed again by a finite element beam and by moments.

Hermite cubic elements with consistent mass (any text on finite elements, for example Bathe, Finite Element Procedures),
scipy.linalg.eigh, the head as a rigid body off the free end. Nothing of the package computes here: lengths, cuts and
walls are worked from the tables by the rules that the lessons state.
"""

import csv
import itertools
import math
import re

import numpy as np
import pytest
from scipy.linalg import eigh
from scipy.optimize import brentq

from trimkit.parts.catalogue import data_folder
from trimkit.study.exercises import exercises_of

INCH = 0.0254
CLAMP_IN, CAP_IN = 5.0, 0.1
SHAFT = "steel parallel 110 g combination"
E_PA, KG_PER_M3 = 210e9, 7850.0
SEEDS = range(4)
DATA = data_folder()


def rows(name, **wanted):
    """The rows of a shipped table in which the named columns hold the given texts."""
    with (DATA / name).open(encoding="utf-8") as file:
        return [row for row in csv.DictReader(file) if all(row[key] == value for key, value in wanted.items())]


def shaft():
    """Sections of the master as (from, to, outer diameter, wall), in; one factor on the walls gives its raw mass."""
    keys = ("from_tip_in", "to_tip_in", "outer_diameter_in", "wall_in")
    table = np.array([[float(row[key]) for key in keys] for row in rows("shaft_sections.csv", shaft=SHAFT)])
    raw_kg = float(rows("shafts.csv", shaft=SHAFT)[0]["raw_mass_g"]) / 1000

    def excess(factor):
        return sum(KG_PER_M3 * area(d, factor * t) * (b - a) * INCH for a, b, d, t in table) - raw_kg

    table[:, 3] *= brentq(excess, 0.5, 2)
    return table


def area(outer_in, wall_in):
    return math.pi / 4 * (outer_in**2 - (outer_in - 2 * wall_in) ** 2) * INCH**2


def ei(outer_in, wall_in):
    return E_PA * math.pi / 64 * (outer_in**4 - (outer_in - 2 * wall_in) ** 4) * INCH**4


def pieces(table, low_in, high_in):
    """Parts of the shaft between two places from its tip, up to 2 in: (from, to, E I, kg per m).

    Shorter ones are no better: at half an inch rounding in the stiffness matrix costs 2e-6 of the frequency.
    """
    for a, b, outer, wall in table:
        start, end = max(a, low_in), min(b, high_in)
        if end - start > 1e-9:
            marks = np.linspace(start, end, 1 + math.ceil((end - start) / 2))
            for each in itertools.pairwise(marks):
                yield *each, ei(outer, wall), KG_PER_M3 * area(outer, wall)


def frequency_cpm(club, tip_trim_in, head_g=0.0, bbgl_in=0.0):
    """First frequency of an iron of the class, with that much more head mass and BBGL; its playing length stays."""
    (head,) = rows("heads.csv", head=f"class {club}")
    (rung,) = rows("head_ladder.csv", ladder="demo irons", club=club)
    bbgl, bore = float(head["bbgl_in"]) + bbgl_in, float(head["bore_depth_in"])
    cut = float(rung["playing_length_in"]) - bbgl - CAP_IN
    free, clamped = tip_trim_in + bore, tip_trim_in + cut + CAP_IN - CLAMP_IN
    table = shaft()
    beam = list(pieces(table, free, clamped))
    size = 2 * len(beam) + 2
    stiffness, mass = np.zeros((size, size)), np.zeros((size, size))
    for number, (a, b, bending, per_m) in enumerate(beam):
        h = (b - a) * INCH
        k = [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h**2, -6 * h, 2 * h**2]]
        k += [[-12, -6 * h, 12, -6 * h], [6 * h, 2 * h**2, -6 * h, 4 * h**2]]
        m = [[156, 22 * h, 54, -13 * h], [22 * h, 4 * h**2, 13 * h, -3 * h**2]]
        m += [[54, 13 * h, 156, -22 * h], [-13 * h, -3 * h**2, -22 * h, 4 * h**2]]
        at = slice(2 * number, 2 * number + 4)
        stiffness[at, at] += bending / h**3 * np.array(k)
        mass[at, at] += per_m * h / 420 * np.array(m)
    # Beyond the free end, rigid with it: the head, and what of the shaft lies in the bore. x runs towards the clamp.
    head_kg = (float(head["head_mass_g"]) + head_g) / 1000
    bodies = [(head_kg, (bbgl + bore - float(head["cg_height_in"])) * INCH, float(head["inertia_g_cm2"]) * 1e-7)]
    for a, b, _, per_m in pieces(table, tip_trim_in, free):
        length = (b - a) * INCH
        bodies.append((per_m * length, (free - (a + b) / 2) * INCH, per_m * length**3 / 12))
    for kg, off, inertia in bodies:
        mass[:2, :2] += [[kg, -kg * off], [-kg * off, kg * off**2 + inertia]]
    (square,) = eigh(stiffness[:-2, :-2], mass[:-2, :-2], eigvals_only=True, subset_by_index=[0, 0])
    return 60 / (2 * math.pi) * math.sqrt(square)


def row_in(club, flex):
    return float(rows("schedules.csv", shaft=SHAFT, flex=flex, club=club)[0]["tip_trim_in"])


def trim_in(club, flex):
    """The schedule's row, corrected for the head's BBGL: the schedule is written for 1 in."""
    return row_in(club, flex) + float(rows("heads.csv", head=f"class {club}")[0]["bbgl_in"]) - 1


def asked(key):
    """The exercises of a key under every seed, each with its club."""
    for seed in SEEDS:
        given = next(each for each in exercises_of(key[:2], seed) if each.key == key)
        yield given, re.search(r"\d-iron", given.question)[0]


def cpm_in(given):
    """Every number of cpm in a question, in order."""
    return [float(each.replace("−", "-")) for each in re.findall(r"(−?[\d.]+) cpm", given.question)]


def printed(cpm, digits=0.05):
    """What a number printed to a tenth may stand for."""
    return pytest.approx(cpm, abs=digits + 1e-5)


def test_lesson_07_the_flexes_of_a_shaft():
    for given, club in asked("07 in flexes"):
        assert cpm_in(given)[:3] == [printed(frequency_cpm(club, trim_in(club, flex))) for flex in "ARS"]
    for key in ("07 place on the scale", "07 trim for a frequency"):
        for given, club in asked(key):
            soft, stiff = re.search(r"flex ([AR])\b.*flex ([RS])\b", given.question).groups()
            for flex in (soft, stiff):
                cpm = float(re.search(rf"flex {flex}\)? (?:(?:it )?reads )?([\d.]+) cpm", given.question)[1])
                assert cpm == printed(frequency_cpm(club, trim_in(club, flex)))


def test_lesson_10_an_inch_of_trim():
    for given, club in asked("10 cut tolerance"):
        trim = trim_in(club, "R")
        inch = frequency_cpm(club, trim + 0.5) - frequency_cpm(club, trim - 0.5)
        assert cpm_in(given)[0] == printed(inch)


def test_lesson_11_the_points_of_a_longer_club():
    """Head, shaft, ferrule and epoxy (3 g) move away from the grip; the new piece of shaft lies beside the grip's end.

    A point at 1.75 oz in about 14 in from the cap end: from memory, unverified.
    """
    for given, club in asked("11 half an inch longer"):
        whole, parts, quarters, points = re.search(
            r"built (?:(\d) )?(\d)/(\d) in longer gains ([\d.]+)", given.question
        ).groups()
        longer = int(whole or 0) + int(parts) / int(quarters)
        (head,) = rows("heads.csv", head=f"class {club}")
        (rung,) = rows("head_ladder.csv", ladder="demo irons", club=club)
        trim = trim_in(club, "R")
        end = trim + float(rung["playing_length_in"]) - float(head["bbgl_in"]) - CAP_IN
        old, new = (
            sum(1000 * per_m * (b - a) * INCH for a, b, _, per_m in pieces(shaft(), low, high))
            for low, high in ((trim, end), (end, end + longer))
        )
        moved = (float(head["head_mass_g"]) + old + 3.0) * longer
        oz_in = (moved + new * (CAP_IN + longer / 2 - 14)) / 28.349523125
        assert float(points) == printed(oz_in / 1.75)


def test_lesson_11_two_changes_at_once():
    """The answer is the club with both changes; the bore is left uncorrected, so the schedule's row is the trim."""
    for given, club in asked("11 two changes"):
        start, head, bore = cpm_in(given)
        grams = float(re.search(r"a head (\d+) g", given.question)[1])
        grams *= -1 if "lighter" in given.question else 1
        trim = row_in(club, "R")
        assert start == printed(frequency_cpm(club, trim))
        assert head == printed(frequency_cpm(club, trim, grams) - start)
        assert bore == printed(frequency_cpm(club, trim, 0, 0.5) - start)
        assert given.answer == pytest.approx(frequency_cpm(club, trim, grams, 0.5), abs=1e-4)
