"""The figures of assignment and tolerances show the numbers they are given, whole and without overlap."""

import itertools

import matplotlib.colors
import numpy as np
import pytest

from trimkit.club.clamp import FrequencyBench
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError
from trimkit.shop.assignment import Assignment, best_assignment, frequency_matrix, sorted_by_hand
from trimkit.shop.rawshaft import MeasuredShaft
from trimkit.study.figures.tolerance import assignment_picture
from trimkit.study.frame import style

PLANS = [club.plan for club in build_set(shipped_order()).clubs]
RNG = np.random.default_rng(1)
SHAFTS = [
    MeasuredShaft(f"no. {n}", float(f), float(g))
    for n, (f, g) in enumerate(RNG.normal((301.0, 116.4), (4.0, 1.0), (12, 2)))
]
MATRIX = frequency_matrix(PLANS, SHAFTS, FrequencyBench(205.0))
BEFORE, AFTER = sorted_by_hand(MATRIX), best_assignment(MATRIX)
FIGURES = {
    "assignment": lambda: assignment_picture(BEFORE, AFTER, 2.0).figure,
}


def drawn(figure):
    figure.draw_without_rendering()
    return figure


@pytest.mark.parametrize("name", FIGURES)
def test_every_letter_lies_on_the_paper_and_no_tick_label_on_its_neighbour(name):
    figure = drawn(FIGURES[name]())
    (axes,) = figure.axes
    paper = figure.bbox
    # matplotlib keeps labels of ticks outside the limits, which it does not draw.
    low, high = axes.get_xlim()
    xlabels = [label for label in axes.get_xticklabels() if low <= label.get_position()[0] <= high]
    texts = [*xlabels, *axes.get_yticklabels(), axes.xaxis.label, axes.yaxis.label, *axes.texts]
    for text in texts:
        box = text.get_window_extent()
        if text.get_text() and text.get_visible():
            assert paper.x0 - 1 <= box.x0 < box.x1 <= paper.x1 + 1, text.get_text()
            assert paper.y0 - 1 <= box.y0 < box.y1 <= paper.y1 + 1, text.get_text()
    for labels, side in ((xlabels, "x"), (axes.get_yticklabels(), "y")):
        shown = [label.get_window_extent() for label in labels if label.get_text()]
        ends = sorted((getattr(box, f"{side}0"), getattr(box, f"{side}1")) for box in shown)
        assert all(one[1] <= two[0] + 0.5 for one, two in itertools.pairwise(ends))


@pytest.mark.parametrize("name", FIGURES)
def test_axes_name_their_units(name):
    (axes,) = FIGURES[name]().axes
    words = axes.get_xlabel() + axes.get_ylabel()
    assert "(cpm)" in words or "(percent)" in words


def test_the_marks_of_an_assignment_are_its_deviations():
    (axes,) = assignment_picture(BEFORE, AFTER, 2.0).figure.axes
    marks = {line.get_marker(): line.get_ydata() for line in axes.lines if line.get_marker() != "None"}
    assert marks[style.REFERENCE.marker] == pytest.approx(BEFORE.deviation_cpm)
    assert marks[style.NOW.marker] == pytest.approx(AFTER.deviation_cpm)
    band = axes.patches[0]
    assert matplotlib.colors.to_hex(band.get_facecolor()) == style.ALLOWED_BAND.lower()


def test_sentences_say_the_numbers_of_the_figures():
    said = assignment_picture(BEFORE, AFTER, 2.0).sentence
    assert f"{AFTER.rms_cpm:.1f} cpm rms, worst {AFTER.worst_cpm:.1f}" in said


def test_assignments_of_different_clubs_are_not_compared():
    other = best_assignment(frequency_matrix(PLANS[:3], SHAFTS, FrequencyBench(205.0)))
    assert isinstance(other, Assignment)
    with pytest.raises(ModelError, match="different clubs"):
        assignment_picture(other, AFTER, 2.0)
