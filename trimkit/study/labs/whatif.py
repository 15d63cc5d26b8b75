"""Lab: the what-if bench. Any club of the demo set, each of its numbers changed, against the club as ordered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import pandas as pd
from matplotlib.axes import Axes

from trimkit.club.card import Assembly, card_components, card_of
from trimkit.club.club import ClubBuild, club_frequencies_cpm, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.mechanics.balance import Balance, balance, points_between
from trimkit.parts.units import both_units, signed
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.frame.controls import Choice, Slider
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.pins import SavingLab
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, styled_figure, without_y
from trimkit.trim.plan import TrimPlan

CLUB = "7-iron"
ORDERED_AT, NOW_AT = 1.75, 0.0
"""Heights of the two drawn clubs' shafts: as ordered, and now."""
GREY_FILLS = {"drawn head": "#E8E8E8", "drawn shaft": "#F8F8F8", "drawn hosel": "#CFCFCF", "drawn grip": "#9A9A9A"}
STRIPS: Mapping[str, tuple[str, int, float]] = {
    "frequency": ("cpm", 1, 30.0),
    "swingweight": ("points", 1, 18.0),
    "MOI": ("kg cm²", 0, 300.0),
    "total mass": ("g", 1, 50.0),
}
"""What is drawn as a strip: unit, decimals, and how far the strip reaches to either side."""
SAID: Mapping[str, tuple[str, str, int]] = {
    "tip_trim_in": ("tip trim", "in", 4),
    "playing_length_in": ("length", "in", 4),
    "bbgl_in": ("BBGL", "in", 4),
    "head_mass_g": ("head", "g", 1),
    "tip_weight_g": ("tip weight", "g", 1),
    "grip_mass_g": ("grip", "g", 0),
}
"""The changes as the sentence says them: name, unit, decimals."""


@dataclass(frozen=True)
class WhatIfParams:
    """club: which one of the set. The others are differences from it as ordered, lengths in in, masses in g.

    bbgl_in: the hosel so much taller (+), the tip trim not corrected for it.
    """

    club: str
    tip_trim_in: float = 0.0
    playing_length_in: float = 0.0
    bbgl_in: float = 0.0
    head_mass_g: float = 0.0
    tip_weight_g: float = 0.0
    grip_mass_g: float = 0.0


@dataclass(frozen=True, eq=False)
class WhatIf:
    """A club as changed, beside the club as ordered. frequency_cpm and balance: of the changed club, by mechanics."""

    params: WhatIfParams
    ordered: ClubBuild
    plan: TrimPlan
    assembly: Assembly
    frequency_cpm: float
    balance: Balance

    @property
    def flex(self) -> str:
        """Its place on the flex scale of the club as ordered, in words."""
        return self.ordered.flex_scale.say(self.frequency_cpm)

    @property
    def flexes(self) -> float:
        """Change as a fraction of a flex, on that scale; + stiffer."""
        return self.ordered.flex_scale.flexes_apart(self.frequency_cpm, self.ordered.frequency_cpm)

    @property
    def now_and_before(self) -> dict[str, tuple[float, float]]:
        """What the strips show, each in its unit of :data:`STRIPS`; swingweight in points above D0."""
        then = self.ordered
        return {
            "frequency": (self.frequency_cpm, then.frequency_cpm),
            "swingweight": (points_between("D0", self.balance.swingweight), points_between("D0", then.swingweight)),
            "MOI": (float(self.balance.moi_kg_cm2), then.moi_kg_cm2),
            "total mass": (float(self.balance.total_mass_g), then.total_mass_g),
        }


def _changed(ordered: ClubBuild, params: WhatIfParams) -> tuple[TrimPlan, Assembly]:
    plan, wanted = ordered.plan, ordered.plan.wanted
    head = replace(
        wanted.head,
        bbgl_in=wanted.bbgl_in + params.bbgl_in,
        head_mass_g=wanted.head.head_mass_g + params.head_mass_g,
    )
    grip = replace(wanted.grip, grip_mass_g=wanted.grip.grip_mass_g + params.grip_mass_g)
    # The dry fit measured the head as it is; the changed head has a BBGL of its own.
    plan = replace(plan, wanted=replace(wanted, head=head, grip=grip, dry_fit=None))
    length = plan.playing_length_in + params.playing_length_in
    tip_weight = ordered.assembly.tip_weight_g + params.tip_weight_g
    cut = recut(plan, plan.tip_trim_in + params.tip_trim_in, length)
    return cut, replace(ordered.assembly, tip_weight_g=tip_weight)


def what_if(built: SetBuild, params: WhatIfParams) -> WhatIf:
    """Answer what a club of the set becomes with these changes, every other number as ordered.

    The tip is cut where it is asked, not by rule; the butt trim makes up the rest. Raises TrimRefused if the shaft
    cannot be cut so, ModelError as the mechanics does, KeyError for a club that the set does not have.
    """
    ordered = built.club(params.club)
    plan, assembly = _changed(ordered, params)
    (cpm,) = club_frequencies_cpm(plan, assembly, (plan.tip_trim_in,))
    return WhatIf(params, ordered, plan, assembly, cpm, balance(card_components(card_of(plan, assembly))))


def _clubs(axes: Axes, reference: WhatIf) -> Live:
    """Draw both clubs, without a place yet: the one as ordered grey, with lines led down from it."""
    without_y(axes)
    longest = max(rung.playing_length_in for rung in reference.plan.wanted.ladder.rungs)
    axes.set(xlim=(-0.8, longest + 1.5), ylim=(-1.45, 2.4))
    axes.set_xlabel("along the shaft, from the ground line (in)", fontsize=12, labelpad=1)
    live: Live = {"leads": axes.vlines([], 0, 0, color=REFERENCE.colour, linewidth=1.0, linestyles=":")}
    for name, artist in draw_club(axes, REFERENCE.colour).items():
        live[f"ordered {name}"] = artist
        if name in GREY_FILLS:
            artist.set(facecolor=GREY_FILLS[name])
    live |= draw_club(axes)
    look: dict[str, Any] = {"fontsize": 12, "va": "center", "ha": "left"}
    live["ordered says"] = axes.text(10.0, ORDERED_AT - 0.65, "", color=REFERENCE.colour, **look)
    live["now says"] = axes.text(10.0, NOW_AT - 0.75, "", color=NOW.colour, **look)
    return live


def _strips(axes_of: Mapping[str, Axes]) -> Live:
    live: Live = {}
    for name, axes in axes_of.items():
        unit, _decimals, reach = STRIPS[name]
        axes.set(xlim=(-reach, reach), ylim=(-1.0, 2.6))
        axes.set_xticks([-reach / 2, 0, reach / 2], [signed(-reach / 2, 0), "0", signed(reach / 2, 0)])
        axes.set_yticks([])
        axes.tick_params(labelsize=12)
        axes.spines["left"].set_visible(False)
        axes.plot([0, 0], [-1, 0.9], color=REFERENCE.colour, linestyle=REFERENCE.dash, linewidth=2.0)
        axes.text(-reach, 2.6, f"{name} ({unit})", fontsize=12, va="top")
        live[f"bar {name}"] = axes.plot([], [], color=NOW.colour, linewidth=7, alpha=0.6, solid_capstyle="butt")[0]
        live[f"mark {name}"] = axes.plot([], [], **NOW.mark(9))[0]
        live[f"text {name}"] = axes.text(reach, 2.6, "", fontsize=12, color=NOW.colour, va="top", ha="right")
    return live


def _scene(reference: WhatIf) -> Scene:
    with styled_figure() as figure:
        grid = figure.add_gridspec(3, 2, height_ratios=(1.9, 1.0, 1.0), wspace=0.06)
        live = _clubs(figure.add_subplot(grid[0, :]), reference)
        places = ((1, 0), (1, 1), (2, 0), (2, 1))
        live |= _strips({name: figure.add_subplot(grid[at]) for name, at in zip(STRIPS, places, strict=True)})
        figure.supxlabel("change from the club as ordered (gray line)", fontsize=12)
    return Scene(figure, live)


def _draw(live: Live, now: WhatIf, _reference: WhatIf) -> None:
    ordered = {name.removeprefix("ordered "): artist for name, artist in live.items() if name.startswith("ordered ")}
    for drawn, plan, height in ((ordered, now.ordered.plan, ORDERED_AT), (live, now.plan, NOW_AT)):
        move_drawn_club(drawn, plan, height=height)
    live["leads"].set(segments=[[(at, NOW_AT - 0.45), (at, ORDERED_AT)] for at in _marks_in(now.ordered.plan)])
    ordered["says"].set(text=f"as ordered: {_masses(now.ordered.plan, now.ordered.assembly)}")
    live["now says"].set(text=f"now: {_masses(now.plan, now.assembly)}")
    for name, (value, before) in now.now_and_before.items():
        _unit, decimals, _reach = STRIPS[name]
        change = value - before
        live[f"bar {name}"].set(data=([0, change], [0, 0]))
        live[f"mark {name}"].set(data=([change], [0]))
        says = now.balance.swingweight if name == "swingweight" else f"{value:.{decimals}f}"
        live[f"text {name}"].set(text=f"{says}, {signed(change, decimals)}")


def _marks_in(plan: TrimPlan) -> tuple[float, float, float]:
    """Where a hand would measure a club, above the ground line (in): the hosel's top, the first step, the cap's end."""
    first_step = plan.wanted.bbgl_in + plan.wanted.shaft.sections[0].to_tip_in - plan.tip_trim_in
    return plan.wanted.head.hosel_top_in, first_step, plan.playing_length_in


def _masses(plan: TrimPlan, assembly: Assembly) -> str:
    """What of a club no drawing shows: head, grip and a tip weight, g."""
    weight = f", tip weight {assembly.tip_weight_g:g} g" if assembly.tip_weight_g else ""
    return f"head {plan.wanted.head.head_mass_g:.1f} g, grip {plan.wanted.grip.grip_mass_g:g} g{weight}"


def what_if_readouts(now: WhatIf) -> tuple[Readout, ...]:
    """Return the readouts; each difference is that to the chosen club as ordered."""
    pairs = now.now_and_before
    (cpm, cpm_then), (points, points_then) = pairs["frequency"], pairs["swingweight"]
    (moi, moi_then), (mass, mass_then) = pairs["MOI"], pairs["total mass"]
    trim = now.plan.tip_trim_in
    return (
        Readout("frequency", cpm, "cpm", 1, before=cpm_then),
        Readout("flex place", now.flexes, "flex", 2, now.flex, before=0.0),
        Readout("swingweight", points, "points", 1, now.balance.swingweight, before=points_then),
        Readout("MOI", moi, "kg cm²", 0, before=moi_then),
        Readout("total mass", mass, "g", 1, before=mass_then),
        Readout("tip trim", trim, "in", 3, both_units(trim), before=now.ordered.plan.tip_trim_in),
    )


def changes(params: WhatIfParams) -> str:
    """Return what is changed, in words; lengths in in, masses in g.

    >>> changes(WhatIfParams("7-iron", tip_trim_in=0.5, head_mass_g=-4.0)), changes(WhatIfParams("7-iron"))
    ('tip trim +0.5 in, head −4 g', 'nothing changed')
    """
    parts = []
    for name, (said, unit, decimals) in SAID.items():
        if value := getattr(params, name):
            number = signed(value, decimals)
            parts.append(f"{said} {number.rstrip('0').rstrip('.') if '.' in number else number} {unit}")
    return ", ".join(parts) or "nothing changed"


def _describe(now: WhatIf, _reference: WhatIf) -> str:
    pairs = {name: (value, value - before) for name, (value, before) in now.now_and_before.items()}
    (cpm, faster), (_, heavier) = pairs["frequency"], pairs["swingweight"]
    (moi, more), (mass, grams) = pairs["MOI"], pairs["total mass"]
    return (
        f"{now.params.club}, {changes(now.params)}: {cpm:.1f} cpm ({signed(faster, 1)}), flex {now.flex}, swingweight "
        f"{now.balance.swingweight} ({signed(heavier, 1)} points), MOI {moi:.0f} kg cm² ({signed(more, 0)}), "
        f"{mass:.1f} g ({signed(grams, 1)})."
    )


def what_if_lab() -> SavingLab[WhatIfParams, WhatIf]:
    """Return the what-if bench: a club of the demo set, its changes, and pins that can be saved."""
    built = build_set(shipped_order())
    return SavingLab(
        title="A changed club against the same club as ordered",
        controls=(
            Choice("club", "club", tuple(club.plan.club for club in built.clubs), CLUB, on_page=(CLUB,)),
            Slider("tip_trim_in", "tip trim, more +", "in", -0.75, 0.75, 0.0625, 0.0, on_page=(-0.5, 0.0, 0.1875, 0.5)),
            Slider("playing_length_in", "length, longer +", "in", -0.5, 0.5, 0.0625, 0.0, on_page=(-0.5, 0.0, 0.5)),
            Slider("bbgl_in", "BBGL, taller hosel +", "in", -0.5, 0.5, 0.0625, 0.0, on_page=(-0.5, 0.0, 0.5)),
            Slider("head_mass_g", "head mass, heavier +", "g", -10.0, 10.0, 0.5, 0.0, on_page=(-7.0, -4.0, 0.0, 6.0)),
            Slider("tip_weight_g", "tip weight", "g", 0.0, 8.0, 0.5, 0.0, on_page=(0.0, 4.0)),
            Slider("grip_mass_g", "grip mass, heavier +", "g", -16.0, 20.0, 1.0, 0.0, on_page=(0.0, 10.0, 16.0)),
        ),
        params=WhatIfParams,
        compute=partial(what_if, built),
        build=_scene,
        draw=_draw,
        read=what_if_readouts,
        describe=_describe,
    )


def what_if_table(*tries: WhatIfParams) -> pd.DataFrame:
    """Return several what-ifs side by side, a row each: frequency, flex place, swingweight, MOI, total mass."""
    built = build_set(shipped_order())
    tried = [what_if(built, params) for params in tries]
    rows = [
        {
            "club": now.params.club,
            "frequency (cpm)": now.frequency_cpm,
            "flex place": now.flex,
            "swingweight": now.balance.swingweight,
            "MOI (kg cm²)": float(now.balance.moi_kg_cm2),
            "total mass (g)": float(now.balance.total_mass_g),
        }
        for now in tried
    ]
    return pd.DataFrame(rows, index=pd.Index([changes(params) for params in tries], name="what if"))
