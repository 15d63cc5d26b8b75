"""What the bench card says of each club: its cuts and targets, and the clubs that share a shaft, a flex and a grip."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass

from trimkit.club.club import ClubBuild, finished_club
from trimkit.club.set import SetBuild
from trimkit.mechanics.balance import POINT_OZ_IN, swingweight_oz_in
from trimkit.mechanics.clamped import CLAMP_IN
from trimkit.parts.components import Grip, Shaft, TipKind
from trimkit.parts.units import say_in
from trimkit.trim.flexplace import FlexPlace

NO_PREDICTION = "not predicted: the walls or the stiffness of this shaft are not known"
"""Why a dash stands in place of a predicted number."""


@dataclass(frozen=True)
class Group:
    """Neighbouring clubs of a set that share a shaft, a flex and a grip; raw_length_in: None where it differs, in."""

    shaft: Shaft
    flex: FlexPlace
    grip: Grip
    raw_length_in: float | None
    clubs: tuple[ClubBuild, ...]

    @property
    def taper(self) -> bool:
        """Whether its shaft has a taper tip."""
        return self.shaft.tip_kind is TipKind.TAPER


def groups(clubs: Iterable[ClubBuild]) -> tuple[Group, ...]:
    """Return the clubs of a set in groups of one shaft, flex and grip, each as long as the set's sequence allows."""

    def shared(club: ClubBuild) -> tuple[str, str, str]:
        return club.plan.wanted.shaft.name, str(club.plan.flex), club.plan.wanted.grip.name

    found = []
    for _, each in itertools.groupby(clubs, shared):
        members = tuple(each)
        plan, raw = members[0].plan, {round(club.plan.raw_length_in, 6) for club in members}
        one = members[0].plan.raw_length_in if len(raw) == 1 else None
        found.append(Group(plan.wanted.shaft, plan.flex, plan.wanted.grip, one, members))
    return tuple(found)


@dataclass(frozen=True)
class Target:
    """What a finished club should measure, with the weight to add in it; None where the mechanics cannot say.

    add_g: tip weight to add for the wanted swingweight, g, below 0 to take out; None if none is wanted. over_points:
    how far the club is over that swingweight all the same, points. frequency_cpm; flex: where it lies on its shaft's
    flexes; swingweight: letter and number; total_mass_g.
    """

    add_g: float | None = None
    over_points: float = 0.0
    frequency_cpm: float | None = None
    flex: str | None = None
    swingweight: str | None = None
    total_mass_g: float | None = None


def predicted(club: ClubBuild) -> ClubBuild | None:
    """Return the club if the mechanics predicts it, else None; the sheet asks here, and nowhere else."""
    return None if club.predicted is None else club


def target(club: ClubBuild) -> Target:
    """Return what a finished club should measure, with the tip weight in that its wanted swingweight needs."""
    known = predicted(club)
    if known is None:
        return Target()
    made = finished_club(known)
    reached = made.frequency_cpm, made.flex_text, made.swingweight, made.total_mass_g
    if (need := known.need) is None:
        return Target(None, 0.0, *reached)
    over = (made.swingweight_oz_in - swingweight_oz_in(need.wanted)) / POINT_OZ_IN
    return Target(made.assembly.tip_weight_g - known.assembly.tip_weight_g, max(0.0, over), *reached)


def targets(built: SetBuild) -> tuple[Target, ...]:
    """Return the targets of a set's clubs, in their sequence."""
    return tuple(target(club) for club in built.clubs)


def clamp_words(built: SetBuild) -> str:
    """Return how much of the butt is in the clamp for the cpm of the card; '' where no shop's own file says it.

    It is said where it is not the usual length, or where the order decides it against the shop's own.
    """
    own = None if built.order.shop is None else built.order.shop.clamp.clamp_in
    used = built.order.assembly.clamp_in
    if own is None or own == used == CLAMP_IN:
        return ""
    return f"{say_in(used)} of the butt in the clamp" + (
        "" if used == own else f", by the order; the shop's usual is {say_in(own)}"
    )


def wanted_swingweights(built: SetBuild) -> str:
    """Return the swingweight that is wanted for the set, in words where it differs from club to club; '' for none."""
    wanted = {club.wanted_swingweight for club in built.clubs if club.wanted_swingweight is not None}
    return "the swingweight wanted for each club" if len(wanted) > 1 else "".join(wanted)
