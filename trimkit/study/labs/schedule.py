"""Lab: the trim schedule. One flex, or a place between two, is a row of tip trims and a row of frequencies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import pandas as pd
from matplotlib.axes import Axes

from trimkit.club.card import card_of
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.club import ClubBuild, build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.parts.components import Shaft
from trimkit.parts.units import both_units, nearest_mark, quantity, ruled
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.figures.set import short_name
from trimkit.study.figures.setpanel import FLEX_PENS, draw_flex
from trimkit.study.frame.clubreadouts import difference, more_or_less, to_cut
from trimkit.study.frame.controls import Choice, Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, styled_figure, without_y
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import plan_club
from trimkit.trim.schedule import TrimSchedule

CLUB, FLEX = "7-iron", "R"
CLUBS = ("4-iron", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron", "gap wedge")
STEPS_BEFORE = (0.5, 0.8)
"""Heights between which the reference's steps are drawn above the club."""


@dataclass(frozen=True)
class ScheduleParams:
    """flexes_above: how many flexes above the shaft's softest, 0 being that one. club: as engraved."""

    flexes_above: float
    club: str


@dataclass(frozen=True)
class PlacedClub:
    """A club at a place along the flexes, the same club in the order's own flex, and its neighbours at that place.

    at: flexes above the softest. trims_in (in), row_cpm (cpm): of each of CLUBS at the same place.
    """

    at: float
    club: ClubBuild
    ordered: ClubBuild
    trims_in: tuple[float, ...]
    row_cpm: tuple[float, ...]


def flex_at(flexes_above: float, shaft: Shaft) -> FlexPlace:
    """Return the place a number of flexes above a shaft's softest flex.

    Raises TrimRefused outside the shaft's flexes.
    """
    softer = min(int(flexes_above), len(shaft.flexes) - 2)
    part = round(flexes_above - softer, 9)
    return FlexPlace.between(shaft.flexes[softer], shaft.flexes[softer + 1], part, shaft)


def flex_label(flexes: Sequence[str]) -> str:
    """Return how a slider over a shaft's flexes is labelled: each flex with its number.

    >>> flex_label(("A", "R", "S"))
    'flex (0 A, 1 R, 2 S)'
    """
    return f"flex ({', '.join(f'{number} {flex}' for number, flex in enumerate(flexes))})"


def schedule_of(club: ClubBuild) -> TrimSchedule:
    """Return the schedule by which a club's parallel tip is trimmed."""
    schedule = club.plan.wanted.table
    assert isinstance(schedule, TrimSchedule)
    return schedule


def by_the_schedule(built: SetBuild) -> tuple[ClubBuild, ...]:
    """Return CLUBS of the set, each head with the BBGL that the schedule is written for: nothing is left to correct."""
    found = []
    for each in (built.club(name) for name in CLUBS):
        wanted = each.plan.wanted
        head = replace(wanted.head, bbgl_in=schedule_of(each).bbgl_reference_in(each.plan.equivalent))
        found.append(build_club(plan_club(replace(wanted, head=head)), each.assembly))
    return tuple(found)


def placed_club(clubs: Sequence[ClubBuild], params: ScheduleParams) -> PlacedClub:
    """Return one of CLUBS cut to a place along the flexes, and what all of them are there; raises TrimRefused."""
    ordered = clubs[CLUBS.index(params.club)]
    wanted = ordered.plan.wanted
    flex = flex_at(params.flexes_above, wanted.shaft)
    club = build_club(plan_club(replace(wanted, flex=flex)), ordered.assembly)
    trims = tuple(schedule_of(each).trim_in(each.plan.equivalent, flex) for each in clubs)
    changes = [trim - each.plan.tip_trim_in for trim, each in zip(trims, clubs, strict=True)]
    row = frequencies_cpm([card_of(each.plan, each.assembly) for each in clubs], {"tip_trim_in": changes})
    return PlacedClub(params.flexes_above, club, ordered, trims, tuple(row.tolist()))


def _draw_flexes(axes: Axes, clubs: Sequence[ClubBuild], rows: Sequence[Sequence[float]], before: float) -> None:
    """Draw each flex as its row over the clubs, and the reference's mark."""
    for number, (flex, row) in enumerate(zip(schedule_of(clubs[0]).flexes, rows, strict=True)):
        draw_flex(axes, number, flex, range(len(row)), row, marker=FLEX_PENS[number].marker, markersize=4)
    axes.plot([CLUBS.index(CLUB)], [before], **REFERENCE.mark(11, hollow=True), label="at the start")
    axes.plot([], [], **NOW.mark(), label="now")
    names = [club[0].upper() if club.endswith("wedge") else short_name(club) for club in CLUBS]
    axes.set(xlim=(-0.4, len(CLUBS) - 0.3))
    axes.set_xticks(range(len(names)), names)
    axes.set_xlabel("irons 4 to 9, gap wedge G", fontsize=12)


def _draw_club(axes: Axes, clubs: Sequence[ClubBuild], reference: PlacedClub) -> Live:
    longest = max(each.plan.playing_length_in for each in clubs)
    axes.set(xlim=(-0.6, longest + 0.6), ylim=(-1.15, 2.05))
    axes.set_xlabel("distance from the ground line (in), to scale", fontsize=12)
    without_y(axes)
    plan = reference.club.plan
    lowest = plan.wanted.bbgl_in - plan.tip_trim_in
    steps = [lowest + section.from_tip_in for section in plan.wanted.shaft.sections[1:]]
    under_grip = plan.playing_length_in - plan.wanted.grip.grip_length_in
    seen = [step for step in steps if step < under_grip]
    axes.vlines(seen, *STEPS_BEFORE, color=REFERENCE.colour, linewidth=2)
    words = f"steps of the {CLUB} in {FLEX}"
    axes.text(under_grip + 0.4, 0.78, words, color="#555555", fontsize=12, va="center")
    return draw_club(axes) | {"said": axes.text(0, 1.6, "", color="#333333", fontsize=12, va="center")}


def _scene(clubs: Sequence[ClubBuild], reference: PlacedClub) -> Scene:
    schedule = schedule_of(reference.club)
    trims = [[schedule.row(club, flex).tip_trim_in for club in CLUBS] for flex in schedule.flexes]
    cpm = [[club.flex_scale.frequency_cpm[number] for club in clubs] for number in range(len(schedule.flexes))]
    with styled_figure() as figure:
        axes = figure.subplot_mosaic([["club", "club"], ["trim", "cpm"]], height_ratios=(1.0, 2.1))
        live = _draw_club(axes["club"], clubs, reference)
        _draw_flexes(axes["trim"], clubs, trims, reference.club.plan.tip_trim_in)
        _draw_flexes(axes["cpm"], clubs, cpm, reference.club.frequency_cpm)
        axes["trim"].set(ylim=(0, 7.5), ylabel="tip trim (in)")
        axes["cpm"].set(ylim=(280, 345), ylabel="frequency (cpm)")
        axes["trim"].legend(loc="upper left", fontsize=12, frameon=False, handletextpad=0.2, borderaxespad=0.1)
        for name in ("trim", "cpm"):
            live[f"{name} row"] = axes[name].plot([], [], color=NOW.colour, linewidth=2)[0]
            live[f"{name} club"] = axes[name].plot([], [], **NOW.mark())[0]
            at = len(CLUBS) - 0.4, axes[name].get_ylim()[0]
            look: dict[str, Any] = {
                "color": NOW.colour,
                "fontsize": 12,
                "ha": "right",
                "va": "bottom",
                "fontweight": "bold",
            }
            live[f"{name} now"] = axes[name].text(*at, "", **look)
    return Scene(figure, live)


def _draw(live: Live, now: PlacedClub, _reference: PlacedClub) -> None:
    plan, cpm, column = now.club.plan, now.club.frequency_cpm, CLUBS.index(now.club.plan.club)
    move_drawn_club(live, plan)
    live["said"].set(text=f"{plan.club}, flex {plan.flex}: {nearest_mark(plan.tip_trim_in).text} off the tip")
    for name, row, value, text in (
        ("trim", now.trims_in, plan.tip_trim_in, f"now {nearest_mark(plan.tip_trim_in).text}"),
        ("cpm", now.row_cpm, cpm, f"now {quantity(cpm, 'cpm', 1)}"),
    ):
        live[f"{name} row"].set(data=(range(len(row)), row))
        live[f"{name} club"].set(data=([column], [value]))
        live[f"{name} now"].set(text=text)


def _read(now: PlacedClub) -> tuple[Readout, ...]:
    cpm = now.club.frequency_cpm
    change = cpm - now.ordered.frequency_cpm
    return (
        Readout("flex place asked", now.at, "flexes", 2, str(now.club.plan.flex), compare=False),
        to_cut("tip trim", now.club.plan.tip_trim_in, compare=False),
        Readout("frequency", cpm, "cpm", 1, compare=False),
        difference(f"against flex {FLEX}", change, "cpm", 1),
    )


def _describe(now: PlacedClub, _reference: PlacedClub) -> str:
    plan = now.club.plan
    cut = f"cut {both_units(plan.tip_trim_in)} off the tip"
    said = f"{cut}, as the schedule says"
    if plan.flex.fraction:
        said = (
            f"the schedule says {ruled(plan.schedule_trim_in)} for {plan.flex.softer} and the place between the two "
            f"flexes adds {ruled(plan.between_flexes_in)}, so {cut}"
        )
    cpm = now.club.frequency_cpm
    change = more_or_less(cpm - now.ordered.frequency_cpm, "cpm", 1, f"this club in {FLEX}")
    return f"{plan.club} at {plan.flex}: {said}. The club reads {cpm:.1f} cpm, {change}."


def schedule_lab() -> Lab[ScheduleParams, PlacedClub]:
    """Return the lab on the trim schedule: a place along the flexes of the demo set's shaft, and the club."""
    clubs = by_the_schedule(build_set(shipped_order()))
    flexes = schedule_of(clubs[0]).flexes
    end = float(len(flexes) - 1)
    return Lab(
        title="A club on its side with its steps, its tip trim in the schedule, and its frequency among its flexes",
        controls=(
            Slider("flexes_above", flex_label(flexes), "", 0.0, end, 0.05, float(flexes.index(FLEX))),
            Choice("club", "club", CLUBS, CLUB),
        ),
        params=ScheduleParams,
        compute=partial(placed_club, clubs),
        build=partial(_scene, clubs),
        draw=_draw,
        read=_read,
        describe=_describe,
    )


def schedule_table() -> pd.DataFrame:
    """Return the demo shaft's trim schedule, a row a club and a column a flex, tip trims in in."""
    schedule = schedule_of(build_set(shipped_order()).club(CLUB))
    columns = {
        f"flex {flex}: tip trim (in)": [schedule.row(club, flex).tip_trim_in for club in schedule.clubs]
        for flex in schedule.flexes
    }
    return pd.DataFrame(columns, index=pd.Index(schedule.clubs, name="club"))
