"""Figures: the drawn numbers are the set's, axes have units, and the caption says the same."""

import base64
import io
import itertools
import re
from dataclasses import replace

import pytest
from matplotlib.text import Text
from matplotlib.transforms import Bbox
from PIL import Image

from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.parts.errors import WallsUnknown
from trimkit.study.figures.set import KIND_PEN, set_frequency, set_frequency_picture, set_frequency_svg, svg_of

BUILT = build_set(shipped_order())


def test_every_club_is_drawn_at_its_length_and_frequency():
    (axes,) = set_frequency(BUILT).axes
    points = {(x, y) for line in axes.lines[1:] for x, y in zip(*line.get_data(), strict=True)}
    assert points == {(club.plan.playing_length_in, club.frequency_cpm) for club in BUILT.clubs}


def test_axes_name_their_units():
    (axes,) = set_frequency(BUILT).axes
    assert "(in)" in axes.get_xlabel()
    assert "(cpm)" in axes.get_ylabel()


def test_kinds_differ_by_marker_and_not_by_colour_alone():
    markers = [pen.marker for pen in KIND_PEN.values()]
    assert len(set(markers)) == len(markers)


def test_the_caption_has_the_first_and_the_last_number():
    sentence = set_frequency_picture(BUILT).sentence
    for club in (BUILT.clubs[0], BUILT.clubs[-1]):
        assert f"{club.frequency_cpm:.1f} cpm" in sentence


def test_the_picture_shows_without_a_kernel():
    bundle = set_frequency_picture(BUILT)._repr_mimebundle_()
    picture = Image.open(io.BytesIO(base64.b64decode(bundle["image/png"])))
    assert picture.width > 600
    assert bundle["text/plain"].startswith("The frequency rises")


def test_a_notebook_shows_the_picture_and_under_it_its_sentence(monkeypatch):
    """Of one output with both, a page shows the picture alone; no name in the sentence becomes a tag."""
    shown = []
    monkeypatch.setattr("IPython.display.display", lambda data, raw: shown.append(data))
    picture = replace(set_frequency_picture(BUILT), sentence="3 < 4 <b>")
    picture._ipython_display_()
    assert ["image/png" in data for data in shown] == [True, False]
    assert [data["text/plain"] for data in shown] == [picture.sentence] * 2
    assert shown[1]["text/html"] == "<p>3 &lt; 4 &lt;b&gt;</p>"


def test_the_svg_is_labelled_inert_and_the_same_each_time():
    svg = set_frequency_svg(BUILT)
    assert svg == set_frequency_svg(build_set(shipped_order()))
    assert re.search(r'<svg role="img" aria-label="The frequency rises', svg)
    assert "<script" not in svg


def test_the_label_is_escaped():
    assert 'aria-label="&lt;b&gt; &quot;x&quot;"' in svg_of(set_frequency(BUILT), '<b> "x"')


def crowded():
    """The evening class with its last wedge five times in one place."""
    last = BUILT.clubs[-1]
    return SetBuild(BUILT.order, (*BUILT.clubs, *[last] * 4))


@pytest.mark.parametrize("for_print", [True, False])
@pytest.mark.parametrize(
    "built",
    [
        BUILT,
        SetBuild(BUILT.order, BUILT.clubs[:2]),
        build_set(shipped_order("taper_soft_step")),
        build_set(shipped_order("wood_pair")),
        crowded(),
    ],
    ids=["ten", "two hybrids", "seven", "two woods", "crowded"],
)
def test_no_name_covers_another_or_a_mark_or_leaves_the_picture(built, for_print):
    figure = set_frequency(built, for_print=for_print)
    figure.draw_without_rendering()
    (axes,) = figure.axes
    names = [text for text in axes.texts if text.get_text()]
    assert len(names) == len(built.clubs)
    boxes = [Text.get_window_extent(text) for text in names]
    for one, other in itertools.combinations(boxes, 2):
        assert not one.overlaps(other)
    half = 4.5 * figure.dpi / 72  # of a mark 9 points wide
    for club in built.clubs:
        x, y = axes.transData.transform((club.plan.playing_length_in, club.frequency_cpm))
        mark = Bbox.from_extents(x - half, y - half, x + half, y + half)
        assert not any(box.overlaps(mark) for box in boxes)
    legend, frame = axes.get_legend().get_window_extent(), axes.get_window_extent()
    for box in boxes:
        assert not box.overlaps(legend)
        assert (frame.x0 <= box.x0, box.x1 <= frame.x1, frame.y0 <= box.y0, box.y1 <= frame.y1) == (True,) * 4


def test_clubs_without_a_prediction_are_left_out_and_a_set_without_any_says_why():
    order = BUILT.order
    silent = build_set(replace(order, shaft=replace(order.shaft, sections=())))
    (axes,) = set_frequency(replace(BUILT, clubs=(*silent.clubs[:2], *BUILT.clubs[2:]))).axes
    points = {(x, y) for line in axes.lines[1:] for x, y in zip(*line.get_data(), strict=True)}
    assert points == {(club.plan.playing_length_in, club.frequency_cpm) for club in BUILT.clubs[2:]}
    assert set_frequency_svg(silent) == ""
    with pytest.raises(WallsUnknown, match="no tube walls are known"):
        set_frequency_picture(silent)
