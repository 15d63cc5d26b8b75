"""Shafts to heads: against brute force over permutations, planted truth, and sorting by hand."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.card import Assembly, card_of
from trimkit.club.clamp import BareShaft, FrequencyBench, frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError
from trimkit.shop.assignment import (
    Assignment,
    FrequencyMatrix,
    as_they_lie,
    assignment_table,
    best_assignment,
    frequency_matrix,
    sorted_by_hand,
)
from trimkit.shop.rawshaft import MeasuredShaft

PLANS = [club.plan for club in build_set(shipped_order()).clubs]
TAPER = [club.plan for club in build_set(shipped_order("taper_soft_step")).clubs]
PROFILE = profile_of(PLANS[0].wanted.shaft, PLANS[0].raw_length_in)
BENCH = FrequencyBench(205.0)


def drawn(count, seed, ei_sd=0.03, mass_sd=0.01, profile=PROFILE, length=None):
    """Shafts with a seeded scatter, read on the bench; their planted stiffness factors too."""
    rng = np.random.default_rng(seed)
    ei, mass = 1 + ei_sd * rng.standard_normal(count), 1 + mass_sd * rng.standard_normal(count)
    cpm = frequencies_cpm([BareShaft(profile, BENCH)], ei_factor=ei[:, None], mass_factor=mass[:, None])[:, 0]
    grams = float(profile.mass_g) * mass
    shafts = [MeasuredShaft(f"no. {n}", float(cpm[n]), float(grams[n]), length) for n in range(count)]
    return shafts, ei, mass


def line_cpm(plans):
    """A straight line in playing length through the planned set, least squares."""
    length = [plan.playing_length_in for plan in plans]
    planned = frequencies_cpm([card_of(plan) for plan in plans])
    return np.polynomial.Polynomial.fit(length, planned, 1)(np.array(length))


def brute_force(cost):
    clubs, shafts = cost.shape
    return min(sum(cost[i, j] for i, j in enumerate(chosen)) for chosen in itertools.permutations(range(shafts), clubs))


def bare_matrix(frequency, target):
    return FrequencyMatrix(tuple(PLANS[: len(target)]), tuple(drawn(frequency.shape[1], 0)[0]), frequency, target)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 6), st.integers(0, 1), st.integers(0, 10_000))
def test_no_permutation_is_better_on_random_matrices(clubs, spare, seed):
    rng = np.random.default_rng(seed)
    matrix = bare_matrix(rng.normal(330, 8, (clubs, clubs + spare)), rng.normal(330, 8, clubs))
    best = best_assignment(matrix)
    assert (best.deviation_cpm**2).sum() == pytest.approx(brute_force(matrix.cost_cpm2), rel=1e-12)


@pytest.mark.parametrize("clubs", [3, 7])
def test_no_permutation_is_better_on_the_class(clubs):
    matrix = frequency_matrix(PLANS[:clubs], drawn(clubs, 5)[0], BENCH, target_cpm=line_cpm(PLANS[:clubs]))
    best = best_assignment(matrix)
    assert (best.deviation_cpm**2).sum() == pytest.approx(brute_force(matrix.cost_cpm2), rel=1e-12)


def test_a_planted_order_comes_back():
    """Targets are what the clubs measure with the shafts in a shuffled order: only that order has no deviation."""
    shafts, ei, mass = drawn(len(PLANS), 11)
    order = np.random.default_rng(2).permutation(len(PLANS))
    target = frequencies_cpm([card_of(plan) for plan in PLANS], ei_factor=ei[order], mass_factor=mass[order])
    best = best_assignment(frequency_matrix(PLANS, shafts, BENCH, target_cpm=target))
    assert best.chosen == tuple(order)
    assert best.worst_cpm < 1e-6


def test_better_than_sorting_by_hand_on_the_class():
    """Fourteen shafts of a seeded scatter for the ten clubs of the class, and a straight line to keep to."""
    matrix = frequency_matrix(PLANS, drawn(14, 1)[0], BENCH, target_cpm=line_cpm(PLANS))
    best, by_hand = best_assignment(matrix), sorted_by_hand(matrix)
    assert best.rms_cpm < 0.5 * by_hand.rms_cpm


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.integers(10, 14))
def test_never_worse_than_sorting_by_hand_or_than_any_order(seed, count):
    matrix = frequency_matrix(PLANS, drawn(count, seed)[0], BENCH, target_cpm=line_cpm(PLANS))
    best = best_assignment(matrix).rms_cpm
    any_order = Assignment(matrix, tuple(np.random.default_rng(seed).permutation(count)[: len(PLANS)]), "drawn")
    assert best <= sorted_by_hand(matrix).rms_cpm + 1e-12
    assert best <= any_order.rms_cpm + 1e-12


def test_the_order_in_which_shafts_lie_on_the_bench_does_not_matter():
    shafts, *_ = drawn(12, 4)
    forwards = best_assignment(frequency_matrix(PLANS, shafts, BENCH))
    backwards = best_assignment(frequency_matrix(PLANS, shafts[::-1], BENCH))
    marks = [[one.matrix.shafts[j].mark for j in one.chosen] for one in (forwards, backwards)]
    assert marks[0] == marks[1]


def test_each_cell_is_the_club_with_that_shaft_alone():
    assembly = Assembly(root_spring_n_m_per_rad=1500.0, tip_weight_g=2.0)
    shafts, ei, mass = drawn(11, 8)
    matrix = frequency_matrix(PLANS, shafts, BENCH, assembly=assembly)
    for i, j in ((0, 10), (9, 0), (4, 5)):
        (alone,) = frequencies_cpm([card_of(PLANS[i], assembly)], ei_factor=ei[j], mass_factor=mass[j])
        assert matrix.frequency_cpm[i, j] == pytest.approx(alone, rel=1e-8)


def test_the_stiffest_goes_by_hand_into_the_shortest_club():
    matrix = frequency_matrix(PLANS, drawn(10, 3)[0], BENCH)
    by_hand = sorted_by_hand(matrix)
    raw = [matrix.shafts[j].raw_frequency_cpm for j in by_hand.chosen]
    shortest_first = np.argsort([plan.playing_length_in for plan in PLANS], kind="stable")
    assert [raw[i] for i in shortest_first] == sorted(raw, reverse=True)


def taper_shafts(spare=0):
    lengths = [plan.raw_length_in for plan in TAPER]
    made = []
    for length in sorted(set(lengths)):
        profile = profile_of(TAPER[0].wanted.shaft, length)
        made += drawn(lengths.count(length) + spare, int(4 * length), profile=profile, length=length)[0]
    return made


def test_a_taper_shaft_goes_only_into_a_club_of_its_raw_length():
    matrix = frequency_matrix(TAPER, taper_shafts(spare=1), BENCH)
    best = best_assignment(matrix)
    assert [matrix.shafts[j].raw_length_in for j in best.chosen] == [plan.raw_length_in for plan in TAPER]
    assert best.rms_cpm <= sorted_by_hand(matrix).rms_cpm
    assert np.isinf(matrix.cost_cpm2[0, 0])


def test_a_raw_length_that_is_missing_is_refused_with_the_clubs_that_go_short():
    gone = TAPER[2].raw_length_in
    matrix = frequency_matrix(TAPER, [s for s in taper_shafts() if s.raw_length_in != gone], BENCH)
    for way in (best_assignment, sorted_by_hand):
        with pytest.raises(ModelError, match=TAPER[2].club):
            way(matrix)


def test_too_few_shafts_are_refused():
    with pytest.raises(ModelError, match="9 measured shafts 'steel parallel 110 g combination' of 42 in for 10 clubs"):
        best_assignment(frequency_matrix(PLANS, drawn(9, 1)[0], BENCH))


def test_what_cannot_be_assigned_is_refused():
    shafts, *_ = drawn(10, 1)
    with pytest.raises(ModelError, match="clubs planned on 2 shafts"):
        frequency_matrix([PLANS[0], TAPER[0]], shafts, BENCH)
    with pytest.raises(ModelError, match="clubs planned on 0 shafts"):
        frequency_matrix([], shafts, BENCH)
    for target in ([330.0], [math.nan] * 10):
        with pytest.raises(ModelError, match="targets"):
            frequency_matrix(PLANS, shafts, BENCH, target_cpm=target)
    matrix = frequency_matrix(PLANS, shafts, BENCH)
    for chosen in ((0,) * 10, tuple(range(9)), tuple(range(1, 11))):
        with pytest.raises(ModelError, match="a different shaft for each club"):
            Assignment(matrix, chosen, "by mistake")


def test_the_table_names_units_and_has_a_row_a_club():
    best = best_assignment(frequency_matrix(PLANS, drawn(12, 1)[0], BENCH))
    table = assignment_table(best)
    assert list(table.index) == [plan.club for plan in PLANS]
    assert (table.frequency_cpm - table.target_cpm).to_numpy() == pytest.approx(table.deviation_cpm.to_numpy())
    assert all(name.endswith(("_cpm", "_g")) for name in table.columns.drop("shaft"))


def test_as_they_lie_each_club_takes_the_next_shaft_that_it_can():
    frequency = np.array([[np.nan, 300.0, 301.0], [310.0, np.nan, np.nan]])
    matrix = FrequencyMatrix(tuple(TAPER[:2]), tuple(drawn(3, 0)[0]), frequency, np.array([300.0, 310.0]))
    assert as_they_lie(matrix).chosen == (1, 0)
    assert as_they_lie(bare_matrix(np.full((2, 4), 300.0), np.array([300.0, 310.0]))).chosen == (0, 1)


def test_shafts_read_on_two_benches_are_the_shafts_they_are():
    other = FrequencyBench(190.0, 0.5, clamp_in=4.5)
    ei = np.array([0.97, 1.02, 1.05, 0.99])
    read = [
        MeasuredShaft(str(n), float(frequencies_cpm([BareShaft(PROFILE, bench)], ei_factor=factor)[0]), PROFILE.mass_g)
        for n, (factor, bench) in enumerate(zip(ei, (BENCH, other, other, BENCH), strict=True))
    ]
    matrix = frequency_matrix(PLANS[:3], read, [BENCH, other, other, BENCH])
    assert matrix.ei_factor == pytest.approx(ei, abs=1e-6)
    alone = frequency_matrix(PLANS[:3], read[1:3], other)
    assert matrix.frequency_cpm[:, 1:3] == pytest.approx(alone.frequency_cpm)


def test_each_club_is_clamped_as_its_own_assembly_says():
    shafts = drawn(3, 4)[0]
    own = [Assembly(tip_weight_g=grams) for grams in (0.0, 4.0, 8.0)]
    matrix = frequency_matrix(PLANS[:3], shafts, BENCH, assembly=own)
    for n, assembly in enumerate(own):
        alone = frequency_matrix(PLANS[n : n + 1], shafts, BENCH, assembly=assembly)
        assert matrix.frequency_cpm[n] == pytest.approx(alone.frequency_cpm[0])
        assert matrix.target_cpm[n] == pytest.approx(alone.target_cpm[0])
