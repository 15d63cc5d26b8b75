"""Lesson 12: a whole club for the sheet, with the reason for each cut."""

from __future__ import annotations

from dataclasses import replace

from trimkit.check.setline import SetLine, against_line
from trimkit.club.set import wanted_club
from trimkit.study.exercises.draw import (
    IRONS_4_TO_9,
    PARTS_OF_THE_WAY,
    Draw,
    demo_ladder,
    demo_order,
    demo_schedule,
    n,
    plain,
)
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches
from trimkit.trim.bore import DryFit
from trimkit.trim.clubs import with_article
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength
from trimkit.trim.plan import TrimPlan, plan_club

SEEN_IN = 0.05
"""Tip trims closer than this count as the same answer, in."""
OVER = "what the BBGL is over (or under) the schedule's 1 in."


def _whole_club(draw: Draw) -> tuple[TrimPlan, float, float]:
    """A plan with a place between flexes and a bore of its own; the trims of flex R and S there, in."""
    order = demo_order()
    name = draw.one_of(IRONS_4_TO_9)
    club = next(each for each in order.clubs if each.head.club == name)
    bare, bbgl = draw.mark(40, 42, 4), 1.0 + draw.one_of((-1, 1)) * draw.mark(0.1875, 0.5)
    part = draw.one_of((0.25, 0.75))
    flex = FlexPlace.between("R", "S", part, order.shaft)
    soft, stiff = (demo_schedule().row(name, each).tip_trim_in for each in ("R", "S"))
    if abs(part * (stiff - soft) + bbgl - 1) < SEEN_IN:
        bbgl += 1 / 16  # else the two corrections cancel, and forgetting both gives the right answer
    wanted = replace(
        wanted_club(order, club),
        head=replace(club.head, bbgl_in=bbgl),
        dry_fit=DryFit(bare, bare + bbgl),
        flex=flex,
        length=GivenLength(demo_ladder().rung(name).playing_length_in + draw.mark(-0.5, 0.5, 4)),
    )
    return plan_club(wanted), soft, stiff


def _told(plan: TrimPlan, soft: float, stiff: float) -> str:
    fit = plan.wanted.dry_fit
    assert fit is not None
    return (
        f"For {with_article(plan.club)}, the schedule's tip trim is {inches(soft)} (flex R) and {inches(stiff)} (flex "
        "S), written for a BBGL of 1 in. The order asks for "
        f"{PARTS_OF_THE_WAY[plan.wanted.checked_flex().fraction]} of the way from R to S. "
        f"The dry fit uses a shaft of {inches(fit.bare_shaft_in)}; with the head on, it is "
        f"{inches(fit.dry_fitted_in)} to the ground line. "
    )


def _tip_solution(plan: TrimPlan, soft: float, stiff: float) -> str:
    part, bbgl = plan.wanted.checked_flex().fraction, plan.wanted.bbgl_in
    return (
        f"Flex: {n(soft)} + {n(part)} × {n(stiff - soft)} = {plain(soft + part * (stiff - soft), 4)} in. Bore: BBGL "
        f"{n(bbgl, 4)} − 1 = {plain(bbgl - 1, 4)} in. Tip trim = {n(soft + part * (stiff - soft), 4)} + "
        f"{n(bbgl - 1, 4)} = {inches(plan.tip_trim_in)}."
    )


def whole_tip(draw: Draw) -> Exercise:
    """Schedule, place between flexes and bore together."""
    plan, soft, stiff = _whole_club(draw)
    flexed, bore = plan.schedule_trim_in + plan.between_flexes_in, plan.bbgl_correction_in
    return exercise(
        "12 whole tip",
        question=_told(plan, soft, stiff) + "What is the tip trim?",
        answer=(plan.tip_trim_in, "in", 0.02),
        mistakes=[
            ("bore turned round", flexed - bore, "Check the bore's sign: a larger BBGL needs more off the tip."),
            ("bore forgotten", flexed, "The dry fit shows that the bore is different: correct for it."),
            ("flex forgotten", soft + bore, "The client wants a place between R and S: add its part."),
            ("double correction", flexed + 2 * bore, "You corrected for the bore twice: once is enough."),
            ("counted from S", stiff - (flexed - soft) + bore, "Count the fraction from R toward S."),
            ("whole BBGL", flexed + plan.wanted.bbgl_in, f"Correct only for {OVER}"),
            ("cut as S", stiff + bore, "That is cut as S: the order asks for only part of the way."),
            (
                "flex and bore forgotten",
                soft,
                "That is the schedule's row alone: add the part between flexes and the bore correction.",
            ),
        ],
        solution=_tip_solution(plan, soft, stiff),
    )


def whole_butt(draw: Draw) -> Exercise:
    """The butt trim that follows from a whole plan."""
    plan, soft, stiff = _whole_club(draw)
    cap, answer, bbgl = plan.wanted.grip.cap_thickness_in, plan.butt_trim_in, plan.wanted.bbgl_in
    rest = stiff - soft - plan.between_flexes_in
    return exercise(
        "12 whole butt",
        question=(
            _told(plan, soft, stiff) + f"Raw shaft {inches(plan.raw_length_in)}, playing length "
            f"{inches(plan.playing_length_in)}, grip cap {n(cap)} in. How much comes off the butt?"
        ),
        answer=(answer, "in", 0.03),
        mistakes=[
            ("cap forgotten", answer - cap, "The grip cap is part of the playing length but is not shaft."),
            ("BBGL forgotten", answer - bbgl, "The shaft ends above the ground line, by BBGL: less of it stays."),
            ("bore turned round", answer + 2 * plan.bbgl_correction_in, "The bore correction has the wrong sign."),
            ("bore forgotten", answer + plan.bbgl_correction_in, "The tip trim is missing the bore correction."),
            ("flex forgotten", answer + plan.between_flexes_in, "The tip trim is missing the part from R to S."),
            (
                "flex and bore forgotten",
                answer + plan.between_flexes_in + plan.bbgl_correction_in,
                "The tip trim is missing the part between flexes and the bore correction.",
            ),
            ("whole BBGL off the tip", answer - 1.0, f"Correct the tip only for {OVER}"),
            ("cut as S", answer - rest, "The tip trim is for S: go only part of the way from R."),
            ("tip trim forgotten", answer + plan.tip_trim_in, "The tip trim comes off the raw shaft too."),
            ("cut length", plan.cut_length_in, "That is the cut length, which stays: the rest comes off the butt."),
        ],
        solution=(
            f"{_tip_solution(plan, soft, stiff)} Cut length = {n(plan.playing_length_in)} − {n(bbgl, 4)} − {n(cap)} = "
            f"{n(plan.cut_length_in, 4)} in. Butt trim = {n(plan.raw_length_in)} − {n(plan.tip_trim_in, 4)} − "
            f"{n(plan.cut_length_in, 4)} = {inches(answer)}."
        ),
    )


def which_deserves_a_stop(draw: Draw) -> Exercise:
    """A computed frequency compared with the set's line before the saw."""
    slope, cpm, length = draw.tenth(4, 5), draw.tenth(303, 313), draw.mark(36.5, 38, 2)
    line = SetLine(length, cpm, slope)
    shorter = draw.mark(0.5, 1.5, 2)
    predicted = round(line.at_cpm(length - shorter) + draw.one_of((-1, 1)) * draw.tenth(2.5, 6), 1)
    answer = against_line([("club", length - shorter, predicted)], line).clubs[0].deviation_cpm
    return exercise(
        "12 stop before the saw",
        question=(
            "Before you saw, you compare a club with the set's line. For these irons the line is straight: "
            f"{cpm:.1f} cpm at {inches(length)}, and {slope:g} cpm more for every half inch shorter. Cut to the "
            f"sheet, a club {inches(length - shorter)} long is computed to play {predicted:.1f} cpm. "
            "How far is that off the line, in cpm (+ above it, − below it)?"
        ),
        answer=(answer, "cpm", 0.15),
        mistakes=[
            ("turned round", -answer, "Above the line is too stiff, and +. Below it is too soft, and −."),
            ("against the first club", predicted - cpm, "Work out the line at this club's own length first."),
            ("slope per inch", predicted - cpm - slope * shorter, "The slope is per half inch, not per inch."),
        ],
        solution=(
            f"The line there: {cpm:.1f} + {slope:g} × {n(2 * shorter)} = {line.at_cpm(length - shorter):.1f} cpm. "
            f"{predicted:.1f} − {line.at_cpm(length - shorter):.1f} = {in_words(answer, 'cpm')}: more than the usual "
            "2 cpm (from our own memory), so find out why before anyone cuts."
        ),
    )


QUESTIONS = (whole_tip, whole_butt, which_deserves_a_stop)
