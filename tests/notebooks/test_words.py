"""The words of the lessons: each explained before it is used, none too many, and no code or field names to read."""

import re
from pathlib import Path

import nbformat
import pytest

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
ALL = sorted(NOTEBOOKS.glob("*.ipynb"))
LESSONS = {path.name[:2]: path for path in ALL if path.name[:2].isdigit()}
MOST_WORDS = 900

# The lesson that teaches each word of the trade, and how the word is found: whole, in either case, also as a plural.
TAUGHT = {
    "00": {
        "head": "heads?",
        "shaft": "shafts?",
        "grip": "grips?",
        "hosel": "hosels?",
        "bore": "bores?",
        "tip": "tips?",
        "butt": "butts?",
        "step": "steps?",
        "tip trim": "tip trims?",
        "butt trim": "butt trims?",
        "raw length": "raw lengths?",
        "cut length": "cut lengths?",
        "playing length": "playing lengths?",
        "BBGL": "BBGL",
        "cap": "caps?",
        "flex": "flex(?:es)?",
        "frequency": "frequenc(?:y|ies)",
        "cpm": "cpm",
        "iron": "irons?",
        "wedge": "wedges?",
        "beam model": "beam model",
    },
    "01": {
        "schedule": "schedules?",
        "combination flex": "combination[- ]flex",
        "discrete flex": "discrete[- ]flex",
        "parallel tip": "parallel[- ]tips?",
    },
    "02": {"dry fit": "dry[- ]fit(?:s|ted|ting)?", "reference": "references?", "correction": "corrections?"},
    "03": {"hybrid": "hybrids?", "ladder": "ladders?", "rung": "rungs?", "tip weight": "tip weights?"},
    "04": {
        "taper tip": "taper[- ]tips?",
        "soft step": "soft[- ]step(?:s|ped|ping)?",
        "hard step": "hard[- ]step(?:s|ped|ping)?",
        "family": "famil(?:y|ies)",
    },
    "05": {"core": "cores?", "build-up tape": "build-up", "butt extension": "extensions?"},
    "06": {"EI": "EI", "clamp": "clamp(?:s|ed|ing)?"},
    "07": {
        "frequency machine": "frequency machines?",
        "flex scale": "flex scales?",
        "clamp compliance": "compliances?",
    },
    "08": {
        "swingweight": "swingweights?",
        "fulcrum": "fulcrum",
        # A lesson may ask to wait for a moment.
        "moment": r"(?<!for a )(?<!at the )(?<!at this )moments?(?! of \d+ N m)",
        "balance point": "balance points?",
        "MOI": "MOI",
        "ferrule": "ferrules?",
    },
    "09": {
        "slope": "slopes?",
        "deviation": "(?<!standard )deviations?",
        "tolerance": "tolerances?",
        "least squares": "least[- ]squares",
        "median": "medians?",
    },
    "10": {
        "standard deviation": "standard deviations?",
        "sd": "sds?",
        "uncertainty": "uncertaint(?:y|ies)",
        "±": "±",
        "independent": r"independent errors?|(?:errors|they) are \W*independent",
    },
    "11": {"pin": "pin(?:s|ned|ning)?(?! this one)"},  # Pin this one: a button of every lab
    "12": {"record": "records?", "revision": "revisions?", "decision": "decisions?", "standing": "standings?"},
}
TERMS = [(lesson, term) for lesson, terms in TAUGHT.items() for term in terms]


def cells(path, kind="markdown"):
    return [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == kind]


def prose(path):
    """What a lesson tells, cell by cell: without the way on to the next lesson, links, and names of files and code."""
    told = [cell.source for cell in cells(path) if not cell.source.startswith("## Next")]
    return [re.sub(r"`[^`]*`|\[[^\]]*\]\([^)]*\)", " ", each) for each in told]


def pattern(term):
    """The expression that finds a word of :data:`TAUGHT`."""
    words = next(terms[term] for terms in TAUGHT.values() if term in terms)
    return re.compile(rf"(?<!\w)(?:{words})(?!\w)", 0 if term == "EI" else re.I)


def emphasised(text):
    """Where a text is bold or a heading, as pairs of places."""
    return [match.span() for match in re.finditer(r"\*\*.+?\*\*|^#+ .+$", text, re.M | re.S)]


@pytest.mark.parametrize("lesson", LESSONS)
def test_no_lesson_uses_a_word_that_a_later_one_teaches(lesson):
    lines = [line for cell in prose(LESSONS[lesson]) for line in cell.splitlines()]
    early = {
        f"{term} ({later})": [line for line in lines if pattern(term).search(line)]
        for later, term in TERMS
        if later > lesson
    }
    assert {term: found for term, found in early.items() if found} == {}


@pytest.mark.parametrize(("lesson", "term"), TERMS, ids=lambda each: each)
def test_a_lesson_shows_the_words_that_it_teaches(lesson, term):
    """In its title or its goals, else the first time in bold."""
    title, goals, *rest = prose(LESSONS[lesson])
    text, word = "\n\n".join(rest), pattern(term)
    first = word.search(text)
    assert first, f"lesson {lesson} does not use the word {term}"
    shown = any(low <= first.start() < high for low, high in emphasised(text))
    assert shown or word.search(title) or word.search(goals), text[max(first.start() - 80, 0) : first.end() + 40]


def test_the_glossary_names_the_lesson_that_teaches_a_word():
    (text,) = [cell for cell in prose(NOTEBOOKS / "glossary.ipynb") if cell.startswith("## Words")]
    said = dict(re.findall(r"^- \*\*(.+?)\*\*: .*\b(\d\d)\)", text, re.M))
    named = {term: said.get(term) for _, term in TERMS}
    assert named | {"sd": "10"} == {term: lesson for lesson, term in TERMS}  # sd: see standard deviation


@pytest.mark.parametrize("path", LESSONS.values(), ids=lambda path: path.stem)
def test_a_lesson_is_short(path):
    words = [word for cell in cells(path) for word in cell.source.split() if re.search(r"[A-Za-z]", word)]
    assert len(words) <= MOST_WORDS


@pytest.mark.parametrize("path", LESSONS.values(), ids=lambda path: path.stem)
def test_the_computed_side_has_its_name_from_lesson_00(path):
    assert [cell for cell in prose(path) if re.search(r"\bthe mechanics\b", cell, re.I)] == []


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_a_table_s_heads_are_words(path):
    outputs = [output for cell in cells(path, "code") for output in cell.outputs if "data" in output]
    tables = ["".join(output.data.get("text/html", "")) for output in outputs]
    heads = [re.sub(r"<[^>]*>", "", head) for table in tables for head in re.findall(r"<th\b.*?</th>", table, re.S)]
    assert [head for head in heads if "_" in head] == []


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_code_is_folded_away(path):
    open_cells = [
        cell.source for cell in cells(path, "code") if not cell.metadata.get("jupyter", {}).get("source_hidden")
    ]
    assert open_cells == []
