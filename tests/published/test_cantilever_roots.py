"""Roots of characteristic equations: uniform beam with a tip body, and beams stepped once.

The equations stand in the structural-vibration handbooks (tip mass) or follow from continuity at a step; the numbers
were computed from them to 30 digits or more and are computed again here, so their standing is "computed", not printed.
Uniform: mass ratio m = M/(mu L), inertia j = J/(mu L^3) about the body's centre, offset e beyond the end over L.
Stepped: x from the clamp, diameter ratio r beyond the step at a; solid EI r^4, mu r^2; thin tube EI r^3, mu r.
"""

import mpmath
import numpy as np
import pytest

UNIFORM = [
    (0, 0, 0, 3.516015269, 22.03449156, 61.69721441),
    (0.1, 0, 0, 2.967838347, 19.35580101, 55.51824555),
    (0.5, 0, 0, 2.016298982, 16.90141772, 51.70092089),
    (1, 0, 0, 1.557297861, 16.25008516, 50.89584283),
    (2, 0, 0, 1.158197107, 15.86088999, 50.44763967),
    (1, 0.01, 0, 1.543676803, 13.23958856, 32.06958081),
    (1, 0, 0.05, 1.468134039, 14.79097475, 46.3012626),
    (1, 0.01, 0.05, 1.456222279, 12.53018627, 33.21269601),
    (2, 0.05, 0.1, 0.9980923561, 8.337180138, 26.44748849),
    (0, 0.1, 0, 2.487152535, 7.01316275, 30.56571754),
]
STEPPED = [
    ("solid", 0.5, 0.5, 5.069976791, 14.75096212, 44.08060541),
    ("solid", 0.8, 0.25, 3.656705263, 20.17181023, 52.53587665),
    ("tube", 0.6, 0.5, 4.110563601, 16.6449461, 48.74258436),
    ("tube", 0.8, 0.75, 3.786148873, 22.33832664, 58.92119986),
]


def through(state, length, ei, mu, omega):
    """Exact transfer of (w, w', M, V) over a uniform piece, by the functions of Krylov."""
    k = mpmath.sqrt(omega * mpmath.sqrt(mu / ei))
    z = k * length
    ch, sh, c, s = mpmath.cosh(z), mpmath.sinh(z), mpmath.cos(z), mpmath.sin(z)
    f = [(ch + c) / 2, (sh + s) / (2 * k), (ch - c) / (2 * k**2), (sh - s) / (2 * k**3)]
    derivatives = [f, [k**4 * f[3], f[0], f[1], f[2]], [k**4 * f[2], k**4 * f[3], f[0], f[1]]]
    derivatives.append([k**4 * f[1], k**4 * f[2], k**4 * f[3], f[0]])
    w, slope, moment, shear = state
    start = (w, slope, moment / ei, shear / ei)
    out = [sum(x * y for x, y in zip(row, start, strict=True)) for row in derivatives]
    return out[0], out[1], ei * out[2], ei * out[3]


def exact(pieces, body, near):
    """Frequency near a number: pieces (length, EI, mu) from the clamp, body (mass, inertia, offset) at the free end."""
    with mpmath.workdps(30):
        mass, inertia, offset = (mpmath.mpf(str(value)) for value in body)

        def at_end(omega, state):
            for length, ei, mu in pieces:
                state = through(
                    state, *(mpmath.mpf(str(v)) if isinstance(v, float | int) else v for v in (length, ei, mu)), omega
                )
            w, slope, moment, shear = state
            # The body's inertia forces: shear EI w''' = -M omega^2 w_c, moment about the end EI w'' = ...
            force = mass * omega**2 * (w + offset * slope)
            return moment - inertia * omega**2 * slope - offset * force, shear + force

        def determinant(omega):
            (a, b), (c, d) = at_end(omega, (0, 0, 1, 0)), at_end(omega, (0, 0, 0, 1))
            return a * d - b * c

        return float(mpmath.findroot(determinant, (near * 0.9999, near * 1.0001), solver="secant"))


@pytest.mark.parametrize("row", [pytest.param(r, id=f"m = {r[0]}, j = {r[1]}, e = {r[2]}") for r in UNIFORM])
def test_uniform_beam_with_a_tip_body(beam, row):
    mass, inertia, offset, *frequencies = row
    for frequency in frequencies:
        assert exact([(1, 1, 1)], (mass, inertia, offset), frequency) == pytest.approx(frequency, rel=5e-10)
    case = beam(mass=mass, inertia=inertia, offset=offset)
    assert case.first() == pytest.approx(frequencies[0], rel=5e-10)
    assert case.lowest(3) == pytest.approx(frequencies, rel=1e-6)


@pytest.mark.parametrize("row", [pytest.param(r, id=f"{r[0]}, r = {r[1]}, a = {r[2]}") for r in STEPPED])
def test_beam_stepped_once(beam, row):
    family, ratio, step_at, *frequencies = row
    stiff, heavy = (4, 2) if family == "solid" else (3, 1)
    exact_ratio = mpmath.mpf(str(ratio))
    pieces = [(step_at, 1, 1), (1 - step_at, exact_ratio**stiff, exact_ratio**heavy)]
    for frequency in frequencies:
        assert exact(pieces, (0, 0, 0), frequency) == pytest.approx(frequency, rel=5e-10)
    case = beam(
        ei=lambda x: np.where(x < step_at, 1.0, ratio**stiff), mu=lambda x: np.where(x < step_at, 1.0, ratio**heavy)
    )
    assert case.first(step_at=step_at) == pytest.approx(frequencies[0], rel=5e-10)
    assert case.lowest(3, step_at=step_at) == pytest.approx(frequencies, rel=1e-6)
