"""Lab: where each sixteenth comes from. The tip trim of a club, stage by stage, drawn along its raw shaft."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from functools import partial

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from trimkit.club.club import ClubBuild, build_club, club_frequencies_cpm
from trimkit.club.order.decisions import decisions_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import both_units, nearest_mark, signed
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.frame.clubreadouts import against, club_readouts, to_cut
from trimkit.study.frame.controls import Slider, Switch
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import REFERENCE, SERIES, styled_figure
from trimkit.study.labs.schedule import flex_at, flex_label
from trimkit.trim.bore import BoreChoice, DryFit
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.steps import TIP_PARTS, StepKind

CLUB = "sand wedge"
WHY = "the order must say why"
"""The lab has no reason to offer; the order asks for one."""
PARTS = tuple(kind for kind in TIP_PARTS if kind is not StepKind.PULLED)
"""The steps of the tip trim of a new shaft, which the lab's is."""
ROWS = (*PARTS, StepKind.TIP_TRIM)
PENS = (SERIES[0], SERIES[2], SERIES[1], SERIES[3])
WIDTH_IN, HEIGHT_IN = 11.6, 7.4
"""What the picture shows, in: along the shaft from its raw tip, and across; both to the same scale."""
AT = (7.0, 5.9, 4.8, 3.7)
"""Heights of the rows, in; the words of each are below it."""
CLUB_AT = 2.2
"""Height of the club's axis, in."""


@dataclass(frozen=True)
class RationaleParams:
    """flexes_above: the softest flex, 0 to the stiffest. bbgl_in: found with a bare shaft and a dry fit, in.

    follow: whether the tip trim follows the bore.
    """

    flexes_above: float
    bbgl_in: float
    follow: bool


@dataclass(frozen=True)
class Part:
    """One step of the tip trim. inches: of the step; before_in: of the steps above it; cpm: after it; sum: its inches
    as one adds them up by hand."""

    kind: StepKind
    inches: float
    before_in: float
    cpm: float
    sum: str


@dataclass(frozen=True)
class Rationale:
    """A club of the order and the steps of its tip trim, the sum last."""

    club: ClubBuild
    parts: tuple[Part, ...]


def parts_of(club: ClubBuild) -> Rationale:
    """Return where a planned club's tip trim comes from: inches, sum and frequency (cpm) after each step.

    Raises ModelError if the shaft cannot be cut to the sum of the first steps.
    """
    plan, sums = club.plan, _sums(club.plan)
    ends = [sum(plan.inches(kind) for kind in PARTS[:count]) for count in range(len(PARTS) + 1)]
    cpm = club_frequencies_cpm(plan, club.assembly, tuple(ends[1:]))
    parts = [
        Part(kind, plan.inches(kind), before, after, sums[kind])
        for kind, before, after in zip(PARTS, ends, cpm, strict=False)
    ]
    whole = Part(StepKind.TIP_TRIM, plan.tip_trim_in, 0.0, club.frequency_cpm, sums[StepKind.TIP_TRIM])
    return Rationale(club, (*parts, whole))


def _sums(plan: TrimPlan) -> dict[StepKind, str]:
    """Return each step of the tip trim as a hand adds it up."""
    flex, bbgl_in = plan.flex, plan.wanted.bbgl_in
    reference_in = bbgl_in - plan.bbgl_correction_in - plan.bbgl_uncorrected_in
    bore = f"BBGL {_mark(bbgl_in)} in less the schedule's {_mark(reference_in)} in"
    if plan.bbgl_uncorrected_in:
        bore += ": left out"
    whole = _mark(plan.schedule_trim_in)
    for inches in (plan.between_flexes_in, plan.bbgl_correction_in):
        whole += f" {'−' if inches < 0 else '+'} {_mark(abs(inches))}"
    return {
        StepKind.SCHEDULE: f"the {plan.equivalent}'s row, flex {flex.softer}",
        StepKind.FLEX: f"{flex.fraction:g} of the way to {flex.stiffer}"
        if flex.fraction
        else "nothing: one flex, as the schedule has it",
        StepKind.BORE: bore,
        StepKind.TIP_TRIM: f"{whole} in",
    }


def _mark(inches: float) -> str:
    return nearest_mark(inches).text.removesuffix(" in")


def ordered_club(start: ClubBuild, params: RationaleParams) -> Rationale:
    """Return the club of ``start`` ordered otherwise, by rule and by mechanics; raises as these do."""
    wanted, fit = start.plan.wanted, start.plan.wanted.dry_fit
    assert fit is not None  # the demo's wedge was measured so
    decisions = replace(wanted.decisions, bore=BoreChoice.CORRECT if params.follow else BoreChoice.LEAVE, why=WHY)
    asked = replace(
        wanted,
        flex=flex_at(params.flexes_above, wanted.shaft),
        dry_fit=DryFit(fit.bare_shaft_in, fit.bare_shaft_in + params.bbgl_in),
        decisions=decisions,
    )
    return parts_of(build_club(plan_club(asked), start.assembly))


def first_step_in(plan: TrimPlan) -> float:
    """Return how high the shaft's first step is above the ground line, in."""
    return plan.wanted.bbgl_in + plan.wanted.shaft.tip_section_in - plan.tip_trim_in


def _bar(at: float, part: Part) -> tuple[float, float, float, float]:
    return (min(part.before_in, part.before_in + part.inches), at - 0.17, abs(part.inches), 0.34)


def _draw_steps(axes: Axes, reference: Rationale) -> Live:
    plan = reference.club.plan
    axes.set(xlim=(0, WIDTH_IN), ylim=(0, HEIGHT_IN), xlabel="distance from the tip of the raw shaft (in)")
    axes.set_xticks(range(int(WIDTH_IN) + 1))
    axes.set_yticks((*AT, CLUB_AT), [*(kind.value.replace("trim schedule", "schedule") for kind in ROWS), CLUB])
    axes.tick_params(axis="y", length=0)
    axes.grid(visible=False)
    trim, ground = plan.tip_trim_in, plan.tip_trim_in - plan.wanted.bbgl_in
    for x, heights in ((trim, (CLUB_AT, AT[-1])), (ground, (0.6, 1.5))):
        axes.plot([x, x], heights, color=REFERENCE.colour, linestyle=REFERENCE.dash)
    live: Live = {}
    for at, kind, pen, then in zip(AT, ROWS, PENS, reference.parts, strict=True):
        low, base, width, height = _bar(at, then)
        before = Rectangle((low, base - 0.06), width, height + 0.12, fill=False, edgecolor=REFERENCE.colour)
        before.set(linestyle=REFERENCE.dash)
        axes.add_patch(before)
        live[kind] = axes.add_patch(Rectangle((0, 0), 1, 1, facecolor=pen.colour, alpha=0.55, edgecolor=pen.colour))
        live[f"{kind} inches"] = axes.text(WIDTH_IN, at, "", fontsize=12, fontweight="bold", va="center", ha="right")
        live[f"{kind} sum"] = axes.text(0.06, at - 0.3, "", fontsize=12, va="top", color="#333333")
    live |= draw_club(axes)
    live["saw"] = axes.plot([], [], color=SERIES[3].colour, linewidth=2)[0]
    live["ground line"] = axes.plot([], [], color="#333333", linewidth=2)[0]
    live["ground"] = axes.text(0, 0.1, "ground line", fontsize=12, ha="right")
    live["first step"] = axes.text(WIDTH_IN, CLUB_AT + 0.35, "", fontsize=12, ha="right")
    return live


def _scene(reference: Rationale) -> Scene:
    with styled_figure() as figure:
        return Scene(figure, _draw_steps(figure.subplots(), reference))


def _draw(live: Live, now: Rationale, _reference: Rationale) -> None:
    first, *added, whole = now.parts
    said = [f"{_mark(part.inches)} in, {part.cpm:.1f} cpm" for part in (first, whole)]
    for before, part in itertools.pairwise((first, *added)):
        sign = "−" if part.inches < 0 else "+"
        said.insert(-1, f"{sign}{_mark(abs(part.inches))} in, {signed(part.cpm - before.cpm, 1)} cpm")
    for at, part, words in zip(AT, now.parts, said, strict=True):
        live[part.kind].set(bounds=_bar(at, part))
        live[f"{part.kind} inches"].set(text=words)
        live[f"{part.kind} sum"].set(text=part.sum)
    plan = now.club.plan
    ground_at = plan.tip_trim_in - plan.wanted.bbgl_in
    move_drawn_club(live, plan, ground_at=ground_at, height=CLUB_AT, across=1.0)
    live["saw"].set(data=([plan.tip_trim_in] * 2, [CLUB_AT - 0.19, AT[-1] - 0.17]))
    live["ground line"].set(data=([ground_at] * 2, [0, CLUB_AT + 0.5]))
    live["ground"].set(x=ground_at - 0.15)
    live["first step"].set(text=f"first step {_mark(first_step_in(plan))} in high")


def _read(start: ClubBuild, now: Rationale) -> tuple[Readout, ...]:
    plan = now.club.plan
    return (
        *club_readouts(start, now.club),
        to_cut("butt trim", plan.butt_trim_in),
        to_cut("left undone for the bore", plan.bbgl_uncorrected_in, compare=False),
    )


def _describe(now: Rationale, reference: Rationale) -> str:
    plan = now.club.plan
    decided = " ".join(f"{decision.what} ({decision.why})" for decision in decisions_of(now.club))
    return (
        f"Schedule {_mark(plan.schedule_trim_in)} in, between flexes {_mark(plan.between_flexes_in)} in, bore "
        f"{_mark(plan.bbgl_correction_in)} in: {both_units(plan.tip_trim_in)} off the tip. "
        f"{against(now.club, reference.club)}" + (f" {decided}" if decided else "")
    )


def rationale_lab() -> Lab[RationaleParams, Rationale]:
    """Return the lab of the reasons: the demo set's long-hosel wedge, its flex, its BBGL, and one decision."""
    start = build_set(shipped_order()).club(CLUB)
    plan, flexes = start.plan, start.plan.wanted.shaft.flexes
    asked = float(flexes.index(plan.flex.softer))
    return Lab(
        title="The tip trim of the long-hosel sand wedge in three stages, and the wedge's lower end",
        controls=(
            Slider("flexes_above", flex_label(flexes), "", 0.0, len(flexes) - 1.0, 0.125, asked),
            Slider(
                "bbgl_in",
                "BBGL, by dry fit",
                "in",
                0.25,
                1.75,
                0.0625,
                plan.wanted.bbgl_in,
                on_page=(0.5, 0.75, 1.0, 1.25, 1.5, 1.75),
            ),
            Switch("follow", "correct the tip trim for the bore", True),
        ),
        params=RationaleParams,
        compute=partial(ordered_club, start),
        build=_scene,
        draw=_draw,
        read=partial(_read, start),
        describe=_describe,
    )
