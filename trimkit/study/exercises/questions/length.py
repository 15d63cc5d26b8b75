"""Lesson 05: cutting to length, from the client's reference club to the butt."""

from __future__ import annotations

import math

from trimkit.parts.units import nearest_mark
from trimkit.study.exercises.draw import IRONS_4_TO_9, NEAREST_16TH_IN, Draw, at, demo_ladder, demo_order, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches
from trimkit.trim.butt import butt_cut, cut_length_in, grip_fit
from trimkit.trim.length import ReferenceLength
from trimkit.trim.practice import BenchPractice
from trimkit.trim.refusals import ShaftTooShort

CAP_IN = 0.1


def playing_length(draw: Draw) -> Exercise:
    """A playing length from the reference club and the step."""
    first, last = draw.whole(0, 2), draw.whole(3, 5)
    reference, club = (
        (IRONS_4_TO_9[first], IRONS_4_TO_9[last]) if draw.whole(0, 1) else (IRONS_4_TO_9[last], IRONS_4_TO_9[first])
    )
    length, step = draw.mark(36.5, 38.5, 4), draw.one_of((0.5, 0.375))
    answer = ReferenceLength(reference, length, step).decide(at(club), demo_ladder()).inches
    clubs = last - first
    away = 1 if answer > length else -1
    put = "add it to" if away > 0 else "take it off"
    return exercise(
        "05 playing length",
        question=(
            f"The client's {reference} plays at {inches(length)}, and neighboring clubs differ by {inches(step)}. "
            f"What is the playing length of the {club}?"
        ),
        answer=(answer, "in", 0.02),
        mistakes=[
            ("wrong direction", length - away * clubs * step, "Higher numbers are shorter clubs: count the other way."),
            ("one club too many", answer + away * step, f"Count the steps between the two clubs: {clubs}."),
            ("one club too few", answer - away * step, f"Count the steps between the two clubs: {clubs}."),
            ("one step", length + away * step, f"That is the next club: the {club} is {clubs} clubs away."),
            ("difference only", clubs * step, f"That is the difference: {put} the known length."),
        ],
        solution=(
            f"{clubs} clubs {'longer' if away > 0 else 'shorter'}: {n(length)} {'+' if away > 0 else '−'} {clubs} × "
            f"{n(step)} = {inches(answer)}."
        ),
    )


def through_to_the_butt(draw: Draw) -> Exercise:
    """Butt trim from the playing length."""
    order, club = demo_order(), draw.one_of(IRONS_4_TO_9[2:])
    raw, trim, bbgl = draw.mark(41, 42, 4), draw.mark(2, 3, 4), draw.mark(0.875, 1.5, 8)
    playing = demo_ladder().rung(club).playing_length_in + draw.mark(0, 0.5, 4)
    cut = butt_cut(
        order.shaft, order.grip, raw_length_in=raw, tip_trim_in=trim, playing_length_in=playing, bbgl_in=bbgl
    )
    answer, cap = cut.butt_trim_in, order.grip.cap_thickness_in
    return exercise(
        "05 through to the butt",
        question=(
            f"Raw shaft {inches(raw)}, tip trim {inches(trim)}, {club} to play at {inches(playing)}, BBGL "
            f"{inches(bbgl)}, grip cap {n(cap)} in. How much comes off the butt?"
        ),
        answer=(answer, "in", NEAREST_16TH_IN),
        mistakes=[
            ("cut length", cut.cut_length_in, "That is the cut length: one more step, raw − tip trim − cut length."),
            ("cap added", answer - 2 * cap, "Subtract the cap from the playing length; do not add it."),
            ("cap forgotten", answer - cap, "The grip cap is part of the playing length but is not shaft."),
            ("BBGL forgotten", answer - bbgl, "The shaft ends above the ground, by BBGL: more comes off."),
            ("tip trim forgotten", answer + trim, "The tip trim is already off the shaft."),
            ("sign of BBGL", answer - 2 * bbgl, "Subtract BBGL from the playing length; do not add it."),
            ("double tip trim", answer - trim, "You took the tip trim off twice."),
        ],
        solution=(
            f"cut length = {n(playing)} − {n(bbgl)} − {n(cap)} = {plain(cut.cut_length_in)} in; butt trim = {n(raw)} "
            f"− {n(trim)} − {n(cut.cut_length_in)} = {inches(answer)}."
        ),
    )


def too_short(draw: Draw) -> Exercise:
    """How much is missing at the butt."""
    order, club = demo_order(), draw.one_of(IRONS_4_TO_9[:3])
    trim, bbgl, missing = draw.mark(3.5, 5, 4), draw.mark(0.75, 1.25, 8), draw.mark(0.25, 0.875, 8)
    playing = demo_ladder().rung(club).playing_length_in
    cut = cut_length_in(playing, bbgl, CAP_IN)
    raw = round((cut + trim - missing) * 8) / 8
    try:
        butt_cut(order.shaft, order.grip, raw_length_in=raw, tip_trim_in=trim, playing_length_in=playing, bbgl_in=bbgl)
        raise AssertionError("the shaft reaches")
    except ShaftTooShort as short:
        answer = short.shortfall_in
    return exercise(
        "05 too short",
        question=(
            f"Raw shaft {inches(raw)}, tip trim {inches(trim)}. The {club} is to play at {inches(playing)} with a "
            f"BBGL of {inches(bbgl)} and a cap of {n(CAP_IN)} in. The shaft isn't long enough. How far short "
            "is it (a positive number)?"
        ),
        answer=(answer, "in", NEAREST_16TH_IN),
        mistakes=[
            ("cut length", cut, "That is the cut length: compare it with what the tip cut leaves."),
            ("what is there", raw - trim, "That is what is left: how much longer is the cut length?"),
            ("cap added", answer + 2 * CAP_IN, "Subtract the cap from the playing length; do not add it."),
            ("cap forgotten", answer + CAP_IN, "The grip cap adds to the playing length: less shaft is needed."),
            ("BBGL forgotten", answer + bbgl, "The shaft need not reach the ground: it ends above it, by BBGL."),
            ("tip trim forgotten", abs(answer - trim), "The tip trim makes the shaft even shorter: count it."),
        ],
        solution=(
            f"cut length = {n(playing)} − {n(bbgl)} − {n(CAP_IN)} = {plain(cut)} in. {n(raw)} − {n(trim)} = "
            f"{plain(raw - trim)} in is left; {n(cut)} − {n(raw - trim)} = {inches(answer)} is missing. An "
            "extension changes mass and feel, and needs the client's agreement; a longer shaft is the better answer."
        ),
    )


def tape(draw: Draw) -> Exercise:
    """Layers of build-up tape under a grip."""
    grip, thickness = demo_order().grip, BenchPractice().tape_thickness_in
    layers_drawn = draw.whole(1, 3)
    butt = round(grip.core_diameter_in - 2 * thickness * layers_drawn, 3)
    layers, _ = grip_fit(butt, grip)
    gap = grip.core_diameter_in - butt
    twice = "You halved it twice: a layer adds 2 × its thickness."
    return exercise(
        "05 tape",
        question=(
            f"After the butt cut the shaft measures {butt:.3f} in across; the grip's core is "
            f"{grip.core_diameter_in:.3f} in. One layer of tape is {thickness:g} in thick (from our own "
            "memory: measure yours). How many layers build the butt up to the core?"
        ),
        answer=(float(layers), "layers", 0.1),
        mistakes=[
            ("one side only", 2.0 * layers, "A layer goes on both sides of the shaft: it adds twice its thickness."),
            ("halved twice", layers / 2, twice),
            ("halved twice, rounded up", float(math.ceil(layers / 2)), twice),
            ("difference only", gap, "That is the gap in inches: divide it by 2 × the tape's thickness."),
        ],
        solution=(
            f"{grip.core_diameter_in:.3f} − {butt:.3f} = {plain(gap)} in to build up; a layer adds 2 × {n(thickness)} "
            f"= {n(2 * thickness)} in; {n(gap)} / {n(2 * thickness)} = {in_words(layers, 'layers')}."
        ),
    )


def rounding(draw: Draw) -> Exercise:
    """How far the nearest ruler mark is from an exact length."""
    exact = draw.whole(3500, 3700) / 100
    while abs(nearest_mark(exact).error_in) < 0.012:
        exact = round(exact + 0.01, 2)
    mark = nearest_mark(exact)
    other = mark.error_in - math.copysign(1 / 16, mark.error_in)
    equals = "=" if abs(round(mark.error_in, 3) - mark.error_in) < 1e-9 else "≈"
    return exercise(
        "05 rounding",
        question=(
            f"The plan says {exact:.2f} in of cut length; the ruler has sixteenths. You cut at the nearest mark. By "
            "how many inches is the shaft longer (+) or shorter (−) than planned?"
        ),
        answer=(mark.error_in, "in", 0.003),
        mistakes=[
            ("turned round", -mark.error_in, "Take the mark minus the plan: longer is +, shorter is −."),
            ("the other mark", other, "There is a nearer mark on the other side."),
            ("the mark itself", mark.marked_in, "That is the mark you cut at: now subtract the plan."),
            ("no difference", 0.0, "The plan is between two marks, so the difference is not zero."),
            ("a sixteenth", 1 / 16, "Marks are a sixteenth apart: the nearest is at most half of that away."),
        ],
        solution=(
            f"{exact:.2f} × 16 = {plain(exact * 16, 2)}, so the nearest mark is {plain(mark.marked_in * 16, 0)}/16 = "
            f"{mark.mark}; {plain(mark.marked_in, 4)} − {exact:.2f} {equals} {inches(mark.error_in)}."
        ),
    )


QUESTIONS = (playing_length, through_to_the_butt, too_short, tape, rounding)
