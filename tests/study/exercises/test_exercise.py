"""The exercise bank: every question under many seeds, checked as a student would answer it."""

import math
import re
from dataclasses import replace

import pytest

from trimkit.parts.errors import BenchError
from trimkit.study.exercises import LESSONS, Outcome, check, exercises_of
from trimkit.study.exercises.exercise import LETTER_SCALE, Exercise, Mistake, exercise, in_words
from trimkit.study.exercises.reading import SAME_AS

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


# How an answer is read


@pytest.fixture
def cut():
    return exercise(
        "02 demo",
        question="?",
        answer=(5.75, "in", 0.02),
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


def made(unit, answer, tolerance, question="?", mistakes=()):
    return exercise("00 x", question=question, answer=(answer, unit, tolerance), mistakes=mistakes, solution="s")


PART = made("", 0.301, 0.02, "What fraction of the way from A to R is that (0 to 1)?")
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
        (PART, "R/S 0.3", "between R and S"),
        (FROM_R, "S/X 0.14", "between S and X"),
        (made("in", -0.02, 0.003), "0.02 in shorter", "− or +"),
        (made("in", 1.0, 0.02), "1 in too long", "'too long'"),
    ],
)
def test_what_cannot_be_judged_is_told_and_is_no_try(given, text, said):
    marking = check(given, text)
    assert said in marking.sentence
    assert not marking.counts


@pytest.mark.parametrize(
    ("given", "text", "said"),
    [
        (made("in", 5.75, 0.02), "146", "give inches"),
        (made("mm", 131.76, 0.3), "5.1875", "looks like inches"),
        (made("mm", 131.76, 0.3), "5 3/16 in", "25.4 mm"),
        (made("g", 28.35, 0.2), "1", "ounces"),
        (PART, "30", "from 0 to 1"),
        (made("%", 25.0, 0.5), "0.25", "a fraction of 1"),
    ],
)
def test_a_number_in_another_unit_is_told_in_words(given, text, said):
    marking = check(given, text)
    assert marking.outcome is Outcome.WRONG_UNIT
    assert said in marking.sentence


@pytest.mark.parametrize(
    ("given", "text", "said"),
    [
        (made("in", 3.6, 0.02), "3 5/8", "sixteenth"),
        (made("in", 3.6, 0.02), "3.57", "1/32 in"),
        (made("in", 3.6, 0.02), "90.7 mm", "1/32 in"),
        (made("in", 3.6, 0.01), "3.62", "1/32 in"),
        (made("g", 6.4, 0.1), "6", "decimal"),
        (made("cpm", 333.4, 0.15), "333", "decimal"),
        (made(LETTER_SCALE, 2.3, 0.1), "D2", "decimal"),
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
def test_other_wrong_numbers_are_no_known_mistake(given, text):
    marking = check(given, text)
    assert marking.outcome is Outcome.WRONG
    assert not marking.mistake


def test_a_limit_itself_is_within():
    """An answer off by just the tolerance, a mistake off by just its reach, in numbers that binary fractions hold."""
    given = with_mistake(8.0, 16.0)
    assert check(given, "8.25").right
    assert check(given, "7.75 in").right
    assert check(given, "8.25 mm").outcome is Outcome.WRONG_UNIT
    assert check(given, "16.5").outcome is Outcome.MISTAKE
    assert check(given, "15.5").outcome is Outcome.MISTAKE
    assert check(given, "16.625").outcome is Outcome.WRONG


def with_mistake(answer, value, unit="in", tolerance=0.25):
    return replace(made(unit, answer, tolerance), mistakes=(Mistake("slip", value, "No."),))


@pytest.mark.parametrize(
    ("answer", "value", "typed", "outcome"),
    [
        # A mistake's number ten times the answer is rounded to ten times as much.
        (8.0, 80.0, "82", Outcome.MISTAKE),
        (8.0, 80.0, "78", Outcome.MISTAKE),
        (8.0, 80.0, "83", Outcome.WRONG),
        (8.0, -80.0, "-82", Outcome.MISTAKE),
        (-8.0, 80.0, "82", Outcome.MISTAKE),
        # One smaller than the answer has the answer's own tolerance, no less.
        (8.0, 2.0, "2.25", Outcome.MISTAKE),
        (8.0, 2.0, "2.375", Outcome.WRONG),
        # There is no proportion to an answer of zero.
        (0.0, 2.0, "2.25", Outcome.MISTAKE),
        (0.0, 2.0, "2.5", Outcome.WRONG),
    ],
)
def test_how_far_a_typed_number_may_be_from_a_mistake_s(answer, value, typed, outcome):
    assert check(with_mistake(answer, value), typed).outcome is outcome


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
    ("answer", "typed", "outcome"),
    [
        (2.4, "2", Outcome.WRONG),  # a sixth off: too far to be called rounding
        (2.25, "2", Outcome.ROUNDED),  # a ninth
        (-2.25, "-2", Outcome.ROUNDED),
        (20.125, "20.1", Outcome.ROUNDED),
        (20.125, "20.2", Outcome.WRONG),
        (20.125, "20.", Outcome.ROUNDED),
        (0.4, "0", Outcome.WRONG),
    ],
)
def test_how_far_off_rounding_may_be(answer, typed, outcome):
    assert check(made("g", answer, 0.01), typed).outcome is outcome


@pytest.mark.parametrize(
    ("answer", "typed", "outcome"),
    [
        (3.59375, "3 5/8", Outcome.ROUNDED),  # 1/32 in off
        (3.59375, "3.625", Outcome.ROUNDED),
        (3.59375, "3 9/16", Outcome.ROUNDED),
        (3.59375, "3.5620", Outcome.WRONG),
        (0.125, "0.14", Outcome.ROUNDED),  # two sixteenths: the nearest sixteenth says something
        (0.1249, "0.14", Outcome.WRONG),
        (-3.6, "-3 5/8", Outcome.ROUNDED),
    ],
)
def test_how_far_off_inches_may_be(answer, typed, outcome):
    assert check(made("in", answer, 0.01), typed).outcome is outcome


@pytest.mark.parametrize(
    ("given", "typed"),
    [
        (made("layers", 2.1, 0.01), "2"),  # nothing to round: layers are counted
        (made("g", 28.4, 0.01), "1 oz"),  # one ounce is not 28 g rounded
        (made("", 0.28, 0.001), "30 %"),
        (made("kg cm²", 2000.4, 0.1), "2000000 g cm²"),
    ],
)
def test_counts_and_other_units_are_not_called_rounded(given, typed):
    assert check(given, typed).outcome is Outcome.WRONG


@pytest.mark.parametrize(
    ("given", "typed", "outcome"),
    [
        (made("in", 10.0, 5.0), "260", Outcome.WRONG),  # 10.236 in: within 5, but not within 2 % of the answer
        (made("in", 10.0, 5.0), "255", Outcome.WRONG_UNIT),
        (made("in", 10.0, 0.125), "250", Outcome.WRONG),  # 9.84 in: within 2 %, but not within the tolerance
        (made("in", 10.0, 0.125), "251", Outcome.WRONG_UNIT),
        (made("in", -10.0, 0.125), "-254", Outcome.WRONG_UNIT),
        (made("", 2.0, 0.03125), "203.125", Outcome.WRONG_UNIT),  # just the tolerance off, in exact binary
        (made("mm", 254.0, 0.5), "10", Outcome.WRONG_UNIT),
        (made("mm", 254.0, 0.5), "10.1", Outcome.WRONG),
    ],
)
def test_how_near_a_number_in_another_unit_must_be(given, typed, outcome):
    assert check(given, typed).outcome is outcome


def test_a_unit_that_has_nothing_to_do_with_the_answer_is_named():
    marking = check(made("in", 5.75, 0.02), "5 kg")
    assert marking.outcome is Outcome.WRONG
    assert "'kg'" in marking.sentence


def test_a_right_answer_in_another_unit_is_told_in_the_question_s_own():
    given = made("in", 5.75, 0.02)
    assert check(given, "146 mm.").sentence == "Right: 146 mm, which is 5 3/4 in."
    assert check(given, " 5.75 ").sentence == "Right: 5.75."


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


def test_other_units_of_an_answer_are_true_conversions():
    for unit, others in SAME_AS.items():
        for other, factor in others.items():
            given = Exercise("k", "?", unit, 4.0, 0.001, (), "s")
            assert check(given, f"{4.0 * factor!r} {other}").right


def test_a_marking_says_whether_it_is_right_and_which_mistakes_it_was():
    given = exercise(
        "made up",
        question="How long?",
        answer=(8.0, "in", 0.01),
        mistakes=[("doubled", 16.0, "Halve it."), ("added", 16.001, "Take it off."), ("halved", 4.0, "Double it.")],
        solution="8 in",
    )
    told = {text: check(given, text) for text in ("8 in", "4 in", "16 in", "5 in", "8 g", "?")}
    assert [marking.right for marking in told.values()] == [True, False, False, False, False, False]
    assert told["4 in"].mistake == "halved"
    assert told["16 in"].mistake == "doubled or added"
    assert [told[text].mistake for text in ("8 in", "5 in")] == ["", ""]
    assert "asks for inches" in told["8 g"].sentence
