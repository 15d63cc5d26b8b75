"""The sample of sets: it agrees with the first order, it converges, and it says how sure it is."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from trimkit.check.setline import SET_TOLERANCE_CPM
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError
from trimkit.shop.sampling import Probability, probability_table, sample_sets
from trimkit.shop.tolerance import TOLERANCES, Tolerances, first_order

PLANS = [club.plan for club in build_set(shipped_order()).clubs][:9]
SETS = 4000
SAMPLE = sample_sets(PLANS, sets=SETS, seed=7)
BUDGET = first_order(PLANS)


def test_the_sample_spreads_as_the_first_order_says():
    # The standard error of a normal sample's standard deviation is sd / sqrt(2 (N - 1)); four of them for nine clubs.
    assert np.abs(SAMPLE.sd_cpm / BUDGET.sd_cpm - 1).max() < 4 / math.sqrt(2 * (SETS - 1))
    mean_error = BUDGET.sd_cpm / math.sqrt(SETS)
    # sqrt(EI) is hollow: the mean lies sd(EI)^2/8 of the frequency lower, here 0.004 cpm, far below its error.
    assert (np.abs(SAMPLE.deviation_cpm.mean(axis=0)) < 4 * mean_error).all()


def test_probabilities_are_those_of_normal_clubs():
    for club, sd in zip(SAMPLE.club_probabilities, BUDGET.sd_cpm, strict=True):
        normal = math.erf(SET_TOLERANCE_CPM / sd / math.sqrt(2))
        assert abs(club.value - normal) < 4 * math.sqrt(normal * (1 - normal) / SETS)
    # Clubs are independent: a set keeps within if each of them does.
    together = math.prod(math.erf(SET_TOLERANCE_CPM / sd / math.sqrt(2)) for sd in BUDGET.sd_cpm)
    assert abs(SAMPLE.set_probability.value - together) < 4 * math.sqrt(together * (1 - together) / SETS)


def test_one_tolerance_alone_spreads_as_its_row_of_the_budget():
    for k, name in enumerate(TOLERANCES):
        alone = Tolerances(**{other: getattr(Tolerances(), name) * (other == name) for other in TOLERANCES})
        sample = sample_sets(PLANS[:3], alone, sets=1500)
        assert sample.sd_cpm == pytest.approx(np.abs(BUDGET.effect_cpm[:3, k]), rel=4 / math.sqrt(3000))


def test_the_standard_error_is_what_repeated_samples_show():
    """Forty disjoint parts of the sample scatter as sqrt(p (1 - p)/n) says: chi-square, 39 degrees of freedom."""
    within = (np.abs(SAMPLE.deviation_cpm) <= 4.0).all(axis=1)
    parts = within.reshape(40, -1).mean(axis=1)
    p = within.mean()
    ratio = parts.var(ddof=1) / (p * (1 - p) / (SETS / 40))
    low, high = stats.chi2.ppf([0.0005, 0.9995], 39) / 39
    assert low < ratio < high


def test_the_standard_error_falls_with_the_root_of_the_number():
    parts = [replace(SAMPLE, deviation_cpm=SAMPLE.deviation_cpm[:count]) for count in (100, 200, 500, 1000, 2000, SETS)]
    steps = [part.set_probability for part in parts]
    for step in steps:
        low, high = step.interval
        assert low < SAMPLE.set_probability.value < high
    long, short = steps[-1], steps[2]
    assert short.standard_error / long.standard_error == pytest.approx(math.sqrt(8), rel=0.15)


@pytest.mark.parametrize(
    ("kept", "count", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_the_interval_is_wilsons_score(kept, count, low, high):
    """R. G. Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3 (quoted from memory)."""
    assert Probability(kept, count).interval == pytest.approx((low, high), abs=5e-5)


def test_a_seed_gives_the_same_sample_again_and_another_seed_another():
    again = sample_sets(PLANS[:2], sets=50, seed=3).deviation_cpm
    assert np.array_equal(again, sample_sets(PLANS[:2], sets=50, seed=3).deviation_cpm)
    assert not np.array_equal(again, sample_sets(PLANS[:2], sets=50, seed=4).deviation_cpm)


def test_a_target_off_the_plan_moves_every_deviation_by_as_much():
    planned = sample_sets(PLANS[:2], sets=50)
    moved = sample_sets(PLANS[:2], sets=50, target_cpm=BUDGET.frequency_cpm[:2] + 3.0)
    assert moved.deviation_cpm == pytest.approx(planned.deviation_cpm - 3.0, abs=1e-9)


def test_without_tolerances_every_set_is_as_planned():
    still = sample_sets(PLANS, Tolerances(**dict.fromkeys(TOLERANCES, 0.0)), sets=5)
    assert still.set_probability.value == 1
    assert np.abs(still.deviation_cpm).max() < 1e-9


@pytest.mark.parametrize(
    ("given_", "match"),
    [
        ({"sets": 1}, "sets"),
        ({"sets": 10.0}, "sets"),
        ({"tolerance_cpm": 0.0}, "tolerance"),
        ({"tolerance_cpm": math.nan}, "tolerance"),
        ({"target_cpm": [300.0]}, "targets"),
        ({"target_cpm": [math.nan] * 9}, "targets"),
    ],
)
def test_what_cannot_be_sampled_is_refused(given_, match):
    with pytest.raises(ModelError, match=match):
        sample_sets(PLANS, **given_)


def test_counts_that_cannot_be_are_refused():
    with pytest.raises(ModelError, match="3 of 2"):
        Probability(3, 2)


def test_the_table_says_percent_and_how_sure():
    table = probability_table(SAMPLE)
    assert list(table.index) == [*SAMPLE.clubs, "whole set"]
    assert (table.low_percent < table.within_percent).all()
    assert (table.within_percent < table.high_percent).all()
    assert str(SAMPLE.set_probability).endswith("%)")
