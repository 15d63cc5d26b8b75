"""Several modes of one club, by a general eigen-solver: for lessons, and to check the first frequency by other means.

Finite elements with cubic deflection in each, stiffness and mass matrices, and ``scipy.linalg.eigh``: nothing here is
shared with the inverse iteration of :mod:`trimkit.mechanics.cantilever` but the description of the club.

Source: Euler and Bernoulli's beam with Hermite elements, as in any textbook of finite elements.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Unpack

import numpy as np
from scipy import constants

from trimkit.mechanics.batch import Floats
from trimkit.mechanics.beam import CPM_PER_RAD_S
from trimkit.mechanics.cantilever import Cantilevers
from trimkit.mechanics.clamped import ClampedClub, bench_of, cantilevers
from trimkit.mechanics.profile import Profile
from trimkit.parts.errors import ModelError

MODES_TOLERANCE = 1e-5
"""Relative error of a mode's frequency above which it is refused: chosen here, for lessons."""


@dataclass(frozen=True, eq=False)
class Modes:
    """The lowest k modes of one club.

    frequency_cpm: (k,). relative_error: estimated from elements twice as long, (k,). from_tip_in: position from the raw
    tip, in, (n,), from the hosel's top to the clamp. deflection: across the shaft, its largest value 1, (k, n).
    """

    frequency_cpm: Floats
    relative_error: Floats
    from_tip_in: Floats
    deflection: Floats


def club_modes(profile: Profile, *, count: int = 2, **club: Unpack[ClampedClub]) -> Modes:
    """Answer at which frequencies, and in which shapes, one club can swing in the clamp.

    count: how many modes, from the lowest. profile, club: as in :func:`trimkit.mechanics.beam.first_frequency`, for one
    club. Raises ModelError for a batch, for a count outside 1 to 6, and as ``first_frequency`` does.

    K v = omega^2 M v, solved as M v = omega^-2 K v, in which the lowest modes are the largest values.
    """
    shape, bench = bench_of(profile, club)
    if bench.which.size != 1:
        raise ModelError(f"a batch of shape {shape}", "one club", "ask for the modes of one club at a time")
    if not 1 <= count <= 6:
        raise ModelError(f"{count} modes", "1 to 6", "ask for fewer")
    coarse = cantilevers(profile.pieces, bench).halved()
    fine = coarse.halved()
    omega, vectors = eigen(fine, count)
    # Errors fall with the fourth power of the elements' length, so what halving them changed is 15 times what is left.
    error = np.abs(eigen(coarse, count)[0] / omega - 1) / 15
    if error.max() > MODES_TOLERANCE:
        raise ModelError(
            f"mode {int(error.argmax()) + 1} has a relative error of {error.max():.1e}",
            f"at most {MODES_TOLERANCE:g}",
            "ask for fewer modes, or describe the shaft by shorter segments",
        )
    lengths = fine.lengths[:, 0]
    places = (bench.hosel_top[0] + np.concatenate(([0.0], np.cumsum(lengths[lengths > 0])))) / constants.inch
    bent = np.zeros((count, places.size))
    bent[:, :-1] = vectors[: 2 * places.size - 2 : 2].T
    largest = np.take_along_axis(bent, np.abs(bent).argmax(axis=1)[:, None], axis=1)
    return Modes(omega * CPM_PER_RAD_S, error, places, bent / largest)


def eigen(beams: Cantilevers, count: int) -> tuple[Floats, Floats]:
    """Return the lowest omega (rad/s) of the first of the cantilevers, and the vectors of its element ends.

    The vectors (columns) hold deflection and slope at each element end from the free end; a rigid clamp has none.
    """
    from scipy import linalg  # slow to import, and most of the bench never needs it

    stiffness, mass = _matrices(beams)
    inverse, vectors = linalg.eigh(mass, stiffness, subset_by_index=(len(mass) - count, len(mass) - 1))
    return 1 / np.sqrt(inverse[::-1]), vectors[:, ::-1]


def _matrices(beams: Cantilevers) -> tuple[Floats, Floats]:
    """Return stiffness and mass matrix; slopes are dw/dt, t from the free end."""
    kept = beams.lengths[:, 0] > 0

    def column(values: Floats) -> Floats:
        picked: Floats = np.broadcast_to(values, beams.lengths.shape)[kept, 0]
        return picked

    length, count = column(beams.lengths), int(kept.sum())
    points, weights = np.polynomial.legendre.leggauss(4)
    x = (points + 1) / 2
    one, h = np.ones_like(length), length
    scale = np.stack([one, h, one, h])[:, :, None]
    bend = np.stack([12 * x - 6, 6 * x - 4, 6 - 12 * x, 6 * x - 2])[:, None] * scale / h[None, :, None] ** 2
    shape = np.stack([1 - 3 * x**2 + 2 * x**3, x - 2 * x**2 + x**3, 3 * x**2 - 2 * x**3, x**3 - x**2])[:, None] * scale
    ei = (column(beams.ei_low)[:, None] * (1 - x) + column(beams.ei_high)[:, None] * x) * h[:, None] * weights / 2
    mu = (column(beams.mu_low)[:, None] * (1 - x) + column(beams.mu_high)[:, None] * x) * h[:, None] * weights / 2
    stiffness, mass = np.zeros((2, 2 * count + 2, 2 * count + 2))
    for total, values, weight in ((stiffness, bend, ei), (mass, shape, mu)):
        for element, matrix in enumerate(np.einsum("aep,bep,ep->eab", values, values, weight)):
            at = slice(2 * element, 2 * element + 4)
            total[at, at] += matrix
    m, e, j = beams.mass[0], beams.offset[0], beams.inertia[0]
    mass[:2, :2] += [[m, -m * e], [-m * e, j + m * e**2]]
    compliance = float(beams.root_compliance[0])
    free = np.arange(2 * count)
    if compliance > 0:
        stiffness[-1, -1] += 1 / compliance
        free = np.append(free, 2 * count + 1)
    return stiffness[np.ix_(free, free)], mass[np.ix_(free, free)]
