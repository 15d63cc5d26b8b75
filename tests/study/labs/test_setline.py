"""The lab of the set's line: readouts are the pure function's, one wrong club tilts each line as lesson 09 says."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from trimkit.check.setline import fit_line
from trimkit.club.club import club_frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import schedule_lab, set_line_lab, slopes_table, three_lines_table
from trimkit.study.labs.setline import (
    BY_EYE,
    LEAST_SQUARES,
    MEDIAN,
    SetLineParams,
    class_irons,
    irons_on_line,
    miscut_cpm,
)

LAB = set_line_lab
IRONS = class_irons()
NAMES = [iron.plan.club for iron in IRONS]
STEPS = np.arange(-12, 13) / 16


def line_of(way, club="9-iron", off=0.0):
    return irons_on_line(IRONS, SetLineParams(club, off, way))


def deviations(on_line):
    return {club.club: round(club.deviation_cpm, 1) for club in on_line.report.clubs}


def outside(on_line):
    return [(club.club, round(club.deviation_cpm, 1)) for club in on_line.off]


def test_the_lab_begins_with_the_irons_of_the_class_cut_right(lab):
    assert NAMES == ["4-iron", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron"]
    built = build_set(shipped_order())
    for club in lab.result.report.clubs:
        assert club.frequency_cpm == pytest.approx(built.club(club.club).frequency_cpm, abs=1e-9)
    assert lab.readout["slope"].value == 4.3


@pytest.mark.parametrize(
    ("club", "off", "way"), [("4-iron", -0.75, BY_EYE), ("7-iron", 0.25, LEAST_SQUARES), ("9-iron", 0.75, MEDIAN)]
)
def test_ends_and_middle_show_what_the_pure_function_says(lab, club, off, way):
    lab.set(club=club, off_rule_in=off, way=way, slope_cpm_per_half_in=6.0, height_cpm=309.0)
    pure = irons_on_line(IRONS, SetLineParams(club, off, way, 6.0, 309.0))
    assert lab.result.report == pure.report
    assert lab.readout["frequency"].value == pure.club.frequency_cpm
    assert lab.readout["off the line"].value == pure.club.deviation_cpm
    assert lab.readout["outside the band"].value == len(pure.off)
    assert f"{pure.club.frequency_cpm:.1f} cpm" in lab.sentence
    x, y = lab.scene.live["clubs"].get_data()
    assert list(x) == [each.playing_length_in for each in pure.report.clubs]
    assert list(y) == [each.frequency_cpm for each in pure.report.clubs]


def test_the_moved_club_has_the_frequency_of_that_cut(lab):
    lab.set(club="5-iron", off_rule_in=0.25)
    club = IRONS[1]
    (cpm,) = club_frequencies_cpm(club.plan, club.assembly, (club.plan.tip_trim_in + 0.25,))
    assert lab.readout["frequency"].value == pytest.approx(cpm, abs=1e-9)
    assert lab.readout["tip trim"].value == club.plan.tip_trim_in + 0.25


@pytest.mark.parametrize("club", NAMES)
def test_the_three_lines_are_those_of_their_definitions(club):
    """By eye: two numbers; least squares and repeated median: SciPy's."""
    for off in (-0.75, 0.0, 0.5):
        clubs = line_of(MEDIAN, club, off).report.clubs
        length = [each.playing_length_in for each in clubs]
        cpm = [each.frequency_cpm for each in clubs]
        least = line_of(LEAST_SQUARES, club, off).report.line
        theirs = stats.linregress(length, cpm)
        assert least.slope_cpm_per_half_in == pytest.approx(-theirs.slope / 2, rel=1e-9)
        assert least.at_cpm(36.0) == pytest.approx(theirs.intercept + 36 * theirs.slope, abs=1e-6)
        median = line_of(MEDIAN, club, off).report.line
        assert median.slope_cpm_per_half_in == pytest.approx(-stats.siegelslopes(cpm, length).slope / 2, rel=1e-9)
        eye = irons_on_line(IRONS, SetLineParams(club, off, BY_EYE, 5.0, 310.0)).report.line
        assert (eye.at_cpm(37.0), eye.at_cpm(36.0)) == (310.0, 320.0)


def test_marks_and_number_stay_in_the_picture_and_apart_and_the_sentence_on_four_lines(lab):
    eyes = [
        {"way": BY_EYE, "slope_cpm_per_half_in": slope, "height_cpm": height}
        for slope, height in itertools.product((4.0, 6.0), (309.0, 316.0))
    ]
    lines = [*eyes, {"way": LEAST_SQUARES}, {"way": MEDIAN}]
    upper, lower = lab.figure.axes
    (bottom, top), (low, high) = upper.get_ylim(), lower.get_ylim()
    width, height = lab.figure.bbox.size
    for club, off, line in itertools.product((NAMES[0], NAMES[2], NAMES[3], NAMES[5]), (-0.75, 0.75), lines):
        lab.set(club=club, off_rule_in=off, **line)
        assert len(lab.sentence) <= 380, (len(lab.sentence), lab.sentence)
        lab.figure.draw_without_rendering()
        box = lab.scene.live["says"].get_window_extent()
        assert min(box.x0, box.y0) >= 0
        assert box.x1 <= width
        assert box.y1 <= height
        assert not box.overlaps(upper.xaxis.label.get_window_extent())
        for at, each in enumerate(lab.result.report.clubs):
            assert bottom < each.frequency_cpm < top
            assert bottom < each.line_cpm < top
            assert low < each.deviation_cpm < high
            x, y = lower.transData.transform((at, each.deviation_cpm))
            assert not (box.x0 - 2 < x < box.x1 + 2 and box.y0 - 2 < y < box.y1 + 2), (club, off, line, each.club)


def test_the_sentence_says_what_the_bbgl_adds_to_the_schedule_s_cut(lab):
    """The 9-iron's BBGL is 1.03 in, the schedule is for 1 in; the 7-iron's is the schedule's own."""
    lab.set(club="9-iron")
    assert lab.sentence.startswith("9-iron, the rule's 5.03 in (127.8 mm; schedule 5 in, BBGL +0.03 in) off the tip")
    lab.set(club="7-iron")
    assert lab.sentence.startswith("7-iron, the rule's 4 in (101.6 mm) off the tip")


# What lesson 09 says


def test_lesson_the_irons_lie_on_a_line_of_their_own_slope():
    """5.03 cpm per half inch by the median, each within 0.8; at the quoted 4.3 the 9-iron, cut right, is outside."""
    now = line_of(MEDIAN)
    assert round(now.report.line.slope_cpm_per_half_in, 2) == 5.03
    assert max(abs(off) for off in deviations(now).values()) == 0.8
    assert outside(line_of(BY_EYE)) == [("9-iron", 2.4)]


def test_lesson_the_wrong_9_iron_on_three_lines():
    """3/4 in too much is worth 5.4 cpm; least squares: +3.0, and the 8-iron is called too soft; median: +5.8 alone."""
    right, wrong = line_of(MEDIAN), line_of(MEDIAN, off=0.75)
    assert round(wrong.club.frequency_cpm - right.club.frequency_cpm, 1) == 5.4
    assert outside(wrong) == [("9-iron", 5.8)]
    assert wrong.report.line == right.report.line
    assert outside(line_of(LEAST_SQUARES, off=0.75)) == [("8-iron", -2.4), ("9-iron", 3.0)]


def test_lesson_one_wrong_club_turns_the_median_line_less():
    """Any iron, 3/4 in too much or too little: the least-squares line turns by more than the median line."""
    ways = LEAST_SQUARES, MEDIAN
    right = {way: line_of(way).report.line.slope_cpm_per_half_in for way in ways}
    turned = {
        way: [
            abs(line_of(way, club, off).report.line.slope_cpm_per_half_in - right[way])
            for club, off in itertools.product(NAMES, (-0.75, 0.75))
        ]
        for way in ways
    }
    assert max(turned[MEDIAN]) < 0.5 * max(turned[LEAST_SQUARES])
    for way in ways:  # and half of the clubs lie on either side of a median line
        off = [each.deviation_cpm for each in line_of(way, off=0.75).report.clubs]
        assert (abs(float(np.median(off))) < 1e-9) is (way == MEDIAN)


def test_lesson_the_worked_example():
    """313.0 cpm at 37 in, 5.0 cpm per half inch, the wrong 9-iron 328.9 cpm at 36 in: +5.9 by hand."""
    wrong = line_of(MEDIAN, off=0.75)
    assert (wrong.club.playing_length_in, round(wrong.club.frequency_cpm, 1)) == (36.0, 328.9)
    assert round(328.9 - (313.0 + 5.0 * 2), 1) == 5.9
    for off in (0.0, 0.75):  # the eye's line fits the irons that are cut right
        eye = irons_on_line(IRONS, SetLineParams("9-iron", off, BY_EYE, 5.0, 313.0)).off
        assert [each.club for each in eye] == (["9-iron"] if off else [])
    four = wrong.report.clubs[0]
    assert (four.playing_length_in, round(four.frequency_cpm, 1)) == (38.5, 297.9)
    assert f"{(328.9 - 297.9) / 5:.2f}" == slopes_table().loc["4-iron", "to 9"] == "6.20"


def test_lesson_the_miscut_9_iron_on_three_lines_can_be_worked_by_hand():
    """Least squares and repeated median by SciPy; height + 2 slopes = the line at 36 in, and 328.9 less that."""
    table = three_lines_table()
    clubs = line_of(MEDIAN, off=0.75).report.clubs
    length, cpm = [each.playing_length_in for each in clubs], [each.frequency_cpm for each in clubs]
    least, siegel = stats.linregress(length, cpm), stats.siegelslopes(cpm, length).slope
    assert list(table.loc["by eye"]) == ["313.0", "5.00", "323.0", "+5.9"]
    assert table.loc["least squares"].iloc[0] == f"{least.intercept + 37 * least.slope:.1f}"
    assert list(table.iloc[1:, 1]) == [f"{-least.slope / 2:.2f}", f"{-siegel / 2:.2f}"]
    for _, (height, slope, there, off) in table.iterrows():
        assert float(height) + 2 * float(slope) == pytest.approx(float(there), abs=0.05)
        assert round(328.9 - float(there), 1) == float(off)


def test_lesson_the_slopes_of_every_pair():
    """The 4-iron's row is in the lesson, and of the others the median."""
    rows = {name: slopes_table(name).loc[name] for name in NAMES}
    assert slopes_table().equals(slopes_table("4-iron"))
    assert sorted(map(float, rows["4-iron"].drop("median"))) == [4.65, 4.93, 5.03, 5.31, 6.20]
    assert sorted(float(row["median"]) for row in rows.values()) == [4.89, 4.93, 5.03, 5.03, 5.21, 7.23]
    assert rows["4-iron"]["median"] == "5.03"
    wrong = line_of(MEDIAN, off=0.75)
    assert f"{wrong.report.line.slope_cpm_per_half_in:.2f}" == "5.03"
    by_name = {club.club: club for club in wrong.report.clubs}
    for one, other in itertools.permutations(NAMES, 2):
        here, there = by_name[one], by_name[other]
        half_inches = (here.playing_length_in - there.playing_length_in) * 2
        slope = (there.frequency_cpm - here.frequency_cpm) / half_inches
        assert rows[one][f"to {other[0]}"] == f"{slope:.2f}"
    assert all(f"to {name[0]}" not in rows[name] for name in NAMES)


@pytest.mark.parametrize("drawn_through", range(6))
def test_lesson_the_median_line_s_height_by_hand(drawn_through):
    """Through any club with the median slope, then raised by the median of all deviations."""
    report = line_of(MEDIAN, off=0.75).report
    through, slope = report.clubs[drawn_through], report.line.slope_cpm_per_half_in
    off = [
        each.frequency_cpm - through.frequency_cpm - slope * 2 * (through.playing_length_in - each.playing_length_in)
        for each in report.clubs
    ]
    assert through.frequency_cpm + np.median(off) == pytest.approx(through.line_cpm, abs=1e-9)
    assert np.median([each.deviation_cpm for each in report.clubs]) == pytest.approx(0.0, abs=1e-9)


def test_lesson_two_wrong_neighbours_fool_the_median_line():
    """Two good clubs lie as far off as the two bad ones; the slope stays between those of the good pairs."""
    length = [iron.plan.playing_length_in for iron in IRONS]
    cpm = [miscut_cpm(iron, 0.75 if iron.plan.club in ("8-iron", "9-iron") else 0.0) for iron in IRONS]
    line = fit_line(length, cpm)
    off = [each - line.at_cpm(there) for there, each in zip(length, cpm, strict=True)]
    assert [round(each, 1) for each in off[2:]] == [-2.0, -2.0, 2.2, 2.3]
    assert min(map(abs, off[2:])) > 2 > max(map(abs, off[:2]))  # so all four, and no other, get a cross
    assert f"{line.slope_cpm_per_half_in:.2f}" == "5.79"
    good = [
        float(slopes_table(f"{a}-iron").loc[f"{a}-iron", f"to {b}"]) for a, b in itertools.combinations((4, 5, 6, 7), 2)
    ]
    assert (min(good), max(good)) == (4.0, 5.79)


def test_lesson_from_7_to_8_iron_it_is_4_6_here_and_4_7_in_lesson_01():
    """Lesson 01's 8-iron has the same head with a BBGL of 1 in; this one has 0.97 in."""
    seven, eight = (next(iron for iron in IRONS if iron.plan.club == club) for club in ("7-iron", "8-iron"))
    assert round(eight.frequency_cpm, 1) - round(seven.frequency_cpm, 1) == pytest.approx(4.6)
    assert eight.plan.wanted.head.bbgl_in == 0.97
    lesson_01 = schedule_lab()
    lesson_01.set(club="8-iron", flexes_above=1.0)
    there = lesson_01.result.club.plan.wanted
    assert there.head == replace(eight.plan.wanted.head, bbgl_in=there.bbgl_in)
    assert there.bbgl_in == 1.0
    assert lesson_01.readout["frequency"].value - seven.frequency_cpm == pytest.approx(4.7, abs=0.05)


def test_lesson_exercises():
    """A: the 9-iron stays inside from 7/16 in too little to 3/16 too much. B: 2.9 / 3.3 x 1/2 in."""
    inside = [off for off in STEPS if line_of(MEDIAN, off=off).club.within]
    assert (inside[0], inside[-1]) == (-7 / 16, 3 / 16)
    little = line_of(MEDIAN, "7-iron", -0.5)
    assert round(line_of(MEDIAN, "7-iron").club.frequency_cpm - little.club.frequency_cpm, 1) == 3.3
    assert (round(little.club.frequency_cpm, 1), round(little.club.deviation_cpm, 1)) == (309.7, -2.9)
    assert pytest.approx(7 / 16, abs=1 / 64) == 2.9 / 3.3 * 0.5
    assert round(line_of(MEDIAN, "7-iron", -0.5 + 7 / 16).club.deviation_cpm, 1) == -0.2
    assert abs(line_of(MEDIAN, "7-iron").club.deviation_cpm) < 0.05


def test_lesson_a_soft_9_iron_would_bring_the_4_iron_s_median_down_to_4_93():
    others = slopes_table("4-iron").loc["4-iron", [f"to {number}" for number in (5, 6, 7, 8)]].astype(float)
    assert (np.median([*others, 99.0]), np.median([*others, 0.0])) == (5.03, 4.93)
