"""A checked trim schedule: the tip trim of every club and flex of one shaft, between rows by interpolation."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from trimkit.parts.components import Shaft
from trimkit.parts.errors import BenchError, DataFileError, Place, TrimRefused
from trimkit.parts.sources import Source
from trimkit.parts.tables import ScheduleRow
from trimkit.parts.units import say_in
from trimkit.trim.clubs import IRONS_AND_WEDGES, club_kind, club_place, unknown_clubs
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.flexplace import FlexPlace


@dataclass(frozen=True)
class TrimSchedule:
    """The schedule of one shaft: every club it has in every flex of the shaft, softest flex first.

    Make it with :meth:`from_rows`, which checks it.
    """

    shaft: str
    flexes: tuple[str, ...]
    rows: tuple[ScheduleRow, ...]

    @classmethod
    def from_rows(cls, rows: Iterable[ScheduleRow], shaft: Shaft) -> TrimSchedule:
        """Pick the rows of one shaft and check that they make a schedule.

        Checked: every club appears once in every flex of the shaft; the numbers of the irons have no gap; a stiffer
        flex has more tip trim at the same club; irons and wedges gain or stay equal as the clubs get shorter; one
        BBGL reference for each club in all flexes. Raises DataFileError holding every fault.
        """
        own = tuple(row for row in rows if row.shaft == shaft.name)
        schedule = cls(shaft.name, shaft.flexes, own)
        if faults := tuple(schedule._faults()):
            raise DataFileError(faults)
        return schedule

    @property
    def clubs(self) -> tuple[str, ...]:
        """The clubs of the schedule, each kind from the longest to the shortest."""
        return tuple(sorted({row.club for row in self.rows}, key=lambda club: (club_kind(club), club_place(club))))

    def row(self, club: str, flex: str) -> ScheduleRow:
        """Return the line of one club and flex; raises TrimRefused if the schedule does not have it."""
        for row in self.rows:
            if row.club == club and row.flex == flex:
                return row
        if flex not in self.flexes:
            raise TrimRefused(
                f"the schedule of shaft {self.shaft!r} has no flex {flex!r}",
                "its flexes are " + ", ".join(self.flexes),
                "choose one of them, or another shaft",
            )
        raise TrimRefused(
            f"the schedule of shaft {self.shaft!r} has no {club}",
            "its clubs are " + ", ".join(self.clubs),
            "choose a shaft made for this club; a schedule is never continued past its last line",
        )

    def trim_in(self, club: EquivalentClub, flex: FlexPlace) -> float:
        """Return the tip trim (in) of a place between two clubs and between two flexes: linear in both.

        trim = (1 - f) trim(softer) + f trim(stiffer), f the flex's fraction. Common practice, no source. Raises
        TrimRefused if a row it needs is missing.
        """
        softer = club.interpolate(lambda name: self.row(name, flex.softer).tip_trim_in)
        if flex.fraction == 0:
            return softer
        stiffer = club.interpolate(lambda name: self.row(name, flex.stiffer).tip_trim_in)
        return softer + flex.fraction * (stiffer - softer)

    def bbgl_reference_in(self, club: EquivalentClub) -> float:
        """Return the BBGL (in) that the schedule is written for at this club; raises TrimRefused as :meth:`row`."""
        return club.interpolate(lambda name: self.row(name, self.flexes[0]).bbgl_reference_in)

    def sources(self, club: EquivalentClub, flex: str) -> tuple[Source, ...]:
        """Return where the trim of a club (or of the two clubs it lies between) comes from, for one flex."""
        return tuple(self.row(name, flex).source for name in club.clubs)

    def place_of(self, club: EquivalentClub, trim_in: float) -> FlexPlace | None:
        """Return the flex that has this tip trim (in) at this club; None outside the schedule's flexes."""
        trims = [(flex, self.trim_in(club, FlexPlace.at(flex))) for flex in self.flexes]
        for flex, trim in trims:
            if abs(trim - trim_in) < 1e-9:
                return FlexPlace.at(flex)
        for (softer, low), (stiffer, high) in itertools.pairwise(trims):
            if low < trim_in < high:
                return FlexPlace(softer, stiffer, (trim_in - low) / (high - low))
        return None

    def say_place_of(self, club: EquivalentClub, trim_in: float) -> str:
        """Return in words which flex the schedule gives for a tip trim (in) at this club."""
        place = self.place_of(club, trim_in)
        if place is not None:
            return str(place)
        softest = self.trim_in(club, FlexPlace.at(self.flexes[0]))
        if trim_in < softest:
            return f"softer than {self.flexes[0]}, by {say_in(softest - trim_in)} of tip trim"
        stiffest = self.trim_in(club, FlexPlace.at(self.flexes[-1]))
        return f"stiffer than {self.flexes[-1]}, by {say_in(trim_in - stiffest)} of tip trim"

    def _faults(self) -> Iterable[BenchError]:
        if not self.rows:
            yield BenchError(f"shaft {self.shaft!r} has no schedule", "one row for each club and flex", "add its rows")
            return
        unknown = unknown_clubs(self.rows)
        yield from unknown
        if not unknown:
            yield from self._missing_or_twice()
            yield from self._not_monotone()

    def _missing_or_twice(self) -> Iterable[BenchError]:
        count = Counter((row.club, row.flex) for row in self.rows)
        for row in self.rows:
            if count[row.club, row.flex] > 1:
                yield _fault(row, f"{row.club} {row.flex} appears {count[row.club, row.flex]} times", "once")
            if row.flex not in self.flexes:
                yield _fault(row, f"flex {row.flex!r}", "the shaft's flexes: " + ", ".join(self.flexes))
        irons = [club_place(club) for club in self.clubs if club.endswith("-iron")]
        gaps = [f"{number}-iron" for number in range(min(irons), max(irons)) if number not in irons] if irons else []
        for club in (*self.clubs, *gaps):
            for flex in self.flexes:
                if not count[club, flex]:
                    yield BenchError(
                        f"the schedule of shaft {self.shaft!r} has no line for {club} {flex}",
                        "every club in every flex, irons without a gap",
                        "add the line, or remove the shaft's other lines for this club",
                    )

    def _not_monotone(self) -> Iterable[BenchError]:
        order = {flex: number for number, flex in enumerate(self.flexes)}
        rows = [row for row in self.rows if row.flex in order]
        by_club = sorted(rows, key=lambda row: (club_kind(row.club), club_place(row.club), order[row.flex]))
        for soft, stiff in itertools.pairwise(by_club):
            if soft.club == stiff.club and soft.flex != stiff.flex:
                if stiff.tip_trim_in <= soft.tip_trim_in:
                    yield _fault(
                        stiff,
                        f"{stiff.club} {stiff.flex} trims {say_in(stiff.tip_trim_in)}, {soft.flex} trims "
                        f"{say_in(soft.tip_trim_in)}",
                        "more tip trim for the stiffer flex",
                    )
                if stiff.bbgl_reference_in != soft.bbgl_reference_in:
                    yield _fault(stiff, f"{stiff.club} has two BBGL references", "one for all flexes of a club")
        by_flex = sorted(rows, key=lambda row: (order[row.flex], club_kind(row.club), club_place(row.club)))
        for long, short in itertools.pairwise(by_flex):
            same = long.flex == short.flex and club_kind(long.club) == club_kind(short.club) == IRONS_AND_WEDGES
            if same and short.tip_trim_in < long.tip_trim_in:
                yield _fault(
                    short,
                    f"{short.club} {short.flex} trims {say_in(short.tip_trim_in)}, less than the {long.club}'s "
                    f"{say_in(long.tip_trim_in)}",
                    "irons and wedges gain or stay equal as the clubs get shorter",
                )


def _fault(row: ScheduleRow, given: str, allowed: str) -> BenchError:
    return BenchError(given, allowed, "correct the schedule", Place(row.source.text))
