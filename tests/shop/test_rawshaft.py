"""Measured shafts: planted stiffness and mass come back from raw readings."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.clamp import BareShaft, FrequencyBench, frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.parts.errors import ComponentError, ModelError
from trimkit.shop.rawshaft import MeasuredShaft, shaft_factors

SHAFT = shipped_order().shaft
PROFILE = profile_of(SHAFT, SHAFT.raw_length_in)
FACTOR, SPRING = st.floats(0.5, 2.0), st.sampled_from([None, 300.0, 1500.0, 20_000.0])


def read(ei, mass, bench):
    cpm = frequencies_cpm([BareShaft(PROFILE, bench)], ei_factor=ei, mass_factor=mass)
    return MeasuredShaft("one", float(cpm[0]), float(PROFILE.mass_g) * mass)


@settings(max_examples=40, deadline=None)
@given(FACTOR, st.floats(0.8, 1.2), SPRING, st.floats(50.0, 400.0))
def test_planted_factors_come_back(ei, mass, spring, test_mass):
    bench = FrequencyBench(test_mass, root_spring_n_m_per_rad=spring)
    factors = shaft_factors(PROFILE, [read(ei, mass, bench)], bench)
    assert factors.ei_factor[0] == pytest.approx(ei, rel=1e-7)
    assert factors.mass_factor[0] == pytest.approx(mass, rel=1e-12)


def test_a_whole_batch_of_unlike_shafts_comes_back_at_once():
    bench = FrequencyBench(205.0, root_spring_n_m_per_rad=900.0)
    planted = np.geomspace(0.2, 8.0, 25)
    shafts = [read(float(ei), 1.0, bench) for ei in planted]
    assert shaft_factors(PROFILE, shafts, bench).ei_factor == pytest.approx(planted, rel=1e-7)


def test_four_times_the_stiffness_is_twice_the_frequency():
    bench = FrequencyBench(205.0)
    one = read(1.0, 1.0, bench)
    double = MeasuredShaft("double", 2 * one.raw_frequency_cpm, one.raw_mass_g)
    assert shaft_factors(PROFILE, [double], bench).ei_factor[0] == pytest.approx(4, rel=1e-9)


def test_a_reading_that_no_stiffness_gives_is_refused():
    """In a compliant clamp even a rigid shaft has a frequency; nothing reads higher."""
    bench = FrequencyBench(205.0, root_spring_n_m_per_rad=200.0)
    rigid = read(1e7, 1.0, bench)
    above = MeasuredShaft("too high", 1.02 * rigid.raw_frequency_cpm, rigid.raw_mass_g)
    with pytest.raises(ModelError, match=r"'too high' reads .* than a rigid shaft"):
        shaft_factors(PROFILE, [read(1.0, 1.0, bench), above], bench)


@pytest.mark.parametrize("bad", [math.nan, math.inf, 0.0, -3.0])
@pytest.mark.parametrize("name", ["raw_frequency_cpm", "raw_mass_g", "raw_length_in"])
def test_a_measurement_that_cannot_be_is_refused(name, bad):
    numbers = {"raw_frequency_cpm": 280.0, "raw_mass_g": 115.0, "raw_length_in": 42.0} | {name: bad}
    with pytest.raises(ComponentError, match=f"'one': {name}"):
        MeasuredShaft("one", **numbers)


def test_no_shaft_is_refused():
    with pytest.raises(ModelError, match="no measured shaft"):
        shaft_factors(PROFILE, [], FrequencyBench(205.0))
