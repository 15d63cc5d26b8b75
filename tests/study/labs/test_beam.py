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


def test_lesson_the_stiffness_of_the_tip_section_by_hand():
    """E from the mechanics' own source; the rest is the second moment of a ring."""
    outer, wall = 9.40, 0.406
    inner = outer - 2 * wall
    assert inner == pytest.approx(8.59, abs=0.005)
    ring = math.pi / 64 * (outer**4 - 8.59**4)
    assert ring == pytest.approx(116, abs=0.5)
    assert STEEL_YOUNGS_MODULUS_PA == 210e9
    assert pytest.approx(24.4, abs=0.05) == 210_000 * 116 / 1_000_000
    wide, inside = 0.5537 * 25.4, (0.5537 - 2 * 0.014) * 25.4
    assert 0.21 * math.pi / 64 * (wide**4 - inside**4) == pytest.approx(75.6, abs=0.05)
    default = bend(START, DEFAULT)
    assert default.tip_ei_n_m2 == pytest.approx(24.4, abs=0.05)
    assert default.clamp_ei_n_m2 == pytest.approx(75.6, abs=0.05)
    assert default.shaft.scale_factor == pytest.approx(1, abs=0.0005)
    assert pytest.approx(0.406, abs=0.0005) == 0.016 * 25.4
    assert default.shaft.ei_at(6.0) == pytest.approx(24.2, abs=0.05)
    assert 3 < 75.6 / 24.4 < 3.2


def test_lesson_what_it_asks_to_predict():
    """Cut nothing at all: 0.8 in further; an inch from butt to tip: less bend; off the tip brings more cpm."""
    default = bend(START, DEFAULT)
    raw = bend(START, BeamParams(0.0, 0.0, 1000.0, HUNG))
    assert raw.deflection_in - default.deflection_in == pytest.approx(0.8, abs=0.05)
    assert bend(START, BeamParams(5.0, 1.1, 1000.0, HUNG)).deflection_in < default.deflection_in


def test_lesson_where_it_bends():
    """Cubes by hand: in a tube of one width the bend up to a part of the length is that part to the third power."""
    table = thirds_table()
    shares, plain = table["share of the bend (%)"], table["share in a tube of one width (%)"]
    assert list(shares) == pytest.approx([7, 34, 59], abs=0.5)
    assert list(plain) == pytest.approx([100 / 27, 700 / 27, 1900 / 27], abs=0.001)
    assert shares.sum() == pytest.approx(100)
    shaft = lesson_shaft()
    free = shaft.length_in - shaft.clamp_in
    steps = [0.0, *(edge for edge in shaft.shaft.edges_in if 0 < edge < free), free / 3, 2 * free / 3, free]
    bends = [
        (low, integrate.quad(lambda t: t**2 / shaft.shaft.ei_at(t), low + 1e-12, high - 1e-12)[0])
        for low, high in itertools.pairwise(sorted(steps))
    ]
    whole = sum(bend for _, bend in bends)
    for number, share in enumerate(shares):
        third = sum(bend for low, bend in bends if number * free / 3 <= low < (number + 1) * free / 3 - 1e-9)
        assert share == pytest.approx(100 * third / whole, abs=0.05)
    assert list(table["EI (N m²)"]) == ["24 to 30", "30 to 51", "51 to 76"]


def test_lesson_exercises():
    """A: wider than the tip and a little softer. B: flex S bends 1.9 mm less. C: the same cpm by the butt alone."""
    outer, inner = 0.3831 * 25.4, (0.3831 - 2 * 0.014) * 25.4
    assert 0.21 * math.pi / 64 * (outer**4 - inner**4) == pytest.approx(24.2, abs=0.05)
    assert bend(START, DEFAULT).shaft.ei_at(6.0) < bend(START, DEFAULT).tip_ei_n_m2
    assert pytest.approx(0.6) == 42 - 5.5 - 35.9
    at_s = bend(START, BeamParams(5.5, 0.6, 1000.0, HUNG))
    assert (bend(START, DEFAULT).deflection_in - at_s.deflection_in) * 25.4 == pytest.approx(1.9, abs=0.05)
    assert at_s.frequency_cpm == pytest.approx(START.flex_scale.frequency_cpm[2], rel=1e-9)
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
