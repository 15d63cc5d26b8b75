"""The swingweight that is wanted for a club: how far off it is, the grams that make it up, and what they do to the cpm.

The letter scale is from memory, unverified (:mod:`trimkit.mechanics.balance`); the grams are derived.
"""

from __future__ import annotations

from dataclasses import dataclass

from trimkit.club.card import BenchCard, card_components, with_tip_weight
from trimkit.club.clamp import frequency_cpm
from trimkit.club.order.tables import MOST_TIP_WEIGHT_G
from trimkit.club.shoptables import SHOP_LIMIT, ShopFile
from trimkit.mechanics.balance import POINT_OZ_IN, balance, mass_for_swingweight, swingweight_oz_in, swingweight_words
from trimkit.parts.errors import ModelError
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_number
from trimkit.trim.steps import Note, Severity

SWINGWEIGHT_TOLERANCE_POINTS = 1.0
"""How far a swingweight may lie off what it should be, points of the letter scale; a shop sets its own."""
SWINGWEIGHT_TOLERANCE_SOURCE = Source("one point of the letter scale", Standing.FROM_MEMORY)


@dataclass(frozen=True)
class SwingweightTolerance:
    """How far a swingweight may lie off what it should be, points of the letter scale, and where that comes from."""

    points: float = SWINGWEIGHT_TOLERANCE_POINTS
    source: Source = SWINGWEIGHT_TOLERANCE_SOURCE


def swingweight_tolerance(shop: ShopFile | None) -> SwingweightTolerance:
    """Return the shop's own tolerance, or the usual one where it has none."""
    own = None if shop is None else shop.tolerances.swingweight_points
    return SwingweightTolerance() if own is None else SwingweightTolerance(own, SHOP_LIMIT)


NO_WEIGHT_G, _NO_POINTS = 0.05, 0.05
"""What reads 0.0 g on the scale, or 0.0 points, is none."""


@dataclass(frozen=True)
class SwingweightNeed:
    """What one club needs for its wanted swingweight.

    wanted: on the letter scale. points_off: of the club as ordered, + heavier than wanted. add_g: tip weight to add, g;
    below 0: to take out of the tip weight that the order puts in. head_too_heavy_g: by how much the head is too heavy
    where no tip weight is left to take out, else 0. swingweight_oz_in, frequency_cpm: with ``add_g`` in.
    beyond_tolerance: whether the club as ordered is further off than the shop allows, which is ``tolerance``.
    """

    wanted: str
    points_off: float
    add_g: float
    head_too_heavy_g: float
    swingweight_oz_in: float
    frequency_cpm: float
    beyond_tolerance: bool
    tolerance: SwingweightTolerance = SwingweightTolerance()

    @property
    def swingweight(self) -> str:
        """The swingweight with ``add_g`` in, on the letter scale."""
        return swingweight_words(self.swingweight_oz_in)

    @property
    def said(self) -> str:
        """How far off it is and what makes it up, in words without the club's name."""
        off = f"{say_number(abs(self.points_off), 1)} points {'heavier' if self.points_off > 0 else 'lighter'} than "
        said = [f"{off}{self.wanted}" if abs(self.points_off) >= _NO_POINTS else f"{self.wanted} as wanted"]
        if abs(self.add_g) >= NO_WEIGHT_G:
            how = "more" if self.add_g > 0 else "less"
            makes_up = "make up for it" if self.head_too_heavy_g < NO_WEIGHT_G else "make up for a part of it"
            grams = f"{say_number(abs(self.add_g), 1)} g {how} tip weight {makes_up}"
            said.append(f"{grams}, at {self.frequency_cpm:.1f} cpm")
        if self.head_too_heavy_g >= NO_WEIGHT_G:
            said.append(f"the head is {say_number(self.head_too_heavy_g, 1)} g too heavy")
        return "; ".join(said)

    @property
    def note(self) -> Note | None:
        """The note for the plan if it is beyond the tolerance, else None."""
        if not self.beyond_tolerance:
            return None
        if self.head_too_heavy_g >= NO_WEIGHT_G:
            step = "take a lighter head or a heavier grip, or agree with the client on the swingweight"
        elif self.add_g > MOST_TIP_WEIGHT_G:
            step = "that is more than a tip weight: take a heavier head, or agree with the client on the swingweight"
        else:
            step = f"change this club's tip weight by {self.add_g:+.1f} g, or agree with the client on the swingweight"
        return Note(Severity.NOTE, f"Swingweight {self.said}.", step, self.tolerance.source)


def swingweight_need(card: BenchCard, wanted: str, tolerance: SwingweightTolerance | None = None) -> SwingweightNeed:
    """Answer what a club needs for a wanted swingweight, cuts as on the card.

    wanted: on the letter scale, for example ``'D1.5'``. tolerance: how far off it may be; None: as usual.
    m = (S - sum of the others' moments) / (x - 14 in) for the tip weight, at the shaft's lower end; where that is below
    0, for the head with no tip weight. For the frequency the weight sits at the head's centre. Derived. Raises
    ModelError if ``wanted`` is not on the scale, for a tolerance that is not above 0, and if the club cannot be
    computed.
    """
    tolerance = tolerance or SwingweightTolerance()
    if not tolerance.points > 0:
        raise ModelError(f"a tolerance of {tolerance.points} points", "more than 0", "state the shop's tolerance")
    target, in_it = swingweight_oz_in(wanted), card.assembly.tip_weight_g
    own = float(balance(card_components(card)).swingweight_oz_in)
    points_off = (own - target) / POINT_OZ_IN
    without = with_tip_weight(card, 0.0)
    least = float(balance(card_components(without)).swingweight_oz_in)
    if least > target:
        finished = without
        lighter = float(mass_for_swingweight(card_components(without), "head", target))
        too_heavy = card.wanted.head.head_mass_g - lighter
    else:
        finished = with_tip_weight(card, float(mass_for_swingweight(card_components(card), "tip weight", target)))
        too_heavy = 0.0
    return SwingweightNeed(
        wanted=wanted,
        points_off=points_off,
        add_g=finished.assembly.tip_weight_g - in_it,
        head_too_heavy_g=too_heavy,
        swingweight_oz_in=float(balance(card_components(finished)).swingweight_oz_in),
        frequency_cpm=frequency_cpm(finished),
        beyond_tolerance=abs(points_off) > tolerance.points + 1e-9,
        tolerance=tolerance,
    )
