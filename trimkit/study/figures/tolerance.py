"""Figure on scatter: the tolerance that matters most."""

from __future__ import annotations

from trimkit.parts.units import both_units
from trimkit.shop.tolerance import Budget
from trimkit.study.figures.set import Picture
from trimkit.study.frame.style import NOW, styled_figure

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
