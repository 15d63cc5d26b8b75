"""Which club of one revision is which of another."""

from dataclasses import replace

import pytest

from trimkit.papers.record.pairing import club_label, paired


@pytest.fixture
def revision(record):
    """Makes a revision of clubs given as (name, head)."""

    def made(*clubs):
        first = record.latest.clubs[0]
        made = (first.model_copy(update={"club": name, "head": replace(first.head, name=head)}) for name, head in clubs)
        return record.latest.model_copy(update={"clubs": tuple(made)})

    return made


@pytest.mark.parametrize(
    ("before", "after", "pairs"),
    [
        ([("a", "x"), ("b", "y")], [("b", "y"), ("a", "x")], ((0, 1), (1, 0))),
        ([("a", "x"), ("a", "x")], [("a", "x"), ("a", "x")], ((0, 0), (1, 1))),
        ([("a", "x"), ("b", "y")], [("b", "y")], ((0, None), (1, 0))),
        ([("b", "y")], [("a", "x"), ("b", "y")], ((0, 1), (None, 0))),
        ([("a", "x"), ("b", "y")], [("a", "new"), ("b", "y")], ((0, 0), (1, 1))),
        ([("a", "x"), ("b", "y")], [("a", "y"), ("b", "x")], ((0, 1), (1, 0))),  # the head is the club
        ([("a", "x"), ("a", "y")], [("a", "new"), ("a", "y")], ((0, 0), (1, 1))),
        ([("a", "x")], [("b", "y")], ((0, None), (None, 0))),
    ],
)
def test_clubs_are_paired_by_head_then_by_name(revision, before, after, pairs):
    assert paired(revision(*before), revision(*after)) == pairs


def test_a_name_that_two_clubs_have_is_told_with_the_place(revision):
    made = revision(("sand wedge", "x"), ("7-iron", "y"), ("sand wedge", "z"))
    labels = [club_label(made, place) for place in range(3)]
    assert labels == ["sand wedge (place 1)", "7-iron", "sand wedge (place 3)"]
