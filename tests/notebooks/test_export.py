"""A lesson as a page without a kernel: every lab's picture and sentence are there, and nothing is fetched for them."""

import base64
import re
from html import escape
from pathlib import Path

import nbformat
import pytest
from nbconvert import HTMLExporter

from trimkit.cli.lessons import notebooks_folder
from trimkit.study import exercises

LESSONS = sorted(path for path in Path(notebooks_folder()).glob("*.ipynb") if path.name[:2] in exercises.LESSONS)


def labs(notebook):
    """What the notebook holds of each output with a picture: the labs, and the figures beside them."""
    outputs = [output for cell in notebook.cells for output in cell.get("outputs", [])]
    return [output.data for output in outputs if "image/png" in output.get("data", {})]


OFTEN = ("02", "09", "12")
"""Lessons of the ordinary suite: a lab, a lab with pictures and tables beside it, forms; nightly has them all."""


@pytest.mark.parametrize(
    "path",
    [
        pytest.param(path, id=path.stem, marks=() if path.stem[:2] in OFTEN else pytest.mark.nightly)
        for path in LESSONS
    ],
)
def test_the_exported_lesson_shows_each_lab_s_picture_and_sentence(path):
    notebook = nbformat.read(path, as_version=4)
    shown = labs(notebook)
    assert shown
    assert "widgets" not in notebook.metadata  # the state would fetch scripts from outside
    html, _ = HTMLExporter(template_name="lab").from_notebook_node(notebook)
    pictures = {re.sub(r"\s", "", data) for data in re.findall(r'src="data:image/png;base64,([^"]+)"', html)}
    for lab in shown:
        picture, sentence = re.sub(r"\s", "", lab["image/png"]), lab["text/plain"]
        assert picture in pictures
        assert base64.b64decode(picture).startswith(b"\x89PNG")
        assert sentence.strip()
        assert re.search(rf"<p[^>]*>{re.escape(escape(sentence, quote=False))}</p>", html)
    assert "application/vnd.jupyter.widget-state+json" not in html
