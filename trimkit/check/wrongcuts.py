"""Mistakes in the cuts: the tip trim and cut length each would put on the card, compared with the card."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from trimkit.club.card import BenchCard, trim_limits_in
from trimkit.club.clamp import frequency_cpm
from trimkit.parts.errors import ModelError, TrimRefused
from trimkit.parts.units import MM_PER_IN
from trimkit.trim.bore import bbgl_correction_in
from trimkit.trim.equivalence import EquivalentClub, TrimAs, usual_way
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import RawFamily

CARD_READING_IN = 1 / 32
"""Two numbers on a card no further apart than this (in) are one number read off a ruler; chosen here."""


@dataclass(frozen=True)
class Cause:
    """One mistake, and how well it explains the card.

    misfit_in: the largest difference between the cuts this mistake would give and the card's, in; 0 for a mistake
    in the parts. misfit_cpm: what it leaves unexplained, cpm; None where the mistaken club cannot be computed.
    """

    mistake: str
    misfit_in: float
    misfit_cpm: float | None

    @property
    def explains(self) -> bool:
        """Whether the mistake gives the card's numbers, as far as a ruler can tell."""
        return self.misfit_in <= CARD_READING_IN + 1e-9


@dataclass(frozen=True)
class _Cuts:
    mistake: str
    tip_trim_in: float
    cut_length_in: float
    raw_length_in: float


def cutting_causes(card: BenchCard, plan: TrimPlan, others: Sequence[BenchCard]) -> tuple[Cause, ...]:
    """Answer which mistake in the cuts would have written this card, the best explanation first.

    plan: what the rules say for this club. others: the rest of the set's cards as the rules would write them, in case
    the cuts belong to another club. A mistake's misfit is its largest difference in tip trim, cut length or raw length
    (in); of equals the simpler comes first. A mistake that changes nothing for this club is left out. Raises
    nothing: a card whose numbers are not finite has no such mistake, and an impossible frequency is None.
    """
    if not all(map(math.isfinite, (card.tip_trim_in, card.cut_length_in, card.raw_length_in))):
        return ()
    try:
        own: float | None = frequency_cpm(card)
    except ModelError:
        own = None
    causes = [
        Cause(cuts.mistake, _apart_in(cuts, card), _distance_cpm(card, cuts, own))
        for cuts in _mistaken_cuts(card, plan, others)
        if _apart_in(cuts, plan) > CARD_READING_IN
    ]
    return tuple(sorted(causes, key=lambda cause: round(cause.misfit_in / CARD_READING_IN)))


def _apart_in(cuts: _Cuts, other: BenchCard | TrimPlan) -> float:
    return max(
        abs(cuts.tip_trim_in - other.tip_trim_in),
        abs(cuts.cut_length_in - other.cut_length_in),
        abs(cuts.raw_length_in - other.raw_length_in),
    )


def _distance_cpm(card: BenchCard, cuts: _Cuts, own: float | None) -> float | None:
    if own is None:
        return None
    tried = replace(
        card, tip_trim_in=cuts.tip_trim_in, cut_length_in=cuts.cut_length_in, raw_length_in=cuts.raw_length_in
    )
    try:
        if cuts.tip_trim_in > trim_limits_in(tried)[1] + 1e-9:
            return None
        return abs(frequency_cpm(tried) - own)
    except ModelError:
        return None


def _mistaken_cuts(card: BenchCard, plan: TrimPlan, others: Sequence[BenchCard]) -> Iterable[_Cuts]:
    trim, cut, raw = plan.tip_trim_in, plan.cut_length_in, plan.raw_length_in
    if isinstance(card.wanted.table, TrimSchedule):
        yield from _bore_mistakes(plan)
        yield from _row_mistakes(plan, card.wanted.table)
        if plan.pulled_in:
            yield _Cuts("what is off the pulled shaft's tip cut off it again", trim - plan.pulled_in, cut, raw)
        yield _Cuts("tip and butt swapped: cut from the wrong end", plan.butt_trim_in, cut, raw)
        yield _Cuts("inches of tip trim cut as millimeters", trim / MM_PER_IN, cut, raw)
        yield _Cuts("inches of tip trim cut as centimeters", trim * 10 / MM_PER_IN, cut, raw)
        yield _Cuts("millimeters of tip trim cut as inches", trim * MM_PER_IN, cut, raw)
        for inch in (-1, 1):
            yield _Cuts(f"tip trim read one inch {'short' if inch < 0 else 'long'}", trim + inch, cut, raw)
    elif isinstance(card.wanted.table, RawFamily):
        yield from _family_mistakes(plan, card.wanted.table)
    yield from _length_mistakes(plan)
    yield from _placing_mistake(plan)
    for other in others:
        what = f"the cuts of another club: the {other.club}"
        yield _Cuts(what, other.tip_trim_in, other.cut_length_in, other.raw_length_in)
        yield _Cuts(f"the tip trim of another club: the {other.club}", other.tip_trim_in, cut, raw)
        yield _Cuts(f"the cut length of another club: the {other.club}", trim, other.cut_length_in, raw)


def _bore_mistakes(plan: TrimPlan) -> Iterable[_Cuts]:
    wanted, table = plan.wanted, plan.wanted.table
    assert isinstance(table, TrimSchedule)
    trim, cut, raw = plan.tip_trim_in, plan.cut_length_in, plan.raw_length_in
    full = bbgl_correction_in(wanted.bbgl_in, table.bbgl_reference_in(plan.equivalent))
    rows = plan.schedule_trim_in + plan.between_flexes_in + plan.pulled_in
    yield _Cuts("the correction for the bore left out", rows, cut, raw)
    yield _Cuts("the correction for the bore with the wrong sign", rows - full, cut, raw)
    yield _Cuts("the correction for the bore applied twice", rows + 2 * full, cut, raw)
    yield _Cuts("the correction for the bore in millimeters taken as inches", rows + full * MM_PER_IN, cut, raw)
    yield _Cuts("the whole BBGL taken for its correction", rows + wanted.bbgl_in, cut, raw)
    if wanted.dry_fit is not None:
        table_bbgl = wanted.head.bbgl_in
        other = rows + bbgl_correction_in(table_bbgl, table.bbgl_reference_in(plan.equivalent))
        yield _Cuts("the head's table used against the dry fit", other, cut + wanted.bbgl_in - table_bbgl, raw)
    if plan.bbgl_uncorrected_in:
        yield _Cuts("the bore corrected although it was to be left as is", trim + plan.bbgl_uncorrected_in, cut, raw)


def _row_mistakes(plan: TrimPlan, table: TrimSchedule) -> Iterable[_Cuts]:
    cut, raw = plan.cut_length_in, plan.raw_length_in
    bore = plan.tip_trim_in - plan.schedule_trim_in - plan.between_flexes_in
    for flex in table.flexes:
        yield _Cuts(
            f"another flex's row: {flex} instead of {plan.flex}",
            table.trim_in(plan.equivalent, FlexPlace.at(flex)) + bore,
            cut,
            raw,
        )
    near = plan.equivalent.longer
    if near not in table.clubs:
        return
    at = table.clubs.index(near)
    for side in (-1, 1):
        if 0 <= at + side < len(table.clubs):
            name = table.clubs[at + side]
            row = table.trim_in(EquivalentClub(name, name, 0.0), plan.flex)
            yield _Cuts(f"another club's row: {name} instead of {plan.equivalent}", row + bore, cut, raw)


def _family_mistakes(plan: TrimPlan, family: RawFamily) -> Iterable[_Cuts]:
    own = family.nearest(plan.equivalent)
    if plan.wanted.pulled is not None:
        return  # a pulled shaft is the piece it is: nobody picks its raw length
    for row in family.rows:
        if row.raw_length_in != plan.raw_length_in:
            what = f"another raw length: the {row.club}'s instead of the one for the {own}"
            yield _Cuts(what, 0.0, plan.cut_length_in, row.raw_length_in)
    unstepped = family.row(own).raw_length_in
    if plan.wanted.soft_steps:
        yield _Cuts("the step left out", 0.0, plan.cut_length_in, unstepped)


def _length_mistakes(plan: TrimPlan) -> Iterable[_Cuts]:
    trim, cut, raw = plan.tip_trim_in, plan.cut_length_in, plan.raw_length_in
    cap, bbgl = plan.wanted.grip.cap_thickness_in, plan.wanted.bbgl_in
    yield _Cuts("the grip's cap forgotten", trim, cut + cap, raw)
    yield _Cuts("the grip's cap taken off twice", trim, cut - cap, raw)
    yield _Cuts("the BBGL forgotten in the cut length", trim, cut + bbgl, raw)
    yield _Cuts("BBGL and cap forgotten: playing length cut as shaft", trim, cut + bbgl + cap, raw)
    yield _Cuts("the BBGL taken off the cut length twice", trim, cut - bbgl, raw)
    for inch in (-1, 1):
        yield _Cuts(f"cut length read one inch {'short' if inch < 0 else 'long'}", trim, cut + inch, raw)


def _placing_mistake(plan: TrimPlan) -> Iterable[_Cuts]:
    """The same club placed the other way: by number instead of by mass, or by mass instead of by number."""
    way = plan.wanted.decisions.trim_as or usual_way(plan.wanted.head)
    other = TrimAs.ENGRAVED if way is TrimAs.MASS else TrimAs.MASS
    try:
        placed = plan_club(replace(plan.wanted, decisions=replace(plan.wanted.decisions, trim_as=other)))
    except TrimRefused:
        return
    said = "by its engraved number" if other is TrimAs.ENGRAVED else "by its mass"
    yield _Cuts(
        f"placed {said}, as a {placed.equivalent}", placed.tip_trim_in, placed.cut_length_in, placed.raw_length_in
    )
    row_only = f"the row {said}, the length as it should be"
    yield _Cuts(row_only, placed.tip_trim_in, plan.cut_length_in, placed.raw_length_in)
