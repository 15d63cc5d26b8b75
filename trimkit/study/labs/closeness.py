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

from trimkit.check.setline import SET_TOLERANCE_CPM
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.mechanics.batch import Floats
from trimkit.parts.errors import ModelError
from trimkit.shop.sampling import SetSample, sample_sets
from trimkit.shop.tolerance import HALF_WIDTH_IN_SD, TOLERANCES, Budget, Tolerances, first_order

SETS, SEED = 10_000, 1
WIDEST_CPM = 8.0
LIKELY = 0.9
"""The fraction of all sets that :attr:`Closeness.likely_cpm` asks for: chosen here."""
GROUPS: Mapping[str, tuple[str, ...]] = {
    "EI scatter": ("ei_percent",),
    "wall": ("wall_percent",),
    "BBGL reading": ("bbgl_in",),
    "cuts and clamp": ("tip_trim_in", "cut_length_in", "clamp_in"),
    "masses": ("head_mass_g", "shaft_mass_percent"),
}
"""The tolerances as the lab's bars group them."""
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

    @property
    def independent(self) -> float:
        """The clubs' fractions multiplied, 0 to 1: the whole set's if the clubs are independent."""
        return all_within(self.club_fractions)

    @cached_property
    def worst_cpm(self) -> Floats:
        """The largest deviation of each set, cpm, in rising order."""
        return np.sort(np.abs(self.sample.deviation_cpm).max(axis=1))

    @property
    def curves(self) -> tuple[Floats, Floats, Floats]:
        """Allowed differences (cpm), and how many percent of single clubs and of whole sets keep within each."""
        allowed = np.linspace(0, WIDEST_CPM, 41)
        single = np.sort(np.abs(self.sample.deviation_cpm).ravel())
        one, whole = (
            100 * np.searchsorted(each, allowed, side="right") / each.size for each in (single, self.worst_cpm)
        )
        return allowed, one, whole

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
    :func:`trimkit.shop.tolerance.first_order`, with df/dx at the usual tolerances, on fixed draws. Derived; lesson 10
    holds it against the full model. Raises ModelError as :class:`trimkit.shop.tolerance.Tolerances` does.
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


def full_sample(start: ClassScatter, params: ToleranceParams) -> SetSample:
    """Return the same sets through the full model, cpm: the same draws, every club solved anew; takes about a second.

    Standing: as :func:`trimkit.shop.sampling.sample_sets`, and it raises as that does.
    """
    plans, assembly = [club.plan for club in start.built.clubs], start.built.order.assembly
    return sample_sets(
        plans, params.tolerances, assembly=assembly, tolerance_cpm=params.allowed_cpm, sets=SETS, seed=SEED
    )


def agreement_table() -> pd.DataFrame:
    """Return first order and full model side by side, on the same draws: percent kept within, cpm of spread.

    The last rows are the difference of the two in one club of one set, cpm: root mean square and largest.
    """
    start = class_scatter()
    quick = how_close(start, usual_params()).sample
    full = full_sample(start, usual_params())
    rows: dict[str, tuple[float, ...]] = {
        f"{club} within (%)": tuple(100 * each.value for each in pair)
        for club, *pair in zip(quick.clubs, quick.club_probabilities, full.club_probabilities, strict=True)
    }
    rows["all ten within (%)"] = tuple(100 * each.set_probability.value for each in (quick, full))
    apart = np.abs(quick.deviation_cpm - full.deviation_cpm)
    rows["apart, rms (cpm)"] = (0.0, float(np.sqrt((apart**2).mean())))
    rows["apart, at most (cpm)"] = (0.0, float(apart.max()))
    return pd.DataFrame.from_dict(rows, orient="index", columns=["first_order", "full_model"])
