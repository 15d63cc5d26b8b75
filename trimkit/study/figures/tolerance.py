"""Figures on scatter: shafts assigned to heads, and the tolerance that matters most."""

from __future__ import annotations

from trimkit.parts.errors import ModelError
from trimkit.parts.units import both_units
from trimkit.shop.assignment import Assignment
from trimkit.shop.tolerance import Budget
from trimkit.study.figures.set import Picture, short_name
from trimkit.study.frame.style import ALLOWED_BAND, NOW, REFERENCE, styled_figure

SAID = {
    "tip_trim_in": "tip trim",
    "cut_length_in": "cut length",
    "bbgl_in": "BBGL reading",
    "head_mass_g": "head mass",
    "shaft_mass_percent": "shaft mass",
    "wall_percent": "wall",
    "ei_percent": "EI scatter",
    "clamp_in": "clamp depth",
}
"""The tolerances as an axis says them."""


def assignment_picture(before: Assignment, after: Assignment, tolerance_cpm: float) -> Picture:
    """Draw every club's deviation from its target (cpm) with two assignments, and the tolerance as a band.

    tolerance_cpm: either way. Raises ModelError if the two are of different clubs.
    """
    if before.matrix.plans != after.matrix.plans:
        raise ModelError("two assignments of different clubs", "two of the same set", "compare like with like")
    names = [short_name(plan.club) for plan in after.matrix.plans]
    with styled_figure(8.2, 4.4) as figure:
        axes = figure.add_subplot()
        axes.axhspan(-tolerance_cpm, tolerance_cpm, color=ALLOWED_BAND, alpha=0.15)
        for edge in (-tolerance_cpm, tolerance_cpm):
            axes.axhline(edge, color=ALLOWED_BAND, linewidth=1.0)
        axes.axhline(0, color="black", linewidth=0.8)
        for place, (start, end) in enumerate(zip(before.deviation_cpm, after.deviation_cpm, strict=True)):
            axes.plot([place, place], [start, end], color="#999999", linewidth=1.2)
        for assignment, pen in ((before, REFERENCE), (after, NOW)):
            label = f"{assignment.how}: {assignment.rms_cpm:.1f} cpm rms"
            axes.plot(range(len(names)), assignment.deviation_cpm, **pen.mark(9), label=label)
        axes.set_xticks(range(len(names)), names)
        axes.set_xlabel("club, in the order's order")
        axes.set_ylabel("frequency less target (cpm)")
        figure.legend(loc="outside upper center", ncols=2, frameon=False)
    kept = [sum(abs(d) <= tolerance_cpm for d in each.deviation_cpm) for each in (before, after)]
    sentence = (
        f"{len(after.chosen)} clubs, how many within {tolerance_cpm:g} cpm of their targets: {before.how} {kept[0]} "
        f"({before.rms_cpm:.1f} cpm rms, worst {before.worst_cpm:.1f}), {after.how} {kept[1]} "
        f"({after.rms_cpm:.1f} cpm rms, worst {after.worst_cpm:.1f})."
    )
    return Picture(figure, sentence)


def contributions_picture(budget: Budget) -> Picture:
    """Draw each tolerance's share of the set's variance (percent), the largest on top."""
    shown = budget.ranking[::-1]
    percents = [100 * share for _, share in shown]
    with styled_figure(8.2, 4.4) as figure:
        axes = figure.add_subplot()
        axes.barh(range(len(shown)), percents, color=NOW.colour, height=0.65)
        for place, percent in enumerate(percents):
            text = "0 %" if percent == 0 else "< 0.1 %" if percent < 0.1 else f"{percent:.1f} %"
            axes.annotate(text, (percent, place), xytext=(6, 0), textcoords="offset points", va="center", fontsize=12)
        widths = dict(zip(budget.tolerances, budget.half_widths, strict=True))
        axes.set_yticks(range(len(shown)), [_label(name, widths[name]) for name, _ in shown])
        axes.margins(x=0.16)
        axes.set_xlim(left=0)
        axes.grid(visible=False, axis="y")
        axes.set_xlabel("share of the variance of frequency, whole set (percent)")
    (first, most), (second, next_), *_ = budget.ranking
    sentence = (
        f"Of the variance of frequency, {SAID[first]} brings {100 * most:.0f} %, {SAID[second]} {100 * next_:.0f} %; a "
        f"club's frequency spreads by {budget.sd_cpm.min():.1f} to {budget.sd_cpm.max():.1f} cpm (one standard "
        "deviation)."
    )
    return Picture(figure, sentence)


def _label(name: str, half_width: float) -> str:
    unit = "%" if name.endswith("_percent") else name.rsplit("_", 1)[1]
    width = both_units(half_width, 64) if unit == "in" else f"{half_width:.2g} {unit}"
    return f"{SAID[name]} ± {width}"
