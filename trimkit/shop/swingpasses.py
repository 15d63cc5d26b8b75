"""The times at which a swinging club passes the middle, found in a series of readings, and the frequency they give.

Standing: derived; the limits are chosen here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from trimkit.mechanics.batch import Floats
from trimkit.parts.errors import ModelError
from trimkit.parts.units import say_number
from trimkit.shop.swings import FEWEST_SWINGS

Ints: TypeAlias = NDArray[np.intp]

MOST_CHANGING_CPM = 1.0
"""A frequency that changes by more during the record, as a standard deviation, is not one frequency."""

_ONE_DIRECTION = "pull straight and let go without a twist, so that the club swings in one direction alone"
_BEATS = 0.25  # of the amplitude, as a standard deviation from a steady fading
_FADED = 0.2  # of the largest amplitude: what is smaller is left out
_REACHED = 0.7  # of the largest amplitude: here the free swing begins
_UNEVEN = 0.25  # of the usual time between passes: a pass so early or late is none, or one was missed


@dataclass(frozen=True)
class Passes:
    """Frequency and its sd (cpm), number of swings, the fading per second, and when the used passes begin and end."""

    cpm: float
    sd_cpm: float
    swings: float
    fading_per_s: float
    begin_s: float
    end_s: float


class Swept:
    """Means of a series over windows of time, exact for straight lines between readings; no readings in pauses."""

    def __init__(self, time: Floats, value: Floats) -> None:
        self.time, self.value = time, value
        areas = np.diff(time) * (value[1:] + value[:-1]) / 2
        self.area = np.concatenate([[0.0], np.cumsum(areas)])

    def _until(self, moment: Floats) -> Floats:
        left = np.clip(np.searchsorted(self.time, moment, side="right") - 1, 0, self.time.size - 2)
        here = np.interp(moment, self.time, self.value)
        return self.area[left] + (self.value[left] + here) / 2 * (moment - self.time[left])

    def mean(self, moment: Floats, width: float) -> Floats:
        """Return the mean over a window of that width around each moment, both in s; in the unit of the readings."""
        return (self._until(moment + width / 2) - self._until(moment - width / 2)) / width


def stretches(time: Floats, value: Floats, period: float) -> list[Swept]:
    """Return the parts of a series between its pauses that are longer than two swings.

    time: s, rising; value: the readings in their unit, shape (n,) both; period: about how long a swing takes, s.
    """
    pauses = np.flatnonzero(np.diff(time) > period / 4) + 1
    parts = zip(np.split(time, pauses), np.split(value, pauses), strict=True)
    return [Swept(when, what) for when, what in parts if when[-1] - when[0] > 2 * period]


def _crossings(time: Floats, value: Floats, period: float) -> tuple[Floats, Floats, list[Ints]]:
    """Return when each pass is, how far the club swings out beside it, and the runs of passes that follow regularly."""
    moments: list[Floats] = []
    outs: list[Floats] = []
    number: list[Ints] = []
    for part in stretches(time, value, period):
        grid = np.arange(part.time[0] + period / 2, part.time[-1] - period / 2, period / 64)
        level = part.mean(grid, period / 4) - part.mean(grid, period)
        at = np.flatnonzero((level[1:] >= 0) != (level[:-1] >= 0))
        if at.size > 1:
            swing = np.maximum.reduceat(np.abs(level), np.concatenate([[0], at + 1]))
            swing[0], swing[-1] = swing[1], swing[-2]  # the stretch cuts these two off
            moments.append(grid[at] - level[at] * (grid[at + 1] - grid[at]) / (level[at + 1] - level[at]))
            outs.append(np.stack([swing[:-1], swing[1:]]))
            number.append(np.full(at.size, len(number)))
    if not moments:
        return np.empty(0), np.empty(0), []
    when, out, stretch = np.concatenate(moments), np.concatenate(outs, axis=1), np.concatenate(number)
    size = out.min(axis=0)
    begin = when[int(np.argmax(out[0] >= _REACHED * out.max()))]  # before it the club was still held
    used = (size >= _FADED * out.max()) & (when > begin + period / 8)
    steps = np.diff(when)
    usual = float(np.median(steps[used[1:]])) if used[1:].any() else math.inf
    regular = np.abs(steps - usual) <= _UNEVEN * usual
    ends = np.flatnonzero(~(regular & used[1:] & used[:-1]) | (np.diff(stretch) > 0)) + 1
    return when, size, [run for run in np.split(np.arange(when.size), ends) if run.size > 2]


def passes_of(time: Floats, value: Floats, period: float) -> Passes:
    """Return the frequency by a line through the times of the passes through the middle against their number.

    time: s, rising; value: the readings in their unit, shape (n,) both; period: about how long a swing takes, s.

    A quarter of a swing is averaged, against noise, and the mean over a whole swing around it is the middle, which
    takes out any offset and slow drift; on a damped sinusoid both only shift every pass by the same time. Passes count
    with the square of their amplitude. All stretches without a break share one slope, each has its own start.

    Raises ModelError for too few regular swings, a swing that does not fade steadily, and a frequency that changes.
    """
    when, size, runs = _crossings(time, value, period)
    swings = sum(run.size - 1 for run in runs) / 2
    if swings < FEWEST_SWINGS:
        raise ModelError(
            f"{say_number(swings, 1)} regular swings can be told apart",
            f"{FEWEST_SWINGS} or more, after the first and before the last one",
            "record longer, pull the head a little further, or bring the sensor nearer to it",
        )
    kept = np.concatenate(runs)
    fading = np.polynomial.Polynomial.fit(when[kept], np.log(size[kept]), 1, w=size[kept])
    envelope = fading(when[kept])
    slope, weight = float(fading.deriv()(0.0)), np.exp(2 * envelope)
    uneven = math.sqrt(float(np.average((np.log(size[kept]) - envelope) ** 2, weights=weight)))
    if uneven > _BEATS:
        raise ModelError(
            f"the swing fades unevenly, by {100 * uneven:.0f} % about a steady fading",
            f"a swing that fades steadily, within {100 * _BEATS:.0f} %",
            f"{_ONE_DIRECTION}; one pull in one record",
        )
    ends = np.cumsum([run.size for run in runs])[:-1]
    number = np.concatenate([np.arange(run.size, dtype=float) for run in runs])
    moment = when[kept]
    middle = float(np.average(moment, weights=weight))
    bend = (moment - middle) ** 2
    lasting = math.sqrt(float(np.average(bend, weights=weight)))
    for part in np.split(np.arange(kept.size), ends):  # each stretch from its own middle
        for column in (number, moment, bend):
            column[part] -= np.average(column[part], weights=weight[part])
    spread = float(weight @ number**2)
    half = float(weight @ (number * moment)) / spread
    left = moment - half * number
    free = kept.size - len(runs) - 1
    noise = math.sqrt(float(weight @ left**2) / free)
    cpm = 30.0 / half
    sd = cpm * noise / math.sqrt(spread) * _students(free) / half
    bend -= float(weight @ (bend * number)) / spread * number
    bent = float(weight @ (bend * left)) / float(weight @ bend**2)
    if abs(bent) > 3 * noise / math.sqrt(float(weight @ bend**2)):  # the frequency changes: more than noise
        changing = 2 * cpm * abs(bent) * lasting
        if changing > MOST_CHANGING_CPM:
            raise ModelError(
                f"the frequency changes while it swings, by {changing:.1f} cpm either way",
                f"at most {MOST_CHANGING_CPM:g} cpm",
                f"{_ONE_DIRECTION}; pull less far; check that the club does not slip in the clamp",
            )
        sd = math.hypot(sd, changing)
    return Passes(cpm, sd, swings, max(-float(slope), 0.0), float(when[kept[0]]), float(when[kept[-1]]))


def _students(free: int) -> float:
    """Return how much wider two standard deviations are with so few degrees of freedom (Student's t, 95 %)."""
    from scipy.special import stdtrit

    return float(stdtrit(free, 0.975) / 1.959964)
