"""What every lab on a single club reads out: cut, frequency, flex and swingweight, each against a reference."""

from __future__ import annotations

from trimkit.club.club import ClubBuild
from trimkit.mechanics.balance import POINT_OZ_IN
from trimkit.parts.units import both_units, signed
from trimkit.study.frame.lab import Readout


def club_readouts(reference: ClubBuild, now: ClubBuild) -> tuple[Readout, ...]:
    """Return the readouts of a club; flexes are those of the reference's own scale (the same club, head and length)."""
    scale = reference.flex_scale
    flexes = scale.parts_of_a_flex(now.frequency_cpm, reference.frequency_cpm)
    trim = now.plan.tip_trim_in
    return (
        Readout("tip trim", trim, "in", 2, both_units(trim)),
        Readout("frequency", now.frequency_cpm, "cpm", 1),
        Readout("flex place", flexes, "flex", 2, scale.say(now.frequency_cpm)),
        Readout("swingweight", now.swingweight_oz_in / POINT_OZ_IN, "points", 1, now.swingweight),
    )


def against(now: ClubBuild, reference: ClubBuild) -> str:
    """Return in a sentence how a club differs from the reference: cpm, fraction of a flex, swingweight points."""
    change = now.frequency_cpm - reference.frequency_cpm
    flexes = reference.flex_scale.parts_of_a_flex(now.frequency_cpm, reference.frequency_cpm)
    points = (now.swingweight_oz_in - reference.swingweight_oz_in) / POINT_OZ_IN
    return (
        f"It plays {now.frequency_cpm:.1f} cpm, {signed(change, 1)} cpm ({signed(flexes, 2)} of a flex) against "
        f"before; swingweight {now.swingweight}, {signed(points, 1)} points."
    )
