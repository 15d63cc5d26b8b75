"""The set's line: the planted slope comes back whatever a few clubs do; the fit is what its definition says."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from trimkit.check.setline import (
    SLOPE_CHOICES,
    USUAL_SLOPE,
    RobustFit,
    SetLine,
    against_line,
    fit_line,
    set_line,
)
from trimkit.parts.errors import ModelError
from trimkit.parts.sources import Standing

LENGTHS = np.array([39.5, 39.0, 38.5, 38.0, 37.5, 37.0, 36.5, 36.0, 35.5, 35.25])


def brute_force(length, cpm, repeated):
    """Median of pairwise slopes (Theil 1950), or median over clubs of each one's median slope (Siegel 1982)."""
    slopes = {
        (i, j): (cpm[j] - cpm[i]) / (length[j] - length[i])
        for i, j in itertools.permutations(range(len(length)), 2)
        if length[i] != length[j]
    }
    if not repeated:
        return np.median([slope for (i, j), slope in slopes.items() if i < j])
    clubs = range(len(length))
    return np.median([np.median([slopes[i, j] for j in clubs if (i, j) in slopes]) for i in clubs])


@pytest.mark.parametrize("fit", RobustFit)
@pytest.mark.parametrize("seed", range(20))
def test_the_slope_is_the_brute_force_median_of_its_definition(fit, seed):
    rng = np.random.default_rng(seed)
    length = rng.permutation(LENGTHS)[: rng.integers(3, 11)]
    cpm = 330 - 9 * (length - 37.5) + rng.normal(0, 3, length.size)
    expected = -0.5 * brute_force(length, cpm, fit is RobustFit.REPEATED_MEDIAN)
    assert fit_line(length, cpm, fit).slope_cpm_per_half_in == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_both_medians_are_those_of_scipy_and_the_set_takes_the_repeated_one(seed):
    cpm = 330 - 9 * (LENGTHS - 37.5) + np.random.default_rng(seed).normal(0, 3, LENGTHS.size)
    repeated = -0.5 * stats.siegelslopes(cpm, LENGTHS).slope
    pairwise = -0.5 * stats.theilslopes(cpm, LENGTHS).slope
    assert fit_line(LENGTHS, cpm, RobustFit.REPEATED_MEDIAN).slope_cpm_per_half_in == pytest.approx(repeated, rel=1e-12)
    assert fit_line(LENGTHS, cpm, RobustFit.PAIRWISE_MEDIAN).slope_cpm_per_half_in == pytest.approx(pairwise, rel=1e-12)
    assert abs(repeated - pairwise) > 0.01
    clubs = [(str(n), *club) for n, club in enumerate(zip(LENGTHS.tolist(), cpm.tolist(), strict=True))]
    for own in (fit_line(LENGTHS, cpm), set_line(clubs).line):
        assert own.slope_cpm_per_half_in == pytest.approx(repeated, rel=1e-12)


@given(
    slope=st.floats(2.0, 8.0),
    errors=st.dictionaries(st.integers(0, 9), st.floats(-60.0, 60.0), max_size=4),
)
def test_four_bad_clubs_of_ten_do_not_move_the_repeated_median(slope, errors):
    # Breakdown point of the repeated median: floor(n/2)/n (Siegel 1982), so that 4 of 10 cannot carry it off; here the
    # good clubs lie exactly on their line, and it comes back exactly.
    cpm = 330 + slope * (37.5 - LENGTHS) / 0.5
    for club, error in errors.items():
        cpm[club] += error
    line = fit_line(LENGTHS, cpm)
    assert line.slope_cpm_per_half_in == pytest.approx(slope, abs=1e-9)
    assert line.at_cpm(37.5) == pytest.approx(330, abs=1e-8)


@pytest.mark.parametrize("bad", itertools.combinations(range(10), 2))
def test_the_pairwise_median_stands_two_of_ten(bad):
    cpm = 330 + 4.3 * (37.5 - LENGTHS) / 0.5
    cpm[list(bad)] += (25.0, -18.0)
    slope = fit_line(LENGTHS, cpm, RobustFit.PAIRWISE_MEDIAN).slope_cpm_per_half_in
    assert slope == pytest.approx(4.3, abs=1e-9)


def test_least_squares_would_have_been_carried_off():
    cpm = 330 + 4.3 * (37.5 - LENGTHS) / 0.5
    cpm[0] += 25
    assert abs(-0.5 * np.polyfit(LENGTHS, cpm, 1)[0] - 4.3) > 1
    assert fit_line(LENGTHS, cpm).slope_cpm_per_half_in == pytest.approx(4.3, abs=1e-9)


@given(shift=st.floats(-50, 50), stretch=st.floats(0.1, 3), seed=st.integers(0, 1000))
def test_shifting_and_stretching_the_frequencies_does_the_same_to_the_line(shift, stretch, seed):
    cpm = 330 - 9 * (LENGTHS - 37.5) + np.random.default_rng(seed).normal(0, 3, LENGTHS.size)
    line, other = fit_line(LENGTHS, cpm), fit_line(LENGTHS, stretch * cpm + shift)
    assert other.slope_cpm_per_half_in == pytest.approx(stretch * line.slope_cpm_per_half_in, abs=1e-9)
    assert other.frequency_cpm == pytest.approx(stretch * line.frequency_cpm + shift, abs=1e-7)


def test_the_bad_club_is_the_one_that_is_named():
    clubs = [(f"{n}", 40 - n / 2, 320 + 4.3 * n) for n in range(2, 10)]
    clubs[3] = ("5", clubs[3][1], clubs[3][2] - 3.1)
    report = set_line(clubs, tolerance_cpm=2.0)
    assert [club.club for club in report.clubs if not club.within] == ["5"]
    assert report.clubs[3].deviation_cpm == pytest.approx(-3.1, abs=1e-9)
    assert report.clubs[3].verdict == "too soft for the set"


def test_the_tolerance_itself_is_still_within():
    line = SetLine(37.5, 330.0, 4.0)
    report = against_line([("a", 37.5, 332.0), ("b", 37.0, 336.01)], line, 2.0)
    assert [club.within for club in report.clubs] == [True, False]
    assert [club.verdict for club in report.clubs] == ["on the line", "too stiff for the set"]


def test_two_clubs_make_a_line_through_both():
    line = fit_line([38.0, 37.0], [320.0, 329.0])
    assert line.slope_cpm_per_half_in == pytest.approx(4.5)
    assert (line.at_cpm(38.0), line.at_cpm(37.0)) == pytest.approx((320.0, 329.0))


def test_no_slope_to_choose_from_claims_a_source():
    assert {choice.source.standing for choice in SLOPE_CHOICES} == {Standing.COMMON_PRACTICE}
    assert SLOPE_CHOICES[0] is USUAL_SLOPE


@pytest.mark.parametrize(
    ("length", "cpm", "sentence"),
    [
        ([38.0], [320.0], "two clubs or more"),
        ([38.0, 38.0], [320.0, 321.0], "different lengths"),
        ([38.0, 37.0], [320.0], "one length and one frequency"),
        ([38.0, float("nan")], [320.0, 321.0], "finite"),
        (38.0, 320.0, "one length and one frequency"),
        ([], [], "one club or more"),
    ],
)
def test_what_is_no_set_is_refused(length, cpm, sentence):
    with pytest.raises(ModelError, match=sentence):
        fit_line(length, cpm)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, float("nan"), float("inf")])
def test_a_tolerance_that_is_none_is_refused(tolerance):
    with pytest.raises(ModelError, match="tolerance"):
        against_line([("a", 37.5, 330.0)], SetLine(37.5, 330.0, 4.0), tolerance)


def test_a_line_of_nan_is_refused():
    with pytest.raises(ModelError, match="finite"):
        SetLine(37.5, float("nan"), 4.3)


def test_a_set_is_fitted_the_way_that_is_asked_for():
    cpm = 330 - 9 * (LENGTHS - 37.5) + np.random.default_rng(3).normal(0, 3, LENGTHS.size)
    clubs = [(str(n), *pair) for n, pair in enumerate(zip(LENGTHS, cpm, strict=True))]
    slopes = {fit: set_line(clubs, fit=fit).line.slope_cpm_per_half_in for fit in RobustFit}
    assert slopes == {fit: fit_line(LENGTHS, cpm, fit).slope_cpm_per_half_in for fit in RobustFit}
    assert len(set(slopes.values())) == 2
    assert set_line(clubs).line.slope_cpm_per_half_in == slopes[RobustFit.REPEATED_MEDIAN]


@pytest.mark.parametrize("at", range(3))
def test_a_line_is_of_finite_numbers(at):
    values = [37.5, 330.0, 4.3]
    values[at] = float("nan")
    with pytest.raises(ModelError, match="nan"):
        SetLine(*values)


def test_the_usual_slope_is_the_trade_s_and_says_so():
    """About 4.3 cpm per half inch is often quoted for matched irons: common practice, no source."""
    assert USUAL_SLOPE.slope_cpm_per_half_in == 4.3
    assert USUAL_SLOPE.source.standing is Standing.COMMON_PRACTICE


def test_a_line_reports_lengths_and_a_tolerance_below_one_cpm():
    clubs = [("5-iron", 38.0, 305.0), ("6-iron", 37.5, 310.0), ("7-iron", 37.0, 315.6)]
    report = against_line(clubs, SetLine(38.0, 305.0, 5.0), tolerance_cpm=0.5)
    assert [club.playing_length_in for club in report.clubs] == [38.0, 37.5, 37.0]
    assert {club.tolerance_cpm for club in report.clubs} == {0.5}
    assert report.clubs[2].verdict == "too stiff for the set"
    assert {club.tolerance_cpm for club in set_line(clubs, 0.75).clubs} == {0.75}


@pytest.mark.parametrize("club", [("6-iron", math.nan, 310.0), ("6-iron", 37.5, math.inf)])
def test_a_club_without_a_number_is_refused_with_its_name(club):
    with pytest.raises(ModelError, match="6-iron"):
        against_line([club], SetLine(38.0, 305.0, 5.0))
