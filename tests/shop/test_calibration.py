"""Calibration: planted truths come back, with the scatter that is promised; what cannot be told apart is refused."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from trimkit.club.card import Assembly, card_of
from trimkit.club.clamp import BareShaft, FrequencyBench, frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.parts.errors import ComponentError, ModelError
from trimkit.shop.calibration import (
    MOST_UNSURE,
    Reading,
    calibrate,
    calibrate_ei,
    club_reading,
    raw_reading,
    readings_table,
)

PLANS = [club.plan for club in build_set(shipped_order()).clubs]
PROFILE = profile_of(PLANS[0].wanted.shaft, PLANS[0].raw_length_in)
CLAMPS = (4.0, 8.0, 12.0, 16.0, 20.0)
MASS = 1.02
CLAMP = Assembly(root_spring_n_m_per_rad=1200.0)


def raw(clamps, ei, spring, noise=None, test_mass=205.0):
    """Readings of one planted shaft, 2 % heavier than described, at several depths in a planted clamp."""
    noise = np.zeros(len(clamps)) if noise is None else noise
    made = []
    for clamp, error in zip(clamps, noise, strict=True):
        bench = FrequencyBench(test_mass, clamp_in=clamp, root_spring_n_m_per_rad=spring)
        (cpm,) = frequencies_cpm([BareShaft(PROFILE, bench)], ei_factor=ei, mass_factor=MASS)
        made.append(raw_reading(PROFILE, bench, float(cpm + error), raw_mass_g=MASS * float(PROFILE.mass_g)))
    return made


@settings(max_examples=15, deadline=None)
@given(st.floats(0.7, 1.4), st.floats(400.0, 8000.0))
def test_planted_stiffness_and_spring_come_back(ei, spring):
    found = calibrate(raw(CLAMPS, ei, spring), reading_error_cpm=0.05)
    assert found.ei_factor == pytest.approx(ei, rel=1e-5)
    assert found.root_spring_n_m_per_rad == pytest.approx(spring, rel=1e-3)
    assert np.abs(found.residual_cpm).max() < 1e-4


def test_a_rigid_clamp_is_found_as_such():
    found = calibrate(raw(CLAMPS, 0.95, None), reading_error_cpm=0.1)
    assert found.root_spring_n_m_per_rad is None
    assert not found.clamp_is_compliant
    assert found.ei_factor == pytest.approx(0.95, rel=1e-6)


def test_clubs_and_bare_shafts_may_be_read_together():
    held = [card_of(plan, CLAMP) for plan in PLANS]
    cpm = frequencies_cpm(held, ei_factor=0.97, mass_factor=1.0)
    clubs = [club_reading(plan, float(f)) for plan, f in zip(PLANS, cpm, strict=True)]
    found = calibrate(clubs + raw(CLAMPS, 0.97, 1200.0), reading_error_cpm=0.1)
    assert found.ei_factor == pytest.approx(0.97, rel=1e-5)
    assert found.root_spring_n_m_per_rad == pytest.approx(1200.0, rel=1e-3)


def test_the_stated_standard_deviations_are_those_of_many_noisy_fits():
    """Forty noisy benches: pulls (fit less truth, over the sd) have the spread 1 that they promise: chi-square."""
    rng, ei, spring = np.random.default_rng(5), 0.97, 1200.0
    pulls = []
    for _ in range(40):
        found = calibrate(raw(CLAMPS, ei, spring, 0.05 * rng.standard_normal(5)), reading_error_cpm=0.05)
        sd = np.array([found.ei_factor_sd, found.root_compliance_sd_rad_per_n_m])
        # With a residual larger than stated the sd is widened; the pull is measured against the stated error.
        sd *= 0.05 / found.reading_error_cpm
        pulls.append((np.array([found.ei_factor, found.root_compliance_rad_per_n_m]) - [ei, 1 / spring]) / sd)
    low, high = np.sqrt(stats.chi2.ppf([0.0005, 0.9995], 39) / 39)
    spread = np.std(pulls, axis=0, ddof=1)
    assert ((spread > low) & (spread < high)).all()
    assert (np.abs(np.mean(pulls, axis=0)) < 4 / math.sqrt(40)).all()


def test_residuals_larger_than_stated_widen_the_standard_deviation():
    honest = raw(CLAMPS, 0.97, 1200.0, 0.1 * np.array([1.0, -1.0, 1.0, -1.0, 1.0]))
    claimed = calibrate(honest, reading_error_cpm=0.01)
    # The fit of two parameters takes up a little of so restless a pattern, the rest is spread over 5 - 2 readings.
    assert claimed.reading_error_cpm == pytest.approx(0.1 * math.sqrt(5 / 3), rel=0.1)


def test_stiffness_and_give_pull_the_same_way():
    assert calibrate(raw(CLAMPS, 0.97, 1200.0), reading_error_cpm=0.1).correlation > 0.9


def test_other_weights_at_one_free_length_tell_nothing_apart():
    readings = [raw((5.0,), 0.95, 1500.0, test_mass=grams)[0] for grams in (100.0, 200.0, 300.0, 400.0)]
    with pytest.raises(ModelError, match="another weight does not help"):
        calibrate(readings)


def test_a_whole_set_in_one_clamp_tells_them_apart_and_neighbours_do_not():
    """Along a set the free length and the tip trim both change; from one iron to the next, by too little."""
    cpm = frequencies_cpm([card_of(p, CLAMP) for p in PLANS], ei_factor=0.97)
    clubs = [club_reading(plan, float(f)) for plan, f in zip(PLANS, cpm, strict=True)]
    found = calibrate(clubs)
    assert found.ei_factor == pytest.approx(0.97, rel=1e-5)
    assert 0 < found.ei_factor_sd < MOST_UNSURE
    with pytest.raises(ModelError, match=f"standard deviation of at most {MOST_UNSURE}"):
        calibrate(clubs[3:6])


def test_the_same_readings_are_enough_or_not_as_they_are_sure_or_not():
    sure = calibrate(raw(CLAMPS, 0.97, 1200.0), reading_error_cpm=0.1)
    assert sure.ei_factor_sd < MOST_UNSURE
    with pytest.raises(ModelError, match="leave the EI factor uncertain"):
        calibrate(raw(CLAMPS, 0.97, 1200.0), reading_error_cpm=1.0)


def test_one_reading_gives_the_factor_if_the_spring_is_stated():
    found = calibrate_ei(raw((5.0,), 0.93, 1500.0), root_spring_n_m_per_rad=1500.0, reading_error_cpm=0.5)
    assert found.ei_factor == pytest.approx(0.93, rel=1e-6)
    # f goes nearly as sqrt(EI): half a cpm in 280 is about 0.36 % of EI, a little more in a compliant clamp.
    assert found.ei_factor_sd == pytest.approx(0.93 * 2 * 0.5 / found.readings[0].frequency_cpm, rel=0.2)
    unseen = calibrate_ei(raw((5.0,), 0.93, 1500.0))
    assert unseen.ei_factor < 0.93


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: calibrate(raw((5.0,), 1.0, None)), "1 readings"),
        (lambda: calibrate_ei([]), "0 readings"),
        (lambda: calibrate(raw(CLAMPS, 1.0, None), reading_error_cpm=0.0), "reading error"),
        (lambda: calibrate(raw(CLAMPS, 1.0, None), reading_error_cpm=math.nan), "reading error"),
        (lambda: calibrate_ei([club_reading(PLANS[0], 5.5)]), "times the described stiffness"),
    ],
)
def test_what_cannot_be_calibrated_is_refused(call, match):
    with pytest.raises(ModelError, match=match):
        call()


@pytest.mark.parametrize("bad", [math.nan, 0.0, -1.0])
def test_a_reading_that_cannot_be_is_refused(bad):
    with pytest.raises(ComponentError, match="frequency_cpm"):
        club_reading(PLANS[0], bad)
    with pytest.raises(ComponentError, match="mass_factor"):
        Reading("one", card_of(PLANS[0]), 330.0, mass_factor=bad)


def test_the_table_shows_every_residual():
    found = calibrate(raw(CLAMPS, 0.97, 1200.0), reading_error_cpm=0.1)
    table = readings_table(found)
    assert len(table) == len(CLAMPS)
    assert table.free_length_in.to_numpy() == pytest.approx([42.0 - clamp for clamp in CLAMPS])
    assert (table.frequency_cpm - table.model_cpm).to_numpy() == pytest.approx(found.residual_cpm)
