"""Clubs by name: their kind, their place, and the names between them."""

import pytest

from trimkit.parts.errors import TrimRefused
from trimkit.trim.clubs import HYBRIDS, IRONS_AND_WEDGES, WOODS, club_kind, club_place, engraved_iron, say_between


@pytest.mark.parametrize(
    ("kind", "clubs"),
    [
        (
            IRONS_AND_WEDGES,
            [*(f"{n}-iron" for n in range(1, 10)), "pitching wedge", "gap wedge", "sand wedge", "lob wedge"],
        ),
        (WOODS, ["driver", *(f"{n}-wood" for n in range(2, 10))]),
        (HYBRIDS, [f"{n}-hybrid" for n in range(1, 10)]),
    ],
)
def test_clubs_of_a_kind_run_from_long_to_short(kind, clubs):
    assert {club_kind(club) for club in clubs} == {kind}
    places = [club_place(club) for club in clubs]
    assert places == sorted(set(places))


@pytest.mark.parametrize("name", ["", "iron", "0-iron", "10-iron", "1-wood", "4 iron", "4-Iron", "putter", "wedge"])
def test_other_names_are_no_clubs(name):
    with pytest.raises(TrimRefused, match="is not the name of a club"):
        club_place(name)


def test_only_hybrids_carry_an_iron_s_number():
    assert [engraved_iron(club) for club in ("3-hybrid", "3-wood", "3-iron")] == ["3-iron", "3-wood", "3-iron"]


@pytest.mark.parametrize(
    ("longer", "shorter", "part", "name"),
    [
        ("3-iron", "4-iron", 0.0, "3-iron"),
        ("3-iron", "4-iron", 0.25, "3.25-iron"),
        ("5-iron", "7-iron", 0.5, "6-iron"),
        ("9-iron", "pitching wedge", 0.5, "between 9-iron and pitching wedge (0.5)"),
        ("driver", "3-wood", 0.75, "between driver and 3-wood (0.75)"),
    ],
)
def test_a_place_between_two_clubs_has_a_name(longer, shorter, part, name):
    assert say_between(longer, shorter, part) == name
