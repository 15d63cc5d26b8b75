"""Lesson 00: from the parts to the saw, one club."""

from __future__ import annotations

from trimkit.parts.units import MM_PER_IN
from trimkit.study.exercises.draw import IRONS, NEAREST_16TH_IN, Draw, at, demo_ladder, demo_order, demo_schedule, n
from trimkit.study.exercises.exercise import Exercise, exercise, in_words
from trimkit.trim.butt import butt_cut, cut_length_in
from trimkit.trim.flexplace import FlexPlace

CAP_IN = 0.125


def cut_length(draw: Draw) -> Exercise:
    """The bare shaft after both cuts, from the playing length."""
    club, bbgl = draw.one_of(IRONS), draw.mark(0.75, 1.5, 8)
    playing = demo_ladder().playing_length_in(at(club)) + draw.mark(-0.5, 0.5, 4)
    cut = cut_length_in(playing, bbgl, CAP_IN)
    forgotten = "Something of the playing length is not shaft at the upper end: the thickness of the grip's cap."
    return exercise(
        "00",
        "cut length",
        question=(
            f"A {club} is to play at {in_words(playing, 'in')}. Its head has a BBGL of {in_words(bbgl, 'in')}, the "
            f"grip's cap is {in_words(CAP_IN, 'in')} thick. How long is the bare shaft after both cuts (cut length)?"
        ),
        unit="in",
        answer=cut,
        tolerance=0.02,
        mistakes=[
            ("cap forgotten", playing - bbgl, forgotten),
            (
                "BBGL forgotten",
                playing - CAP_IN,
                "The shaft does not reach the ground line: what the bore leaves below it (BBGL) is not shaft.",
            ),
            ("BBGL added", playing + bbgl - CAP_IN, "BBGL is part of the playing length already: take it off."),
            ("cap added", playing - bbgl + CAP_IN, "The cap sits on the shaft's end: take it off, do not add it."),
        ],
        solution=(
            "cut length = playing length − BBGL − cap thickness "
            f"= {n(playing)} − {n(bbgl)} − {n(CAP_IN)} = {in_words(cut, 'in')}."
        ),
    )


def butt_trim(draw: Draw) -> Exercise:
    """What is left over at the butt."""
    order, club = demo_order(), draw.one_of(IRONS)
    shaft, grip = order.shaft, order.grip
    trim = demo_schedule().trim_in(at(club), FlexPlace.at(draw.one_of(("A", "R"))))
    playing = demo_ladder().playing_length_in(at(club)) + draw.mark(-0.5, 0.5, 4)
    cut = cut_length_in(playing, 1.0, grip.cap_thickness_in)
    cuts = butt_cut(
        shaft, grip, raw_length_in=shaft.raw_length_in, tip_trim_in=trim, playing_length_in=playing, bbgl_in=1.0
    )
    raw = shaft.raw_length_in
    return exercise(
        "00",
        "butt trim",
        question=(
            f"A raw shaft of {in_words(raw, 'in')} loses {in_words(trim, 'in')} at the tip; {n(cut)} in of it "
            "have to "
            f"stay for the {club} of {in_words(playing, 'in')}. How much comes off the butt?"
        ),
        unit="in",
        answer=cuts.butt_trim_in,
        tolerance=NEAREST_16TH_IN,
        mistakes=[
            (
                "tip trim forgotten",
                raw - cut,
                "The tip trim has come off already: it is no longer there to be left over.",
            ),
            (
                "playing length for cut length",
                raw - trim - playing,
                "You took the playing length: it counts the bore's bottom and the cap, which are not shaft.",
            ),
            ("tip trim added", raw + trim - cut, "The tip trim makes the shaft shorter: take it off."),
            (
                "cut length not taken off",
                raw - trim,
                "That is what the tip cut leaves: the cut length stays, only the rest comes off the butt.",
            ),
        ],
        solution=(
            "butt trim = raw length − tip trim − cut length "
            f"= {n(raw)} − {n(trim)} − {n(cut)} = {in_words(cuts.butt_trim_in, 'in')}. It is what is left over."
        ),
    )


def stop_in_mm(draw: Draw) -> Exercise:
    """A mark in inches for a stop with a millimetre scale."""
    trim = draw.mark(1.25, 5.75, 16)
    mm, whole, part = trim * MM_PER_IN, int(trim), trim % 1
    return exercise(
        "00",
        "stop in mm",
        question=(
            f"The sheet says {in_words(trim, 'in')} of tip trim. The stop of your saw has a millimetre scale. To how "
            "many millimetres do you set it?"
        ),
        unit="mm",
        answer=mm,
        tolerance=0.3,
        mistakes=[
            ("25 mm to the inch", trim * 25, "An inch is 25.4 mm, not 25: over some inches it shows at the saw."),
            (
                "fraction left out",
                whole * MM_PER_IN,
                "You have turned the whole inches into millimetres only: the fraction is missing.",
            ),
            ("centimetres", mm / 10, "That is in centimetres: the scale is in millimetres."),
            ("fraction as millimetres", whole * MM_PER_IN + part, "Turn the fraction into millimetres too."),
        ],
        solution=f"1 in = 25.4 mm, so {n(trim, 4)} in × 25.4 mm/in = {in_words(mm, 'mm')}.",
    )


QUESTIONS = (cut_length, butt_trim, stop_in_mm)
