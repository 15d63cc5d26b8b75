"""Lesson 06: the shaft as a beam: longer bends more, which part bends, stiffer bends less."""

from __future__ import annotations

from fractions import Fraction

from trimkit.study.exercises.draw import Draw, n, plain
from trimkit.study.exercises.exercise import Exercise, exercise, in_words

THREE_TIMES = "Lever, amount of tube and distance to the tip all grow: multiply by the factor three times."


def longer_tube(draw: Draw) -> Exercise:
    """How far the tip of a plain tube drops when more of it sticks out: as the length cubed."""
    short, factor, drop = draw.one_of((10, 12, 14)), draw.one_of((1.5, 2.0, 2.5)), draw.tenth(0.6, 1.8)
    answer = drop * factor**3
    return exercise(
        "06 longer tube",
        question=(
            f"With {short} in of a plain tube sticking out of the clamp, a weight lowers its tip by {drop:g} mm. How "
            f"far does the same weight lower it with {n(short * factor)} in sticking out?"
        ),
        answer=(answer, "mm", 0.02 * answer),
        mistakes=[
            ("once", drop * factor, f"You multiplied once. {THREE_TIMES}"),
            ("twice", drop * factor**2, f"You multiplied twice. {THREE_TIMES}"),
            ("three times the factor", 3 * drop * factor, f"That is 3 × {n(factor)}. {THREE_TIMES}"),
            ("factor alone", factor**3, f"That is the factor: multiply the {drop:g} mm by it."),
            ("change only", answer - drop, "That is how much more it drops: the question asks how far."),
            ("turned round", drop / factor**3, "More tube sticks out, so the tip drops further: multiply."),
        ],
        solution=(
            f"{n(short * factor)} / {short} = {n(factor)} times as long. {n(factor)} × {n(factor)} × {n(factor)} = "
            f"{n(factor**3)}; × {drop:g} mm = {in_words(answer, 'mm')}."
        ),
    )


def share_at_clamp(draw: Draw) -> Exercise:
    """How much of a plain tube's bend its piece at the clamp does: the whole without what is further out."""
    whole, part = draw.one_of((24, 36)), draw.one_of((Fraction(1, 4), Fraction(1, 3), Fraction(2, 3), Fraction(3, 4)))
    piece, out = int(whole * part), float(1 - part)
    answer = round(100 * (1 - out**3), 1)
    return exercise(
        "06 share at the clamp",
        question=(
            f"A plain tube sticks {whole} in out of the clamp, with a weight on the tip. What percentage of the tip's "
            f"drop comes from the {piece} in next to the clamp?"
        ),
        answer=(answer, "%", 0.6),
        mistakes=[
            ("the outer part", 100 * out**3, f"That is what the other {whole - piece} in do: take it from 100 %."),
            ("by length", 100 * float(part), "Not by length alone: a bend near the clamp counts far more."),
            ("squares", 100 * (1 - out**2), f"Take {whole - piece} / {whole} times itself three times, not twice."),
            (
                "its own length cubed",
                100 * float(part) ** 3,
                f"That is for {piece} in at the tip: what do the outer {whole - piece} in do?",
            ),
            ("a part, not percent", answer / 100, "That is a fraction of 1: multiply by 100 for percent."),
        ],
        solution=(
            f"The outer {whole - piece} in alone: {1 - part} × {1 - part} × {1 - part} = {n(out**3)} of the drop, or "
            f"{plain(100 * out**3, 1)} %. The {piece} in at the clamp do the rest: 100 − {plain(100 * out**3, 1)} = "
            f"{in_words(answer, '%')}."
        ),
    )


def stiffer_tube(draw: Draw) -> Exercise:
    """How far a stiffer tube drops under the same weight: one over its E I."""
    soft, more, drop = draw.whole(22, 34), draw.whole(12, 40), float(draw.whole(15, 30))
    stiff = soft + more
    answer = drop * soft / stiff
    return exercise(
        "06 stiffer tube",
        question=(
            f"Two plain tubes stick the same distance out of the clamp. One has an EI of {soft} N m², and a weight "
            f"lowers its tip by {drop:g} mm. The other has an EI of {stiff} N m². How far does the same weight lower "
            "its tip?"
        ),
        answer=(answer, "mm", 0.02 * answer),
        mistakes=[
            ("turned round", drop * stiff / soft, "More EI means less bend: the stiffer tube drops less."),
            ("cubed", drop * (soft / stiff) ** 3, "Only the length counts three times; EI counts once."),
            ("change only", drop - answer, "That is how much less it drops: the question asks how far."),
            ("subtracted", drop - more, "Do not subtract one EI from the other: ask how many times stiffer."),
            ("factor alone", stiff / soft, f"That is how many times stiffer: divide the {drop:g} mm by it."),
        ],
        solution=(
            f"The other tube is {stiff} / {soft} times as stiff, so its tip drops that many times less: {drop:g} mm × "
            f"{soft} / {stiff} = {in_words(answer, 'mm')}."
        ),
    )


QUESTIONS = (longer_tube, share_at_clamp, stiffer_tube)
