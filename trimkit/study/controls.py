"""The controls of a lab, declared: what can be moved, between which bounds, in which unit, and where it begins."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets
from traitlets import CFloat

Value = float | bool | str

CONTROLS_WIDTH_PX = 300


@dataclass(frozen=True)
class Slider:
    """A number one can drag, step with the arrow keys, or type.

    name: field of the lab's params, with its unit at the end. label, unit: what people read ("" for a bare number).
    low, high, step, default: in that unit; the default must be a sensible real club's.
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
        """Places after the point that show every step exactly, at most four."""
        return next((n for n in range(4) if abs(round(self.step, n) - self.step) < 1e-9), 4)

    def widget(self) -> widgets.FloatSlider:
        return _QuietSlider(
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
    """One of a few: buttons side by side up to four options, a list for more."""

    name: str
    label: str
    options: tuple[str, ...]
    default: str

    def widget(self) -> widgets.Widget:
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

    def widget(self) -> widgets.Checkbox:
        return widgets.Checkbox(value=self.default, description=self.label, indent=False, layout=_look()["layout"])


Control = Slider | Choice | Switch


class _QuietSlider(widgets.FloatSlider):  # type: ignore[misc]  # ipywidgets has no types
    """A slider whose moves are not echoed to the page that made them: one message less for each move."""

    value = CFloat(0.0).tag(sync=True, echo_update=False)


def titled(label: str, unit: str) -> str:
    """A label with its unit: ``BBGL (in)``."""
    return f"{label} ({unit})" if unit else label


def _look() -> dict[str, Any]:
    return {"style": {"description_width": "auto"}, "layout": widgets.Layout(width=f"{CONTROLS_WIDTH_PX - 8}px")}
