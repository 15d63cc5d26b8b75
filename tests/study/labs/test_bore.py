"""The lab on bore depth: readouts equal the pure function, both ends work, and what the lesson says is so."""

import itertools

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import nearest_mark
from trimkit.study import bore_depth_lab, rationale_lab
from trimkit.study.labs.bore import DEEPER, TALLER, TOP_IN, BoreParams, bore_club, correction_table, steps_in

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
    assert "swingweight" not in f"{lab.sentence}{[each.label for each in lab.readout.values()]}", "lesson 08's word"
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


def test_with_the_correction_every_step_keeps_its_height_and_without_it_all_move_together():
    """By hand: BBGL + where the step is on the raw shaft - tip trim; the correction is the change of BBGL."""
    raw = [section.from_tip_in for section in START.plan.wanted.shaft.sections][1:]
    assert steps_in(START) == pytest.approx([1.0 + place - 4.0 for place in raw])
    for bbgl, changes in itertools.product((0.5, 1.75), (TALLER, DEEPER)):
        for correct, moved in ((True, 0.0), (False, bbgl - 1.0)):
            steps = steps_in(bore_club(START, BoreParams(bbgl, changes, correct, MASS)))
            assert steps == pytest.approx([place + moved for place in steps_in(START)], abs=1e-12)


def test_the_picture_has_an_arrow_as_long_as_the_bbgl_and_a_mark_for_every_step(lab):
    for bbgl, correct in ((0.5, True), (1.75, False), (1.25, False)):
        lab.set(bbgl_in=bbgl, correct=correct)
        live = lab.scene.live
        seen = [step for step in steps_in(lab.result) if step < TOP_IN]
        marks = [live["first step"].get_ydata()[0], *(ends[0][1] for ends in live["steps"].get_segments())]
        assert marks == pytest.approx(seen)
        assert len(marks) >= 3
        assert live["first step"].get_linewidth() > live["steps"].get_linewidth()[0]
        (_, low), (_, high) = live["bbgl"]._posA_posB
        assert (low, high) == (0, bbgl)
        assert live["BBGL text"].get_text() == f"BBGL\n{nearest_mark(bbgl).text}"


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
    assert "BBGL 1 3/8 in, 3/8 in more than the schedule's 1 in" in lab.sentence


def test_the_table_of_the_correction_has_one_baseline_for_every_club():
    """Lesson 02: half an inch is worth 3.3 cpm on the 7-iron, and 3.6 on the sand wedge as lesson 12 says."""
    table = correction_table()
    left, made, between = (
        table[f"{name} (cpm)"] for name in ("without the extra cut", "with the extra cut", "difference")
    )
    assert (made - left - between).abs().max() < 1e-9
    off, on = (bore_club(START, BoreParams(1.5, TALLER, each, MASS)).frequency_cpm for each in (False, True))
    assert (left["7-iron"], made["7-iron"]) == (off - START.frequency_cpm, on - START.frequency_cpm)
    wedge = rationale_lab()
    built = wedge.readout["frequency"].value
    left_out = wedge.set(follow=False).readout["frequency"].value
    assert between["sand wedge"] == pytest.approx(built - left_out, abs=1e-9)
    assert [f"{each:.1f}" for each in between] == ["3.1", "3.3", "3.4", "3.6"]
    assert (f"{left.min():.1f}", f"{left.max():.1f}") == ("-2.9", "-2.5")
    assert {f"{each:.1f}" for each in made} == {"0.6"}
    assert list(table.index) == ["4-iron", "7-iron", "9-iron", "sand wedge"]


def test_the_ghost_stands_still_and_the_club_moves(lab):
    before = lab.overlay.background()
    shaft = lab.scene.live["shaft"].get_xy().copy()
    lab.set(bbgl_in=1.5)
    assert lab.overlay.background() == before
    assert (lab.scene.live["shaft"].get_xy() != shaft).any()


def test_the_words_say_how_far_every_step_moved(lab):
    lab.set(bbgl_in=1.5)
    assert lab.scene.live["raised"].get_text() == "every step\nwhere it was"
    lab.set(correct=False)
    assert lab.scene.live["raised"].get_text() == "every step\n1/2 in\nhigher"
    assert "every step is 1/2 in higher" in lab.sentence
    lab.set(bbgl_in=0.75)
    assert "every step is 1/4 in lower" in lab.sentence


def test_at_the_lowest_bore_the_label_of_its_bottom_is_above_the_frame(lab):
    lab.set(bbgl_in=0.5)
    label = lab.scene.live["BBGL text"]
    lab.figure.draw_without_rendering()
    assert label.get_window_extent().y0 > label.axes.bbox.y0
