"""What the fields of a form hold, each under its key."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from trimkit.parts.errors import BenchError
from trimkit.study.form.pieces import NOTHING, Field

MOST_LETTERS = 2_000
"""Letters that a field takes; chosen here, many more than any value of an order may have."""


class Values(dict[str, Any]):
    """What the fields hold, by key; text as it was typed. :meth:`rows`: a table's rows, each by column."""

    def __init__(self, plain: Mapping[str, Any], tables: Mapping[str, Sequence[Mapping[str, Any]]]) -> None:
        super().__init__(plain)
        self._tables = tables
        for name, rows in tables.items():
            for number, row in enumerate(rows, start=1):
                self |= {cell(name, number, column): value for column, value in row.items()}

    def rows(self, table: str) -> list[dict[str, Any]]:
        """Return the rows of a table, each by the names of its columns and details."""
        return [dict(row) for row in self._tables[table]]


@dataclass
class Entry:
    """One field of a form: ``value`` may be read and set. held: where the value is; put: how the form takes one."""

    put: Callable[[Mapping[str, Any]], None]
    field: Field
    held: dict[str, Any]
    key: str

    @property
    def value(self) -> Any:
        """What is in it: text as it was typed, one of its choices, or whether it is ticked."""
        return self.held[self.field.name]

    @value.setter
    def value(self, value: Any) -> None:
        """Put a value in; raises BenchError for one that is not among the field's choices."""
        self.put({self.key: value})


def cell(table: str, number: int, column: str) -> str:
    """Return the key of a cell; number: of its row, from 1."""
    return f"{table} {number}: {column}"


def checked(field: Field, value: Any) -> Any:
    """Return a value as its field holds it; raises BenchError for one that is not among its choices."""
    if field.tick:
        return bool(value)
    if offered := field.offered:
        known = [each for _, each in offered]
        if value is not None and value not in known:
            allowed = ", ".join(str(each) for each in known if each != NOTHING)
            raise BenchError(f"{field.label} is {value!r}", allowed, "choose one of these")
        return known[0] if value is None else value
    # Never as 1e-05: people do not write so, and a field does not read it.
    if isinstance(value, float):
        return format(Decimal(repr(value)).normalize(), "f")
    return NOTHING if value is None else str(value)


def typed(field: Field, value: Any) -> Any:
    """Return what a page sent for a field, or its empty value where it is none that a page can send."""
    try:
        return checked(field, value[:MOST_LETTERS] if isinstance(value, str) else value)
    except BenchError:
        return field.empty
