"""A picture that keeps up with a hand on a slider: the fixed part is drawn once, what moves is laid over it.

Drawing axes, ticks and grid is most of the work of a matplotlib figure, and none of it changes while a slider moves.
:class:`Overlay` saves the figure once as SVG without its live artists (:meth:`Overlay.background`); after that it
writes only those, as a second, small SVG of the same size (:meth:`Overlay.live`) that lies over the first.

The live SVG has a matplotlib renderer of its own, so that whatever an artist draws (dashes, markers, fills, arrows,
text) lands where matplotlib would put it. Letters of both layers are at least as large as the page asks with the CSS
property ``--least``, in the units of ``viewBox``: a picture that is scaled down stays legible. A hatch is refused;
mathtext is shown as typed. Matplotlib's own SVG renderer would save this code, but every state of a lab is one such
picture, and it takes 2.4 to 5.5 times as long and 1.8 to 3.3 times the bytes.
``python tests/benchmarks/live_layer.py``, milliseconds of processor time and bytes a picture:

======  ===========  ============  ===============  ================
lesson  this one ms  this one (B)  matplotlib's ms  matplotlib's (B)
======  ===========  ============  ===============  ================
02      0.7          2401          2.2              4337
07      0.9          3371          2.2              6764
10      1.5          22902         8.3              76264
======  ===========  ============  ===============  ================
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from html import escape
from typing import Any
from uuid import uuid4

import matplotlib
import numpy as np
from matplotlib.artist import Artist
from matplotlib.backend_bases import GraphicsContextBase, RendererBase
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, Transform

from trimkit.study.frame.style import FONT_STACK, PIXELS_PER_IN, RC

POINTS_PER_IN = 72.0  # SVG written by matplotlib counts in points
PNG_DPI = 1.5 * PIXELS_PER_IN
ANCHOR = {"left": "start", "center": "middle", "right": "end"}
LETTERS = re.compile(r'(<text style="[^"]*?\bfont(?:-size)?:[^";]*?)([\d.]+)px')
"""The size of a text in matplotlib's SVG."""
SIZES = re.compile(r' (?:width|height)="[^"]*"')
"""The sizes of matplotlib's SVG; without them the page scales both layers alike."""
SEGMENT = {1: ("M", 1), 2: ("L", 1), 3: ("Q", 2), 4: ("C", 3)}  # path codes: SVG letter, points it takes


Live = dict[str, Artist]
"""Artists that move, by name."""


@dataclass(frozen=True)
class Scene:
    """A figure and, by name, those of its artists that move; nothing else in it does.

    Live artists lie over all others, whatever their ``zorder``. Give every axes fixed limits.
    """

    figure: Figure
    live: Live


class Overlay:
    """The two layers of one scene, and the whole picture for paper and for pages without a kernel."""

    def __init__(self, scene: Scene, ident: str | None = None) -> None:
        """ident: what the names inside the SVG begin with; overlays of equal scenes may share it, others may not."""
        self.scene = scene
        self.figure = scene.figure
        self.figure.set_dpi(POINTS_PER_IN)
        self.figure.draw_without_rendering()
        self.figure.set_layout_engine("none")  # the layout is settled: from here on no axes moves
        self._artists = sorted(scene.live.values(), key=lambda artist: artist.get_zorder())
        self._ident = uuid4().hex[:10] if ident is None else ident
        self._renderer = LiveRenderer(self.figure, self._ident)
        self._background: tuple[tuple[object, ...], str] | None = None

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height in CSS pixels."""
        width, height = self.figure.get_size_inches() * PIXELS_PER_IN
        return round(width), round(height)

    @property
    def view_box(self) -> str:
        """The ``viewBox`` of both layers."""
        return f"0 0 {self._renderer.width:g} {self._renderer.height:g}"

    def background(self) -> str:
        """The SVG of all that does not move; the same text until an axes changes its limits, scale or place."""
        key = self._frame_key()
        if self._background is None or self._background[0] != key:
            visible = [artist.get_visible() for artist in self._artists]
            try:
                for artist in self._artists:
                    artist.set_visible(False)
                svg = self._saved("svg", **{"svg.hashsalt": self._ident}).decode()
            finally:
                for artist, was in zip(self._artists, visible, strict=True):
                    artist.set_visible(was)
            svg = LETTERS.sub(r"\1max(\2px, var(--least, 0px))", SIZES.sub("", svg[svg.index("<svg") :], count=2))
            self._background = (key, svg)
        return self._background[1]

    def live(self, summary: str) -> str:
        """The SVG of the live artists as they stand now; ``summary`` is the sentence that a screen reader says."""
        body = self._renderer.drawn(self._artists)
        label = escape(summary, quote=True)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{label}" '
            f'viewBox="{self.view_box}" font-family="{FONT_STACK}">{body}</svg>'
        )

    def blank(self, summary: str) -> str:
        """The SVG of a live layer with nothing on it, and the sentence that a screen reader says of it."""
        return f'<svg viewBox="{self.view_box}" role="img" aria-label="{escape(summary, quote=True)}"></svg>'

    def png(self) -> bytes:
        """The whole picture as PNG, for a page without a kernel."""
        return self._saved("png")

    def _saved(self, kind: str, **settings: Any) -> bytes:
        file = io.BytesIO()
        metadata: dict[str, Any] = {"Date": None, "Creator": None} if kind == "svg" else {"Software": None}
        with matplotlib.rc_context(RC | settings):
            self.figure.savefig(file, format=kind, dpi=PNG_DPI, metadata=metadata)
        return file.getvalue()

    def _frame_key(self) -> tuple[object, ...]:
        return tuple(
            (*axes.get_xlim(), *axes.get_ylim(), axes.get_xscale(), axes.get_yscale(), *axes.get_position().bounds)
            for axes in self.figure.axes
        )


class LiveRenderer(RendererBase):
    """A matplotlib renderer that writes terse SVG: one decimal of a point, only the points that show, clipped."""

    def __init__(self, figure: Figure, ident: str) -> None:
        super().__init__()
        self.width, self.height = (float(side) for side in figure.get_size_inches() * POINTS_PER_IN)
        self._ident = ident
        self._flip = Affine2D().scale(1, -1).translate(0, self.height)
        self._clips: dict[tuple[float, ...], str] = {}
        self._out: list[str] = []

    def drawn(self, artists: list[Artist]) -> str:
        """The SVG elements of these artists, in this order, with the clips they need in front."""
        self._out, self._clips = [], {}
        for artist in artists:
            artist.draw(self)
        clips = "".join(
            f'<clipPath id="{name}"><rect x="{x:.2f}" y="{y:.2f}" width="{w:.2f}" height="{h:.2f}"/></clipPath>'
            for (x, y, w, h), name in self._clips.items()
        )
        return f"<defs>{clips}</defs>{''.join(self._out)}"

    def get_canvas_width_height(self) -> tuple[float, float]:
        """Return width and height in points, as matplotlib asks a renderer."""
        return self.width, self.height

    def draw_path(self, gc: GraphicsContextBase, path: Path, transform: Transform, rgbFace: Any = None) -> None:
        """Write one path, as matplotlib asks a renderer."""
        simplify = path.should_simplify and rgbFace is None
        self._shape(gc, outline(path.cleaned(transform + self._flip, remove_nans=True, simplify=simplify)), rgbFace)

    def draw_markers(
        self,
        gc: GraphicsContextBase,
        marker_path: Path,
        marker_trans: Transform,
        path: Path,
        trans: Transform,
        rgbFace: Any = None,
    ) -> None:
        """Write one marker at each place, as matplotlib asks a renderer."""
        marker = marker_path.cleaned(marker_trans + Affine2D().scale(1, -1))
        begin, rest = relative(marker)
        places = (trans + self._flip).transform(np.asarray(path.vertices, dtype=float)) + begin
        places = places[np.isfinite(places).all(axis=1)]
        self._shape(gc, "".join([f"M{x:.1f} {y:.1f}{rest}" for x, y in places.tolist()]), rgbFace)

    def draw_text(
        self,
        gc: GraphicsContextBase,
        x: float,
        y: float,
        s: str,
        prop: FontProperties,
        angle: float,
        ismath: Any = False,
        mtext: Text | None = None,
    ) -> None:
        """Write one line of text at a place in points, as matplotlib asks a renderer."""
        # The browser's letters may be wider than matplotlib's, so a level text hangs from its own anchor.
        x, y = float(x), float(y)  # already counted from the top, since flipy() is true
        anchor, turn = "start", f' transform="rotate({-angle:.1f} {x:.1f} {y:.1f})"' if angle else ""
        if mtext is not None and not angle:
            x = float(mtext.get_transform().transform(mtext.get_unitless_position())[0])
            anchor = ANCHOR[mtext.get_horizontalalignment()]
        look = f'text-anchor="{anchor}" {font(prop)}{turn} {paint("fill", gc.get_rgb(), gc)}{self._clip(gc)}'
        self._out.append(f'<text x="{x:.1f}" y="{y:.1f}" {look}>{escape(s)}</text>')

    def _shape(self, gc: GraphicsContextBase, d: str, face: Any) -> None:
        if not d:
            return
        if gc.get_hatch() is not None:
            raise NotImplementedError("A live artist has a hatch: draw it with edges instead.")
        fill = paint("fill", face, gc) if face is not None else 'fill="none"'
        width = gc.get_linewidth()
        stroke = ""
        if width > 0 and gc.get_rgb()[3] > 0:
            stroke = f' {paint("stroke", gc.get_rgb(), gc)} stroke-width="{width:g}"'
            stroke += f' stroke-linejoin="{gc.get_joinstyle()}" stroke-linecap="{cap(gc)}"'
            dashes: Any
            offset, dashes = gc.get_dashes()
            if dashes is not None:
                stroke += f' stroke-dasharray="{" ".join(f"{dash:.4g}" for dash in dashes)}"'
                stroke += f' stroke-dashoffset="{float(offset or 0):g}"'
        rest = f'" {fill}{stroke}{self._clip(gc)}/>'
        if face is None and "stroke-opacity" not in stroke and self._out and self._out[-1].endswith(rest):
            self._out[-1] = f"{self._out[-1].removesuffix(rest)}{d}{rest}"  # lines of one look are one element
        else:
            self._out.append(f'<path d="{d}{rest}')

    def _clip(self, gc: GraphicsContextBase) -> str:
        box = gc.get_clip_rectangle()
        if box is None:
            return ""
        key = (box.x0, self.height - box.y1, box.width, box.height)
        name = self._clips.setdefault(key, f"live-{self._ident}-{len(self._clips)}")
        return f' clip-path="url(#{name})"'


def outline(path: Path) -> str:
    """The ``d`` of an SVG path element, to a tenth of a point."""
    vertices: Any = path.vertices
    points = [f"{x:.1f} {y:.1f}" for x, y in vertices.tolist()]
    if path.codes is None:
        return "M" + "L".join(points) if points else ""
    codes: list[int] = np.asarray(path.codes).tolist()
    pieces, at = [], 0
    while at < len(codes) and codes[at] != Path.STOP:
        if codes[at] == Path.CLOSEPOLY:
            pieces.append("Z")
            at += 1
            continue
        letter, count = SEGMENT[codes[at]]
        pieces.append(letter + " ".join(points[at : at + count]))
        at += count
    return "".join(pieces)


def relative(path: Path) -> tuple[Any, str]:
    """Where a path without curves begins, and the rest of its ``d`` counted from there, to a hundredth."""
    vertices, codes = np.asarray(path.vertices, dtype=float), np.asarray(path.codes).tolist()
    begin = start = here = vertices[0]
    pieces = []
    for corner, code in zip(vertices[1:], codes[1:], strict=True):
        if code == Path.CLOSEPOLY:
            pieces.append("z")
            here = start
        elif code != Path.STOP:
            right, down = (corner - here).tolist()
            pieces.append(f"{'m' if code == Path.MOVETO else 'l'}{right:.2f} {down:.2f}")
            here, start = corner, corner if code == Path.MOVETO else start
    return begin, "".join(pieces)


def paint(what: str, colour: Any, gc: GraphicsContextBase) -> str:
    """The SVG attributes that fill or stroke with a matplotlib colour and its opacity."""
    opacity = gc.get_alpha() if gc.get_forced_alpha() else (colour[3] if len(colour) == 4 else 1.0)
    faint = f' {what}-opacity="{opacity:g}"' if opacity < 1 else ""
    return f'{what}="{to_hex(colour[:3])}"{faint}'


def cap(gc: GraphicsContextBase) -> str:
    """The SVG word for a matplotlib line end."""
    style = str(gc.get_capstyle())
    return "square" if style == "projecting" else style


def font(prop: FontProperties) -> str:
    """The SVG attributes of a matplotlib font; the family is this house's and stands once on the whole picture."""
    weight, style = prop.get_weight(), prop.get_style()
    heavy = f' font-weight="{weight}"' if weight not in ("normal", 400) else ""
    slanted = f' font-style="{style}"' if style != "normal" else ""
    return f'style="font-size:max({prop.get_size_in_points():g}px,var(--least,0px))"{heavy}{slanted}'
