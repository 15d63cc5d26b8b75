"""How an answer is marked: right, a known mistake, rounded too far, another unit, wrong, or not read.

A hint is given only where it is true of the answer: where the answer is the mistake's own number as a person writes it,
to three significant digits, to the digits that were typed, or to the ruler's mark (:func:`reach_of`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from trimkit.mechanics.balance import D0_OZ_IN, POINT_OZ_IN, swingweight_oz_in
from trimkit.parts.errors import ModelError, UnitError
from trimkit.study.exercises.exercise import LETTER_SCALE, Exercise, Mistake
from trimkit.study.exercises.reading import (
    COUNTED,
    KNOWN_UNITS,
    SAME_AS,
    UNCONVERTED,
    as_typed,
    decimals_typed,
    example_of,
    named,
    read,
)

SIXTEENTH_IN = 1 / 16
ON_MARK_IN = 1e-6
BY_RULER_IN = 0.02
"""From this tolerance on (in), an answer in inches may be read off a ruler; a choice made here."""
COARSE = 0.15
"""How far off, as a fraction of the answer, a number may be and still count as rounded too far; a choice made here."""
EARLY = 0.05
"""The same for a number rounded on the way, which is at most twice the tolerance off; a choice made here."""
SAME_NUMBER = 1e-9


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
    """How an answer is marked: the outcome, a sentence for the student, and the name of the mistake recognised."""

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


@dataclass(frozen=True)
class _Typed:
    """An answer as it was typed.

    number, unit: as typed. per_unit: how many of that unit make one of the exercise's. decimals: None for a fraction.
    digits: the significant ones.
    """

    number: float
    unit: str
    per_unit: float
    decimals: int | None
    digits: int

    @property
    def value(self) -> float:
        """The number in the exercise's unit."""
        return self.number / self.per_unit

    @property
    def half_a_digit(self) -> float:
        """Half of the last decimal place, in the exercise's unit; 0 for a fraction."""
        return 0.0 if self.decimals is None else 0.5 * 10.0**-self.decimals / self.per_unit

    @property
    def on_mark(self) -> bool:
        """Whether the value is a whole number of sixteenths."""
        return abs(self.value / SIXTEENTH_IN - round(self.value / SIXTEENTH_IN)) * SIXTEENTH_IN <= ON_MARK_IN


def check(given: Exercise, text: str) -> Marking:
    """Return how an answer is marked.

    text: as people write it, see :func:`trimkit.study.exercises.reading.read`; on the letter scale ``D2.3``. A number
    without a unit is in the exercise's unit. Tried in this order: right; right number, wrong unit; the known mistake
    that is nearest, if it is nearer than the right answer; right in another unit; rounded too far; wrong. Raises
    nothing: what cannot be read is marked so.
    """
    try:
        typed = _read(text, given)
    except (UnitError, ModelError) as error:
        return Marking(Outcome.UNREADABLE, f"This cannot be read: {error.given}. Do next: {error.next_step}.")
    units = SAME_AS.get(given.unit, {given.unit: 1.0})
    if typed.unit in units and abs(typed.value - given.answer) <= given.tolerance:
        same = "" if typed.unit == given.unit else f", which is {given.answer_text}"
        return Marking(Outcome.RIGHT, f"Right: {text.strip().rstrip('.')}{same}.")
    if abs(typed.number - given.answer) <= given.tolerance:
        return Marking(
            Outcome.WRONG_UNIT, f"The number is right but the unit is wrong: the question asks for {named(given.unit)}."
        )
    if typed.unit not in units and typed.unit not in KNOWN_UNITS:
        told = f"This cannot be read: {typed.unit!r} is no unit known here. Do next: {example_of(given.unit)}."
        return Marking(Outcome.UNREADABLE, told)
    if typed.unit not in units and typed.unit != UNCONVERTED.get(given.unit, ("?",))[0]:
        return Marking(
            Outcome.WRONG,
            f"Not yet: the question asks for {named(given.unit)}, not {typed.unit!r}, and the number is not right "
            "either.",
        )
    if mistake := _recognised(given, typed):
        return Marking(Outcome.MISTAKE, f"Not yet. {mistake.hint}", mistake.name)
    if unit_slip := _looks_like(given, typed.number):
        return Marking(Outcome.WRONG_UNIT, unit_slip)
    if closer := _rounded_too_far(given, typed):
        return Marking(Outcome.ROUNDED, closer)
    return Marking(
        Outcome.WRONG,
        "Not yet, and I can't tell what went wrong: compare your work with the worked example, line by line.",
    )


def reach_of(given: Exercise, mistake: Mistake, half_a_digit: float = 0.0, *, on_mark: bool = False) -> float:
    """Return how far a typed number may be from a mistake's number and still be that number, in the exercise's unit.

    Half a unit of the number's third significant digit, so 0 for a mistake of 0; as far as the tolerance for the right
    size with the wrong sign. half_a_digit: of the last place that was typed; it counts where the question accepts so
    coarse a number. on_mark: whether a ruler's mark was typed; it counts for lengths read off a ruler, from two
    sixteenths up.
    """
    size = abs(mistake.value)
    if size <= SAME_NUMBER:
        return 0.0
    reaches = [0.5 * 10.0 ** (math.floor(math.log10(size)) - 2)]
    if abs(mistake.value + given.answer) <= SAME_NUMBER:
        reaches.append(given.tolerance)
    if half_a_digit <= given.tolerance:
        reaches.append(half_a_digit)
    if on_mark and given.unit == "in" and given.tolerance >= BY_RULER_IN and size >= 2 * SIXTEENTH_IN:
        reaches.append(SIXTEENTH_IN / 2)
    return max(reaches)


def _read(text: str, given: Exercise) -> _Typed:
    """Return an answer as it was typed; raises UnitError or ModelError for a text that is none."""
    plain = as_typed(text)
    decimals, digits = decimals_typed(plain)
    if given.unit == LETTER_SCALE:
        points = (swingweight_oz_in(plain) - D0_OZ_IN) / POINT_OZ_IN
        return _Typed(points, given.unit, 1.0, decimals, digits)
    number, unit = read(text, given.unit, given.question)
    return _Typed(number, unit, SAME_AS.get(given.unit, {}).get(unit, 1.0), decimals, digits)


def _recognised(given: Exercise, typed: _Typed) -> Mistake | None:
    """Return the mistake whose number was typed: the nearest; of two with one number the first, the more likely."""
    # One digit says little; the letter scale always has a tenth of a point.
    half = typed.half_a_digit if typed.digits > 1 or given.unit == LETTER_SCALE else 0.0

    def off(mistake: Mistake) -> float:
        return abs(typed.value - mistake.value)

    nearest = min(given.mistakes, key=lambda mistake: round(off(mistake), 9), default=None)
    if nearest is None or off(nearest) >= abs(typed.value - given.answer):
        return None
    reach = reach_of(given, nearest, half, on_mark=typed.on_mark)
    return nearest if off(nearest) <= reach * (1 + SAME_NUMBER) + SAME_NUMBER else None


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


def _rounded_too_far(given: Exercise, typed: _Typed) -> str:
    """Return what to say of an answer that is wrong only because it was rounded too far; empty otherwise.

    In inches: within half a sixteenth, as the nearest ruler mark is. In any unit: the answer rounded to the number of
    decimals typed; or rounded on the way, up to twice the tolerance off.
    """
    if given.unit in COUNTED:
        return ""
    off, size = abs(typed.value - given.answer), abs(given.answer)
    if given.unit == "in" and off <= SIXTEENTH_IN / 2 and size >= 2 * SIXTEENTH_IN:
        if typed.on_mark:
            return "Right to the nearest sixteenth, but rounded too far: give inches to a hundredth."
        return "Close, within 1/32 in, but rounded too far: keep all decimals and round only at the end."
    decimals = typed.decimals
    if decimals is not None and off <= COARSE * size:
        exact = given.answer * typed.per_unit
        if abs(round(exact, decimals) - typed.number) < SAME_NUMBER:
            return "Right as far as it goes, but rounded too far: give one more decimal."
    # Inches have the ruler's half sixteenth for this.
    if given.unit != "in" and off <= min(2 * given.tolerance, EARLY * size):
        return "Close: it looks as if you rounded on the way. Keep one more digit in each number, and round at the end."
    return ""
