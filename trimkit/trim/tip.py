"""The cut at the tip: by schedule, flex and bore for a parallel tip, by choice of raw length for a taper tip."""

from __future__ import annotations

from dataclasses import dataclass

from trimkit.parts.components import TipKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_in, say_number
from trimkit.trim.bore import BORE_RULE, DRY_FIT, BoreChoice, bbgl_correction_in, check_fill
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import STEPPING_RULE, RawFamily, flex_shift, say_step
from trimkit.trim.steps import DECIDED, Note, Severity, StepKind, TrimStep, joined
from trimkit.trim.taperbore import taper_bore_steps
from trimkit.trim.wanted import WantedClub

TAPER_RULE = Source("a conical tip fits its bore only as it was made", Standing.COMMON_PRACTICE)
FLEX_RULE = Source("a place between two flexes of one master is linear in tip trim", Standing.COMMON_PRACTICE)


@dataclass(frozen=True)
class TipCut:
    """The tip end: tip trim, raw length, and BBGL correction left undone, all in in; the steps; the notes."""

    tip_trim_in: float
    raw_length_in: float
    bbgl_uncorrected_in: float
    steps: tuple[TrimStep, ...]
    notes: tuple[Note, ...] = ()


def tip_cut(wanted: WantedClub, club: EquivalentClub) -> TipCut:
    """Decide the tip end of a club that is trimmed as ``club``.

    Raises TrimRefused if the table is not the shaft's or of the wrong kind for its tip, and as :func:`parallel_tip`
    and :func:`taper_tip` do.
    """
    shaft, table = wanted.shaft, wanted.table
    if table.shaft != shaft.name:
        raise TrimRefused(
            f"the table is for shaft {table.shaft!r}, but the club gets shaft {shaft.name!r}",
            "the shaft's own table",
            "choose its table",
        )
    if shaft.tip_kind is TipKind.TAPER:
        if isinstance(table, TrimSchedule):
            raise TrimRefused(
                f"shaft {shaft.name!r} is given a trim schedule, but it has a taper tip: its tip is a cone, and "
                "once trimmed it would no longer fit the bore",
                "a raw length for each club, never a tip trim",
                "take the raw length made for this club; to make it softer or stiffer, step it soft or hard",
            )
        return taper_tip(wanted, table, club)
    if isinstance(table, RawFamily):
        raise TrimRefused(
            f"shaft {shaft.name!r} is given a family of raw lengths, but it has a parallel tip",
            "a trim schedule",
            "give it the shaft's trim schedule",
        )
    return parallel_tip(wanted, table, club)


def parallel_tip(wanted: WantedClub, schedule: TrimSchedule, club: EquivalentClub) -> TipCut:
    """Decide a parallel tip: tip trim = schedule + place between flexes + (BBGL - reference), in.

    Raises TrimRefused for stepping, for a club or flex that the schedule does not have, for a negative sum that the
    order does not provide for, and for a trim that leaves less parallel tube than the bore takes.
    """
    if wanted.soft_steps:
        raise TrimRefused(
            f"the order asks for {say_step(wanted.soft_steps)} of shaft {wanted.shaft.name!r}, a parallel tip",
            "steps of taper tips only",
            "name a place between two flexes instead: a parallel tip is made softer or stiffer by its tip trim",
        )
    flex = wanted.checked_flex()
    steps = [_schedule_step(schedule, club, flex)]
    if flex.fraction:
        steps.append(_flex_step(schedule, club, flex))
    by_schedule = sum(step.inches for step in steps)
    bore, undone = _bore_step(wanted, schedule, club, by_schedule)
    steps.append(bore)
    trim = sum(step.inches for step in steps)
    check_fill(wanted.head, wanted.shaft, trim)
    said = " ".join(f"{'+' if step.inches >= 0 else '−'} {say_in(abs(step.inches))}" for step in steps)
    together = f"Together: {said.removeprefix('+ ')} = {say_in(trim)}."
    total = Source("sum of the steps above", joined(*(step.source for step in steps)).standing)
    steps.append(TrimStep(StepKind.TIP_TRIM, trim, together, (total,)))
    return TipCut(trim, wanted.shaft.raw_length_in, undone, tuple(steps))


def _schedule_step(schedule: TrimSchedule, club: EquivalentClub, flex: FlexPlace) -> TrimStep:
    trim = schedule.trim_in(club, FlexPlace.at(flex.softer))
    rows = " and ".join(f"{say_in(schedule.row(name, flex.softer).tip_trim_in)} for the {name}" for name in club.clubs)
    reason = f"In flex {flex.softer} the schedule trims {rows}"
    if club.fraction:
        reason += f"; {say_number(club.fraction)} of the way between them is {say_in(trim)}"
    return TrimStep(StepKind.SCHEDULE, trim, reason + ".", schedule.sources(club, flex.softer))


def _flex_step(schedule: TrimSchedule, club: EquivalentClub, flex: FlexPlace) -> TrimStep:
    softer, stiffer = (schedule.trim_in(club, FlexPlace.at(name)) for name in (flex.softer, flex.stiffer))
    more = flex.fraction * (stiffer - softer)
    reason = (
        f"Flex {flex.stiffer} lies {say_in(stiffer - softer)} of tip trim above {flex.softer}; "
        f"{say_number(flex.fraction)} of the way there is {say_in(more)}."
    )
    return TrimStep(StepKind.FLEX, more, reason, (*schedule.sources(club, flex.stiffer), FLEX_RULE))


def _bore_step(
    wanted: WantedClub, schedule: TrimSchedule, club: EquivalentClub, by_schedule_in: float
) -> tuple[TrimStep, float]:
    """Return the bore's step, and how much of its correction is left undone."""
    bbgl, reference = wanted.bbgl_in, schedule.bbgl_reference_in(club)
    full = bbgl_correction_in(bbgl, reference)
    choice, why = wanted.decisions.bore, wanted.decisions.reason
    measured = DRY_FIT if wanted.dry_fit is not None else wanted.head.source
    side = "above" if bbgl >= 0 else "below"
    facts = (
        f"The bottom of this bore is {say_in(abs(bbgl))} {side} the ground line and the schedule is written for "
        f"{say_in(reference)}"
    )
    if abs(full) < 1e-12:
        return TrimStep(StepKind.BORE, 0.0, f"{facts}: nothing to correct.", (measured, BORE_RULE)), 0.0
    if choice is BoreChoice.CORRECT and by_schedule_in + full < -1e-12:
        plays = schedule.say_place_of(club, -full)
        raise TrimRefused(
            f"the schedule trims {say_in(by_schedule_in)} and the bore calls for {say_in(-full)} less (BBGL "
            f"{say_in(bbgl)}, reference {say_in(reference)}): {say_in(-by_schedule_in - full)} short, and nothing "
            "can be added at the tip",
            "a sum of 0 in or more",
            "decide to correct as far as the tip goes (with no tip trim the club plays stiffer than wanted: "
            f"{plays}), choose a stiffer flex, or another head or shaft",
        )
    done = 0.0 if choice is BoreChoice.LEAVE else max(full, -by_schedule_in)
    left = full - done
    if abs(left) < 1e-12:
        more = f"{say_in(abs(done))} {'more' if done > 0 else 'less'} comes off the tip"
        reason = f"{facts}: {more}, so that the steps stand at the same height."
        return TrimStep(StepKind.BORE, done, reason, (measured, BORE_RULE)), 0.0
    reason = (
        f"{facts}; of the {say_in(full)} to correct, {say_in(left)} are left undone on purpose ({why}): the club plays "
        f"{'softer' if left > 0 else 'stiffer'} than wanted."
    )
    return TrimStep(StepKind.BORE, done, reason, (measured, BORE_RULE, DECIDED)), left


def taper_tip(wanted: WantedClub, family: RawFamily, club: EquivalentClub) -> TipCut:
    """Decide a taper tip: no tip trim, but the raw length of the club, stepped as wanted.

    Raises TrimRefused if the family has no such raw length.
    """
    own, soft_steps = family.nearest(club), wanted.soft_steps
    row = family.row(own, soft_steps)
    notes: list[Note] = []
    reason = f"The family makes {say_in(family.row(own).raw_length_in)} for the {own}"
    if soft_steps:
        change, shift = family.parallel_change_in(own, soft_steps), flex_shift(soft_steps)
        reason += (
            f"; {say_step(soft_steps)} takes the {row.club}'s {say_in(row.raw_length_in)}: {say_in(abs(change))} "
            f"{'more' if change >= 0 else 'less'} parallel length below the first step, about "
            f"{say_number(abs(shift))} of a flex {'softer' if shift < 0 else 'stiffer'}"
        )
        if change == 0:
            text = f"The {row.club} has the same raw length as the {own}, so this step changes nothing."
            notes.append(Note(Severity.WARNING, text, "step further, or take another flex", row.source))
    if club.fraction:
        away = min(club.fraction, 1 - club.fraction)
        text = f"The head lies {say_number(away, 2)} of a club away from the {own} whose raw length it takes."
        notes.append(Note(Severity.NOTE, text, "expect that fraction of a step in flex", STEPPING_RULE))
    sources = (row.source, STEPPING_RULE) if soft_steps else (row.source,)
    steps = (
        TrimStep(StepKind.RAW_LENGTH, row.raw_length_in, reason + ".", sources),
        *taper_bore_steps(wanted, family, own),
        TrimStep(StepKind.TIP_TRIM, 0.0, "A taper tip is never trimmed at the tip.", (TAPER_RULE,)),
    )
    return TipCut(0.0, row.raw_length_in, 0.0, steps, tuple(notes))
