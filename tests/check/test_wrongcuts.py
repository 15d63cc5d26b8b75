"""Mistakes in the cuts: each, made on purpose, is the best explanation of the card that it writes."""

from dataclasses import replace

import pytest

from trimkit.check.wrongcuts import CARD_READING_IN, cutting_causes
from trimkit.club.card import card_of
from trimkit.club.order import shipped_order
from trimkit.club.set import plan_order

ORDER = shipped_order()
PLANS = {plan.club: plan for plan in plan_order(ORDER).every_plan()}
SAND = PLANS["sand wedge"]


def best(plan, others=(), **cuts):
    return cutting_causes(replace(card_of(plan, ORDER.assembly), **cuts), plan, others)[0]


@pytest.mark.parametrize(
    ("club", "tip_in", "cut_in", "words"),
    [
        ("sand wedge", -0.5, 0.0, "bore left out"),
        ("sand wedge", -1.0, 0.0, "wrong sign"),
        ("sand wedge", 0.5, 0.0, "bore applied twice"),
        ("7-iron", 1.5, 0.0, "S instead of R"),
        ("7-iron", -1.25, 0.0, "A instead of R"),
        ("7-iron", 0.5, 0.0, "8-iron instead of 7-iron"),
        ("7-iron", -0.5, 0.0, "6-iron instead of 7-iron"),
        ("7-iron", 0.0, 0.1, "cap forgotten"),
        ("7-iron", 0.0, -0.1, "cap taken off twice"),
        ("5-iron", 0.0, 1.12, "playing length cut as shaft"),
        ("5-iron", 0.0, -1.02, "BBGL taken off"),
        ("8-iron", -1.0, 0.0, "one inch short"),
    ],
)
def test_a_known_error_in_inches_has_its_name(club, tip_in, cut_in, words):
    plan = PLANS[club]
    cause = best(plan, tip_trim_in=plan.tip_trim_in + tip_in, cut_length_in=plan.cut_length_in + cut_in)
    assert words in cause.mistake
    assert cause.explains
    assert cause.misfit_cpm == pytest.approx(0, abs=0.3)


def test_a_misfit_is_the_larger_distance_and_its_frequency_is_that_of_the_distance():
    cause = best(SAND, tip_trim_in=SAND.tip_trim_in - 0.5 + 0.02)
    assert cause.misfit_in == pytest.approx(0.02)
    assert 0 < cause.misfit_cpm < 0.4


def test_an_error_that_no_mistake_makes_is_not_explained():
    cause = best(PLANS["7-iron"], tip_trim_in=PLANS["7-iron"].tip_trim_in + 0.77)
    assert not cause.explains
    assert cause.misfit_in > CARD_READING_IN


def test_a_mistake_that_changes_nothing_for_a_club_is_not_named():
    # The 6-iron's bore is the schedule's own, so that no mistake about its correction can be the cause.
    causes = cutting_causes(card_of(PLANS["6-iron"], ORDER.assembly), PLANS["6-iron"], ())
    assert not [cause for cause in causes if "correction for the bore" in cause.mistake]
