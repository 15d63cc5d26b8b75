"""A club with its parts named, the raw shaft that its shaft was cut from, and the two ends of the club larger.

Club and raw shaft lie over one ruler, so that the piece that is kept is right under the place it has in the club.
"""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from trimkit.parts.units import both_units, nearest_mark
from trimkit.study.figures.callouts import INK, WORDS, bare_axes, draw_pieces, label, measure
from trimkit.study.figures.clubdrawing import HOSEL_WALL_IN, draw_club, move_drawn_club
from trimkit.study.figures.set import Picture
from trimkit.study.frame.style import REFERENCE, REFUSED, styled_figure
from trimkit.trim.plan import TrimPlan

CLUB_AT, RAW_AT = 2.3, -0.9
"""Heights of the axes of club and raw shaft."""
ACROSS = {"both": 0.8, "end": 1.5}
"""How many heights an inch of diameter has in each picture."""


def club_parts_picture(plan: TrimPlan) -> Picture:
    """Return the labelled drawing of a planned club and of its raw shaft with both cuts, and the sentence under it.

    plan: of a club whose shaft is cut at both ends. Lengths along the shaft are to scale, widths are not.
    """
    with styled_figure(8.2, 7.0) as figure:
        axes = figure.subplot_mosaic([["both", "both"], ["head", "grip"]], height_ratios=(1.75, 1.0))
        bare_axes(*axes.values())
        _draw_both(axes["both"], plan)
        _draw_head_end(axes["head"], plan)
        _draw_grip_end(axes["grip"], plan)
    return Picture(figure, _sentence(plan))


def _sentence(plan: TrimPlan) -> str:
    return (
        f"The {plan.club} on its side, and its raw shaft of {both_units(plan.raw_length_in)}. The tip trim of "
        f"{both_units(plan.tip_trim_in)} and the butt trim of {both_units(plan.butt_trim_in)} are waste. The cut "
        f"length of {both_units(plan.cut_length_in)} becomes the club's shaft. Lengths are to scale; widths are drawn "
        "larger. The sign ≈ marks the nearest sixteenth of an inch."
    )


def _draw_both(axes: Axes, plan: TrimPlan) -> None:
    wanted, trim = plan.wanted, plan.tip_trim_in
    ground = trim - wanted.bbgl_in
    end, kept = ground + plan.playing_length_in, trim + plan.cut_length_in
    axes.set(xlim=(-0.6, plan.raw_length_in + 0.6), ylim=(-3.1, 4.0))
    axes.set_title("A club on its side, and under it the raw shaft it was made from", fontsize=12.5)
    move_drawn_club(draw_club(axes), plan, ground_at=ground, height=CLUB_AT, across=ACROSS["both"])
    axes.plot([ground, ground], [0.25, 3.6], color=REFERENCE.colour, linestyle=REFERENCE.dash)
    axes.text(ground - 0.25, 3.45, "ground\nline", ha="right", va="center", color=INK, fontsize=WORDS)
    steps = [section.from_tip_in for section in wanted.shaft.sections[1:]]
    half = ACROSS["both"] * wanted.shaft.butt_diameter_in / 2
    grip_from = end - wanted.grip.grip_length_in
    label(axes, "head", (ground + 0.7, CLUB_AT - 0.75), (ground + 3.4, 1.25))
    label(axes, "hosel", (ground + 1.9, CLUB_AT + 0.2), (ground + 2.6, 3.65))
    label(axes, "first step", (steps[0], CLUB_AT + half), (steps[0] + 1.0, 3.65))
    label(axes, "another step", (steps[5], CLUB_AT + half), (steps[5], 3.65))
    label(axes, "shaft", ((steps[9] + steps[10]) / 2, CLUB_AT + half), (steps[10], 3.65))
    label(axes, "grip", ((grip_from + end) / 2, CLUB_AT + half), ((grip_from + end) / 2, 3.65))
    middle = (ground + end) / 2 + 1.5
    words = f"playing length {nearest_mark(plan.playing_length_in).text}"
    measure(axes, words, ground, end, 0.45, (middle, 0.8))
    for place in (trim, kept):
        axes.plot([place, place], [RAW_AT + 0.45, CLUB_AT - 0.25], color=INK, linestyle=":", linewidth=1.1)
    _draw_raw(axes, plan)


def _draw_raw(axes: Axes, plan: TrimPlan) -> None:
    """Draw the raw shaft in its three pieces, each filled as in the ruler of the labs, with both saw cuts."""
    trim, kept, raw = plan.tip_trim_in, plan.tip_trim_in + plan.cut_length_in, plan.raw_length_in
    edges = (0, trim, kept, raw)
    draw_pieces(axes, plan.wanted.shaft.sections, edges, height=RAW_AT, across=ACROSS["both"])
    for place in (trim, kept):
        axes.plot([place, place], [RAW_AT - 0.45, RAW_AT + 0.45], color=REFUSED, linewidth=2.2)
    axes.text(0, RAW_AT + 0.6, "tip", va="center", color=INK, fontsize=WORDS)
    axes.text(raw, RAW_AT + 0.6, "butt", ha="right", va="center", color=INK, fontsize=WORDS)
    pieces = (
        (0, "left", f"tip trim {nearest_mark(trim).text}:\nwaste"),
        ((trim + kept) / 2, "center", f"cut length {nearest_mark(plan.cut_length_in).text}:\nthe club's shaft"),
        (raw, "right", f"butt trim {nearest_mark(plan.butt_trim_in).text}:\nwaste"),
    )
    for at, side, words in pieces:
        axes.text(at, RAW_AT - 0.95, words, ha=side, va="center", color=INK, fontsize=WORDS)
    measure(axes, f"raw length {nearest_mark(raw).text}", 0, raw, RAW_AT - 1.6, (raw / 2, RAW_AT - 1.95))


def _draw_head_end(axes: Axes, plan: TrimPlan) -> None:
    wanted, across = plan.wanted, ACROSS["end"]
    tip, top = wanted.bbgl_in, wanted.head.hosel_top_in
    axes.set(xlim=(-1.0, 5.0), ylim=(-2.6, 1.6))
    axes.set_title("The head's end, larger", fontsize=12.5)
    move_drawn_club(draw_club(axes), plan, across=across)
    axes.plot([0, 0], [-2.5, 1.2], color=REFERENCE.colour, linestyle=REFERENCE.dash)
    axes.text(0, 1.4, "ground line", ha="center", va="center", color=INK, fontsize=WORDS)
    half = across * wanted.head.bore_diameter_in / 2
    axes.add_patch(Rectangle((tip, -half), top - tip, 2 * half, facecolor="#DCEAF4", edgecolor=INK, linestyle="--"))
    label(axes, "tip of the shaft", (tip, -half), (tip + 2.6, -1.55))
    label(axes, "bore", ((tip + top) / 2, half), ((tip + top) / 2 + 0.25, 1.0))
    label(axes, "hosel", (top - 0.1, -half - across * HOSEL_WALL_IN / 2), (top + 0.9, -0.8))
    measure(axes, "BBGL", 0, tip, -2.2, (tip + 0.65, -2.2))
    axes.plot([tip, tip], [-2.35, half], color=INK, linestyle=":", linewidth=1.1)


def _draw_grip_end(axes: Axes, plan: TrimPlan) -> None:
    wanted, across, end = plan.wanted, ACROSS["end"], plan.playing_length_in
    butt = end - wanted.grip.cap_thickness_in
    axes.set(xlim=(end - 4.6, end + 1.4), ylim=(-2.6, 1.6))
    axes.set_title("The grip's end, larger", fontsize=12.5)
    move_drawn_club(draw_club(axes), plan, across=across)
    half = across * wanted.grip.core_diameter_in / 2
    inside = Rectangle((end - 8, -half), butt - end + 8, 2 * half, facecolor="#DCEAF4", edgecolor=INK, linestyle="--")
    axes.add_patch(inside)
    label(axes, "butt of the shaft", (butt, -half * 0.6), (butt - 1.6, -1.5))
    label(axes, "cap", (end - wanted.grip.cap_thickness_in / 2, half * 0.7), (end + 0.5, 1.25))
    label(axes, "grip", (end - 3, half * 1.15), (end - 2.6, 1.25))
