"""The records of a folder, one line each: found by client, date, shaft or club without a look into every file.

Only what is listed is read and checked. It has had the same form since version 4 of the record; a file that does not
fit it, or is older, is read in full, and that reading says what is wrong with it. The full reading of a record takes
some ten times longer (``tests/benchmarks/record_listing.py``).
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from trimkit.papers.record.file import read_record
from trimkit.papers.record.model import VERSION, Moment, Text
from trimkit.papers.record.store import ENDING
from trimkit.parts.csvfile import read_text
from trimkit.parts.csvtext import csv_text
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.rows import club_name

_SAME_SINCE = 4


class _Seen(BaseModel):
    """A part of a record of which only these names are read."""

    model_config = ConfigDict(frozen=True, extra="ignore", strict=True)


class _Finding(_Seen):
    quantity: Text
    within: bool


class _Measured(_Seen):
    pass


class _Club(_Seen):
    club: Text
    shaft: Text
    measured: _Measured | None
    findings: tuple[_Finding, ...]


class _Order(_Seen):
    title: Text
    client: Text


class _Revision(_Seen):
    saved_at: Moment
    order: _Order
    clubs: Annotated[tuple[_Club, ...], Field(min_length=1)]


class _Record(_Seen):
    format: Literal["trimkit record"]
    version: Annotated[int, Field(ge=_SAME_SINCE, le=VERSION)]
    revisions: Annotated[tuple[_Revision, ...], Field(min_length=1)]


@dataclass(frozen=True)
class ListedRecord:
    """A record as it is listed, by its newest revision.

    file: its path below the folder. saved_at: with its time zone. shafts, clubs: names; a shaft once. revisions: how
    many. measured: how many clubs have a reading. compared: whether any reading had a prediction or a plan beside it.
    outside: what is outside its tolerance, such as ``7-iron frequency``.
    """

    file: str
    saved_at: datetime
    client: str
    title: str
    shafts: tuple[str, ...]
    clubs: tuple[str, ...]
    revisions: int
    measured: int
    compared: bool
    outside: tuple[str, ...]

    @property
    def saved_on(self) -> date:
        """The day of the newest revision, in the time zone of this machine."""
        return self.saved_at.astimezone().date()

    @property
    def verdict(self) -> str:
        """What was measured, in words."""
        if not self.measured:
            return "not measured"
        count = "all measured" if self.measured == len(self.clubs) else f"{self.measured} of {len(self.clubs)} measured"
        if not self.compared:
            return f"{count}, nothing to compare with"
        return f"{count}, " + (f"outside tolerance: {', '.join(self.outside)}" if self.outside else "within tolerance")


def listed_records(
    folder: Path, *, subfolders: bool = False, in_full: bool = False
) -> tuple[tuple[ListedRecord, ...], tuple[BenchError, ...]]:
    """Return the records of a folder, the newest first, and one fault for each file that is not a whole record.

    subfolders: whether those below are looked into; a link is never followed. in_full: every value of every record is
    checked, as ``show`` does. Raises BenchError if the folder is not one.
    """
    if not folder.is_dir():
        given = f"{folder} is {'not a folder' if folder.exists() else 'not there'}"
        raise BenchError(given, "a folder of records", "check the path")
    found, faults = [], []
    for path in _paths(folder, subfolders):
        name = path.relative_to(folder).as_posix()
        try:
            if path.is_symlink():
                given, step = "it is a link to somewhere else, and was not followed", "put the record itself there"
                raise BenchError(given, "a record in the folder itself", step, Place(name))
            if path.is_dir():
                raise BenchError("it is a folder", "a record", "give the folder another name", Place(name))
            found.append(_listed(name, _seen(name, read_text(path), in_full)))
        except DataFileError as error:
            first, more = error.faults[0], len(error.faults) - 1
            given = f"{first.given} (and {more} more)" if more else first.given
            # The place names the file only; two of a name may be in two folders.
            at = Place(name, first.place.row, key=first.place.key) if first.place else Place(name)
            faults.append(BenchError(given, first.allowed, first.next_step, at))
        except BenchError as error:
            faults.append(error)
    return tuple(sorted(found, key=lambda each: (each.saved_at, each.file), reverse=True)), tuple(faults)


def has_subfolders(folder: Path) -> bool:
    """Whether a folder has folders in it that may have records."""
    with os.scandir(folder) as entries:
        return any(e.is_dir(follow_symlinks=False) and not e.name.startswith(".") for e in entries)


def _paths(folder: Path, subfolders: bool) -> Iterator[Path]:
    """Yield what is called as a record; a name with a full stop first is no record's (``checked_name``)."""
    for at, below, files in os.walk(folder):  # follows no link
        below[:] = sorted(name for name in below if not name.startswith("."))
        for name in sorted((*files, *below)):
            if name.endswith(ENDING) and not name.startswith("."):
                yield Path(at, name)
        if not subfolders:
            return


def _seen(file: str, text: str, in_full: bool) -> _Record:
    if not in_full:
        with suppress(ValidationError):  # older, or damaged: the full reading says what is wrong
            return _Record.model_validate_json(text)
    return _Record.model_validate(read_record(text, file), from_attributes=True)


def _listed(file: str, record: _Record) -> ListedRecord:
    last = record.revisions[-1]
    findings = [(club, finding) for club in last.clubs for finding in club.findings]
    return ListedRecord(
        file=file,
        saved_at=datetime.fromisoformat(last.saved_at),
        client=" ".join(last.order.client.split()),
        title=" ".join(last.order.title.split()),
        shafts=tuple(dict.fromkeys(club.shaft for club in last.clubs)),
        clubs=tuple(club.club for club in last.clubs),
        revisions=len(record.revisions),
        measured=sum(club.measured is not None for club in last.clubs),
        compared=bool(findings),
        outside=tuple(f"{club.club} {finding.quantity}" for club, finding in findings if not finding.within),
    )


def asked_for(
    records: Iterable[ListedRecord],
    *,
    client: str = "",
    shaft: str = "",
    club: str = "",
    since: date | None = None,
    until: date | None = None,
) -> tuple[ListedRecord, ...]:
    """Return the records that fit everything asked for, in their order.

    client: words that all occur in the client's name; shaft: words that all occur in the name of one of the shafts;
    capitals do not matter. club: a club of the set, as people write it, or a number alone for any club of that number.
    since, until: days of this machine's time zone, both included, for the newest revision. Raises BenchError for a
    club that no set can have, and for a day that lies after the other.
    """
    if since is not None and until is not None and since > until:
        raise BenchError(f"since {since} until {until}", "the earlier day first", "change the days over")
    said = club.strip()
    if said and not said.isdecimal():
        said = club_name(said)
    return tuple(
        each
        for each in records
        if _has(each.client, client)
        and (not shaft.strip() or any(_has(name, shaft) for name in each.shafts))
        and (not said or any(name == said or name.startswith(f"{said}-") for name in each.clubs))
        and (since is None or each.saved_on >= since)
        and (until is None or each.saved_on <= until)
    )


def _has(text: str, words: str) -> bool:
    return all(word in text.casefold() for word in words.casefold().split())


def listing_lines(records: Sequence[ListedRecord]) -> list[str]:
    """Return the records as a table in lines under a heading; none if there is none."""
    if not records:
        return []
    table = [("date", "client", "title", "shafts", "clubs", "revisions", "measured", "file")]
    for each in records:
        numbers = str(len(each.clubs)), str(each.revisions)
        row = (str(each.saved_on), each.client, each.title, "; ".join(each.shafts), *numbers, each.verdict, each.file)
        table.append(row)
    widths = [max(len(row[column]) for row in table) for column in range(len(table[0]))]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in table]


def listing_csv(records: Iterable[ListedRecord]) -> str:
    """Return the records as CSV text: a row each; several shafts and clubs are separated by semicolons."""
    columns = ["date", "client", "title", "shafts", "clubs", "revisions", "clubs_measured", "outside_tolerance", "file"]
    rows = [
        (
            str(each.saved_on),
            each.client,
            each.title,
            "; ".join(each.shafts),
            "; ".join(each.clubs),
            each.revisions,
            each.measured,
            "; ".join(each.outside),
            each.file,
        )
        for each in records
    ]
    return csv_text(columns, rows)
