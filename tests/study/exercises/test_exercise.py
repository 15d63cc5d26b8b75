"""The exercise bank: every question under many seeds, checked as a student would answer it."""

import math
import re

import pytest

from trimkit.parts.errors import BenchError
from trimkit.study.exercises import LESSONS, check, exercises_of
from trimkit.study.exercises.exercise import LETTER_SCALE, exercise, in_words

# What can be at a bench: inches of a club's length, cpm, grams, ...
PLAUSIBLE = {
    "in": (-1.5, 48),
    "mm": (3, 160),
    "g": (0.3, 60),
    "cpm": (-12, 400),
    "oz in": (170, 280),
    "kg cm²": (1700, 3000),
    "N m²": (10, 250),
    "flexes": (-1, 1),
    "points": (-6, 0),
    "clubs": (1, 5),
    "layers": (1, 4),
    "times": (1.2, 6),
    "cpm per half inch": (3, 6),
    "%": (1, 100),
    LETTER_SCALE: (0, 7),
    "": (0, 9),
}


EVERY = [(lesson, number) for lesson, questions in LESSONS.items() for number in range(len(questions))]


def typed(value, given):
    """A number as a student types it, to many decimals, with its unit."""
    return f"{value!r} {given.unit}" if given.unit != LETTER_SCALE else in_words(value, given.unit)


def test_there_are_enough():
    assert list(LESSONS) == [f"{number:02d}" for number in range(13)]
    assert all(len(questions) >= 3 for questions in LESSONS.values())
    assert len(EVERY) >= 40
    keys = [each.key for lesson in LESSONS for each in exercises_of(lesson)]
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize(("lesson", "number"), EVERY, ids=lambda v: str(v))
def test_an_exercise_under_every_seed(lesson, number, seeds):
    for seed in seeds:
        given = exercises_of(lesson, seed)[number]
        low, high = PLAUSIBLE[given.unit]
        assert math.isfinite(given.answer)
        assert low <= given.answer <= high, given
        assert given.tolerance > 0
        assert given.answer_text in given.solution
        assert check(given, given.answer_text).right, given
        assert check(given, typed(given.answer, given)).right
        assert given.mistakes


@pytest.mark.parametrize(("lesson", "number"), EVERY, ids=lambda v: str(v))
def test_texts_are_clean(lesson, number, seeds):
    for seed in seeds:
        given = exercises_of(lesson, seed)[number]
        for text in (given.question, given.solution):
            assert not re.search(r"nan|inf\b|\{|\}|None", text)
            assert not re.search(r"(?<![\w)])-\d", text), f"a hyphen for a minus: {text}"
            assert not re.search(r"\d\.\d{6}", text), f"too many decimals: {text}"


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_same_seed_gives_the_same_and_another_gives_others(lesson):
    assert exercises_of(lesson, 7) == exercises_of(lesson, 7)
    one, other = ([each.question for each in exercises_of(lesson, seed)] for seed in (7, 8))
    assert sum(a != b for a, b in zip(one, other, strict=True)) >= len(one) - 1


def test_refusals():
    with pytest.raises(BenchError, match="00, 01"):
        exercises_of("99")
    for seed in (-1, 1.5, True):
        with pytest.raises(BenchError, match="whole number"):
            exercises_of("02", seed)


def made(unit, answer, tolerance, question="?", mistakes=()):
    return exercise("00 x", question=question, answer=(answer, unit, tolerance), mistakes=mistakes, solution="s")


@pytest.mark.parametrize(
    ("answer", "others", "added"),
    [
        (0.125, [], False),  # the wrong sign is as far off as the tolerance allows: it is right
        (0.1875, [], True),
        (-0.1875, [], True),
        (0.0, [], False),
        (2.0, [("other", -2.25, "No.")], False),  # another mistake gives that number already
        (2.0, [("other", -2.5, "No.")], True),
    ],
)
def test_the_wrong_sign_is_a_mistake_only_where_it_gives_a_wrong_number_of_its_own(answer, others, added):
    names = [each.name for each in made("in", answer, 0.25, mistakes=others).mistakes]
    assert ("wrong sign" in names) is added
    assert names.count("wrong sign") <= 1


def test_a_mistake_as_far_off_as_the_tolerance_allows_is_none():
    mistakes = [("within", 8.25, "No."), ("outside", 8.375, "No.")]
    assert [each.name for each in made("in", 8.0, 0.25, mistakes=mistakes).mistakes] == ["outside", "wrong sign"]
    assert made("in", 8.0, 0.25).mistakes[0].value == -8.0


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (1.0, "layers", "1 layer"),
        (10.0, "clubs", "10 clubs"),
        (1.25, "layers", "1.25 layers"),
        (0.456, "cpm", "0.46 cpm"),
        (1.0, "cpm", "1.0 cpm"),
        (-0.456, "cpm", "−0.46 cpm"),
        (-1.25, "", "−1.25"),
        (100.0, "%", "100 %"),
        (1 / 64, "in", "1/64 in"),
        (-1.234, "in", "−1.234 in"),
        (2150.4, "kg cm²", "2150 kg cm²"),
        (131.76, "mm", "131.8 mm"),
        (6.44, "g", "6.4 g"),
        (0.456, "g", "0.5 g"),
        (-2.34, "cpm", "−2.3 cpm"),
        (208.66, "oz in", "208.7 oz in"),
        (82.65, "N m²", "82.7 N m²"),
        (4.333, "cpm per half inch", "4.33 cpm per half inch"),
        (-2.04, "points", "−2.0 points"),
        (1.23456, "times", "1.235 times"),
        (-1.0, LETTER_SCALE, "C9.0"),
    ],
)
def test_an_answer_in_words(value, unit, words):
    assert in_words(value, unit) == words
