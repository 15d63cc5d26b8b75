"""What the order form tells of each club beside its fields: cuts, frequency, what is used where a field is empty."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from trimkit.check.clubcheck import ClubCheck
from trimkit.check.consistency import CheckTolerances
from trimkit.check.doublecheck import check_cards
from trimkit.club.card import card_of
from trimkit.club.order.order import Order, order_from_tables
from trimkit.club.order.tables import MOST_TIP_WEIGHT_G
from trimkit.club.set import plan_order
from trimkit.club.shoptables import ShopFile
from trimkit.club.swingweight import NO_WEIGHT_G, swingweight_need
from trimkit.parts.catalogue import Catalogue
from trimkit.parts.errors import BenchError, DataFileError, ModelError
from trimkit.parts.units import millimetres, nearest_mark, ruled, say_in, say_number
from trimkit.trim.plan import ClubRefused, TrimPlan

FILE = "the form"


@dataclass(frozen=True)
class ClubLine:
    """One club of the form. told: its cuts in words, by column. hints: what is used where a field is empty. faults:
    why it cannot be cut so, or must not be, by column."""

    told: Mapping[str, str] = field(default_factory=dict)
    hints: Mapping[str, str] = field(default_factory=dict)
    faults: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class OrderLines:
    """What the tables of an order come to.

    order: None with its faults, each by the key of its field, None for one of the order as a whole. clubs: by their
    number, from 1; without those that have faults. whole_set: what the double check says of all clubs together.
    """

    order: Order | None
    faults: tuple[tuple[str, str], ...]
    clubs: Mapping[int, ClubLine]
    whole_set: str = ""


def fault_words(fault: BenchError) -> str:
    """Return a fault as a sentence for a place that says where it is."""
    return f"{fault.given}. Allowed: {fault.allowed}. Do next: {fault.next_step}."


def order_lines(tables: Mapping[str, Any], catalogue: Catalogue, shop: ShopFile | None = None) -> OrderLines:
    """Read, plan and double-check an order as it stands in the form; raises nothing for what a person may type.

    A club with a fault has no line; the others are planned without it. A fault of the order itself leaves all without.
    """
    numbers = range(1, len(tables["club"]) + 1)
    try:
        order = order_from_tables(tables, catalogue, FILE, shop)
        lines, whole_set = _planned(order)
        return OrderLines(order, (), dict(zip(numbers, lines, strict=True)), whole_set)
    except DataFileError as error:
        faults = tuple((fault.place.key or "" if fault.place else "", fault_words(fault)) for fault in error.faults)
    bad = {number for number in numbers for key, _ in faults if key.startswith(f"[[club]] {number}: ")}
    good = [number for number in numbers if number not in bad]
    try:
        clubs = [tables["club"][number - 1] for number in good]
        rest = order_from_tables({**tables, "club": clubs}, catalogue, FILE, shop)
        lines, _ = _planned(rest)
    except DataFileError:
        return OrderLines(None, faults, {})
    return OrderLines(None, faults, dict(zip(good, lines, strict=True)))


def _planned(order: Order) -> tuple[list[ClubLine], str]:
    pairs = list(zip(plan_order(order).clubs, order.specs, strict=True))
    cards = [card_of(plan, spec.assembly) for plan, spec in pairs if isinstance(plan, TrimPlan)]
    check = check_cards(cards, CheckTolerances.of_shop(order.shop)) if cards else None
    checked = iter(() if check is None else check.clubs)
    lines = [
        _refused(plan) if isinstance(plan, ClubRefused) else _line(plan, next(checked), spec.wanted_swingweight)
        for plan, spec in pairs
    ]
    return lines, "" if check is None else check.whole_set


def _refused(club: ClubRefused) -> ClubLine:
    words = " ".join(f"Cannot be cut so: {fault.given}. Do next: {fault.next_step}." for fault in club.faults)
    return ClubLine(faults={"head": words})


def _line(plan: TrimPlan, checked: ClubCheck, wanted_swingweight: str | None) -> ClubLine:
    faults = {}
    if checked.verdict.stops:
        found = " ".join(finding.text for finding in checked.findings)
        likely = f" Likely cause: {checked.cause}." if checked.causes else ""
        faults["tip_trim_in"] = f"The double check stops this cut. {found}{likely}"
    told = _cuts(plan) | {"frequency_cpm": _plays(checked, wanted_swingweight)}
    return ClubLine(told, _hints(plan, wanted_swingweight), faults)


def _plays(checked: ClubCheck, wanted_swingweight: str | None) -> str:
    """Return what the finished club should measure, cpm: with the tip weight in that its swingweight needs."""
    if checked.frequency_cpm is None:
        return f"–\n{checked.no_second_opinion}"
    reached, of = checked.frequency_cpm, ""
    if wanted_swingweight is not None:
        try:
            need = swingweight_need(checked.card, wanted_swingweight)
        except ModelError as error:
            return f"–\n{fault_words(error)}"
        weight_g = checked.card.assembly.tip_weight_g + need.add_g
        if abs(need.add_g) >= NO_WEIGHT_G and weight_g <= MOST_TIP_WEIGHT_G:
            reached = need.frequency_cpm
            of = f"\nwith {say_number(weight_g, 1)} g of tip weight in it, for {need.swingweight}"
    return f"{reached:.1f}{of}"


def _cuts(plan: TrimPlan) -> dict[str, str]:
    lengths = {
        "tip_trim_in": plan.tip_trim_in,
        "cut_length_in": plan.cut_length_in,
        "butt_trim_in": plan.butt_trim_in,
    }
    return {
        name: f"{nearest_mark(length).text.removesuffix(' in')}\n{say_in(length)}, {millimetres(length)}"
        for name, length in lengths.items()
    }


def _hints(plan: TrimPlan, wanted_swingweight: str | None) -> dict[str, str]:
    head = plan.wanted.head
    return {
        "head_mass_g": say_number(head.head_mass_g, 1),
        "bore_depth_in": ruled(head.bore_depth_in).removesuffix(" in"),
        "bbgl_in": ruled(plan.wanted.bbgl_in).removesuffix(" in"),
        "playing_length_in": ruled(plan.playing_length_in).removesuffix(" in"),
        "flex": str(plan.flex),
        "raw_length_in": ruled(plan.raw_length_in).removesuffix(" in"),
        "wanted_swingweight": wanted_swingweight or "",
    }
