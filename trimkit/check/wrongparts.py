"""Mistakes in the parts: the card follows the rule for what was measured, and the club is still off the line.

Each mistake replaces one measured number; the one that brings the club back to the set's line explains it best.
Mistakes in the cuts are in :mod:`trimkit.check.wrongcuts`.

Which mistakes are tried is chosen here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from trimkit.check.setline import SET_TOLERANCE_CPM
from trimkit.check.wrongcuts import CARD_READING_IN, Cause
from trimkit.club.boreworth import BoreWorth, at_bbgl
from trimkit.club.card import BenchCard
from trimkit.club.clamp import frequencies_cpm, frequency_cpm
from trimkit.parts.components import Head, HeadKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.units import G_PER_OZ, MM_PER_IN, say_in, say_number
from trimkit.trim.clubs import with_article
from trimkit.trim.plan import TrimPlan, plan_club

LINE_READING_CPM = 1.0
"""Two frequencies no further apart than this (cpm) are one reading of a frequency machine; chosen here."""
# A head further from its card than this was not misread: it is another head.
_MOST_MISREAD_G = 60.0


def parts_causes(
    card: BenchCard,
    plan: TrimPlan,
    line_cpm: float,
    bore: BoreWorth | None = None,
    tolerance_cpm: float = SET_TOLERANCE_CPM,
) -> tuple[Cause, ...]:
    """Answer which mistake in the parts would put this club off the line although its cuts follow the rule.

    plan: what the rules say. line_cpm: what the set's line calls for, cpm. bore: what a taper-tip head off its BBGL
    reference is worth. Tried: such a head at its reference; the shaft weighs, or measures, what it should; two
    neighbouring digits of the head's mass swapped; the head of the club's own rung in place of this one; and, where
    none of these explains it, the head mass that would bring the club to the line: f(mass) = line. Best first by what
    stays unexplained, in steps of :data:`LINE_READING_CPM`; equals in the order above. A BBGL that is off is
    known and the others are guessed: it comes first wherever the club at its reference would be within tolerance_cpm
    of the line. Raises ModelError if the card's own club cannot be computed.
    """
    head, ladder = card.wanted.head, card.wanted.ladder
    tried: dict[str, BenchCard] = {}
    if bore is not None:
        meant = at_bbgl(card, bore.bore.reference_in)
        tried[f"the head's BBGL, {say_in(bore.bore.bbgl_in)}: {bore.bore.amount}, {bore.effect}"] = meant
    if card.raw_mass_g is not None:
        tried[f"another shaft, or its mass misread ({say_number(card.raw_mass_g, 1)} g)"] = replace(
            card, raw_mass_g=None
        )
    if abs(card.raw_length_in - plan.raw_length_in) > CARD_READING_IN:
        other_length = f"another raw length, {say_in(card.raw_length_in)} instead of {say_in(plan.raw_length_in)}"
        tried[other_length] = replace(card, raw_length_in=plan.raw_length_in)
    for mass in _misread_g(head.head_mass_g):
        tried[_misread(head.head_mass_g, mass)] = _with_mass(card, mass)
    if head.kind is not HeadKind.HYBRID and head.club in ladder.clubs:
        own = ladder.rung(head.club).head_mass_g
        nearest = min(ladder.rungs, key=lambda rung: abs(rung.head_mass_g - head.head_mass_g)).club
        if nearest != head.club:
            like = f"it weighs like {with_article(nearest)}'s, not {with_article(head.club)}'s"
            tried[f"another club's head: {like}"] = _with_mass(card, own)
    cpm = frequencies_cpm([card, *tried.values()])[1:]
    causes = [Cause(what, 0.0, abs(float(each) - line_cpm)) for what, each in zip(tried, cpm, strict=True)]
    if not any((cause.misfit_cpm or 0.0) <= LINE_READING_CPM for cause in causes):
        causes += _solved_mass(card, line_cpm)
    known = causes[:1] if bore is not None and (causes[0].misfit_cpm or 0.0) <= tolerance_cpm else []
    guessed = sorted(causes[len(known) :], key=lambda cause: int((cause.misfit_cpm or 0.0) / LINE_READING_CPM))
    return (*known, *guessed)


def refused_causes(card: BenchCard) -> tuple[Cause, ...]:
    """Answer which misread measurement makes the rules refuse a club, those that leave the cuts nearest (in) first.

    Tried: the BBGL in millimetres or centimetres, the head's mass in ounces or with two digits swapped. A mistake
    counts if the rules allow the club once it is put right. Raises nothing.
    """
    head = card.wanted.head
    tried: dict[str, Head] = {
        "the BBGL in millimeters taken as inches": replace(head, bbgl_in=head.bbgl_in / MM_PER_IN),
        "the BBGL in centimeters taken as inches": replace(head, bbgl_in=head.bbgl_in * 10 / MM_PER_IN),
        "the head's mass in ounces taken as grams": replace(head, head_mass_g=head.head_mass_g * G_PER_OZ),
    }
    for mass in filter(None, swapped_digits_g(head.head_mass_g)):
        tried[_misread(head.head_mass_g, mass)] = replace(head, head_mass_g=mass)
    causes = []
    for what, other in tried.items():
        try:
            plan = plan_club(replace(card.wanted, head=other))
        except TrimRefused:
            continue
        off = max(abs(plan.tip_trim_in - card.tip_trim_in), abs(plan.cut_length_in - card.cut_length_in))
        causes.append(Cause(what, off, None))
    return tuple(sorted(causes, key=lambda cause: cause.misfit_in))


def ladder_causes(card: BenchCard, allowed_rungs: float) -> tuple[Cause, ...]:
    """Answer which swapped digits would explain a head that is further off its rung than allowed (in rungs).

    For a club that is on the line anyway, because its cuts follow from the misread mass. Raises TrimRefused if
    the ladder does not have the head's number.
    """
    head, ladder = card.wanted.head, card.wanted.ladder
    rung = ladder.by_number(head.club).longer
    fits = [mass for mass in _misread_g(head.head_mass_g) if abs(ladder.rungs_off(mass, rung)) <= allowed_rungs]
    return tuple(Cause(_misread(head.head_mass_g, mass), 0.0, None) for mass in fits)


def _misread_g(mass_g: float) -> tuple[float, ...]:
    return tuple(mass for mass in swapped_digits_g(mass_g) if abs(mass - mass_g) < _MOST_MISREAD_G)


def _misread(mass_g: float, for_g: float) -> str:
    return f"head mass misread: {say_number(mass_g, 1)} g for {say_number(for_g, 1)} g"


def swapped_digits_g(mass_g: float) -> tuple[float, ...]:
    """Return the masses (g, to a tenth) that differ from one by two neighbouring digits swapped.

    >>> swapped_digits_g(276.8)
    (726.8, 267.8, 278.6)
    """
    digits = f"{mass_g:.1f}".replace(".", "")
    swaps = []
    for at in range(len(digits) - 1):
        other = [*digits]
        other[at], other[at + 1] = other[at + 1], other[at]
        value = float("".join(other[:-1]) + "." + other[-1])
        if value != mass_g:
            swaps.append(value)
    return tuple(swaps)


def _with_mass(card: BenchCard, mass_g: float) -> BenchCard:
    return replace(card, wanted=replace(card.wanted, head=replace(card.wanted.head, head_mass_g=mass_g)))


def _solved_mass(card: BenchCard, line_cpm: float) -> Iterable[Cause]:
    from scipy.optimize import brentq  # slow to import, and a set that is in order never needs it

    mass = card.wanted.head.head_mass_g

    def off(other_g: float) -> float:
        return frequency_cpm(_with_mass(card, other_g)) - line_cpm

    low, high = max(mass - _MOST_MISREAD_G, 1.0), mass + _MOST_MISREAD_G
    if off(low) * off(high) > 0:
        return

    solved = float(brentq(off, low, high, xtol=1e-6))
    more = "more" if solved > mass else "less"
    what = f"head mass off: the line needs {say_number(abs(solved - mass), 1)} g {more} ({say_number(solved, 1)} g)"
    yield Cause(what, 0.0, abs(off(solved)))
