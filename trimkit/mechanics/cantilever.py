"""The first bending frequency of a batch of cantilevers with a rigid body at the free end; SI units.

Positions t run from the free end (t = 0) to the clamp (t = L). With u the deflection, EI and mu the bending stiffness
and the mass per length, and a body of mass m, inertia J about its centre, its centre e beyond the free end:

    (EI u'')'' = omega^2 mu u,    a cantilever: statically determinate, so that no equations need solving.

Inverse iteration: the inertia loads of one shape give, accumulated from the free end, shear and moment; the curvature
moment / EI gives, accumulated from the clamp, slope and deflection: the next shape. In every element the integrals are
taken by Gauss-Legendre collocation. Its forward and backward rules are adjoint to one another (b_i a_ij + b_j a_ji =
b_i b_j), so the discrete operator is symmetric as the continuous one is, and the classical bounds hold for it:

- Schwarz quotients of successive shapes fall towards the lowest omega^2 from above
  (L. Collatz, Eigenwertaufgaben mit technischen Anwendungen, 1949);
- Temple's bound gives a number from below, with a lower bound of the second omega^2 out of Dunkerley's sum
  (G. Temple, Proc. R. Soc. A 119, 1928; S. Dunkerley, Phil. Trans. 185, 1894). Titles from memory.

The distance between them bounds what iteration leaves. What the elements leave is estimated from the bending energy in
the highest shapes they resolve. Where the sum is more than asked for, all elements are halved; where that does not
help, the frequency is refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from trimkit.mechanics.batch import Floats

# Points in an element: exact moments for a load of degree 3, and an error of order 8 in the element's length.
_POINTS = 4
_TINY = 1e-300
# Up to so many elements a product with a triangle of ones is faster than a cumulative sum along the first axis.
_FEW = 64


@dataclass(frozen=True, eq=False)
class Rule:
    """Gauss-Legendre collocation on one element, 0 <= x <= 1.

    nodes, weights: of the quadrature. single: from values f at the nodes to the integral of f over [0, x] at each node.
    from_tip (from_clamp): to the integral of that once more over [0, x] (over [x, 1] both times) at each node; then,
    as two more rows, to the integral of f over the element and to its double integral. top: to the two highest Legendre
    coefficients.
    """

    nodes: Floats
    weights: Floats
    single: Floats
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
    return Rule(x, b, single, np.vstack([single @ single, b, b * (1 - x)]), np.vstack([back @ back, b, b * x]), top)


@dataclass(frozen=True, eq=False)
class Cantilevers:
    """A batch of B cantilevers of E elements, from the free end to the clamp; SI units.

    lengths: (E, B), zero allowed. ei_low, ei_high, mu_low, mu_high: bending stiffness (N m^2) and mass per length
    (kg/m) at the element's end towards the tip and towards the clamp, (E, B) or (E, 1); linear between.
    mass (kg), offset (m beyond the free end), inertia (kg m^2, about its centre): the body, (B,).
    root_compliance: rotation of the clamp per moment, rad/(N m), (B,).
    """

    lengths: Floats
    ei_low: Floats
    ei_high: Floats
    mu_low: Floats
    mu_high: Floats
    mass: Floats
    offset: Floats
    inertia: Floats
    root_compliance: Floats

    @property
    def positions(self) -> Floats:
        """Element ends from the free end, m, (E + 1, B)."""
        return _running(0.0, self.lengths)

    def halved(self) -> Cantilevers:
        """Return the same cantilevers with every element cut in two."""

        def interleave(low: Floats, high: Floats) -> Floats:
            return np.stack([low, high], axis=1).reshape(-1, low.shape[1])

        def halves(low: Floats, high: Floats) -> tuple[Floats, Floats]:
            if low is high:
                same = interleave(low, low)
                return same, same
            middle = (low + high) / 2
            return interleave(low, middle), interleave(middle, high)

        half = self.lengths / 2
        ei, mu = halves(self.ei_low, self.ei_high), halves(self.mu_low, self.mu_high)
        body = (self.mass, self.offset, self.inertia, self.root_compliance)
        return Cantilevers(interleave(half, half), *ei, *mu, *body)


@dataclass(frozen=True, eq=False)
class FirstMode:
    """First modes of a batch of B.

    omega_squared: rad^2/s^2, (B,), from above. relative_error: of omega, (B,): bound of the iteration, estimate of the
    elements, rounding. dunkerley: a lower bound of omega_squared, (B,). shape: deflection at the element ends, 1 at the
    free end, (E + 1, B), or (0, B) if not asked for.
    """

    omega_squared: Floats
    relative_error: Floats
    dunkerley: Floats
    shape: Floats


class _Discrete:
    """The elements at their Gauss points, and the two accumulations."""

    def __init__(self, beams: Cantilevers) -> None:
        self.rule = _rule()
        self.beams = beams
        self.lengths = beams.lengths
        self.flexibility = self.lengths / self._at_nodes(beams.ei_low, beams.ei_high)
        self.mass = self.lengths * self._at_nodes(beams.mu_low, beams.mu_high)
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

    def by_element(self, values: Floats) -> Floats:
        """Integral over each element of values given at the Gauss points, (E, B)."""
        return (self.rule.weights @ values.reshape(_POINTS, -1)).reshape(self.lengths.shape)

    def moment(self, load: Floats, force: Floats, couple: Floats) -> tuple[Floats, Floats]:
        """Return the moment at the Gauss points and at the clamp, from a load (times length) and the body's actions."""
        rows = self._rows(self.rule.from_tip, load, self.moment_rows)
        shear = _running(force, rows[_POINTS])
        rows[_POINTS + 1] += shear[:-1]
        rows[_POINTS + 1] *= self.lengths
        ends = _running(couple, rows[_POINTS + 1])
        moment = rows[:_POINTS]
        moment += self.nodes * shear[:-1]
        moment *= self.lengths
        moment += ends[:-1]
        return moment, ends[-1]

    def sum_of_flexibilities(self, moment: Floats, inertia: Floats, root: Floats) -> Floats:
        """Return Dunkerley's sum from the moment under unit acceleration (half of dI/dt) and the body's inertia."""
        rows = self._rows(self.rule.single, moment, self.deflection_rows[:_POINTS]) * (2 * self.lengths)
        ends = _running(inertia, self.by_element(moment) * (2 * self.lengths))
        summed: Floats = self.total((rows + ends[:-1]) * self.flexibility) + ends[-1] * root
        return summed

    def deflection(self, curvature: Floats, root_slope: Floats) -> tuple[Floats, Floats, Floats]:
        """Return deflection at the Gauss points and at the element ends, and slope at the free end."""
        rows = self._rows(self.rule.from_clamp, curvature, self.deflection_rows)
        slope = _running(root_slope, rows[_POINTS], backwards=True)
        rows[_POINTS + 1] += slope[1:]
        rows[_POINTS + 1] *= self.lengths
        ends = _running(0.0, rows[_POINTS + 1], backwards=True)
        deflection = rows[:_POINTS]
        deflection += (1 - self.nodes) * slope[1:]
        deflection *= self.lengths
        deflection += ends[1:]
        return deflection, ends, slope[0]

    def unresolved(self, curvature: Floats) -> Floats:
        """Estimate twice the bending energy in what the elements do not resolve, (B,).

        The energies in the two highest Legendre shapes of the curvature are known. The next one's, if it fell as much
        again, would be last * last/before; it is taken to fall half as far (in powers), and four times that.
        """
        rows = (self.rule.top @ curvature.reshape(_POINTS, -1)).reshape(2, *self.lengths.shape)
        # An element without length has neither curvature nor flexibility: 0/tiny is 0.
        before, last = (rows**2 / (self.flexibility[0] + _TINY)).sum(axis=1)
        estimate: Floats = 4 * last * np.sqrt(np.minimum(last / (before + _TINY), 1.0))
        return estimate


def _running(start: Floats | float, steps: Floats, backwards: bool = False) -> Floats:
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


def _iterate(beams: Cantilevers, tolerance: float, passes: int, with_shape: bool) -> FirstMode:
    """Inverse iteration with these elements, until its bound is a tenth of the tolerance or the passes are used up.

    passes: two or more.
    """
    grid = _Discrete(beams)
    mass, offset, inertia, root = beams.mass, beams.offset, beams.inertia, beams.root_compliance

    # First shape: deflection under the weight of everything. The same moments give Dunkerley's sum, the trace of the
    # operator: sum of 1/omega_k^2 = integral of I(t)/EI, I(t) the inertia about t of all that lies beyond it.
    moment, at_clamp = grid.moment(np.broadcast_to(grid.mass, grid.shape), mass, mass * offset)
    trace = grid.sum_of_flexibilities(moment, inertia + mass * offset**2, root)
    shape, ends, slope = grid.deflection(moment * grid.flexibility, at_clamp * root)
    before = gap = np.full(mass.shape, np.inf)
    for turn in range(passes):
        load = grid.mass * shape
        centre = ends[0] + offset * slope
        force, couple = mass * centre, inertia * slope
        norm = grid.total(load * shape) + force * centre + couple * slope
        moment, at_clamp = grid.moment(load, force, force * offset + couple)
        curvature = moment * grid.flexibility
        energy = grid.total(moment * curvature) + at_clamp**2 * root
        if turn:
            # Successive quotients fall; Temple's bound says how far the lowest omega^2 can lie below the later:
            # (above - upper)/(second/upper - 1), with upper/second at most what Dunkerley's sum leaves over.
            above, upper = before / norm, norm / energy
            left = np.maximum(upper * trace - 1, 1e-12)
            gap = np.full(mass.shape, np.inf)
            np.divide(np.abs(above / upper - 1) * left, 2 * (1 - left), where=left < 1, out=gap)
            if (gap <= tolerance / 10).all():
                break
        before = energy
        shape, ends, slope = grid.deflection(curvature, at_clamp * root)
    error = gap + grid.unresolved(curvature) / energy / 2 + 1e-15 * beams.lengths.shape[0]
    if not with_shape:
        return FirstMode(upper, error, 1 / trace, ends[:0])
    _, ends, _ = grid.deflection(curvature, at_clamp * root)
    return FirstMode(upper, error, 1 / trace, ends / ends[0])


def first_mode(
    beams: Cantilevers, *, tolerance: float = 1e-9, passes: int = 14, halvings: int = 4, with_shape: bool = False
) -> FirstMode:
    """Return the first mode of every cantilever of a batch, with its shape if asked for.

    Elements are halved for the whole batch while any relative error is above ``tolerance``, at most ``halvings`` times;
    it is the caller's part to refuse what is still above it.
    """
    mode = _iterate(beams, tolerance, passes, with_shape)
    while halvings and (mode.relative_error > tolerance).any():
        beams, halvings = beams.halved(), halvings - 1
        mode = _iterate(beams, tolerance, passes, with_shape)
    return mode


@dataclass(frozen=True, eq=False)
class StaticShape:
    """Cantilevers bent by a force and a couple at the free end.

    deflection: at the element ends, m, (E + 1, B). tip_slope: at the free end, rad, (B,). relative_error: of the
    deflection at the free end, estimated, (B,).
    """

    deflection: Floats
    tip_slope: Floats
    relative_error: Floats


def static_shape(
    beams: Cantilevers, force: Floats, couple: Floats, *, tolerance: float = 1e-9, halvings: int = 4
) -> StaticShape:
    """Return the shape under a force (N, (B,)) and a couple (N m, (B,)) at the free end; elements halved as needed."""
    while True:
        grid = _Discrete(beams)
        moment, at_clamp = grid.moment(np.zeros(grid.shape), force, couple)
        curvature = moment * grid.flexibility
        energy = grid.total(moment * curvature) + at_clamp**2 * beams.root_compliance
        _, ends, slope = grid.deflection(curvature, at_clamp * beams.root_compliance)
        error = grid.unresolved(curvature) / np.where(energy > 0, energy, 1.0) + 1e-15 * beams.lengths.shape[0]
        if not halvings or (error <= tolerance).all():
            return StaticShape(ends, slope, error)
        beams, halvings = beams.halved(), halvings - 1
