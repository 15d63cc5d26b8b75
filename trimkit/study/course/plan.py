"""The course as the instructor's plan has it: the plan is a notebook, and what an instructor changes in it counts."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from trimkit.parts.errors import BenchError, Place
from trimkit.study.page.lesson import Words, read_lesson, shipped_folder

PLAN = "instructor_plan.ipynb"
MOST_BOXES = 12
"""More boxes than this do not fit an evening's part of the sheet; chosen here."""


@dataclass(frozen=True)
class Box:
    """Something to measure or to write down: what, and its unit (none for a name or a count)."""

    what: str
    unit: str


@dataclass(frozen=True)
class Evening:
    """One evening, as a student's sheet needs it.

    number: from 1. recall: the questions, without their answers. boxes: what to measure. homework: its words.
    sum_asked: the number of the exercise that the sheet asks, such as 02.3.
    """

    number: int
    title: str
    recall: tuple[str, ...]
    boxes: tuple[Box, ...]
    homework: str
    sum_asked: str


@dataclass(frozen=True)
class Course:
    """The evenings, and the clubs that the students build, one each, in turn."""

    clubs: tuple[str, ...]
    evenings: tuple[Evening, ...]


def shipped_plan() -> Path:
    """Return the plan that comes with the package."""
    return shipped_folder() / PLAN


def read_plan(path: Path | None = None) -> Course:
    """Read a plan, by default the shipped one.

    Raises BenchError for a file that is no notebook, and for an evening without its recall, boxes, homework or sum.
    """
    path = path or shipped_plan()
    cells = [cell.source for cell in read_lesson(path).cells if isinstance(cell, Words)]
    clubs = _found(r"^Clubs: (.+?)\.?$", "\n".join(cells), "Clubs: 4-iron, 5-iron, ...", path)
    evenings = tuple(_evening(cell, path) for cell in cells if cell.startswith("## Evening "))
    if [each.number for each in evenings] != list(range(1, len(evenings) + 1)) or not evenings:
        raise BenchError(
            f"evenings {', '.join(str(each.number) for each in evenings) or '(none)'}",
            "a cell for each evening, from 1 on, in order, that begins with ## Evening 1: and its title",
            "number them again",
            Place(str(path)),
        )
    return Course(tuple(clubs.split(", ")), evenings)


def _evening(cell: str, path: Path) -> Evening:
    head = _found(r"\A## (Evening \d+: .+)$", cell, "## Evening 1: its title", path)
    number, title = head.removeprefix("Evening ").split(": ", 1)
    place = Place(str(path), key=f"Evening {number}")
    recall = re.findall(r"^\d\. (.+?) \*.+\*$", cell, re.M)
    if not recall:
        raise BenchError("no recall", "lines like 1. A question? *Its answer.*", "write the questions", place)
    boxes = tuple(
        _box(each)
        for line in re.findall(r"^On the sheet: (.+?)\.?$", cell, re.M)
        for each in re.split(r"\s*·\s*", line)
    )
    if not 1 <= len(boxes) <= MOST_BOXES:
        allowed = f"1 to {MOST_BOXES}, in lines like On the sheet: raw length (in) · shaft mass (g)"
        raise BenchError(f"{len(boxes)} boxes", allowed, "say what to measure", place)
    homework = _found(r"^\*\*Homework\.\*\* (.+)$", cell, "a line that begins with **Homework.**", path, place.key)
    asked = _found(r"Sum on the sheet: (\d\d\.\d+)\b", homework, "Sum on the sheet: 02.3", path, place.key)
    return Evening(int(number), title, tuple(recall), boxes, _plain(homework.split(" Sum on the sheet")[0]), asked)


def _box(words: str) -> Box:
    found = re.fullmatch(r"(.+?)(?: \(([^()]+)\))?", words)
    return Box(found[1], found[2] or "") if found else Box(words, "")


def _found(pattern: str, text: str, like: str, path: Path, key: str | None = None) -> str:
    found = re.search(pattern, text, re.M)
    if found is None:
        raise BenchError("a line of the plan is missing", like, "write it into the plan", Place(str(path), key=key))
    return found[1]


def _plain(markdown: str) -> str:
    """Return words without links and emphasis."""
    return re.sub(r"\[([^\]]+)\]\([^)]*\)", r"\1", markdown).replace("*", "").replace("`", "")
