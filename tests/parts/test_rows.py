"""The clubs that a table may name are those that the rules know; short names where their meaning is plain."""

import itertools

import pytest

from trimkit.parts.errors import BenchError
from trimkit.parts.rows import CLUBS, club_name
from trimkit.trim.clubs import club_place


def known_to_the_rules(club):
    try:
        return club_place(club) > 0
    except BenchError:
        return False


def test_every_club_that_a_table_may_name_is_one_of_the_rules_and_none_is_missing():
    numbered = [f"{n}-{kind}" for n, kind in itertools.product(range(12), ("iron", "wood", "hybrid"))]
    others = ["driver", "pitching wedge", "gap wedge", "sand wedge", "lob wedge", "putter", "approach wedge"]
    assert {club for club in numbered + others if known_to_the_rules(club)} == set(CLUBS)


@pytest.mark.parametrize(
    ("text", "club"),
    [
        *(("7i", "7-iron"), ("7 iron", "7-iron"), ("7-Iron", "7-iron"), ("7I", "7-iron"), ("3w", "3-wood")),
        *(("4 Hybrid", "4-hybrid"), ("4h", "4-hybrid"), ("PW", "pitching wedge"), ("sw", "sand wedge")),
        *(("GW", "gap wedge"), ("LW", "lob wedge"), ("Pitching-Wedge", "pitching wedge"), (" DRIVER ", "driver")),
    ],
)
def test_a_club_is_read_as_people_write_it(text, club):
    assert club_name(text) == club


@pytest.mark.parametrize("text", ["AW", "UW", "W", "77i", "0i", "1w", "1-wood", "7", "iron", "7-irons", "52"])
def test_a_club_of_no_plain_meaning_is_refused(text):
    with pytest.raises(BenchError, match="is not the name of a club"):
        club_name(text)


def test_the_nearest_clubs_are_offered():
    with pytest.raises(BenchError) as caught:
        club_name("7-irn")
    assert "7-iron" in caught.value.allowed
    assert caught.value.allowed.count(",") == 2
