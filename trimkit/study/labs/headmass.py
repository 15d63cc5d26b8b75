"""Lab: a hybrid's head mass says which iron it is trimmed and cut as; what its engraved number would have done."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from trimkit.club.club import ClubBuild, build_club
from trimkit.club.flexscale import FlexScale
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError
from trimkit.parts.units import both_units
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.frame.clubreadouts import to_cut
from trimkit.study.frame.controls import Choice, Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, Pen, styled_figure, without_y
from trimkit.trim.clubs import engraved_iron, with_article
from trimkit.trim.equivalence import HeadLadder, TrimAs
from trimkit.trim.plan import plan_club

CLUB = "4-hybrid"
ENGRAVED = ("3-hybrid", "4-hybrid", "5-hybrid")
LINE_CLUBS = ("2-iron", "3-iron", "4-iron", "5-iron", "6-iron", "7-iron")
"""The rungs of the ladder that are drawn: a head on each of them is trimmed and cut as that iron."""
NUMBER = Pen("#333333", "-", "^")
WAYS = {"mass": NOW, "number": NUMBER}
SIGNS = {"mass": "●", "number": "▲"}
HEIGHTS = {"mass": 1.75, "number": 0.0}
"""The two ways to cut a head: their pens, the signs in their words, where their clubs are drawn."""
LIGHTEST_G, HEAVIEST_G = 240.5, 274.0
SAME_CUT_IN = 0.05
"""Two clubs whose tip trims or lengths differ by less than this (in) are the same at the saw."""


@dataclass(frozen=True)
class MassParams:
    """head_mass_g: as weighed. engraved: the hybrid's number."""

    head_mass_g: float
    engraved: str


@dataclass(frozen=True)
class LadderIrons:
    """One kind of head on every rung of the ladder, trimmed and cut as that iron: what the set's own clubs measure.

    clubs: longest first.
    """

    ladder: HeadLadder
    clubs: tuple[ClubBuild, ...]

    @property
    def lengths_in(self) -> tuple[float, ...]:
        """The playing lengths (in), longest first."""
        return tuple(club.plan.playing_length_in for club in self.clubs)

    def flex_cpm(self, number: int) -> tuple[float, ...]:
        """Return the frequency (cpm) of one of the shaft's flexes, counted from the softest, at every club."""
        return tuple(club.flex_scale.frequency_cpm[number] for club in self.clubs)

    def scale_at(self, playing_length_in: float) -> FlexScale:
        """Return the flexes of a club of the set that plays at this length (in), between two clubs by interpolation.

        Raises ModelError outside the line.
        """
        lengths = self.lengths_in[::-1]
        if not lengths[0] - 1e-9 <= playing_length_in <= lengths[-1] + 1e-9:
            raise ModelError(
                f"a playing length of {playing_length_in:g} in",
                f"{lengths[0]:g} to {lengths[-1]:g} in",
                "take a club of the set",
            )
        flexes = self.clubs[0].flex_scale.flexes
        cpm = (float(np.interp(playing_length_in, lengths, self.flex_cpm(n)[::-1])) for n in range(len(flexes)))
        return FlexScale(flexes, tuple(cpm))


@dataclass(frozen=True)
class TwoWays:
    """One head trimmed and cut by its mass, and the same head by its engraved number; the set it should fit into."""

    by_mass: ClubBuild
    by_number: ClubBuild
    line: LadderIrons

    @property
    def ways(self) -> dict[str, ClubBuild]:
        """The two clubs by the word for their way."""
        return {"mass": self.by_mass, "number": self.by_number}

    def flexes_off(self, club: ClubBuild) -> float:
        """Return how many flexes a club is stiffer (+) than the set's own club of the same length and flex."""
        scale = self.line.scale_at(club.plan.playing_length_in)
        own = scale.frequency_cpm[scale.flexes.index(str(club.plan.flex))]
        return scale.flexes_apart(club.frequency_cpm, own)


def lesson_hybrid(club: str = CLUB) -> ClubBuild:
    """Return one of the demo set's hybrids, its bore that of the schedule: its tip trim then is the schedule's."""
    start = build_set(shipped_order()).club(club)
    wanted = start.plan.wanted
    head = replace(wanted.head, bbgl_in=wanted.bbgl_in - start.plan.bbgl_correction_in)
    return build_club(plan_club(replace(wanted, head=head)), start.assembly)


def set_line(start: ClubBuild) -> LadderIrons:
    """Return the head of a club put on each rung of its ladder, its mass the rung's, everything else unchanged."""
    wanted = start.plan.wanted
    heads = [replace(wanted.head, club=club, head_mass_g=wanted.ladder.rung(club).head_mass_g) for club in LINE_CLUBS]
    clubs = tuple(build_club(plan_club(replace(wanted, head=head)), start.assembly) for head in heads)
    return LadderIrons(wanted.ladder, clubs)


def two_ways(start: ClubBuild, line: LadderIrons, params: MassParams) -> TwoWays:
    """Return the head trimmed and cut both ways; raises TrimRefused if its mass has no place on the ladder."""
    wanted = start.plan.wanted
    head = replace(wanted.head, club=params.engraved, head_mass_g=params.head_mass_g)
    ways = []
    for way in (TrimAs.MASS, TrimAs.ENGRAVED):
        decisions = replace(wanted.decisions, trim_as=way, why="asked in the lab")
        ways.append(build_club(plan_club(replace(wanted, head=head, decisions=decisions)), start.assembly))
    return TwoWays(ways[0], ways[1], line)


def _draw_ladder(axes: Axes, reference: TwoWays) -> Live:
    rungs = [reference.line.ladder.rung(club) for club in LINE_CLUBS]
    axes.set(xlim=(LIGHTEST_G - 2, HEAVIEST_G + 2), ylim=(-0.75, 1.35), xlabel="head mass (g)")
    without_y(axes)
    axes.axhline(0, color="#333333", linewidth=1.5)
    for rung in rungs:
        axes.plot([rung.head_mass_g] * 2, [-0.18, 0.18], color="#333333", linewidth=2)
        axes.text(rung.head_mass_g, -0.62, rung.club, ha="center", fontsize=12)
    ghost = reference.by_mass.plan.wanted.head.head_mass_g
    axes.plot([ghost], [0], color=REFERENCE.colour, marker=REFERENCE.marker, markersize=12, markerfacecolor="none")
    return {
        "mass": axes.plot([], [], **NOW.mark())[0],
        "number": axes.plot([], [], **NUMBER.mark(11))[0],
        "mass text": axes.text(0, 0.42, "", color=NOW.colour, fontsize=12, fontweight="bold"),
        "number text": axes.text(0, 0.92, "", color=NUMBER.colour, fontsize=12, fontweight="bold"),
    }


def _draw_clubs(axes: Axes) -> Live:
    axes.set(xlim=(-0.9, 40.6), ylim=(-1.35, 3.0))
    axes.set_axis_off()
    live: Live = {"marks": axes.vlines([], 0, 0, color=NOW.colour, linewidth=1.4, linestyle=(0, (4, 3)))}
    for way, pen in WAYS.items():
        live |= {f"{way} {name}": artist for name, artist in draw_club(axes, pen.colour).items()}
        live[f"{way} cut"] = axes.text(2.6, HEIGHTS[way] - 0.42, "", color=pen.colour, fontsize=12, va="top")
    live["step text"] = axes.text(0, 2.55, "first step", color=NOW.colour, fontsize=12, ha="center")
    live["end text"] = axes.text(0, 2.55, "end", color=NOW.colour, fontsize=12, ha="center")
    return live


def _draw_flex(axes: Axes, reference: TwoWays) -> Live:
    without_y(axes)
    axes.set(xlim=(-2.0, 1.6), ylim=(-0.4, 1.3), xlabel="← softer · flex of the finished club · stiffer →")
    flexes = reference.by_mass.flex_scale.flexes
    own = flexes.index(str(reference.by_mass.plan.flex))
    axes.set_xticks([number - own for number in range(len(flexes))], flexes)
    axes.axhline(0, color="#333333", linewidth=1.5)
    ghost = [reference.flexes_off(reference.by_number)], [0]
    axes.plot(*ghost, **REFERENCE.mark(12, hollow=True))
    return {
        "flex mass": axes.plot([], [], **NOW.mark())[0],
        "flex number": axes.plot([], [], **NUMBER.mark(11))[0],
        "off": axes.text(0, 0.55, "", color=NUMBER.colour, fontsize=12, fontweight="bold", ha="center"),
    }


def _scene(reference: TwoWays) -> Scene:
    with styled_figure() as figure:
        ladder, clubs, flex = figure.subplots(3, 1, height_ratios=(1.0, 1.75, 0.7))
        live = _draw_ladder(ladder, reference) | _draw_clubs(clubs) | _draw_flex(flex, reference)
    return Scene(figure, live)


def _draw(live: Live, now: TwoWays, _reference: TwoWays) -> None:
    head, ladder = now.by_mass.plan.wanted.head, now.line.ladder
    rung = ladder.rung(engraved_iron(head.club)).head_mass_g
    live["mass"].set(data=([head.head_mass_g], [0]))
    live["number"].set(data=([rung], [0.08]))
    for name, at, text in (
        ("mass text", head.head_mass_g, f"weighs like a {now.by_mass.plan.equivalent}"),
        ("number text", rung, f"engraved {head.club}"),
    ):
        side = "left" if at < (LIGHTEST_G + HEAVIEST_G) / 2 else "right"
        live[name].set(position=(at + (0.6 if side == "left" else -0.6), live[name].get_position()[1]))  # type: ignore[attr-defined]
        live[name].set(text=text, ha=side)
    for way, club in now.ways.items():
        plan, drawn = club.plan, f"{way} drawn"
        parts = {name.removeprefix(f"{way} "): live[name] for name in live if name.startswith(drawn)}
        move_drawn_club(parts, plan, height=HEIGHTS[way])
        cut = f"{plan.tip_trim_in:.2f} in off the tip, {plan.playing_length_in:.2f} in long"
        live[f"{way} cut"].set(text=f"{SIGNS[way]} cut by {way}, as a {plan.equivalent}: {cut}")
        live[f"flex {way}"].set(data=([now.flexes_off(club)], [0]))
    plan = now.by_mass.plan
    places = (plan.wanted.bbgl_in + plan.wanted.shaft.tip_section_in - plan.tip_trim_in, plan.playing_length_in)
    beside = [(height - 0.28, height + 0.55) for height in HEIGHTS.values()]
    live["marks"].set(segments=[[(place, low), (place, high)] for place in places for low, high in beside])
    live["step text"].set(x=places[0])
    live["end text"].set(x=places[1])
    off = now.flexes_off(now.by_number)
    live["off"].set(x=min(max(off, -1.3), 0.9), text=f"{SIGNS['number']} {_off(off)}")


def _off(flexes: float) -> str:
    if abs(flexes) < 0.005:
        return "as stiff as ordered"
    return f"{abs(flexes):.2f} of a flex too {'stiff' if flexes > 0 else 'soft'}"


def _read(now: TwoWays) -> tuple[Readout, ...]:
    mass, number = now.by_mass, now.by_number
    equivalent = now.line.ladder.place(mass.plan.equivalent)
    ways = (("mass", mass.plan), ("number", number.plan))
    return (
        Readout("it is", equivalent, "", 2, f"a {mass.plan.equivalent}", compare=False),
        *(to_cut(f"tip trim by {way}", plan.tip_trim_in, compare=False) for way, plan in ways),
        *(to_cut(f"length by {way}", plan.playing_length_in, compare=False) for way, plan in ways),
        Readout("frequency by mass", mass.frequency_cpm, "cpm", 1),
        Readout("frequency by number", number.frequency_cpm, "cpm", 1),
    )


def _describe(now: TwoWays, _reference: TwoWays) -> str:
    mass, number = now.by_mass.plan, now.by_number.plan
    iron = with_article(str(mass.equivalent))
    facts = (
        f"A {mass.club} of {mass.wanted.head.head_mass_g:.1f} g is trimmed and cut as {iron}: "
        f"{both_units(mass.tip_trim_in)} off the tip, {both_units(mass.playing_length_in)} long."
    )
    more, longer = number.tip_trim_in - mass.tip_trim_in, number.playing_length_in - mass.playing_length_in
    if max(abs(more), abs(longer)) < SAME_CUT_IN:
        return f"{facts} Its number says the same."
    off = now.flexes_off(now.by_number)
    return (
        f"{facts} By its number it would lose {abs(more):.2f} in {'more' if more > 0 else 'less'} at the tip and be "
        f"{abs(longer):.2f} in {'longer' if longer > 0 else 'shorter'}: {abs(off):.2f} of a flex too "
        f"{'stiff' if off > 0 else 'soft'} for a club of that length."
    )


def head_weight_lab() -> Lab[MassParams, TwoWays]:
    """Return the lab on head mass: a hybrid's mass and its engraved number, on the ladder of the demo set."""
    start = lesson_hybrid()
    line = set_line(start)
    return Lab(
        title="A hybrid's head on the ladder of head masses, its club cut by mass and by number, and their flex",
        controls=(
            Slider("head_mass_g", "head mass", "g", LIGHTEST_G, HEAVIEST_G, 0.1, start.plan.wanted.head.head_mass_g),
            Choice("engraved", "engraved", ENGRAVED, CLUB),
        ),
        params=MassParams,
        compute=partial(two_ways, start, line),
        build=_scene,
        draw=_draw,
        read=_read,
        describe=_describe,
    )


def ladder_table() -> pd.DataFrame:
    """Return the rungs that the lab draws, a row an iron: head mass (g), playing length (in), tip trim for R (in)."""
    plans = [club.plan for club in set_line(lesson_hybrid()).clubs]
    rows = [(plan.wanted.head.head_mass_g, plan.playing_length_in, plan.tip_trim_in) for plan in plans]
    columns = ["head mass (g)", "playing length (in)", "tip trim for R (in)"]
    return pd.DataFrame(rows, pd.Index(LINE_CLUBS, name="club"), columns)


def hybrid_table(club: str = "3-hybrid") -> pd.DataFrame:
    """Return one of the demo set's hybrids cut by its mass and by its number, a row a way; lengths in in."""
    start = lesson_hybrid(club)
    head = start.plan.wanted.head
    both = two_ways(start, set_line(start), MassParams(head.head_mass_g, head.club))
    rows = [
        (str(each.plan.equivalent), each.plan.tip_trim_in, each.plan.playing_length_in, _off(both.flexes_off(each)))
        for each in both.ways.values()
    ]
    columns = ["cut as", "tip trim (in)", "playing length (in)", "the club is"]
    index = pd.Index([f"by {way}" for way in both.ways], name=f"{head.club}, {head.head_mass_g:g} g")
    return pd.DataFrame(rows, index, columns).round(3)
