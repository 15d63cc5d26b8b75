"""The rows of the trade's printed tables: trim schedule, head-mass ladder, raw lengths. Each knows its source."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trimkit.parts.errors import ComponentError
from trimkit.parts.sources import Source


def _finite(what: str, value: float) -> None:
    if not math.isfinite(value):
        raise ComponentError(f"{what} is {value}", "a finite number", "correct the table")


@dataclass(frozen=True)
class ScheduleRow:
    """One line of a trim schedule: the tip trim (in) of one club and flex of one shaft.

    bbgl_reference_in: the BBGL the schedule was written for, in.
    """

    shaft: str
    flex: str
    club: str
    tip_trim_in: float
    bbgl_reference_in: float
    source: Source

    def __post_init__(self) -> None:
        _finite(f"schedule {self.shaft!r} {self.club} {self.flex}: tip_trim_in", self.tip_trim_in)
        _finite(f"schedule {self.shaft!r} {self.club} {self.flex}: bbgl_reference_in", self.bbgl_reference_in)
        if self.tip_trim_in < 0:
            raise ComponentError(
                f"schedule {self.shaft!r} {self.club} {self.flex}: tip_trim_in is {self.tip_trim_in:g}",
                "0 or more",
                "correct the schedule",
            )


@dataclass(frozen=True)
class LadderRung:
    """One rung of a set's head-mass ladder: the head mass (g) and the playing length (in) of one club."""

    ladder: str
    club: str
    head_mass_g: float
    playing_length_in: float
    source: Source

    def __post_init__(self) -> None:
        for field in ("head_mass_g", "playing_length_in"):
            value = getattr(self, field)
            _finite(f"ladder {self.ladder!r} {self.club}: {field}", value)
            if value <= 0:
                raise ComponentError(
                    f"ladder {self.ladder!r} {self.club}: {field} is {value:g}", "more than 0", "correct the ladder"
                )


@dataclass(frozen=True)
class RawLength:
    """One line of a taper-tip family: the raw length (in) made for one club."""

    family: str
    club: str
    raw_length_in: float
    source: Source

    def __post_init__(self) -> None:
        _finite(f"family {self.family!r} {self.club}: raw_length_in", self.raw_length_in)
        if self.raw_length_in <= 0:
            raise ComponentError(
                f"family {self.family!r} {self.club}: raw_length_in is {self.raw_length_in:g}",
                "more than 0",
                "correct the family's table",
            )
