"""Mistakes in the parts: digits swapped, units mixed, another club's head; each found from what it does."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimkit.check.wrongparts import ladder_causes, parts_causes, refused_causes, swapped_digits_g
from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import plan_order

ORDER = shipped_order()
PLANS = {plan.club: plan for plan in plan_order(ORDER).every_plan()}


def with_head(card, **changes):
    return replace(card, wanted=replace(card.wanted, head=replace(card.wanted.head, **changes)))


@given(st.integers(1000, 3999))
def test_swapping_back_finds_the_number_again(tenths):
    mass = tenths / 10
    for other in swapped_digits_g(mass):
        assert sorted(f"{other:05.1f}") == sorted(f"{mass:05.1f}")
        assert mass in swapped_digits_g(other) or other < 100


@pytest.mark.parametrize("off_g", [-15.3, -9.7, 8.3, 14.2])
def test_a_mass_that_is_off_is_solved_for(off_g):
    plan = PLANS["8-iron"]
    card = card_of(plan, ORDER.assembly)
    line = frequency_cpm(card)
    wrong = with_head(card, head_mass_g=card.wanted.head.head_mass_g + off_g)
    causes = parts_causes(wrong, plan, line)
    # Either the club's own rung explains it to a reading, or the mass is solved for; never is it left open.
    assert causes[0].misfit_cpm < 1.0


@pytest.mark.parametrize(("wanted_g", "words"), [(4.7, "4.7 g more"), (-3.4, "3.4 g less")])
def test_a_line_that_wants_a_lighter_or_a_heavier_head_says_which(wanted_g, words):
    plan = PLANS["8-iron"]
    card = card_of(plan, ORDER.assembly)
    mass = card.wanted.head.head_mass_g
    line = frequency_cpm(with_head(card, head_mass_g=mass + wanted_g))
    cause = parts_causes(card, plan, line)[0]
    assert cause.mistake == f"head mass off: the line needs {words} ({mass + wanted_g:g} g)"
    assert cause.misfit_cpm == pytest.approx(0, abs=1e-5)


def test_a_mass_more_than_any_misreading_is_not_solved_for():
    plan = PLANS["4-hybrid"]
    card = card_of(plan, ORDER.assembly)
    light = with_head(card, head_mass_g=card.wanted.head.head_mass_g - 70)
    assert not [cause for cause in parts_causes(light, plan, frequency_cpm(card)) if "head mass off" in cause.mistake]


def test_another_shaft_explains_a_club_that_is_off_by_its_mass():
    plan = PLANS["8-iron"]
    card = card_of(plan, ORDER.assembly)
    line = frequency_cpm(card)
    causes = parts_causes(replace(card, raw_mass_g=106.0), plan, line)
    assert causes[0].mistake.startswith("another shaft")
    assert causes[0].misfit_cpm == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("club", "changes", "words"),
    [
        ("6-iron", {"bbgl_in": 25.4}, "the BBGL in millimeters taken as inches"),
        ("6-iron", {"bbgl_in": 2.54 * 5}, "the BBGL in centimeters taken as inches"),
        ("4-hybrid", {"head_mass_g": 428.8}, "head mass misread: 428.8 g for 248.8 g"),
        ("4-hybrid", {"head_mass_g": 248.8 / 28.349523125}, "the head's mass in ounces taken as grams"),
    ],
)
def test_a_unit_or_a_digit_that_makes_the_rules_refuse_is_named(club, changes, words):
    causes = refused_causes(with_head(card_of(PLANS[club], ORDER.assembly), **changes))
    assert words in [cause.mistake for cause in causes]


def test_the_ladder_names_the_digits_that_would_fit():
    card = with_head(card_of(PLANS["4-hybrid"], ORDER.assembly), head_mass_g=284.8)
    (cause,) = ladder_causes(card, 2.0)
    assert (cause.mistake, cause.misfit_in) == ("head mass misread: 284.8 g for 248.8 g", 0.0)


def test_the_causes_of_a_club_off_the_line_are_only_those_that_could_be():
    plan = PLANS["8-iron"]
    card = card_of(plan, ORDER.assembly)
    line = frequency_cpm(card)
    named = [cause.mistake for cause in parts_causes(card, plan, line + 5)]
    assert not [name for name in named if name.startswith(("another shaft", "another raw length", "another club's"))]
    longer = replace(card, raw_length_in=card.raw_length_in + 1)
    (cause,) = [each for each in parts_causes(longer, plan, line) if each.mistake.startswith("another raw length")]
    assert cause.mistake == "another raw length, 43 in instead of 42 in"
    assert cause.misfit_cpm == pytest.approx(0, abs=1e-9)


def test_a_head_of_another_club_is_named_with_both_clubs():
    plan = PLANS["8-iron"]
    card = card_of(plan, ORDER.assembly)
    own = card.wanted.ladder.rung("8-iron").head_mass_g
    other = card.wanted.ladder.rung("6-iron").head_mass_g
    line = frequency_cpm(with_head(card, head_mass_g=own))
    causes = parts_causes(with_head(card, head_mass_g=other), plan, line)
    assert causes[0].mistake == "another club's head: it weighs like a 6-iron's, not an 8-iron's"
    assert causes[0].misfit_cpm == pytest.approx(0, abs=1e-9)
    # What explains it leaves nothing to solve for, and the best comes first.
    assert not [cause for cause in causes if cause.mistake.startswith("head mass off")]
    assert [int(cause.misfit_cpm) for cause in causes] == sorted(int(cause.misfit_cpm) for cause in causes)


def test_digits_that_are_another_head_are_not_tried():
    assert 726.8 in swapped_digits_g(276.8)
    card = with_head(card_of(PLANS["4-hybrid"], ORDER.assembly), head_mass_g=276.8)
    assert not [cause for cause in parts_causes(card, PLANS["4-hybrid"], 300.0) if "726.8" in cause.mistake]


def test_misread_measurements_of_a_refused_club_come_with_the_nearest_first():
    card = with_head(card_of(PLANS["6-iron"], ORDER.assembly), bbgl_in=25.4)
    causes = refused_causes(card)
    assert causes[0].mistake == "the BBGL in millimeters taken as inches"
    assert causes[0].misfit_in == pytest.approx(0, abs=1e-9)
    assert [cause.misfit_in for cause in causes] == sorted(cause.misfit_in for cause in causes)
    assert {cause.misfit_cpm for cause in causes} == {None}


def test_digits_that_are_alike_are_no_swap():
    assert swapped_digits_g(255.5) == (525.5,)
    assert swapped_digits_g(222.2) == ()


def test_a_solved_mass_stands_beside_the_other_causes():
    card = replace(card_of(PLANS["4-hybrid"], ORDER.assembly), raw_mass_g=112.06)
    wrong = with_head(card, head_mass_g=card.wanted.head.head_mass_g + 20)
    named = [cause.mistake for cause in parts_causes(wrong, PLANS["4-hybrid"], frequency_cpm(card))]
    assert "another shaft, or its mass misread (112.1 g)" in named
    assert any("20 g less" in name for name in named)
