"""Lab: the trim schedule, and a place between two of its flexes: tip trim by rule, frequency by mechanics."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from trimkit.club.club import ClubBuild, build_club, club_frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.parts.components import Shaft
from trimkit.parts.units import both_units, nearest_mark, ruled, signed
from trimkit.study.figures.set import short_name
from trimkit.study.figures.setpanel import FLEX_PENS, draw_flex
from trimkit.study.frame.clubreadouts import difference, to_cut
from trimkit.study.frame.controls import Choice, Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, REFUSED, styled_figure, without_y
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import plan_club
from trimkit.trim.schedule import TrimSchedule

CLUB, FLEX = "7-iron", "R"
CLUBS = ("4-iron", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron", "gap wedge", "sand wedge")
TIP_SHOWN_IN = 20.0
"""How much of the shaft is drawn from its tip, in."""
CURVE = 9
"""Places between the softest and the stiffest flex at which the curve is computed."""


@dataclass(frozen=True)
class ScheduleParams:
    """flexes_above: how many flexes above the shaft's softest, 0 being that one. club: as engraved."""

    flexes_above: float
    club: str


@dataclass(frozen=True)
class PlacedClub:
    """A club at a place between flexes, the same club in the order's own flex, and its frequencies along the flexes.

    flexes_above, curve_cpm: places along the flexes, and the frequency (cpm) at each by mechanics.
    """

    at: float
    club: ClubBuild
    ordered: ClubBuild
    flexes_above: tuple[float, ...]
    curve_cpm: tuple[float, ...]


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


def placed_club(built: SetBuild, params: ScheduleParams) -> PlacedClub:
    """Return a club of the set cut to a place between flexes, by rule and by mechanics; raises as these do."""
    ordered = built.club(params.club)
    wanted, shaft = ordered.plan.wanted, ordered.plan.wanted.shaft
    club = build_club(plan_club(replace(wanted, flex=flex_at(params.flexes_above, shaft))), ordered.assembly)
    end = len(shaft.flexes) - 1
    places = tuple(end * number / (CURVE - 1) for number in range(CURVE))
    curve = club_frequencies_cpm(ordered.plan, ordered.assembly, tuple(trim_at(club, place) for place in places))
    return PlacedClub(params.flexes_above, club, ordered, places, curve)


def trim_at(club: ClubBuild, flexes_above: float) -> float:
    """Return the tip trim (in) of a club at another place along the flexes: schedule and bore's correction."""
    plan, schedule = club.plan, club.plan.wanted.table
    assert isinstance(schedule, TrimSchedule)
    return schedule.trim_in(plan.equivalent, flex_at(flexes_above, plan.wanted.shaft)) + plan.bbgl_correction_in


def by_schedule_in(club: ClubBuild) -> float:
    """Return the tip trim (in) of the schedule and the place between flexes, without the bore's correction."""
    return club.plan.schedule_trim_in + club.plan.between_flexes_in


def _draw_schedule(axes: Axes, schedule: TrimSchedule, reference: PlacedClub) -> Live:
    for number, flex in enumerate(schedule.flexes):
        trims = [schedule.row(club, flex).tip_trim_in for club in schedule.clubs]
        draw_flex(axes, number, flex, range(len(trims)), trims, marker=FLEX_PENS[number].marker, markersize=4)
    x = schedule.clubs.index(reference.club.plan.club)
    axes.plot([x], [by_schedule_in(reference.club)], **REFERENCE.mark(11, hollow=True))
    axes.set(xlim=(-0.5, len(schedule.clubs) - 0.2), ylim=(0, 7.5), ylabel="tip trim by schedule (in)")
    names = [club[0].upper() if club.endswith("wedge") else short_name(club) for club in schedule.clubs]
    axes.set_xticks(range(len(names)), names, fontsize=12)
    axes.set_xlabel("irons 2 to 9, wedges P, G, S, L", fontsize=12)
    return {"row": axes.plot([], [], **NOW.mark())[0]}


def _draw_frequency(axes: Axes, flexes: tuple[str, ...], reference: PlacedClub) -> Live:
    ghost = REFERENCE.line() | {"linewidth": 1.6}
    axes.plot(reference.flexes_above, reference.curve_cpm, **ghost, label="before")
    axes.plot([reference.at], [reference.club.frequency_cpm], **REFERENCE.mark(11, hollow=True))
    axes.plot([], [], color=NOW.colour, marker=NOW.marker, linewidth=2, label="now")
    axes.set(xlim=(-0.15, len(flexes) - 0.85), ylim=(278, 370), ylabel="frequency (cpm)")
    axes.set_xticks(range(len(flexes)), flexes)
    axes.set_xlabel("flex of this shaft", fontsize=12)
    axes.legend(loc="upper left", fontsize=12, frameon=False, borderaxespad=0.1)
    change = axes.text(0, 0, "", color=NOW.colour, fontsize=12, va="bottom", fontweight="bold")
    change.set_bbox({"facecolor": "white", "alpha": 0.8, "edgecolor": "none", "pad": 1.5})
    return {
        "curve": axes.plot([], [], color=NOW.colour, linewidth=2)[0],
        "club": axes.plot([], [], **NOW.mark())[0],
        "change": change,
    }


def _draw_tip(axes: Axes, reference: PlacedClub) -> Live:
    shaft, trim = reference.club.plan.wanted.shaft, reference.club.plan.tip_trim_in
    axes.set(xlim=(-0.3, TIP_SHOWN_IN), ylim=(-0.1, 1.0), xlabel="distance from the raw tip (in), to scale")
    without_y(axes)
    edges = [shaft.tip_section_in, *(s.to_tip_in for s in shaft.sections if s.from_tip_in >= shaft.tip_section_in)]
    axes.add_patch(Rectangle((0, 0), TIP_SHOWN_IN, 0.42, facecolor="#DCEAF4", edgecolor=NOW.colour))
    axes.vlines([edge for edge in edges if edge < TIP_SHOWN_IN], 0, 0.42, color="#333333", linewidth=1.0)
    axes.text(shaft.tip_section_in, 0.52, "first step", fontsize=12, ha="center")
    axes.plot([trim, trim], [-0.08, 0.6], color=REFERENCE.colour, linestyle=REFERENCE.dash)
    return {
        "cut": axes.add_patch(Rectangle((0, 0), 1, 0.42, facecolor="#F6C9A8", edgecolor=REFUSED, linewidth=1.6)),
        "cut text": axes.text(0, 0.68, "", color="#333333", fontsize=12, fontweight="bold"),
    }


def _scene(built: SetBuild, reference: PlacedClub) -> Scene:
    schedule = built.club(CLUB).plan.wanted.table
    assert isinstance(schedule, TrimSchedule)
    with styled_figure() as figure:
        axes = figure.subplot_mosaic(
            [["tip", "tip"], ["rows", "cpm"]], height_ratios=(1.0, 2.6), width_ratios=(1.15, 1)
        )
        live = _draw_tip(axes["tip"], reference)
        live |= _draw_schedule(axes["rows"], schedule, reference)
        live |= _draw_frequency(axes["cpm"], schedule.flexes, reference)
    return Scene(figure, live)


def _draw(live: Live, now: PlacedClub, _reference: PlacedClub) -> None:
    plan = now.club.plan
    schedule = plan.wanted.table
    assert isinstance(schedule, TrimSchedule)
    live["cut"].set(bounds=(0, 0, plan.tip_trim_in, 0.42))
    live["cut text"].set(position=(0, 0.68), text=f"tip cut {nearest_mark(plan.tip_trim_in).text}")
    live["row"].set(data=([schedule.clubs.index(plan.club)], [by_schedule_in(now.club)]))
    live["curve"].set(data=(now.flexes_above, now.curve_cpm))
    live["club"].set(data=([now.at], [now.club.frequency_cpm]))
    # Above and left of the marker; near the left edge below and right of it. The curve rises, so both are free.
    place, side = (now.at - 0.1, "right") if now.at > 1.02 else (now.at + 0.12, "left")
    text = f"{signed(now.club.frequency_cpm - now.ordered.frequency_cpm, 1)} cpm to {now.ordered.plan.flex}"
    above = 1.5 if side == "right" else -6.5
    live["change"].set(position=(place, now.club.frequency_cpm + above), text=text, ha=side)


def _read(now: PlacedClub) -> tuple[Readout, ...]:
    trim, cpm = now.club.plan.tip_trim_in, now.club.frequency_cpm
    change = cpm - now.ordered.frequency_cpm
    return (
        Readout("flex place asked", now.at, "flexes", 2, str(now.club.plan.flex), compare=False),
        to_cut("tip trim", trim, compare=False),
        Readout("frequency", cpm, "cpm", 1, compare=False),
        difference("against flex R", change, "cpm", 1),
        Readout("flex place, mechanics", now.at, "flexes", 2, now.ordered.flex_scale.say(cpm), compare=False),
    )


def _describe(now: PlacedClub, _reference: PlacedClub) -> str:
    plan = now.club.plan
    parts = f"in flex {plan.flex.softer} the schedule gives {ruled(plan.schedule_trim_in)}"
    if plan.flex.fraction:
        parts += f", the place between flexes adds {ruled(plan.between_flexes_in)}"
    if abs(plan.bbgl_correction_in) > 1e-9:
        parts += f", the bore {signed(plan.bbgl_correction_in, 2)} in"
    change = now.club.frequency_cpm - now.ordered.frequency_cpm
    return (
        f"{plan.club} at {plan.flex}: {parts}, so {both_units(plan.tip_trim_in)} off the tip. It plays "
        f"{now.club.frequency_cpm:.1f} cpm, {signed(change, 1)} cpm against the same club in flex R."
    )


def schedule_lab() -> Lab[ScheduleParams, PlacedClub]:
    """Return the lab on the trim schedule: a place between the flexes of the demo set's shaft, and the club."""
    built = build_set(shipped_order())
    flexes = built.order.shaft.flexes
    end = float(len(flexes) - 1)
    return Lab(
        title="A shaft's tip with its cut, the trim schedule, and the frequency along the flexes",
        controls=(
            Slider("flexes_above", flex_label(flexes), "", 0.0, end, 0.05, float(flexes.index(FLEX))),
            Choice("club", "club", CLUBS, CLUB),
        ),
        params=ScheduleParams,
        compute=partial(placed_club, built),
        build=partial(_scene, built),
        draw=_draw,
        read=_read,
        describe=_describe,
    )


def schedule_table() -> pd.DataFrame:
    """Return the demo shaft's trim schedule, a row a club and a column a flex, tip trims in in."""
    schedule = build_set(shipped_order()).club(CLUB).plan.wanted.table
    assert isinstance(schedule, TrimSchedule)
    columns = {
        f"{flex}_in": [schedule.row(club, flex).tip_trim_in for club in schedule.clubs] for flex in schedule.flexes
    }
    return pd.DataFrame(columns, index=pd.Index(schedule.clubs, name="club"))
