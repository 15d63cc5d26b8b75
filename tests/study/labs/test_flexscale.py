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
from trimkit.study import flex_scale_lab
from trimkit.study.labs.flexscale import (
    FlexParams,
    lesson_reading,
    read_flex,
    reading_table,
    straightness_table,
)
from trimkit.trim.flexplace import FlexPlace

LAB = flex_scale_lab
START = build_set(shipped_order()).club("7-iron")
DEFAULT = FlexParams(4.0, 273.3, 5.0, 0.0)
ENDS = [
    (2.75, 283.3, 4.0, 0.3),
    (5.5, 263.3, 6.0, 0.0),
    (4.0, 273.3, 5.0, 0.14),
]


def test_the_lab_begins_with_the_club_of_the_class(lab):
    assert lab.params == DEFAULT
    assert lab.result.frequency_cpm == pytest.approx(START.frequency_cpm, rel=1e-12)
    assert lab.result.ordered == START.flex_scale
    assert lab.result.own.frequency_cpm == pytest.approx(START.flex_scale.frequency_cpm, rel=1e-12)
    assert lab.result.by_rule == "R"


@pytest.mark.parametrize(("trim", "head", "clamp", "compliance"), ENDS)
def test_ends_and_middle_show_what_the_pure_function_says(lab, trim, head, clamp, compliance):
    lab.set(tip_trim_in=trim, head_mass_g=head, clamp_in=clamp, compliance_deg=compliance)
    pure = read_flex(START, FlexParams(trim, head, clamp, compliance))
    cpm = pure.frequency_cpm
    assert [str(readout) for readout in lab.readouts[1:]] == [
        f"{cpm:.1f} cpm",
        pure.by_rule,
        START.flex_scale.say(cpm),
        pure.own.say(cpm),
    ]
    assert lab.readouts[0].value == trim
    assert f"{cpm:.1f} cpm" in lab.sentence
    assert f"{START.flex_scale.say(cpm)} on the scale as ordered" in lab.sentence
    live = lab.scene.live
    for name, scale in (("ordered", START.flex_scale), ("own", pure.own)):
        assert live[f"{name} place"].get_xdata() == [cpm]
        assert live[f"{name} rule"].get_xdata() == [pure.rule_cpm(scale)]
        assert live[f"{name} said"].get_text() == scale.say(cpm)
    assert tuple(live["own scale"].get_xdata()) == pure.own.frequency_cpm
    assert [live[f"own {flex}"].get_position()[0] for flex in "ARS"] == list(pure.own.frequency_cpm)
    low, high = lab.figure.axes[1].get_xlim()
    assert low < min(*pure.own.frequency_cpm, cpm)
    assert max(*pure.own.frequency_cpm, cpm) < high


def test_the_flexes_of_the_own_scale_are_the_clubs_cut_to_them():
    """Each flex built anew by the club's own road, with that head in that clamp."""
    params = FlexParams(4.5, 263.3, 5.5, 0.1)
    wanted = START.plan.wanted
    lighter = replace(START.plan, wanted=replace(wanted, head=replace(wanted.head, head_mass_g=263.3)))
    clamp = replace(START.assembly, clamp_in=5.5, root_spring_n_m_per_rad=params.root_spring_n_m_per_rad)
    by_hand = [build_club(recut(lighter, trim, 37.0), clamp).frequency_cpm for trim in (2.75, 4.0, 5.5)]
    assert read_flex(START, params).own.frequency_cpm == pytest.approx(by_hand, rel=1e-12)


@pytest.mark.parametrize(("clamp", "trim", "free", "step"), [(5.0, 4.0, 31.0, 6.0), (6.0, 2.75, 30.0, 7.25)])
def test_the_drawn_club_moves_with_clamp_and_tip_trim(lab, clamp, trim, free, step):
    """By hand: 37 in of playing length, 1 in of BBGL, first step 9 in from the raw tip; from the ground line."""
    lab.set(clamp_in=clamp, tip_trim_in=trim)
    live = lab.scene.live
    for jaw in ("upper jaw", "lower jaw"):
        assert (live[jaw].get_x(), live[jaw].get_width()) == pytest.approx((37.0 - clamp, clamp))
    assert list(live["free"].get_xdata()) == pytest.approx([1.0, 1.0 + free])
    assert live["free text"].get_text() == f"free {free:g} in"
    assert live["clamp text"].get_text() == f"clamp {clamp:g} in"
    assert live["first step"].get_xdata() == pytest.approx([step])
    assert min(segment[0][0] for segment in live["drawn steps"].get_segments()) == pytest.approx(step)
    assert live["step text"].get_position()[0] == pytest.approx(step)


def test_a_clamp_that_gives_has_a_hinge_and_a_head_its_mass(lab):
    live = lab.scene.live
    assert not live["hinge"].get_visible()
    lab.set(compliance_deg=0.2, head_mass_g=268.3)
    assert live["hinge"].get_visible()
    assert live["hinge"].get_xdata() == pytest.approx([32.0])
    assert live["clamp text"].get_text() == "clamp 5 in, tilts 0.20°"
    assert live["head text"].get_text() == "head 268.3 g"


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
    assert now.by_rule == f"{place.softer}/{place.stiffer} {place.fraction:.2f}"


def test_what_no_club_can_be_is_refused(lab):
    with pytest.raises(BenchError, match="clamp"):
        lab.set(clamp_in=9.0)
    with pytest.raises(BenchError):
        read_flex(START, FlexParams(4.0, -1.0, 5.0, 0.0))


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


def test_lesson_the_line_is_straight_to_a_tenth_with_this_head_and_clamp_and_a_fifth_with_any():
    for trim in np.arange(2.75, 5.51, 0.25):
        now = lesson_reading(tip_trim_in=float(trim))
        assert abs(now.frequency_cpm - now.rule_cpm(now.own)) < 0.1
    for trim, head, clamp, compliance in itertools.product(
        np.arange(2.75, 5.51, 0.25), (263.3, 283.3), (4.0, 6.0), (0.0, 0.3)
    ):
        now = read_flex(START, FlexParams(float(trim), head, clamp, compliance))
        assert abs(now.frequency_cpm - now.rule_cpm(now.own)) < 0.2


def test_lesson_the_rule_beside_the_beam_model():
    """The rule's column by hand from the trims 2 3/4, 4 and 5 1/2 in; a place is a hundredth off at most."""
    table = straightness_table()
    by_hand = ["A", "A/R 0.40", "A/R 0.80", "R", "R/S 0.33", "R/S 0.67", "S"]
    assert list(table["flex by the rule"]) == by_hand
    assert list(table.index) == ["2 3/4 in", "3 1/4 in", "3 3/4 in", "4 in", "4 1/2 in", "5 in", "5 1/2 in"]
    for rule, computed, cpm in table.itertuples(index=False):
        assert computed == START.flex_scale.say(cpm)
        letters, _, place = computed.partition(" ")
        assert rule.partition(" ")[0] == letters
        assert float(place or 0) == pytest.approx(float(rule.partition(" ")[2] or 0), abs=0.0101)


def test_lesson_what_the_rule_does_not_see():
    table = reading_table()
    change = table["frequency (cpm)"] - table.loc["nothing", "frequency (cpm)"]
    assert change["head 10 g lighter"] == pytest.approx(5.6, abs=0.05)
    assert change["clamp 4 in"] == pytest.approx(-10, abs=0.2)
    assert change["clamp 6 in"] == pytest.approx(11, abs=0.2)
    assert change["clamp tilts 0.2°"] == pytest.approx(-11, abs=0.5)
    assert set(table["flex, this head and clamp"]) == {"R/S 0.33"}
    assert len(set(table["flex, scale as ordered"])) == 5
    # "from half a flex to more than a whole one": places on the scale as ordered, A at 0, R at 1, S at 2.
    low, middle, high = START.flex_scale.frequency_cpm
    assert change["head 10 g lighter"] / (high - middle) == pytest.approx(0.5, abs=0.05)
    here = (table.loc["nothing", "frequency (cpm)"] - middle) / (high - middle)
    for softer in ("clamp 4 in", "clamp tilts 0.2°"):
        assert 1.0 < here + (middle - table.loc[softer, "frequency (cpm)"]) / (middle - low) < 1.3
    assert 1.0 < change["clamp 6 in"] / (high - middle) < 1.3


def test_lesson_the_compliance_of_a_clamp():
    """10 N m is the moment of about 1.3 kg on the free shaft's 31 in; 0.2 degrees under it are 2865 N m/rad."""
    assert pytest.approx(1.3, abs=0.05) == 10 / (9.81 * 31 * 0.0254)
    assert FlexParams(4.0, 273.3, 5.0, 0.2).root_spring_n_m_per_rad == pytest.approx(10 / (0.2 * math.pi / 180))


def test_lesson_what_it_asks_to_predict():
    """A head 10 g lighter reads 5.6 cpm more and the rule stays at R; an inch more in the clamp reads 10.9 cpm more."""
    middle = START.frequency_cpm
    lighter, deeper = lesson_reading(head_mass_g=263.3), lesson_reading(clamp_in=6.0)
    assert lighter.frequency_cpm - middle == pytest.approx(5.6, abs=0.05)
    assert (lighter.by_rule, deeper.by_rule) == ("R", "R")
    assert deeper.frequency_cpm - middle == pytest.approx(10.9, abs=0.05)


def test_lesson_exercises():
    half_way = lesson_reading(tip_trim_in=(4 + 5.5) / 2)
    assert half_way.by_rule == "R/S 0.50"
    assert half_way.own.say(half_way.frequency_cpm) == "R/S 0.50"
    assert lesson_reading(compliance_deg=0.1).frequency_cpm == pytest.approx(307.6, abs=0.05)
    low, high = START.flex_scale.frequency_cpm[1:]
    lighter = [(lesson_reading(head_mass_g=grams).frequency_cpm - low) / (high - low) for grams in (268.3, 268.8)]
    assert lighter == pytest.approx([0.26, 0.24], abs=0.005)


def test_a_compliance_too_small_to_divide_by_is_none():
    lab = flex_scale_lab()
    stiff = lab.result
    for compliance_deg in (5e-324, 1e-300, 1e-12):
        lab.set(compliance_deg=compliance_deg)
        assert lab.result.frequency_cpm == stiff.frequency_cpm
