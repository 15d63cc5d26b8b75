"""The figure of tolerances shows the numbers it is given, whole and without overlap."""

import itertools

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.shop.tolerance import TOLERANCES, Tolerances, first_order
from trimkit.study.figures.tolerance import SAID, contributions_picture

PLANS = [club.plan for club in build_set(shipped_order()).clubs]
BUDGET = first_order(PLANS)
FIGURES = {"contributions": lambda: contributions_picture(BUDGET).figure}


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


def test_bars_stand_in_the_order_in_which_tolerances_matter_and_add_up():
    (axes,) = contributions_picture(BUDGET).figure.axes
    lengths = [bar.get_width() for bar in axes.patches]
    assert lengths == sorted(lengths)
    assert sum(lengths) == pytest.approx(100)
    labels = [label.get_text() for label in axes.get_yticklabels()]
    assert labels[-1].startswith(SAID[BUDGET.ranking[0][0]])
    assert set(SAID) == set(TOLERANCES)
    assert all("±" in label for label in labels)


def test_a_tolerance_that_is_nought_is_a_bar_of_nought():
    only = Tolerances(**{name: float(name == "head_mass_g") for name in TOLERANCES})
    (axes,) = contributions_picture(first_order(PLANS, only)).figure.axes
    assert [bar.get_width() for bar in axes.patches][-2:] == pytest.approx([0.0, 100.0])
    assert [text.get_text() for text in axes.texts].count("0 %") == len(TOLERANCES) - 1


def test_the_sentence_says_the_numbers_of_the_figure():
    most = contributions_picture(BUDGET).sentence
    assert f"EI scatter brings {100 * BUDGET.ranking[0][1]:.0f} %" in most
