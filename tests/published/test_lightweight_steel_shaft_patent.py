"""A lapsed US patent titled "Lightweight steel golf shaft", claims 1, 5 and 6 (its number was not visible in the copies
read).

Claimed: 5 1/4 to 8 3/4 in of constant diameter at the butt, 9 1/2 to 12 in at the tip, walls of about 0.016 in at the
butt, 0.020 in at the tip and 0.014 in between, and a mass of 3.87 to 4.00 oz, plus or minus 1/8 oz. Not claimed and
assumed here: 39 in long, 0.600 in at the butt, 0.370 in at the tip, 14 equal steps. A check of plausibility of the
stepped-tube mass, no sharper than these assumptions.
"""

import numpy as np
import pytest

from trimkit.mechanics.profile import steel_profile
from trimkit.parts.components import TubeSection

G_PER_OZ = 28.349523125


@pytest.mark.parametrize("butt_in", [5.25, 7.0, 8.75])
@pytest.mark.parametrize("tip_in", [9.5, 10.75, 12.0])
def test_mass_of_the_claimed_stepped_tube(butt_in, tip_in):
    outer = np.linspace(0.370, 0.600, 15)
    edges = np.concatenate(([0.0], np.linspace(tip_in, 39.0 - butt_in, 14), [39.0]))
    walls = [0.020] + [0.014] * 13 + [0.016]
    sections = [TubeSection(*row) for row in zip(edges[:-1], edges[1:], outer, walls, strict=True)]
    mass_oz = float(steel_profile(sections).mass_g) / G_PER_OZ
    assert 3.87 - 1 / 8 <= mass_oz <= 4.00 + 1 / 8
