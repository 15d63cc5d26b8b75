"""Exercises on paper: a sheet for each seed, and the key for the instructor."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import trimkit
from trimkit.parts.errors import BenchError
from trimkit.parts.saving import save_text
from trimkit.study.exercises.bank import exercises_of
from trimkit.study.exercises.wording import asked_for, may_be_off, slips, unbroken


def handout_html(lessons: Sequence[str], seeds: Sequence[int], *, with_key: bool = False) -> str:
    """Return an HTML page to print: a sheet of questions for each seed, or the key to them.

    lessons: two digits each. seeds: one for the whole class, or one for each student. with_key: print the instructor's
    pages instead, with answers, solutions and the numbers that mistakes lead to. The page fetches nothing and runs no
    script; texts are escaped. Raises BenchError without lessons or seeds, and as
    :func:`trimkit.study.exercises.bank.exercises_of` does.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    if not lessons or not seeds:
        raise BenchError("a sheet without lessons or without seeds", "at least one of each", "name a lesson and a seed")
    environment = Environment(
        loader=PackageLoader("trimkit.study.exercises", "."),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
    )
    return environment.get_template("handout.html.j2").render(
        sheets=[(seed, [(lesson, exercises_of(lesson, seed)) for lesson in lessons]) for seed in seeds],
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
