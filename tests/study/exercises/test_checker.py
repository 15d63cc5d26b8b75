"""Exercises on the screen and on paper: the checker's state, what a page without a kernel shows, sheet and key."""

import html
import re
from dataclasses import replace

import pytest

from trimkit.parts.errors import BenchError, SaveError
from trimkit.study.exercises import exercises_of, handout_html, key, key_by_seed, show, write_handout
from trimkit.study.exercises.__main__ import main
from trimkit.study.exercises.checker import Checker
from trimkit.study.exercises.wording import questions_html, questions_text
from trimkit.study.frame.state import VIEW_MIME


def plain(page):
    """A page's text with ordinary spaces and hyphens: the others only keep a length or a club on one line."""
    return html.unescape(page).replace("\N{NO-BREAK SPACE}", " ").replace("\N{NON-BREAKING HYPHEN}", "-")


@pytest.fixture
def asked():
    return show("02", seed=7).asked[1]


def test_nothing_is_answered_at_first(asked):
    assert asked.marking is None
    assert asked.tries == 0
    assert not asked.may_show
    asked.show_solution()
    assert asked._solution.value == ""


def test_a_right_answer_opens_the_solution(asked):
    assert asked.answer(asked.exercise.answer_text).right
    assert asked.show_button.layout.display == ""
    asked.show_button.click()
    assert asked.exercise.solution in plain(asked._solution.value)


def test_two_tries_open_it_and_the_same_text_is_one_try(asked):
    mistake = asked.exercise.mistakes[0]
    asked.answer(f"{mistake.value} in")
    asked.check_button.click()
    assert asked.tries == 1
    assert mistake.hint in html.unescape(asked._said.value)
    asked.answer("what")
    assert not asked.may_show
    asked.answer("11 in")
    assert asked.may_show


def test_an_empty_box_is_no_try(asked):
    asked.check_button.click()
    assert asked.tries == 0
    assert "first" in asked._said.value


def test_enter_in_the_box_checks(asked):
    asked.box.value = asked.exercise.answer_text
    asked.box._handle_custom_msg({"event": "submit"}, [])
    assert asked.marking.right


@pytest.mark.parametrize("before", ["", "11 in"])
def test_a_text_that_comes_after_its_enter_is_checked_and_one_without_enter_is_not(asked, before):
    """A page sends Enter at once, and the text when the kernel is free: an answer was judged by its first digits."""
    if before:
        asked.answer(before)
    tries = asked.tries
    asked.box._handle_custom_msg({"event": "submit"}, [])
    asked.box.value = asked.exercise.answer_text
    assert asked.marking.right
    assert asked.tries == tries + 1
    asked.box.value = "12 in"
    assert asked.marking.right
    asked.box._handle_custom_msg({"event": "submit"}, [])
    assert not asked.marking.right


def test_a_text_that_comes_after_its_click_is_checked(asked):
    asked.check_button.click()
    asked.box.value = asked.exercise.answer_text
    assert asked.marking.right


def test_texts_are_escaped(asked):
    asked.answer("<script>alert(1)</script>")
    assert "<script" not in asked._said.value
    evil = replace(asked.exercise, question="<img src=x>", solution="<img src=y>")
    checker = Checker("02", (evil,), 1)
    checker.asked[0].answer(evil.answer_text)
    checker.asked[0].show_solution()
    shown = checker.asked[0].view.children[0].value + checker.asked[0]._solution.value
    assert "<img" not in shown
    assert "<img" not in checker._repr_mimebundle_()["text/html"]


def test_a_page_without_a_kernel_gets_the_questions_and_no_answer():
    checker = show("02", seed=7)
    data = checker._repr_mimebundle_()
    assert data[VIEW_MIME]["model_id"] == checker.view.model_id
    text = " ".join(data["text/plain"].split())
    for each in checker.exercises:
        assert each.question in text
        assert each.question in plain(data["text/html"])
        assert each.solution not in text + plain(data["text/html"])


def test_every_box_says_its_number_and_unit():
    for lesson in ("00", "08"):
        for number, asked in enumerate(show(lesson).asked, start=1):
            assert asked.box.description.startswith(f"Answer {lesson}.{number} (")
            assert f"<b>{lesson}.{number}</b>" in asked.view.children[0].value


def test_sheet_and_key_have_the_same_questions_and_only_the_key_has_answers():
    sheet, solved = (handout_html(["02", "08"], [7, 8], with_key=each) for each in (False, True))
    for seed in (7, 8):
        for each in (*exercises_of("02", seed), *exercises_of("08", seed)):
            assert each.question in plain(sheet)
            assert each.question in plain(solved)
            assert each.solution not in plain(sheet)
            assert each.solution in plain(solved)


def test_a_checked_exercise_has_one_number_everywhere_and_none_that_a_pen_exercise_has():
    """On the screen, on a page without a kernel, on the sheet, in both keys: 08.1, never 1."""
    asked = exercises_of("08", 7)
    numbers = [f"08.{n}" for n in range(1, len(asked) + 1)]
    shown = show("08", 7)
    assert [each.number for each in shown.asked] == numbers
    text, page = questions_text(asked), questions_html(asked)
    for number, each in zip(numbers, asked, strict=True):
        begins = " ".join(each.question.split()[:4])
        assert f"{number} {begins}" in text
        assert f"<b>{number}</b> {begins}" in plain(page)
        for printed in (handout_html(["02", "08"], [7]), handout_html(["02", "08"], [7], with_key=True)):
            assert f'<li id="seed-7-{number}"><b>{number}</b> {begins}' in plain(printed)
        titles = list(dict.fromkeys(key("08", 7).index.get_level_values("exercise")))
        assert f"{number} {each.key[3:]}" in titles
        assert f"{number} {each.key[3:]}" in key_by_seed("08", [7]).columns
    assert not re.search(r"^\d\.|<ol>.*<li>", text + page, re.M)


def test_every_answer_of_the_key_is_linked_to_its_solution():
    solved = plain(handout_html(["02", "08"], [7, 8], with_key=True))
    linked = re.findall(r'<a href="#(seed-\d-\d\d\.\d)">\d\d\.\d</a> (.+?)[;.](?=\s)', solved)
    places = re.findall(r'<li id="([^"]+)">.*?<span class="answer">(.+?)</span>', solved, re.S)
    assert linked == places
    assert len(places) == 2 * (len(exercises_of("02")) + len(exercises_of("08")))
    assert "<a " not in handout_html(["02"], [7])


def test_a_sheet_is_inert_and_self_contained():
    for page in (handout_html(["00", "12"], [1]), handout_html(["00", "12"], [1], with_key=True)):
        assert not re.search(r"<script|\bon\w+=|https?:|src=|<link|@import|url\(", page)
        assert page.startswith("<!DOCTYPE html>")


def test_every_printed_page_can_be_told_apart():
    """Seed and lesson at the foot of each page, name and seed at the top; plain words for many lessons."""
    page = handout_html(["02", "08"], [7, 8])
    for seed in (7, 8):
        assert f'@bottom-left {{ content: "Exercises, lessons 02, 08. Seed {seed}"' in page
        assert f'<section class="sheet seed-{seed}">' in page
    assert "<title>Exercises, lessons 00 to 03</title>" in handout_html(["00", "01", "02", "03"], [1])
    assert "<title>Key to the exercises, lesson 05</title>" in handout_html(["05"], [1], with_key=True)


def test_the_key_says_in_which_unit_an_answer_may_be_off():
    solved = plain(handout_html(["08"], [1], with_key=True))
    for said in ("0.5 oz in", "0.11 points", "0.15 g", "0.1 points"):
        assert f"(may be off by {said})" in solved


def test_the_keys_agree():
    one = key("02", seed=8)
    many = key_by_seed("02", range(6, 10))
    assert list(many.index) == [6, 7, 8, 9]
    assert (
        list(one.index.unique().get_level_values("answer"))
        == list(many.loc[8])
        == [each.answer_text for each in exercises_of("02", 8)]
    )


def test_a_file_is_not_written_over_unasked(tmp_path):
    path = write_handout(tmp_path / "sheet.html", ["02"], [7])
    with pytest.raises(SaveError, match="--replace"):
        write_handout(path, ["02"], [8])
    assert "Seed 7" in path.read_text(encoding="utf-8")
    write_handout(path, ["02"], [8], replace=True)
    assert "Seed 8" in path.read_text(encoding="utf-8")
    with pytest.raises(SaveError):
        write_handout(path / "sheet.html", ["02"], [8])
    with pytest.raises(BenchError, match="without"):
        handout_html([], [1])


def test_the_shell_way(tmp_path, capsys):
    assert main(["--lesson", "02", "--seed", "7"]) == 0
    asked = " ".join(capsys.readouterr().out.split())
    assert all(each.question in asked for each in exercises_of("02", 7))
    assert main(["--lesson", "02", "--seed", "7", "--key"]) == 0
    answered = capsys.readouterr().out
    assert all(each.answer_text in answered for each in exercises_of("02", 7))
    assert main(["--lesson", "02", "--seed", "7", "8", "--output", str(tmp_path / "a.html")]) == 0
    assert (tmp_path / "a.html").exists()
    assert main(["--lesson", "77"]) == 1
    assert "no exercises" in capsys.readouterr().err
