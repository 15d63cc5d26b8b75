"""Lab: a taper-tip set stepped as a whole: where a club's steps go, what that does, and which clubs run out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import cast

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import FancyArrowPatch

from trimkit.check.stepworth import StepWorth, family_gaps_cpm, step_worth
from trimkit.club.order.order import Order, shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.parts.units import ruled, signed
from trimkit.study.figures.clubdrawing import draw_club, move_drawn_club
from trimkit.study.frame.clubreadouts import count, difference, to_cut
from trimkit.study.frame.controls import Choice, Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, REFUSED, styled_figure, without_y
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.stepping import RawFamily, SteppedSet, say_step, step_set

DRAWN = ("4-iron", "7-iron", "9-iron")
"""The clubs that can be drawn: each can be stepped by two either way."""
ADDED = {"3-iron": ("4-iron", 247.3), "pitching wedge": ("9-iron", 294.2)}
"""Clubs the class's taper-tip set lacks: the head they are made like, and their mass (g); made up for the lesson."""
NEIGHBOURS = {"A": "steel taper 96 g senior", "S": "steel taper 111 g stiff"}
"""The demo's families in the flexes next to R; invented: R's steps and raw lengths, walls 0.001 in thinner, thicker."""
MOST_STEPS = 2
OWN_AT, NOW_AT, SHIFT_AT, ACROSS = 1.25, -1.25, -3.65, 0.75
GREYS = {"drawn head": "#E4E4E4", "drawn shaft": "#E4E4E4", "drawn hosel": "#BBBBBB", "drawn grip": "#777777"}


@dataclass(frozen=True)
class StepParams:
    """soft_steps: + soft, - hard, a whole number, of the whole set. club: the one that is drawn."""

    soft_steps: float
    club: str

    @property
    def step(self) -> int:
        """The steps as the trade's rule counts them."""
        return round(self.soft_steps)


@dataclass(frozen=True)
class SteppedClass:
    """The set stepped: its raw lengths and missing clubs by rule, and the drawn club as it was and as it is stepped.

    own_cpm, change_cpm: frequency of the unstepped club, and what stepping changes, by the beam. gap_cpm: from the
    family's R to its A, or to its S for a hard step, in this club, above 0.
    """

    params: StepParams
    stepped: SteppedSet
    own: TrimPlan
    plan: TrimPlan
    own_cpm: float
    change_cpm: float
    gap_cpm: float

    @property
    def raised_in(self) -> float:
        """How far nearer the grip every step sits than in the unstepped club, in."""
        return self.plan.raw_length_in - self.own.raw_length_in

    @property
    def part_of_gap(self) -> float:
        """The change in flexes, one being the gap: + stiffer, - softer."""
        return self.change_cpm / self.gap_cpm


def stepping_order() -> Order:
    """Return the class's order on taper tips, unstepped, with a 3-iron and a pitching wedge more."""
    order = shipped_order("taper_soft_step")
    clubs = {each.head.club: each for each in order.clubs}
    for club, (like, mass) in ADDED.items():
        head = replace(clubs[like].head, name=f"made-up {club}", club=club, head_mass_g=mass)
        clubs[club] = replace(clubs[like], head=head)
    family = _family(order)
    return replace(order, soft_steps=0, clubs=tuple(clubs[club] for club in family.clubs if club in clubs))


def _on_flex(order: Order, flex: str) -> Order:
    """The order on the demo's family in another flex."""
    return replace(order, shaft=order.catalogue.shafts[NEIGHBOURS[flex]], flex=FlexPlace.at(flex))


def _family(order: Order) -> RawFamily:
    return RawFamily.from_rows(order.catalogue.raw_lengths, order.shaft)


def demo_families() -> tuple[RawFamily, RawFamily, RawFamily]:
    """Return the demo's families in R, A and S: invented, with the same raw lengths."""
    order = stepping_order()
    return _family(order), _family(_on_flex(order, "A")), _family(_on_flex(order, "S"))


def family_gaps(built: SetBuild) -> dict[str, dict[str, float]]:
    """Return for A and S how far (cpm) the family's R is from it in each club of the unstepped set; above 0."""
    softer, stiffer = (build_set(_on_flex(built.order, flex)) for flex in NEIGHBOURS)
    return {"A": family_gaps_cpm(softer, built), "S": family_gaps_cpm(built, stiffer)}


def step_class(
    built: SetBuild,
    params: StepParams,
    known: Mapping[int, tuple[StepWorth, ...]] | None = None,
    gaps: Mapping[str, Mapping[str, float]] | None = None,
) -> SteppedClass:
    """Return the set stepped as asked; built: the unstepped set.

    known: what :func:`trimkit.check.stepworth.step_worth` says of each step (+ soft), and gaps: what
    :func:`family_gaps` says, so that a slider need not ask for them again. Raises as these do, and as the plan of a
    club that cannot be stepped so.
    """
    family, *others = demo_families()
    step, club = params.step, built.club(params.club)
    stepped = step_set(family, [each.plan.club for each in built.clubs], step, others)
    if known is None:
        known = {step: step_worth(built, step)} if step else {}
    change = next((row.change_cpm for row in known.get(step, ()) if row.club == params.club), 0.0)
    gap = (family_gaps(built) if gaps is None else gaps)["S" if step < 0 else "A"][params.club]
    plan = plan_club(club.plan.wanted.stepped(step))
    return SteppedClass(params, stepped, club.plan, plan, club.frequency_cpm, change, gap)


def _column(now: SteppedClass) -> dict[str, int]:
    """The column of the lower picture for each club of the set, the longest on the left."""
    clubs = [club for club, _ in now.stepped.built] + [each.club for each in now.stepped.missing]
    return {club: column for column, club in enumerate(club for club in now.stepped.family.clubs if club in clubs)}


def _draw_pair(axes: Axes) -> Live:
    """Two clubs above each other: unstepped and stepped."""
    without_y(axes)
    axes.set(xlim=(-1.5, 39.5), ylim=(-4.1, 3.1))
    axes.set_xticks([])
    axes.spines["bottom"].set_visible(False)
    axes.plot([0, 0], [-4.0, 2.9], color="#333333", linewidth=1.2)
    axes.text(0.25, SHIFT_AT, "ground line", color="#333333", fontsize=12, va="center")
    for place, words, side in ((0.25, "head end", "left"), (37.5, "grip end", "right")):
        axes.text(place, OWN_AT + 1.0, words, color="#333333", fontsize=12, ha=side, va="bottom")
    live = {f"own {name}": part for name, part in draw_club(axes, REFERENCE.colour).items()}
    for name, grey in GREYS.items():
        live[f"own {name}"].set(facecolor=grey)
    live |= draw_club(axes)
    live["links"] = axes.vlines([], 0, 0, color="#777777", linewidth=0.9)
    live["first link"] = axes.plot([], [], color=NOW.colour, linewidth=3.0)[0]
    for name, y, colour in (("own", OWN_AT + 1.0, "#555555"), ("now", NOW_AT - 1.0, NOW.colour)):
        side = "bottom" if name == "own" else "top"
        live[f"{name} text"] = axes.text(6.0, y, "", color=colour, fontsize=12, va=side)
    arrow = FancyArrowPatch((0, 0), (1, 0), arrowstyle="-|>", mutation_scale=16, shrinkA=0, shrinkB=0)
    live["arrow"] = axes.add_patch(arrow)
    arrow.set(color=NOW.colour, linewidth=2.6)
    live["first text"] = axes.text(0, 0, "first\nstep", color=NOW.colour, fontsize=12, ha="right", va="center")
    live["shift text"] = axes.text(10.3, SHIFT_AT, "", color="#333333", fontsize=12, va="center", fontweight="bold")
    return live


def _draw_lengths(axes: Axes, reference: SteppedClass) -> Live:
    """The raw length of every club of the set, and the ends of the family."""
    columns, lengths = _column(reference), [row.raw_length_in for row in reference.stepped.family.rows]
    axes.set(xlim=(-0.6, len(columns)), ylim=(34.6, 41.4), ylabel="raw length (in)")
    axes.set_xticks(list(columns.values()), [club.replace(" ", "\n") for club in columns], fontsize=12)
    axes.set_yticks(range(35, 42, 2))
    axes.grid(visible=False)
    ends = [-0.6, len(columns)]
    for place, word, x, side in (
        (lengths[-1], "shortest of the family", -0.5, "top"),
        (lengths[0], "longest of the family", ends[1], "bottom"),
    ):
        axes.plot(ends, [place, place], color="#333333", linestyle=(0, (2, 2)), linewidth=1.2)
        axes.text(x, place, word, fontsize=12, ha="left" if x < 0 else "right", va=side)
    own = dict(reference.stepped.built)
    axes.plot(
        list(columns.values()),
        [own[club].raw_length_in for club in columns],
        **REFERENCE.mark(hollow=True),
        label="own raw length",
    )
    axes.plot([], [], **NOW.mark(7), label="as stepped")
    axes.legend(loc="upper right", bbox_to_anchor=(1.0, 0.84), fontsize=12, frameon=False, handletextpad=0.2)
    live: Live = {
        "lengths": axes.plot([], [], **NOW.mark(7))[0],
        "missing": axes.plot([], [], color=REFUSED, marker="X", markersize=9, linestyle="none")[0],
    }
    for number in range(MOST_STEPS):
        live[f"missing {number}"] = axes.text(0, 0, "", color="#333333", fontsize=12, va="center", fontweight="bold")
    return live


def _scene(reference: SteppedClass) -> Scene:
    with styled_figure() as figure:
        pair, lengths = figure.subplots(2, 1, height_ratios=(1.15, 1.0))
        live = _draw_pair(pair) | _draw_lengths(lengths, reference)
    return Scene(figure, live)


def _draw(live: Live, now: SteppedClass, _reference: SteppedClass) -> None:
    own = {name.removeprefix("own "): part for name, part in live.items() if name.startswith("own drawn")}
    move_drawn_club(own, now.own, height=OWN_AT, across=ACROSS)
    move_drawn_club(live, now.plan, height=NOW_AT, across=ACROSS)
    _draw_shift(live, now)
    columns, step = _column(now), now.params.step
    built = [(columns[club], row.raw_length_in) for club, row in now.stepped.built]
    live["lengths"].set(data=([x for x, _ in built], [length for _, length in built]))
    raw = [row.raw_length_in for row in now.stepped.family.rows]
    soft, missing = step > 0, [columns[each.club] for each in now.stepped.missing]
    height = raw[0] + 0.65 if soft else raw[-1] - 0.65
    live["missing"].set(data=(missing, [height] * len(missing)))
    for number in range(MOST_STEPS):
        text = "none" if number < len(missing) else ""
        live[f"missing {number}"].set(text=text, position=(missing[number] + 0.15 if text else 0, height))


def step_places(plan: TrimPlan) -> list[float]:
    """Return how far every step of a taper-tip club's shaft is from the ground line, in, from the head up.

    BBGL + from the raw tip, on the longest raw length of the family, - what this raw length lacks below the first step.
    """
    shaft = plan.wanted.shaft
    lacking = shaft.raw_length_in - plan.raw_length_in
    stepped = (each.from_tip_in for each in shaft.sections if each.from_tip_in >= shaft.tip_section_in - 1e-9)
    return [plan.wanted.bbgl_in + place - lacking for place in stepped]


def _draw_shift(live: Live, now: SteppedClass) -> None:
    """Each step of the one club joined to the same step of the other, and the arrow of the first one's way."""
    under_grip = now.plan.playing_length_in - now.plan.wanted.grip.grip_length_in
    pairs = [
        (before, after)
        for before, after in zip(step_places(now.own), step_places(now.plan), strict=True)
        if max(before, after) < under_grip
    ]
    half = ACROSS * 0.25
    links = [[(before, OWN_AT - half), (after, NOW_AT + half)] for before, after in pairs]
    live["links"].set(segments=links[1:])
    live["first link"].set(data=tuple(zip(*links[0], strict=True)))
    before, after = pairs[0]
    arrow = cast(FancyArrowPatch, live["arrow"])
    arrow.set_positions(*((x, SHIFT_AT) for x in sorted((7.0, 9.8), reverse=after < before)))
    arrow.set_visible(before != after)
    live["first text"].set(position=(min(before, after) - 0.3, 0))
    way = "nearer the grip" if after > before else "nearer the head"
    text = f"every step {ruled(abs(after - before))} {way}" if before != after else "every step where it was"
    live["shift text"].set(text=text)
    club = now.params.club
    live["own text"].set(text=f"{club}, own raw length {ruled(now.own.raw_length_in)}: {now.own_cpm:.1f} cpm")
    stepped = f"{say_step(now.params.step)}, {ruled(now.plan.raw_length_in)}: {now.own_cpm + now.change_cpm:.1f} cpm"
    live["now text"].set(text=stepped)


def _read(now: SteppedClass) -> tuple[Readout, ...]:
    step, cpm = now.params.step, now.own_cpm + now.change_cpm
    gap = f"{now.gap_cpm:.1f} cpm (R to {'S' if step < 0 else 'A'})"
    return (
        Readout("the set has", step, "", 0, say_step(step), compare=False),
        count("without a raw length", len(now.stepped.missing), len(_column(now))),
        to_cut("raw length", now.plan.raw_length_in, compare=False),
        to_cut("butt trim", now.plan.butt_trim_in, compare=False),
        Readout("frequency", cpm, "cpm", 1, before=now.own_cpm),
        Readout("one flex here", now.gap_cpm, "cpm", 1, gap, compare=False),
        difference("stepping", now.part_of_gap, "flex", 2, "of a flex"),
    )


def _describe(now: SteppedClass, _reference: SteppedClass) -> str:
    step, club, cpm = now.params.step, now.params.club, now.own_cpm + now.change_cpm
    if step == 0:
        return (
            f"No step: the {club} takes its own raw length, {ruled(now.own.raw_length_in)}, and reads {cpm:.1f} cpm. "
            f"From the family's R to its A is {now.gap_cpm:.1f} cpm in this club."
        )
    words, soft = say_step(step), step > 0
    facts = (
        f"{words[0].upper()}{words[1:]}: the {club} takes {ruled(now.plan.raw_length_in)} instead of "
        f"{ruled(now.own.raw_length_in)}, and every step sits {ruled(abs(now.raised_in))} nearer the "
        f"{'grip' if soft else 'head'}. It reads {cpm:.1f} cpm, {signed(now.change_cpm, 1)} cpm: "
        f"{abs(now.part_of_gap):.2f} of the {now.gap_cpm:.1f} cpm from R to {'A' if soft else 'S'}."
    )
    missing = " and ".join(each.club for each in now.stepped.missing)
    return f"{facts} {f'No raw length for: {missing}.' if missing else 'Every club of the set can be built.'}"


def stepping_lab() -> Lab[StepParams, SteppedClass]:
    """Return the lab on stepping: the class's taper-tip set, its steps, and the club that is drawn."""
    built = build_set(stepping_order())
    known = {step: step_worth(built, step) for step in range(-MOST_STEPS, MOST_STEPS + 1) if step}
    return Lab(
        title="A taper-tip club on its own raw length and stepped, and the raw lengths of the set",
        controls=(
            Slider("soft_steps", "soft steps (hard: −)", "", -MOST_STEPS, MOST_STEPS, 1.0, 1.0),
            Choice("club", "club drawn", DRAWN, DRAWN[1]),
        ),
        params=StepParams,
        compute=partial(step_class, built, known=known, gaps=family_gaps(built)),
        build=_scene,
        draw=_draw,
        read=_read,
        describe=_describe,
        reference=StepParams(0.0, DRAWN[1]),
    )


def raw_length_table() -> pd.DataFrame:
    """Return the raw length (in) that every club of the set takes, a column a step; "none" where there is none."""
    family, clubs = demo_families()[0], [club.head.club for club in stepping_order().clubs]
    columns = {}
    for step in range(-MOST_STEPS, MOST_STEPS + 1):
        found = {club: family.find(club, step) for club in clubs}
        columns[say_step(step)] = {club: row.raw_length_in if row else "none" for club, row in found.items()}
    return pd.DataFrame(columns, index=pd.Index(clubs, name="raw length (in)"))


def worth_table(club: str = DRAWN[1]) -> pd.DataFrame:
    """Return what one soft and one hard step are worth on a club, in cpm by the beam and beside the family's flex.

    The flex is the gap in this club from the family's R to its A for the soft step, to its S for the hard one; the last
    column is how many such steps make it. Raises ModelError as :func:`trimkit.check.stepworth.step_worth` does.
    """
    built, rows = build_set(stepping_order()), {}
    gaps = family_gaps(built)
    for step, flex in ((1, "A"), (-1, "S")):
        change = next(row.change_cpm for row in step_worth(built, step) if row.club == club)
        share = abs(change) / gaps[flex][club]
        rows[say_step(step)] = (signed(change, 1), f"R to {flex}: {gaps[flex][club]:.1f}", share, 1 / share)
    columns = ["change in frequency (cpm)", "one flex (cpm)", "step, in flexes", "steps to a flex"]
    table = pd.DataFrame.from_dict(rows, orient="index", columns=columns).rename_axis(club)
    return table.round({columns[2]: 2, columns[3]: 1})
