"""The exercise bank: every question under many seeds, checked as a student would answer it."""

import math
import re

import pytest

from trimkit.parts.errors import BenchError
from trimkit.study.exercises import LESSONS, Outcome, check, exercises_of
from trimkit.study.exercises.exercise import LETTER_SCALE, SAME_AS, Exercise, exercise, in_words

SEEDS = (*range(40), 1234, 987654)
# What can be at a bench: inches of a club's length, cpm, grams, ...
PLAUSIBLE = {
    "in": (-1.5, 48),
    "mm": (25, 160),
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
def test_an_exercise_under_every_seed(lesson, number):
    for seed in SEEDS:
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
def test_texts_are_clean(lesson, number):
    for seed in range(12):
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


# How an answer is read


@pytest.fixture
def cut():
    return exercise(
        "02",
        "demo",
        question="?",
        unit="in",
        answer=5.75,
        tolerance=0.02,
        mistakes=[("sign", 4.75, "Check the sign.")],
        solution="5 3/4 in.",
    )


@pytest.mark.parametrize(
    "text",
    ["5 3/4", "5-3/4", "5.75", "5,75", "5.75 in", '5 3/4"', "5¾", "5¾ inches", "146.05 mm", "14.605 cm", " 5.75  IN "],
)
def test_a_right_answer_in_many_notations(cut, text):
    assert check(cut, text).outcome is Outcome.RIGHT


@pytest.mark.parametrize(
    ("text", "outcome"),
    [
        ("146", Outcome.WRONG_UNIT),
        ("146.05 in", Outcome.WRONG_UNIT),
        ("14.605", Outcome.WRONG_UNIT),
        ("5.75 mm", Outcome.WRONG_UNIT),
        ("5.75 g", Outcome.WRONG_UNIT),
        ("4 3/4", Outcome.MISTAKE),
        ("120.65 mm", Outcome.MISTAKE),
        ("−5.75", Outcome.MISTAKE),
        ("5", Outcome.WRONG),
        ("5 kg", Outcome.WRONG),
        ("", Outcome.UNREADABLE),
        ("about six", Outcome.UNREADABLE),
        ("5 3/0", Outcome.UNREADABLE),
        ("1,250", Outcome.UNREADABLE),
        ("<b>5</b>", Outcome.UNREADABLE),
        ("nan", Outcome.UNREADABLE),
    ],
)
def test_other_answers_get_a_sentence_of_their_own(cut, text, outcome):
    verdict = check(cut, text)
    assert verdict.outcome is outcome
    assert verdict.sentence.endswith((".", "!"))


def test_other_units_of_an_answer_are_true_conversions():
    for unit, others in SAME_AS.items():
        for other, factor in others.items():
            given = Exercise("k", "00", "?", unit, 4.0, 0.001, (), "s")
            assert check(given, f"{4.0 * factor!r} {other}").right
