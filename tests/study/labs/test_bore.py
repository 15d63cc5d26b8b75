"""The lab on bore depth: readouts equal the pure function, both ends work, and what the lesson says is so."""

import itertools

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.mechanics.balance import POINT_OZ_IN
from trimkit.parts.units import nearest_mark
from trimkit.study import bore_depth_lab
from trimkit.study.labs.bore import DEEPER, TALLER, BoreParams, bore_club, first_step_in, residual_table

LAB = bore_depth_lab
START = build_set(shipped_order()).club("7-iron")
MASS = START.plan.wanted.head.head_mass_g


def test_the_lab_begins_with_the_club_of_the_class(lab):
    assert lab.result.frequency_cpm == START.frequency_cpm
    assert lab.result.plan.tip_trim_in == START.plan.tip_trim_in == 4.0


@pytest.mark.parametrize(
    ("bbgl", "changes", "correct", "mass"),
    [(0.5, TALLER, True, 295.0), (1.125, DEEPER, False, MASS), (1.75, DEEPER, True, 255.0)],
)
def test_ends_and_middle_show_what_the_pure_function_says(lab, bbgl, changes, correct, mass):
    lab.set(bbgl_in=bbgl, changes=changes, correct=correct, head_mass_g=mass)
    pure = bore_club(START, BoreParams(bbgl, changes, correct, mass))
    assert lab.readout["frequency"].value == pure.frequency_cpm
    assert lab.readout["tip trim"].value == pure.plan.tip_trim_in
    assert lab.readout["swingweight"].value == pure.swingweight_oz_in / POINT_OZ_IN
    assert f"{pure.frequency_cpm:.1f} cpm" in lab.sentence
    assert f"BBGL {nearest_mark(bbgl).text}" in lab.sentence
    (x,), (y,) = lab.scene.live["club"].get_data()
    assert (x, y) == (pure.plan.playing_length_in, pure.frequency_cpm)


def test_a_taller_hosel_and_a_shallower_bore_put_the_bore_s_bottom_at_the_same_height():
    taller = bore_club(START, BoreParams(1.5, TALLER, True, MASS)).plan.wanted.head
    deeper = bore_club(START, BoreParams(1.5, DEEPER, True, MASS)).plan.wanted.head
    assert taller.bbgl_in == deeper.bbgl_in == 1.5
    assert taller.bore_depth_in == START.plan.wanted.head.bore_depth_in
    assert deeper.hosel_top_in == START.plan.wanted.head.hosel_top_in


def test_with_the_correction_the_first_step_keeps_its_height():
    for bbgl, changes in itertools.product((0.5, 1.75), (TALLER, DEEPER)):
        corrected = bore_club(START, BoreParams(bbgl, changes, True, MASS))
        assert first_step_in(corrected) == pytest.approx(first_step_in(START), abs=1e-12)


def test_what_the_lesson_says_of_half_an_inch_is_so():
    """Lesson 02: uncorrected 2.7 cpm, about a third of a flex; corrected well under one cpm."""
    left = bore_club(START, BoreParams(1.5, TALLER, False, MASS))
    made_good = bore_club(START, BoreParams(1.5, TALLER, True, MASS))
    assert left.frequency_cpm - START.frequency_cpm == pytest.approx(-2.7, abs=0.05)
    flexes = START.flex_scale.flexes_apart(left.frequency_cpm, START.frequency_cpm)
    assert flexes == pytest.approx(-1 / 3, abs=0.05)
    assert 0 < made_good.frequency_cpm - START.frequency_cpm < 0.9


def test_what_the_lesson_says_of_a_taller_hosel_and_a_shallower_bore_is_so():
    """Lesson 02: uncorrected at 1 1/2 in they are less than 0.1 cpm apart (310.34 and 310.27)."""
    taller, shallower = (bore_club(START, BoreParams(1.5, way, False, MASS)).frequency_cpm for way in (TALLER, DEEPER))
    assert (f"{taller:.2f}", f"{shallower:.2f}") == ("310.34", "310.27")
    assert abs(taller - shallower) < 0.1


def test_what_the_lesson_says_of_the_rest_is_so():
    """Lesson 02: the half inch more off the tip is 1.1 g less at the head; with them back, hardly a rest is left."""
    for way in (TALLER, DEEPER):
        made_good = bore_club(START, BoreParams(1.5, way, True, MASS))
        assert START.total_mass_g - made_good.total_mass_g == pytest.approx(1.1, abs=0.05)
        rest = made_good.frequency_cpm - START.frequency_cpm
        back = bore_club(START, BoreParams(1.5, way, True, MASS + 1.1)).frequency_cpm - START.frequency_cpm
        assert rest > 0.5
        assert abs(back) < 0.1


def test_the_sentence_says_sixteenths_as_a_ruler_does(lab):
    lab.set(bbgl_in=1.375)
    assert "BBGL 1 3/8 in is +3/8 in against the schedule's 1 in" in lab.sentence


def test_the_residual_table_is_the_lab_s_own_function():
    table = residual_table((1.5,))
    club = bore_club(START, BoreParams(1.5, TALLER, True, MASS))
    assert table.loc[1.5, "corrected_cpm"] == club.frequency_cpm - START.frequency_cpm
    assert list(table.columns) == ["uncorrected_cpm", "corrected_cpm"]


def test_the_ghost_stands_still_and_the_club_moves(lab):
    before = lab.overlay.background()
    shaft = lab.scene.live["shaft"].get_xy().copy()
    lab.set(bbgl_in=1.5)
    assert lab.overlay.background() == before
    assert (lab.scene.live["shaft"].get_xy() != shaft).any()


def test_at_the_lowest_bore_the_label_of_its_bottom_is_above_the_frame(lab):
    lab.set(bbgl_in=0.5)
    label = lab.scene.live["bore bottom"]
    assert "0.5 in" in label.get_text()
    lab.figure.draw_without_rendering()
    assert label.get_window_extent().y0 > label.axes.bbox.y0
