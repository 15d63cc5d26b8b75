"""How every picture looks: one set of pens, fonts and sizes, legible from the back row and in grey.

The colours are those of Okabe and Ito (2008), *Color Universal Design*, chosen to stay apart for the common kinds of
colour blindness. Colour never carries a meaning alone: each pen has its own dash and its own marker too.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from typing import Any

import matplotlib
from cycler import cycler
from matplotlib.axes import Axes
from matplotlib.figure import Figure

PIXELS_PER_IN = 96  # a CSS inch, which is how the browser shows a figure's inches
LAB_WIDTH_IN = 6.9  # beside the controls, a lab's picture just fits a notebook cell of 1000 CSS pixels
LAB_HEIGHT_IN = 4.3

FONT_STACK = "'DejaVu Sans', Verdana, Geneva, sans-serif"  # the same families, as a browser wants them


@dataclass(frozen=True)
class Pen:
    """One line style: colour (hex), dash (matplotlib line style), marker (matplotlib marker) and width in points."""

    colour: str
    dash: str | tuple[float, tuple[float, ...]]
    marker: str
    width_pt: float = 2.5

    def mark(self, size: float = 10, *, hollow: bool = False) -> dict[str, Any]:
        """Keyword arguments for ``Axes.plot``: the marker alone, ``size`` points across."""
        look = {"color": self.colour, "marker": self.marker, "markersize": size, "linestyle": "none"}
        return look | {"markerfacecolor": "none"} if hollow else look

    def line(self, *, marker: bool = False) -> dict[str, Any]:
        """Keyword arguments for ``Axes.plot``, with the marker only where points are data and not a curve.

        >>> NOW.line()["color"]
        '#0072B2'
        """
        drawn: dict[str, Any] = {"color": self.colour, "linestyle": self.dash, "linewidth": self.width_pt}
        if marker:
            drawn |= {"marker": self.marker, "markersize": 9}
        return drawn


NOW = Pen("#0072B2", "-", "o", 3.0)
"""What the controls show at this moment."""

REFERENCE = Pen("#707070", (0, (5, 3)), "s", 2.0)
"""The ghost: the club everything is compared with."""

SERIES = (
    Pen("#0072B2", "-", "o"),
    Pen("#D55E00", (0, (6, 2)), "^"),
    Pen("#009E73", (0, (1.5, 1.5)), "D"),
    Pen("#CC79A7", (0, (6, 2, 1.5, 2)), "v"),
    Pen("#E69F00", (0, (9, 3)), "P"),
    Pen("#56B4E9", (0, (3, 1.5)), "X"),
)
"""Several curves in one picture, in this order."""

ALLOWED_BAND = "#009E73"
"""Fill of a tolerance band; draw it with ``alpha=0.15`` and edges, so that it also shows in grey."""

REFUSED = "#D55E00"
"""What is out of bounds or not allowed; always with a word beside it."""

RC: dict[Any, Any] = {
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans", "Verdana", "Geneva"],
    "font.size": 13.0,
    "axes.titlesize": 14.0,
    "axes.labelsize": 13.0,
    "xtick.labelsize": 12.0,
    "ytick.labelsize": 12.0,
    "legend.fontsize": 12.0,
    "axes.grid": True,
    "grid.color": "#DDDDDD",
    "axes.axisbelow": True,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.prop_cycle": cycler(color=[pen.colour for pen in SERIES]),
    "figure.facecolor": "white",
    "figure.dpi": 72.0,
    "svg.fonttype": "none",
}


def styled() -> AbstractContextManager[None]:
    """A ``with`` block in which new figures get this house's look; the reader's own settings return afterwards."""
    return matplotlib.rc_context(RC)


@contextmanager
def styled_figure(width_in: float = LAB_WIDTH_IN, height_in: float = LAB_HEIGHT_IN) -> Iterator[Figure]:
    """A ``with`` block with an empty figure in this house's look, in which its axes are made.

    width_in, height_in: size in inches; the browser shows 96 pixels to the inch.
    """
    with styled():
        yield Figure(figsize=(width_in, height_in), layout="constrained")


def without_y(axes: Axes) -> None:
    """Take the y-axis and the grid off axes whose height means nothing."""
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    axes.grid(visible=False)
