"""The lab on scatter: readouts are the pure function's, texts keep apart, the ghost stands still."""

import itertools

import numpy as np
import pytest

from trimkit.shop.tolerance import TOLERANCES, Tolerances, first_order
from trimkit.study import tolerance_lab
from trimkit.study.labs.closeness import GROUPS, ToleranceParams, class_scatter, how_close, usual_params
from trimkit.study.labs.tolerance import SHOWN_SETS, percent

LAB = tolerance_lab
START = class_scatter()
USUAL = usual_params()
ENDS = [
    (0.5, 3.0, 2.0, 0.125, 3.0),
    (6.0, 0.0, 0.0, 0.0, 0.0),
    (2.75, 1.25, 0.5, 3 / 64, 1.25),
]


def boxes_of_texts(lab):
    lab.figure.draw_without_rendering()
    return {name: artist.get_window_extent() for name, artist in lab.scene.live.items() if hasattr(artist, "get_text")}


@pytest.mark.parametrize(("allowed", "ei", "wall", "lengths", "head"), ENDS)
def test_ends_and_middle_show_what_the_pure_function_says(lab, allowed, ei, wall, lengths, head):
    lab.set(allowed_cpm=allowed, ei_percent=ei, wall_percent=wall, lengths_in=lengths, head_mass_g=head)
    pure = how_close(START, ToleranceParams(allowed, ei, wall, lengths, head))
    assert lab.readout["one club within"].value == pytest.approx(100 * pure.club_fractions.mean())
    assert lab.readout["all ten"].value == 100 * pure.sample.set_probability.value
    assert lab.readout["±cpm for 9 sets of 10"].value == pure.likely_cpm
    assert f"all ten in {100 * pure.sample.set_probability.value:.1f} %" in lab.sentence
    assert f"{pure.first}: {percent(pure.shares[pure.first])}" in lab.sentence
    (x,), (y,) = lab.scene.live["point whole set"].get_data()
    assert (x, y) == (allowed, 100 * pure.sample.set_probability.value)
    drawn = [lab.scene.live[name].get_ydata() for name in ("within", "outside")]
    assert sum(map(len, drawn)) == SHOWN_SETS * len(START.built.clubs)
    low, high = lab.figure.axes[0].get_ylim()
    assert all(low < y < high - 4 for y in np.concatenate(drawn))  # the words stand above
    assert np.all(np.abs(drawn[0]) <= allowed)
    assert np.all(np.abs(drawn[1]) > allowed)
    width, height = lab.figure.bbox.size
    boxes = boxes_of_texts(lab)
    for name, box in boxes.items():
        assert min(box.x0, box.y0) >= 0, name
        assert box.x1 <= width, name
        assert box.y1 <= height, name
    for one, other in itertools.combinations(boxes, 2):
        assert not boxes[one].overlaps(boxes[other]), (one, other)
    for name in GROUPS:
        end = lab.figure.axes[1].transData.transform((100 * pure.shares[name], 0))[0]
        assert end < boxes[f"part {name}"].x0


def test_the_lab_begins_with_the_bench_s_usual_tolerances(lab):
    assert lab.params.tolerances == Tolerances()
    budget = first_order([club.plan for club in START.built.clubs], Tolerances(), START.built.order.assembly)
    assert lab.result.budget.effect_cpm == pytest.approx(budget.effect_cpm, abs=1e-12)
    assert lab.result.budget.tolerances == TOLERANCES
    assert [name for name, _ in lab.result.budget.ranking][:3] == ["ei_percent", "wall_percent", "bbgl_in"]
    assert sum(lab.result.shares.values()) == pytest.approx(1.0, abs=1e-12)


def test_two_percentages_differ_by_points(lab):
    before = lab.readout["all ten"].value
    lab.set(allowed_cpm=4.0)
    changes = {label: change for label, _number, change in lab.frame.readouts}
    assert changes["all ten"] == f"({lab.readout['all ten'].value - before:+.1f} % points)"
