"""The bench card: what is about to be cut, number for number, and the parts in hand as they were measured.

A plan is what the rules say. A card is what stands on the paper beside the saw: it may have been copied wrong, and the
parts on it may not be the ones that were ordered.

Standing: what was measured or written on the card; masses by the catalogue's data, frequencies by the mechanics.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from trimkit.club.club import Assembly, profile_of, wanted_components
from trimkit.mechanics.balance import Component
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.profile import Profile
from trimkit.parts.components import Shaft, TipKind
from trimkit.parts.errors import ModelError
from trimkit.trim.plan import TrimPlan
from trimkit.trim.wanted import WantedClub


@dataclass(frozen=True)
class BenchCard:
    """One club as it lies on the bench, before the saw.

    wanted: the head, shaft and grip in hand as measured, and what was ordered. tip_trim_in, cut_length_in: as written
    on the card. raw_length_in: of the shaft in hand, measured. extension_in: of the butt, inside the cut length.
    raw_mass_g: of the shaft in hand, weighed; None if nobody did. written_swingweight_oz_in: the swingweight that
    somebody worked out for this club; None if nobody did.
    """

    wanted: WantedClub
    tip_trim_in: float
    cut_length_in: float
    raw_length_in: float
    extension_in: float = 0.0
    raw_mass_g: float | None = None
    written_swingweight_oz_in: float | None = None

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


def card_of(plan: TrimPlan) -> BenchCard:
    """Return the card of a plan, copied without a mistake; nothing weighed, no swingweight worked out."""
    return BenchCard(plan.wanted, plan.tip_trim_in, plan.cut_length_in, plan.raw_length_in, plan.extension_in)


def trim_limits_in(card: BenchCard) -> tuple[float, float]:
    """Return the least and the most tip trim (in) that this club's shaft allows at the card's cut length.

    A taper tip allows none. A parallel tip: from 0 to what still fills the bore with parallel tube, and to what the
    raw length leaves: min(tip section - bore depth, raw + extension - cut length). Derived; a maker's own limit may be
    lower. Raises ModelError if the shaft does not reach even untrimmed.
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
    most = min(card.wanted.shaft.tip_section_in - card.wanted.head.bore_depth_in, left)
    if most < 0:
        raise ModelError(
            f"{card.club}: a parallel tip of {card.wanted.shaft.tip_section_in:g} in for a bore "
            f"{card.wanted.head.bore_depth_in:g} in deep",
            "a tip that fills the bore",
            "take a shaft with a longer parallel tip",
        )
    return 0.0, max(most, 0.0)


def catalogue_mass_g(card: BenchCard) -> float:
    """Return what the raw shaft should weigh (g) by the catalogue; a taper family by its profile at the raw length."""
    shaft = card.wanted.shaft
    return (
        float(profile_of(shaft, _profile_length_in(card)).mass_g)
        if shaft.tip_kind is TipKind.TAPER
        else (shaft.raw_mass_g)
    )


def profile_in_hand(card: BenchCard) -> Profile:
    """Return the profile of the shaft in hand: the catalogue's, scaled to the mass that was weighed if one was.

    Raises ModelError if no shaft of this description can weigh that.
    """
    return profile_of(_shaft_in_hand(card), _profile_length_in(card))


def _shaft_in_hand(card: BenchCard) -> Shaft:
    shaft = card.wanted.shaft
    if card.raw_mass_g is None:
        return shaft
    return replace(shaft, raw_mass_g=shaft.raw_mass_g * card.raw_mass_g / catalogue_mass_g(card))


def _profile_length_in(card: BenchCard) -> float:
    shaft = card.wanted.shaft
    # A parallel tip shaft that is short was cut somewhere: its profile is the catalogue's, which end is a question.
    return card.raw_length_in if shaft.tip_kind is TipKind.TAPER else shaft.raw_length_in


def card_frequencies_cpm(cards: Sequence[BenchCard], assembly: Assembly) -> Floats:
    """Answer how many cycles per minute each card's club would make, one call of the mechanics for each shaft.

    Returns one frequency a card, cpm. Raises ModelError if a card's club cannot be.
    """
    found = np.empty(len(cards))
    groups: dict[int, tuple[Profile, list[int]]] = {}
    for number, card in enumerate(cards):
        profile = profile_in_hand(card)
        groups.setdefault(id(profile), (profile, []))[1].append(number)
    for profile, numbers in groups.values():
        own = [cards[number] for number in numbers]
        heads = [card.wanted.head for card in own]
        found[numbers] = first_frequency(
            profile,
            tip_trim_in=[card.tip_trim_in for card in own],
            cut_length_in=[card.cut_length_in - card.extension_in for card in own],
            bbgl_in=[card.wanted.bbgl_in for card in own],
            bore_depth_in=[head.bore_depth_in for head in heads],
            # An extension lies inside the clamp, as the cap does.
            cap_thickness_in=[card.wanted.grip.cap_thickness_in + card.extension_in for card in own],
            head_mass_g=[head.head_mass_g + assembly.tip_weight_g for head in heads],
            cg_height_in=[head.cg_height_in for head in heads],
            inertia_g_cm2=[head.inertia_g_cm2 for head in heads],
            clamp_in=assembly.clamp_in,
            root_spring_n_m_per_rad=assembly.root_spring_n_m_per_rad,
        ).frequency_cpm
    return found


def card_frequency_cpm(card: BenchCard, assembly: Assembly) -> float:
    """Return the frequency (cpm) of one card's club; raises as :func:`card_frequencies_cpm`."""
    return float(card_frequencies_cpm([card], assembly)[0])


def card_components(card: BenchCard, assembly: Assembly) -> tuple[Component, ...]:
    """Return the parts of a card's club as bodies along the shaft; raises ModelError for lengths not on the shaft."""
    return wanted_components(
        card.wanted,
        profile_in_hand(card),
        assembly,
        tip_trim_in=card.tip_trim_in,
        cut_length_in=card.cut_length_in,
        extension_in=card.extension_in,
    )
