"""A measured shaft: how stiff and how heavy it is compared with its description, from raw frequency and mass.

A shaft's description gives stiffness and mass along its length; a single shaft of that kind differs from it by one
factor on each. The scale gives the mass factor, then the frequency machine gives the stiffness factor. One factor for
the whole length is an assumption made here; two readings of one shaft, clamped at different depths, would test it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trimkit.club.clamp import BareShaft, FrequencyBench, frequencies_cpm
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.profile import Profile
from trimkit.parts.errors import ComponentError, ModelError

_SOFTEST = 1e6  # times the described shaft's 1/EI; its inverse is as good as a rigid shaft


@dataclass(frozen=True)
class MeasuredShaft:
    """One bare shaft as measured: its mark, raw frequency (cpm, with the bench's test weight) and raw mass (g).

    raw_length_in: where it differs from the described shaft's, as in a taper family; None: as described.
    Raises ComponentError if a number is not finite and above 0.
    """

    mark: str
    raw_frequency_cpm: float
    raw_mass_g: float
    raw_length_in: float | None = None

    def __post_init__(self) -> None:
        for name in ("raw_frequency_cpm", "raw_mass_g", "raw_length_in"):
            value = getattr(self, name)
            if value is not None and not (np.isfinite(value) and value > 0):
                raise ComponentError(
                    f"shaft {self.mark!r}: {name} is {value}", "a finite number above 0", "measure it again"
                )


@dataclass(frozen=True, eq=False)
class ShaftFactors:
    """Factors on a described shaft's stiffness and mass, one for each measured shaft: two arrays of shape (m,)."""

    ei_factor: Floats
    mass_factor: Floats


def shaft_factors(profile: Profile, shafts: Sequence[MeasuredShaft], bench: FrequencyBench) -> ShaftFactors:
    """Answer how much stiffer and heavier each measured shaft is than the described one.

    profile: of the described raw shaft. mass factor = raw mass / described mass; the EI factor is the one at which
    the model gives the raw frequency: (read/model)^2 - 1 = 0, nearly linear in 1/EI, solved for all shafts at once
    (scipy.optimize.elementwise.find_root).

    Raises ModelError if there is no shaft, or if no stiffness gives a reading: it is higher than even a rigid shaft
    would give in that clamp.
    """
    from scipy.optimize.elementwise import find_root

    if not shafts:
        raise ModelError("no measured shaft", "one or more", "measure the shafts")
    read = np.array([shaft.raw_frequency_cpm for shaft in shafts])
    mass = np.array([shaft.raw_mass_g for shaft in shafts]) / float(profile.mass_g)
    bare = [BareShaft(profile, bench)]

    def excess(softness: Floats, read: Floats, mass: Floats) -> Floats:
        cpm = frequencies_cpm(bare, ei_factor=1 / softness[:, None], mass_factor=mass[:, None])
        return np.asarray((read / cpm[:, 0]) ** 2 - 1)

    found = find_root(excess, (1 / _SOFTEST, _SOFTEST), args=(read, mass))
    if not np.all(found.success):
        shaft = shafts[int(np.argmin(found.success))]
        raise ModelError(
            f"shaft {shaft.mark!r} reads {shaft.raw_frequency_cpm:g} cpm",
            "less than a rigid shaft would read in a clamp this soft",
            "check the test weight, the clamp and its root spring, and read the shaft again",
        )
    return ShaftFactors(1 / found.x, mass)
