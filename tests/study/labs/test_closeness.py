"""Scatter by first order: the quick answer is the full model's and the normal distribution's, and the lesson is so."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from trimkit.parts.errors import ModelError
from trimkit.study.labs.closeness import (
    SETS,
    ToleranceParams,
    agreement_table,
    all_within,
    class_scatter,
    full_sample,
    how_close,
    usual_params,
)

START = class_scatter()
USUAL = usual_params()


@pytest.mark.parametrize(
    "params",
    [USUAL, ToleranceParams(2.0, 3.0, 2.0, 0.125, 3.0), ToleranceParams(1.0, 0.5, 0.25, 1 / 16, 2.0)],
    ids=["usual", "all at the end", "steady shafts"],
)
def test_the_quick_answer_is_that_of_the_full_model(params):
    """Same draws through the batched beam solver: set by set, and in what is said of them."""
    quick, full = how_close(START, params).sample, full_sample(START, params)
    sd = quick.sd_cpm.max()
    apart = np.abs(quick.deviation_cpm - full.deviation_cpm)
    # What first order leaves out is of second order: sd^2 over the frequency, some tens of it at four sd.
    assert apart.max() < 20 * sd**2 / 310
    assert math.sqrt((apart**2).mean()) < sd**2 / 310 * 1.5
    assert quick.set_probability.value == pytest.approx(full.set_probability.value, abs=0.002)
    for one, other in zip(quick.club_probabilities, full.club_probabilities, strict=True):
        assert one.value == pytest.approx(other.value, abs=0.004)


def test_a_club_s_chance_is_the_normal_distribution_s():
    """scipy.stats.norm beside the sample of 10 000: within four standard errors for each club, at three tolerances."""
    for allowed in (1.0, 2.0, 4.0):
        now = how_close(START, ToleranceParams(allowed, 2.0, 1.0, 1 / 32, 0.5))
        for sampled, sd in zip(now.sample.club_probabilities, now.budget.sd_cpm, strict=True):
            exact = 1 - 2 * stats.norm.sf(allowed / sd)
            assert abs(sampled.value - exact) < 4 * math.sqrt(exact * (1 - exact) / SETS)


def test_the_set_s_chance_is_the_product_of_its_clubs():
    """No tolerance is shared between clubs, so the product of the exact chances lies in the sample's 95 % interval."""
    for allowed in (2.0, 3.0, 4.0):
        now = how_close(START, ToleranceParams(allowed, 2.0, 1.0, 1 / 32, 0.5))
        exact = np.prod(1 - 2 * stats.norm.sf(allowed / now.budget.sd_cpm))
        low, high = now.sample.set_probability.interval
        assert low < exact < high
        assert now.independent == pytest.approx(exact, abs=0.006)


def test_the_curves_pass_through_the_points_and_rise():
    now = how_close(START, USUAL)
    there, one, whole = now.curves
    at = list(there).index(2.0)
    assert one[at] == pytest.approx(100 * now.club_fractions.mean(), abs=1e-9)
    assert whole[at] == pytest.approx(100 * now.sample.set_probability.value, abs=1e-9)
    assert np.all(np.diff(one) >= 0)
    assert np.all(np.diff(whole) >= 0)
    assert np.all(whole <= one)


def test_what_the_lesson_says_of_club_and_set_is_so():
    """Lesson 10: one club 73 to 78 %, 75.4 % on average; all ten 5.8 % (5.4 to 6.3), the ten multiplied 5.9 %."""
    now = how_close(START, USUAL)
    parts = [round(100 * each) for each in now.club_fractions]
    assert (min(parts), max(parts)) == (73, 78)
    assert round(100 * now.club_fractions.mean(), 1) == 75.4
    assert round(100 * now.sample.set_probability.value, 1) == 5.8
    assert [round(100 * each, 1) for each in now.sample.set_probability.interval] == [5.4, 6.3]
    assert round(100 * now.independent, 1) == 5.9
    assert round(now.likely_cpm, 1) == 4.4
    assert [round(100 * share) for share in now.shares.values()] == [80, 15, 2, 2, 1]


def test_what_the_lesson_says_of_better_rulers_and_steadier_shafts_is_so():
    """Lesson 10: lengths of 1/64 in: 6.8 %; 1/8 in: 0.9 %; no shaft scatter: all; EI and wall ±1/2 %: 98.1 %.

    EI of ±1 %: 48.5 %.
    """

    def whole(**changed):
        values = {"allowed_cpm": 2.0, "ei_percent": 2.0, "wall_percent": 1.0, "lengths_in": 1 / 32, "head_mass_g": 0.5}
        return how_close(START, ToleranceParams(**(values | changed))).sample.set_probability.value

    assert round(100 * whole(lengths_in=1 / 64), 1) == 6.8
    assert round(100 * whole(lengths_in=1 / 8), 1) == 0.9
    assert round(100 * whole(ei_percent=1.0), 1) == 48.5
    assert whole(ei_percent=0.0, wall_percent=0.0) > 0.999
    assert round(100 * whole(ei_percent=0.5, wall_percent=0.5), 1) == 98.1


def test_what_the_lesson_s_worked_example_says_is_so():
    """Lesson 10: EI 1 % is half a percent of 313.0 cpm = 1.565; sum of squares 3.07; 1.75; 2/1.75 = 1.14; 74.6 %."""
    now = how_close(START, USUAL)
    at = now.budget.clubs.index("7-iron")
    effect = dict(zip(now.budget.tolerances, np.abs(now.budget.effect_cpm[at]), strict=True))
    assert round(float(now.budget.frequency_cpm[at]), 1) == 313.0
    assert round(313.0 * 0.005, 3) == 1.565
    assert round(effect["ei_percent"], 3) == 1.565
    assert round(effect["wall_percent"], 2) == 0.68
    assert round(effect["bbgl_in"], 2) == 0.27
    lengths = ("tip_trim_in", "cut_length_in", "clamp_in")
    assert [round(effect[name], 2) for name in lengths] == [0.10, 0.17, 0.17]
    assert [round(effect[name], 2) for name in ("head_mass_g", "shaft_mass_percent")] == [0.14, 0.04]
    assert round(float(now.budget.variance_cpm2[at]), 2) == 3.07
    assert round(float(now.budget.sd_cpm[at]), 2) == 1.75
    assert round(1 - 2 * stats.norm.sf(1.14), 3) == 0.746
    assert round(0.746**10, 3) == 0.053


def test_what_the_lesson_says_of_first_order_against_the_full_model_is_so():
    """Lesson 10: 0.1 cpm apart at most in 100 000 clubs, 0.01 rms; the set 5.84 against 5.90 %."""
    table = agreement_table()
    assert table.loc["all ten within (%)"].tolist() == pytest.approx([5.84, 5.90], abs=0.005)
    assert table.loc["apart, at most (cpm)", "full_model"] == pytest.approx(0.09, abs=0.005)
    assert table.loc["apart, rms (cpm)", "full_model"] == pytest.approx(0.01, abs=0.005)
    assert SETS * len(START.built.clubs) == 100_000


def test_what_the_exercises_of_the_lesson_ask_of_the_lab_is_so():
    """Lesson 10: from 3/32 in on the BBGL reading brings more than the wall; EI 1/2, wall 1/4 %, 1/64 in: 67.5 %."""
    for steps in range(9):
        shares = how_close(START, replace(USUAL, lengths_in=steps / 64)).shares
        assert (shares["BBGL reading"] > shares["wall"]) is (steps >= 6)
    fine = replace(USUAL, allowed_cpm=1.0, ei_percent=0.5, wall_percent=0.25, lengths_in=1 / 64)
    assert how_close(START, fine).sample.set_probability.value == pytest.approx(0.675, abs=0.001)
    assert [round(1 - 2 * stats.norm.sf(sd), 2) for sd in (1, 1.5, 1.83, 2)] == [0.68, 0.87, 0.93, 0.95]
    assert round(0.93**10, 1) == 0.5


def test_chances_multiply_and_what_is_none_is_refused():
    assert all_within([0.5, 0.5, 1.0]) == 0.25
    assert all_within([]) == 1.0
    for part in (1.01, -0.1, np.nan):
        with pytest.raises(ModelError, match="0 to 1"):
            all_within([0.5, part])


def test_a_negative_tolerance_is_refused():
    with pytest.raises(ModelError, match="ei_percent"):
        how_close(START, ToleranceParams(2.0, -1.0, 1.0, 1 / 32, 0.5))
