"""What each step of a stepped steel shaft gives when the tip is cut: the cut's change of frequency, shared out by step.

A cut at the tip, at one playing length, moves every step towards the head by as much. Here one step at a time is moved
while the others stay, and the frequency is computed again.

Standing: derived, by :mod:`trimkit.mechanics.beam`. The shares depend on the shaft, the head and the clamp. Half an
inch off the tip of the evening class's 7-iron (invented parts) gives 3.49 cpm. The step nearest the head gives 0.7 % of
that; from the second to the last one that stays below the clamp it rises from 2 to 10 %.
Steps 1, 8 and 14 of three irons, each moved alone, agree with finite elements by scikit-fem within 1e-7 cpm
(`tests/check/test_stepshares.py`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from trimkit.club.card import BenchCard
from trimkit.club.clamp import frequencies_cpm
from trimkit.mechanics.profile import SAME_PLACE_IN, Profile
from trimkit.parts.components import Material, TipKind
from trimkit.parts.errors import ModelError
from trimkit.parts.units import say_in


@dataclass(frozen=True)
class StepShare:
    """What one step gives.

    number: counted from the head, from 1. above_tip_in: from the cut tip to the step, before it moves, in.
    below_in, above_in: outer diameter below and above it, in. in_clamp: whether it lies in the clamp before and after,
    so that it gives nothing. change_cpm: of the frequency, with this step alone moved. fraction: of the whole change.
    """

    number: int
    above_tip_in: float
    below_in: float
    above_in: float
    in_clamp: bool
    change_cpm: float
    fraction: float


@dataclass(frozen=True)
class StepShares:
    """What a tip cut gives, by step.

    club: engraved on the head. cut_in: what comes off the tip, in. before_cpm: the frequency before it. steps: from the
    head up. whole_cpm: the change by the whole cut at the same playing length. shorter_cpm: what comes on top if
    nothing is left longer at the butt for it, so that the club is that much shorter; it belongs to no step.
    """

    club: str
    cut_in: float
    before_cpm: float
    steps: tuple[StepShare, ...]
    whole_cpm: float
    shorter_cpm: float

    @property
    def sum_cpm(self) -> float:
        """The steps' single shares added up, cpm."""
        return math.fsum(step.change_cpm for step in self.steps)

    @property
    def together_cpm(self) -> float:
        """What the steps give together beyond their single shares, cpm: of second order in the cut."""
        return self.whole_cpm - self.sum_cpm


def step_shares(card: BenchCard, cut_in: float = 0.5) -> StepShares:
    """Answer what each step of a club's shaft gives when ``cut_in`` (in) more comes off its tip.

    card: of a club on a stepped steel shaft with a parallel tip. cut_in: below 0 for less off the tip. With f(x1, ...,
    xn) the frequency at the steps' places above the cut tip, and d the cut,

        share of step i = f(x1, ..., xi - d, ..., xn) - f(x1, ..., xn)
        whole = f(x1 - d, ..., xn - d) - f(x1, ..., xn)

    The mass of the tube moves with its step. Raises ModelError for a taper tip, graphite or a shaft without a step, for
    a cut of 0, for one that takes a step past its neighbour, and for one that this club does not allow.
    """
    _refuse_other_shafts(card)
    profile = card.profile
    steps = [number for number in range(1, profile.edges_in.size - 1) if _is_step(profile, number)]
    least = min((float(b - a) for a, b in pairwise(profile.edges_in)), default=0.0)
    if not steps or not 0 < abs(cut_in) < least:
        given = f"a cut of {say_in(cut_in) if math.isfinite(cut_in) else cut_in}" if steps else "a shaft without a step"
        raise ModelError(
            f"{card.club}: {given}",
            f"a cut that is not 0 and less than the shortest piece of tube, {say_in(least)}",
            "take a smaller cut, or a shaft with steps",
        )
    cut = replace(card, tip_trim_in=card.tip_trim_in + cut_in)
    shorter = replace(cut, cut_length_in=cut.cut_length_in - cut_in)
    moved = [_moved(profile, number, cut_in) for number in steps]
    row = [card, cut, shorter, *(card for _ in moved)]
    before, whole, short, *each = frequencies_cpm(row, profiles=[profile] * 3 + moved).tolist()
    clamp_edge = card.cut_length_in + card.wanted.grip.cap_thickness_in - card.assembly.clamp_in
    shares = []
    for count, (number, cpm) in enumerate(zip(steps, each, strict=True), start=1):
        place = float(profile.edges_in[number]) - card.tip_trim_in
        shares.append(
            StepShare(
                number=count,
                above_tip_in=place,
                below_in=float(profile.outer_high_in[number - 1]),
                above_in=float(profile.outer_low_in[number]),
                in_clamp=min(place, place - cut_in) >= clamp_edge,
                change_cpm=cpm - before,
                fraction=(cpm - before) / (whole - before),
            )
        )
    return StepShares(card.club, cut_in, before, tuple(shares), whole - before, short - whole)


def _refuse_other_shafts(card: BenchCard) -> None:
    shaft = card.wanted.shaft
    if shaft.material is not Material.STEEL or shaft.tip_kind is TipKind.TAPER:
        kind = "taper tip" if shaft.material is Material.STEEL else shaft.material.value
        raise ModelError(
            f"{card.club}: shaft {shaft.name!r} ({kind})",
            "a stepped steel shaft with a parallel tip, whose tip is cut",
            "choose a club on such a shaft",
        )


def _is_step(profile: Profile, edge: int) -> bool:
    """Whether the tube changes at an edge."""
    below = profile.ei_high_n_m2[edge - 1], profile.mass_high_g_per_m[edge - 1]
    return below != (profile.ei_low_n_m2[edge], profile.mass_low_g_per_m[edge])


def _moved(profile: Profile, edge: int, cut_in: float) -> Profile:
    """The profile with the change of tube at one edge nearer the tip."""
    edges = np.array(profile.edges_in)
    first = abs(edges[edge] - profile.tip_section_in) <= SAME_PLACE_IN
    edges[edge] -= cut_in
    return replace(profile, edges_in=edges, tip_section_in=profile.tip_section_in - cut_in * first)
