"""The exercises of a lesson in a real JupyterLab: a wrong answer gets its hint, a right one praise, by keys alone."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from trimkit.cli.lessons import notebooks_folder
from trimkit.study.exercises import exercises_of

LESSON = Path(notebooks_folder()) / "02_bore_depth.ipynb"
ASKED = exercises_of("02", seed=1)


@pytest.fixture(scope="module")
def page(open_notebook, only, tmp_path_factory):
    return open_notebook(only(LESSON, "exercises.show", tmp_path_factory.mktemp("lesson")))


@pytest.fixture
def lesson(page):
    """The lesson's exercises, shown anew and unanswered, on the screen."""
    page.run()
    exercises = page.page.locator(".trimkit-exercises")
    exercises.scroll_into_view_if_needed()
    expect(exercises.get_by_role("textbox")).to_have_count(len(ASKED))
    return page


def boxes(lesson):
    return lesson.page.locator(".trimkit-exercises").get_by_role("textbox").all()


def focused(lesson):
    """What has the focus: a button's words, or a box's label."""
    return lesson.page.evaluate(
        "(e => e.tagName === 'INPUT' ? e.parentElement.querySelector('label').innerText : e.innerText)"
        "(document.activeElement)"
    )


def answer(lesson, text):
    """Type into the box that has the focus, over what stands there, and press Enter."""
    keys = lesson.page.keyboard
    keys.press("ControlOrMeta+a")
    keys.type(text)
    keys.press("Enter")
    lesson.wait_until_idle()


def test_run_all_leaves_the_exercises_unanswered_and_is_no_fault(lesson):
    assert lesson.errors() == []
    assert [box.input_value() for box in boxes(lesson)] == [""] * len(ASKED)
    assert lesson.page.locator(".trimkit-marking").count() == 0
    lesson.page.evaluate("jupyterapp.commands.execute('notebook:run-all-cells')")
    lesson.wait_until_idle()
    assert lesson.errors() == []


def test_wrong_then_right_then_the_next_by_keys_alone(lesson):
    first, second = ASKED[:2]
    boxes(lesson)[0].focus()
    mistake = first.mistakes[0]
    answer(lesson, f"{mistake.value} in")
    said = lesson.page.locator(".trimkit-exercises .trimkit-marking").first
    expect(said).to_have_text(f"Not yet. {mistake.hint}")
    assert focused(lesson).startswith("Answer 02.1"), "one types on where one was"
    answer(lesson, first.answer_text)
    expect(said).to_have_text(f"Right: {first.answer_text}.")
    # On with Tab: Check, the solution, the next box.
    lesson.page.keyboard.press("Tab")
    assert focused(lesson) == "Check"
    lesson.page.keyboard.press("Tab")
    assert focused(lesson) == "Show solution"
    lesson.page.keyboard.press("Enter")
    solution = lesson.page.locator(".trimkit-exercises .trimkit-solution")
    expect(solution).to_contain_text("Solution.")
    assert solution.inner_text().replace("\N{NO-BREAK SPACE}", " ") == f"Solution. {first.solution}"
    lesson.page.keyboard.press("Tab")
    assert focused(lesson).startswith("Answer 02.2")
    answer(lesson, f"{second.answer * 25.4:.1f} mm")
    expect(lesson.page.locator(".trimkit-exercises .trimkit-marking").nth(1)).to_contain_text("Right")
    assert lesson.errors() == []


def test_a_marking_is_told_to_a_screen_reader_and_by_more_than_colour(lesson):
    boxes(lesson)[0].focus()
    answer(lesson, "99 in")
    said = lesson.page.locator(".trimkit-exercises").get_by_role("status").first
    expect(said).to_contain_text("Not yet")
    assert said.evaluate("e => getComputedStyle(e).borderLeftStyle") == "double"
    for box, number in zip(boxes(lesson), range(1, 10), strict=False):
        assert box.evaluate("e => e.labels[0].innerText").startswith(f"Answer 02.{number} (")


def test_an_exercise_and_what_is_said_to_it_fit_one_screen(lesson):
    boxes(lesson)[1].focus()
    for text in ("7 in", "8 in"):
        answer(lesson, text)
    place = lesson.page.locator(".trimkit-exercises > .widget-vbox, .trimkit-exercises > .jupyter-widgets").nth(2)
    place.get_by_role("button", name="Show solution").click()
    lesson.wait_until_idle()
    height = place.bounding_box()["height"]
    assert height < 300
    for part in place.locator(".trimkit-question, .trimkit-marking, .trimkit-solution").all():
        assert part.evaluate("e => e.scrollWidth <= e.clientWidth + 1")
