"""A club with its parts named, the raw shaft that its shaft was cut from, and the two ends of the club larger.

Club and raw shaft lie over one ruler, so that the piece that is kept is right under the place it has in the club.
"""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.colors import to_rgba
from matplotlib.patches import Rectangle

from trimkit.parts.units import both_units, nearest_mark
from trimkit.study.figures.clubdrawing import HOSEL_WALL_IN, draw_club, move_drawn_club
from trimkit.study.figures.set import Picture
from trimkit.study.figures.shaftruler import PIECES
from trimkit.study.frame.style import REFERENCE, REFUSED, styled_figure, without_y
from trimkit.trim.plan import TrimPlan

WORDS = 11.5
"""Size of the letters, points."""
INK = "#333333"
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
        for each in axes.values():
            without_y(each)
            each.set_xticks([])
            each.spines["bottom"].set_visible(False)
        _draw_both(axes["both"], plan)
        _draw_head_end(axes["head"], plan)
        _draw_grip_end(axes["grip"], plan)
    return Picture(figure, _sentence(plan))


def _sentence(plan: TrimPlan) -> str:
    return (
        f"The {plan.club} on its side, and its raw shaft of {both_units(plan.raw_length_in)}. The tip trim of "
        f"{both_units(plan.tip_trim_in)} and the butt trim of {both_units(plan.butt_trim_in)} are waste. The cut "
        f"length of {both_units(plan.cut_length_in)} becomes the club's shaft. Lengths are to scale; widths are drawn "
        "larger."
    )


def _label(axes: Axes, words: str, at: tuple[float, float], text_at: tuple[float, float], side: str = "center") -> None:
    """Write words with a leader line from them to a place."""
    line = {"arrowstyle": "-", "color": INK, "linewidth": 0.9, "shrinkA": 1, "shrinkB": 0}
    axes.annotate(words, at, text_at, ha=side, va="center", color=INK, fontsize=WORDS, arrowprops=line)


def _measure(axes: Axes, words: str, low: float, high: float, height: float, words_at: tuple[float, float]) -> None:
    """Draw a dimension line from low to high, with its words."""
    line = {"arrowstyle": "<|-|>", "color": INK, "linewidth": 1.0, "shrinkA": 0, "shrinkB": 0, "mutation_scale": 9}
    axes.annotate("", (high, height), (low, height), arrowprops=line)
    axes.text(*words_at, words, ha="center", va="center", color=INK, fontsize=WORDS)


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
    _label(axes, "head", (ground + 0.7, CLUB_AT - 0.75), (ground + 3.4, 1.25))
    _label(axes, "hosel", (ground + 1.9, CLUB_AT + 0.2), (ground + 2.6, 3.65))
    _label(axes, "first step", (steps[0], CLUB_AT + half), (steps[0] + 1.0, 3.65))
    _label(axes, "another step", (steps[5], CLUB_AT + half), (steps[5], 3.65))
    _label(axes, "shaft", ((steps[9] + steps[10]) / 2, CLUB_AT + half), (steps[10], 3.65))
    _label(axes, "grip", ((grip_from + end) / 2, CLUB_AT + half), ((grip_from + end) / 2, 3.65))
    middle = (ground + end) / 2 + 1.5
    words = f"playing length {nearest_mark(plan.playing_length_in).text}"
    _measure(axes, words, ground, end, 0.45, (middle, 0.8))
    for place in (trim, kept):
        axes.plot([place, place], [RAW_AT + 0.45, CLUB_AT - 0.25], color=INK, linestyle=":", linewidth=1.1)
    _draw_raw(axes, plan)


def _draw_raw(axes: Axes, plan: TrimPlan) -> None:
    """Draw the raw shaft in its three pieces, each filled as in the ruler of the labs, with both saw cuts."""
    trim, kept, raw = plan.tip_trim_in, plan.tip_trim_in + plan.cut_length_in, plan.raw_length_in
    across = ACROSS["both"]
    for (_name, colour), low, high in zip(PIECES, (0, trim, kept), (trim, kept, raw), strict=True):
        for section in plan.wanted.shaft.sections:
            left, right = max(low, section.from_tip_in), min(high, section.to_tip_in)
            if right > left:
                half = across * section.outer_diameter_in / 2
                tube = (left, RAW_AT - half), right - left, 2 * half
                axes.add_patch(Rectangle(*tube, facecolor=to_rgba(colour, 0.3), edgecolor=INK, linewidth=0.8))
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
    _measure(axes, f"raw length {nearest_mark(raw).text}", 0, raw, RAW_AT - 1.6, (raw / 2, RAW_AT - 1.95))


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
    _label(axes, "tip of the shaft", (tip, -half), (tip + 2.6, -1.55))
    _label(axes, "bore", ((tip + top) / 2, half), ((tip + top) / 2 + 0.25, 1.0))
    _label(axes, "hosel", (top - 0.1, -half - across * HOSEL_WALL_IN / 2), (top + 0.9, -0.8))
    _measure(axes, "BBGL", 0, tip, -2.2, (tip + 0.65, -2.2))
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
    _label(axes, "butt of the shaft", (butt, -half * 0.6), (butt - 1.6, -1.5))
    _label(axes, "cap", (end - wanted.grip.cap_thickness_in / 2, half * 0.7), (end + 0.5, 1.25))
    _label(axes, "grip", (end - 3, half * 1.15), (end - 2.6, 1.25))
