"""Lesson 02: the head's bore and how it changes the tip trim."""

from __future__ import annotations

from trimkit.study.exercises.draw import IRONS_4_TO_9, Draw, demo_schedule, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, inches
from trimkit.trim.bore import DryFit, bbgl_correction_in
from trimkit.trim.clubs import with_article

REFERENCE_IN = 1.0
SIGN = "Check the sign: a larger BBGL needs more off the tip, a smaller one less."


def _other_bbgl(draw: Draw) -> float:
    return REFERENCE_IN + draw.one_of((-1, 1)) * draw.mark(0.1875, 0.625)


def dry_fit(draw: Draw) -> Exercise:
    """BBGL from two lengths."""
    bare, bbgl, bore = draw.mark(37, 42, 8), draw.mark(0.625, 1.75), draw.one_of((1.25, 1.5))
    fit = DryFit(bare, bare + bbgl)
    return exercise(
        "02 dry fit",
        question=(
            f"A bare shaft measures {inches(bare)}. With the head dry-fitted and its sole on the ground, it is "
            f"{inches(fit.dry_fitted_in)} from the butt end to the ground line. The bore is {inches(bore)} deep. What "
            "is the BBGL?"
        ),
        answer=(fit.bbgl_in, "in", 0.02),
        mistakes=[
            ("bore depth added", fit.bbgl_in + bore, "That is the hosel top: leave the bore depth out."),
            ("subtracted the wrong way", -fit.bbgl_in, "The other way round: the dry fit minus the bare shaft."),
            ("bore depth taken off", fit.bbgl_in - bore, "Leave the bore depth out."),
        ],
        solution=f"BBGL = {n(fit.dry_fitted_in, 4)} − {n(bare, 4)} = {inches(fit.bbgl_in)}.",
    )


def corrected_trim(draw: Draw) -> Exercise:
    """Tip trim for a head with another BBGL."""
    club = draw.one_of(IRONS_4_TO_9)
    trim = demo_schedule().row(club, draw.one_of(("R", "S"))).tip_trim_in
    bbgl = _other_bbgl(draw)
    correction = bbgl_correction_in(bbgl, REFERENCE_IN)
    answer = trim + correction
    return exercise(
        "02 corrected trim",
        question=(
            f"A schedule trims {inches(trim)} for {with_article(club)}; it is written for a BBGL of "
            f"{inches(REFERENCE_IN)}. This head's BBGL is {inches(bbgl)}. What is the tip trim?"
        ),
        answer=(answer, "in", 0.02),
        mistakes=[
            ("correction turned round", trim - correction, SIGN),
            ("uncorrected", trim, "That is the schedule's trim: this head's BBGL is different."),
            ("whole BBGL added", trim + bbgl, "Add only the difference: the schedule already includes its own BBGL."),
            ("double correction", trim + 2 * correction, "You applied the correction twice: once is enough."),
            ("correction only", correction, "That is the correction: add it to the schedule's trim."),
        ],
        solution=(
            f"correction = {n(bbgl, 4)} − {n(REFERENCE_IN)} = {plain(correction, 4)} in; tip trim = {n(trim)} + "
            f"{n(correction, 4)} = {inches(answer)}."
        ),
    )


def measured_and_corrected(draw: Draw) -> Exercise:
    """From the dry fit to the cut."""
    club, bare = draw.one_of(IRONS_4_TO_9), draw.mark(38, 42, 4)
    trim = demo_schedule().row(club, "R").tip_trim_in
    fit = DryFit(bare, bare + _other_bbgl(draw))
    correction = bbgl_correction_in(fit.bbgl_in, REFERENCE_IN)
    answer = trim + correction
    return exercise(
        "02 measured and corrected",
        question=(
            f"For {with_article(club)} the schedule trims {inches(trim)} (reference BBGL {inches(REFERENCE_IN)}). The "
            f"bare shaft measures {inches(bare)}; dry-fitted, it is {inches(fit.dry_fitted_in)} to the ground line. "
            "How much comes off the tip?"
        ),
        answer=(answer, "in", 0.02),
        mistakes=[
            ("correction turned round", trim - correction, SIGN),
            ("whole BBGL added", trim + fit.bbgl_in, "Subtract the schedule's own BBGL first: add only the rest."),
            ("uncorrected", trim, "You have not used the dry fit: it shows that this bore is different."),
            ("BBGL only", fit.bbgl_in, "That is the BBGL. One more step: compare it with the schedule's."),
            ("correction only", correction, "That is the correction: add it to the schedule's trim."),
            ("double correction", trim + 2 * correction, "You applied the correction twice: once is enough."),
        ],
        solution=(
            f"BBGL = {n(fit.dry_fitted_in, 4)} − {n(bare)} = {plain(fit.bbgl_in, 4)} in; correction = "
            f"{n(fit.bbgl_in, 4)} − {n(REFERENCE_IN)} = {plain(correction, 4)} in; tip trim = {n(trim)} + "
            f"{n(correction, 4)} = {inches(answer)}."
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
        "02 no saw can do it",
        question=(
            f"A schedule trims {inches(trim)} for a long iron (reference BBGL {inches(REFERENCE_IN)}). The head's "
            f"BBGL is {inches(bbgl)}. The sum comes out below zero, and nothing can be added at the tip. By how "
            "many inches is the tip too short to put the steps where the schedule has them?"
        ),
        answer=(short, "in", 0.02),
        mistakes=[
            ("correction only", -correction, "You can make part of it: leave the schedule's own trim uncut."),
            ("correction turned round", trim - correction, SIGN + " Here the correction is negative."),
            ("whole BBGL", abs(trim - bbgl), "Compare the BBGL with the schedule's reference first."),
        ],
        solution=(
            f"correction = {n(bbgl, 4)} − {n(REFERENCE_IN)} = {plain(correction, 4)} in; {n(trim, 4)} + "
            f"{n(correction, 4)} = {plain(-short, 4)} in: {inches(short)} of tip is missing. Uncut, the club plays "
            "stiffer than ordered: choose another head, shaft or flex, or accept it on purpose."
        ),
    )


QUESTIONS = (dry_fit, corrected_trim, measured_and_corrected, no_saw_can_do_it)
