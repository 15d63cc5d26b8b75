"""US patent 6,652,389, claims: a shaft whose EI rises in proportion to the distance X from its tip, EI = alpha X.

alpha = 0.12, 0.09, 0.06 N m^2/mm, hence 36, 27, 18 N m^2 at 300 mm. The tip deflection F L^2 / (2 alpha) follows from
u'' = F X / (alpha X). At the tip itself EI would be zero; 1e-9 N m^2 stands there instead.
"""

import numpy as np
import pytest

from trimkit.mechanics.beam import tip_deflection
from trimkit.mechanics.profile import Profile

CLAIMS = [(0.12, 36.0), (0.09, 27.0), (0.06, 18.0)]


@pytest.mark.parametrize(("alpha", "at_300_mm"), [pytest.param(*row, id=f"alpha = {row[0]} N m2/mm") for row in CLAIMS])
def test_stiffness_in_proportion_to_the_distance_from_the_tip(alpha, at_300_mm):
    free_m, clamp_in, force = 1.0, 5.0, 10.0
    edges = np.array([0.0, 0.3 / 0.0254, free_m / 0.0254, free_m / 0.0254 + clamp_in])
    ei = np.maximum(alpha * 1e3 * edges * 0.0254, 1e-9)
    one = np.ones(3)
    shaft = Profile(edges, ei[:-1], ei[1:], 60 * one, 60 * one, 0.5 * one, 0.5 * one)
    assert float(shaft.ei_at(0.3 / 0.0254)) == pytest.approx(at_300_mm, rel=1e-12)
    bent = tip_deflection(shaft, force_n=force, clamp_in=clamp_in)
    assert bent.deflection_in * 0.0254 == pytest.approx(force * free_m**2 / (2 * alpha * 1e3), rel=1e-9)
