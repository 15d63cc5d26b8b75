"""The lab on stepping: raw lengths are the rule's, changes the mechanics', and the gap between them is shown."""

import itertools

import numpy as np
import pytest

from trimkit.check.stepworth import flex_gaps_cpm
from trimkit.club.flexscale import CPM_PER_FLEX
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import stepping_lab
from trimkit.study.labs.stepping import (
    FURTHEST_CPM,
    StepParams,
    demo_families,
    raw_length_table,
    step_class,
    stepping_order,
    worth_table,
)
from trimkit.trim.stepping import flex_shift

LAB = stepping_lab
BUILT, FAMILIES = build_set(stepping_order()), demo_families()
CLUBS = [club.plan.club for club in BUILT.clubs]
STEPS = (-2.0, -1.0, 0.0, 1.0, 2.0)
RUN_OUT = {-2: ["pitching wedge", "gap wedge"], -1: ["gap wedge"], 0: [], 1: [], 2: ["3-iron"]}


def stepped(steps, cpm_per_flex=CPM_PER_FLEX):
    return step_class(BUILT, FAMILIES, StepParams(steps, cpm_per_flex))


def test_the_lab_begins_with_the_class_s_soft_step(lab):
    """The clubs that the class's own order has are those of the order, number for number."""
    assert lab.readout["the set has"].shown == "one soft step"
    for club in build_set(shipped_order("taper_soft_step")).clubs:
        name = club.plan.club
        own = BUILT.club(name).frequency_cpm
        assert lab.result.raw_length_in(name) == club.plan.raw_length_in
        assert own + lab.result.change_cpm(name) == pytest.approx(club.frequency_cpm, rel=1e-12)


@pytest.mark.parametrize(("steps", "flex"), [(-2.0, 6.0), (0.0, 10.0), (2.0, 20.0)])
def test_ends_and_middle_show_what_the_pure_function_says(lab, steps, flex):
    lab.set(soft_steps=steps, cpm_per_flex=flex)
    pure = stepped(steps, flex)
    assert lab.readout["6-iron by mechanics"].value == pure.change_cpm("6-iron")
    assert lab.readout["by the rule"].value == pure.rule_cpm == -0.25 * steps * flex
    assert lab.readout["by a third"].value == pure.third_cpm == pytest.approx(-steps * flex / 3)
    assert set(lab.scene.live["third line"].get_xdata()) == {pure.third_cpm}
    assert abs(pure.third_cpm) < FURTHEST_CPM
    assert lab.readout["6-iron raw length"].value == 38.25 + 0.5 * steps
    assert f"{flex:g} cpm" in lab.sentence
    built = [club for club, _ in pure.stepped.built]
    assert list(lab.scene.live["lengths"].get_xdata()) == [pure.raw_length_in(club) for club in built]
    assert list(lab.scene.live["by mechanics"].get_xdata()) == [pure.change_cpm(club) for club in built]
    assert np.all(np.abs(lab.scene.live["by mechanics"].get_xdata()) < FURTHEST_CPM)
    assert abs(pure.rule_cpm) < FURTHEST_CPM


@pytest.mark.parametrize("steps", STEPS)
def test_what_cannot_be_built_is_named_and_marked(lab, steps):
    lab.set(soft_steps=steps)
    lost = RUN_OUT[int(steps)]
    assert [each.club for each in lab.result.stepped.missing] == lost
    assert len(lab.scene.live["missing"].get_xdata()) == len(lost)
    words = [lab.scene.live[f"missing {number}"].get_text() for number in range(2)]
    assert sum(word == "no raw length" for word in words) == len(lost)
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


@pytest.mark.parametrize(("steps", "flex"), [(-2.0, 20.0), (0.0, 9.0), (2.0, 6.0)])
def test_every_text_stays_in_the_picture_and_lies_over_no_other(lab, steps, flex):
    lab.set(soft_steps=steps, cpm_per_flex=flex)
    lab.figure.draw_without_rendering()
    width, height = lab.figure.bbox.size
    texts = [lab.scene.live[name] for name in ("missing 0", "missing 1", "rule text", "mechanics text")]
    for axes in lab.figure.axes:
        texts += [text for text in axes.texts if text not in texts]
        texts += [axes.xaxis.label, *axes.get_xticklabels(), *axes.get_yticklabels()]
    boxes = [(text.get_text(), text.get_window_extent()) for text in texts if text.get_text()]
    for name, box in boxes:
        assert min(box.x0, box.y0) >= 0, name
        assert box.x1 <= width, name
        assert box.y1 <= height, name
    for (one, first), (other, second) in itertools.combinations(boxes, 2):
        assert not first.overlaps(second), (one, other)


def test_no_text_lies_over_a_marker(lab):
    for steps, flex in itertools.product(STEPS, (6.0, 20.0)):
        lab.set(soft_steps=steps, cpm_per_flex=flex)
        lab.figure.draw_without_rendering()
        for texts, markers in (
            (("missing 0", "missing 1"), ("lengths", "missing")),
            (("rule text", "mechanics text"), ("by rule", "by mechanics")),
        ):
            boxes = [
                lab.scene.live[name].get_window_extent().padded(6) for name in texts if lab.scene.live[name].get_text()
            ]
            for name in markers:
                line = lab.scene.live[name]
                for place in line.get_transform().transform(line.get_xydata()):
                    assert not any(box.contains(*place) for box in boxes), name


def test_what_the_lesson_says_of_a_step_is_so():
    """Lesson 04: a soft step is 3.1 to 3.8 cpm by the mechanics; a quarter and a third of a flex: common practice."""
    table = worth_table()
    assert table.mechanics_cpm.max() == -3.11
    assert table.mechanics_cpm.min() == -3.81
    assert table.mechanics_cpm.is_monotonic_decreasing, "the step grows from the longest club to the shortest"
    assert set(table.rule_cpm.round(1)) == {-3.4}
    assert set(table.third_cpm.round(1)) == {-4.6}
    assert (table.mechanics_flexes.max(), table.mechanics_flexes.min()) == (-0.23, -0.28)
    by_ten = worth_table(cpm_per_flex=10).mechanics_flexes
    assert (by_ten.max(), by_ten.min()) == (-0.31, -0.38)
    change = stepped(1.0).change_cpm("6-iron")
    assert change == pytest.approx(-3.3, abs=0.05)
    assert change / -0.25 == pytest.approx(13, abs=0.25)


def test_what_the_lesson_says_of_the_masters_own_gap_is_so():
    """Lesson 04, limits: R to S of the class's master, 9.7 to 10.9 cpm; a step is then about a third of a flex."""
    gaps = flex_gaps_cpm(build_set(shipped_order()), "R", "S")
    assert (min(gaps.values()), max(gaps.values())) == pytest.approx((9.7, 10.9), abs=0.05)
    parts = [stepped(1.0).change_cpm(club) / gap for club, gap in gaps.items() if club in CLUBS]
    assert parts == pytest.approx([-1 / 3] * len(parts), abs=0.02)


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


def test_what_the_exercises_of_the_lesson_ask_has_its_answer():
    """Lesson 04, exercises: the flex at which a step is a third of it; who runs out; two steps are not twice one."""
    change = stepped(1.0).change_cpm("6-iron")
    assert change / 9.75 < -1 / 3 < change / 10.0
    assert RUN_OUT[-2] == [each.club for each in stepped(-2.0).stepped.missing]
    assert (round(change, 2), round(stepped(2.0).change_cpm("6-iron"), 2)) == (-3.28, -6.60)
    two = worth_table(soft_steps=2)
    assert two.loc["6-iron", ["mechanics_cpm", "rule_cpm"]].tolist() == [-6.60, -6.88]
    assert "3-iron" not in two.index


def test_what_the_lesson_lets_one_predict_is_not_in_the_first_picture(lab):
    """Lesson 04: two soft steps, one hard step, and a flex of 10 cpm."""
    assert RUN_OUT[2] == ["3-iron"]
    assert RUN_OUT[-1] == ["gap wedge"]
    assert stepped(1.0, 10.0).rule_cpm == -2.5
    assert not any(answer in lab.sentence for answer in ("3-iron", "gap wedge", "2.50"))


def test_what_the_lesson_says_of_three_soft_steps_from_s_is_so():
    """Lesson 04: by the rule a hard step in R is as stiff as three soft ones in S; their raw lengths are the same."""
    assert flex_shift(-1) == 1 + flex_shift(3)
    assert len({tuple(row.raw_length_in for row in family.rows) for family in FAMILIES}) == 1
    assert [family.flex for family in FAMILIES] == ["R", "A", "S"]
