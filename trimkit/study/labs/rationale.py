"""Lab: where each sixteenth comes from. The tip trim of one ordered club as a stack of steps, each with its reason."""

from __future__ import annotations

import itertools
import textwrap
from dataclasses import dataclass, replace
from functools import partial

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from trimkit.club.club import ClubBuild, build_club, club_frequencies_cpm
from trimkit.club.order.decisions import decisions_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import both_units, nearest_mark, say_in, signed
from trimkit.study.frame.clubreadouts import against, club_readouts, to_cut
from trimkit.study.frame.controls import Slider, Switch
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import REFERENCE, SERIES, styled_figure
from trimkit.study.labs.schedule import flex_at, flex_label
from trimkit.trim.bore import BoreChoice, DryFit
from trimkit.trim.length import GivenLength
from trimkit.trim.plan import plan_club
from trimkit.trim.steps import TIP_PARTS, StepKind

CLUB = "sand wedge"
WHY = "why: to be written in the order"
"""The lab has no reason to offer; the order asks for one."""
PARTS = tuple(kind for kind in TIP_PARTS if kind is not StepKind.PULLED)
"""The steps of the tip trim of a new shaft, which the lab's is."""
ROWS = (*PARTS, StepKind.TIP_TRIM)
PENS = (SERIES[0], SERIES[2], SERIES[1], SERIES[3])
SHOWN_IN, WIDTH_IN = 8, 11.6
"""How far the scale reaches, inches off the tip; how far the picture does, where each step's numbers stand."""
AT = (0.0, 0.95, 1.9, 3.15)
"""Where the rows stand, from above: the bore's reason is the longest."""
LETTERS = 76
"""Of a reason in the picture, a line."""


@dataclass(frozen=True)
class RationaleParams:
    """flexes_above: the softest flex, 0 to the stiffest. bbgl_in: found with a bare shaft and a dry fit, in.

    playing_length_in: in. follow: whether the tip trim follows the bore.
    """

    flexes_above: float
    bbgl_in: float
    playing_length_in: float
    follow: bool


@dataclass(frozen=True)
class Part:
    """One step of the tip trim. inches: of the step; before_in: of the steps above it; cpm: after it; reason: of it."""

    kind: StepKind
    inches: float
    before_in: float
    cpm: float
    reason: str


@dataclass(frozen=True)
class Rationale:
    """A club of the order and the steps of its tip trim, the sum last."""

    club: ClubBuild
    parts: tuple[Part, ...]


def reasons_of(club: ClubBuild) -> Rationale:
    """Return where a planned club's tip trim comes from: inches, reason and frequency (cpm) after each step.

    Raises ModelError if the shaft cannot be cut to the sum of the first steps.
    """
    plan = club.plan
    steps = {step.kind: step for step in plan.steps}
    sums = [sum(plan.inches(kind) for kind in PARTS[:count]) for count in range(len(PARTS) + 1)]
    cpm = club_frequencies_cpm(plan, club.assembly, tuple(sums[1:]))
    none = f"Flex {plan.flex.softer} is cut as the schedule has it: nothing between two flexes."
    parts = [
        Part(kind, plan.inches(kind), before, after, steps[kind].reason if kind in steps else none)
        for kind, before, after in zip(PARTS, sums, cpm, strict=False)
    ]
    whole = Part(StepKind.TIP_TRIM, plan.tip_trim_in, 0.0, club.frequency_cpm, steps[StepKind.TIP_TRIM].reason)
    return Rationale(club, (*parts, whole))


def ordered_club(start: ClubBuild, params: RationaleParams) -> Rationale:
    """Return the club of ``start`` ordered otherwise, by rule and by mechanics; raises as these do."""
    wanted, fit = start.plan.wanted, start.plan.wanted.dry_fit
    assert fit is not None  # the demo's wedge was measured so
    decisions = replace(wanted.decisions, bore=BoreChoice.CORRECT if params.follow else BoreChoice.LEAVE, why=WHY)
    asked = replace(
        wanted,
        flex=flex_at(params.flexes_above, wanted.shaft),
        dry_fit=DryFit(fit.bare_shaft_in, fit.bare_shaft_in + params.bbgl_in),
        length=GivenLength(params.playing_length_in),
        decisions=decisions,
    )
    return reasons_of(build_club(plan_club(asked), start.assembly))


def _bar(at: float, part: Part) -> tuple[float, float, float, float]:
    return (min(part.before_in, part.before_in + part.inches), at - 0.15, abs(part.inches), 0.3)


def _draw_steps(axes: Axes, reference: Rationale) -> Live:
    axes.set(xlim=(0, WIDTH_IN), ylim=(AT[-1] + 0.55, -0.3))
    axes.set_xlabel("off the tip (in), numbers of each step on the right")
    axes.set_xticks(range(SHOWN_IN + 1))
    axes.set_yticks(AT, [kind.value.replace("trim schedule", "schedule") for kind in ROWS])
    axes.tick_params(axis="y", length=0)
    axes.grid(visible=False)
    live: Live = {}
    for at, kind, pen, then in zip(AT, ROWS, PENS, reference.parts, strict=True):
        low, top, width, height = _bar(at, then)
        ghost = Rectangle((low, top - 0.06), width, height + 0.12, fill=False, edgecolor=REFERENCE.colour)
        ghost.set(linestyle=REFERENCE.dash)
        axes.add_patch(ghost)
        live[kind] = axes.add_patch(Rectangle((0, 0), 1, 1, facecolor=pen.colour, alpha=0.55, edgecolor=pen.colour))
        live[f"{kind} inches"] = axes.text(WIDTH_IN, at, "", fontsize=11, fontweight="bold", va="center", ha="right")
        live[f"{kind} reason"] = axes.text(0.06, at + 0.26, "", fontsize=9.5, va="top", color="#333333")
    return live


def _scene(reference: Rationale) -> Scene:
    with styled_figure() as figure:
        return Scene(figure, _draw_steps(figure.subplots(), reference))


def _draw(live: Live, now: Rationale, _reference: Rationale) -> None:
    first, *added, whole = now.parts
    said = [f"{nearest_mark(part.inches).mark}, {part.cpm:.1f} cpm" for part in (first, whole)]
    for before, part in itertools.pairwise((first, *added)):
        sign = "+" if part.inches >= 0 else ""
        said.insert(-1, f"{sign}{nearest_mark(part.inches).mark}, {signed(part.cpm - before.cpm, 1)} cpm")
    for at, part, words in zip(AT, now.parts, said, strict=True):
        live[part.kind].set(bounds=_bar(at, part))
        live[f"{part.kind} inches"].set(text=words)
        live[f"{part.kind} reason"].set(text=textwrap.fill(part.reason, LETTERS))


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
        f"Schedule {say_in(plan.schedule_trim_in)}, between flexes {say_in(plan.between_flexes_in)}, bore "
        f"{say_in(plan.bbgl_correction_in)}: {both_units(plan.tip_trim_in)} off the tip. "
        f"{against(now.club, reference.club)}" + (f" {decided}" if decided else "")
    )


def rationale_lab() -> Lab[RationaleParams, Rationale]:
    """Return the lab of the reasons: the demo set's long-hosel wedge, its flex, BBGL, length, and one decision."""
    start = build_set(shipped_order()).club(CLUB)
    plan, flexes = start.plan, start.plan.wanted.shaft.flexes
    asked = float(flexes.index(plan.flex.softer))
    return Lab(
        title="The tip trim of the long-hosel sand wedge as a stack of steps, each with its reason",
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
            Slider(
                "playing_length_in",
                "playing length",
                "in",
                34.75,
                35.5,
                0.125,
                plan.playing_length_in,
                on_page=(34.75, 35.25),
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
