"""Frequency without a frequency machine, from a series of readings of any sensor on a club that swings freely.

The series is read in two ways: by the times at which the club passes the middle, and by the peak of its spectrum.
Where the two disagree there is no answer. Both are for the damped swing, slower by sqrt(1 - zeta^2) than without
damping: 0.06 cpm in 300 at zeta = 2 %, less than anybody reads.

Standing: derived; the limits are chosen here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trimkit.mechanics.batch import Floats
from trimkit.parts.errors import ModelError
from trimkit.parts.units import say_number
from trimkit.shop.swingpasses import Passes, passes_of, stretches
from trimkit.shop.swings import FASTEST_CPM, FEWEST_A_SWING, FEWEST_SWINGS, MOST_UNSURE_CPM, SLOWEST_CPM

MOST_READINGS = 100_000
LONGEST_S = 600.0
SLOWEST_PER_S = 40.0
"""Readings a second: with fewer, a swing of up to 1200 cpm can look like a slower one (two readings a swing)."""

LARGEST_READING = 1e12
MOST_APART_CPM = 3.0
"""However noisy the series, its two answers may differ by no more."""

_AGREE_CPM = 0.3
_SECOND = 0.5  # of the amplitude of the strongest: then two things swing
_LOWER = 0.25  # the same for a slower one: the club's own swing is the slowest
_CLEAR = 30.0  # how far the power of a peak is above the usual power of the spectrum, or it is noise
_MEANS_A_SWING = 32  # readings closer than that are taken together
_LOOK_PER_S = 400.0  # the finest that the spectrum looks


@dataclass(frozen=True)
class SeriesFrequency:
    """A frequency from a series, its standard uncertainty, and what each way found, cpm.

    swings: how many were read, in span_s seconds, with readings_a_swing readings in each. damping: zeta, a ratio.
    """

    frequency_cpm: float
    sd_cpm: float
    swings: float
    span_s: float
    readings_a_swing: float
    passes_cpm: float
    passes_sd_cpm: float
    spectrum_cpm: float
    spectrum_sd_cpm: float
    damping: float


def series_frequency(time_s: Sequence[float] | Floats, reading: Sequence[float] | Floats) -> SeriesFrequency:
    """Answer the frequency of a freely swinging club from a series of readings of any sensor.

    time_s: s, rising, shape (n,); even or uneven, with pauses. reading: any unit, shape (n,), with any offset and
    slow drift. The answer is the mean of the two ways. Its variance is that of the less sure of them (they share the
    noise) and the square of half their difference; where few passes were used, Student's t widens theirs.

    Raises ModelError for numbers that are no series, too few or too slow readings, noise, two swings of about equal
    strength, a faster swing than the club's own, too few swings, two ways that disagree, and an answer too unsure.
    """
    time, value = _series(time_s, reading)
    near = strongest_swing(time, value)
    usual = float(np.median(np.diff(time)))
    if (each := 60.0 / near / usual) < FEWEST_A_SWING:
        raise ModelError(
            f"a swing of {near:.0f} cpm has {say_number(each, 1)} readings",
            f"{FEWEST_A_SWING:g} or more",
            f"set the sensor to {math.ceil(near / 60 * FEWEST_A_SWING)} readings a second or more",
        )
    passes = passes_of(time, value, 60.0 / near)
    spectrum, width = _spectrum(time, value, passes)
    allowed = min(max(_AGREE_CPM, 3 * math.hypot(passes.sd_cpm, width)), MOST_APART_CPM)
    apart = passes.cpm - spectrum
    if not abs(apart) <= allowed:
        raise ModelError(
            f"the passes through the middle give {passes.cpm:.1f} cpm, the spectrum {spectrum:.1f} cpm",
            f"two ways that agree within {say_number(allowed, 1)} cpm",
            "record again: pull straight, let go without a twist, wait a second; fix sensor and clamp; let nothing "
            "else shake the bench",
        )
    frequency, sd = (passes.cpm + spectrum) / 2, math.hypot(max(passes.sd_cpm, width), apart / 2)
    if not sd <= MOST_UNSURE_CPM:
        raise ModelError(
            f"{frequency:.1f} cpm, but only to {sd:.1f} cpm (standard uncertainty)",
            f"at most {MOST_UNSURE_CPM:g} cpm",
            "record longer, pull the head a little further, or bring the sensor nearer to it",
        )
    turning = 2 * math.pi * frequency / 60.0
    damping = passes.fading_per_s / math.hypot(passes.fading_per_s, turning)
    return SeriesFrequency(
        frequency_cpm=frequency,
        sd_cpm=sd,
        swings=passes.swings,
        span_s=passes.end_s - passes.begin_s,
        readings_a_swing=60.0 / frequency / usual,
        passes_cpm=passes.cpm,
        passes_sd_cpm=passes.sd_cpm,
        spectrum_cpm=spectrum,
        spectrum_sd_cpm=width,
        damping=damping,
    )


def _series(time_s: Sequence[float] | Floats, reading: Sequence[float] | Floats) -> tuple[Floats, Floats]:
    """Return times from 0 and readings between -1 and 1, or refuse what no sensor gives."""
    time, value = np.asarray(time_s, dtype=np.float64), np.asarray(reading, dtype=np.float64)
    few = int(FEWEST_SWINGS * FEWEST_A_SWING)
    if time.ndim != 1 or time.shape != value.shape or not few <= time.size <= MOST_READINGS:
        raise ModelError(
            f"{time.size} times and {value.size} readings",
            f"{few} to {MOST_READINGS} of each, one reading a time",
            "cut the series to the swinging" if time.size > MOST_READINGS else "record longer",
        )
    if not (np.isfinite(time).all() and np.isfinite(value).all() and np.abs(value).max() <= LARGEST_READING):
        raise ModelError(
            "a time or a reading is not a number, or too large",
            f"finite numbers, readings up to {LARGEST_READING:g}",
            "remove those lines",
        )
    back = np.flatnonzero(np.diff(time) <= 0)
    if back.size:
        at = int(back[0]) + 1
        raise ModelError(
            f"reading {at + 1} is at {time[at]:.9g} s, after {time[at - 1]:.9g} s",
            "times that rise from reading to reading",
            "sort the series, and remove what is in it twice",
        )
    span, rate = float(time[-1] - time[0]), 1.0 / float(np.median(np.diff(time)))
    if not (span <= LONGEST_S and rate >= SLOWEST_PER_S):
        raise ModelError(
            f"{time.size} readings in {span:.3g} s, usually {rate:.3g} a second",
            f"{SLOWEST_PER_S:g} a second or more, in at most {LONGEST_S:g} s",
            "set the sensor to read more often; check that the times are in seconds, not in milliseconds",
        )
    size = float(np.ptp(value))
    if not size > 1e-12 * float(np.abs(value).max()):
        raise ModelError("every reading is the same", "readings that swing", "check the sensor and its cable")
    return time - time[0], (value - np.median(value)) / size


def strongest_swing(time: Floats, value: Floats) -> float:
    """Return about where the spectrum is highest, cpm, good to a part of one swing in the whole series.

    time: s from 0, shape (n,); value: shape (n,). By FFT of the readings in equal steps of time, drift out by a
    parabola. Raises ModelError if nothing rises above the noise, if something else swings about as strongly, or if the
    strongest is faster than a club's first swing or than another clear one below it.
    """
    from scipy.signal import find_peaks

    step, span = max(float(np.median(np.diff(time))), 1.0 / _LOOK_PER_S), float(time[-1])
    place = np.rint(time / step).astype(np.int64)
    count = np.bincount(place)
    level = value - np.polynomial.Polynomial.fit(time, value, 2)(time)
    even = np.bincount(place, level) / np.maximum(count, 1)
    size = 1 << (4 * even.size - 1).bit_length()
    height = np.abs(np.fft.rfft(even, size))
    cpm = 60.0 * np.fft.rfftfreq(size, step)
    peaks, _ = find_peaks(height)
    peaks = peaks[cpm[peaks] >= SLOWEST_CPM]
    usual = float(np.median(height[cpm >= SLOWEST_CPM] ** 2)) if cpm[-1] > SLOWEST_CPM else math.inf
    if not peaks.size or not height[peaks].max() ** 2 > _CLEAR * usual:
        raise ModelError(
            "nothing swings clearly above the noise",
            f"a free swing between {SLOWEST_CPM:g} and {FASTEST_CPM:g} cpm",
            "pull the head a little further, bring the sensor nearer to it, and cut the series to the swinging",
        )
    best = peaks[int(np.argmax(height[peaks]))]
    others = peaks[np.abs(cpm[peaks] - cpm[best]) > 2.5 * 60.0 / span]
    share = height[others] / height[best]
    seen = others[(share > _SECOND) | ((share > _LOWER) & (cpm[others] < cpm[best] / 2))]
    if cpm[best] > FASTEST_CPM or seen.size:
        also = f", and also at {cpm[seen[int(np.argmax(height[seen]))]]:.0f} cpm" if seen.size else ""
        raise ModelError(
            f"the strongest swing is at {cpm[best]:.0f} cpm{also}",
            f"one swing alone, between {SLOWEST_CPM:g} and {FASTEST_CPM:g} cpm: the club's first, its slowest",
            "pull the head in one direction and let go without a knock, wait a second until the quick shiver has gone, "
            "then record; tighten the clamp",
        )
    return float(cpm[best])


def _spectrum(time: Floats, value: Floats, passes: Passes) -> tuple[float, float]:
    """Return the peak of the Lomb-Scargle spectrum between the first and the last pass used, and its sd, cpm.

    The mean over one swing around each reading is taken out. With w = e^(-ct) for the fading of the passes, readings
    are divided by w and count with w^2. sd of the frequency in rad/s by the Cramer-Rao bound of a sinusoid of amplitude
    A w in white noise s: (s/A) sqrt(2 / sum w^2 t^2), t from the weighted middle.
    """
    period = 60.0 / passes.cpm
    when, level = [], []
    for part in stretches(time, value, period):
        inner = slice(*np.searchsorted(part.time, [part.time[0] + period / 2, part.time[-1] - period / 2]))
        when.append(part.time[inner])
        level.append(part.value[inner] - part.mean(part.time[inner], period))
    moment, swing = np.concatenate(when), np.concatenate(level)
    inside = (moment >= passes.begin_s) & (moment <= passes.end_s)
    moment, swing = moment[inside] - passes.begin_s, swing[inside]
    # Means of a few readings say as much as all of them, sooner.
    place = np.unique(np.floor(moment / (period / _MEANS_A_SWING)), return_inverse=True)[1]
    count = np.bincount(place).astype(np.float64)
    moment, swing = np.bincount(place, moment) / count, np.bincount(place, swing) / count
    weight = np.exp(-passes.fading_per_s * moment)
    # Divided by what fading has left of it, it is a steady sinusoid, with its peak exactly where it swings.
    counts = count * weight**2
    cpm = peak_cpm(moment, swing / weight, counts, passes.cpm, passes.end_s - passes.begin_s)
    turning = 2 * math.pi * cpm / 60.0
    waves = weight[:, None] * np.stack([np.cos(turning * moment), np.sin(turning * moment)], axis=1)
    root = np.sqrt(count)
    fit = np.linalg.lstsq(waves * root[:, None], swing * root, rcond=None)[0]
    free = 1.0 - float(np.median(np.diff(time))) / period  # of the noise, what the mean of a swing has left in
    noise = float(np.sqrt(np.mean(count * (swing - waves @ fit) ** 2) / free))
    middle = np.average(moment, weights=counts)
    spread = float(np.sum(counts * (moment - middle) ** 2))
    sd = noise * math.sqrt(2.0 / spread) / float(np.hypot(*fit))
    return cpm, 60.0 * sd / (2 * math.pi)


def peak_cpm(time: Floats, value: Floats, weight: Floats, near_cpm: float, span_s: float) -> float:
    """Return where the Lomb-Scargle spectrum with a free mean is highest, within one swing in the span of near_cpm.

    time: s; value; weight: how much each reading counts, all of shape (n,). It is the sinusoid with a constant that
    fits best by weighted least squares (``scipy.signal.lombscargle``).
    """
    from scipy.optimize import minimize_scalar
    from scipy.signal import lombscargle

    near, width = 2 * math.pi * near_cpm / 60.0, 2 * math.pi / span_s

    def below(turning: float) -> float:
        power = lombscargle(time, value, np.array([turning]), weights=weight, floating_mean=True, normalize=True)
        return -float(np.asarray(power).reshape(-1)[0])

    found = minimize_scalar(
        below, bounds=(near - width, near + width), method="bounded", options={"xatol": 1e-8 * near}
    )
    return 60.0 * float(found.x) / (2 * math.pi)
