"""A rehearsal of the double check: bench mistakes planted one by one on the demo orders, and which look catches each.

Every mistake is made as a person would make it. A number copied wrong stands on the card alone; a number measured wrong
goes into the rule as well, and the card follows from it. What no check before the saw can see is in the list too, with
the reason. The orders are invented, so the result says what the check can do on plausible parts, not how often a
mistake happens.

``caught_mistakes.md`` beside this file is the result as a table; ``python tests/check/test_rehearsal.py`` prints it
anew, and a test holds the file to it. To add a mistake: a ``Planted`` in :func:`planted_mistakes`, a line in ``CAUGHT``
(by which looks, under which words) or in ``UNDETECTABLE`` (why), and, if its numbers deserve a name of their own, a
likely cause in ``trimkit/check/wrongcuts.py`` or ``wrongparts.py``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from trimkit.check.clubcheck import Verdict
from trimkit.check.consistency import Check
from trimkit.check.doublecheck import SetCheck, check_cards
from trimkit.club.card import BenchCard, card_components, card_of, catalogue_mass_g
from trimkit.club.order.order import Order, shipped_order
from trimkit.club.pulled import with_pulled
from trimkit.club.set import plan_order
from trimkit.mechanics.balance import balance
from trimkit.parts.units import MM_PER_IN
from trimkit.trim.bore import DryFit
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import plan_club
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import RawFamily
from trimkit.trim.wanted import Decisions, Pulled, ShaftInHand, WantedClub

TABLE = Path(__file__).parent / "caught_mistakes.md"
Cards = dict[str, BenchCard]
EVENING_CLASS, TAPER, WOODS = "evening_class", "taper_soft_step", "wood_pair"
UNSTEPPED, EXTENDED = "taper tips, unstepped", "irons with an extension"
PULLED, PULLED_TAPER = "irons, one on a pulled shaft", "taper tips, one on a pulled shaft"


@dataclass(frozen=True)
class Planted:
    """One mistake: what it is, on which clubs of which demo order, how it changes the cards.

    undetectable: why no check before the saw can see it; empty where one should.
    """

    kind: str
    clubs: tuple[str, ...]
    plant: Callable[[Cards], Mapping[str, BenchCard]]
    undetectable: str = ""
    order: str = EVENING_CLASS


def _cut(name: str, **changes: Callable[[BenchCard], Any]) -> Callable[[Cards], Mapping[str, BenchCard]]:
    """A number on one card, written wrong."""

    def plant(cards: Cards) -> Mapping[str, BenchCard]:
        written: dict[str, Any] = {field: change(cards[name]) for field, change in changes.items()}
        return {name: replace(cards[name], **written)}

    return plant


def _believed(name: str, **head: float) -> Callable[[Cards], Mapping[str, BenchCard]]:
    """A measurement of one head taken wrong, and the card worked out from it."""

    def plant(cards: Cards) -> Mapping[str, BenchCard]:
        return {name: _by_rule(cards[name], _with_head(cards[name].wanted, **head))}

    return plant


def _with_head(wanted: WantedClub, **changes: Any) -> WantedClub:
    return replace(wanted, head=replace(wanted.head, **changes))


def _by_rule(card: BenchCard, wanted: WantedClub) -> BenchCard:
    plan = plan_club(wanted)
    return replace(
        card,
        wanted=wanted,
        tip_trim_in=plan.tip_trim_in,
        cut_length_in=plan.cut_length_in,
        written_swingweight_oz_in=None,
    )


def _table(card: BenchCard) -> TrimSchedule:
    assert isinstance(card.wanted.table, TrimSchedule)
    return card.wanted.table


def _correction(card: BenchCard) -> float:
    plan = plan_club(card.wanted)
    return card.wanted.bbgl_in - _table(card).bbgl_reference_in(plan.equivalent)


def _row(card: BenchCard, *, flex: str | None = None, club: str | None = None) -> float:
    plan = plan_club(card.wanted)
    place = plan.equivalent if club is None else card.wanted.ladder.by_number(club)
    return _table(card).trim_in(place, FlexPlace.at(flex) if flex else plan.flex) + _correction(card)


def _swap_heads(one: str, other: str, keep_engraving: bool) -> Callable[[Cards], Mapping[str, BenchCard]]:
    def plant(cards: Cards) -> Mapping[str, BenchCard]:
        swapped = {}
        for name, source in ((one, other), (other, one)):
            head = cards[source].wanted.head
            if keep_engraving:
                head = replace(head, club=name)
            swapped[name] = replace(
                cards[name], wanted=replace(cards[name].wanted, head=head), written_swingweight_oz_in=None
            )
        return swapped

    return plant


def _swap_hybrids(cards: Cards) -> Mapping[str, BenchCard]:
    masses = {name: cards[name].wanted.head.head_mass_g for name in ("3-hybrid", "4-hybrid")}
    other = {"3-hybrid": masses["4-hybrid"], "4-hybrid": masses["3-hybrid"]}
    return {
        name: _by_rule(cards[name], _with_head(cards[name].wanted, head_mass_g=mass)) for name, mass in other.items()
    }


def _swap_cards(one: str, other: str) -> Callable[[Cards], Mapping[str, BenchCard]]:
    def cuts(cards: Cards, name: str, source: str) -> BenchCard:
        return replace(cards[name], tip_trim_in=cards[source].tip_trim_in, cut_length_in=cards[source].cut_length_in)

    return lambda cards: {one: cuts(cards, one, other), other: cuts(cards, other, one)}


def _by_number(cards: Cards) -> Mapping[str, BenchCard]:
    card = cards["3-hybrid"]
    number = plan_club(replace(card.wanted, decisions=replace(card.wanted.decisions, trim_as=TrimAs.ENGRAVED)))
    return {"3-hybrid": replace(card, tip_trim_in=number.tip_trim_in, cut_length_in=number.cut_length_in)}


def _slipped_schedule(cards: Cards) -> Mapping[str, BenchCard]:
    def slip(card: BenchCard) -> BenchCard:
        table = _table(card)
        rows = tuple(
            replace(row, tip_trim_in=4.4) if (row.club, row.flex) == ("7-iron", "R") else row for row in table.rows
        )
        return _by_rule(card, replace(card.wanted, table=replace(table, rows=rows)))

    return {name: slip(card) for name, card in cards.items()}


def _whole_set_in_s(cards: Cards) -> Mapping[str, BenchCard]:
    return {name: replace(card, tip_trim_in=_row(card, flex="S")) for name, card in cards.items()}


def _order_in_s(cards: Cards) -> Mapping[str, BenchCard]:
    return {name: _by_rule(card, replace(card.wanted, flex=FlexPlace.at("S"))) for name, card in cards.items()}


def _scale_not_zeroed(cards: Cards) -> Mapping[str, BenchCard]:
    return {
        name: _by_rule(card, _with_head(card.wanted, head_mass_g=card.wanted.head.head_mass_g + 5.0))
        for name, card in cards.items()
    }


def _without_grip(cards: Cards) -> Mapping[str, BenchCard]:
    card = cards["7-iron"]
    parts = [part for part in card_components(card) if part.name != "grip"]
    return {"7-iron": replace(card, written_swingweight_oz_in=float(balance(parts).swingweight_oz_in))}


def _without_ferrule(cards: Cards) -> Mapping[str, BenchCard]:
    card = cards["7-iron"]
    parts = [part for part in card_components(card) if part.name != "ferrule"]
    return {"7-iron": replace(card, written_swingweight_oz_in=float(balance(parts).swingweight_oz_in))}


def _raw_row(name: str, club: str) -> Callable[[Cards], Mapping[str, BenchCard]]:
    def plant(cards: Cards) -> Mapping[str, BenchCard]:
        rows: Any = cards[name].wanted.table
        return {name: replace(cards[name], raw_length_in=rows.row(club).raw_length_in, written_swingweight_oz_in=None)}

    return plant


def planted_mistakes() -> tuple[Planted, ...]:
    """Return every mistake of the rehearsal: those a check should see, then those none can, with the reason."""
    set_clubs = (
        "3-hybrid", "4-hybrid", "4-iron", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron", "gap wedge", "sand wedge",
    )  # fmt: skip
    return (
        Planted(
            "heads of two irons swapped, engraving not read",
            ("6-iron", "7-iron"),
            _swap_heads("6-iron", "7-iron", True),
        ),
        Planted(
            "heads of two irons swapped, engraving read", ("6-iron", "7-iron"), _swap_heads("6-iron", "7-iron", False)
        ),
        Planted("cards of two clubs swapped", ("8-iron", "9-iron"), _swap_cards("8-iron", "9-iron")),
        Planted(
            "tip trim in inches cut as millimeters",
            ("5-iron",),
            _cut("5-iron", tip_trim_in=lambda card: card.tip_trim_in / MM_PER_IN),
        ),
        Planted(
            "tip trim in millimeters cut as inches",
            ("5-iron",),
            _cut("5-iron", tip_trim_in=lambda card: card.tip_trim_in * MM_PER_IN),
        ),
        Planted(
            "BBGL in millimeters written as inches",
            ("6-iron",),
            lambda cards: {"6-iron": replace(cards["6-iron"], wanted=_with_head(cards["6-iron"].wanted, bbgl_in=25.4))},
        ),
        Planted(
            "correction for the bore with the wrong sign",
            ("sand wedge",),
            _cut("sand wedge", tip_trim_in=lambda card: card.tip_trim_in - 2 * _correction(card)),
        ),
        Planted(
            "correction for the bore left out",
            ("sand wedge",),
            _cut("sand wedge", tip_trim_in=lambda card: card.tip_trim_in - _correction(card)),
        ),
        Planted(
            "correction for the bore applied twice",
            ("sand wedge",),
            _cut("sand wedge", tip_trim_in=lambda card: card.tip_trim_in + _correction(card)),
        ),
        Planted(
            "correction for a hybrid's bore left out",
            ("4-hybrid",),
            _cut("4-hybrid", tip_trim_in=lambda card: card.tip_trim_in - _correction(card)),
        ),
        Planted("hybrid cut by its engraved number", ("3-hybrid",), _by_number),
        Planted("another flex's row", ("7-iron",), _cut("7-iron", tip_trim_in=lambda card: _row(card, flex="S"))),
        Planted("another flex's row, whole set", set_clubs, _whole_set_in_s),
        Planted("another club's row", ("7-iron",), _cut("7-iron", tip_trim_in=lambda card: _row(card, club="8-iron"))),
        Planted("a slip in the schedule itself", ("7-iron",), _slipped_schedule),
        Planted(
            "tip and butt trim swapped on the card", ("8-iron",), _cut("8-iron", tip_trim_in=lambda c: c.butt_trim_in)
        ),
        Planted("ruler read one inch long", ("9-iron",), _cut("9-iron", tip_trim_in=lambda card: card.tip_trim_in + 1)),
        Planted(
            "grip's cap forgotten",
            ("6-iron",),
            _cut("6-iron", cut_length_in=lambda card: card.cut_length_in + card.wanted.grip.cap_thickness_in),
        ),
        Planted(
            "playing length cut as shaft length",
            ("6-iron",),
            _cut("6-iron", cut_length_in=lambda c: c.playing_length_in),
        ),
        Planted("head mass misread, digits swapped", ("6-iron",), _believed("6-iron", head_mass_g=276.8)),
        Planted("hybrid's mass misread, digits swapped", ("4-hybrid",), _believed("4-hybrid", head_mass_g=284.8)),
        Planted("scale not set to zero, 5 g on every head", set_clubs, _scale_not_zeroed),
        Planted(
            "dry fit read half an inch long",
            ("7-iron",),
            lambda cards: {
                "7-iron": _by_rule(cards["7-iron"], replace(cards["7-iron"].wanted, dry_fit=DryFit(40.0, 41.5)))
            },
        ),
        Planted("grip forgotten in the swingweight", ("7-iron",), _without_grip),
        Planted("another master, weighed", ("4-iron",), _cut("4-iron", raw_mass_g=lambda card: 105.0)),
        Planted(
            "shaft that was cut before", ("4-iron",), _cut("4-iron", raw_length_in=lambda card: card.raw_length_in - 1)
        ),
        Planted("another club's raw length", ("7-iron",), _raw_row("7-iron", "7-iron"), order=TAPER),
        Planted(
            "what is off a pulled shaft's tip cut off it again",
            ("7-iron",),
            _cut("7-iron", tip_trim_in=lambda card: card.tip_trim_in + card.wanted.tip_cut_in),
            order=PULLED,
        ),
        Planted(
            "what is off a pulled shaft's tip misread by half an inch",
            ("7-iron",),
            _tip_cut_read("7-iron", -0.5),
            "cuts and line follow from the same reading: measure from the tip to the first step once more at the saw",
            order=PULLED,
        ),
        Planted(
            "two hybrid heads swapped before they were weighed",
            ("3-hybrid", "4-hybrid"),
            _swap_hybrids,
            "hybrids follow their mass, so each head still gets the right cut; only the engraved numbers are on "
            "each other's clubs, and a hybrid's mass need not match its number",
        ),
        Planted(
            "hybrid's mass misread by 3 g",
            ("4-hybrid",),
            _believed("4-hybrid", head_mass_g=251.8),
            "row, length and line follow from one reading, and a hybrid may weigh it; only a second weighing can tell",
        ),
        Planted(
            "BBGL misread by a quarter of an inch, no dry fit",
            ("5-iron",),
            _believed("5-iron", bbgl_in=1.27),
            "cuts and line follow from the same reading: only a second measurement, the dry fit, can tell",
        ),
        Planted(
            "bore depth misread by half an inch",
            ("5-iron",),
            _believed("5-iron", bore_depth_in=1.75),
            "no cut depends on it and the frequency hardly does; measure it where the tip must still fill the bore",
        ),
        Planted(
            "another master of the same length, not weighed",
            ("4-iron",),
            lambda cards: {"4-iron": cards["4-iron"]},
            "nothing on the card changes; weigh the raw shaft, or read its raw frequency",
        ),
        Planted(
            "right card, cut from the wrong end",
            ("7-iron",),
            lambda cards: {"7-iron": cards["7-iron"]},
            "it happens at the saw, after every check; mark the tip before cutting and measure to the first step after",
        ),
        Planted(
            "the order itself in the wrong flex",
            set_clubs,
            _order_in_s,
            "the order is what everything is checked against; only the client can say",
        ),
        Planted(
            "ferrule forgotten in the swingweight",
            ("7-iron",),
            _without_ferrule,
            "worth less than the one point allowed",
        ),
        Planted(
            "saw set one thirty-second off",
            ("9-iron",),
            _cut("9-iron", tip_trim_in=lambda card: card.tip_trim_in + 1 / 32),
            "smaller than a ruler's mark and worth a fraction of a cpm",
        ),
    )


@dataclass(frozen=True)
class KindOfClub:
    """A kind of club in the table by kind: its name there, and the club of an order that stands for it."""

    name: str
    club: str
    order: str


KINDS = (
    KindOfClub("parallel iron", "7-iron", EVENING_CLASS),
    KindOfClub("wedge", "gap wedge", EVENING_CLASS),
    KindOfClub("hybrid", "4-hybrid", EVENING_CLASS),
    KindOfClub("extended iron", "7-iron", EXTENDED),
    KindOfClub("taper iron", "9-iron", UNSTEPPED),
    KindOfClub("stepped taper iron", "9-iron", TAPER),
    KindOfClub("pulled iron", "7-iron", PULLED),
    KindOfClub("pulled taper iron", "9-iron", PULLED_TAPER),
    KindOfClub("driver", "driver", WOODS),
    KindOfClub("fairway wood", "3-wood", WOODS),
)
FIVE = ("bore", "mass", "length", "trim", "shaft")


def _mistake_of_kind(kind: KindOfClub, about: str) -> Planted:
    """The same five mistakes for every kind of club; a taper tip has no tip trim, so its raw length is wrong."""
    name, taper = kind.club, kind.order in (TAPER, UNSTEPPED, PULLED_TAPER)
    head: Callable[[Cards], Any] = lambda cards: cards[name].wanted.head  # noqa: E731
    plants: dict[str, tuple[str, Callable[[Cards], Mapping[str, BenchCard]]]] = {
        "bore": (
            "BBGL read half an inch too much",
            lambda cards: _believed(name, bbgl_in=head(cards).bbgl_in + 0.5)(cards),
        ),
        "mass": (
            "head mass read 10 g too much",
            lambda cards: _believed(name, head_mass_g=head(cards).head_mass_g + 10.0)(cards),
        ),
        "length": ("cut an inch too short", _cut(name, cut_length_in=lambda card: card.cut_length_in - 1)),
        "trim": (
            ("the next shorter club's raw length", _next_raw_length(name))
            if kind.order in (TAPER, UNSTEPPED)
            else ("taken for the next shorter club's raw length", _other_pulled(name))
            if taper
            else ("an inch too much off the tip", _cut(name, tip_trim_in=lambda card: card.tip_trim_in + 1))
        ),
        "shaft": ("another shaft, 10 g lighter", _cut(name, raw_mass_g=lambda card: catalogue_mass_g(card) - 10.0)),
    }
    words, plant = plants[about]
    reason = NOT_SEEN.get((kind.name, about), "")
    return Planted(f"{kind.name}: {words}", (name,), plant, reason, kind.order)


def _next_raw_length(name: str) -> Callable[[Cards], Mapping[str, BenchCard]]:
    def plant(cards: Cards) -> Mapping[str, BenchCard]:
        rows = [row.raw_length_in for row in cards[name].wanted.table.rows]
        shorter = rows[rows.index(cards[name].raw_length_in) + 1]
        return {name: replace(cards[name], raw_length_in=shorter, written_swingweight_oz_in=None)}

    return plant


def _other_pulled(name: str) -> Callable[[Cards], Mapping[str, BenchCard]]:
    """A pulled taper tip, taken for the next shorter raw length of its family."""

    def plant(cards: Cards) -> Mapping[str, BenchCard]:
        wanted = cards[name].wanted
        assert wanted.pulled is not None
        assert isinstance(wanted.table, RawFamily)
        rows = [row.raw_length_in for row in wanted.table.rows]
        taken = replace(wanted.pulled, raw_length_in=rows[rows.index(wanted.pulled.raw_length_in) + 1])
        other = with_pulled(wanted, taken, wanted.shaft.raw_length_in)
        return {name: replace(cards[name], wanted=other, written_swingweight_oz_in=None)}

    return plant


def _tip_cut_read(name: str, more_in: float) -> Callable[[Cards], Mapping[str, BenchCard]]:
    """What is off a pulled shaft's tip, read wrong, and the card worked out from it."""

    def plant(cards: Cards) -> Mapping[str, BenchCard]:
        wanted = cards[name].wanted
        assert wanted.pulled is not None
        read = replace(wanted.pulled, tip_cut_in=wanted.tip_cut_in + more_in)
        return {name: _by_rule(cards[name], with_pulled(wanted.as_new, read, wanted.shaft.raw_length_in))}

    return plant


# What no look before the saw can see, by kind of club and what the mistake is about, and why.
_ONE_READING = "cuts and line follow from the same reading: a dry fit is the second measurement that tells"
NOT_SEEN = {
    **{
        (kind, "bore"): _ONE_READING
        for kind in ("parallel iron", "wedge", "hybrid", "extended iron", "pulled iron", "driver", "fairway wood")
    },
    (
        "hybrid",
        "mass",
    ): "row, length and line follow from one reading, and a hybrid may weigh up to two rungs more "
    "than the iron of its number; only a second weighing tells",
}
MISTAKE_BY_KIND = tuple(_mistake_of_kind(kind, about) for kind in KINDS for about in FIVE)


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


@cache
def rehearsed(kind: str) -> Rehearsed:
    """Make one of the planted mistakes and run the double check on it."""
    planted = PLANTED[kind]
    return _rehearse(planted, _right(planted.order))


@cache
def _right(order: str) -> Cards:
    return _right_cards(_orders()[order])


@cache
def _orders() -> dict[str, Order]:
    """The demo orders, and two made of them: taper tips unstepped, and clubs so long that the master is extended."""
    shipped = {name: shipped_order(name) for name in (EVENING_CLASS, TAPER, WOODS)}
    clubs = tuple(
        replace(each, length=replace(each.length, playing_length_in=39.0), decisions=Decisions(extend=True, why="tall"))
        for each in shipped[EVENING_CLASS].clubs
    )
    return shipped | {
        UNSTEPPED: replace(shipped[TAPER], soft_steps=0),
        EXTENDED: replace(shipped[EVENING_CLASS], flex=FlexPlace.at("S"), clubs=clubs),
        PULLED: _one_pulled(shipped[EVENING_CLASS], "7-iron", "5-iron"),
        PULLED_TAPER: _one_pulled(replace(shipped[TAPER], soft_steps=0), "9-iron", "9-iron"),
    }


def _one_pulled(order: Order, club: str, before: str) -> Order:
    """The order with one club on the shaft of another, which leaves an inch and a quarter at its butt."""
    plans = {plan.club: plan for plan in plan_order(order).every_plan()}
    own, was = plans[club], plans[before]
    long_in = own.tip_trim_in - was.tip_trim_in + own.cut_length_in + 1.25
    in_hand = ShaftInHand(long_in, None, Pulled(order.shaft, was.raw_length_in, was.tip_trim_in))
    clubs = (replace(each, in_hand=in_hand) if each.head.club == club else each for each in order.clubs)
    return replace(order, clubs=tuple(clubs))


def _rehearse(planted: Planted, right: Cards) -> Rehearsed:
    cards = right | dict(planted.plant(right))
    check = check_cards(tuple(cards.values()))
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
    cards = [card_of(plan, order.assembly) for plan in plan_order(order).every_plan()]
    return {
        card.club: replace(
            card,
            written_swingweight_oz_in=float(balance(card_components(card)).swingweight_oz_in),
        )
        for card in cards
    }


def caught_table() -> str:
    """What the double check makes of each planted mistake, as Markdown."""
    lines = [
        "# What the double check catches",
        "",
        "Written by `python tests/check/test_rehearsal.py`; distances off the line in cpm, for the club furthest off.",
        "",
        "| mistake | clubs | caught by | off the line | cause named, or why no check can see it |",
        "| --- | --- | --- | --- | --- |",
    ]
    of_kinds = {planted.kind for planted in MISTAKE_BY_KIND}
    for each in map(rehearsed, PLANTED):
        if each.planted.kind not in of_kinds:
            clubs = ", ".join(each.planted.clubs) if len(each.planted.clubs) < 4 else "whole set"
            lines.append(f"| {each.planted.kind} | {clubs} | {_outcome(each)} |")
    lines += [
        "",
        "## By kind of club",
        "",
        "The same five mistakes on each kind: bore, head mass, length, tip trim (a taper tip: its raw length), shaft.",
        "",
        "| kind of club | mistake | caught by | off the line | cause named, or why no check can see it |",
        "| --- | --- | --- | --- | --- |",
    ]
    for planted in MISTAKE_BY_KIND:
        kind, mistake = planted.kind.split(": ")
        lines.append(f"| {kind} | {mistake} | {_outcome(rehearsed(planted.kind))} |")
    return "\n".join(lines) + "\n"


def _outcome(seen: Rehearsed) -> str:
    off = "none can be cut" if seen.deviation_cpm is None else f"{round(seen.deviation_cpm, 1) + 0.0:+.1f}"
    last = seen.cause if seen.caught else seen.planted.undetectable
    return f"{', '.join(seen.checks) or 'nothing'} | {off} | {last}"


PLANTED = {planted.kind: planted for planted in (*planted_mistakes(), *MISTAKE_BY_KIND)}
SHIFT = "the whole set's shift"

# What must see each mistake, and the words its likely cause must hold.
CAUGHT = {
    "heads of two irons swapped, engraving not read": ({Check.LINE, Check.LADDER}, "another club's head"),
    "heads of two irons swapped, engraving read": ({Check.LINE, Check.RULE, Check.LENGTHS}, "cuts of another club"),
    "cards of two clubs swapped": ({Check.LINE, Check.RULE, Check.LENGTHS, Check.BALANCE}, "cuts of another club"),
    "tip trim in inches cut as millimeters": ({Check.LINE, Check.RULE}, "inches of tip trim cut as millimeters"),
    "tip trim in millimeters cut as inches": ({Check.FIT, Check.RULE}, "millimeters of tip trim cut as inches"),
    "BBGL in millimeters written as inches": ({Check.RULE}, "BBGL in millimeters"),
    "correction for the bore with the wrong sign": ({Check.LINE, Check.RULE}, "wrong sign"),
    "correction for the bore left out": ({Check.LINE, Check.RULE}, "bore left out"),
    "correction for the bore applied twice": ({Check.LINE, Check.RULE}, "bore applied twice"),
    # A quarter of an inch at the tip is worth 1.5 cpm: less than the line allows.
    "correction for a hybrid's bore left out": ({Check.RULE}, "bore left out"),
    "hybrid cut by its engraved number": (
        {Check.LINE, Check.RULE, Check.LENGTHS, Check.BALANCE},
        "by its engraved number",
    ),
    "another flex's row": ({Check.LINE, Check.RULE}, "S instead of R"),
    "another flex's row, whole set": ({Check.RULE, SHIFT}, "S instead of R"),
    "another club's row": ({Check.LINE, Check.RULE}, "8-iron instead of 7-iron"),
    "a slip in the schedule itself": ({Check.SCHEDULE}, "7-iron R trims 4.4 in"),
    "tip and butt trim swapped on the card": ({Check.LINE, Check.RULE}, "tip and butt swapped"),
    "ruler read one inch long": ({Check.LINE, Check.RULE}, "one inch long"),
    "grip's cap forgotten": ({Check.RULE, Check.LENGTHS}, "cap forgotten"),
    "playing length cut as shaft length": (
        {Check.LINE, Check.RULE, Check.LENGTHS, Check.BALANCE},
        "playing length cut as shaft",
    ),
    "head mass misread, digits swapped": ({Check.LINE, Check.LADDER}, "276.8 g for 267.8 g"),
    "hybrid's mass misread, digits swapped": ({Check.LADDER}, "284.8 g for 248.8 g"),
    "scale not set to zero, 5 g on every head": ({Check.LADDER, SHIFT}, ""),
    "dry fit read half an inch long": ({Check.DRY_FIT}, "dry fit"),
    "grip forgotten in the swingweight": ({Check.BALANCE}, "swingweight"),
    "another master, weighed": ({Check.LINE, Check.RAW_MASS}, "another shaft"),
    "shaft that was cut before": ({Check.RAW_LENGTH}, "41 in"),
    "what is off a pulled shaft's tip cut off it again": ({Check.FIT, Check.RULE}, "cut off it again"),
    "another club's raw length": ({Check.LINE, Check.RAW_LENGTH}, "another raw length"),
}
_CUT_SHORT = ({Check.LINE, Check.RULE, Check.LENGTHS, Check.BALANCE}, "one inch short")
_TRIMMED_MORE = ({Check.LINE, Check.RULE}, "tip trim read one inch long")
_LIGHTER = ({Check.LINE, Check.RAW_MASS}, "another shaft, or its mass misread (")
_HEAVIER = ({Check.LINE, Check.LADDER}, "another club's head: it weighs like an 8-iron's, not a 7-iron's")
_OF_A_SET = {"length": _CUT_SHORT, "trim": _TRIMMED_MORE, "shaft": _LIGHTER}
_ON_TAPER = {
    "bore": ({Check.LINE}, "the head's BBGL, 1.5 in: 0.5 in more than the reference (1 in), 2.9 cpm softer"),
    "mass": ({Check.LINE, Check.LADDER}, "like a gap wedge's, not a 9-iron's"),
    "length": _CUT_SHORT,
    "shaft": _LIGHTER,
}
_WOOD = {"length": _CUT_SHORT, "trim": _TRIMMED_MORE}
_LIGHTER_WOOD = ({Check.RAW_MASS, Check.BALANCE}, "weighs 50.4 g; its description says 60.4 g")
CAUGHT_BY_KIND = {
    "parallel iron": _OF_A_SET | {"mass": _HEAVIER},
    "wedge": _OF_A_SET | {"mass": ({Check.LINE, Check.LADDER}, "310.4 g for 301.4 g")},
    "hybrid": _OF_A_SET,
    "pulled iron": _OF_A_SET | {"mass": _HEAVIER},
    "pulled taper iron": _ON_TAPER | {"trim": ({Check.RULE}, "was bought at 36.25 in, and this 9-iron takes 36.75 in")},
    # The master does not reach for another inch off the tip.
    "extended iron": _OF_A_SET | {"mass": _HEAVIER, "trim": ({Check.FIT, Check.RULE}, "tip trim read one inch long")},
    "taper iron": _ON_TAPER
    | {"trim": ({Check.LINE, Check.RAW_LENGTH}, "another raw length, 36.25 in instead of 36.75 in")},
    "stepped taper iron": _ON_TAPER
    | {"trim": ({Check.LINE, Check.RAW_LENGTH}, "another raw length, 36.75 in instead of 37.25 in")},
    "driver": _WOOD | {"mass": ({Check.LINE}, "like a 3-wood's, not a driver's"), "shaft": _LIGHTER_WOOD},
    "fairway wood": _WOOD | {"mass": ({Check.LINE}, "like a 5-wood's, not a 3-wood's"), "shaft": _LIGHTER_WOOD},
}
for kind in KINDS:
    for about, expected in CAUGHT_BY_KIND[kind.name].items():
        CAUGHT[_mistake_of_kind(kind, about).kind] = expected
UNDETECTABLE = {
    "two hybrid heads swapped before they were weighed": "mass",
    "hybrid's mass misread by 3 g": "second weighing",
    "BBGL misread by a quarter of an inch, no dry fit": "dry fit",
    "bore depth misread by half an inch": "frequency hardly does",
    "another master of the same length, not weighed": "weigh the raw shaft",
    "right card, cut from the wrong end": "at the saw",
    "the order itself in the wrong flex": "only the client",
    "ferrule forgotten in the swingweight": "one point",
    "saw set one thirty-second off": "ruler's mark",
    "what is off a pulled shaft's tip misread by half an inch": "first step",
    **{planted.kind: "second" for planted in MISTAKE_BY_KIND if planted.undetectable},
}


def test_every_planted_mistake_is_in_one_of_the_two_lists():
    assert set(PLANTED) == set(CAUGHT) | set(UNDETECTABLE)
    assert len(CAUGHT) >= 12


@pytest.mark.parametrize("kind", CAUGHT)
def test_it_is_caught_by_these_looks_named_and_nobody_else_is_stopped(kind):
    seen, (checks, cause) = rehearsed(kind), CAUGHT[kind]
    assert seen.caught
    assert checks <= set(seen.checks)
    assert cause in seen.cause
    assert seen.false_alarms == ()
    assert seen.planted.undetectable == ""


@pytest.mark.parametrize("kind", UNDETECTABLE)
def test_it_is_not_seen_by_any_look_and_the_reason_is_given(kind):
    seen = rehearsed(kind)
    assert not seen.caught
    assert seen.checks == ()
    assert seen.false_alarms == ()
    assert UNDETECTABLE[kind] in seen.planted.undetectable


def test_the_written_table_is_what_the_run_gives():
    assert TABLE.read_text(encoding="utf-8") == caught_table()


def test_every_kind_of_club_gets_all_five_mistakes():
    for kind in KINDS:
        missed = {about for name, about in NOT_SEEN if name == kind.name}
        assert missed.isdisjoint(CAUGHT_BY_KIND[kind.name])
        assert missed | set(CAUGHT_BY_KIND[kind.name]) == set(FIVE)
    assert {planted.clubs[0] for planted in MISTAKE_BY_KIND} <= set().union(*map(_clubs_of, _orders().values()))


def _clubs_of(order: Order) -> set[str]:
    return {each.head.club for each in order.clubs}


def test_one_wrong_wood_of_two_is_not_taken_for_a_wrong_set():
    for planted in MISTAKE_BY_KIND:
        if planted.order == WOODS:
            assert rehearsed(planted.kind).check.whole_set == ""


def test_most_mistakes_in_a_cut_are_seen_by_the_mechanics_alone():
    """The line takes only the schedule's bend and the wanted length from the rules, never the cut it judges."""
    by_line = [kind for kind in PLANTED if Check.LINE in rehearsed(kind).checks]
    assert len(by_line) >= 17


if __name__ == "__main__":
    print(caught_table(), end="")
