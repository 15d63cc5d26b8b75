"""Lab: the set's line. One club's tip cut is moved off the rule's, and the set shows which club stands out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import Polygon

from trimkit.check.inverse import TargetTrim, trim_for
from trimkit.check.ownline import own_line, schedule_clubs_cpm
from trimkit.check.setline import SET_TOLERANCE_CPM, SLOPE_CHOICES, LineReport, OffLine, SetLine
from trimkit.club.card import card_of
from trimkit.club.clamp import FrequencyBench, frequency_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.parts.units import both_units, millimetres, nearest_mark, signed
from trimkit.shop.assignment import Assignment, best_assignment, frequency_matrix, sorted_by_hand
from trimkit.shop.rawshaft import MeasuredShaft
from trimkit.study.figures.set import short_name
from trimkit.study.figures.setpanel import LENGTH_AXIS
from trimkit.study.frame.clubreadouts import count, difference, to_cut
from trimkit.study.frame.controls import Choice, Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import ALLOWED_BAND, NOW, REFERENCE, REFUSED, styled_figure

CLUB = "7-iron"
OWN = "own"
TARGETS = {f"{choice.slope_cpm_per_half_in:g}": choice for choice in SLOPE_CHOICES}
MOST_OFF_IN = 0.75
SHOWN_CPM = 16.0
"""How far off the line the lower picture reaches, cpm."""
GAP_CPM, ROOM_CPM = 1.7, 10.0
"""From a mark to its number, and how far off a mark may lie for its number to stand beyond it, cpm of the picture."""
BENCH = FrequencyBench(205.0)
RACK_CPM = (286.1, 280.7, 283.2, 278.9, 287.7, 281.9, 284.2, 279.4, 283.6, 285.0, 281.3, 286.7, 282.5, 285.5)
RACK_G = (110.4, 108.7, 110.1, 109.2, 110.9, 108.2, 109.4, 109.1, 109.8, 108.8, 110.0, 109.3, 110.3, 109.6)
"""Fourteen bare shafts of the class's kind as if read on a bench: raw frequencies, and raw masses. Invented."""


@dataclass(frozen=True)
class SetLineParams:
    """club: whose tip cut is moved. off_rule_in: more (+) or less (-) off its tip than the rule's cut, in.

    tolerance_cpm: how far a club may lie off the line. target: the set's own slope, or a wanted one, cpm per half inch.
    """

    club: str
    off_rule_in: float
    tolerance_cpm: float
    target: str


@dataclass(frozen=True)
class SetOnLine:
    """The set against its line. report: every club against what the line asks of it, the schedule's bend included.

    to_line: the tip trim that would put the moved club on the line; rule_in: what the rule cuts off it, in.
    """

    params: SetLineParams
    report: LineReport
    to_line: TargetTrim
    rule_in: float

    @property
    def club(self) -> OffLine:
        """The club whose cut is moved."""
        return next(each for each in self.report.clubs if each.club == self.params.club)

    @property
    def off(self) -> tuple[OffLine, ...]:
        """The clubs outside the band."""
        return tuple(each for each in self.report.clubs if not each.within)


@dataclass(frozen=True)
class ClassSet:
    """What does not change while the slider moves.

    built: the set. schedule_cpm: the schedule's own clubs' frequencies. trim_for: a club's tip trim for a frequency
    (cpm); a robust line seldom moves with one club, so that most answers are known from the move before.
    """

    built: SetBuild
    schedule_cpm: tuple[float | None, ...]
    trim_for: Callable[[str, float], TargetTrim]


def evening_class() -> ClassSet:
    """Return the demo set, ready for :func:`set_on_line`."""
    built = build_set(shipped_order())
    plans = [club.plan for club in built.clubs]
    schedule_cpm = schedule_clubs_cpm([card_of(club.plan, club.assembly) for club in built.clubs], plans)

    @lru_cache(maxsize=64)
    def remembered(club: str, target_cpm: float) -> TargetTrim:
        return trim_for(card_of(built.club(club).plan, built.order.assembly), target_cpm)

    return ClassSet(built, tuple(schedule_cpm), remembered)


def set_on_line(start: ClassSet, params: SetLineParams) -> SetOnLine:
    """Answer which line the set is on with one club cut differently, and which clubs are off it.

    asked = line + bend, the bend being the schedule's; line: the repeated median through the clubs, or the wanted slope
    through its middle. Raises ModelError if the shaft cannot be cut so.
    """
    built, assembly = start.built, start.built.order.assembly
    plan = built.club(params.club).plan
    card = replace(card_of(plan, assembly), tip_trim_in=plan.tip_trim_in + params.off_rule_in)
    moved = frequency_cpm(card)
    lengths = [club.plan.playing_length_in for club in built.clubs]
    cpm = [moved if club.plan.club == params.club else club.frequency_cpm for club in built.clubs]
    own = own_line(lengths, cpm, start.schedule_cpm)
    assert own.line is not None  # ten clubs of different lengths
    line = own.line
    if params.target != OWN:
        line = SetLine(line.playing_length_in, line.frequency_cpm, TARGETS[params.target].slope_cpm_per_half_in)
    clubs = []
    for club, length, each, asked in zip(built.clubs, lengths, cpm, own.asked_cpm, strict=True):
        assert asked is not None  # every club of the demo set is in its schedule
        bend = asked - own.line.at_cpm(length)
        clubs.append(OffLine(club.plan.club, length, each, line.at_cpm(length) + bend, params.tolerance_cpm))
    report = LineReport(line, tuple(clubs))
    wanted = next(each.line_cpm for each in clubs if each.club == params.club)
    to_line = replace(start.trim_for(params.club, wanted), card=card)  # it does not depend on the card's own tip trim
    return SetOnLine(params, report, to_line, plan.tip_trim_in)


def _draw_line(axes: Axes, reference: SetOnLine) -> Live:
    clubs = reference.report.clubs
    lengths = [club.playing_length_in for club in clubs]
    cpm = [club.line_cpm for club in clubs]
    axes.plot(lengths, cpm, color=REFERENCE.colour, linestyle=REFERENCE.dash, label="line before")
    axes.set(xlim=(max(lengths) + 0.3, min(lengths) - 0.3), ylim=(270, 340), ylabel="frequency (cpm)")
    axes.set_xlabel(LENGTH_AXIS)
    live: Live = {
        "band": axes.add_patch(Polygon([(0, 0)], facecolor=ALLOWED_BAND, alpha=0.2, edgecolor=ALLOWED_BAND)),
        "line": axes.plot([], [], color="#333333", linewidth=1.5)[0],
        "clubs": axes.plot([], [], **NOW.mark(7))[0],
        "club": axes.plot([], [], color=NOW.colour, marker="s", markersize=11, fillstyle="none", linestyle="none")[0],
    }
    axes.plot([], [], color="#333333", label="line now, with its band")
    axes.legend(loc="lower right", fontsize=12, frameon=False)
    return live


def _draw_deviations(axes: Axes, reference: SetOnLine) -> Live:
    names = [short_name(club.club) for club in reference.report.clubs]
    axes.set(xlim=(-0.6, len(names) - 0.4), ylim=(-SHOWN_CPM, SHOWN_CPM), ylabel="off the line (cpm)")
    axes.set_xticks(range(len(names)), names)
    axes.axhline(0, color="#333333", linewidth=0.8)
    axes.grid(visible=False, axis="x")
    return {
        "allowed": axes.add_patch(Polygon([(0, 0)], facecolor=ALLOWED_BAND, alpha=0.2, edgecolor=ALLOWED_BAND)),
        "stems": axes.vlines(range(len(names)), 0, 0, color="#777777", linewidth=1.5),
        "within": axes.plot([], [], **NOW.mark(8))[0],
        "outside": axes.plot([], [], color=REFUSED, marker="X", markersize=10, linestyle="none")[0],
        "says": axes.text(0, 0, "", fontsize=11, fontweight="bold", color="#333333"),
    }


def _scene(reference: SetOnLine) -> Scene:
    with styled_figure() as figure:
        upper, lower = figure.subplots(2, 1, height_ratios=(1.25, 1.0))
        live = _draw_line(upper, reference) | _draw_deviations(lower, reference)
    return Scene(figure, live)


def _draw(live: Live, now: SetOnLine, _reference: SetOnLine) -> None:
    clubs, tolerance = now.report.clubs, now.params.tolerance_cpm
    lengths = [club.playing_length_in for club in clubs]
    asked = np.array([club.line_cpm for club in clubs])
    there = np.concatenate((lengths, lengths[::-1]))
    live["band"].set(xy=np.column_stack((there, np.concatenate((asked + tolerance, (asked - tolerance)[::-1])))))
    live["line"].set(data=(lengths, asked))
    live["clubs"].set(data=(lengths, [club.frequency_cpm for club in clubs]))
    live["club"].set(data=([now.club.playing_length_in], [now.club.frequency_cpm]))
    left, right = -0.6, len(clubs) - 0.4
    live["allowed"].set(xy=[(left, -tolerance), (right, -tolerance), (right, tolerance), (left, tolerance)])
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
        place = (at + (-0.25 if right_half else 0.25), off)
        return {"position": place, "ha": "right" if right_half else "left", "va": "center"}
    up = off >= 0
    return {"position": (at, off + (GAP_CPM if up else -GAP_CPM)), "ha": "center", "va": "bottom" if up else "top"}


def _read(now: SetOnLine) -> tuple[Readout, ...]:
    trim, club = now.to_line.card.tip_trim_in, now.club
    return (
        to_cut("tip trim", trim),
        Readout("frequency", club.frequency_cpm, "cpm", 1),
        difference("off the line", club.deviation_cpm, "cpm", 1),
        Readout("room in the band", club.tolerance_cpm - abs(club.deviation_cpm), "cpm", 1, compare=False),
        Readout("slope", now.report.line.slope_cpm_per_half_in, "cpm per half inch", 2, compare=False),
        count("outside the band", len(now.off), len(now.report.clubs)),
    )


def _describe(now: SetOnLine, _reference: SetOnLine) -> str:
    club, asked = now.club, now.params
    rule = f"the rule's {both_units(now.rule_in)}"
    side = "more than" if asked.off_rule_in > 0 else "less than"
    cut = rule if asked.off_rule_in == 0 else f"{nearest_mark(abs(asked.off_rule_in)).text} {side} {rule}"
    change = now.to_line.change_in
    more = f"{abs(change):.2f} in ({millimetres(abs(change))}) {'more' if change > 0 else 'less'}"
    mend = "" if club.within else f", {more} off the tip would be on it"
    off = ", ".join(each.club for each in now.off) or "no club"
    return (
        f"{club.club}, {cut} off the tip: {club.frequency_cpm:.1f} cpm, {signed(club.deviation_cpm, 1)} cpm off the "
        f"line; with ±{asked.tolerance_cpm:g} cpm allowed it is {club.verdict}{mend}. The line rises by "
        f"{now.report.line.slope_cpm_per_half_in:.2f} cpm per half inch; outside: {off}."
    )


def set_line_lab() -> Lab[SetLineParams, SetOnLine]:
    """Return the lab of the set's line: one club's tip cut moved off the rule's, the tolerance, the target slope."""
    start = evening_class()
    return Lab(
        title="The demo set on its line, and how far each club lies off it",
        controls=(
            Choice(
                "club",
                "club",
                tuple(club.plan.club for club in start.built.clubs),
                CLUB,
                on_page=("3-hybrid", CLUB, "9-iron"),
            ),
            Slider(
                "off_rule_in",
                "tip cut against the rule",
                "in",
                -MOST_OFF_IN,
                MOST_OFF_IN,
                0.0625,
                0.0,
                on_page=(-0.75, -0.5, -0.25, -0.0625, 0.0, 0.0625, 0.25, 0.5, 0.75),
            ),
            Slider(
                "tolerance_cpm",
                "allowed difference ±",
                "cpm",
                0.5,
                5.0,
                0.25,
                SET_TOLERANCE_CPM,
                on_page=(0.5, 1.0, 2.0, 4.0),
            ),
            Choice("target", "slope wanted (cpm per half inch)", (OWN, *sorted(TARGETS)), OWN),
        ),
        params=SetLineParams,
        compute=partial(set_on_line, start),
        build=_scene,
        draw=_draw,
        read=_read,
        describe=_describe,
    )


def rack_assignments() -> tuple[Assignment, Assignment]:
    """Return the measured shafts (invented) put into the demo set's heads: sorted by hand, and computed."""
    start = evening_class()
    now = set_on_line(start, SetLineParams(CLUB, 0.0, SET_TOLERANCE_CPM, OWN))
    rack = zip(RACK_CPM, RACK_G, strict=True)
    shafts = [MeasuredShaft(f"no. {number}", *read) for number, read in enumerate(rack, start=1)]
    matrix = frequency_matrix(
        [club.plan for club in start.built.clubs],
        shafts,
        BENCH,
        assembly=start.built.order.assembly,
        target_cpm=[club.line_cpm for club in now.report.clubs],
    )
    return replace(sorted_by_hand(matrix), how="by hand"), replace(best_assignment(matrix), how="computed")


def rack_table() -> pd.DataFrame:
    """Return the two assignments side by side, a row a club: the shaft's mark and the deviation, cpm."""
    columns: dict[str, object] = {}
    for name, way in zip(("by_hand", "computed"), rack_assignments(), strict=True):
        columns["club"] = [plan.club for plan in way.matrix.plans]
        columns[f"{name}_shaft"] = [way.matrix.shafts[j].mark for j in way.chosen]
        columns[f"{name}_off_cpm"] = way.deviation_cpm
    return pd.DataFrame(columns).set_index("club")
