"""The lab on scatter: readouts are the pure function's, texts keep apart, the ghost stands still."""

import itertools

import numpy as np
import pytest

from trimkit.shop.tolerance import TOLERANCES, Tolerances, first_order
from trimkit.study import tolerance_lab
from trimkit.study.labs.closeness import GROUPS, ToleranceParams, class_scatter, how_close
from trimkit.study.labs.tolerance import GOOD_AT_CPM, ROOM_CPM, SHOWN_SETS, TALLEST_CPM, percent

LAB = tolerance_lab
START = class_scatter()
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
    part, sets = pure.club_fractions.mean(), pure.sample.set_probability.value
    assert lab.readout["one club within"].value == pytest.approx(100 * part)
    assert lab.readout["all ten within"].value == 100 * sets
    assert lab.readout["to allow for 9 sets of 10"].value == pure.likely_cpm
    assert f"{100 * part:.1f} % of the clubs are within {allowed:g} cpm" in lab.sentence
    assert f"all ten clubs in {100 * sets:.1f} % of the sets" in lab.sentence
    assert f"{pure.first}, {percent(pure.shares[pure.first])} of the square" in lab.sentence
    drawn = {name: lab.scene.live[name].get_data() for name in ("within", "outside")}
    shown = np.concatenate([y for _, y in drawn.values()])
    assert sorted(shown) == sorted(pure.sample.deviation_cpm[:SHOWN_SETS].ravel())
    low, high = lab.figure.axes[0].get_ylim()
    assert all(GOOD_AT_CPM + 1 < y < high - 4 for y in shown)  # words above, the marks of good sets below
    assert low < GOOD_AT_CPM
    assert np.all(np.abs(drawn["within"][1]) <= allowed)
    assert np.all(np.abs(drawn["outside"][1]) > allowed)
    bad = set(np.round(drawn["outside"][0]))  # the columns with a cross
    good = set(lab.scene.live["good"].get_xdata())
    assert good == set(range(1, SHOWN_SETS + 1)) - bad
    assert f"{len(good)} of {SHOWN_SETS} sets" in lab.scene.live["says"].get_text()
    width, height = lab.figure.bbox.size
    boxes = boxes_of_texts(lab)
    for name, box in boxes.items():
        assert min(box.x0, box.y0) >= 0, name
        assert box.x1 <= width, name
        assert box.y1 <= height, name
    for one, other in itertools.combinations(boxes, 2):
        assert not boxes[one].overlaps(boxes[other]), (one, other)


@pytest.mark.parametrize(("allowed", "ei", "wall", "lengths", "head"), ENDS)
def test_the_five_squares_add_up_to_the_club_s(lab, allowed, ei, wall, lengths, head):
    """Pythagoras on what is drawn; each side is two standard deviations, and fits its place."""
    lab.set(allowed_cpm=allowed, ei_percent=ei, wall_percent=wall, lengths_in=lengths, head_mass_g=head)
    sides = {name: lab.scene.live[f"square {name}"].get_width() for name in (*GROUPS, "one club")}
    own = first_order(
        [club.plan for club in START.built.clubs], lab.params.tolerances, START.built.order.assembly
    ).effect_cpm
    for name, group in GROUPS.items():
        columns = [TOLERANCES.index(each) for each in group]
        assert sides[name] == pytest.approx(2 * np.sqrt((own[:, columns] ** 2).sum(axis=1).mean()), rel=0.01, abs=1e-9)
        assert lab.scene.live[f"side {name}"].get_text() == f"±{sides[name]:.1f}"
    assert np.hypot.reduce([sides[name] for name in GROUPS]) == pytest.approx(sides["one club"])
    assert lab.readout["one club: ±"].value == pytest.approx(sides["one club"])
    for (name, side), room in zip(sides.items(), ROOM_CPM.values(), strict=True):
        square = lab.scene.live[f"square {name}"]
        assert square.get_height() == side < room
        assert side < TALLEST_CPM
    lab.figure.draw_without_rendering()
    box = lab.scene.live["square one club"].get_window_extent()
    assert box.width == pytest.approx(box.height)


def test_the_lab_begins_with_the_bench_s_usual_tolerances(lab):
    assert lab.params.tolerances == Tolerances()
    budget = first_order([club.plan for club in START.built.clubs], Tolerances(), START.built.order.assembly)
    assert lab.result.budget.effect_cpm == pytest.approx(budget.effect_cpm, abs=1e-12)
    assert lab.result.budget.tolerances == TOLERANCES
    assert [name for name, _ in lab.result.budget.ranking][:3] == ["ei_percent", "wall_percent", "bbgl_in"]
    assert sum(lab.result.shares.values()) == pytest.approx(1.0, abs=1e-12)


def test_two_percentages_differ_by_points(lab):
    before = lab.readout["all ten within"].value
    lab.set(allowed_cpm=4.0)
    changes = {label: change for label, _number, change in lab.frame.readouts}
    assert changes["all ten within"] == f"({lab.readout['all ten within'].value - before:+.1f} % points)"
