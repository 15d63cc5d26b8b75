"""The reasons of a set: each told once, nothing lost, every source under a key that leads back to it."""

import dataclasses
import re

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.reasons import SourceKeys, clubs_said, in_marks, notes_together, read_first, reasons, step_of
from trimkit.parts.sources import Source, Standing
from trimkit.trim.steps import Note, Severity, StepKind

BUILDS = {name: build_set(shipped_order(name)) for name in ("evening_class", "taper_soft_step", "wood_pair")}


CLUB_WORDS = {"a", "an", "the", "driver", "gap", "sand", "pitching", "lob", "wedge"}


def bare(text):
    """The words of a sentence without its numbers and clubs."""
    words = re.findall(r"[^\s.,;:]+", re.sub(r"\d[\d.]*", "0", text.replace("'s", "")))
    return tuple(word for word in words if "0" not in word and word not in CLUB_WORDS)


@pytest.mark.parametrize("built", BUILDS.values(), ids=BUILDS)
def test_every_step_of_every_club_has_its_reason_and_no_two_reasons_are_alike(built):
    said = reasons(built.clubs)
    frames = [(reason.kind, bare(reason.text), reason.sources) for reason in said]
    assert len(set(frames)) == len(frames)
    assert len(said) < sum(len(club.plan.steps) for club in built.clubs)
    for club in built.clubs:
        for step in club.plan.steps:
            assert (step.kind, bare(in_marks(step.reason))) in {frame[:2] for frame in frames}
    assert [list(StepKind).index(reason.kind) for reason in said] == sorted(
        list(StepKind).index(reason.kind) for reason in said
    )


def test_a_reason_that_holds_to_the_last_number_says_so():
    by_kind = [reason for reason in reasons(BUILDS["evening_class"].clubs) if reason.kind is StepKind.BORE]
    nothing = next(reason for reason in by_kind if "nothing to correct" in reason.text)
    less = next(reason for reason in by_kind if "less comes off" in reason.text)
    assert (nothing.clubs, nothing.exact) == ("4-iron, 6-iron, 7-iron, gap wedge", True)
    assert (less.clubs, less.first, less.exact) == ("3-hybrid, 4-hybrid, 8-iron", "3-hybrid", False)


def test_clubs_in_a_row_are_first_and_last():
    names = list("abcdef")
    assert clubs_said(names, [0, 2, 3, 4]) == "a, c to e"
    assert clubs_said(names, [1, 2, 5]) == "b, c, f"
    assert clubs_said(["a"], [0]) == "a"
    assert clubs_said(names[:2], [0, 1]) == "every club"
    assert clubs_said(names[:3]) == "a to c"


def test_a_step_is_found_by_its_kind():
    club = BUILDS["evening_class"].clubs[0]
    kinds = {step.kind for step in club.plan.steps}
    assert all(step_of(club, kind).inches == club.plan.inches(kind) for kind in kinds)
    assert step_of(club, StepKind.PULLED) is None


def test_keys_lead_back_to_their_sources():
    rows = [Source(f"a.csv, row {number}", Standing.OWN_DATA) for number in (2, 12)]
    told = Source("a.csv, row 2; head_mass_g from the order", Standing.MEASURED)
    rule = Source("a rule", Standing.DERIVED)
    keys = SourceKeys([*rows, rule, told, rows[0]])
    assert [keys.key(source) for source in (*rows, rule, told)] == ["a2", "a12", "b", "c2"]
    assert keys.legend == {
        "a": "a.csv by row (from your own data files)",
        "b": "a rule (derived here)",
        "c": "a.csv; head_mass_g from the order by row (measured)",
    }


def test_more_sources_than_letters_still_have_a_key_each():
    sources = [Source(f"rule {word}", Standing.DERIVED) for word in map(chr, range(0x4E00, 0x4E00 + 60))]
    keys = SourceKeys(sources)
    assert len({keys.key(source) for source in sources}) == 60


def test_a_note_for_several_clubs_is_told_once():
    club = BUILDS["evening_class"].clubs[0]
    assert club.notes
    twin = dataclasses.replace(club)
    together = notes_together([club, twin])
    assert list(together) == list(club.notes)
    assert set(together.values()) == {(club.plan.club, club.plan.club)}


@pytest.mark.parametrize(
    ("text", "marked"),
    [
        ("0.0625 in or 38.5 in", "1/16 in or 38 1/2 in"),
        ("0.062 in, 0.370 in, 12.0 in", "0.062 in, 0.370 in, 12 in"),
        ("213.5 oz in, 4.25 inches, 14 in", "213.5 oz in, 4.25 inches, 14 in"),
    ],
)
def test_only_a_length_on_a_sixteenth_becomes_a_mark(text, marked):
    assert in_marks(text) == marked


def test_a_club_with_two_warnings_is_sent_behind_the_card_once():
    source = Source("made up", Standing.CHOSEN)
    notes = {
        Note(Severity.WARNING, "one", "look", source): ("6-iron",),
        Note(Severity.NOTE, "two", "look", source): ("7-iron",),
        Note(Severity.WARNING, "three", "look", source): ("6-iron",),
        Note(Severity.CAUTION, "four", "look", source): ("6-iron", "8-iron"),
    }
    assert read_first(notes) == ("6-iron, warning", "6-iron, 8-iron, caution")
