"""From a wanted frequency back to the tip trim: which cut puts a club on target, and which clubs cannot get there.

Only the tip trim changes. The cut length stays, so the butt makes up the difference. The parallel section, the bore it
must fill and the raw length limit the cut (:func:`trimkit.club.card.trim_limits_in`).

Standing: derived; roots of the mechanics' frequency by ``scipy.optimize``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from trimkit.club.card import BenchCard, on_new_shaft, trim_limits_in
from trimkit.club.clamp import frequencies_cpm, frequency_cpm
from trimkit.mechanics.batch import broadcast, refuse_where
from trimkit.parts.components import TipKind
from trimkit.parts.tables import RawLength
from trimkit.trim.stepping import RawFamily

TRIM_EXACT_IN = 1e-10
"""How closely a tip trim is solved, in: far finer than any saw, so that rounding is left to whoever shows it."""
SAME_CPM = 1e-8
"""Two frequencies no further apart than this (cpm) are the same: above rounding, far below any machine."""


@dataclass(frozen=True)
class TargetTrim:
    """The tip trim that brings a club nearest to a wanted frequency.

    tip_trim_in: in, within what may be cut. frequency_cpm: at that trim. limit: what stops it, in words; empty if the
    target is met.
    """

    card: BenchCard
    target_cpm: float
    tip_trim_in: float
    frequency_cpm: float
    limit: str = ""

    @property
    def met(self) -> bool:
        """Whether the club reaches its target."""
        return not self.limit

    @property
    def change_in(self) -> float:
        """How much more (+) or less (-) comes off the tip than on the card, in."""
        return self.tip_trim_in - self.card.tip_trim_in

    @property
    def missing_cpm(self) -> float:
        """How far the club stays from its target, cpm: + too soft, - too stiff, 0 if the target is met."""
        return 0.0 if self.met else self.target_cpm - self.frequency_cpm


def trims_for(cards: Sequence[BenchCard], target_cpm: Sequence[float]) -> tuple[TargetTrim, ...]:
    """Answer which tip trim gives each club its wanted frequency, and by how much a club falls short of it.

    cards: the clubs; their own tip trims do not matter. target_cpm: one frequency per club.
    Frequency rises with tip trim; f(trim) - target = 0 is solved between the least and the most that may be cut
    (Brent 1973, by scipy.optimize.brentq). Both ends of every club are computed in one batch first.
    Raises ModelError for a target that is not a finite number above 0, for lists of unequal length, and for a club that
    cannot be computed.
    """
    _, given = broadcast(target_cpm=target_cpm, _clubs=[0.0] * len(cards))
    refuse_where(given["target_cpm"] <= 0, "target_cpm", given["target_cpm"], "more than 0 cpm", "give a frequency")
    limits = [trim_limits_in(card) for card in cards]
    ends = [replace(card, tip_trim_in=trim) for card, pair in zip(cards, limits, strict=True) for trim in pair]
    cpm = frequencies_cpm(ends).reshape(-1, 2)
    return tuple(
        _one(card, float(target), pair, (float(low), float(high)))
        for card, target, pair, (low, high) in zip(cards, target_cpm, limits, cpm, strict=True)
    )


def trim_for(card: BenchCard, target_cpm: float) -> TargetTrim:
    """Return :func:`trims_for` of one club."""
    return trims_for([card], [target_cpm])[0]


@dataclass(frozen=True)
class TargetRaw:
    """The raw length of a taper-tip family that brings a club nearest to a wanted frequency, and what it makes, cpm."""

    row: RawLength
    frequency_cpm: float


def nearest_raw_length(card: BenchCard, target_cpm: float) -> TargetRaw | None:
    """Answer which raw length of its family brings a taper-tip club nearest to a wanted frequency (cpm).

    Only raw lengths that reach the card's cut length count; None for a parallel tip, and where none reaches. Derived.
    Raises ModelError if a club cannot be computed.
    """
    if not isinstance(card.wanted.table, RawFamily):
        return None
    rows = [row for row in card.wanted.table.rows if row.raw_length_in >= card.cut_length_in - 1e-9]
    if not rows:
        return None
    cpm = frequencies_cpm([on_new_shaft(card, row.raw_length_in) for row in rows])
    made = (TargetRaw(row, float(each)) for row, each in zip(rows, cpm, strict=True))
    return min(made, key=lambda raw: abs(raw.frequency_cpm - target_cpm))


def _one(card: BenchCard, target: float, limits: tuple[float, float], ends: tuple[float, float]) -> TargetTrim:
    low, high = limits
    for trim, cpm in zip(limits, ends, strict=True):
        # A target equal to an end's own frequency may fall just outside by rounding.
        if abs(cpm - target) <= SAME_CPM:
            return TargetTrim(card, target, trim, cpm)
    if ends[0] < target < ends[1]:
        from scipy.optimize import brentq  # slow to import, and a set that is in order never needs it

        def off(trim: float) -> float:
            return frequency_cpm(replace(card, tip_trim_in=trim)) - target

        trim = float(brentq(off, low, high, xtol=TRIM_EXACT_IN))
        return TargetTrim(card, target, trim, frequency_cpm(replace(card, tip_trim_in=trim)))
    if card.wanted.shaft.tip_kind is TipKind.TAPER:
        return TargetTrim(card, target, low, ends[0], "a taper tip is never trimmed; choose another raw length")
    if target < ends[0]:
        return TargetTrim(card, target, low, ends[0], "too stiff already with no tip trim; nothing can be added back")
    shaft, head = card.wanted.shaft, card.wanted.head
    why = "the raw length ends here"
    if shaft.most_tip_trim_in is not None and high >= shaft.most_tip_trim_in - 1e-9:
        why = "its maker allows no more"
    elif high >= shaft.tip_section_in - head.bore_depth_in - 1e-9:
        why = "what is left of the parallel tip must fill the bore"
    return TargetTrim(card, target, high, ends[1], f"too soft even with the most that may be cut: {why}")
