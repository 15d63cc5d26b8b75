"""A piece of shaft as a rigid body: mass, centre and own inertia as integrals of the mass per length, derived."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trimkit.mechanics.batch import Floats


@dataclass(frozen=True, eq=False)
class SectionMass:
    """A piece of shaft as a body: mass (g), centre from the raw tip (in), own inertia across its axis (g cm^2)."""

    mass_g: Floats
    centre_from_tip_in: Floats
    inertia_g_cm2: Floats


def body_between(
    edges: Floats, density_low: Floats, density_high: Floats, start: Floats, end: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return mass, centre and inertia about it of the piece between two places on a row of n segments; any units.

    edges: (n + 1,). density_low, density_high: mass per length at the segments' ends, linear between, (n,). start, end:
    places, of one shape. A piece without length weighs nothing and has its centre at 0. Two Gauss points a segment:
    exact for a linear mass per length. Treated as a thin rod: the tube's radius is left out.
    """
    ends = np.clip(edges, np.asarray(start)[..., None], np.asarray(end)[..., None])
    lengths, whole = np.diff(ends), np.diff(edges)
    rise = (density_high - density_low) / np.where(whole > 0, whole, 1.0)
    place = np.stack([ends[..., :-1] + gauss * lengths for gauss in (0.5 - math.sqrt(1 / 12), 0.5 + math.sqrt(1 / 12))])
    pieces = (density_low + rise * (place - edges[:-1])) * lengths / 2
    mass = pieces.sum(axis=(0, -1))
    centre = (pieces * place).sum(axis=(0, -1)) / np.where(mass > 0, mass, 1.0)
    return mass, centre, (pieces * (place - centre[..., None]) ** 2).sum(axis=(0, -1))
