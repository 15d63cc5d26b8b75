"""The profile of a raw shaft as it was weighed, whatever raw length of its family it is.

Standing: derived from the shaft's description and its measured mass.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from trimkit.mechanics.profile import SAME_PLACE_IN, Profile, cut_butt, shaft_profile, steel_profile
from trimkit.parts.components import Material, Shaft, TipKind, TubeSection
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


def weighed_profile(shaft: Shaft, raw_mass_g: float, raw_length_in: float | None = None) -> Profile:
    """Return the profile of one bare shaft as it was weighed (g) and measured (in; None: as described).

    A taper tip by its family's description at that length; a parallel tip that is shorter lacks the rest at its butt.
    Then every wall (steel) or the mass per length (graphite) by one factor, as a weighed shaft of an order. Raises
    ModelError for a length that no such shaft can have and for a mass that it cannot weigh, WallsUnknown as
    :func:`profile_of`.
    """
    taper = shaft.tip_kind is TipKind.TAPER
    length = shaft.raw_length_in if raw_length_in is None else raw_length_in
    if length > shaft.raw_length_in + SAME_PLACE_IN:
        given = f"shaft {shaft.name!r} at a raw length of {length:g} in"
        raise ModelError(given, f"up to {shaft.raw_length_in:g} in", "measure it again, or name the shaft that it is")
    described_in = length if taper else shaft.raw_length_in
    described = profile_of(shaft, described_in)
    mass_g = float(described.mass_g if taper else described.section(0.0, length).mass_g)
    if shaft.raw_mass_g is None:  # never with a profile that is known
        return described
    as_heavy = profile_of(replace(shaft, raw_mass_g=shaft.raw_mass_g * raw_mass_g / mass_g), described_in)
    missing = described_in - length
    return as_heavy if missing < SAME_PLACE_IN else cut_butt(as_heavy, missing)
