"""The plan read as data: what a sheet takes from it, and what is refused with a sentence."""

import nbformat
import pytest

from trimkit.parts.errors import BenchError
from trimkit.study.course.plan import Box, read_plan, shipped_plan
from trimkit.study.exercises import LESSONS, exercises_of

EVENING = """## Evening 1: The saw

**Recall**

1. How long is a foot? *12 in, and 1 * 12 is 12.*
2. And a yard? *36 in.*

On the sheet: raw length (in) · checked by · cured at (day, time).
On the sheet: frequency (cpm)

**Homework.** Read [05 Cutting](05.ipynb), *all* of it. Sum on the sheet: 05.2.
"""


@pytest.fixture
def plan(tmp_path):
    """Writes a plan of these cells, and returns its path."""

    def written(*cells):
        book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell(cell) for cell in cells])
        path = tmp_path / "plan.ipynb"
        nbformat.write(book, path)
        return path

    return written


def test_an_evening_is_read_without_its_answers(plan):
    course = read_plan(plan("# A course\n\nClubs: 4-iron, gap wedge.", EVENING))
    assert course.clubs == ("4-iron", "gap wedge")
    (evening,) = course.evenings
    assert (evening.number, evening.title) == (1, "The saw")
    assert evening.recall == ("How long is a foot?", "And a yard?")
    boxes = [("raw length", "in"), ("checked by", ""), ("cured at", "day, time"), ("frequency", "cpm")]
    assert evening.boxes == tuple(Box(*each) for each in boxes)
    assert evening.homework == "Read 05 Cutting, all of it."
    assert evening.sum_asked == "05.2"


def test_the_shipped_plan_asks_three_questions_and_an_exercise_of_its_own_lessons():
    course = read_plan()
    assert read_plan(shipped_plan()) == course
    assert course.clubs == tuple(f"{number}-iron" for number in range(4, 10))
    assert [each.number for each in course.evenings] == [1, 2, 3, 4, 5, 6, 7]
    for evening in course.evenings:
        assert len(evening.recall) == 3
        assert evening.sum_asked[:2] in evening.homework
        assert 1 <= int(evening.sum_asked[3:]) <= len(exercises_of(evening.sum_asked[:2]))
        assert evening.sum_asked[:2] in LESSONS


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("1. How long is a foot? *12 in, and 1 * 12 is 12.*\n2. And a yard? *36 in.*", "", "no recall"),
        ("On the sheet: ", "Sheet: ", "0 boxes"),
        ("frequency (cpm)", " · ".join(["frequency (cpm)"] * 10), "13 boxes"),
        ("**Homework.**", "Homework.", "Homework"),
        ("Sum on the sheet: 05.2", "No sum", "Sum on the sheet: 02.3"),
        ("## Evening 1: The saw", "## Evening one", "Evening 1: its title"),
        ("## Evening 1: The saw", "## Evening 2: The saw", "evenings 2"),
    ],
)
def test_a_plan_that_a_sheet_cannot_be_made_of_is_refused_with_what_to_write(plan, old, new, says):
    assert old in EVENING
    path = plan("Clubs: 4-iron", EVENING.replace(old, new))
    with pytest.raises(BenchError) as refused:
        read_plan(path)
    assert says in str(refused.value)
    assert str(path) in str(refused.value)


def test_a_plan_without_clubs_without_evenings_or_without_a_file_is_refused(plan, tmp_path):
    for cells, says in ((("# A course", EVENING), "Clubs"), (("Clubs: 4-iron",), "(none)")):
        path = plan(*cells)
        with pytest.raises(BenchError) as refused:
            read_plan(path)
        assert says in str(refused.value)
    with pytest.raises(BenchError, match="no such file"):
        read_plan(tmp_path / "nowhere.ipynb")
