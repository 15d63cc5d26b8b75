"""Exercises as text for a page without a kernel, on paper with a sheet for each seed, and the key to them."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

import trimkit
from trimkit.parts.errors import BenchError
from trimkit.parts.saving import save_text
from trimkit.parts.units import signed
from trimkit.study.exercises.bank import LESSONS, exercises_of
from trimkit.study.exercises.exercise import LETTER_SCALE, Exercise, in_words
from trimkit.study.exercises.reading import named

if TYPE_CHECKING:
    import pandas as pd

WIDTH = 96


def asked_for(exercise: Exercise) -> str:
    """Return the unit an answer should be given in, in words."""
    if exercise.unit == LETTER_SCALE:
        return "on the letter scale"
    return f"in {named(exercise.unit)}" if exercise.unit else "as a number without a unit"


def unbroken(text: str) -> str:
    """Return a text in which no line can break inside a length or a club: 38 at the end of a line is not 38 1/2 in.

    >>> unbroken("38 1/2 in deep") == "38\\N{NO-BREAK SPACE}1/2\\N{NO-BREAK SPACE}in deep"
    True
    >>> unbroken("a 7-iron") == "a 7\\N{NON-BREAKING HYPHEN}iron"
    True
    """
    text = re.sub(r"(?<=\d)-(?=iron|hybrid)", "\N{NON-BREAKING HYPHEN}", text)
    return re.sub(r"(?<=\d) (?=\d+/\d|in\b|mm\b|g\b|cpm\b|oz\b|N m|kg )", "\N{NO-BREAK SPACE}", text)


def numbered(exercises: Sequence[Exercise]) -> list[tuple[str, Exercise]]:
    """Return exercises with their numbers: 02.1, 02.2 and so on, apart from the 1, 2, 3 that are done with a pen.

    >>> [number for number, _ in numbered(exercises_of("02"))]
    ['02.1', '02.2', '02.3', '02.4']
    """
    counts: dict[str, int] = {}
    numbers = []
    for each in exercises:
        lesson = each.key[:2]
        counts[lesson] = counts.get(lesson, 0) + 1
        numbers.append(f"{lesson}.{counts[lesson]}")
    return list(zip(numbers, exercises, strict=True))


def questions_text(exercises: Sequence[Exercise]) -> str:
    """Return the numbered questions as lines of text."""
    lines = [f"{number} {each.question} (Answer {asked_for(each)}.)" for number, each in numbered(exercises)]
    return "\n".join(textwrap.fill(line, WIDTH, subsequent_indent="     ") for line in lines)


def questions_html(exercises: Sequence[Exercise]) -> str:
    """Return the numbered questions as HTML, escaped."""
    return "".join(
        f"<p><b>{number}</b> {escape(unbroken(each.question))} (Answer {escape(asked_for(each))}.)</p>"
        for number, each in numbered(exercises)
    )


def slips(exercise: Exercise) -> str:
    """Return the number that each likely mistake leads to, with the mistake's name, for the instructor."""
    return "; ".join(f"{in_words_or_number(each.value, exercise)}: {each.name}" for each in exercise.mistakes)


def may_be_off(exercise: Exercise) -> str:
    """Return how far an answer may be from the exact one, with its unit."""
    unit = "points" if exercise.unit == LETTER_SCALE else exercise.unit
    return f"{exercise.tolerance:.2g} {unit}".rstrip()


def in_words_or_number(value: float, exercise: Exercise) -> str:
    """Return a mistaken answer in words; far off the letter scale, as points above D0."""
    if exercise.unit == LETTER_SCALE and abs(value) > 25:
        return f"D0 {signed(value, 1)}"
    return in_words(value, exercise.unit)


def key(lesson: str, seed: int = 1) -> pd.DataFrame:
    """Return the instructor's answer key to a lesson with the numbers of a seed.

    One row for each likely mistake, indexed by the exercise, its answer and how far off an answer may be; narrow enough
    to fit a page.
    Raises BenchError as :func:`trimkit.study.exercises.bank.exercises_of` does.
    """
    import pandas as pd

    rows = [
        {
            "exercise": f"{number}{each.key[2:]}",
            "answer": each.answer_text,
            "may be off by": may_be_off(each),
            "a mistake gives": in_words_or_number(mistake.value, each),
            "mistake": mistake.name,
        }
        for number, each in numbered(exercises_of(lesson, seed))
        for mistake in each.mistakes
    ]
    return pd.DataFrame(rows).set_index(["exercise", "answer", "may be off by"])


def key_by_seed(lesson: str, seeds: Iterable[int]) -> pd.DataFrame:
    """Return the answers of a lesson, a row for each seed and a column for each exercise: one seed for each student.

    Raises BenchError as :func:`trimkit.study.exercises.bank.exercises_of` does.
    """
    import pandas as pd

    rows = [
        {"seed": seed}
        | {f"{number}{each.key[2:]}": each.answer_text for number, each in numbered(exercises_of(lesson, seed))}
        for seed in seeds
    ]
    return pd.DataFrame(rows).set_index("seed")


def class_key(seeds: Iterable[int] = range(1, 13)) -> pd.DataFrame:
    """Return the answers of all lessons for a class: a row for each exercise, a column for each seed.

    seeds: one for each student (default: a class of twelve). Raises BenchError as
    :func:`trimkit.study.exercises.bank.exercises_of` does.
    """
    import pandas as pd

    of = tuple(seeds)
    return pd.concat([key_by_seed(lesson, of).T for lesson in LESSONS]).rename_axis("exercise")


def handout_html(lessons: Sequence[str], seeds: Sequence[int], *, with_key: bool = False) -> str:
    """Return an HTML page to print: a sheet of questions for each seed, or the key to them.

    lessons: two digits each. seeds: one for the whole class, or one for each student. with_key: print the instructor's
    pages instead, with answers, each linked to its solution, and the numbers that mistakes lead to. The page fetches
    nothing and runs no script; texts are escaped. Raises BenchError without lessons or seeds, and as
    :func:`trimkit.study.exercises.bank.exercises_of` does.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    if not lessons or not seeds:
        raise BenchError("a sheet without lessons or without seeds", "at least one of each", "name a lesson and a seed")
    loader = PackageLoader("trimkit.study.exercises", ".")
    environment = Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return environment.get_template("handout.html.j2").render(
        sheets=[(seed, [(lesson, numbered(exercises_of(lesson, seed))) for lesson in lessons]) for seed in seeds],
        title=f"{'Key to the exercises' if with_key else 'Exercises'}, {_said(lessons)}",
        with_key=with_key,
        asked_for=asked_for,
        may_be_off=may_be_off,
        slips=slips,
        unbroken=unbroken,
        version=trimkit.__version__,
    )


def _said(lessons: Sequence[str]) -> str:
    if len(lessons) > 2 and list(lessons) == [f"{each:02d}" for each in range(int(lessons[0]), int(lessons[-1]) + 1)]:
        return f"lessons {lessons[0]} to {lessons[-1]}"
    return f"lesson{'s' if len(lessons) > 1 else ''} {', '.join(lessons)}"


def write_handout(
    path: Path, lessons: Sequence[str], seeds: Sequence[int], *, with_key: bool = False, replace: bool = False
) -> Path:
    """Write :func:`handout_html` to a file and return its path.

    Raises BenchError as :func:`handout_html` does, and SaveError as :func:`trimkit.parts.saving.save_text` does.
    """
    return save_text(path, handout_html(lessons, seeds, with_key=with_key), replace=replace)
