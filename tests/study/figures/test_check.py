"""Figures of a set's checks: the check's own numbers are drawn, every axis names its unit, no label is cut off."""

import io
from dataclasses import replace

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from trimkit.check.doublecheck import check_cards
from trimkit.check.stepworth import flex_gaps_cpm, step_worth
from trimkit.club.card import card_of
from trimkit.club.order import shipped_order
from trimkit.club.set import build_set, plan_order
from trimkit.parts.errors import ModelError
from trimkit.study.figures import check as setfigures

ORDER = shipped_order()
CARDS = [card_of(plan, ORDER.assembly) for plan in plan_order(ORDER).every_plan()]
WRONG = [*CARDS[:5], replace(CARDS[5], tip_trim_in=5.5), *CARDS[6:-1], replace(CARDS[-1], tip_trim_in=5.25)]
RIGHT, STOPPED = check_cards(CARDS), check_cards(WRONG)
STEPS = (
    *step_worth(build_set(shipped_order("taper_soft_step")), 1),
    *step_worth(build_set(shipped_order("taper_soft_step")), 1, flex_gaps_cpm(build_set(ORDER), "R", "S"), "R to S"),
)
FIGURES = {
    "line": lambda: setfigures.set_line_figure(RIGHT),
    "line, stopped": lambda: setfigures.set_line_figure(STOPPED),
    "deviations": lambda: setfigures.deviations_figure(RIGHT),
    "deviations, stopped": lambda: setfigures.deviations_figure(STOPPED),
    "steps": lambda: setfigures.step_worth_figure(STEPS),
}


def drawn(figure):
    FigureCanvasAgg(figure)
    figure.savefig(io.BytesIO(), format="png")
    (axes,) = figure.axes
    return axes


def boxes(figure, axes):
    """The boxes of all labels in pixels, once drawn."""
    renderer = figure.canvas.get_renderer()
    texts = [text for text in axes.texts if text.get_text()]
    return {text.get_text(): text.get_window_extent(renderer) for text in texts}


@pytest.mark.parametrize("name", FIGURES)
def test_axes_name_their_units_and_nothing_is_cut_off(name):
    figure = FIGURES[name]()
    axes = drawn(figure)
    assert any(unit in axes.get_ylabel() for unit in ("(cpm)", "(flexes)"))
    assert axes.get_xlabel()
    width, height = figure.canvas.get_width_height()
    renderer = figure.canvas.get_renderer()
    low, high = sorted(axes.get_xlim())
    # A tick beyond the axis has a label too, but it is never drawn.
    ticks = [label for label in axes.get_xticklabels() if low <= label.get_position()[0] <= high]
    extra = [axes.xaxis.label, axes.yaxis.label, *ticks, *figure.legends]
    everything = [*boxes(figure, axes).values(), *(each.get_window_extent(renderer) for each in extra)]
    for box in everything:
        assert box.x0 >= 0
        assert box.y0 >= 0
        assert box.x1 <= width
        assert box.y1 <= height


@pytest.mark.parametrize("name", FIGURES)
def test_no_two_labels_overlap(name):
    figure = FIGURES[name]()
    found = list(boxes(figure, drawn(figure)).items())
    for number, (one, box) in enumerate(found):
        for other, second in found[number + 1 :]:
            assert not box.overlaps(second), f"{one} over {other}"


def test_the_clubs_are_drawn_where_the_check_has_them():
    axes = drawn(setfigures.set_line_figure(STOPPED))
    points = {
        (float(x), float(y))
        for line in axes.lines
        if line.get_label() in ("iron", "wedge", "hybrid")
        for x, y in zip(line.get_xdata(), line.get_ydata(), strict=True)
    }
    assert points == {(club.plan.playing_length_in, club.frequency_cpm) for club in STOPPED.clubs}
    ringed = next(line for line in axes.lines if line.get_label() == "stopped")
    assert set(ringed.get_ydata()) == {club.frequency_cpm for club in STOPPED.stopped}
    assert len(STOPPED.stopped) == 2
    low, high = axes.get_xlim()
    assert low > high  # longer clubs on the left


def test_the_bars_are_the_deviations_and_the_band_the_tolerance():
    axes = drawn(setfigures.deviations_figure(RIGHT))
    bars = [patch.get_height() for patch in axes.patches if patch.get_width() == pytest.approx(0.6)]
    by_length = sorted(RIGHT.clubs, key=lambda club: -club.plan.playing_length_in)
    assert bars == pytest.approx([club.deviation_cpm for club in by_length])
    edges = {float(line.get_ydata()[0]) for line in axes.lines}
    assert edges == {-2.0, 0.0, 2.0}


def test_the_steps_are_the_mechanics_and_the_rule_stands_beside_them():
    axes = drawn(setfigures.step_worth_figure(STEPS))
    curves = {line.get_label(): list(line.get_ydata()) for line in axes.lines}
    assert curves["mechanics; one flex: R to S"] == [row.mechanics_flexes for row in STEPS if row.yardstick == "R to S"]
    assert set(curves["the rule: −0.25 flex"]) == {-0.25}


def test_the_sentence_says_who_is_stopped_by_how_much_and_under_which_tolerance():
    assert "all 10 clubs agree" in setfigures.check_sentence(RIGHT)
    said = setfigures.check_sentence(STOPPED)
    for club in STOPPED.stopped:
        off = f"{club.deviation_cpm:+.1f} cpm".replace("-", "−")
        assert f"{club.card.club} ({off})" in said
    assert "±2 cpm (from memory, unverified)" in said
    assert setfigures.set_line_picture(STOPPED).sentence == setfigures.deviations_picture(STOPPED).sentence == said


def test_a_club_that_cannot_be_is_left_out_of_the_picture_but_not_of_the_sentence():
    check = check_cards([replace(CARDS[0], tip_trim_in=80.0), *CARDS[1:]])
    axes = drawn(setfigures.set_line_figure(check))
    assert "3 hyb" not in {text.get_text() for text in axes.texts}
    assert "3-hybrid (no shaft can be cut like this)" in setfigures.check_sentence(check)


def test_nothing_to_draw_is_refused():
    check = check_cards([replace(CARDS[0], tip_trim_in=80.0)])
    with pytest.raises(ModelError, match="no club"):
        setfigures.set_line_figure(check)
    with pytest.raises(ModelError, match="no stepped club"):
        setfigures.step_worth_figure(())
