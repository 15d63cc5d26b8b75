"""A frequency found without a machine, in words: how sure it is, what it rests on, what would make it surer."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from trimkit.shop.swings import WANTED_CPM, FilmFrequency, swings_to_film

if TYPE_CHECKING:
    from trimkit.shop.swingseries import SeriesFrequency

CAUTION = (
    "Caution: the club springs back when it is let go. Wear eye protection, tighten the clamp, pull the head only\n"
    "a little, and keep your head and everybody else clear of its path."
)


def film_lines(found: FilmFrequency, frames_per_s: float, rate_error: float = 0.0) -> list[str]:
    """Return a frequency from a film in lines: cpm, how sure it is, and how many swings would make it surer.

    frames_per_s, rate_error: as :func:`trimkit.shop.swings.film_frequency` was given them.
    """
    rate, off = frames_per_s, rate_error
    lines = [
        f"{found.frequency_cpm:.1f} cpm, standard uncertainty {_sure(found.sd_cpm)} cpm: {found.swings} swings in "
        f"{found.frames} frames at {rate:g} a second.",
        "  u = f sqrt(2/3 / frames^2 + rate error^2): up to a frame off at each end; derived here. "
        + ("The rate is taken as exact." if not off else f"The rate is taken as good to {100 * off:g} %."),
        f"  {found.frames_a_swing:.1f} frames a swing. One swing miscounted would change it by "
        f"{found.miscounted_cpm:.0f} cpm: count twice.",
    ]
    if found.sd_cpm > WANTED_CPM:
        needed = swings_to_film(found.frequency_cpm, rate, off)
        surer = "find out the rate more closely: it alone is off by more" if needed is None else f"{needed} swings"
        lines.append(f"  For {WANTED_CPM:g} cpm: {surer}.")
    return lines


def series_lines(found: SeriesFrequency) -> list[str]:
    """Return a frequency from a sensor's readings in lines: what each of the two ways found, and how sure it is."""
    slower = found.frequency_cpm * ((1 - found.damping**2) ** -0.5 - 1)
    rows = (
        ("passes", f"{found.passes_cpm:.2f} cpm, {_sure(found.passes_sd_cpm)} (passes through the middle)"),
        ("spectrum", f"{found.spectrum_cpm:.2f} cpm, {_sure(found.spectrum_sd_cpm)} (its highest peak)"),
        ("decay", f"zeta {100 * found.damping:.2f} %; without it {slower:.3f} cpm more, nothing at the bench"),
        ("not in it", f"an error of the sensor's clock: 0.1 % of it is {found.frequency_cpm / 1000:.1f} cpm"),
    )
    lines = [
        f"{found.frequency_cpm:.1f} cpm, standard uncertainty {_sure(found.sd_cpm)} cpm: {found.swings:g} swings in "
        f"{found.span_s:.1f} s, {found.readings_a_swing:.0f} readings a swing.",
        *_columns(rows),
    ]
    if found.sd_cpm > WANTED_CPM:
        lines.append("  Surer: record longer, pull a little further, or bring the sensor nearer to the head.")
    lines.append("  Turn the club a quarter in the clamp and record again: the two should agree.")
    return lines


def _columns(rows: Iterable[tuple[str, str]]) -> list[str]:
    return [f"  {name:<10} {words}" for name, words in rows]


def _sure(sd_cpm: float) -> str:
    """Return a standard uncertainty in words: two decimals, never as nothing."""
    return f"{sd_cpm:.2f}" if sd_cpm >= 0.005 else "below 0.01"
