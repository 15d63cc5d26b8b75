"""Circular hollow sections as constructional steel tables print them: 7850 kg/m3, and 210 000 N/mm2 by EN 1993-1-1.

Outer diameter and wall in mm; mass per metre in kg/m (two decimals), area in cm2 and second moment of area in cm4
(three significant digits). Tolerance: half of the last printed digit.
"""

import pytest

from trimkit.mechanics.tube import STEEL_YOUNGS_MODULUS_PA, tube_ei_n_m2, tube_mass_g_per_m
from trimkit.parts.components import STEEL_DENSITY_KG_M3

TABLE = [
    (21.3, 2.0, "0.95", "1.21", "0.571"),
    (26.9, 2.0, "1.23", "1.56", "1.22"),
    (42.4, 2.0, "1.99", "2.54", "5.19"),
    (60.3, 2.0, "2.88", "3.66", "15.6"),
]


def half_digit(text):
    return 0.5 * 10 ** -len(text.partition(".")[2])


@pytest.mark.parametrize("row", [pytest.param(row, id=f"CHS {row[0]} x {row[1]}") for row in TABLE])
def test_tube_section(row):
    outer_in, wall_in = (value / 25.4 for value in row[:2])
    kg_per_m, area_cm2, inertia_cm4 = row[2:]
    mass = float(tube_mass_g_per_m(outer_in, wall_in)) * 1e-3
    assert mass == pytest.approx(float(kg_per_m), abs=half_digit(kg_per_m))
    assert mass / STEEL_DENSITY_KG_M3 * 1e4 == pytest.approx(float(area_cm2), abs=half_digit(area_cm2))
    inertia = float(tube_ei_n_m2(outer_in, wall_in)) / STEEL_YOUNGS_MODULUS_PA * 1e8
    assert inertia == pytest.approx(float(inertia_cm4), abs=half_digit(inertia_cm4))
