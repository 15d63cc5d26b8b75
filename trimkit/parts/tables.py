"""The rows of the trade's printed tables: trim schedule, head-mass ladder, raw lengths. Each knows its source."""

from __future__ import annotations

from dataclasses import dataclass, field

from trimkit.parts.components import check_numbers, column
from trimkit.parts.sources import Source


@dataclass(frozen=True)
class ScheduleRow:
    """One line of a trim schedule: the tip trim (in) of one club and flex of one shaft.

    bbgl_reference_in: the BBGL the schedule was written for, in.
    """

    shaft: str
    flex: str
    club: str
    tip_trim_in: float = field(metadata=column(0, 12, "tip trim by the schedule"))
    bbgl_reference_in: float = field(metadata=column(-0.5, 4, "BBGL the schedule was written for"))
    source: Source

    def __post_init__(self) -> None:
        what = f"schedule {self.shaft!r} {self.club} {self.flex}"
        check_numbers(
            what, self, at_least_0="tip_trim_in", finite="bbgl_reference_in", next_step="correct the schedule"
        )


@dataclass(frozen=True)
class LadderRung:
    """One rung of a set's head-mass ladder: the head mass (g) and the playing length (in) of one club."""

    ladder: str
    club: str
    head_mass_g: float = field(metadata=column(150, 400, "head mass this club is designed with"))
    playing_length_in: float = field(metadata=column(18, 48, "playing length of this club"))
    source: Source

    def __post_init__(self) -> None:
        what = f"ladder {self.ladder!r} {self.club}"
        check_numbers(what, self, above_0="head_mass_g playing_length_in", next_step="correct the ladder")


@dataclass(frozen=True)
class RawLength:
    """One line of a taper-tip family: the raw length (in) made for one club.

    bbgl_reference_in: the BBGL that this raw length was made for, in; None where the table does not say.
    """

    family: str
    club: str
    raw_length_in: float = field(metadata=column(20, 50, "raw length made for this club"))
    source: Source
    bbgl_reference_in: float | None = field(
        default=None, metadata=column(-0.5, 4, "BBGL it was made for; empty where nobody knows")
    )

    def __post_init__(self) -> None:
        what = f"family {self.family!r} {self.club}"
        named = "" if self.bbgl_reference_in is None else "bbgl_reference_in"
        check_numbers(what, self, above_0="raw_length_in", finite=named, next_step="correct the family's table")
