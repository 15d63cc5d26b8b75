"""One exercise: its question, the computed answer, and the number that each likely mistake leads to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from trimkit.mechanics.balance import D0_OZ_IN, POINT_OZ_IN, swingweight_text
from trimkit.parts.units import nearest_mark, quantity, say_number
from trimkit.study.exercises.reading import COUNTED

LETTER_SCALE = "swingweight"
"""Unit of an answer on the letter scale; the number is the points above D0."""

DECIMALS = {"mm": 1, "g": 1, "cpm": 1, "oz in": 1, "kg cm²": 0, "N m²": 1, "cpm per half inch": 2, "points": 1}


@dataclass(frozen=True)
class Mistake:
    """A likely mistake: its name, the number it leads to (in the exercise's unit), and its hint."""

    name: str
    value: float
    hint: str


@dataclass(frozen=True)
class Exercise:
    """One question with its numbers drawn.

    key: lesson and topic, for example ``"02 dry fit"``. unit: of the answer; empty for a number without one. answer,
    tolerance: in that unit. mistakes: none of them within the tolerance of the answer. solution: the worked answer.
    """

    key: str
    question: str
    unit: str
    answer: float
    tolerance: float
    mistakes: tuple[Mistake, ...]
    solution: str

    @property
    def answer_text(self) -> str:
        """The answer as you would write it, with its unit."""
        return in_words(self.answer, self.unit)


def in_words(value: float, unit: str) -> str:
    """Return a number as an answer: inches on a mark as a fraction, a swingweight on the letter scale.

    >>> in_words(5.75, "in"), in_words(-0.25, "in"), in_words(1.234, "in"), in_words(334.16, "cpm")
    ('5 3/4 in', '−1/4 in', '1.234 in', '334.2 cpm')
    >>> in_words(2.3, LETTER_SCALE), in_words(3.28, ""), in_words(2, "clubs"), in_words(1.5, "layers")
    ('D2.3', '3.28', '2 clubs', '1.5 layers')
    """
    if unit == LETTER_SCALE:
        return swingweight_text(D0_OZ_IN + value * POINT_OZ_IN)
    if unit == "in":
        mark = nearest_mark(value, 64)
        return mark.text if abs(mark.error_in) < 1e-9 else quantity(value, "in")
    if unit in COUNTED:
        text = say_number(value, 2)
        unit = unit.removesuffix("s") if text == "1" else unit
    elif unit in DECIMALS:
        small = unit == "cpm" and abs(value) < 1
        text = quantity(value, "", 2 if small else DECIMALS[unit])
    else:
        text = say_number(value)
    return f"{text} {unit}".rstrip()


def inches(value: float) -> str:
    """Return a length as :func:`in_words` does.

    >>> inches(5.75)
    '5 3/4 in'
    """
    return in_words(value, "in")


def exercise(
    key: str,
    *,
    question: str,
    answer: tuple[float, str, float],
    mistakes: Iterable[tuple[str, float, str]],
    solution: str,
) -> Exercise:
    """Return an exercise, leaving out mistakes that happen to give the right answer with these numbers.

    answer: the number, its unit, and how far off one may be. mistakes: name, number and hint of each; "wrong sign" is
    added unless one of them gives that number.
    """
    right, unit, tolerance = answer
    kept = [Mistake(*each) for each in mistakes if abs(each[1] - right) > tolerance]
    if all(abs(each.value + right) > tolerance for each in kept) and 2 * abs(right) > tolerance:
        kept.append(Mistake("wrong sign", -right, "The size is right but the sign is wrong: think which way it goes."))
    return Exercise(key, question, unit, right, tolerance, tuple(kept), solution)
