"""A sheet for each student, and the key for the class: HTML pages to print that need nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import trimkit
from trimkit.papers.cautions import IN_SHORT, WHO_DECIDES, cautions_for
from trimkit.parts.components import Material
from trimkit.parts.errors import BenchError
from trimkit.parts.saving import save_texts
from trimkit.study.course.plan import Course, read_plan
from trimkit.study.exercises.bank import LESSONS, exercises_of
from trimkit.study.exercises.exercise import Exercise
from trimkit.study.exercises.wording import asked_for, may_be_off, numbered, unbroken

SHEETS, KEY = "student_sheets.html", "class_key.html"
MOST_STUDENTS = 60
"""Chosen here: more are two classes."""


def seeds_of(students: int, first_seed: int = 1) -> tuple[int, ...]:
    """Return a seed for each student, in order. Raises BenchError for no student, too many, or a seed below 0."""
    if not (1 <= students <= MOST_STUDENTS and first_seed >= 0):
        raise BenchError(
            f"{students} students from seed {first_seed} on",
            f"1 to {MOST_STUDENTS} students, seeds from 0",
            "count the class again",
        )
    return tuple(range(first_seed, first_seed + students))


def sheets_html(seeds: Sequence[int], course: Course | None = None) -> str:
    """Return the students' sheets as one HTML page to print: two pages of paper a student, with their own numbers.

    seeds: one for each student. course: as the plan has it (default: the shipped one). Raises BenchError if the plan
    asks an exercise that there is not.
    """
    course = course or read_plan()
    sheets = []
    for at, seed in enumerate(seeds):
        place, club = divmod(at, len(course.clubs))
        asked = [(each, _exercise(each.sum_asked, seed)) for each in course.evenings]
        sheets.append((seed, f"{course.clubs[club]} of set {place + 1}", asked))
    return _page(
        "student_sheet.html.j2",
        sheets=sheets,
        cautions=[(work.value, IN_SHORT[work]) for work in cautions_for(Material.STEEL)],
        who_decides=WHO_DECIDES,
    )


def key_html(seeds: Sequence[int]) -> str:
    """Return the key of all lessons as one HTML page to print: a row for each exercise, a column for each seed."""
    lessons = []
    for lesson in LESSONS:
        by_seed = [numbered(exercises_of(lesson, seed)) for seed in seeds]
        rows = [
            (number, each.key[3:], may_be_off(each), [one[at][1].answer_text for one in by_seed])
            for at, (number, each) in enumerate(by_seed[0])
        ]
        lessons.append((lesson, rows))
    return _page("class_key.html.j2", seeds=seeds, lessons=lessons)


def write_class(
    folder: Path, students: int = 12, first_seed: int = 1, *, plan: Path | None = None, replace: bool = False
) -> tuple[Path, ...]:
    """Write the students' sheets and the class's key into a folder and return their paths; both or none.

    plan: the instructor's own copy of the plan (default: the shipped one). Raises BenchError as :func:`seeds_of` and
    :func:`trimkit.study.course.plan.read_plan` do, and SaveError if a page is there already and is not to be replaced.
    """
    seeds = seeds_of(students, first_seed)
    texts = {SHEETS: sheets_html(seeds, read_plan(plan)), KEY: key_html(seeds)}
    return save_texts(folder, texts, replace=replace)


def _exercise(number: str, seed: int) -> Exercise:
    there = dict(numbered(exercises_of(number[:2], seed)))
    if number not in there:
        raise BenchError(f"a sum {number}", f"one of {', '.join(there)}", "choose another sum in the plan")
    return there[number]


def _page(template: str, **values: Any) -> str:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    loader = PackageLoader("trimkit.study.course", ".")
    environment = Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    found = environment.get_template(template)
    return found.render(**values, asked_for=asked_for, unbroken=unbroken, version=trimkit.__version__)
