"""A whole set: a plan for every club that can be built, and every reason for each club that cannot."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from trimkit.parts.errors import TrimRefused
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.refusals import RefusedTogether, faults_of
from trimkit.trim.wanted import WantedClub


@dataclass(frozen=True)
class ClubRefused:
    """A club that cannot be built as wanted, with every reason."""

    wanted: WantedClub
    faults: tuple[TrimRefused, ...]


@dataclass(frozen=True)
class SetPlan:
    """The clubs of a set in the order's order, each a plan or a refusal."""

    clubs: tuple[TrimPlan | ClubRefused, ...]

    @property
    def plans(self) -> tuple[TrimPlan, ...]:
        """The plans of the clubs that can be built."""
        return tuple(club for club in self.clubs if isinstance(club, TrimPlan))

    @property
    def refusals(self) -> tuple[ClubRefused, ...]:
        """The clubs that cannot be built."""
        return tuple(club for club in self.clubs if isinstance(club, ClubRefused))

    def every_plan(self) -> tuple[TrimPlan, ...]:
        """Return the plans if every club has one; raises TrimRefused (RefusedTogether for several faults) if not."""
        faults = tuple(
            TrimRefused(f"{refused.wanted.head.name}: {fault.given}", fault.allowed, fault.next_step, fault.place)
            for refused in self.refusals
            for fault in refused.faults
        )
        if len(faults) > 1:
            raise RefusedTogether(faults)
        if faults:
            raise faults[0]
        return self.plans


def plan_set(clubs: Iterable[WantedClub]) -> SetPlan:
    """Plan every club of a set; one that is refused does not keep the others from being planned. Raises nothing."""
    return SetPlan(tuple(_plan_or_refusal(wanted) for wanted in clubs))


def _plan_or_refusal(wanted: WantedClub) -> TrimPlan | ClubRefused:
    try:
        return plan_club(wanted)
    except TrimRefused as error:
        return ClubRefused(wanted, faults_of(error))
