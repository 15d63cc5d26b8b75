"""Refusals that carry more than a sentence, and refusals gathered into one."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NoReturn, TypeVar

from trimkit.parts.errors import TrimRefused

ValueT = TypeVar("ValueT")


class RefusedTogether(TrimRefused):
    """One club is refused for more than one reason; ``faults`` holds every one of them."""

    def __init__(self, faults: tuple[TrimRefused, ...]) -> None:
        if len(faults) < 2:
            raise ValueError("a RefusedTogether needs two faults or more")
        self.faults = faults
        first = faults[0]
        super().__init__(first.given, first.allowed, first.next_step, first.place)

    def __str__(self) -> str:
        lines = [f"{len(self.faults)} things are in the way; nothing was cut."]
        return "\n".join(lines + [f"  {number}. {fault}" for number, fault in enumerate(self.faults, start=1)])


class ShaftTooShort(TrimRefused):
    """The shaft does not reach; shortfall_in: how much is missing at the butt, in."""

    def __init__(self, shortfall_in: float, given: str, allowed: str, next_step: str) -> None:
        self.shortfall_in = shortfall_in
        super().__init__(given, allowed, next_step)


class TipTooShort(TrimRefused):
    """More is off the tip of a pulled shaft than the club takes: too stiff. too_far_in: how much too much, in."""

    def __init__(self, too_far_in: float, given: str, allowed: str, next_step: str) -> None:
        self.too_far_in = too_far_in
        super().__init__(given, allowed, next_step)


def faults_of(error: TrimRefused) -> tuple[TrimRefused, ...]:
    """Return every reason in a refusal: all those of a RefusedTogether, else the refusal itself."""
    return error.faults if isinstance(error, RefusedTogether) else (error,)


def finite(what: str, value: float) -> float:
    """Return the value, its unit unchanged, if it is a finite number; raises TrimRefused otherwise."""
    if not math.isfinite(value):
        raise TrimRefused(f"{what} is {value}", "a finite number", "measure it again and write the number")
    return value


class Gathered:
    """Runs independent checks of one club to the end; ``faults`` keeps every refusal."""

    def __init__(self) -> None:
        self.faults: list[TrimRefused] = []

    def attempt(self, check: Callable[[], ValueT]) -> ValueT | None:
        """Return the check's result, or None if it refused; the refusal is kept."""
        try:
            return check()
        except TrimRefused as error:
            self.faults += faults_of(error)
            return None

    def refuse(self) -> NoReturn:
        """Raise the refusal that was kept, or several as one RefusedTogether."""
        if len(self.faults) == 1:
            raise self.faults[0]
        raise RefusedTogether(tuple(self.faults))
