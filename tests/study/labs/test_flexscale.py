"""The lab on frequency and flex: the rule's line, the mechanics' curve, and what lesson 07 says is so."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from trimkit.club.club import build_club, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import BenchError
from trimkit.parts.units import both_units
from trimkit.study import flex_scale_lab
from trimkit.study.labs.flexscale import (
    ORDERED,
    OWN,
    FlexParams,
    lesson_reading,
    read_flex,
    reading_table,
    straightness_table,
)
from trimkit.trim.flexplace import FlexPlace

LAB = flex_scale_lab
START = build_set(shipped_order()).club("7-iron")
DEFAULT = FlexParams(4.0, 273.3, 5.0, 0.0, ORDERED)
ENDS = [
    (2.75, 283.3, 4.0, 0.3, ORDERED),
    (5.5, 263.3, 6.0, 0.0, OWN),
    (4.0, 273.3, 5.0, 0.14, OWN),
]


def test_the_lab_begins_with_the_club_of_the_class(lab):
    assert lab.params == DEFAULT
    assert lab.result.frequency_cpm == START.frequency_cpm
    assert lab.result.scale == START.flex_scale
    assert lab.result.residual_cpm == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("trim", "head", "clamp", "compliance", "scale"), ENDS)
def test_ends_and_middle_show_what_the_pure_function_says(lab, trim, head, clamp, compliance, scale):
    lab.set(tip_trim_in=trim, head_mass_g=head, clamp_in=clamp, compliance_deg=compliance, scale=scale)
    pure = read_flex(START, FlexParams(trim, head, clamp, compliance, scale))
    assert [readout.value for readout in lab.readouts] == [
        trim,
        pure.frequency_cpm,
        pure.frequency_cpm,
        pure.rule_cpm,
        pure.residual_cpm,
        pure.residual_flex,
    ]
    assert f"{pure.frequency_cpm:.1f} cpm" in lab.sentence
    assert pure.scale.say(pure.rule_cpm) in lab.sentence
    assert lab.scene.live["club"].get_data() == ([trim], [pure.frequency_cpm])
    low, high = lab.figure.axes[0].get_ylim()
    assert low < lab.scene.live["curve"].get_ydata().min()
    assert lab.scene.live["curve"].get_ydata().max() < high


@pytest.mark.parametrize("trim", [2.75, 4.75])
def test_the_frequency_is_that_of_the_club_cut_so(trim):
    cut = build_club(recut(START.plan, trim, START.plan.playing_length_in), START.assembly)
    assert lesson_reading(tip_trim_in=trim).frequency_cpm == pytest.approx(cut.frequency_cpm, rel=1e-12)


@pytest.mark.parametrize("text", ["A/R 0.25", "R/S 1/3"])
def test_the_rule_s_flex_is_the_one_the_schedule_trims_for(text):
    """The trade's rule in the other wing of the house: a place between flexes is linear in tip trim."""
    wanted = START.plan.wanted
    place = FlexPlace.parse(text, wanted.shaft)
    trim = wanted.table.trim_in(START.plan.equivalent, place)
    now = lesson_reading(tip_trim_in=trim)
    assert now.scale.say(now.rule_cpm) == f"{place.softer}/{place.stiffer} {place.fraction:.2f}"


def test_the_curve_passes_through_the_club():
    now = lesson_reading(tip_trim_in=4.5)
    trims, cpm = now.curve
    assert cpm[np.searchsorted(trims, 4.5)] == pytest.approx(now.frequency_cpm, rel=1e-12)
    assert (np.diff(cpm) > 0).all()


def test_what_no_club_can_be_is_refused(lab):
    with pytest.raises(BenchError, match="clamp"):
        lab.set(clamp_in=9.0)
    with pytest.raises(BenchError):
        read_flex(START, FlexParams(4.0, -1.0, 5.0, 0.0, ORDERED))


def test_an_error_in_the_lab_is_said_in_the_lab():
    broken = flex_scale_lab()
    broken.declared = tuple(replace(each, high=60.0) if each.name == "clamp_in" else each for each in broken.declared)
    with pytest.raises(BenchError):
        broken.set(clamp_in=50.0)
    assert broken.result is None
    assert "clamp" in broken.sentence


# What lesson 07 says


def test_lesson_the_scale_of_this_club():
    scale = START.flex_scale
    assert scale.flexes == ("A", "R", "S")
    assert scale.frequency_cpm == pytest.approx((304.7, 313.0, 323.4), abs=0.05)
    assert lesson_reading().trims_in == (2.75, 4.0, 5.5)
    softer, stiffer = np.diff(scale.frequency_cpm)
    assert (softer, stiffer) == pytest.approx((8.3, 10.4), abs=0.05)


def test_lesson_the_worked_example():
    place = (4.5 - 4) / (5.5 - 4)
    assert place == pytest.approx(0.33, abs=0.005)
    by_rule = 312.99 + place * (323.44 - 312.99)
    assert by_rule == pytest.approx(316.47, abs=0.005)
    by_mechanics = (316.48 - 312.99) / (323.44 - 312.99)
    assert by_mechanics == pytest.approx(0.33, abs=0.005)
    now = lesson_reading(tip_trim_in=4.5)
    assert now.frequency_cpm == pytest.approx(316.48, abs=0.005)
    assert (now.scale.frequency_cpm[1], now.scale.frequency_cpm[2]) == pytest.approx((312.99, 323.44), abs=0.006)
    assert now.residual_cpm == pytest.approx(0.01, abs=0.01)
    back = (321 - 312.99) / 10.45
    assert back == pytest.approx(0.767, abs=0.0005)
    assert 4 + back * 1.5 == pytest.approx(5.15, abs=0.005)
    assert both_units(4 + back * 1.5) == "≈ 5 1/8 in (130.8 mm)"
    assert lesson_reading(tip_trim_in=4 + back * 1.5).frequency_cpm == pytest.approx(321, abs=0.1)


def test_lesson_the_line_is_straight_to_a_tenth_with_this_head_and_clamp_and_a_fifth_with_any():
    assert straightness_table()["residual_cpm"].abs().max() < 0.1
    for trim, head, clamp, compliance in itertools.product(
        np.arange(2.75, 5.51, 0.25), (263.3, 283.3), (4.0, 6.0), (0.0, 0.3)
    ):
        params = FlexParams(float(trim), head, clamp, compliance, OWN)
        own = read_flex(START, params)
        assert abs(own.residual_cpm) < 0.2


def test_lesson_what_the_rule_does_not_see():
    table = reading_table()
    change = table["frequency_cpm"] - table.loc["nothing", "frequency_cpm"]
    assert change["head 10 g lighter"] == pytest.approx(5.6, abs=0.05)
    assert change["clamp 4 in"] == pytest.approx(-10, abs=0.2)
    assert change["clamp 6 in"] == pytest.approx(11, abs=0.2)
    assert change["clamp compliance 0.2°"] == pytest.approx(-11, abs=0.5)
    assert set(table["flex_own_scale"]) == {"R/S 0.33"}
    assert len(set(table["flex_scale_as_ordered"])) == 5
    # "from half a flex to more than a whole one": places on the scale as ordered, A at 0, R at 1, S at 2.
    low, middle, high = START.flex_scale.frequency_cpm
    assert change["head 10 g lighter"] / (high - middle) == pytest.approx(0.5, abs=0.05)
    here = (table.loc["nothing", "frequency_cpm"] - middle) / (high - middle)
    for softer in ("clamp 4 in", "clamp compliance 0.2°"):
        assert 1.0 < here + (middle - table.loc[softer, "frequency_cpm"]) / (middle - low) < 1.3
    assert 1.0 < change["clamp 6 in"] / (high - middle) < 1.3


def test_lesson_the_compliance_of_a_clamp():
    """10 N m is the moment of about 1.3 kg on the free shaft's 31 in; 0.2 degrees under it are 2865 N m/rad."""
    assert pytest.approx(1.3, abs=0.05) == 10 / (9.81 * 31 * 0.0254)
    assert FlexParams(4.0, 273.3, 5.0, 0.2, ORDERED).root_spring_n_m_per_rad == pytest.approx(
        10 / (0.2 * math.pi / 180)
    )


def test_lesson_what_it_asks_to_predict():
    """A head 10 g lighter reads 5.6 cpm more and the rule stays at R; an inch more in the clamp reads 10.9 cpm more."""
    lighter, deeper = lesson_reading(head_mass_g=263.3), lesson_reading(clamp_in=6.0)
    assert lighter.residual_cpm == pytest.approx(5.6, abs=0.05)
    assert lighter.scale.say(lighter.rule_cpm) == "R"
    assert deeper.residual_cpm == pytest.approx(10.9, abs=0.05)


def test_lesson_exercises():
    half_way = lesson_reading(tip_trim_in=(4 + 5.5) / 2)
    assert half_way.scale.say(half_way.rule_cpm) == "R/S 0.50"
    assert half_way.scale.say(half_way.frequency_cpm) == "R/S 0.50"
    assert lesson_reading(compliance_deg=0.14).frequency_cpm == pytest.approx(305.5, abs=0.05)
    assert [lesson_reading(head_mass_g=grams).residual_flex for grams in (268.3, 268.8)] == pytest.approx(
        [0.26, 0.24], abs=0.005
    )


def test_a_compliance_too_small_to_divide_by_is_none():
    lab = flex_scale_lab()
    stiff = lab.result
    for compliance_deg in (5e-324, 1e-300, 1e-12):
        lab.set(compliance_deg=compliance_deg)
        assert lab.result.frequency_cpm == stiff.frequency_cpm
