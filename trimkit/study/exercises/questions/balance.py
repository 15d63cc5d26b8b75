"""Lesson 08: balance, swingweight, MOI, part by part."""

from __future__ import annotations

from trimkit.mechanics.balance import D0_OZ_IN, FULCRUM_IN, POINT_OZ_IN, Component, balance, mass_for_swingweight
from trimkit.parts.units import G_PER_OZ, MM_PER_IN
from trimkit.study.exercises.draw import Draw, n, plain
from trimkit.study.exercises.exercise import LETTER_SCALE, Exercise, exercise, in_words, inches

FULCRUM = f"The swingweight scale pivots {FULCRUM_IN:g} in from the cap end"
MEMORY = "from our own memory"
THUMB = "is the rule of thumb (common practice, no source): work it out for this"
SCALE = f"{FULCRUM}, and one point is {POINT_OZ_IN:g} oz in (both {MEMORY})"


def moment(draw: Draw) -> Exercise:
    """One part's share of the swingweight."""
    mass, at = float(draw.whole(245, 305)), draw.mark(34.5, 38.5, 4)
    answer = float(balance([Component("head", mass, at)]).swingweight_oz_in)
    return exercise(
        "08 moment",
        question=(
            f"{FULCRUM} ({MEMORY}). The center of a {mass:g} g head is {inches(at)} from the cap end. What is its "
            f"moment in ounce-inches (1 oz = {G_PER_OZ:.2f} g)?"
        ),
        answer=(answer, "oz in", 0.5),
        mistakes=[
            ("fulcrum forgotten", mass * at / G_PER_OZ, f"Measure from the fulcrum: {FULCRUM_IN:g} in less."),
            ("grams", mass * (at - FULCRUM_IN), "That is in gram-inches: convert the grams to ounces."),
            ("fulcrum added", mass * (at + FULCRUM_IN) / G_PER_OZ, "The fulcrum is between cap and head: subtract it."),
        ],
        solution=(
            f"{mass:g} g / {G_PER_OZ:.2f} = {mass / G_PER_OZ:.3f} oz; arm {n(at)} − {FULCRUM_IN:g} = "
            f"{n(at - FULCRUM_IN)} in; {mass / G_PER_OZ:.3f} × {n(at - FULCRUM_IN)} = {in_words(answer, 'oz in')}."
        ),
    )


def letter(draw: Draw) -> Exercise:
    """A moment read on the letter scale."""
    points = draw.tenth(0.5, 6.5)
    oz_in = round(D0_OZ_IN + points * POINT_OZ_IN, 2)
    club = balance([Component("club", oz_in * G_PER_OZ, FULCRUM_IN + 1)])
    answer = float(club.swingweight_points) - 30
    return exercise(
        "08 letter",
        question=(
            f"A club has a moment of {oz_in:.2f} oz in about the fulcrum. On the letter scale D0 is {D0_OZ_IN:g} oz "
            f"in and one point is {POINT_OZ_IN:g} oz in (both {MEMORY}). What is its swingweight (write it "
            "like D2.3)?"
        ),
        answer=(answer, LETTER_SCALE, 0.11),
        mistakes=[
            ("a point an ounce-inch", oz_in - D0_OZ_IN, f"One point is {POINT_OZ_IN:g} oz in, not 1: divide by it."),
            ("wrong direction", -answer, "More moment than D0 is D1, D2, …; C9 is below D0."),
            ("multiplied", (oz_in - D0_OZ_IN) * POINT_OZ_IN, "Divide by the oz in per point; do not multiply."),
        ],
        solution=(
            f"({oz_in:.2f} − {D0_OZ_IN:g}) / {POINT_OZ_IN:g} = {oz_in - D0_OZ_IN:.2f} / {POINT_OZ_IN:g} = "
            f"{n(answer, 1)} points above D0: {in_words(answer, LETTER_SCALE)}."
        ),
    )


def grams_for_points(draw: Draw) -> Exercise:
    """Grams at the tip for a number of points."""
    points, at = draw.whole(2, 5), draw.mark(35, 38, 4)
    head, rest = Component("head", 270.0, at), Component("tip weight", 0.0, at)
    now = float(balance([head, rest]).swingweight_oz_in)
    oz_in = points * POINT_OZ_IN
    answer = float(mass_for_swingweight([head, rest], "tip weight", now + oz_in))
    return exercise(
        "08 grams for points",
        question=(
            f"{SCALE}. A tip weight would sit {inches(at)} from the cap end. How many grams raise the swingweight by "
            f"{points} points?"
        ),
        answer=(answer, "g", 0.15),
        mistakes=[
            ("fulcrum forgotten", oz_in * G_PER_OZ / at, "Measure the arm from the fulcrum."),
            ("one point", answer / points, f"That is for one point: the question asks for {points}."),
            ("ounce-inches as grams", oz_in, "That is the moment: divide by the arm, then convert to grams."),
            ("rule of thumb", 2.0 * points, f"2 g a point {THUMB} length."),
        ],
        solution=(
            f"{points} × {POINT_OZ_IN:g} = {n(oz_in)} oz in; arm {n(at)} − {FULCRUM_IN:g} = "
            f"{n(at - FULCRUM_IN)} in; {n(oz_in)} / {n(at - FULCRUM_IN)} = "
            f"{oz_in / (at - FULCRUM_IN):.4f} oz × {G_PER_OZ:.2f} g/oz = {in_words(answer, 'g')}."
        ),
    )


def heavier_grip(draw: Draw) -> Exercise:
    """What a heavier grip does to the swingweight."""
    more, at = float(draw.whole(6, 16)), draw.tenth(3.5, 5)
    light, heavy = (
        balance([Component("head", 270.0, 36.0), Component("grip", mass, at)]).swingweight_points
        for mass in (46.0, 46.0 + more)
    )
    answer = float(heavy - light)
    g_in = more * (at - FULCRUM_IN)
    from_cap = more * at / G_PER_OZ / POINT_OZ_IN
    return exercise(
        "08 heavier grip",
        question=(
            f"{SCALE}. A new grip is {more:g} g heavier than the old one; its center is {at:g} in from the cap end. "
            "By how many points does the swingweight change (+ more, − less)?"
        ),
        answer=(answer, "points", 0.1),
        mistakes=[
            ("wrong sign", -answer, "The grip is above the fulcrum: more mass there lowers the swingweight."),
            ("fulcrum forgotten", from_cap, f"Measure from the fulcrum: {at:g} − {FULCRUM_IN:g} is negative."),
            ("grams for ounces", g_in / POINT_OZ_IN, f"Convert to ounces first: divide by {G_PER_OZ:.2f}."),
            (
                "gram-inches",
                g_in,
                f"That is in g in: divide by {G_PER_OZ:.2f} for oz in, then by {POINT_OZ_IN:g} for points.",
            ),
            ("rule of thumb", -more / 5, f"5 g a point {THUMB} grip."),
            ("ounce-inches for points", answer * POINT_OZ_IN, f"That is in oz in: one point is {POINT_OZ_IN:g} oz in."),
        ],
        solution=(
            f"{more:g} g / {G_PER_OZ:.2f} = {more / G_PER_OZ:.4f} oz; arm {at:g} − {FULCRUM_IN:g} = "
            f"{plain(at - FULCRUM_IN)} in; {more / G_PER_OZ:.4f} × {n(at - FULCRUM_IN)} / {POINT_OZ_IN:g} = "
            f"{in_words(answer, 'points')}."
        ),
    )


def moi(draw: Draw) -> Exercise:
    """MOI of a head taken as a point mass."""
    mass, at = float(draw.whole(245, 305)), draw.mark(34.5, 38.5, 4)
    answer = float(balance([Component("head", mass, at)]).moi_kg_cm2)
    cm = at * MM_PER_IN / 10
    return exercise(
        "08 MOI",
        question=(
            f"The center of a {mass:g} g head is {inches(at)} from the cap end. As a point mass, how much does it add "
            "to the MOI about the cap end, in kg cm²?"
        ),
        answer=(answer, "kg cm²", 0.005 * answer),
        mistakes=[
            ("inches", mass / 1000 * at**2, "Put the distance in centimeters: 1 in = 2.54 cm."),
            ("meters", mass / 1000 * (cm / 100) ** 2, "That is in kg m²: put the distance in centimeters."),
            ("millimeters", mass / 1000 * (10 * cm) ** 2, "Put the distance in centimeters: 1 in = 2.54 cm."),
            ("not squared", mass / 1000 * cm, "Square the distance."),
            ("fulcrum taken off", mass / 1000 * ((at - FULCRUM_IN) * 2.54) ** 2, "MOI is about the cap end."),
        ],
        solution=(
            f"{n(at)} in × 2.54 = {cm:.3f} cm; {mass / 1000:.3f} kg × {cm:.3f}² cm² = {in_words(answer, 'kg cm²')}."
        ),
    )


QUESTIONS = (moment, letter, grams_for_points, heavier_grip, moi)
