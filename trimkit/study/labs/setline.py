"""Lab: the set's line. One iron's tip cut is moved off the rule's, and a straight line is laid through six irons."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import Polygon

from trimkit.check.setline import SET_TOLERANCE_CPM, USUAL_SLOPE, LineReport, OffLine, SetLine, against_line, fit_line
from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.club import ClubBuild
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.mechanics.batch import Floats
from trimkit.parts.components import HeadKind
from trimkit.parts.units import both_units, millimetres, nearest_mark, signed
from trimkit.study.figures.set import short_name
from trimkit.study.figures.setpanel import LENGTH_AXIS
from trimkit.study.frame.clubreadouts import count, difference, to_cut
from trimkit.study.frame.controls import Choice, Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import ALLOWED_BAND, NOW, REFERENCE, REFUSED, styled_figure

CLUB = "9-iron"
BY_EYE, LEAST_SQUARES, MEDIAN = "by eye", "least squares", "median"
WAYS = {BY_EYE: "line by eye", LEAST_SQUARES: "line by least squares", MEDIAN: "median line"}
"""How the line is laid, and how a sentence calls it."""
PIVOT_IN = 37.0
"""The 7-iron's length: where a line by eye has its height, and about which it turns."""
PIVOT_CPM = 312.5
FITTED_SLOPE, FITTED_CPM = 5.0, 313.0
"""What an eye chooses that sees all irons cut right: the nearest that its sliders have."""
MOST_OFF_IN = 0.75
SHOWN_CPM = 14.0
"""How far off the line the lower picture reaches, cpm."""
GAP_CPM, ROOM_CPM = 1.5, 8.0
"""From a mark to its number, and how far off a mark may lie for its number to go beyond it, cpm of the picture."""


@dataclass(frozen=True)
class SetLineParams:
    """club: whose tip cut is moved. off_rule_in: more (+) or less (-) off its tip than the rule's cut, in.

    way: one of :data:`WAYS`. slope_cpm_per_half_in, height_cpm: of a line by eye; its height at :data:`PIVOT_IN`.
    """

    club: str
    off_rule_in: float
    way: str
    slope_cpm_per_half_in: float = USUAL_SLOPE.slope_cpm_per_half_in
    height_cpm: float = PIVOT_CPM


@dataclass(frozen=True)
class SetOnLine:
    """The irons against a line.

    report: each iron; cut_in: what is off the moved one's tip; rule_in: by the rule; bbgl_correction_in: the part of
    the rule's cut that its head's BBGL adds to the schedule's.
    """

    params: SetLineParams
    report: LineReport
    cut_in: float
    rule_in: float
    bbgl_correction_in: float

    @property
    def club(self) -> OffLine:
        """The club whose cut is moved."""
        return next(each for each in self.report.clubs if each.club == self.params.club)

    @property
    def off(self) -> tuple[OffLine, ...]:
        """The clubs outside the band."""
        return tuple(each for each in self.report.clubs if not each.within)


def class_irons() -> tuple[ClubBuild, ...]:
    """Return the demo set's irons, which nearly lie on a straight line, longest first."""
    return tuple(club for club in build_set(shipped_order()).clubs if club.plan.wanted.head.kind is HeadKind.IRON)


def miscut_cpm(club: ClubBuild, off_rule_in: float) -> float:
    """Return a club's frequency (cpm) with ``off_rule_in`` inches more off its tip than its plan says."""
    card = card_of(club.plan, club.assembly)
    return frequency_cpm(replace(card, tip_trim_in=card.tip_trim_in + off_rule_in))


def least_squares_line(playing_length_in: Floats, frequency_cpm: Floats) -> SetLine:
    """Return the line with the smallest sum of squared deviations, at the clubs' mean length."""
    middle = float(np.mean(playing_length_in))
    per_in, level = np.polyfit(playing_length_in - middle, frequency_cpm, 1)
    return SetLine(middle, float(level), -float(per_in) / 2)


def irons_on_line(irons: tuple[ClubBuild, ...], params: SetLineParams) -> SetOnLine:
    """Answer which irons lie off a straight line laid in one of three ways, with one of them cut differently.

    Raises ModelError if the shaft cannot be cut so.
    """
    (plan,) = (iron.plan for iron in irons if iron.plan.club == params.club)
    clubs = [
        (
            iron.plan.club,
            iron.plan.playing_length_in,
            miscut_cpm(iron, params.off_rule_in) if iron.plan is plan else iron.frequency_cpm,
        )
        for iron in irons
    ]
    length, cpm = (np.array([club[at] for club in clubs], dtype=float) for at in (1, 2))
    if params.way == BY_EYE:
        line = SetLine(PIVOT_IN, params.height_cpm, params.slope_cpm_per_half_in)
    else:
        line = least_squares_line(length, cpm) if params.way == LEAST_SQUARES else fit_line(length, cpm)
    report = against_line(clubs, line, SET_TOLERANCE_CPM)
    cut_in = plan.tip_trim_in + params.off_rule_in
    return SetOnLine(params, report, cut_in, plan.tip_trim_in, plan.bbgl_correction_in)


def _draw_line(axes: Axes, irons: tuple[ClubBuild, ...]) -> Live:
    lengths = [iron.plan.playing_length_in for iron in irons]
    axes.plot(lengths, [iron.frequency_cpm for iron in irons], **REFERENCE.mark(10, hollow=True), label="cut right")
    axes.set(xlim=(max(lengths) + 0.3, min(lengths) - 0.3), ylim=(286, 338), ylabel="frequency (cpm)")
    axes.set_xlabel(LENGTH_AXIS)
    live: Live = {
        "band": axes.add_patch(Polygon([(0, 0)], facecolor=ALLOWED_BAND, alpha=0.2, edgecolor=ALLOWED_BAND)),
        "line": axes.plot([], [], color="#333333", linewidth=1.5)[0],
        "clubs": axes.plot([], [], **NOW.mark(7), label="as cut now")[0],
    }
    axes.plot([], [], color="#333333", label=f"line ±{SET_TOLERANCE_CPM:g} cpm")
    axes.legend(loc="upper left", fontsize=12, frameon=False)
    return live


def _draw_deviations(axes: Axes, irons: tuple[ClubBuild, ...]) -> Live:
    names = [iron.plan.club for iron in irons]
    band = SET_TOLERANCE_CPM
    axes.set(xlim=(-0.6, len(names) - 0.4), ylim=(-SHOWN_CPM, SHOWN_CPM), ylabel="off the line (cpm)")
    axes.set_xticks(range(len(names)), names)
    axes.axhspan(-band, band, facecolor=ALLOWED_BAND, alpha=0.2, edgecolor=ALLOWED_BAND)
    axes.axhline(0, color="#333333", linewidth=0.8)
    axes.grid(visible=False, axis="x")
    return {
        "stems": axes.vlines(range(len(names)), 0, 0, color="#777777", linewidth=1.5),
        "within": axes.plot([], [], **NOW.mark(8))[0],
        "outside": axes.plot([], [], color=REFUSED, marker="X", markersize=10, linestyle="none")[0],
        "says": axes.text(0, 0, "", fontsize=12, fontweight="bold", color="#333333"),
    }


def _scene(irons: tuple[ClubBuild, ...], _reference: SetOnLine) -> Scene:
    with styled_figure() as figure:
        upper, lower = figure.subplots(2, 1, height_ratios=(1.25, 1.0))
        live = _draw_line(upper, irons) | _draw_deviations(lower, irons)
    return Scene(figure, live)


def _draw(live: Live, now: SetOnLine, _reference: SetOnLine) -> None:
    clubs = now.report.clubs
    lengths = [club.playing_length_in for club in clubs]
    asked = np.array([club.line_cpm for club in clubs])
    there = np.concatenate((lengths, lengths[::-1]))
    edges = np.concatenate((asked + SET_TOLERANCE_CPM, (asked - SET_TOLERANCE_CPM)[::-1]))
    live["band"].set(xy=np.column_stack((there, edges)))
    live["line"].set(data=(lengths, asked))
    live["clubs"].set(data=(lengths, [club.frequency_cpm for club in clubs]))
    live["stems"].set(segments=[[(at, 0.0), (at, club.deviation_cpm)] for at, club in enumerate(clubs)])
    for name, within in (("within", True), ("outside", False)):
        shown = [(at, club.deviation_cpm) for at, club in enumerate(clubs) if club.within is within]
        live[name].set(data=([at for at, _ in shown], [off for _, off in shown]))
    live["says"].set(text=f"{signed(now.club.deviation_cpm, 1)} cpm", **_beside(clubs.index(now.club), now))


def _beside(at: int, now: SetOnLine) -> dict[str, Any]:
    """Where the moved club's number goes: beyond its mark, or beside it where there is no room beyond."""
    off, clubs = now.club.deviation_cpm, now.report.clubs
    if abs(off) > ROOM_CPM:
        right_half = at >= len(clubs) // 2
        place = (at + (-0.2 if right_half else 0.2), off)
        return {"position": place, "ha": "right" if right_half else "left", "va": "center"}
    up = off >= 0
    return {"position": (at, off + (GAP_CPM if up else -GAP_CPM)), "ha": "center", "va": "bottom" if up else "top"}


def _read(now: SetOnLine) -> tuple[Readout, ...]:
    return (
        to_cut("tip trim", now.cut_in),
        Readout("frequency", now.club.frequency_cpm, "cpm", 1),
        difference("off the line", now.club.deviation_cpm, "cpm", 1),
        Readout("slope", now.report.line.slope_cpm_per_half_in, "cpm per half inch", 2, compare=False),
        count("outside the band", len(now.off), len(now.report.clubs)),
    )


def _rule_cut(now: SetOnLine) -> str:
    """The rule's cut as a sentence writes it, with what the head's BBGL adds to the schedule's, if anything."""
    if not now.bbgl_correction_in:
        return both_units(now.rule_in)
    schedule_in = now.rule_in - now.bbgl_correction_in
    return (
        f"{now.rule_in:.2f} in ({millimetres(now.rule_in)}; schedule {schedule_in:g} in, "
        f"BBGL {signed(now.bbgl_correction_in, 2)} in)"
    )


def _describe(now: SetOnLine, _reference: SetOnLine) -> str:
    club, params, line = now.club, now.params, now.report.line
    rule = f"the rule's {_rule_cut(now)}"
    side = "more than" if params.off_rule_in > 0 else "less than"
    cut = rule if params.off_rule_in == 0 else f"{nearest_mark(abs(params.off_rule_in)).text} {side} {rule}"
    off = [f"{each.club} (too {'stiff' if each.deviation_cpm > 0 else 'soft'})" for each in now.off]
    return (
        f"{club.club}, {cut} off the tip: {club.frequency_cpm:.1f} cpm. The {WAYS[params.way]} goes through "
        f"{line.at_cpm(PIVOT_IN):.1f} cpm at {both_units(PIVOT_IN)} and rises by {line.slope_cpm_per_half_in:.2f} "
        f"cpm per half inch; the club is {signed(club.deviation_cpm, 1)} cpm off it. Outside ±"
        f"{SET_TOLERANCE_CPM:g} cpm: {', '.join(off) or 'no club'}."
    )


def set_line_lab() -> Lab[SetLineParams, SetOnLine]:
    """Return the lab of the set's line: one iron's tip cut moved off the rule's, and three ways to lay the line."""
    irons = class_irons()
    return Lab(
        title="Six irons on a straight line, and how far each lies off it",
        controls=(
            Choice("club", "club", tuple(iron.plan.club for iron in irons), CLUB, on_page=("4-iron", "6-iron", CLUB)),
            Slider(
                "off_rule_in",
                "tip cut against the rule",
                "in",
                -MOST_OFF_IN,
                MOST_OFF_IN,
                0.0625,
                0.0,
                on_page=(-0.75, -0.5, 0.0, 0.5, 0.75),
            ),
            Choice("way", "line", tuple(WAYS), BY_EYE),
            Slider(
                "slope_cpm_per_half_in",
                "by eye: slope",
                "cpm per half inch",
                4.0,
                6.0,
                0.1,
                USUAL_SLOPE.slope_cpm_per_half_in,
                on_page=(4.3, 5.0, 5.8),
            ),
            Slider(
                "height_cpm",
                "by eye: height at the 7-iron",
                "cpm",
                309.0,
                316.0,
                0.5,
                PIVOT_CPM,
                on_page=(311.0, PIVOT_CPM, 313.0),
            ),
        ),
        params=SetLineParams,
        compute=partial(irons_on_line, irons),
        build=partial(_scene, irons),
        draw=_draw,
        read=_read,
        describe=_describe,
    )


def three_lines_table() -> pd.DataFrame:
    """Return three lines through the irons, the 9-iron cut 3/4 in too much: height (cpm), slope, and its deviation.

    By eye: the line that fits the irons as they were.
    """
    irons, rows = class_irons(), []
    for way in WAYS:
        now = irons_on_line(irons, SetLineParams(CLUB, MOST_OFF_IN, way, FITTED_SLOPE, FITTED_CPM))
        line, club = now.report.line, now.club
        heights = f"{line.at_cpm(PIVOT_IN):.1f}", f"{line.slope_cpm_per_half_in:.2f}", f"{club.line_cpm:.1f}"
        rows.append((*heights, _off(club.deviation_cpm)))
    heads = ["at 37 in (cpm)", "slope (cpm per half inch)", "at 36 in (cpm)", "9-iron's deviation (cpm)"]
    return pd.DataFrame(rows, pd.Index(list(WAYS), name="line"), heads)


def slopes_table(club: str = "4-iron") -> pd.DataFrame:
    """Return the slope from one iron to each other, the 9-iron cut 3/4 in too much, and the median of these slopes."""
    clubs = irons_on_line(class_irons(), SetLineParams(CLUB, MOST_OFF_IN, MEDIAN)).report.clubs
    (one,) = (each for each in clubs if each.club == club)
    slopes = {
        f"to {short_name(other.club)}": (one.frequency_cpm - other.frequency_cpm)
        / (other.playing_length_in - one.playing_length_in)
        / 2
        for other in clubs
        if other is not one
    }
    slopes["median"] = float(np.median(list(slopes.values())))
    row = [f"{slope:.2f}" for slope in slopes.values()]
    return pd.DataFrame([row], pd.Index([club], name="slope (cpm per half inch) from"), list(slopes))


def _off(deviation_cpm: float) -> str:
    """A deviation as a table writes it: what rounds to nothing has no sign."""
    return signed(deviation_cpm, 1) if round(deviation_cpm, 1) else "0.0"
