"""Integrals along a batch of rows of elements, by Gauss-Legendre collocation.

The forward and the backward rule are adjoint to one another (b_i a_ij + b_j a_ji = b_i b_j), so what is built from
them is symmetric where the continuous operator is.

SI units throughout; shapes are (elements E, batch B). Source: collocation at Gauss points (Hairer, Norsett, Wanner,
Solving Ordinary Differential Equations I, section II.7; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from trimkit.mechanics.batch import Floats

# Points in an element: exact moments for a load of degree 3, and an error of order 8 in the element's length.
_POINTS = 4
_TINY = 1e-300
# Up to this many elements a product with a triangle of ones is faster than a cumulative sum along the first axis.
_FEW = 64


@dataclass(frozen=True, eq=False)
class Rule:
    """Gauss-Legendre collocation on one element, 0 <= x <= 1.

    nodes, weights: of the quadrature. from_tip (from_clamp): from values f at the nodes to the double integral of f
    over [0, x] (over [x, 1]) at each node; then, as two more rows, to the integral of f over the element and to its
    double integral. top: to the two highest Legendre coefficients.
    """

    nodes: Floats
    weights: Floats
    from_tip: Floats
    from_clamp: Floats
    top: Floats


@cache
def _rule() -> Rule:
    points, weights = np.polynomial.legendre.leggauss(_POINTS)
    x, b = (points + 1) / 2, weights / 2
    powers = np.arange(_POINTS)
    single = (x[:, None] ** (powers + 1) / (powers + 1)) @ np.linalg.inv(x[:, None] ** powers)
    back = b - single
    legendre = np.polynomial.legendre.legvander(points, _POINTS - 1)[:, -2:].T
    top = legendre * b * np.sqrt([[2 * _POINTS - 3], [2 * _POINTS - 1]])
    return Rule(x, b, np.vstack([single @ single, b, b * (1 - x)]), np.vstack([back @ back, b, b * x]), top)


class Elements:
    """A batch of rows of elements at their Gauss points, and the sums accumulated along them.

    lengths: (E, B). ei, mu: bending stiffness and mass per length at both ends of the elements, (E, B) or (E, 1); the
    same array twice where nothing varies inside. Attributes flexibility (length/EI) and mass (length mu) are kept at
    the Gauss points, (points, E, B), or (1, E, B) where nothing varies.
    """

    def __init__(self, lengths: Floats, ei: tuple[Floats, Floats], mu: tuple[Floats, Floats]) -> None:
        self.rule = _rule()
        self.lengths = lengths
        self.flexibility = lengths / self._at_nodes(*ei)
        self.mass = lengths * self._at_nodes(*mu)
        self.shape = (_POINTS, *self.lengths.shape)
        self.nodes = self.rule.nodes[:, None, None]
        self.quadrature = np.repeat(self.rule.weights, len(self.lengths))
        # One buffer for moments, one for deflections: fresh memory of this size costs as much as the arithmetic.
        rows = np.empty((2, _POINTS + 2, self.lengths.size))
        self.moment_rows, self.deflection_rows = rows[0], rows[1]

    def _at_nodes(self, low: Floats, high: Floats) -> Floats:
        """Values at the Gauss points, (points, E, B); one point stands for all where nothing varies."""
        if low is high:
            return low[None]
        return low + self.rule.nodes[:, None, None] * (high - low)

    def _rows(self, matrix: Floats, values: Floats, out: Floats) -> Floats:
        np.matmul(matrix, values.reshape(_POINTS, -1), out=out)
        return out.reshape(-1, *self.lengths.shape)

    def total(self, values: Floats) -> Floats:
        """Sum over the elements of the integral of values given at the Gauss points, (B,)."""
        summed: Floats = self.quadrature @ values.reshape(self.quadrature.size, -1)
        return summed

    def moment(self, load: Floats, force: Floats, couple: Floats) -> tuple[Floats, Floats]:
        """Return the moment at the Gauss points and at the clamp, from a load (times length) and the body's actions."""
        rows = self._rows(self.rule.from_tip, load, self.moment_rows)
        shear = running_sum(force, rows[_POINTS])
        rows[_POINTS + 1] += shear[:-1]
        rows[_POINTS + 1] *= self.lengths
        ends = running_sum(couple, rows[_POINTS + 1])
        moment = rows[:_POINTS]
        moment += self.nodes * shear[:-1]
        moment *= self.lengths
        moment += ends[:-1]
        return moment, ends[-1]

    def deflection(self, curvature: Floats, root_slope: Floats) -> tuple[Floats, Floats, Floats]:
        """Return deflection at the Gauss points and at the element ends, and slope at the free end."""
        rows = self._rows(self.rule.from_clamp, curvature, self.deflection_rows)
        slope = running_sum(root_slope, rows[_POINTS], backwards=True)
        rows[_POINTS + 1] += slope[1:]
        rows[_POINTS + 1] *= self.lengths
        ends = running_sum(0.0, rows[_POINTS + 1], backwards=True)
        deflection = rows[:_POINTS]
        deflection += (1 - self.nodes) * slope[1:]
        deflection *= self.lengths
        deflection += ends[1:]
        return deflection, ends, slope[0]

    def unresolved(self, curvature: Floats) -> Floats:
        """Estimate twice the bending energy in what the elements do not resolve, SI units, (B,).

        The energies in the two highest Legendre shapes of the curvature are known. The next one's would be
        last * last/before if it fell as much again; here it falls by the square root of that ratio, times four.
        """
        rows = (self.rule.top @ curvature.reshape(_POINTS, -1)).reshape(2, *self.lengths.shape)
        # An element without length has neither curvature nor flexibility: 0/tiny is 0.
        before, last = (rows**2 / (self.flexibility[0] + _TINY)).sum(axis=1)
        estimate: Floats = 4 * last * np.sqrt(np.minimum(last / (before + _TINY), 1.0))
        return estimate


def running_sum(start: Floats | float, steps: Floats, backwards: bool = False) -> Floats:
    """Return the running sum of the steps from ``start``, (E + 1, B); backwards: start at the last end."""
    count = steps.shape[0]
    if count <= _FEW:
        return _triangle(count, backwards) @ steps + start
    sums = np.zeros((count + 1, steps.shape[1]))
    if backwards:
        np.cumsum(steps[::-1], axis=0, out=sums[-2::-1])
    else:
        np.cumsum(steps, axis=0, out=sums[1:])
    sums += start
    return sums


@cache
def _triangle(count: int, backwards: bool) -> Floats:
    forwards = np.tri(count + 1, count, -1)
    return 1 - forwards if backwards else forwards
