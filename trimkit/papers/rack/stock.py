"""Orders against the shelf, from files to what a person does at the rack: in words, and as CSV files."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from trimkit.club.order.order import Order
from trimkit.club.set import plan_order
from trimkit.papers.rack.files import RackPiece, every_offer, merged, shelf_csv
from trimkit.parts.catalogue import Catalogue
from trimkit.parts.csvtext import csv_text
from trimkit.parts.errors import BenchError, TrimRefused, counted
from trimkit.parts.saving import save_texts
from trimkit.parts.units import nearest_mark, say_in
from trimkit.shop.shelf import GoesShort, Need, Offer, Piece, PieceCut, ShelfPlan, needs_of, plan_shelf
from trimkit.trim.plan import TrimPlan
from trimkit.trim.refusals import Gathered, faults_of


@dataclass(frozen=True)
class Stock:
    """What the orders take from the shelf.

    own: order, club and words for each club that brings its own shaft. before: the shelf as the file has it.
    """

    plan: ShelfPlan
    own: tuple[tuple[str, str, str], ...]
    before: tuple[RackPiece, ...]
    catalogue: Catalogue

    @property
    def afterwards(self) -> tuple[RackPiece, ...]:
        """The shelf once the clubs are cut and what is to buy was bought, pieces that are alike in one row."""
        return merged((*self.plan.left, *self.plan.spare), self.catalogue)


def plan_stock(
    orders: Sequence[tuple[str, Order]], shelf: Iterable[RackPiece], offers: Iterable[Offer] | None
) -> Stock:
    """Answer which piece each club of the orders is cut from, and what to buy.

    orders: each with its name, first come first served; their parts are of one catalogue. offers: None for every raw
    length that the catalogue has, one by one. A club whose order says what was measured on its shaft (raw length, raw
    mass, pulled) has that shaft and takes none. Planned by the rules alone. Raises TrimRefused with every reason, each
    with its order, for a club that cannot be cut as ordered; BenchError if every club brings its shaft; ModelError as
    :func:`trimkit.shop.shelf.plan_shelf`.
    """
    shelf, gathered = tuple(shelf), Gathered()
    needs, own = list[Need](), list[tuple[str, str, str]]()
    for name, order in orders:
        try:
            plans = plan_order(order).every_plan()
        except TrimRefused as refusal:
            for fault in faults_of(refusal):
                gathered.faults.append(TrimRefused(f"order {name!r}, {fault.given}", fault.allowed, fault.next_step))
            continue
        clubs = _clubs(plans)
        own += [
            (name, club, _own(plan)) for club, plan in zip(clubs, plans, strict=True) if plan.wanted.in_hand is not None
        ]
        takes = [(club, plan) for club, plan in zip(clubs, plans, strict=True) if plan.wanted.in_hand is None]
        found = needs_of(name, [plan for _, plan in takes])
        needs += [replace(need, club=club) for need, (club, _) in zip(found, takes, strict=True)]
    if gathered.faults:
        gathered.refuse()
    if not needs:
        given = f"every club of {counted(len(orders), 'order')} has a shaft of its own in hand"
        raise BenchError(given, "one club or more that takes its shaft from the shelf", "make the sheet of the order")
    catalogue = orders[0][1].catalogue
    if offers is None:
        offers = every_offer((need.shaft for need in needs), catalogue)
    return Stock(plan_shelf(needs, shelf, offers), tuple(own), shelf, catalogue)


def _clubs(plans: Sequence[TrimPlan]) -> list[str]:
    """The clubs' names; one that an order has twice gets its place in the set."""
    often = Counter(plan.club for plan in plans)
    return [
        plan.club if often[plan.club] == 1 else f"{plan.club} (club {place})" for place, plan in enumerate(plans, 1)
    ]


def _own(plan: TrimPlan) -> str:
    in_hand = plan.wanted.in_hand
    assert in_hand is not None
    if in_hand.pulled is not None:
        return f"a pulled shaft, {say_in(plan.wanted.shaft.raw_length_in)} long"
    said = [] if in_hand.length_in is None else [say_in(in_hand.length_in)]
    said += [] if in_hand.mass_g is None else [f"{in_hand.mass_g:g} g"]
    return f"a shaft measured for it, {' and '.join(said)}"


def _length(length_in: float) -> str:
    return f"{length_in:.3f} ({nearest_mark(length_in).text})"


def _columns(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(map(len, column)) for column in zip(head, *rows, strict=True)]
    return ["  ".join(map(str.ljust, row, widths)).rstrip() for row in (head, *rows)]


def piece_words(piece: Piece) -> str:
    """Return what a piece is, in words: its mark, its length, and what is off its tip or what it was bought at."""
    said = f"{say_in(piece.length_in)}"
    if isinstance(piece, RackPiece):
        if piece.bought_length_in not in (None, piece.length_in):
            said += f", bought at {say_in(piece.bought_length_in or 0.0)}"
        elif piece.tip_cut_in:
            said += f", {say_in(piece.tip_cut_in)} off its tip"
    said = f"master, {said}" if piece.master else f"cut before, {said}"
    return f"{piece.mark}: {said}" if piece.mark else said


def _take(cut: PieceCut) -> str:
    return f"buy new, {say_in(cut.piece.length_in)}" if cut.bought else piece_words(cut.piece)


CUT_HEADS = ("club", "take", "tip to step", "tip trim", "cut length", "butt trim")
TO_MEASURE = (
    "Lengths in inches, beside them the nearest ruler mark. tip to step: from the tip of the piece to its",
    "first step (graphite: to the end of its parallel tip). Measure it first: if it differs, it is another",
    "piece.",
)
CAUTIONS_AT_THE_RACK = (
    "Look at every piece that was cut before: cracks, dents, rust, marks of heat. One in doubt is not used again.",
    "A shaft's maker may allow less than these cuts: past that it can break. The reasons for each cut and its",
    "double check are on the order's sheet: make it before you cut.",
)
BRING_THEIR_OWN = (
    "These bring their own shaft, by their order, and take none from the shelf (if theirs are in the shelf file, "
    "take them out of it):"
)


def cut_rows(stock: Stock) -> dict[tuple[str, str], list[tuple[str, ...]]]:
    """Return, by order and shaft, a row for each club: what to take and what comes off it (:data:`CUT_HEADS`)."""
    found: dict[tuple[str, str], list[tuple[str, ...]]] = {}
    for cut in stock.plan.cuts:
        lengths = map(_length, (cut.tip_trim_in, cut.need.cut_length_in, cut.butt_trim_in))
        row = (cut.need.club, _take(cut), f"{cut.piece.tip_section_in:.3f}", *lengths)
        found.setdefault((cut.need.order, cut.piece.shaft), []).append(row)
    return found


def packs_words(offer: Offer, packs: int) -> str:
    """Return how many shafts of an offer to buy, in how many packs."""
    many = f"{counted(packs, 'pack')} of {offer.pack}, " if offer.pack > 1 else ""
    return f"{many}{counted(packs * offer.pack, 'shaft')}"


def shelf_words(stock: Stock) -> str:
    """Return how many pieces the shelf had, how many are taken and how many are left."""
    before, left = (sum(piece.count for piece in pieces) for pieces in (stock.before, stock.plan.left))
    spare = sum(piece.count for piece in stock.plan.spare)
    more = f", and {spare} of those bought" if spare else ""
    return f"On the shelf: {before} before, {before - left} taken, {left} left{more}."


def into_the_order(stock: Stock) -> list[str]:
    """Return what the orders must say of the pieces cut before: lines of keys (in); none without such a piece.

    The sheet of an order that does not say it cuts a whole shaft.
    """
    pieces = ((cut.need, cut.piece) for cut in stock.plan.cuts)
    used = [(need, piece) for need, piece in pieces if isinstance(piece, RackPiece) and not piece.master]
    if not used:
        return []
    lines = [
        "The sheet knows nothing of the shelf: its cuts would be those of a whole shaft. Before you make it, write",
        "each piece cut before under its [[club]] in the order:",
    ]
    for need, piece in used:
        was = f"tip_cut_in = {piece.tip_cut_in:.10g}"
        if piece.bought_length_in is not None:
            was = f"bought_length_in = {piece.bought_length_in:.10g}"
        lines += [f"  {need.order}, {need.club}: pulled = true, raw_length_in = {piece.length_in:.10g}, {was}"]
    return [*lines, ""]


def stock_lines(stock: Stock) -> list[str]:
    """Return what to do at the rack in lines of text: what to take for each club and what comes off it (in, and the
    nearest ruler mark), what stays, what to buy, who goes short and why, and who brings a shaft.
    """
    plan, lines = stock.plan, list[str]()
    for (order, shaft), rows in cut_rows(stock).items():
        lines += [f"{order}: {shaft}", *_columns(CUT_HEADS, rows), ""]
    if plan.cuts:
        lines += [*TO_MEASURE, ""]
    lines += into_the_order(stock) + _goes_short(plan.short) + _own_shafts(stock.own)
    lines += ["To buy:" if plan.to_buy else "Nothing to buy."]
    lines += [
        f"  {packs_words(offer, packs)} {offer.shaft}, {say_in(offer.raw_length_in)}" for offer, packs in plan.to_buy
    ]
    lines += ["", shelf_words(stock)]
    lines += [f"  {piece.count} x {piece.shaft}, {piece_words(piece)}" for piece in stock.afterwards]
    return [*lines, "", *CAUTIONS_AT_THE_RACK]


def _goes_short(short: Sequence[GoesShort]) -> list[str]:
    if not short:
        return []
    said = [f"  {each.need.order}, {each.need.club}, {each.need.shaft}: {each.why}" for each in short]
    return [f"Short of a shaft: {counted(len(short), 'club')}.", *said, ""]


def _own_shafts(own: Sequence[tuple[str, str, str]]) -> list[str]:
    if not own:
        return []
    said = [f"  {order}, {club}: {words}" for order, club, words in own]
    return [BRING_THEIR_OWN, *said, ""]


def stock_files(stock: Stock) -> dict[str, str]:
    """Return the texts of the CSV files by name: what to take, what to buy, who goes short, and the shelf afterwards.

    Cuts are in thousandths of an inch and add up to the piece's length; the shelf is as :func:`shelf_csv` writes it.
    """
    plan = stock.plan
    takes, buys = [], []
    for cut in plan.cuts:
        piece, need = cut.piece, cut.need
        length = round(piece.length_in, 3)
        keep = min(round(need.cut_length_in, 3), length)  # rounding must not make a tight fit too long
        tip = min(round(cut.tip_trim_in, 3), round(length - keep, 3))
        where = "buy" if cut.bought else "shelf"
        off = piece.tip_cut_in if isinstance(piece, RackPiece) else 0.0
        lengths = (
            length,
            round(off, 3),
            round(piece.tip_section_in, 3),
            tip,
            keep,
            round(length - tip - keep, 3) + 0.0,
        )
        takes.append([need.order, need.club, need.shaft, where, piece.mark, *lengths])
    for offer, packs in plan.to_buy:
        buys.append([offer.shaft, offer.raw_length_in, packs, offer.pack, packs * offer.pack])
    cut_columns = ["length_in", "tip_cut_in", "tip_section_in", "tip_trim_in", "cut_length_in", "butt_trim_in"]
    buy_columns = ["shaft", "raw_length_in", "packs_count", "pack_count", "shafts_count"]
    short = [[each.need.order, each.need.club, each.need.shaft, each.why] for each in plan.short]
    return {
        "take.csv": csv_text(["order", "club", "shaft", "from", "mark", *cut_columns], takes, "take.csv"),
        "buy.csv": csv_text(buy_columns, buys, "buy.csv"),
        "short.csv": csv_text(["order", "club", "shaft", "why"], short, "short.csv"),
        "shelf_afterwards.csv": shelf_csv(stock.afterwards),
    }


def write_stock(stock: Stock, folder: Path, *, replace: bool = False) -> tuple[Path, ...]:
    """Write the files of :func:`stock_files` into a folder, all or none, and return their paths.

    replace: whether older files of those names may be replaced. Raises SaveError as
    :func:`trimkit.parts.saving.save_texts`.
    """
    return save_texts(folder, stock_files(stock), replace=replace)
