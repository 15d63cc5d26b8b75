"""Figures of a club and of a set, for sheets, lessons and the gallery; each with its axes' units and one look."""

from __future__ import annotations

import base64
import io
import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from html import escape
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox

from trimkit.club.club import ClubBuild
from trimkit.club.set import SetBuild
from trimkit.papers.benchcard import predicted
from trimkit.papers.record.model import Measured
from trimkit.papers.sheet import frequency_sentence, sheet_html
from trimkit.parts.components import HeadKind
from trimkit.parts.saving import save_text
from trimkit.study.frame.style import PIXELS_PER_IN, RC, SERIES, styled_figure

KIND_PEN = {
    HeadKind.IRON: SERIES[0],
    HeadKind.WEDGE: SERIES[2],
    HeadKind.HYBRID: SERIES[1],
    HeadKind.FAIRWAY: SERIES[3],
    HeadKind.DRIVER: SERIES[4],
}
"""One pen for each kind of head: colour and marker."""


def short_name(club: str) -> str:
    """Return a club's name short enough for a mark in a figure.

    >>> short_name("4-iron"), short_name("gap wedge"), short_name("3-hybrid"), short_name("driver")
    ('4', 'gap', '3 hyb', 'driver')
    """
    return club.replace("-iron", "").replace("-hybrid", " hyb").replace(" wedge", "").replace("-wood", " wood")


def _along(clubs: Sequence[ClubBuild]) -> tuple[list[float], list[float]]:
    """Playing lengths (in) and frequencies (cpm)."""
    return [club.plan.playing_length_in for club in clubs], [club.frequency_cpm for club in clubs]


def set_frequency(built: SetBuild, *, for_print: bool = False) -> Figure:
    """Draw the frequency (cpm) of every club over its playing length (in), longest club on the left.

    A club without a prediction is left out; raises WallsUnknown with the reason if no club has one. for_print: flatter,
    with a darker line and a dark edge around every mark, so that all of it stays legible in grey.
    """
    known = [club for club in built.clubs if predicted(club) is not None] or [*built.clubs]
    with styled_figure(8.2, 3.3 if for_print else 4.4) as figure:
        axes = figure.add_subplot()
        ordered = sorted(known, key=lambda club: -club.plan.playing_length_in)
        lengths, cpm = _along(ordered)
        axes.plot(lengths, cpm, color="#666666" if for_print else "#999999", linewidth=1.2)
        for kind in dict.fromkeys(club.plan.wanted.head.kind for club in known):
            pen = KIND_PEN[kind]
            clubs = [club for club in known if club.plan.wanted.head.kind is kind]
            edge = "#222222" if for_print else pen.colour
            lengths, cpm = _along(clubs)
            axes.plot(lengths, cpm, **pen.mark(9), markeredgecolor=edge, label=kind.value)
        axes.margins(x=0.06, y=0.2)
        axes.invert_xaxis()
        axes.set_xlabel("playing length (in), longer clubs on the left")
        axes.set_ylabel("frequency (cpm)")
        if known:
            axes.legend(loc="lower right", edgecolor="#666666" if for_print else None)
        _name(axes, ordered)
    return figure


_BESIDE = ((0, 1), (0, -1), (-0.9, 0.7), (0.9, -0.7), (-0.9, -0.7), (0.9, 0.7))
"""Where a name may be, seen from its mark, best first; farther away in the same directions if none is free."""


def _name(axes: Axes, clubs: Sequence[ClubBuild]) -> None:
    """Write every club's name beside its mark, where it covers no mark, no other name and no legend."""
    figure = axes.get_figure(root=True)
    assert figure is not None
    figure.draw_without_rendering()
    points = axes.transData.transform(np.transpose(_along(clubs)) if clubs else np.empty((0, 2)))
    point_px = figure.dpi / 72
    taken = [Bbox.from_bounds(x - 6 * point_px, y - 6 * point_px, 12 * point_px, 12 * point_px) for x, y in points]
    legend, frame = axes.get_legend(), axes.get_window_extent()
    beside: dict[str, Any] = {"textcoords": "offset points", "ha": "center", "va": "center", "fontsize": 11}
    taken += [] if legend is None else [legend.get_window_extent()]
    for club, at in zip(clubs, zip(*_along(clubs), strict=True), strict=True):
        text = axes.annotate(short_name(club.plan.club), at, (0, 0), **beside)
        for far, (across, up) in itertools.product((13, 24, 35, 46, 57), _BESIDE):
            text.set_position((across * far * 1.4, up * far))
            box = text.get_window_extent().padded(1)
            free = not any(box.overlaps(other) for other in taken)
            if free and frame.x0 <= box.x0 and box.x1 <= frame.x1 and frame.y0 <= box.y0 and box.y1 <= frame.y1:
                break
        if far > 13:
            line = {"arrowstyle": "-", "color": "#666666", "linewidth": 0.7, "shrinkA": 0, "shrinkB": 6}
            axes.annotate("", at, text.get_position(), textcoords="offset points", arrowprops=line)
        taken.append(text.get_window_extent())


@dataclass(frozen=True)
class Picture:
    """A figure in a notebook: PNG where it is shown, and under it the sentence with the same numbers."""

    figure: Figure
    sentence: str

    def _ipython_display_(self) -> None:
        """Show the picture, then its sentence: of one output a page shows the picture alone."""
        from IPython.display import display

        display(self._repr_mimebundle_(), raw=True)  # type: ignore[no-untyped-call]
        said = {"text/html": f"<p>{escape(self.sentence)}</p>", "text/plain": self.sentence}
        display(said, raw=True)  # type: ignore[no-untyped-call]

    def _repr_mimebundle_(self, **_kwargs: object) -> dict[str, str]:
        file = io.BytesIO()
        with matplotlib.rc_context(RC):
            self.figure.savefig(file, format="png", dpi=PIXELS_PER_IN, metadata={"Software": None})
        return {"image/png": base64.b64encode(file.getvalue()).decode(), "text/plain": self.sentence}


def set_frequency_picture(built: SetBuild) -> Picture:
    """Return the figure of :func:`set_frequency` with its sentence, to be the last line of a notebook's cell."""
    return Picture(set_frequency(built), frequency_sentence(built))


def svg_of(figure: Figure, sentence: str) -> str:
    """Return a figure as inline SVG, letters as outlines, labelled with the sentence that says the same in words."""
    file = io.StringIO()
    settings: dict[Any, Any] = {"svg.fonttype": "path", "svg.hashsalt": "trimkit"}
    with matplotlib.rc_context(RC | settings):
        figure.savefig(file, format="svg", metadata={"Date": None, "Creator": None})
    svg = file.getvalue()
    return svg[svg.index("<svg") :].replace("<svg ", f'<svg role="img" aria-label="{escape(sentence)}" ', 1)


def set_frequency_svg(built: SetBuild) -> str:
    """Return the figure of :func:`set_frequency` for the sheet, as inline SVG; empty where no club has a prediction."""
    if all(club.predicted is None for club in built.clubs):
        return ""
    return svg_of(set_frequency(built, for_print=True), frequency_sentence(built))


def write_sheet(
    built: SetBuild,
    path: Path,
    *,
    replace: bool = False,
    shop: str = "",
    made_on: date | None = None,
    measured: Sequence[Measured | None] = (),
) -> Path:
    """Write the sheet of a set, with its picture, as one HTML file and return its path: the whole file, or none.

    shop, made_on, measured: as :func:`trimkit.papers.sheet.sheet_html`. Raises SaveError if the file is there and may
    not be replaced, or cannot be written; what was there stays.
    """
    page = sheet_html(built, set_frequency_svg(built), shop=shop, made_on=made_on, measured=measured)
    return save_text(path, page, replace=replace)
