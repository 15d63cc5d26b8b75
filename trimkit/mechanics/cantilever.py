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

import numpy as np

from trimkit.mechanics.batch import Floats
from trimkit.mechanics.collocation import Elements, running_sum


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
        """Element ends from the free end, in metres (SI throughout), (E + 1, B)."""
        return running_sum(0.0, self.lengths)

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


def _iterate(beams: Cantilevers, tolerance: float, passes: int, with_shape: bool) -> FirstMode:
    """Inverse iteration with these elements, until its bound is a tenth of the tolerance or the passes are used up.

    passes: two or more.
    """
    grid = Elements(beams.lengths, (beams.ei_low, beams.ei_high), (beams.mu_low, beams.mu_high))
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

    Elements are halved for the whole batch while any error, a part of omega (no unit), is above ``tolerance``, at most
    ``halvings`` times; it is the caller's part to refuse what is still above it.
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
        grid = Elements(beams.lengths, (beams.ei_low, beams.ei_high), (beams.mu_low, beams.mu_high))
        moment, at_clamp = grid.moment(np.zeros(grid.shape), force, couple)
        curvature = moment * grid.flexibility
        energy = grid.total(moment * curvature) + at_clamp**2 * beams.root_compliance
        _, ends, slope = grid.deflection(curvature, at_clamp * beams.root_compliance)
        error = grid.unresolved(curvature) / np.where(energy > 0, energy, 1.0) + 1e-15 * beams.lengths.shape[0]
        if not halvings or (error <= tolerance).all():
            return StaticShape(ends, slope, error)
        beams, halvings = beams.halved(), halvings - 1
