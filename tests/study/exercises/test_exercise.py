"""The exercise bank: every question under many seeds, checked as a student would answer it."""

import math
import re

import pytest

from trimkit.parts.errors import BenchError
from trimkit.study.exercises import LESSONS, Outcome, check, exercises_of
from trimkit.study.exercises.exercise import LETTER_SCALE, Exercise, exercise, in_words
from trimkit.study.exercises.reading import SAME_AS

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
    marking = check(cut, text)
    assert marking.outcome is outcome
    assert marking.sentence.endswith((".", "!"))


def made(unit, answer, tolerance, question="?"):
    return exercise(
        "00", "x", question=question, unit=unit, answer=answer, tolerance=tolerance, mistakes=[], solution="s"
    )


PART = made("", 0.301, 0.02, "Which part of the way from A to R is that (0 to 1)?")
FROM_R = made("flexes", 0.14, 0.015, "How many flexes stiffer (+) or softer (−) than R is it?")


@pytest.mark.parametrize(
    ("given", "text"),
    [
        *((PART, text) for text in ("0.3", "30 %", "30%", "30 per cent", "A/R 0.3", "a/r 30 %", "3/10")),
        *((FROM_R, text) for text in ("0.14", "+0.14 flexes", "0.14 of a flex", "R/S 0.14", "A/R 1.14")),
        (made("N m²", 82650.0, 800.0), "8.27e4"),
        (made("", 2.2, 0.025), "2.2-iron"),
        (made("in", 5.75, 0.02), "5 3/4''"),
        (made("in", 5.75, 0.02), "5.75 in."),
    ],
)
def test_the_lessons_own_ways_of_writing_are_read(given, text):
    marking = check(given, text)
    assert marking.right, marking
    assert not marking.sentence.endswith("..")


@pytest.mark.parametrize(
    ("given", "text", "said"),
    [
        (PART, "R/S 0.3", "not asked for"),
        (FROM_R, "S/X 0.14", "not asked for"),
        (made("in", -0.02, 0.003), "0.02 in shorter", "write − or + before the number"),
        (made("in", 1.0, 0.02), "1 in too long", "the word 'too long'"),
    ],
)
def test_what_cannot_be_judged_is_told_and_is_no_try(given, text, said):
    marking = check(given, text)
    assert said in marking.sentence
    assert not marking.counts


@pytest.mark.parametrize(
    ("given", "text", "said"),
    [
        (made("in", 5.75, 0.02), "146", "That looks like millimetres: the answer counts in inches. Write mm after it"),
        (made("mm", 131.76, 0.3), "5.1875", "Turn it into millimetres: 1 in is 25.4 mm"),
        (made("mm", 131.76, 0.3), "5 3/16 in", "Turn it into millimetres: 1 in is 25.4 mm"),
        (made("g", 28.35, 0.2), "1", "That looks like ounces"),
        (PART, "30", "write % after it, or give a number from 0 to 1"),
        (made("%", 25.0, 0.5), "0.25", "That looks like a part of 1"),
    ],
)
def test_a_number_in_another_unit_is_told_in_words(given, text, said):
    marking = check(given, text)
    assert marking.outcome is Outcome.WRONG_UNIT
    assert said in marking.sentence


@pytest.mark.parametrize(
    ("given", "text", "said"),
    [
        (made("in", 3.6, 0.02), "3 5/8", "Right to the nearest sixteenth, but this question asks for the decimals"),
        (made("in", 3.6, 0.02), "3.57", "Near: within 1/32 in"),
        (made("in", 3.6, 0.02), "90.7 mm", "Near: within 1/32 in"),
        (made("g", 6.4, 0.1), "6", "rounded too far"),
        (made("cpm", 333.4, 0.15), "333", "rounded too far"),
        (made(LETTER_SCALE, 2.3, 0.1), "D2", "rounded too far"),
    ],
)
def test_right_but_rounded_too_far_is_told_and_counts(given, text, said):
    marking = check(given, text)
    assert marking.outcome is Outcome.ROUNDED
    assert said in marking.sentence
    assert marking.counts


@pytest.mark.parametrize(
    ("given", "text"),
    [
        (made("in", 3.6, 0.02), "3.56"),
        (made("in", -0.02, 0.003), "0"),  # a sixteenth says nothing of so little
        (made("g", 6.4, 0.1), "7"),
        (made("g", 6.4, 0.1), "10"),
        (made("layers", 3, 0.1), "2"),
    ],
)
def test_other_wrong_numbers_say_that_the_slip_is_not_known(given, text):
    marking = check(given, text)
    assert marking.outcome is Outcome.WRONG
    assert (
        marking.sentence == "Not yet, and I can't tell which slip it is: compare with the worked example line by line."
    )


def test_other_units_of_an_answer_are_true_conversions():
    for unit, others in SAME_AS.items():
        for other, factor in others.items():
            given = Exercise("k", "00", "?", unit, 4.0, 0.001, (), "s")
            assert check(given, f"{4.0 * factor!r} {other}").right
