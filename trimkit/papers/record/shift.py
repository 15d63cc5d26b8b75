"""A shift that all finished clubs of one kind of shaft share: the machine's or the shafts', not the single clubs'.

A shift is called common where at least :data:`LEAST_CLUBS` clubs on a kind of shaft were read, their median lies beyond
the tolerance, and at least three quarters of them lie within the tolerance of that median. The median is not moved by a
club or two that are wrong themselves: each club is then judged about it. Kinds of shaft are never put together, as a
batch may be softer than described while another is not. Standing: chosen here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from statistics import median

from trimkit.papers.record.model import Difference, Revision
from trimkit.parts.units import quantity, signed

LEAST_CLUBS = 4
"""Fewer clubs share a difference by chance too easily."""
LEAST_AGREEING = 0.75
"""Share of the clubs that must lie within the tolerance of the median."""


@dataclass(frozen=True)
class CommonShift:
    """The shift of one kind of shaft: by place in the set from 0, how far each club lies from it (cpm).

    shift_cpm: the median of measured less predicted. tolerance_cpm: of one club, either way.
    """

    shaft: str
    shift_cpm: float
    tolerance_cpm: float
    about_cpm: Mapping[int, float]

    @property
    def odd(self) -> tuple[int, ...]:
        """The places of the clubs that lie farther from the shift than the tolerance."""
        return tuple(place for place, off in self.about_cpm.items() if not self.within(place))

    @property
    def spread_cpm(self) -> float:
        """How far from it the farthest of the clubs lies that share it, cpm."""
        return max(abs(off) for place, off in self.about_cpm.items() if self.within(place))

    def within(self, place: int) -> bool:
        """Whether a club lies within the tolerance of the shift."""
        return abs(self.about_cpm[place]) <= self.tolerance_cpm + 1e-9


def common_shifts(revision: Revision) -> tuple[CommonShift, ...]:
    """Return the common shift of each kind of shaft of a build that has one, in the sequence of its clubs."""
    kinds: dict[str, dict[int, Difference]] = {}
    for place, club in enumerate(revision.clubs):
        for finding in club.findings:
            if finding.quantity == "frequency":
                kinds.setdefault(club.shaft, {})[place] = finding
    shifts = []
    for shaft, found in kinds.items():
        middle = median(each.difference for each in found.values())
        tolerance = min(each.tolerance for each in found.values())
        about = {place: each.difference - middle for place, each in found.items()}
        shift = CommonShift(shaft, middle, tolerance, about)
        agreeing = len(about) - len(shift.odd)
        if len(about) >= LEAST_CLUBS and abs(middle) > tolerance and agreeing >= LEAST_AGREEING * len(about):
            shifts.append(shift)
    return tuple(shifts)


def shift_lines(revision: Revision, shifts: tuple[CommonShift, ...]) -> Iterator[str]:
    """Yield what the common shifts are, what causes one, and what to do; nothing if there is none."""
    for shift in shifts:
        low = shift.shift_cpm < 0
        count = len(shift.about_cpm)
        names = [f"{place + 1} {revision.clubs[place].club}" for place in shift.odd]
        those = f"the {count} clubs" if not names else f"{count - len(names)} of the {count} clubs"
        yield (
            f"Common shift: {those} on {shift.shaft} read about {quantity(abs(shift.shift_cpm), 'cpm', 1)} "
            f"{'lower' if low else 'higher'} than predicted (the median), each within "
            f"{quantity(shift.spread_cpm, 'cpm', 1)} of that."
        )
        if names:
            yield f"    Not so: {', '.join(names)}. Look there for a fault of the club itself."
    if not shifts:
        return
    signs = {shift.shift_cpm < 0 for shift in shifts}
    if len(shifts) > 1 and len(signs) == 1:
        yield "Several kinds of shaft are shifted the same way: suspect the clamp or the machine before the shafts."
    for low in sorted(signs, reverse=True):
        clamp, batch = ("gives more, or holds less", "softer") if low else ("gives less, or holds more", "stiffer")
        yield (
            f"What makes all read {'low' if low else 'high'}: a clamp that {clamp} of the butt, than assumed, "
            f"the machine itself, or a batch of shafts {batch} than described."
        )
    yield (
        "Check the clamp and read one club again; then let trimkit calibrate work it out from these readings. "
        "The verdicts below are against the prediction as it was."
    )


def about_line(place: int, shifts: tuple[CommonShift, ...]) -> str | None:
    """Return how a club lies about the common shift of its kind of shaft, and the verdict; None if it has none."""
    for shift in shifts:
        if place in shift.about_cpm:
            verdict = "within" if shift.within(place) else "outside"
            return (
                f"about the common shift of {signed(shift.shift_cpm, 1)} cpm: {signed(shift.about_cpm[place], 1)} cpm, "
                f"{verdict} the tolerance of {shift.tolerance_cpm:.1f}"
            )
    return None
