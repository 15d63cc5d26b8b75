"""Nothing is said of a wrong answer that is not true of it: 400 of them for every question, 4,000 nightly.

What is true is worked out here from the exercise's numbers and the typed text alone: a mistake's hint is true of an
answer that is the mistake's number to three significant digits, to the digits that were typed, or to the ruler's mark.
"""

import functools
import math
import re
import zlib
from fractions import Fraction

import numpy as np
import pytest

from trimkit.study.exercises import LESSONS, Outcome, check
from trimkit.study.exercises import exercises_of as drawn
from trimkit.study.exercises.exercise import LETTER_SCALE
from trimkit.study.exercises.reading import SAME_AS

SEEDS = range(20)
exercises_of = functools.cache(drawn)
EVERY = [(lesson, number) for lesson, questions in LESSONS.items() for number in range(len(questions))]
# Units taken for one another: inches and cm or mm, ounces and grams, ten times, a minute and a second, a hundred.
FACTORS = [2.54, 25.4, 10.0, 28.349523125, 60.0, 100.0, 1000.0, 1e4]
SLIPS = [*FACTORS, *(1 / each for each in FACTORS)]


def wrong_numbers(given, count, generator):
    """Numbers that a student might type: anywhere around the answer, near the mistakes, 0, below it, in other units."""
    known = [given.answer, *(mistake.value for mistake in given.mistakes)]
    for _ in range(count):
        kind, near = generator.integers(6), float(generator.choice(known))
        if kind == 0:
            yield given.answer * 10 ** generator.uniform(-2, 2) * generator.choice((-1, 1))
        elif kind == 1:
            yield near * (1 + generator.normal() * 10 ** generator.uniform(-4, -1))
        elif kind == 2:
            yield near + generator.normal() * 2 * given.tolerance
        elif kind == 3:
            yield near * generator.choice(SLIPS) * (1 + generator.normal() * 10 ** generator.uniform(-5, -2))
        elif kind == 4:
            yield given.answer + generator.uniform() * (near - given.answer)
        else:
            yield generator.choice((0.0, -near, near * 1.005, near * 0.995, round(near), round(near, 1)))


def as_typed(number, given, generator):
    """The number as text, more or less rounded, sometimes on a mark or in another unit."""
    if given.unit == LETTER_SCALE:
        tenths = round(300 + number * 10)
        letter, points = divmod(tenths, 100)
        return f"{'ABCDEFG'[letter]}{points // 10}.{points % 10}" if 0 <= letter < 7 else f"{number:.2f}"
    others = list(SAME_AS.get(given.unit, {given.unit: 1.0}).items())
    other, factor = others[generator.integers(len(others))] if generator.integers(3) == 0 else ("", 1.0)
    if given.unit == "in" and generator.integers(4) == 0 and not other:
        mark = Fraction(round(number * 16), 16)
        return f"{'-' * (mark < 0)}{abs(mark)}"
    return f"{number * factor:.{generator.integers(6)}f} {other}".strip()


def numbers_of(text, given):
    """The bare number of a text, the number in the exercise's unit, its unit's factor and its decimals (or None)."""
    if given.unit == LETTER_SCALE:
        letter, points = re.fullmatch(r"([A-G])([\d.]+)", text).groups()
        value = 10 * "ABCDEFG".index(letter) + float(points) - 30
        return value, value, 1.0, len(points.partition(".")[2])
    number, _, unit = text.partition(" ")
    factor = SAME_AS.get(given.unit, {}).get(unit, 1.0) if unit else 1.0
    decimals = None if "/" in number else len(number.partition(".")[2])
    return float(Fraction(number)), float(Fraction(number)) / factor, factor, decimals


def is_the_number_of(mistake, text, given):
    number, value, factor, decimals = numbers_of(text, given)
    own, off = mistake.value, abs(value - mistake.value) - 1e-8
    if own == 0:
        return off <= 0
    third_digit = 10.0 ** (int(f"{own:e}".partition("e")[2]) - 2)
    if off <= third_digit / 2:
        return True
    significant = len(re.sub(r"\D", "", text.partition(" ")[0]).lstrip("0")) > 1 or given.unit == LETTER_SCALE
    half = 0.0 if decimals is None else 10.0**-decimals / 2
    if significant and 0 < half / factor <= given.tolerance and abs(own * factor - number) <= half + 1e-6:
        return True
    by_ruler = given.unit == "in" and given.tolerance >= 0.02 and abs(own) >= 1 / 8
    if by_ruler and off <= 1 / 32 and abs(value * 16 - round(value * 16)) < 1e-4:
        return True
    return math.isclose(own, -given.answer, abs_tol=1e-9) and off <= given.tolerance


def is_rounded(text, given):
    number, value, factor, decimals = numbers_of(text, given)
    off = abs(value - given.answer)
    ruler = given.unit == "in" and off <= 1 / 32 and abs(given.answer) >= 1 / 8
    to_decimals = decimals is not None and abs(given.answer * factor - number) <= 10.0**-decimals / 2 + 1e-9
    on_the_way = off <= 2 * given.tolerance and off <= abs(given.answer) / 20
    return off > given.tolerance and (ruler or (to_decimals and off <= 0.15 * abs(given.answer)) or on_the_way)


def is_right_in_another_unit(text, given):
    number, value, _, _ = numbers_of(text, given)
    if abs(number - given.answer) <= given.tolerance + 1e-9:
        return value != number
    return any(abs(number * slip - given.answer) <= min(given.tolerance, 0.02 * abs(given.answer)) for slip in SLIPS)


@pytest.mark.parametrize("count", [20, pytest.param(200, marks=pytest.mark.nightly)])
@pytest.mark.parametrize(("lesson", "number"), EVERY, ids=lambda v: str(v))
def test_what_is_said_of_a_wrong_answer_is_true_of_it(lesson, number, count):
    for seed in SEEDS:
        given = exercises_of(lesson, seed)[number]
        hints = {mistake.name: mistake for mistake in given.mistakes}
        generator = np.random.default_rng([seed, zlib.crc32(given.key.encode())])
        for wrong in wrong_numbers(given, count, generator):
            text = as_typed(wrong, given, generator)
            marking = check(given, text)
            if given.unit == LETTER_SCALE and not text[0].isalpha():
                assert marking.outcome is Outcome.UNREADABLE
                continue
            about = (given, text, marking)
            match marking.outcome:
                case Outcome.RIGHT:
                    assert abs(numbers_of(text, given)[1] - given.answer) <= given.tolerance + 1e-9, about
                case Outcome.MISTAKE:
                    assert marking.sentence == f"Not yet. {hints[marking.mistake].hint}", about
                    assert is_the_number_of(hints[marking.mistake], text, given), about
                    off, own = numbers_of(text, given)[1], hints[marking.mistake].value
                    assert abs(off - own) < abs(off - given.answer), about
                    assert abs(off - own) <= min(abs(off - each.value) for each in given.mistakes) + 2e-9, about
                case Outcome.ROUNDED:
                    assert is_rounded(text, given), about
                case Outcome.WRONG_UNIT:
                    assert is_right_in_another_unit(text, given), about
                case outcome:
                    assert outcome is Outcome.WRONG, about


@pytest.mark.parametrize(("lesson", "number"), EVERY, ids=lambda v: str(v))
def test_zero_is_a_mistake_only_where_a_mistake_gives_zero(lesson, number):
    for seed in SEEDS:
        given = exercises_of(lesson, seed)[number]
        if given.unit == LETTER_SCALE:
            continue
        zeros = {mistake.name for mistake in given.mistakes if mistake.value == 0}
        for text in ("0", "0.00", "-0.0", f"0 {given.unit}"):
            marking = check(given, text)
            assert (marking.outcome is Outcome.MISTAKE) is bool(zeros), (given, text, marking)
            assert not zeros or marking.mistake in zeros


@pytest.mark.parametrize(("lesson", "number"), EVERY, ids=lambda v: str(v))
def test_a_mistake_is_recognised_to_three_digits(lesson, number):
    """As a person writes it, it brings up its hint, or that of another mistake of the same three digits."""
    for seed in SEEDS:
        given = exercises_of(lesson, seed)[number]
        for mistake in given.mistakes:
            three = f"{float(f'{mistake.value:.3g}'):f}"
            if given.unit == LETTER_SCALE or abs(float(three) - given.answer) <= abs(float(three) - mistake.value):
                continue
            marking = check(given, three)
            if abs(float(three) - given.answer) <= given.tolerance:
                continue
            told = next(each for each in given.mistakes if each.name == marking.mistake)
            assert abs(told.value - float(three)) <= abs(mistake.value - float(three)) + 1e-9, (given, three)


@pytest.mark.parametrize("seeds", [range(20), pytest.param(range(20, 300), marks=pytest.mark.nightly)])
def test_no_solution_explains_a_difference_of_nothing(seeds):
    """Adding up and computing at once may agree to a tenth: then there is nothing to explain."""
    agreed = set()
    for seed in seeds:
        given = next(each for each in exercises_of("11", seed) if each.key == "11 two changes")
        added, at_once = re.search(
            r"= ([\d.]+) cpm\. Computed with both at once it is ([\d.]+) cpm", given.solution
        ).groups()
        same = float(added) == float(at_once)
        assert ("the same to a tenth" in given.solution) is same, given.solution
        assert ("difference" in given.solution) is not same, given.solution
        agreed.add(same)
    assert agreed == {True, False}


@pytest.mark.parametrize("seeds", [range(20), pytest.param(range(20, 300), marks=pytest.mark.nightly)])
def test_no_answer_is_nothing(seeds):
    """An answer of 0, or one that its tolerance swallows, would have a solution that explains nothing."""
    for seed in seeds:
        for lesson in LESSONS:
            for given in exercises_of(lesson, seed):
                assert abs(given.answer) > given.tolerance, given
