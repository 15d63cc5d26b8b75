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
from trimkit.study.labs.beam import HUNG, SWING, BeamParams, bend, cut_table, lesson_shaft, thirds_table

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
    assert lab.readout["with the head"].value == pure.frequency_cpm
    assert lab.readout["EI at the tip"].value == pure.tip_ei_n_m2
    assert lab.readout["EI at the clamp"].value == pure.clamp_ei_n_m2
    assert lab.readout["its mass"].value == pure.mass_g
    assert f"{pure.deflection_in:.2f} in" in lab.sentence
    assert f"With {both_units(tip)} off the tip and {both_units(butt)} off the butt" in lab.sentence
    assert f"{pure.mass_g:.1f} g" in lab.sentence
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


def test_lesson_two_uniform_beams_lie_around_the_shaft():
    load, length = 1.000 * 9.81, (35.9 + 0.1 - 5) * 25.4 / 1000
    assert length == pytest.approx(0.787, abs=0.0005)
    moved = load * 0.787**3 / 3
    assert moved == pytest.approx(1.594, abs=0.0005)
    soft, stiff = 1000 * 1.594 / 24.4, 1000 * 1.594 / 75.6
    assert (soft, stiff) == pytest.approx((65.3, 21.1), abs=0.05)
    real = bend(START, DEFAULT).deflection_in
    assert real == pytest.approx(1.16, abs=0.005)
    assert real * 25.4 == pytest.approx(29.5, abs=0.05)
    # "The shaft lies between the two", although one short piece is a little softer than the tip.
    default = bend(START, DEFAULT)
    free = default.length_in - default.clamp_in
    softer = [at for at in range(int(free)) if default.shaft.ei_at(float(at)) < default.tip_ei_n_m2 - 0.01]
    assert softer == [5, 6]
    assert stiff < real * 25.4 < soft


def test_lesson_what_it_asks_to_predict():
    """Cut nothing at all: 0.8 in further; an inch from butt to tip: less bend; off the tip brings more cpm."""
    default = bend(START, DEFAULT)
    raw = bend(START, BeamParams(0.0, 0.0, 1000.0, HUNG))
    assert raw.deflection_in - default.deflection_in == pytest.approx(0.8, abs=0.05)
    assert bend(START, BeamParams(5.0, 1.1, 1000.0, HUNG)).deflection_in < default.deflection_in


def test_lesson_where_it_bends():
    low, middle, high = thirds_table()["share_percent"]
    assert (low, middle, high) == pytest.approx((7, 34, 59), abs=0.5)
    assert low + middle + high == pytest.approx(100)


def test_lesson_the_cuts():
    table = cut_table()
    assert list(table.cut_length_in) == pytest.approx([35.9, 35.9, 34.9, 34.9])
    assert table.deflection_in[1] - table.deflection_in[0] == pytest.approx(-0.05, abs=0.005)
    assert table.with_head_cpm[1] - table.with_head_cpm[0] == pytest.approx(7, abs=0.05)
    assert table.mass_g[1] - table.mass_g[0] == pytest.approx(0.9, abs=0.05)
    butt = table.with_head_cpm[2] - table.with_head_cpm[0]
    tip = table.with_head_cpm[3] - table.with_head_cpm[0]
    assert (butt, tip) == pytest.approx((10.9, 18.0), abs=0.05)
    double = bend(START, dataclasses.replace(DEFAULT, load_g=500.0)).deflection_in * 2
    assert double == pytest.approx(bend(START, DEFAULT).deflection_in, rel=1e-12)


def test_lesson_exercises():
    """Exercises 1 to 3: wider than the tip and softer; flex S bends 1.9 mm less; butt alone needs 1 in."""
    outer, inner = 0.3831 * 25.4, (0.3831 - 2 * 0.014) * 25.4
    assert 0.21 * math.pi / 64 * (outer**4 - inner**4) == pytest.approx(24.2, abs=0.05)
    assert bend(START, DEFAULT).shaft.ei_at(6.0) < bend(START, DEFAULT).tip_ei_n_m2
    assert pytest.approx(0.6) == 42 - 5.5 - 35.9
    at_s = bend(START, BeamParams(5.5, 0.6, 1000.0, HUNG))
    assert (bend(START, DEFAULT).deflection_in - at_s.deflection_in) * 25.4 == pytest.approx(1.9, abs=0.05)
    assert at_s.frequency_cpm == pytest.approx(START.flex_scale.frequency_cpm[2], rel=1e-9)
    by_butt = [bend(START, BeamParams(4.0, butt, 1000.0, HUNG)).frequency_cpm for butt in (3.0, 3.1)]
    assert by_butt[0] < (by_butt[0] + by_butt[1]) / 2 < at_s.frequency_cpm < by_butt[1]


def test_the_lesson_s_shaft_is_the_lab_s_default(lab):
    assert lesson_shaft().deflection_in == lab.result.deflection_in
