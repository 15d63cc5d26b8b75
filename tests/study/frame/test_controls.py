"""Controls: where a slider's thumb stops, and what a page is told of each."""

import pytest

from trimkit.study.frame.controls import Choice, Slider, Switch


def test_a_slider_stops_at_each_of_its_steps_and_at_both_ends():
    bbgl = Slider("bbgl_in", "BBGL", "in", 0.5, 2.5, 0.0625, 1.0)
    assert bbgl.positions == tuple(0.5 + k / 16 for k in range(33))
    tenths = Slider("x", "x", "", -0.2, 0.3, 0.1, 0.0).positions
    assert tenths == (-0.2, -0.1, 0.0, 0.1, 0.2, 0.3)
    assert str(tenths[2]) == "0.0"  # no −0
    assert Slider("x", "x", "", 0, 1, 0.3, 0).positions == (0, 0.3, 0.6, 0.9, 1)  # the upper end too


def test_a_default_between_two_steps_is_a_place_to_stop_at_too():
    slider = Slider("x", "x", "in", 0.0, 0.4, 0.1, 0.1625)
    assert slider.positions == (0.0, 0.1, 0.1625, 0.2, 0.3, 0.4)
    assert slider.positions[slider.nearest(0.17)] == 0.1625
    assert slider.positions[slider.nearest(0.19)] == 0.2
    assert [slider.nearest(value) for value in (0.0, 0.4)] == [0, 5]


def test_a_default_that_differs_from_its_step_by_rounding_is_that_step():
    assert Slider("x", "x", "", 0.0, 1.0, 0.1, 0.1 + 0.2).positions[3] == 0.1 + 0.2
    assert len(Slider("x", "x", "", 0.0, 1.0, 0.1, 0.1 + 0.2).positions) == 11


def test_a_slider_shows_each_of_its_steps():
    for step, decimals in ((1, 0), (0.5, 1), (0.25, 2), (0.125, 3), (0.0625, 4), (1 / 32, 4)):
        assert Slider("x", "x", "", 0, 10, step, 0).decimals == decimals


def test_a_drag_stops_at_every_position_of_a_coarse_slider_and_at_some_of_a_fine_one():
    coarse, fine = Slider("x", "x", "g", 0, 80, 1, 0), Slider("x", "x", "g", 0, 33.4, 0.1, 0)
    assert coarse.stops == coarse.positions
    assert len(fine.positions) == 335
    assert fine.stops == (*(pytest.approx(0.5 * stop) for stop in range(67)), 33.4)
    assert set(fine.stops) <= set(fine.positions)


def test_a_page_is_told_label_and_unit_of_each_control():
    slider = Slider("bbgl_in", "BBGL", "in", 0.5, 0.75, 0.125, 0.5).told()
    assert (slider["title"], slider["unit"], slider["decimals"]) == ("BBGL (in)", "in", 3)
    assert slider["positions"] == [0.5, 0.625, 0.75]
    assert Choice("c", "Club", ("3", "4"), "3").told()["options"] == ["3", "4"]
    assert Switch("s", "correct it", True).told()["default"] is True
