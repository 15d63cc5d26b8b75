"""Which club of one revision is which club of another, and what a club is called where its name is not its own."""

from __future__ import annotations

from collections.abc import Callable

from trimkit.papers.record.model import RecordedClub, Revision


def club_label(revision: Revision, place: int) -> str:
    """Return a club's name, with its place in the set if another club has the name too. place: from 0."""
    name = revision.clubs[place].club
    once = sum(club.club == name for club in revision.clubs) == 1
    return name if once else f"{name} (place {place + 1})"


def paired(before: Revision, after: Revision) -> tuple[tuple[int | None, int | None], ...]:
    """Return the clubs of two revisions in pairs of places from 0, in the order of ``before``, then what is new.

    By the names of their heads, those of one name in order; what is left by the names of the clubs, so that a club on
    another head is the same club of the set. None for a club without a partner.
    """
    old, new = dict(enumerate(before.clubs)), dict(enumerate(after.clubs))
    found: dict[int, int] = {}
    by_head: Callable[[RecordedClub], str] = lambda club: club.head.name  # noqa: E731
    by_club: Callable[[RecordedClub], str] = lambda club: club.club  # noqa: E731
    for name in (by_head, by_club):
        for place, club in list(old.items()):
            partner = next((n for n, other in new.items() if name(other) == name(club)), None)
            if partner is not None:
                found[place] = partner
                del old[place], new[partner]
    pairs = [(place, found.get(place)) for place in range(len(before.clubs))]
    return (*pairs, *((None, place) for place in new))
