"""The lab on cutting to length: what is drawn is what is cut, and a shaft that does not reach says by how much."""

import dataclasses
import itertools

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import both_units, nearest_mark
from trimkit.study import cutting_to_length_lab
from trimkit.study.labs.length import LengthParams, butt_table, cut_to_length, start_params
from trimkit.trim.length import GivenLength
from trimkit.trim.plan import plan_club
from trimkit.trim.refusals import TrimRefused

LAB = cutting_to_length_lab
BUILT = build_set(shipped_order())
PLAN = BUILT.club("7-iron").plan
ENDS = [(35.5, 0.5, True, 1.0, 0.56), (37.0, 1.0, True, 4.0, 0.585), (39.0, 1.75, False, 6.0, 0.62)]
CORNERS = [
    *itertools.product((35.5, 39.0), (0.5, 1.75), (False,), (1.0, 6.0), (0.56, 0.59)),
    (39.0, 0.5, False, 6.0, 0.62),
]
NAMES = ("playing_length_in", "bbgl_in", "correct", "schedule_trim_in", "core_diameter_in")
TEXTS = (
    "tip cut text",
    "shaft text",
    "butt cut text",
    "missing text",
    "club text",
    "BBGL text",
    "cap text",
    "butt text",
    "grip text",
)


def cut(**changed):
    return cut_to_length(PLAN, dataclasses.replace(start_params(PLAN), **changed))


def shown_ticks(axes):
    """The numbers under an axis; matplotlib keeps one more on either side, which it does not draw."""
    low, high = axes.get_xlim()
    return [label for label in axes.get_xticklabels() if low <= label.get_position()[0] <= high]


def test_the_lab_begins_with_the_club_of_the_class(lab):
    assert lab.result.tip_trim_in == PLAN.tip_trim_in == 4.0
    assert lab.result.cut_length_in == PLAN.cut_length_in
    assert lab.result.left_over_in == PLAN.butt_trim_in
    assert "2 1/8 in (53.3 mm)" in lab.sentence


def test_for_every_club_of_the_class_the_lab_cuts_as_the_plan_does():
    for plan in (club.plan for club in BUILT.clubs):
        now = cut_to_length(plan, start_params(plan))
        assert now.tip_trim_in == pytest.approx(plan.tip_trim_in, abs=1e-12)
        assert now.left_over_in == pytest.approx(plan.butt_trim_in, abs=1e-12)
        assert (now.butt_diameter_in, now.tape_layers) == (plan.butt_diameter_in, plan.tape_layers)


@pytest.mark.parametrize(("bbgl", "playing"), [(0.5, 38.0), (1.25, 36.5), (1.75, 35.5)])
def test_another_head_and_length_are_cut_as_the_planner_does(bbgl, playing):
    wanted = PLAN.wanted
    head = dataclasses.replace(wanted.head, bbgl_in=bbgl)
    plan = plan_club(dataclasses.replace(wanted, head=head, length=GivenLength(playing)))
    now = cut(bbgl_in=bbgl, playing_length_in=playing)
    assert now.tip_trim_in == pytest.approx(plan.tip_trim_in, abs=1e-12)
    assert now.left_over_in == pytest.approx(plan.butt_trim_in, abs=1e-12)


@pytest.mark.parametrize("values", ENDS)
def test_ends_and_middle_show_what_the_pure_function_says(lab, values):
    moved = dict(zip(NAMES, values, strict=True))
    lab.set(**moved)
    pure = cut_to_length(PLAN, LengthParams(**moved))
    by_hand = 42 - pure.tip_trim_in - (moved["playing_length_in"] - moved["bbgl_in"] - 0.1)
    assert lab.readout["butt trim"].value == pure.left_over_in == pytest.approx(by_hand, abs=1e-12)
    assert lab.readout["cut length"].value == pure.cut_length_in
    assert lab.readout["tape"].value == pure.tape_layers
    drawn = [lab.scene.live[name].get_bbox().width for name in ("tip cut", "shaft", "butt cut", "missing")]
    if pure.short is None:
        assert drawn == pytest.approx([pure.tip_trim_in, pure.cut_length_in, pure.left_over_in, 0])
        assert "too short" not in lab.sentence
    else:
        assert pure.short.shortfall_in == pytest.approx(-pure.left_over_in)
        assert drawn[3] == pytest.approx(pure.short.shortfall_in)
        assert drawn[0] + drawn[1] == pytest.approx(42)
        assert "too short" in lab.sentence
        assert "lacks" in str(lab.readout["butt trim"])
    ground, cap = lab.scene.live["club"].get_xdata()
    assert cap - ground == pytest.approx(moved["playing_length_in"])
    gap, rubber = (lab.scene.live[name].get_bbox() for name in ("BBGL", "cap"))
    assert (gap.x0, gap.x1) == pytest.approx((ground, pure.tip_trim_in))
    assert (rubber.x0, rubber.x1) == pytest.approx((cap - 0.1, cap))


def test_the_drawn_club_lies_under_the_piece_it_is_made_of(lab):
    """By hand: BBGL 1.5 in, not corrected: ground at 2.5 in, hosel top at 2.5 + 1.5 + 1.25 in, end at 39.5 in."""
    lab.set(bbgl_in=1.5, correct=False)
    right = {name: lab.scene.live[f"drawn {name}"].get_xy()[:, 0].max() for name in ("hosel", "grip")}
    assert right == pytest.approx({"hosel": 5.25, "grip": 39.5})
    steps = {segment[0][0] for segment in lab.scene.live["drawn steps"].get_segments()}
    assert steps
    assert steps <= {section.from_tip_in for section in PLAN.wanted.shaft.sections}, "a step under each of the ruler's"


def test_tape_is_drawn_on_both_sides_of_the_butt_and_counted_twice(lab):
    """By hand: two layers of 0.005 in on each side of 0.580 in, from 0.290 to 0.300 in from the middle."""
    lab.set(core_diameter_in=0.6)
    left, right = (lab.scene.live[f"tape {side}"].get_bbox() for side in ("left", "right"))
    assert (left.x0, left.x1, right.x0, right.x1) == pytest.approx((-0.3, -0.29, 0.29, 0.3))
    edges = sorted(segment[0][0] for segment in lab.scene.live["layers"].get_segments())
    assert edges == pytest.approx([-0.3, -0.295, 0.295, 0.3])
    assert lab.scene.live["core"].get_xdata() == pytest.approx([-0.3, 0.3])
    assert "2 layers of tape, 0.010 in on each side, together 0.020 in" in lab.sentence


@pytest.mark.parametrize("values", CORNERS)
def test_every_text_stays_in_the_picture_and_lies_over_no_other(lab, values):
    lab.set(**dict(zip(NAMES, values, strict=True)))
    lab.figure.draw_without_rendering()
    width, height = lab.figure.bbox.size
    live = [lab.scene.live[name] for name in TEXTS]
    texts = [text for text in live if text.get_visible() and text.get_text()]
    for axes in lab.figure.axes:
        texts += [axes.xaxis.label, *shown_ticks(axes)]
    boxes = [(text.get_text(), text.get_window_extent()) for text in texts if text.get_text()]
    for name, box in boxes:
        assert min(box.x0, box.y0) >= 0, name
        assert box.x1 <= width, name
        assert box.y1 <= height, name
    for (one, first), (other, second) in itertools.combinations(boxes, 2):
        assert not first.overlaps(second), (one, other)


@pytest.mark.parametrize("core", [0.56, 0.585, 0.62])
def test_tape_brings_the_butt_to_the_core_within_half_a_layer(core):
    """By the geometry of a layer: it adds twice its thickness (0.005 in, from memory) to the diameter."""
    now = cut(core_diameter_in=core)
    built_up = now.butt_diameter_in + 2 * 0.005 * now.tape_layers
    if core <= now.butt_diameter_in:
        assert now.tape_layers == 0
    else:
        assert abs(built_up - core) <= 0.005 + 1e-9


def test_a_long_butt_cut_reaches_thinner_tube_and_a_wide_core_is_refused_there(lab):
    """By the table of the shaft: 1 + 35.5 - 1.75 - 0.1 = 34.65 in from the tip it is 0.5537 in wide, not 0.580 in."""
    short = {"playing_length_in": 35.5, "bbgl_in": 1.75, "correct": False, "schedule_trim_in": 1.0}
    assert cut(**short).butt_diameter_in == pytest.approx(0.5537)
    assert lab.set(**short, core_diameter_in=0.59).readout["tape"].value == round((0.59 - 0.5537) / 0.01)
    with pytest.raises(TrimRefused, match=r"at most 0\.04 in to build up"):
        lab.set(core_diameter_in=0.62)


@pytest.mark.parametrize("bbgl", [0.5, 1.75])
def test_with_the_bore_corrected_bbgl_cancels_out_of_the_butt_trim(bbgl):
    """raw - (schedule + BBGL - reference) - (playing length - BBGL - cap): no BBGL is left. Derived."""
    assert cut(bbgl_in=bbgl).left_over_in == pytest.approx(42 - 4 + 1 - 37 + 0.1, abs=1e-12)
    assert cut(bbgl_in=bbgl).ground_in == pytest.approx(3.0, abs=1e-12)
    assert cut(bbgl_in=bbgl, correct=False).left_over_in == pytest.approx(2.1 + bbgl - 1, abs=1e-12)


def test_what_the_table_of_the_lesson_says_is_so():
    table = butt_table()
    assert set(table["butt trim (in)"]) == {2.1}
    assert table["butt trim if not corrected (in)"].tolist() == [1.6, 1.85, 2.1, 2.35, 2.6]
    assert (table["tip trim (in)"] + table["cut length (in)"]).tolist() == pytest.approx([39.9] * 5)


def test_what_the_lesson_says_of_the_4_iron_is_so():
    """Lesson 05, worked example: the class's 4-iron, playing length 38.5 in, BBGL 1 in, cap 0.1 in."""
    plan = BUILT.club("4-iron").plan
    assert (plan.playing_length_in, plan.wanted.bbgl_in, plan.tip_trim_in) == (38.5, 1.0, 2.5)
    assert (plan.cut_length_in, plan.butt_trim_in) == pytest.approx((37.4, 2.1))
    assert (both_units(37.4), both_units(2.1)) == ("≈ 37 3/8 in (950.0 mm)", "≈ 2 1/8 in (53.3 mm)")
    assert nearest_mark(37.4).error_in == pytest.approx(598 / 16 - 37.4) == pytest.approx(-0.025)


def test_what_the_exercises_of_the_lesson_ask_has_its_answer():
    """Lesson 05, exercises: the longest club that this cut of the tip reaches; a cap of 0.2 in."""
    assert cut(schedule_trim_in=6.0, playing_length_in=37.0625).short is None
    assert cut(schedule_trim_in=6.0, playing_length_in=37.125).short.shortfall_in == pytest.approx(0.025)
    thicker = dataclasses.replace(PLAN.wanted.grip, cap_thickness_in=0.2)
    more = plan_club(dataclasses.replace(PLAN.wanted, grip=thicker)).butt_trim_in - PLAN.butt_trim_in
    assert more == pytest.approx(0.1)


def test_what_the_lesson_asks_to_predict_and_to_explain_has_its_answer():
    """Lesson 05: core 0.020 in wider; a larger BBGL; no slider alone makes the shaft too short, two of three do."""
    assert cut(core_diameter_in=0.60).tape_layers == 2
    assert cut().tape_layers == 0, "the picture below Predict holds no answer"
    assert cut(bbgl_in=1.25).left_over_in == pytest.approx(2.1)
    assert cut(bbgl_in=1.25, correct=False).left_over_in == pytest.approx(2.35)
    ends = {"playing_length_in": 39.0, "schedule_trim_in": 6.0, "bbgl_in": 0.5}
    for name, value in ends.items():
        assert cut(correct=False, **{name: value}).short is None
    for pair in itertools.combinations(ends, 2):
        assert cut(correct=False, **{name: ends[name] for name in pair}).short is not None
    assert cut(playing_length_in=39.0, schedule_trim_in=6.0).short.shortfall_in == pytest.approx(1.9)


def test_what_lacks_less_than_a_mark_is_said_in_decimals_and_wants_no_extension(lab):
    """Lesson 05, exercise 1: 37 1/8 in is 0.025 in too long for this shaft."""
    lab.set(schedule_trim_in=6.0, playing_length_in=37.125)
    assert str(lab.readout["butt trim"]) == "none, lacks 0.025 in (0.6 mm)"
    assert lab.scene.live["missing text"].get_text() == "missing 0.025 in"
    assert lab.scene.live["club text"].get_text() == "playing length 37 1/8 in"
    assert "extension" not in lab.sentence
    assert "less than a ruler's mark" in lab.sentence
    lab.set(playing_length_in=37.25)
    assert "butt extension of 0.15 in" in lab.sentence


def test_what_the_lesson_says_of_the_extension_is_so():
    """Lesson 05: with 5 in off the tip the 4-iron's shaft is 0.4 in too short."""
    plan = BUILT.club("4-iron").plan
    now = cut_to_length(plan, dataclasses.replace(start_params(plan), schedule_trim_in=5.0))
    assert now.short.shortfall_in == pytest.approx(0.4)
    assert "0.4 in too short" in str(now.short)
