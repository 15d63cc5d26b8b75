"""Which measured shaft goes into which head, so that the finished set comes closest to its target frequencies."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trimkit.club.card import Assembly, card_of
from trimkit.club.clamp import FrequencyBench, frequencies_cpm
from trimkit.club.profiles import profile_of
from trimkit.mechanics.batch import Floats
from trimkit.parts.errors import ModelError
from trimkit.shop.rawshaft import MeasuredShaft, shaft_factors
from trimkit.trim.plan import TrimPlan

if TYPE_CHECKING:
    import pandas as pd

SAME_LENGTH_IN = 1 / 32
"""Raw lengths closer than this count as one length of a taper family: chosen here, far below the usual half inch."""


@dataclass(frozen=True, eq=False)
class FrequencyMatrix:
    """What each of n planned clubs would measure with each of m shafts.

    frequency_cpm: shape (n, m), nan where the shaft does not have the raw length that the club takes.
    target_cpm: what each club should measure, shape (n,). ei_factor: how much stiffer each shaft is than described,
    shape (m,), nan where no club takes its raw length; None where the matrix was not computed here.
    """

    plans: tuple[TrimPlan, ...]
    shafts: tuple[MeasuredShaft, ...]
    frequency_cpm: Floats
    target_cpm: Floats
    ei_factor: Floats | None = None

    @property
    def cost_cpm2(self) -> Floats:
        """Squared deviations from the target, cpm^2, shape (n, m); infinite where the shaft cannot be used."""
        return np.nan_to_num((self.frequency_cpm - self.target_cpm[:, None]) ** 2, nan=np.inf)


@dataclass(frozen=True, eq=False)
class Assignment:
    """One shaft for each club. chosen: for each club, the number of its shaft in the matrix; how: how they were chosen.

    Raises ModelError if a shaft is used twice, or for a club that cannot take it.
    """

    matrix: FrequencyMatrix
    chosen: tuple[int, ...]
    how: str

    def __post_init__(self) -> None:
        clubs, shafts = self.matrix.frequency_cpm.shape
        within = len(self.chosen) == clubs and all(0 <= j < shafts for j in self.chosen)
        if not within or len(set(self.chosen)) != clubs or np.isnan(self.frequency_cpm).any():
            raise ModelError(
                f"shafts {self.chosen} for {clubs} clubs",
                "a different shaft for each club, of the raw length it takes",
                "correct the list",
            )

    @property
    def frequency_cpm(self) -> Floats:
        """What each club would measure with its shaft, cpm, shape (n,)."""
        return self.matrix.frequency_cpm[np.arange(len(self.chosen)), list(self.chosen)]

    @property
    def deviation_cpm(self) -> Floats:
        """Frequency minus target, cpm, shape (n,)."""
        return self.frequency_cpm - self.matrix.target_cpm

    @property
    def rms_cpm(self) -> float:
        """Root mean square of the deviations, cpm."""
        return float(np.sqrt(np.mean(self.deviation_cpm**2)))

    @property
    def worst_cpm(self) -> float:
        """Largest deviation in either direction, cpm, 0 or more."""
        return float(np.abs(self.deviation_cpm).max())


def frequency_matrix(
    plans: Iterable[TrimPlan],
    shafts: Iterable[MeasuredShaft],
    bench: FrequencyBench | Sequence[FrequencyBench],
    *,
    assembly: Assembly | Sequence[Assembly] | None = None,
    target_cpm: Sequence[float] | None = None,
) -> FrequencyMatrix:
    """Answer what every club would measure with every shaft.

    plans: clubs on one described shaft. shafts: as measured on ``bench``, one for all or one each. assembly: how the
    finished clubs are put together and clamped, one for all or one each. target_cpm: what each club should measure,
    cpm; None: what it would measure with the shaft as described.

    Raises ModelError if there is no club, if the clubs are planned on several shafts, or a target is not a finite
    number above 0; and as :func:`trimkit.shop.rawshaft.shaft_factors` does.
    """
    plans, shafts = tuple(plans), tuple(shafts)
    models = {plan.wanted.shaft for plan in plans}
    if len(models) != 1:
        names = ", ".join(sorted(model.name for model in models)) or "none"
        raise ModelError(
            f"clubs planned on {len(models)} shafts ({names})", "one", "assign the shafts of each kind separately"
        )
    described = next(iter(models)).raw_length_in
    benches = [bench] * len(shafts) if isinstance(bench, FrequencyBench) else list(bench)
    assemblies = [assembly] * len(plans) if isinstance(assembly, Assembly) or assembly is None else list(assembly)
    cards = [card_of(plan, each) for plan, each in zip(plans, assemblies, strict=True)]
    target = frequencies_cpm(cards)
    if target_cpm is not None:
        given = np.asarray(target_cpm, dtype=np.float64)
        if given.shape != target.shape or not (np.isfinite(given) & (given > 0)).all():
            raise ModelError(
                f"targets {target_cpm!r} for {len(plans)} clubs", "a frequency in cpm for each club", "correct them"
            )
        target = given
    lengths = np.array([shaft.raw_length_in or described for shaft in shafts])
    frequency = np.full((len(plans), len(shafts)), np.nan)
    ei_factor = np.full(len(shafts), np.nan)
    for length, held in itertools.product(sorted({plan.raw_length_in for plan in plans}), dict.fromkeys(benches)):
        rows = np.flatnonzero([plan.raw_length_in == length for plan in plans])
        of_bench = np.array([each == held for each in benches], dtype=bool)
        columns = np.flatnonzero((np.abs(lengths - length) < SAME_LENGTH_IN) & of_bench)
        if not columns.size:
            continue
        factors = shaft_factors(profile_of(plans[rows[0]].wanted.shaft, length), [shafts[j] for j in columns], held)
        cpm = frequencies_cpm(
            [cards[i] for i in rows],
            ei_factor=factors.ei_factor[:, None],
            mass_factor=factors.mass_factor[:, None],
        )
        frequency[np.ix_(rows, columns)] = cpm.T
        ei_factor[columns] = factors.ei_factor
    return FrequencyMatrix(plans, shafts, frequency, target, ei_factor)


def best_assignment(matrix: FrequencyMatrix) -> Assignment:
    """Answer which shaft to put into which head: the assignment with the least sum of squared deviations.

    Minimises sum_i (f_i,j(i) - target_i)^2 with a different shaft j(i) for each club i: a linear assignment problem,
    solved exactly (scipy.optimize.linear_sum_assignment). Spare shafts stay on the shelf.

    Raises ModelError, naming the clubs that go short, if there are too few shafts of the raw lengths they take.
    """
    from scipy.optimize import linear_sum_assignment

    _refuse_shortage(matrix)
    _, columns = linear_sum_assignment(matrix.cost_cpm2)
    return Assignment(matrix, tuple(int(j) for j in columns), "least squares")


def as_they_lie(matrix: FrequencyMatrix) -> Assignment:
    """Return the assignment of a bench that does not sort: each club takes the next shaft of the raw length it takes.

    Raises ModelError as :func:`best_assignment` does.
    """
    _refuse_shortage(matrix)
    chosen: list[int] = []
    for allowed in ~np.isnan(matrix.frequency_cpm):
        chosen.append(next(int(j) for j in np.flatnonzero(allowed) if j not in chosen))
    return Assignment(matrix, tuple(chosen), "as they lie")


def sorted_by_hand(matrix: FrequencyMatrix) -> Assignment:
    """Return the assignment that a bench makes without computing: the stiffest raw reading into the shortest club.

    The shafts that read furthest from the median are the spare ones. Each raw length of a family is sorted separately.
    Common practice, no source. Raises ModelError as :func:`best_assignment` does.
    """
    _refuse_shortage(matrix)
    raw = np.array([shaft.raw_frequency_cpm for shaft in matrix.shafts])
    chosen = np.zeros(len(matrix.plans), dtype=int)
    lengths = np.array([plan.raw_length_in for plan in matrix.plans])
    for length in np.unique(lengths):
        clubs = np.flatnonzero(lengths == length)
        fits = np.flatnonzero(~np.isnan(matrix.frequency_cpm[clubs[0]]))
        kept = fits[np.argsort(np.abs(raw[fits] - np.median(raw[fits])), kind="stable")][: clubs.size]
        stiffest_first = kept[np.argsort(-raw[kept], kind="stable")]
        playing = np.array([matrix.plans[i].playing_length_in for i in clubs])
        chosen[clubs[np.argsort(playing, kind="stable")]] = stiffest_first
    return Assignment(matrix, tuple(chosen.tolist()), "stiffest to shortest")


def _refuse_shortage(matrix: FrequencyMatrix) -> None:
    allowed = ~np.isnan(matrix.frequency_cpm)
    wanted = Counter(plan.raw_length_in for plan in matrix.plans)
    for i, plan in enumerate(matrix.plans):
        there = int(allowed[i].sum())
        if there < wanted[plan.raw_length_in]:
            clubs = [p.club for p in matrix.plans if p.raw_length_in == plan.raw_length_in]
            raise ModelError(
                f"{there} measured shafts {plan.wanted.shaft.name!r} of {plan.raw_length_in:g} in for "
                f"{len(clubs)} clubs ({', '.join(clubs)})",
                "at least one shaft for each club",
                f"measure {len(clubs) - there} more of that raw length, or build fewer clubs",
            )


def assignment_table(assignment: Assignment) -> pd.DataFrame:
    """Return an assignment, one row per club: the shaft's mark, raw reading, raw mass, target, frequency, deviation."""
    import pandas as pd

    shafts = [assignment.matrix.shafts[j] for j in assignment.chosen]
    return pd.DataFrame(
        {
            "club": [plan.club for plan in assignment.matrix.plans],
            "shaft": [shaft.mark for shaft in shafts],
            "raw_frequency_cpm": [shaft.raw_frequency_cpm for shaft in shafts],
            "raw_mass_g": [shaft.raw_mass_g for shaft in shafts],
            "target_cpm": assignment.matrix.target_cpm,
            "frequency_cpm": assignment.frequency_cpm,
            "deviation_cpm": assignment.deviation_cpm,
        }
    ).set_index("club")
