"""W. T. Thomson, Theory of Vibration with Applications, Appendix D, normal modes of uniform beams, table D.3.

Clamped-free beam: (beta l)^2 printed to four decimals; the tolerance is half of the last one.
"""

import pytest


@pytest.mark.parametrize(
    ("mode", "printed"), [pytest.param(n, v, id=f"D.3 row {n}") for n, v in ((1, 3.5160), (2, 22.0345), (3, 61.6972))]
)
def test_uniform_cantilever(beam, mode, printed):
    assert beam().lowest(mode)[-1] == pytest.approx(printed, abs=0.5e-4)


def test_uniform_cantilever_by_inverse_iteration(beam):
    assert beam().first() == pytest.approx(3.5160, abs=0.5e-4)
