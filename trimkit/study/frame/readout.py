"""One number under a lab's picture: its unit, how it is written, and how far it is from the reference's."""

from __future__ import annotations

from dataclasses import dataclass

from trimkit.parts.units import quantity


@dataclass(frozen=True)
class Readout:
    """One number under the picture.

    value: in ``unit``, shown with ``decimals`` places. shown: the text to show instead (a swingweight's letter scale, a
    sixteenth); the difference to the reference is always that of ``value``. compare: False leaves the difference out.
    before: what the difference is taken from where it is not the reference's value.
    """

    label: str
    value: float
    unit: str = ""
    decimals: int = 1
    shown: str | None = None
    compare: bool = True
    before: float | None = None

    def __str__(self) -> str:
        return self.shown if self.shown is not None else quantity(self.value, self.unit, self.decimals)

    def change_from(self, then: Readout) -> float | None:
        """Return the difference to the reference's readout, in ``unit``; None if it is not compared."""
        if not self.compare:
            return None
        return self.value - (then.value if self.before is None else self.before)

    def change_said(self, then: Readout) -> str:
        """Return that difference as it is written, ``(+0.5 cpm)``; empty if it is not compared."""
        change = self.change_from(then)
        if change is None:
            return ""
        unit = "% points" if self.unit == "%" else self.unit  # of two percentages the difference is no percentage
        return f"({quantity(change, unit, self.decimals, '+')})"
