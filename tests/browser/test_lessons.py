"""Every lesson in a real JupyterLab in a real Chromium: run, keyboard, picture, and all of it on one screen."""

from pathlib import Path

import pytest

from trimkit.cli import notebooks_folder

LESSONS = sorted(Path(notebooks_folder()).glob("[0-9][0-9]_*.ipynb"))


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda p: p.stem)
def test_a_lesson_runs_and_its_lab_follows_the_keys(open_notebook, lesson):
    page = open_notebook(lesson)
    assert page.errors() == []
    (lab, *_rest) = page.labs()
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


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda p: p.stem)
def test_controls_picture_and_sentence_are_on_one_screen(open_notebook, lesson):
    page = open_notebook(lesson)
    (lab, *_rest) = page.labs()
    lab.root.scroll_into_view_if_needed()
    for part in (lab.handles()[0], lab.live, lab.root.locator(".trimkit-sentence")):
        box = part.bounding_box()
        assert box["x"] >= 0
        assert box["y"] >= 0
        assert box["x"] + box["width"] <= 1366
        assert box["y"] + box["height"] <= 768


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda p: p.stem)
def test_no_word_under_the_picture_is_cut_off(open_notebook, lesson):
    (lab, *_rest) = open_notebook(lesson).labs()
    height = lab.root.bounding_box()["height"]
    for label in lab.root.locator(".widget-label").all():
        assert label.evaluate("e => e.scrollWidth <= e.clientWidth"), label.inner_text()
    for key in ("Home", "End"):
        for handle in lab.handles():
            handle.focus()
            handle.press(key)
        lab.page.wait_for_timeout(300)
        assert lab.root.bounding_box()["height"] == height, f"what stands below the lab moves: {lab.sentence()}"
        edge = lab.live.bounding_box()
        for words in lab.root.locator(".trimkit-readouts div, .trimkit-sentence").all():
            assert words.evaluate("e => e.scrollWidth <= e.clientWidth"), words.inner_text()
            box = words.bounding_box()
            assert box["x"] + box["width"] <= edge["x"] + edge["width"] + 1, words.inner_text()
