"""Lab: balance. The club on its fulcrum: swingweight, balance point, MOI, and the tip weight for a target."""

from __future__ import annotations

import math
import re
from functools import partial
from typing import Any

from matplotlib.axes import Axes

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.mechanics.balance import FULCRUM_IN, points_between
from trimkit.parts.units import MM_PER_IN, ruled, signed
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.frame.controls import Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, SERIES, styled_figure, without_y
from trimkit.study.labs.lever import (
    CLUB,
    LABELLED,
    MOST_TIP_WEIGHT_G,
    BalanceParams,
    WeighedClub,
    ordered_params,
    weigh,
)

TARGET = SERIES[1]
RULES = (("head", "+2 g"), ("grip", "−5 g"), ("length", "+1/6 in"))
"""The trade's rules for one point more: common practice, no source."""
ARMS = (20, 10, 0, -10)
DOT = "#1B1B1B"
DOTTED = (*LABELLED, "tip weight")
"""The parts drawn as dots; ferrule, tape and epoxy, a gram or two each, are only in the rest."""
WIDE, ARM_AT = 0.8, 0.62
"""How wide the club is drawn, heights for an inch of diameter; how high the arms are."""
SCALE = ("C0", "C5", "D0", "D5", "E0")


def balance_readouts(now: WeighedClub) -> tuple[Readout, ...]:
    """Return the readouts of a weighed club."""
    point = float(now.balance.balance_point_in)
    return (
        Readout("swingweight", round(now.points, 1), "points", 1, now.balance.swingweight),
        Readout("MOI", float(now.balance.moi_kg_cm2), "kg cm²", 0),
        Readout("balance point", point, "in", 2, f"{point:.2f} in ({point * MM_PER_IN:.0f} mm)"),
        Readout("total mass", float(now.balance.total_mass_g), "g", 1),
        Readout("frequency", now.frequency_cpm, "cpm", 1),
        Readout("for the target", now.head_mass_g, "g", 1, re.split("[;,]| with the", now.remedy)[0], compare=False),
    )


def _at(from_cap_in: float) -> float:
    """Where a place of the club is drawn: the fulcrum at 0, the head on the left."""
    return FULCRUM_IN - from_cap_in


def _lever(axes: Axes, reference: WeighedClub) -> Live:
    axes.set(xlim=(-25.0, 15.0), ylim=(-1.75, 2.45))
    axes.set_xlabel("distance from the fulcrum (in), + on the head's side; 1 oz = 28.35 g", fontsize=12)
    axes.set_xticks([-at for at in ARMS], ["0" if at == 0 else signed(at, 0) for at in ARMS])
    without_y(axes)
    axes.plot([0], [-0.52], marker="^", markersize=19, color="#333333")
    axes.text(0, -0.9, "fulcrum", ha="center", va="top", fontsize=12)
    live = draw_club(axes)
    for part in reference.masses.values():
        if part.name in LABELLED:
            axes.plot([_at(part.from_cap_in)], [0], color=REFERENCE.colour, fillstyle="none", **_dot(part.mass_g))
        if part.name in DOTTED:
            live[part.name] = axes.plot([], [], color=DOT, markeredgecolor="white", **_dot(part.mass_g))[0]
    before = _at(float(reference.balance.balance_point_in))
    axes.plot([before], [-0.42], color=REFERENCE.colour, fillstyle="none", marker="^", markersize=10, ls="none")
    live["balance point"] = axes.plot([], [], marker="^", markersize=10, color=NOW.colour, linestyle="none")[0]
    for name in ("head", "grip"):
        live[f"{name} arm"] = axes.plot([], [], color=DOT, linewidth=1.5, marker="|", markersize=9)[0]
    said: dict[str, Any] = {"fontsize": 12, "color": NOW.colour}
    for name, place, side in (("head", -24.9, "left"), ("shaft", -3.2, "center"), ("grip", 14.9, "right")):
        live[f"{name} text"] = axes.text(place, 0.95, "", ha=side, va="bottom", linespacing=1.15, **said)
    live["balance text"] = axes.text(-12, -0.7, "", ha="center", va="top", **said)
    live["rest text"] = axes.text(14.9, -0.9, "", ha="right", va="top", **said)
    return live


def _dot(mass_g: float) -> dict[str, Any]:
    """How a mass is drawn: a dot with its area as the mass."""
    return {"marker": "o", "markersize": math.sqrt(mass_g), "linestyle": "none", "markeredgewidth": 1.2}


def _letters(axes: Axes, reference: WeighedClub) -> Live:
    axes.set(xlim=(15, 47), ylim=(-1, 1), xlabel="swingweight")
    axes.set_xticks([30 + points_between("D0", text) for text in SCALE], SCALE)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    axes.plot([reference.points], [-0.45], **REFERENCE.mark(11, hollow=True))
    axes.text(15.3, -0.95, "□ before", fontsize=12, color=REFERENCE.colour, va="bottom")
    return {
        "swingweight": axes.plot([], [], **NOW.mark(11))[0],
        "target": axes.plot([], [], marker="v", markersize=11, color=TARGET.colour, linestyle="none")[0],
        "target text": axes.text(31, 0.62, "", ha="center", va="bottom", fontsize=12, color="#333333"),
    }


def _scene(reference: WeighedClub) -> Scene:
    with styled_figure() as figure:
        grid = figure.add_gridspec(2, 2, height_ratios=(1.8, 1.0), width_ratios=(1.25, 1.0))
        live = _lever(figure.add_subplot(grid[0, :]), reference) | _letters(figure.add_subplot(grid[1, 0]), reference)
        rules = figure.add_subplot(grid[1, 1])
        rules.set(xlim=(0, 1), ylim=(0, 1))
        rules.axis("off")
        for place, text in ((0.0, "+1 point"), (0.38, "rule"), (0.76, "here")):
            rules.text(place, 0.86, text, fontsize=12, fontweight="bold")
        for row, (name, rule) in enumerate(RULES):
            height = 0.6 - 0.26 * row
            rules.text(0.0, height, name, fontsize=12)
            rules.text(0.44, height, f"about {rule}", fontsize=12, ha="center")
            live[f"rule {name}"] = rules.text(0.72, height, "", fontsize=12, color=NOW.colour, fontweight="bold")
    return Scene(figure, live)


def _draw(live: Live, now: WeighedClub, reference: WeighedClub) -> None:
    move_drawn_club(live, now.plan, ground_at=_at(now.params.playing_length_in), across=WIDE)
    for name in DOTTED:
        part = now.masses[name]
        live[name].set(data=([_at(part.from_cap_in)], [0]), markersize=math.sqrt(part.mass_g))
    for name in ("head", "grip"):
        live[f"{name} arm"].set(data=([0.0, _at(now.masses[name].from_cap_in)], [ARM_AT, ARM_AT]))
    for name in LABELLED:
        part = now.masses[name]
        text = f"{name}\n{part.mass_g:.1f} g × {signed(part.arm_in, 2)} in\n= {signed(part.moment_oz_in, 1)} oz in"
        live[f"{name} text"].set(text=text)
    point = float(now.balance.balance_point_in)
    live["balance point"].set(data=([_at(point)], [-0.42]))
    live["balance text"].set(position=(_at(point) + 1.9, -0.7), text=f"balances {point:.2f} in from the cap")
    rest = sum(part.moment_oz_in for part in now.masses.values() if part.name not in LABELLED)
    live["rest text"].set(text=f"the rest {signed(rest, 1)} oz in")
    live["swingweight"].set(data=([now.points], [0]))
    target = 30 + now.params.target_points
    live["target"].set(data=([target], [0.4]))
    live["target text"].set(position=(target, 0.62), text=f"target {now.params.target}")
    live["rule head"].set(text=f"{signed(now.masses['head'].g_per_point, 2)} g")
    live["rule grip"].set(text=f"{signed(now.masses['grip'].g_per_point, 2)} g")
    live["rule length"].set(text=f"{signed(now.in_per_point, 2)} in")


def _describe(now: WeighedClub, reference: WeighedClub) -> str:
    change = points_between(reference.balance.swingweight, now.balance.swingweight)
    than = f"{signed(change, 1)} points" if change else "as before"
    params, weight = now.params, now.balance
    return (
        f"Head {params.head_mass_g:.1f} g, grip {params.grip_mass_g:.0f} g, length "
        f"{ruled(params.playing_length_in)}, tip weight {params.tip_weight_g:.1f} g: swingweight "
        f"{weight.swingweight} ({than}), MOI {weight.moi_kg_cm2:.0f} kg cm², "
        f"balance point {weight.balance_point_in:.2f} in. "
        f"For {now.params.target} it needs {now.remedy}."
    )


def balance_lab() -> Lab[BalanceParams, WeighedClub]:
    """Return the lab on balance: the demo set's 7-iron, its masses, its length, and a wanted swingweight."""
    start = build_set(shipped_order()).club(CLUB)
    ordered = ordered_params(start)
    head, length = ordered.head_mass_g, ordered.playing_length_in
    return Lab(
        title="A club on its fulcrum, its swingweight on the letter scale, and what one point costs",
        controls=(
            Slider(
                "head_mass_g",
                "head mass",
                "g",
                head - 10,
                head + 10,
                0.5,
                head,
                on_page=(head - 10, head - 5, head, head + 5, head + 10),
            ),
            Slider(
                "grip_mass_g",
                "grip mass",
                "g",
                30.0,
                66.0,
                1.0,
                ordered.grip_mass_g,
                on_page=(30.0, 36.0, 41.0, 46.0, 51.0, 56.0, 66.0),
            ),
            Slider(
                "playing_length_in",
                "playing length",
                "in",
                length - 0.5,
                length + 0.5,
                0.0625,
                length,
                on_page=(length - 0.5, length, length + 0.5),
            ),
            Slider("tip_weight_g", "tip weight", "g", 0.0, MOST_TIP_WEIGHT_G, 0.5, 0.0, on_page=(0.0, 2.0, 8.0)),
            Slider("target_points", "target, above D0", "points", -6.0, 6.0, 0.5, 0.0, on_page=(-2.5, 0.0, 2.0)),
        ),
        params=BalanceParams,
        compute=partial(weigh, start),
        build=_scene,
        draw=_draw,
        read=balance_readouts,
        describe=_describe,
    )
