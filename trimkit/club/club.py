"""One club, rule and physics together: the plan's cuts, and what the mechanics says they will measure.

Standing: cuts by the rules of :mod:`trimkit.trim`, each with its own source; numbers by :mod:`trimkit.mechanics`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from trimkit.club.flexscale import FlexScale
from trimkit.mechanics.balance import Component, balance, club_components, swingweight_text
from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.clamped import CLAMP_IN
from trimkit.mechanics.profile import Profile, shaft_profile, steel_profile
from trimkit.parts.components import Material, Shaft, TubeSection
from trimkit.parts.errors import ModelError, TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.trim.bore import bbgl_correction_in, check_fill
from trimkit.trim.butt import butt_cut, cut_length_in, extension_mass_g
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.steps import StepKind, TrimStep
from trimkit.trim.wanted import WantedClub

WHAT_IF = Source("asked in a lab", Standing.CHOSEN)


@dataclass(frozen=True)
class Assembly:
    """What else is in the club, and how it is clamped.

    Masses in g, 0 where nobody weighed them. clamp_in: length of the clamp from the cap end, in (5 in: from memory).
    root_spring_n_m_per_rad: of a clamp that gives; None for one that does not.
    """

    ferrule_mass_g: float = 0.0
    tape_mass_g: float = 0.0
    epoxy_mass_g: float = 0.0
    tip_weight_g: float = 0.0
    clamp_in: float = CLAMP_IN
    root_spring_n_m_per_rad: float | None = None


@dataclass(frozen=True)
class ClubBuild:
    """One club: its plan, and what the mechanics predicts for it.

    frequency_cpm: first bending frequency, clamped as ``assembly`` says, cycles per minute. flex_scale: the shaft's
    flexes at this club. total_mass_g; balance_point_in: from the cap end; swingweight_oz_in; moi_kg_cm2: about the
    cap end.
    """

    plan: TrimPlan
    assembly: Assembly
    frequency_cpm: float
    flex_scale: FlexScale
    total_mass_g: float
    balance_point_in: float
    swingweight_oz_in: float
    moi_kg_cm2: float

    @property
    def flex_text(self) -> str:
        """Where its frequency lies between the shaft's flexes, in words."""
        return self.flex_scale.say(self.frequency_cpm)

    @property
    def swingweight(self) -> str:
        """Swingweight on the letter scale, for example ``'D1.8'``."""
        return swingweight_text(self.swingweight_oz_in)


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
    """Return the profile of a shaft on the bench, made to agree with its measured raw mass.

    Steel: every wall by one factor; graphite: the mass per length. The factor is recorded in the profile.
    """
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


def club_frequencies_cpm(plan: TrimPlan, assembly: Assembly, tip_trim_in: tuple[float, ...]) -> tuple[float, ...]:
    """Return the first bending frequency (cpm) of a planned club for each of several tip trims (in), all else equal.

    The butt trim makes up the difference. Raises ModelError for a tip trim that the shaft does not allow.
    """
    wanted = plan.wanted
    result = first_frequency(
        profile_of(wanted.shaft, plan.raw_length_in),
        tip_trim_in=np.array(tip_trim_in),
        cut_length_in=plan.cut_length_in - plan.extension_in,
        bbgl_in=wanted.bbgl_in,
        bore_depth_in=wanted.head.bore_depth_in,
        # An extension lies inside the clamp, as the cap does.
        cap_thickness_in=wanted.grip.cap_thickness_in + plan.extension_in,
        head_mass_g=wanted.head.head_mass_g + assembly.tip_weight_g,
        cg_height_in=wanted.head.cg_height_in,
        inertia_g_cm2=wanted.head.inertia_g_cm2,
        clamp_in=assembly.clamp_in,
        root_spring_n_m_per_rad=assembly.root_spring_n_m_per_rad,
    )
    return tuple(float(cpm) for cpm in result.frequency_cpm)


def wanted_components(
    wanted: WantedClub,
    profile: Profile,
    assembly: Assembly,
    *,
    tip_trim_in: float,
    cut_length_in: float,
    extension_in: float,
) -> tuple[Component, ...]:
    """Return the parts of a club, cut so (in), as bodies along the shaft, from the cap end.

    profile: of the raw shaft. Raises ModelError for lengths that are not on the shaft.
    """
    cap = wanted.grip.cap_thickness_in
    parts = club_components(
        profile,
        tip_trim_in=tip_trim_in,
        cut_length_in=cut_length_in - extension_in,
        bbgl_in=wanted.bbgl_in,
        bore_depth_in=wanted.head.bore_depth_in,
        cap_thickness_in=cap + extension_in,
        head_mass_g=wanted.head.head_mass_g,
        cg_height_in=wanted.head.cg_height_in,
        inertia_g_cm2=wanted.head.inertia_g_cm2,
        grip_mass_g=wanted.grip.grip_mass_g,
        grip_cg_from_cap_in=wanted.grip.cg_from_cap_in,
        grip_length_in=wanted.grip.grip_length_in,
        ferrule_mass_g=assembly.ferrule_mass_g,
        tape_mass_g=assembly.tape_mass_g,
        epoxy_mass_g=assembly.epoxy_mass_g,
        tip_weight_g=assembly.tip_weight_g,
    )
    if not extension_in:
        return parts
    insert = wanted.practice.extension_insert_in
    mass = extension_mass_g(wanted.shaft, extension_in, insert)
    return (*parts, Component("extension", mass, cap + (extension_in + insert) / 2))


def components_of(plan: TrimPlan, assembly: Assembly) -> tuple[Component, ...]:
    """Return the parts of a planned club as bodies along the shaft, from the cap end."""
    return wanted_components(
        plan.wanted,
        profile_of(plan.wanted.shaft, plan.raw_length_in),
        assembly,
        tip_trim_in=plan.tip_trim_in,
        cut_length_in=plan.cut_length_in,
        extension_in=plan.extension_in,
    )


def anchor_trims(plan: TrimPlan) -> dict[str, float]:
    """Return the tip trim (in) of each of the shaft's flexes at a planned club, corrected for its bore.

    A flex is left out where the shaft cannot be cut to it at this club: too short, or too little parallel tip.
    """
    wanted, schedule = plan.wanted, plan.wanted.table
    if not isinstance(schedule, TrimSchedule):
        return {wanted.shaft.flexes[0]: 0.0}
    bore = bbgl_correction_in(wanted.bbgl_in, schedule.bbgl_reference_in(plan.equivalent))
    trims = {flex: schedule.trim_in(plan.equivalent, FlexPlace.at(flex)) + bore for flex in schedule.flexes}
    longest = min(plan.raw_length_in - plan.cut_length_in, wanted.shaft.tip_section_in - wanted.head.bore_depth_in)
    return {flex: trim for flex, trim in trims.items() if 0 <= trim <= longest + 1e-9}


def build_club(plan: TrimPlan, assembly: Assembly | None = None) -> ClubBuild:
    """Answer what a planned club will measure: frequency, flex, mass, balance point, swingweight, MOI.

    Raises ModelError if the mechanics cannot be computed for it.
    """
    assembly = assembly or Assembly()
    anchors = anchor_trims(plan)
    own, *at_flexes = club_frequencies_cpm(plan, assembly, (plan.tip_trim_in, *anchors.values()))
    if plan.wanted.step:
        # The scale of a stepped club is anchored by the same club unstepped.
        at_flexes = [club_frequencies_cpm(plan_club(replace(plan.wanted, step=0)), assembly, (0.0,))[0]]
    scale = _scale(tuple(anchors), tuple(at_flexes), plan, own)
    mass = balance(components_of(plan, assembly))
    return ClubBuild(
        plan=plan,
        assembly=assembly,
        frequency_cpm=own,
        flex_scale=scale,
        total_mass_g=float(mass.total_mass_g),
        balance_point_in=float(mass.balance_point_in),
        swingweight_oz_in=float(mass.swingweight_oz_in),
        moi_kg_cm2=float(mass.moi_kg_cm2),
    )


def _scale(flexes: tuple[str, ...], frequency_cpm: tuple[float, ...], plan: TrimPlan, own_cpm: float) -> FlexScale:
    if flexes:
        return FlexScale(flexes, frequency_cpm)
    return FlexScale((str(plan.flex),), (own_cpm,))


def recut(plan: TrimPlan, tip_trim_in: float, playing_length_in: float) -> TrimPlan:
    """Return a plan's club cut otherwise, as a question and not by rule: what if the saw had been set here?

    Lengths in in; the butt trim makes up the difference. Raises TrimRefused if the shaft cannot be cut so.
    """
    wanted = plan.wanted
    cut = cut_length_in(playing_length_in, wanted.bbgl_in, wanted.grip.cap_thickness_in)
    if tip_trim_in < 0:
        raise TrimRefused(f"a tip trim of {tip_trim_in:g} in", "0 in or more", "set a tip trim that a saw can cut")
    check_fill(wanted.head, wanted.shaft, tip_trim_in)
    butt = butt_cut(
        wanted.shaft,
        wanted.grip,
        raw_length_in=plan.raw_length_in,
        tip_trim_in=tip_trim_in,
        playing_length_in=playing_length_in,
        bbgl_in=wanted.bbgl_in,
    )
    asked = TrimStep(StepKind.TIP_TRIM, tip_trim_in, "What if it were cut here?", (WHAT_IF,))
    return replace(
        plan,
        tip_trim_in=tip_trim_in,
        cut_length_in=cut,
        butt_trim_in=butt.butt_trim_in,
        playing_length_in=playing_length_in,
        butt_diameter_in=butt.butt_diameter_in,
        tape_layers=butt.tape_layers,
        extension_in=0.0,
        steps=(asked, *butt.steps),
        notes=butt.notes,
    )
