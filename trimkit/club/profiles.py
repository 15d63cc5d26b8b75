"""The profile of a raw shaft as it was weighed, whatever raw length of its family it is.

Standing: derived from the shaft's description and its measured mass.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from trimkit.mechanics.profile import Profile, shaft_profile, steel_profile
from trimkit.parts.components import Material, Shaft, TubeSection
from trimkit.parts.errors import ModelError


def sections_at_raw_length(shaft: Shaft, raw_length_in: float) -> tuple[TubeSection, ...]:
    """Return the tube sections of another raw length of a taper-tip family, whose longest raw length is ``shaft``.

    Raw lengths of one family differ below the first step only: what is missing comes off the piece that ends at the
    first step, the cone at the tip stays as it is. Derived. Raises ModelError if that piece is not long enough.
    """
    missing = shaft.raw_length_in - raw_length_in
    if missing == 0:
        return shaft.sections
    below = [section for section in shaft.sections if section.to_tip_in <= shaft.tip_section_in + 1e-9]
    room = below[-1].to_tip_in - below[-1].from_tip_in if below else 0.0
    if not 0 <= missing < room:
        raise ModelError(
            f"shaft {shaft.name!r} at a raw length of {raw_length_in:g} in",
            f"more than {shaft.raw_length_in - room:g} in, up to {shaft.raw_length_in:g} in",
            "check the family's raw lengths and the piece below its first step",
        )
    above = (
        replace(section, from_tip_in=section.from_tip_in - missing, to_tip_in=section.to_tip_in - missing)
        for section in shaft.sections[len(below) :]
    )
    return (*below[:-1], replace(below[-1], to_tip_in=below[-1].to_tip_in - missing), *above)


@lru_cache(maxsize=64)
def profile_of(shaft: Shaft, raw_length_in: float) -> Profile:
    """Return the profile of a shaft on the bench: of its measured raw mass, and as stiff as its kind was found to be.

    Steel: every wall by one factor; graphite: the mass per length. That factor is recorded in the profile. Then the
    stiffness alone by the shaft's ``ei_factor``. Raises WallsUnknown for a shaft whose walls or stations nobody knows.
    """
    profile, factor = _of_its_mass(shaft, raw_length_in), shaft.ei_factor
    if factor == 1.0:
        return profile
    return replace(profile, ei_low_n_m2=profile.ei_low_n_m2 * factor, ei_high_n_m2=profile.ei_high_n_m2 * factor)


def _of_its_mass(shaft: Shaft, raw_length_in: float) -> Profile:
    if shaft.material is not Material.STEEL:
        return shaft_profile(shaft, match_mass="density")
    longest = shaft_profile(shaft, match_mass="wall")
    if raw_length_in == shaft.raw_length_in:
        return longest
    shorter = steel_profile(
        sections_at_raw_length(shaft, raw_length_in),
        wall_factor=longest.scale_factor,
        tip_section_in=shaft.tip_section_in - (shaft.raw_length_in - raw_length_in),
    )
    return replace(shorter, scaled="wall", scale_factor=longest.scale_factor)
