"""The cut at the tip: by schedule, flex and bore for a parallel tip, by choice of raw length for a taper tip."""

from __future__ import annotations

from dataclasses import dataclass

from trimkit.parts.components import TipKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.tables import RawLength
from trimkit.parts.units import say_in, say_number
from trimkit.trim.bore import BORE_RULE, BoreChoice, bbgl_correction_in, check_fill
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.refusals import TipTooShort
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import OTHERS_FLEX_PER_STEP, STEPPING_RULE, RawFamily, flex_shift, say_step
from trimkit.trim.steps import DECIDED, Note, Severity, StepKind, TrimStep, joined
from trimkit.trim.taperbore import taper_bore_steps
from trimkit.trim.wanted import Pulled, WantedClub

TAPER_RULE = Source("a conical tip fits its bore only as it was made", Standing.COMMON_PRACTICE)
RAW_SHAFT = Source("raw length of the shaft in hand, measured", Standing.MEASURED)
PULLED_SHAFT = Source("what is off the tip of a pulled shaft, measured", Standing.MEASURED)
FLEX_RULE = Source("a place between two flexes of one master is linear in tip trim", Standing.COMMON_PRACTICE)


@dataclass(frozen=True)
class TipCut:
    """The tip end: tip trim, raw length, and BBGL correction left undone, all in in; the steps; the notes.

    raw_source: where the raw length comes from.
    """

    tip_trim_in: float
    raw_length_in: float
    raw_source: Source
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
    """Decide a parallel tip: tip trim = schedule + place between flexes + (BBGL - reference) - what is off already, in.

    Only a pulled shaft has something off its tip. Raises TipTooShort if that is more than the club takes, TrimRefused
    for stepping, for a club or flex that the schedule does not have, for a negative sum that the
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
    if wanted.pulled is not None:
        steps.append(_pulled_step(wanted, by_schedule, bore.inches))
    trim = sum(step.inches for step in steps)
    if abs(trim) < 1e-9:  # from Python 3.12 on, sum() rounds otherwise, and nothing left to cut must be 0
        trim = 0.0
    check_fill(wanted.head, wanted.shaft, trim)
    said = " ".join(f"{'+' if step.inches >= 0 else '−'} {say_in(abs(step.inches))}" for step in steps)
    together = f"Together: {said.removeprefix('+ ')} = {say_in(trim)}."
    total = Source("sum of the steps above", joined(*(step.source for step in steps)).standing)
    steps.append(TrimStep(StepKind.TIP_TRIM, trim, together, (total,)))
    raw, notes = _parallel_raw(wanted)
    return TipCut(trim, raw, _parallel_raw_source(wanted), undone, tuple(steps), (*notes, *_pulled_notes(wanted)))


def _parallel_raw(wanted: WantedClub) -> tuple[float, tuple[Note, ...]]:
    """Return the raw length of the piece in hand (in), and a warning if the shaft is described longer."""
    described, error = wanted.shaft.raw_length_in, wanted.practice.measuring_error_in + 1e-9
    own = described if wanted.in_hand is None or wanted.in_hand.length_in is None else wanted.in_hand.length_in
    facts = f"the raw shaft in hand measures {say_in(own)}; {wanted.shaft.name!r} is {say_in(described)} as bought"
    if own - described > error:
        raise TrimRefused(
            facts,
            f"at most {say_in(described)}, and {say_in(wanted.practice.measuring_error_in)} of measuring error",
            "measure it again; a longer shaft is another shaft, and needs a description and a schedule of its own",
        )
    if described - own <= error:
        return own, ()
    text = f"{facts[0].upper()}{facts[1:]}. The plan takes it that {say_in(described - own)} is missing at the "
    text += "butt, and that the tip is as bought."
    step = "measure from the tip to the first step; if the tip was cut before, that counts as tip trim already taken"
    return own, (Note(Severity.WARNING, text, step, wanted.practice.source("measuring_error_in")),)


def _parallel_raw_source(wanted: WantedClub) -> Source:
    if wanted.pulled is not None:
        return PULLED_SHAFT
    return RAW_SHAFT if wanted.in_hand is not None and wanted.in_hand.length_in is not None else wanted.shaft.source


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
    sources = (wanted.bbgl_source, *schedule.sources(club, wanted.checked_flex().softer), BORE_RULE)
    side = "above" if bbgl >= 0 else "below"
    facts = (
        f"The bottom of this bore is {say_in(abs(bbgl))} {side} the ground line and the schedule is written for "
        f"{say_in(reference)}"
    )
    if abs(full) < 1e-12:
        return TrimStep(StepKind.BORE, 0.0, f"{facts}: nothing to correct.", sources), 0.0
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
    # As far as the tip goes: what is off already cannot be put back for the bore either.
    far = max(by_schedule_in - wanted.tip_cut_in, 0.0) if choice is BoreChoice.AS_FAR_AS_IT_GOES else by_schedule_in
    done = 0.0 if choice is BoreChoice.LEAVE else max(full, -far)
    left = full - done
    if abs(left) < 1e-12:
        more = f"{say_in(abs(done))} {'more' if done > 0 else 'less'} comes off the tip"
        reason = f"{facts}: {more}, so that the steps sit at the same height."
        return TrimStep(StepKind.BORE, done, reason, sources), 0.0
    reason = (
        f"{facts}; of the {say_in(full)} to correct, {say_in(left)} are left undone on purpose ({why}): the club plays "
        f"{'softer' if left > 0 else 'stiffer'} than wanted."
    )
    return TrimStep(StepKind.BORE, done, reason, (*sources, DECIDED)), left


def _pulled_step(wanted: WantedClub, by_schedule_in: float, bore_in: float) -> TrimStep:
    """Return the step of what is off a pulled shaft's tip; raises TipTooShort if that is more than the club takes.

    By as much as two measurements of one length may differ it may be more: then nothing is left to cut off the tip.
    """
    off, takes = wanted.tip_cut_in, by_schedule_in + bore_in
    too_far = off - takes
    if too_far > wanted.practice.measuring_error_in + 1e-9:
        step = "choose a stiffer flex or a shorter club for it, or take a shaft with less off its tip"
        if wanted.decisions.bore is BoreChoice.CORRECT and bore_in < 0 and too_far + bore_in <= 1e-9:
            step = f"decide to correct the bore only as far as the tip goes; {step}"
        raise TipTooShort(
            too_far,
            f"{say_in(off)} is off the tip of the pulled shaft {wanted.shaft.name!r} already, and this club takes "
            f"{say_in(takes)} of tip trim: {say_in(too_far)} too much is gone, and the club would be too stiff",
            f"at most {say_in(takes)} off its tip",
            step,
        )
    reason = f"{say_in(off)} is off its tip already, from the club it was pulled from."
    if too_far > 1e-9:
        reason += f" That is {say_in(too_far)} more than this club takes, no more than a measuring error."
    return TrimStep(StepKind.PULLED, -min(off, takes), reason, (PULLED_SHAFT,))


def _pulled_notes(wanted: WantedClub) -> tuple[Note, ...]:
    """Return what to know of a pulled shaft at the bench; nothing of a new one."""
    if wanted.pulled is None:
        return ()
    shaft, off = wanted.shaft, wanted.tip_cut_in
    was = f"{say_in(off)} is off its tip already" if off else "nothing is off its tip"
    if shaft.tip_kind is TipKind.TAPER:
        was = f"it was bought at {say_in(wanted.pulled.raw_length_in)}"
    end = "first step" if shaft.sections else "end of its parallel tip"
    text = f"The shaft comes from another club: it is {say_in(shaft.raw_length_in)} long now, and {was}."
    step = (
        f"measure from its tip to the {end}: {say_in(shaft.tip_section_in)}; clean the tip and look for cracks, dents, "
        "rust and marks of heat where the old hosel ended; a shaft in doubt is not used again"
    )
    return (Note(Severity.CAUTION, text, step, PULLED_SHAFT),)


def taper_tip(wanted: WantedClub, family: RawFamily, club: EquivalentClub) -> TipCut:
    """Decide a taper tip: no tip trim, but the raw length of the club, stepped as wanted.

    A pulled shaft must have been that raw length; what is left of it counts. Raises TrimRefused if the family has no
    such raw length, or if the shaft in hand is another one.
    """
    own, soft_steps = family.nearest(club), wanted.soft_steps
    row = family.row(own, soft_steps)
    if wanted.pulled is None and wanted.in_hand is not None and wanted.in_hand.length_in is not None:
        _check_in_hand(wanted, family, own, wanted.in_hand.length_in)
    notes = [*_pulled_notes(wanted)]
    reason = f"The family makes {say_in(family.row(own).raw_length_in)} for the {own}"
    if soft_steps:
        change, shift = family.parallel_change_in(own, soft_steps), flex_shift(soft_steps)
        others = say_number(abs(flex_shift(soft_steps, OTHERS_FLEX_PER_STEP)), 2)
        reason += (
            f"; {say_step(soft_steps)} takes the {row.club}'s {say_in(row.raw_length_in)}: {say_in(abs(change))} "
            f"{'more' if change >= 0 else 'less'} parallel length below the first step, about "
            f"{say_number(abs(shift))} of a flex {'softer' if shift < 0 else 'stiffer'} (others say {others})"
        )
        if change == 0:
            text = f"The {row.club} has the same raw length as the {own}, so this step changes nothing."
            notes.append(Note(Severity.WARNING, text, "step further, or take another flex", row.source))
    if club.fraction:
        away = min(club.fraction, 1 - club.fraction)
        text = f"The head lies {say_number(away, 2)} of a club away from the {own} whose raw length it takes."
        notes.append(Note(Severity.NOTE, text, "expect that fraction of a step in flex", STEPPING_RULE))
    sources = (row.source, STEPPING_RULE) if soft_steps else (row.source,)
    raw = row.raw_length_in
    if wanted.pulled is not None:
        _check_pulled(wanted.pulled, family, own, row)
        raw = wanted.shaft.raw_length_in
        reason += f"; the pulled shaft was bought at that, and {say_in(raw)} of it is left"
        sources = (*sources, PULLED_SHAFT)
    steps = (
        TrimStep(StepKind.RAW_LENGTH, raw, reason + ".", sources),
        *taper_bore_steps(wanted, family, own),
        TrimStep(StepKind.TIP_TRIM, 0.0, "A taper tip is never trimmed at the tip.", (TAPER_RULE,)),
    )
    return TipCut(0.0, raw, joined(*sources), 0.0, steps, tuple(notes))


def _check_in_hand(wanted: WantedClub, family: RawFamily, own: str, length_in: float) -> None:
    """Refuse a shaft in hand (in) whose raw length is not the one that the club takes as it is stepped."""
    error = wanted.practice.measuring_error_in + 1e-9
    needed = family.row(own, wanted.soft_steps)
    if abs(length_in - needed.raw_length_in) <= error:
        return
    facts = f"the raw shaft in hand measures {say_in(length_in)}"
    nearest = min(family.rows, key=lambda row: abs(row.raw_length_in - length_in))
    if abs(nearest.raw_length_in - length_in) > error:
        raise TrimRefused(
            f"{facts}, which is no raw length of family {family.shaft!r}",
            "its raw lengths " + ", ".join(f"{say_in(row.raw_length_in)} ({row.club})" for row in family.rows),
            "measure it again; a shaft that was cut before cannot be counted as one of them",
        )
    steps = family.clubs.index(own) - family.clubs.index(nearest.club)
    raise TrimRefused(
        f"{facts}, the {nearest.club}'s raw length, but the {own} with {say_step(wanted.soft_steps)} takes the "
        f"{needed.club}'s",
        f"{say_in(needed.raw_length_in)}, or a number of steps that goes with the shaft",
        f"take the shaft of {say_in(needed.raw_length_in)}, or give this club soft_steps = {steps} ({say_step(steps)})",
    )


def _check_pulled(pulled: Pulled, family: RawFamily, own: str, row: RawLength) -> None:
    """Raise TrimRefused if a pulled taper-tip shaft was not the raw length that the club takes."""
    off = pulled.raw_length_in - row.raw_length_in
    if abs(off) <= 1e-9:
        return
    steps = family.steps_to(own, pulled.raw_length_in)
    stepped = "" if steps is None else f"decide on {say_step(steps)} for this club if it is long enough, or "
    side = "soft" if off > 0 else "stiff"
    raise TrimRefused(
        f"the pulled shaft {family.shaft!r} was bought at {say_in(pulled.raw_length_in)}, and this {own} takes "
        f"{say_in(row.raw_length_in)}: it is {say_in(abs(off))} {'longer' if off > 0 else 'shorter'} below the first "
        f"step, and the club would be too {side}",
        f"a shaft that was bought at {say_in(row.raw_length_in)}",
        f"{stepped}take another shaft",
    )
