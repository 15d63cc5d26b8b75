"""The lab of the set's line: readouts are the pure function's, a bad club does not move it, the lesson is so."""

import itertools

import numpy as np
import pytest

from trimkit.check.doublecheck import double_check
from trimkit.check.inverse import trim_for
from trimkit.club.club import club_frequencies_cpm
from trimkit.study import set_line_lab
from trimkit.study.labs.setline import OWN, SetLineParams, evening_class, rack_assignments, rack_table, set_on_line

LAB = set_line_lab
START = evening_class()
CLUBS = [club.plan.club for club in START.built.clubs]


def least_squares_slope(on_line):
    length, cpm = zip(*((club.playing_length_in, club.frequency_cpm) for club in on_line.report.clubs), strict=True)
    return -0.5 * np.polyfit(length, cpm, 1)[0]


def test_the_lab_begins_with_the_double_check_of_the_class(lab):
    check = double_check(START.built)
    assert [club.deviation_cpm for club in lab.result.report.clubs] == pytest.approx(
        [club.deviation_cpm for club in check.clubs], abs=1e-9
    )
    assert lab.result.off == ()


@pytest.mark.parametrize(
    ("club", "off", "tolerance", "target"),
    [("3-hybrid", -0.75, 0.5, OWN), ("7-iron", 0.0, 2.0, "4.3"), ("sand wedge", 0.75, 5.0, "5.5")],
)
def test_ends_and_middle_show_what_the_pure_function_says(lab, club, off, tolerance, target):
    lab.set(club=club, off_rule_in=off, tolerance_cpm=tolerance, target=target)
    pure = set_on_line(START, SetLineParams(club, off, tolerance, target))
    assert lab.result.report == pure.report
    assert lab.readout["frequency"].value == pure.club.frequency_cpm
    assert lab.readout["off the line"].value == pure.club.deviation_cpm
    assert lab.readout["outside the band"].value == len(pure.off)
    assert f"{pure.club.frequency_cpm:.1f} cpm" in lab.sentence
    (x,), (y,) = lab.scene.live["club"].get_data()
    assert (x, y) == (pure.club.playing_length_in, pure.club.frequency_cpm)


def test_the_moved_club_has_the_frequency_of_that_cut(lab):
    lab.set(club="5-iron", off_rule_in=0.25)
    club = START.built.club("5-iron")
    (cpm,) = club_frequencies_cpm(club.plan, club.assembly, (club.plan.tip_trim_in + 0.25,))
    assert lab.readout["frequency"].value == pytest.approx(cpm, abs=1e-9)


def test_the_cut_that_mends_it_puts_the_club_on_the_line():
    moved = set_on_line(START, SetLineParams("8-iron", 0.5, 2.0, OWN))
    assert moved.to_line.frequency_cpm == pytest.approx(moved.club.line_cpm, abs=1e-6)


def test_a_wanted_slope_is_the_slope_of_the_line(lab):
    for target in ("3.5", "4.3", "5.5"):
        lab.set(target=target)
        assert lab.readout["slope"].value == float(target)


def test_marks_and_number_stay_in_the_picture_and_apart_and_the_sentence_on_four_lines(lab):
    wide = itertools.product((CLUBS[0], CLUBS[4], CLUBS[5], CLUBS[9]), (-0.75, 0.75), (OWN, "3.5", "5.5"))
    upper, lower = lab.figure.axes
    (bottom, top), (low, high) = upper.get_ylim(), lower.get_ylim()
    width, height = lab.figure.bbox.size
    for club, off, target in wide:
        lab.set(club=club, off_rule_in=off, target=target, tolerance_cpm=0.5)
        assert len(lab.sentence) <= 380, (len(lab.sentence), lab.sentence)
        lab.figure.draw_without_rendering()
        box = lab.scene.live["says"].get_window_extent()
        assert min(box.x0, box.y0) >= 0
        assert box.x1 <= width
        assert box.y1 <= height
        assert not box.overlaps(upper.xaxis.label.get_window_extent())
        for at, each in enumerate(lab.result.report.clubs):
            assert bottom < each.frequency_cpm < top
            assert low < each.deviation_cpm < high
            x, y = lower.transData.transform((at, each.deviation_cpm))
            assert not (box.x0 - 2 < x < box.x1 + 2 and box.y0 - 2 < y < box.y1 + 2), (club, off, target, each.club)


def test_what_the_lesson_says_of_the_set_s_line_is_so():
    """Lesson 09: 4.70 cpm per half inch, every club within 0.6 cpm; the straight line by least squares has 4.4."""
    now = set_on_line(START, SetLineParams("7-iron", 0.0, 2.0, OWN))
    assert now.report.line.slope_cpm_per_half_in == pytest.approx(4.70, abs=0.005)
    assert max(abs(club.deviation_cpm) for club in now.report.clubs) < 0.6
    assert least_squares_slope(now) == pytest.approx(4.4, abs=0.05)


def test_what_the_lesson_says_of_the_7_iron_is_so():
    """Lesson 09: half an inch too much: about 4.1 cpm off, 0.59 in to mend; the line keeps its slope within 0.01."""
    right, wrong = (set_on_line(START, SetLineParams("7-iron", off, 2.0, OWN)) for off in (0.0, 0.5))
    assert wrong.club.deviation_cpm == pytest.approx(4.1, abs=0.05)
    assert -wrong.to_line.change_in == pytest.approx(0.59, abs=0.005)
    assert [club.club for club in wrong.off] == ["7-iron"]
    slopes = [each.report.line.slope_cpm_per_half_in for each in (right, wrong)]
    assert slopes[1] == pytest.approx(slopes[0], abs=0.01)


def test_what_the_lesson_says_of_a_wild_club_is_so():
    """Lesson 09: with the 3-hybrid 3/4 in off, least squares is pulled by 0.28 cpm per half inch, this by 0.01."""
    right, wrong = (set_on_line(START, SetLineParams("3-hybrid", off, 2.0, OWN)) for off in (0.0, 0.75))
    pulled = abs(least_squares_slope(wrong) - least_squares_slope(right))
    robust = abs(wrong.report.line.slope_cpm_per_half_in - right.report.line.slope_cpm_per_half_in)
    assert pulled == pytest.approx(0.28, abs=0.005)
    assert robust == pytest.approx(0.01, abs=0.005)


def test_what_the_lesson_says_of_a_wanted_slope_is_so():
    """Lesson 09: at 3.5 cpm per half inch six clubs lie outside, the long ones too soft, the short ones too stiff."""
    now = set_on_line(START, SetLineParams("7-iron", 0.0, 2.0, "3.5"))
    assert [(club.club, club.deviation_cpm > 0) for club in now.off] == [
        ("3-hybrid", False),
        ("4-hybrid", False),
        ("4-iron", False),
        ("9-iron", True),
        ("gap wedge", True),
        ("sand wedge", True),
    ]


def test_what_the_lesson_s_worked_example_says_is_so():
    """Lesson 09, worked example: from the class's 6-iron 307.2 cpm at 37 1/2 in and 4.7 to the 8-iron: 316.6; +1.0.

    With the 7-iron the slopes are 5.8, 4.6, 5.2; on the lab's line the 8-iron lies at -0.1.
    """
    six, eight = START.built.club("6-iron"), START.built.club("8-iron")
    assert round(six.frequency_cpm, 1) == 307.2
    assert round(eight.frequency_cpm, 1) == 317.6
    assert round(317.6 - 316.6, 1) == 1.0
    assert (six.plan.playing_length_in, eight.plan.playing_length_in) == (37.5, 36.5)
    assert round(307.2 + 4.7 * 2, 1) == 316.6
    seven = START.built.club("7-iron")
    assert (seven.plan.playing_length_in, round(seven.frequency_cpm, 1)) == (37.0, 313.0)
    assert [round(each, 1) for each in (313.0 - 307.2, 317.6 - 313.0, (317.6 - 307.2) / 2)] == [5.8, 4.6, 5.2]
    now = set_on_line(START, SetLineParams("8-iron", 0.0, 2.0, OWN))
    assert round(now.club.deviation_cpm, 1) == -0.1


def test_what_the_lesson_says_of_the_bend_is_so():
    """Lesson 09: +1.7 cpm at the 9-iron, -2.9 at the sand wedge; the irons rise by 5.1, the wedges by 1.9."""
    report = set_on_line(START, SetLineParams("7-iron", 0.0, 2.0, OWN)).report
    asked = {club.club: (club.playing_length_in, club.line_cpm) for club in report.clubs}
    bend = {club: cpm - report.line.at_cpm(length) for club, (length, cpm) in asked.items()}
    assert [round(bend[club], 1) for club in ("9-iron", "sand wedge")] == [1.7, -2.9]

    def rise(one, other):
        (a, low), (b, high) = asked[one], asked[other]
        return round((high - low) / (a - b) / 2, 1)

    assert (rise("4-iron", "9-iron"), rise("gap wedge", "sand wedge")) == (5.1, 1.9)
    assert report.line.playing_length_in == 37.25


def test_what_the_lesson_says_of_half_an_inch_at_the_seven_iron_is_so():
    """Lesson 09: 3.5 cpm from the cut, 0.6 were there before; least squares would lift its line by 0.3, not tilt it."""
    right, wrong = (set_on_line(START, SetLineParams("7-iron", off, 2.0, OWN)) for off in (0.0, 0.5))
    assert wrong.club.frequency_cpm - right.club.frequency_cpm == pytest.approx(3.5, abs=0.05)
    assert round(right.club.deviation_cpm, 1) == 0.6
    lines = [
        np.polyfit(*zip(*((c.playing_length_in - 37.25, c.frequency_cpm) for c in each.report.clubs), strict=True), 1)
        for each in (right, wrong)
    ]
    assert lines[1][1] - lines[0][1] == pytest.approx(0.35, abs=0.01)
    assert abs(lines[1][0] - lines[0][0]) / 2 < 0.03


def test_what_the_exercises_of_the_lesson_ask_of_the_lab_is_so():
    """Lesson 09: the 9-iron stays within 2 cpm from 5/16 in too little to 1/4 too much; at 0.5 cpm one club is out."""
    for off in (-0.375, -0.3125, 0.25, 0.3125):
        assert set_on_line(START, SetLineParams("9-iron", off, 2.0, OWN)).club.within == (-0.35 < off < 0.3)
    narrow = set_on_line(START, SetLineParams("7-iron", 0.0, 0.5, OWN))
    assert [club.club for club in narrow.off] == ["7-iron"]
    steps = [set_on_line(START, SetLineParams("7-iron", off, 0.5, OWN)).club.frequency_cpm for off in (0, 0.0625)]
    assert steps[1] - steps[0] == pytest.approx(0.4, abs=0.05)


def test_what_the_lesson_says_of_the_rack_is_so():
    """Lesson 09: 2.0 cpm rms and 3.7 at worst by hand, 1.6 and 2.8 computed; the same four stay on the rack."""
    by_hand, computed = rack_assignments()
    table = rack_table()
    assert table["by_hand_off_cpm"].tolist() == by_hand.deviation_cpm.tolist()
    assert table["computed_off_cpm"].tolist() == computed.deviation_cpm.tolist()
    assert len(by_hand.matrix.shafts) == 14
    assert (by_hand.rms_cpm, computed.rms_cpm) == pytest.approx((2.0, 1.6), abs=0.05)
    assert (by_hand.worst_cpm, computed.worst_cpm) == pytest.approx((3.7, 2.8), abs=0.05)
    assert set(by_hand.chosen) == set(computed.chosen)


def test_the_trim_to_the_line_is_that_of_the_card_as_it_is_cut():
    """What is remembered from a move before is what would be computed now."""
    for off in (0.0, 0.5, -0.25):
        now = set_on_line(START, SetLineParams("7-iron", off, 2.0, OWN))
        fresh = trim_for(now.to_line.card, now.club.line_cpm)
        assert now.to_line == fresh
        assert now.to_line.card.tip_trim_in == pytest.approx(now.rule_in + off)
