"""Tip deflection of cantilevers under an end force, elementary beam theory (any textbook on strength of materials).

Uniform beam F L^3/3EI; solid cone F L^3/(3 EI0 (1 - c)), c the loss of diameter from root to tip over the root's
diameter; thin tube of constant wall, EI = EI0 (1 - c x)^3: factors on F L^3/3EI0 from the closed integral, computed to
eight digits and computed again here.
"""

import mpmath
import numpy as np
import pytest

from trimkit.mechanics.cantilever import Cantilevers, static_shape

TUBE_FACTORS = [(0.2, 1.1788317), (0.4, 1.4449511), (0.6, 1.8929268)]


def tip_deflection(ei, count):
    t = np.linspace(0, 1, count + 1)
    x = 1 - t
    one = np.ones((count, 1))
    none = np.zeros(1)
    beams = Cantilevers(np.diff(t)[:, None], ei(x[:-1])[:, None], ei(x[1:])[:, None], one, one, none, none, none, none)
    return float(static_shape(beams, np.ones(1)).deflection[0, 0])


def extrapolated(ei):
    """Linear elements under a curved EI converge with the square of their number: two counts give the limit."""
    coarse, fine = tip_deflection(ei, 200), tip_deflection(ei, 400)
    return fine + (fine - coarse) / 3


def test_uniform_beam():
    assert tip_deflection(lambda x: 1 + 0 * x, 3) == pytest.approx(1 / 3, rel=1e-13)


@pytest.mark.parametrize("loss", [0.2, 0.4, 0.6])
def test_solid_cone(loss):
    assert extrapolated(lambda x: (1 - loss * x) ** 4) == pytest.approx(1 / (3 * (1 - loss)), rel=1e-8)


@pytest.mark.parametrize(("loss", "factor"), [pytest.param(*row, id=f"c = {row[0]}") for row in TUBE_FACTORS])
def test_thin_tube_of_constant_wall(loss, factor):
    integral = float(mpmath.quad(lambda x: (1 - x) ** 2 / (1 - mpmath.mpf(loss) * x) ** 3, [0, 1]))
    assert 3 * integral == pytest.approx(factor, abs=0.5e-7)
    assert 3 * extrapolated(lambda x: (1 - loss * x) ** 3) == pytest.approx(factor, abs=0.5e-7)
