"""Lesson 00: from the parts to the saw, one club."""

from __future__ import annotations

from trimkit.parts.units import MM_PER_IN
from trimkit.study.exercises.draw import IRONS_4_TO_9, NEAREST_16TH_IN, Draw, demo_ladder, demo_order, demo_schedule, n
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches
from trimkit.trim.butt import butt_cut, cut_length_in
from trimkit.trim.clubs import with_article

CAP_IN = 0.125


def cut_length(draw: Draw) -> Exercise:
    """The bare shaft after both cuts, from the playing length."""
    club, bbgl = draw.one_of(IRONS_4_TO_9), draw.mark(0.75, 1.5, 8)
    playing = demo_ladder().rung(club).playing_length_in + draw.mark(-0.5, 0.5, 4)
    cut = cut_length_in(playing, bbgl, CAP_IN)
    forgotten = "Part of the playing length at the upper end is not shaft: the thickness of the grip cap."
    return exercise(
        "00 cut length",
        question=(
            f"{with_article(club).capitalize()} is to play at {inches(playing)}. Its head has a BBGL of "
            f"{inches(bbgl)}, and the grip cap is {inches(CAP_IN)} thick. How long is the bare shaft after both cuts "
            "(cut length)?"
        ),
        answer=(cut, "in", 0.02),
        mistakes=[
            ("cap forgotten", playing - bbgl, forgotten),
            ("BBGL forgotten", playing - CAP_IN, "The shaft ends above the ground line, by BBGL."),
            ("BBGL added", playing + bbgl - CAP_IN, "BBGL is already part of the playing length: take it off."),
            ("cap added", playing - bbgl + CAP_IN, "The cap is on the end of the shaft: take it off; do not add it."),
        ],
        solution=(
            f"cut length = playing length − BBGL − cap thickness = {n(playing)} − {n(bbgl)} − {n(CAP_IN)} = "
            f"{inches(cut)}."
        ),
    )


def butt_trim(draw: Draw) -> Exercise:
    """What comes off at the butt."""
    order, club = demo_order(), draw.one_of(IRONS_4_TO_9)
    shaft, grip = order.shaft, order.grip
    trim = demo_schedule().row(club, draw.one_of(("A", "R"))).tip_trim_in
    playing = demo_ladder().rung(club).playing_length_in + draw.mark(-0.5, 0.5, 4)
    cut = cut_length_in(playing, 1.0, grip.cap_thickness_in)
    cuts = butt_cut(
        shaft, grip, raw_length_in=shaft.raw_length_in, tip_trim_in=trim, playing_length_in=playing, bbgl_in=1.0
    )
    raw = shaft.raw_length_in
    return exercise(
        "00 butt trim",
        question=(
            f"A raw shaft {inches(raw)} long has {inches(trim)} cut off its tip. The {club} needs a cut length of "
            f"{n(cut)} in to play at {inches(playing)}. How much comes off the butt?"
        ),
        answer=(cuts.butt_trim_in, "in", NEAREST_16TH_IN),
        mistakes=[
            ("tip trim forgotten", raw - cut, "The tip trim has already come off: do not count it as left over."),
            (
                "playing length for cut length",
                raw - trim - playing,
                "You used the playing length: it includes BBGL and the cap, which are not shaft.",
            ),
            ("tip trim added", raw + trim - cut, "The tip trim makes the shaft shorter: take it off."),
            (
                "cut length not taken off",
                raw - trim,
                "That is left after the tip cut: the cut length stays, the rest comes off.",
            ),
        ],
        solution=(
            f"butt trim = raw length − tip trim − cut length = {n(raw)} − {n(trim)} − {n(cut)} = "
            f"{inches(cuts.butt_trim_in)}. It is what is left over."
        ),
    )


def stop_in_mm(draw: Draw) -> Exercise:
    """A mark in inches for a stop with a millimeter scale."""
    trim = draw.mark(1.25, 5.75, 16)
    mm, whole, part = trim * MM_PER_IN, int(trim), trim % 1
    return exercise(
        "00 stop in mm",
        question=(
            f"The sheet says {inches(trim)} of tip trim. The stop on your saw has a millimeter scale. How many "
            "millimeters do you set it to?"
        ),
        answer=(mm, "mm", 0.3),
        mistakes=[
            ("25 mm to the inch", trim * 25, "An inch is 25.4 mm, not 25: over several inches the difference shows."),
            ("fraction left out", whole * MM_PER_IN, "You converted only the whole inches: the fraction is missing."),
            ("centimeters", mm / 10, "That is in centimeters: the scale is in millimeters."),
            ("fraction as millimeters", whole * MM_PER_IN + part, "Convert the fraction to millimeters too."),
        ],
        solution=f"1 in = 25.4 mm, so {n(trim, 4)} in × 25.4 mm/in = {in_words(mm, 'mm')}.",
    )


QUESTIONS = (cut_length, butt_trim, stop_in_mm)
