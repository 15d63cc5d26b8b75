"""What students of lessons 00 to 04 answered and were not helped with: each now counts, or has a hint of its own."""

import time

import pytest

from trimkit.study.exercises import LESSONS, check, exercises_of

SEEDS = range(40)
FIRST = [lesson for lesson in LESSONS if lesson < "05"]


def asked(key, seed):
    return next(each for each in exercises_of(key[:2], seed) if each.key == key)


@pytest.mark.parametrize("lesson", FIRST)
def test_the_nearest_sixteenth_is_right(lesson):
    """The sheet and the labs round so; a ruler has no tenths."""
    for seed in SEEDS:
        for each in exercises_of(lesson, seed):
            if each.unit == "in":
                assert check(each, f"{round(each.answer * 16)}/16").right, each


@pytest.mark.parametrize(
    ("key", "typed", "hint"),
    [
        ("00 butt trim", "38.75", "the cut length stays"),
        ("01 row by pattern", "2 1/2", "add it to the 4-iron's trim"),
        ("01 row by pattern", "5 1/2", "the 9-iron is 5 clubs further"),
        ("01 cut on", "8 3/4", "Do not add the two trims"),
        ("02 dry fit", "-5/8", "The other way round"),
        ("02 measured and corrected", "1 3/8", "That is the BBGL. One more step"),
        ("02 measured and corrected", "3/8", "add it to the schedule's trim"),
        ("03 which iron", "0.2", "add it to the longer iron's number"),
        ("03 trim by mass", "2.354", "Wrong pair of clubs"),
        ("03 trim by mass", "0.354", "add it to the trim of the 2-iron"),
        ("03 length by mass", "0.354", "take it off the length of the 4-iron"),
        ("03 price of the number", "-0.646", "minus the trim by the mass"),
        ("04 shift", "0.5", "Softer is −, stiffer is + here: a soft step makes a club softer."),
        ("04 shift", "-0.25", "That is one step: the set has 2."),
        ("04 runs out", "2", "One club too few"),
    ],
)
def test_a_likely_slip_has_its_hint(key, typed, hint):
    assert hint in check(asked(key, 5), typed).sentence


@pytest.mark.parametrize("text", ["1" * 100_000, "A/R " * 5000 + "0.3", "A/R A/R 0.3", "1 " * 50_000, "9e99", "9e-99"])
def test_a_text_that_is_no_answer_is_refused_at_once(text):
    began = time.perf_counter()
    for lesson in LESSONS:
        for given in exercises_of(lesson, 5):
            assert not check(given, text).right
    assert time.perf_counter() - began < 2
