"""Lab: what a deeper bore or a taller hosel does to a club, and what the BBGL correction makes up for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import cast

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import FancyArrowPatch, Polygon

from trimkit.club.club import ClubBuild, build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.mechanics.batch import Floats
from trimkit.parts.components import Head
from trimkit.parts.units import both_units, ruled
from trimkit.study.figures.setpanel import NARROW_LENGTH_AXIS, draw_set, move_club
from trimkit.study.frame.clubreadouts import against, club_readouts
from trimkit.study.frame.controls import Choice, Slider, Switch
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, styled_figure
from trimkit.trim.bore import BoreChoice
from trimkit.trim.plan import plan_club

CLUB = "7-iron"
TALLER, DEEPER = "hosel height", "bore depth"
PRICED = ("4-iron", "7-iron", "9-iron", "sand wedge")
"""Clubs whose correction the lesson gives in cpm."""
TOP_IN = 12.0
"""Height above the ground line to which the club's lower end is drawn, in."""
ACROSS = 2.4
"""Diameters are drawn this many times too wide, so that a step can be seen."""
GHOST_AT, NOW_AT, RIGHT = 1.0, 3.6, 7.5
ARROW_AT = NOW_AT + 0.95


@dataclass(frozen=True)
class BoreParams:
    """bbgl_in: of the head. changes: by which part. correct: follow it at the tip. head_mass_g: of the head."""

    bbgl_in: float
    changes: str
    correct: bool
    head_mass_g: float


def changed_head(head: Head, params: BoreParams) -> Head:
    """Return the head with another BBGL: its hosel as much taller, or its bore as much less deep; and its new mass."""
    depth = head.bore_depth_in if params.changes == TALLER else head.hosel_top_in - params.bbgl_in
    return replace(head, bbgl_in=params.bbgl_in, bore_depth_in=depth, head_mass_g=params.head_mass_g)


def bore_club(start: ClubBuild, params: BoreParams) -> ClubBuild:
    """Return the club of ``start`` built with the changed head, by rule and by mechanics; raises as these do."""
    decisions = replace(
        start.plan.wanted.decisions,
        bore=BoreChoice.CORRECT if params.correct else BoreChoice.LEAVE,
        why="the lab's switch is off",
    )
    head = changed_head(start.plan.wanted.head, params)
    wanted = replace(start.plan.wanted, head=head, dry_fit=None, decisions=decisions)
    return build_club(plan_club(wanted), start.assembly)


def steps_in(club: ClubBuild) -> list[float]:
    """Return how high every step is above the ground line, in, from the head up: BBGL + from the raw tip - trim."""
    plan = club.plan
    sections = plan.wanted.shaft.sections[1:]
    return [plan.wanted.bbgl_in + section.from_tip_in - plan.tip_trim_in for section in sections]


def _tube(club: ClubBuild, at: float) -> Floats:
    """Outline of the shaft from its lower end up to the top of the picture, as x, y points around ``at``."""
    plan, right = club.plan, []
    for section in plan.wanted.shaft.sections:
        low, high = (plan.wanted.bbgl_in - plan.tip_trim_in + s for s in (section.from_tip_in, section.to_tip_in))
        low, high = max(low, plan.wanted.bbgl_in), min(high, TOP_IN)
        if high > low:
            half = ACROSS * section.outer_diameter_in / 2
            right += [(half, low), (half, high)]
    return _both_sides(right, at)


def _hosel(club: ClubBuild, at: float) -> Floats:
    """Outline of the hosel with its bore: a cup open to the top."""
    head = club.plan.wanted.head
    inner = ACROSS * head.bore_diameter_in / 2
    outer, low, bottom, top = inner + 0.22, 0.12, max(head.bbgl_in, 0.12), head.hosel_top_in
    return _both_sides([(outer, low), (outer, top), (inner, top), (inner, bottom)], at)


def _both_sides(right: Sequence[tuple[float, float]], at: float) -> Floats:
    return np.add([*right, *((-x, y) for x, y in reversed(right))], (at, 0))


def _blade(at: float) -> Floats:
    """Outline of the blade, roughly drawn and not to scale."""
    return np.add([(0.55, 0.12), (0, 0), (-1, 0), (-1.25, 0.5), (-1.2, 1.15), (-0.55, 0.75)], (at, 0))


def _step_marks(club: ClubBuild, at: float) -> list[list[tuple[float, float]]]:
    """A line across the shaft for every step in the picture, the first one first."""
    return [[(at - 0.62, step), (at + 0.62, step)] for step in steps_in(club) if step < TOP_IN]


def _draw_ghost(axes: Axes, club: ClubBuild) -> None:
    shapes = ((_blade(GHOST_AT), "#E4E4E4"), (_tube(club, GHOST_AT), "#E4E4E4"), (_hosel(club, GHOST_AT), "#BBBBBB"))
    for shape, grey in shapes:
        axes.add_patch(Polygon(shape, facecolor=grey, edgecolor=REFERENCE.colour, linewidth=1.2))
    for number, ends in enumerate(_step_marks(club, GHOST_AT)):
        axes.plot(*zip(*ends, strict=True), color=REFERENCE.colour, linewidth=1.6 if number else 4.5)
    steps = [step for step in steps_in(club) if step < TOP_IN]
    for height in (*steps, club.plan.wanted.head.hosel_top_in, club.plan.wanted.bbgl_in):
        across = [GHOST_AT - 0.8, NOW_AT + 0.7]
        axes.plot(across, [height, height], color=REFERENCE.colour, linestyle=REFERENCE.dash, linewidth=1.0)


def _scene(built: SetBuild, reference: ClubBuild) -> Scene:
    with styled_figure() as figure:
        lower, right = figure.subplots(1, 2, width_ratios=(1.05, 1.25))
        lower.set(xlim=(-0.5, RIGHT), ylim=(-0.6, TOP_IN), ylabel="height above ground line (in)")
        lower.set_xticks([GHOST_AT, NOW_AT], ["before", "now"])
        lower.grid(visible=False)
        lower.plot([-0.5, ARROW_AT + 0.25], [0, 0], color="#333333", linewidth=2)  # short of the words beside it
        _draw_ghost(lower, reference)
        arrow = FancyArrowPatch(
            (ARROW_AT, 0), (ARROW_AT, 1), arrowstyle="<|-|>", mutation_scale=9, shrinkA=0, shrinkB=0
        )
        arrow.set(color=NOW.colour, linewidth=1.6)
        live: Live = {
            "blade": lower.add_patch(Polygon(_blade(NOW_AT), facecolor="#B9D4E8", edgecolor=NOW.colour)),
            "shaft": lower.add_patch(Polygon([(0, 0)], facecolor="#DCEAF4", edgecolor=NOW.colour, linewidth=1.6)),
            "hosel": lower.add_patch(Polygon([(0, 0)], facecolor="#7FB2D6", edgecolor=NOW.colour, linewidth=1.6)),
            "steps": lower.hlines([], [], [], color=NOW.colour, linewidth=1.6),
            "first step": lower.plot([], [], color=NOW.colour, linewidth=4.5)[0],
            "bore bottom": lower.plot([], [], color=NOW.colour, linewidth=1.6)[0],
            "bbgl": lower.add_patch(arrow),
        }
        lower.set_xlabel(f"diameters drawn {ACROSS:g} times too wide", fontsize=12)
        for name, side in (("first step", "bottom"), ("hosel top", "bottom"), ("BBGL", "center")):
            live[f"{name} text"] = lower.text(0, 0, "", color=NOW.colour, fontsize=12, va=side)
        live["raised"] = lower.text(NOW_AT + 0.75, 9.2, "", color=NOW.colour, fontsize=12, fontweight="bold")
        live |= draw_set(right, built, reference)
        right.set_xticks(range(35, 40))
        right.set_xlabel(NARROW_LENGTH_AXIS, fontsize=12)
    return Scene(figure, live)


def _draw(live: Live, now: ClubBuild, reference: ClubBuild) -> None:
    live["shaft"].set(xy=_tube(now, NOW_AT))
    live["hosel"].set(xy=_hosel(now, NOW_AT))
    head, step = now.plan.wanted.head, steps_in(now)[0]
    first, *others = _step_marks(now, NOW_AT)
    live["first step"].set(data=tuple(zip(*first, strict=True)))
    live["steps"].set(segments=others)
    live["bore bottom"].set(data=([NOW_AT, ARROW_AT + 0.25], [head.bbgl_in] * 2))
    cast(FancyArrowPatch, live["bbgl"]).set_positions((ARROW_AT, 0), (ARROW_AT, head.bbgl_in))
    top = max(head.hosel_top_in, 1.9)  # above the words beside the arrow
    for name, x, y, height in (
        ("first step", NOW_AT + 0.75, step + 0.1, step),
        ("hosel top", NOW_AT + 0.75, top + 0.1, head.hosel_top_in),
        ("BBGL", ARROW_AT + 0.3, max(head.bbgl_in / 2, 0.45), head.bbgl_in),
    ):
        live[f"{name} text"].set(position=(x, y), text=f"{name}\n{ruled(height)}")
    live["raised"].set(text=f"every step\n{_raised(now, reference)}".replace(" in ", " in\n"))
    move_club(live, now, reference)


def _raised(now: ClubBuild, reference: ClubBuild) -> str:
    """How far every step moved, in words."""
    raised = steps_in(now)[0] - steps_in(reference)[0]
    return "where it was" if abs(raised) < 1e-9 else f"{ruled(abs(raised))} {'higher' if raised > 0 else 'lower'}"


def _describe(now: ClubBuild, reference: ClubBuild) -> str:
    plan, head = now.plan, now.plan.wanted.head
    by_schedule = head.bbgl_in - plan.bbgl_correction_in - plan.bbgl_uncorrected_in
    off = head.bbgl_in - by_schedule
    bore = (
        "the schedule's own"
        if abs(off) < 1e-9
        else f"{ruled(abs(off))} {'more' if off > 0 else 'less'} than the schedule's {ruled(by_schedule)}"
    )
    return (
        f"BBGL {ruled(head.bbgl_in)}, {bore}. With {both_units(plan.tip_trim_in)} off the tip, every step is "
        f"{_raised(now, reference)}. {against(now, reference, swingweight=False)}"
    )


def _read(start: ClubBuild, now: ClubBuild) -> tuple[Readout, ...]:
    """The readouts of a club without its swingweight, which a later lesson teaches."""
    return tuple(each for each in club_readouts(start, now) if each.label != "swingweight")


def bore_depth_lab() -> Lab[BoreParams, ClubBuild]:
    """Return the lab on bore depth: the demo set's 7-iron, its BBGL, what changes with it, the correction, its mass."""
    built = build_set(shipped_order())
    start = built.club(CLUB)
    head = start.plan.wanted.head
    return Lab(
        title="Lower end of a 7-iron beside the one before, and the frequency of the set",
        controls=(
            Slider("bbgl_in", "BBGL", "in", 0.5, 1.75, 0.0625, head.bbgl_in),
            Choice("changes", "It changes", (TALLER, DEEPER), TALLER),
            Switch("correct", "correct the tip trim for the bore", True),
            Slider(
                "head_mass_g",
                "head mass",
                "g",
                255.0,
                295.0,
                0.1,
                head.head_mass_g,
                on_page=(258.3, 263.3, 268.3, 273.3, 278.3, 283.3, 288.3),
            ),
        ),
        params=BoreParams,
        compute=partial(bore_club, start),
        build=partial(_scene, built),
        draw=_draw,
        read=partial(_read, start),
        describe=_describe,
    )


def correction_table(clubs: Sequence[str] = PRICED, more_in: float = 0.5) -> pd.DataFrame:
    """Return what the correction is worth, a row each club of the demo set whose BBGL is ``more_in`` (in) more.

    Changes (cpm) against the same club with the schedule's BBGL, the hosel as much taller: without the extra cut, with
    it, and the difference of the two.
    """
    built, rows = build_set(shipped_order()), {}
    for name in clubs:
        club = built.club(name)
        own, plan = club.plan.wanted.head.head_mass_g, club.plan
        bbgl = plan.wanted.bbgl_in - plan.bbgl_correction_in - plan.bbgl_uncorrected_in
        settings = ((bbgl, True), (bbgl + more_in, False), (bbgl + more_in, True))
        before, left, made = (
            bore_club(club, BoreParams(each, TALLER, correct, own)).frequency_cpm for each, correct in settings
        )
        rows[name] = (left - before, made - before, made - left)
    columns = ["without the extra cut (cpm)", "with the extra cut (cpm)", "difference (cpm)"]
    return pd.DataFrame.from_dict(rows, orient="index", columns=columns).rename_axis("club")
