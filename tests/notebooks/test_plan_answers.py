"""The instructor's answers: for each lesson, the numbers that matter, computed again by its lab."""

import math
import re
from pathlib import Path

import nbformat
import pytest

from trimkit import study
from trimkit.check.stepshares import step_shares
from trimkit.check.stepworth import step_worth
from trimkit.club.card import card_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set

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
    heavy, light = (number(lab, "frequency", head_mass_g=273.3 + more) for more in (10, -10))
    yield f"{before - off:.1f} cpm ({before:.1f} to {off:.1f} cpm)"
    yield f"{off:.2f} and {deeper:.2f} cpm"
    yield f"{before - heavy:.1f} cpm (heavier) to {light - before:.1f} cpm (lighter)"
    yield said(lab, "tip trim", bbgl_in=1.5)
    yield f"{number(lab, 'frequency', bbgl_in=1.5) - before:.1f} cpm stiffer"


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
    built = build_set(shipped_order("taper_soft_step"))
    one, two = (
        next(each.stepped_cpm - each.unstepped_cpm for each in step_worth(built, steps) if each.club == "6-iron")
        for steps in (1, 2)
    )
    yield f"{two:.2f} cpm against 2 × {one:.2f} = {2 * round(one, 2):.2f} cpm"
    half = number(study.stepping_lab(), "in flexes, mechanics", cpm_per_flex=9.75)
    yield f"9.75 cpm ({abs(half):.2f} of a flex"


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
    before, down = number(lab, "frequency, head on"), number(lab, "tip deflection")
    moved = {"tip_trim_in": 5.0, "butt_trim_in": 1.1}
    yield f"{number(lab, 'tip deflection', **moved):.2f} in instead of {down:.2f} in"
    swing = number(lab, "frequency, head on", **moved)
    yield f"{swing:.1f} cpm instead of {before:.1f} cpm"
    bends = study.thirds_table()["share of the bend (%)"]
    yield f"{bends.iloc[2]:.0f} %, the middle one {bends.iloc[1]:.0f} %, the one nearest the tip {bends.iloc[0]:.0f} %"
    seven = build_set(shipped_order()).club("7-iron")
    steps = step_shares(card_of(seven.plan, seven.assembly), 0.5).steps
    low, high = (100 * sum(step.fraction for step in part) for part in (steps[:5], steps[10:15]))
    yield f"Steps 1 to 5 give about {low:.0f} %, steps 11 to 15 about {high:.0f} %"
    second_moment = math.pi / 64 * (9.731**4 - 9.020**4)
    yield f"I = {second_moment:.1f} mm⁴, EI = 210 000 × {second_moment:.1f} / 1 000 000 = {0.21 * second_moment:.1f} N m²"


def lesson_07():
    lab = study.flex_scale_lab()
    before, lighter = number(lab, "frequency"), number(lab, "frequency", head_mass_g=263.3)
    as_ordered = said(lab, "flex, scale as ordered", head_mass_g=263.3)
    yield f"{lighter:.1f} cpm, {lighter - before:.1f} cpm more: {as_ordered}"
    deeper = number(lab, "frequency", clamp_in=6.0)
    yield f"{deeper:.1f} cpm, {deeper - before:.1f} cpm more"
    quarter = {"tip_trim_in": 4.375}
    yield f"{said(lab, 'flex, scale as ordered', **quarter)} ({number(lab, 'frequency', **quarter):.1f} cpm)"
    yield f"0.14° under 10 N m ({number(lab, 'frequency', compliance_deg=0.14):.1f} cpm)"
    by_head = [said(lab, "flex, scale as ordered", head_mass_g=grams) for grams in (268.3, 268.8)]
    yield f"268.3 g, reads {by_head[0]}; 268.8 g reads {by_head[1]}"


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
