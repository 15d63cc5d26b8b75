"""The right-hand picture of every lab about one club: its frequency among the set's, between the shaft's flexes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from matplotlib.axes import Axes

from trimkit.club.club import ClubBuild
from trimkit.club.set import SetBuild
from trimkit.parts.units import quantity
from trimkit.study.frame.overlay import Live
from trimkit.study.frame.style import NOW, REFERENCE, SERIES

FLEX_PENS = (SERIES[2], SERIES[1], SERIES[3], SERIES[4])
LENGTH_AXIS = "playing length (in), longer clubs on the left"
NARROW_LENGTH_AXIS = "playing length (in)\nlonger clubs on the left"


def draw_flexes(axes: Axes, clubs: Sequence[ClubBuild]) -> None:
    """Draw the frequency (cpm) of each of the shaft's flexes over playing length (in) along clubs, longest first."""
    lengths = [club.plan.playing_length_in for club in clubs]
    for number, flex in enumerate(clubs[0].flex_scale.flexes):
        draw_flex(axes, number, flex, lengths, [club.flex_scale.frequency_cpm[number] for club in clubs])


def draw_flex(
    axes: Axes, number: int, flex: str, places: Sequence[float], heights: Sequence[float], **look: Any
) -> None:
    """Draw one flex, counted from the softest, as a line with its letter at the right end."""
    pen = FLEX_PENS[number % len(FLEX_PENS)]
    axes.plot(places, heights, color=pen.colour, linestyle=pen.dash, linewidth=1.6, **look)
    end = places[-1], heights[-1]
    axes.annotate(flex, end, xytext=(5, 0), textcoords="offset points", va="center", color="#333333")


def draw_set(axes: Axes, built: SetBuild, reference: ClubBuild) -> Live:
    """Draw the fixed part (the shaft's flexes along the set, the set, the reference) and return what moves.

    The live artists are ``club`` (the marker of the club as it stands now) and ``change`` (its difference in words).
    """
    ordered = sorted(built.clubs, key=lambda club: -club.plan.playing_length_in)
    lengths = [club.plan.playing_length_in for club in ordered]
    everything = [cpm for club in ordered for cpm in club.flex_scale.frequency_cpm]
    draw_flexes(axes, ordered)
    own = [club.frequency_cpm for club in ordered]
    axes.plot(lengths, own, color="#555555", linestyle="none", marker="|", markersize=9, label="the set's clubs")
    before = [reference.plan.playing_length_in], [reference.frequency_cpm]
    axes.plot(*before, **REFERENCE.mark(11, hollow=True), label="before")
    axes.set_xlim(max(lengths) + 0.5, min(lengths) - 0.75)
    axes.set_ylim(5 * (min(everything) // 5) - 10, 5 * (max(everything) // 5) + 15)
    axes.set_xlabel(LENGTH_AXIS, fontsize=12)
    axes.set_ylabel("frequency (cpm)")
    axes.plot([], [], **NOW.mark(10), label="now")
    axes.legend(loc="upper left", fontsize=12, frameon=False, handletextpad=0.2, borderaxespad=0.1)
    (club,) = axes.plot([], [], **NOW.mark(10))
    # The flexes rise to the right, so that the lower right corner is free of their lines.
    place = (min(lengths) - 0.7, axes.get_ylim()[0] + 1.5)
    change = axes.text(*place, "", color=NOW.colour, fontsize=12, ha="right", va="bottom", fontweight="bold")
    return {"club": club, "change": change}


def move_club(live: Live, now: ClubBuild, reference: ClubBuild) -> None:
    """Move the live artists of :func:`draw_set` to the club as it is now."""
    length, cpm = now.plan.playing_length_in, now.frequency_cpm
    live["club"].set(data=([length], [cpm]))
    live["change"].set(text=f"now {quantity(cpm - reference.frequency_cpm, 'cpm', 1, '+')} to before")
