"""The model fitted to a shop's own readings: a factor on each kind of shaft's stiffness, and the clamp's compliance.

A softer shaft and a softer clamp both lower every reading, so a few readings cannot always tell them apart. Different
free lengths can, different weights cannot: at free length L the shaft deflects by L^3/(3 EI) per unit force, and the
clamp adds L^2 times its compliance. Readings that all have one free length are refused, whatever the weight. A stepped
shaft thins towards its tip about as fast as L falls: clamped a little deeper it may tell hardly more, so a refusal
works out which further reading would (:mod:`trimkit.shop.furtherreading`). The clamp is the same for every kind of
shaft: what one kind tells about it helps the others.

Standing: derived; least squares by ``scipy.optimize``; the limits of refusal are chosen here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trimkit.club.clamp import clamped_numbers
from trimkit.mechanics.batch import Floats
from trimkit.parts.errors import ModelError, counted
from trimkit.parts.tidytable import tidy_table
from trimkit.shop.calibrationmodel import SCALE, CalibrationModel
from trimkit.shop.furtherreading import Possible, deviations, further_reading, possible_readings
from trimkit.shop.reading import Reading

if TYPE_CHECKING:
    import pandas as pd

READING_ERROR_CPM = 0.5
"""Standard deviation of one reading, cpm: from memory, unverified; read one shaft ten times and use your own."""

MOST_UNSURE = 0.03
"""Standard deviation of an EI factor above which the fit is refused: chosen here. It is 1.5 % of the frequency,
so 4.5 cpm of an iron's 300: a third of a flex, where that is 13.75 cpm (:mod:`trimkit.club.flexscale`)."""

WORST_CONDITION = 1000.0
"""Condition number of the scaled Jacobian above which only rounding tells the two apart: chosen here. (Belsley, Kuh and
Welsch, *Regression Diagnostics*, 1980, call 30 to 100 strong dependence, from memory; most benches are in that range,
where the standard deviation decides.)"""

_FACTORS = (0.05, 20.0)  # outside this it is not a shaft of the described kind
_MOST_COMPLIANCE = 50.0  # times the scale: a clamp too soft to hold a club up
_NONE = 1e-6  # times the scale


@dataclass(frozen=True)
class ShaftFactor:
    """What one kind of shaft was found to be: the factor on its described stiffness, and its standard deviation.

    correlation: with the clamp's compliance, 0 where that was stated. readings: how many of this kind.
    """

    shaft: str
    ei_factor: float
    ei_factor_sd: float
    correlation: float
    readings: int


@dataclass(frozen=True, eq=False)
class Calibration:
    """The fit: an EI factor for each kind of shaft, the clamp's compliance, and how sure they are.

    factors: one a kind of shaft, in the sequence of the readings. root_compliance_rad_per_n_m,
    root_compliance_sd_rad_per_n_m: rotation of the clamp per moment; standard deviation 0 if it was stated, not fitted.
    clamp_stated: whether it was. condition: of the Jacobian, its columns scaled to length 1 (1 with a stated clamp).
    model_cpm: shape (n,). reading_error_cpm: what the standard deviations are based on: the stated error, or the
    scatter of the residuals if that is larger.
    """

    readings: tuple[Reading, ...]
    factors: tuple[ShaftFactor, ...]
    root_compliance_rad_per_n_m: float
    root_compliance_sd_rad_per_n_m: float
    clamp_stated: bool
    condition: float
    model_cpm: Floats
    stated_error_cpm: float
    reading_error_cpm: float

    @property
    def residual_cpm(self) -> Floats:
        """Readings minus model, cpm, shape (n,)."""
        return np.array([reading.frequency_cpm for reading in self.readings]) - self.model_cpm

    def factor(self, shaft: str) -> ShaftFactor:
        """Return what was found of one kind of shaft; raises KeyError for a shaft that was not read."""
        return {each.shaft: each for each in self.factors}[shaft]

    @property
    def root_spring_n_m_per_rad(self) -> float | None:
        """The clamp's root spring, N m/rad; None if it does not give."""
        compliance = self.root_compliance_rad_per_n_m
        return 1 / compliance if compliance > 0 else None

    @property
    def clamp_is_compliant(self) -> bool:
        """Whether the compliance is more than two of its standard deviations above zero."""
        return self.root_compliance_rad_per_n_m > 2 * self.root_compliance_sd_rad_per_n_m

    def clamp_cost_cpm(self, reading: Reading) -> tuple[float, float]:
        """Return what the clamp's give takes off a reading, and its standard deviation, cpm.

        Rigid less compliant, both at the fitted factor; the deviation is that of the compliance times the slope.
        """
        place = [each.shaft for each in self.factors].index(reading.shaft)
        model = CalibrationModel([reading.held], np.array([place]))
        factors = [each.ei_factor for each in self.factors]
        point = np.array([*factors, self.root_compliance_rad_per_n_m / SCALE])
        rigid = np.array([*factors, 0.0])
        slope = float(model.derivatives(point)[0, -1])
        sd = abs(slope) * self.root_compliance_sd_rad_per_n_m / SCALE
        return float(model.cpm(rigid)[0] - model.cpm(point)[0]), sd


def calibrate(
    readings: Iterable[Reading],
    *,
    stated_compliance_rad_per_n_m: float | None = None,
    reading_error_cpm: float = READING_ERROR_CPM,
    could_read: Iterable[Possible] = (),
) -> Calibration:
    """Answer which EI factors and which clamp make the model agree with the shop's readings.

    readings: of one kind of shaft or several, at least one more than there are kinds; as many as kinds where the clamp
    is stated. stated_compliance_rad_per_n_m: of the clamp, 0 for one that does not give; None: it is fitted as well. A
    wrong one ends up in the factors unnoticed. reading_error_cpm: standard deviation of one reading, cpm. could_read:
    what else is at hand, for the advice of a refusal.

    Least squares in the factors and a compliance of 0 or more (scipy.optimize.least_squares); covariance s^2 (J^T J)^-1
    with J the derivatives of cpm and s the larger of the stated error and sqrt(residual sum of squares / (n - fitted)).

    Raises ModelError if there are too few readings, if the error is not a finite number above 0, if the readings cannot
    tell stiffness from the clamp (standard deviation of an EI factor above :data:`MOST_UNSURE`, or condition of the
    scaled Jacobian above :data:`WORST_CONDITION`), with the further reading that would, or if no possible shaft gives
    such readings.
    """
    readings = tuple(readings)
    count = Counter(reading.shaft for reading in readings)
    kinds, stated = list(count), stated_compliance_rad_per_n_m
    _check(len(readings), max(1, len(kinds)), stated, reading_error_cpm)
    kind = np.array([kinds.index(reading.shaft) for reading in readings])
    model = CalibrationModel([reading.held for reading in readings], kind)
    point = _fitted(model, readings, kinds, None if stated is None else stated / SCALE)
    jacobian = model.derivatives(point)
    if stated is None and (point[-1] < _NONE or deviations(jacobian, 1.0)[1] > WORST_CONDITION):
        # The search stops just inside the bound of a rigid clamp, or anywhere in a valley without a bottom: with a
        # rigid clamp the factors alone are fitted again.
        point = _fitted(model, readings, kinds, 0.0)
        jacobian = model.derivatives(point)
    values = model.cpm(point)
    used = jacobian if stated is None else jacobian[:, :-1]
    error = _error(readings, values, used.shape[1], reading_error_cpm)
    sd, condition = deviations(used, error)
    correlation = np.zeros(len(kinds))
    if stated is None:
        if condition > WORST_CONDITION or sd[:-1].max() > MOST_UNSURE:
            possible = (*possible_readings((each.shaft, each.held) for each in readings), *could_read)
            raise _not_told_apart(readings, kinds, point, jacobian, error, possible)
        covariance = error**2 * np.linalg.inv(jacobian.T @ jacobian)
        correlation = covariance[:-1, -1] / sd[:-1] / sd[-1]
    return Calibration(
        readings,
        factors=tuple(
            ShaftFactor(shaft, float(point[n]), float(sd[n]), float(correlation[n]), count[shaft])
            for n, shaft in enumerate(kinds)
        ),
        root_compliance_rad_per_n_m=float(point[-1]) * SCALE,
        root_compliance_sd_rad_per_n_m=float(sd[-1]) * SCALE if stated is None else 0.0,
        clamp_stated=stated is not None,
        condition=condition if stated is None else 1.0,
        model_cpm=values,
        stated_error_cpm=reading_error_cpm,
        reading_error_cpm=error,
    )


def _check(readings: int, kinds: int, stated: float | None, error_cpm: float) -> None:
    least = kinds + (stated is None)
    if readings < least:
        of = f" of {kinds} kinds of shaft" if kinds > 1 else ""
        given, allowed = f"{readings} readings{of}", f"{least} or more"
        if stated is None:
            allowed += ": one for each kind of shaft and one for the clamp"
        raise ModelError(given, allowed, "take more readings")
    if not (np.isfinite(error_cpm) and error_cpm > 0):
        raise ModelError(f"a reading error of {error_cpm} cpm", "a finite number above 0", "read one shaft ten times")
    if stated is not None and not 0 <= stated <= _MOST_COMPLIANCE * SCALE:
        allowed = f"0 to {_MOST_COMPLIANCE * SCALE:g} rad/(N m)"
        raise ModelError(f"a clamp compliance of {stated} rad/(N m)", allowed, "correct it")


def _fitted(model: CalibrationModel, readings: Sequence[Reading], kinds: Sequence[str], stated: float | None) -> Floats:
    """Return the best point, its last part the compliance (in units of the scale); refuse a factor at its bound."""
    from scipy.optimize import least_squares

    read = np.array([reading.frequency_cpm for reading in readings])
    fixed, free = ([], [_MOST_COMPLIANCE]) if stated is None else ([stated], [])

    def whole(point: Floats) -> Floats:
        return np.array([*point, *fixed])

    def residual(point: Floats) -> Floats:
        return np.asarray(model.cpm(whole(point)) - read)

    def slopes(point: Floats) -> Floats:
        return model.derivatives(whole(point))[:, : len(point)]

    found = least_squares(
        residual,
        np.array([1.0] * len(kinds) + [0.1] * len(free)),
        jac=slopes,
        bounds=([_FACTORS[0]] * len(kinds) + [0.0] * len(free), [_FACTORS[1]] * len(kinds) + free),
        xtol=1e-9,
        ftol=1e-9,
        gtol=1e-9,
    )
    # A valley without a bottom: the readings tell nothing apart, which their condition says better.
    lost = not found.success and deviations(np.asarray(found.jac), 1.0)[1] <= WORST_CONDITION
    for shaft, factor in zip(kinds, found.x, strict=False):
        if lost or not 1.001 * _FACTORS[0] < factor < 0.999 * _FACTORS[1]:
            raise ModelError(
                f"the readings of {shaft!r} fit best with {factor:.3g} times the described stiffness",
                f"an EI factor between {_FACTORS[0]:g} and {_FACTORS[1]:g}",
                "check the unit of the readings, the test weight and which shaft it is",
            )
    return whole(found.x)


def _error(readings: Sequence[Reading], values: Floats, fitted: int, stated_cpm: float) -> float:
    more = len(readings) - fitted
    residual = np.array([reading.frequency_cpm for reading in readings]) - values
    return max(stated_cpm, float(np.sqrt((residual**2).sum() / more)) if more > 0 else 0.0)


def _not_told_apart(
    readings: Sequence[Reading],
    kinds: Sequence[str],
    point: Floats,
    jacobian: Floats,
    error: float,
    possible: Iterable[Possible],
) -> ModelError:
    """Return the refusal of readings that leave the factors unsure, with the one further reading that helps most."""
    sd, condition = deviations(jacobian, error)
    free = [reading.free_length_in for reading in readings]
    worst = int(np.argmax(sd[:-1]))
    unsure = "cannot tell stiffness from compliance"
    if condition <= WORST_CONDITION:
        unsure = f"leave the EI factor uncertain by {sd[worst]:.2f}"
        unsure += f" for {kinds[worst]!r}" if len(kinds) > 1 else ""
    limits = {"error_cpm": error, "most_sd": MOST_UNSURE, "worst_condition": WORST_CONDITION}
    further = further_reading(jacobian, point, kinds, possible, **limits)
    alone = (
        "or fit the EI factors alone with a stated clamp (--clamp-as-stated in the shell); another weight does not help"
    )
    if further is None:
        step = f"read one shaft with much more of it in the clamp, {alone}"
    elif further.times == 1:
        step = f"read {further.words}, which would leave it uncertain by {further.ei_factor_sd:.3f}, {alone}"
    else:
        step = "no single further reading is enough; "
        step += (
            f"read {further.words}, {further.times} times, which would leave it uncertain by "
            f"{further.ei_factor_sd:.3f}, {alone}"
            if further.times is not None
            else f"read several, first {further.words}, {alone}"
        )
    return ModelError(
        f"{counted(len(readings), 'reading')} at free lengths of {min(free):.1f} to {max(free):.1f} in, each good to "
        f"{error:.2g} cpm, {unsure} (condition {condition:.3g})",
        f"a standard deviation of at most {MOST_UNSURE:g} and a condition of at most {WORST_CONDITION:g}",
        step,
    )


def readings_table(calibration: Calibration) -> pd.DataFrame:
    """Return the readings, a row each: shaft, free length (in), weight or head (g), reading, model, residual (cpm)."""
    table = tidy_table(
        calibration.readings,
        "shaft",
        "free_length_in",
        "frequency_cpm",
        reading="what",
        head_mass_g=lambda reading: clamped_numbers(reading.held)["head_mass_g"],
    )
    return table.assign(model_cpm=calibration.model_cpm, residual_cpm=calibration.residual_cpm).set_index("reading")
