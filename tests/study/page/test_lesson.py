"""A notebook read as a lesson, without running any of it."""

import nbformat
import pytest

from trimkit.parts.errors import BenchError
from trimkit.study.page.lesson import (
    CodeCell,
    ExercisesCell,
    LabCell,
    Words,
    find_lesson,
    read_lesson,
    shipped_lessons,
)


def saved(folder, *cells):
    book = nbformat.v4.new_notebook(cells=cells)
    nbformat.write(book, folder / "mine.ipynb")
    return folder / "mine.ipynb"


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ("02", "02_bore_depth"),
        ("2", "02_bore_depth"),
        ("bore_depth", "02_bore_depth"),
        ("02_bore_depth", "02_bore_depth"),
        ("0", "00_start_here"),
        ("glossary", "glossary"),
    ],
)
def test_a_lesson_is_found_by_number_or_name(asked, name):
    assert find_lesson(asked).stem == name


@pytest.mark.parametrize("asked", ["13", "bore", "", "instructor_plan", "../02_bore_depth"])
def test_another_name_and_the_plan_with_the_answers_are_refused(asked):
    with pytest.raises(BenchError, match="there is no page of a lesson") as refusal:
        find_lesson(asked)
    assert "02_bore_depth" in str(refusal.value)


def test_every_lesson_has_one_lab_and_exercises_and_the_plan_has_no_page():
    names = [path.stem for path in shipped_lessons()]
    assert len(names) == 14
    assert "instructor_plan" not in names
    for path in shipped_lessons():
        lesson = read_lesson(path)
        kinds = [type(cell) for cell in lesson.cells]
        asked = [cell.lesson for cell in lesson.cells if isinstance(cell, ExercisesCell)]
        if path.stem != "glossary":
            assert kinds.count(LabCell) == 1, path.stem
            assert asked == [path.stem[:2]]
        assert lesson.title == lesson.cells[0].source.splitlines()[0].removeprefix("# ")


def test_cells_are_known_by_their_last_line_and_nothing_is_run(tmp_path):
    code = nbformat.v4.new_code_cell
    path = saved(
        tmp_path,
        nbformat.v4.new_markdown_cell("Words\n\n# Head"),
        code("from trimkit.study import bore_depth_lab\n\nbore_depth_lab()"),
        code("bore_depth_lab(1)"),
        code("import os\nos.wipe_lab()"),
        code("exercises.show('03', seed=7)"),
        code("exercises.show('03')"),
        code("exercises.show(lesson='03', seed=2)"),
        code("exercises.show('03', seed=n)"),
        code("%run x"),
        code(f"open({str(tmp_path / 'ran')!r}, 'w')"),
        nbformat.v4.new_raw_cell("raw"),
    )
    lesson = read_lesson(path)
    assert (lesson.name, lesson.title) == ("mine", "Head")
    kinds = [Words, LabCell, CodeCell, CodeCell, *[ExercisesCell] * 3, CodeCell, CodeCell, CodeCell]
    assert [type(cell) for cell in lesson.cells] == kinds
    assert [cell.seed for cell in lesson.cells[4:7]] == [7, 1, 2]
    assert not (tmp_path / "ran").exists()


@pytest.mark.parametrize("text", ["", "[]", "{}", "no json", '{"cells": 3, "nbformat": 4}', "\udcff"])
def test_a_file_that_is_no_notebook_is_refused_in_words(tmp_path, text):
    path = tmp_path / "mine.ipynb"
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    with pytest.raises(BenchError, match="no notebook that can be read") as refusal:
        read_lesson(path)
    assert str(path) in str(refusal.value)


def test_a_file_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(BenchError, match="no such file"):
        read_lesson(tmp_path / "none.ipynb")
