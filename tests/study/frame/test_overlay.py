"""The two layers of a picture, held against matplotlib's own SVG writer."""

import io
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.markers import MarkerStyle
from matplotlib.patches import Rectangle

from trimkit.study.frame import style
from trimkit.study.frame.overlay import Overlay, Scene, relative

SVG = "{http://www.w3.org/2000/svg}"


def scene(points=60):
    """Two axes, every kind of live artist that a lab uses; what stands still is a curve named 'ghost'."""
    with style.styled_figure() as figure:
        left, right = figure.subplots(1, 2)
        x = np.linspace(0, 1, points)
        left.plot(x, x**3, **style.REFERENCE.line(), gid="ghost")
        live = {
            "curve": left.plot(x, np.sin(9 * x), **style.NOW.line(), gid="curve")[0],
            "marks": right.plot([0, 1, 2], [2, 0, 1], **style.SERIES[1].line(marker=True), gid="marks")[0],
            "band": left.fill_between(x, 0 * x, x, alpha=0.25, color=style.ALLOWED_BAND, gid="band"),
            "bar": right.add_patch(Rectangle((0.5, 0), 0.4, 1.5, facecolor="#CC79A7", gid="bar")),
            "name": right.text(1.2, 1.7, "tip", ha="right", va="bottom", gid="name"),
            "note": figure.text(0.5, 0.97, "0.50 in", ha="center", gid="note"),
            "lines": left.text(0.5, 0.5, "bore\n0.50 in", ha="right", va="center", clip_on=True, gid="lines"),
        }
        left.set(xlim=(0, 1), ylim=(-1.2, 1.2))
        right.set(xlim=(-0.5, 2.5), ylim=(-0.5, 2.5))
    return Scene(figure, live)


def tree(svg):
    return ElementTree.fromstring(svg)


def numbers(d):
    return np.array(re.findall(r"-?\d+\.?\d*", d), dtype=float).reshape(-1, 2)


def drawn_by_matplotlib(figure, gid):
    """The elements that matplotlib's own SVG writer makes of one artist."""
    file = io.BytesIO()
    with style.styled():
        figure.savefig(file, format="svg")
    root = tree(file.getvalue())
    return next(group for group in root.iter(f"{SVG}g") if group.get("id") == gid), root


def paths(svg):
    return list(tree(svg).iter(f"{SVG}path"))


def test_a_curve_lies_where_matplotlib_puts_it():
    s = scene()
    ours = next(p for p in paths(Overlay(s).live("")) if p.get("stroke") == "#0072b2")
    group, _ = drawn_by_matplotlib(s.figure, "curve")
    theirs = group.find(f"{SVG}path")
    assert numbers(ours.get("d")) == pytest.approx(numbers(theirs.get("d")), abs=0.051)  # we print tenths of a point
    assert "stroke-width: 3" in theirs.get("style")
    assert ours.get("stroke-width") == "3"


def test_lines_of_one_look_are_one_element_with_every_line_where_matplotlib_puts_it():
    with style.styled_figure() as figure:
        axes = figure.subplots()
        axes.set(xlim=(0, 4), ylim=(0, 1))
        steps = axes.vlines([1, 2, 3], 0.2, [0.4, 0.6, 0.8], gid="steps")
        faint = axes.vlines([1.5, 2.5], 0.2, 0.4, alpha=0.5)
    overlay = Overlay(Scene(figure, {"steps": steps, "faint": faint}))
    together, *apart = (path.get("d") for path in paths(overlay.live("")))
    group, _root = drawn_by_matplotlib(figure, "steps")
    theirs = [numbers(path.get("d")) for path in group.iter(f"{SVG}path")]
    assert together.count("M") == len(theirs) == 3
    assert np.abs(numbers(together) - np.concatenate(theirs)).max() < 0.06
    assert len(apart) == 2, "where two faint lines cross, both must show"


def test_a_filled_shape_lies_where_matplotlib_puts_it():
    s = scene()
    ours = next(p for p in paths(Overlay(s).live("")) if p.get("fill") == "#cc79a7")
    group, _ = drawn_by_matplotlib(s.figure, "bar")
    theirs = group.find(f"{SVG}path")
    assert numbers(ours.get("d")) == pytest.approx(numbers(theirs.get("d")), abs=0.051)


def test_markers_sit_on_their_points_and_dashes_are_matplotlibs():
    s = scene()
    line, marks = [p for p in paths(Overlay(s).live("")) if p.get("stroke") == "#d55e00"]
    group, _ = drawn_by_matplotlib(s.figure, "marks")
    dashes = re.search(r"stroke-dasharray: ([\d.,]+)", group.find(f"{SVG}path").get("style")).group(1)
    assert [float(n) for n in line.get("stroke-dasharray").split()] == [float(n) for n in dashes.split(",")]
    places = [(float(use.get("x")), float(use.get("y"))) for use in group.iter(f"{SVG}use")]
    triangles = [np.cumsum(numbers(piece), axis=0) for piece in marks.get("d").split("M") if piece]  # M x y, then steps
    centres = [(t.max(axis=0) + t.min(axis=0)) / 2 for t in triangles]
    assert np.array(centres) == pytest.approx(np.array(places), abs=0.1)


@pytest.mark.parametrize("marker", ["o", "s", "x", "*", "X"])
def test_a_marker_has_the_shape_that_matplotlib_gives_it(marker):
    """Each command's end point, walked from the marker's beginning in steps, is a corner of matplotlib's outline."""
    shape = MarkerStyle(marker)
    path = shape.get_path().transformed(shape.get_transform().scale(9)).cleaned()
    begin, rest = relative(path)
    here, start, ends = begin, begin, [begin]
    for letter, steps in re.findall(r"([mlz])([^mlz]*)", rest):
        here = start if letter == "z" else here + numbers(steps)[-1]
        start = here if letter == "m" else start
        ends.append(here)
    corners = path.vertices[path.codes != path.STOP].copy()
    corners[path.codes[: len(corners)] == path.CLOSEPOLY] = path.vertices[0]
    assert np.array(ends) == pytest.approx(corners, abs=0.06)


@pytest.mark.parametrize("gid", ["name", "note"])
def test_a_text_hangs_where_matplotlib_hangs_it(gid):
    s = scene()
    words = s.live[gid].get_text()
    ours = next(t for t in tree(Overlay(s).live("")).iter(f"{SVG}text") if t.text == words)
    theirs = next(drawn_by_matplotlib(s.figure, gid)[0].iter(f"{SVG}text"))
    place = re.search(r"translate\(([-\d.]+) ([-\d.]+)\)", theirs.get("transform") or "")
    where = place.groups() if place else (theirs.get("x"), theirs.get("y"))
    assert (float(ours.get("x")), float(ours.get("y"))) == pytest.approx(tuple(map(float, where)), abs=0.051)
    assert f"text-anchor: {ours.get('text-anchor')}" in theirs.get("style")


def test_every_live_artist_of_an_axes_is_clipped_to_its_box():
    s = scene()
    overlay = Overlay(s)
    root = tree(overlay.live(""))
    boxes = {
        clip.get("id"): [float(clip[0].get(side)) for side in ("x", "y", "width", "height")]
        for clip in root.iter(f"{SVG}clipPath")
    }
    width, height = s.figure.get_size_inches() * 72
    wanted = []
    for axes in s.figure.axes:
        place = axes.get_position()
        wanted.append([place.x0 * width, (1 - place.y1) * height, place.width * width, place.height * height])
    assert np.array(sorted(boxes.values())) == pytest.approx(np.array(sorted(wanted)), abs=0.01)
    for path in root.iter(f"{SVG}path"):
        assert path.get("clip-path")[5:-1] in boxes


def test_two_overlays_share_no_clip():
    ids = [{c.get("id") for c in tree(Overlay(scene()).live("")).iter(f"{SVG}clipPath")} for _ in range(2)]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_the_background_holds_what_stands_still_and_nothing_live():
    s = scene()
    overlay = Overlay(s)
    drawn = {element.get("id") for element in tree(overlay.background()).iter() if len(element) or element.text}
    assert "ghost" in drawn
    assert not drawn & set(s.live)
    assert all(artist.get_visible() for artist in s.live.values())


def test_the_background_is_made_once_until_a_limit_changes():
    s = scene()
    overlay = Overlay(s)
    first = overlay.background()
    s.live["curve"].set_ydata(np.zeros(60))
    assert overlay.background() is first
    s.figure.axes[0].set_xlim(0, 2)
    second = overlay.background()
    assert second != first
    assert overlay.background() is second


def test_both_layers_are_of_one_size_and_no_axes_moves():
    s = scene()
    overlay = Overlay(s)
    before = [axes.get_position().bounds for axes in s.figure.axes]
    roots = [tree(overlay.background()), tree(overlay.live(""))]
    assert {root.get("viewBox") for root in roots} == {overlay.view_box}
    width, height = map(float, overlay.view_box.split()[2:])
    assert overlay.size_px == (round(width * 96 / 72), round(height * 96 / 72))
    assert roots[1].get("width") is None  # the page scales both layers alike
    s.live["note"].set_text("a much longer note that would push a layout about " * 3)
    overlay.png()
    assert [axes.get_position().bounds for axes in s.figure.axes] == before


def test_an_artist_that_is_switched_off_is_not_drawn():
    s = scene()
    overlay = Overlay(s)
    s.live["bar"].set_visible(False)
    assert "#cc79a7" not in overlay.live("")


def test_text_from_people_stays_text():
    s = scene()
    s.live["name"].set_text('<script>alert("x")</script> & co')
    svg = Overlay(s).live('A "quoted" <b>sentence</b> & more')
    root = tree(svg)
    assert "<script" not in svg
    assert root.get("aria-label") == 'A "quoted" <b>sentence</b> & more'
    assert root.get("role") == "img"
    assert any(t.text == '<script>alert("x")</script> & co' for t in root.iter(f"{SVG}text"))


def test_missing_points_break_the_line_and_never_reach_the_picture():
    s = scene()
    y = np.zeros(60)
    y[30] = np.nan
    s.live["curve"].set_ydata(y)
    svg = Overlay(s).live("")
    assert "nan" not in svg
    d = next(p for p in paths(svg) if p.get("stroke") == "#0072b2").get("d")
    assert d.count("M") == 2


def test_a_curve_of_1600_points_is_thinned_to_what_the_eye_sees():
    s = scene(1600)
    d = next(p for p in paths(Overlay(s).live("")) if p.get("stroke") == "#0072b2").get("d")
    kept = numbers(d)
    assert len(kept) < 200
    x = np.linspace(0, 1, 1600)
    all_points = s.figure.axes[0].transData.transform(np.column_stack([x, np.sin(9 * x)]))
    all_points[:, 1] = s.figure.get_size_inches()[1] * 72 - all_points[:, 1]
    assert np.abs(np.interp(all_points[:, 0], kept[:, 0], kept[:, 1]) - all_points[:, 1]).max() < 0.5  # points


def test_a_hatch_is_refused_rather_than_left_out():
    s = scene()
    s.live["bar"].set_hatch("//")
    with pytest.raises(NotImplementedError, match="hatch"):
        Overlay(s).live("")


def test_the_whole_picture_is_the_same_each_time():
    assert Overlay(scene()).png() == Overlay(scene()).png()
    assert Overlay(scene()).png().startswith(b"\x89PNG")
