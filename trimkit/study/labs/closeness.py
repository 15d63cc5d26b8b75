"""How close is close enough: a shop's scatter by first order on fixed draws, quick enough for a slider.

Standing: first order of :mod:`trimkit.shop.tolerance`, derived; the usual tolerances have their sources there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from trimkit.check.ownline import own_line, schedule_clubs_cpm
from trimkit.check.setline import SET_TOLERANCE_CPM
from trimkit.club.card import card_of
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.mechanics.batch import Floats
from trimkit.parts.errors import ModelError
from trimkit.shop.sampling import SetSample
from trimkit.shop.tolerance import HALF_WIDTH_IN_SD, TOLERANCES, Budget, Tolerances, first_order

SETS, SEED = 10_000, 1
LIKELY = 0.9
"""The fraction of all sets that :attr:`Closeness.likely_cpm` asks for: chosen here."""
GROUPS: Mapping[str, tuple[str, ...]] = {
    "EI": ("ei_percent",),
    "wall": ("wall_percent",),
    "BBGL reading": ("bbgl_in",),
    "cuts and clamp": ("tip_trim_in", "cut_length_in", "clamp_in"),
    "masses": ("head_mass_g", "shaft_mass_percent"),
}
"""The tolerances as the lab's squares group them."""
LENGTHS = ("tip_trim_in", "cut_length_in", "bbgl_in", "clamp_in")


@dataclass(frozen=True)
class ToleranceParams:
    """allowed_cpm: either way. The others are half-widths, two standard deviations each.

    ei_percent, wall_percent: from shaft to shaft. lengths_in: of tip cut, cut length, BBGL reading and clamp depth, in.
    head_mass_g: of the head, g.
    """

    allowed_cpm: float
    ei_percent: float
    wall_percent: float
    lengths_in: float
    head_mass_g: float

    @property
    def tolerances(self) -> Tolerances:
        """The bench's tolerances with these put in."""
        lengths = dict.fromkeys(LENGTHS, self.lengths_in)
        return Tolerances(
            ei_percent=self.ei_percent, wall_percent=self.wall_percent, head_mass_g=self.head_mass_g, **lengths
        )


@dataclass(frozen=True, eq=False)
class ClassScatter:
    """What does not change while a slider moves.

    built: the set. gain: cpm per unit of each tolerance, by first order, shape (n, k). draws: standard normals, shape
    (n, N, k), the ones that :func:`trimkit.shop.sampling.sample_sets` draws for the same seed.
    """

    built: SetBuild
    gain: Floats
    draws: Floats


@dataclass(frozen=True, eq=False)
class Closeness:
    """What the scatter does. budget: by first order. sample: the same effects drawn for many sets."""

    params: ToleranceParams
    budget: Budget
    sample: SetSample

    @cached_property
    def club_fractions(self) -> Floats:
        """For each club, the fraction of all sets in which it keeps within, 0 to 1."""
        return np.array([each.value for each in self.sample.club_probabilities])

    @cached_property
    def worst_cpm(self) -> Floats:
        """The largest deviation of each set, cpm, in rising order."""
        return np.sort(np.abs(self.sample.deviation_cpm).max(axis=1))

    @property
    def likely_cpm(self) -> float:
        """The difference (cpm) that would have to be allowed for nine sets of ten to keep within it."""
        return float(np.quantile(self.worst_cpm, LIKELY))

    @cached_property
    def shares(self) -> dict[str, float]:
        """Fraction of the whole set's variance due to each group of tolerances, 0 to 1; 0 where nothing varies."""
        whole = dict(self.budget.ranking)
        return {name: sum(whole[each] for each in group) for name, group in GROUPS.items()}

    @property
    def club_cpm(self) -> float:
        """How far one club comes out from its plan, cpm (±, two standard deviations): mean square of the ten."""
        return HALF_WIDTH_IN_SD * float(np.sqrt(self.budget.variance_cpm2.mean()))

    @property
    def group_cpm(self) -> dict[str, float]:
        """The same for each group of tolerances alone, cpm; the squares of all groups add up to that of the club."""
        return {name: self.club_cpm * float(np.sqrt(share)) for name, share in self.shares.items()}

    @property
    def first(self) -> str:
        """The group that contributes most."""
        return max(self.shares, key=lambda name: self.shares[name])


def all_within(fractions: ArrayLike) -> float:
    """Answer in which fraction of all sets every club keeps within, 0 to 1, if the clubs are independent.

    fractions: each club's own, 0 to 1. The product of all. Derived. Raises ModelError for one outside 0 to 1.

    >>> round(all_within([0.9, 0.9, 0.5]), 3)
    0.405
    """
    given = np.asarray(fractions, dtype=float)
    if not (np.isfinite(given).all() and (given >= 0).all() and (given <= 1).all()):
        raise ModelError("a chance outside 0 to 1", "fractions, each from 0 to 1", "divide percent by 100")
    return float(given.prod())


def class_scatter() -> ClassScatter:
    """Return the demo set with its first-order effects and one seeded block of draws, ready for :func:`how_close`."""
    built = build_set(shipped_order())
    usual = Tolerances()
    budget = first_order([club.plan for club in built.clubs], usual, built.order.assembly)
    shape = (SETS, len(built.clubs), len(TOLERANCES))
    draws = np.random.default_rng(SEED).standard_normal(shape)
    return ClassScatter(built, budget.effect_cpm / usual.sd, np.ascontiguousarray(draws.transpose(1, 0, 2)))


def how_close(start: ClassScatter, params: ToleranceParams) -> Closeness:
    """Answer how often one club and the whole set keep within the allowed difference.

    deviation = sum over tolerances of (df/dx sd_x) z with standard normal z: the first order of
    :func:`trimkit.shop.tolerance.first_order`, with df/dx at the usual tolerances, on fixed draws. Derived.
    Raises ModelError as :class:`trimkit.shop.tolerance.Tolerances` does.
    """
    tolerances = params.tolerances
    effect = start.gain * tolerances.sd
    clubs = tuple(club.plan.club for club in start.built.clubs)
    planned = np.array([club.frequency_cpm for club in start.built.clubs])
    half_widths = tuple(float(each) for each in tolerances.sd * HALF_WIDTH_IN_SD)
    deviation = np.matmul(start.draws, effect[:, :, None])[..., 0].T
    return Closeness(
        params,
        Budget(clubs, TOLERANCES, half_widths, planned, effect),
        SetSample(clubs, deviation, params.allowed_cpm, SEED),
    )


def usual_params() -> ToleranceParams:
    """Return the params the lab begins with."""
    usual = Tolerances()
    return ToleranceParams(
        SET_TOLERANCE_CPM, usual.ei_percent, usual.wall_percent, usual.tip_trim_in, usual.head_mass_g
    )


def batch_table(ei_percent: float = 2.0) -> pd.DataFrame:
    """Return the demo set from shafts that all are stiffer by as much, a row a club, cpm.

    ei_percent: how much higher the whole batch's EI is than planned. Each club as planned and from that batch, and how
    far it lies off the set's own line (:func:`trimkit.check.ownline.own_line`) before and after.
    """
    built = build_set(shipped_order())
    plans = [club.plan for club in built.clubs]
    cards = [card_of(club.plan, club.assembly) for club in built.clubs]
    lengths, schedule = [plan.playing_length_in for plan in plans], schedule_clubs_cpm(cards, plans)
    planned = frequencies_cpm(cards)
    batch = frequencies_cpm(cards, ei_factor=1 + ei_percent / 100)
    off = [each - np.array(own_line(lengths, each.tolist(), schedule).asked_cpm) for each in (planned, batch)]
    columns = {
        "as planned (cpm)": planned,
        "stiffer batch (cpm)": batch,
        "change (cpm)": batch - planned,
        "off the line, planned (cpm)": off[0],
        "off the line, stiffer batch (cpm)": off[1],
    }
    return pd.DataFrame(columns, index=pd.Index([plan.club for plan in plans], name="club"))
