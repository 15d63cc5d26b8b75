"""How likely a set is to stay within its tolerance: a seeded sample of many sets, and how sure that sample is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trimkit.check.setline import SET_TOLERANCE_CPM
from trimkit.club.card import Assembly
from trimkit.mechanics.batch import Floats
from trimkit.parts.errors import ModelError
from trimkit.shop.tolerance import TOLERANCES, Tolerances, scattered
from trimkit.trim.plan import TrimPlan

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Probability:
    """A probability estimated from a sample: kept of count were within the tolerance.

    Raises ModelError if the two cannot be counts of a sample.
    """

    kept: int
    count: int

    def __post_init__(self) -> None:
        if not 0 <= self.kept <= self.count or self.count < 1:
            raise ModelError(f"{self.kept} of {self.count}", "a sample of one or more", "correct the counts")

    @property
    def value(self) -> float:
        """Fraction of the sample that was within the tolerance, 0 to 1."""
        return self.kept / self.count

    @property
    def standard_error(self) -> float:
        """sqrt(p (1 - p)/n), no unit; 0 at p = 0 and 1, where only the interval says how sure it is."""
        return math.sqrt(self.value * (1 - self.value) / self.count)

    @property
    def interval(self) -> tuple[float, float]:
        """95 % interval, 0 to 1, by Wilson's score (``scipy.stats.binomtest``)."""
        from scipy.stats import binomtest  # takes a second to import, and most of the package never needs it

        found = binomtest(self.kept, self.count).proportion_ci(0.95, method="wilson")
        return float(found.low), float(found.high)

    def __str__(self) -> str:
        low, high = self.interval
        return f"{100 * self.value:.1f} % ({100 * low:.1f} to {100 * high:.1f} %)"


@dataclass(frozen=True, eq=False)
class SetSample:
    """N sets of n clubs, each club of each set with its own random errors.

    deviation_cpm: frequency minus target, shape (N, n). tolerance_cpm: plus or minus. seed: of the draws.
    """

    clubs: tuple[str, ...]
    deviation_cpm: Floats
    tolerance_cpm: float
    seed: int

    @property
    def sd_cpm(self) -> Floats:
        """Standard deviation of each club's frequency in the sample, cpm, shape (n,)."""
        return np.asarray(self.deviation_cpm.std(axis=0, ddof=1))

    @property
    def club_probabilities(self) -> tuple[Probability, ...]:
        """For each club, the probability that it is within the tolerance."""
        within = np.abs(self.deviation_cpm) <= self.tolerance_cpm
        return tuple(Probability(int(kept), len(within)) for kept in within.sum(axis=0))

    @property
    def set_probability(self) -> Probability:
        """The probability that every club of a set is within the tolerance."""
        within = (np.abs(self.deviation_cpm) <= self.tolerance_cpm).all(axis=1)
        return Probability(int(within.sum()), within.size)


def sample_sets(
    plans: Iterable[TrimPlan],
    tolerances: Tolerances | None = None,
    *,
    assembly: Assembly | None = None,
    target_cpm: Sequence[float] | None = None,
    tolerance_cpm: float = SET_TOLERANCE_CPM,
    sets: int = 10_000,
    seed: int = 1,
) -> SetSample:
    """Answer how far the clubs of many sets lie off their targets, with random errors at the bench.

    tolerances: the bench's; None for the usual ones. target_cpm: what each club should measure; None: as planned.
    tolerance_cpm: how far off a club may be, plus or minus. The draws are normal and seeded (numpy's default
    generator).

    Raises ModelError for fewer than two sets, for a tolerance that is not a finite number above 0, for targets that are
    not one finite number per club; otherwise as :func:`trimkit.shop.tolerance.scattered`.
    """
    made = scattered(plans, tolerances, assembly)
    n, k = len(made.plans), len(TOLERANCES)
    if isinstance(sets, bool) or not isinstance(sets, int) or sets < 2:
        raise ModelError(f"{sets!r} sets", "a whole number, 2 or more", "draw 10 000 sets")
    if not (np.isfinite(tolerance_cpm) and tolerance_cpm > 0):
        raise ModelError(f"a tolerance of {tolerance_cpm} cpm", "a finite number above 0", "state the set's tolerance")
    target = made.frequencies_cpm(np.zeros((n, k))) if target_cpm is None else np.asarray(target_cpm, dtype=np.float64)
    if target.shape != (n,) or not np.isfinite(target).all():
        raise ModelError(f"targets {target_cpm!r} for {n} clubs", "a frequency in cpm for each club", "correct them")
    draws = np.random.default_rng(seed).standard_normal((sets, n, k))
    deviation = made.frequencies_cpm(draws) - target
    return SetSample(tuple(plan.club for plan in made.plans), deviation, float(tolerance_cpm), seed)


def probability_table(sample: SetSample) -> pd.DataFrame:
    """Return each club's and the whole set's probability, one row each: percent, standard error, 95 % interval."""
    import pandas as pd

    rows = {**dict(zip(sample.clubs, sample.club_probabilities, strict=True)), "whole set": sample.set_probability}
    return pd.DataFrame(
        {
            "club": list(rows),
            "within_percent": [100 * each.value for each in rows.values()],
            "standard_error_percent": [100 * each.standard_error for each in rows.values()],
            "low_percent": [100 * each.interval[0] for each in rows.values()],
            "high_percent": [100 * each.interval[1] for each in rows.values()],
        }
    ).set_index("club")
