"""Stock on the shelf: which shafts the plans of an order use up, what is left, what to buy. Plain counting."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from trimkit.parts.errors import TrimRefused
from trimkit.parts.units import say_in
from trimkit.trim.plan import TrimPlan
from trimkit.trim.refusals import finite


@dataclass(frozen=True)
class ShelfItem:
    """So many bare shafts of one name and raw length (in) on the shelf.

    Raises TrimRefused if the count is not a whole number of 0 or more, or the length not a finite one above 0.
    """

    shaft: str
    raw_length_in: float
    count: int

    def __post_init__(self) -> None:
        what = f"shaft {self.shaft!r} on the shelf"
        if finite(f"{what}: raw length", self.raw_length_in) <= 0:
            raise TrimRefused(f"{what}: raw length {say_in(self.raw_length_in)}", "more than 0 in", "measure it again")
        if not isinstance(self.count, int) or self.count < 0:
            raise TrimRefused(f"{what}: {self.count} pieces", "a whole number, 0 or more", "count the shelf again")


@dataclass(frozen=True)
class StockLine:
    """One shaft and raw length (in): how many lie on the shelf, and the clubs that take one each."""

    shaft: str
    raw_length_in: float
    on_shelf: int
    clubs: tuple[str, ...]

    @property
    def left(self) -> int:
        """How many stay on the shelf."""
        return max(self.on_shelf - len(self.clubs), 0)

    @property
    def to_buy(self) -> int:
        """How many are missing."""
        return max(len(self.clubs) - self.on_shelf, 0)


def count_stock(plans: Iterable[TrimPlan], shelf: Iterable[ShelfItem] = ()) -> tuple[StockLine, ...]:
    """Count the shafts that an order uses up against the shelf.

    Each plan takes one shaft of its name and raw length; lengths that differ by less than a millionth of an inch are
    the same. Shelf items of the same shaft and length add up; those that no club takes are listed too. Returned by
    name, longest raw length first.
    """
    clubs: dict[tuple[str, float], list[str]] = {}
    on_shelf: dict[tuple[str, float], int] = {}
    for plan in plans:
        clubs.setdefault((plan.wanted.shaft.name, round(plan.raw_length_in, 6)), []).append(plan.club)
    for item in shelf:
        key = (item.shaft, round(item.raw_length_in, 6))
        on_shelf[key] = on_shelf.get(key, 0) + item.count
    keys = sorted({*clubs, *on_shelf}, key=lambda key: (key[0], -key[1]))
    return tuple(StockLine(*key, on_shelf.get(key, 0), tuple(clubs.get(key, ()))) for key in keys)
