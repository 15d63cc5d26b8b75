"""Lab: frequency and the flex scale. One reading, on the scale of the club as ordered and on that of this very club."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from trimkit.club.club import ClubBuild, anchor_trims, club_frequencies_cpm, recut
from trimkit.club.flexscale import FlexScale
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import nearest_mark, ruled
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.frame.clubreadouts import to_cut
from trimkit.study.frame.controls import Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, SERIES, styled_figure, without_y
from trimkit.trim.plan import TrimPlan

CLUB = "7-iron"
RULE = SERIES[1]
LOWEST_CPM, HIGHEST_CPM = 270.0, 350.0
ROWS = {"as ordered": 1.0, "this head,\nthis clamp": 0.0}
"""The two scales as the picture calls them, and their heights in it."""
POINTER = (-0.6, 0.0, np.nan, 0.47, 1.0, np.nan, 1.47, 1.8)
"""Heights of the pointer's line, which leaves the letters free."""
COMPLIANCE_MOMENT_N_M = 10.0
"""The moment at which the clamp's compliance is stated, N m: about 1.3 kg hung on a 7-iron's shaft."""


@dataclass(frozen=True)
class FlexParams:
    """What is set at the saw and at the frequency machine.

    tip_trim_in: in. head_mass_g: g. clamp_in: from the cap end, in. compliance_deg: tilt of the clamp under 10 N m,
    degrees.
    """

    tip_trim_in: float
    head_mass_g: float
    clamp_in: float
    compliance_deg: float

    @property
    def root_spring_n_m_per_rad(self) -> float | None:
        """Rotational stiffness of the clamp, N m/rad; None if it is rigid (below a billionth of a degree)."""
        return COMPLIANCE_MOMENT_N_M / math.radians(self.compliance_deg) if self.compliance_deg > 1e-9 else None


@dataclass(frozen=True, eq=False)
class FlexReading:
    """One club on the machine, and what the rule expects of it.

    plan: the club as it is cut. frequency_cpm: computed. ordered: the flexes of the club as ordered; own: those of this
    head in this clamp; trims_in: the tip trims of both.
    """

    params: FlexParams
    plan: TrimPlan
    frequency_cpm: float
    ordered: FlexScale
    own: FlexScale
    trims_in: tuple[float, ...]

    @property
    def free_in(self) -> float:
        """From the clamp to the shaft's lower end, in."""
        return self.plan.cut_length_in + self.plan.wanted.grip.cap_thickness_in - self.params.clamp_in

    def rule_cpm(self, scale: FlexScale) -> float:
        """Where the rule, linear in tip trim between two flexes, puts the club on a scale, cpm."""
        return float(np.interp(self.params.tip_trim_in, self.trims_in, scale.frequency_cpm))

    @property
    def by_rule(self) -> str:
        """The club's flex by its tip trim alone."""
        return self.ordered.say(self.rule_cpm(self.ordered))


def read_flex(start: ClubBuild, params: FlexParams) -> FlexReading:
    """Answer what the club of ``start``, changed as asked, reads, and the two scales to read it on.

    The rule knows the tip trim alone: place = (trim - trim_softer) / (trim_stiffer - trim_softer). Raises TrimRefused
    if the shaft cannot be cut so, ModelError as the frequency does.
    """
    cut = recut(start.plan, params.tip_trim_in, start.plan.playing_length_in)
    plan = replace(cut, wanted=replace(cut.wanted, head=replace(cut.wanted.head, head_mass_g=params.head_mass_g)))
    assembly = replace(start.assembly, clamp_in=params.clamp_in, root_spring_n_m_per_rad=params.root_spring_n_m_per_rad)
    anchors = anchor_trims(start.plan)
    trims = tuple(anchors.values())
    now, *flexes = club_frequencies_cpm(plan, assembly, (params.tip_trim_in, *trims))
    return FlexReading(params, plan, now, start.flex_scale, FlexScale(tuple(anchors), tuple(flexes)), trims)


def flex_readouts(now: FlexReading) -> tuple[Readout, ...]:
    """Return the readouts of one reading."""
    cpm = now.frequency_cpm
    return (
        to_cut("tip trim", now.params.tip_trim_in),
        Readout("frequency", cpm, "cpm", 1),
        Readout("flex by the rule", now.rule_cpm(now.ordered), "", 2, now.by_rule, compare=False),
        Readout("flex, scale as ordered", cpm, "", 2, now.ordered.say(cpm), compare=False),
        Readout("flex, this head and clamp", cpm, "", 2, now.own.say(cpm), compare=False),
    )


def _machine(axes: Axes, plan: TrimPlan) -> Live:
    """Draw the frame of the club in its clamp; return what moves."""
    without_y(axes)
    axes.set(xlim=(-2.5, plan.playing_length_in + 1.5), ylim=(-2.3, 1.5), xticks=[])
    axes.spines["bottom"].set_visible(False)
    jaw: dict[str, Any] = {"facecolor": "#999999", "edgecolor": "#333333"}
    live: Live = {name: axes.add_patch(Rectangle((0, 0), 0, 0, **jaw)) for name in ("upper jaw", "lower jaw")}
    live |= draw_club(axes)
    arrow: dict[str, Any] = {"color": "#333333", "linewidth": 1.2, "marker": "|", "markersize": 10}
    live["free"] = axes.plot([], [], **arrow)[0]
    live["hinge"] = axes.plot([], [], color="#333333", marker="o", markersize=9, mfc="white", mew=2, ls="none")[0]
    live["first step"] = axes.plot([], [], color="#333333", marker="v", markersize=7, ls="none")[0]
    words: dict[str, Any] = {"color": "#333333", "fontsize": 12}
    live["head text"] = axes.text(2.2, -1.7, "", ha="left", va="center", **words)
    live["free text"] = axes.text(0, -1.0, "", ha="center", va="top", **words)
    live["clamp text"] = axes.text(plan.playing_length_in + 1.0, 0.95, "", ha="right", va="bottom", **words)
    live["step text"] = axes.text(0, 0.75, "first step", ha="center", va="bottom", **words)
    return live


def _scales(axes: Axes, reference: FlexReading) -> Live:
    """Draw the frame of the two scales, and the one as ordered, which stays; return what moves."""
    axes.set(xlim=(LOWEST_CPM, HIGHEST_CPM), ylim=(-0.62, 1.95), xlabel="frequency (cpm)")
    axes.set_yticks([*ROWS.values()], [*ROWS])
    axes.tick_params(axis="y", length=0)
    axes.grid(visible=False, axis="y")
    axes.plot([reference.frequency_cpm] * 2, [*ROWS.values()], **REFERENCE.mark(15, hollow=True))
    live: Live = {"reading": axes.plot([], [], color=NOW.colour, linewidth=2)[0]}
    marks: dict[str, Any] = {"color": "#333333", "marker": "|", "linewidth": 2}
    letters: dict[str, Any] = {"ha": "center", "va": "bottom", "fontsize": 13, "fontweight": "bold"}
    cpm = reference.ordered.frequency_cpm
    axes.plot(cpm, [1.0] * len(cpm), markersize=16, **marks)
    live["own scale"] = axes.plot([], [], markersize=16, **marks)[0]
    for flex, at in zip(reference.ordered.flexes, cpm, strict=True):
        axes.text(at, 1.17, flex, **letters)
        live[f"own {flex}"] = axes.text(at, 0.17, flex, **letters)
    for name, height in (("ordered", 1.0), ("own", 0.0)):
        live[f"{name} rule"] = axes.plot([], [], **RULE.mark(15))[0]
        live[f"{name} place"] = axes.plot([], [], **NOW.mark(9))[0]
        live[f"{name} said"] = axes.text(
            0, height - 0.18, "", va="top", fontsize=12, fontweight="bold", color=NOW.colour
        )
    live["cpm"] = axes.text(0, 1.62, "", va="bottom", fontsize=12, fontweight="bold", color=NOW.colour)
    return live


def _scene(plan: TrimPlan, reference: FlexReading) -> Scene:
    with styled_figure() as figure:
        machine, scales = figure.subplots(2, 1, height_ratios=(1.0, 1.45))
        live = _machine(machine, plan) | _scales(scales, reference)
        scales.plot([], [], **NOW.mark(11), label="the reading")
        scales.plot([], [], **RULE.mark(11), label="the rule")
        scales.plot([], [], **REFERENCE.mark(11, hollow=True), label="before")
        figure.legend(loc="outside lower center", ncols=3, fontsize=12, frameon=False)
    return Scene(figure, live)


def _draw_machine(live: Live, now: FlexReading) -> None:
    params, plan = now.params, now.plan
    move_drawn_club(live, plan)
    end, tip = plan.playing_length_in, plan.wanted.bbgl_in
    edge = end - params.clamp_in
    live["upper jaw"].set(bounds=(edge, 0.42, params.clamp_in, 0.45))
    live["lower jaw"].set(bounds=(edge, -0.87, params.clamp_in, 0.45))
    live["free"].set(data=([tip, edge], [-0.85, -0.85]))
    live["hinge"].set(data=([edge], [0.0]), visible=params.compliance_deg > 0)
    first = tip + plan.wanted.shaft.tip_section_in - params.tip_trim_in
    live["first step"].set(data=([first], [0.5]))
    live["step text"].set(position=(first, 0.75))
    live["head text"].set(text=f"head {params.head_mass_g:.1f} g")
    live["free text"].set(position=((tip + edge) / 2 + 2, -1.0), text=f"free {ruled(now.free_in)}")
    tilt = f", tilts {params.compliance_deg:.2f}°" if params.compliance_deg > 0 else ""
    live["clamp text"].set(text=f"clamp {ruled(params.clamp_in)}{tilt}")


def _draw(live: Live, now: FlexReading, _reference: FlexReading) -> None:
    _draw_machine(live, now)
    cpm, own = now.frequency_cpm, now.own.frequency_cpm
    live["own scale"].set(data=(own, [0.0] * len(own)))
    for flex, at in zip(now.own.flexes, own, strict=True):
        live[f"own {flex}"].set(position=(at, 0.17))
    live["reading"].set(data=([cpm] * len(POINTER), POINTER))
    right = cpm < (LOWEST_CPM + HIGHEST_CPM) / 2
    beside: dict[str, Any] = {"x": cpm + (1.2 if right else -1.2), "ha": "left" if right else "right"}
    for name, height, scale in (("ordered", 1.0, now.ordered), ("own", 0.0, now.own)):
        live[f"{name} rule"].set(data=([now.rule_cpm(scale)], [height]))
        live[f"{name} place"].set(data=([cpm], [height]))
        live[f"{name} said"].set(text=scale.say(cpm), **beside)
    live["cpm"].set(text=f"{cpm:.1f} cpm", **beside)


def _describe(now: FlexReading, reference: FlexReading) -> str:
    params, cpm = now.params, now.frequency_cpm
    clamp = f"a clamp of {ruled(params.clamp_in)} that doesn't give"
    if params.compliance_deg > 0:
        clamp = f"a clamp of {ruled(params.clamp_in)} that tilts {params.compliance_deg:.2f}° under 10 N m"
    return (
        f"Tip trim {nearest_mark(params.tip_trim_in).text}, a head of {params.head_mass_g:.1f} g, {clamp}: "
        f"{cpm:.1f} cpm. By the rule the flex is {now.by_rule}. The reading is {now.ordered.say(cpm)} on the scale as "
        f"ordered and {now.own.say(cpm)} on the scale of this head in this clamp."
    )


def flex_scale_lab() -> Lab[FlexParams, FlexReading]:
    """Return the lab on frequency and flex: the demo set's 7-iron, its tip trim, its head, and how it is clamped."""
    start = build_set(shipped_order()).club(CLUB)
    head = start.plan.wanted.head.head_mass_g
    softest, *_rest, stiffest = anchor_trims(start.plan).values()
    return Lab(
        title="A club in its clamp, and its frequency on two flex scales",
        controls=(
            Slider(
                "tip_trim_in",
                "tip trim",
                "in",
                softest,
                stiffest,
                0.0625,
                start.plan.tip_trim_in,
                on_page=(2.75, 3.0, 3.25, 3.5, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0, 5.25, 5.5),
            ),
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
            Slider("clamp_in", "clamp length", "in", 4.0, 6.0, 0.125, start.assembly.clamp_in, on_page=(4.0, 5.0, 6.0)),
            Slider("compliance_deg", "clamp compliance", "° at 10 N m", 0.0, 0.3, 0.02, 0.0, on_page=(0.0, 0.1, 0.2)),
        ),
        params=FlexParams,
        compute=partial(read_flex, start),
        build=partial(_scene, start.plan),
        draw=_draw,
        read=flex_readouts,
        describe=_describe,
    )


def lesson_reading(**changed: float) -> FlexReading:
    """Return the reading the lab begins with, or with some of its params changed."""
    start = build_set(shipped_order()).club(CLUB)
    head = start.plan.wanted.head.head_mass_g
    ordered = FlexParams(start.plan.tip_trim_in, head, start.assembly.clamp_in, 0.0)
    return read_flex(start, replace(ordered, **changed))


def straightness_table(tip_trim_in: tuple[float, ...] = (2.75, 3.25, 3.75, 4.0, 4.5, 5.0, 5.5)) -> pd.DataFrame:
    """Return the flex at several tip trims (in), head and clamp as ordered: by the rule, and as the club reads."""
    readings = [lesson_reading(tip_trim_in=trim) for trim in tip_trim_in]
    return pd.DataFrame(
        {
            "flex by the rule": [now.by_rule for now in readings],
            "flex computed": [now.own.say(now.frequency_cpm) for now in readings],
            "frequency (cpm)": [now.frequency_cpm for now in readings],
        },
        index=pd.Index([nearest_mark(trim).text for trim in tip_trim_in], name="tip trim"),
    )


WHAT_CHANGED: Mapping[str, Mapping[str, float]] = {
    "nothing": {},
    "head 10 g lighter": {"head_mass_g": 263.3},
    "clamp 4 in": {"clamp_in": 4.0},
    "clamp 6 in": {"clamp_in": 6.0},
    "clamp tilts 0.2°": {"compliance_deg": 0.2},
}


def reading_table() -> pd.DataFrame:
    """Return what head and clamp do to the reading of one cut (4 1/2 in), on the scale as ordered and on its own."""
    rows = {}
    for what, changed in WHAT_CHANGED.items():
        now = lesson_reading(tip_trim_in=4.5, **changed)
        cpm = now.frequency_cpm
        rows[what] = {
            "frequency (cpm)": cpm,
            "flex, scale as ordered": now.ordered.say(cpm),
            "flex, this head and clamp": now.own.say(cpm),
        }
    return pd.DataFrame.from_dict(rows, orient="index").rename_axis("what changed")
