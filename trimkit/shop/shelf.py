"""Orders against the shelf: which piece of shaft each club is cut from, what to buy, and which clubs go short.

A piece is what lies on the shelf: a master as bought, or one that was trimmed before. Above the first step all pieces
of one shaft are alike, so a club needs two things of a piece: enough tip section below the first step once the tip is
cut, and enough length above that cut.

That a piece can be used again is derived from the shaft's geometry.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from trimkit.parts.components import TipKind
from trimkit.parts.errors import ModelError, TrimRefused, counted
from trimkit.parts.units import say_in
from trimkit.shop.stockprogramme import choose
from trimkit.trim.plan import TrimPlan
from trimkit.trim.refusals import RefusedTogether, finite
from trimkit.trim.wanted import WantedClub

_SAME_IN = 1e-6
MOST_PAIRS = 50_000
"""Most pairs of a club and a piece that fits it: one core chooses among so many in some ten to twenty seconds; chosen
here."""
_MOST_SAID = 3


@dataclass(frozen=True)
class Need:
    """What one club of one order needs: its shaft, and what must be left of it after both cuts.

    tip_section_in: from the cut tip to the first step, in. cut_length_in: of bare shaft, in. taper: the tip may not be
    cut, so the piece must have exactly this tip section. tip_error_in: by so much, in, the tip section of a parallel
    piece may be shorter: two measurements of one length differ.
    """

    order: str
    club: str
    shaft: str
    tip_section_in: float
    cut_length_in: float
    taper: bool = False
    tip_error_in: float = 0.0


@dataclass(frozen=True)
class Piece:
    """Identical pieces of one shaft: their length and tip section as they are now (in), and how many there are.

    master: as bought; False for one that was cut before. mark: what is written on it. Raises TrimRefused for a length
    that is not a finite number above 0, a tip section longer than the piece, or a count that is not a whole number of
    0 or more.
    """

    shaft: str
    length_in: float
    tip_section_in: float
    count: int = 1
    master: bool = True
    mark: str = ""

    def __post_init__(self) -> None:
        _check_lengths(self.shaft, self.length_in, self.tip_section_in)
        _check_count(f"pieces of shaft {self.shaft!r}", self.count, 0)

    def __str__(self) -> str:
        kind = "master" if self.master else "piece"
        said = f"{kind} {self.mark!r}" if self.mark else kind
        return f"{said} of {self.shaft}, {say_in(self.length_in)} with {say_in(self.tip_section_in)} of tip section"


@dataclass(frozen=True)
class Offer:
    """A raw length (in) that can be bought, in packs. most_packs: how many packs at most; None: no limit."""

    shaft: str
    raw_length_in: float
    tip_section_in: float
    pack: int = 1
    most_packs: int | None = None

    def __post_init__(self) -> None:
        _check_lengths(self.shaft, self.raw_length_in, self.tip_section_in)
        _check_count(f"shafts {self.shaft!r} in a pack", self.pack, 1)
        if self.most_packs is not None:
            _check_count(f"packs of shaft {self.shaft!r}", self.most_packs, 0)

    @property
    def piece(self) -> Piece:
        """One master of this raw length."""
        return Piece(self.shaft, self.raw_length_in, self.tip_section_in)


@dataclass(frozen=True)
class PieceCut:
    """A club and the piece it is cut from: what comes off its tip and butt, in. bought: not from the shelf."""

    need: Need
    piece: Piece
    tip_trim_in: float
    butt_trim_in: float
    bought: bool


@dataclass(frozen=True)
class GoesShort:
    """A club with no piece left for it, and why, in words."""

    need: Need
    why: str


@dataclass(frozen=True)
class ShelfPlan:
    """The cuts, how many packs to buy of each offer, what is left over, and which clubs go short.

    left: what stays on the shelf; spare: what is bought but not needed, because packs are bought whole.
    """

    cuts: tuple[PieceCut, ...]
    to_buy: tuple[tuple[Offer, int], ...]
    left: tuple[Piece, ...]
    spare: tuple[Piece, ...]
    short: tuple[GoesShort, ...]

    @property
    def bought(self) -> int:
        """How many shafts are bought, whole packs counted."""
        return sum(offer.pack * packs for offer, packs in self.to_buy)

    @property
    def waste_in(self) -> float:
        """What is cut off in all, tip and butt, in."""
        return sum(cut.tip_trim_in + cut.butt_trim_in for cut in self.cuts)

    def every_cut(self) -> tuple[PieceCut, ...]:
        """Return the cuts if no club goes short; raises TrimRefused (RefusedTogether for several) if one does."""
        faults = tuple(
            TrimRefused(
                f"order {each.need.order!r}, {each.need.club}: {each.why}",
                "a piece with enough tip section and length for each club",
                "order such a shaft, or agree on another shaft or a shorter club with the client",
            )
            for each in self.short
        )
        if len(faults) > 1:
            raise RefusedTogether(faults)
        if faults:
            raise faults[0]
        return self.cuts


def needs_of(order: str, plans: Iterable[TrimPlan]) -> tuple[Need, ...]:
    """Return what the planned clubs of an order need.

    tip section = shaft's tip section - (longest raw length - raw length) - tip trim, in: derived, since the raw lengths
    of a taper family differ only below the first step; a parallel-tip piece in hand has its whole tip. An extension at
    the butt is not part of the piece.
    """
    needs = []
    for plan in plans:
        shaft = plan.wanted.shaft
        cut, taper = plan.cut_length_in - plan.extension_in, shaft.tip_kind is TipKind.TAPER
        shorter = shaft.raw_length_in - plan.raw_length_in if taper else 0.0
        section = shaft.tip_section_in - shorter - plan.tip_trim_in
        error = 0.0 if taper else plan.wanted.practice.measuring_error_in
        needs.append(Need(order, plan.club, shaft.name, section, cut, taper, error))
    return tuple(needs)


def pulled_piece(wanted: WantedClub) -> Piece:
    """Return the pulled shaft of a club as the piece it is on the shelf; raises TrimRefused for a new shaft."""
    if wanted.pulled is None:
        given = f"the shaft {wanted.shaft.name!r} is new"
        raise TrimRefused(given, "a shaft that was pulled from another club", "count it among the masters")
    return Piece(wanted.shaft.name, wanted.shaft.raw_length_in, wanted.shaft.tip_section_in, master=False)


def why_not(need: Need, piece: Piece) -> str | None:
    """Return in words why a club cannot be cut from a piece; None if it can.

    tip trim of the piece = its tip section - the club's, in, or 0 where it is shorter by no more than a measuring
    error; what is left must be at least the cut length.
    """
    if piece.shaft != need.shaft:
        return f"it is {piece.shaft}, not {need.shaft}"
    trim = piece.tip_section_in - need.tip_section_in
    if trim < -need.tip_error_in - _SAME_IN:
        return f"its tip section is {say_in(-trim)} too short"
    if need.taper and trim > _SAME_IN:
        return f"its tip section is {say_in(trim)} too long, and a taper tip is never trimmed"
    short = need.cut_length_in - (piece.length_in - max(trim, 0.0))
    return f"it is {say_in(short)} too short" if short > _SAME_IN else None


def plan_shelf(needs: Iterable[Need], shelf: Iterable[Piece], offers: Iterable[Offer] = ()) -> ShelfPlan:
    """Answer which piece each club is cut from, and what to buy.

    needs: the clubs, earlier orders first. Goals, the most important first: fewest clubs short, and if any, those of
    the latest orders; fewest shafts bought; fewest masters taken from the shelf; least cut off. Solved exactly by
    :mod:`trimkit.shop.stockprogramme`. One piece makes one club. A club that goes short is listed with the reason;
    :meth:`ShelfPlan.every_cut` refuses it. Raises ModelError if there is no club, or if more than :data:`MOST_PAIRS`
    pairs of a club and a piece fit.
    """
    needs, shelf, offers = tuple(needs), tuple(shelf), tuple(offers)
    if not needs:
        raise ModelError("no club", "one club or more", "plan an order first")
    pieces = (*shelf, *(offer.piece for offer in offers))
    fitting = ((c, p) for c, need in enumerate(needs) for p, piece in enumerate(pieces) if why_not(need, piece) is None)
    pairs = list(itertools.islice(fitting, MOST_PAIRS + 1))
    if len(pairs) > MOST_PAIRS:
        raise ModelError(
            f"{counted(len(needs), 'club')} and {counted(len(pieces), 'kind')} of pieces fit in more than "
            f"{MOST_PAIRS} ways",
            f"at most {MOST_PAIRS} pairs of a club and a piece that fits it",
            "plan fewer orders at a time, earlier ones first; take pieces that are alike together in one row",
        )
    chosen, packs = choose(
        pairs,
        orders=[need.order for need in needs],
        on_shelf=[piece.count for piece in shelf],
        packs=[(offer.pack, offer.most_packs) for offer in offers],
        opens=[p < len(shelf) and pieces[p].master for _, p in pairs],
        waste_in=[pieces[p].length_in - needs[c].cut_length_in for c, p in pairs],
    )
    cuts = []
    for c, p in chosen.items():
        trim = max(pieces[p].tip_section_in - needs[c].tip_section_in, 0.0)
        butt = max(pieces[p].length_in - trim - needs[c].cut_length_in, 0.0)
        cuts.append(PieceCut(needs[c], pieces[p], trim, butt, bought=p >= len(shelf)))
    used = [sum(q == p for q in chosen.values()) for p in range(len(pieces))]
    return ShelfPlan(
        cuts=tuple(cuts),
        to_buy=tuple((offer, number) for offer, number in zip(offers, packs, strict=True) if number),
        left=_counted(shelf, [piece.count - n for piece, n in zip(shelf, used, strict=False)]),
        spare=_counted(
            [offer.piece for offer in offers],
            [offer.pack * k - n for offer, k, n in zip(offers, packs, used[len(shelf) :], strict=True)],
        ),
        short=tuple(
            GoesShort(need, _say_why(need, pieces, pairs, c)) for c, need in enumerate(needs) if c not in chosen
        ),
    )


def _say_why(need: Need, pieces: Sequence[Piece], pairs: Sequence[tuple[int, int]], club: int) -> str:
    wanted = f"it needs {say_in(need.tip_section_in)} of tip section and {say_in(need.cut_length_in)} of length"
    fitting = [str(pieces[p]) for c, p in pairs if c == club]
    if fitting:
        return f"{wanted}; every piece that fits is taken by another club: {_some(fitting, ', ')}"
    own = [piece for piece in pieces if piece.shaft == need.shaft]
    if not own:
        return f"{wanted}; there is no shaft {need.shaft!r} on the shelf or on offer"
    own.sort(key=lambda piece: _missing_in(need, piece))
    return f"{wanted}; " + _some([f"{piece}: {why_not(need, piece)}" for piece in own], "; ")


def _missing_in(need: Need, piece: Piece) -> float:
    """How far a piece is from making a club, in: what its tip section and its length lack together."""
    trim = piece.tip_section_in - need.tip_section_in
    lacks = abs(trim) if need.taper else max(-trim, 0.0)
    return lacks + max(need.cut_length_in - (piece.length_in - max(trim, 0.0)), 0.0)


def _some(said: Sequence[str], between: str) -> str:
    more = f"{between}and {len(said) - _MOST_SAID} more" if len(said) > _MOST_SAID else ""
    return between.join(said[:_MOST_SAID]) + more


def _counted(pieces: Sequence[Piece], counts: Sequence[int]) -> tuple[Piece, ...]:
    return tuple(replace(piece, count=n) for piece, n in zip(pieces, counts, strict=True) if n > 0)


def _check_lengths(shaft: str, length_in: float, tip_section_in: float) -> None:
    what = f"shaft {shaft!r}"
    length, section = finite(f"{what}: length", length_in), finite(f"{what}: tip section", tip_section_in)
    if length <= 0 or not 0 <= section <= length:
        raise TrimRefused(
            f"{what}: {say_in(length)} long with a tip section of {say_in(section)}",
            "a length of more than 0 in, and a tip section within it",
            "measure it again",
        )


def _check_count(what: str, count: int, least: int) -> None:
    if isinstance(count, bool) or not isinstance(count, int) or count < least:
        raise TrimRefused(f"{count!r} {what}", f"a whole number, {least} or more", "count again")
