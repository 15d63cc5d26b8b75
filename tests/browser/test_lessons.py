"""Every lesson in a real JupyterLab in a real Chromium: run, keyboard, picture, and all of it on one screen."""

from pathlib import Path

import pytest

from trimkit.cli import notebooks_folder

LESSONS = sorted(Path(notebooks_folder()).glob("[0-9][0-9]_*.ipynb"))


@pytest.fixture(scope="module", params=LESSONS, ids=lambda p: p.stem)
def page(request, open_notebook):
    """The lesson, run once for all tests of it."""
    return open_notebook(request.param)


@pytest.fixture
def lab(page):
    """The lesson's first lab, as it begins."""
    (lab, *_rest) = page.labs()
    lab.click("Reset")
    page.wait_until_idle()
    return lab


def test_a_lesson_runs_and_its_lab_follows_the_keys(page, lab):
    assert page.errors() == []
    for handle in lab.handles():
        before, numbers, pixels = lab.sentence(), lab.readouts(), lab.pixels()
        handle.focus()
        with lab.changes():
            handle.press("ArrowRight")
        assert lab.sentence() != before
        assert lab.readouts() != numbers
        assert lab.pixels() != pixels
    lab.click("Reset")
    assert page.errors() == []


@pytest.fixture(params=[(1366, 768), (1280, 720)], ids=lambda size: "x".join(map(str, size)))
def window(request, page):
    """A window of this size, JupyterLab laid out as it opens: the file browser beside the notebook."""
    before, (width, height) = page.page.viewport_size, request.param
    page.page.set_viewport_size({"width": width, "height": height})
    assert page.page.locator(".jp-FileBrowser").is_visible()
    page.page.wait_for_function(
        "document.querySelector('.jp-NotebookPanel').getBoundingClientRect().right <= innerWidth"
    )
    yield width, height
    page.page.set_viewport_size(before)


def test_the_lab_fits_its_cell_and_the_screen(page, lab, window):
    page.wait_until_idle()
    lab.root.scroll_into_view_if_needed()
    cell = lab.root.evaluate_handle("lab => lab.closest('.jp-OutputArea-output')").as_element()
    assert cell.evaluate("e => e.scrollWidth <= e.clientWidth"), "a part of the lab is cut off at the right"
    edge = cell.bounding_box()
    words = lab.root.locator(".trimkit-readouts div, .trimkit-sentence").all()
    for part in (*lab.handles(), lab.live, lab.root.locator("svg").first, *words):
        box = part.bounding_box()
        assert box["x"] >= edge["x"]
        assert box["x"] + box["width"] <= edge["x"] + edge["width"]
    for part in (lab.handles()[0], lab.live, words[-1]):
        box = part.bounding_box()
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= window[1]
    still, live = (lab.root.locator("svg").nth(n).bounding_box() for n in (0, 1))
    assert still == pytest.approx(live, abs=0.1), "the layers of the picture lie apart"


def test_no_word_is_cut_off_and_nothing_below_the_lab_moves(page, lab, window):
    height = lab.root.bounding_box()["height"]
    for label in lab.root.locator(".widget-label").all():
        assert label.evaluate("e => e.scrollWidth <= e.clientWidth"), label.inner_text()
    for key in ("Home", "End"):
        for handle in lab.handles():
            handle.focus()
            handle.press(key)
        page.wait_until_idle()
        assert lab.root.bounding_box()["height"] == height, f"what stands below the lab moves: {lab.sentence()}"
        edge = lab.live.bounding_box()
        for words in lab.root.locator(".trimkit-readouts div, .trimkit-sentence").all():
            assert words.evaluate("e => e.scrollWidth <= e.clientWidth"), words.inner_text()
            box = words.bounding_box()
            assert box["x"] + box["width"] <= edge["x"] + edge["width"] + 1, words.inner_text()
