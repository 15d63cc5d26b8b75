"""Steel tube: stiffness and mass from diameter and wall.

Area and second moment of a ring: any handbook of strength of materials. For the figures of steel see the constants.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from trimkit.mechanics.batch import Floats
from trimkit.parts.components import ESTIMATED_WALLS, STEEL_DENSITY_KG_M3, TubeSection
from trimkit.parts.errors import ModelError, WallsUnknown
from trimkit.parts.units import M_PER_IN

WALLS_STEP = f"measure them or ask for them; the rules and the cuts do without ({ESTIMATED_WALLS})"
STEEL_YOUNGS_MODULUS_PA = 210_000e6
"""Young's modulus of steel: 210 000 N/mm2 (EN 1993-1-1, material coefficients)."""


def tube_ei_n_m2(outer_diameter_in: ArrayLike, wall_in: ArrayLike) -> Floats:
    """Return E I of a steel tube, N m^2, with I = pi (D^4 - d^4)/64 (in; arrays broadcast)."""
    outer = np.asarray(outer_diameter_in, dtype=np.float64) * M_PER_IN
    inner = outer - 2 * np.asarray(wall_in, dtype=np.float64) * M_PER_IN
    return np.asarray(STEEL_YOUNGS_MODULUS_PA * math.pi * (outer**4 - inner**4) / 64)


def tube_mass_g_per_m(outer_diameter_in: ArrayLike, wall_in: ArrayLike) -> Floats:
    """Return the mass per length of a steel tube, g/m, with A = pi (D^2 - d^2)/4 (in; arrays broadcast)."""
    outer = np.asarray(outer_diameter_in, dtype=np.float64) * M_PER_IN
    inner = outer - 2 * np.asarray(wall_in, dtype=np.float64) * M_PER_IN
    return np.asarray(STEEL_DENSITY_KG_M3 * 1e3 * math.pi * (outer**2 - inner**2) / 4)


def walls_in(sections: Sequence[TubeSection]) -> Floats:
    """Return the wall of each section, in; raises WallsUnknown where one is not known."""
    walls = [section.wall_in for section in sections if section.wall_in is not None]
    if len(walls) < len(sections) or not walls:
        raise WallsUnknown("tube sections without walls", "a wall for every section", WALLS_STEP)
    return np.array(walls)


def wall_factor_for(sections: Sequence[TubeSection], mass_g: float) -> float:
    """Return the factor k on every wall t that gives a stepped tube this mass (g), outer diameters D kept.

    sum(pi rho L (D k t - k^2 t^2)) = m: a quadratic in k, the smaller root is the tube. Raises ModelError if no wall
    gives the mass, WallsUnknown for sections without walls.
    """
    length = np.array([s.to_tip_in - s.from_tip_in for s in sections]) * M_PER_IN
    outer = np.array([s.outer_diameter_in for s in sections]) * M_PER_IN
    wall = walls_in(sections) * M_PER_IN
    scale = math.pi * STEEL_DENSITY_KG_M3 * 1e3
    linear, square = scale * float(length @ (outer * wall)), scale * float(length @ wall**2)
    root = linear**2 - 4 * square * mass_g
    if root < 0:
        raise ModelError(
            f"raw mass {mass_g:g} g, more than a tube of these outer diameters can weigh",
            "a mass that some wall gives",
            "weigh the shaft again",
        )
    return 2 * mass_g / (linear + math.sqrt(root))
