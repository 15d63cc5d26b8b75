"""Figures of a club and of a set, for sheets, lessons and the gallery; each with its axes' units and one look."""

from __future__ import annotations

import base64
import io
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Any

import matplotlib
from matplotlib.figure import Figure

from trimkit.club.club import ClubBuild
from trimkit.club.set import SetBuild
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

    for_print: a darker line and a dark edge around every mark, so that all of it stays legible in grey. Clubs without a
    prediction are left out; raises WallsUnknown with the reason if no club has one.
    """
    known = [club for club in built.clubs if club.predicted is not None] or [*built.clubs]
    with styled_figure(8.2, 4.4) as figure:
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
        above: dict[str, Any] = {"xytext": (0, 11), "textcoords": "offset points", "ha": "center", "fontsize": 11}
        for club in known:
            axes.annotate(short_name(club.plan.club), (club.plan.playing_length_in, club.frequency_cpm), **above)
        axes.margins(x=0.06, y=0.16)
        axes.invert_xaxis()
        axes.set_xlabel("playing length (in), longer clubs on the left")
        axes.set_ylabel("frequency (cpm)")
        axes.legend(loc="lower right", edgecolor="#666666" if for_print else None)
    return figure


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


def write_sheet(built: SetBuild, path: Path, *, replace: bool = False) -> Path:
    """Write the sheet of a set, with its picture, as one HTML file and return its path: the whole file, or none.

    Raises SaveError if the file is there and may not be replaced, or cannot be written; what was there stays.
    """
    return save_text(path, sheet_html(built, set_frequency_svg(built)), replace=replace)
