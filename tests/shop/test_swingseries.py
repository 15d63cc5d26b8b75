"""Series of known frequency, and what they give: a mass on a spring integrated by SciPy, and noise from seeds.

``python tests/shop/test_swingseries.py`` prints the accuracy for every kind of series.
"""

import sys
import time as clock
from collections import Counter

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from trimkit.parts.errors import ModelError
from trimkit.shop.swingseries import series_frequency, strongest_swing

SEEDS = 200
KINDS = {
    "noise 2 %": {"noise": 0.02},
    "noise 5 %": {},
    "noise 10 %": {"noise": 0.1},
    "noise 20 %": {"noise": 0.2},
    "damping 0.5 %": {"zeta": 0.005},
    "damping 2 %": {"zeta": 0.02},
    "damping 2 %, noise 20 %": {"zeta": 0.02, "noise": 0.2},
    "no damping, noise 20 %": {"zeta": 0.0, "noise": 0.2},
    "drift of 3 amplitudes": {"drift": 3.0},
    "three pauses": {"pauses": 3},
    "uneven times": {"jitter": 2.0},
    "clipped peaks": {"clip": 0.7},
    "second swing of 40 %": {"second": 0.4},
    "held first, then let go": {"held_s": 1.5},
    "two seconds": {"span_s": 2.0},
    "50 readings a second": {"rate": 50.0, "cpm": 300.0},
    "1000 readings a second": {"rate": 1000.0, "cpm": 640.0},
    "a minute": {"span_s": 60.0, "zeta": 0.002},
    "all together": {"noise": 0.1, "drift": 2.0, "pauses": 2, "jitter": 0.4, "second": 0.2},
}


def swinging(seed, cpm=None, rate=200.0, span_s=10.0, zeta=0.01, noise=0.05, drift=0.0, pauses=0, jitter=0.0):
    """Times, readings and the true cpm of A e^(-ct) cos(wt + p), A = 1, with what a bench adds to it."""
    rng = np.random.default_rng(seed)
    cpm = rng.uniform(220, 420) if cpm is None else cpm
    time = np.arange(int(rate * span_s)) / rate
    if jitter:
        time = np.unique(time + rng.uniform(-jitter, jitter, time.size) / rate)
    turning = 2 * np.pi * cpm / 60
    swing = np.exp(-zeta * turning * time) * np.cos(turning * time + rng.uniform(0, 2 * np.pi))
    swing += 9.8 + drift * (time / span_s + np.exp(-time / 2) / 2) + noise * rng.normal(size=time.size)
    kept = np.ones(time.size, dtype=bool)
    for begin in rng.uniform(0.5, span_s - 1, pauses):
        kept &= ~((time > begin) & (time < begin + rng.uniform(0.2, 0.7)))
    return time[kept], swing[kept], cpm


def series(seed, clip=0.0, second=0.0, held_s=0.0, **more):
    """The same, with clipped peaks, a second swing 6.7 times as fast, or a club that is held before it is let go."""
    time, reading, cpm = swinging(seed, **more)
    if second:
        quick = 6.7 * 2 * np.pi * cpm / 60
        reading = reading + second * np.exp(-0.02 * quick * time) * np.cos(quick * time + 1)
    if clip:
        reading = np.clip(reading, 9.8 - clip, 9.8 + 0.8 * clip)
    if held_s:
        begin = np.arange(0, held_s, 1 / 200)
        noise = 0.05 * np.random.default_rng(seed + 10_000).normal(size=begin.size)
        time, reading = np.concatenate([begin, held_s + time]), np.concatenate([noise + reading[0], reading])
    return time, reading, cpm


def accuracy(kind):
    """Errors, stated standard uncertainties (cpm) and refusals over the seeds."""
    errors, stated, refused = [], [], Counter()
    for seed in range(SEEDS):
        time, reading, cpm = series(seed, **kind)
        try:
            found = series_frequency(time, reading)
        except ModelError as refusal:
            refused[refusal.given] += 1
        else:
            errors.append(found.frequency_cpm - cpm)
            stated.append(found.sd_cpm)
    return np.array(errors), np.array(stated), refused


OFTEN = {"noise 20 %", "all together"}


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=() if name in OFTEN else pytest.mark.nightly) for name in KINDS]
)
def test_two_standard_uncertainties_cover_and_are_not_absurdly_wide(name):
    errors, stated, refused = accuracy(KINDS[name])
    assert refused.total() <= 0.06 * SEEDS
    assert np.mean(np.abs(errors) <= 2 * stated) >= 0.93
    assert np.sqrt(np.mean(errors**2)) > 0.4 * np.median(stated)


@pytest.mark.parametrize("zeta", [0.001, 0.01, 0.03])
def test_a_mass_on_a_spring_integrated_by_scipy(zeta):
    mass, spring = 0.27, 285.0
    damper = 2 * zeta * np.sqrt(spring * mass)
    time = np.linspace(0, 8, 1601)
    moved = solve_ivp(
        lambda _, state: [state[1], -(damper * state[1] + spring * state[0]) / mass],
        (0, 8),
        [0.02, 0.0],
        t_eval=time,
        rtol=1e-10,
        atol=1e-13,
    )
    found = series_frequency(time, moved.y[0])
    undamped = 60 / (2 * np.pi) * np.sqrt(spring / mass)
    assert found.frequency_cpm == pytest.approx(undamped * np.sqrt(1 - zeta**2), abs=2 * found.sd_cpm + 1e-5)
    assert found.sd_cpm < 0.01
    assert found.damping == pytest.approx(zeta, rel=0.01)


@pytest.mark.parametrize("sensor", [1, 2], ids=["speed", "acceleration"])
def test_any_sensor_that_follows_the_head_gives_the_same(sensor):
    time, reading, cpm = series(3, noise=0.0, cpm=300.0)
    derived = reading
    for _ in range(sensor):
        derived = np.gradient(derived, time)
    assert series_frequency(time, derived).frequency_cpm == pytest.approx(cpm, abs=0.01)


def test_it_agrees_with_a_padded_fft_where_nothing_fades():
    time, reading, _ = series(5, zeta=0.0, noise=0.1)
    step, size = time[1] - time[0], 1 << 22
    power = np.abs(np.fft.rfft((reading - reading.mean()) * np.hanning(time.size), size))
    by_fft = 60 * np.argmax(power) / size / step
    assert series_frequency(time, reading).frequency_cpm == pytest.approx(by_fft, abs=0.05)


@pytest.mark.parametrize(
    ("scale", "offset", "start"), [(-3e-6, 0.0, 0.0), (1e9, -1e11, 0.0), (1.0, 0.0, 1.7e9), (1e-30, 1e-28, -5.0)]
)
def test_unit_offset_and_start_do_not_matter(scale, offset, start):
    time, reading, _ = series(8)
    plain, other = series_frequency(time, reading), series_frequency(time + start, scale * reading + offset)
    assert other.frequency_cpm == pytest.approx(plain.frequency_cpm, abs=1e-3)
    assert other.sd_cpm == pytest.approx(plain.sd_cpm, rel=0.05)


def test_readings_a_swing_swings_and_seconds_are_what_they_are():
    time, reading, _ = series(1, cpm=300.0, zeta=0.001, noise=0.01)
    found = series_frequency(time, reading)
    assert found.readings_a_swing == pytest.approx(40.0, rel=1e-4)
    assert found.swings == pytest.approx(found.span_s * 300 / 60, abs=0.02)
    assert 45 < found.swings <= 49


def two(other_cpm, share, cpm=300.0, span_s=10.0, zeta=0.005, other_zeta=0.005):
    time = np.arange(int(200 * span_s)) / 200
    swings = [
        size * np.exp(-fading * 2 * np.pi * each / 60 * time) * np.cos(2 * np.pi * each / 60 * time + 1)
        for each, size, fading in ((cpm, 1.0, zeta), (other_cpm, share, other_zeta))
    ]
    return time, sum(swings) + 0.02 * np.random.default_rng(2).normal(size=time.size)


@pytest.mark.parametrize(
    ("other", "said"),
    [
        (two(1100, 3.5), "at 1100 cpm, and also at 300 cpm"),
        (two(2000, 1.0, other_zeta=0.001), "at 300 cpm, and also at 2000 cpm"),
        (two(2000, 9.0), "at 2000 cpm, and also at 300 cpm"),
        (two(900, 3.0, other_zeta=0.002), r"at (899|900|901) cpm, and also at 300 cpm"),
        (two(330, 0.8), r"at 300 cpm, and also at 3(29|30|31) cpm"),
        (two(310, 0.9, zeta=0.001, other_zeta=0.001), r"fades unevenly|the spectrum|also at"),
    ],
)
def test_two_swings_are_refused_with_what_to_do(other, said):
    with pytest.raises(ModelError, match=said) as refusal:
        series_frequency(*other)
    assert "pull" in refusal.value.next_step


def test_a_slower_swing_of_a_third_is_the_clubs_own():
    with pytest.raises(ModelError, match=r"at 1000 cpm, and also at 1(49|50|51) cpm"):
        series_frequency(*two(150, 0.33, cpm=1000.0, zeta=0.002, other_zeta=0.01))


def test_a_frequency_that_changes_is_refused_or_counted():
    time = np.arange(2000) / 200
    for per_s, refused in ((0.03, True), (0.002, False)):  # Hz a second, from 5 Hz
        reading = np.cos(2 * np.pi * (5 * time + per_s * time**2 / 2))
        reading += 0.005 * np.random.default_rng(0).normal(size=time.size)
        if refused:
            with pytest.raises(ModelError, match="the frequency changes"):
                series_frequency(time, reading)
        else:
            assert 0.1 < series_frequency(time, reading).sd_cpm < 1.0


def test_two_pulls_in_one_record_are_refused():
    time, reading, _ = series(0, cpm=300.0, zeta=0.02, noise=0.02)
    with pytest.raises(ModelError, match=r"also at|unevenly"):
        series_frequency(np.concatenate([time, time + 10.03]), np.concatenate([reading, reading]))


@pytest.mark.parametrize("seed", range(20))
def test_noise_alone_is_no_swing(seed):
    rng = np.random.default_rng(seed)
    time = np.arange(2000) / 200
    for reading in (rng.normal(size=2000), np.cumsum(rng.normal(size=2000)), rng.standard_cauchy(2000)):
        with pytest.raises(ModelError):
            series_frequency(time, reading)


TIME, READING, _ = series(0, cpm=300.0)


@pytest.mark.parametrize(
    ("time", "reading", "said"),
    [
        (TIME[:39], READING[:39], "39 times and 39 readings"),
        (TIME[:100], READING[:99], "100 times and 99 readings"),
        (np.arange(100_001) / 1000, np.zeros(100_001), "at most|40 to 100000"),
        (TIME[:200], READING[:200], "regular swings can be told apart"),
        (TIME[::-1], READING, "times that rise"),
        (np.where(np.arange(TIME.size) == 70, TIME[69], TIME), READING, "reading 71 is at 0.345 s, after 0.345 s"),
        (np.where(np.arange(TIME.size) == 70, np.nan, TIME), READING, "not a number"),
        (TIME, np.where(np.arange(TIME.size) == 70, np.inf, READING), "not a number"),
        (TIME, np.where(np.arange(TIME.size) == 70, 1e13, READING), "too large"),
        (TIME, np.full(TIME.size, 9.8), "every reading is the same"),
        (TIME * 1000, READING, "not in milliseconds"),
        (TIME * 6, READING, "usually 33.3 a second"),
        (TIME[::4], series(0, cpm=420.0)[1][::4], r"420 cpm has 7\.1 readings"),
        (TIME, READING + 2 * np.random.default_rng(0).normal(size=TIME.size), "nothing swings|also at|unsure|only to"),
    ],
)
def test_what_is_no_series_is_refused(time, reading, said):
    with pytest.raises(ModelError, match=said):
        series_frequency(time, reading)


def test_too_unsure_is_refused():
    refusals = Counter()
    for seed in range(30):
        time, reading, cpm = series(seed, span_s=1.6, noise=0.6, zeta=0.005)
        try:
            found = series_frequency(time, reading)
        except ModelError as refusal:
            refusals[refusal.allowed] += 1
        else:
            assert found.sd_cpm <= 2.0
            assert abs(found.frequency_cpm - cpm) < 4 * found.sd_cpm
    assert refusals["at most 2 cpm"] > 0


def test_the_strongest_swing_is_near():
    for seed in range(10):
        time, reading, cpm = series(seed, noise=0.2)
        assert strongest_swing(time, reading) == pytest.approx(cpm, abs=6.0)  # one swing in ten seconds


def test_twenty_thousand_readings_take_no_time():
    time, reading, _ = series(0, rate=1000.0, span_s=20.0)
    series_frequency(time, reading)  # SciPy is imported
    begin = clock.process_time()
    series_frequency(time, reading)
    assert clock.process_time() - begin < 0.3


if __name__ == "__main__":
    print(f"| series ({SEEDS} seeds each) | rms error, cpm | stated u, cpm (median) | within 2 u | refused |")
    print("| --- | --- | --- | --- | --- |")
    for name in sys.argv[1:] or KINDS:
        errors, stated, refused = accuracy(KINDS[name])
        within = 100 * np.mean(np.abs(errors) <= 2 * stated)
        rms = np.sqrt(np.mean(errors**2))
        print(f"| {name} | {rms:.3f} | {np.median(stated):.3f} | {within:.1f} % | {refused.total()} |")
