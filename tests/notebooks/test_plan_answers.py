"""The instructor's answers: for each lesson, the numbers that matter, computed again by its lab."""

import re
from dataclasses import replace
from pathlib import Path

import nbformat
import pytest

from trimkit import study
from trimkit.check.stepworth import step_worth
from trimkit.club.set import build_set
from trimkit.study.labs.stepping import family_gaps, stepping_order
from trimkit.trim.flexplace import FlexPlace

PLAN = Path(__file__).resolve().parents[2] / "notebooks" / "instructor_answers.ipynb"
CELLS = [cell.source for cell in nbformat.read(PLAN, as_version=4).cells if cell.cell_type == "markdown"]
ANSWERS = {cell[10:12]: cell for cell in CELLS if re.match(r"## Lesson \d\d: ", cell)}
LESSONS = [f"{number:02d}" for number in range(13)]


def said(lab, label, **values):
    """What a lab's readout says with some sliders set and the others at their defaults."""
    lab.reset()
    return str(lab.set(**values).readout[label])


def number(lab, label, **values):
    lab.reset()
    return lab.set(**values).readout[label].value


def numbers(text):
    """The numbers of a text in order, as they are printed."""
    return re.findall(r"-?\d+(?:[./]\d+)*", text.replace("−", "-"))


def lesson_00():
    lab = study.first_cut_lab()
    before, now = (number(lab, "frequency", tip_trim_in=trim) for trim in (4.0, 3.5))
    there, here = (number(lab, "flex place", tip_trim_in=trim) for trim in (4.0, 3.5))
    return f"{before - now:.1f} cpm ({before:.1f} to {now:.1f} cpm), {there - here:.2f} of a flex"


def lesson_01():
    lab = study.schedule_lab()
    gains = []
    for club in ("7-iron", "4-iron"):
        r, half = (number(lab, "frequency", club=club, flexes_above=flex) for flex in (1.0, 1.5))
        gains.append(half - r)
        yield said(lab, "tip trim", club=club, flexes_above=1.5)
    yield f"The 7-iron: it gains {gains[0]:.1f} cpm, the 4-iron {gains[1]:.1f} cpm"
    place = said(lab, "flex place, mechanics", club="sand wedge", flexes_above=1.4)
    yield f"the sand wedge asked for R/S 0.4 reads {place}"


def lesson_02():
    lab = study.bore_depth_lab()
    before, off = number(lab, "frequency"), number(lab, "frequency", bbgl_in=1.5, correct=False)
    deeper = number(lab, "frequency", bbgl_in=1.5, correct=False, changes="bore depth")
    yield f"{before - off:.1f} cpm ({before:.1f} to {off:.1f} cpm)"
    yield f"({off:.2f} and {deeper:.2f} cpm)"
    yield said(lab, "tip trim", bbgl_in=1.5)
    yield f"274.4 g) the club is at {number(lab, 'frequency', bbgl_in=1.5, head_mass_g=274.4):.1f} cpm"
    low, high = (
        lab.reference.flex_scale.flexes_apart(number(lab, "frequency", bbgl_in=bbgl, correct=False), before)
        for bbgl in (1.375, 1.4375)
    )
    yield f"1 3/8 in (34.9 mm): {number(lab, 'frequency', bbgl_in=1.375, correct=False) - before:.1f} cpm, {low:.2f}"
    yield f"At 1 7/16 in it is {high:.2f}"


def lesson_03():
    lab = study.head_weight_lab()
    yield said(lab, "it is", head_mass_g=257.3).removeprefix("a ").capitalize()
    long_in = number(lab, "length by number", head_mass_g=257.3) - number(lab, "length by mass", head_mass_g=257.3)
    yield f"Too long: by {long_in:.2f} in ({long_in * 25.4:.1f} mm)"
    place = (255 - 253.5) / 6.5
    yield f"{place:.3f}: a {4 + place:.2f}-iron"
    yield f"{2.5 + place / 2:.3f} in"
    yield f"{38.5 - place / 2:.3f} in"


def lesson_04():
    lab = study.stepping_lab()
    butts = (f"{number(lab, 'butt trim', soft_steps=steps):.2f} in" for steps in (1.0, 0.0))
    yield " ".join(butts)
    yield " ".join(f"{number(lab, 'frequency', soft_steps=steps):.1f}" for steps in (0.0, -2.0)) + " cpm"
    lab.set(soft_steps=-1.0, club="7-iron")
    hard = lab.result
    yield f"+{hard.change_cpm:.1f} cpm. That is {hard.part_of_gap:.2f} of the {hard.gap_cpm:.1f} cpm"
    built = build_set(stepping_order())
    stiff = built.club("9-iron").frequency_cpm + family_gaps(built)["S"]["9-iron"]
    order = replace(built.order, shaft=built.order.catalogue.shafts["steel taper 111 g stiff"], flex=FlexPlace.at("S"))
    soft = (
        f"{stiff + row.change_cpm:.1f} cpm"
        for steps in (1, 2)
        for row in step_worth(build_set(order), steps)
        if row.club == "9-iron"
    )
    yield " ".join(soft)
    yield f"{number(lab, 'frequency', club='9-iron', soft_steps=-2.0):.1f} cpm"


def lesson_05():
    lab = study.cutting_to_length_lab()
    for correct in (True, False):
        decimals = f"{number(lab, 'butt trim', bbgl_in=1.25, correct=correct):.2f}".rstrip("0")
        yield f"{decimals} in ({said(lab, 'butt trim', bbgl_in=1.25, correct=correct).replace(' (', ', ')}"
    assert number(lab, "butt trim", schedule_trim_in=6.0, playing_length_in=37.0625) >= 0
    yield f"{-number(lab, 'butt trim', schedule_trim_in=6.0, playing_length_in=37.125):.3f} in"
    yield f"{-number(lab, 'butt trim', schedule_trim_in=6.0, playing_length_in=39.0):.1f} in missing"


def lesson_06():
    lab = study.shaft_beam_lab()
    before = number(lab, "with the head")
    yield f"{number(lab, 'tip deflection', tip_trim_in=0.0, butt_trim_in=0.0):.2f} in instead of"
    yield f"{number(lab, 'tip deflection', tip_trim_in=5.0, butt_trim_in=1.1):.2f} in instead of"
    yield f"off the tip: {number(lab, 'with the head', tip_trim_in=5.0) - before:+.1f} cpm"
    yield f"the butt alone {number(lab, 'with the head', butt_trim_in=3.1) - before:+.1f} cpm"
    yield f"{number(lab, 'with the head', butt_trim_in=3.1):.1f} cpm against"
    yield f"against {number(lab, 'with the head', tip_trim_in=5.5, butt_trim_in=0.6):.1f}"


def lesson_07():
    lab = study.flex_scale_lab()
    before, lighter = number(lab, "frequency"), number(lab, "frequency", head_mass_g=263.3)
    yield f"{lighter:.1f} cpm, {lighter - before:.1f} more, {said(lab, 'flex place, mechanics', head_mass_g=263.3)}"
    deeper = number(lab, "frequency", clamp_in=6.0)
    yield f"{deeper:.1f} cpm, {deeper - before:.1f} more"
    half = {"tip_trim_in": 4.75}
    yield f"{said(lab, 'flex place, mechanics', **half)} ({number(lab, 'frequency', **half):.1f} cpm)"
    yield f"0.14° under 10 N m ({number(lab, 'frequency', compliance_deg=0.14):.1f} cpm)"


def lesson_08():
    lab = study.balance_lab()
    yield f"from {number(lab, 'balance point'):.2f} to {number(lab, 'balance point', head_mass_g=263.3):.2f} in"
    yield f"{number(lab, 'MOI', grip_mass_g=56.0):.0f} instead of {number(lab, 'MOI'):.0f} kg cm²"
    yield f"a head of {lab.set(target_points=-3.0).result.head_mass_g:.1f} g"
    yield f"{said(lab, 'swingweight', grip_mass_g=63.0, playing_length_in=37.5)} at 63 g"
    yield f"reads {said(lab, 'swingweight', head_mass_g=278.8)}"
    yield f"{number(lab, 'frequency') - number(lab, 'frequency', tip_weight_g=2.0):.2f} cpm less"


def lesson_09():
    lab = study.set_line_lab()
    yield f"{number(lab, 'frequency', off_rule_in=0.5):.1f} cpm, {number(lab, 'off the line', off_rule_in=0.5):.1f} cpm"
    for club in ("3-hybrid", "4-hybrid", "9-iron", "gap wedge", "sand wedge"):
        yield f"{club} {number(lab, 'off the line', club=club, target='3.5'):+.1f}"
    much, too_much, little, too_little = (
        f"{number(lab, 'off the line', club='9-iron', off_rule_in=off):+.1f} cpm"
        for off in (0.25, 0.3125, -0.3125, -0.375)
    )
    yield f"1/4 in (6.4 mm): {much}, 5/16 in (7.9 mm): {too_much}; 5/16 in: {little}, 3/8 in (9.5 mm): {too_little}"


def lesson_10():
    lab = study.tolerance_lab()
    yield f"{number(lab, 'all ten', lengths_in=0.125):.1f} sets of a hundred"
    yield f"{number(lab, 'all ten', lengths_in=0.015625):.1f} of a hundred"
    yield f"{number(lab, 'all ten', ei_percent=1.0):.1f} of a hundred"
    yield f"{number(lab, 'all ten', ei_percent=0.5, wall_percent=0.5):.1f} % of sets"
    yield f"{number(lab, '±cpm for 9 sets of 10'):.1f} cpm either way"


def lesson_11():
    lab = study.what_if_lab()
    yield f"{said(lab, 'frequency', playing_length_in=0.5)}"
    yield f"swingweight {said(lab, 'swingweight', playing_length_in=0.5)}"
    both = number(lab, "frequency", head_mass_g=6.0, bbgl_in=0.5)
    yield f"{number(lab, 'frequency') - both:.1f} cpm softer ({both:.1f} cpm)"
    yield f"({number(lab, 'MOI', grip_mass_g=10.0):.0f} for {number(lab, 'MOI'):.0f} kg cm²)"
    made_up = {"bbgl_in": 0.5, "tip_trim_in": 0.5}
    yield f"{number(lab, 'frequency', **made_up):.1f} for {number(lab, 'frequency'):.1f} cpm"
    yield f"{said(lab, 'swingweight', head_mass_g=-4.0, tip_weight_g=4.0)} for {said(lab, 'swingweight')}"


def lesson_12():
    lab = study.rationale_lab()
    before, left = number(lab, "frequency"), number(lab, "frequency", follow=False)
    yield f"{before - left:.1f} cpm softer ({left:.1f} instead of {before:.1f} cpm)"
    yield f"{before:.1f} to {number(lab, 'frequency', flexes_above=1.5):.1f} cpm"
    yield said(lab, "tip trim", flexes_above=1.5)
    yield f"{number(lab, 'butt trim', playing_length_in=34.75):.1f} in instead of {number(lab, 'butt trim'):.1f} in"


def test_each_lesson_has_its_answers_before_the_keys():
    assert list(ANSWERS) == LESSONS
    places = [CELLS.index(cell) for cell in ANSWERS.values()]
    assert places == list(range(1, 14))
    keys = next(number for number, cell in enumerate(CELLS) if cell.startswith("## The key for a seed"))
    assert keys == places[-1] + 1


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_answers_numbers_are_the_lab_s(lesson):
    found = globals()[f"lesson_{lesson}"]()
    expected = [found] if isinstance(found, str) else list(found)
    assert len(expected) >= 2 or lesson == "00"
    told = numbers(ANSWERS[lesson])
    for each in map(numbers, expected):
        assert each, "nothing to look for"
        assert any(told[at : at + len(each)] == each for at in range(len(told))), each
