"""Beams of unit length for dimensionless tables: frequencies are omega sqrt(mu L^4 / EI)."""

from functools import partial

import mpmath
import numpy as np
import pytest

from trimkit.mechanics.cantilever import Cantilevers, first_mode


class DimensionlessBeam:
    """A cantilever given by functions of x from the clamp (0) to the free end (1), and the body at its end."""

    def __init__(self, eigen, mass=0.0, inertia=0.0, offset=0.0, ei=lambda x: 1.0 + 0 * x, mu=lambda x: 1.0 + 0 * x):
        self.eigen, self.body = eigen, (mass, offset, inertia)
        self.ei, self.mu = ei, mu

    def elements(self, count, step_at=None):
        """Elements from the free end, stiffness and mass linear in each; a step stands between two of them."""
        t = np.linspace(0, 1, count + 1)
        if step_at is not None:
            t = np.union1d(t, [1 - step_at])
        x = 1 - t
        inward = 1e-12 if step_at is not None else 0.0
        low, high = x[:-1] - inward, x[1:] + inward
        columns = (f(side)[:, None] for f in (self.ei, self.mu) for side in (low, high))
        return Cantilevers(np.diff(t)[:, None], *columns, *(np.array([v]) for v in self.body), np.zeros(1))

    def first(self, count=32, step_at=None):
        mode = first_mode(self.elements(count, step_at), tolerance=1e-11)
        assert mode.relative_error[0] <= 1e-11
        return float(np.sqrt(mode.omega_squared[0]))

    def lowest(self, modes, count=64, step_at=None):
        return self.eigen(self.elements(count, step_at), modes)[0]


@pytest.fixture(scope="session")
def beam(eigen):
    return partial(DimensionlessBeam, eigen)


def _times(factors):
    """Coefficients of a product of polynomials."""
    product = [mpmath.mpf(1)]
    for factor in factors:
        out = [mpmath.mpf(0)] * (len(product) + len(factor) - 1)
        for i, x in enumerate(product):
            for j, y in enumerate(factor):
                out[i + j] += x * y
        product = out
    return product


def _root_by_power_series(ei_factors, mu_factors, mass, near):
    """Frequency near a number of a cantilever with EI and mu polynomials in x from the clamp; 40 digits a term.

    Root of the determinant of moment and shear at the free end, which carries a mass. The polynomials' own roots must
    lie beyond x = 1, for the series to converge.
    """
    with mpmath.workdps(40):
        mass, ei, mu = mpmath.mpf(str(mass)), _times(ei_factors), _times(mu_factors)

        def at_tip(omega2, moment, shear):
            w, bend, m = [mpmath.mpf(0)] * 2, [], [mpmath.mpf(moment), mpmath.mpf(shear)]
            for k in range(300):
                # What is left of the series is far below the digits compared; ten terms, since some may be zero.
                if k > 30 and max(map(abs, m[-10:])) * k < 1e-20 * max(map(abs, m)):
                    break
                known = sum(ei[j] * bend[k - j] for j in range(1, min(k, len(ei) - 1) + 1))
                bend.append((m[k] - known) / ei[0])
                w.append(bend[k] / ((k + 1) * (k + 2)))
                load = sum(mu[j] * w[k - j] for j in range(min(k, len(mu) - 1) + 1))
                m.append(omega2 * load / ((k + 1) * (k + 2)))
            return mpmath.fsum(m), mpmath.fsum(k * c for k, c in enumerate(m)) + mass * omega2 * mpmath.fsum(w)

        def determinant(omega):
            (m1, v1), (m2, v2) = at_tip(omega**2, 1, 0), at_tip(omega**2, 0, 1)
            return m1 * v2 - m2 * v1

        return float(mpmath.findroot(determinant, (near * 0.9999, near * 1.0001), solver="secant"))


@pytest.fixture(scope="session")
def power_series():
    return _root_by_power_series
