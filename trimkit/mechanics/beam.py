"""The first bending frequency of a club in a clamp, its shape, and how far a shaft bends under a weight.

An Euler-Bernoulli cantilever: clamped over ``clamp_in`` from the cap end, free down to the hosel's top, rigid inside
the hosel, a rigid head at its end (:mod:`trimkit.mechanics.cantilever` says how it is solved). Left out are shear, the
torsion that the heel-toe offset of the head's centre couples in, damping, gravity, bending of the hosel, and the grip;
``tests/mechanics/test_neglected.py`` estimates what each would change.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Unpack

import numpy as np
from numpy.typing import ArrayLike

from trimkit.mechanics.batch import Floats, broadcast, refuse_where
from trimkit.mechanics.cantilever import first_mode, static_shape
from trimkit.mechanics.clamped import CLAMP_IN, ClampedClub, bench_of, cantilevers
from trimkit.mechanics.profile import Profile
from trimkit.parts.units import M_PER_IN

TOLERANCE = 1e-9
"""Relative error of a frequency above which it is refused: chosen here, far below what a machine can read."""
CPM_PER_RAD_S = 60 / (2 * math.pi)
# Close enough together for a shape to be drawn by straight lines.
_SHAPE_STEP_IN = 2.5
# Clubs times elements at a time: large enough to hide the interpreter, small enough for the processor's cache.
_CHUNK = 12_000


@dataclass(frozen=True, eq=False)
class FrequencyResult:
    """First bending frequencies of a batch; every array has the batch's shape (a plain number for a single club).

    frequency_cpm: cycles per minute. relative_error: the computation's own, not the model's. clamp_in,
    root_spring_n_m_per_rad: as assumed; None is a rigid clamp.
    """

    frequency_cpm: Floats
    relative_error: Floats
    clamp_in: ArrayLike
    root_spring_n_m_per_rad: ArrayLike | None


@dataclass(frozen=True, eq=False)
class ShapeResult:
    """The free shaft's shape, n points per club from the hosel's top to the clamp: arrays of shape (..., n).

    from_tip_in: position from the raw tip, in. deflection: across the shaft; of a mode relative to the hosel's top.
    frequency_cpm: the mode's frequency, shape (...).
    """

    from_tip_in: Floats
    deflection: Floats
    frequency_cpm: Floats


@dataclass(frozen=True, eq=False)
class DeflectionResult:
    """How far a bare shaft bends under a force at its tip.

    deflection_in, slope_rad: at the tip (in; rad), of the batch's shape. from_tip_in, along_in: n positions from the
    tip to the clamp and the deflection there, in, shape (..., n).
    """

    deflection_in: Floats
    slope_rad: Floats
    from_tip_in: Floats
    along_in: Floats


def first_frequency(profile: Profile, **club: Unpack[ClampedClub]) -> FrequencyResult:
    """Answer how many cycles per minute a club makes in the clamp: its first bending frequency.

    profile: the raw shaft. club: the keywords of :class:`trimkit.mechanics.clamped.ClampedClub`, which broadcast to one
    shape.

    The head's centre lies e = bbgl + bore_depth - cg_height beyond the free end.

    Raises ModelError, with the batch index, for values no club can have: not finite, zero or negative mass, longer
    than the shaft, a clamp that reaches the hosel or ends in the cap, a bore deeper than what is left of the parallel
    section, a head's centre above the clamp; and where the relative error is above 1e-9.
    """
    shape, bench = bench_of(profile, club)
    shaft = profile.pieces
    found = np.empty((2, bench.lower_end.size))
    for part, clubs in bench.chunks(max(1, _CHUNK // len(shaft.edges))):
        mode = first_mode(cantilevers(shaft, clubs), tolerance=TOLERANCE)
        found[:, part] = np.sqrt(mode.omega_squared) * CPM_PER_RAD_S, mode.relative_error
    cpm, error = (row.reshape(shape)[()] for row in found)
    _refuse_error(error)
    return FrequencyResult(cpm, error, club.get("clamp_in", CLAMP_IN), club.get("root_spring_n_m_per_rad"))


def first_shape(profile: Profile, **club: Unpack[ClampedClub]) -> ShapeResult:
    """Answer what shape a club swings in when clamped: deflection along the free shaft, 1 at the hosel's top.

    profile, club, and what is raised: as in :func:`first_frequency`. The shape is less exact than the frequency: its
    error goes as the square root of the frequency's.
    """
    shape, bench = bench_of(profile, club)
    beams = cantilevers(profile.divided(_SHAPE_STEP_IN), bench)
    mode = first_mode(beams, tolerance=TOLERANCE)
    _refuse_error(mode.relative_error.reshape(shape))
    places = (bench.hosel_top + beams.positions) / M_PER_IN
    cpm = np.sqrt(mode.omega_squared) * CPM_PER_RAD_S
    return ShapeResult(places.T.reshape(*shape, -1), mode.shape.T.reshape(*shape, -1), cpm.reshape(shape)[()])


def tip_deflection(
    profile: Profile,
    *,
    force_n: ArrayLike,
    clamp_in: ArrayLike = CLAMP_IN,
    root_spring_n_m_per_rad: ArrayLike | None = None,
    ei_factor: ArrayLike = 1.0,
) -> DeflectionResult:
    """Answer how far a bare shaft, butt in the clamp, bends at its tip under a force across it (small deflections).

    force_n: N; for a hung weight of m grams, ``m * 1e-3 * scipy.constants.g``. The shaft's own weight is left out.
    clamp_in, root_spring_n_m_per_rad, ei_factor: as in :func:`first_frequency`. All broadcast to one shape.

    u'' = F t / EI, integrated twice from the clamp. Raises ModelError as :func:`first_frequency` does.
    """
    force = broadcast(force_n=force_n)[1]["force_n"]
    bare: ClampedClub = {
        "tip_trim_in": np.zeros_like(force),
        "cut_length_in": profile.length_in,
        "bbgl_in": 0.0,
        "bore_depth_in": 0.0,
        "cap_thickness_in": 0.0,
        "head_mass_g": 1.0,
        "cg_height_in": 0.0,
        "inertia_g_cm2": 0.0,
        "clamp_in": clamp_in,
        "root_spring_n_m_per_rad": root_spring_n_m_per_rad,
        "ei_factor": ei_factor,
    }
    shape, bench = bench_of(profile, bare)
    beams = cantilevers(profile.divided(_SHAPE_STEP_IN), bench)
    bent = static_shape(beams, np.broadcast_to(force, shape).reshape(-1))
    _refuse_error(bent.relative_error.reshape(shape))
    places, along = (values.T.reshape(*shape, -1) / M_PER_IN for values in (beams.positions, bent.deflection))
    return DeflectionResult(along[..., 0], bent.tip_slope.reshape(shape)[()], places, along)


def _refuse_error(error: Floats) -> None:
    refuse_where(
        ~(error <= TOLERANCE),
        "the computation's relative error",
        error,
        f"at most {TOLERANCE:g}",
        "describe the shaft by more, shorter segments",
    )
