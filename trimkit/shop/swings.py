"""Frequency without a frequency machine, from a slow-motion film: swings counted, frames counted.

Standing: derived; the limits are chosen here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trimkit.parts.errors import ModelError, counted
from trimkit.parts.units import say_number

SLOWEST_CPM, FASTEST_CPM = 100.0, 1200.0
"""Between these a club or a bare shaft swings in a clamp, cpm; chosen here."""

FEWEST_A_SWING = 8.0
"""Frames or readings in one swing: with fewer, swings are missed or taken for slower ones; chosen here."""

FEWEST_SWINGS = 5
MOST_UNSURE_CPM = 2.0
"""A standard uncertainty above this is no reading: sets are matched to about 2 cpm (from memory)."""

WANTED_CPM = 0.5
"""What one can reach by filming or recording a little longer, cpm; chosen here."""

_FRAMES_OFF = math.sqrt(2.0 / 3.0)


@dataclass(frozen=True)
class FilmFrequency:
    """A frequency from a film and its standard uncertainty, cpm.

    frames_a_swing: how finely the film shows one swing. miscounted_cpm: what one swing more or less would change.
    """

    frequency_cpm: float
    sd_cpm: float
    swings: int
    frames: int
    frames_a_swing: float
    miscounted_cpm: float


def film_frequency(swings: int, frames: int, frames_per_s: float, rate_error: float = 0.0) -> FilmFrequency:
    """Answer the frequency from a slow-motion film: so many whole swings took so many frames.

    swings: there and back, counted each time the head passes the middle the same way. frames: from the frame of the
    first pass to the frame of the last. frames_per_s: as filmed, not as played. rate_error: standard uncertainty of
    that rate as a fraction of it; 0 if the rate is taken as exact.

    f = 60 swings frames_per_s / frames, in cpm. Each end is read to within a frame, anywhere in it: sd 1/sqrt(3) of a
    frame each, so (u/f)^2 = (2/3)/frames^2 + rate_error^2. Derived; at most one frame off is chosen here.
    Raises ModelError for numbers no film has, and for a film too coarse, too short or too unsure to be a reading.
    """
    rates = math.isfinite(frames_per_s) and 0 < frames_per_s <= 1e6 and 0 <= rate_error < 1
    if not (1 <= swings <= 10**6 and 1 <= frames <= 10**9 and rates):
        raise ModelError(
            f"{swings} swings in {frames} frames at {frames_per_s:g} frames a second, off by {100 * rate_error:g} %",
            "whole swings and frames from 1, a rate above 0, an error of the rate from 0 to below 100 %",
            "count again, and look up the rate",
        )
    frequency, each = 60.0 * swings * frames_per_s / frames, frames / swings
    if each < FEWEST_A_SWING:
        raise ModelError(
            f"a swing takes {say_number(each, 1)} frames",
            f"{FEWEST_A_SWING:g} frames or more, or swings are missed and the club seems slower than it is",
            "film at a higher rate, and check that the rate is that of the filming",
        )
    if not SLOWEST_CPM <= frequency <= FASTEST_CPM:
        raise ModelError(
            f"{counted(swings, 'swing')} in {counted(frames, 'frame')} at {frames_per_s:g} a second are "
            f"{frequency:.1f} cpm",
            f"{SLOWEST_CPM:g} to {FASTEST_CPM:g} cpm, as clubs and shafts swing in a clamp",
            "check whether the film plays at another rate than it was taken at, and count there and back as one swing",
        )
    if swings < FEWEST_SWINGS:
        raise ModelError(f"{counted(swings, 'swing')}", f"{FEWEST_SWINGS} or more", "count more swings on the film")
    sd = frequency * math.hypot(_FRAMES_OFF / frames, rate_error)
    if sd > MOST_UNSURE_CPM:
        raise ModelError(
            f"{frequency:.1f} cpm, but only to {sd:.1f} cpm (standard uncertainty)",
            f"at most {MOST_UNSURE_CPM:g} cpm",
            _more(frequency, frames_per_s, rate_error, MOST_UNSURE_CPM),
        )
    return FilmFrequency(frequency, sd, swings, frames, each, frequency / swings)


def swings_to_film(
    frequency_cpm: float, frames_per_s: float, rate_error: float = 0.0, within_cpm: float = WANTED_CPM
) -> int | None:
    """Return how many swings to count for a standard uncertainty of within_cpm; None if the rate's error forbids it.

    frames_per_s and rate_error as in :func:`film_frequency`, whose equation is solved for the frames; both frequencies
    in cpm.
    """
    left = (within_cpm / frequency_cpm) ** 2 - rate_error**2
    if left <= 0:
        return None
    return math.ceil(_FRAMES_OFF / math.sqrt(left) * frequency_cpm / 60.0 / frames_per_s)


def _more(frequency_cpm: float, frames_per_s: float, rate_error: float, within_cpm: float) -> str:
    swings = swings_to_film(frequency_cpm, frames_per_s, rate_error, within_cpm)
    return "find out the rate more closely" if swings is None else f"count {swings} swings or more, or film faster"
