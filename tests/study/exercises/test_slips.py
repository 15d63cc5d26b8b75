"""What students answered: each likely slip has a hint of its own, and no text takes the checker long."""

import time

import pytest

from trimkit.study.exercises import LESSONS, Outcome, check, exercises_of

SLIPS = [
    ("00 butt trim", "38.75", "cut length not taken off"),
    ("01 row by pattern", "2 1/2", "gain only"),
    ("01 row by pattern", "5 1/2", "one club too many"),
    ("01 cut on", "8 3/4", "both added"),
    ("02 dry fit", "-5/8", "subtracted the wrong way"),
    ("02 measured and corrected", "1 3/8", "BBGL only"),
    ("02 measured and corrected", "3/8", "correction only"),
    ("03 which iron", "0.2", "part of the way only"),
    ("03 trim by mass", "2.354", "one club too far"),
    ("03 trim by mass", "0.354", "part of the gap only"),
    ("03 length by mass", "0.354", "part of the gap only"),
    ("03 price of the number", "-0.646", "turned round"),
    ("04 shift", "0.5", "wrong sign"),
    ("04 shift", "-0.25", "one step only"),
    ("04 shift", "-2/3", "a third a step"),
    ("04 runs out", "2", "one too few"),
    ("09 on the line", "10.5", "change only"),
    ("09 deviation", "315.7", "the line itself"),
    ("09 median slope", "5.1", "repeated median"),
    ("10 spread", "3.1", "added up"),
    ("10 spread", "4.33", "no root"),
    ("10 all of a set", "0.517", "a part, not percent"),
    ("10 cut tolerance", "5/16", "the mark below"),
    ("10 cut tolerance", "0.4", "a tenth"),
    ("11 two changes", "322.9", "sign of the bore turned"),
    ("11 two changes", "323.7", "sign of the head turned"),
    ("11 half an inch longer", "6", "whole grams, less"),
    ("11 half an inch longer", "7", "whole grams, more"),
    ("11 as soft as a step", "5 1/8", "another number of steps"),
    ("11 as soft as a step", "5", "a quarter of an inch each"),
    ("11 as soft as a step", "3 1/4", "below R"),
    ("12 whole tip", "5 7/8", "whole BBGL"),
    ("12 whole tip", "6", "cut as S"),
]
"""Question, what was typed under seed 5, the mistake it shows."""


def asked(key, seed):
    return next(each for each in exercises_of(key[:2], seed) if each.key == key)


@pytest.mark.parametrize(("key", "typed", "mistake"), SLIPS)
def test_a_likely_slip_has_its_hint(key, typed, mistake):
    marking = check(asked(key, 5), typed)
    assert (marking.outcome, marking.mistake) == (Outcome.MISTAKE, mistake)


SAID = {
    "01 cut on": lambda answer: f"{answer:.2f} in more",
    "03 which iron": lambda answer: f"{answer:.2f}".rstrip("0").rstrip(".") + "-iron",
    "03 price of the number": lambda answer: f"{answer:.2f} more",
    "04 shift": lambda answer: f"{abs(answer)} {'stiffer' if answer > 0 else 'softer'}",
    "05 playing length": lambda answer: f"{answer * 2.54:.1f} cm",
    "05 too short": lambda answer: f"{answer:.2f} too short",
    "05 rounding": lambda answer: f"{abs(answer):.3f} in too {'long' if answer > 0 else 'short'}",
    "07 residual": lambda answer: f"{abs(answer):.1f} cpm {'stiffer' if answer > 0 else 'softer'}",
    "08 heavier grip": lambda answer: f"{-answer:.1f} less",
    "08 MOI": lambda answer: f"{answer / 1e4:.3f} kg·m²",
    "09 deviation": lambda answer: f"{abs(answer):.1f} {'above' if answer > 0 else 'below'}",
    "11 half an inch longer": lambda answer: f"{answer:.1f} g lighter",
}
"""Question, and the right answer as people say it."""


@pytest.mark.parametrize("key", SAID)
def test_a_right_answer_as_people_say_it(key, seeds):
    for seed in seeds:
        given = asked(key, seed)
        marking = check(given, SAID[key](given.answer))
        assert marking.right, (given, marking)


@pytest.mark.parametrize("lesson", [lesson for lesson in LESSONS if lesson < "05"])
def test_the_nearest_sixteenth_is_right(lesson, seeds):
    """The sheet and the labs round so; a ruler has no tenths."""
    for seed in seeds:
        for each in exercises_of(lesson, seed):
            if each.unit == "in":
                assert check(each, f"{round(each.answer * 16)}/16").right, each


@pytest.mark.parametrize("key", ["12 whole tip", "12 whole butt"])
def test_forgetting_both_corrections_is_never_right(key, seeds):
    """The part of the way and the bore may cancel: under seeds 5, 15 and 26 they once did."""
    for seed in seeds:
        given = asked(key, seed)
        both = next(each for each in given.mistakes if each.name == "flex and bore forgotten")
        marking = check(given, f"{both.value!r} in")
        assert marking.outcome is Outcome.MISTAKE
        told = next(each for each in given.mistakes if each.name == marking.mistake)
        assert told.value == pytest.approx(both.value, abs=1e-9)  # under some seeds another slip gives the same number


@pytest.mark.parametrize("text", ["1" * 100_000, "A/R " * 5000 + "0.3", "A/R A/R 0.3", "1 " * 50_000, "9e99", "9e-99"])
def test_a_text_that_is_no_answer_is_refused_at_once(text):
    began = time.perf_counter()
    for lesson in LESSONS:
        for given in exercises_of(lesson, 5):
            assert not check(given, text).right
    assert time.perf_counter() - began < 2
