"""A notebook read as a lesson: which cell is text, which shows a lab, which asks exercises, what the others gave.

No code of the notebook is run: its stored outputs are shown. A lab and the questions of a seed are made anew.
"""

from __future__ import annotations

import ast
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import trimkit
from trimkit import study
from trimkit.parts.errors import BenchError, Place
from trimkit.study.exercises.bank import LESSONS

if TYPE_CHECKING:
    from nbformat import NotebookNode

GLOSSARY = "glossary"
"""The notebook that has the answers, and so no page."""


@dataclass(frozen=True)
class Words:
    """A text cell. source: Markdown."""

    cell: str
    source: str


@dataclass(frozen=True)
class LabCell:
    """A cell that shows a lab. name: of the function in :mod:`trimkit.study` that makes it."""

    cell: str
    name: str


@dataclass(frozen=True)
class ExercisesCell:
    """A cell that asks the exercises of a lesson with the numbers of a seed."""

    cell: str
    lesson: str
    seed: int


@dataclass(frozen=True)
class CodeCell:
    """Any other code cell. outputs: as the notebook stores them."""

    cell: str
    source: str
    outputs: tuple[dict[str, Any], ...]


Cell = Words | LabCell | ExercisesCell | CodeCell


@dataclass(frozen=True)
class Lesson:
    """A notebook's name (without ending), its title (the first heading), its cells."""

    name: str
    title: str
    cells: tuple[Cell, ...]


def shipped_folder() -> Path:
    """Return the folder of the lessons that come with the package."""
    package = Path(trimkit.__file__).resolve().parent
    packaged = package / "_notebooks"
    return packaged if packaged.is_dir() else package.parent / "notebooks"


def shipped_lessons() -> tuple[Path, ...]:
    """Return the notebooks that have a page, in order: the lessons and the glossary.

    The instructor's plan has the answers, and the shop bench is forms, which need a kernel.
    """
    there = sorted(shipped_folder().glob("*.ipynb"))
    return tuple(path for path in there if path.stem == GLOSSARY or path.stem[:2] in LESSONS)


def find_lesson(asked: str) -> Path:
    """Return the notebook of a lesson by its number, its name, or its path.

    Raises BenchError if there is none: another name, or the instructor's plan, which has the answers.
    """
    if asked.endswith(".ipynb"):
        return Path(asked)
    lessons = shipped_lessons()
    wanted = asked.zfill(2) if asked.isdecimal() else asked
    for path in lessons:
        number, _, rest = path.stem.partition("_")
        if wanted and wanted in (path.stem, number, rest):
            return path
    allowed = f"a number or a name ({', '.join(path.stem for path in lessons)}), or a notebook file (.ipynb)"
    raise BenchError(f"there is no page of a lesson {asked!r}", allowed, "choose one of them")


def read_lesson(path: Path) -> Lesson:
    """Read a notebook. Raises BenchError if the file is none."""
    import nbformat

    try:
        book = nbformat.read(path, as_version=4)  # type: ignore[no-untyped-call]
        nbformat.validate(book)
    except FileNotFoundError:
        raise BenchError("there is no such file", "a notebook (.ipynb)", "check the path", Place(str(path))) from None
    except (ValueError, KeyError, AttributeError, TypeError, nbformat.ValidationError) as error:
        why = f"the file is no notebook that can be read ({type(error).__name__})"
        raise BenchError(
            why, "a notebook as JupyterLab saves it", "open and save it there", Place(str(path))
        ) from error
    cells = tuple(_cell(cell, f"cell-{at:02d}") for at, cell in enumerate(book.cells) if cell.cell_type != "raw")
    heads = (line for cell in cells if isinstance(cell, Words) for line in cell.source.splitlines())
    title = next((line.removeprefix("# ").strip() for line in heads if line.startswith("# ")), path.stem)
    return Lesson(path.stem, title, cells)


def _cell(cell: NotebookNode, name: str) -> Cell:
    if cell.cell_type == "markdown":
        return Words(name, cell.source)
    return _shown(cell.source, name) or CodeCell(name, cell.source, tuple(cell.outputs))


def _shown(source: str, name: str) -> Cell | None:
    """Return what the last line of a cell's code shows, if it is a lab or exercises; the code is only read."""
    try:
        body = ast.parse(source).body
    except (SyntaxError, ValueError, RecursionError):  # such as a command of IPython
        return None
    if not body or not isinstance(body[-1], ast.Expr) or not isinstance(body[-1].value, ast.Call):
        return None
    call = body[-1].value
    words = ast.unparse(call.func)
    if words.endswith("_lab") and words in study.__all__ and not (call.args or call.keywords):
        return LabCell(name, words)
    if words == "exercises.show":
        given = [*call.args, *(each.value for each in call.keywords if each.arg in ("lesson", "seed"))]
        match [each.value if isinstance(each, ast.Constant) else None for each in given]:
            case [str() as lesson]:
                return ExercisesCell(name, lesson, 1)
            case [str() as lesson, int() as seed]:
                return ExercisesCell(name, lesson, seed)
    return None
