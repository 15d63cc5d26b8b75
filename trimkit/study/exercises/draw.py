"""Numbers for exercises: drawn by seed, on ruler marks, from the demo parts."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

import numpy as np

from trimkit.club.order.order import Order, shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.parts.errors import BenchError
from trimkit.parts.units import say_number
from trimkit.trim.equivalence import EquivalentClub, HeadLadder
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import RawFamily

Item = TypeVar("Item")
IRONS_4_TO_9 = ("4-iron", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron")
NEAREST_16TH_IN = 0.032
"""Tolerance of an answer that need not be on a mark, in: half a sixteenth, so that the nearest mark is right."""
PARTS_OF_THE_WAY = {0.25: "1/4", 0.5: "1/2", 0.75: "3/4"}


@dataclass(frozen=True)
class Draw:
    """A source of numbers; the same seed and topic give the same numbers on every machine."""

    generator: np.random.Generator

    @classmethod
    def of(cls, seed: int, topic: str) -> Draw:
        """Return the source for a topic and a seed; raises BenchError unless the seed is a whole number, 0 or more."""
        if isinstance(seed, bool) or not isinstance(seed, int) or seed < 0:
            raise BenchError(f"the seed {seed!r}", "a whole number, 0 or more", "choose a seed such as 7")
        return cls(np.random.Generator(np.random.PCG64([seed, zlib.crc32(topic.encode())])))

    def mark(self, low_in: float, high_in: float, divisions: int = 16) -> float:
        """Return a length (in) on a ruler mark, both ends included."""
        return int(self.generator.integers(round(low_in * divisions), round(high_in * divisions) + 1)) / divisions

    def whole(self, low: int, high: int) -> int:
        """Return a whole number, both ends included."""
        return int(self.generator.integers(low, high + 1))

    def tenth(self, low: float, high: float) -> float:
        """Return a number with one decimal, both ends included, in the unit of the two ends."""
        return self.whole(round(low * 10), round(high * 10)) / 10

    def one_of(self, items: Sequence[Item]) -> Item:
        """Return one of several."""
        return items[self.whole(0, len(items) - 1)]


def at(club: str) -> EquivalentClub:
    """Return the place of a club itself."""
    return EquivalentClub(club, club, 0.0)


@lru_cache(maxsize=4)
def demo_order(name: str = "evening_class") -> Order:
    """Return one of the demo orders."""
    return shipped_order(name)


@lru_cache(maxsize=1)
def demo_set() -> SetBuild:
    """Return the evening class's set, planned and predicted."""
    return build_set(demo_order())


@lru_cache(maxsize=1)
def demo_schedule() -> TrimSchedule:
    """Return the schedule of the evening class's shaft."""
    order = demo_order()
    return TrimSchedule.from_rows(order.catalogue.schedule_rows, order.shaft)


@lru_cache(maxsize=1)
def demo_ladder() -> HeadLadder:
    """Return the evening class's ladder of head masses."""
    return HeadLadder.from_rungs(demo_order().catalogue.ladder_rungs, demo_order().ladder)


@lru_cache(maxsize=1)
def demo_family() -> RawFamily:
    """Return the taper-tip family of the demo."""
    order = demo_order("taper_soft_step")
    return RawFamily.from_rows(order.catalogue.raw_lengths, order.shaft)


def plain(value: float, decimals: int = 3) -> str:
    """Return a number, without unit, as the result of a calculation.

    >>> plain(-1.5), plain(37.0)
    ('−1.5', '37')
    """
    return say_number(value, decimals)


def n(value: float, decimals: int = 3) -> str:
    """Return a number, without unit, for a calculation; a negative one in brackets.

    >>> n(0.25), n(-1.5), n(37.0)
    ('0.25', '(−1.5)', '37')
    """
    text = plain(value, decimals)
    return f"({text})" if text.startswith("−") else text
