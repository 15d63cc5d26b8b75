"""The controls of a lab, as it declares them: what can be set, its bounds, its unit and its default."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from numbers import Real
from typing import Any

import ipywidgets as widgets
from traitlets import CFloat, TraitError, validate

from trimkit.parts.errors import BenchError

Value = float | bool | str

CONTROLS_WIDTH_PX = 300
ROUNDING = 1e-9  # of a slider's range, so that 0.1 + 0.2 counts as 0.3
PACE_S = 0.035  # measured: a longer pause loses pictures, a shorter one makes the handle lag


@dataclass(frozen=True)
class Slider:
    """A number one can drag, step with the arrow keys, or type.

    name: field of the lab's params, with its unit at the end. label, unit: what people read ("" for a bare number).
    low, high, step, default: in that unit; the default is that of a real, sensible club.
    """

    name: str
    label: str
    unit: str
    low: float
    high: float
    step: float
    default: float

    @property
    def decimals(self) -> int:
        """Decimal places that show every step exactly, at most four."""
        return next((n for n in range(4) if abs(round(self.step, n) - self.step) < 1e-9), 4)

    def check(self, value: object) -> None:
        """Raise ControlRefused if a value is not a number, or is out of bounds."""
        if isinstance(value, bool) or not isinstance(value, Real) or not self.low <= float(value) <= self.high:
            _refuse(
                self.label, value, f"{self.low:g} to {self.high:g} {self.unit}".rstrip(), "choose a value in this range"
            )

    def widget(self) -> widgets.FloatSlider:
        """Return a new slider of ipywidgets, set to the default."""
        return PacedSlider(
            value=self.default,
            min=self.low,
            max=self.high,
            step=self.step,
            readout_format=f".{self.decimals}f",
            description=titled(self.label, self.unit),
            **_look(),
        )


@dataclass(frozen=True)
class Choice:
    """One of several options: buttons side by side for up to four, a list for more."""

    name: str
    label: str
    options: tuple[str, ...]
    default: str

    def check(self, value: object) -> None:
        """Raise ControlRefused if a value is not one of the options."""
        if not isinstance(value, str) or value not in self.options:
            _refuse(self.label, value, ", ".join(self.options), "choose one of these")

    def widget(self) -> widgets.Widget:
        """Return new buttons (or a list) of ipywidgets, set to the default."""
        if len(self.options) > 4:
            return widgets.Dropdown(options=self.options, value=self.default, description=self.label, **_look())
        look = _look()
        look["style"] |= {"button_width": f"{int((CONTROLS_WIDTH_PX - 16) / len(self.options)) - 6}px"}
        return widgets.ToggleButtons(options=self.options, value=self.default, description=self.label, **look)


@dataclass(frozen=True)
class Switch:
    """Yes or no."""

    name: str
    label: str
    default: bool

    def check(self, value: object) -> None:
        """Raise ControlRefused if a value is not True or False."""
        if not isinstance(value, bool):
            _refuse(self.label, value, "True or False", "choose one of these")

    def widget(self) -> widgets.Checkbox:
        """Return a new check box of ipywidgets, set to the default."""
        return widgets.Checkbox(value=self.default, description=self.label, indent=False, layout=_look()["layout"])


Control = Slider | Choice | Switch


class ControlRefused(BenchError, TraitError):
    """A control was set to a value it does not have; it keeps the one before."""


def _refuse(label: str, value: object, allowed: str, next_step: str) -> None:
    given = f"{value:g}" if isinstance(value, float) else repr(value)
    raise ControlRefused(f"{label} was set to {given}", allowed, next_step)


class PacedSlider(widgets.FloatSlider):  # type: ignore[misc]  # ipywidgets has no types
    """A slider that asks for no more pictures than a browser can draw while it is dragged.

    The page sends the newest value as soon as the kernel is done with the one before and drops those in between. The
    picture of a value leaves at once; by being done only ``PACE_S`` later the kernel gives the page time to draw it,
    so that the handle keeps up with the hand. Moves are not echoed to the page that made them.
    """

    value = CFloat(0.0).tag(sync=True, echo_update=False)

    @validate("value")
    def _validate_value(self, proposal: dict[str, Any]) -> float:
        """Refuse what is not a number or is out of bounds (ipywidgets would clip it), rounding apart."""
        value = float(proposal["value"])
        inside: float = min(max(value, self.min), self.max)
        if not abs(value - inside) <= ROUNDING * (self.max - self.min):
            _refuse(self.description, value, f"{self.min:g} to {self.max:g}", "choose a value in this range")
        return inside

    def set_state(self, sync_data: dict[str, Any]) -> None:
        """Take a move from the page (moves made by code do not come through here)."""
        start = time.perf_counter()
        try:
            super().set_state(sync_data)
        finally:
            time.sleep(max(0.0, start + PACE_S - time.perf_counter()))


def button(description: str, tooltip: str, action: Callable[[], object]) -> widgets.Button:
    """A new button of ipywidgets, as wide as its words, that does ``action`` when it is pressed."""
    made = widgets.Button(description=description, tooltip=tooltip, layout=widgets.Layout(width="auto"))
    made.on_click(lambda _: action())
    return made


def titled(label: str, unit: str) -> str:
    """A label with its unit: ``BBGL (in)``."""
    return f"{label} ({unit})" if unit else label


def _look() -> dict[str, Any]:
    return {"style": {"description_width": "auto"}, "layout": widgets.Layout(width=f"{CONTROLS_WIDTH_PX - 8}px")}
