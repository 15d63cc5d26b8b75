"""Things as a table: a row each, its columns there even without a row."""

from dataclasses import dataclass

from trimkit.parts.tidytable import tidy_table


@dataclass(frozen=True)
class _Cut:
    club: str
    trim_in: float
    piece: complex


def test_names_come_first_then_attributes_of_attributes_and_what_is_made_of_the_thing():
    cuts = [_Cut("7-iron", 0.5, 3 + 4j), _Cut("8-iron", 1.0, 0j)]
    table = tidy_table(cuts, "club", "trim_in", length="piece.real", twice_in=lambda cut: 2 * cut.trim_in)
    assert table.to_dict("list") == {
        "club": ["7-iron", "8-iron"],
        "trim_in": [0.5, 1.0],
        "length": [3.0, 0.0],
        "twice_in": [1.0, 2.0],
    }
    assert list(table) == ["club", "trim_in", "length", "twice_in"]


def test_without_a_row_the_columns_are_there():
    assert list(tidy_table([], "club", twice_in=abs)) == ["club", "twice_in"]
