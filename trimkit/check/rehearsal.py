"""A rehearsal of the double check: every planted mistake made once, and what the check made of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from trimkit.check.doublecheck import SetCheck, Verdict, double_check
from trimkit.check.planted import IRONS, TAPER, Cards, Planted, planted_mistakes
from trimkit.club.card import card_components, card_of
from trimkit.club.order import Order, shipped_order
from trimkit.club.set import plan_order
from trimkit.mechanics.balance import balance


@dataclass(frozen=True)
class Rehearsed:
    """What the double check made of one planted mistake.

    caught: whether a club that carries it was stopped. checks: the looks that saw it, in words. cause: the likely
    mistake it named. deviation_cpm: off the set's line, of the club furthest off; None where no club can be.
    false_alarms: clubs without the mistake that were stopped. check: everything.
    """

    planted: Planted
    caught: bool
    checks: tuple[str, ...]
    cause: str
    deviation_cpm: float | None
    false_alarms: tuple[str, ...]
    check: SetCheck


def rehearse(mistakes: tuple[Planted, ...] | None = None) -> tuple[Rehearsed, ...]:
    """Answer which bench mistakes the double check catches, by making each of them and running it.

    mistakes: those to make; all of :func:`planted_mistakes` by default. The demo orders are invented, so the table says
    what the check can do on plausible parts, not how often mistakes happen. Raises nothing of its own.
    """
    orders = {name: shipped_order(name) for name in (IRONS, TAPER)}
    right = {name: _right_cards(order) for name, order in orders.items()}
    return tuple(
        _rehearse(planted, right[planted.order], orders[planted.order])
        for planted in (planted_mistakes() if mistakes is None else mistakes)
    )


def _rehearse(planted: Planted, right: Cards, order: Order) -> Rehearsed:
    cards = right | dict(planted.plant(right))
    check = double_check(tuple(cards.values()), order.assembly)
    by_name = dict(zip(cards, check.clubs, strict=True))
    touched = [by_name[name] for name in planted.clubs]
    checks = [finding.check.value for club in touched for finding in club.findings]
    if check.whole_set:
        checks.append("the whole set's shift")
    deviations = [club.deviation_cpm for club in touched if club.deviation_cpm is not None]
    return Rehearsed(
        planted=planted,
        caught=any(club.verdict is not Verdict.CUT for club in touched),
        checks=tuple(dict.fromkeys(checks)),
        cause=next((club.cause for club in touched if club.cause), ""),
        deviation_cpm=max(deviations, key=abs, default=None),
        false_alarms=tuple(
            name for name, club in by_name.items() if name not in planted.clubs and club.verdict is not Verdict.CUT
        ),
        check=check,
    )


def _right_cards(order: Order) -> Cards:
    cards = [card_of(plan) for plan in plan_order(order).every_plan()]
    return {
        card.club: replace(
            card,
            written_swingweight_oz_in=float(balance(card_components(card, order.assembly)).swingweight_oz_in),
        )
        for card in cards
    }
