"""One exercise and the checking of an answer to it: pure, without a widget.

The number that a student should find is computed by the package; so is the number that each likely mistake leads to,
and an answer that matches one of those gets the hint that belongs to it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from trimkit.mechanics.balance import D0_OZ_IN, POINT_OZ_IN, swingweight_oz_in, swingweight_text
from trimkit.parts.errors import ModelError, UnitError
from trimkit.parts.units import G_PER_OZ, MM_PER_IN, length_in, nearest_mark

LETTER_SCALE = "swingweight"
"""Unit of an answer on the letter scale; its number counts points above D0."""

# For each unit of an answer: how many of each unit that one may write make one of it.
SAME_AS: dict[str, dict[str, float]] = {
    "in": {"in": 1.0, "mm": MM_PER_IN, "cm": MM_PER_IN / 10},
    "mm": {"mm": 1.0, "cm": 0.1, "in": 1 / MM_PER_IN},
    "g": {"g": 1.0, "oz": 1 / G_PER_OZ, "kg": 1e-3},
    "cpm": {"cpm": 1.0, "hz": 1 / 60},
    "kg cm²": {"kg cm²": 1.0, "g cm²": 1000.0},
    "oz in": {"oz in": 1.0, "g in": G_PER_OZ},
}
DECIMALS = {"mm": 1, "g": 1, "cpm": 1, "oz in": 1, "kg cm²": 0, "N m²": 1, "cpm per half inch": 2, "points": 1}
COUNTED = ("clubs", "layers")
_SPELLINGS = {
    '"': "in",
    "”": "in",
    "″": "in",
    "inch": "in",
    "inches": "in",
    "gram": "g",
    "grams": "g",
    "layer": "layers",
    "club": "clubs",
    "flex": "flexes",
    "point": "points",
    "kg cm2": "kg cm²",
    "kgcm2": "kg cm²",
    "kgcm²": "kg cm²",
    "kg cm^2": "kg cm²",
    "g cm2": "g cm²",
    "g cm^2": "g cm²",
    "ozin": "oz in",
    "oz·in": "oz in",
    "oz-in": "oz in",
    "nm2": "N m²",
    "nm²": "N m²",
    "n m2": "N m²",
    "n m^2": "N m²",
    "n m²": "N m²",
    "cpm/half inch": "cpm per half inch",
    "cpm per half in": "cpm per half inch",
}
_ANSWER = re.compile(r"(?P<number>[-+]?\s*[\d./ -]*\d\.?)(?P<unit>[^\d./].*|)", re.DOTALL)


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
    WRONG = "wrong"
    UNREADABLE = "not read"


@dataclass(frozen=True)
class Verdict:
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
    >>> in_words(2.3, LETTER_SCALE), in_words(3.28, ""), in_words(2, "clubs")
    ('D2.3', '3.28', '2 clubs')
    """
    if unit == LETTER_SCALE:
        return swingweight_text(D0_OZ_IN + value * POINT_OZ_IN)
    if unit == "in":
        mark = nearest_mark(value, 64)
        return mark.text if abs(mark.error_in) < 1e-9 else f"{value:.3f} in".replace("-", "−")
    if unit in COUNTED:
        text = f"{value:.0f}"
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


def check(given: Exercise, text: str) -> Verdict:
    """Answer in a sentence whether a text answers an exercise.

    text: as people write: ``5 3/4``, ``5.75 in``, ``146 mm``, ``−1/4``, ``5¾"``, ``D2.3``. A number without a unit
    counts in the exercise's unit. Raises nothing.
    """
    try:
        number, unit = _read(text, given.unit)
    except (UnitError, ModelError) as error:
        return Verdict(Outcome.UNREADABLE, f"This cannot be read: {error.given}. Do next: {error.next_step}.")
    units = SAME_AS.get(given.unit, {given.unit: 1.0})
    right_number = abs(number - given.answer) <= given.tolerance
    if unit not in units:
        if right_number:
            return Verdict(Outcome.WRONG_UNIT, f"The number is right, the unit is not: it asks for {_unit(given)}.")
        return Verdict(Outcome.WRONG, f"{unit!r} is not a unit of this answer, and the number is not right yet.")
    value = number / units[unit]
    if abs(value - given.answer) <= given.tolerance:
        same = "" if unit == given.unit else f", which is {given.answer_text}"
        return Verdict(Outcome.RIGHT, f"Right: {text.strip()}{same}.")
    if unit != given.unit and right_number:
        return Verdict(Outcome.WRONG_UNIT, f"The number is right, the unit is not: it asks for {_unit(given)}.")
    likely = [mistake for mistake in given.mistakes if abs(value - mistake.value) <= given.tolerance]
    if likely:
        # Two slips that lead to one number: which it was, only the student knows.
        hints = " Or: ".join(dict.fromkeys(mistake.hint for mistake in likely))
        return Verdict(Outcome.MISTAKE, f"Not yet. {hints}", " or ".join(mistake.name for mistake in likely))
    for other, factor in units.items():
        # 146 for an answer in inches: the right length, in millimetres, without saying so.
        if other != unit and abs(number / factor - given.answer) <= min(given.tolerance, 0.02 * abs(given.answer)):
            return Verdict(
                Outcome.WRONG_UNIT,
                f"The number would be right in {other}, but as it stands it counts in {unit}: give {_unit(given)}.",
            )
    return Verdict(Outcome.WRONG, "Not yet, and it is none of the usual slips: go through it step by step.")


def _unit(given: Exercise) -> str:
    return given.unit or "a plain number"


def _read(text: str, unit: str) -> tuple[float, str]:
    """Return the number and the unit of a text; raises UnitError or ModelError for what is neither."""
    plain = _plain(text)
    if unit == LETTER_SCALE:
        return (swingweight_oz_in(plain) - D0_OZ_IN) / POINT_OZ_IN, unit
    match = _ANSWER.fullmatch(plain)
    if match is None:
        raise UnitError(f"{text.strip()!r} is not a number", "a number and its unit", "write it like '5 3/4' or '5.75'")
    said = " ".join(match["unit"].split())
    said = _SPELLINGS.get(said.lower(), said.lower() if said.lower() in _KNOWN else said)
    return length_in(match["number"].replace("- ", "-").replace("+ ", "+")), said or unit


_KNOWN = {name for units in SAME_AS.values() for name in units} | {*COUNTED, "flexes", "points", "times"}


def _plain(text: str) -> str:
    """Return a text with minus, decimal comma and fractions such as ¾ written as the keyboard has them."""
    text = text.strip().replace("−", "-").replace("–", "-").replace("⁄", "/")
    if re.search(r"\d,\d{3}(?!\d)", text):
        raise UnitError(
            f"the comma in {text!r} may be read in two ways", "a point for decimals", "write it with a point"
        )
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    return "".join(_fraction(sign) for sign in text).strip()


def _fraction(sign: str) -> str:
    if unicodedata.category(sign) != "No" or not unicodedata.decomposition(sign).startswith("<fraction>"):
        return sign
    part = Fraction(unicodedata.numeric(sign)).limit_denominator(100)
    return f" {part.numerator}/{part.denominator}"
