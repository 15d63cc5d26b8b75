"""What the frequency model leaves out, and how much each would change a steel club's frequency.

Estimates to first order, from numbers that are plausible rather than measured: they say which neglect matters, not what
a correction would be. Each assumption is a keyword of :func:`neglected_effects`, with its standing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Unpack

import numpy as np
from numpy.typing import NDArray
from scipy import constants

from trimkit.mechanics.beam import CPM_PER_RAD_S, first_frequency, first_shape
from trimkit.mechanics.clamped import CLAMP_IN, ClampedClub, bench_of
from trimkit.mechanics.profile import Profile
from trimkit.mechanics.tube import STEEL_DENSITY_KG_M3, STEEL_YOUNGS_MODULUS_PA, tube_ei_n_m2
from trimkit.parts.errors import ModelError

STEEL_POISSONS_RATIO = 0.3
"""Poisson's ratio of steel in the elastic range (EN 1993-1-1, material coefficients)."""


@dataclass(frozen=True)
class Neglected:
    """An effect the model leaves out: what it is, and what it would add to the frequency, cpm."""

    effect: str
    change_cpm: float


def neglected_effects(
    profile: Profile,
    *,
    heel_toe_offset_in: float = 1.4,
    axis_inertia_g_cm2: float = 2500.0,
    hosel_outer_in: float = 0.54,
    grip_length_in: float = 10.5,
    grip_mass_g: float = 50.0,
    rubber_wall_in: float = 0.12,
    rubber_modulus_pa: float = 4e6,
    damping_ratio: float = 0.005,
    **club: Unpack[ClampedClub],
) -> tuple[Neglected, ...]:
    """Answer how far each neglected effect would move one steel club's frequency.

    heel_toe_offset_in: of the head's centre from the shaft's axis; axis_inertia_g_cm2: about an axis along the shaft
    through the centre; hosel_outer_in: outer diameter of a steel hosel; rubber_wall_in, rubber_modulus_pa (Pa): of the
    grip in the clamp; damping_ratio: of the first mode (no unit). All of these from memory, unverified. club: as in
    :func:`trimkit.mechanics.beam.first_frequency`, for one club.

    Raises ModelError for a batch, for a shaft that is not stepped steel tube, and as ``first_frequency`` does.
    """
    shape, bench = bench_of(profile, club)
    if bench.which.size != 1 or not profile.stepped:
        raise ModelError(f"a batch of shape {shape}, or a shaft of stations", "one club of steel tube", "choose one")
    cpm = float(first_frequency(profile, **club).frequency_cpm)
    omega = cpm / CPM_PER_RAD_S
    top_in, clamp_in = (float(place[0]) / constants.inch for place in (bench.hosel_top, bench.clamp_edge))
    head = _HeadOnShaft(
        mass=float(bench.head_mass[0]),
        offset=float(bench.head_offset[0]),
        inertia=float(bench.head_inertia[0]),
        beside=heel_toe_offset_in * constants.inch,
        axis_inertia=axis_inertia_g_cm2 * 1e-7,
    )
    free = refined(profile, [top_in, clamp_in])
    beside = {**club, "inertia_g_cm2": (head.inertia + head.mass * head.beside**2) * 1e7}
    clamp = (clamp_in, float(np.asarray(club.get("clamp_in", CLAMP_IN))))
    rubber = {**club, "root_spring_n_m_per_rad": _rubber_spring(profile, *clamp, rubber_wall_in, rubber_modulus_pa)}
    reach = (clamp_in - top_in) * constants.inch + head.offset

    def change(shaft: Profile, altered: ClampedClub) -> float:
        return float(first_frequency(shaft, **altered).frequency_cpm) - cpm

    return (
        Neglected("shear of the shaft", -cpm / 2 * _shear(free, top_in, clamp_in, head)),
        Neglected("rotary inertia of the shaft's own sections", -cpm / 2 * _section_inertia(profile, club, head)),
        Neglected(
            "twist: head's centre beside the axis, swing across the face",
            cpm * (_twist(free, top_in, clamp_in, head, omega) - 1),
        ),
        Neglected(
            "head's centre beside the axis, swing in the plane of the face",
            change(profile, beside),  # type: ignore[arg-type]
        ),
        Neglected("hosel that bends", change(*_with_soft_hosel(profile, club, hosel_outer_in))),
        Neglected("rubber grip between shaft and clamp", change(profile, rubber)),  # type: ignore[arg-type]
        Neglected("grip's mass below the clamp", change(_with_grip(profile, club, grip_length_in, grip_mass_g), club)),
        Neglected("gravity, club hanging (none if it lies level)", cpm / 2 * constants.g / reach / omega**2),
        Neglected("damping", cpm * (math.sqrt(1 - damping_ratio**2) - 1)),
    )


@dataclass(frozen=True)
class _HeadOnShaft:
    """The head in SI units: offset beyond the hosel's top, ``beside`` the shaft's axis, inertia along that axis too."""

    mass: float
    offset: float
    inertia: float
    beside: float
    axis_inertia: float


def refined(profile: Profile, places_in: Sequence[float]) -> Profile:
    """Return a stepped profile with segment ends at these positions (in) as well."""
    edges = np.union1d(profile.edges_in, places_in)
    middle = (edges[:-1] + edges[1:]) / 2
    ei, mass, outer = profile.ei_at(middle), profile.mass_at(middle), profile.outer_at(middle)
    return replace(
        profile,
        edges_in=edges,
        ei_low_n_m2=ei,
        ei_high_n_m2=ei,
        mass_low_g_per_m=mass,
        mass_high_g_per_m=mass,
        outer_low_in=outer,
        outer_high_in=outer,
    )


def _inside(profile: Profile, low_in: float, high_in: float) -> NDArray[np.bool_]:
    """Which segments of a refined profile lie between two of its edges."""
    middle = (profile.edges_in[:-1] + profile.edges_in[1:]) / 2
    return (middle > low_in) & (middle < high_in)


def _bending(free: Profile, low_in: float, high_in: float, head: _HeadOnShaft) -> float:
    """Deflection at the head's centre per newton across it, m/N: integral of (t + e)^2 / EI."""
    part = _inside(free, low_in, high_in)
    ends = (free.edges_in - low_in) * constants.inch + head.offset
    return float(np.sum(((ends[1:] ** 3 - ends[:-1] ** 3) / (3 * free.ei_low_n_m2))[part]))


def _shear(free: Profile, low_in: float, high_in: float, head: _HeadOnShaft) -> float:
    """Shear deflection under the head's force as a share of the bending one.

    Shear coefficient of a thin round tube 2(1 + nu)/(4 + 3 nu): G. R. Cowper, J. Appl. Mech. 33, 1966 (from memory).
    """
    nu = STEEL_POISSONS_RATIO
    part = _inside(free, low_in, high_in)
    area = free.mass_low_g_per_m * 1e-3 / STEEL_DENSITY_KG_M3
    stiffness = 2 * (1 + nu) / (4 + 3 * nu) * STEEL_YOUNGS_MODULUS_PA / (2 * (1 + nu)) * area
    shear = float(np.sum((np.diff(free.edges_in) * constants.inch / stiffness)[part]))
    return shear / _bending(free, low_in, high_in, head)


def _section_inertia(profile: Profile, club: ClampedClub, head: _HeadOnShaft) -> float:
    """Kinetic energy of the sections' turning, rho I theta^2, as a share of all kinetic energy, in the first shape."""
    swing = first_shape(profile, **club)
    place, w = swing.from_tip_in * constants.inch, swing.deflection
    moving = np.diff(place) > 0
    slope = np.diff(w)[moving] / np.diff(place)[moving]
    length = np.diff(place)[moving]
    middle = ((swing.from_tip_in[1:] + swing.from_tip_in[:-1]) / 2)[moving]
    mean_square = ((w[1:] ** 2 + w[:-1] ** 2) / 2)[moving]
    turning = np.sum(profile.ei_at(middle) * STEEL_DENSITY_KG_M3 / STEEL_YOUNGS_MODULUS_PA * slope**2 * length)
    across = np.sum(profile.mass_at(middle) * 1e-3 * mean_square * length)
    centre = w[0] - head.offset * slope[0]
    return float(turning / (across + head.mass * centre**2 + head.inertia * slope[0] ** 2))


def _twist(free: Profile, low_in: float, high_in: float, head: _HeadOnShaft, omega: float) -> float:
    """Frequency with twist as a share of that without: two freedoms, deflection at the head's centre and twist.

    The tube twists by 1/GJ = (1 + nu)/EI per moment and length; the bending freedom carries the mass that gives omega.
    """
    part = _inside(free, low_in, high_in)
    lengths = np.diff(free.edges_in) * constants.inch
    twisting = float(np.sum((lengths / free.ei_low_n_m2)[part])) * (1 + STEEL_POISSONS_RATIO)
    bending = _bending(free, low_in, high_in, head)
    coupling = head.mass * head.beside
    mass = np.array([[1 / (bending * omega**2), coupling], [coupling, coupling * head.beside + head.axis_inertia]])
    slowest = np.linalg.eigvals(np.diag([bending, twisting]) @ mass).real.max()
    return float(1 / (math.sqrt(slowest) * omega))


def _with_soft_hosel(profile: Profile, club: ClampedClub, outer_in: float) -> tuple[Profile, ClampedClub]:
    """Shaft and hosel's tube bending together over the bore's depth; the head held at the bottom of the bore."""
    trim, bore = float(np.asarray(club["tip_trim_in"])), float(np.asarray(club["bore_depth_in"]))
    shaft = refined(profile, [trim, trim + bore])
    part = _inside(shaft, trim, trim + bore)
    wall = (outer_in - shaft.outer_low_in) / 2
    ei = shaft.ei_low_n_m2 + np.where(part, tube_ei_n_m2(outer_in, wall), 0.0)
    altered: ClampedClub = {**club, "bore_depth_in": 0.0}
    return replace(shaft, ei_low_n_m2=ei, ei_high_n_m2=ei), altered


def _with_grip(profile: Profile, club: ClampedClub, length_in: float, mass_g: float) -> Profile:
    """The shaft with the grip's mass spread over its length below the cap end."""
    trim, cut, cap = (float(np.asarray(club[n])) for n in ("tip_trim_in", "cut_length_in", "cap_thickness_in"))
    end = trim + cut + cap - length_in
    shaft = refined(profile, [end])
    mass = shaft.mass_low_g_per_m + np.where(_inside(shaft, end, math.inf), mass_g / (length_in * constants.inch), 0.0)
    return replace(shaft, mass_low_g_per_m=mass, mass_high_g_per_m=mass)


def _rubber_spring(profile: Profile, edge_in: float, clamp_in: float, wall_in: float, modulus_pa: float) -> float:
    """Moment per rotation of a stiff shaft in a sleeve pressed from both sides: k L^3/12 with k = 2 E D/wall."""
    outer = float(profile.outer_at(edge_in))
    return 2 * modulus_pa * outer / wall_in * (clamp_in * constants.inch) ** 3 / 12
