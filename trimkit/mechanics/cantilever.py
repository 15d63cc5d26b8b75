"""Cantilevers with a rigid body at the free end: the first bending frequency, and the shape under a force; SI units.

Positions t run from the free end (t = 0) to the clamp (t = L). With u the deflection, EI and mu the bending stiffness
and the mass per length, and a body of mass m, inertia J about its centre, its centre e beyond the free end:

    (EI u'')'' = omega^2 mu u,    a cantilever: statically determinate, so no equations need solving.

Inverse iteration: the inertia loads of one shape, accumulated from the free end, give shear and moment; the curvature
moment / EI, accumulated from the clamp, gives slope and deflection: the next shape. The Schwarz quotients of successive
shapes fall towards the lowest omega^2, each step much smaller than the one before, so the last step bounds what is left
(L. Collatz, Eigenwertaufgaben mit technischen Anwendungen, 1949; title from memory). What the elements do not resolve
is estimated from the curvature itself (:meth:`Elements.unresolved`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trimkit.mechanics.batch import Floats
from trimkit.mechanics.collocation import Elements, running_sum

_MOST_PASSES = 8


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
        """Element ends from the free end, in metres, (E + 1, B)."""
        return running_sum(0.0, self.lengths)

    @property
    def elements(self) -> Elements:
        """The elements as they are integrated."""
        return Elements(self.lengths, (self.ei_low, self.ei_high), (self.mu_low, self.mu_high))


@dataclass(frozen=True, eq=False)
class FirstMode:
    """First modes of a batch of B.

    omega_squared: rad^2/s^2, (B,), from above. relative_error: of omega, (B,): the last step of the iteration, the
    estimate of the elements, rounding. shape: deflection at the element ends, 1 at the free end, (E + 1, B).
    """

    omega_squared: Floats
    relative_error: Floats
    shape: Floats


def first_mode(beams: Cantilevers, *, tolerance: float = 1e-9) -> FirstMode:
    """Return the first mode of every cantilever of a batch.

    tolerance: of omega, no unit; the iteration stops at a tenth of it. The caller refuses what is above it.
    """
    grid = beams.elements
    mass, offset, inertia, root = beams.mass, beams.offset, beams.inertia, beams.root_compliance
    # First shape: deflection under the weight of everything.
    moment, at_clamp = grid.moment(np.broadcast_to(grid.mass, grid.shape), mass, mass * offset)
    deflection, ends, slope = grid.deflection(moment * grid.flexibility, at_clamp * root)
    energy = np.full(mass.shape, np.inf)
    for _ in range(_MOST_PASSES):
        load = grid.mass * deflection
        centre = ends[0] + offset * slope
        force, couple = mass * centre, inertia * slope
        norm = grid.total(load * deflection) + force * centre + couple * slope
        moment, at_clamp = grid.moment(load, force, force * offset + couple)
        curvature = moment * grid.flexibility
        before, energy = energy / norm, grid.total(moment * curvature) + at_clamp**2 * root
        omega_squared = norm / energy
        step = np.abs(before / omega_squared - 1) / 2
        deflection, ends, slope = grid.deflection(curvature, at_clamp * root)
        if (step <= tolerance / 10).all():
            break
    error = step + grid.unresolved(curvature) / energy / 2 + 1e-15 * beams.lengths.shape[0]
    return FirstMode(omega_squared, error, ends / ends[0])


@dataclass(frozen=True, eq=False)
class StaticShape:
    """Cantilevers bent by a force at the free end.

    deflection: at the element ends, m, (E + 1, B). tip_slope: at the free end, rad, (B,). relative_error: of the
    deflection at the free end, estimated, (B,).
    """

    deflection: Floats
    tip_slope: Floats
    relative_error: Floats


def static_shape(beams: Cantilevers, force: Floats) -> StaticShape:
    """Return the shape under a force (N, (B,)) at the free end."""
    grid, root = beams.elements, beams.root_compliance
    moment, at_clamp = grid.moment(np.zeros(grid.shape), force, np.zeros_like(force))
    curvature = moment * grid.flexibility
    energy = grid.total(moment * curvature) + at_clamp**2 * root
    _, ends, slope = grid.deflection(curvature, at_clamp * root)
    error = grid.unresolved(curvature) / np.where(energy > 0, energy, 1.0) + 1e-15 * beams.lengths.shape[0]
    return StaticShape(ends, slope, error)
