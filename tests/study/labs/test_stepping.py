"""The lab on stepping: raw lengths are the rule's, every step moves by as much, and a flex is the family's own gap."""

import itertools

import numpy as np
import pytest

from trimkit.check.stepworth import step_worth
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import stepping_lab
from trimkit.study.labs.stepping import (
    StepParams,
    demo_families,
    family_gaps,
    raw_length_table,
    step_class,
    step_places,
    stepping_order,
    worth_table,
)
from trimkit.trim.stepping import flex_shift

LAB = stepping_lab
BUILT, FAMILIES = build_set(stepping_order()), demo_families()
CLUBS = [club.plan.club for club in BUILT.clubs]
STEPS = (-2.0, -1.0, 0.0, 1.0, 2.0)
RUN_OUT = {-2: ["pitching wedge", "gap wedge"], -1: ["gap wedge"], 0: [], 1: [], 2: ["3-iron"]}


def stepped(steps, club="7-iron"):
    return step_class(BUILT, StepParams(steps, club))


def test_the_lab_begins_with_the_class_s_soft_step(lab):
    """The club that is drawn is that of the class's own order, number for number."""
    assert lab.readout["the set has"].shown == "one soft step"
    built = build_set(shipped_order("taper_soft_step"))
    for name in ("4-iron", "7-iron", "9-iron"):
        own, now = built.club(name), lab.set(club=name).result
        assert now.plan.raw_length_in == own.plan.raw_length_in
        assert now.plan.butt_trim_in == own.plan.butt_trim_in
        assert now.own_cpm + now.change_cpm == pytest.approx(own.frequency_cpm, rel=1e-12)


@pytest.mark.parametrize(("steps", "club"), [(-2.0, "4-iron"), (0.0, "7-iron"), (2.0, "9-iron")])
def test_ends_and_middle_show_what_the_pure_function_says(lab, steps, club):
    lab.set(soft_steps=steps, club=club)
    pure = stepped(steps, club)
    assert lab.readout["frequency"].value == pure.own_cpm + pure.change_cpm
    assert lab.readout["stepping"].value == pure.part_of_gap == pure.change_cpm / pure.gap_cpm
    own_in = {"4-iron": 39.25, "7-iron": 37.75, "9-iron": 36.75}[club]
    assert lab.readout["raw length"].value == own_in + 0.5 * steps
    assert f"{pure.gap_cpm:.1f} cpm" in lab.sentence
    assert list(lab.scene.live["lengths"].get_ydata()) == [row.raw_length_in for _, row in pure.stepped.built]


def test_every_step_moves_by_as_much_and_the_picture_joins_where_it_was_and_is(lab):
    """By hand: the 7-iron's first step is 8.5 in from the longest raw tip, 2.5 in less on its own raw length."""
    assert step_places(BUILT.club("7-iron").plan)[:2] == pytest.approx([1 + 8.5 - 2.5, 1 + 10.2833 - 2.5])
    for steps, club in itertools.product(STEPS, ("4-iron", "9-iron")):
        now = lab.set(soft_steps=steps, club=club).result
        before, after = (np.array(step_places(plan)) for plan in (now.own, now.plan))
        assert after - before == pytest.approx(0.5 * steps)
        assert now.raised_in == pytest.approx(0.5 * steps)
        live = lab.scene.live
        first = live["first link"].get_xdata()
        links = [first, *([ends[0][0], ends[1][0]] for ends in live["links"].get_segments())]
        assert np.transpose(links) == pytest.approx(np.array([before[: len(links)], after[: len(links)]]))
        for name, places in (("own drawn steps", before), ("drawn steps", after)):
            drawn = [ends[0][0] for ends in live[name].get_segments()]
            assert drawn == pytest.approx(places[: len(drawn)])
            assert len(links) <= len(drawn) <= len(links) + 1
        (tail, _), (point, _) = live["arrow"]._posA_posB
        assert (point - tail) * steps >= 0
        assert live["arrow"].get_visible() == (steps != 0)


@pytest.mark.parametrize("steps", STEPS)
def test_what_cannot_be_built_is_named_and_marked(lab, steps):
    lab.set(soft_steps=steps)
    lost = RUN_OUT[int(steps)]
    assert [each.club for each in lab.result.stepped.missing] == lost
    assert [CLUBS[int(x)] for x in lab.scene.live["missing"].get_xdata()] == lost
    words = [lab.scene.live[f"missing {number}"].get_text() for number in range(2)]
    assert sum(word == "none" for word in words) == len(lost)
    assert all(club in lab.sentence for club in lost)
    assert str(lab.readout["without a raw length"]) == f"{len(lost)} of 9 clubs"


def test_a_club_that_cannot_be_built_gets_alternatives_whose_raw_lengths_exist():
    (long,), (short,) = stepped(2.0).stepped.missing, stepped(-1.0).stepped.missing
    assert "in flex A, 2 hard steps: the 5-iron's 38.75 in" in long.alternatives[0]
    assert "in flex S, 3 soft steps: the 8-iron's 37.25 in" in short.alternatives[0]
    for refused, flex in ((long, "A"), (short, "S")):
        assert "build it" in refused.alternatives[1]
        family = next(each for each in FAMILIES if each.flex == flex)
        lengths = [f"{row.raw_length_in:g} in" for row in family.rows]
        assert any(refused.alternatives[0].endswith(length) for length in lengths)


def test_no_text_lies_over_a_marker_or_out_of_the_picture(lab):
    for steps, club in itertools.product(STEPS, ("4-iron", "9-iron")):
        lab.set(soft_steps=steps, club=club)
        lab.figure.draw_without_rendering()
        live = lab.scene.live
        for text in (text for axes in lab.figure.axes for text in axes.texts if text.get_text()):
            box = text.get_window_extent()
            assert min(box.x0, box.y0) >= 0, text.get_text()
            assert box.x1 <= lab.figure.bbox.width, text.get_text()
        words = [live[f"missing {number}"] for number in range(2)]
        boxes = [each.get_window_extent() for each in words if each.get_text()]
        for name in ("lengths", "missing"):
            for place in live[name].get_transform().transform(live[name].get_xydata()):
                assert not any(box.contains(*place) for box in boxes), name


def test_the_families_in_a_and_s_are_what_the_lesson_says_they_are():
    """Lesson 04: invented; R's steps and raw lengths, with walls 0.001 in thinner and thicker."""
    regular, softer, stiffer = (stepping_order().catalogue.shafts[family.shaft].sections for family in FAMILIES)
    for others, wall in ((softer, -0.001), (stiffer, 0.001)):
        for own, other in zip(regular, others, strict=True):
            same = ("from_tip_in", "to_tip_in", "outer_diameter_in")
            assert all(getattr(own, name) == getattr(other, name) for name in same)
            assert other.wall_in - own.wall_in == pytest.approx(wall)
    assert len({tuple((row.club, row.raw_length_in) for row in family.rows) for family in FAMILIES}) == 1
    assert [family.flex for family in FAMILIES] == ["R", "A", "S"]


def test_a_flex_is_the_gap_between_the_families_in_one_club(lab):
    gaps = family_gaps(BUILT)
    assert list(gaps["A"]) == list(gaps["S"]) == CLUBS
    for steps, flex in ((-1.0, "S"), (0.0, "A"), (1.0, "A")):
        for club in ("4-iron", "9-iron"):
            lab.set(soft_steps=steps, club=club)
            assert lab.readout["one flex here"].value == pytest.approx(gaps[flex][club], rel=1e-12)
            assert str(lab.readout["one flex here"]).endswith(f"cpm (R to {flex})")


def test_what_the_lesson_says_of_a_step_is_so():
    """Lesson 04: on the 7-iron three soft steps make a flex, and fewer than three hard ones: each flex its own gap."""
    table = worth_table()
    assert list(table.index) == ["one soft step", "one hard step"]
    assert table["change in frequency (cpm)"].tolist() == ["−3.4", "+3.6"]
    assert table["one flex (cpm)"].tolist() == ["R to A: 10.2", "R to S: 9.7"]
    assert table["step, in flexes"].tolist() == [0.33, 0.37]
    assert table["steps to a flex"].tolist() == [3.0, 2.7]
    assert [abs(stepped(steps).part_of_gap) for steps in (1.0, -1.0)] == pytest.approx([0.33, 0.37], abs=0.005)


def test_a_step_of_another_club_is_a_row_of_its_own():
    """Lesson 04, exercises: the 9-iron's hard step, 3.8 cpm, is 0.38 of R to S, 10.1 cpm."""
    row = worth_table("9-iron").loc["one hard step"]
    assert row.tolist() == ["+3.8", "R to S: 10.1", 0.38, 2.7]


def test_the_ends_of_the_drawn_clubs_are_named(lab):
    said = [text.get_text() for text in lab.figure.axes[0].texts]
    assert {"head end", "grip end", "ground line"} <= set(said)


def test_an_unstepped_club_reads_as_every_other(lab):
    assert "and reads 308.5 cpm" in lab.set(soft_steps=0.0).sentence


def test_what_the_lesson_says_of_the_raw_lengths_is_so():
    """Lesson 04: 1/2 in a club; the demo's family, made up."""
    table = raw_length_table()
    assert table.loc[:, "no step"].tolist() == [39.75, 39.25, 38.75, 38.25, 37.75, 37.25, 36.75, 36.25, 35.75]
    assert (table == "none").sum().tolist() == [2, 1, 0, 0, 1]
    assert list(table.index) == CLUBS
    assert table.loc["7-iron", "2 soft steps"] == 38.75


def test_what_the_lesson_says_of_the_butt_is_so():
    """Lesson 04, worked example: the stepped 7-iron is cut to the same length; what is more comes off the butt."""
    plain = BUILT.club("7-iron").plan
    stepped_plan = build_set(shipped_order("taper_soft_step")).club("7-iron").plan
    assert (plain.raw_length_in, stepped_plan.raw_length_in) == (37.75, 38.25)
    assert plain.cut_length_in == stepped_plan.cut_length_in == pytest.approx(35.9)
    assert (plain.butt_trim_in, stepped_plan.butt_trim_in) == pytest.approx((1.85, 2.35))
    assert stepped_plan.tip_trim_in == 0


def test_two_steps_are_not_quite_twice_one():
    """Lesson 04, exercises: -3.35 and -6.74 cpm on the 7-iron."""
    changes = [{row.club: row.change_cpm for row in step_worth(BUILT, steps)} for steps in (1, 2)]
    assert [round(each["7-iron"], 2) for each in changes] == [-3.35, -6.74]
    assert "3-iron" not in changes[1]


def test_what_the_lesson_lets_one_predict_is_not_in_the_first_picture(lab):
    """Lesson 04: two soft steps, and one hard step."""
    assert RUN_OUT[2] == ["3-iron"]
    assert RUN_OUT[-1] == ["gap wedge"]
    assert not any(answer in lab.sentence for answer in ("3-iron", "gap wedge"))


def test_by_the_rule_three_soft_steps_from_s_are_a_hard_step_in_r():
    assert flex_shift(-1) == 1 + flex_shift(3)
