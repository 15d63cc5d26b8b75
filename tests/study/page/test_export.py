"""Pages as files: whole in themselves, asking nobody for anything, with no code but their own."""

import base64
import hashlib
import random
import re

import nbformat
import pytest

from trimkit.cli import main
from trimkit.parts.errors import BenchError, SaveError
from trimkit.study import schedule_lab
from trimkit.study.exercises import exercises_of
from trimkit.study.page import export
from trimkit.study.page.export import MOST_BYTES, index_html, page_html, write_pages
from trimkit.study.page.lesson import LabCell, find_lesson, read_lesson, shipped_lessons

from .conftest import Read, addresses, labs_of
from .test_grid import LABS, same_as_alone

HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</textarea></pre></main></script><script>alert(1)</script>",
    "'><svg onload=alert(1)>",
    "{{ 7 * 7 }}{% raw %}",
    "<!-- --><style>*{display:none}</style>",
)
NEW = {
    "syntax and names of 2025 and later": r"\b(?:await )?using \w+ =|\bwith \{ ?type|\(\?[ims]*-?[ims]+:|"
    r"@\w+ (?:class|static)|"
    r"\bRegExp\.escape|\bPromise\.try|\bIterator\.|\bFloat16Array|\bf16round|\bfromBase64|\btoBase64|\bfromHex|"
    r"\bError\.isError|\bTemporal\.|\bsumPrecise|\.(?:union|intersection|difference|isSubsetOf)\(|\bgetOrInsert",
    "of style sheets": r"field-sizing|interpolate-size|anchor-name|@function|sibling-index|corner-shape|:open\b|"
    r"\bif\(|\bprogress\(|scroll-marker|text-box|@position-try",
}
"""What browsers of two years ago lack; from memory of when each came to all of them, checked by nobody else."""


def notebook(folder, text):
    """A notebook with the same text in every place that a person or a program can write into."""
    v4 = nbformat.v4
    outputs = [
        v4.new_output("stream", text=text),
        v4.new_output("display_data", {"text/html": f"<p>{text}</p>", "text/plain": text}),
        v4.new_output("display_data", {"image/png": base64.b64encode(b"png").decode(), "text/plain": text}),
        v4.new_output("display_data", {"image/svg+xml": f"<svg>{text}</svg>", "text/plain": text}),
        v4.new_output("display_data", {"application/javascript": text, "text/plain": text}),
        v4.new_output("error", ename=text, evalue=text, traceback=[text]),
    ]
    cells = [
        v4.new_markdown_cell(
            f"# {text}\n\n- {text} …\n\n{text} …\n\n`{text}`\n\n| {text} | a |\n| --- | --- |\n| 1 | {text} |"
        ),
        v4.new_code_cell(text, outputs=outputs),
    ]
    path = folder / "mine.ipynb"
    nbformat.write(v4.new_notebook(cells=cells), path)
    return read_lesson(path)


@pytest.mark.parametrize("text", HOSTILE)
def test_text_of_a_notebook_never_becomes_code(tmp_path, text):
    page, plain = (Read(page_html(notebook(tmp_path, each))) for each in (text, "plain words"))
    assert len(page.scripts) == len(plain.scripts) == 1
    assert page.scripts == plain.scripts
    assert page.styles == plain.styles
    allowed = {tag for tag, _ in plain.tags} | {"img", "a", "br", "em", "strong"}
    assert {tag for tag, _ in page.tags} <= allowed
    assert not [name for _, attributes in page.tags for name in attributes if name.startswith("on") or name == "style"]
    assert len(page.all("textarea")) == len(plain.all("textarea")) == 2
    assert addresses(page_html(notebook(tmp_path, text))) == []
    assert "7 * 7" in page.words or "7 * 7" not in text


def test_the_browser_is_told_to_run_the_page_s_own_script_and_to_fetch_nothing(page_of_01):
    page = Read(page_of_01)
    (policy,) = [each["content"] for each in page.all("meta") if "http-equiv" in each]
    (script,) = [data for attributes, data in page.scripts if attributes["type"] == "module"]
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert f"default-src 'none'; script-src 'sha256-{digest}'; " in policy
    assert "connect-src" not in policy  # so that default-src says it
    assert page.tags.index(("meta", {"http-equiv": "Content-Security-Policy", "content": policy})) < 5


def test_a_page_names_no_other_place_than_pages_beside_it(page_of_01):
    assert addresses(page_of_01) == []
    links = [each.get("href") for each in Read(page_of_01).all("a")]
    assert {*links} - {None} == {"glossary.html", "02_bore_depth.html"}
    assert links.count(None) == 1, "the answers have no page beside it: their name is only text"
    assert {each["href"] for each in Read(page_html(read_lesson(find_lesson("glossary")))).all("a")} == set()


@pytest.mark.parametrize(
    "text", ['<img src="https://example.org/x.png">', "<p>see //example.org/x", "<a href='x.exe'>"]
)
def test_an_address_would_be_found(page_of_01, text):
    assert addresses(page_of_01.replace("<main>", f"<main>{text}")) != []


def test_the_page_of_a_lesson_has_its_text_its_figures_its_questions_and_room_to_type(page_of_01):
    page = Read(page_of_01)
    assert page.all("html") == [{"lang": "en"}]
    assert [tag for tag, _ in page.tags].count("h1") == 1
    for words in (
        "The trim schedule: one shaft, several flexes",
        "How much comes off the 7-iron's raw tip, halfway from R to S?",
    ):
        assert words in page.words
    for exercise in exercises_of("01", 1):
        assert exercise.question.split(",")[0].split(" in ")[0][:40] in page.words.replace(
            "\N{NON-BREAKING HYPHEN}", "-"
        ).replace("\N{NO-BREAK SPACE}", " ")
    assert len(page.all("textarea")) == 3 + 3 + len(exercises_of("01", 1))
    labels = {each["for"] for each in page.all("label")}
    assert labels == {each["id"] for each in page.all("textarea")}
    assert all(each["alt"] for each in page.all("img"))
    assert len(page_of_01.encode()) <= MOST_BYTES


def test_its_lab_is_stored_with_the_pictures_a_new_lab_makes(page_of_01):
    ((told, frames),) = labs_of(page_of_01)
    same_as_alone(told, frames, schedule_lab, random.Random(1))
    assert tuple(each["default"] for each in told["controls"]) in frames


def test_another_seed_asks_other_numbers_and_no_answer_is_in_the_page(tmp_path):
    code = nbformat.v4.new_code_cell('exercises.show("02", seed=1)')
    nbformat.write(nbformat.v4.new_notebook(cells=[code]), tmp_path / "q.ipynb")
    lesson = read_lesson(tmp_path / "q.ipynb")
    one, same, seven = (page_html(lesson, seed=each) for each in (None, 1, 7))
    assert one == same != seven
    assert "Seed 7." in seven
    for exercise in exercises_of("02", 7):
        assert exercise.solution not in Read(seven).words
    with pytest.raises(BenchError, match="seed"):
        page_html(lesson, seed=-1)


def test_the_script_and_the_style_are_older_than_two_years(page_of_01):
    page = Read(page_of_01)
    script = page.scripts[-1][1]
    assert re.findall(NEW["syntax and names of 2025 and later"], re.sub(r"//.*|/\*[\s\S]*?\*/", "", script)) == []
    assert re.findall(NEW["of style sheets"], page.styles[0]) == []


@pytest.mark.parametrize(
    "new",
    ["await using file = x", "/(?i:a)b/", "RegExp.escape(x)", "a.union(b)", "import x from 'y' with {type: 'json'}"],
)
def test_newer_syntax_would_be_found(new):
    assert re.findall(NEW["syntax and names of 2025 and later"], new)


def test_the_script_cannot_end_early_in_the_page():
    for path in (export.FRAME / "lab.js", export.HERE / "page.js"):
        assert "</script" not in path.read_text(encoding="utf-8").lower()
        assert "<!--" not in path.read_text(encoding="utf-8")


def test_a_page_is_written_once_and_replaced_when_asked(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["page", "glossary"]) == 0
    assert "Wrote" in capsys.readouterr().out
    first = (tmp_path / "glossary.html").read_text(encoding="utf-8")
    assert "bottom of bore to ground line" in first
    (tmp_path / "glossary.html").write_text("mine", encoding="utf-8")
    assert main(["page", "glossary"]) == 1
    assert "--replace" in capsys.readouterr().err
    assert (tmp_path / "glossary.html").read_text(encoding="utf-8") == "mine"
    assert main(["page", "glossary", "--replace", "--seed", "3"]) == 0
    assert (tmp_path / "glossary.html").read_text(encoding="utf-8") == first
    assert main(["page", "no such lesson"]) == 1
    assert "00_start_here" in capsys.readouterr().err
    assert main(["page", "--all", "x", "--to", "y"]) == 1
    assert [path.name for path in tmp_path.iterdir()] == ["glossary.html"]


@pytest.mark.nightly
def test_a_folder_of_pages_is_written_whole_or_not_at_all(tmp_path, monkeypatch):
    """With the glossary alone, since all lessons take minutes: the nightly test makes these."""
    monkeypatch.setattr(export, "shipped_lessons", lambda: (find_lesson("glossary"),))
    folder = tmp_path / "class"
    assert [path.name for path in write_pages(folder)] == ["index.html", "glossary.html"]
    assert 'href="glossary.html"' in (folder / "index.html").read_text(encoding="utf-8")
    assert 'href="index.html"' in (folder / "glossary.html").read_text(encoding="utf-8")
    (folder / "glossary.html").write_text("mine", encoding="utf-8")
    (folder / "index.html").unlink()
    with pytest.raises(SaveError, match="is there already"):
        write_pages(folder)
    assert [path.name for path in folder.iterdir()] == ["glossary.html"]
    write_pages(folder, replace=True)
    assert (folder / "glossary.html").read_text(encoding="utf-8") != "mine"


def test_the_index_leads_to_every_lesson_and_says_what_it_is_about():
    lessons = [read_lesson(path) for path in shipped_lessons()]
    text = index_html(lessons)
    assert [each["href"] for each in Read(text).all("a")] == [f"{lesson.name}.html" for lesson in lessons]
    for lesson in lessons:
        assert lesson.title in Read(text).words
    assert text.count("minutes") == len(lessons)


@pytest.mark.nightly
def test_all_pages(tmp_path):
    """Every page: its size, no address outside, and sampled pictures against a new lab's."""
    paths = write_pages(tmp_path / "class")
    assert len(paths) == 15
    for path in paths:
        text = path.read_text(encoding="utf-8")
        assert path.stat().st_size <= MOST_BYTES, path.name
        if path.stem == "index":
            continue
        assert addresses(text) == [], path.name
        names = [cell.name for cell in read_lesson(find_lesson(path.stem)).cells if isinstance(cell, LabCell)]
        for name, (told, frames) in zip(names, labs_of(text), strict=True):
            same_as_alone(told, frames, LABS[name], random.Random(name))
