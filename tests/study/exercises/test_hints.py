"""What a mistaken answer brings up: its own hint, in every unit and notation that the checker reads."""

import re
from fractions import Fraction

import pytest

from trimkit.study.exercises import LESSONS, Outcome, check, exercises_of
from trimkit.study.exercises.exercise import LETTER_SCALE, Mistake, exercise, in_words
from trimkit.study.exercises.reading import SAME_AS

EVERY = [(lesson, number) for lesson, questions in LESSONS.items() for number in range(len(questions))]
MM_PER_IN = 25.4


def texts(value, unit):
    """A number as students may type it: in the exercise's unit, without one, and in every unit that means the same."""
    if unit == LETTER_SCALE:
        return [in_words(value, unit)]
    same = [f"{value * factor:.12f} {other}" for other, factor in SAME_AS.get(unit, {unit: 1.0}).items()]
    return [f"{value:.12f}", *same]


@pytest.mark.parametrize(("lesson", "number"), EVERY, ids=lambda v: str(v))
def test_each_mistake_brings_up_one_hint_its_own_or_that_of_another_with_its_number(lesson, number, seeds):
    for seed in seeds:
        given = exercises_of(lesson, seed)[number]
        assert given.mistakes
        for mistake in given.mistakes:
            assert abs(mistake.value - given.answer) > given.tolerance, given
            for text in texts(mistake.value, given.unit):
                marking = check(given, text)
                if (
                    given.unit != LETTER_SCALE
                    and text.split()[0] != text
                    and abs(float(text.split()[0]) - given.answer) <= given.tolerance
                ):
                    # By chance the right number in another unit: that is the likelier slip, and told.
                    assert marking.outcome is Outcome.WRONG_UNIT
                    continue
                assert marking.outcome is Outcome.MISTAKE, (given, text)
                told = next(each for each in given.mistakes if each.name == marking.mistake)
                assert marking.sentence == f"Not yet. {told.hint}"
                # The letter scale is typed to a tenth of a point.
                assert abs(told.value - mistake.value) <= (0.1 if given.unit == LETTER_SCALE else 1e-9), (given, text)


@pytest.mark.parametrize(("lesson", "number"), EVERY, ids=lambda v: str(v))
def test_the_right_answer_in_every_unit(lesson, number, seeds):
    for seed in seeds:
        given = exercises_of(lesson, seed)[number]
        for text in texts(given.answer, given.unit):
            assert check(given, text).right, (given, text)


def inches(seeds):
    """Every exercise with an answer in inches."""
    return [each for seed in seeds for lesson in LESSONS for each in exercises_of(lesson, seed) if each.unit == "in"]


def test_a_ruler_in_millimetres_is_fine_enough(seeds):
    """Whole millimetres answer every cut; what asks for less than a sixteenth gets tenths."""
    for given in inches(seeds):
        digits = 0 if given.tolerance >= 0.02 else 1
        text = f"{given.answer * MM_PER_IN:.{digits}f} mm"
        assert check(given, text).right, (given, text)


def test_fractions_on_a_mark(seeds):
    """What lies on a sixteenth may be typed as a fraction: with or without a unit, sign before or after."""
    on_a_mark = [each for each in inches(seeds) if (16 * each.answer).is_integer()]
    assert len(on_a_mark) > 10 * len(seeds)
    for given in on_a_mark:
        whole, part = divmod(abs(Fraction(given.answer)), 1)
        sign = "-" if given.answer < 0 else ""
        mixed = f"{sign}{whole or ''}{' ' if whole and part else ''}{part or ''}"
        for text in (mixed, f"{mixed} in", f'{mixed}"', f"{sign}{abs(Fraction(given.answer))} inches"):
            assert check(given, text).right, (given, text)


def test_a_mistake_that_leads_to_the_answer_is_none():
    mistakes = [("lucky", 1.005, "no."), ("real", 2.0, "yes."), ("again", 2.01, "or so."), ("round", -1.0, "minus.")]
    made = exercise("00 x", question="?", answer=(1.0, "in", 0.02), mistakes=mistakes, solution="1 in.")
    assert made.mistakes == tuple(Mistake(*each) for each in mistakes[1:])
    assert check(made, "-1").mistake == "round"


STANDING = {
    "05 tape": "from our own memory",
    "04 shift": "common practice, no source",
    "08 moment": "from our own memory",
    "08 letter": "from our own memory",
    "08 grams for points": "from our own memory",
    "08 heavier grip": "from our own memory",
    "11 as soft as a step": "common practice, no source",
}


@pytest.mark.parametrize("key", STANDING)
def test_a_figure_without_a_source_says_so_in_the_question(key):
    for seed in range(6):
        given = next(each for each in exercises_of(key[:2], seed) if each.key == key)
        assert STANDING[key] in given.question


def test_figures_of_hints_and_solutions_say_so_too():
    """About 10 cpm a flex, 2 g a point, 2 cpm of tolerance: wherever a hint or a solution says one."""
    figures = {
        "Ten cpm a flex": "from our own memory",
        "2 g a point": "common practice, no source",
        "the usual 2 cpm (": "from our own memory",
    }
    seen = set()
    for seed in range(12):
        for lesson in LESSONS:
            for given in exercises_of(lesson, seed):
                for text in (given.solution, *(mistake.hint for mistake in given.mistakes)):
                    for figure in filter(text.__contains__, figures):
                        assert figures[figure] in text, text
                        seen.add(figure)
    assert seen == set(figures)


def test_no_text_for_a_student_leaves_open_whose_memory_it_is():
    for seed in range(12):
        for lesson in LESSONS:
            for given in exercises_of(lesson, seed):
                texts = (given.question, given.solution, *(mistake.hint for mistake in given.mistakes))
                loose = [text for text in texts if "memory" in text.replace("from our own memory", "")]
                assert loose == []
                assert not [text for text in texts if "unverified" in text]


SPELLED_OTHERWISE = r"centre|metre|grey|colour|neighbour|towards|half-way|kg m2|kg cm2|N m2|\d\.\d*0[ -]iron"


def test_texts_are_spelled_as_at_a_bench_in_the_states():
    for seed in range(12):
        for lesson in LESSONS:
            for given in exercises_of(lesson, seed):
                texts = (given.question, given.solution, *(mistake.hint for mistake in given.mistakes))
                assert not [text for text in texts if re.search(SPELLED_OTHERWISE, text)]
