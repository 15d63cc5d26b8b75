"""Lab: how close is close enough. What a shop's scatter does to one club and to a whole set, by first order."""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy as np
from matplotlib.axes import Axes

from trimkit.check.setline import SET_TOLERANCE_CPM
from trimkit.parts.units import both_units
from trimkit.shop.tolerance import Tolerances
from trimkit.study.figures.set import short_name
from trimkit.study.frame.controls import Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import ALLOWED_BAND, NOW, REFERENCE, REFUSED, SERIES, styled_figure
from trimkit.study.labs.closeness import GROUPS, WIDEST_CPM, Closeness, ToleranceParams, class_scatter, how_close

SHOWN_SETS = 40
"""So many sets of the sample are drawn as squares; the first of them as diamonds, joined by a line."""
LOWEST_CPM, HIGHEST_CPM = -14.0, 19.0
WHOLE_SET = SERIES[1]


def _sets(axes: Axes, clubs: tuple[str, ...]) -> Live:
    axes.set(xlim=(-0.6, len(clubs) - 0.4), ylim=(LOWEST_CPM, HIGHEST_CPM), ylabel="off plan (cpm)")
    axes.yaxis.label.set_fontsize(12)
    axes.yaxis.labelpad = 8.0
    axes.set_yticks([-10, -5, 0, 5, 10])
    axes.set_xticks(range(len(clubs)), [short_name(club).replace(" ", "\n") for club in clubs])
    axes.tick_params(labelsize=11)
    axes.axhline(0, color="#333333", linewidth=0.8)
    axes.grid(visible=False, axis="x")
    edge: dict[str, Any] = {"color": ALLOWED_BAND, "linewidth": 2.0}
    return {
        "upper": axes.plot([], [], **edge)[0],
        "lower": axes.plot([], [], **edge)[0],
        # 400 of them: a square is four points to send and to draw, a circle 25
        "within": axes.plot([], [], color=NOW.colour, marker="s", markersize=3.0, alpha=0.5, linestyle="none")[0],
        "outside": axes.plot([], [], color=REFUSED, marker="x", markersize=5, linestyle="none")[0],
        "one set": axes.plot([], [], color="#333333", linewidth=1.6, marker="D", markersize=5)[0],
        "says": axes.text(-0.5, HIGHEST_CPM, "", fontsize=12, ha="left", va="top", color="#333333"),
    }


def _bars(axes: Axes, reference: Closeness) -> Live:
    names = list(GROUPS)
    axes.set(xlim=(0, 150), ylim=(len(names) - 0.5, -0.5), xlabel="% of the variance (tick: before)")
    axes.set_xticks([0, 50, 100])
    axes.set_yticks(range(len(names)), names)
    axes.tick_params(labelsize=10.5)
    axes.xaxis.label.set_fontsize(12)
    axes.grid(visible=False, axis="y")
    live: Live = {}
    for place, name in enumerate(names):
        before = 100 * reference.shares[name]
        axes.plot([before, before], [place - 0.4, place + 0.4], color=REFERENCE.colour, linewidth=2.0)
        live[f"bar {name}"] = axes.plot([], [], color=NOW.colour, linewidth=9, solid_capstyle="butt")[0]
        live[f"part {name}"] = axes.text(149, place, "", fontsize=10.5, ha="right", va="center")
    return live


def _chances(axes: Axes, reference: Closeness) -> Live:
    axes.set(xlim=(0, WIDEST_CPM), ylim=(0, 105), xlabel="allowed difference (cpm)", ylabel="kept within (%)")
    axes.tick_params(labelsize=12)
    for label in (axes.xaxis.label, axes.yaxis.label):
        label.set_fontsize(12)
    ghost: dict[str, Any] = {"color": REFERENCE.colour, "linestyle": REFERENCE.dash, "linewidth": 1.4}
    there, *both = reference.curves
    for curve in both:
        axes.plot(there, curve, **ghost)
    live: Live = {}
    for name, pen in (("one club", NOW), ("whole set", WHOLE_SET)):
        live[f"curve {name}"] = axes.plot([], [], color=pen.colour, linestyle=pen.dash, linewidth=2.4)[0]
        live[f"point {name}"] = axes.plot([], [], color=pen.colour, marker=pen.marker, markersize=10, ls="none")[0]
        axes.plot([], [], color=pen.colour, linestyle=pen.dash, marker=pen.marker, markersize=7, label=name)
    axes.legend(loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=2, fontsize=10.5, frameon=False, borderaxespad=0.1)
    return live


def _scene(reference: Closeness) -> Scene:
    with styled_figure() as figure:
        grid = figure.add_gridspec(2, 2, height_ratios=(1.0, 1.0), width_ratios=(1.0, 1.1))
        live = _sets(figure.add_subplot(grid[0, :]), reference.budget.clubs)
        live |= _bars(figure.add_subplot(grid[1, 0]), reference)
        live |= _chances(figure.add_subplot(grid[1, 1]), reference)
    return Scene(figure, live)


def _draw(live: Live, now: Closeness, _reference: Closeness) -> None:
    allowed = now.params.allowed_cpm
    shown = now.sample.deviation_cpm[:SHOWN_SETS]
    count = shown.shape[1]
    places = np.broadcast_to(np.arange(count), shape=shown.shape) + np.linspace(-0.3, 0.3, len(shown))[:, None]
    within = np.abs(shown) <= allowed
    for name, chosen in (("within", within), ("outside", ~within)):
        live[name].set(data=(places[chosen], shown[chosen]))
    live["one set"].set(data=(np.arange(count), shown[0]))
    for name, sign in (("upper", 1), ("lower", -1)):
        live[name].set(data=([-0.6, count - 0.4], [sign * allowed, sign * allowed]))
    out = int((~within[0]).sum())
    live["says"].set(text=f"diamonds: one set, joined; {out} of its {count} clubs outside ±{allowed:g} cpm")
    for place, (name, part) in enumerate(now.shares.items()):
        live[f"bar {name}"].set(data=([0, 100 * part], [place, place]))
        live[f"part {name}"].set(text=percent(part))
    there, one, whole = now.curves
    points = 100 * float(now.club_fractions.mean()), 100 * now.sample.set_probability.value
    for name, curve, point in zip(("one club", "whole set"), (one, whole), points, strict=True):
        live[f"curve {name}"].set(data=(there, curve))
        live[f"point {name}"].set(data=([allowed], [point]))


def percent(fraction: float) -> str:
    """Return a fraction (0 to 1) in percent, with one decimal place, or two where it is small.

    >>> percent(0.798), percent(0.0061)
    ('79.8 %', '0.61 %')
    """
    return f"{100 * fraction:.{1 if fraction >= 0.0995 else 2}f} %"


def _read(now: Closeness) -> tuple[Readout, ...]:
    parts, whole = 100 * now.club_fractions, now.sample.set_probability
    mean, spread = float(parts.mean()), now.budget.sd_cpm
    low, high = (100 * each for each in whole.interval)
    return (
        Readout("one club within", mean, "%", 1),
        Readout("all ten", 100 * whole.value, "%", 1),
        Readout("least to most by club", mean, "%", 1, f"{parts.min():.1f} to {parts.max():.1f} %", compare=False),
        Readout("all ten, 95 % interval", 100 * whole.value, "%", 1, f"{low:.1f} to {high:.1f} %", compare=False),
        Readout("a club spreads (sd)", float(np.sqrt((spread**2).mean())), "cpm", 2),
        Readout("±cpm for 9 sets of 10", now.likely_cpm, "cpm", 1),
    )


def _describe(now: Closeness, _reference: Closeness) -> str:
    asked, parts = now.params, 100 * now.club_fractions
    return (
        f"±{asked.allowed_cpm:g} cpm allowed; scatter of EI ±{asked.ei_percent:g} %, wall ±{asked.wall_percent:g} %, "
        f"lengths ±{both_units(asked.lengths_in, 64)}, head ±{asked.head_mass_g:g} g: one club (mean of the ten) keeps "
        f"within in {parts.mean():.1f} % of sets, all ten in {100 * now.sample.set_probability.value:.1f} % (the ten "
        f"chances multiplied: {100 * now.independent:.1f} %). Most of the variance comes from {now.first}: "
        f"{percent(now.shares[now.first])}."
    )


def tolerance_lab() -> Lab[ToleranceParams, Closeness]:
    """Return the lab on scatter: the demo set of ten clubs, what varies from club to club, and what is allowed."""
    usual = Tolerances()
    return Lab(
        title="Sets built with a shop's scatter, what brings it, and how often club and set keep within",
        controls=(
            Slider(
                "allowed_cpm",
                "allowed difference ±",
                "cpm",
                0.5,
                6.0,
                0.25,
                SET_TOLERANCE_CPM,
                on_page=(1.0, 1.5, 2.0, 3.0, 4.0),
            ),
            Slider(
                "ei_percent", "EI, shaft to shaft ±", "%", 0.0, 3.0, 0.25, usual.ei_percent, on_page=(0.5, 1.0, 2.0)
            ),
            Slider(
                "wall_percent", "wall, shaft to shaft ±", "%", 0.0, 2.0, 0.25, usual.wall_percent, on_page=(0.5, 1.0)
            ),
            Slider(
                "lengths_in",
                "cuts, BBGL, clamp ±",
                "in",
                0.0,
                0.125,
                1 / 64,
                usual.tip_trim_in,
                on_page=(1 / 64, 1 / 32, 1 / 8),
            ),
            Slider("head_mass_g", "head mass ±", "g", 0.0, 3.0, 0.25, usual.head_mass_g, on_page=(0.5,)),
        ),
        params=ToleranceParams,
        compute=partial(how_close, class_scatter()),
        build=_scene,
        draw=_draw,
        read=_read,
        describe=_describe,
    )
