"""The reasons of a whole set with nothing said twice: equal reasons together, every source under a short key.

A number's own row of a file is beside the number (``b16``: row 16 of source b); what every club shares is told once.
"""

from __future__ import annotations

import itertools
import re
import string
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from trimkit.club.club import ClubBuild
from trimkit.parts.sources import Source
from trimkit.parts.units import MARK_IS_EXACT_IN, nearest_mark
from trimkit.trim.steps import Note, Severity, StepKind, TrimStep

_ROW = re.compile(r"^(.*), row (\d+)(.*)$", re.DOTALL)
_NUMBER = re.compile(r"[-−]?\d+(?:\.\d+)?")
_LENGTH = re.compile(r"(?<![\d.])(\d+\.\d+) in\b(?!²)")


def in_marks(text: str) -> str:
    """Return a sentence with every decimal length (in) that lies on a sixteenth as the ruler's mark.

    >>> in_marks("2.138 in − 0.25 in = 1.888 in; 213.5 oz in")
    '2.138 in − 1/4 in = 1.888 in; 213.5 oz in'
    """

    def mark(found: re.Match[str]) -> str:
        reading = nearest_mark(float(found[1]))
        return reading.mark if abs(reading.error_in) <= MARK_IS_EXACT_IN else found[0]

    return _LENGTH.sub(mark, text)


class SourceKeys:
    """Short keys for the sources of a set: a letter for each file or rule, with the row's number behind it."""

    def __init__(self, sources: Iterable[Source]) -> None:
        letters = ("".join(each) for n in (1, 2) for each in itertools.product(string.ascii_lowercase, repeat=n))
        self._letters: dict[tuple[str, str], str] = {}
        self.with_rows: set[str] = set()
        for source in sources:
            name, row = _without_row(source)
            key = (name, source.standing.value)
            if key not in self._letters:
                self._letters[key] = next(letters)
            if row:
                self.with_rows.add(self._letters[key])

    def key(self, source: Source) -> str:
        """Return a source's key: ``a`` for a rule, ``b16`` for row 16 of a file."""
        name, row = _without_row(source)
        return self._letters[name, source.standing.value] + row

    @property
    def legend(self) -> dict[str, str]:
        """What each letter is, with its standing."""
        return {
            letter: f"{name}{' by row' if letter in self.with_rows else ''} ({standing})"
            for (name, standing), letter in self._letters.items()
        }


def _without_row(source: Source) -> tuple[str, str]:
    found = _ROW.match(source.text)
    return (source.text, "") if found is None else (found[1] + found[3], found[2])


def clubs_said(names: Sequence[str], which: Sequence[int] | None = None) -> str:
    """Return the clubs at some places of a set (from 0, rising) in words; three or more in a row by first and last.

    which: None for names that are a part of a set themselves.

    >>> names = ["3-hybrid", "4-iron", "5-iron", "6-iron", "gap wedge"]
    >>> clubs_said(names, [1, 2, 3]), clubs_said(names, [0, 1, 4]), clubs_said(names, range(5))
    ('4-iron to 6-iron', '3-hybrid, 4-iron, gap wedge', 'every club')
    """
    if which is None:
        which = range(len(names))
    elif len(which) == len(names) > 1:
        return "every club"
    said = []
    for _, run in itertools.groupby(enumerate(which), lambda each: each[1] - each[0]):
        places = [place for _, place in run]
        one = [names[place] for place in places]
        said += one if len(one) < 3 else [f"{one[0]} to {one[-1]}"]
    return ", ".join(said)


def step_of(club: ClubBuild, kind: StepKind) -> TrimStep | None:
    """Return a club's step of one kind; None if its plan has none."""
    return next((step for step in club.plan.steps if step.kind is kind), None)


@dataclass(frozen=True)
class Reason:
    """One reason for one kind of step, and the clubs it holds for, in words; text: in the numbers of the first of them.

    first: that club. exact: whether the text is the same for every club to the last number. sources: those that are no
    row of a file.
    """

    kind: StepKind
    clubs: str
    first: str
    text: str
    exact: bool
    sources: tuple[Source, ...]


def reasons(clubs: Sequence[ClubBuild]) -> tuple[Reason, ...]:
    """Return the reasons of a set in bench order: reasons that differ only in numbers and clubs' names are one."""
    in_set = [club.plan.club for club in clubs]
    names = set(in_set)
    names |= {name for club in clubs for name in club.plan.equivalent.clubs}
    names |= {rung.club for club in clubs for rung in club.plan.wanted.ladder.rungs}
    pattern = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    club_name = re.compile(rf"(?:\b(?:an?|the) )?(?:(?<![\d.])(?:{pattern})|\d+\.\d+-[a-z]+)")
    together: dict[tuple[StepKind, str, tuple[Source, ...]], list[tuple[int, str]]] = {}
    for place, club in enumerate(clubs):
        for step in club.plan.steps:
            shared = tuple(source for source in step.sources if not _without_row(source)[1])
            frame = _NUMBER.sub("#", club_name.sub("@", step.reason))
            together.setdefault((step.kind, frame, shared), []).append((place, step.reason))
    order = list(StepKind)
    return tuple(
        Reason(
            kind=kind,
            clubs=clubs_said(in_set, [place for place, _ in said]),
            first=in_set[said[0][0]],
            text=in_marks(said[0][1]),
            exact=len({text for _, text in said}) == 1,
            sources=shared,
        )
        for (kind, _, shared), said in sorted(together.items(), key=lambda each: order.index(each[0][0]))
    )


def notes_together(clubs: Iterable[ClubBuild]) -> dict[Note, tuple[str, ...]]:
    """Return every note once, with the clubs it is for."""
    together: dict[Note, list[str]] = {}
    for club in clubs:
        for note in club.notes:
            together.setdefault(note, []).append(club.plan.club)
    return {note: tuple(names) for note, names in together.items()}


def read_first(notes: Mapping[Note, tuple[str, ...]]) -> tuple[str, ...]:
    """Return which clubs have a warning or a caution, each said once: "6-iron, warning"."""
    severe = (note for note in notes if note.severity is not Severity.NOTE)
    return tuple(dict.fromkeys(f"{', '.join(notes[note])}, {note.severity.value}" for note in severe))
