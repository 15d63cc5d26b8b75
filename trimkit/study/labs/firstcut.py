"""Lab: the first cut. One club under its raw shaft with both cuts, and what the tip cut does to its frequency."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from trimkit.club.club import ClubBuild, build_club, club_frequencies_cpm, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.parts.units import both_units, quantity, say_number
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.figures.shaftruler import draw_ruler, move_ruler
from trimkit.study.frame.clubreadouts import more_or_less, to_cut
from trimkit.study.frame.controls import Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, styled_figure

CLUB = "7-iron"
LEAST_TRIM_IN, MOST_TRIM_IN = 1.0, 6.0
CURVE = 11
"""Tip trims at which the curve is computed."""
CLUB_AT, FOOT = -1.5, -3.6
"""Heights of the club's axis and of the picture's lower edge under the ruler."""


@dataclass(frozen=True)
class CutParams:
    """tip_trim_in: set at the saw, in. playing_length_in: of the finished club, in."""

    tip_trim_in: float
    playing_length_in: float


@dataclass(frozen=True)
class CutClub:
    """A club cut as asked, and the same club at other tip trims: trims_in (in), curve_cpm (cpm), equally many."""

    club: ClubBuild
    trims_in: tuple[float, ...]
    curve_cpm: tuple[float, ...]


def first_club() -> SetBuild:
    """Return the demo order with the first lesson's club alone; no swingweight, and so no weight, is asked."""
    order = shipped_order()
    alone = tuple(each for each in order.clubs if each.head.club == CLUB)
    return build_set(replace(order, clubs=alone, wanted_swingweight=None))


def cut_club(start: ClubBuild, params: CutParams) -> CutClub:
    """Return the club of ``start`` cut as asked; raises TrimRefused if the shaft cannot be cut so."""
    plan = recut(start.plan, params.tip_trim_in, params.playing_length_in)
    most = min(MOST_TRIM_IN, plan.raw_length_in - plan.cut_length_in)
    trims = tuple(np.linspace(LEAST_TRIM_IN, most, CURVE).tolist())
    return CutClub(build_club(plan, start.assembly), trims, club_frequencies_cpm(plan, start.assembly, trims))


def _draw_frequency(axes: Axes, reference: CutClub) -> Live:
    axes.plot(reference.trims_in, reference.curve_cpm, **(REFERENCE.line() | {"linewidth": 1.6}))
    before = [reference.club.plan.tip_trim_in], [reference.club.frequency_cpm]
    axes.plot(*before, **REFERENCE.mark(11, hollow=True), label="before")
    axes.plot([], [], **NOW.mark(10), label="now")
    axes.set(xlim=(LEAST_TRIM_IN - 0.2, MOST_TRIM_IN + 0.2), ylim=(275, 355))
    axes.set_xlabel("tip trim (in)", fontsize=12)
    axes.set_ylabel("frequency (cpm)", fontsize=12)
    axes.legend(loc="upper left", fontsize=12, frameon=False, handletextpad=0.2, borderaxespad=0.1, ncols=2)
    # The curves rise to the right, so that the lower right corner is free of them.
    look: dict[str, Any] = {"color": NOW.colour, "fontsize": 12, "ha": "right", "va": "bottom", "fontweight": "bold"}
    return {
        "curve": axes.plot([], [], color=NOW.colour, linewidth=2)[0],
        "club": axes.plot([], [], **NOW.mark())[0],
        "said": axes.text(MOST_TRIM_IN + 0.15, 277, "", **look),
    }


def _scene(reference: CutClub) -> Scene:
    with styled_figure() as figure:
        shaft, frequency = figure.subplots(2, 1, height_ratios=(1.45, 1.0))
        plan = reference.club.plan
        shaft.set(xlim=(-0.5, plan.raw_length_in + 0.5), ylim=(FOOT, 1.6))
        live = draw_ruler(shaft, plan.wanted.shaft, plan.tip_trim_in, plan.cut_length_in)
        live |= draw_club(shaft)
        live["ground"] = shaft.plot([], [], color=NOW.colour, linestyle="--", linewidth=1.4)[0]
        live["length"] = shaft.plot([], [], color="#333333", marker="|", markersize=9, linewidth=1.2)[0]
        for name, side in (("ground text", "left"), ("length text", "center")):
            live[name] = shaft.text(0, 0, "", color="#333333", fontsize=12, ha=side, va="center")
        live |= _draw_frequency(frequency, reference)
    return Scene(figure, live)


def _draw(live: Live, now: CutClub, _reference: CutClub) -> None:
    plan, cpm = now.club.plan, now.club.frequency_cpm
    move_ruler(live, plan.raw_length_in, plan.tip_trim_in, plan.cut_length_in)
    ground = plan.tip_trim_in - plan.wanted.bbgl_in
    end = ground + plan.playing_length_in
    move_drawn_club(live, plan, ground_at=ground, height=CLUB_AT)
    live["ground"].set(data=([ground, ground], [FOOT + 0.1, -0.6]))
    live["ground text"].set(position=(ground + 0.4, FOOT + 0.3), text="ground line")
    live["length"].set(data=([ground, end], [FOOT + 0.85] * 2))
    middle = (ground + end) / 2 + 3
    length = f"playing length {both_units(plan.playing_length_in)}"
    live["length text"].set(position=(middle, FOOT + 0.3), text=length)
    live["curve"].set(data=(now.trims_in, now.curve_cpm))
    live["club"].set(data=([plan.tip_trim_in], [cpm]))
    live["said"].set(text=f"now {quantity(cpm, 'cpm', 1)}")


def _read(now: CutClub) -> tuple[Readout, ...]:
    plan = now.club.plan
    return (
        to_cut("tip trim", plan.tip_trim_in),
        to_cut("cut length", plan.cut_length_in),
        to_cut("butt trim", plan.butt_trim_in),
        Readout("frequency", now.club.frequency_cpm, "cpm", 1),
    )


def _describe(now: CutClub, reference: CutClub) -> str:
    plan, cpm = now.club.plan, now.club.frequency_cpm
    change = more_or_less(cpm - reference.club.frequency_cpm, "cpm", 1, "before")
    return (
        f"Cut {both_units(plan.tip_trim_in)} off the tip and {both_units(plan.butt_trim_in)} off the butt: "
        f"{both_units(plan.cut_length_in)} of shaft is left. The club is {both_units(plan.playing_length_in)} long and "
        f"reads {cpm:.1f} cpm, {change}."
    )


def first_cut_lab() -> Lab[CutParams, CutClub]:
    """Return the lab of the first lesson: the demo set's 7-iron, its tip trim and its playing length."""
    start = first_club().club(CLUB)
    return Lab(
        title="A raw shaft with its two cuts, the club made from it, and the club's frequency by tip trim",
        controls=(
            Slider("tip_trim_in", "tip trim", "in", LEAST_TRIM_IN, MOST_TRIM_IN, 0.0625, start.plan.tip_trim_in),
            Slider(
                "playing_length_in",
                "playing length",
                "in",
                35.5,
                38.0,
                0.125,
                start.plan.playing_length_in,
                on_page=(35.5, 36.0, 36.5, 37.0, 37.5, 38.0),
            ),
        ),
        params=CutParams,
        compute=partial(cut_club, start),
        build=_scene,
        draw=_draw,
        read=_read,
        describe=_describe,
    )


def first_parts_table() -> pd.DataFrame:
    """Return what the order and the bench say of the first lesson's club: a row a fact, and what each is needed for."""
    wanted, plan = (club := first_club().club(CLUB)).plan.wanted, club.plan
    rows = (
        ("flex, as ordered", str(plan.flex), "how much comes off the tip"),
        ("playing length, as ordered", f"{say_number(plan.playing_length_in)} in", "how much of the shaft stays"),
        ("raw length of the shaft", f"{say_number(plan.raw_length_in)} in", "what there is to cut"),
        ("BBGL of the head", f"{say_number(wanted.bbgl_in)} in", "where the tip ends above the ground"),
        ("cap of the grip", f"{say_number(wanted.grip.cap_thickness_in)} in", "how much of the length is not shaft"),
        ("mass of the head", f"{say_number(wanted.head.head_mass_g)} g", "how fast the plucked club swings (below)"),
    )
    return _table(rows, (f"the {CLUB}", "value", "what it decides"))


def first_cuts_table() -> pd.DataFrame:
    """Return the first lesson's club's tip trim, cut length and butt trim: exact, on a ruler, and why."""
    plan = first_club().club(CLUB).plan
    rows = (
        ("tip trim", plan.tip_trim_in, f"the shaft's table, for the {plan.club} in flex {plan.flex}"),
        ("cut length", plan.cut_length_in, "playing length, less BBGL, less cap"),
        ("butt trim", plan.butt_trim_in, "raw length, less tip trim, less cut length"),
    )
    said = [(name, say_number(length, 2), both_units(length), why) for name, length, why in rows]
    return _table(said, ("piece", "length (in)", "on a ruler (in and mm)", "where it comes from"))


def _table(rows: Sequence[tuple[str, ...]], heads: tuple[str, ...]) -> pd.DataFrame:
    columns = {head: [row[number] for row in rows] for number, head in enumerate(heads)}
    return pd.DataFrame(columns).set_index(heads[0])
