"""What students of lessons 09 to 12 answered and were not helped with: each has a hint of its own now (seed 5)."""

import pytest

from trimkit.study.exercises import Outcome, check, exercises_of

SLIPS = [
    ("09 on the line", "10.5", "add it to the known club's cpm"),
    ("09 deviation", "333.7", "how far is the club off it"),
    ("09 median slope", "5.1", "the repeated median, the lab's way"),
    ("10 spread", "3.1", "Effects do not add up; their squares do"),
    ("10 spread", "4.33", "take its root"),
    ("10 all of a set", "0.517", "multiply by 100 for per cent"),
    ("10 cut tolerance", "1/4", "a nearby ruler mark"),
    ("10 cut tolerance", "0.3", "a hundredth of an inch"),
    ("10 mark in cpm", "-0.30", "4 3/16 in is nearer"),
    ("10 head mass", "0.285", "Divide the allowed cpm by the cpm per gram"),
    ("11 two changes", "346.8", "The bore's sign is reversed"),
    ("11 two changes", "345.2", "The head's sign is reversed"),
    ("11 half an inch longer", "6", "a tenth of a gram"),
    ("11 half an inch longer", "7", "a tenth of a gram"),
    ("11 as soft as a step", "5 1/8", "Two soft steps are two quarters"),
    ("11 as soft as a step", "5", "not 1/4 in"),
    ("11 as soft as a step", "3 1/4", "Count from S towards R"),
    ("12 whole tip", "5 7/8", "over (or under) the schedule's 1 in"),
    ("12 whole tip", "6", "That is cut as S"),
]


def asked(key, seed):
    return next(each for each in exercises_of(key[:2], seed) if each.key == key)


@pytest.mark.parametrize(("key", "typed", "hint"), SLIPS)
def test_a_likely_slip_has_its_hint(key, typed, hint):
    marking = check(asked(key, 5), typed)
    assert marking.outcome is Outcome.MISTAKE
    assert hint in marking.sentence


@pytest.mark.parametrize("key", ["12 whole tip", "12 whole butt"])
def test_who_forgets_both_corrections_is_never_right(key):
    """Part of the way and bore may cancel: seeds 5, 15, 26 once did."""
    for seed in range(200):
        given = asked(key, seed)
        both = next(each for each in given.mistakes if each.name == "flex and bore forgotten")
        marking = check(given, f"{both.value!r} in")
        assert marking.outcome is Outcome.MISTAKE
        assert both.hint in marking.sentence
