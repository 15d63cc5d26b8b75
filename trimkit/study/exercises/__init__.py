"""Exercises for the lessons: numbers drawn by seed, computed answers, and a hint for each likely mistake.

In a lesson: ``exercises.show("02", seed=7)``. For a class: ``exercises.class_key()``,
``exercises.write_handout``, ``exercises.key``, or
``python -m trimkit.study.exercises --lesson 02 --seed 7``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trimkit.study.exercises.bank import LESSONS, exercises_of
from trimkit.study.exercises.exercise import Exercise, Mistake
from trimkit.study.exercises.marking import Marking, Outcome, check
from trimkit.study.exercises.wording import class_key, handout_html, key, key_by_seed, write_handout

if TYPE_CHECKING:
    from trimkit.study.exercises.checker import Checker

__all__ = [
    "LESSONS",
    "Exercise",
    "Marking",
    "Mistake",
    "Outcome",
    "check",
    "class_key",
    "exercises_of",
    "handout_html",
    "key",
    "key_by_seed",
    "show",
    "write_handout",
]


def show(lesson: str, seed: int = 1) -> Checker:
    """Return the checker of a lesson's exercises; on the last line of a cell it is displayed.

    seed: each seed gives different numbers. Raises BenchError as :func:`exercises_of` does.
    """
    from trimkit.study.exercises.checker import Checker

    return Checker(lesson, exercises_of(lesson, seed), seed)
