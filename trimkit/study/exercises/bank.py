"""The bank: which questions belong to which lesson, and the exercises that a seed makes of them."""

from __future__ import annotations

from collections.abc import Callable

from trimkit.parts.errors import BenchError
from trimkit.study.exercises import (
    balancequestions,
    beamquestions,
    borequestions,
    flexquestions,
    headquestions,
    lengthquestions,
    orderquestions,
    schedulequestions,
    setquestions,
    startquestions,
    steppingquestions,
    tolerancequestions,
    whatifquestions,
)
from trimkit.study.exercises.draw import Draw
from trimkit.study.exercises.exercise import Exercise

Question = Callable[[Draw], Exercise]

LESSONS: dict[str, tuple[Question, ...]] = {
    "00": startquestions.QUESTIONS,
    "01": schedulequestions.QUESTIONS,
    "02": borequestions.QUESTIONS,
    "03": headquestions.QUESTIONS,
    "04": steppingquestions.QUESTIONS,
    "05": lengthquestions.QUESTIONS,
    "06": beamquestions.QUESTIONS,
    "07": flexquestions.QUESTIONS,
    "08": balancequestions.QUESTIONS,
    "09": setquestions.QUESTIONS,
    "10": tolerancequestions.QUESTIONS,
    "11": whatifquestions.QUESTIONS,
    "12": orderquestions.QUESTIONS,
}


def exercises_of(lesson: str, seed: int = 1) -> tuple[Exercise, ...]:
    """Return a lesson's exercises with the numbers of a seed; the same seed gives the same numbers everywhere.

    lesson: its two digits, for example ``"02"``. seed: a whole number, 0 or more; one for each student if wanted.
    Raises BenchError for a lesson that has none, or another kind of seed.

    >>> [exercise.key for exercise in exercises_of("02", seed=7)]
    ['02 dry fit', '02 corrected trim', '02 measured and corrected', '02 no saw can do it']
    """
    if lesson not in LESSONS:
        raise BenchError(
            f"there are no exercises for lesson {lesson!r}", "one of " + ", ".join(LESSONS), 'write it like "02"'
        )
    return tuple(make(Draw.of(seed, f"{lesson} {make.__name__}")) for make in LESSONS[lesson])
