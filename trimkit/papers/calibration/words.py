"""A calibration in plain lines, for the shell: what was found, how sure it is, and every reading beside the model."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trimkit.parts.errors import counted
from trimkit.parts.units import quantity, signed
from trimkit.shop.calibration import READING_ERROR_CPM, Calibration, ShaftFactor
from trimkit.shop.reading import Reading

FAR_OFF = 3.0
"""Reading errors from which a residual is worth a second reading: chosen here; by chance 1 in 370 is as far."""
KIND_HEADS = ("shaft", "readings", "EI factor", "in words")
READING_HEADS = ("reading", "shaft", "free length in", "read cpm", "model cpm", "residual cpm")


def calibration_lines(found: Calibration) -> list[str]:
    """Return a calibration in lines: a factor for each kind of shaft, the clamp, and each reading with its residual."""
    return [
        calibrated_words(found),
        "",
        *_columns([KIND_HEADS, *kind_rows(found)]),
        "",
        *clamp_lines(found),
        "",
        *_columns([READING_HEADS, *reading_rows(found)]),
        worst_words(found),
        error_words(found),
    ]


def calibrated_words(found: Calibration) -> str:
    """Return how many readings, of how many kinds of shaft, were calibrated from."""
    of = f" of {counted(len(found.factors), 'kind')} of shaft" if len(found.factors) > 1 else ""
    return f"Calibrated from {counted(len(found.readings), 'reading')}{of}."


def kind_rows(found: Calibration) -> list[tuple[str, ...]]:
    """Return a row for each kind of shaft, in the columns of :data:`KIND_HEADS`."""
    return [
        (each.shaft, str(each.readings), f"{each.ei_factor:.3f} ± {each.ei_factor_sd:.3f}", factor_words(each))
        for each in found.factors
    ]


def reading_rows(found: Calibration) -> list[tuple[str, ...]]:
    """Return a row for each reading, beside the model, in the columns of :data:`READING_HEADS`."""
    rows = list[tuple[str, ...]]()
    for reading, model, residual in zip(found.readings, found.model_cpm, found.residual_cpm, strict=True):
        cpm = (f"{reading.frequency_cpm:.1f}", f"{model:.1f}", signed(float(residual), 1))
        rows.append((reading.what, reading.shaft, f"{reading.free_length_in:.2f}", *cpm))
    return rows


def factor_words(factor: ShaftFactor) -> str:
    """Return what an EI factor means, in words; its frequencies go as its square root.

    >>> factor_words(ShaftFactor("a shaft", 0.9025, 0.01, 0.9, 5))
    '9.8 % softer than described: its clubs read about 5.0 % lower'
    >>> factor_words(ShaftFactor("a shaft", 1.015, 0.01, 0.9, 5))
    'as described, as far as these readings tell'
    """
    off = factor.ei_factor - 1
    if abs(off) <= 2 * factor.ei_factor_sd:
        return "as described, as far as these readings tell"
    word, way = ("stiffer", "higher") if off > 0 else ("softer", "lower")
    cpm = abs(factor.ei_factor**0.5 - 1)
    return f"{100 * abs(off):.1f} % {word} than described: its clubs read about {100 * cpm:.1f} % {way}"


def clamp_lines(found: Calibration) -> list[str]:
    """Return how far the clamp gives (rad for each N m), how sure that is, and what it takes off a reading, cpm."""
    compliance, sd = found.root_compliance_rad_per_n_m, found.root_compliance_sd_rad_per_n_m
    reading = usual_reading(found.readings)
    cost, cost_sd = found.clamp_cost_cpm(reading)
    spring = found.root_spring_n_m_per_rad
    turns = "" if spring is None else f", a root spring of {spring:,.0f} N m per rad"
    if found.clamp_stated:
        if spring is None:
            return ["Clamp: as stated, it does not give. If it does, the EI factors are too low."]
        gives = f"the clamp gives about {cost:.1f} cpm at the {reading.what}"
        return [
            f"Clamp: as stated, {compliance:.6f} rad for each N m{turns}: {gives}. A wrong one is in the EI factors."
        ]
    lines = [f"Clamp: {compliance:.6f} ± {sd:.6f} rad for each N m{turns}."]
    at = f"at the {reading.what}: a rigid one would read that much higher."
    if found.clamp_is_compliant:
        lines.append(f"The clamp gives about {cost:.1f} ± {cost_sd:.1f} cpm {at}")
    else:
        lines.append(f"The clamp may not give at all; if it does, at most about {cost + 2 * cost_sd:.1f} cpm {at}")
    correlation = max(each.correlation for each in found.factors)
    lines.append(
        f"A softer shaft and a softer clamp look much alike (correlation {correlation:.3f}): use these EI factors with "
        "this clamp only."
    )
    return lines


def usual_reading(readings: Sequence[Reading]) -> Reading:
    """Return the reading that the clamp's give is told at: the 7-iron, or else the one of the middle free length."""
    for reading in readings:
        if reading.what == "7-iron":
            return reading
    return sorted(readings, key=lambda reading: reading.free_length_in)[len(readings) // 2]


def worst_words(found: Calibration) -> str:
    """Return which reading lies farthest from the model, and whether that is worth a second reading."""
    worst = int(np.argmax(np.abs(found.residual_cpm)))
    off, reading = float(found.residual_cpm[worst]), found.readings[worst]
    said = f"Farthest off: {reading.what}, {quantity(off, 'cpm', 1, '+')}"
    if abs(off) > FAR_OFF * found.stated_error_cpm:
        return f"{said}, more than {FAR_OFF:g} times the error of one reading: read it again."
    return f"{said}."


def error_words(found: Calibration) -> str:
    """Return which error of one reading the uncertainties rest on, and where it comes from."""
    stated = f"{found.stated_error_cpm:.3g} cpm"
    if found.reading_error_cpm > found.stated_error_cpm:
        rests = (
            f"{found.reading_error_cpm:.3g} cpm, the scatter of the residuals, which is more than the stated {stated}"
        )
    elif found.stated_error_cpm == READING_ERROR_CPM:
        rests = f"{stated}, from memory: read one club ten times and give your own"
    else:
        rests = f"{stated}, as stated"
    return f"± is one standard deviation. It rests on an error of one reading of {rests}."


def _columns(table: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in table]
