"""The caught-mistakes table, by running every planted mistake: caught, by which look, under which name, or why not."""

import pytest

from trimkit.check.consistency import Check
from trimkit.check.rehearsal import rehearse
from trimkit.check.tables import caught_table

DONE = {each.planted.kind: each for each in rehearse()}
SHIFT = "the whole set's shift"

# What must see each mistake, and the words its likely cause must hold.
CAUGHT = {
    "heads of two irons swapped, engraving not read": ({Check.LINE, Check.LADDER}, "another club's head"),
    "heads of two irons swapped, engraving read": ({Check.LINE, Check.RULE, Check.LENGTHS}, "cuts of another club"),
    "cards of two clubs swapped": ({Check.LINE, Check.RULE, Check.LENGTHS, Check.BALANCE}, "cuts of another club"),
    "tip trim in inches cut as millimetres": ({Check.LINE, Check.RULE}, "inches of tip trim cut as millimetres"),
    "tip trim in millimetres cut as inches": ({Check.FIT, Check.RULE}, "millimetres of tip trim cut as inches"),
    "BBGL in millimetres written as inches": ({Check.RULE}, "BBGL in millimetres"),
    "correction for the bore with the wrong sign": ({Check.LINE, Check.RULE}, "wrong sign"),
    "correction for the bore left out": ({Check.LINE, Check.RULE}, "bore left out"),
    "correction for the bore made twice": ({Check.LINE, Check.RULE}, "bore made twice"),
    "correction for a hybrid's bore left out": ({Check.LINE, Check.RULE}, "bore left out"),
    "hybrid cut by its engraved number": (
        {Check.LINE, Check.RULE, Check.LENGTHS, Check.BALANCE},
        "by its engraved number",
    ),
    "another flex's row": ({Check.LINE, Check.RULE}, "S instead of R"),
    "another flex's row, whole set": ({Check.RULE, SHIFT}, "S instead of R"),
    "another club's row": ({Check.LINE, Check.RULE}, "8-iron instead of 7-iron"),
    "a slip in the schedule itself": ({Check.SCHEDULE}, "7-iron R trims 4.4 in"),
    "tip and butt trim swapped on the card": ({Check.LINE, Check.RULE}, "tip and butt swapped"),
    "ruler read one inch long": ({Check.LINE, Check.RULE}, "one inch long"),
    "grip's cap forgotten": ({Check.RULE, Check.LENGTHS}, "cap forgotten"),
    "playing length cut as shaft length": (
        {Check.LINE, Check.RULE, Check.LENGTHS, Check.BALANCE},
        "playing length cut as shaft",
    ),
    "head mass misread, digits swapped": ({Check.LINE, Check.LADDER}, "276.8 g for 267.8 g"),
    "hybrid's mass misread, digits swapped": ({Check.LADDER}, "284.8 g for 248.8 g"),
    "scale not set to zero, 5 g on every head": ({Check.LADDER, SHIFT}, ""),
    "dry fit read half an inch long": ({Check.DRY_FIT}, "dry fit"),
    "grip forgotten in the swingweight": ({Check.BALANCE}, "swingweight"),
    "another master, weighed": ({Check.LINE, Check.RAW_MASS}, "another shaft"),
    "shaft that was cut before": ({Check.RAW_LENGTH}, "41 in"),
    "another club's raw length": ({Check.LINE, Check.RAW_LENGTH}, "another raw length"),
}
UNDETECTABLE = {
    "two hybrid heads swapped before they were weighed": "mass",
    "hybrid's mass misread by 3 g": "second weighing",
    "BBGL misread by a quarter of an inch, no dry fit": "dry fit",
    "bore depth misread by half an inch": "frequency hardly does",
    "another master of the same length, not weighed": "weigh the raw shaft",
    "right card, cut from the wrong end": "at the saw",
    "the order itself in the wrong flex": "only the client",
    "ferrule forgotten in the swingweight": "one point",
    "saw set one thirty-second off": "ruler's mark",
}


def test_every_planted_mistake_is_in_one_of_the_two_lists():
    assert set(DONE) == set(CAUGHT) | set(UNDETECTABLE)
    assert len(CAUGHT) >= 12


@pytest.mark.parametrize("kind", CAUGHT)
def test_it_is_caught_by_these_looks_named_and_nobody_else_is_stopped(kind):
    done, (checks, cause) = DONE[kind], CAUGHT[kind]
    assert done.caught
    assert checks <= set(done.checks)
    assert cause in done.cause
    assert done.false_alarms == ()
    assert done.planted.undetectable == ""


@pytest.mark.parametrize("kind", UNDETECTABLE)
def test_it_is_not_seen_by_any_look_and_the_reason_is_given(kind):
    done = DONE[kind]
    assert not done.caught
    assert done.checks == ()
    assert done.false_alarms == ()
    assert UNDETECTABLE[kind] in done.planted.undetectable


def test_the_table_is_made_from_what_was_run():
    table = caught_table(DONE.values())
    assert set(table.index[table.caught]) == set(CAUGHT)
    assert (table.why_not[~table.caught] != "").all()
    assert (table.why_not[table.caught] == "").all()
    assert (table.by[table.caught] != "").all()


def test_most_mistakes_in_a_cut_are_seen_by_the_mechanics_alone():
    """The two wings are worth something apart: the line, which takes from the rules only the
    schedule's bend and the wanted length, never the cut it judges against, sees most of them too."""
    by_line = [kind for kind, done in DONE.items() if Check.LINE in done.checks]
    assert len(by_line) >= 17
