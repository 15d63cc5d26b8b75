"""What a class uses besides the lessons: the instructor's plan, the glossary and the exercise cells."""

import itertools
import re
from pathlib import Path

import nbformat
import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study.exercises import LESSONS, exercises_of

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
LESSON_FILES = sorted(path for path in NOTEBOOKS.glob("[0-9][0-9]_*.ipynb") if path.name[:2] in LESSONS)
# What the trade calls the lengths and cuts of a club, and the words of statics and statistics that the lessons use.
NEEDED = [
    "playing length",
    "cut length",
    "tip cut",
    "butt cut",
    "off the line",
    "≈",
    "raw length",
    "tip trim",
    "butt trim",
    "bore depth",
    "BBGL",
    "parallel tip",
    "taper tip",
    "tip section",
    "step",
    "schedule",
    "soft step",
    "hard step",
    "frequency",
    "swingweight",
    "MOI",
    "flex",
    "hosel",
    "dry fit",
    "sole",
    "iron",
    "wood",
    "wedge",
    "hybrid",
    "rung",
    "ladder",
    "master",
    "reference",
    "inch",
    "wall",
    "bending moment",
    "moment",
    "residual",
    "median",
    "least squares",
    "rms",
    "first order",
    "standard deviation",
    "normal distribution",
    "variance",
    "anchor",
    "standing",
    "head",
    "shaft",
    "grip",
    "bore",
    "tip",
    "butt",
    "cap",
    "cpm",
    "combination flex",
    "discrete flex",
    "correction",
    "tip weight",
    "family",
    "core",
    "build-up tape",
    "butt extension",
    "EI",
    "clamp",
    "frequency machine",
    "flex scale",
    "clamp compliance",
    "fulcrum",
    "balance point",
    "ferrule",
    "slope",
    "deviation",
    "tolerance",
    "uncertainty",
    "independent",
    "sd",
    "±",
    "scatter",
    "shared error",
    "pin",
    "record",
    "revision",
    "decision",
    "beam model",
    "double check",
    "cut list",
    "point",
    "set's line",
    "ground line",
]


def cells_of(name):
    return nbformat.read(NOTEBOOKS / name, as_version=4).cells


def words(cells):
    return "\n\n".join(cell.source for cell in cells if cell.cell_type == "markdown")


@pytest.mark.parametrize("name", ["instructor_plan.ipynb", "instructor_answers.ipynb", "glossary.ipynb"])
def test_one_title_ordered_headings_and_minutes(name):
    text = words(cells_of(name))
    levels = [len(marks) for marks in re.findall(r"^(#+) ", text, re.M)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b <= a + 1 for a, b in itertools.pairwise(levels))
    assert re.search(r"\d+ minutes", cells_of(name)[0].source)


def test_the_plan_has_six_evenings_over_all_lessons_and_its_cautions():
    text = words(cells_of("instructor_plan.ipynb"))
    rows = re.findall(r"^\| (\d) \| (.+)$", text, re.M)
    assert [int(number) for number, _ in rows] == [1, 2, 3, 4, 5, 6]
    assert set(re.findall(r"\b(\d\d) [A-Z]", " ".join(row for _, row in rows))) == set(LESSONS)
    for caution in ("Eye protection with side shields", "respirator", "Gloves", "cures", "cannot be undone"):
        assert caution in text


def test_the_plans_minutes_are_the_lessons_and_each_evening_is_two_hours():
    text = words(cells_of("instructor_plan.ipynb"))
    planned = {}
    for lessons, minutes in re.findall(r"^\| \d \| (.+?) \| (.+?) \|", text, re.M):
        assert sum(int(number) for number in re.findall(r"\d+", minutes)) == 120, minutes
        numbers = re.findall(r"\b(\d\d) [A-Z]", lessons)
        planned |= dict(zip(numbers, re.findall(r"\d+", minutes.split(",")[0]), strict=True))
    stated = {
        path.name[:2]: re.search(r"(\d+) minutes", cells_of(path.name)[0].source).group(1) for path in LESSON_FILES
    }
    assert planned == stated


def test_the_stored_key_is_the_key():
    key = next(
        cell for cell in cells_of("instructor_answers.ipynb") if cell.source.endswith('exercises.key("02", seed=1)')
    )
    shown = key.outputs[0].data["text/html"]
    assert all(each.answer_text in shown for each in exercises_of("02", 1))
    assert all(mistake.name in shown for each in exercises_of("02", 1) for mistake in each.mistakes)
    assert "..." not in shown


def test_the_glossary_explains_each_word_once_in_order_and_shortly():
    text = words(cells_of("glossary.ipynb"))
    found = dict(re.findall(r"^- \*\*(.+?)\*\*: (.+\.)$", text, re.M))
    assert list(found) == sorted(found, key=str.lower)
    assert len(found) == len(re.findall(r"^- ", text, re.M))
    assert set(NEEDED) <= set(found)
    for word, said in found.items():
        assert len(re.findall(r"[.!?](?= |$)", said)) <= 2, word
        assert len(said) <= 160, word


def test_the_glossarys_sums_are_those_of_the_classs_7_iron():
    text = words(cells_of("glossary.ipynb"))
    plan = build_set(shipped_order()).club("7-iron").plan
    wanted = plan.wanted
    playing = (plan.cut_length_in, wanted.bbgl_in, wanted.grip.cap_thickness_in, plan.playing_length_in)
    raw = (plan.tip_trim_in, plan.cut_length_in, plan.butt_trim_in, plan.raw_length_in)
    tip_section, trim = wanted.shaft.tip_section_in, plan.tip_trim_in
    first = (wanted.bbgl_in, tip_section, trim, wanted.bbgl_in + tip_section - trim)
    for numbers, how in ((playing, "{:g} + {:g} + {:g} = {:g} in"), (raw, "{:g} + {:g} + {:g} = {:g} in")):
        assert how.format(*(round(each, 3) for each in numbers)) in text
    assert "{:g} + {:g} − {:g} = {:g} in".format(*(round(each, 3) for each in first)) in text


@pytest.mark.parametrize("path", LESSON_FILES, ids=lambda p: p.stem)
def test_a_lessons_exercises_are_its_own_and_unanswered(path):
    asking = [cell for cell in cells_of(path.name) if cell.cell_type == "code" and "exercises.show(" in cell.source]
    assert len(asking) == 1, "the lesson has no exercise cell"
    lesson = path.name[:2]
    assert f'exercises.show("{lesson}", seed=1)' in asking[0].source
    (output,) = asking[0].outputs
    asked = " ".join("".join(output.data["text/plain"]).split())
    for each in exercises_of(lesson, 1):
        assert each.question in asked
        assert each.solution not in asked
