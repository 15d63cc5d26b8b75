"""Lab: frequency and the flex scale. The rule's straight line from tip trim to flex, against the mechanics."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from trimkit.club.club import ClubBuild, anchor_trims, club_frequencies_cpm
from trimkit.club.flexscale import FlexScale
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.mechanics.batch import Floats
from trimkit.parts.units import nearest_mark, signed
from trimkit.study.frame.clubreadouts import difference, to_cut
from trimkit.study.frame.controls import Choice, Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, SERIES, styled_figure

CLUB = "7-iron"
ORDERED, OWN = "as ordered", "this head, clamp"
RULE = SERIES[1]
LOWEST_CPM, HIGHEST_CPM = 270.0, 350.0
CURVE_STEP_IN = 0.125
COMPLIANCE_MOMENT_N_M = 10.0
"""The moment at which the clamp's compliance is stated, N m: about 1.3 kg hung on a 7-iron's shaft."""


@dataclass(frozen=True)
class FlexParams:
    """What is set at the saw, on the scale and at the frequency machine.

    tip_trim_in: in. head_mass_g: g. clamp_in: from the cap end, in. compliance_deg: tilt of the clamp under
    10 N m, degrees. scale: whose three flexes the frequency is read on, as ordered or of this head in this clamp.
    """

    tip_trim_in: float
    head_mass_g: float
    clamp_in: float
    compliance_deg: float
    scale: str

    @property
    def root_spring_n_m_per_rad(self) -> float | None:
        """Rotational stiffness of the clamp, N m/rad; None if it is rigid (below a billionth of a degree)."""
        return COMPLIANCE_MOMENT_N_M / math.radians(self.compliance_deg) if self.compliance_deg > 1e-9 else None


@dataclass(frozen=True, eq=False)
class FlexReading:
    """One club on the machine, and what the rule expects of it.

    frequency_cpm: by mechanics. scale: the flexes it is read on; trims_in: their tip trims. rule_cpm: where the rule,
    linear in tip trim between two flexes, puts it on that scale. curve: tip trims (in) and frequencies (cpm).
    """

    params: FlexParams
    frequency_cpm: float
    scale: FlexScale
    trims_in: tuple[float, ...]
    rule_cpm: float
    curve: tuple[Floats, Floats]

    @property
    def residual_cpm(self) -> float:
        """Mechanics minus rule, cpm."""
        return self.frequency_cpm - self.rule_cpm

    @property
    def residual_flex(self) -> float:
        """Mechanics minus rule, as a fraction of a flex."""
        return self.scale.flexes_apart(self.frequency_cpm, self.rule_cpm)


def read_flex(start: ClubBuild, params: FlexParams) -> FlexReading:
    """Answer what the club of ``start``, changed as asked, reads, and what the rule says of its flex.

    The rule knows the tip trim alone: place = (trim - trim_softer) / (trim_stiffer - trim_softer). Raises ModelError
    as the mechanics does.
    """
    wanted = start.plan.wanted
    plan = replace(start.plan, wanted=replace(wanted, head=replace(wanted.head, head_mass_g=params.head_mass_g)))
    assembly = replace(start.assembly, clamp_in=params.clamp_in, root_spring_n_m_per_rad=params.root_spring_n_m_per_rad)
    anchors = anchor_trims(start.plan)
    trims = tuple(anchors.values())
    sweep = np.arange(trims[0], trims[-1] + CURVE_STEP_IN / 2, CURVE_STEP_IN)
    own, *rest = club_frequencies_cpm(plan, assembly, (params.tip_trim_in, *trims, *sweep))
    scale = start.flex_scale
    if params.scale == OWN:
        scale = FlexScale(tuple(anchors), tuple(rest[: len(trims)]))
    rule = float(np.interp(params.tip_trim_in, trims, scale.frequency_cpm))
    return FlexReading(params, own, scale, trims, rule, (sweep, np.array(rest[len(trims) :])))


def flex_readouts(now: FlexReading) -> tuple[Readout, ...]:
    """Return the readouts of one reading."""
    trim = now.params.tip_trim_in
    return (
        to_cut("tip trim", trim),
        Readout("frequency", now.frequency_cpm, "cpm", 1),
        Readout("flex place, mechanics", now.frequency_cpm, "", 2, now.scale.say(now.frequency_cpm), compare=False),
        Readout("flex place, rule", now.rule_cpm, "", 2, now.scale.say(now.rule_cpm), compare=False),
        difference("mechanics − rule", now.residual_cpm, "cpm", 2),
        difference("in flexes", now.residual_flex, "flex", 2, "of a flex"),
    )


def _ladder(axes: Axes, flexes: tuple[str, ...]) -> Live:
    """Draw the frame of the flex scale; return what moves: its marks, letters and pointers."""
    axes.set(xlim=(0, 1), ylim=(LOWEST_CPM, HIGHEST_CPM), xlabel="▶ mechanics\n◀ rule")
    axes.xaxis.label.set_fontsize(12)
    axes.set_xticks([])
    axes.tick_params(labelleft=False)
    axes.grid(visible=False)
    pointer: dict[str, Any] = {"linestyle": "none", "markersize": 13}
    live: Live = {
        "scale": axes.plot([], [], color="#333333", linewidth=2)[0],
        "marks": axes.plot([], [], color="#333333", linestyle="none", marker="_", markersize=18)[0],
        "quarters": axes.plot([], [], color="#333333", linestyle="none", marker="_", markersize=9)[0],
        "by mechanics": axes.plot([], [], color=NOW.colour, marker=">", **pointer)[0],
        "by rule": axes.plot([], [], color=RULE.colour, marker="<", **pointer)[0],
    }
    for flex in flexes:
        live[f"flex {flex}"] = axes.text(
            0.92, LOWEST_CPM, flex, ha="center", va="center", fontsize=13, fontweight="bold"
        )
    return live


def _scene(reference: FlexReading) -> Scene:
    with styled_figure() as figure:
        left, right = figure.subplots(1, 2, width_ratios=(3.2, 1.0))
        left.set(xlim=(2.6, 5.65), ylim=(LOWEST_CPM, HIGHEST_CPM), xlabel="tip trim (in)", ylabel="frequency (cpm)")
        left.plot(*reference.curve, **REFERENCE.line(), label="before")
        left.plot([], [], **NOW.line(), label="mechanics now")
        rule = RULE.line() | {"linewidth": 1.8, "marker": RULE.marker, "markersize": 10}
        left.plot([], [], **rule, label="rule: straight line")
        left.legend(loc="upper left", fontsize=12, frameon=False, borderaxespad=0, labelspacing=0.2, handlelength=1.6)
        live: Live = {
            "curve": left.plot([], [], **NOW.line())[0],
            "rule": left.plot([], [], **rule)[0],
            "gap": left.plot([], [], color="#333333", linewidth=2.5)[0],
            "club": left.plot([], [], **NOW.mark(12))[0],
        }
        place: dict[str, Any] = {"ha": "right", "va": "bottom", "fontsize": 12, "fontweight": "bold"}
        live["said"] = left.text(5.6, LOWEST_CPM + 2, "", color="#333333", **place)
        live |= _ladder(right, reference.scale.flexes)
    return Scene(figure, live)


def _draw(live: Live, now: FlexReading, reference: FlexReading) -> None:
    trim, cpm, scale = now.params.tip_trim_in, now.frequency_cpm, now.scale.frequency_cpm
    live["curve"].set(data=now.curve)
    live["rule"].set(data=(now.trims_in, scale))
    live["gap"].set(data=([trim, trim], [now.rule_cpm, cpm]))
    live["club"].set(data=([trim], [cpm]))
    live["said"].set(text=f"mechanics − rule: {signed(now.residual_cpm, 2)} cpm")
    steps = np.arange(4 * (len(scale) - 1) + 1) / 4
    live["scale"].set(data=([0.5, 0.5], [scale[0], scale[-1]]))
    live["marks"].set(data=([0.5] * len(scale), scale))
    live["quarters"].set(data=(np.full(steps.size, 0.5), np.interp(steps, range(len(scale)), scale)))
    live["by mechanics"].set(data=([0.28], [cpm]))
    live["by rule"].set(data=([0.72], [now.rule_cpm]))
    for flex, height in zip(now.scale.flexes, scale, strict=True):
        live[f"flex {flex}"].set(position=(0.92, height))


def _apart(now: FlexReading) -> str:
    cpm = f"{abs(now.residual_cpm):.2f}"
    if cpm == "0.00":
        return "the mechanics reads the same"
    way = "more" if now.residual_cpm > 0 else "less"
    return f"the mechanics reads {cpm} cpm ({abs(now.residual_flex):.2f} of a flex) {way} than the rule"


def _describe(now: FlexReading, reference: FlexReading) -> str:
    params = now.params
    clamp = f"rigid clamp of {params.clamp_in:.2f} in"
    if params.compliance_deg > 0:
        clamp = f"clamp of {params.clamp_in:.2f} in that tilts {params.compliance_deg:.2f}° under 10 N m"
    whose = "as ordered" if params.scale == ORDERED else "of this head in this clamp"
    return (
        f"Tip trim {nearest_mark(params.tip_trim_in).text}, a head of {params.head_mass_g:.1f} g, a {clamp}: "
        f"{now.frequency_cpm:.1f} cpm. On the scale {whose} that is {now.scale.say(now.frequency_cpm)}; the rule says "
        f"{now.scale.say(now.rule_cpm)}: {_apart(now)}."
    )


def flex_scale_lab() -> Lab[FlexParams, FlexReading]:
    """Return the lab on frequency and flex: the demo set's 7-iron, its tip trim, its head, and how it is clamped."""
    start = build_set(shipped_order()).club(CLUB)
    head = start.plan.wanted.head.head_mass_g
    softest, *_rest, stiffest = anchor_trims(start.plan).values()
    return Lab(
        title="Frequency over tip trim by mechanics and by rule, and the flex scale",
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
            Choice("scale", "Read on the scale of the club", (ORDERED, OWN), ORDERED),
        ),
        params=FlexParams,
        compute=partial(read_flex, start),
        build=_scene,
        draw=_draw,
        read=flex_readouts,
        describe=_describe,
    )


def lesson_reading(**changed: float | str) -> FlexReading:
    """Return the reading the lab begins with, or with some of its params changed."""
    start = build_set(shipped_order()).club(CLUB)
    head = start.plan.wanted.head.head_mass_g
    ordered = FlexParams(start.plan.tip_trim_in, head, start.assembly.clamp_in, 0.0, ORDERED)
    return read_flex(start, replace(ordered, **changed))  # type: ignore[arg-type]


def straightness_table(tip_trim_in: tuple[float, ...] = (2.75, 3.25, 3.75, 4.0, 4.5, 5.0, 5.5)) -> pd.DataFrame:
    """Return rule and mechanics at several tip trims (in), head and clamp as ordered: flex, cpm, residual."""
    readings = [lesson_reading(tip_trim_in=trim) for trim in tip_trim_in]
    return pd.DataFrame(
        {
            "flex_by_rule": [now.scale.say(now.rule_cpm) for now in readings],
            "rule_cpm": [now.rule_cpm for now in readings],
            "mechanics_cpm": [now.frequency_cpm for now in readings],
            "residual_cpm": [round(now.residual_cpm, 9) + 0.0 for now in readings],
        },
        index=pd.Index(tip_trim_in, name="tip_trim_in"),
    )


WHAT_CHANGED: Mapping[str, Mapping[str, float]] = {
    "nothing": {},
    "head 10 g lighter": {"head_mass_g": 263.3},
    "clamp 4 in": {"clamp_in": 4.0},
    "clamp 6 in": {"clamp_in": 6.0},
    "clamp compliance 0.2°": {"compliance_deg": 0.2},
}


def reading_table() -> pd.DataFrame:
    """Return what head and clamp do to the reading of one cut (4 1/2 in), on the scale as ordered and on its own."""
    rows = {}
    for what, changed in WHAT_CHANGED.items():
        ordered, own = (lesson_reading(tip_trim_in=4.5, **changed, scale=scale) for scale in (ORDERED, OWN))
        rows[what] = {
            "frequency_cpm": ordered.frequency_cpm,
            "flex_scale_as_ordered": ordered.scale.say(ordered.frequency_cpm),
            "flex_own_scale": own.scale.say(own.frequency_cpm),
        }
    return pd.DataFrame.from_dict(rows, orient="index").rename_axis("what is changed")
