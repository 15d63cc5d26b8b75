"""The set's line: frequency against playing length, fitted so that one bad club does not move it.

The slope is in cycles per minute per half inch *shorter*: a matched set of irons rises towards the short clubs, so its
slope is positive.

Standing: a robust regression (Theil 1950, Sen 1968; Siegel 1982); the target's slope is a choice with its own source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from trimkit.mechanics.batch import broadcast
from trimkit.parts.errors import ModelError
from trimkit.parts.sources import Source, Standing

HALF_IN = 0.5
SET_TOLERANCE_CPM = 2.0
"""How far a club may lie off its set's line, cpm: from memory, unverified; a shop sets its own."""
SET_TOLERANCE_SOURCE = Source("sets are matched to within about 2 cpm", Standing.FROM_MEMORY)


class RobustFit(StrEnum):
    """How the line is fitted: the median of all pairwise slopes, or the median of every club's own median slope."""

    PAIRWISE_MEDIAN = "median of pairwise slopes"
    REPEATED_MEDIAN = "repeated median of slopes"


@dataclass(frozen=True)
class SlopeChoice:
    """A slope to aim for in a set, cpm per half inch shorter, and how far that figure can be trusted."""

    slope_cpm_per_half_in: float
    source: Source


USUAL_SLOPE = SlopeChoice(4.3, Source("often quoted for matched irons", Standing.COMMON_PRACTICE))
FLATTEST_SLOPE = SlopeChoice(3.5, Source("the low end of what tests of sets report", Standing.COMMON_PRACTICE))
STEEPEST_SLOPE = SlopeChoice(5.5, Source("the high end of what tests of sets report", Standing.COMMON_PRACTICE))
SLOPE_CHOICES = (USUAL_SLOPE, FLATTEST_SLOPE, STEEPEST_SLOPE)
"""Slopes to choose a target from. None has a published source; the set's own slope is as good a target."""


@dataclass(frozen=True)
class SetLine:
    """A straight line through a set: ``frequency_cpm`` at ``playing_length_in``, and the slope.

    slope_cpm_per_half_in: cpm gained for each half inch that a club is shorter. Raises ModelError for a value that is
    not a finite number.

    >>> SetLine(37.5, 330.0, 4.3).at_cpm(36.5)
    338.6
    """

    playing_length_in: float
    frequency_cpm: float
    slope_cpm_per_half_in: float

    def __post_init__(self) -> None:
        broadcast(
            playing_length_in=self.playing_length_in,
            frequency_cpm=self.frequency_cpm,
            slope_cpm_per_half_in=self.slope_cpm_per_half_in,
        )

    def at_cpm(self, playing_length_in: float) -> float:
        """Return the line's frequency (cpm) at a playing length (in): f0 + slope (L0 - L) / 0.5 in."""
        return self.frequency_cpm + self.slope_cpm_per_half_in * (self.playing_length_in - playing_length_in) / HALF_IN


def fit_line(
    playing_length_in: ArrayLike, frequency_cpm: ArrayLike, fit: RobustFit = RobustFit.REPEATED_MEDIAN
) -> SetLine:
    """Answer which straight line a set lies on, so that a bad club hardly moves it.

    playing_length_in, frequency_cpm: one value per club, in in and cpm. fit: no error, however large, carries the
    repeated median off while no more than half of the clubs less one are wrong (one of five, two of six, four of ten),
    nor the pairwise median while fewer than three in ten are; but wrong clubs that agree and lie at one end still tilt
    either. The line is given at the clubs' median length. Raises ModelError for fewer than two clubs, for clubs all of
    one length, and for what is not a finite number.

    Pairwise: slope = median over i < j of (f_j - f_i)/(L_j - L_i) (Theil 1950, Sen 1968). Repeated: slope = median over
    i of the median over j of the same (Siegel 1982, Biometrika 69, 242). Level: median of f - slope L.
    """
    shape, given = broadcast(playing_length_in=playing_length_in, frequency_cpm=frequency_cpm)
    if len(shape) != 1 or given["playing_length_in"].shape != given["frequency_cpm"].shape:
        raise ModelError("no list of clubs", "one length and one frequency for each club", "give two equal lists")
    length, cpm = given["playing_length_in"], given["frequency_cpm"]
    if shape[0] < 2 or float(np.ptp(length)) < 1e-9:
        raise ModelError(
            f"{shape[0]} club(s) of {np.unique(length).size} length(s)",
            "two clubs or more of different lengths",
            "a line needs clubs of different lengths; compare clubs of one length directly",
        )
    middle = float(np.median(length))
    # SciPy has both medians, but its statistics package takes a second to load.
    across = length[:, None] - length
    slopes = np.divide(cpm[:, None] - cpm, across, out=np.full(across.shape, np.nan), where=across != 0)
    pairwise = fit is RobustFit.PAIRWISE_MEDIAN
    slope = float(np.nanmedian(slopes if pairwise else np.nanmedian(slopes, axis=1)))
    level = float(np.median(cpm - slope * (length - middle)))
    return SetLine(middle, level, -slope * HALF_IN)


@dataclass(frozen=True)
class OffLine:
    """One club against a line: frequencies in cpm; deviation_cpm is + for a club that is too stiff."""

    club: str
    playing_length_in: float
    frequency_cpm: float
    line_cpm: float
    tolerance_cpm: float

    @property
    def deviation_cpm(self) -> float:
        """How far the club lies above (+, stiffer) or below (-, softer) the line, cpm."""
        return self.frequency_cpm - self.line_cpm

    @property
    def within(self) -> bool:
        """Whether the deviation is no larger than the tolerance."""
        return abs(self.deviation_cpm) <= self.tolerance_cpm + 1e-9

    @property
    def verdict(self) -> str:
        """The verdict in words."""
        if self.within:
            return "on the line"
        return "too stiff for the set" if self.deviation_cpm > 0 else "too soft for the set"


@dataclass(frozen=True)
class LineReport:
    """A line and every club against it, in the order they were given; name: which line, where there are others."""

    line: SetLine
    clubs: tuple[OffLine, ...]
    name: str = ""


def against_line(
    clubs: Sequence[tuple[str, float, float]], line: SetLine, tolerance_cpm: float = SET_TOLERANCE_CPM
) -> LineReport:
    """Answer how far each club lies off a line.

    clubs: name, playing length (in), frequency (cpm) of each. tolerance_cpm: from memory, unverified.
    Raises ModelError for a tolerance that is not more than 0 and for numbers that are not finite.
    """
    if not (np.isfinite(tolerance_cpm) and tolerance_cpm > 0):
        raise ModelError(
            f"a tolerance of {tolerance_cpm} cpm", "a finite number of more than 0 cpm", "state the set's tolerance"
        )
    for name, length, cpm in clubs:
        broadcast(**{f"playing length of {name} in in": length, f"frequency of {name} in cpm": cpm})
    return LineReport(
        line,
        tuple(OffLine(name, length, cpm, line.at_cpm(length), tolerance_cpm) for name, length, cpm in clubs),
    )


def set_line(
    clubs: Sequence[tuple[str, float, float]],
    tolerance_cpm: float = SET_TOLERANCE_CPM,
    fit: RobustFit = RobustFit.REPEATED_MEDIAN,
) -> LineReport:
    """Answer on which line a set lies and which of its clubs do not; parameters, errors and equation as in
    :func:`fit_line` and :func:`against_line`.
    """
    line = fit_line([length for _, length, _ in clubs], [cpm for _, _, cpm in clubs], fit)
    return against_line(clubs, line, tolerance_cpm)
