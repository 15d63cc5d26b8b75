"""One club, rule and physics together: the plan's cuts, and what the mechanics says they will measure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from trimkit.club.boreworth import BoreWorth, at_bbgl, bore_worth
from trimkit.club.card import Assembly, BenchCard, card_components, card_of
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.flexscale import FlexScale
from trimkit.mechanics.balance import balance, swingweight_text
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.trim.bore import bbgl_correction_in, check_fill
from trimkit.trim.butt import butt_cut, cut_length_in
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.steps import Note, StepKind, TrimStep
from trimkit.trim.taperbore import taper_bore

WHAT_IF = Source("asked in a lab", Standing.CHOSEN)


@dataclass(frozen=True)
class ClubBuild:
    """One club: its plan, and what the mechanics predicts for it.

    frequency_cpm: first bending frequency, clamped as ``assembly`` says, cycles per minute. flex_scale: the shaft's
    flexes at this club. total_mass_g; balance_point_in: from the cap end; swingweight_oz_in; moi_kg_cm2: about the
    cap end. bore: what a taper-tip head off its BBGL reference is worth; None where it is not off.
    """

    plan: TrimPlan
    assembly: Assembly
    frequency_cpm: float
    flex_scale: FlexScale
    total_mass_g: float
    balance_point_in: float
    swingweight_oz_in: float
    moi_kg_cm2: float
    bore: BoreWorth | None = None

    @property
    def notes(self) -> tuple[Note, ...]:
        """The plan's notes, and what the mechanics adds to them."""
        return self.plan.notes if self.bore is None else (*self.plan.notes, self.bore.note)

    @property
    def flex_text(self) -> str:
        """Where its frequency lies between the shaft's flexes, in words."""
        return self.flex_scale.say(self.frequency_cpm)

    @property
    def swingweight(self) -> str:
        """Swingweight on the letter scale, for example ``'D1.8'``."""
        return swingweight_text(self.swingweight_oz_in)


def club_frequencies_cpm(plan: TrimPlan, assembly: Assembly, tip_trim_in: Sequence[float]) -> tuple[float, ...]:
    """Return the first bending frequency (cpm) of a planned club for each of several tip trims (in), all else equal.

    The butt trim makes up the difference. Raises ModelError for a tip trim that the shaft does not allow.
    """
    changes = np.subtract(tip_trim_in, plan.tip_trim_in)[:, None]
    cpm = frequencies_cpm([card_of(plan, assembly)], {"tip_trim_in": changes})
    return tuple(cpm[:, 0].tolist())


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


def flex_scale(plan: TrimPlan, assembly: Assembly) -> FlexScale | None:
    """Return the shaft's flexes at a planned club (cpm): the same club cut to each of them, as its tables mean it.

    A flex that this head's bore would need less than no tip trim for is anchored by the head at the schedule's BBGL
    reference, cut by the schedule; a taper tip by the unstepped club, at its BBGL reference if the head is off it.
    None if the club can be cut to none of them. Raises ModelError if a frequency cannot be computed.
    """
    if isinstance(plan.wanted.table, TrimSchedule):
        trims = anchor_trims(plan)
        reached = club_frequencies_cpm(plan, assembly, tuple(trims.values())) if trims else ()
        cpm = dict(zip(trims, reached, strict=True))
        below = _below_the_tip(plan, card_of(plan, assembly))
        if below:
            softer = zip(below, frequencies_cpm(list(below.values())), strict=True)
            cpm = {flex: float(f) for flex, f in softer if not cpm or f < min(cpm.values())} | cpm
    else:
        unstepped = plan_club(replace(plan.wanted, soft_steps=0)) if plan.wanted.soft_steps else plan
        meant = card_of(unstepped, assembly)
        bore = taper_bore(unstepped.wanted, unstepped.equivalent, unstepped.cut_length_in)
        if bore is not None and bore.counts(plan.wanted.practice):
            meant = at_bbgl(meant, bore.reference_in)
        cpm = {plan.wanted.shaft.flexes[0]: float(frequencies_cpm([meant])[0])}
    return FlexScale(tuple(cpm), tuple(cpm.values())) if cpm else None


def _below_the_tip(plan: TrimPlan, card: BenchCard) -> dict[str, BenchCard]:
    """Cards, on a head at the BBGL reference, of the flexes that this head's bore leaves no tip trim for."""
    schedule = plan.wanted.table
    assert isinstance(schedule, TrimSchedule)
    reference = schedule.bbgl_reference_in(plan.equivalent)
    trims = {flex: schedule.trim_in(plan.equivalent, FlexPlace.at(flex)) for flex in schedule.flexes}
    bore = bbgl_correction_in(plan.wanted.bbgl_in, reference)
    return {
        flex: at_bbgl(replace(card, tip_trim_in=trim), reference) for flex, trim in trims.items() if trim + bore < 0
    }


def build_club(plan: TrimPlan, assembly: Assembly | None = None) -> ClubBuild:
    """Answer what a planned club will measure: frequency, flex, mass, balance point, swingweight, MOI.

    Raises ModelError if the mechanics cannot be computed for it.
    """
    assembly = assembly or Assembly()
    card = card_of(plan, assembly)
    own = club_frequencies_cpm(plan, assembly, (plan.tip_trim_in,))[0]
    scale = flex_scale(plan, assembly) or FlexScale((str(plan.flex),), (own,))
    mass = balance(card_components(card))
    return ClubBuild(
        plan=plan,
        assembly=assembly,
        frequency_cpm=own,
        flex_scale=scale,
        total_mass_g=float(mass.total_mass_g),
        balance_point_in=float(mass.balance_point_in),
        swingweight_oz_in=float(mass.swingweight_oz_in),
        moi_kg_cm2=float(mass.moi_kg_cm2),
        bore=bore_worth(card, plan, scale),
    )


def recut(plan: TrimPlan, tip_trim_in: float, playing_length_in: float) -> TrimPlan:
    """Return a planned club cut differently, as a question and not by rule: what if the saw were set here?

    Lengths in in; the butt trim makes up the difference. Raises TrimRefused if the shaft cannot be cut like this.
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
