"""Lesson 02: the head's bore and what the tip trim owes to it."""

from __future__ import annotations

from trimkit.study.exercises.draw import IRONS, Draw, at, demo_schedule, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words
from trimkit.trim.bore import DryFit, bbgl_correction_in
from trimkit.trim.clubs import with_article
from trimkit.trim.flexplace import FlexPlace

REFERENCE_IN = 1.0
SIGN = "Check the sign: a larger BBGL wants more off the tip, a smaller one less."


def _other_bbgl(draw: Draw) -> float:
    return REFERENCE_IN + draw.one_of((-1, 1)) * draw.mark(0.1875, 0.625)


def dry_fit(draw: Draw) -> Exercise:
    """BBGL out of two lengths."""
    bare, bbgl, bore = draw.mark(37, 42, 8), draw.mark(0.625, 1.75), draw.one_of((1.25, 1.5))
    fit = DryFit(bare, bare + bbgl)
    return exercise(
        "02",
        "dry fit",
        question=(
            f"A bare shaft measures {in_words(bare, 'in')}. With the head put on dry and the sole on the ground "
            "it is "
            f"{in_words(fit.dry_fitted_in, 'in')} from the butt end to the ground line. The bore is "
            f"{in_words(bore, 'in')} deep. What is the BBGL?"
        ),
        unit="in",
        answer=fit.bbgl_in,
        tolerance=0.02,
        mistakes=[
            (
                "bore depth added",
                fit.bbgl_in + bore,
                "That is the height of the hosel's top: BBGL ends at the bottom of the bore. The depth is not needed.",
            ),
            ("subtracted the wrong way", -fit.bbgl_in, "The other way round: the dry fit minus the bare shaft."),
            (
                "bore depth taken off",
                fit.bbgl_in - bore,
                "Leave the bore's depth out: the dry fit minus the bare shaft is the BBGL already.",
            ),
        ],
        solution=f"BBGL = {n(fit.dry_fitted_in, 4)} − {n(bare, 4)} = {in_words(fit.bbgl_in, 'in')}.",
    )


def corrected_trim(draw: Draw) -> Exercise:
    """Tip trim for a head with another BBGL."""
    club = draw.one_of(IRONS)
    trim = demo_schedule().trim_in(at(club), FlexPlace.at(draw.one_of(("R", "S"))))
    bbgl = _other_bbgl(draw)
    correction = bbgl_correction_in(bbgl, REFERENCE_IN)
    answer = trim + correction
    return exercise(
        "02",
        "corrected trim",
        question=(
            f"A schedule trims {in_words(trim, 'in')} for {with_article(club)}; it is written for a BBGL of "
            f"{in_words(REFERENCE_IN, 'in')}. This head has {in_words(bbgl, 'in')}. What is the tip trim?"
        ),
        unit="in",
        answer=answer,
        tolerance=0.02,
        mistakes=[
            ("correction turned round", trim - correction, SIGN),
            ("uncorrected", trim, "That is the schedule's trim: this head's BBGL is another than the schedule's."),
            (
                "whole BBGL added",
                trim + bbgl,
                "Only the difference to the schedule's BBGL counts: the schedule has its own in it already.",
            ),
            ("double correction", trim + 2 * correction, "The correction went in twice: once is enough."),
            ("correction only", correction, "That is the correction: it is added to the schedule's trim."),
        ],
        solution=(
            f"correction = {n(bbgl, 4)} − {n(REFERENCE_IN)} = {plain(correction, 4)} in; "
            f"tip trim = {n(trim)} + {n(correction, 4)} = {in_words(answer, 'in')}."
        ),
    )


def measured_and_corrected(draw: Draw) -> Exercise:
    """From the dry fit to the cut."""
    club, bare = draw.one_of(IRONS), draw.mark(38, 42, 4)
    trim = demo_schedule().trim_in(at(club), FlexPlace.at("R"))
    fit = DryFit(bare, bare + _other_bbgl(draw))
    correction = bbgl_correction_in(fit.bbgl_in, REFERENCE_IN)
    answer = trim + correction
    return exercise(
        "02",
        "measured and corrected",
        question=(
            f"For {with_article(club)} the schedule trims {in_words(trim, 'in')} (reference BBGL "
            f"{in_words(REFERENCE_IN, 'in')}). The bare shaft measures {in_words(bare, 'in')}, dry-fitted to the "
            "ground "
            f"line {in_words(fit.dry_fitted_in, 'in')}. What comes off the tip?"
        ),
        unit="in",
        answer=answer,
        tolerance=0.02,
        mistakes=[
            ("correction turned round", trim - correction, SIGN),
            ("whole BBGL added", trim + fit.bbgl_in, "Take the schedule's own BBGL off first: only the rest is added."),
            ("uncorrected", trim, "The dry fit has not been used: it says that this bore is another."),
            ("BBGL only", fit.bbgl_in, "That is the BBGL. One step more: compare it with the schedule's."),
            ("correction only", correction, "That is the correction: add it to the schedule's trim."),
            ("double correction", trim + 2 * correction, "The correction went in twice: once is enough."),
        ],
        solution=(
            f"BBGL = {n(fit.dry_fitted_in, 4)} − {n(bare)} = {plain(fit.bbgl_in, 4)} in; correction = "
            f"{n(fit.bbgl_in, 4)} − "
            f"{n(REFERENCE_IN)} = {plain(correction, 4)} in; tip trim = {n(trim)} + {n(correction, 4)} "
            f"= {in_words(answer, 'in')}."
        ),
    )


def no_saw_can_do_it(draw: Draw) -> Exercise:
    """A correction that is larger than the trim."""
    schedule = demo_schedule()
    trim = schedule.row("2-iron", "A").tip_trim_in + draw.mark(0, 0.125)
    bbgl = draw.mark(0.25, 0.5)
    correction = bbgl_correction_in(bbgl, REFERENCE_IN)
    short = -(trim + correction)
    return exercise(
        "02",
        "no saw can do it",
        question=(
            f"A schedule trims {in_words(trim, 'in')} for a long iron, reference BBGL "
            f"{in_words(REFERENCE_IN, 'in')}. "
            f"The head's BBGL is {in_words(bbgl, 'in')}. The sum comes out below zero, and nothing can be added "
            "at the tip. How many inches of tip are missing, so that the steps stand where the schedule wants them?"
        ),
        unit="in",
        answer=short,
        tolerance=0.02,
        mistakes=[
            ("correction only", -correction, "Some of it can be done: the schedule's own trim is not cut at all."),
            ("correction turned round", trim - correction, SIGN + " Here the correction is negative."),
            ("whole BBGL", abs(trim - bbgl), "Compare BBGL with the schedule's reference first, then with the trim."),
        ],
        solution=(
            f"correction = {n(bbgl, 4)} − {n(REFERENCE_IN)} = {plain(correction, 4)} in; {n(trim, 4)} + "
            f"{n(correction, 4)} = "
            f"{plain(-short, 4)} in: {in_words(short, 'in')} of tip are missing. "
            "Uncut, the club plays stiffer than wanted: choose another head, shaft or flex, or decide so on purpose."
        ),
    )


QUESTIONS = (dry_fit, corrected_trim, measured_and_corrected, no_saw_can_do_it)
