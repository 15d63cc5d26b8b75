"""One reading of the frequency machine: a finished club or a bare shaft in the clamp, and what it showed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trimkit.club.card import Assembly, BenchCard, card_of
from trimkit.club.clamp import BareShaft, FrequencyBench, clamped_numbers
from trimkit.club.profiles import weighed_profile
from trimkit.parts.components import Shaft
from trimkit.parts.errors import ComponentError
from trimkit.parts.units import say_in
from trimkit.trim.plan import TrimPlan

Held = BenchCard | BareShaft
"""What is in the clamp: a finished club, or a bare shaft with the test weight."""


@dataclass(frozen=True)
class Reading:
    """One reading of the frequency machine: what was in the clamp, of which shaft, and the cpm it showed.

    Raises ComponentError if the reading is not a finite number above 0.
    """

    what: str
    shaft: str
    held: Held
    frequency_cpm: float

    def __post_init__(self) -> None:
        if not (np.isfinite(self.frequency_cpm) and self.frequency_cpm > 0):
            given = f"reading {self.what!r}: frequency_cpm is {self.frequency_cpm}"
            raise ComponentError(given, "a finite number above 0", "read it again")

    @property
    def free_length_in(self) -> float:
        """What swings: from the clamp to the hosel or the bare tip, in."""
        given = clamped_numbers(self.held)
        return given["cut_length_in"] + given["cap_thickness_in"] - given["clamp_in"] - given["bore_depth_in"]


def club_reading(plan: TrimPlan, frequency_cpm: float, assembly: Assembly | None = None) -> Reading:
    """Return the reading of a finished club, cpm, clamped as the assembly says; its root spring is the unknown."""
    return Reading(plan.club, plan.wanted.shaft.name, card_of(plan, assembly), frequency_cpm)


def raw_reading(
    shaft: Shaft, bench: FrequencyBench, frequency_cpm: float, *, raw_mass_g: float, raw_length_in: float | None = None
) -> Reading:
    """Return the reading of a bare shaft, cpm, with the bench's test weight.

    raw_mass_g: that shaft's own mass, g. raw_length_in: its own length, in; None: as described. Its description is made
    to agree with both as a weighed shaft's in an order is, so that the factor is the same for a club made from it.
    Raises ModelError as :func:`trimkit.club.profiles.weighed_profile`.
    """
    what = f"bare shaft, {bench.test_mass_g:g} g at its tip, {say_in(bench.clamp_in)} in the clamp"
    return Reading(what, shaft.name, BareShaft(weighed_profile(shaft, raw_mass_g, raw_length_in), bench), frequency_cpm)
