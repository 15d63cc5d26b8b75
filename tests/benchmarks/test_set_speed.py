"""How fast the questions about a whole set are answered: the sample, the assignment, the shelf, the calibration.

    .venv/bin/python -m pytest tests/benchmarks/test_set_speed.py -n 0 --benchmark-only -q

prints the times; ``python tests/benchmarks/test_set_speed.py`` prints the table of DEVELOPERS.md: medians of one run.
Nothing here passes or fails by time. In the plain suite each measured call runs once and its result is looked at.
"""

import statistics
import time

import numpy as np

from trimkit.club.card import card_of
from trimkit.club.clamp import BareShaft, FrequencyBench, frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.shop.assignment import best_assignment, frequency_matrix, sorted_by_hand
from trimkit.shop.calibration import calibrate
from trimkit.shop.rawshaft import MeasuredShaft
from trimkit.shop.reading import raw_reading
from trimkit.shop.sampling import sample_sets
from trimkit.shop.shelf import Offer, Piece, needs_of, plan_shelf
from trimkit.shop.tolerance import first_order

SETS, CLUBS, SHAFTS = 10_000, 9, 200
BENCH = FrequencyBench(205.0)


def class_plans():
    return [club.plan for club in build_set(shipped_order()).clubs]


def profile(plans):
    return profile_of(plans[0].wanted.shaft, plans[0].raw_length_in)


def measured(plans, count, seed=1):
    """Shafts with a seeded scatter of 3 % in stiffness and 1 % in mass, read on the bench."""
    rng = np.random.default_rng(seed)
    ei, mass = 1 + 0.03 * rng.standard_normal(count), 1 + 0.01 * rng.standard_normal(count)
    held = [BareShaft(profile(plans), BENCH)]
    cpm = frequencies_cpm(held, ei_factor=ei[:, None], mass_factor=mass[:, None])[:, 0]
    grams = float(profile(plans).mass_g) * mass
    return [MeasuredShaft(f"no. {n}", float(cpm[n]), float(grams[n])) for n in range(count)]


def on_a_line(plans):
    """Targets on a straight line in playing length through the planned set, least squares."""
    length = np.array([plan.playing_length_in for plan in plans])
    planned = frequencies_cpm([card_of(plan) for plan in plans])
    return np.polynomial.Polynomial.fit(length, planned, 1)(length)


def assign(plans, shafts):
    return best_assignment(frequency_matrix(plans, shafts, BENCH))


def shelf_of(plans):
    master = plans[0].wanted.shaft
    name, raw, section = master.name, master.raw_length_in, master.tip_section_in
    rng = np.random.default_rng(2)
    leftovers = [
        Piece(name, float(length), float(left), 1, master=False)
        for length, left in zip(rng.uniform(34, 40, 30), rng.uniform(section / 2, section, 30), strict=True)
    ]
    needs = [need for order in range(10) for need in needs_of(f"order {order}", plans)]
    return needs, [*leftovers, Piece(name, raw, section, 25)], [Offer(name, raw, section, pack=6)]


def readings(plans, error_cpm=0.1):
    made = []
    for clamp in (4.0, 8.0, 12.0, 16.0, 20.0):
        bench = FrequencyBench(205.0, clamp_in=clamp, root_spring_n_m_per_rad=1200.0)
        (cpm,) = frequencies_cpm([BareShaft(profile(plans), bench)], ei_factor=0.97)
        shaft = plans[0].wanted.shaft
        made.append(raw_reading(shaft, bench, float(cpm), raw_mass_g=shaft.raw_mass_g))
    return made, error_cpm


def test_a_sample_of_10000_sets_of_9_clubs(benchmark):
    plans = class_plans()[:CLUBS]
    sample = benchmark.pedantic(sample_sets, (plans,), {"sets": SETS}, rounds=3)
    assert sample.deviation_cpm.shape == (SETS, CLUBS)
    np.testing.assert_allclose(sample.sd_cpm, first_order(plans).sd_cpm, rtol=0.03)


def test_assignment_of_200_shafts_to_200_clubs_with_the_full_matrix(benchmark):
    plans = (class_plans() * SHAFTS)[:SHAFTS]
    shafts = measured(plans, SHAFTS)
    best = benchmark.pedantic(assign, (plans, shafts), rounds=3)
    assert best.matrix.frequency_cpm.shape == (SHAFTS, SHAFTS)
    assert best.rms_cpm <= sorted_by_hand(best.matrix).rms_cpm


def test_a_shelf_for_ten_orders(benchmark):
    needs, shelf, offers = shelf_of(class_plans())
    plan = benchmark.pedantic(plan_shelf, (needs, shelf, offers), rounds=3)
    assert len(plan.every_cut()) == 100
    assert plan.bought % 6 == 0


def test_a_calibration_from_five_readings(benchmark):
    made, error = readings(class_plans())
    found = benchmark(calibrate, made, reading_error_cpm=error)
    (shaft,) = found.factors
    np.testing.assert_allclose([shaft.ei_factor, found.root_spring_n_m_per_rad], [0.97, 1200.0], rtol=1e-4)


def median_seconds(call, rounds):
    call()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def better_than_by_hand(plans, count, seeds=40):
    """Median over seeded draws of the rms by hand over the rms of the best assignment."""
    pairs = (
        frequency_matrix(plans, measured(plans, count, seed), BENCH, target_cpm=on_a_line(plans))
        for seed in range(seeds)
    )
    return statistics.median(sorted_by_hand(matrix).rms_cpm / best_assignment(matrix).rms_cpm for matrix in pairs)


def table():
    """Return the lines of the table, all from this run."""
    plans = class_plans()
    many = (plans * SHAFTS)[:SHAFTS]
    shafts, (made, error), shelf = measured(many, SHAFTS), readings(plans), shelf_of(plans)
    sample = median_seconds(lambda: sample_sets(plans[:CLUBS], sets=SETS), 7)
    small = median_seconds(lambda: sample_sets(plans[:CLUBS], sets=SETS // 10), 15)
    whole, solve = median_seconds(lambda: assign(many, shafts), 7), frequency_matrix(many, shafts, BENCH)
    alone = median_seconds(lambda: best_assignment(solve), 7)
    budget = median_seconds(lambda: first_order(plans[:CLUBS]), 15)
    fitted = median_seconds(lambda: calibrate(made, reading_error_cpm=error), 15)
    return [
        "| what | measured |",
        "| --- | --- |",
        f"| sample of 10 000 sets of 9 clubs | {sample:.2f} s, {sample / small:.1f} times that of 1000 sets |",
        f"| first-order budget of those 9 clubs | {budget * 1e3:.0f} ms |",
        f"| 200 shafts to 200 clubs, full matrix | {whole:.2f} s, of which the assignment {alone * 1e3:.0f} ms |",
        f"| shelf, 10 orders of 10 clubs, 31 kinds of piece | {median_seconds(lambda: plan_shelf(*shelf), 5):.2f} s |",
        f"| calibration, 5 readings | {fitted * 1e3:.0f} ms |",
        f"| rms by hand over rms assigned, 10 shafts for 10 clubs | {better_than_by_hand(plans, 10):.1f} |",
        f"| rms by hand over rms assigned, 14 shafts for 10 clubs | {better_than_by_hand(plans, 14):.1f} |",
    ]


if __name__ == "__main__":
    print("\n".join(table()))
