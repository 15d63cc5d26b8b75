"""The dry fit: a bare shaft, the same shaft pushed into a head without glue, and the BBGL as the difference.

Both lie over one ruler, so that the piece by which the second length is more is seen at the ground line.
"""

from __future__ import annotations

from dataclasses import replace

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from trimkit.parts.units import both_units, nearest_mark
from trimkit.study.figures.callouts import INK, WORDS, bare_axes, draw_pieces, label, measure
from trimkit.study.figures.clubdrawing import HOSEL_WALL_IN, draw_club, move_drawn_club
from trimkit.study.figures.set import Picture
from trimkit.study.frame.style import NOW, REFERENCE, styled_figure
from trimkit.trim.plan import TrimPlan

BARE_AT, FITTED_AT = 1.5, -1.5
"""Heights of the axes of the bare shaft and of the one in the head."""
ACROSS = {"whole": 0.9, "head": 1.5}
"""How many heights an inch of diameter has in each picture."""


def dry_fit_picture(plan: TrimPlan) -> Picture:
    """Return the drawing of the dry fit of a club's head on its raw shaft, and the sentence under it.

    Lengths along the shaft are to scale, widths are not.
    """
    with styled_figure(8.2, 5.6) as figure:
        axes = figure.subplot_mosaic([["whole"], ["head"]], height_ratios=(1.35, 1.0))
        bare_axes(*axes.values())
        _draw_whole(axes["whole"], plan)
        _draw_head(axes["head"], plan)
    return Picture(figure, _sentence(plan))


def _lengths_in(plan: TrimPlan) -> tuple[float, float, float]:
    """Bare shaft, butt end to ground, BBGL (in)."""
    bbgl = plan.wanted.head.bbgl_in
    return plan.raw_length_in, plan.raw_length_in + bbgl, bbgl


def _draw_fitted(axes: Axes, plan: TrimPlan, height: float, across: float) -> None:
    """Draw the head with the raw shaft in it: the tip at the bottom of the bore, no saw cut yet, no grip."""
    bbgl = plan.wanted.head.bbgl_in
    _draw_bare(axes, plan, height, across)
    live = draw_club(axes)
    move_drawn_club(live, plan, height=height, across=across)
    for name in ("shaft", "steps", "grip"):
        live[f"drawn {name}"].set_visible(False)
    half = across * plan.wanted.head.bore_diameter_in / 2
    bore = (bbgl, height - half), plan.wanted.head.hosel_top_in - bbgl, 2 * half
    axes.add_patch(Rectangle(*bore, facecolor="#DCEAF4", edgecolor=INK, linestyle="--"))


def _draw_bare(axes: Axes, plan: TrimPlan, height: float, across: float) -> None:
    """Draw the raw shaft alone, its tip as high above the ground line as it is in the head."""
    bare, _to_ground, bbgl = _lengths_in(plan)
    moved = [
        replace(each, from_tip_in=each.from_tip_in + bbgl, to_tip_in=each.to_tip_in + bbgl)
        for each in plan.wanted.shaft.sections
    ]
    draw_pieces(axes, moved, (bbgl, bbgl + bare), height=height, across=across, fills=(NOW.colour,))


def _draw_whole(axes: Axes, plan: TrimPlan) -> None:
    bare, to_ground, bbgl = _lengths_in(plan)
    axes.set(xlim=(-0.6, to_ground + 0.6), ylim=(-4.6, 3.4))
    axes.set_title("1: a bare shaft.  2: the same shaft pushed into the head, without glue", fontsize=12.5)
    _draw_bare(axes, plan, BARE_AT, ACROSS["whole"])
    _draw_fitted(axes, plan, FITTED_AT, ACROSS["whole"])
    _draw_ground(axes, -4.5, 2.4)
    axes.text(0.3, 2.9, "ground line", ha="left", va="center", color=INK, fontsize=WORDS)
    middle = bbgl + bare / 2
    said = f"1: bare shaft, {nearest_mark(bare).text}"
    measure(axes, said, bbgl, bbgl + bare, BARE_AT - 0.75, (middle, BARE_AT - 1.25))
    said = f"2: butt end to ground, {nearest_mark(to_ground).text}"
    measure(axes, said, 0, to_ground, FITTED_AT - 2.2, (middle, FITTED_AT - 2.7))
    label(axes, "tip", (bbgl, BARE_AT + 0.1), (bbgl + 7, 2.9))
    label(axes, "butt end", (bbgl + bare, BARE_AT + 0.2), (bbgl + bare - 2.5, 2.9))


def _draw_head(axes: Axes, plan: TrimPlan) -> None:
    _bare, _to_ground, bbgl = _lengths_in(plan)
    top, half = plan.wanted.head.hosel_top_in, ACROSS["head"] * plan.wanted.head.bore_diameter_in / 2
    axes.set(xlim=(-2.5, 9.5), ylim=(-2.7, 1.7))
    axes.set_title("The head's end of 2, larger", fontsize=12.5)
    _draw_fitted(axes, plan, 0.0, ACROSS["head"])
    _draw_ground(axes, -2.6, 1.2)
    axes.text(0, 1.4, "ground line", ha="center", va="center", color=INK, fontsize=WORDS)
    label(axes, "sole, on the ground", (0, -0.5), (-1.4, 0.55))
    label(axes, "bottom of the bore: the tip rests here", (bbgl, half), (bbgl + 2.4, 1.2))
    label(axes, "hosel", (top - 0.1, -half - ACROSS["head"] * HOSEL_WALL_IN / 2), (top + 0.9, -1.0))
    axes.plot([bbgl, bbgl], [-2.4, half], color=INK, linestyle=":", linewidth=1.1)
    said = f"BBGL = 2 − 1 = {nearest_mark(bbgl).text}"
    measure(axes, said, 0, bbgl, -2.2, (bbgl + 2.0, -2.2))


def _draw_ground(axes: Axes, low: float, high: float) -> None:
    axes.plot([0, 0], [low, high], color=REFERENCE.colour, linestyle=REFERENCE.dash)


def _sentence(plan: TrimPlan) -> str:
    bare, to_ground, bbgl = _lengths_in(plan)
    return (
        f"The dry fit of the {plan.club}: bare, the shaft is {both_units(bare)}; in the head, it is "
        f"{both_units(to_ground)} from the butt end to the ground. The difference is the BBGL, {both_units(bbgl)}. "
        "Lengths are to scale; widths are drawn larger."
    )
