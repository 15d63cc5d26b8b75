"""The shaft as a ruler, to scale: tip cut, cut length, butt cut; shared by the labs that cut."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from trimkit.parts.components import Shaft
from trimkit.parts.units import ruled
from trimkit.study.frame.overlay import Live
from trimkit.study.frame.style import NOW, REFERENCE, REFUSED, SERIES, without_y

TALL = 0.5
PIECES = (("tip cut", REFUSED), ("shaft", NOW.colour), ("butt cut", SERIES[2].colour))
SAID = {"tip cut": "tip trim", "shaft": "cut length", "butt cut": "butt trim"}
"""What is written at each piece: the length it has."""


def draw_ruler(axes: Axes, shaft: Shaft, tip_trim_in: float, cut_length_in: float) -> Live:
    """Draw the raw shaft's axis (in) and the ghost of two cuts (in); return what moves: three pieces and their words.

    The shaft lies from 0 to TALL in height; the words need a height of 1.5, or more below it as the lab likes.
    """
    without_y(axes)
    axes.set_xlabel("distance from the raw tip (in)")
    for place in (tip_trim_in, tip_trim_in + cut_length_in):
        axes.plot([place, place], [-0.25, TALL + 0.35], color=REFERENCE.colour, linestyle=REFERENCE.dash)
    live: Live = {}
    for name, colour in PIECES:
        live[name] = axes.add_patch(Rectangle((0, 0), 1, TALL, facecolor=colour, alpha=0.35, edgecolor=colour))
    steps = [section.from_tip_in for section in shaft.sections[1:]]
    live["steps"] = axes.vlines(steps, 0, TALL, color="#333333", linewidth=1.0)
    for name, _colour in PIECES:
        live[f"{name} text"] = axes.text(0, 0, "", color="#333333", fontsize=12)
    return live


def move_ruler(live: Live, raw_length_in: float, tip_trim_in: float, cut_length_in: float) -> None:
    """Put the pieces where the cuts (in) are; a shaft that is too short is drawn to its end and has no butt cut."""
    upper = min(tip_trim_in + cut_length_in, raw_length_in)
    edges = (0.0, tip_trim_in, upper, raw_length_in)
    for number, (name, _colour) in enumerate(PIECES):
        low, high = edges[number], edges[number + 1]
        live[name].set(bounds=(low, 0, high - low, TALL))
        at, anchor = ((low + high) / 2, "center")
        if number != 1:
            at, anchor = (low, "left") if number == 0 else (high, "right")
        height = TALL + (0.12 if number == 1 else 0.55)
        live[f"{name} text"].set(position=(at, height), text=f"{SAID[name]} {ruled(high - low)}", ha=anchor)
