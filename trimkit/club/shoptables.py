"""The shop's own file: its clamp, what it usually puts into a club, its limits, the kinds of shaft it has calibrated.

``shop.toml`` lies beside the shop's parts. What it says counts for every order; what an order says itself wins. A key
that is left out is as it is without the file.

An EI factor multiplies the stiffness of every shaft of that name, whatever it is cut to; its mass stays as it is.
"""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import date
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo

from trimkit.club.clamp import FrequencyBench
from trimkit.club.order.tables import said
from trimkit.mechanics.clamped import CLAMP_IN
from trimkit.parts.errors import BenchError, counted
from trimkit.parts.rows import Length, Mass, Name, Plain, Row
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_in, say_number
from trimkit.trim.practice import BenchPractice

MOST_CALIBRATED = 200
"""Kinds of shaft that one file may calibrate: many more than a shop keeps; chosen here."""
LEAST_COMPLIANCE_RAD_PER_N_M = 1e-6
"""A clamp that gives less than this is rigid for any frequency machine (1,000,000 N m per rad); chosen here."""
SHOP_LIMIT = Source("the shop's own, chosen, in shop.toml", Standing.OWN_DATA)
"""The source of a limit that the shop has set itself."""


def said_day(day: date) -> str:
    """Return a day in words, such as ``27 November 2026``."""
    return f"{day.day} {day:%B %Y}"


def _on(day: date | None) -> str:
    return "" if day is None else f" on {said_day(day)}"


def _no_less_than_rigid(compliance: float | None) -> float | None:
    if compliance is not None and 0 < compliance < LEAST_COMPLIANCE_RAD_PER_N_M:
        allowed = f"0 for a clamp that does not give, or {LEAST_COMPLIANCE_RAD_PER_N_M:f} to 0.1"
        raise BenchError(f"{compliance:g} rad per N m is given", allowed, "check the unit, or write 0")
    return compliance


def _day(value: Any, info: ValidationInfo) -> date | None:
    """Accept a date without a time; in a record, which has no dates, the same as text."""
    day = value
    if info.mode == "json" and isinstance(value, str) and _ISO_DAY.fullmatch(value):
        with suppress(ValueError):
            day = date.fromisoformat(value)
    if day is None or (type(day) is date and 2000 <= day.year <= 2099):
        return day
    given, allowed = f"{str(value)[:40]} is no date of a measurement", "year-month-day from 2000 to 2099"
    raise BenchError(given, allowed, "write it without quotation marks and without a time, such as 2026-11-27")


_ISO_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_MEASURED_ON = "when it was measured: year-month-day, without quotation marks"
MeasuredOn = Annotated[date | None, BeforeValidator(_day), said(_MEASURED_ON, date(2026, 11, 27))]


class Clamp(Row):
    """``[clamp]``: the clamp of the frequency machine, as it holds finished clubs."""

    clamp_in: Annotated[
        float | None, Length, said("how much of the club's butt is in the clamp, grip on", CLAMP_IN, ge=3, le=9)
    ] = None
    root_compliance_rad_per_n_m: Annotated[
        float | None,
        Plain,
        said("how far the clamp gives, in rad for each N m (0: it does not)", 0.0, ge=0, le=0.1),
        AfterValidator(_no_less_than_rigid),
    ] = None
    root_compliance_sd_rad_per_n_m: Annotated[
        float | None, Plain, said("the standard deviation of that, in rad for each N m", 0.0, ge=0, le=0.1)
    ] = None
    measured_on: MeasuredOn = None


class TipWeight(Row):
    """``[test_weight]``: how a bare shaft is read, a weight at its tip and its bare butt in the clamp."""

    mass_g: Annotated[float | None, Mass, said("mass of the weight at the tip", 200.0, ge=20, le=1000)] = None
    offset_in: Annotated[
        float, Length, said("from the tip out to the middle of the weight; below 0: inwards", 0.0, ge=-4, le=4)
    ] = 0.0
    inertia_g_cm2: Annotated[
        float, Plain, said("moment of inertia of the weight about its middle; 0 if small", 0.0, ge=0, le=20000)
    ] = 0.0
    clamp_in: Annotated[float, Length, said("how much of the bare butt is in the clamp", CLAMP_IN, ge=3, le=9)] = (
        CLAMP_IN
    )


class Usual(Row):
    """``[usual]``: what goes into a club besides its parts, where an order says nothing itself."""

    ferrule_mass_g: Annotated[float | None, Mass, said("mass of a ferrule", 1.5, ge=0, le=10)] = None
    tape_mass_g: Annotated[float | None, Mass, said("mass of the tape under a grip", 2.0, ge=0, le=10)] = None
    epoxy_mass_g: Annotated[float | None, Mass, said("mass of the epoxy in a hosel", 1.5, ge=0, le=10)] = None


_PRACTICE = BenchPractice()


class Bench(Row):
    """``[bench]``: figures of your bench. Each example is what counts without the file."""

    tape_thickness_in: Annotated[
        float | None,
        Length,
        said("thickness of one layer of build-up tape", _PRACTICE.tape_thickness_in, ge=0.001, le=0.05),
    ] = None
    most_build_up_in: Annotated[
        float | None,
        Length,
        said("most that you build up under a grip, in diameter", _PRACTICE.most_build_up_in, ge=0, le=0.2),
    ] = None
    caliper_in: Annotated[
        float | None, Length, said("last digit of your caliper", _PRACTICE.caliper_in, ge=0, le=0.02)
    ] = None
    widest_bore_in: Annotated[
        float | None,
        Length,
        said("a bore wider than the tip by this is the next size", _PRACTICE.widest_bore_in, ge=0, le=0.05),
    ] = None
    longest_extension_in: Annotated[
        float | None,
        Length,
        said("longest piece that you add at a butt", _PRACTICE.longest_extension_in, ge=0, le=6),
    ] = None
    extension_insert_in: Annotated[
        float | None,
        Length,
        said("how far such a piece goes into the shaft", _PRACTICE.extension_insert_in, ge=0, le=8),
    ] = None
    measuring_error_in: Annotated[
        float | None,
        Length,
        said("measure again if two measurements differ by more", _PRACTICE.measuring_error_in, ge=0, le=0.5),
    ] = None


class Limits(Row):
    """``[tolerances]``: how far off is still good, either way."""

    playing_length_in: Annotated[
        float | None, Length, said("a finished club off its playing length", 0.0625, ge=0.005, le=1)
    ] = None
    frequency_cpm: Annotated[
        float | None, Plain, said("a finished club off its predicted frequency, cpm", 2.0, ge=0.1, le=50)
    ] = None
    swingweight_points: Annotated[
        float | None, Plain, said("a club off its swingweight, points of the letter scale", 1.0, ge=0.1, le=20)
    ] = None
    total_mass_g: Annotated[float | None, Mass, said("a finished club off its predicted mass", 3.0, ge=0.1, le=50)] = (
        None
    )
    set_cpm: Annotated[
        float | None, Plain, said("a club off the line of its set, before the saw, cpm", 2.0, ge=0.1, le=50)
    ] = None


class CalibratedShaft(Row):
    """``[[calibrated]]``: how stiff a kind of shaft really is, beside its description in the tables."""

    shaft: Annotated[Name, said("the shaft, by its name in shafts.csv", "example steel parallel")]
    ei_factor: Annotated[float, Plain, said("its stiffness, as a factor on the described one", 0.97, ge=0.5, le=2)]
    ei_factor_sd: Annotated[float | None, Plain, said("standard deviation of the factor", 0.01, ge=0, le=0.5)] = None
    readings: Annotated[
        int | None, said("how many readings it was worked out from", 9, ge=1, le=100_000, strict=True)
    ] = None
    measured_on: MeasuredOn = None

    @property
    def factor_words(self) -> str:
        """The factor and its standard deviation, in words."""
        spread = "" if self.ei_factor_sd is None else f" ± {say_number(self.ei_factor_sd, 3)}"
        return f"× {say_number(self.ei_factor, 3)}{spread}"

    @property
    def source(self) -> Source:
        """How many readings it was worked out from, and when."""
        read = "" if self.readings is None else f", from {counted(self.readings, 'reading')}"
        return Source(f"the shop's own, measured{_on(self.measured_on)}{read}, in shop.toml", Standing.OWN_DATA)


class ShopFile(Row):
    """A shop's own settings, as its file gives them; None for what it does not say.

    practice, frequency_bench, assembly: what follows from them. The clamp gives as much with a bare shaft in it.
    """

    name: Annotated[
        str, said("the shop's name, for the client's page and the bench card", "example shop", max_length=80)
    ] = ""
    clamp: Clamp = Clamp()
    test_weight: TipWeight = TipWeight()
    usual: Usual = Usual()
    bench: Bench = Bench()
    tolerances: Limits = Limits()
    calibrated: Annotated[tuple[CalibratedShaft, ...], Field(max_length=MOST_CALIBRATED)] = ()

    @property
    def root_spring_n_m_per_rad(self) -> float | None:
        """Rotational stiffness of the clamp; None for a rigid one."""
        compliance = self.clamp.root_compliance_rad_per_n_m
        return 1 / compliance if compliance else None

    @property
    def assembly(self) -> dict[str, float]:
        """What it answers of an order's ``[assembly]``, by key, in the unit of its name: clamp and usual masses, g."""
        own = self.usual.model_dump() | {
            "clamp_in": self.clamp.clamp_in,
            "root_spring_n_m_per_rad": self.root_spring_n_m_per_rad,
        }
        return {name: value for name, value in own.items() if value is not None}

    @property
    def practice(self) -> BenchPractice:
        """Its figures of the bench, and which of them are its own."""
        own = {name: value for name, value in self.bench if value is not None}
        return BenchPractice(**own, own=tuple(own))

    @property
    def frequency_bench(self) -> FrequencyBench | None:
        """How it reads a bare shaft; None where it does not say."""
        weight = self.test_weight
        if weight.mass_g is None:
            return None
        of_it = (weight.mass_g, weight.offset_in, weight.inertia_g_cm2, weight.clamp_in)
        return FrequencyBench(*of_it, self.root_spring_n_m_per_rad)

    @property
    def clamp_source(self) -> Source:
        """Where the numbers of its clamp come from."""
        day = self.clamp.measured_on
        how = "stated" if day is None else f"measured{_on(day)}"
        return Source(f"the shop's own, {how}, in shop.toml", Standing.OWN_DATA)

    @property
    def in_words(self) -> str:
        """What it holds, in a line."""
        found = [self.name] if self.name else []
        if self.clamp.clamp_in is not None:
            found.append(f"clamp {say_in(self.clamp.clamp_in)}")
        if (compliance := self.clamp.root_compliance_rad_per_n_m) is not None:
            found.append(f"it gives {compliance:g} rad for each N m" if compliance else "it does not give")
        if (mass_g := self.test_weight.mass_g) is not None:
            found.append(f"test weight {say_number(mass_g, 1)} g")
        for table, one, more in (
            (self.usual, "usual mass", "usual masses"),
            (self.bench, "figure of the bench", "figures of the bench"),
            (self.tolerances, "limit", "limits"),
        ):
            if count := sum(value is not None for _, value in table):
                found.append(f"{count} {one if count == 1 else more}")
        if kinds := len(self.calibrated):
            days = sorted({each.measured_on for each in self.calibrated if each.measured_on is not None})
            when = " to ".join(map(said_day, days[:1] + days[1:][-1:]))
            text = f"{kinds} {'kind' if kinds == 1 else 'kinds'} of shaft calibrated"
            found.append(f"{text} on {when}" if when else text)
        return ", ".join(found) or "nothing set yet"


TABLES: dict[str, type[Row]] = {
    "clamp": Clamp,
    "test_weight": TipWeight,
    "usual": Usual,
    "bench": Bench,
    "tolerances": Limits,
}
"""The tables of the file that may be there once."""
