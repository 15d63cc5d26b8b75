"""Lab: cutting to length. The shaft to scale with both cuts, a shaft that is too short, and the grip on the butt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.components import Grip
from trimkit.parts.units import both_units, ruled
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.figures.shaftruler import TALL, draw_ruler, move_ruler
from trimkit.study.frame.clubreadouts import to_cut
from trimkit.study.frame.controls import Slider, Switch
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFUSED, SERIES, styled_figure, without_y
from trimkit.trim.bore import bbgl_correction_in, check_fill
from trimkit.trim.butt import butt_cut, cut_length_in, grip_fit, outer_diameter_in
from trimkit.trim.plan import TrimPlan
from trimkit.trim.practice import BenchPractice
from trimkit.trim.refusals import ShaftTooShort

CLUB = "7-iron"
CLUB_AT, LENGTH_AT = -1.0, -2.4
"""Where, below the raw shaft, the finished club and the line of its playing length are drawn."""
NO_SHAFT = SERIES[4].colour
"""What of the playing length is no shaft, and what of the grip's core is no butt: BBGL, cap, tape."""


@dataclass(frozen=True)
class LengthParams:
    """What is ordered and measured, all in in.

    schedule_trim_in: tip trim by the schedule, before the bore. correct: follow the BBGL at the tip.
    core_diameter_in: of the grip.
    """

    playing_length_in: float
    bbgl_in: float
    schedule_trim_in: float
    correct: bool
    core_diameter_in: float


@dataclass(frozen=True)
class LengthCut:
    """One shaft cut to length, or found too short; lengths and diameters in in.

    left_over_in: raw length less tip trim less cut length, the butt trim; below 0 the shaft is too short.
    butt_diameter_in: at the cut, or at the raw butt of a shaft that is too short. tape_layers: under the grip.
    short: the refusal of a shaft that is too short.
    """

    params: LengthParams
    raw_length_in: float
    tip_trim_in: float
    cut_length_in: float
    butt_diameter_in: float
    tape_layers: int
    grip: Grip
    short: ShaftTooShort | None

    @property
    def left_over_in(self) -> float:
        """The butt trim, in; below 0 the missing length."""
        return self.raw_length_in - self.tip_trim_in - self.cut_length_in

    @property
    def tape_on_each_side_in(self) -> float:
        """How thick the tape lies on each side of the butt, in; it adds twice that to the diameter."""
        return self.tape_layers * BenchPractice().tape_thickness_in

    @property
    def ground_in(self) -> float:
        """Where the ground line lies, from the raw tip, in; below 0 outside the raw shaft."""
        return self.tip_trim_in - self.params.bbgl_in


def cut_to_length(plan: TrimPlan, params: LengthParams) -> LengthCut:
    """Return the plan's shaft cut as asked, or the shortfall.

    tip trim = schedule + BBGL - reference (schedule alone where it is not corrected); cut length = playing length -
    BBGL - cap. Raises TrimRefused if the tip no longer fills the bore or the grip's core is too wide for tape.
    """
    wanted, raw, length, bbgl = plan.wanted, plan.raw_length_in, params.playing_length_in, params.bbgl_in
    shaft, grip = wanted.shaft, replace(wanted.grip, core_diameter_in=params.core_diameter_in)
    reference = wanted.bbgl_in - plan.bbgl_correction_in
    trim = params.schedule_trim_in + (bbgl_correction_in(bbgl, reference) if params.correct else 0.0)
    check_fill(wanted.head, shaft, trim)
    cut = cut_length_in(length, bbgl, grip.cap_thickness_in)
    short = None
    try:
        butt_cut(shaft, grip, raw_length_in=raw, tip_trim_in=trim, playing_length_in=length, bbgl_in=bbgl)
    except ShaftTooShort as refusal:
        short = refusal
    butt = outer_diameter_in(shaft, raw if short else trim + cut)
    return LengthCut(params, raw, trim, cut, butt, grip_fit(butt, grip)[0], grip, short)


def _draw_club(axes: Axes, plan: TrimPlan, reference: LengthCut) -> Live:
    axes.set(xlim=(-1.5, 45.5), ylim=(-3.25, 1.6))
    live = draw_ruler(axes, plan.wanted.shaft, reference.tip_trim_in, reference.cut_length_in) | draw_club(axes)
    gap = Rectangle((0, 0), 1, TALL, fill=False, edgecolor=REFUSED, linestyle="--", linewidth=2)
    live["missing"] = axes.add_patch(gap)
    for name in ("BBGL", "cap"):
        live[name] = axes.add_patch(Rectangle((0, 0), 1, 1, facecolor=NO_SHAFT, edgecolor="#333333", linewidth=0.8))
    live["club"] = axes.plot([], [], color=NOW.colour, linewidth=2, marker="|", markersize=14, markeredgewidth=2)[0]
    live["missing text"] = axes.text(0, TALL + 0.55, "", color="#333333", fontsize=12, fontweight="bold", ha="right")
    live["club text"] = axes.text(0, LENGTH_AT - 0.25, "", color=NOW.colour, fontsize=12, ha="center", va="top")
    live["BBGL text"] = axes.text(0, CLUB_AT - 0.6, "", color="#333333", fontsize=12, ha="left", va="top")
    live["cap text"] = axes.text(0, CLUB_AT - 0.6, "", color="#333333", fontsize=12, ha="right", va="top")
    return live


def _draw_grip(axes: Axes) -> Live:
    without_y(axes)
    axes.set(xlim=(-0.33, 0.33), ylim=(0, 1.95), xlabel="distance from the middle of the butt (in)")
    axes.set_xticks([-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3], ["0.3", "0.2", "0.1", "0", "0.1", "0.2", "0.3"])
    axes.xaxis.label.set_fontsize(12)
    tape = [axes.add_patch(Rectangle((0, 0), 1, 0.75, facecolor=NO_SHAFT, edgecolor="none")) for _ in range(2)]
    return {
        "tape left": tape[0],
        "tape right": tape[1],
        "butt": axes.add_patch(Rectangle((0, 0), 1, 0.75, facecolor="#DCEAF4", edgecolor="#333333", linewidth=1.2)),
        "layers": axes.vlines([], 0, 0.75, color="#333333", linewidth=1.0),
        "butt text": axes.text(0, 0.36, "", color="#333333", fontsize=12, ha="center", va="center"),
        "core": axes.plot([], [], color=NOW.colour, linewidth=2, marker="|", markersize=14, markeredgewidth=2)[0],
        "grip text": axes.text(0, 1.3, "", color=NOW.colour, fontsize=12, ha="center"),
    }


def _scene(plan: TrimPlan, reference: LengthCut) -> Scene:
    with styled_figure() as figure:
        club, grip = figure.subplots(2, 1, height_ratios=(3.2, 1.0))
        live = _draw_club(club, plan, reference) | _draw_grip(grip)
    return Scene(figure, live)


def _draw(plan: TrimPlan, live: Live, now: LengthCut, _reference: LengthCut) -> None:
    upper, cap = now.tip_trim_in + now.cut_length_in, now.grip.cap_thickness_in
    move_ruler(live, now.raw_length_in, now.tip_trim_in, now.cut_length_in)
    short = now.short is not None
    for name in ("missing", "missing text"):
        live[name].set_visible(short)
    live["butt cut text"].set_visible(not short)
    live["butt cut"].set_visible(not short)
    live["missing"].set(bounds=(now.raw_length_in, 0, max(upper - now.raw_length_in, 0.0), TALL))
    live["missing text"].set(position=(upper, TALL + 0.55), text=f"missing {ruled(-now.left_over_in)}" if short else "")
    live["shaft text"].set(text=f"cut length {ruled(now.cut_length_in)}{' needed' if short else ''}")
    move_drawn_club(live, _finished(plan, now), ground_at=now.ground_in, height=CLUB_AT)
    live["BBGL"].set(bounds=(now.ground_in, CLUB_AT - 0.13, now.params.bbgl_in, 0.26))
    live["cap"].set(bounds=(upper, CLUB_AT - 0.5, cap, 1.0))
    live["BBGL text"].set(x=now.ground_in + 2.0, text=f"BBGL {ruled(now.params.bbgl_in)}")
    live["cap text"].set(x=upper + cap, text=f"cap {ruled(cap)}")
    live["club"].set(data=([now.ground_in, upper + cap], [LENGTH_AT, LENGTH_AT]))
    live["club text"].set(x=now.raw_length_in / 2, text=f"playing length {ruled(now.params.playing_length_in)}")
    _draw_butt(live, now)


def _finished(plan: TrimPlan, now: LengthCut) -> TrimPlan:
    """Return the plan with the lengths and the head as they are now: what of it is drawn."""
    head = replace(plan.wanted.head, bbgl_in=now.params.bbgl_in)
    return replace(
        plan,
        wanted=replace(plan.wanted, head=head),
        tip_trim_in=now.tip_trim_in,
        cut_length_in=now.cut_length_in,
        playing_length_in=now.params.playing_length_in,
    )


def _draw_butt(live: Live, now: LengthCut) -> None:
    half, tape = now.butt_diameter_in / 2, now.tape_on_each_side_in
    live["butt"].set(bounds=(-half, 0, 2 * half, 0.75))
    live["tape left"].set(bounds=(-half - tape, 0, tape, 0.75))
    live["tape right"].set(bounds=(half, 0, tape, 0.75))
    edges = [half + BenchPractice().tape_thickness_in * number for number in range(1, now.tape_layers + 1)]
    live["layers"].set(segments=[[(side * edge, 0), (side * edge, 0.75)] for edge in edges for side in (-1, 1)])
    live["butt text"].set(text=f"butt {now.butt_diameter_in:.3f} in")
    core = now.params.core_diameter_in
    live["core"].set(data=([-core / 2, core / 2], [1.08, 1.08]))
    live["grip text"].set(text=f"core {core:.3f} in: {_tape(now)}")


def _tape(now: LengthCut) -> str:
    layers, wider = now.tape_layers, now.butt_diameter_in - now.params.core_diameter_in
    if layers:
        side = now.tape_on_each_side_in
        counted = f"{layers} layer{'s' if layers > 1 else ''} of tape"
        return f"{counted}, {side:.3f} in on each side, together {2 * side:.3f} in"
    return f"no tape, the grip stretches by {wider:.3f} in" if wider > BenchPractice().caliper_in else "no tape"


def _read(now: LengthCut) -> tuple[Readout, ...]:
    left, cut = now.left_over_in, now.cut_length_in
    butt = f"none, lacks {both_units(-left)}" if now.short else both_units(left)
    return (
        to_cut("tip trim", now.tip_trim_in, compare=False),
        Readout("butt trim", left, "in", 2, butt, compare=False),
        to_cut("cut length", cut, compare=False),
        Readout("tape", now.tape_layers, "layers", 0, compare=False),
        Readout("core − butt", now.params.core_diameter_in - now.butt_diameter_in, "in", 3, compare=False),
    )


def _describe(now: LengthCut, _reference: LengthCut) -> str:
    params, cap = now.params, now.grip.cap_thickness_in
    facts = (
        f"{ruled(params.playing_length_in)} playing length, less {ruled(params.bbgl_in)} BBGL and {ruled(cap)} cap: "
        f"cut length {both_units(now.cut_length_in)}."
    )
    if now.short is not None:
        return f"{facts} Don't cut: {now.short.given.split(':')[0]}. Do next: {now.short.next_step}."
    return (
        f"{facts} Off the tip {both_units(now.tip_trim_in)}, off the butt {both_units(now.left_over_in)}. "
        f"Core {params.core_diameter_in:.3f} in on a butt of {now.butt_diameter_in:.3f} in: {_tape(now)}."
    )


def start_params(plan: TrimPlan) -> LengthParams:
    """Return a plan's own lengths (in), as the lab's controls name them; its bore corrected."""
    by_schedule = plan.tip_trim_in - plan.bbgl_correction_in
    return LengthParams(
        plan.playing_length_in, plan.wanted.bbgl_in, by_schedule, True, plan.wanted.grip.core_diameter_in
    )


def cutting_to_length_lab() -> Lab[LengthParams, LengthCut]:
    """Return the lab on cutting to length: the demo set's 7-iron, its lengths, its bore and its grip's core."""
    plan = build_set(shipped_order()).club(CLUB).plan
    start = start_params(plan)
    return Lab(
        title="A raw shaft to scale with its tip cut and butt cut, the club made of it, and the tape on its butt",
        controls=(
            Slider("playing_length_in", "playing length", "in", 35.5, 39.0, 0.0625, start.playing_length_in),
            Slider("bbgl_in", "BBGL", "in", 0.5, 1.75, 0.0625, start.bbgl_in, on_page=(0.75, 1.0, 1.25, 1.5)),
            Switch("correct", "correct the tip trim for the bore", start.correct),
            Slider(
                "schedule_trim_in",
                "tip trim by the schedule",
                "in",
                1.0,
                6.0,
                0.0625,
                start.schedule_trim_in,
                on_page=(4.0, 5.0, 6.0),
            ),
            Slider("core_diameter_in", "grip core", "in", 0.560, 0.620, 0.005, start.core_diameter_in, on_page=(0.58,)),
        ),
        params=LengthParams,
        compute=partial(cut_to_length, plan),
        build=partial(_scene, plan),
        draw=partial(_draw, plan),
        read=_read,
        describe=_describe,
    )


def butt_table(bbgl_in: Sequence[float] = (0.5, 0.75, 1.0, 1.25, 1.5)) -> pd.DataFrame:
    """Return the cuts (in) of the lab's club for several BBGLs (in), the butt trim also with the bore uncorrected."""
    plan = build_set(shipped_order()).club(CLUB).plan
    rows = []
    for bbgl in bbgl_in:
        asked = replace(start_params(plan), bbgl_in=bbgl)
        on, off = (cut_to_length(plan, replace(asked, correct=correct)) for correct in (True, False))
        rows.append((on.tip_trim_in, on.cut_length_in, on.left_over_in, off.left_over_in))
    columns = ["tip trim (in)", "cut length (in)", "butt trim (in)", "butt trim if not corrected (in)"]
    return pd.DataFrame(rows, index=pd.Index(bbgl_in, name="BBGL (in)"), columns=columns).round(3)
