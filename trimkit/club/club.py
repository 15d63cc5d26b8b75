"""One club, rule and physics together: the plan's cuts, and what the mechanics says they will measure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from trimkit.club.boreworth import BoreWorth, bore_worth
from trimkit.club.card import Assembly, card_components, card_of
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.flexscale import FlexScale
from trimkit.mechanics.balance import balance, swingweight_text
from trimkit.mechanics.tube import WALLS_STEP
from trimkit.parts.errors import TrimRefused, WallsUnknown
from trimkit.parts.sources import Source, Standing
from trimkit.trim.bore import bbgl_correction_in, check_fill
from trimkit.trim.butt import butt_cut, cut_length_in
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.steps import Note, Severity, StepKind, TrimStep

NO_PREDICTION = Source("the shaft's description, which lacks walls or stations", Standing.DERIVED)
"""The source of the note that says why a club has no prediction."""
WHAT_IF = Source("asked in a lab", Standing.CHOSEN)


@dataclass(frozen=True)
class Prediction:
    """What the mechanics predicts for one club.

    frequency_cpm: first bending frequency, clamped as the club's assembly says, cycles per minute. flex_scale: the
    shaft's flexes at this club. total_mass_g; balance_point_in: from the cap end; swingweight_oz_in; moi_kg_cm2: about
    the cap end. bore: what a taper-tip head off its BBGL reference is worth; None where it is not off.
    """

    frequency_cpm: float
    flex_scale: FlexScale
    total_mass_g: float
    balance_point_in: float
    swingweight_oz_in: float
    moi_kg_cm2: float
    bore: BoreWorth | None = None


@dataclass(frozen=True)
class ClubBuild:
    """One club: its plan, and what the mechanics predicts for it.

    predicted: None where the shaft's walls or stations are not known. The attributes named after a prediction's raise
    WallsUnknown with the reason, :attr:`no_prediction`, where there is none.
    """

    plan: TrimPlan
    assembly: Assembly
    predicted: Prediction | None

    @property
    def no_prediction(self) -> str:
        """Why there is no prediction, in words; empty if there is one."""
        return "" if self.predicted is not None else self.plan.wanted.shaft.unknown

    @property
    def prediction(self) -> Prediction:
        """The prediction; raises WallsUnknown with the reason if there is none."""
        if self.predicted is None:
            given = f"no prediction for the {self.plan.club}: {self.no_prediction}"
            raise WallsUnknown(given, "a shaft whose walls or stations are known", WALLS_STEP)
        return self.predicted

    @property
    def frequency_cpm(self) -> float:
        """Predicted first bending frequency, cycles per minute."""
        return self.prediction.frequency_cpm

    @property
    def flex_scale(self) -> FlexScale:
        """The shaft's flexes at this club, cpm."""
        return self.prediction.flex_scale

    @property
    def total_mass_g(self) -> float:
        """Predicted total mass, g."""
        return self.prediction.total_mass_g

    @property
    def balance_point_in(self) -> float:
        """Predicted balance point from the cap end, in."""
        return self.prediction.balance_point_in

    @property
    def swingweight_oz_in(self) -> float:
        """Predicted swingweight, oz in."""
        return self.prediction.swingweight_oz_in

    @property
    def moi_kg_cm2(self) -> float:
        """Predicted moment of inertia about the cap end, kg cm^2."""
        return self.prediction.moi_kg_cm2

    @property
    def bore(self) -> BoreWorth | None:
        """What a taper-tip head off its BBGL reference is worth; None where it is not off."""
        return self.prediction.bore

    @property
    def notes(self) -> tuple[Note, ...]:
        """The plan's notes, and what the mechanics adds to them, or why it adds nothing."""
        if self.predicted is None:
            text = f"No prediction: {self.no_prediction}. The rules alone give the cuts."
            return (*self.plan.notes, Note(Severity.NOTE, text, "measure them or ask for them", NO_PREDICTION))
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


def build_club(plan: TrimPlan, assembly: Assembly | None = None) -> ClubBuild:
    """Answer what a planned club will measure: frequency, flex, mass, balance point, swingweight, MOI.

    A shaft whose walls or stations nobody knows gives no prediction. Raises ModelError if the mechanics cannot be
    computed for a shaft that is known.
    """
    assembly = assembly or Assembly()
    return ClubBuild(plan, assembly, None if plan.wanted.shaft.unknown else _predicted(plan, assembly))


def _predicted(plan: TrimPlan, assembly: Assembly) -> Prediction:
    anchors = anchor_trims(plan)
    own, *at_flexes = club_frequencies_cpm(plan, assembly, (plan.tip_trim_in, *anchors.values()))
    if plan.wanted.soft_steps:
        # The scale of a stepped club is anchored by the same club unstepped.
        at_flexes = [club_frequencies_cpm(plan_club(replace(plan.wanted, soft_steps=0)), assembly, (0.0,))[0]]
    scale = FlexScale(tuple(anchors), tuple(at_flexes)) if anchors else FlexScale((str(plan.flex),), (own,))
    card = card_of(plan, assembly)
    mass = balance(card_components(card))
    return Prediction(
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
