"""The instructor's answers: for each lesson, the numbers that matter, computed again by its lab."""

import re
from dataclasses import replace
from pathlib import Path

import nbformat
import pytest

from trimkit import study
from trimkit.check.stepshares import step_shares
from trimkit.check.stepworth import step_worth
from trimkit.club.card import card_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import TrimRefused
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
    before, less, longer = (
        number(lab, "frequency", tip_trim_in=trim, playing_length_in=playing)
        for trim, playing in ((4.0, 37.0), (3.5, 37.0), (4.0, 37.5))
    )
    yield f"{before - less:.1f} cpm ({before:.1f} to {less:.1f} cpm)"
    yield f"{number(lab, 'butt trim'):.1f} in to {number(lab, 'butt trim', tip_trim_in=3.5):.1f} in"
    yield said(lab, "butt trim", tip_trim_in=3.5).replace(" (", ", ")
    yield f"{before - longer:.1f} cpm ({before:.1f} to {longer:.1f} cpm)"
    butt = said(lab, "butt trim", playing_length_in=37.5).replace(" (", ", ")
    yield f"{number(lab, 'butt trim', playing_length_in=37.5):.1f} in ({butt}"
    yield said(lab, "tip trim", tip_trim_in=5.0625, playing_length_in=38.0)
    with pytest.raises(TrimRefused, match="0.025 in too short"):
        lab.set(tip_trim_in=5.125, playing_length_in=38.0)


def lesson_01():
    lab = study.schedule_lab()
    for club in ("7-iron", "4-iron"):
        yield said(lab, "tip trim", club=club, flexes_above=1.5)
    yield f"{number(lab, 'frequency'):.1f} cpm against {number(lab, 'frequency', club='4-iron'):.1f} cpm"
    yield f"its S ({number(lab, 'frequency', club='4-iron', flexes_above=2.0):.1f} cpm)"
    yield f"its A ({number(lab, 'frequency', club='9-iron', flexes_above=0.0):.1f} cpm)"


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
    yield f"Too long, by {long_in:.2f} in ({long_in * 25.4:.1f} mm)"
    soft = lab.result.flexes_off(lab.result.by_number)
    yield f"Too soft, by {-soft:.2f} of a flex"
    light = lab.set(head_mass_g=248.8).result
    four = next(club for club in light.line.clubs if club.plan.club == "4-iron")
    lighter = four.plan.wanted.head.head_mass_g - 248.8
    cpm, flexes = light.by_number.frequency_cpm - four.frequency_cpm, light.flexes_off(light.by_number)
    yield f"{lighter:.1f} g lighter than the 4-iron's 253.5 g: {cpm:.1f} cpm, or {flexes:.2f}"
    off = {mass: lab.set(head_mass_g=mass).result.flexes_off(lab.result.by_number) for mass in (249.0, 249.1, 249.2)}
    quarter = min(off, key=lambda mass: abs(off[mass] - 0.25))
    yield f"At about {quarter:.1f} g, {253.5 - quarter:.1f} g below"
    place = (255 - 253.5) / 6.5
    yield f"{place:.3f}: a {4 + place:.2f}-iron"
    yield f"{2.5 + place / 2:.3f} in"
    yield f"{38.5 - place / 2:.3f} in"


def lesson_04():
    lab = study.stepping_lab()
    butts = (f"{number(lab, 'butt trim', soft_steps=steps):.2f} in" for steps in (1.0, 0.0))
    yield " ".join(butts)
    yield " ".join(f"{number(lab, 'frequency', soft_steps=steps):.1f}" for steps in (0.0, -2.0)) + " cpm"
    lab.set(soft_steps=-1.0, club="9-iron")
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
    before, down = number(lab, "frequency, head on"), number(lab, "tip deflection")
    moved = {"tip_trim_in": 5.0, "butt_trim_in": 1.1}
    yield f"{number(lab, 'tip deflection', **moved):.2f} in instead of {down:.2f} in"
    swing = number(lab, "frequency, head on", **moved)
    yield f"{swing:.1f} cpm instead of {before:.1f} cpm"
    bends = study.thirds_table()["share of the whole (%)"]
    yield f"It does {bends.iloc[0]} %, the middle one {bends.iloc[1]} %, the one at the clamp {bends.iloc[2]} %"
    seven = build_set(shipped_order()).club("7-iron")
    steps = step_shares(card_of(seven.plan, seven.assembly), 0.5).steps
    low, high = (100 * sum(step.fraction for step in part) for part in (steps[:5], steps[10:15]))
    yield f"Steps 1 to 5 give about {low:.0f} %, steps 11 to 15 about {high:.0f} %"
    drop = 2 * (30 / 15) ** 3
    yield f"= {drop:.0f} mm. The 15 in next to the clamp add {drop:.0f} − 2 = {drop - 2:.0f} mm, {100 - 200 / drop:.0f} %"


def lesson_07():
    lab = study.flex_scale_lab()
    before, lighter = number(lab, "frequency"), number(lab, "frequency", head_mass_g=263.3)
    as_ordered = said(lab, "flex, scale as ordered", head_mass_g=263.3)
    yield f"{lighter:.1f} cpm, {lighter - before:.1f} cpm more: {as_ordered}"
    deeper = number(lab, "frequency", clamp_in=6.0)
    yield f"{deeper:.1f} cpm, {deeper - before:.1f} cpm more"
    quarter = {"tip_trim_in": 4.375}
    yield f"{said(lab, 'flex, scale as ordered', **quarter)} ({number(lab, 'frequency', **quarter):.1f} cpm)"
    yield f"0.10° under 10 N m ({number(lab, 'frequency', compliance_deg=0.10):.1f} cpm)"
    by_head = [said(lab, "flex, scale as ordered", head_mass_g=grams) for grams in (268.3, 268.8)]
    yield f"268.3 g, reads {by_head[0]}; 268.8 g reads {by_head[1]}"


def lesson_08():
    lab = study.balance_lab()
    before, grip, head = (number(lab, "swingweight", **to) for to in ({}, {"grip_mass_g": 56}, {"head_mass_g": 263.3}))
    yield f"{before - grip:.1f} points, to {said(lab, 'swingweight', grip_mass_g=56.0)}"
    yield f"{before - head:.1f} points, to {said(lab, 'swingweight', head_mass_g=263.3)}"
    yield f"A head of {lab.set(target_points=-3.0).result.head_mass_g:.1f} g"
    yield f"{lab.set(playing_length_in=37.5).result.masses['head'].g_per_point:.2f} g at 37 1/2 in"
    yield f"reads {said(lab, 'swingweight', head_mass_g=278.8)}"
    yield f"{said(lab, 'swingweight', grip_mass_g=63.0, playing_length_in=37.5)} at 63 g"
    moi = number(lab, "MOI")
    yield f"{number(lab, 'MOI', grip_mass_g=62.0, playing_length_in=37.5):.0f} instead of {moi:.0f} kg cm²"
    yield f"268.8 g reads {said(lab, 'swingweight', head_mass_g=268.8)}, so type 269"
    rise = number(lab, "frequency", head_mass_g=269.0) - number(lab, "frequency")
    yield f"{number(lab, 'MOI', head_mass_g=269.0):.0f} instead of {moi:.0f} kg cm², {rise:.1f} cpm"
    yield f"56 g grip the MOI is {number(lab, 'MOI', grip_mass_g=56.0):.0f} kg cm²"


def lesson_09():
    lab = study.set_line_lab()
    wrong, least, median = {"off_rule_in": 0.75}, {"way": "least squares"}, {"way": "median"}
    more = number(lab, "frequency", **wrong) - number(lab, "frequency")
    yield f"{number(lab, 'frequency', **wrong):.1f} cpm, {more:.1f} cpm more"
    yield f"from {number(lab, 'slope', **least):.2f} to {number(lab, 'slope', **least, **wrong):.2f} cpm"
    yield f"8-iron suffers most: {lab.result.report.clubs[4].deviation_cpm:.1f} cpm"
    yield f"stays at {number(lab, 'slope', **median, **wrong):.2f} cpm"
    yield f"{number(lab, 'off the line', **median, **wrong):.1f} cpm off, the {more:.1f} of the cut"
    yield f"At {number(lab, 'slope'):.1f} the 9-iron is {number(lab, 'off the line'):.1f} cpm off"
    yield f"and {number(lab, 'off the line', **median):.1f} that were there before"
    little, much = ({"off_rule_in": off} for off in (-0.4375, 0.1875))
    ends = [f"{number(lab, 'off the line', **median, **off):.1f} cpm" for off in (little, much)]
    yield f"7/16 in (11.1 mm) too little, {ends[0]}, to 3/16 in (4.8 mm) too much, {ends[1]}"
    seven = {"club": "7-iron", **median}
    right, short = number(lab, "frequency", **seven), number(lab, "frequency", **seven, off_rule_in=-0.5)
    lost, below = round(right - short, 1), round(-number(lab, "off the line", **seven, off_rule_in=-0.5), 1)
    yield f"{below:.1f} / {lost:.1f} × 1/2 in = {below / lost / 2:.2f} in, about 7/16 in"
    yield f"1/16 in too little then reads {number(lab, 'off the line', **seven, off_rule_in=-0.0625):.1f} cpm"


def lesson_10():
    lab = study.tolerance_lab()
    yield f"±1/64 in): {number(lab, 'all ten within', lengths_in=0.015625):.1f} sets of a hundred"
    yield f"(EI to ±1 %): {number(lab, 'all ten within', ei_percent=1.0):.1f} of a hundred"
    yield f"±1/8 in): {number(lab, 'all ten within', lengths_in=0.125):.1f} of a hundred"
    usual, finer, evener = (
        f"±{number(lab, 'one club: ±', **values):.1f}" for values in ({}, {"lengths_in": 1 / 64}, {"ei_percent": 1.0})
    )
    yield f"from {usual} to {finer} cpm. EI to ±1 %: it goes to {evener} cpm"
    yield f"{number(lab, 'all ten within', ei_percent=0.5):.1f} sets of a hundred"
    sides = lab.result.group_cpm
    assert lab.result.first == "wall"
    yield f"the largest: ±{sides['wall']:.1f} cpm, against ±{sides['EI']:.1f} for EI"
    yield f"±0.5 % it is {number(lab, 'all ten within', ei_percent=0.5, wall_percent=0.5):.1f} of a hundred"
    fine = {"allowed_cpm": 1.0, "ei_percent": 0.5, "lengths_in": 1 / 64}
    yield f"{number(lab, 'all ten within', wall_percent=0.25, **fine):.1f} of a hundred within 1 cpm"
    yield f"±0.5 % it is {number(lab, 'all ten within', wall_percent=0.5, **fine):.1f}"


def lesson_11():
    lab = study.what_if_lab()
    yield f"{said(lab, 'frequency', playing_length_in=0.5)}"
    yield f"swingweight {said(lab, 'swingweight', playing_length_in=0.5)}"
    both = number(lab, "frequency", head_mass_g=8.0, bbgl_in=0.5)
    yield f"{number(lab, 'frequency') - both:.1f} cpm softer ({both:.1f} cpm)"
    yield f"({number(lab, 'MOI', grip_mass_g=10.0):.0f} for {number(lab, 'MOI'):.0f} kg cm²)"
    made_up = {"bbgl_in": 0.5, "tip_trim_in": 0.5}
    yield f"{number(lab, 'frequency', **made_up):.1f} for {number(lab, 'frequency'):.1f} cpm"
    yield f"{said(lab, 'swingweight', head_mass_g=-4.0, tip_weight_g=4.0)} for {said(lab, 'swingweight')}"
    for change in ({"head_mass_g": 4.0}, {"tip_weight_g": 4.5}, {"playing_length_in": 0.25}):
        lab.reset()
        lab.set(club="9-iron", **change)
        yield f"{lab.readout['swingweight']}, {lab.readout['frequency']}"
    for change in ({"playing_length_in": 0.4375}, {"bbgl_in": 0.5}):
        yield said(lab, "flex place", club="4-iron", **change)


def lesson_12():
    lab = study.rationale_lab()
    before = number(lab, "frequency")
    half = number(lab, "frequency", flexes_above=1.5)
    yield f"{half - before:.1f} cpm stiffer ({before:.1f} to {half:.1f} cpm)"
    yield said(lab, "tip trim", flexes_above=1.5)
    yield said(lab, "tip trim", bbgl_in=0.75)
    flexed, bored = (part.cpm for part in lab.result.parts[1:3])
    yield f"{flexed - bored:.1f} cpm softer ({flexed:.2f} to {bored:.2f} cpm)"
    yield f"{number(lab, 'frequency', bbgl_in=1.75):.1f} cpm at a BBGL of 1 3/4 in"
    yield f"{said(lab, 'tip trim')} again, {before:.1f} cpm"


def test_each_lesson_has_its_answers_before_the_keys():
    assert list(ANSWERS) == LESSONS
    places = [CELLS.index(cell) for cell in ANSWERS.values()]
    assert places == list(range(1, 14))
    keys = next(number for number, cell in enumerate(CELLS) if cell.startswith("## The key for a seed"))
    assert keys == places[-1] + 1


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_answers_numbers_are_the_lab_s(lesson):
    found = globals()[f"lesson_{lesson}"]()
    expected = list(found)
    assert len(expected) >= 2
    told = numbers(ANSWERS[lesson])
    for each in map(numbers, expected):
        assert each, "nothing to look for"
        assert any(told[at : at + len(each)] == each for at in range(len(told))), each
