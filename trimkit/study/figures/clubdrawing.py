"""A club on its side, to scale along the shaft: head, hosel, shaft with its steps, grip; widths are drawn larger.

x: inches along the shaft, from the ground line (0) to the end of the grip's cap. The head's outline is a sketch.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Polygon

from trimkit.club.profiles import sections_at_raw_length
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.profile import SAME_PLACE_IN
from trimkit.parts.components import HeadKind, TipKind
from trimkit.study.frame.overlay import Live
from trimkit.study.frame.style import NOW
from trimkit.trim.plan import TrimPlan

BLADE = ((0.35, 0.3), (0.0, -0.1), (0.0, -1.1), (0.5, -2.6), (1.6, -2.5), (1.35, -0.9), (0.9, -0.3))
"""Outline of an iron's or a wedge's head seen from the front: along the shaft, across it (widths of the hosel)."""
BULB = ((0.35, 0.3), (0.0, -0.1), (0.0, -1.4), (0.2, -2.6), (1.0, -3.0), (1.7, -2.5), (1.8, -1.2), (1.1, -0.3))
"""The same of a hybrid or a wood."""
FILLS = (("head", "#B9D4E8"), ("shaft", "#DCEAF4"), ("hosel", "#7FB2D6"), ("grip", "#444444"))
HOSEL_WALL_IN = 0.08


def draw_club(axes: Axes, colour: str = NOW.colour) -> Live:
    """Draw the four parts of a club without a place yet, and return them: ``drawn head``, ``drawn shaft``..."""
    live: Live = {}
    for name, fill in FILLS:
        live[f"drawn {name}"] = axes.add_patch(Polygon([(0, 0)], facecolor=fill, edgecolor=colour, linewidth=1.2))
    live["drawn steps"] = axes.vlines([], 0, 0, color="#333333", linewidth=1.0)
    return live


def move_drawn_club(
    live: Live, plan: TrimPlan, *, ground_at: float = 0.0, height: float = 0.0, across: float = 0.8
) -> None:
    """Put the parts of :func:`draw_club` where the plan has them.

    ground_at: x of the ground line, in. height: y of the shaft's axis. across: heights in y for an inch of diameter.
    """
    wanted, head = plan.wanted, plan.wanted.head
    taper = wanted.shaft.tip_kind is TipKind.TAPER
    sections = sections_at_raw_length(wanted.shaft, plan.raw_length_in) if taper else wanted.shaft.sections
    tip_section_in = wanted.shaft.tip_section_in - (wanted.shaft.raw_length_in - plan.raw_length_in) * taper
    tip_at, end = ground_at + wanted.bbgl_in, ground_at + plan.playing_length_in
    right, steps = [], []
    for section in sections:
        low, high = (tip_at - plan.tip_trim_in + place for place in (section.from_tip_in, section.to_tip_in))
        low, high = max(low, tip_at), min(high, tip_at + plan.cut_length_in)
        if high > low:
            half = across * section.outer_diameter_in / 2
            right += [(low, half), (high, half)]
            if section.from_tip_in > tip_section_in - SAME_PLACE_IN:  # the pieces of a cone below are no steps
                steps.append([(low, height - half), (low, height + half)])
    rim = across * (head.bore_diameter_in / 2 + HOSEL_WALL_IN)
    butt = across * wanted.grip.core_diameter_in / 2
    foot, top = ground_at + 0.15, ground_at + head.hosel_top_in
    grip = [(end - wanted.grip.grip_length_in, 1.1 * butt), (end, 1.7 * butt)]
    outline = BLADE if head.kind in (HeadKind.IRON, HeadKind.WEDGE) else BULB
    shapes = {
        "head": np.add(np.multiply(outline, (1, 2 * rim)), (ground_at, height)),
        "shaft": _both_sides(right, height),
        "hosel": _both_sides([(foot, rim), (top, rim)], height),
        "grip": _both_sides(grip, height),
    }
    for name, shape in shapes.items():
        live[f"drawn {name}"].set(xy=shape)
    seen = [step for step in steps if top < step[0][0] < grip[0][0]]
    live["drawn steps"].set(segments=seen)


def _both_sides(upper: Sequence[tuple[float, float]], height: float) -> Floats:
    return np.add([*upper, *((x, -y) for x, y in reversed(upper))], (0, height))
