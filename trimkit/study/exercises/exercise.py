"""One exercise and the checking of an answer to it: pure, without a widget.

The number that a student should find is computed by the package; so is the number that each likely mistake leads to,
and an answer that matches one of those gets the hint that belongs to it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from trimkit.mechanics.balance import D0_OZ_IN, POINT_OZ_IN, swingweight_oz_in, swingweight_text
from trimkit.parts.errors import ModelError, UnitError
from trimkit.parts.units import nearest_mark
from trimkit.study.exercises.reading import COUNTED, SAME_AS, STILL_TO_TURN, as_typed, named, read

LETTER_SCALE = "swingweight"
"""Unit of an answer on the letter scale; its number counts points above D0."""

DECIMALS = {"mm": 1, "g": 1, "cpm": 1, "oz in": 1, "kg cm²": 0, "N m²": 1, "cpm per half inch": 2, "points": 1}
SIXTEENTH_IN = 1 / 16
COARSE = 0.15
"""How far (a part of the answer) a rounded number may lie from it and still be told as one; a choice made here."""


@dataclass(frozen=True)
class Mistake:
    """A likely mistake: its name, the number that it leads to (in the exercise's unit), and the hint it gets."""

    name: str
    value: float
    hint: str


@dataclass(frozen=True)
class Exercise:
    """One question with its numbers drawn.

    key: lesson and topic, for example ``"02 sign"``. unit: of the answer; empty for a plain number. answer, tolerance:
    in that unit. mistakes: none within the tolerance of the answer; where two lead to one number, both are told.
    solution: worked, with the numbers carried through.
    """

    key: str
    lesson: str
    question: str
    unit: str
    answer: float
    tolerance: float
    mistakes: tuple[Mistake, ...]
    solution: str

    @property
    def answer_text(self) -> str:
        """The answer as one would write it, with its unit."""
        return in_words(self.answer, self.unit)


class Outcome(StrEnum):
    """What came of a check."""

    RIGHT = "right"
    WRONG_UNIT = "right number, wrong unit"
    MISTAKE = "a known mistake"
    ROUNDED = "right but rounded too far"
    WRONG = "wrong"
    UNREADABLE = "not read"


@dataclass(frozen=True)
class Marking:
    """The outcome of a check and the sentence that says so; mistake: the name of what was recognised, or names."""

    outcome: Outcome
    sentence: str
    mistake: str = ""

    @property
    def right(self) -> bool:
        """Whether the answer is right, its unit too."""
        return self.outcome is Outcome.RIGHT

    @property
    def counts(self) -> bool:
        """Whether it was an attempt: what could not be read is none."""
        return self.outcome is not Outcome.UNREADABLE


def in_words(value: float, unit: str) -> str:
    """Return a number as an answer: inches as a mark where it is one, a swingweight on its letter scale.

    >>> in_words(5.75, "in"), in_words(-0.25, "in"), in_words(1.234, "in"), in_words(334.16, "cpm")
    ('5 3/4 in', '−1/4 in', '1.234 in', '334.2 cpm')
    >>> in_words(2.3, LETTER_SCALE), in_words(3.28, ""), in_words(2, "clubs"), in_words(1.5, "layers")
    ('D2.3', '3.28', '2 clubs', '1.5 layers')
    """
    if unit == LETTER_SCALE:
        return swingweight_text(D0_OZ_IN + value * POINT_OZ_IN)
    if unit == "in":
        mark = nearest_mark(value, 64)
        return mark.text if abs(mark.error_in) < 1e-9 else f"{value:.3f} in".replace("-", "−")
    if unit in COUNTED:
        text = f"{value:.2f}".rstrip("0").rstrip(".")
        unit = unit.removesuffix("s") if text == "1" else unit
    elif unit in DECIMALS:
        small = unit == "cpm" and abs(value) < 1
        text = f"{value:.{2 if small else DECIMALS[unit]}f}"
    else:
        text = f"{value:.3f}".rstrip("0").rstrip(".")
    return f"{text.replace('-', '−')} {unit}".rstrip()


def exercise(
    lesson: str,
    topic: str,
    *,
    question: str,
    unit: str,
    answer: float,
    tolerance: float,
    mistakes: Iterable[tuple[str, float, str]],
    solution: str,
) -> Exercise:
    """Return an exercise without the mistakes that lead to its answer: they are none with these numbers.

    ``unit`` is that of answer, tolerance and mistakes. A wrong sign is added unless a mistake leads there already.
    """
    kept = [Mistake(*each) for each in mistakes if abs(each[1] - answer) > tolerance]
    if all(abs(each.value + answer) > tolerance for each in kept) and 2 * abs(answer) > tolerance:
        kept.append(Mistake("wrong sign", -answer, "The size is right, the sign is not: think which way it goes."))
    return Exercise(f"{lesson} {topic}", lesson, question, unit, answer, tolerance, tuple(kept), solution)


def check(given: Exercise, text: str) -> Marking:
    """Answer in a sentence whether a text answers an exercise.

    text: as people write, see :func:`trimkit.study.exercises.reading.read`; on the letter scale ``D2.3``. A number
    without a unit counts in the exercise's unit. Told apart, in this order: right; right number, wrong unit; a known
    mistake; right but rounded too far; anything else. Raises nothing.
    """
    try:
        number, unit = _read(text, given)
    except (UnitError, ModelError) as error:
        return Marking(Outcome.UNREADABLE, f"This cannot be read: {error.given}. Do next: {error.next_step}.")
    units = SAME_AS.get(given.unit, {given.unit: 1.0})
    right_number = abs(number - given.answer) <= given.tolerance
    if unit in units and abs(number / units[unit] - given.answer) <= given.tolerance:
        same = "" if unit == given.unit else f", which is {given.answer_text}"
        return Marking(Outcome.RIGHT, f"Right: {text.strip().rstrip('.')}{same}.")
    if unit != given.unit and right_number:
        return Marking(
            Outcome.WRONG_UNIT, f"The number is right, the unit is not: the question asks for {named(given.unit)}."
        )
    if unit not in units and unit != STILL_TO_TURN.get(given.unit, ("?",))[0]:
        return Marking(
            Outcome.WRONG,
            f"Not yet: this answer counts in {named(given.unit)}, not in {unit!r}, and the number is not right yet.",
        )
    value = number / units.get(unit, 1.0)
    likely = [mistake for mistake in given.mistakes if abs(value - mistake.value) <= reach(given, mistake)]
    if likely:
        # Two slips that lead to one number: which it was, only the student knows.
        hints = " Or: ".join(dict.fromkeys(mistake.hint for mistake in likely))
        return Marking(Outcome.MISTAKE, f"Not yet. {hints}", " or ".join(mistake.name for mistake in likely))
    if unit_slip := _looks_like(given, number, unit):
        return Marking(Outcome.WRONG_UNIT, unit_slip)
    if closer := _rounded_too_far(given, value, unit, text):
        return Marking(Outcome.ROUNDED, closer)
    return Marking(
        Outcome.WRONG,
        "Not yet, and I can't tell which slip it is: compare with the worked example line by line.",
    )


def reach(given: Exercise, mistake: Mistake) -> float:
    """Answer how far from a mistake's number a typed one may lie to be taken for it.

    In the unit of the exercise: the answer's tolerance; in proportion where the mistake's number is the larger one,
    since it is rounded likewise.
    """
    return given.tolerance * max(1.0, abs(mistake.value / given.answer) if given.answer else 1.0)


def _read(text: str, given: Exercise) -> tuple[float, str]:
    """Return the number and the unit of a text; raises UnitError or ModelError for what is neither."""
    if given.unit == LETTER_SCALE:
        return (swingweight_oz_in(as_typed(text)) - D0_OZ_IN) / POINT_OZ_IN, given.unit
    return read(text, given.unit, given.question)


def _looks_like(given: Exercise, number: float, unit: str) -> str:
    """Return what to do with a number that is right in another unit: 146 for an answer in inches is so many mm."""

    def right_in(factor: float) -> bool:
        return abs(number / factor - given.answer) <= min(given.tolerance, 0.02 * abs(given.answer))

    asked = named(given.unit)
    if given.unit in STILL_TO_TURN:
        other, factor, way = STILL_TO_TURN[given.unit]
        if right_in(factor):
            looks = f"That looks like {named(other) if other else 'a part of 1'}: the answer counts in {asked}."
            return f"{looks} Turn it into {asked}: {way}."
    for other, factor in SAME_AS.get(given.unit, {}).items():
        if other != unit and right_in(factor):
            if given.unit == "":
                return f"That looks like {named(other)}: write {other} after it, or give a number from 0 to 1."
            looks = f"That looks like {named(other)}: the answer counts in {asked}."
            return f"{looks} Write {other} after it, or give {asked}."
    return ""


def _rounded_too_far(given: Exercise, value: float, unit: str, text: str) -> str:
    """Return what to say of an answer that is right but for its rounding; empty if it is not.

    Inches: within half a sixteenth, as a ruler's mark is. Anything else: the answer itself, rounded to as many decimals
    as were typed.
    """
    off = abs(value - given.answer)
    if given.unit == "in":
        if off > SIXTEENTH_IN / 2 or abs(given.answer) < 2 * SIXTEENTH_IN:
            return ""
        on_mark = abs(value / SIXTEENTH_IN - round(value / SIXTEENTH_IN)) < 1e-6
        near = "Right to the nearest sixteenth" if on_mark else "Near: within 1/32 in of it"
        return f"{near}, but this question asks for the decimals: give inches to a hundredth, not rounded on the way."
    behind = re.search(r"\.(\d*)", as_typed(text))
    decimals = len(behind[1]) if behind else 0
    whole = given.unit in COUNTED or unit != given.unit
    if not whole and off <= COARSE * abs(given.answer) and abs(round(given.answer, decimals) - value) < 1e-9:
        return "Right as far as it goes, but rounded too far: give one decimal more."
    return ""
