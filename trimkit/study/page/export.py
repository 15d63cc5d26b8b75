"""Lessons written as pages: one of them, or all with a glossary and an index, for a stick or any web server."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Collection
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from html import escape
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING

import trimkit
from trimkit import study
from trimkit.parts.saving import save_text, save_texts
from trimkit.study.exercises.bank import exercises_of
from trimkit.study.exercises.wording import asked_for, unbroken
from trimkit.study.frame.lab import Lab
from trimkit.study.page.grid import packed_lab
from trimkit.study.page.lesson import (
    Cell,
    CodeCell,
    ExercisesCell,
    LabCell,
    Lesson,
    Words,
    find_lesson,
    read_lesson,
    shipped_lessons,
)
from trimkit.study.page.text import clean, field, output_html, svg_image, verbatim, with_room, words_html

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

HERE = Path(__file__).parent
FRAME = HERE.parent / "frame"
INDEX = "index"
MOST_BYTES = 3_000_000
"""A page is at most so large; chosen here: it opens at once, and a class's pages fit in a message each."""


@dataclass(frozen=True)
class Block:
    """One cell on a page: its kind, for the style sheet, and its HTML; of a lab also the name of its frames."""

    kind: str
    html: Markup
    frames: str = ""


def page_html(lesson: Lesson, *, seed: int | None = None, beside: Collection[str] = ()) -> str:
    """Return a lesson as one HTML file that fetches nothing.

    seed: of the exercises, in place of that in the notebook. beside: the names of the lessons that have a page in the
    same folder, which links may lead to. Text from the notebook is escaped or cleaned, and no code of it is run. Raises
    BenchError for a seed or a lesson that there are no exercises for.
    """
    from markupsafe import Markup

    blocks, data = [], []
    for cell in lesson.cells:
        block = _block(cell, seed, beside)
        blocks.append(block)
        if isinstance(cell, LabCell):
            packed = packed_lab(getattr(study, cell.name)())
            data.append(f'<script type="application/gzip" id="{block.frames}">{packed}</script>')
    script = (FRAME / "lab.js").read_text(encoding="utf-8") + (HERE / "page.js").read_text(encoding="utf-8")
    return (
        _environment()
        .get_template("page.html.j2")
        .render(
            title=lesson.title,
            name=lesson.name,
            blocks=blocks,
            labs=bool(data),
            beside=sorted({*beside} & {INDEX, "glossary"}),
            style=Markup(_style()),
            policy=_policy(script),
            scripts=Markup("\n".join([*data, f'<script type="module">{script}</script>'])),
            version=trimkit.__version__,
        )
    )


def index_html(lessons: Collection[Lesson]) -> str:
    """Return the page that leads to the pages of these lessons."""
    from markupsafe import Markup

    entries = []
    for lesson in lessons:
        first = next((cell.source for cell in lesson.cells if isinstance(cell, Words)), "")
        about = first.partition("\n")[2].strip().split("\n\n")[0]
        entries.append((lesson.name, lesson.title, Markup(clean(words_html(about, ())))))
    return (
        _environment()
        .get_template("index.html.j2")
        .render(entries=entries, style=Markup(_style()), policy=_policy(""), version=trimkit.__version__)
    )


def write_page(asked: str, path: Path | None = None, *, seed: int | None = None, replace: bool = False) -> Path:
    """Write the page of one lesson and return its path.

    asked: number, name or notebook file, as :func:`trimkit.study.page.lesson.find_lesson`. path: the file (default: the
    lesson's name in the working folder). Raises BenchError as that and :func:`page_html` do, and SaveError as
    :func:`trimkit.parts.saving.save_text` does.
    """
    lesson = read_lesson(find_lesson(asked))
    return save_text(path or Path.cwd() / f"{lesson.name}.html", page_html(lesson, seed=seed), replace=replace)


def write_pages(folder: Path, *, seed: int | None = None, replace: bool = False) -> tuple[Path, ...]:
    """Write the pages of all lessons and the glossary, and an index, all or none; return their paths.

    Raises BenchError as :func:`page_html` does, and SaveError as :func:`trimkit.parts.saving.save_texts` does.
    """
    notebooks = shipped_lessons()
    names = [path.stem for path in notebooks]
    made = partial(_made, seed=seed, beside=(INDEX, *names))
    with ProcessPoolExecutor(mp_context=get_context("spawn")) as workers:
        texts = dict(zip((f"{name}.html" for name in names), workers.map(made, notebooks), strict=True))
    index = index_html([read_lesson(path) for path in notebooks])
    return save_texts(folder, {f"{INDEX}.html": index} | texts, replace=replace)


def _made(notebook: Path, *, seed: int | None, beside: tuple[str, ...]) -> str:
    return page_html(read_lesson(notebook), seed=seed, beside=beside)


def _block(cell: Cell, seed: int | None, beside: Collection[str]) -> Block:
    from markupsafe import Markup

    if isinstance(cell, Words):
        return Block("words", Markup(with_room(words_html(cell.source, beside), cell.cell)))
    if isinstance(cell, LabCell):
        return Block("lab", Markup(first_picture(getattr(study, cell.name)())), f"{cell.cell}-frames")
    if isinstance(cell, ExercisesCell):
        return Block("exercises", Markup(_questions(cell, cell.seed if seed is None else seed)))
    assert isinstance(cell, CodeCell)
    code = f"<details><summary>Code of this step</summary>{verbatim(cell.source)}</details>"
    return Block("code", Markup(code + "".join(output_html(output) for output in cell.outputs)))


def first_picture(lab: Lab[object, object]) -> str:
    """Return a lab's first state as HTML: the picture, for paper and old browsers, and its sentence."""
    width, height = lab.overlay.size_px
    layers = f"{lab.told()['still']}{lab.frame.picture}"
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}">{layers}</svg>'
    return f"{svg_image(svg, lab.title)}<p>{escape(lab.sentence)}</p>"


def _questions(cell: ExercisesCell, seed: int) -> str:
    asked = [(f"{unbroken(each.question)} (Answer {asked_for(each)}.)") for each in exercises_of(cell.lesson, seed)]
    items = (f"<li>{field(f'{cell.cell}-{n}', escape(each), each)}</li>" for n, each in enumerate(asked, start=1))
    return (
        f"<p>Seed {seed}. Without JupyterLab the answers are checked in class, not here.</p><ol>{''.join(items)}</ol>"
    )


def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    loader = PackageLoader("trimkit.study.page", ".")
    return Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True)


def _style() -> str:
    return (FRAME / "lab.css").read_text(encoding="utf-8") + (HERE / "page.css").read_text(encoding="utf-8")


def _policy(script: str) -> str:
    """Return what the browser may do with the page: run this script alone, and fetch nothing."""
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    may = f"'sha256-{digest}'" if script else "'none'"
    return (
        f"default-src 'none'; script-src {may}; style-src 'unsafe-inline'; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
