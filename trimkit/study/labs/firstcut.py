"""Lab: the first cut. A shaft to scale with its tip cut and butt cut, and what the tip cut does to the frequency."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from trimkit.club.club import ClubBuild, build_club, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.parts.units import both_units
from trimkit.study.figures.setpanel import draw_set, move_club
from trimkit.study.figures.shaftruler import draw_ruler, move_ruler
from trimkit.study.frame.clubreadouts import against, club_readouts
from trimkit.study.frame.controls import Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.style import styled_figure

CLUB = "7-iron"


@dataclass(frozen=True)
class CutParams:
    """tip_trim_in: set at the saw, in. playing_length_in: of the finished club, in."""

    tip_trim_in: float
    playing_length_in: float


def cut_club(start: ClubBuild, params: CutParams) -> ClubBuild:
    """Return the club of ``start`` cut as asked; raises TrimRefused if the shaft cannot be cut so."""
    return build_club(recut(start.plan, params.tip_trim_in, params.playing_length_in), start.assembly)


def _scene(built: SetBuild, reference: ClubBuild) -> Scene:
    with styled_figure() as figure:
        shaft, frequency = figure.subplots(2, 1, height_ratios=(1.0, 2.1))
        plan = reference.plan
        shaft.set(xlim=(-0.5, plan.raw_length_in + 0.5), ylim=(-0.55, 1.6))
        live = draw_ruler(shaft, plan.wanted.shaft, plan.tip_trim_in, plan.cut_length_in)
        live |= draw_set(frequency, built, reference)
    return Scene(figure, live)


def _draw(live: Live, now: ClubBuild, reference: ClubBuild) -> None:
    move_ruler(live, now.plan.raw_length_in, now.plan.tip_trim_in, now.plan.cut_length_in)
    move_club(live, now, reference)


def _describe(now: ClubBuild, reference: ClubBuild) -> str:
    plan = now.plan
    return (
        f"Cut {both_units(plan.tip_trim_in)} off the tip and {both_units(plan.butt_trim_in)} off the butt of the "
        f"{plan.raw_length_in:g} in shaft: cut length {both_units(plan.cut_length_in)}. {against(now, reference)}"
    )


def first_cut_lab() -> Lab[CutParams, ClubBuild]:
    """Return the lab of the first lesson: the demo set's 7-iron, its tip trim and its playing length."""
    built = build_set(shipped_order())
    start = built.club(CLUB)
    return Lab(
        title="A shaft to scale with its two cuts, and the frequency of the set",
        controls=(
            Slider("tip_trim_in", "tip trim", "in", 1.0, 6.0, 0.0625, start.plan.tip_trim_in),
            Slider(
                "playing_length_in",
                "playing length",
                "in",
                35.5,
                38.0,
                0.125,
                start.plan.playing_length_in,
                on_page=(35.5, 36.0, 36.5, 37.0, 37.5, 38.0),
            ),
        ),
        params=CutParams,
        compute=partial(cut_club, start),
        build=partial(_scene, built),
        draw=_draw,
        read=partial(club_readouts, start),
        describe=_describe,
    )
