"""The lab of the reasons: bars, words, readouts and the drawn wedge are the plan's, they add up, nothing overlaps."""

import itertools

import pytest

from trimkit.club.club import club_frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.shop.spread import frequency_spread
from trimkit.study import rationale_lab
from trimkit.study.labs.rationale import CLUB, RationaleParams, first_step_in, ordered_club
from trimkit.trim.steps import StepKind

LAB = rationale_lab
START = build_set(shipped_order()).club(CLUB)
PLACES = ((0.0, 0.25, True), (1.0, 1.5, False), (1.875, 1.75, True))
CORNERS = tuple(itertools.product((0.0, 0.125, 1.9375, 2.0), (0.25, 0.3125, 1.75), (True, False)))


def set_to(lab, place):
    lab.set(**dict(zip(("flexes_above", "bbgl_in", "follow"), place, strict=True)))


def test_the_lab_begins_with_the_order_s_own_club(lab):
    now = lab.result.club
    for name in ("tip_trim_in", "cut_length_in", "butt_trim_in", "playing_length_in"):
        assert getattr(now.plan, name) == pytest.approx(getattr(START.plan, name), abs=1e-12)
    assert lab.readout["frequency"].value == pytest.approx(START.frequency_cpm, abs=1e-9)


@pytest.mark.parametrize("place", PLACES)
def test_ends_and_middle_show_what_the_pure_function_says_and_the_bars_add_up(lab, place):
    set_to(lab, place)
    pure = ordered_club(START, RationaleParams(*place))
    assert lab.result == pure
    *steps, whole = pure.parts
    assert sum(step.inches for step in steps) == pytest.approx(whole.inches, abs=1e-12)
    assert steps[-1].cpm == pytest.approx(whole.cpm, abs=1e-9)
    for part in pure.parts:
        x, _y, width, _height = lab.scene.live[part.kind].get_bbox().bounds
        assert (x, width) == pytest.approx((min(part.before_in, part.before_in + part.inches), abs(part.inches)))
        assert lab.scene.live[f"{part.kind} sum"].get_text() == part.sum
    assert lab.readout["frequency"].value == pure.club.frequency_cpm
    assert f"{pure.club.frequency_cpm:.1f} cpm" in lab.sentence


LONG, SHORT = "BBGL 1 1/2 in less the schedule's 1 in", "BBGL 3/4 in less the schedule's 1 in"


@pytest.mark.parametrize(
    ("place", "sums"),
    [
        ((1.5, 1.5, True), ("flex R", "0.5 of the way to S", LONG, "5 1/4 + 3/4 + 1/2 in")),
        ((2.0, 0.75, True), ("flex S", "nothing", SHORT, "6 3/4 + 0 − 1/4 in")),
        ((1.0, 1.5, False), ("flex R", "nothing", f"{LONG}: left out", "5 1/4 + 0 + 0 in")),
    ],
)
def test_the_sums_are_those_that_a_hand_writes_down(place, sums):
    """The wedge's rows by the class's schedule: R 5 1/4 in, S 6 3/4 in, for a BBGL of 1 in."""
    for part, words in zip(ordered_club(START, RationaleParams(*place)).parts, sums, strict=True):
        assert words in part.sum


def test_the_wedge_is_drawn_where_its_cut_puts_it(lab):
    """The tip trim is where the shaft begins; the ground line is BBGL further down; the first step stays at 9 in."""
    cases = (((1.0, 1.5, True), 5.75, 4.25), ((1.0, 0.75, True), 5.0, 4.25), (PLACES[1], 5.25, 3.75))
    for place, trim, ground in cases:
        set_to(lab, place)
        live = lab.scene.live
        assert min(live["drawn shaft"].get_xy()[:, 0]) == pytest.approx(trim)
        assert live["saw"].get_xdata() == pytest.approx([trim, trim])
        assert live["ground line"].get_xdata() == pytest.approx([ground, ground])
        assert live["drawn steps"].get_segments()[0][0][0] == pytest.approx(9.0)
        assert first_step_in(lab.result.club.plan) == pytest.approx(9.0 - ground)
    assert live["first step"].get_text() == "first step 5 1/4 in high"


def test_the_first_step_s_frequency_is_that_of_the_schedule_s_cut_alone(lab):
    lab.set(flexes_above=1.5)
    plan = lab.result.club.plan
    alone = club_frequencies_cpm(plan, START.assembly, (plan.schedule_trim_in,))
    assert lab.result.parts[0].cpm == pytest.approx(alone[0], abs=1e-9)


def test_no_two_texts_overlap_and_every_text_stays_in_the_picture(lab):
    width, height = lab.figure.bbox.size
    before = lab.overlay.background()
    for place in CORNERS:
        set_to(lab, place)
        lab.figure.draw_without_rendering()
        boxes = {name: a.get_window_extent() for name, a in lab.scene.live.items() if hasattr(a, "get_text")}
        for (one, a), (other, b) in itertools.combinations(boxes.items(), 2):
            assert not a.overlaps(b), (place, one, other)
        for name, box in boxes.items():
            assert min(box.x0, box.y0) >= 0, name
            assert box.x1 <= width, name
            assert box.y1 <= height, name
        bars = [lab.scene.live[kind].get_window_extent() for kind in StepKind if kind in lab.scene.live]
        assert not any(bar.overlaps(box) for bar in bars for box in boxes.values()), place
    assert lab.overlay.background() == before


def test_a_decision_stands_in_the_sentence_with_its_reason_and_effect(lab):
    lab.set(follow=False)
    assert "Left softer on purpose: 0.5 in" in lab.sentence
    assert "(the order must say why)" in lab.sentence
    assert lab.readout["left undone for the bore"].value == pytest.approx(0.5)
    effect = lab.result.club.frequency_cpm - START.frequency_cpm
    assert f"which makes it {abs(effect):.1f} cpm softer: {lab.result.club.flex_text} instead of R." in lab.sentence
    lab.set(bbgl_in=0.5)
    assert "Left stiffer on purpose" in lab.sentence
    assert "cpm stiffer: R/S " in lab.sentence


def test_what_the_lesson_says_of_the_wedge_is_so():
    """Lesson 12: 5 1/4 + 1/2 = 5 3/4 in; 1/2 in of it is worth 3.6 cpm; half-way from R to S adds 3/4 in, 5.3 cpm."""
    first = ordered_club(START, RationaleParams(1.0, 1.5, True)).parts
    assert [part.inches for part in first] == [5.25, 0.0, 0.5, 5.75]
    assert first[2].cpm - first[1].cpm == pytest.approx(3.6, abs=0.05)
    half = ordered_club(START, RationaleParams(1.5, 1.5, True)).parts
    assert half[1].inches == pytest.approx(0.75)
    assert half[1].cpm - half[0].cpm == pytest.approx(5.3, abs=0.05)
    assert half[3].cpm - first[3].cpm == pytest.approx(5.3, abs=0.05)
    assert half[3].inches == pytest.approx(6.5)


def test_what_the_lesson_says_of_the_decision_is_so():
    """Lesson 12: without the bore's half inch the wedge plays like A/R 0.61, the record's sd is 1.8 cpm as planned."""
    left = ordered_club(START, RationaleParams(1.0, 1.5, False)).club
    assert left.flex_text == "A/R 0.61"
    assert left.frequency_cpm - START.frequency_cpm == pytest.approx(-3.6, abs=0.05)
    assert frequency_spread(build_set(shipped_order()))[-1].sd_cpm == pytest.approx(1.8, abs=0.05)
