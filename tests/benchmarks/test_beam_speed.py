"""How fast frequencies come, beside a general-purpose finite element library (scikit-fem) in the same run.

    python -m pytest tests/benchmarks -n 0 --benchmark-enable

prints the times; ``OPENBLAS_NUM_THREADS=1 python tests/benchmarks/test_beam_speed.py`` prints the table of
DEVELOPERS.md: ratios and medians of one run, one thread each. Nothing here passes or fails by time. In the plain suite
each measured call runs once and its result is compared, so that what is timed is also right.
"""

import statistics
import subprocess
import sys
import time
import tracemalloc

import numpy as np
import pytest
from scipy import linalg
from skfem import Basis, BilinearForm, ElementLineHermite, MeshLine

from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.cantilever import first_mode
from trimkit.mechanics.clamped import bench_of, cantilevers
from trimkit.mechanics.profile import Profile, steel_profile
from trimkit.parts.components import TubeSection

IRON = {
    "tip_trim_in": 2.0,
    "cut_length_in": 36.0,
    "bbgl_in": 1.0,
    "bore_depth_in": 1.25,
    "cap_thickness_in": 0.1,
    "head_mass_g": 262.0,
    "cg_height_in": 0.9,
    "inertia_g_cm2": 2500.0,
}
BATCH, LARGE_BATCH = 13_000, 130_000


def iron_profile():
    outer = np.linspace(0.370, 0.580, 18)
    edges = np.concatenate(([0.0], np.linspace(11.5, 33.0, 17), [41.0]))
    pieces_of_tube = zip(edges[:-1], edges[1:], outer, strict=True)
    return steel_profile([TubeSection(a, b, od, 0.0145) for a, b, od in pieces_of_tube], tip_section_in=11.5)


def wood_profile():
    place = np.linspace(0, 46, 11)
    ei, mass = np.linspace(21, 66, 11), np.linspace(62, 47, 11)
    outer = np.linspace(0.335, 0.6, 11)
    return Profile(place, ei[:-1], ei[1:], mass[:-1], mass[1:], outer[:-1], outer[1:], 7.0)


def many(count, **base):
    """Clubs scattered about one, as a Monte Carlo draws them (seeded)."""
    rng = np.random.default_rng(1)
    club = {name: value * (1 + 0.01 * rng.standard_normal(count)) for name, value in base.items()}
    club["cut_length_in"] = base["cut_length_in"] + 0.05 * rng.standard_normal(count)
    return club | {"ei_factor": 1 + 0.02 * rng.standard_normal(count)}


class FiniteElements:
    """The same club by scikit-fem: one Hermite element a piece between steps, long pieces divided."""

    def __init__(self, profile, club):
        self.beams = cantilevers(profile.pieces, bench_of(profile, club)[1])

    def cpm(self, parts=2):
        b = self.beams
        kept = b.lengths[:, 0] > 0
        lengths = np.repeat(b.lengths[kept, 0] / parts, parts)
        ends = np.concatenate(([0.0], np.cumsum(lengths)))
        ei, mu = np.repeat(b.ei_low[kept, 0], parts), np.repeat(b.mu_low[kept, 0], parts)
        basis = Basis(MeshLine(ends), ElementLineHermite(), intorder=6)

        def at(values, x):
            return values[np.searchsorted(ends, x, side="right") - 1]

        @BilinearForm
        def bending(u, v, w):
            return at(ei, w.x[0]) * u.hess[0, 0] * v.hess[0, 0]

        @BilinearForm
        def inertia(u, v, w):
            return at(mu, w.x[0]) * u * v

        k, m = bending.assemble(basis).toarray(), inertia.assemble(basis).toarray()
        mass, offset, own = b.mass[0], b.offset[0], b.inertia[0]
        m[:2, :2] += [[mass, -mass * offset], [-mass * offset, own + mass * offset**2]]
        size = k.shape[0] - 2
        inverse = linalg.eigh(m[:size, :size], k[:size, :size], eigvals_only=True, subset_by_index=(size - 1, size - 1))
        return 60 / (2 * np.pi) / np.sqrt(inverse[0])


def test_one_club(benchmark):
    profile = iron_profile()
    result = benchmark(first_frequency, profile, **IRON)
    assert result.relative_error < 1e-9


def test_one_club_by_finite_elements(benchmark):
    profile = iron_profile()
    cpm = benchmark(lambda: FiniteElements(profile, IRON).cpm())
    assert cpm == pytest.approx(first_frequency(profile, **IRON).frequency_cpm, rel=2e-9)


@pytest.mark.parametrize(
    "profile", [pytest.param(iron_profile(), id="steel"), pytest.param(wood_profile(), id="graphite")]
)
def test_batch_of_13000_clubs(benchmark, profile):
    clubs = many(BATCH, **IRON)
    result = benchmark.pedantic(first_frequency, (profile,), clubs, rounds=3)
    assert result.relative_error.max() < 1e-9


def test_memory_of_130000_clubs_stays_below_300_megabytes():
    assert peak_megabytes(LARGE_BATCH) < 300


@pytest.mark.parametrize("package", ["trimkit", "trimkit.mechanics.beam"])
def test_import_leaves_the_heavy_libraries_alone(package):
    heavy = "{'matplotlib', 'pandas', 'ipywidgets', 'scipy.linalg', 'scipy.optimize'}"
    code = f"import sys, {package}; print(*sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


def peak_megabytes(count):
    """Peak of what numpy allocates during one batch, its input included."""
    profile = iron_profile()
    tracemalloc.start()
    first_frequency(profile, **many(count, **IRON))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1e6


def medians_in_turn(calls, rounds):
    """Median seconds of each call, taken in turn, so that a busy machine is as busy for all of them."""
    times = [[] for _ in calls]
    for turn in range(rounds + 1):
        for call, taken in zip(calls, times, strict=True):
            start = time.perf_counter()
            call()
            if turn:
                taken.append(time.perf_counter() - start)
    return [statistics.median(taken) for taken in times]


def median_seconds(call, rounds):
    return medians_in_turn([call], rounds)[0]


def exponent(sizes, seconds):
    """Slope of log time over log size: 1 is linear growth."""
    return float(np.polyfit(np.log(sizes), np.log(seconds), 1)[0])


def import_seconds(package, rounds=7):
    """Median of a fresh interpreter's time with the import, less that without."""
    bare, loaded = (
        median_seconds(lambda code=code: subprocess.run([sys.executable, "-c", code], check=True), rounds)
        for code in ("pass", f"import {package}")
    )
    return loaded - bare


def batch_seconds(profile, count):
    clubs = many(count, **IRON)
    return median_seconds(lambda: first_frequency(profile, **clubs), 5)


def in_equal_pieces(profile, count):
    edges = np.linspace(0, 41, count + 1)
    middle = (edges[1:] + edges[:-1]) / 2
    ei, mass, outer = profile.ei_at(middle), profile.mass_at(middle), profile.outer_at(middle)
    return Profile(edges, ei, ei, mass, mass, outer, outer)


def table():
    """Return the lines of the table, all from this run."""
    iron, wood = iron_profile(), wood_profile()
    exact = float(first_mode(cantilevers(iron.divided(1.0), bench_of(iron, IRON)[1]), tolerance=1e-13).omega_squared[0])
    exact_cpm = np.sqrt(exact) * 60 / (2 * np.pi)
    clubs = many(BATCH, **IRON)
    singly = [lambda: first_frequency(iron, **IRON), lambda: FiniteElements(iron, IRON).cpm()]
    one, elements = (median_seconds(call, 301) for call in singly)
    one_cold, elements_cold = medians_in_turn(singly, 301)
    steel, graphite = medians_in_turn(
        [lambda: first_frequency(iron, **clubs), lambda: first_frequency(wood, **clubs)], rounds=21
    )
    steel, graphite = steel / BATCH, graphite / BATCH
    counts = [2_000, 8_000, 32_000, 128_000]
    by_club = [batch_seconds(iron, n) for n in counts]
    splits = [1, 2, 4, 8]
    by_element = [batch_seconds(in_equal_pieces(iron, 20 * n), 4000) for n in splits]
    ours = abs(first_frequency(iron, **IRON).frequency_cpm / exact_cpm - 1)
    theirs = abs(FiniteElements(iron, IRON).cpm() / exact_cpm - 1)
    return [
        "| what | measured |",
        "| --- | --- |",
        f"| one club | {one * 1e6:.0f} µs, relative error {ours:.0e} |",
        f"| one club by scikit-fem, 2 elements a piece | {elements * 1e6:.0f} µs, relative error {theirs:.0e} |",
        f"| ratio for one club, each called again and again | {elements / one:.1f} |",
        f"| ratio for one club, called in turn (caches cold) | {elements_cold / one_cold:.1f} |",
        f"| {BATCH} clubs, steel | {steel * 1e6:.2f} µs a club |",
        f"| {BATCH} clubs, graphite | {graphite * 1e6:.2f} µs a club |",
        f"| ratio in a batch, steel | {elements / steel:.0f} |",
        f"| ratio in a batch, graphite | {elements / graphite:.0f} |",
        f"| time grows with clubs to the power | {exponent(counts, by_club):.2f} |",
        f"| time grows with elements to the power | {exponent(splits, by_element):.2f} |",
        f"| peak memory of {LARGE_BATCH} clubs | {peak_megabytes(LARGE_BATCH):.0f} MB |",
        f"| import trimkit | {import_seconds('trimkit'):.3f} s |",
        f"| import trimkit.mechanics.beam | {import_seconds('trimkit.mechanics.beam'):.3f} s |",
    ]


if __name__ == "__main__":
    print("\n".join(table()))
