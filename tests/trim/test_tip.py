"""The raw shaft in hand: a parallel piece as long as it measures, a taper piece one of its family's raw lengths."""

import dataclasses

import pytest

from trimkit.parts.errors import TrimRefused
from trimkit.trim.plan import plan_club
from trimkit.trim.practice import PRACTICE_SOURCE
from trimkit.trim.stepping import RawFamily
from trimkit.trim.steps import Severity
from trimkit.trim.wanted import ShaftInHand

MARK = 1 / 16
"""How far two measurements of a length may differ, in: a usual figure of the bench, from memory."""


def in_hand(wanted, length_in=None, mass_g=None, **changes):
    return plan_club(dataclasses.replace(wanted, in_hand=ShaftInHand(length_in, mass_g), **changes))


@pytest.mark.parametrize("length_in", [42.0, 42.0 - MARK, 42.0 + MARK])
def test_a_parallel_piece_within_a_measuring_error_is_as_long_as_it_measures(wanted, length_in):
    usual, plan = plan_club(wanted), in_hand(wanted, length_in)
    assert (plan.raw_length_in, plan.tip_trim_in, plan.cut_length_in) == (length_in, 3.5, usual.cut_length_in)
    assert plan.butt_trim_in == pytest.approx(length_in - 3.5 - usual.cut_length_in, abs=1e-12)
    assert plan.notes == usual.notes == ()


def test_a_shorter_piece_is_taken_as_cut_at_the_butt_and_said_so(wanted):
    usual, plan = plan_club(wanted), in_hand(wanted, 41.0)
    assert plan.butt_trim_in == pytest.approx(usual.butt_trim_in - 1.0, abs=1e-12)
    assert plan.butt_diameter_in == usual.butt_diameter_in
    (note,) = plan.notes
    assert (note.severity, note.source) == (Severity.WARNING, PRACTICE_SOURCE)
    assert note.text == (
        "The raw shaft in hand measures 41 in; 'test master' is 42 in as bought. The plan takes it that 1 in is "
        "missing at the butt, and that the tip is as bought."
    )
    assert "from the tip to the first step" in note.next_step


def test_the_butt_of_a_short_piece_is_measured_from_its_tip(wanted, master):
    """Its butt end lies where tip trim and cut length put it, 39.875 in from the tip: not nearer the raw butt."""
    *lower, last = master.sections
    butt = dataclasses.replace(last, from_tip_in=39.9, outer_diameter_in=0.61)
    sections = (*lower, dataclasses.replace(last, to_tip_in=39.9), butt)
    shaft = dataclasses.replace(master, sections=sections, butt_diameter_in=0.61)
    for length_in in (42.0, 41.0):
        plan = in_hand(dataclasses.replace(wanted, shaft=shaft), length_in)
        assert plan.tip_trim_in + plan.cut_length_in == pytest.approx(39.875)
        assert plan.butt_diameter_in == pytest.approx(0.600)


def test_a_piece_that_only_was_weighed_keeps_the_catalogue_s_length(wanted, wanted_taper):
    for each in (wanted, wanted_taper):
        usual, plan = plan_club(each), in_hand(each, None, 116.0)
        assert dataclasses.replace(plan, wanted=each) == usual


@pytest.mark.parametrize("off_in", [0.0, MARK, -MARK])
def test_a_taper_piece_within_a_measuring_error_is_the_family_s_raw_length(wanted_taper, off_in):
    assert in_hand(wanted_taper, 38.25 + off_in) == dataclasses.replace(
        plan_club(wanted_taper), wanted=dataclasses.replace(wanted_taper, in_hand=ShaftInHand(38.25 + off_in))
    )
    stepped = in_hand(wanted_taper, 38.75 + off_in, soft_steps=1)
    assert stepped.raw_length_in == 38.75


@pytest.mark.parametrize(("length_in", "club", "steps", "said"), [
    (38.75, "5-iron", 1, "one soft step"),
    (37.75, "7-iron", -1, "one hard step"),
    (39.25 + MARK, "4-iron", 2, "2 soft steps"),
])  # fmt: skip
def test_a_taper_piece_of_another_club_is_refused_with_the_step_that_goes_with_it(
    wanted_taper, length_in, club, steps, said
):
    with pytest.raises(TrimRefused) as refused:
        in_hand(wanted_taper, length_in)
    assert f"the {club}'s raw length, but the 6-iron with no step takes the 6-iron's" in refused.value.given
    assert refused.value.allowed.startswith("38.25 in, or a number of steps")
    assert f"soft_steps = {steps} ({said})" in refused.value.next_step
    told = in_hand(wanted_taper, length_in, soft_steps=steps)
    assert told.raw_length_in == pytest.approx(length_in, abs=MARK + 1e-9)


def test_of_clubs_that_share_a_raw_length_either_piece_is_right(make, taper, wanted_taper):
    rows = make.raw_rows()
    rows[5] = dataclasses.replace(rows[5], raw_length_in=38.25)  # the 7-iron's is the 6-iron's
    family = RawFamily.from_rows(rows, taper)
    assert in_hand(wanted_taper, 38.25, table=family, soft_steps=-1).raw_length_in == 38.25


def test_stepped_to_another_raw_length_the_one_in_hand_no_longer_counts(wanted_taper):
    one = dataclasses.replace(wanted_taper, in_hand=ShaftInHand(38.25, 110.0))
    soft = one.stepped(1)
    assert (soft.soft_steps, soft.in_hand) == (1, ShaftInHand(None, 110.0))
    assert plan_club(soft).raw_length_in == 38.75
    assert wanted_taper.stepped(1).in_hand is None
    assert dataclasses.replace(soft, soft_steps=0, in_hand=one.in_hand) == one
