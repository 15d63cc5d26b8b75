"""Figure: what each step of a shaft gives when more comes off the tip, as bars over the club drawn to scale."""

from __future__ import annotations

from matplotlib.axes import Axes

from trimkit.check.stepshares import StepShares, step_shares
from trimkit.club.card import BenchCard, card_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import nearest_mark
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.figures.set import Picture
from trimkit.study.frame.style import NOW, REFERENCE, styled_figure, without_y
from trimkit.trim.plan import TrimPlan

BAR_IN = 1.3
"""How wide a bar is, in inches of shaft."""
PART_OF_A_CUT = "#56B4E9"
"""Fill of a step that only part of the cut brings out of the clamp."""


def step_gain_picture(club: str = "7-iron", cut_in: float = 0.5) -> Picture:
    """Draw what each step gives when ``cut_in`` (in) more comes off the tip of a club of the class's set.

    The playing length stays. Bars: cpm, with the share of the whole gain in percent, by
    :func:`trimkit.check.stepshares.step_shares`, which says what is raised. Below them the club in its clamp, to scale
    along the shaft, before the cut.
    """
    built = build_set(shipped_order()).club(club)
    card = card_of(built.plan, built.assembly)
    shares = step_shares(card, cut_in)
    with styled_figure(9.8, 4.9) as figure:
        bars, drawn = figure.subplots(2, 1, sharex=True, height_ratios=(2.6, 1.0))
        _draw_bars(bars, card, shares)
        _draw_clamped(drawn, built.plan, card, shares)
    return Picture(figure, _sentence(shares))


def _above_ground(card: BenchCard, above_tip_in: float) -> float:
    return card.wanted.bbgl_in + above_tip_in


def _clamp_edge(card: BenchCard) -> float:
    """Where the clamp begins, in above the ground line."""
    return card.wanted.bbgl_in + card.cut_length_in + card.wanted.grip.cap_thickness_in - card.assembly.clamp_in


def _percent(fraction: float) -> str:
    percent = 100 * fraction
    return f"{percent:.1f}" if 0 < abs(percent) < 1 else f"{percent:.0f}"


def _draw_bars(axes: Axes, card: BenchCard, shares: StepShares) -> None:
    axes.grid(visible=False, axis="x")
    axes.tick_params(labelbottom=False, bottom=False)
    axes.set_ylabel("gain of each step (cpm)")
    gains = [step.change_cpm for step in shares.steps]
    top = max(*gains, -0.4 * min(gains))
    axes.set_ylim(min(0.0, 1.1 * min(gains)), 1.3 * top)
    edge = _clamp_edge(card)
    axes.axvspan(edge, edge + card.assembly.clamp_in, color="#999999", alpha=0.25, linewidth=0)
    for step in shares.steps:
        at = _above_ground(card, step.above_tip_in)
        comes_out = not step.in_clamp and at >= edge
        axes.bar(at, step.change_cpm, BAR_IN, color=PART_OF_A_CUT if comes_out else NOW.colour, edgecolor="#333333")
        said = f"{_percent(step.fraction)} %\n{step.change_cpm:.2f}"
        axes.annotate(
            said,
            (at, max(step.change_cpm, 0)),
            (0, 4),
            textcoords="offset points",
            ha="center",
            va="bottom",
            fontsize=11,
        )
    axes.text(
        0.0,
        1.27 * top,
        f"{nearest_mark(shares.cut_in).text} more off the tip, same length: {shares.whole_cpm:+.1f} cpm\n"
        "on each bar: share of the gain (%), gain (cpm)",
        ha="left",
        va="top",
        fontsize=13,
        color="#333333",
    )


def _draw_clamped(axes: Axes, plan: TrimPlan, card: BenchCard, shares: StepShares) -> None:
    without_y(axes)
    axes.set(xlim=(-1.5, plan.playing_length_in + 1), ylim=(-1.75, 1.15))
    axes.set_xlabel("distance from the ground line (in)")
    edge = _clamp_edge(card)
    axes.axvspan(edge, edge + card.assembly.clamp_in, color="#999999", alpha=0.5, linewidth=0)
    move_drawn_club(draw_club(axes), plan)
    axes.text(edge + card.assembly.clamp_in / 2, -0.5, "clamp", ha="center", va="top", fontsize=12)
    axes.text(
        _above_ground(card, shares.steps[0].above_tip_in) - 1.1, 0.55, "step", ha="right", va="bottom", fontsize=12
    )
    for step in shares.steps:
        at = _above_ground(card, step.above_tip_in)
        axes.text(at, 0.55, str(step.number), ha="center", va="bottom", fontsize=12)
        axes.plot([at, at], [0.3, 0.5], color=REFERENCE.colour, linewidth=1.0)


def _sentence(shares: StepShares) -> str:
    first, *_ = shares.steps
    out = [step for step in shares.steps if not step.in_clamp]
    most = max(out, key=lambda step: step.change_cpm)
    held = [str(step.number) for step in shares.steps if step.in_clamp]
    clamped = f"; step {' and '.join(held)} in the clamp adds nothing" if held else ""
    return (
        f"{nearest_mark(shares.cut_in).text} more off the tip of the {shares.club}, same playing length: "
        f"{shares.whole_cpm:+.2f} cpm. Step 1, nearest the head, adds {first.change_cpm:.2f} cpm "
        f"({_percent(first.fraction)} %), step {most.number} the most, {most.change_cpm:.2f} cpm "
        f"({_percent(most.fraction)} %){clamped}."
    )
