"""A second computation of a cantilever's modes; it shares only the description of the beam with the package."""

import numpy as np
import pytest
from scipy import linalg


def _matrices(beams):
    """Stiffness and mass matrix of Hermite elements, cubic in each (any textbook of finite elements)."""
    kept = beams.lengths[:, 0] > 0

    def column(values):
        return np.broadcast_to(values, beams.lengths.shape)[kept, 0]

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


def _eigen(beams, count=1):
    """The lowest omega (rad/s) of the first of the cantilevers, and their deflections at the element ends, (count, n).

    Solved as M v = omega^-2 K v, so that rounding spares the lowest.
    """
    stiffness, mass = _matrices(beams)
    inverse, vectors = linalg.eigh(mass, stiffness, subset_by_index=(len(mass) - count, len(mass) - 1))
    deflection = vectors[: 2 * int((beams.lengths[:, 0] > 0).sum()) : 2, ::-1].T
    return 1 / np.sqrt(inverse[::-1]), deflection


@pytest.fixture(scope="session")
def eigen():
    return _eigen
