"""Held clubs: the same numbers as one club at a time, whatever is batched and however many profiles there are."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.card import Assembly, card_of
from trimkit.club.clamp import BareShaft, FrequencyBench, frequencies_cpm
from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.mechanics.beam import first_frequency
from trimkit.parts.errors import ModelError

NAMES = ("evening_class", "taper_soft_step", "wood_pair")
SETS = {name: build_set(shipped_order(name)) for name in NAMES}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("spring", [None, 1500.0])
def test_a_row_of_clubs_measures_what_each_measures_alone(name, spring):
    assembly = Assembly(tip_weight_g=2.0, root_spring_n_m_per_rad=spring)
    plans = [club.plan for club in SETS[name].clubs]
    row = frequencies_cpm([card_of(plan, assembly) for plan in plans])
    # The solver stops where its relative error is below 1e-9: for a batch perhaps a pass later than for one club.
    assert row == pytest.approx([build_club(plan, assembly).frequency_cpm for plan in plans], rel=1e-9)


def test_a_bare_shaft_measures_what_the_mechanics_says():
    plan = SETS["evening_class"].clubs[0].plan
    profile = profile_of(plan.wanted.shaft, plan.raw_length_in)
    bench = FrequencyBench(205.0, test_offset_in=0.5, test_inertia_g_cm2=300.0, clamp_in=6.0)
    expected = first_frequency(
        profile,
        tip_trim_in=0.0,
        cut_length_in=profile.length_in,
        bbgl_in=0.0,
        bore_depth_in=0.0,
        cap_thickness_in=0.0,
        head_mass_g=205.0,
        cg_height_in=-0.5,
        inertia_g_cm2=300.0,
        clamp_in=6.0,
    )
    (found,) = frequencies_cpm([BareShaft(profile, bench)])
    assert found == pytest.approx(float(expected.frequency_cpm), rel=1e-9)


@settings(max_examples=15, deadline=None)
@given(st.floats(-5.0, 5.0), st.floats(0.8, 1.2), st.floats(0.9, 1.1))
def test_clubs_of_several_profiles_keep_their_own_changes(grams, ei, mass):
    held = [card_of(club.plan) for club in SETS["taper_soft_step"].clubs[:4]]
    n = len(held)
    change, factor = grams * np.arange(3)[:, None] + np.arange(n), ei * np.ones((3, 1))
    batch = frequencies_cpm(held, {"head_mass_g": change}, ei_factor=factor, mass_factor=mass)
    assert batch.shape == (3, n)
    for i, j in ((0, 1), (2, 3)):
        head = held[j].wanted.head
        head = dataclasses.replace(head, head_mass_g=head.head_mass_g + change[i, j])
        alone = dataclasses.replace(held[j], wanted=dataclasses.replace(held[j].wanted, head=head))
        (one,) = frequencies_cpm([alone], ei_factor=ei, mass_factor=mass)
        assert batch[i, j] == pytest.approx(one, rel=1e-9)


def test_what_cannot_be_changed_or_does_not_fit_is_refused():
    held = [card_of(club.plan) for club in SETS["evening_class"].clubs]
    with pytest.raises(ModelError, match="a change of grip"):
        frequencies_cpm(held, {"grip": 1.0})
    with pytest.raises(ModelError, match="no club"):
        frequencies_cpm([])
    with pytest.raises(ModelError, match="last axis"):
        frequencies_cpm(held, {"head_mass_g": np.zeros(3)})
    with pytest.raises(ModelError, match="last axis"):
        frequencies_cpm(held[:1], {"head_mass_g": np.zeros(3)})
