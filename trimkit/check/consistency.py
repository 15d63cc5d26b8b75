"""Checks before the saw that need no frequency: do the measurements, the tables and the sums agree?"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import partial

import numpy as np

from trimkit.check.setline import SET_TOLERANCE_CPM, SET_TOLERANCE_SOURCE
from trimkit.club.card import BenchCard, card_components, catalogue_mass_g
from trimkit.club.shoptables import SHOP_LIMIT, ShopFile
from trimkit.club.swingweight import SWINGWEIGHT_TOLERANCE_POINTS, swingweight_tolerance
from trimkit.mechanics.balance import POINT_OZ_IN, balance, swingweight_words
from trimkit.parts.components import HeadKind, TipKind
from trimkit.parts.errors import ModelError, TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_in, say_number
from trimkit.trim.bore import check_fill, check_fit
from trimkit.trim.clubs import club_kind
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.plan import TrimPlan
from trimkit.trim.schedule import TrimSchedule

CHOSEN_HERE = Source("chosen here, to be set to the shop's own", Standing.CHOSEN)


@dataclass(frozen=True)
class CheckTolerances:
    """How far numbers may differ before the check says stop. All are for the shop to set.

    frequency_cpm: a club off its set's line; from memory, unverified. The others are chosen here. cut_in: a cut or a
    sum of lengths off the rule's, in (one mark of the usual ruler). rungs: an iron's or wedge's mass off its own rung
    of the ladder. hybrid_rungs: a hybrid's mass off the iron of its number. raw_mass_fraction: a raw shaft's mass off
    the catalogue's, as a fraction of it. swingweight_points: a swingweight on the card. schedule_in: a
    schedule row off the mean of its neighbours, and a gap between flexes off the other clubs', in. source: of
    frequency_cpm; the others are :data:`CHOSEN_HERE`.
    Raises ModelError for a tolerance that is not above 0.
    """

    frequency_cpm: float = SET_TOLERANCE_CPM
    cut_in: float = 1 / 16
    rungs: float = 0.5
    hybrid_rungs: float = 2.0
    raw_mass_fraction: float = 0.03
    swingweight_points: float = SWINGWEIGHT_TOLERANCE_POINTS
    schedule_in: float = 0.25
    source: Source = SET_TOLERANCE_SOURCE

    def __post_init__(self) -> None:
        for field in fields(self):
            if field.name == "source":
                continue
            value = getattr(self, field.name)
            if not (np.isfinite(value) and value > 0):
                raise ModelError(
                    f"the tolerance {field.name} is {value}", "a finite number above 0", "state the shop's tolerance"
                )

    @classmethod
    def of_shop(cls, shop: ShopFile | None) -> CheckTolerances:
        """Return the usual tolerances, those that the shop has set itself in their place."""
        if shop is None:
            return cls()
        own, points = shop.tolerances.set_cpm, swingweight_tolerance(shop).points
        if own is None:
            return cls(swingweight_points=points)
        return cls(frequency_cpm=own, swingweight_points=points, source=SHOP_LIMIT)


class Check(StrEnum):
    """The checks that a club goes through."""

    LINE = "the set's line"
    RULE = "the rule's own cut"
    REFERENCE = "BBGL against its reference"
    LENGTHS = "sum of the lengths"
    LADDER = "head-weight ladder"
    DRY_FIT = "dry fit against the table"
    RAW_LENGTH = "raw length"
    RAW_MASS = "raw mass"
    BALANCE = "swingweight worked out again"
    SCHEDULE = "schedule against its neighbors"
    FIT = "what a shaft allows"


@dataclass(frozen=True)
class Disagreement:
    """One disagreement: which check, by how much, what was allowed (same unit), in words, what to do."""

    check: Check
    amount: float
    tolerance: float
    unit: str
    text: str
    next_step: str


def consistency(card: BenchCard, plan: TrimPlan | None, tolerances: CheckTolerances) -> tuple[Disagreement, ...]:
    """Answer what on a card disagrees with anything else known about the same club.

    plan: what the rules say for the parts in hand; None where they refuse them. Raises nothing: what cannot be computed
    is left to the check of what the shaft allows.
    """
    found: list[Disagreement] = [
        *_fit(card),
        *_lengths(card, plan, tolerances),
        *_ladder(card, tolerances),
        *_dry_fit(card),
        *_shaft(card, plan, tolerances),
        *_balance(card, tolerances),
    ]
    if plan is not None and isinstance(card.wanted.table, TrimSchedule):
        found += schedule_findings(card.wanted.table, plan.equivalent, tolerances)
    return tuple(found)


def _fit(card: BenchCard) -> Iterable[Disagreement]:
    wanted, numbers = card.wanted, (card.tip_trim_in, card.cut_length_in, card.raw_length_in)
    step = "write the card again from the plan; nothing that was cut off can be put back"
    if not np.all(np.isfinite(numbers)) or card.tip_trim_in < 0 or card.cut_length_in <= 0:
        text = f"The card has a tip trim of {card.tip_trim_in:g} in and a cut length of {card.cut_length_in:g} in."
        yield Disagreement(Check.FIT, np.inf, 0.0, "in", text, step)
        return
    if card.butt_trim_in < -1e-9:
        text = (
            f"{say_in(card.tip_trim_in)} off the tip and {say_in(card.cut_length_in)} left need more than the raw "
            f"{say_in(card.raw_length_in)}: it is {say_in(-card.butt_trim_in)} too short."
        )
        yield Disagreement(Check.FIT, -card.butt_trim_in, 0.0, "in", text, step)
    if wanted.shaft.tip_kind is TipKind.TAPER and card.tip_trim_in > 0:
        text = f"A taper tip is never trimmed; the card takes {say_in(card.tip_trim_in)} off it."
        yield Disagreement(Check.FIT, card.tip_trim_in, 0.0, "in", text, step)
    for refuses in (
        partial(check_fill, wanted.head, wanted.shaft, card.tip_trim_in),
        partial(check_fit, wanted.head, wanted.shaft, wanted.practice),
    ):
        try:
            refuses()
        except TrimRefused as refusal:
            yield Disagreement(Check.FIT, np.inf, 0.0, "in", f"{refusal.given}.", refusal.next_step)


def _lengths(card: BenchCard, plan: TrimPlan | None, tolerances: CheckTolerances) -> Iterable[Disagreement]:
    if plan is None:
        return
    off = card.playing_length_in - plan.playing_length_in
    if abs(off) > tolerances.cut_in + 1e-9:
        text = (
            f"{say_in(card.cut_length_in)} of shaft, {say_in(card.wanted.bbgl_in)} of BBGL and "
            f"{say_in(card.wanted.grip.cap_thickness_in)} of cap add up to "
            f"{say_in(card.playing_length_in)}; it should be {say_in(plan.playing_length_in)}."
        )
        step = "add up playing length − BBGL − cap again"
        yield Disagreement(Check.LENGTHS, off, tolerances.cut_in, "in", text, step)


def _ladder(card: BenchCard, tolerances: CheckTolerances) -> Iterable[Disagreement]:
    head, ladder = card.wanted.head, card.wanted.ladder
    try:
        rung = ladder.by_number(head.club).longer
    except TrimRefused:
        return
    off = ladder.rungs_off(head.head_mass_g, rung)
    allowed = tolerances.hybrid_rungs if head.kind is HeadKind.HYBRID else tolerances.rungs
    if head.kind in (HeadKind.DRIVER, HeadKind.FAIRWAY) or abs(off) <= allowed + 1e-9:
        return
    text = (
        f"The head weighs {say_number(head.head_mass_g, 1)} g, {say_number(abs(off), 1)} rungs "
        f"{'more' if off > 0 else 'less'} than the ladder's {rung} ({ladder.rung(rung).head_mass_g:g} g)."
    )
    step = "weigh the head again and read the engraving; heads may be swapped"
    yield Disagreement(Check.LADDER, off, allowed, "rungs", text, step)


def _dry_fit(card: BenchCard) -> Iterable[Disagreement]:
    fit, head, allowed = card.wanted.dry_fit, card.wanted.head, card.wanted.practice.measuring_error_in
    if fit is None or abs(fit.bbgl_in - head.bbgl_in) <= allowed + 1e-9:
        return
    text = f"The dry fit gives a BBGL of {say_in(fit.bbgl_in)}; the head's table says {say_in(head.bbgl_in)}."
    yield Disagreement(Check.DRY_FIT, fit.bbgl_in - head.bbgl_in, allowed, "in", text, "measure both lengths again")


def _shaft(card: BenchCard, plan: TrimPlan | None, tolerances: CheckTolerances) -> Iterable[Disagreement]:
    wanted = card.wanted
    should = plan.raw_length_in if plan is not None else wanted.shaft.raw_length_in
    off = card.raw_length_in - should
    if abs(off) > tolerances.cut_in + 1e-9:
        text = f"The shaft in hand measures {say_in(card.raw_length_in)}; it should be {say_in(should)}."
        step = "measure from the tip to the first step: it may be another shaft, or one that was cut before"
        yield Disagreement(Check.RAW_LENGTH, off, tolerances.cut_in, "in", text, step)
    if card.raw_mass_g is None:
        return
    try:
        expected = catalogue_mass_g(card)
    except ModelError:
        return
    part = card.raw_mass_g / expected - 1
    if not np.isfinite(part) or abs(part) > tolerances.raw_mass_fraction + 1e-12:
        weighs, said = f"{say_number(card.raw_mass_g, 1)} g", f"{say_number(expected, 1)} g"
        text = f"The shaft weighs {weighs}; its description says {said}."
        step = "weigh it again and read its label: it may be another shaft"
        if wanted.pulled is not None:
            text = f"It weighs {weighs}; by its description what is left of the pulled shaft weighs {said}."
            step += ", or more or less is off its tip"
        yield Disagreement(Check.RAW_MASS, part, tolerances.raw_mass_fraction, "of the mass", text, step)


def _balance(card: BenchCard, tolerances: CheckTolerances) -> Iterable[Disagreement]:
    if card.written_swingweight_oz_in is None:
        return
    try:
        own = float(balance(card_components(card)).swingweight_oz_in)
        written, summed = swingweight_words(card.written_swingweight_oz_in), swingweight_words(own)
    except ModelError:
        return
    off = (card.written_swingweight_oz_in - own) / POINT_OZ_IN
    if abs(off) > tolerances.swingweight_points + 1e-9:
        text = f"The card's swingweight is {written}; the parts add up to {summed}."
        step = "list every part again: head, shaft as cut, grip, ferrule, tape, epoxy"
        yield Disagreement(Check.BALANCE, off, tolerances.swingweight_points, "points", text, step)


def schedule_findings(
    schedule: TrimSchedule, club: EquivalentClub, tolerances: CheckTolerances | None = None
) -> tuple[Disagreement, ...]:
    """Answer whether a schedule's rows for a club stand out from their neighbours, as a slip of the pen would.

    Every flex is checked twice: its row against the mean of the rows of the next longer and the next shorter club of
    its kind, and the gap to the next stiffer flex against the median gap of all clubs. Raises nothing.
    """
    tolerances = tolerances or CheckTolerances()
    found: list[Disagreement] = []
    step = "compare with the shaft's printed schedule before cutting any club from this row"
    for name in club.clubs:
        if name not in schedule.clubs:
            continue
        kind = [other for other in schedule.clubs if club_kind(other) == club_kind(name)]
        at = kind.index(name)
        for flex in schedule.flexes:
            if not 0 < at < len(kind) - 1:
                continue
            before, own, after = (schedule.row(kind[at + side], flex).tip_trim_in for side in (-1, 0, 1))
            off = own - (before + after) / 2
            if abs(off) > tolerances.schedule_in + 1e-9:
                text = (
                    f"{name} {flex} trims {say_in(own)}; its neighbors {kind[at - 1]} and {kind[at + 1]} trim "
                    f"{say_in(before)} and {say_in(after)}."
                )
                found.append(Disagreement(Check.SCHEDULE, off, tolerances.schedule_in, "in", text, step))
        for softer, stiffer in itertools.pairwise(schedule.flexes):
            gaps = {
                other: schedule.row(other, stiffer).tip_trim_in - schedule.row(other, softer).tip_trim_in
                for other in kind
            }
            off = gaps[name] - float(np.median(list(gaps.values())))
            if abs(off) > tolerances.schedule_in + 1e-9:
                text = f"{name}: {stiffer} trims {say_in(gaps[name])} more than {softer}; most clubs differ by "
                text += f"{say_in(gaps[name] - off)}."
                found.append(Disagreement(Check.SCHEDULE, off, tolerances.schedule_in, "in", text, step))
    return tuple(found)
