"""The model fitted to a shop's own readings: one factor on the shaft's stiffness, and the clamp's compliance.

A softer shaft and a softer clamp both lower every reading, so a few readings cannot always tell them apart. Different
free lengths can, different weights cannot: at free length L the shaft deflects by L^3/(3 EI) per unit force, and the
clamp adds L^2 times its compliance. Readings that all have one free length are refused, whatever the weight.

Standing: derived; least squares by ``scipy.optimize``; the limits of refusal are chosen here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trimkit.club.card import Assembly, BenchCard, card_of
from trimkit.club.clamp import BareShaft, FrequencyBench, clamped_numbers, frequencies_cpm, with_root_spring
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.profile import Profile
from trimkit.parts.errors import ComponentError, ModelError
from trimkit.parts.tidytable import tidy_table
from trimkit.trim.plan import TrimPlan

if TYPE_CHECKING:
    import pandas as pd

READING_ERROR_CPM = 0.5
"""Standard deviation of one reading, cpm: from memory, unverified; read one shaft ten times and use your own."""

MOST_UNSURE = 0.03
"""Standard deviation of the EI factor above which the fit is refused: chosen here. It is 1.5 % of the frequency,
so 4.5 cpm of an iron's 300: a third of a flex, where that is 13.75 cpm (:mod:`trimkit.club.flexscale`)."""

WORST_CONDITION = 1000.0
"""Condition number of the scaled Jacobian above which only rounding tells the two apart: chosen here. (Belsley, Kuh and
Welsch, *Regression Diagnostics*, 1980, call 30 to 100 strong dependence, from memory; most benches are in that range,
where the standard deviation decides.)"""

_SCALE = 1e-3  # rad/(N m), of a noticeably compliant clamp: makes both parameters of order one
_FACTORS = (0.05, 20.0)  # outside this it is not a shaft of the described kind
_MOST_COMPLIANCE = 50.0  # times the scale: a clamp too soft to hold a club up
_NONE = 1e-6  # times the scale


@dataclass(frozen=True)
class Reading:
    """One reading of the frequency machine: what was in the clamp, and the cpm it showed.

    mass_factor: this shaft's raw mass over the described one's. Raises ComponentError if the reading or the factor is
    not a finite number above 0.
    """

    what: str
    held: BenchCard | BareShaft
    frequency_cpm: float
    mass_factor: float = 1.0

    def __post_init__(self) -> None:
        for name in ("frequency_cpm", "mass_factor"):
            value = getattr(self, name)
            if not (np.isfinite(value) and value > 0):
                raise ComponentError(
                    f"reading {self.what!r}: {name} is {value}", "a finite number above 0", "read it again"
                )


def club_reading(plan: TrimPlan, frequency_cpm: float, assembly: Assembly | None = None) -> Reading:
    """Return the reading of a finished club, cpm, clamped as the assembly says; its root spring is the unknown."""
    return Reading(plan.club, card_of(plan, assembly), frequency_cpm)


def raw_reading(profile: Profile, bench: FrequencyBench, frequency_cpm: float, *, raw_mass_g: float) -> Reading:
    """Return the reading of a bare shaft, cpm, with the bench's test weight. raw_mass_g: that shaft's own mass, g."""
    what = f"bare shaft, {bench.test_mass_g:g} g, {bench.clamp_in:g} in in the clamp"
    return Reading(what, BareShaft(profile, bench), frequency_cpm, raw_mass_g / float(profile.mass_g))


@dataclass(frozen=True, eq=False)
class Calibration:
    """The fit: the EI factor, the clamp's compliance, and how sure both are.

    ei_factor, ei_factor_sd: factor on the described stiffness and its standard deviation. root_compliance_rad_per_n_m,
    root_compliance_sd_rad_per_n_m: rotation of the clamp per moment; standard deviation 0 if it was given, not fitted.
    correlation: between the two (0 with one parameter). condition: of the Jacobian, its columns scaled to length 1.
    model_cpm: shape (n,). reading_error_cpm: what the standard deviations are based on: the stated error, or the
    scatter of the residuals if that is larger.
    """

    readings: tuple[Reading, ...]
    ei_factor: float
    ei_factor_sd: float
    root_compliance_rad_per_n_m: float
    root_compliance_sd_rad_per_n_m: float
    correlation: float
    condition: float
    model_cpm: Floats
    reading_error_cpm: float

    @property
    def residual_cpm(self) -> Floats:
        """Readings minus model, cpm, shape (n,)."""
        return np.array([reading.frequency_cpm for reading in self.readings]) - self.model_cpm

    @property
    def root_spring_n_m_per_rad(self) -> float | None:
        """The clamp's root spring, N m/rad; None if the fit finds a rigid clamp."""
        compliance = self.root_compliance_rad_per_n_m
        return 1 / compliance if compliance > 0 else None

    @property
    def clamp_is_compliant(self) -> bool:
        """Whether the compliance is more than two of its standard deviations above zero."""
        return self.root_compliance_rad_per_n_m > 2 * self.root_compliance_sd_rad_per_n_m


def calibrate(readings: Iterable[Reading], *, reading_error_cpm: float = READING_ERROR_CPM) -> Calibration:
    """Answer which EI factor and which root spring make the model agree with the shop's readings.

    readings: two or more, of shafts of one kind. reading_error_cpm: standard deviation of one reading, cpm. Least
    squares in the EI factor and a compliance of 0 or more (scipy.optimize.least_squares); covariance s^2 (J^T J)^-1
    with J the derivatives of cpm and s the larger of the stated error and sqrt(residual sum of squares / (n - 2)).

    Raises ModelError if there are fewer than two readings, if the error is not a finite number above 0, if the
    readings cannot tell the two apart (standard deviation of the EI factor above :data:`MOST_UNSURE`, or condition of
    the scaled Jacobian above :data:`WORST_CONDITION`), or if no possible shaft gives such readings.
    """
    readings = _checked(readings, 2, reading_error_cpm)

    def model(point: Floats) -> Floats:
        spring = 1 / _SCALE / float(point[1]) if point[1] > 0 else None
        return _model(readings, float(point[0]), spring)

    found, jacobian = _least_squares(model, readings, [_FACTORS, (0.0, _MOST_COMPLIANCE)])
    condition = float(np.linalg.cond(jacobian / np.linalg.norm(jacobian, axis=0)))
    if found[1] < _NONE:
        # The search stops just inside the bound: with a rigid clamp, the factor alone is fitted again.
        alone = calibrate_ei(readings, reading_error_cpm=reading_error_cpm)
        found = np.array([alone.ei_factor, 0.0])
    values = model(found)
    error = _error(readings, values, 2, reading_error_cpm)
    told_apart = condition <= WORST_CONDITION
    covariance = error**2 * np.linalg.inv(jacobian.T @ jacobian) if told_apart else np.full((2, 2), np.inf)
    sd = np.sqrt(np.diag(covariance))
    if sd[0] > MOST_UNSURE:
        free = [_free_length_in(reading.held) for reading in readings]
        unsure = (
            f"leave the EI factor uncertain by {sd[0]:.2f}" if told_apart else "cannot tell stiffness from compliance"
        )
        raise ModelError(
            f"{len(readings)} readings at free lengths of {min(free):.1f} to {max(free):.1f} in, each good to "
            f"{error:.2g} cpm, {unsure} (condition {condition:.3g})",
            f"a standard deviation of at most {MOST_UNSURE:g} and a condition of at most {WORST_CONDITION:g}",
            "read one shaft with much more of it in the clamp, and each several times (another weight does not help), "
            "or fit the EI factor alone with a stated root spring",
        )
    return Calibration(
        readings,
        ei_factor=float(found[0]),
        ei_factor_sd=float(sd[0]),
        root_compliance_rad_per_n_m=float(found[1]) * _SCALE,
        root_compliance_sd_rad_per_n_m=float(sd[1]) * _SCALE,
        correlation=float(covariance[0, 1] / sd[0] / sd[1]),
        condition=condition,
        model_cpm=values,
        reading_error_cpm=error,
    )


def calibrate_ei(
    readings: Iterable[Reading],
    *,
    root_spring_n_m_per_rad: float | None = None,
    reading_error_cpm: float = READING_ERROR_CPM,
) -> Calibration:
    """Answer which EI factor makes the model agree with the shop's readings, for a given root spring (N m/rad).

    One reading is enough. root_spring_n_m_per_rad: None for a rigid clamp; a wrong one ends up in the EI factor
    unnoticed. Otherwise as :func:`calibrate`.
    """
    readings = _checked(readings, 1, reading_error_cpm)

    def model(point: Floats) -> Floats:
        return _model(readings, float(point[0]), root_spring_n_m_per_rad)

    found, jacobian = _least_squares(model, readings, [_FACTORS])
    values = model(found)
    error = _error(readings, values, 1, reading_error_cpm)
    return Calibration(
        readings,
        ei_factor=float(found[0]),
        ei_factor_sd=float(error / np.linalg.norm(jacobian)),
        root_compliance_rad_per_n_m=0.0 if root_spring_n_m_per_rad is None else 1 / root_spring_n_m_per_rad,
        root_compliance_sd_rad_per_n_m=0.0,
        correlation=0.0,
        condition=1.0,
        model_cpm=values,
        reading_error_cpm=error,
    )


def _checked(readings: Iterable[Reading], least: int, error_cpm: float) -> tuple[Reading, ...]:
    readings = tuple(readings)
    if len(readings) < least:
        raise ModelError(f"{len(readings)} readings", f"{least} or more", "take more readings")
    if not (np.isfinite(error_cpm) and error_cpm > 0):
        raise ModelError(f"a reading error of {error_cpm} cpm", "a finite number above 0", "read one shaft ten times")
    return readings


def _model(readings: Sequence[Reading], ei_factor: float, spring: float | None) -> Floats:
    mass = np.array([reading.mass_factor for reading in readings])
    held = [with_root_spring(reading.held, spring) for reading in readings]
    return frequencies_cpm(held, ei_factor=ei_factor, mass_factor=mass)


def _least_squares(
    model: Callable[[Floats], Floats], readings: Sequence[Reading], bounds: Sequence[tuple[float, float]]
) -> tuple[Floats, Floats]:
    """Return the best point and the derivatives of cpm there; refuse a factor at its bound."""
    from scipy.optimize import least_squares

    read = np.array([reading.frequency_cpm for reading in readings])
    low, high = np.array(bounds).T

    def residual(point: Floats) -> Floats:
        return np.asarray(model(point) - read)

    found = least_squares(
        residual,
        np.array([1.0, 0.1])[: len(bounds)],
        jac="3-point",
        bounds=(low, high),
        xtol=1e-10,
        ftol=1e-10,
        gtol=1e-10,
    )
    factor = float(found.x[0])
    if not found.success or not 1.001 * low[0] < factor < 0.999 * high[0]:
        raise ModelError(
            f"the readings fit best with {factor:.3g} times the described stiffness",
            f"an EI factor between {low[0]:g} and {high[0]:g}",
            "check the unit of the readings, the test weight and which shaft it is",
        )
    return np.asarray(found.x), np.asarray(found.jac)


def _error(readings: Sequence[Reading], values: Floats, parameters: int, stated_cpm: float) -> float:
    more = len(readings) - parameters
    residual = np.array([reading.frequency_cpm for reading in readings]) - values
    return max(stated_cpm, float(np.sqrt((residual**2).sum() / more)) if more > 0 else 0.0)


def _free_length_in(held: BenchCard | BareShaft) -> float:
    given = clamped_numbers(held)
    return given["cut_length_in"] + given["cap_thickness_in"] - given["clamp_in"] - given["bore_depth_in"]


def readings_table(calibration: Calibration) -> pd.DataFrame:
    """Return the readings, one row each: free length (in), weight or head (g), reading, model and residual (cpm)."""
    table = tidy_table(
        calibration.readings,
        reading="what",
        free_length_in=lambda reading: _free_length_in(reading.held),
        head_mass_g=lambda reading: clamped_numbers(reading.held)["head_mass_g"],
        frequency_cpm="frequency_cpm",
    )
    return table.assign(model_cpm=calibration.model_cpm, residual_cpm=calibration.residual_cpm).set_index("reading")
