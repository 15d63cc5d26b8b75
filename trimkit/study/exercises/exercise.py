"""One exercise, and how an answer to it is marked.

The package computes the right answer and the number that each likely mistake leads to. An answer that matches one of
those numbers gets the hint for that mistake.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from trimkit.mechanics.balance import D0_OZ_IN, POINT_OZ_IN, swingweight_oz_in, swingweight_text
from trimkit.parts.errors import ModelError, UnitError
from trimkit.parts.units import nearest_mark, quantity, say_number
from trimkit.study.exercises.reading import COUNTED, SAME_AS, UNCONVERTED, as_typed, named, read

LETTER_SCALE = "swingweight"
"""Unit of an answer on the letter scale; the number is the points above D0."""

DECIMALS = {"mm": 1, "g": 1, "cpm": 1, "oz in": 1, "kg cm²": 0, "N m²": 1, "cpm per half inch": 2, "points": 1}
SIXTEENTH_IN = 1 / 16
COARSE = 0.15
"""How far off, as a fraction of the answer, a number may be and still count as rounded too far; a choice made here."""


@dataclass(frozen=True)
class Mistake:
    """A likely mistake: its name, the number it leads to (in the exercise's unit), and its hint."""

    name: str
    value: float
    hint: str


@dataclass(frozen=True)
class Exercise:
    """One question with its numbers drawn.

    key: lesson and topic, for example ``"02 dry fit"``. unit: of the answer; empty for a plain number. answer,
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


class Outcome(StrEnum):
    """The kinds of marking."""

    RIGHT = "right"
    WRONG_UNIT = "right number, wrong unit"
    MISTAKE = "a known mistake"
    ROUNDED = "right but rounded too far"
    WRONG = "wrong"
    UNREADABLE = "not read"


@dataclass(frozen=True)
class Marking:
    """How an answer is marked: the outcome, a sentence for the student, and the names of the mistakes recognised."""

    outcome: Outcome
    sentence: str
    mistake: str = ""

    @property
    def right(self) -> bool:
        """Whether number and unit are both right."""
        return self.outcome is Outcome.RIGHT

    @property
    def counts(self) -> bool:
        """Whether this counts as a try: an answer that cannot be read does not."""
        return self.outcome is not Outcome.UNREADABLE


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


def check(given: Exercise, text: str) -> Marking:
    """Return how an answer is marked.

    text: as people write it, see :func:`trimkit.study.exercises.reading.read`; on the letter scale ``D2.3``. A number
    without a unit is in the exercise's unit. Tried in this order: right; right number, wrong unit; a known mistake;
    right in another unit; rounded too far; wrong. Raises nothing: what cannot be read is marked so.
    """
    try:
        number, unit = _read(text, given)
    except (UnitError, ModelError) as error:
        return Marking(Outcome.UNREADABLE, f"This cannot be read: {error.given}. Do next: {error.next_step}.")
    units = SAME_AS.get(given.unit, {given.unit: 1.0})
    if unit in units and abs(number / units[unit] - given.answer) <= given.tolerance:
        same = "" if unit == given.unit else f", which is {given.answer_text}"
        return Marking(Outcome.RIGHT, f"Right: {text.strip().rstrip('.')}{same}.")
    if abs(number - given.answer) <= given.tolerance:
        return Marking(
            Outcome.WRONG_UNIT, f"The number is right but the unit is wrong: the question asks for {named(given.unit)}."
        )
    if unit not in units and unit != UNCONVERTED.get(given.unit, ("?",))[0]:
        return Marking(
            Outcome.WRONG,
            f"Not yet: the question asks for {named(given.unit)}, not {unit!r}, and the number is not right either.",
        )
    value = number / units.get(unit, 1.0)
    likely = [mistake for mistake in given.mistakes if abs(value - mistake.value) <= reach(given, mistake)]
    if likely:
        # Where two mistakes lead to one number, only the student knows which it was.
        hints = " Or: ".join(dict.fromkeys(mistake.hint for mistake in likely))
        return Marking(Outcome.MISTAKE, f"Not yet. {hints}", " or ".join(mistake.name for mistake in likely))
    if unit_slip := _looks_like(given, number):
        return Marking(Outcome.WRONG_UNIT, unit_slip)
    if closer := _rounded_too_far(given, value, unit, text):
        return Marking(Outcome.ROUNDED, closer)
    return Marking(
        Outcome.WRONG,
        "Not yet, and I can't tell what went wrong: compare your work with the worked example, line by line.",
    )


def reach(given: Exercise, mistake: Mistake) -> float:
    """Return how far a typed number may be from a mistake's number and still match it.

    In the unit of the exercise: the answer's tolerance, scaled up where the mistake's number is larger than the answer,
    since students round both to the same number of digits.
    """
    return given.tolerance * max(1.0, abs(mistake.value / given.answer) if given.answer else 1.0)


def _read(text: str, given: Exercise) -> tuple[float, str]:
    """Return the number and the unit of a text; raises UnitError or ModelError for a text that has none."""
    if given.unit == LETTER_SCALE:
        return (swingweight_oz_in(as_typed(text)) - D0_OZ_IN) / POINT_OZ_IN, given.unit
    return read(text, given.unit, given.question)


def _looks_like(given: Exercise, number: float) -> str:
    """Return what to say of a number that is right in another unit, as 146 (mm) is for 5.75 in; empty otherwise."""

    def right_in(factor: float) -> bool:
        return abs(number / factor - given.answer) <= min(given.tolerance, 0.02 * abs(given.answer))

    asked = named(given.unit)
    if given.unit in UNCONVERTED:
        other, factor, way = UNCONVERTED[given.unit]
        if right_in(factor):
            looks = f"That looks like {named(other) if other else 'a fraction of 1'}: the question asks for {asked}."
            return f"{looks} Convert it to {asked}: {way}."
    for other, factor in SAME_AS.get(given.unit, {}).items():
        if right_in(factor):
            if given.unit == "":
                return f"That looks like {named(other)}: write {other} after it, or give a number from 0 to 1."
            looks = f"That looks like {named(other)}: the question asks for {asked}."
            return f"{looks} Write {other} after it, or give {asked}."
    return ""


def _rounded_too_far(given: Exercise, value: float, unit: str, text: str) -> str:
    """Return what to say of an answer that is wrong only because it was rounded too far; empty otherwise.

    In inches: within half a sixteenth, as the nearest ruler mark is. In other units: the answer rounded to the number
    of decimals typed.
    """
    off = abs(value - given.answer)
    if given.unit == "in":
        if off > SIXTEENTH_IN / 2 or abs(given.answer) < 2 * SIXTEENTH_IN:
            return ""
        on_mark = abs(value / SIXTEENTH_IN - round(value / SIXTEENTH_IN)) < 1e-6
        near = "Right to the nearest sixteenth" if on_mark else "Close, within 1/32 in"
        return f"{near}, but this question asks for decimals: give inches to a hundredth, and round only at the end."
    behind = re.search(r"\.(\d*)", as_typed(text))
    decimals = len(behind[1]) if behind else 0
    whole = given.unit in COUNTED or unit != given.unit
    if not whole and off <= COARSE * abs(given.answer) and abs(round(given.answer, decimals) - value) < 1e-9:
        return "Right as far as it goes, but rounded too far: give one more decimal."
    return ""
