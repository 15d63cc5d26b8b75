"""A film: hand arithmetic, and eyes that pick a frame at random within a frame of the pass."""

import math

import numpy as np
import pytest

from trimkit.parts.errors import ModelError
from trimkit.shop.swings import film_frequency, swings_to_film


def test_by_hand():
    found = film_frequency(12, 576, 240.0)
    assert found.frequency_cpm == 300.0  # 12 swings in 576/240 = 2.4 s
    assert found.sd_cpm == pytest.approx(300 / 576 * math.sqrt(2 / 3), rel=1e-12)  # 0.425 cpm
    assert (found.frames_a_swing, found.miscounted_cpm) == (48.0, 25.0)


def test_the_rates_own_error_counts():
    # 0.1 % of 300 cpm is 0.3 cpm; with the 0.425 cpm of the frames, sqrt(0.425^2 + 0.3^2) = 0.520
    assert film_frequency(12, 576, 240.0, 0.001).sd_cpm == pytest.approx(0.520, abs=0.0005)


@pytest.mark.parametrize("rate", [120.0, 240.0])
def test_two_standard_uncertainties_cover_an_eye_that_takes_the_frame_before_or_after(rate):
    rng = np.random.default_rng(1)
    covered = []
    for cpm in rng.uniform(220, 420, 1000):
        each = 60 / cpm * rate
        passes = rng.uniform(0, each) + np.array([0, 15 * each])
        frames = np.floor(passes).astype(int) + rng.integers(0, 2, 2)
        found = film_frequency(15, int(np.ptp(frames)), rate)
        covered.append(abs(found.frequency_cpm - cpm) <= 2 * found.sd_cpm)
    assert 0.93 <= np.mean(covered) < 1


@pytest.mark.parametrize("rate_error", [0.0, 0.001])
@pytest.mark.parametrize("within", [0.2, 0.5, 1.0])
def test_the_swings_to_film_are_just_enough(within, rate_error):
    swings = swings_to_film(300.0, 240.0, rate_error, within)
    if rate_error * 300 >= within:
        assert swings is None
        return
    assert film_frequency(swings, 48 * swings, 240.0, rate_error).sd_cpm <= within
    fewer = math.hypot(math.sqrt(2 / 3) / (48 * (swings - 1)), rate_error) * 300.0
    assert fewer > within


def test_the_rate_itself_may_forbid_it():
    assert swings_to_film(300.0, 240.0, 0.002, 0.5) is None  # 0.2 % of 300 cpm is 0.6 cpm


@pytest.mark.parametrize(
    ("counts", "said"),
    [
        ((12, 76, 30.0), "a swing takes 6.3 frames"),
        ((12, 95, 40.0), "a swing takes 7.9 frames"),
        ((12, 576, 30.0), "plays at another rate"),  # 37.5 cpm: played at 30 a second, taken at 240
        ((12, 100, 240.0), "1728.0 cpm"),
        ((4, 192, 240.0), "4 swings"),
        ((5, 60, 60.0), "count 11 swings or more"),  # 300 cpm to 4.1 cpm
        ((12, 576, 240.0, 0.01), "find out the rate"),
        ((0, 576, 240.0), "whole swings"),
        ((12, 0, 240.0), "whole swings"),
        ((12, 576, math.nan), "a rate above 0"),
        ((12, 576, -240.0), "a rate above 0"),
        ((12, 576, 240.0, 1.0), "below 100 %"),
        ((12, 576, 240.0, math.nan), "below 100 %"),
    ],
)
def test_refused(counts, said):
    with pytest.raises(ModelError, match=said):
        film_frequency(*counts)


def test_eight_frames_a_swing_are_enough():
    assert film_frequency(100, 800, 40.0).frequency_cpm == 300.0
