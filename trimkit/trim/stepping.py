"""Taper tips: one raw length for each club, never tip-trimmed; soft and hard stepping along the family.

Stepping by clubs is common practice, no source.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass

from trimkit.parts.components import Shaft
from trimkit.parts.errors import BenchError, DataFileError, Place, TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.tables import RawLength
from trimkit.parts.units import say_in, say_number
from trimkit.trim.clubs import one_row_a_club
from trimkit.trim.equivalence import EquivalentClub

# The trade's letters from the softest to the stiffest; what they mean differs from shaft to shaft.
FLEX_LETTERS = ("L", "A", "R", "S", "X")
FLEX_PER_STEP = 1 / 4
"""Fraction of a flex that one step is usually said to be worth: common practice, no source."""
OTHERS_FLEX_PER_STEP = 1 / 3
"""Fraction of a flex that others say: common practice, no source."""
STEPPING_RULE = Source("one step is about a quarter of a flex, others say a third", Standing.COMMON_PRACTICE)


@dataclass(frozen=True)
class RawFamily:
    """The raw lengths of one taper-tip shaft in one flex, longest club first. Make it with :meth:`from_rows`.

    set_bbgl_in: median BBGL of the heads of a set on it, in, the reference where the table names none; None without a
    set.
    """

    shaft: str
    flex: str
    rows: tuple[RawLength, ...]
    set_bbgl_in: float | None = None

    @classmethod
    def from_rows(cls, rows: Iterable[RawLength], shaft: Shaft, set_bbgl_in: float | None = None) -> RawFamily:
        """Pick the raw lengths of one shaft, sort them and check them.

        set_bbgl_in: median BBGL of the heads of a set on it, in. Checked: clubs of one kind, each once; no raw length
        longer than that of the club before it, nor than the shaft described (its longest raw length); a BBGL reference
        for every club or for none. Raises DataFileError holding every fault.
        """
        own, faults = one_row_a_club(f"family {shaft.name!r}", (row for row in rows if row.family == shaft.name))
        for long, short in itertools.pairwise([] if faults else own):
            if short.raw_length_in > long.raw_length_in:
                given = f"{short.club} {say_in(short.raw_length_in)} after {say_in(long.raw_length_in)}"
                place = Place(short.source.text)
                faults.append(BenchError(given, "no raw length longer than the one before it", "correct it", place))
        if own and own[0].raw_length_in > shaft.raw_length_in + 1e-9:
            given = f"the {own[0].club} needs {say_in(own[0].raw_length_in)} of shaft {shaft.name!r}"
            allowed = f"at most {say_in(shaft.raw_length_in)}, the longest raw length described"
            faults.append(BenchError(given, allowed, "describe the longest raw length", Place(own[0].source.text)))
        unknown = [row for row in own if row.bbgl_reference_in is None]
        if 0 < len(unknown) < len(own):
            given = f"{unknown[0].club} has no bbgl_reference_in, and other clubs of family {shaft.name!r} have one"
            allowed, step = (
                "a BBGL reference for every club of a family, or for none",
                "fill it in, or empty the others",
            )
            faults.append(BenchError(given, allowed, step, Place(unknown[0].source.text)))
        if faults:
            raise DataFileError(tuple(faults))
        return cls(shaft.name, shaft.flexes[0], tuple(own), set_bbgl_in)

    @property
    def clubs(self) -> tuple[str, ...]:
        """The clubs of the family, longest first."""
        return tuple(row.club for row in self.rows)

    def _index(self, club: str) -> int:
        if club in self.clubs:
            return self.clubs.index(club)
        raise TrimRefused(
            f"the family {self.shaft!r} has no raw length for a {club}",
            "its clubs are " + ", ".join(self.clubs),
            "choose a family made for this club",
        )

    def row(self, club: str, soft_steps: int = 0) -> RawLength:
        """Return the raw length for a club, taken ``soft_steps`` clubs longer (hard steps are negative: shorter).

        Raises TrimRefused if the family does not have the club, or runs out of raw lengths at that end.
        """
        if not isinstance(soft_steps, int):
            raise TrimRefused(
                f"the order asks for {soft_steps} steps for the {club}",
                "a whole number of steps",
                "step by whole clubs",
            )
        wanted = self._index(club) - soft_steps
        if 0 <= wanted < len(self.rows):
            return self.rows[wanted]
        end = self.rows[0 if wanted < 0 else -1]
        raise TrimRefused(
            f"{say_step(soft_steps)} for the {club} needs a raw length past the {end.club}, the "
            f"{'longest' if wanted < 0 else 'shortest'} of family {self.shaft!r}",
            f"raw lengths from {self.clubs[0]} to {self.clubs[-1]}",
            "step fewer clubs, build this club unstepped, or take another flex stepped the other way",
        )

    def find(self, club: str, soft_steps: int = 0) -> RawLength | None:
        """Return the raw length as :meth:`row` does, or None if there is none."""
        try:
            return self.row(club, soft_steps)
        except TrimRefused:
            return None

    def nearest(self, club: EquivalentClub) -> str:
        """Return the family's club for a place between two: the nearer one, the longer at half-way."""
        return club.longer if club.fraction <= 0.5 else club.shorter

    def bbgl_reference_in(self, club: str) -> float | None:
        """Return the BBGL (in) that a club's raw length is made for: the table's, else the median of the set's heads.

        None where neither is known. Raises TrimRefused if the family does not have the club.
        """
        reference = self.row(club).bbgl_reference_in
        return self.set_bbgl_in if reference is None else reference

    def steps_to(self, club: str, raw_length_in: float) -> int | None:
        """Return how many soft steps (hard ones below 0) from a club's own raw length another one (in) lies.

        Of several clubs with that raw length the nearest counts; None if the family does not have it. Raises
        TrimRefused if it does not have the club.
        """
        own = self._index(club)
        same = (at for at, row in enumerate(self.rows) if abs(row.raw_length_in - raw_length_in) <= 1e-9)
        return min((own - at for at in same), key=abs, default=None)

    def parallel_change_in(self, club: str, soft_steps: int) -> float:
        """Return how much stepping lengthens (+) the parallel length below the first step, in.

        change = raw length of the club stepped to - raw length of the club itself.
        """
        return self.row(club, soft_steps).raw_length_in - self.row(club).raw_length_in


def flex_shift(soft_steps: int, flex_per_step: float = FLEX_PER_STEP) -> float:
    """Return how many flexes stiffer (+) or softer (-) a number of steps makes a taper-tip club.

    flex_per_step: a quarter, the usual figure; others say a third. shift = -steps * flex_per_step. Common practice, no
    source; :mod:`trimkit.check.stepworth` compares both with the mechanics.

    >>> flex_shift(1), flex_shift(-1), flex_shift(2), flex_shift(3, OTHERS_FLEX_PER_STEP)
    (-0.25, 0.25, -0.5, -1.0)
    """
    return -flex_per_step * soft_steps


def say_step(soft_steps: int) -> str:
    """Return a number of steps in words: 'no step', 'one soft step', '2 hard steps'."""
    if soft_steps == 0:
        return "no step"
    count = abs(soft_steps)
    return f"{'one' if count == 1 else count} {'soft' if soft_steps > 0 else 'hard'} step{'s' if count > 1 else ''}"


@dataclass(frozen=True)
class CannotStep:
    """A club of a stepped set that has no raw length: why, and what can be done instead, in words."""

    club: str
    refusal: TrimRefused
    alternatives: tuple[str, ...]


@dataclass(frozen=True)
class SteppedSet:
    """A set stepped as a whole: the raw length of every club that can be built, and the clubs that cannot."""

    family: RawFamily
    soft_steps: int
    built: tuple[tuple[str, RawLength], ...]
    missing: tuple[CannotStep, ...]


def step_set(family: RawFamily, clubs: Iterable[str], soft_steps: int, others: Iterable[RawFamily] = ()) -> SteppedSet:
    """Step a whole set by the same number of clubs, and say exactly which clubs cannot be built.

    clubs: the set. soft_steps: +1 for one soft step, -1 for one hard step. others: families at hand, in other flexes or
    with other raw lengths; an alternative is named only if its family has the raw length. Raises nothing: what cannot
    be built is listed with its reason.
    """
    built: list[tuple[str, RawLength]] = []
    missing: list[CannotStep] = []
    others = tuple(others)
    for club in clubs:
        try:
            built.append((club, family.row(club, soft_steps)))
        except TrimRefused as refusal:
            missing.append(CannotStep(club, refusal, tuple(_alternatives(family, club, soft_steps, others))))
    return SteppedSet(family, soft_steps, tuple(built), tuple(missing))


def _alternatives(family: RawFamily, club: str, soft_steps: int, others: Iterable[RawFamily]) -> Iterable[str]:
    for other in others:
        if family.flex not in FLEX_LETTERS or other.flex not in FLEX_LETTERS or other == family:
            continue
        flexes_apart = FLEX_LETTERS.index(other.flex) - FLEX_LETTERS.index(family.flex)
        same_place = soft_steps + round(flexes_apart / FLEX_PER_STEP)
        if (row := other.find(club, same_place)) is not None:
            yield (
                f"take {other.shaft!r} in flex {other.flex}, {say_step(same_place)}: the {row.club}'s "
                f"{say_in(row.raw_length_in)}"
            )
    direction = 1 if soft_steps > 0 else -1
    for fewer in range(soft_steps - direction, -direction, -direction):
        if (row := family.find(club, fewer)) is not None:
            how = f"with {say_step(fewer)}" if fewer else "unstepped"
            off = flex_shift(fewer) - flex_shift(soft_steps)
            apart = f"about {say_number(abs(off))} of a flex {'stiffer' if off > 0 else 'softer'} than the others"
            yield f"build it {how} from {say_in(row.raw_length_in)}, {apart}"
            return
