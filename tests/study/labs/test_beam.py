"""The lab on the shaft as a beam: drawn is what is computed, and what lesson 06 says is so."""

import dataclasses
import itertools
import math

import pytest
from scipy import constants, integrate

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.mechanics.tube import STEEL_YOUNGS_MODULUS_PA
from trimkit.parts.errors import BenchError
from trimkit.parts.units import both_units
from trimkit.study import shaft_beam_lab
from trimkit.study.labs.beam import HUNG, SWING, BeamParams, bend, lesson_shaft, thirds_table

LAB = shaft_beam_lab
START = build_set(shipped_order()).club("7-iron")
DEFAULT = BeamParams(4.0, 2.1, 1000.0, HUNG)
ENDS = [(0.0, 4.0, 200.0, SWING), (3.0, 2.0, 850.0, HUNG), (6.0, 0.0, 1500.0, HUNG)]


def test_the_lab_begins_with_the_shaft_of_the_class_s_7_iron(lab):
    assert lab.params == DEFAULT
    assert lab.result.length_in == pytest.approx(START.plan.cut_length_in)
    assert lab.result.frequency_cpm == pytest.approx(START.frequency_cpm, rel=1e-9)


@pytest.mark.parametrize(("tip", "butt", "load", "bends"), ENDS)
def test_ends_and_middle_show_what_the_pure_function_says(lab, tip, butt, load, bends):
    lab.set(tip_trim_in=tip, butt_trim_in=butt, load_g=load, bends=bends)
    pure = bend(START, BeamParams(tip, butt, load, bends))
    assert lab.readout["tip deflection"].value == pure.deflection_in
    assert lab.readout["frequency, head on"].value == pure.frequency_cpm
    assert lab.readout["EI at the tip"].value == pure.tip_ei_n_m2
    assert lab.readout["EI at the clamp"].value == pure.clamp_ei_n_m2
    assert f"{pure.deflection_in:.2f} in" in lab.sentence
    assert f"With {both_units(tip)} off the tip and {both_units(butt)} off the butt" in lab.sentence
    drawn = lab.scene.live["bent"].get_data()
    assert drawn[1] == pytest.approx((pure.hung if bends == HUNG else pure.swing)[1])


def test_the_whole_curve_stays_within_the_fixed_axes(lab):
    lab.set(tip_trim_in=0.0, butt_trim_in=0.0, load_g=1500.0)
    low, high = sorted(lab.figure.axes[1].get_ylim())
    down = lab.scene.live["bent"].get_ydata()
    assert low < down.min()
    assert down.max() < high


@pytest.mark.parametrize(("tip", "butt"), [(0.0, 0.0), (4.0, 2.1), (6.0, 4.0)])
def test_the_tip_s_deflection_is_that_of_the_unit_load_method(tip, butt):
    """Unit-load method, any textbook on strength of materials: u = F times the integral of t^2/EI, t from the tip."""
    shaft = bend(START, BeamParams(tip, butt, 1000.0, HUNG))
    free = shaft.length_in - shaft.clamp_in
    steps = [0.0, *(edge for edge in shaft.shaft.edges_in if 0 < edge < free), free]
    parts = [
        integrate.quad(lambda t: t**2 / shaft.shaft.ei_at(t), low + 1e-12, high - 1e-12)[0]
        for low, high in itertools.pairwise(steps)
    ]
    expected_m = constants.g * sum(parts) * constants.inch**3
    assert shaft.deflection_in * constants.inch == pytest.approx(expected_m, rel=1e-9)


def test_the_drawn_curve_ends_at_the_tip_s_deflection_and_at_one_inch():
    for tip, butt in ((0.0, 0.0), (4.0, 2.1), (6.0, 4.0)):
        shaft = bend(START, BeamParams(tip, butt, 700.0, HUNG))
        places, down = shaft.hung
        assert down[0] == pytest.approx(shaft.deflection_in, rel=1e-9)
        assert (places[0], places[-1]) == pytest.approx((shaft.length_in + 0.1, 5.0))
        assert down[-1] == pytest.approx(0.0, abs=1e-12)
        places, down = shaft.swing
        assert down[0] == pytest.approx(1.0)
        assert places[0] == pytest.approx(shaft.length_in + 0.1 - START.plan.wanted.head.bore_depth_in)


def test_the_ghost_is_bent_by_the_same_as_the_shaft(lab):
    before = lab.overlay.background()
    lab.set(bends=SWING, tip_trim_in=5.5)
    assert lab.overlay.background() == before
    assert lab.scene.live["before"].get_ydata() == pytest.approx(lab.reference.swing[1])


def test_what_cannot_be_cut_is_said(lab):
    with pytest.raises(BenchError, match="tip trim"):
        lab.set(tip_trim_in=7.0)
    with pytest.raises(BenchError, match="less than the shaft's length"):
        bend(START, BeamParams(40.0, 10.0, 500.0, HUNG))


# What lesson 06 says


def test_lesson_the_stiffness_along_the_shaft_by_hand():
    """E from the mechanics' own source; the rest is the second moment of a ring."""
    assert STEEL_YOUNGS_MODULUS_PA == 210e9

    def ei_n_m2(outer_in, wall_in):
        outer, inner = 25.4 * outer_in, 25.4 * (outer_in - 2 * wall_in)
        return 0.21 * math.pi / 64 * (outer**4 - inner**4)

    default = bend(START, DEFAULT)
    assert default.tip_ei_n_m2 == pytest.approx(ei_n_m2(0.370, 0.016), rel=0.001)
    assert default.clamp_ei_n_m2 == pytest.approx(ei_n_m2(0.5537, 0.014), rel=0.001)
    assert default.shaft.scale_factor == pytest.approx(1, abs=0.0005)
    # Above the first step the tube is wider and its wall thinner: a hair softer.
    assert default.shaft.ei_at(6.0) == pytest.approx(ei_n_m2(0.3831, 0.014), rel=0.001)
    assert 0.98 < ei_n_m2(0.3831, 0.014) / ei_n_m2(0.370, 0.016) < 1


def test_lesson_what_it_asks_to_predict():
    """An inch more off the tip and an inch less off the butt: less bend."""
    assert bend(START, BeamParams(5.0, 1.1, 1000.0, HUNG)).deflection_in < bend(START, DEFAULT).deflection_in


def test_lesson_where_it_bends():
    """Unit-load method: the bend up to a place is the integral of F t^2/EI; in a plain tube, by hand, its cube."""
    table = thirds_table()
    assert list(table["in a plain tube (%)"]) == [round(100 * part / 27) for part in (1, 7, 19)] == [4, 26, 70]
    shaft = lesson_shaft()
    free = shaft.length_in - shaft.clamp_in
    assert list(table.index) == [f"{free * part:.1f}" for part in (1 / 3, 2 / 3, 1)]
    places = [0.0, *(edge for edge in shaft.shaft.edges_in if 0 < edge < free), free / 3, 2 * free / 3, free]
    force = shaft.params.load_g * 1e-3 * constants.g
    bends = [
        (low, integrate.quad(lambda t: force * t**2 / shaft.shaft.ei_at(t), low + 1e-12, high - 1e-12)[0])
        for low, high in itertools.pairwise(sorted(places))
    ]
    thirds = [
        1000 * constants.inch**3 * sum(bend for low, bend in bends if start <= low + 1e-9 < start + free / 3)
        for start in (0, free / 3, 2 * free / 3)
    ]
    assert list(table["this third adds (mm)"]) == pytest.approx(thirds, rel=1e-6)
    assert list(table["the tip drops (mm)"]) == pytest.approx(list(itertools.accumulate(thirds)), rel=1e-6)
    assert list(table["share of the whole (%)"]) == [round(100 * third / sum(thirds)) for third in thirds]
    assert table["the tip drops (mm)"].iloc[-1] == pytest.approx(25.4 * shaft.deflection_in, rel=1e-12)


def test_lesson_half_the_weight_is_half_the_bend():
    half = bend(START, dataclasses.replace(DEFAULT, load_g=500.0)).deflection_in
    assert 2 * half == pytest.approx(bend(START, DEFAULT).deflection_in, rel=1e-12)


@pytest.mark.parametrize("bends", [HUNG, SWING])
def test_the_drawn_tube_is_as_wide_as_the_shaft_and_its_steps_are_the_shafts(lab, bends):
    lab.set(bends=bends, tip_trim_in=5.0, butt_trim_in=1.1)
    now = lab.result
    xy = lab.scene.live["tube"].get_xy()[:-1]
    upper, lower = xy[: len(xy) // 2], xy[: len(xy) // 2 - 1 : -1]
    assert upper[:, 0] == pytest.approx(lower[:, 0])
    wide = lower[:, 1] - upper[:, 1]
    assert (wide[0], wide[-1]) == pytest.approx((0.370, 0.580))
    drawn = sorted(segment[0][0] for segment in lab.scene.live["steps"].get_segments())
    # 5 in off the tip and 1.1 in off the butt of 42 in, 0.1 in of cap: a step at p from the raw tip is at 41 - p.
    places = [section.from_tip_in for section in START.plan.wanted.shaft.sections[1:]]
    assert drawn == pytest.approx(sorted(41.0 - place for place in places))
    centre = (upper[:, 1] + lower[:, 1]) / 2
    assert centre[0] == pytest.approx(now.deflection_in if bends == HUNG else 1.0)
    assert centre[upper[:, 0] < 5.0] == pytest.approx(0.0, abs=1e-12)
    assert upper[0, 0] == pytest.approx(36.0 if bends == HUNG else 36.0 - 1.25)
    assert lab.scene.live["weight"].get_visible() == (bends == HUNG)
    assert lab.scene.live["head"].get_visible() == (bends == SWING)


def test_a_heavier_weight_is_drawn_larger_and_hangs_from_the_tip(lab):
    for load, high in ((500.0, 0.25), (1500.0, 0.75)):
        lab.set(load_g=load)
        weight = lab.scene.live["weight"]
        assert weight.get_height() == pytest.approx(high)
        assert weight.get_x() + weight.get_width() / 2 == pytest.approx(36.0)
        (_, top), (_, bottom) = lab.scene.live["string"].get_xydata()
        assert (top, bottom) == pytest.approx((lab.result.deflection_in, weight.get_y()))


def test_the_head_is_on_the_ground_line_at_the_end_of_the_shaft(lab):
    lab.set(bends=SWING)
    outline = lab.scene.live["head"].get_xy()
    assert outline[:, 0].min() == pytest.approx(36.0 + 1.0 - 2.25)
    assert outline[:, 0].max() == pytest.approx(36.0 + 1.0)
    assert outline[:, 1].max() < lab.figure.axes[1].get_ylim()[0]


def test_the_lesson_s_shaft_is_the_lab_s_default(lab):
    assert lesson_shaft().deflection_in == lab.result.deflection_in
