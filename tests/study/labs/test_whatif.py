"""The what-if bench: what it shows is the pure function's, the same club by the rules agrees, the lesson is so."""

import dataclasses
from pathlib import Path

import nbformat
import numpy as np
import pytest

from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import what_if_lab
from trimkit.study.labs.whatif import NOW_AT, ORDERED_AT, STRIPS, WhatIfParams, changes, what_if, what_if_table
from trimkit.trim.bore import BoreChoice
from trimkit.trim.length import GivenLength
from trimkit.trim.plan import plan_club
from trimkit.trim.wanted import Decisions

LAB = what_if_lab
LESSON = Path(__file__).resolve().parents[3] / "notebooks" / "11_what_if_bench.ipynb"
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


@pytest.mark.parametrize(("club", "values"), zip(("3-hybrid", "sand wedge", "7-iron", "sand wedge"), ENDS, strict=True))
def test_both_clubs_are_drawn_to_scale_and_led_down_from_the_ordered_one(lab, club, values):
    asked = dict(zip(NAMES, values, strict=True))
    lab.set(club=club, **asked)
    live, ordered = lab.scene.live, BUILT.club(club).plan
    wanted, lengths = ordered.wanted, {}
    for which, height in (("ordered ", ORDERED_AT), ("", NOW_AT)):
        grip = live[f"{which}drawn grip"].get_xy()
        lengths[which] = grip[:, 0].max()
        assert np.mean([grip[:, 1].min(), grip[:, 1].max()]) == pytest.approx(height)
    assert lengths["ordered "] == ordered.playing_length_in
    assert lengths[""] == ordered.playing_length_in + asked["playing_length_in"]
    hosel = live["drawn hosel"].get_xy()[:, 0].max() - live["ordered drawn hosel"].get_xy()[:, 0].max()
    assert hosel == pytest.approx(asked["bbgl_in"])
    steps = [live[f"{which}drawn steps"].get_segments() for which in ("ordered ", "")]
    down = steps[0][0][0][0] - steps[1][0][0][0]  # the first step goes down with the tip trim, up with the hosel
    assert down == pytest.approx(asked["tip_trim_in"] - asked["bbgl_in"])
    leads = [lead[0][0] for lead in live["leads"].get_segments()]
    assert leads == pytest.approx([wanted.head.hosel_top_in, steps[0][0][0][0], ordered.playing_length_in])
    low, high = lab.figure.axes[0].get_xlim()
    assert low < min(part.get_xy()[:, 0].min() for name, part in live.items() if name.endswith("head"))
    assert max(lengths.values()) < high
    assert f"head {wanted.head.head_mass_g + asked['head_mass_g']:.1f} g" in live["now says"].get_text()
    assert f"grip {wanted.grip.grip_mass_g + asked['grip_mass_g']:g} g" in live["now says"].get_text()
    assert (f"tip weight {asked['tip_weight_g']:g} g" in live["now says"].get_text()) is (asked["tip_weight_g"] > 0)
    assert f"head {wanted.head.head_mass_g:.1f} g" in live["ordered says"].get_text()


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


def test_a_difference_of_swingweights_is_that_of_the_letters(lab):
    """C9.6 and C9.5 are 0.1 apart, though some of these clubs differ by less: never +0.0 beside other letters."""
    narrow = 0
    for grams in np.arange(-3.0, 3.1, 0.25):
        now = seven(grip_mass_g=float(grams))
        value, before = now.now_and_before["swingweight"]
        letters = [10 * "ABCDEFG".index(text[0]) + float(text[1:]) for text in (now.balance.swingweight, "C9.6")]
        assert value - before == pytest.approx(letters[0] - letters[1], abs=1e-9)
        apart = abs(float(now.balance.swingweight_oz_in) - now.ordered.swingweight_oz_in) / 1.75
        narrow += letters[0] != letters[1] and apart < 0.05
    assert narrow
    lab.set(grip_mass_g=1.0)
    assert lab.readout["swingweight"].change_said(lab.readout["swingweight"]) == "(−0.2 points)"


def test_changes_in_words():
    assert changes(WhatIfParams("7-iron", bbgl_in=-0.0625, tip_weight_g=2.0)) == "BBGL −0.0625 in, tip weight +2 g"


def lesson():
    """The words of lesson 11."""
    cells = nbformat.read(LESSON, as_version=4).cells
    return "\n".join(cell.source for cell in cells if cell.cell_type == "markdown")


def test_what_the_lesson_says_of_half_an_inch_longer_is_so():
    """The worked example: longer; 7 g off the head; 3/16 in more off the tip; a 16 g heavier grip instead."""
    longer, text = {"playing_length_in": 0.5}, lesson()
    tries = [
        {},
        longer,
        longer | {"head_mass_g": -7.0},
        longer | {"head_mass_g": -7.0, "tip_trim_in": 0.1875},
        longer | {"grip_mass_g": 16.0},
    ]
    table = what_if_table(*(WhatIfParams("7-iron", **changed) for changed in tries))
    cpm, points = table["frequency (cpm)"].to_numpy(), [seven(**changed).now_and_before for changed in tries]
    points = [each["swingweight"][0] for each in points]
    weight = table["swingweight"].tolist()
    assert f"as ordered: {cpm[0]:.1f} cpm, flex {table['flex place'].iloc[0]}, swingweight {weight[0]}." in text
    said = (
        f"{cpm[1]:.1f} cpm, about {cpm[0] - cpm[1]:.0f} cpm softer, and {weight[1]}, {points[1] - points[0]:.1f} points"
    )
    assert said in text
    assert f"{weight[2]} again, and {cpm[2]:.1f} cpm" in text
    missing = round(cpm[0], 1) - round(cpm[2], 1)  # what the two readings say
    gained = seven(tip_trim_in=0.5).frequency_cpm - cpm[0]
    assert f"Half an inch off this tip is worth {gained:.1f} cpm, so the missing {missing:.1f} cpm" in text
    assert f"1.3 / {gained:.1f} × 1/2 in = {missing / gained / 2:.2f} in" in text
    assert round(16 * (cpm[0] - cpm[2]) / (2 * gained)) == 3  # sixteenths
    assert f"{cpm[3]:.1f} cpm. Done" in text
    assert f"reads {weight[4]}" in text
    moi, mass = (table[name].iloc[4] - table[name].iloc[3] for name in ("MOI (kg cm²)", "total mass (g)"))
    assert f"{cpm[3] - cpm[4]:.0f} cpm, {moi:.0f} kg cm² and {mass:.0f} g apart" in text
    assert f"the clubs read {cpm[2]:.1f} and {cpm[4]:.1f} cpm" in text


def test_what_the_lesson_says_of_two_changes_is_so():
    start, text = BUILT.club("7-iron").frequency_cpm, lesson()
    asked = ({"head_mass_g": 8.0}, {"bbgl_in": 0.5}, {"head_mass_g": 8.0, "bbgl_in": 0.5})
    head, hosel, both = (start - seven(**each).frequency_cpm for each in asked)
    said = f"costs {head:.1f} cpm, half an inch more BBGL {hosel:.1f} cpm, both together {both:.1f} cpm"
    assert said in text
    corrected = seven(bbgl_in=0.5, tip_trim_in=0.5).frequency_cpm - start
    assert f"ends up {corrected:.1f} cpm above" in text


def test_what_the_lesson_says_of_the_grip_is_so():
    """A grip 10 g heavier: two points, and no cpm at all, which the lesson calls a limit of the model."""
    before, heavier = seven(), seven(grip_mass_g=10.0)
    points, points_then = heavier.now_and_before["swingweight"]
    assert f"10 g more in the grip takes off {points_then - points:.0f} points" in lesson()
    assert heavier.frequency_cpm == before.frequency_cpm
    assert "In the model the grip does not affect the frequency" in lesson().partition("## Limits of the model")[2]


def test_the_table_of_pins_has_a_true_minus(lab):
    lab.set(head_mass_g=-4.5)
    lab.pin()
    shown = lab.pins_told()[0]
    lab.clear_pins()
    assert "−4.5" in shown
    assert "-4.5" not in shown
