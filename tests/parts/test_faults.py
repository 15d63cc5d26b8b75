"""The nearest names: at most three, the meant one first, and in bounded time whatever is asked."""

import time

from trimkit.parts.faults import names_offered, nearest

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
