"""Lab: a taper-tip set stepped as a whole: which clubs have no raw length, and what a step does against the rule."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

import pandas as pd
from matplotlib.axes import Axes

from trimkit.check.stepworth import StepWorth, step_worth
from trimkit.club.flexscale import CPM_PER_FLEX
from trimkit.club.order.order import Order, shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.parts.units import say_number, signed
from trimkit.study.frame.clubreadouts import count, difference, to_cut
from trimkit.study.frame.controls import Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, REFUSED, SERIES, styled_figure
from trimkit.trim.stepping import (
    OTHERS_FLEX_PER_STEP,
    CannotStep,
    RawFamily,
    SteppedSet,
    flex_shift,
    say_step,
    step_set,
)

CLUB = "6-iron"
"""The club in the middle of the set, whose numbers are read out."""
ADDED = {"3-iron": ("4-iron", 247.3), "pitching wedge": ("9-iron", 294.2)}
"""Clubs the class's taper-tip set lacks: the head they are made like, and their mass (g); made up for the lesson."""
MOST_STEPS = 2
BARS_FROM_IN = 34.0
FURTHEST_CPM = 14.0
RULE, OTHERS = SERIES[1], SERIES[2]


@dataclass(frozen=True)
class StepParams:
    """soft_steps: + soft, - hard, a whole number. cpm_per_flex: what counts as one flex, cpm."""

    soft_steps: float
    cpm_per_flex: float

    @property
    def step(self) -> int:
        """The steps as the trade's rule counts them."""
        return round(self.soft_steps)


@dataclass(frozen=True)
class SteppedClass:
    """The set stepped: its raw lengths and missing clubs by rule, and what stepping changes by mechanics.

    worth: for the clubs that can be built, longest first; empty where nothing is stepped.
    """

    params: StepParams
    stepped: SteppedSet
    worth: tuple[StepWorth, ...]

    @property
    def rule_cpm(self) -> float:
        """What the rule says of the stepping, cpm: flexes by the rule times cpm per flex."""
        return flex_shift(self.params.step) * self.params.cpm_per_flex

    @property
    def third_cpm(self) -> float:
        """What stepping comes to where a step counts as a third of a flex, as others say, cpm."""
        return flex_shift(self.params.step, OTHERS_FLEX_PER_STEP) * self.params.cpm_per_flex

    def change_cpm(self, club: str) -> float:
        """Return what stepping changes for one club that can be built, by the mechanics, cpm."""
        return next((row.change_cpm for row in self.worth if row.club == club), 0.0)

    @property
    def changes_cpm(self) -> tuple[float, float]:
        """The least and the most that stepping changes in this set, by the mechanics, cpm."""
        changes = [self.change_cpm(club) for club, _ in self.stepped.built]
        return min(changes, key=abs), max(changes, key=abs)

    def raw_length_in(self, club: str) -> float:
        """Return the raw length (in) that one club takes; KeyError if it cannot be built."""
        return dict(self.stepped.built)[club].raw_length_in


def stepping_order() -> Order:
    """Return the class's order on taper tips, unstepped, with a 3-iron and a pitching wedge more."""
    order = shipped_order("taper_soft_step")
    clubs = {each.head.club: each for each in order.clubs}
    for club, (like, mass) in ADDED.items():
        head = replace(clubs[like].head, name=f"made-up {club}", club=club, head_mass_g=mass)
        clubs[club] = replace(clubs[like], head=head)
    family = _family(order)
    return replace(order, soft_steps=0, clubs=tuple(clubs[club] for club in family.clubs if club in clubs))


def _family(order: Order) -> RawFamily:
    return RawFamily.from_rows(order.catalogue.raw_lengths, order.shaft)


def demo_families() -> tuple[RawFamily, RawFamily, RawFamily]:
    """Return the demo's family in R, and two made-up ones in A and S with the same raw lengths."""
    family = _family(shipped_order("taper_soft_step"))
    softer, stiffer = (
        RawFamily(f"{flex} family", flex, tuple(replace(row, family=f"{flex} family") for row in family.rows))
        for flex in ("A", "S")
    )
    return family, softer, stiffer


def step_class(
    built: SetBuild,
    families: tuple[RawFamily, ...],
    params: StepParams,
    known: Mapping[int, tuple[StepWorth, ...]] | None = None,
) -> SteppedClass:
    """Return the set stepped as asked. families: its own, then the others at hand.

    known: what :func:`trimkit.check.stepworth.step_worth` says of each step (+ soft), so that a slider need not ask
    the mechanics again; how many cpm one flex is worth changes nothing in it. Raises as the mechanics does.
    """
    family, *others = families
    clubs = [club.plan.club for club in built.clubs]
    stepped = step_set(family, clubs, params.step, others)
    if known is None:
        known = {params.step: step_worth(built, params.step)} if params.step else {}
    rows = known.get(params.step, ())
    return SteppedClass(params, stepped, tuple(replace(row, cpm_per_flex=params.cpm_per_flex) for row in rows))


def _rows(now: SteppedClass) -> dict[str, int]:
    """The row of the picture for each club of the set, the longest at the top."""
    clubs = [club for club, _ in now.stepped.built] + [each.club for each in now.stepped.missing]
    ordered = [club for club in now.stepped.family.clubs if club in clubs]
    return {club: len(ordered) - 1 - number for number, club in enumerate(ordered)}


def _draw_lengths(axes: Axes, reference: SteppedClass) -> Live:
    rows, lengths = _rows(reference), [row.raw_length_in for row in reference.stepped.family.rows]
    axes.set(xlim=(BARS_FROM_IN, 41.75), ylim=(-0.6, len(rows) + 0.9))
    axes.set_yticks(list(rows.values()), list(rows), fontsize=12)
    axes.set_xticks(range(34, 42, 2))
    axes.set_xlabel(f"raw length (in), bars begin at {BARS_FROM_IN:g} in\n□ unstepped   ● as stepped", fontsize=12)
    axes.grid(visible=False)
    for place, word, side in ((lengths[-1], "shortest", "left"), (lengths[0], "longest", "right")):
        axes.plot([place, place], [-0.6, len(rows) - 0.25], color="#333333", linestyle=(0, (2, 2)), linewidth=1.2)
        axes.text(place, len(rows) - 0.15, f"{word}\n{place:g} in", fontsize=12, ha=side, va="bottom")
    unstepped = [reference.raw_length_in(club) for club in rows]
    axes.plot(unstepped, list(rows.values()), **REFERENCE.mark(hollow=True))
    live: Live = {
        "bars": axes.hlines([], [], [], color=NOW.colour, linewidth=7, alpha=0.35),
        "lengths": axes.plot([], [], **NOW.mark(7))[0],
        "missing": axes.plot([], [], color=REFUSED, marker="X", markersize=11, linestyle="none")[0],
    }
    for number in range(MOST_STEPS):
        live[f"missing {number}"] = axes.text(0, 0, "", color="#333333", fontsize=12, va="center", fontweight="bold")
    return live


def _draw_changes(axes: Axes, reference: SteppedClass) -> Live:
    count = len(_rows(reference))
    axes.set(xlim=(-FURTHEST_CPM, FURTHEST_CPM), ylim=(-0.6, count + 0.9))
    axes.set_xlabel("change (cpm)\nsofter ◀     ▶ stiffer", fontsize=12)
    axes.grid(visible=False, axis="y")
    axes.set_xticks(range(-10, 11, 5), ["−10", "−5", "0", "+5", "+10"])
    axes.set_yticks(range(count), [""] * count)
    axes.axvline(0, **REFERENCE.line())
    return {
        "gaps": axes.hlines([], [], [], color="#999999", linewidth=2),
        "rule line": axes.plot([], [], color=RULE.colour, linestyle=RULE.dash, linewidth=1.4)[0],
        "third line": axes.plot([], [], color=OTHERS.colour, linestyle=OTHERS.dash, linewidth=1.4)[0],
        "by rule": axes.plot([], [], **RULE.mark(9))[0],
        "by mechanics": axes.plot([], [], **NOW.mark(9))[0],
        "rule text": axes.text(0, count * 0.32, "", color="#333333", fontsize=12, ha="center", va="center"),
        "third text": axes.text(0, count * 0.1, "", color="#333333", fontsize=12, ha="center", va="center"),
        "mechanics text": axes.text(0, count * 0.72, "", color=NOW.colour, fontsize=12, ha="center", va="center"),
    }


def _scene(reference: SteppedClass) -> Scene:
    with styled_figure() as figure:
        lengths, changes = figure.subplots(1, 2, width_ratios=(1.2, 1.0))
        live = _draw_lengths(lengths, reference) | _draw_changes(changes, reference)
    return Scene(figure, live)


def _draw(live: Live, now: SteppedClass, _reference: SteppedClass) -> None:
    rows, step = _rows(now), now.params.step
    built = [(rows[club], row.raw_length_in) for club, row in now.stepped.built]
    live["bars"].set(segments=[[(BARS_FROM_IN, y), (length, y)] for y, length in built])
    live["lengths"].set(data=([length for _, length in built], [y for y, _ in built]))
    raw = [row.raw_length_in for row in now.stepped.family.rows]
    soft, missing = step > 0, [rows[each.club] for each in now.stepped.missing]
    live["missing"].set(data=([raw[0] + 0.75 if soft else raw[-1] - 0.75] * len(missing), missing))
    for number in range(MOST_STEPS):
        text = "no raw length" if number < len(missing) else ""
        y = missing[number] if text else 0
        live[f"missing {number}"].set(text=text, position=(39.35 if soft else 36.6, y), ha="right" if soft else "left")
    changes = [(rows[club], now.change_cpm(club)) for club, _ in now.stepped.built]
    rule, (least, most) = now.rule_cpm, now.changes_cpm
    live["gaps"].set(segments=[[(rule, y), (change, y)] for y, change in changes])
    for line, cpm in (("rule line", rule), ("third line", now.third_cpm)):
        live[line].set(data=([cpm, cpm], [-0.6, len(rows) - 0.4]))
    live["by rule"].set(data=([rule] * len(changes), [y for y, _ in changes]))
    live["by mechanics"].set(data=([change for _, change in changes], [y for y, _ in changes]))
    empty = -7.8 if step < 0 else 7.8
    live["rule text"].set(position=(empty, len(rows) * 0.32), text=f"▲ a quarter\n{signed(rule, 2)} cpm")
    live["third text"].set(position=(empty, len(rows) * 0.1), text=f"⋯ a third\n{signed(now.third_cpm, 2)} cpm")
    ends = f"{signed(least, 1)} to\n{signed(most, 1)} cpm" if step else "0 cpm"
    live["mechanics text"].set(position=(empty, len(rows) * 0.72), text=f"● mechanics\n{ends}")


def _read(now: SteppedClass) -> tuple[Readout, ...]:
    step, change, raw = now.params.step, now.change_cpm(CLUB), now.raw_length_in(CLUB)
    missing, clubs = len(now.stepped.missing), len(_rows(now))
    flexes = change / now.params.cpm_per_flex
    return (
        Readout("the set has", step, "", 0, say_step(step), compare=False),
        count("without a raw length", missing, clubs),
        to_cut(f"{CLUB} raw length", raw, compare=False),
        difference(f"{CLUB} by mechanics", change, "cpm", 1),
        difference("by the rule", now.rule_cpm, "cpm", 2),
        difference("by a third", now.third_cpm, "cpm", 2),
        difference("in flexes, mechanics", flexes, "flex", 2, "of a flex"),
        difference("in flexes, rule", flex_shift(step), "flex", 2, "of a flex"),
    )


def _missing(missing: tuple[CannotStep, ...]) -> str:
    clubs, which = ", ".join(each.club for each in missing), "it" if len(missing) == 1 else "the first"
    return f"No raw length: {clubs}. For {which}, by the rule: {', or '.join(missing[0].alternatives)}."


def _describe(now: SteppedClass, _reference: SteppedClass) -> str:
    step, flex = now.params.step, f"{say_number(now.params.cpm_per_flex, 2)} cpm"
    if step == 0:
        return (
            "No step: every club takes its own raw length. Where a flex is worth "
            f"{flex}, a quarter is {now.params.cpm_per_flex / 4:.2f} cpm."
        )
    (least, most), rule, way = now.changes_cpm, now.rule_cpm, "softer" if step > 0 else "stiffer"
    gap = max(abs(least - rule), abs(most - rule))
    words = say_step(step)
    facts = (
        f"{words[0].upper()}{words[1:]}: {abs(least):.1f} to {abs(most):.1f} cpm {way} by the mechanics, "
        f"{abs(rule):.2f} cpm by the rule ({abs(flex_shift(step)):g} of a flex of {flex}), up to {gap:.1f} cpm apart; "
        f"{abs(now.third_cpm):.2f} cpm where a step counts as a third."
    )
    return f"{facts} {_missing(now.stepped.missing) if now.stepped.missing else 'Every club can be built.'}"


def stepping_lab() -> Lab[StepParams, SteppedClass]:
    """Return the lab on stepping: the class's taper-tip set, its steps, and what one flex is worth."""
    built, families = build_set(stepping_order()), demo_families()
    known = {step: step_worth(built, step) for step in range(-MOST_STEPS, MOST_STEPS + 1) if step}
    return Lab(
        title="Raw lengths of a stepped taper-tip set, and the change in frequency by mechanics and by rule",
        controls=(
            Slider("soft_steps", "soft steps (hard: −)", "", -MOST_STEPS, MOST_STEPS, 1.0, 1.0),
            Slider("cpm_per_flex", "one flex is worth", "cpm", 6.0, 20.0, 0.25, CPM_PER_FLEX),
        ),
        params=StepParams,
        compute=partial(step_class, built, families, known=known),
        build=_scene,
        draw=_draw,
        read=_read,
        describe=_describe,
        reference=StepParams(0.0, CPM_PER_FLEX),
    )


def raw_length_table() -> pd.DataFrame:
    """Return the raw length (in) that every club of the set takes, a column a step; "none" where there is none."""
    family, clubs = demo_families()[0], [club.head.club for club in stepping_order().clubs]
    columns = {}
    for step in range(-MOST_STEPS, MOST_STEPS + 1):
        found = {club: family.find(club, step) for club in clubs}
        columns[say_step(step)] = {club: row.raw_length_in if row else "none" for club, row in found.items()}
    return pd.DataFrame(columns, index=pd.Index(clubs, name="raw length (in)"))


def worth_table(cpm_per_flex: float = CPM_PER_FLEX, soft_steps: int = 1) -> pd.DataFrame:
    """Return what soft steps change for every club that can take them: by mechanics, by rule, by a third of a flex.

    In cpm, the mechanics in flexes too.
    cpm_per_flex: what counts as one flex, cpm. Raises ModelError as
    :func:`trimkit.check.stepworth.step_worth` does.
    """
    worth = step_worth(build_set(stepping_order()), soft_steps, cpm_per_flex)
    rows = {row.club: (row.change_cpm, row.rule_cpm, row.third_cpm, row.mechanics_flexes) for row in worth}
    columns = ["mechanics_cpm", "rule_cpm", "third_cpm", "mechanics_flexes"]
    return pd.DataFrame.from_dict(rows, orient="index", columns=columns).rename_axis("club").round(2)
