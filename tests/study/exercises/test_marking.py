"""How an answer is marked: right, a known mistake, rounded too far, another unit, wrong, or not read."""

from dataclasses import replace

import pytest

from trimkit.study.exercises.exercise import LETTER_SCALE, Exercise, Mistake, exercise
from trimkit.study.exercises.marking import Outcome, check
from trimkit.study.exercises.reading import SAME_AS


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
        (made("in", 1.0, 0.02), "2 furlongs", "'5 3/4'"),
        (made("cpm", 300.0, 0.1), "2 wobbles", "'5.75 cpm'"),
        (made("cpm", 300.0, 0.1), "1,250", "'5.75'"),
        (made(LETTER_SCALE, 2.0, 0.1), "two", "'D2.3'"),
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
        (made("in", 5.75, 0.02), "15 cm", "decimal"),
        (made("g", 28.4, 0.01), "1 oz", "decimal"),
        (made("in", 0.213, 0.003), "0.21 in", "1/32 in"),
        (made("in", -0.0231, 0.001), "-0.02", "decimal"),
        (made("cpm", 333.4, 0.15), "333.6", "on the way"),
        (made("N m²", 82.6, 1.652), "79.3", "on the way"),
        (made("", 0.301, 0.01), "0.287", "on the way"),
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
        (made("cpm", 333.4, 0.15), "333.71"),  # more than twice the tolerance
        (made("g", 2.0, 0.1), "2.11"),  # more than 5 % off
        (made("in", 0.05, 0.003), "0.054"),  # an inch has the ruler's band, or none
    ],
)
def test_other_wrong_numbers_are_no_known_mistake(given, text):
    marking = check(given, text)
    assert marking.outcome is Outcome.WRONG
    assert not marking.mistake


def test_a_limit_itself_is_within():
    """An answer off by just the tolerance, in numbers that binary fractions hold."""
    given = with_mistake(8.0, 16.0)
    assert check(given, "8.25").right
    assert check(given, "7.75 in").right
    assert check(given, "8.25 mm").outcome is Outcome.WRONG_UNIT


def with_mistake(answer, value, unit="in", tolerance=0.25):
    return replace(made(unit, answer, tolerance), mistakes=(Mistake("slip", value, "No."),))


SIGN = made("in", 8.0, 0.25)


FINE = with_mistake(-0.0121, 0.0502, tolerance=0.003)


@pytest.mark.parametrize(
    ("given", "typed", "recognised"),
    [
        # To three significant digits: half a unit of the third.
        (with_mistake(8.0, 16.04, "g"), "16.04", True),
        (with_mistake(8.0, 16.04, "g"), "16.0", True),
        (with_mistake(8.0, 16.04, "g"), "16.09", True),
        (with_mistake(8.0, 16.04, "g"), "16.10", False),
        (with_mistake(8.0, 16.04, "g"), "15.98", False),
        (with_mistake(8.0, -16.04, "g"), "-16.09", True),
        (with_mistake(8.0, 160.4, "g"), "160", True),
        (with_mistake(8.0, 160.4, "g"), "161", False),
        (with_mistake(8.0, 0.01604, "g"), "0.0160", True),
        (with_mistake(8.0, 0.01604, "g"), "0.0162", False),
        (with_mistake(8.0, 0.01604, "g"), "0", False),
        (with_mistake(8.0, 0.0, "g"), "0", True),
        (with_mistake(8.0, 0.0, "g"), "0.001", False),
        # To the digits that were typed, where the question accepts so coarse a number and there are two of them.
        (with_mistake(8.0, 1.604, "g"), "1.6", True),
        (with_mistake(8.0, 1.57, "g"), "1.6", True),
        (with_mistake(8.0, 1.54, "g"), "1.6", False),
        (with_mistake(8.0, 1.604, "g", 0.04), "1.6", True),
        (with_mistake(8.0, 1.57, "g", 0.04), "1.6", False),
        (with_mistake(8.0, 0.57, "g"), "0.6", False),
        (FINE, "0.050", True),
        (FINE, "0.05", False),
        # A ruler's mark, for what is read off a ruler.
        (with_mistake(8.0, 1.604), "1 5/8", True),
        (with_mistake(8.0, 1.604), "1.625", True),
        (with_mistake(8.0, 1.604), "1.63", False),
        (with_mistake(8.0, 1.604), "1 9/16", False),
        (with_mistake(8.0, 1.604, tolerance=0.01), "1 5/8", False),
        (with_mistake(8.0, 1.604, "g"), "1 5/8", False),
        (with_mistake(8.0, 0.11), "1/8", False),
        # The right size with the wrong sign: as far off as a right answer may be.
        (SIGN, "-8.25", True),
        (SIGN, "-7.75", True),
        (SIGN, "-8.26", False),
        # Nearer the right answer than the mistake: no hint.
        (with_mistake(8.0, 8.60, "g"), "8.6", True),
        (with_mistake(8.0, 8.30, "g", 0.1), "8.2", False),
        (with_mistake(8.033, 8.0935, tolerance=0.02), "8 1/16", False),
        (with_mistake(8.030, 8.0935, tolerance=0.02), "8 1/16", True),
    ],
)
def test_a_hint_is_for_the_mistakes_own_number_as_a_person_writes_it(given, typed, recognised):
    assert (check(given, typed).outcome is Outcome.MISTAKE) is recognised


def test_of_two_mistakes_the_nearer_one_is_told_and_of_two_with_one_number_the_first():
    given = exercise(
        "made up",
        question="How long?",
        answer=(8.0, "g", 0.1),
        mistakes=[("doubled", 16.0, "Halve it."), ("added", 16.06, "Take it off."), ("twice", 16.0, "Once.")],
        solution="8 g",
    )
    told = {text: check(given, text) for text in ("16", "16.02", "16.04", "16.06")}
    assert [marking.mistake for marking in told.values()] == ["doubled", "doubled", "added", "added"]
    assert told["16"].sentence == "Not yet. Halve it."


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
        (made("g", 28.4, 0.01), "2 oz"),
        (made("", 0.28, 0.001), "30 %"),
        (made("kg cm²", 2000.4, 0.1), "2000000 g cm²"),
    ],
)
def test_counts_and_what_is_no_rounding_are_not_called_so(given, typed):
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


def test_other_units_of_an_answer_are_true_conversions():
    for unit, others in SAME_AS.items():
        for other, factor in others.items():
            given = Exercise("k", "?", unit, 4.0, 0.001, (), "s")
            assert check(given, f"{4.0 * factor!r} {other}").right


def test_a_marking_says_whether_it_is_right_and_which_mistake_it_was():
    given = exercise(
        "made up",
        question="How long?",
        answer=(8.0, "in", 0.01),
        mistakes=[("doubled", 16.0, "Halve it."), ("halved", 4.0, "Double it.")],
        solution="8 in",
    )
    told = {text: check(given, text) for text in ("8 in", "4 in", "16 in", "5 in", "8 g", "?")}
    assert [marking.right for marking in told.values()] == [True, False, False, False, False, False]
    assert [told[text].mistake for text in ("4 in", "16 in", "8 in", "5 in")] == ["halved", "doubled", "", ""]
    assert "asks for inches" in told["8 g"].sentence
