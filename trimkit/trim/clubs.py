"""Clubs by name, from the longest to the shortest: irons and wedges as one kind, woods, hybrids."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable
from typing import Protocol, TypeVar

from trimkit.parts.errors import BenchError, Place, TrimRefused
from trimkit.parts.sources import Source

IRONS_AND_WEDGES, WOODS, HYBRIDS = "irons and wedges", "woods", "hybrids"
_WEDGES = {"pitching wedge": 10, "gap wedge": 11, "sand wedge": 12, "lob wedge": 13}
_KIND = {"iron": IRONS_AND_WEDGES, "wood": WOODS, "hybrid": HYBRIDS}
_NUMBERED = re.compile(r"^([1-9])-(iron|wood|hybrid)$")


def club_kind(club: str) -> str:
    """Return the kind of a club: :data:`IRONS_AND_WEDGES`, :data:`WOODS` or :data:`HYBRIDS`.

    Raises TrimRefused for a club that is not named like ``"4-iron"``, ``"gap wedge"``, ``"driver"``, ``"3-hybrid"``.
    """
    return _read(club)[0]


def club_place(club: str) -> int:
    """Return the place of a club among its kind, longer clubs first; a numbered club's place is its number.

    Raises TrimRefused for an unknown club.

    >>> club_place("4-iron"), club_place("pitching wedge"), club_place("driver")
    (4, 10, 1)
    """
    return _read(club)[1]


def _read(club: str) -> tuple[str, int]:
    if club in _WEDGES:
        return IRONS_AND_WEDGES, _WEDGES[club]
    if club == "driver":
        return WOODS, 1
    match = _NUMBERED.match(club)
    if match is None or club == "1-wood":
        raise TrimRefused(
            f"{club!r} is not the name of a club",
            "names such as 4-iron, 3-wood, 3-hybrid, driver, " + ", ".join(_WEDGES),
            "correct the club's name",
        )
    return _KIND[match[2]], int(match[1])


class RowOfClub(Protocol):
    """A line of a table that belongs to one club."""

    @property
    def club(self) -> str:
        """The club's name."""
        ...

    @property
    def source(self) -> Source:
        """Where the line comes from."""
        ...


RowT = TypeVar("RowT", bound=RowOfClub)


def unknown_clubs(rows: Iterable[RowOfClub]) -> list[BenchError]:
    """Return a fault for every row whose club has an unknown name."""
    faults = []
    for row in rows:
        try:
            club_place(row.club)
        except TrimRefused as error:
            faults.append(BenchError(error.given, error.allowed, error.next_step, Place(row.source.text)))
    return faults


def one_row_a_club(what: str, rows: Iterable[RowT]) -> tuple[list[RowT], list[BenchError]]:
    """Sort the rows of one table, longest club first, and return them with their faults.

    what: the table in words. Faults: no rows, a club with an unknown name (then the rows stay unsorted), clubs of
    more than one kind, a club that appears twice.
    """
    own = list(rows)
    if not own:
        return own, [BenchError(f"there is no {what}", "one row for each club", "add its rows or correct its name")]
    faults = unknown_clubs(own)
    if faults:
        return own, faults
    own.sort(key=lambda row: club_place(row.club))
    if len({club_kind(row.club) for row in own}) > 1:
        faults.append(BenchError(f"{what} mixes irons, woods or hybrids", "clubs of one kind", "make a table for each"))
    for one, other in itertools.pairwise(own):
        if one.club == other.club:
            place = Place(other.source.text)
            faults.append(BenchError(f"{other.club} appears twice", "each club once", "remove one", place))
    return own, faults


def engraved_iron(club: str) -> str:
    """Return the iron whose number a hybrid carries; every other club is itself.

    >>> engraved_iron("4-hybrid"), engraved_iron("sand wedge")
    ('4-iron', 'sand wedge')
    """
    return club.replace("hybrid", "iron") if club_kind(club) == HYBRIDS else club


def say_between(longer: str, shorter: str, fraction: float) -> str:
    """Return the name of a place between two neighbouring clubs, fraction 0 being the longer one.

    >>> say_between("3-iron", "4-iron", 0.4), say_between("9-iron", "pitching wedge", 0.4)
    ('3.4-iron', 'between 9-iron and pitching wedge (0.4)')
    """
    if fraction == 0:
        return longer
    if longer[0].isdigit() and shorter[0].isdigit():
        number = club_place(longer) + fraction * (club_place(shorter) - club_place(longer))
        return f"{number:.2f}".rstrip("0").rstrip(".") + longer[1:]
    return f"between {longer} and {shorter} ({fraction:.2f}".rstrip("0").rstrip(".") + ")"


def with_article(club: str) -> str:
    """Return a club's name for a sentence.

    >>> with_article("8-iron"), with_article("driver"), with_article("between 9-iron and pitching wedge (0.4)")
    ('an 8-iron', 'a driver', 'a club between 9-iron and pitching wedge (0.4)')
    """
    if club.startswith("between"):
        return f"a club {club}"
    return f"{'an' if club[0] == '8' else 'a'} {club}"
