"""Mass against engraved number: who decides, and what the other would have done, in inches."""

import dataclasses

import pytest

from trimkit.parts.components import HeadKind
from trimkit.parts.sources import Standing
from trimkit.trim.equivalence import HeadLadder, TrimAs
from trimkit.trim.length import GivenLength
from trimkit.trim.placing import engraved_conflict
from trimkit.trim.plan import plan_club
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.steps import Severity
from trimkit.trim.wanted import Decisions


def planned(wanted, head, **changes):
    return plan_club(dataclasses.replace(wanted, head=head, **changes))


def test_a_hybrid_is_placed_by_its_mass_and_its_number_is_answered(wanted, make):
    plan = planned(wanted, make.head("4-hybrid", 241.1, HeadKind.HYBRID))
    assert str(plan.equivalent) == "3.4-iron"
    assert plan.steps[0].reason == (
        "The head weighs 241.1 g, between 3-iron (238.5 g) and 4-iron (245 g): it is trimmed and cut as a 3.4-iron, "
        "although 4-hybrid is engraved."
    )
    (note,) = plan.notes
    assert note.severity is Severity.NOTE
    assert note.text == (
        "The engraved number says otherwise: by its number, as a 4-iron, it would lose 0.3 in more at the tip and be "
        "0.3 in shorter than by its mass, as a 3.4-iron: too stiff and too short."
    )


def test_a_heavy_hybrid_by_its_number_would_be_too_soft_and_too_long(wanted, make):
    (note,) = planned(wanted, make.head("4-hybrid", 251.5, HeadKind.HYBRID)).notes
    assert "lose 0.5 in less at the tip and be 0.5 in longer" in note.text
    assert note.text.endswith("too soft and too long.")


def test_a_hybrid_whose_mass_and_number_agree_needs_no_note(wanted, make):
    plan = planned(wanted, make.head("4-hybrid", 245.0, HeadKind.HYBRID))
    assert plan.notes == ()
    assert plan.tip_trim_in == 2.5


def test_a_hybrid_with_a_number_off_the_ladder_is_still_placed_by_mass(wanted, make):
    plan = planned(wanted, make.head("1-hybrid", 232.0, HeadKind.HYBRID))
    assert (str(plan.equivalent), plan.notes) == ("2-iron", ())


@pytest.mark.parametrize(("mass_g", "notes"), [(258.0, 0), (261.0, 0), (261.3, 1), (254.7, 1), (255.0, 0)])
def test_an_iron_goes_by_its_number_and_is_flagged_more_than_half_a_rung_away(wanted, make, mass_g, notes):
    plan = planned(wanted, make.head("6-iron", mass_g))
    assert (str(plan.equivalent), plan.tip_trim_in) == ("6-iron", 3.5)
    assert len(plan.notes) == notes
    assert all(note.severity is Severity.WARNING for note in plan.notes)


@pytest.mark.parametrize(
    ("mass_g", "said", "tip_weight"), [(251.5, "1 rung lighter", True), (264.5, "1 rung heavier", False)]
)
def test_the_flag_says_how_far_and_what_to_do(wanted, make, mass_g, said, tip_weight):
    (note,) = planned(wanted, make.head("6-iron", mass_g)).notes
    assert said in note.text
    assert "0.5 in" in note.text
    assert ("tip weight" in note.next_step) is tip_weight
    assert "weigh it again" in note.next_step


def test_an_iron_far_off_the_ladder_is_flagged_with_the_ladder_s_end(wanted, make):
    (note,) = planned(wanted, make.head("lob wedge", 320.0, HeadKind.WEDGE)).notes
    assert "16.5 g more than the lob wedge, the heaviest" in note.text


def test_an_iron_trimmed_by_its_mass_on_purpose_is_a_recorded_decision(wanted, make):
    decisions = Decisions(trim_as=TrimAs.MASS, why="the set was reground")
    plan = planned(wanted, make.head("6-iron", 264.5), decisions=decisions)
    assert (str(plan.equivalent), plan.tip_trim_in, plan.playing_length_in) == ("7-iron", 4.0, 37.0)
    assert plan.steps[0].reason.endswith("placed by its mass on purpose (the set was reground).")
    assert Standing.CHOSEN in {source.standing for source in plan.steps[0].sources}


def test_a_hybrid_trimmed_by_its_number_on_purpose_is_recorded_and_flagged(wanted, make):
    decisions = Decisions(trim_as=TrimAs.ENGRAVED, why="to feel the difference in class")
    plan = planned(wanted, make.head("4-hybrid", 244.0, HeadKind.HYBRID), decisions=decisions)
    assert (str(plan.equivalent), plan.tip_trim_in) == ("4-iron", 2.5)
    assert "to feel the difference in class" in plan.steps[0].reason
    assert [note.severity for note in plan.notes] == [Severity.WARNING]


@pytest.mark.parametrize(("mass_g", "off"), [(203.0, "7 g less"), (217.6, "7.6 g more")])
def test_a_wood_goes_by_its_number_whatever_it_weighs(wanted, make, mass_g, off):
    shaft = make.graphite()
    clubs = ("driver", "3-wood")
    schedule = TrimSchedule.from_rows(make.schedule_rows(shaft.name, (("R", 0.0),), clubs), shaft)
    ladder = HeadLadder.from_rungs(make.ladder_rungs("woods", 200.0, 10.0, clubs, 45.0, 2.0), "woods")
    plan = planned(
        wanted,
        make.head("3-wood", mass_g, HeadKind.FAIRWAY, 0.335),
        shaft=shaft,
        table=schedule,
        ladder=ladder,
        flex=None,
    )
    assert (str(plan.equivalent), plan.tip_trim_in, plan.playing_length_in) == ("3-wood", 0.5, 43.0)
    (note,) = [note for note in plan.notes if note.severity is Severity.NOTE]
    assert note.text.startswith(f"The head weighs {off} than the ladder's 3-wood. A wood is cut by its number")
    assert "look at the swingweight before the tip is cut" in note.next_step


def test_on_a_taper_tip_the_other_number_means_another_raw_length(wanted_taper, make):
    (note,) = planned(wanted_taper, make.head("4-hybrid", 238.5, HeadKind.HYBRID, 0.355)).notes
    assert "take a raw length 0.5 in shorter and be 0.5 in shorter" in note.text


def test_with_a_given_length_the_number_changes_the_tip_alone(wanted, make):
    head = make.head("4-hybrid", 238.5, HeadKind.HYBRID)
    (note,) = planned(wanted, head, length=GivenLength(38.0)).notes
    assert note.text.endswith(": too stiff.")


def test_where_mass_and_number_agree_there_is_no_difference(wanted):
    conflict = engraved_conflict(wanted)
    assert (conflict.tip_trim_in, conflict.playing_length_in, conflict.effect) == (0.0, 0.0, "no difference")


def test_the_conflict_has_its_inches_for_a_lesson(wanted, make):
    conflict = engraved_conflict(dataclasses.replace(wanted, head=make.head("4-hybrid", 238.5, HeadKind.HYBRID)))
    assert (str(conflict.by_mass), str(conflict.by_number)) == ("3-iron", "4-iron")
    assert (conflict.tip_trim_in, conflict.playing_length_in) == (0.5, -0.5)


def test_a_decision_without_a_reason_says_so(wanted):
    plan = plan_club(dataclasses.replace(wanted, decisions=Decisions(trim_as=TrimAs.MASS)))
    assert plan.steps[0].reason.endswith("on purpose (no reason written down).")
