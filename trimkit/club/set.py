"""The whole set of an order: every club planned by rule and predicted by mechanics, or none of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trimkit.club.club import ClubBuild, build_club
from trimkit.club.order.clubs import ClubOrder
from trimkit.club.order.order import Order
from trimkit.club.pulled import with_pulled
from trimkit.club.swingweight import swingweight_tolerance
from trimkit.club.trimroom import with_nearest
from trimkit.parts.components import TipKind
from trimkit.trim.equivalence import HeadLadder
from trimkit.trim.plan import ClubRefused, SetPlan, TrimPlan, plan_set
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import RawFamily
from trimkit.trim.wanted import WantedClub


@dataclass(frozen=True)
class SetBuild:
    """An order and its clubs, in the order they were ordered."""

    order: Order
    clubs: tuple[ClubBuild, ...]

    def club(self, name: str) -> ClubBuild:
        """Return the first club with this engraved name; raises KeyError naming the clubs there are."""
        for club in self.clubs:
            if club.plan.club == name:
                return club
        raise KeyError(f"no {name!r}; the clubs are {[club.plan.club for club in self.clubs]}")


def wanted_club(order: Order, club: ClubOrder) -> WantedClub:
    """Return one club of an order with everything the rules need to plan it; raises DataFileError for a bad table."""
    catalogue, spec = order.catalogue, order.spec(club)
    shaft = spec.shaft
    table: TrimSchedule | RawFamily
    if shaft.tip_kind is TipKind.TAPER:
        on_it = [each for each in order.clubs if order.spec(each).shaft.name == shaft.name]
        set_bbgl_in = float(np.median([each.bbgl_in for each in on_it]))
        table = RawFamily.from_rows(catalogue.raw_lengths, shaft, set_bbgl_in)
    else:
        table = TrimSchedule.from_rows(catalogue.schedule_rows, shaft)
    listed = catalogue.heads.get(club.head.name)
    wanted = WantedClub(
        head=club.head,
        shaft=shaft,
        grip=spec.grip,
        table=table,
        ladder=HeadLadder.from_rungs(catalogue.ladder_rungs, spec.ladder),
        flex=spec.flex,
        length=spec.length,
        soft_steps=spec.soft_steps,
        dry_fit=club.dry_fit,
        decisions=club.decisions,
        practice=order.practice,
        in_hand=club.in_hand,
        table_bbgl_in=None if listed is None else listed.bbgl_in,
    )
    in_hand = club.in_hand
    if in_hand is None or in_hand.pulled is None or in_hand.length_in is None:
        return wanted
    return with_pulled(wanted, in_hand.pulled, in_hand.length_in, in_hand.mass_g)


def plan_order(order: Order) -> SetPlan:
    """Plan every club of an order by the trade's rules; a refused club keeps its place among the planned ones.

    One that its pulled shaft cannot make says what the shaft can become instead.
    """
    planned = plan_set(wanted_club(order, club) for club in order.clubs)
    return SetPlan(tuple(with_nearest(club) if isinstance(club, ClubRefused) else club for club in planned.clubs))


def build_set(order: Order) -> SetBuild:
    """Plan and predict every club of an order.

    Raises TrimRefused, with every reason for every club, if a club cannot be cut as ordered: a set is built whole or
    not at all.
    """
    plans: tuple[TrimPlan, ...] = plan_order(order).every_plan()
    tolerance = swingweight_tolerance(order.shop)
    clubs = (
        build_club(plan, spec.assembly, spec.wanted_swingweight, tolerance)
        for plan, spec in zip(plans, order.specs, strict=True)
    )
    return SetBuild(order, tuple(clubs))
