"""No hint says anything of a wrong answer that is not so, judged from the hint's own words.

Wrong answers are drawn at random (seeded). A hint makes claims: "a thousand times too large", "that is per inch", "the
size is right but the sign is wrong", "right as far as it goes". :data:`CLAIMS` says for each such phrase what must hold
of the number that was typed and the right one. The worked number of a mistake is a claim as well: nobody can have made
a mistake whose number is farther from what was typed than the right answer is.
"""

import functools
import math
import re
import zlib

import numpy as np
import pytest

from trimkit.study.exercises import LESSONS, Outcome, check
from trimkit.study.exercises import exercises_of as drawn
from trimkit.study.exercises.exercise import LETTER_SCALE, in_words

exercises_of = functools.cache(drawn)
EVERY = [(lesson, number) for lesson, questions in LESSONS.items() for number in range(len(questions))]
FACTORS = (2.54, 25.4, 10.0, 28.35, 60.0, 100.0, 1000.0, 1e4, 0.1, 0.01, 1 / 25.4, 1 / 28.35)
BAND = 0.005
"""The stated band: half a unit of the third digit is at most 1/2 % of a number."""
MARK_IN = 1 / 32


def near(typed, exact):
    """Whether a person would call them one number: 2 % apart at most, or the same to two digits (0.013 for 0.0133)."""
    return abs(typed - exact) <= 0.02 * abs(exact) + 1e-9 or f"{typed:.1e}" == f"{exact:.1e}"


CLAIMS = {
    r"That is per inch: the slope is per half inch": lambda t, r: near(t, 2 * r),
    r"That is for one point": lambda t, r: abs(t) < abs(r),
    r"That is in centimeters: the scale is in millimeters": lambda t, r: near(t, r / 10),
    r"That is in kg m²": lambda t, r: near(t, r / 1e4),
    r"That is in gram-inches": lambda t, r: near(t, r * 28.35),
    r"That is in oz in: one point": lambda t, r: near(t, r * 1.75),
    r"multiply by 100 for percent": lambda t, r: near(t, r / 100),
    r"You halved it twice": lambda t, r: t < r,
    r"That is the largest of the three": lambda t, r: t > r,
    r"That is the smallest of the three": lambda t, r: t < r,
    r"One club too many": lambda t, r: t > r,
    r"One club too few": lambda t, r: t < r,
    r"One factor is missing": lambda t, r: t > r,
    r"That is a whole number of grams, or nearly": lambda t, r: abs(t - round(t)) < 0.06 and abs(t - r) < 1.06,
    r"You multiplied (once|twice)\.": lambda t, r: t < r,
    r"the tip drops further: multiply": lambda t, r: t < r,
    r"the stiffer tube drops less": lambda t, r: t > r,
    r"Not fine enough": lambda t, r: abs(t - r) <= 0.05,
}
"""Phrase, and what must be so of the number typed and of the right one, both in the exercise's unit."""


def is_a_rounding(number, right, text, sentence, given):
    """Whether a number is the right one, only written or worked out too coarsely, as the sentence says it is."""
    places = len(text.partition(".")[2])
    off = abs(number - right)
    if "nearest sixteenth" in sentence:
        return off <= MARK_IN and abs(number * 16 - round(number * 16)) < 1e-4
    if "within 1/32 in" in sentence:
        return off <= MARK_IN
    if "one more decimal" in sentence:
        return off <= 0.5 * 10.0**-places + 1e-9
    return "rounded on the way" in sentence and off <= min(0.05 * abs(right), 2 * given.tolerance) + 1e-9


def answers(given, count, generator):
    """Wrong and right numbers: every magnitude, near the right one, near each mistake, between, 0, in other units."""
    known = [given.answer, *(mistake.value for mistake in given.mistakes)]
    for turn in range(count):
        near_to = known[turn % len(known)]
        kind = generator.integers(6)
        spread = 10.0 ** generator.uniform(-5, -0.5)
        number = (
            10.0 ** generator.uniform(-4, 5) * generator.choice((-1, 1)),
            given.answer + generator.normal() * 3 * given.tolerance,
            near_to * (1 + generator.normal() * spread),
            given.answer + generator.uniform() * (near_to - given.answer),
            near_to * generator.choice(FACTORS),
            generator.choice((0.0, -near_to, round(near_to), round(near_to, 1), round(near_to, 2))),
        )[kind]
        if given.unit != LETTER_SCALE:
            yield f"{number:.{generator.integers(6)}f}"
        elif -30 <= number < 39.9:
            yield in_words(number, LETTER_SCALE)


def value_of(text):
    """The number of a text; of a swingweight the points above D0."""
    return 10 * "ABCDEFG".index(text[0]) + float(text[1:]) - 30 if text[0].isalpha() else float(text)


def truths(given, text, marking):
    """Whether each thing that a marking says of a typed number is so."""
    number, sentence = value_of(text), marking.sentence
    hints = [each for each in given.mistakes if each.hint in sentence]
    band = given.tolerance
    if marking.outcome is Outcome.MISTAKE:
        yield "one mistake is named", len({each.hint for each in hints}) == 1
        by_ruler = given.unit == "in" and given.tolerance >= 0.02
        own = min(hints, key=lambda each: abs(each.value - number))
        off = abs(number - own.value)
        band = max(BAND * abs(own.value), given.tolerance, MARK_IN if by_ruler else 0)
        yield "it is within the mistake's band", off <= band + 1e-9 and (own.value != 0 or number == 0)
        yield "it is nearer to the mistake than to the right answer", off < abs(number - given.answer)
        yield "it is wrong", abs(number - given.answer) > given.tolerance
    else:
        yield "no mistake is named", not hints and not marking.mistake
    for phrase, holds in CLAIMS.items():
        if re.search(phrase, sentence):
            yield phrase, holds(number, given.answer)
    if "The size is right but the sign is wrong" in sentence:
        yield "the size is right", number * given.answer < 0 and abs(number + given.answer) <= band + 1e-9
    if re.search(r"rounded (too far|on the way)", sentence):
        yield "it is a rounding", is_a_rounding(number, given.answer, text, sentence, given)
    if sentence.startswith("Right:"):
        yield "it is right", abs(number - given.answer) <= given.tolerance + 1e-9
    if looks := re.search(r"That looks like (\w+)", sentence):
        per = {
            "millimeters": 25.4,
            "centimeters": 2.54,
            "inches": 1 / 25.4,
            "ounces": 1 / 28.349523125,
            "kilograms": 1e-3,
        }
        per |= {"percent": 100.0, "a": 0.01, "cycles": 1 / 60}
        others = {"mm": {"centimeters": 0.1}, "kg cm²": {"g": 1000.0, "kg": 1e-4}, "oz in": {"g": 28.349523125}}
        factor = others.get(given.unit, {}).get(looks[1]) or per[looks[1]]
        yield "it is right in that unit", near(number / factor, given.answer)


@pytest.mark.parametrize("seeds", [range(4), pytest.param(range(10), marks=pytest.mark.nightly)], ids=["few", "many"])
@pytest.mark.parametrize(("lesson", "number"), EVERY, ids=lambda v: str(v))
def test_no_hint_says_what_is_not_so(lesson, number, seeds):
    """40 answers a question, from four students; nightly 1,000, from ten."""
    count = 10 if len(seeds) == 4 else 100
    for seed in seeds:
        given = exercises_of(lesson, seed)[number]
        generator = np.random.default_rng([seed, zlib.crc32(f"said {given.key}".encode())])
        for text in answers(given, count, generator):
            marking = check(given, text)
            untrue = [what for what, so in truths(given, text, marking) if not so]
            assert not untrue, (given, text, marking)


def test_every_phrase_that_is_judged_is_one_that_a_hint_uses():
    """A reworded hint must not slip out of :data:`CLAIMS` unseen."""
    said = {
        phrase
        for lesson in LESSONS
        for seed in range(6)
        for given in exercises_of(lesson, seed)
        for mistake in given.mistakes
        for phrase in CLAIMS
        if re.search(phrase, mistake.hint)
    }
    assert said == set(CLAIMS)


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_judge_sees_a_hint_that_is_given_to_the_wrong_number(lesson):
    """The same hints beside a number that none of them is about are found untrue."""
    for given in exercises_of(lesson, 1):
        if given.unit == LETTER_SCALE:
            continue  # its numbers are letters
        marking = check(given, f"{given.mistakes[-1].value:.9f}")
        assert marking.outcome is Outcome.MISTAKE
        other = given.answer + 0.6 * (given.mistakes[-1].value - given.answer) + 7 * given.tolerance
        assert not math.isclose(other, given.mistakes[-1].value)
        assert not all(so for _, so in truths(given, f"{other:.9f}", marking)), given
