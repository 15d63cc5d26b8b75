"""Lesson 04: taper tips, soft and hard stepping."""

from __future__ import annotations

from trimkit.study.exercises.draw import IRONS_4_TO_9, Draw, demo_family, n
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches
from trimkit.trim.clubs import with_article
from trimkit.trim.stepping import flex_shift, say_step, step_set

SET = (*IRONS_4_TO_9, "pitching wedge", "gap wedge")


def raw_length(draw: Draw) -> Exercise:
    """The raw length of a stepped club."""
    family, club, step = demo_family(), draw.one_of(IRONS_4_TO_9[:-1]), draw.one_of((-2, -1, 1, 2))
    own, answer = family.row(club).raw_length_in, family.row(club, step).raw_length_in
    other = family.row(club, -step).raw_length_in
    increment = abs(family.parallel_change_in(club, 1))
    return exercise(
        "04 raw length",
        question=(
            f"In a taper-tip family, the raw length for the {club} is {inches(own)}, and neighboring clubs differ by "
            f"{inches(increment)}. The {club} is to be built with {say_step(step)}. What raw length does it take?"
        ),
        answer=(answer, "in", 0.02),
        mistakes=[
            (
                "stepped the other way",
                other,
                "The other way round: soft takes the longer club's raw length, hard the shorter's.",
            ),
            ("unstepped", own, "That is the club's own raw length: it is not stepped yet."),
            ("one step only", own + (answer - own) / abs(step), "That is one step: the order asks for two."),
        ],
        solution=(
            f"{say_step(step)[0].upper()}{say_step(step)[1:]}: {'+' if step > 0 else '−'} {abs(step)} × "
            f"{n(increment)} in. {n(own)} {'+' if step > 0 else '−'} {n(abs(answer - own))} = {inches(answer)}."
        ),
    )


def shift(draw: Draw) -> Exercise:
    """Steps in flexes, with their sign."""
    step = draw.one_of((-3, -2, -1, 1, 2, 3))
    answer = flex_shift(step)
    makes = "a soft step makes a club softer" if step > 0 else "a hard step makes a club stiffer"
    several = [
        ("one step only", answer / abs(step), f"That is one step: the set has {abs(step)}."),
        ("one step, wrong sign", -answer / abs(step), f"The set has {abs(step)} steps, and {makes}."),
    ] * (abs(step) > 1)
    return exercise(
        "04 shift",
        question=(
            f"A set is built with {say_step(step)}. By the trade's rule of a quarter of a flex per step (common "
            "practice, no source), how many flexes stiffer (+) or softer (−) does it play?"
        ),
        answer=(answer, "flexes", 0.02),
        mistakes=[
            ("wrong sign", -answer, f"Softer is −, stiffer is + here: {makes}."),
            *several,
            ("a flex a step", float(-step), "One step is a quarter of a flex, not a whole one."),
            ("half a flex a step", -step / 2, "One step is a quarter of a flex, not half of one."),
            ("a third a step", -step / 3, "A third is what others say: this question asks for the quarter."),
        ],
        solution=(
            f"{abs(step)} × 1/4 = {n(abs(answer))}, {'softer: −' if step > 0 else 'stiffer: +'}; "
            f"{in_words(answer, 'flexes')}."
        ),
    )


def runs_out(draw: Draw) -> Exercise:
    """How many clubs of a stepped set have no raw length."""
    family, step, first = demo_family(), -draw.whole(1, 3), draw.whole(0, 3)
    clubs = SET[first:]
    stepped = step_set(family, clubs, step)
    answer = len(stepped.missing)
    return exercise(
        "04 runs out",
        question=(
            f"A taper-tip family has raw lengths from the {family.clubs[0]} to the {family.clubs[-1]}, one for each "
            f"club. A set from {clubs[0]} to {clubs[-1]} ({len(clubs)} clubs: {', '.join(clubs)}) is to be built with "
            f"{say_step(step)}. For how many of its clubs is there no raw length?"
        ),
        answer=(float(answer), "clubs", 0.1),
        mistakes=[
            ("none", 0.0, "Look at the short end: the last club needs the raw length of a club past the end."),
            ("one too many", answer + 1.0, "One club too many: write the raw length beside each club."),
            ("one too few", answer - 1.0, "One club too few: write the raw length beside each club."),
            ("all that can be built", float(len(stepped.built)), "Those can be built: count the others."),
        ],
        solution=(
            f"Hard stepping runs out at the short end. {', '.join(each.club for each in stepped.missing)}: "
            f"{in_words(answer, 'clubs')} without a raw length."
        ),
    )


def soft_at_the_long_end(draw: Draw) -> Exercise:
    """How far stepping moves every step of the tube."""
    family, club, step = demo_family(), draw.one_of(IRONS_4_TO_9[:-1]), draw.one_of((-2, -1, 1, 2))
    answer = family.parallel_change_in(club, step)
    one = answer / abs(step)
    return exercise(
        "04 parallel length",
        question=(
            f"Raw lengths in a taper-tip family differ by {inches(abs(one))} per club, and only below the first step. "
            f"{with_article(club).capitalize()} is built with {say_step(step)}, to the same length. How many inches "
            "nearer the grip (+) or the head (−) is every step on its tube?"
        ),
        answer=(answer, "in", 0.02),
        mistakes=[
            (
                "wrong sign",
                -answer,
                "A soft step moves every step of the tube toward the grip (+), a hard step toward the head (−).",
            ),
            ("one step only", one, "That is one step: the order asks for two."),
            ("a quarter", flex_shift(step), "A quarter is the step in flexes: the question asks for inches."),
        ],
        solution=(f"{abs(step)} × {n(abs(one))} in, nearer the {'grip' if step > 0 else 'head'}: {inches(answer)}."),
    )


QUESTIONS = (raw_length, shift, runs_out, soft_at_the_long_end)
