"""What is written into a drawing of a shaft: words with a leader line, dimension lines, and a shaft in its pieces."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.axes import Axes
from matplotlib.colors import to_rgba
from matplotlib.patches import Rectangle

from trimkit.mechanics.profile import SAME_PLACE_IN
from trimkit.parts.components import TubeSection
from trimkit.study.figures.shaftruler import PIECES
from trimkit.study.frame.style import without_y

WORDS = 11.5
"""Size of the letters, points."""
INK = "#333333"
PIECE_FILLS = tuple(colour for _name, colour in PIECES)


def bare_axes(*several: Axes) -> None:
    """Take both axes and the grid off drawings that are read by their dimension lines alone."""
    for axes in several:
        without_y(axes)
        axes.set_xticks([])
        axes.spines["bottom"].set_visible(False)


def label(axes: Axes, words: str, at: tuple[float, float], text_at: tuple[float, float], side: str = "center") -> None:
    """Write words with a leader line from them to a place; both places in the unit of their axes."""
    line = {"arrowstyle": "-", "color": INK, "linewidth": 0.9, "shrinkA": 1, "shrinkB": 0}
    axes.annotate(words, at, text_at, ha=side, va="center", color=INK, fontsize=WORDS, arrowprops=line)


def dimension_line(axes: Axes, low: float, high: float, height: float) -> None:
    """Draw a dimension line from low to high, all in the unit of the axes."""
    line = {"arrowstyle": "<|-|>", "color": INK, "linewidth": 1.0, "shrinkA": 0, "shrinkB": 0, "mutation_scale": 9}
    axes.annotate("", (high, height), (low, height), arrowprops=line)


def measure(axes: Axes, words: str, low: float, high: float, height: float, words_at: tuple[float, float]) -> None:
    """Draw a dimension line from low to high, with its words, all in the unit of the axes."""
    dimension_line(axes, low, high, height)
    axes.text(*words_at, words, ha="center", va="center", color=INK, fontsize=WORDS)


def draw_pieces(
    axes: Axes,
    sections: Sequence[TubeSection],
    edges: Sequence[float],
    *,
    height: float,
    across: float,
    fills: Sequence[str] = PIECE_FILLS,
) -> None:
    """Draw a shaft between its edges, in from the raw tip: the tip's end, saw cuts, the butt's end; a fill a piece.

    height: y of its axis. across: heights in y for an inch of diameter. fills: as in the ruler of the labs where not
    given.
    """
    for colour, low, high in zip(fills, edges[:-1], edges[1:], strict=True):
        for section in sections:
            left, right = max(low, section.from_tip_in), min(high, section.to_tip_in)
            if right > left + SAME_PLACE_IN:
                half = across * section.outer_diameter_in / 2
                tube = (left, height - half), right - left, 2 * half
                axes.add_patch(Rectangle(*tube, facecolor=to_rgba(colour, 0.3), edgecolor=INK, linewidth=0.8))
