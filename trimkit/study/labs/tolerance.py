"""Lab: how close is close enough. What a shop's scatter does to one club and to a whole set, by first order."""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from trimkit.check.setline import SET_TOLERANCE_CPM
from trimkit.parts.units import both_units
from trimkit.shop.tolerance import Tolerances
from trimkit.study.frame.controls import Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import ALLOWED_BAND, NOW, REFERENCE, REFUSED, SERIES, styled_figure, without_y
from trimkit.study.labs.closeness import GROUPS, Closeness, ToleranceParams, class_scatter, how_close

SHOWN_SETS = 20
"""So many sets of the sample are drawn, side by side."""
LOWEST_CPM, HIGHEST_CPM = -15.0, 19.0
GOOD_AT_CPM = -13.0
"""Where the mark of a good set is, cpm of the picture."""
ROOM_CPM = {"EI": 5.3, "wall": 3.6, "BBGL": 3.2, "cuts,\nclamp": 3.3, "masses": 4.4, "one club": 6.7}
"""Names under the squares, and how wide the place of each is, in cpm of the lower picture."""
TALLEST_CPM = 6.5


def _sets(axes: Axes) -> Live:
    axes.set(xlim=(0.4, SHOWN_SETS + 0.6), ylim=(LOWEST_CPM, HIGHEST_CPM))
    axes.set_ylabel("off plan (cpm)", labelpad=10)  # in a narrow cell the letters grow
    axes.set_xlabel(f"{SHOWN_SETS} sets, ten clubs side by side in each", labelpad=2)
    axes.set_yticks([-10, 0, 10])
    axes.set_xticks([])
    for label in (axes.xaxis.label, axes.yaxis.label):
        label.set_fontsize(12)
    axes.axhline(0, color="#333333", linewidth=0.8)
    axes.grid(visible=False, axis="x")
    edge: dict[str, Any] = {"color": ALLOWED_BAND, "linewidth": 2.0}
    return {
        "upper": axes.plot([], [], **edge)[0],
        "lower": axes.plot([], [], **edge)[0],
        "within": axes.plot([], [], color=NOW.colour, marker="s", markersize=3.5, alpha=0.6, linestyle="none")[0],
        "outside": axes.plot([], [], color=REFUSED, marker="x", markersize=5.5, linestyle="none")[0],
        "good": axes.plot([], [], color=SERIES[2].colour, marker="^", markersize=9, linestyle="none")[0],
        "says": axes.text(0.6, HIGHEST_CPM, "", fontsize=12, ha="left", va="top", color="#333333"),
    }


def _squares(axes: Axes, reference: Closeness) -> Live:
    without_y(axes)
    axes.set_xticks([])
    axes.spines["bottom"].set_visible(False)
    axes.set(xlim=(-0.2, sum(ROOM_CPM.values())), ylim=(-3.6, TALLEST_CPM), aspect="equal", anchor="W")
    said = "Side: ± in cpm. The five areas add up to the last."
    axes.text(0, TALLEST_CPM, said, fontsize=12, va="top", color="#333333")
    axes.plot([0, axes.get_xlim()[1]], [0, 0], color="#333333", linewidth=0.8)
    live: Live = {}
    at = 0.0
    before = [*reference.group_cpm.values(), reference.club_cpm]
    for (said, room), name, side in zip(ROOM_CPM.items(), (*GROUPS, "one club"), before, strict=True):
        ghost: dict[str, Any] = {"facecolor": "none", "edgecolor": REFERENCE.colour, "linestyle": "--"}
        axes.add_patch(Rectangle((at, 0), side, side, linewidth=1.5, **ghost))
        colour = SERIES[1].colour if name == "one club" else NOW.colour
        live[f"square {name}"] = axes.add_patch(
            Rectangle((at, 0), 0, 0, facecolor=colour, alpha=0.45, edgecolor=colour, linewidth=1.5)
        )
        live[f"side {name}"] = axes.text(at, -0.2, "", fontsize=12, va="top")
        for row, line in enumerate(said.split("\n")):
            axes.text(at, -1.95 - 0.95 * row, line, fontsize=12)
        at += room
    axes.text(at - room - 0.9, 0.3, "=", fontsize=14, ha="center")
    return live


def _scene(reference: Closeness) -> Scene:
    with styled_figure() as figure:
        upper, lower = figure.subplots(2, 1, height_ratios=(1.0, 1.35))
        live = _sets(upper) | _squares(lower, reference)
    return Scene(figure, live)


def _draw(live: Live, now: Closeness, _reference: Closeness) -> None:
    allowed = now.params.allowed_cpm
    shown = now.sample.deviation_cpm[:SHOWN_SETS]
    count = shown.shape[1]
    columns = np.arange(1, len(shown) + 1)
    places = columns[:, None] + np.linspace(-0.33, 0.33, count)
    within = np.abs(shown) <= allowed
    for name, chosen in (("within", within), ("outside", ~within)):
        live[name].set(data=(places[chosen], shown[chosen]))
    good = columns[within.all(axis=1)]
    live["good"].set(data=(good, np.full(len(good), GOOD_AT_CPM)))
    for name, sign in (("upper", 1), ("lower", -1)):
        live[name].set(data=([0.4, len(shown) + 0.6], [sign * allowed, sign * allowed]))
    live["says"].set(
        text=f"within {allowed:g} cpm: {int(within.sum())} of {within.size} clubs, {len(good)} of {len(shown)} sets (▲)"
    )
    for name, side in (now.group_cpm | {"one club": now.club_cpm}).items():
        live[f"square {name}"].set(width=side, height=side)
        live[f"side {name}"].set(text=f"±{side:.1f}")


def percent(fraction: float) -> str:
    """Return a fraction (0 to 1) in percent, with one decimal place, or two where it is small.

    >>> percent(0.798), percent(0.0061)
    ('79.8 %', '0.61 %')
    """
    return f"{100 * fraction:.{1 if fraction >= 0.0995 else 2}f} %"


def _read(now: Closeness) -> tuple[Readout, ...]:
    return (
        Readout("one club within", 100 * float(now.club_fractions.mean()), "%", 1),
        Readout("all ten within", 100 * now.sample.set_probability.value, "%", 1),
        Readout("one club: ±", now.club_cpm, "cpm", 2),
        Readout("to allow for 9 sets of 10", now.likely_cpm, "cpm", 1),
    )


def _describe(now: Closeness, _reference: Closeness) -> str:
    asked, clubs, sets = now.params, now.club_fractions.mean(), now.sample.set_probability.value
    return (
        f"With EI ±{asked.ei_percent:g} %, wall ±{asked.wall_percent:g} %, lengths ±{both_units(asked.lengths_in, 64)} "
        f"and head ±{asked.head_mass_g:g} g, 19 clubs in 20 come out within {now.club_cpm:.1f} cpm of their plan; "
        f"the largest share is {now.first}, {percent(now.shares[now.first])} of the square. {100 * clubs:.1f} % of the "
        f"clubs are within {asked.allowed_cpm:g} cpm, and all ten clubs in {100 * sets:.1f} % of the sets."
    )


def tolerance_lab() -> Lab[ToleranceParams, Closeness]:
    """Return the lab on scatter: the demo set of ten clubs, what varies from club to club, and what is allowed."""
    usual = Tolerances()
    return Lab(
        title="Sets built with a shop's scatter, and how much each error counts",
        controls=(
            Slider(
                "allowed_cpm",
                "allowed difference",
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
