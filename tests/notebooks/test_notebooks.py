"""Each notebook: run from the top before it was committed, shaped as a lesson, readable without a kernel."""

import itertools
import json
import re
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from trimkit.study import exercises

ROOT = Path(__file__).resolve().parents[2]
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))
LESSONS = [path for path in NOTEBOOKS if path.name[:2] in exercises.LESSONS]
BENCH = ROOT / "notebooks" / "13_shop_bench.ipynb"
RATIONALE = ROOT / "notebooks" / "12_build_rationale.ipynb"
FRAME = (
    "Goals",
    "The idea",
    "Predict",
    "Explain",
    "Worked example",
    "Exercises",
    "Take away",
    "Limits of the model",
    "Next",
)
"""The sections of every lesson, in order; the lab comes between Predict and Explain."""
BENCH_FRAME = ("Goals", "How to use it", "Where your files are", "Limits of the model", "Next")
"""The sections of the shop bench, in order, which is worked at and has no exercises; its forms come between them."""
UNSEEN = {"know", "learn", "understand"}
"""Verbs of goals that nobody can see done."""


def load(path):
    return nbformat.read(path, as_version=4)


def markdown(path):
    return "\n\n".join(cell.source for cell in load(path).cells if cell.cell_type == "markdown")


def asked(source):
    """The questions of a Predict or Explain cell: its bullets, each as one line."""
    return [" ".join(each.split()) for each in re.split(r"^- ", source, flags=re.M)[1:]]


def test_there_are_notebooks():
    assert {"00_start_here.ipynb", "02_bore_depth.ipynb"} <= {path.name for path in LESSONS}


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_every_code_cell_was_run_in_order(path):
    cells = [cell for cell in load(path).cells if cell.cell_type == "code"]
    assert [cell.execution_count for cell in cells] == list(range(1, len(cells) + 1))


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_nothing_is_stored_that_changes_from_run_to_run(path):
    sys.path.insert(0, str(ROOT / "tests" / "notebooks"))
    from rerun import normal_form

    text = path.read_text(encoding="utf-8")
    assert nbformat.writes(normal_form(load(path)), indent=1) + "\n" == text, "run tests/notebooks/rerun.py"
    assert "widget-state" not in text
    assert "widget-view" not in text


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_cells_are_short_and_hide_no_widget_code(path):
    for cell in load(path).cells:
        if cell.cell_type == "code":
            lines = [line for line in cell.source.splitlines() if line.strip() and not line.startswith("#")]
            assert len(lines) <= 6, cell.source
            assert not re.search(
                r"^\s*(def |class |import ipywidgets|from ipywidgets|global )|import \*", cell.source, re.M
            )


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
def test_a_lesson_has_its_frame(path):
    first, text = load(path).cells[0].source, markdown(path)
    levels = [len(marks) for marks in re.findall(r"^(#+) ", text, re.M)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b <= a + 1 for a, b in itertools.pairwise(levels)), "a heading skips a level"
    assert int(re.search(r"(\d+) minutes\b", first)[1]) <= 30
    frame = [heading for heading in re.findall(r"^## (.+)$", text, re.M) if heading in FRAME]
    # The first lesson follows an order instead of an idea.
    assert frame == [heading for heading in FRAME if heading != "The idea" or not path.name.startswith("00")]


@pytest.mark.parametrize("path", [*LESSONS, BENCH], ids=lambda p: p.stem)
def test_goals_are_two_to_four_things_one_can_see_done(path):
    goals = re.search(r"^## Goals\n(.*?)(?=^#|\Z)", markdown(path), re.M | re.S).group(1)
    bullets = re.findall(r"^[-*] (.+)", goals, re.M)
    assert 2 <= len(bullets) <= 4
    for bullet in bullets:
        assert re.match(r"\*\*(\w+)\*\*", bullet), bullet
        assert not set(re.findall(r"\*\*(\w+)\*\*", bullet)) & UNSEEN, bullet


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
def test_predict_comes_before_each_lab_and_explain_after_it(path):
    cells = load(path).cells
    labs = [i for i, cell in enumerate(cells) if cell.cell_type == "code" and "_lab(" in cell.source]
    assert labs
    for place in labs:
        before = [i for i in range(place) if re.search(r"^## Predict", cells[i].source, re.M)]
        after = [i for i in range(place, len(cells)) if re.search(r"^## Explain", cells[i].source, re.M)]
        assert before
        assert after
        room = [asked(cells[before[-1]].source), asked(cells[after[0]].source)]
        for questions in room:
            assert len(questions) >= 2
            assert all(each.endswith("…") for each in questions), f"no room to write: {questions}"


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
def test_a_lab_shows_its_picture_and_sentence_without_a_kernel(path):
    outputs = [
        o for cell in load(path).cells if cell.cell_type == "code" and "_lab(" in cell.source for o in cell.outputs
    ]
    assert outputs
    for picture, sentence in zip(outputs[::2], outputs[1::2], strict=True):
        assert "image/png" in picture.data
        assert picture.data["text/plain"] == sentence.data["text/plain"]
        assert sentence.data["text/plain"].strip()


def test_the_shop_bench_has_its_frame_and_a_form_under_each_heading():
    cells = load(BENCH).cells
    headings = re.findall(r"^(#+) (.+)$", markdown(BENCH), re.M)
    assert [marks for marks, _ in headings] == ["#", *["##"] * (len(headings) - 1)]
    assert int(re.search(r"(\d+) minutes\b", cells[0].source)[1]) <= 30
    assert [title for _, title in headings if title in BENCH_FRAME] == list(BENCH_FRAME)
    assert sum(bool(re.search("[A-Za-z]", word)) for word in markdown(BENCH).split()) <= 900
    code = [cell.source for cell in cells if cell.cell_type == "code"]
    assert code[0] == "from trimkit import study\n\nbench = study.shop_bench()"
    for line in code[1:]:
        assert re.fullmatch(r"study\.\w+_form\(bench\)", line)
    titles = [title for _, title in headings[1:]]
    assert len(code) - 1 == len(titles) - titles.index("Where your files are") - len(("Limits of the model", "Next"))
    for cell in cells[:-1]:
        if cell.cell_type == "code":
            assert all(output.data["text/plain"].strip() for output in cell.outputs)


def test_the_shop_bench_warns_before_the_saw_and_says_whose_word_goes_first():
    cells = load(BENCH).cells
    plan = next(at for at, cell in enumerate(cells) if "plan_form(" in cell.source)
    warned = " ".join(re.findall(r"^>.*", cells[plan - 1].source, re.M)).lower()
    for words in ("eye protection", "guards", "respirator", "makers' own instructions", "stop"):
        assert words in warned
    assert "invented" in markdown(BENCH)
    assert "from memory" in next(cell.source for cell in cells if "2 cpm" in cell.source)


@pytest.mark.parametrize("notebook", [BENCH, RATIONALE], ids=lambda p: p.stem)
def test_running_the_notebooks_of_forms_writes_nothing_and_is_the_same_anywhere(tmp_path, notebook):
    path = tmp_path / notebook.name
    path.write_bytes(notebook.read_bytes())
    code = "import sys; sys.path.insert(0, sys.argv[1]); import pathlib, rerun; rerun.main([sys.argv[2]])"
    tests = str(ROOT / "tests" / "notebooks")
    done = subprocess.run([sys.executable, "-c", code, tests, str(path)], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == f"{notebook.name}: as it was"
    assert [each.name for each in tmp_path.iterdir()] == [notebook.name]


@pytest.mark.nightly
def test_a_rerun_changes_nothing(tmp_path):
    """The first notebook, every byte but its pictures; nbval compares the outputs of the others."""
    for path in NOTEBOOKS:
        (tmp_path / path.name).write_bytes(path.read_bytes())
    code = (
        "import sys; sys.path.insert(0, sys.argv[1]); import pathlib, rerun; "
        "print(rerun.rerun(pathlib.Path(sys.argv[2])))"
    )
    path = NOTEBOOKS[0]
    done = subprocess.run(
        [sys.executable, "-c", code, str(ROOT / "tests" / "notebooks"), str(path)],
        capture_output=True,
        text=True,
        check=True,
    )
    again, stored = json.loads(done.stdout), json.loads(path.read_text(encoding="utf-8"))
    for mine, theirs in zip(again["cells"], stored["cells"], strict=True):
        for output in (*mine.get("outputs", []), *theirs.get("outputs", [])):
            # Pictures differ with each release of matplotlib and its fonts.
            output.get("data", {}).pop("image/png", None)
        assert mine == theirs
