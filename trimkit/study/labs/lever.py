"""A club on the lever of the swingweight scale: its masses, their arms about the fulcrum, and what meets a target."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from trimkit.club.card import Assembly, card_components, card_of
from trimkit.club.club import ClubBuild, club_frequencies_cpm, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.mechanics.balance import (
    D0_OZ_IN,
    FULCRUM_IN,
    POINT_OZ_IN,
    Balance,
    Component,
    balance,
    mass_for_swingweight,
    swingweight_text,
)
from trimkit.parts.errors import ModelError
from trimkit.parts.units import G_PER_OZ, signed
from trimkit.trim.plan import TrimPlan

CLUB = "7-iron"
LABELLED = ("head", "shaft", "grip")
"""The parts that count; the others together are called the rest."""
LENGTH_STEP_IN = 0.125
MOST_TIP_WEIGHT_G = 8.0
"""Heaviest tip weight the lab offers, g: chosen here; the maker of a shaft says what its tip takes."""


@dataclass(frozen=True)
class BalanceParams:
    """Masses in g, playing_length_in in in. target_points: the wanted swingweight, in points above (+) or below D0."""

    head_mass_g: float
    grip_mass_g: float
    playing_length_in: float
    tip_weight_g: float
    target_points: float

    @property
    def target_oz_in(self) -> float:
        """The wanted swingweight, oz in."""
        return D0_OZ_IN + self.target_points * POINT_OZ_IN

    @property
    def target(self) -> str:
        """The wanted swingweight on the letter scale."""
        return swingweight_text(self.target_oz_in)


@dataclass(frozen=True)
class LeverMass:
    """A mass on the lever: name, mass (g), place from the cap end (in)."""

    name: str
    mass_g: float
    from_cap_in: float

    @property
    def arm_in(self) -> float:
        """Distance from the fulcrum, in; + towards the head."""
        return self.from_cap_in - FULCRUM_IN

    @property
    def moment_oz_in(self) -> float:
        """What it adds to the moment about the fulcrum, oz in."""
        return self.mass_g * self.arm_in / G_PER_OZ

    @property
    def g_per_point(self) -> float:
        """How many grams more (+) or less (-) of it make one point more."""
        return POINT_OZ_IN * G_PER_OZ / self.arm_in


@dataclass(frozen=True, eq=False)
class WeighedClub:
    """A club on the lever.

    plan: its cuts. masses: its parts by name. balance: its mass properties. frequency_cpm: with these masses.
    tip_weight_g: what would meet the target, None if only a negative weight would. head_mass_g: the head that would
    meet it instead, the tip weight left as it is. in_per_point: how much more playing length makes one point.
    """

    params: BalanceParams
    plan: TrimPlan
    masses: dict[str, LeverMass]
    balance: Balance
    frequency_cpm: float
    tip_weight_g: float | None
    head_mass_g: float
    in_per_point: float

    @property
    def points(self) -> float:
        """Swingweight in points above A0 (D0 is 30)."""
        return float(self.balance.swingweight_points)

    @property
    def remedy(self) -> str:
        """What meets the target, in words: a tip weight if a common size is enough, otherwise another head."""
        has, needs = self.params.tip_weight_g, self.tip_weight_g
        head = f"a head of {self.head_mass_g:.1f} g" + (f" with the {has:.1f} g weight in" if has else "")
        if needs is None:
            return f"{head}; no tip weight makes it lighter"
        if needs > MOST_TIP_WEIGHT_G:
            return f"{head}; a tip weight would have to be {needs:.0f} g"
        if has == 0:
            return f"a tip weight of {needs:.1f} g"
        change = round(needs, 1) - round(has, 1)
        said = f"{abs(change):.1f} g {'more' if change > 0 else 'less'}" if change else "which it has"
        return f"a tip weight of {needs:.1f} g in all, {said}"


def _changed(start: ClubBuild, params: BalanceParams, longer_in: float = 0.0) -> tuple[TrimPlan, Assembly]:
    plan = recut(start.plan, start.plan.tip_trim_in, params.playing_length_in + longer_in)
    head = replace(plan.wanted.head, head_mass_g=params.head_mass_g)
    grip = replace(plan.wanted.grip, grip_mass_g=params.grip_mass_g)
    assembly = replace(start.assembly, tip_weight_g=params.tip_weight_g)
    return replace(plan, wanted=replace(plan.wanted, head=head, grip=grip)), assembly


def weigh(start: ClubBuild, params: BalanceParams) -> WeighedClub:
    """Answer how the club of ``start`` balances with other masses and another length, its tip cut as it was.

    Raises TrimRefused if the shaft is too short for the length, ModelError as the mechanics does.
    """
    plan, assembly = _changed(start, params)
    parts = card_components(card_of(plan, assembly))
    longer, shorter = (
        balance(card_components(card_of(*_changed(start, params, step)))).swingweight_points
        for step in (LENGTH_STEP_IN, -LENGTH_STEP_IN)
    )
    try:
        weight = float(mass_for_swingweight(parts, "tip weight", params.target_oz_in))
    except ModelError:
        weight = None  # only a negative weight would do: the head has to be lighter
    return WeighedClub(
        params=params,
        plan=plan,
        masses={part.name: _mass(part) for part in parts},
        balance=balance(parts),
        frequency_cpm=club_frequencies_cpm(plan, assembly, (plan.tip_trim_in,))[0],
        tip_weight_g=weight,
        head_mass_g=float(mass_for_swingweight(parts, "head", params.target_oz_in)),
        in_per_point=2 * LENGTH_STEP_IN / float(longer - shorter),
    )


def _mass(part: Component) -> LeverMass:
    return LeverMass(part.name, float(np.asarray(part.mass_g)), float(np.asarray(part.from_cap_in)))


def ordered_params(start: ClubBuild) -> BalanceParams:
    """Return a club's own masses and length, without a tip weight, and D0 as the target."""
    wanted = start.plan.wanted
    return BalanceParams(wanted.head.head_mass_g, wanted.grip.grip_mass_g, start.plan.playing_length_in, 0.0, 0.0)


def lesson_club(**changed: float) -> WeighedClub:
    """Return the demo set's 7-iron on the lever, or with some of its params changed."""
    start = build_set(shipped_order()).club(CLUB)
    return weigh(start, replace(ordered_params(start), **changed))


def moment_table() -> pd.DataFrame:
    """Return the 7-iron's parts: mass (g), distance from the fulcrum (in), moment (oz in), and the sum of the moments.

    Parts without mass are left out; the smallest are one row.
    """
    masses = [mass for mass in lesson_club().masses.values() if mass.mass_g > 0]
    large = [mass for mass in masses if mass.name in LABELLED]
    rest = [mass for mass in masses if mass not in large]
    rows = {
        mass.name: (f"{mass.mass_g:.1f}", signed(mass.arm_in, 2), signed(mass.moment_oz_in, 2)) for mass in large
    } | {
        " + ".join(mass.name for mass in rest): (
            f"{sum(mass.mass_g for mass in rest):.1f}",
            "",
            signed(sum(mass.moment_oz_in for mass in rest), 2),
        ),
        "whole club": (
            f"{sum(mass.mass_g for mass in masses):.1f}",
            "",
            signed(sum(mass.moment_oz_in for mass in masses), 2),
        ),
    }
    heads = ["mass (g)", "from the fulcrum (in)", "moment (oz in)"]
    return pd.DataFrame([*rows.values()], pd.Index([*rows], name="part"), heads)


def remedies_table() -> pd.DataFrame:
    """Return what brings the 7-iron to three swingweights: a tip weight, or another head (g)."""
    clubs = [lesson_club(target_points=points) for points in (0.0, 3.0, -3.0)]
    weights = ["none will do" if club.tip_weight_g is None else f"{club.tip_weight_g:.1f}" for club in clubs]
    heads = [f"{club.head_mass_g:.1f}" for club in clubs]
    targets = pd.Index([club.params.target for club in clubs], name="swingweight")
    return pd.DataFrame({"tip weight (g)": weights, "or head mass (g)": heads}, targets)
