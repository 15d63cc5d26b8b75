"""The bank: the questions of each lesson, and the exercises that a seed makes of them."""

from __future__ import annotations

from collections.abc import Callable

from trimkit.parts.errors import BenchError
from trimkit.study.exercises.draw import Draw
from trimkit.study.exercises.exercise import Exercise
from trimkit.study.exercises.questions import (
    balance,
    beam,
    bore,
    flex,
    head,
    length,
    order,
    schedule,
    start,
    stepping,
    tolerance,
    whatif,
)
from trimkit.study.exercises.questions import set as set_

Question = Callable[[Draw], Exercise]

LESSONS: dict[str, tuple[Question, ...]] = {
    "00": start.QUESTIONS,
    "01": schedule.QUESTIONS,
    "02": bore.QUESTIONS,
    "03": head.QUESTIONS,
    "04": stepping.QUESTIONS,
    "05": length.QUESTIONS,
    "06": beam.QUESTIONS,
    "07": flex.QUESTIONS,
    "08": balance.QUESTIONS,
    "09": set_.QUESTIONS,
    "10": tolerance.QUESTIONS,
    "11": whatif.QUESTIONS,
    "12": order.QUESTIONS,
}


def exercises_of(lesson: str, seed: int = 1) -> tuple[Exercise, ...]:
    """Return a lesson's exercises with the numbers of a seed; the same seed gives the same numbers everywhere.

    lesson: its two digits, for example ``"02"``. seed: a whole number, 0 or more; one for each student if you like.
    Raises BenchError for a lesson without exercises or a seed that is not such a number.

    >>> [exercise.key for exercise in exercises_of("02", seed=7)]
    ['02 dry fit', '02 corrected trim', '02 measured and corrected', '02 no saw can do it']
    """
    if lesson not in LESSONS:
        raise BenchError(
            f"there are no exercises for lesson {lesson!r}", "one of " + ", ".join(LESSONS), 'write it like "02"'
        )
    return tuple(make(Draw.of(seed, f"{lesson} {make.__name__}")) for make in LESSONS[lesson])
