"""One club, rule and physics together: the plan's cuts, and what the mechanics says they will measure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from trimkit.club.boreworth import BoreWorth, at_bbgl, bore_worth
from trimkit.club.card import Assembly, BenchCard, card_components, card_of, on_new_shaft, on_other_raw_length
from trimkit.club.clamp import frequencies_cpm, frequency_cpm
from trimkit.club.flexscale import FlexScale
from trimkit.club.order.tables import MOST_TIP_WEIGHT_G
from trimkit.club.swingweight import NO_WEIGHT_G, SwingweightNeed, SwingweightTolerance, swingweight_need
from trimkit.mechanics.balance import balance, swingweight_words
from trimkit.mechanics.tube import WALLS_STEP
from trimkit.parts.errors import TrimRefused, WallsUnknown
from trimkit.parts.sources import Source, Standing
from trimkit.trim.bore import bbgl_correction_in, check_fill, most_tip_trim_in
from trimkit.trim.butt import butt_cut, cut_length_in
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.steps import Note, Severity, StepKind, TrimStep
from trimkit.trim.taperbore import taper_bore
from trimkit.trim.wanted import ShaftInHand

NO_PREDICTION = Source("the shaft's description, which lacks walls or stations", Standing.DERIVED)
"""The source of the note that says why a club has no prediction."""
WHAT_IF = Source("asked in a lab", Standing.CHOSEN)


@dataclass(frozen=True)
class Prediction:
    """What the mechanics predicts for one club.

    frequency_cpm: first bending frequency, clamped as the club's assembly says, cycles per minute. flex_scale: the
    shaft's flexes at this club. total_mass_g; balance_point_in: from the cap end; swingweight_oz_in; moi_kg_cm2: about
    the cap end. bore: what a taper-tip head off its BBGL reference is worth; None where it is not off. need: what it
    needs for the swingweight that is wanted; None where none is.
    """

    frequency_cpm: float
    flex_scale: FlexScale
    total_mass_g: float
    balance_point_in: float
    swingweight_oz_in: float
    moi_kg_cm2: float
    bore: BoreWorth | None = None
    need: SwingweightNeed | None = None


@dataclass(frozen=True)
class ClubBuild:
    """One club: its plan, and what the mechanics predicts for it.

    predicted: None where the shaft's walls or stations are not known. The attributes named after a prediction's raise
    WallsUnknown with the reason, :attr:`no_prediction`, where there is none. wanted_swingweight: on the letter scale;
    None where none is.
    """

    plan: TrimPlan
    assembly: Assembly
    predicted: Prediction | None
    wanted_swingweight: str | None = None

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
    def need(self) -> SwingweightNeed | None:
        """What it needs for the swingweight that is wanted; None where none is, or where nothing is predicted."""
        return None if self.predicted is None else self.predicted.need

    @property
    def notes(self) -> tuple[Note, ...]:
        """The plan's notes, and what the mechanics adds to them, or why it adds nothing."""
        if self.predicted is None:
            return (*self.plan.notes, *self._notes_without())
        added = (None if each is None else each.note for each in (self.bore, self.need))
        return (*self.plan.notes, *(note for note in added if note is not None))

    def _notes_without(self) -> Iterator[Note]:
        text = f"No prediction: {self.no_prediction}. The rules alone give the cuts."
        yield Note(Severity.NOTE, text, "measure them or ask for them", NO_PREDICTION)
        if self.wanted_swingweight is not None:
            text = (
                f"Swingweight {self.wanted_swingweight} is wanted; without a prediction the weight that it needs "
                "cannot be told."
            )
            step = "put the club together dry, read its swingweight, and find the weight by trial before gluing"
            yield Note(Severity.NOTE, text, step, NO_PREDICTION)

    @property
    def flex_text(self) -> str:
        """Where its frequency lies between the shaft's flexes, in words."""
        return self.flex_scale.say(self.frequency_cpm)

    @property
    def swingweight(self) -> str:
        """Swingweight on the letter scale, for example ``'D1.8'``."""
        return swingweight_words(self.swingweight_oz_in)


def club_frequencies_cpm(plan: TrimPlan, assembly: Assembly, tip_trim_in: Sequence[float]) -> tuple[float, ...]:
    """Return the first bending frequency (cpm) of a planned club for each of several tip trims (in), all else equal.

    The butt trim makes up the difference. Raises ModelError for a tip trim that the shaft does not allow.
    """
    changes = np.subtract(tip_trim_in, plan.tip_trim_in)[:, None]
    cpm = frequencies_cpm([card_of(plan, assembly)], {"tip_trim_in": changes})
    return tuple(cpm[:, 0].tolist())


def anchor_trims(plan: TrimPlan) -> dict[str, float]:
    """Return the tip trim (in) of each of the shaft's flexes at a planned club, corrected for its bore.

    A flex is left out where the shaft cannot be cut to it at this club: too short, too little parallel tip, or a pulled
    shaft with more off its tip already.
    """
    wanted, schedule = plan.wanted, plan.wanted.table
    if not isinstance(schedule, TrimSchedule):
        return {wanted.shaft.flexes[0]: 0.0}
    bore = bbgl_correction_in(wanted.bbgl_in, schedule.bbgl_reference_in(plan.equivalent))
    off = wanted.tip_cut_in
    trims = {flex: schedule.trim_in(plan.equivalent, FlexPlace.at(flex)) + bore - off for flex in schedule.flexes}
    longest = min(plan.raw_length_in - plan.cut_length_in, most_tip_trim_in(wanted.head, wanted.shaft))
    return {flex: trim for flex, trim in trims.items() if 0 <= trim <= longest + 1e-9}


def on_whole_shaft(plan: TrimPlan) -> TrimPlan:
    """Return a planned club on a pulled shaft as it would be cut from that shaft as bought; any other as it is.

    A pulled shaft has lost its softer flexes; the whole one has them all, and is as heavy for its kind.
    """
    if plan.wanted.pulled is None:
        return plan
    new = on_new_shaft(card_of(plan))
    wanted = replace(new.wanted, in_hand=ShaftInHand(mass_g=new.raw_mass_g))
    return replace(plan, wanted=wanted, raw_length_in=new.raw_length_in, tip_trim_in=new.tip_trim_in)


def unstepped_card(plan: TrimPlan, assembly: Assembly) -> BenchCard:
    """Return the card of a club on its own raw length, as heavy for its length; of an unstepped one the card it has.

    Raises TrimRefused if the rules refuse the club without its steps.
    """
    card = card_of(plan, assembly)
    return on_other_raw_length(card, plan_club(plan.wanted.stepped(0))) if plan.wanted.soft_steps else card


def flex_scale(plan: TrimPlan, assembly: Assembly) -> FlexScale | None:
    """Return the shaft's flexes at a planned club (cpm): the same club cut to each of them, as its tables mean it.

    A pulled shaft is compared with the whole one. A flex that this head's bore would need less than no tip trim for is
    anchored by the head at the schedule's BBGL reference, cut by the schedule; a taper tip by the unstepped club, at
    its BBGL reference if the head is off it. None if the club can be cut to none of them. Raises ModelError if a
    frequency cannot be computed.
    """
    if isinstance(plan.wanted.table, TrimSchedule):
        whole = on_whole_shaft(plan)
        trims = anchor_trims(whole)
        reached = club_frequencies_cpm(whole, assembly, tuple(trims.values())) if trims else ()
        cpm = dict(zip(trims, reached, strict=True))
        below = _below_the_tip(whole, card_of(whole, assembly))
        if below:
            softer = zip(below, frequencies_cpm(list(below.values())), strict=True)
            cpm = {flex: float(f) for flex, f in softer if not cpm or f < min(cpm.values())} | cpm
    else:
        meant = unstepped_card(plan, assembly)
        bore = taper_bore(meant.wanted, plan.equivalent, meant.cut_length_in)
        if bore is not None and bore.counts(plan.wanted.practice):
            meant = at_bbgl(meant, bore.reference_in)
        cpm = {plan.wanted.shaft.flexes[0]: frequency_cpm(meant)}
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


def finished_club(club: ClubBuild) -> ClubBuild:
    """Return the club as it should measure: with the tip weight in that its wanted swingweight needs.

    The club itself where none is needed, where it would be more than a tip weight, or where nothing is predicted.
    Raises ModelError if it cannot be computed.
    """
    if (need := club.need) is None or abs(need.add_g) < NO_WEIGHT_G:
        return club
    weight_g = club.assembly.tip_weight_g + need.add_g
    if weight_g > MOST_TIP_WEIGHT_G:
        return club
    return build_club(club.plan, replace(club.assembly, tip_weight_g=weight_g), club.wanted_swingweight, need.tolerance)


def build_club(
    plan: TrimPlan,
    assembly: Assembly | None = None,
    wanted_swingweight: str | None = None,
    swingweight_tolerance: SwingweightTolerance | None = None,
) -> ClubBuild:
    """Answer what a planned club will measure: frequency, flex, mass, balance point, swingweight, MOI.

    wanted_swingweight: on the letter scale, for what the club needs for it. swingweight_tolerance: how far off it may
    be; None: as usual. A shaft whose walls or stations nobody
    knows gives no prediction. Raises ModelError if the mechanics cannot be computed for a shaft that is known.
    """
    assembly = assembly or Assembly()
    known = not plan.wanted.shaft.unknown
    predicted = _predicted(plan, assembly, wanted_swingweight, swingweight_tolerance) if known else None
    return ClubBuild(plan, assembly, predicted, wanted_swingweight)


def _predicted(
    plan: TrimPlan, assembly: Assembly, wanted_swingweight: str | None, tolerance: SwingweightTolerance | None
) -> Prediction:
    card = card_of(plan, assembly)
    own = frequency_cpm(card)
    scale = flex_scale(plan, assembly) or FlexScale((str(plan.flex),), (own,))
    mass = balance(card_components(card))
    return Prediction(
        frequency_cpm=own,
        flex_scale=scale,
        total_mass_g=float(mass.total_mass_g),
        balance_point_in=float(mass.balance_point_in),
        swingweight_oz_in=float(mass.swingweight_oz_in),
        moi_kg_cm2=float(mass.moi_kg_cm2),
        bore=bore_worth(card, plan, scale),
        need=None if wanted_swingweight is None else swingweight_need(card, wanted_swingweight, tolerance),
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
