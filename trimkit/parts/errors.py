"""Refusals that speak to the person at the bench.

Every error a user can cause derives from :class:`BenchError` and carries four things: what was given, what is
allowed, where it is (file, row, column), and what to do next.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Place:
    """Where a value was read: file name, row as a person counts it (the header is row 1) and column name.

    An order has no rows and columns; instead ``key`` names its table and key.
    """

    file: str | None = None
    row: int | None = None
    column: str | None = None
    key: str | None = None

    def __str__(self) -> str:
        row = None if self.row is None else f"row {self.row}"
        column = None if self.column is None else f"column {self.column}"
        return ", ".join(part for part in (self.file, row, column, self.key) if part is not None)


def counted(count: int, what: str) -> str:
    """Return how many of a thing there are, in words.

    >>> counted(1, "club"), counted(10, "club")
    ('1 club', '10 clubs')
    """
    return f"{count} {what if count == 1 else what + 's'}"


class BenchError(ValueError):
    """Something was refused; nothing was cut, guessed or written.

    given: what was given, as a sentence without a full stop.
    allowed: what is allowed instead.
    next_step: what the person can do now.
    place: where the value came from, if it came from a file.
    """

    def __init__(self, given: str, allowed: str, next_step: str, place: Place | None = None) -> None:
        self.given = given
        self.allowed = allowed
        self.next_step = next_step
        self.place = place
        super().__init__(given, allowed, next_step, place)

    def __str__(self) -> str:
        where = f"{self.place}: " if self.place is not None and str(self.place) else ""
        return f"{where}{self.given}. Allowed: {self.allowed}. Do next: {self.next_step}."


class UnitError(BenchError):
    """A number without a usable unit, or a quantity that is not a finite number."""


class ComponentError(BenchError):
    """A head, shaft or grip whose values cannot be those of a real part."""


class DataFileError(BenchError):
    """A data file or an order that cannot be read; ``faults`` holds every fault found, not only the first."""

    def __init__(self, faults: tuple[BenchError, ...]) -> None:
        if not faults:
            raise ValueError("a DataFileError needs at least one fault")
        self.faults = faults
        first = faults[0]
        super().__init__(first.given, first.allowed, first.next_step, first.place)

    def __str__(self) -> str:
        if len(self.faults) == 1:
            return str(self.faults[0])
        lines = [f"{len(self.faults)} faults were found; nothing was changed."]
        lines += [f"  {number}. {fault}" for number, fault in enumerate(self.faults, start=1)]
        return "\n".join(lines)


class SaveError(BenchError):
    """Something could not be saved, or only with loss; what was there before is still there, whole."""


class TrimRefused(BenchError):
    """The trade's rules do not allow this cut (see ``trimkit.trim``)."""


class ModelError(BenchError):
    """The mechanics cannot be computed for these values (see ``trimkit.mechanics``)."""


class WallsUnknown(ModelError):
    """A shaft's stiffness along its length is not known: the rules can cut it, the mechanics cannot compute it."""
