"""Lesson 06: the shaft as a beam: bending stiffness, mass and deflection of plain tubes."""

from __future__ import annotations

import math

from scipy import constants

from trimkit.mechanics.beam import tip_deflection
from trimkit.mechanics.profile import steel_profile
from trimkit.mechanics.tube import STEEL_YOUNGS_MODULUS_PA, tube_ei_n_m2, tube_mass_g_per_m
from trimkit.parts.components import STEEL_DENSITY_KG_M3, TubeSection
from trimkit.parts.units import MM_PER_IN
from trimkit.study.exercises.draw import Draw, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches

GRAVITY_M_PER_S2 = 9.81
E_GPA = STEEL_YOUNGS_MODULUS_PA / 1e9
UNITS = f"Use diameters in mm and E as {E_GPA:.0f} 000 N/mm², then divide by 1 000 000: 1 N m² is 1 000 000 N mm²."
INTO_METRES = "Convert the inches to meters first: 1 in = 0.0254 m."


def _ei(outer_in: float, inner_in: float) -> float:
    return STEEL_YOUNGS_MODULUS_PA * math.pi * (outer_in**4 - inner_in**4) * constants.inch**4 / 64


def stiffness(draw: Draw) -> Exercise:
    """E I of a tube."""
    outer, wall = draw.whole(37, 60) / 100, draw.whole(13, 18) / 1000
    answer = float(tube_ei_n_m2(outer, wall))
    big, small = outer * MM_PER_IN, (outer - 2 * wall) * MM_PER_IN
    second_moment_mm4 = answer / STEEL_YOUNGS_MODULUS_PA * 1e12
    return exercise(
        "06 stiffness",
        question=(
            f"A steel tube has an outer diameter of {outer:.2f} in ({big:.3f} mm) and a wall of {wall:.3f} in. E = "
            f"{E_GPA:.0f} GPa = {E_GPA:.0f} 000 N/mm² (EN 1993-1-1); take the wall as given. What is its bending "
            "stiffness E I, with I = π (D⁴ − d⁴) / 64?"
        ),
        answer=(answer, "N m²", 0.02 * answer),
        mistakes=[
            ("one wall only", _ei(outer, outer - wall), "The tube has a wall on both sides: d = D − 2 × wall."),
            ("solid bar", _ei(outer, 0), "That is a solid bar: subtract the hole."),
            ("radius for diameter", _ei(outer / 2, outer / 2 - wall), "The formula uses diameters, not radii."),
            ("GPa times mm⁴", 1000 * answer, f"A thousand times too large. {UNITS}"),
            ("GPa times rounded mm⁴", E_GPA * round(second_moment_mm4, 1), f"A thousand times too large. {UNITS}"),
            ("I alone", second_moment_mm4, "That is I in mm⁴: the question asks for E times I."),
            ("a thousandth", answer / 1000, f"Much too small. {UNITS}"),
            ("inches", answer / MM_PER_IN**4 * 1000, f"Much too small. {UNITS}"),
        ],
        solution=(
            f"d = {n(outer)} − 2 × {n(wall)} = {plain(outer - 2 * wall)} in = {small:.4f} mm. I = π × ({big:.3f}⁴ − "
            f"{small:.4f}⁴) / 64 = {second_moment_mm4:.3f} mm⁴. E I = {E_GPA:.0f} 000 N/mm² × {second_moment_mm4:.3f} "
            f"mm⁴ / 1 000 000 = {in_words(answer, 'N m²')}."
        ),
    )


def ratio(draw: Draw) -> Exercise:
    """How much stiffer a wider tube of the same wall is."""
    thin, wall = draw.whole(37, 42) / 100, draw.one_of((0.014, 0.015, 0.016))
    wide = thin + draw.whole(10, 18) / 100
    one, two = float(tube_ei_n_m2(thin, wall)), float(tube_ei_n_m2(wide, wall))
    answer = two / one
    a, b, walls = 100 * wide, 100 * thin, 200 * wall
    return exercise(
        "06 ratio",
        question=(
            f"A steel shaft measures {thin:.2f} in across near the tip and {wide:.2f} in higher up, both with a wall "
            f"of {wall:.3f} in. How many times stiffer is the wide part (ratio of E I)?"
        ),
        answer=(answer, "times", 0.02 * answer),
        mistakes=[
            ("ratio of diameters", wide / thin, "Stiffness goes with the fourth power of the diameter, not the first."),
            ("third power", (wide / thin) ** 3, "The third power is a rough rule: use D⁴ − d⁴ here."),
            ("squares", (wide / thin) ** 2, "Not the square: I has fourth powers, D⁴ − d⁴."),
            ("solid bars", (wide / thin) ** 4, "That is for two solid bars: subtract each hole."),
            ("turned round", 1 / answer, "Wide over thin: the wide part is the stiffer one."),
        ],
        solution=(
            f"D⁴ − d⁴, in hundredths of an inch: {a:.0f}⁴ − {a - walls:.1f}⁴ = {a**4 - (a - walls) ** 4:.0f}; "
            f"{b:.0f}⁴ − {b - walls:.1f}⁴ = {b**4 - (b - walls) ** 4:.0f}. Ratio: {in_words(answer, 'times')}."
        ),
    )


def deflection(draw: Draw) -> Exercise:
    """How far a plain tube bends under a hung weight."""
    outer, wall, clamp = draw.whole(40, 55) / 100, draw.one_of((0.014, 0.015, 0.016)), 5.0
    free, mass = float(draw.whole(30, 36)), 500.0 * draw.whole(1, 3)
    profile = steel_profile([TubeSection(0.0, free + clamp, outer, wall)], tip_section_in=free)
    force = mass * 1e-3 * GRAVITY_M_PER_S2
    exact, length = float(tube_ei_n_m2(outer, wall)), free * constants.inch
    ei = round(exact, 2)  # as printed: bend and E I go as one over the other
    answer = float(tip_deflection(profile, force_n=force, clamp_in=clamp).deflection_in) * exact / ei
    whole = force * (length + clamp * constants.inch) ** 3 / (3 * ei) / constants.inch
    return exercise(
        "06 deflection",
        question=(
            f"A plain steel tube with E I = {n(ei, 2)} N m² is {free + clamp:.0f} in long; its last {clamp:.0f} in "
            f"are held in a rigid clamp. A mass of {mass:g} g hangs from the free end (g = {GRAVITY_M_PER_S2} m/s²). "
            "How far does the end drop, by F L³ / (3 E I), in inches?"
        ),
        answer=(answer, "in", 0.01 * answer),
        mistakes=[
            ("clamped length counted", whole, "Only the free part bends: subtract the clamped length."),
            ("kilograms for newtons", answer / GRAVITY_M_PER_S2, "A mass is not a force: F = m g."),
            ("3 forgotten", 3 * answer, "F L³ / (3 E I): the 3 is missing."),
            ("grams for kilograms", 1000 * answer, "Put the mass in kilograms: 1000 g is 1 kg."),
            ("L in inches", force * free**3 / (3 * ei), "Put L in meters: 1 in = 0.0254 m."),
            ("meters", answer * constants.inch, "That is in meters: the question asks for inches."),
        ],
        solution=(
            f"L = {free:.0f} in = {length:.4f} m; F = {mass / 1000:g} kg × {GRAVITY_M_PER_S2} m/s² = {force:.3f} N. "
            f"F L³ / (3 E I) = {force:.3f} × {length:.4f}³ / (3 × {n(ei, 2)}) m, times 1000: "
            f"{answer * MM_PER_IN:.4f} mm = {inches(answer)}."
        ),
    )


def tube_mass(draw: Draw) -> Exercise:
    """What a length of tube weighs."""
    outer, wall, length = draw.whole(37, 60) / 100, draw.whole(13, 17) / 1000, draw.mark(6, 12, 2)
    per_m = round(float(tube_mass_g_per_m(outer, wall)), 1)  # as printed
    answer = per_m * length * constants.inch
    solid = STEEL_DENSITY_KG_M3 * 1e3 * math.pi / 4 * outer**2 * length * constants.inch**3
    return exercise(
        "06 tube mass",
        question=(
            f"A steel tube {outer:.2f} in in diameter with a wall of {wall:.3f} in weighs {per_m:.1f} g per meter. "
            f"How many grams do {inches(length)} of it weigh?"
        ),
        answer=(answer, "g", 0.01 * answer),
        mistakes=[
            ("centimeters", per_m * length / 100, f"You took inches for centimeters. {INTO_METRES}"),
            ("inches for meters", per_m * length, f"That is a tube {n(length)} m long. {INTO_METRES}"),
            ("ten times an inch", per_m * length * 0.254, f"Ten times too much. {INTO_METRES}"),
            ("one inch", per_m * constants.inch, f"That is one inch of it: the question asks for {inches(length)}."),
            ("decimeters", per_m * length / 10, f"An inch is not a tenth of a meter. {INTO_METRES}"),
            ("solid", solid, "That is a solid bar: the figure per meter is the tube's already."),
            ("feet", per_m * length / 12, f"A meter is not twelve inches. {INTO_METRES}"),
        ],
        solution=(
            f"{n(length)} in × 0.0254 m/in = {length * constants.inch:.4f} m; × {per_m:.1f} g/m = "
            f"{in_words(answer, 'g')}."
        ),
    )


QUESTIONS = (stiffness, ratio, deflection, tube_mass)
