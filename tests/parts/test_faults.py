"""The nearest names: at most three, the meant one first, and in bounded time whatever is asked."""

import time

import pytest
from pydantic import ValidationError

from trimkit.club.order.tables import ClubTable, OrderHeader
from trimkit.papers.record.model import Measured
from trimkit.parts.errors import Place
from trimkit.parts.faults import faults_of, names_offered, nearest

HEADS = [f"{kind} {number}-iron" for kind in ("class", "compact", "long hosel") for number in range(1, 10)]


def test_a_slip_of_the_finger_finds_the_name_that_was_meant():
    for name in HEADS:
        assert nearest(name[:-1], HEADS)[0] == name
        assert nearest(name.upper(), HEADS)[0] == name
    assert len(nearest("class iron", HEADS)) == 3


def test_where_none_is_near_a_few_are_listed_and_many_are_counted():
    assert names_offered("xyz", ["head", "grip"]) == "head, grip"
    assert names_offered("xyz", HEADS) == "one of 27 names, none of them near it (the first is class 1-iron)"
    assert names_offered("xyz", []) == "none; there is no name yet"


def test_a_long_name_among_very_many_is_answered_at_once():
    known = [f"{number:05} " + "ab" * 37 for number in range(20_000)]
    start = time.perf_counter()
    nearest("ab" * 100_000, known)
    assert time.perf_counter() - start < 5


@pytest.mark.parametrize(
    ("table", "key", "value", "given", "allowed"),
    [
        (ClubTable, "pulled", "yes", "'yes' is given", "true or false, without quotation marks"),
        (ClubTable, "soft_steps", 0.5, "0.5 is given", "a whole number from -3 to 3"),
        (ClubTable, "soft_steps", 4, "4 is given", "-3 to 3"),
        (ClubTable, "bore", "deep", "'deep' is given", "one of correct, leave, as far as it goes"),
        (ClubTable, "shaft", True, "true is given", "text in quotation marks"),
        (ClubTable, "why", "y" * 201, f"'{'y' * 40}' and so on is given", "at most 200 characters"),
        (OrderHeader, "title", "y" * 500, f"'{'y' * 40}' and so on is given", "at most 200 characters"),
        (Measured, "frequency_cpm", 30.0, "30.0 is given", "50 or more"),
        (Measured, "frequency_cpm", float("nan"), "nan is given", "a number"),
    ],
)
def test_a_value_of_another_kind_is_told_in_words_of_the_bench_and_a_long_one_in_short(
    table, key, value, given, allowed
):
    with pytest.raises(ValidationError) as caught:
        table.model_validate({key: value})
    (fault,) = [each for each in faults_of(table, caught.value, lambda name: Place(key=name)) if each.place.key == key]
    assert (fault.given, fault.allowed) == (given, allowed)
