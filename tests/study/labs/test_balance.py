"""The lab on balance: drawn and said is what the pure function says, at the ends, in the middle and after Reset."""

from dataclasses import replace

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import BenchError, TrimRefused
from trimkit.study import balance_lab
from trimkit.study.labs.balance import balance_readouts
from trimkit.study.labs.lever import BalanceParams, weigh

LAB = balance_lab
START = build_set(shipped_order()).club("7-iron")
DEFAULT = BalanceParams(273.3, 46.0, 37.0, 0.0, 0.0)
ENDS = [
    (263.3, 66.0, 36.5, 0.0, -6.0),
    (283.3, 30.0, 37.5, 8.0, 6.0),
    (270.3, 50.0, 37.125, 4.0, 1.5),
]


def test_the_lab_begins_with_the_club_of_the_class(lab):
    assert lab.params == DEFAULT
    assert lab.readout["frequency"].value == pytest.approx(START.frequency_cpm)
    assert str(lab.readout["swingweight"]) == START.swingweight


@pytest.mark.parametrize(("head", "grip", "length", "tip", "target"), ENDS)
def test_ends_and_middle_show_what_the_pure_function_says(lab, head, grip, length, tip, target):
    lab.set(head_mass_g=head, grip_mass_g=grip, playing_length_in=length, tip_weight_g=tip, target_points=target)
    pure = weigh(START, BalanceParams(head, grip, length, tip, target))
    assert lab.readout["swingweight"].value == round(pure.points, 1)
    assert lab.readout["MOI"].value == pure.balance.moi_kg_cm2
    assert lab.readout["balance point"].value == pure.balance.balance_point_in
    assert lab.readout["total mass"].value == pure.balance.total_mass_g
    assert lab.readout["frequency"].value == pure.frequency_cpm
    assert str(lab.readout["for the target"]) in pure.remedy
    assert f"swingweight {pure.balance.swingweight}" in lab.sentence
    assert pure.remedy in lab.sentence
    assert lab.scene.live["head"].get_xdata() == [14 - pure.masses["head"].from_cap_in]
    assert list(lab.scene.live["grip arm"].get_xdata()) == [0, -pure.masses["grip"].arm_in]
    grip, shaft = (lab.scene.live[f"drawn {part}"].get_xy()[:, 0] for part in ("grip", "shaft"))
    assert max(grip) == pytest.approx(14)  # the cap end
    assert min(shaft) == pytest.approx(14 - pure.masses["tip weight"].from_cap_in)
    assert lab.scene.live["swingweight"].get_xdata() == [pure.points]
    low, high = lab.figure.axes[1].get_xlim()
    assert low < pure.points < high


def test_a_difference_of_swingweights_is_that_of_what_is_written(lab):
    """C9.6 and C9.5 are 0.1 apart, whatever the hundredths say."""
    assert "swingweight C9.6 (as before)" in lab.sentence
    lab.set(head_mass_g=273.15)
    assert lab.readout["swingweight"].shown == "C9.5"
    (before,) = (each for each in balance_readouts(lab.reference) if each.label == "swingweight")
    assert lab.readout["swingweight"].change_said(before) == "(−0.1 points)"
    assert "swingweight C9.5 (−0.1 points)" in lab.sentence


def test_a_tip_weight_that_is_in_counts_in_what_the_target_needs(lab):
    for has, said in ((0.0, "1.0 g."), (0.5, "1.0 g in all, 0.5 g more."), (1.0, "1.0 g in all, which it has.")):
        lab.set(tip_weight_g=has)
        assert lab.sentence.endswith(f"For D0.0 it needs a tip weight of {said}")
    lab.set(tip_weight_g=3.0)
    assert str(lab.readout["for the target"]) == "a tip weight of 1.0 g in all"
    assert lab.sentence.endswith("a tip weight of 1.0 g in all, 2.0 g less.")
    lab.set(target_points=-3.0)
    assert " g with the 3.0 g weight in" in lab.sentence


def test_the_ghost_stands_still_and_the_masses_move(lab):
    before = lab.overlay.background()
    size = lab.scene.live["head"].get_markersize()
    lab.set(head_mass_g=283.3)
    assert lab.overlay.background() == before
    assert lab.scene.live["head"].get_markersize() > size


def test_only_parts_that_the_picture_names_have_a_dot(lab):
    assert {"head", "shaft", "grip", "tip weight"} <= set(lab.scene.live)
    assert {"ferrule", "tape", "epoxy"}.isdisjoint(lab.scene.live)


def test_rule_and_mechanics_stand_side_by_side(lab):
    assert lab.scene.live["rule head"].get_text() == "+2.19 g"
    assert lab.scene.live["rule grip"].get_text() == "−5.01 g"
    assert lab.scene.live["rule length"].get_text() == "+0.15 in"


def test_a_pin_keeps_its_columns_whatever_the_target_is(lab):
    lab.pin()
    lab.set(target_points=2.0)
    lab.pin()
    first, second = lab.pin_rows()
    assert list(first) == list(second)
    lab.clear_pins()


def test_an_error_in_the_lab_is_said_in_the_lab(lab):
    with pytest.raises(BenchError, match="tip weight"):
        lab.set(tip_weight_g=20.0)
    broken = balance_lab()
    broken.declared = tuple(
        replace(each, high=60.0) if each.name == "playing_length_in" else each for each in broken.declared
    )
    with pytest.raises(TrimRefused):
        broken.set(playing_length_in=50.0)
    assert broken.result is None
    assert "too short" in broken.sentence
