"""One club as it is cut and assembled: the parts in hand as they were measured, the cuts, and the clamp.

A plan is what the rules say. A card is what lies beside the saw: somebody may have copied it wrong, and the parts on it
may not be the ones that were ordered. Everything the mechanics predicts for a club is computed from its card.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from trimkit.club.profiles import profile_of
from trimkit.mechanics.balance import Component, club_components
from trimkit.mechanics.clamped import CLAMP_IN
from trimkit.mechanics.profile import Profile
from trimkit.parts.components import Shaft, TipKind
from trimkit.parts.errors import ModelError, WallsUnknown
from trimkit.trim.bore import most_tip_trim_in
from trimkit.trim.butt import extension_mass_g
from trimkit.trim.plan import TrimPlan
from trimkit.trim.wanted import WantedClub


@dataclass(frozen=True)
class Assembly:
    """What else is in the club, and how it is clamped.

    Masses in g, 0 where nobody weighed them. clamp_in: length of the clamp from the cap end, in (5 in: from memory).
    root_spring_n_m_per_rad: rotational stiffness of the clamp; None for a rigid one.
    """

    ferrule_mass_g: float = 0.0
    tape_mass_g: float = 0.0
    epoxy_mass_g: float = 0.0
    tip_weight_g: float = 0.0
    clamp_in: float = CLAMP_IN
    root_spring_n_m_per_rad: float | None = None


@dataclass(frozen=True)
class BenchCard:
    """One club before the saw.

    wanted: the head, shaft and grip in hand as measured, and what was ordered. tip_trim_in, cut_length_in: as written
    on the card. raw_length_in: of the shaft in hand, measured. extension_in: of the butt, inside the cut length.
    raw_mass_g: of the shaft in hand, weighed; None if nobody did. written_swingweight_oz_in: the swingweight that
    somebody worked out for this club; None if nobody did. assembly: what else is in the club, and its clamp.
    """

    wanted: WantedClub
    tip_trim_in: float
    cut_length_in: float
    raw_length_in: float
    extension_in: float = 0.0
    raw_mass_g: float | None = None
    written_swingweight_oz_in: float | None = None
    assembly: Assembly = Assembly()

    @property
    def club(self) -> str:
        """The club that is engraved on the head in hand."""
        return self.wanted.head.club

    @property
    def butt_trim_in(self) -> float:
        """What is left over at the butt, in; below 0 the shaft does not reach."""
        return self.raw_length_in + self.extension_in - self.tip_trim_in - self.cut_length_in

    @property
    def playing_length_in(self) -> float:
        """The playing length that this cut length gives with this head and grip, in."""
        return self.cut_length_in + self.wanted.bbgl_in + self.wanted.grip.cap_thickness_in

    @property
    def profile(self) -> Profile:
        """The raw shaft in hand: the catalogue's profile, scaled to the mass if somebody weighed it.

        Raises ModelError if no shaft of this description can weigh that.
        """
        return profile_of(_shaft_in_hand(self), self.described_length_in)

    @property
    def described_length_in(self) -> float:
        """The raw length that the shaft's description is taken at, in: a taper tip's own, a parallel tip's as bought.

        A short parallel-tip piece is the lower part of that description: what is missing is missing at the butt. A
        pulled shaft is described as the piece it is.
        """
        shaft, new = self.wanted.shaft, self.wanted.pulled is None
        return self.raw_length_in if shaft.tip_kind is TipKind.TAPER and new else shaft.raw_length_in


def card_of(plan: TrimPlan, assembly: Assembly | None = None) -> BenchCard:
    """Return the card of a plan, copied exactly, with the mass of the shaft in hand; no swingweight worked out."""
    in_hand = plan.wanted.in_hand
    return BenchCard(
        wanted=plan.wanted,
        tip_trim_in=plan.tip_trim_in,
        cut_length_in=plan.cut_length_in,
        raw_length_in=plan.raw_length_in,
        extension_in=plan.extension_in,
        raw_mass_g=None if in_hand is None else in_hand.mass_g,
        assembly=assembly or Assembly(),
    )


def on_other_raw_length(card: BenchCard, plan: TrimPlan) -> BenchCard:
    """Return the card of another plan of the same club, its shaft as heavy for its length as the one on ``card``."""
    return _as_heavy(replace(card_of(plan, card.assembly), raw_mass_g=None), card)


def _as_heavy(other: BenchCard, card: BenchCard) -> BenchCard:
    """Return a card whose shaft is not weighed with one as heavy for its description as that on ``card``."""
    if card.raw_mass_g is None:
        return other
    return replace(other, raw_mass_g=catalogue_mass_g(other) * card.raw_mass_g / catalogue_mass_g(card))


def with_tip_weight(card: BenchCard, tip_weight_g: float) -> BenchCard:
    """Return the same club with a tip weight of so many grams in, in place of the one it has; raises nothing."""
    return replace(card, assembly=replace(card.assembly, tip_weight_g=tip_weight_g))


def on_new_shaft(card: BenchCard, raw_length_in: float | None = None) -> BenchCard:
    """Return the same club cut from a new shaft of its kind, as heavy for its length as the one in hand.

    raw_length_in: of the new one, in; None: at which the one in hand was bought. What is off the tip of a pulled shaft
    already comes off the new one as well; an extension makes up what it does not reach.
    """
    pulled = card.wanted.pulled
    raw = raw_length_in or (card.raw_length_in if pulled is None else pulled.raw_length_in)
    tip = card.tip_trim_in + card.wanted.tip_cut_in
    new = replace(
        card,
        wanted=card.wanted.as_new,
        tip_trim_in=tip,
        raw_length_in=raw,
        extension_in=max(0.0, tip + card.cut_length_in - raw),
        raw_mass_g=None,
    )
    return _as_heavy(new, card)


def trim_limits_in(card: BenchCard) -> tuple[float, float]:
    """Return the least and the most tip trim (in) that this club's shaft allows at the card's cut length.

    A taper tip allows none. A parallel tip: from 0 to what still fills the bore with parallel tube, and to what the
    raw length leaves: min(tip section - bore depth, maker's limit where known, raw + extension - cut length). Derived.
    Raises ModelError if the shaft does not reach even untrimmed.
    """
    left = card.raw_length_in + card.extension_in - card.cut_length_in
    if left < -1e-9:
        raise ModelError(
            f"{card.club}: a cut length of {card.cut_length_in:g} in from a raw length of {card.raw_length_in:g} in",
            "at most the raw length",
            "take a longer shaft or agree on a shorter club",
        )
    if card.wanted.shaft.tip_kind is TipKind.TAPER:
        return 0.0, 0.0
    most = min(most_tip_trim_in(card.wanted.head, card.wanted.shaft), left)
    if most < 0:
        raise ModelError(
            f"{card.club}: a parallel tip of {card.wanted.shaft.tip_section_in:g} in for a bore "
            f"{card.wanted.head.bore_depth_in:g} in deep",
            "a tip that fills the bore",
            "take a shaft with a longer parallel tip",
        )
    return 0.0, max(most, 0.0)


def catalogue_mass_g(card: BenchCard) -> float:
    """Return what the raw shaft should weigh (g) by its description, at the raw length on the card.

    A taper family by its profile at that length, a short parallel-tip piece or a pulled shaft by its profile up to it.
    Raises ModelError for a length that no such shaft can have, and WallsUnknown where the profile is not known.
    """
    shaft, length = card.wanted.shaft, card.raw_length_in
    if shaft.tip_kind is TipKind.TAPER and card.wanted.pulled is None:
        return float(profile_of(shaft, length).mass_g)
    if not length < shaft.raw_length_in:
        if shaft.raw_mass_g is None:
            raise WallsUnknown(f"{shaft.unknown}, and nobody weighed it", "its mass in g", "weigh it")
        return shaft.raw_mass_g
    return float(profile_of(shaft, shaft.raw_length_in).section(0.0, length).mass_g)


def _shaft_in_hand(card: BenchCard) -> Shaft:
    shaft = card.wanted.shaft
    if card.raw_mass_g is None or shaft.raw_mass_g is None:
        return shaft
    return replace(shaft, raw_mass_g=shaft.raw_mass_g * card.raw_mass_g / catalogue_mass_g(card))


def card_components(card: BenchCard) -> tuple[Component, ...]:
    """Return the parts of a club as bodies along the shaft, from the cap end.

    Raises ModelError for lengths that are not on the shaft.
    """
    wanted, assembly, cap = card.wanted, card.assembly, card.wanted.grip.cap_thickness_in
    parts = club_components(
        card.profile,
        tip_trim_in=card.tip_trim_in,
        cut_length_in=card.cut_length_in - card.extension_in,
        bbgl_in=wanted.bbgl_in,
        bore_depth_in=wanted.head.bore_depth_in,
        cap_thickness_in=cap + card.extension_in,
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
    if not card.extension_in:
        return parts
    insert = wanted.practice.extension_insert_in
    mass = extension_mass_g(wanted.shaft, card.extension_in, insert) or 0.0  # never None: the profile is known here
    return (*parts, Component("extension", mass, cap + (card.extension_in + insert) / 2))
