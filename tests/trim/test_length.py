"""The playing length per client, and the limits of the rules of the game.

Limits: Equipment Rules Part 2 section 1c (48 in, putters excepted; 18 in, read second-hand); Model Local Rule G-10
(46 in, from 1 January 2022).
"""

import dataclasses

import pytest

from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Standing
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.length import GivenLength, LadderLength, ReferenceLength, check_length
from trimkit.trim.plan import plan_club
from trimkit.trim.steps import Severity
from trimkit.trim.wanted import Decisions

EIGHT = EquivalentClub("8-iron", "8-iron", 0.0)
BETWEEN = EquivalentClub("4-iron", "5-iron", 0.5)
SIX = EquivalentClub("6-iron", "6-iron", 0.0)


@pytest.mark.parametrize(
    ("rule", "club", "length_in", "says"),
    [
        (LadderLength(), EIGHT, 36.5, "The ladder gives an 8-iron 36.5 in."),
        (
            LadderLength(-0.5),
            BETWEEN,
            37.75,
            "The ladder gives a 4.5-iron 38.25 in; the client's clubs are 0.5 in shorter.",
        ),
        (ReferenceLength("6-iron", 38.0), SIX, 38.0, "The client's 6-iron plays at 38 in."),
        (
            ReferenceLength("6-iron", 38.0),
            BETWEEN,
            38.75,
            "The client's 6-iron plays at 38 in; a 4.5-iron is 0.75 in longer, as on the ladder.",
        ),
        (
            ReferenceLength("6-iron", 38.0, gap_in=0.375),
            EIGHT,
            37.25,
            "The client's 6-iron plays at 38 in; an 8-iron is 0.75 in shorter, 2 clubs of 0.375 in each.",
        ),
        (GivenLength(36.25), EIGHT, 36.25, "The order gives this club 36.25 in."),
    ],
)
def test_every_rule_of_length_gives_inches_and_its_reason(ladder, rule, club, length_in, says):
    step = rule.decide(club, ladder)
    assert (step.inches, step.reason) == (length_in, says)


def test_what_the_client_wants_is_a_choice(ladder):
    standings = [
        {source.standing for source in rule.decide(SIX, ladder).sources}
        for rule in (LadderLength(), LadderLength(0.5), ReferenceLength("6-iron", 38.0), GivenLength(38.0))
    ]
    assert [Standing.CHOSEN in found for found in standings] == [False, True, True, True]


@pytest.mark.parametrize("length_in", [18.0, 37.5, 46.0])
def test_within_the_limits_there_is_nothing_to_flag(length_in):
    assert check_length(length_in) == ()


@pytest.mark.parametrize("length_in", [46.01, 48.0])
def test_over_46_in_a_local_rule_may_forbid_it(length_in):
    (note,) = check_length(length_in)
    assert note.severity is Severity.WARNING
    assert "G-10" in note.source.text
    assert note.source.standing is Standing.PUBLISHED
    assert f"{length_in:g} in is over 46 in" in note.text
    assert "governing body decides" in note.next_step


@pytest.mark.parametrize(
    ("length_in", "limit", "step"),
    [(48.01, "at most 48 in", "choose a shorter club"), (17.99, "at least 18 in", "choose a longer club")],
)
def test_over_48_in_and_under_18_in_is_refused(length_in, limit, step):
    with pytest.raises(TrimRefused, match=limit) as refused:
        check_length(length_in)
    assert refused.value.next_step.startswith(step)
    (note,) = check_length(length_in, outside_rules=True)
    assert note.source.text in refused.value.allowed
    assert f"the rules allow {limit}" in note.text


@pytest.mark.parametrize("length_in", [48.01, 17.99])
def test_a_club_that_is_not_for_play_under_the_rules_is_flagged_instead(length_in):
    (note,) = check_length(length_in, outside_rules=True)
    assert "not for play under the rules" in note.text
    assert note.source.standing is Standing.PUBLISHED


def test_the_plan_carries_the_flag(wanted):
    long_shaft = dataclasses.replace(
        wanted.shaft,
        raw_length_in=54.0,
        sections=(*wanted.shaft.sections[:-1], dataclasses.replace(wanted.shaft.sections[-1], to_tip_in=54.0)),
    )
    asked = dataclasses.replace(wanted, shaft=long_shaft, length=GivenLength(48.5))
    with pytest.raises(TrimRefused, match=r"48\.5 in"):
        plan_club(asked)
    plan = plan_club(dataclasses.replace(asked, decisions=Decisions(outside_rules=True)))
    assert plan.playing_length_in == 48.5
    assert [note.severity for note in plan.notes] == [Severity.WARNING]
