"""Which club a head really is: the place of its mass on the set's ladder of head masses.

Placing a head by its mass is common practice, no source; between rungs it is linear interpolation.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum

from trimkit.parts.components import Head, HeadKind
from trimkit.parts.errors import BenchError, DataFileError, Place, TrimRefused
from trimkit.parts.tables import LadderRung
from trimkit.parts.units import say_in, say_number
from trimkit.trim.clubs import engraved_iron, one_row_a_club, say_between
from trimkit.trim.refusals import finite


class TrimAs(StrEnum):
    """How a head is matched to a club: by its mass, or by the number engraved on it."""

    MASS = "by its mass"
    ENGRAVED = "by its engraved number"


@dataclass(frozen=True)
class EquivalentClub:
    """A club, or a place between two neighbours: ``fraction`` (0 to 1) of the way from the longer to the shorter."""

    longer: str
    shorter: str
    fraction: float

    @property
    def clubs(self) -> tuple[str, ...]:
        """The one club it is, or the two it lies between."""
        return (self.longer,) if self.fraction == 0 else (self.longer, self.shorter)

    def interpolate(self, value_of: Callable[[str], float]) -> float:
        """Return the value at this place, linear between the values of its two clubs, in their unit."""
        longer = value_of(self.longer)
        return longer if self.fraction == 0 else longer + self.fraction * (value_of(self.shorter) - longer)

    def __str__(self) -> str:
        return say_between(self.longer, self.shorter, self.fraction)


@dataclass(frozen=True)
class HeadLadder:
    """The head masses (g) and playing lengths (in) that a set is designed around, longest club first.

    Make it with :meth:`from_rungs`, which checks it.
    """

    name: str
    rungs: tuple[LadderRung, ...]

    @classmethod
    def from_rungs(cls, rungs: Iterable[LadderRung], name: str) -> HeadLadder:
        """Pick the rungs of one ladder, sort them and check them.

        Checked: clubs of one kind, each once; heads get heavier and clubs do not get longer along the set. Raises
        DataFileError holding every fault.
        """
        own, faults = one_row_a_club(f"ladder {name!r}", (rung for rung in rungs if rung.ladder == name))
        for long, short in itertools.pairwise([] if faults else own):
            place = Place(short.source.text)
            if short.head_mass_g <= long.head_mass_g:
                given = f"{short.club} {short.head_mass_g:g} g after {long.club} {long.head_mass_g:g} g"
                faults.append(BenchError(given, "heavier heads on shorter clubs", "correct the ladder", place))
            if short.playing_length_in > long.playing_length_in:
                given = f"{short.club} {say_in(short.playing_length_in)} after {say_in(long.playing_length_in)}"
                faults.append(BenchError(given, "no club longer than the one before it", "correct the ladder", place))
        if faults:
            raise DataFileError(tuple(faults))
        return cls(name, tuple(own))

    @property
    def clubs(self) -> tuple[str, ...]:
        """The clubs of the ladder, longest first."""
        return tuple(rung.club for rung in self.rungs)

    def rung(self, club: str) -> LadderRung:
        """Return the rung of a club; raises TrimRefused if the ladder does not have it."""
        for rung in self.rungs:
            if rung.club == club:
                return rung
        raise TrimRefused(
            f"the ladder {self.name!r} has no {club}",
            "its clubs are " + ", ".join(self.clubs),
            "correct the club's name, choose the set's own ladder, or place the head by its mass",
        )

    def by_mass(self, head_mass_g: float) -> EquivalentClub:
        """Return the club that a head mass (g) belongs to, between two rungs by interpolation.

        fraction = (mass - mass of the longer) / (mass of the shorter - mass of the longer). Common practice, no source.
        Raises TrimRefused outside the ladder, naming its nearest end.
        """
        finite("head mass", head_mass_g)
        for rung in self.rungs:
            if rung.head_mass_g == head_mass_g:
                return EquivalentClub(rung.club, rung.club, 0.0)
        for long, short in itertools.pairwise(self.rungs):
            if long.head_mass_g < head_mass_g < short.head_mass_g:
                fraction = (head_mass_g - long.head_mass_g) / (short.head_mass_g - long.head_mass_g)
                return EquivalentClub(long.club, short.club, fraction)
        first, last = self.rungs[0], self.rungs[-1]
        lighter = head_mass_g < first.head_mass_g
        end = first if lighter else last
        raise TrimRefused(
            f"the head weighs {say_number(head_mass_g, 1)} g, {say_number(abs(head_mass_g - end.head_mass_g), 1)} g "
            f"{'less' if lighter else 'more'} than the {end.club}, the {'lightest' if lighter else 'heaviest'} rung "
            f"of ladder {self.name!r}",
            f"{first.head_mass_g:g} to {last.head_mass_g:g} g",
            "weigh it again; if it is right, decide to place it by its engraved number, or extend the ladder with "
            "measured heads",
        )

    def by_number(self, club: str) -> EquivalentClub:
        """Return the engraved club; a hybrid counts as the iron of its number unless the ladder has hybrids.

        Raises TrimRefused if the ladder does not have it.
        """
        name = club if club in self.clubs else engraved_iron(club)
        return EquivalentClub(self.rung(name).club, name, 0.0)

    def playing_length_in(self, club: EquivalentClub) -> float:
        """Return the ladder's playing length (in) at a place, between two rungs by interpolation."""
        return club.interpolate(lambda name: self.rung(name).playing_length_in)

    def place(self, club: EquivalentClub) -> float:
        """Return how many clubs from the longest a place lies: 0 for the first rung, 1.4 between second and third."""
        return club.interpolate(lambda name: float(self.clubs.index(self.rung(name).club)))

    def rungs_off(self, head_mass_g: float, club: str) -> float:
        """Return how many rungs a mass (g) lies from a club's own rung (+ heavier), by the gap on that side.

        At an end of the ladder its only gap counts for both sides; 0 for a ladder of one rung.
        """
        index = self.clubs.index(self.rung(club).club)
        if len(self.rungs) == 1:
            return 0.0
        off = head_mass_g - self.rungs[index].head_mass_g
        start = min(max(index if off >= 0 else index - 1, 0), len(self.rungs) - 2)
        return off / (self.rungs[start + 1].head_mass_g - self.rungs[start].head_mass_g)


def usual_way(head: Head) -> TrimAs:
    """Return how common practice matches this kind of head to a club: hybrids by mass, all others by their number."""
    return TrimAs.MASS if head.kind is HeadKind.HYBRID else TrimAs.ENGRAVED
