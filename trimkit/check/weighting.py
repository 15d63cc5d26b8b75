"""From a wanted swingweight or MOI back to grams; and frequency and swingweight met at once.

A heavier head lowers the frequency and a trimmed shaft weighs less, so each target disturbs the other: cut and weight
are solved in turn until neither changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from trimkit.check.inverse import TargetTrim, trim_for
from trimkit.club.card import BenchCard, card_components, with_tip_weight
from trimkit.club.clamp import frequency_cpm
from trimkit.mechanics.balance import balance, mass_for_moi, mass_for_swingweight, swingweight_words
from trimkit.parts.errors import ModelError

MOST_ROUNDS = 60
EXACT_G = 1e-9
EXACT_CPM = 1e-6


class WeighedPart(StrEnum):
    """Which mass to find: the head's (another head, or this one ground) or that of a tip weight in the shaft."""

    HEAD = "head"
    TIP_WEIGHT = "tip weight"


@dataclass(frozen=True)
class WeightNeeded:
    """The mass that meets a target: mass_g of the part, and change_g from what it weighs now (+ heavier), both in g."""

    part: WeighedPart
    mass_g: float
    change_g: float


def weight_for_swingweight(
    card: BenchCard, target_oz_in: float, part: WeighedPart = WeighedPart.TIP_WEIGHT
) -> WeightNeeded:
    """Answer how heavy the head or a tip weight must be for a wanted swingweight, cuts as on the card.

    target_oz_in: first moment about 14 in, oz in (:func:`trimkit.mechanics.balance.swingweight_oz_in` reads letters).
    m = (S - sum of the others' moments) / (x - 14 in). Raises ModelError if the mass would have to be negative.
    """
    mass = float(mass_for_swingweight(card_components(card), part.value, target_oz_in))
    return WeightNeeded(part, mass, mass - _has(card, part))


def weight_for_moi(card: BenchCard, target_kg_cm2: float, part: WeighedPart = WeighedPart.TIP_WEIGHT) -> WeightNeeded:
    """Answer how heavy the head or a tip weight must be for a wanted MOI, cuts as on the card.

    target_kg_cm2: second moment about the cap end, kg cm^2. m = (MOI - I - sum of the others' second moments) / x^2;
    the head's own inertia is taken as unchanged. Raises ModelError if the mass would have to be negative.
    """
    mass = float(mass_for_moi(card_components(card), part.value, target_kg_cm2))
    return WeightNeeded(part, mass, mass - _has(card, part))


def _has(card: BenchCard, part: WeighedPart) -> float:
    return card.wanted.head.head_mass_g if part is WeighedPart.HEAD else card.assembly.tip_weight_g


@dataclass(frozen=True)
class BothMet:
    """A cut and a tip weight that meet a frequency and a swingweight, or come as near as the shaft allows.

    trim: the cut, with its limit if the frequency cannot be reached; tip_weight_g: g. frequency_cpm, swingweight_oz_in:
    computed again for the finished club. rounds: how often cut and weight were solved in turn.
    """

    trim: TargetTrim
    tip_weight_g: float
    frequency_cpm: float
    swingweight_oz_in: float
    target_cpm: float
    target_oz_in: float
    rounds: int

    @property
    def met(self) -> bool:
        """Whether both targets are met."""
        return self.trim.met

    @property
    def swingweight(self) -> str:
        """The swingweight on the letter scale."""
        return swingweight_words(self.swingweight_oz_in)


def trim_and_weigh(card: BenchCard, target_cpm: float, target_oz_in: float) -> BothMet:
    """Answer which tip trim and which tip weight give one club its frequency and its swingweight together.

    target_cpm: cpm. target_oz_in: oz in. The tip weight moves the frequency, the cut moves the swingweight: solve
    f(trim; weight) = target for the trim and S(weight; trim) = target for the weight in turn, until neither changes by
    more than 1e-6 cpm and 1e-9 g. Where the frequency is out of reach the swingweight is met and the trim says what is
    missing. For the frequency the tip weight sits at the head's centre, for the balance at the shaft's lower end.
    Raises ModelError if the weight would have to be negative, or if the two do not settle.
    """
    weight = card.assembly.tip_weight_g
    for count in range(1, MOST_ROUNDS + 1):
        trim = trim_for(with_tip_weight(card, weight), target_cpm)
        cut = replace(card, tip_trim_in=trim.tip_trim_in)
        needed = weight_for_swingweight(cut, target_oz_in).mass_g
        finished = with_tip_weight(cut, needed)
        cpm = frequency_cpm(finished)
        settled = abs(needed - weight) <= EXACT_G and abs(cpm - trim.frequency_cpm) <= EXACT_CPM
        weight = needed
        if settled:
            moment = float(balance(card_components(finished)).swingweight_oz_in)
            return BothMet(trim, weight, cpm, moment, target_cpm, target_oz_in, count)
    raise ModelError(
        f"{card.club}: cut and weight still move after {MOST_ROUNDS} rounds",
        "targets that settle",
        "choose a frequency and a swingweight nearer to the club's own",
    )


def weigh_set(
    cards: Sequence[BenchCard], target_cpm: Sequence[float], target_oz_in: float
) -> tuple[BothMet | ModelError, ...]:
    """Return :func:`trim_and_weigh` for every club of a set; a club that cannot be weighted gets its refusal instead.

    Raises ModelError for lists of unequal length.
    """
    if len(cards) != len(target_cpm):
        raise ModelError(f"{len(cards)} clubs and {len(target_cpm)} targets", "one target per club", "give one each")

    def one(card: BenchCard, cpm: float) -> BothMet | ModelError:
        try:
            return trim_and_weigh(card, cpm, target_oz_in)
        except ModelError as error:
            return error

    return tuple(one(card, cpm) for card, cpm in zip(cards, target_cpm, strict=True))
