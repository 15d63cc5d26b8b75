"""Figures of a set's checks: the set's line with its band, the deviations, and what a step is worth."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from trimkit.check.doublecheck import ClubCheck, SetCheck, Verdict
from trimkit.check.stepworth import StepWorth
from trimkit.parts.errors import ModelError
from trimkit.parts.units import signed
from trimkit.study.figures.set import KIND_PEN, Picture, short_name
from trimkit.study.frame.style import ALLOWED_BAND, REFERENCE, REFUSED, SERIES, new_figure, styled


def set_line_figure(check: SetCheck) -> Figure:
    """Draw a checked set: frequency (cpm) over playing length (in), what its line asks, and the tolerance band (cpm).

    The line bends where the schedule bends it. A club outside the band is ringed and named. Clubs that no shaft can be
    cut to are left out. Raises ModelError if no club is left.
    """
    clubs = _drawable(check)
    figure = new_figure(8.2, 4.6)
    with styled():
        axes = figure.add_subplot()
        lengths = [_length(club) for club in clubs]
        asked = [club.line_cpm or 0.0 for club in clubs]
        tolerance = check.tolerances.frequency_cpm
        label = "the set's line" if check.line is not None else "the schedule's own clubs"
        axes.plot(lengths, asked, color=REFERENCE.colour, linestyle=REFERENCE.dash, linewidth=1.8, label=label)
        low, high = [cpm - tolerance for cpm in asked], [cpm + tolerance for cpm in asked]
        axes.fill_between(lengths, low, high, color=ALLOWED_BAND, alpha=0.15, label=f"±{tolerance:g} cpm")
        for edge in (low, high):
            axes.plot(lengths, edge, color=ALLOWED_BAND, linewidth=0.8)
        for kind in dict.fromkeys(club.card.wanted.head.kind for club in clubs):
            own = [club for club in clubs if club.card.wanted.head.kind is kind]
            axes.plot(
                [_length(club) for club in own],
                [club.frequency_cpm or 0.0 for club in own],
                color=KIND_PEN[kind].colour,
                marker=KIND_PEN[kind].marker,
                markersize=8,
                linestyle="none",
                label=kind.value,
            )
        _ring(axes, [(_length(club), club.frequency_cpm or 0.0) for club in clubs if club.verdict is not Verdict.CUT])
        for club in clubs:
            stopped = club.verdict is not Verdict.CUT
            below = (club.deviation_cpm or 0.0) < 0 and stopped
            # Above the band's edge where the club lies in the band, so that no letter is crossed by it.
            top = max(club.frequency_cpm or 0.0, 0.0 if below else (club.line_cpm or 0.0) + tolerance)
            axes.annotate(
                short_name(club.card.club),
                (_length(club), top),
                xytext=(0, -22 if below else 12 if stopped else 5),
                textcoords="offset points",
                ha="center",
                fontsize=11,
                fontweight="bold" if stopped else "normal",
            )
        axes.margins(x=0.06, y=0.16)
        axes.invert_xaxis()
        axes.set_xlabel("playing length (in), longer clubs on the left")
        axes.set_ylabel("frequency (cpm)")
        axes.legend(loc="lower right", fontsize=11)
    return figure


def deviations_figure(check: SetCheck) -> Figure:
    """Draw how far each club lies off the set's line (cpm, + too stiff), with the tolerance band, a bar a club.

    A stopped club carries the inches of tip trim that would put it on the line. Raises ModelError if no club is left.
    """
    clubs = _drawable(check)
    figure = new_figure(8.2, 4.2)
    with styled():
        axes = figure.add_subplot()
        tolerance = check.tolerances.frequency_cpm
        axes.axhspan(-tolerance, tolerance, color=ALLOWED_BAND, alpha=0.15, label=f"tolerance ±{tolerance:g} cpm")
        for edge in (-tolerance, tolerance):
            axes.axhline(edge, color=ALLOWED_BAND, linewidth=0.8)
        axes.axhline(0, color="black", linewidth=0.8)
        for at, club in enumerate(clubs):
            off = club.deviation_cpm or 0.0
            stopped = club.verdict is not Verdict.CUT
            axes.bar(
                at, off, width=0.6, color=REFUSED if stopped else SERIES[0].colour, hatch="//" if stopped else None,
                edgecolor="white",
            )  # fmt: skip
            said = _signed(off, 1)
            if stopped and club.to_line is not None and club.to_line.met and abs(off) > tolerance:
                said += f"\n{_signed(club.to_line.change_in, 2)} in"
            axes.annotate(
                said,
                (at, off),
                xytext=(0, 4 if off >= 0 else -4),
                textcoords="offset points",
                ha="center",
                va="bottom" if off >= 0 else "top",
                fontsize=10,
            )
        if any(club.verdict is not Verdict.CUT for club in clubs):
            axes.bar(0, 0, color=REFUSED, hatch="//", edgecolor="white", label="stopped; tip trim (in) to the line")
        axes.set_xticks(range(len(clubs)), [short_name(club.card.club) for club in clubs])
        axes.margins(y=0.25)
        axes.grid(visible=False, axis="x")
        axes.set_xlabel("club")
        axes.set_ylabel("off the line (cpm), + too stiff")
        figure.legend(loc="outside upper center", ncols=2, fontsize=11)
    return figure


def step_worth_figure(rows: Sequence[StepWorth]) -> Figure:
    """Draw what stepping changes in flexes, a club a group: the rule, and the mechanics by each yardstick of a flex.

    Raises ModelError for no rows.
    """
    if not rows:
        raise ModelError("no stepped club", "one or more", "choose a step that the family has")
    clubs = list(dict.fromkeys(row.club for row in rows))
    yardsticks = list(dict.fromkeys(row.yardstick for row in rows))
    figure = new_figure(8.2, 4.4)
    with styled():
        axes = figure.add_subplot()
        axes.axhline(
            rows[0].rule_flexes,
            color=REFERENCE.colour,
            linestyle=REFERENCE.dash,
            linewidth=2,
            label=f"the rule: {_signed(rows[0].rule_flexes, 2)} flex",
        )
        axes.axhline(0, color="black", linewidth=0.8)
        for yardstick, pen in zip(yardsticks, SERIES, strict=False):
            own = [row for row in rows if row.yardstick == yardstick]
            axes.plot(
                [clubs.index(row.club) for row in own],
                [row.mechanics_flexes for row in own],
                color=pen.colour,
                marker=pen.marker,
                markersize=9,
                linestyle=pen.dash,
                linewidth=1.2,
                label=f"mechanics; one flex: {yardstick}",
            )
        axes.set_xticks(range(len(clubs)), [short_name(club) for club in clubs])
        axes.margins(x=0.06, y=0.12)
        axes.set_xlabel("club")
        axes.set_ylabel("change by stepping (flexes)")
        figure.legend(loc="outside upper center", ncols=1, fontsize=11)
    return figure


def check_sentence(check: SetCheck) -> str:
    """Return the double check in one sentence, for a caption and for a screen reader."""
    off = [club for club in check.clubs if club.verdict is not Verdict.CUT]
    tolerance = f"the tolerance is ±{check.tolerances.frequency_cpm:g} cpm ({check.tolerances.source.standing.value})"
    slope = ""
    if check.line is not None:
        slope = f"The set rises by {check.line.slope_cpm_per_half_in:.1f} cpm per half inch; "
    if not off:
        return f"{slope}all {len(check.clubs)} clubs agree with rule and line, {tolerance}."
    named = "; ".join(f"{club.card.club} ({_said(club)})" for club in off)
    return f"{slope}stopped before the saw: {named}; {tolerance}."


def set_line_picture(check: SetCheck) -> Picture:
    """Return :func:`set_line_figure` with its sentence, to be the last line of a notebook's cell."""
    return Picture(set_line_figure(check), check_sentence(check))


def deviations_picture(check: SetCheck) -> Picture:
    """Return :func:`deviations_figure` with its sentence, to be the last line of a notebook's cell."""
    return Picture(deviations_figure(check), check_sentence(check))


def _said(club: ClubCheck) -> str:
    if club.deviation_cpm is None:
        return "no shaft can be cut like this"
    return f"{_signed(club.deviation_cpm, 1)} cpm"


def _signed(value: float, decimals: int) -> str:
    text = signed(value, decimals)
    return text if text.strip("+0.") else text.removeprefix("+")


def _length(club: ClubCheck) -> float:
    return club.card.playing_length_in if club.plan is None else club.plan.playing_length_in


def _drawable(check: SetCheck) -> list[ClubCheck]:
    clubs = [club for club in check.clubs if club.frequency_cpm is not None and club.line_cpm is not None]
    if not clubs:
        raise ModelError("no club of the set can be computed", "one club or more", "correct the cards")
    return sorted(clubs, key=lambda club: -_length(club))


def _ring(axes: Axes, places: Sequence[tuple[float, float]]) -> None:
    if places:
        axes.plot(
            [length for length, _ in places],
            [cpm for _, cpm in places],
            color=REFUSED,
            marker="o",
            markersize=16,
            markerfacecolor="none",
            markeredgewidth=2,
            linestyle="none",
            label="stopped",
        )
