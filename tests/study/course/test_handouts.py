"""The papers of a class: a sheet for each student with numbers of their own, and one key that answers them all."""

import re
from html import unescape

import pytest

from trimkit.cli import main
from trimkit.papers.cautions import IN_SHORT, WHO_DECIDES, Work
from trimkit.parts.errors import BenchError
from trimkit.study.course.handouts import KEY, SHEETS, key_html, seeds_of, sheets_html, write_class
from trimkit.study.course.plan import Box, Course, Evening, read_plan
from trimkit.study.exercises import LESSONS, exercises_of


def said(html):
    """The words of a page as they are read, with ordinary spaces and hyphens."""
    text = unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", html, flags=re.S))
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NON-BREAKING HYPHEN}", "-").split())


def students(html):
    return [said(each) for each in re.split(r'<section class="sheet ', html)[1:]]


@pytest.fixture(scope="module")
def sheets():
    return sheets_html(range(1, 13))


def test_each_student_has_a_sheet_with_seed_club_and_a_sum_of_their_own(sheets):
    course, found = read_plan(), students(sheets)
    assert len(found) == 12
    for at, sheet in enumerate(found):
        seed = at + 1
        assert f"Seed {seed} My club: {4 + at % 6}-iron of set {1 + at // 6} " in sheet
        assert f"Set seed={seed} in" in sheet
        for evening in course.evenings:
            lesson, number = evening.sum_asked.split(".")
            asked = exercises_of(lesson, seed)[int(number) - 1]
            assert f"Sum {evening.sum_asked}: {asked.question} Answer" in sheet
    assert len({sheet.replace(f"eed {at + 1}", "") for at, sheet in enumerate(found)}) == 12


def test_a_sheet_has_every_question_box_and_caution_and_no_answer(sheets):
    course, sheet = read_plan(), students(sheets)[0]
    for evening in course.evenings:
        assert f"Evening {evening.number}: {evening.title}" in sheet
        for words in (*evening.recall, evening.homework, *(f"{box.what} {box.unit}".strip() for box in evening.boxes)):
            assert words in sheet
    for work in (Work.CUTTING, Work.STEEL_DUST, Work.EPOXY, Work.HEAT, Work.TOO_FAR):
        assert f"{work.value}: {IN_SHORT[work]}" in sheet
    assert Work.GRAPHITE_DUST.value not in sheet  # the course cuts steel
    assert WHO_DECIDES in sheet
    for answer in (
        "That of the next longer club",
        "0.1 × 16",
        "nearest mark",
        "a grip",
        exercises_of("01")[1].solution,
    ):
        assert answer not in sheet
    assert sheets.count('class="box"') == 12 * sum(len(evening.boxes) for evening in course.evenings)


def test_words_of_a_plan_do_nothing_on_a_sheet():
    evil = "<script>alert(1)</script>"
    evening = Evening(1, evil, (evil,), (Box(evil, evil),), evil, "02.1")
    html = sheets_html([5], Course((evil,), (evening,)))
    assert "<script" not in html
    assert html.count("&lt;script&gt;") == 6


def test_a_sum_that_there_is_not_is_refused():
    evening = Evening(1, "The saw", ("Why?",), (Box("length", "in"),), "Read.", "02.99")
    with pytest.raises(BenchError, match=r"02\.99.*02\.1, 02\.2"):
        sheets_html([1], Course(("4-iron",), (evening,)))


def test_the_key_has_every_answer_under_its_seed():
    html = key_html((3, 4, 11))
    assert re.findall(r'<th scope="col">seed (\d+)</th>', html) == ["3", "4", "11"] * len(LESSONS)
    rows = re.findall(r'<th scope="row">(\d\d)\.(\d+) .+?</th><td>.+?</td>(.+?)</tr>', html)
    assert len(rows) == sum(len(exercises_of(lesson)) for lesson in LESSONS)
    for lesson, number, cells in rows:
        answers = [exercises_of(lesson, seed)[int(number) - 1].answer_text for seed in (3, 4, 11)]
        assert [said(cell) for cell in re.findall(r"<td>(.*?)</td>", cells)] == answers


def test_seeds_follow_one_another_and_a_class_has_a_size():
    assert seeds_of(3) == (1, 2, 3)
    assert seeds_of(2, 13) == (13, 14)
    for students, first in ((0, 1), (61, 1), (12, -1)):
        with pytest.raises(BenchError, match=f"{students} students from seed {first}"):
            seeds_of(students, first)


def test_both_papers_are_written_or_none(tmp_path, sheets):
    paths = write_class(tmp_path / "class")
    assert [path.name for path in paths] == [SHEETS, KEY]
    assert paths[0].read_text(encoding="utf-8") == sheets
    assert paths[1].read_text(encoding="utf-8") == key_html(range(1, 13))
    paths[1].write_text("mine")
    with pytest.raises(BenchError, match="is there already"):
        write_class(tmp_path / "class", 3)
    assert paths[0].read_text(encoding="utf-8") == sheets
    assert len(students((write_class(tmp_path / "class", 3, replace=True))[0].read_text(encoding="utf-8"))) == 3


def test_the_plan_s_line_in_the_shell_writes_them(tmp_path, monkeypatch, capsys):
    from trimkit.study.course.plan import shipped_plan
    from trimkit.study.page.lesson import Words, read_lesson

    monkeypatch.chdir(tmp_path)
    text = "\n".join(cell.source for cell in read_lesson(shipped_plan()).cells if isinstance(cell, Words))
    (line,) = re.findall(r"^    trimkit course (.+)$", text, re.M)
    assert main(["course", *line.split()]) == 0
    for name in (SHEETS, KEY):
        assert f"`{line}/{name}`" in text
        assert (tmp_path / line / name).exists()
    assert main(["course", "other", "--students", "0"]) == 1
    assert "Do next:" in capsys.readouterr().err
    assert not (tmp_path / "other").exists()
    assert main(["course", "other", "--students", "9", "--first-seed", "13", "--plan", str(shipped_plan())]) == 0
    assert "Seed 21 My club: 6-iron of set 2" in said((tmp_path / "other" / SHEETS).read_text(encoding="utf-8"))
