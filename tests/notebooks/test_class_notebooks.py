"""What a class uses besides the lessons: the instructor's plan, the glossary and the exercise cells."""

import itertools
import math
import re
from pathlib import Path

import nbformat
import pytest

from trimkit import study
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import nearest_mark
from trimkit.shop.swings import film_frequency
from trimkit.study.course.plan import read_plan
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
    "moment",
    "residual",
    "median",
    "least squares",
    "rms",
    "first order",
    "standard deviation",
    "normal distribution",
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


def evenings():
    """Each evening of the plan: its number, its cell, and its minutes as (what, minutes) in order."""
    found = []
    for cell in cells_of("instructor_plan.ipynb"):
        if cell.source.startswith("## Evening "):
            (line,) = re.findall(r"^\*\*Minutes:\*\* (.+)$", cell.source, re.M)
            parts = [re.fullmatch(r"(.+) (\d+)", part).groups() for part in line.split(" · ")]
            number = int(re.match(r"## Evening (\d+): ", cell.source)[1])
            found.append((number, cell.source, [(what, int(minutes)) for what, minutes in parts]))
    return found


def lessons_in(programme):
    """The lessons of an evening in order, each with its minutes."""
    return {what[1:3]: minutes for what, minutes in programme if what.startswith("[")}


def test_the_plan_has_seven_evenings_over_all_lessons_once_and_in_order():
    assert [number for number, _, _ in evenings()] == [1, 2, 3, 4, 5, 6, 7]
    taught = [(number, lesson) for number, _, programme in evenings() for lesson in lessons_in(programme)]
    assert [lesson for _, lesson in taught] == list(LESSONS)
    on = {lesson: number for number, lesson in taught}
    assert on["09"] != on["10"]
    assert on["11"] != on["12"]
    for _, _, programme in evenings():
        for what, _ in programme:
            if what.startswith("["):
                title, number, address = re.fullmatch(r"\[((\d\d) .+)\]\((.+)\)", what).groups()
                assert address.startswith(f"{number}_"), title
                assert (NOTEBOOKS / address).exists()


def test_the_plans_minutes_are_the_lessons_and_each_evening_is_two_hours():
    planned = {}
    for number, _, programme in evenings():
        assert sum(minutes for _, minutes in programme) == 120, number
        assert programme[0] == ("recall", 5)
        assert programme.count(("break", 10)) == 1
        assert programme[-1] == ("close", 10)
        bench = sum(minutes for what, minutes in programme if what.startswith(("bench: ", "the two lines")))
        assert bench >= 40, number
        planned |= lessons_in(programme)
    stated = {
        path.name[:2]: int(re.search(r"(\d+) minutes", cells_of(path.name)[0].source).group(1))
        for path in LESSON_FILES
    }
    assert planned == stated


def test_the_minutes_at_the_bench_are_shared_out_in_full():
    """Where a bench's tasks have minutes of their own, in bold, they fill what the evening gives the bench."""
    shared = 0
    for number, cell, programme in evenings():
        tasks = [int(minutes) for minutes in re.findall(r"^- \*\*[^*]+ \((\d+)\)\.\*\*", cell, re.M)]
        given = sum(minutes for what, minutes in programme if what.startswith(("bench: ", "the two lines")))
        shared += bool(tasks)
        assert not tasks or sum(tasks) == given, number
    assert shared >= 5


def test_each_evening_has_its_recall_bench_homework_and_what_goes_wrong():
    for number, cell, programme in evenings():
        recall = re.findall(r"^(\d)\. .+[?.:] \*[^*]+\*$", cell, re.M)
        assert recall == ["1", "2", "3"], number
        parts = ("**Minutes:**", "**Before class", "**Recall**", "**At the bench", "On the sheet: ", "**Homework.**")
        places = [cell.index(part) for part in (*parts, "**What goes wrong, and what to say**")]
        assert places == sorted(places), number
        homework = re.search(r"^\*\*Homework\.\*\* (.+)$", cell, re.M)[1]
        assert re.findall(r"\b\d\d\b(?!\.)", homework.split("Sum on the sheet")[0]) == list(lessons_in(programme))
        wrong = re.findall(r"^- (.+)$", cell[places[-1] :], re.M)
        assert len(wrong) >= 3, number
        for each in wrong:
            assert re.search(r"\"[^\"]+\"", each), f"nothing to say: {each}"
        assert len(cell.split()) <= 420, "more than a screen"


def test_the_first_table_says_the_same_as_the_evenings():
    rows = re.findall(r"^\| (\d) \| ([\d, ]+) \| (.+) \| (.+) \|$", words(cells_of("instructor_plan.ipynb")), re.M)
    assert [int(row[0]) for row in rows] == [number for number, _, _ in evenings()]
    for (_, lessons, bench, homework), (_, _, programme) in zip(rows, evenings(), strict=True):
        assert lessons.split(", ") == list(lessons_in(programme))
        assert re.findall(r"\d\d", homework) == lessons.split(", ")
        assert bench


def test_the_plan_has_its_cautions_before_the_evenings():
    cells = [cell.source for cell in cells_of("instructor_plan.ipynb")]
    (at,) = (place for place, cell in enumerate(cells) if cell.startswith("## Before anyone cuts"))
    assert at < next(place for place, cell in enumerate(cells) if cell.startswith("## Evening 1"))
    for caution in (
        "Eye protection with side shields",
        "respirator",
        "Nitrile gloves",
        "heat-resistant gloves",
        "cures",
        "cannot be undone",
        "beyond its maker's limit",
        "guards on",
        "Never pluck a club whose glue has not cured",
    ):
        assert caution in cells[at]


STUDENTS = 12


def parts_list():
    """The rows of the list of parts: name, each, shared by, for twelve, spare, get, afterwards."""
    row = r"^\| ([^|]+?) \| (\d+) \| (\d+) \| (\d+) \| (\d+) \| (\d+) \| ([^|]+?) \|"
    rows = re.findall(row, words(cells_of("instructor_plan.ipynb")), re.M)
    return [(name, *map(int, numbers), afterwards) for name, *numbers, afterwards in rows]


def test_the_parts_are_enough_for_twelve_with_spares():
    rows = parts_list()
    assert len(rows) >= 25
    for name, each, shared_by, needed, spare, get, afterwards in rows:
        assert needed == math.ceil(STUDENTS * each / shared_by), name
        assert get == needed + spare, name
        assert afterwards in ("in the clubs", "used up", "kept"), name
        assert spare >= 1 or afterwards == "kept" or "heads" in name, f"nothing to spare: {name}"
        assert STUDENTS % shared_by == 0, f"shared unevenly: {name}"


def test_the_parts_that_the_course_needs_are_listed():
    names = " / ".join(name for name, *_ in parts_list())
    for part in (
        "steel shafts",
        "iron heads",
        "tip weights",
        "grips",
        "tape",
        "epoxy",
        "ferrules",
        "nitrile gloves",
        "heat-resistant gloves",
        "eye protection with side shields",
        "saw blades",
        "scale",
        "ruler",
        "clamp",
    ):
        assert part in names
    heads = next(needed for name, _, _, needed, *_ in parts_list() if name.startswith("iron heads"))
    assert heads == 2 * len(read_plan().clubs)


def test_what_the_plan_says_of_a_film_is_what_the_film_gives():
    cell = next(cell for number, cell, _ in evenings() if number == 4)
    found = re.search(
        r"--swings (\d+) --frames (\d+) --frames-per-second (\d+)` says ([\d.]+) cpm, good to about ±(\d\.\d)", cell
    )
    swings, frames, rate = map(int, found.groups()[:3])
    film = film_frequency(swings, frames, rate)
    assert (f"{film.frequency_cpm:.1f}", f"{2 * film.sd_cpm:.1f}") == found.groups()[3:]
    slower, count, off = re.search(r"At (\d+) frames a second even (\d+) swings are only good to ±(\d\.\d)", cell).groups()
    frames = round(60 * int(count) * int(slower) / film.frequency_cpm)
    assert f"{2 * film_frequency(int(count), frames, int(slower)).sd_cpm:.1f}" == off
    assert f"get {2 * film.frequency_cpm:.0f} cpm" in cell


def recall(number, question):
    """The answer that the plan gives to a recall question."""
    cell = next(cell for found, cell, _ in evenings() if found == number)
    return re.search(rf"^{question}\. .+ \*([^*]+)\*$", cell, re.M)[1]


def test_recalled_numbers_are_those_of_hand_and_lab():
    assert recall(1, 1).startswith(f"{nearest_mark(2.1).mark}. 0.1 × 16 is {0.1 * 16:.1f}")
    assert recall(1, 2) == f"{25.4 / 2:.1f} mm."
    assert recall(1, 3) == f"{nearest_mark(42 - 4 - 2.125).mark}."
    assert recall(2, 2) == f"{nearest_mark(3.5 + (5 - 3.5) / 2).mark}."
    bbgl_in = 41.25 - 40
    assert recall(3, 1) == f"BBGL is {nearest_mark(bbgl_in).mark}, so {nearest_mark(4 + bbgl_in - 1).mark}."
    assert recall(4, 3) == f"{38.5 - 1 - 0.1:.1f} in, nearest mark {nearest_mark(37.4).mark}."
    assert recall(5, 2) == f"Half-way, R/S {(308 - 303) / (313 - 303):g}."
    parts = study.lesson_club().masses
    head_g, grip_g = (1.75 * 28.35 / abs(parts[name].from_cap_in - 14) for name in ("head", "grip"))
    assert recall(6, 1).startswith(f"About {head_g:.0f} g at the head, about {grip_g:.0f} g at the grip")
    assert f"0.75 ten times is {0.75**10:.2f}" in recall(7, 1)
    longer = study.what_if_lab().set(playing_length_in=0.5).readout
    cpm, points = (abs(longer[what].value - longer[what].before) for what in ("frequency", "swingweight"))
    assert f"by about {cpm:.0f} cpm" in recall(7, 3)
    assert f"about {points:.0f} points" in recall(7, 3)


def test_the_plan_quotes_the_recipe_that_the_measured_hub_ran():
    recipe = NOTEBOOKS.parent / "tests" / "benchmarks" / "hub" / "jupyterhub_config.py"
    cells = [cell.source for cell in cells_of("instructor_plan.ipynb")]
    (quoted,) = (cell for cell in cells if cell.startswith("## One machine for the class"))
    assert f"```python\n{recipe.read_text(encoding='utf-8')}```" in quoted


def test_the_stored_key_is_the_key():
    key = next(
        cell for cell in cells_of("instructor_answers.ipynb") if cell.source.endswith('exercises.key("02", seed=1)')
    )
    shown = key.outputs[0].data["text/html"]
    assert all(each.answer_text in shown for each in exercises_of("02", 1))
    assert all(mistake.name in shown for each in exercises_of("02", 1) for mistake in each.mistakes)
    assert "..." not in shown


def test_the_class_key_has_every_lesson_s_answers_for_twelve_seeds():
    (key,) = (cell for cell in cells_of("instructor_answers.ipynb") if cell.source == "exercises.class_key()")
    shown = key.outputs[0].data["text/html"]
    rows = re.findall(r"<tr>\s*<th>(\d\d)\.\d+ [^<]+</th>(.*?)</tr>", shown, re.S)
    assert len(rows) == sum(len(exercises_of(lesson)) for lesson in LESSONS)  # none left out by the display
    answers = {lesson: [] for lesson in LESSONS}
    for lesson, row in rows:
        answers[lesson].append(re.findall(r"<td>([^<]*)</td>", row))
    for lesson, found in answers.items():
        by_seed = [[each.answer_text for each in exercises_of(lesson, seed)] for seed in range(1, 13)]
        assert [list(each) for each in zip(*found, strict=True)] == by_seed, lesson


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
