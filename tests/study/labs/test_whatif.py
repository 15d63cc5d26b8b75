"""The what-if bench: what it shows is the pure function's, the same club by the rules agrees, the lesson is so."""

import dataclasses

import pytest

from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import what_if_lab
from trimkit.study.labs.whatif import STRIPS, WhatIfParams, changes, what_if, what_if_table
from trimkit.trim.bore import BoreChoice
from trimkit.trim.length import GivenLength
from trimkit.trim.plan import plan_club
from trimkit.trim.wanted import Decisions

LAB = what_if_lab
BUILT = build_set(shipped_order())
CLUBS = [club.plan.club for club in BUILT.clubs]
NAMES = ("tip_trim_in", "playing_length_in", "bbgl_in", "head_mass_g", "tip_weight_g", "grip_mass_g")
MIDDLE = (0.25, -0.125, 0.0625, 3.5, 2.0, 4.0)
SOFTEST, STIFFEST = (-0.75, 0.5, 0.5, 10.0, 8.0, -16.0), (0.75, -0.5, -0.5, -10.0, 0.0, -16.0)
LIGHTEST = (0.75, -0.5, 0.5, -10.0, 0.0, 20.0)
ENDS = (SOFTEST, STIFFEST, MIDDLE, LIGHTEST)


def seven(**changed):
    return what_if(BUILT, WhatIfParams("7-iron", **changed))


def test_unchanged_every_club_is_the_club_as_ordered(lab):
    for club in CLUBS:
        lab.set(club=club)
        ordered = BUILT.club(club)
        assert lab.readout["frequency"].value == pytest.approx(ordered.frequency_cpm, abs=1e-9)
        assert str(lab.readout["swingweight"]) == ordered.swingweight
        assert lab.readout["MOI"].value == pytest.approx(ordered.moi_kg_cm2, abs=1e-6)
        assert lab.readout["total mass"].value == pytest.approx(ordered.total_mass_g, abs=1e-9)
        assert "nothing changed" in lab.sentence
        assert sum(change.startswith("(+0") for _label, _number, change in lab.frame.readouts) == 6


@pytest.mark.parametrize(("club", "values"), zip(("3-hybrid", "sand wedge", "7-iron", "sand wedge"), ENDS, strict=True))
def test_ends_and_middle_show_what_the_pure_function_says(lab, club, values):
    asked = dict(zip(NAMES, values, strict=True))
    lab.set(club=club, **asked)
    pure = what_if(BUILT, WhatIfParams(club, **asked))
    assert lab.readout["frequency"].value == pure.frequency_cpm
    assert lab.readout["MOI"].value == pure.balance.moi_kg_cm2
    assert lab.readout["total mass"].value == pure.balance.total_mass_g
    assert str(lab.readout["swingweight"]) == pure.balance.swingweight
    assert str(lab.readout["flex place"]) == pure.flex
    assert f"{pure.frequency_cpm:.1f} cpm" in lab.sentence
    for name, (value, before) in pure.now_and_before.items():
        assert lab.scene.live[f"mark {name}"].get_xdata() == [value - before]
        assert abs(value - before) < STRIPS[name][2], name
    low, high = lab.figure.axes[-1].get_ylim()
    assert low < pure.frequency_cpm < high


def test_the_difference_is_that_to_the_chosen_club_and_the_ghost_stands_still(lab):
    before = lab.overlay.background()
    lab.set(club="4-iron", head_mass_g=5.0)
    four = BUILT.club("4-iron")
    assert lab.readout["frequency"].before == four.frequency_cpm
    change = lab.readout["frequency"].value - four.frequency_cpm
    assert lab.frame.readouts[0][2] == f"({change:.1f} cpm)".replace("-", "−")
    assert lab.overlay.background() == before


def test_the_same_club_planned_by_the_rules_agrees():
    """Length, head, grip and an uncorrected BBGL through the trade's plan, instead of a club cut otherwise."""
    wanted = BUILT.club("7-iron").plan.wanted
    ordered = BUILT.club("7-iron").plan
    head = dataclasses.replace(wanted.head, bbgl_in=wanted.bbgl_in + 0.25, head_mass_g=wanted.head.head_mass_g + 4.0)
    grip = dataclasses.replace(wanted.grip, grip_mass_g=wanted.grip.grip_mass_g + 6.0)
    other = build_club(
        plan_club(
            dataclasses.replace(
                wanted,
                head=head,
                grip=grip,
                length=GivenLength(ordered.playing_length_in + 0.5),
                decisions=Decisions(bore=BoreChoice.LEAVE, why="test"),
            )
        ),
        BUILT.order.assembly,
    )
    now = seven(playing_length_in=0.5, bbgl_in=0.25, head_mass_g=4.0, grip_mass_g=6.0)
    assert other.plan.tip_trim_in == pytest.approx(now.plan.tip_trim_in)
    assert now.frequency_cpm == pytest.approx(other.frequency_cpm, abs=1e-9)
    assert float(now.balance.moi_kg_cm2) == pytest.approx(other.moi_kg_cm2, abs=1e-6)
    assert now.balance.swingweight == other.swingweight


def test_changes_in_words():
    assert changes(WhatIfParams("7-iron", bbgl_in=-0.0625, tip_weight_g=2.0)) == "BBGL −0.0625 in, tip weight +2 g"


def test_what_the_lesson_says_of_half_an_inch_longer_is_so():
    """Lesson 11, worked example: longer; 7 g off the head; 3/16 in more off the tip; a 16 g heavier grip instead."""
    longer = {"playing_length_in": 0.5}
    tries = [
        {},
        longer,
        longer | {"head_mass_g": -7.0},
        longer | {"head_mass_g": -7.0, "tip_trim_in": 0.1875},
        longer | {"grip_mass_g": 16.0},
    ]
    table = what_if_table(*(WhatIfParams("7-iron", **changed) for changed in tries))
    assert [round(cpm, 1) for cpm in table["frequency_cpm"]] == [313.0, 307.9, 311.7, 313.1, 307.9]
    assert table["flex_place"].tolist() == ["R", "A/R 0.39", "A/R 0.85", "R/S 0.01", "A/R 0.39"]
    assert table["swingweight"].tolist() == ["C9.6", "D2.9", "C9.6", "C9.6", "C9.7"]
    assert [round(moi) for moi in table["moi_kg_cm2"]] == [2635, 2711, 2649, 2649, 2714]
    assert [round(mass, 1) for mass in table["total_mass_g"]] == [418.0, 419.6, 412.6, 412.8, 435.6]


def test_what_the_lesson_says_of_two_changes_is_so():
    """Lesson 11: head +6 g: -3.2 cpm; BBGL +1/2 in: -2.7; both: -5.8; tip trim +1/2 in makes the BBGL good: +0.6."""
    start = BUILT.club("7-iron").frequency_cpm
    asked = ({"head_mass_g": 6.0}, {"bbgl_in": 0.5}, {"head_mass_g": 6.0, "bbgl_in": 0.5})
    assert [round(seven(**each).frequency_cpm - start, 1) for each in asked] == [-3.2, -2.7, -5.8]
    assert round(seven(bbgl_in=0.5, tip_trim_in=0.5).frequency_cpm - start, 1) == 0.6


def test_what_the_lesson_says_of_the_grip_is_so():
    """Lesson 11: a grip 10 g heavier: C7.6, MOI within 2 kg cm2, no cpm at all (the model clamps the grip)."""
    before, heavier = seven(), seven(grip_mass_g=10.0)
    assert heavier.balance.swingweight == "C7.6"
    assert 0 < heavier.balance.moi_kg_cm2 - before.balance.moi_kg_cm2 < 2
    assert heavier.frequency_cpm == before.frequency_cpm


def test_the_table_of_pins_has_a_true_minus(lab):
    lab.set(head_mass_g=-4.5)
    lab.pin()
    shown = lab.pins_told()[0]
    lab.clear_pins()
    assert "−4.5" in shown
    assert "-4.5" not in shown
