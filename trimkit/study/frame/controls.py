"""The controls of a lab, as it declares them: what can be set, its bounds, its unit and its default."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from numbers import Real
from typing import TYPE_CHECKING, Any

from trimkit.parts.errors import BenchError

if TYPE_CHECKING:
    import ipywidgets

Value = float | bool | str

MOST_STOPS = 85  # of a drag along a slider
ROUNDING = 1e-9  # of a slider's range, so that 0.1 + 0.2 counts as 0.3


@dataclass(frozen=True)
class Slider:
    """A number one can drag, step with the arrow keys, or type.

    name: field of the lab's params, with its unit at the end. label, unit: what people read ("" for a bare number).
    low, high, step, default: in that unit; the default is that of a real, sensible club. on_page: the positions, from
    low to high, that a page without a kernel has pictures of when another slider is moved too; None for all of them.
    """

    name: str
    label: str
    unit: str
    low: float
    high: float
    step: float
    default: float
    on_page: tuple[float, ...] | None = None

    @property
    def decimals(self) -> int:
        """Decimal places that show every step exactly, at most four."""
        return next((n for n in range(4) if abs(round(self.step, n) - self.step) < 1e-9), 4)

    @cached_property
    def positions(self) -> tuple[float, ...]:
        """The values that a hand stops at, in their unit, from low to high: every step, the upper end, the default."""
        count = int((self.high - self.low) / self.step * (1 + ROUNDING))
        steps = [round(self.low + k * self.step, 9) + 0.0 for k in range(count + 1)]  # no −0
        close = ROUNDING * (self.high - self.low)
        for end in (self.high, self.default):
            if min(abs(end - each) for each in steps) > close:
                steps.append(end)
        return tuple(sorted(float(self.default) if abs(each - self.default) <= close else each for each in steps))

    @cached_property
    def stops(self) -> tuple[float, ...]:
        """The positions that a drag stops at, in their unit: all, every second, fifth or tenth, and the last."""
        stride = next((each for each in (1, 2, 5) if len(self.positions) <= MOST_STOPS * each), 10)
        return tuple(dict.fromkeys((*self.positions[::stride], self.positions[-1])))

    def nearest(self, value: float) -> int:
        """Return the index of the position nearest to a value."""
        after = min(max(bisect_left(self.positions, value), 1), len(self.positions) - 1)
        return after - (value - self.positions[after - 1] <= self.positions[after] - value)

    def taken(self, value: object) -> float:
        """Return a value in its unit as a float; rounding at an end is let pass.

        Raises ControlRefused if it is not a number or is out of bounds.
        """
        slack = ROUNDING * (self.high - self.low)
        number = isinstance(value, Real) and not isinstance(value, bool)
        if number and self.low - slack <= value <= self.high + slack:  # type: ignore[operator]  # it is a number
            return float(min(max(float(value), self.low), self.high)) + 0.0  # type: ignore[arg-type]  # no −0
        allowed = f"{self.low:g} to {self.high:g} {self.unit}".rstrip()
        raise _refusal(self.label, value, allowed, "choose a value in this range")

    def told(self) -> dict[str, Any]:
        """Return what a page needs to show this control."""
        return {
            "kind": "slider",
            "name": self.name,
            "title": titled(self.label, self.unit),
            "unit": self.unit,
            "decimals": self.decimals,
            "positions": list(self.positions),
            "stops": list(self.stops),
            "default": float(self.default),
        }


@dataclass(frozen=True)
class Choice:
    """One of several options: buttons to choose from for up to four, a list for more.

    on_page: the options that a page without a kernel has pictures of when two sliders are moved; None for all of them.
    """

    name: str
    label: str
    options: tuple[str, ...]
    default: str
    on_page: tuple[str, ...] | None = None

    def taken(self, value: object) -> str:
        """Return a value; raises ControlRefused if it is not one of the options."""
        if not isinstance(value, str) or value not in self.options:
            raise _refusal(self.label, value, ", ".join(self.options), "choose one of these")
        return value

    def told(self) -> dict[str, Any]:
        """Return what a page needs to show this control."""
        return {
            "kind": "choice",
            "name": self.name,
            "title": self.label,
            "options": list(self.options),
            "default": self.default,
        }


@dataclass(frozen=True)
class Switch:
    """Yes or no."""

    name: str
    label: str
    default: bool

    def taken(self, value: object) -> bool:
        """Return a value; raises ControlRefused if it is not True or False."""
        if not isinstance(value, bool):
            raise _refusal(self.label, value, "True or False", "choose one of these")
        return value

    def told(self) -> dict[str, Any]:
        """Return what a page needs to show this control."""
        return {"kind": "switch", "name": self.name, "title": self.label, "default": self.default}


Control = Slider | Choice | Switch


class ControlRefused(BenchError):
    """A control was set to a value it does not have; it keeps the one before."""


def _refusal(label: str, value: object, allowed: str, next_step: str) -> ControlRefused:
    given = f"{value:g}" if isinstance(value, float) else repr(value)
    return ControlRefused(f"{label} was set to {given}", allowed, next_step)


def button(description: str, tooltip: str, action: Callable[[], object]) -> ipywidgets.Button:
    """A new button of ipywidgets, as wide as its words, that does ``action`` when it is pressed."""
    import ipywidgets

    made = ipywidgets.Button(description=description, tooltip=tooltip, layout=ipywidgets.Layout(width="auto"))
    made.on_click(lambda _: action())
    return made


def titled(label: str, unit: str) -> str:
    """A label with its unit: ``BBGL (in)``."""
    return f"{label} ({unit})" if unit else label
