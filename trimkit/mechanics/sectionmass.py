"""A piece of shaft as a rigid body: its mass, its centre, its own inertia."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trimkit.mechanics.batch import Floats
from trimkit.parts.units import M_PER_IN


@dataclass(frozen=True, eq=False)
class SectionMass:
    """A piece of shaft as a body: mass (g), centre from the raw tip (in), own inertia across its axis (g cm^2)."""

    mass_g: Floats
    centre_from_tip_in: Floats
    inertia_g_cm2: Floats


def section_mass(
    edges_in: Floats, mass_low_g_per_m: Floats, mass_high_g_per_m: Floats, low_in: Floats, high_in: Floats
) -> SectionMass:
    """Return the body between two positions (in) of a row of segments; positions broadcast against leading axes.

    Two Gauss points a segment: exact for a linear mass per length. A thin rod: the tube's radius is left out.
    """
    ends = np.clip(edges_in, np.asarray(low_in)[..., None], np.asarray(high_in)[..., None])
    lengths, whole = np.diff(ends), np.diff(edges_in)
    rise = (mass_high_g_per_m - mass_low_g_per_m) / np.where(whole > 0, whole, 1.0)
    place = np.stack([ends[..., :-1] + gauss * lengths for gauss in (0.5 - math.sqrt(1 / 12), 0.5 + math.sqrt(1 / 12))])
    density = mass_low_g_per_m + rise * (place - edges_in[..., :-1])
    pieces = density * lengths * (M_PER_IN / 2)
    mass = pieces.sum(axis=(0, -1))
    centre = (pieces * place).sum(axis=(0, -1)) / mass
    second = (pieces * (place - centre[..., None]) ** 2).sum(axis=(0, -1))
    return SectionMass(mass, centre, second * (M_PER_IN * 100) ** 2)
