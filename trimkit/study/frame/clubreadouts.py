"""What every lab on a single club reads out: cut, frequency, flex and swingweight, each against a reference."""

from __future__ import annotations

from trimkit.club.club import ClubBuild
from trimkit.mechanics.balance import POINT_OZ_IN, points_between
from trimkit.parts.units import both_units, quantity, signed
from trimkit.study.frame.readout import Readout


def to_cut(label: str, length_in: float, *, compare: bool = True) -> Readout:
    """Return the readout of a length (in) to cut: the nearest sixteenth, and millimetres."""
    return Readout(label, length_in, "in", 2, both_units(length_in), compare)


def difference(label: str, value: float, unit: str, decimals: int, said: str = "") -> Readout:
    """Return the readout of a difference: with its sign, not compared again; said: its unit in words."""
    return Readout(label, value, unit, decimals, f"{signed(value, decimals)} {said or unit}", compare=False)


def more_or_less(change: float, unit: str, decimals: int, before: str) -> str:
    """Return a difference in words, or that there is none as far as its decimals show.

    >>> more_or_less(-3.28, "cpm", 1, "before"), more_or_less(0.01, "cpm", 1, "before")
    ('3.3 cpm less than before', 'the same as before')
    """
    if not round(change, decimals):
        return f"the same as {before}"
    return f"{quantity(abs(change), unit, decimals)} {'more' if change > 0 else 'less'} than {before}"


def count(label: str, number: int, of: int) -> Readout:
    """Return the readout of how many clubs of a set something is true of."""
    return Readout(label, number, "clubs", 0, f"{number} of {of} clubs", compare=False)


def points_apart(now: ClubBuild, reference: ClubBuild) -> float:
    """Return how many swingweight points two clubs are apart as their letters show them, each to a tenth of a point.

    Raises ModelError off the letter scale.
    """
    return points_between(reference.swingweight, now.swingweight)


def club_readouts(reference: ClubBuild, now: ClubBuild) -> tuple[Readout, ...]:
    """Return the readouts of a club; flexes are those of the reference's own scale (the same club, head and length)."""
    scale = reference.flex_scale
    flexes = scale.flexes_apart(now.frequency_cpm, reference.frequency_cpm)
    points = now.swingweight_oz_in / POINT_OZ_IN
    return (
        to_cut("tip trim", now.plan.tip_trim_in),
        Readout("frequency", now.frequency_cpm, "cpm", 1),
        Readout("flex place", flexes, "flex", 2, scale.say(now.frequency_cpm)),
        Readout("swingweight", points, "points", 1, now.swingweight, before=points - points_apart(now, reference)),
    )


def against(now: ClubBuild, reference: ClubBuild, *, swingweight: bool = True) -> str:
    """Return in a sentence how a club differs from the reference: cpm, fraction of a flex, swingweight if wanted."""
    change = now.frequency_cpm - reference.frequency_cpm
    flexes = reference.flex_scale.flexes_apart(now.frequency_cpm, reference.frequency_cpm)
    said = (
        f"It reads {now.frequency_cpm:.1f} cpm, {signed(change, 1)} cpm ({signed(flexes, 2)} of a flex) compared "
        "with before"
    )
    if not swingweight:
        return f"{said}."
    return f"{said}; swingweight {now.swingweight}, {signed(points_apart(now, reference), 1)} points."
