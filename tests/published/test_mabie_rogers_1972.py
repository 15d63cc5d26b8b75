"""H. H. Mabie, C. B. Rogers, Transverse vibrations of double-tapered cantilever beams, JASA 51, 1771-1774 (1972).

As quoted in a public verification manual of a finite element code (sheet SDLL09/89 of the guide VPCS): rectangular
section, depth and width falling linearly to the free end, root to tip 4 in depth, 4 or 5 in width; lambda refers to the
section at the tip.

Erratum: every printed value is low, by 1e-4 to 3.5e-4, far more than its digits; they came out of a numerical
integration of 1972. The exact solution (power series about the clamp, 40 digits, computed here) and the solver agree
with each other and lie above. So the source checks the solver to 4e-4, its own accuracy, and not to its digits.

Elements are linear in EI and mu, which here are of degree four and two: 400 of them leave 1e-5 of the fifth mode.
"""

import pytest

PRINTED = {4: (23.289, 73.9, 165.23, 299.7, 478.1), 5: (24.308, 75.56, 167.21, 301.9, 480.4)}
LOW_BY = 4e-4


@pytest.fixture
def double_taper(beam):
    def of_width(width):
        def depth_at(x):
            return 4 - 3 * x

        def width_at(x):
            return width - (width - 1) * x

        return beam(ei=lambda x: width_at(x) * depth_at(x) ** 3, mu=lambda x: width_at(x) * depth_at(x))

    return of_width


@pytest.mark.parametrize("width", [4, 5])
def test_double_tapered_cantilever(double_taper, width):
    for printed, ours in zip(PRINTED[width], double_taper(width).lowest(5, count=400), strict=True):
        assert 0 <= 1 - printed / ours <= LOW_BY


ALL = [(width, mode) for width in PRINTED for mode in range(1, 6)]


@pytest.mark.parametrize(("width", "mode"), [pytest.param(*case, marks=pytest.mark.nightly) for case in ALL])
def test_exact_solution(double_taper, power_series, width, mode):
    ours = double_taper(width).lowest(mode, count=400)[-1]
    depth, breadth = (4, -3), (width, 1 - width)
    assert ours == pytest.approx(power_series([depth] * 3 + [breadth], [depth, breadth], 0, ours), rel=1.5e-5)


@pytest.mark.parametrize("width", [4, 5])
def test_first_by_inverse_iteration(double_taper, width):
    assert 0 <= 1 - PRINTED[width][0] / double_taper(width).first(count=400) <= LOW_BY
