"""What every lesson says besides its subject: what its figures rest on, how not to get hurt, where to look up words."""

import itertools
import re
from pathlib import Path

import nbformat
import pytest

from trimkit.parts.sources import Source, Standing
from trimkit.study import exercises
from trimkit.trim.steps import joined

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
LESSONS = sorted(path for path in NOTEBOOKS.glob("[0-9][0-9]_*.ipynb") if path.name[:2] in exercises.LESSONS)
WITH_A_CUT = [path for path in LESSONS if path.name[:2] not in ("06", "07", "08")]
STANDINGS = ("common practice", "from memory", "made up", "derived", "chosen", "invented", "published", "no source")
# A figure of the trade, as the lessons write it, and the standing that must be in the same cell.
FIGURES = {
    r"ideal (clamp of )?5 in": "from memory",
    r"each numbered iron loses 1/2 in more": "common practice, no source",
    r"10 cpm( for one| a)? flex": "from memory",
    r"quarter of a flex per step": "common practice, no source",
    r"a step .* \*\*quarter of a flex\*\*": "common practice",
    r"Clamping the last 5 in": "from memory",
    r"1\.75 oz in per point": "from memory",
    r"The 14 in": "from memory",
    r"\*The trade's 2 g, 5 g and 1/6 in": "common practice, no source",
    r"limit is 2 cpm off plan": "from memory",
    r"clamp depth \| 1/32 in": "from memory",
    r"but the wall \| 2 % ": "chosen for this demo",
    r"4\.3 is often quoted": "common practice, no source",
    r"2 cpm (either way|as the tolerance)": "from memory",
    r"0\.005 in tape": "from memory",
    r"longest extension": "from memory",
    r"half the gap": "chosen here",
    r"straight line between two": "common practice, no source",
    r"stops at 8 g": "chosen here",
    r"repeated median": "Siegel, Biometrika",
    r"rule for independent errors": "JCGM 100:2008",
    r"2 cpm, one swingweight point": "from memory",
}


def cells(path):
    return [cell.source for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "markdown"]


def cautions(path):
    """The lines of a lesson that are set off as cautions, each block one text."""
    blocks = ["\n".join(re.findall(r"^>.*", cell, re.M)) for cell in cells(path)]
    return [" ".join(block.replace(">", " ").split()) for block in blocks if block]


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
def test_a_lesson_says_what_its_figures_rest_on(path):
    said = [" ".join(cell.split()) for cell in cells(path)]
    assert any(standing in cell for cell in said for standing in STANDINGS)
    assert any(re.search(r"made[- ]up|invented|scatter figures", cell) for cell in said), "whose parts are these?"
    for figure, standing in FIGURES.items():
        with_it = [cell for cell in said if re.search(figure, cell)]
        spoken = [cell.replace("from our own memory", "from memory") for cell in with_it]
        assert not with_it or any(standing in cell for cell in spoken), f"{figure}: {standing}"


def test_each_figure_of_the_trade_is_in_a_lesson():
    everything = " ".join(" ".join(cell.split()) for path in LESSONS for cell in cells(path))
    assert [figure for figure in FIGURES if not re.search(figure, everything)] == []


@pytest.mark.parametrize("path", WITH_A_CUT, ids=lambda p: p.stem)
def test_a_lesson_with_a_cut_has_its_cautions(path):
    said = " ".join(cautions(path)).lower()
    assert "eye protection" in said
    assert "guards" in said or path.name[:2] == "11", "the saw's guards"
    assert re.search(r"makers?'s? (own )?(instructions|limits?)|makers of head and shaft", said), (
        "whose word goes first"
    )


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
def test_the_cautions_of_a_lesson_are_its_own_and_come_before_the_exercises(path):
    text = cells(path)
    first = next(number for number, cell in enumerate(text) if re.search(r"^> \*\*", cell, re.M))
    assert first < next(number for number, cell in enumerate(text) if re.search(r"^## Exercises", cell, re.M))
    own = {"06": "hang real weights", "07": "tighten the clamp", "08": "lead is poisonous"}.get(path.name[:2], "")
    assert own.lower() in " ".join(cautions(path)).lower()


def test_a_caution_about_a_hot_head_names_gloves_that_take_the_heat():
    """Nitrile is for glue and melts on a hot head: common practice, no source."""
    hot = [text for path in LESSONS for text in cautions(path) if re.search(r"hot head|burning", text, re.I)]
    assert hot
    for text in hot:
        assert "heat-resistant gloves" in text.replace("*", ""), text


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
def test_a_lesson_links_the_glossary_before_the_first_question(path):
    before = itertools.takewhile(lambda cell: not re.search(r"^## Predict", cell, re.M), cells(path))
    assert any("(glossary.ipynb)" in cell for cell in before)


def test_lesson_12_ranks_every_standing_as_the_plan_does():
    (lesson,) = [path for path in LESSONS if path.name.startswith("12")]
    (line,) = [line for cell in cells(lesson) for line in cell.splitlines() if " · " in line]
    told = [each for words in line.split(" · ") for each in Standing if words in each.value]
    assert sorted(told) == sorted(Standing)
    for stronger, weaker in itertools.pairwise(told):
        assert joined(Source("one", weaker), Source("other", stronger)).standing is weaker
