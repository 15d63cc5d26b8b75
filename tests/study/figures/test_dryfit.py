"""The drawing of the dry fit: what is measured is what is written on it, and the two lengths differ by the BBGL."""

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import dry_fit_picture

PLAN = build_set(shipped_order()).club("sand wedge").plan
PICTURE = dry_fit_picture(PLAN)
WHOLE, HEAD = PICTURE.figure.axes


def measured(axes):
    """The dimension lines, from and to (in)."""
    return [(text.xyann[0], text.xy[0]) for text in axes.texts if not text.get_text()]


def pointed_at(axes, words):
    """Where the leader line from these words ends, along the shaft (in)."""
    (found,) = (text for text in axes.texts if text.get_text() == words)
    return found.xy[0]


def test_the_lengths_are_those_of_the_lesson():
    """By hand: a raw shaft of 42 in, a BBGL of 1 1/2 in."""
    assert measured(WHOLE) == [(1.5, 43.5), (0, 43.5)]
    assert measured(HEAD) == [(0, 1.5)]
    said = " ".join(text.get_text() for axes in PICTURE.figure.axes for text in axes.texts)
    for words in ("1: bare shaft, 42 in", "2: butt end to ground, 43 1/2 in", "BBGL = 2 − 1 = 1 1/2 in"):
        assert words in said
    for words in ("42 in (1066.8 mm)", "43 1/2 in (1104.9 mm)", "1 1/2 in (38.1 mm)"):
        assert words in PICTURE.sentence


def test_the_words_point_at_their_parts():
    assert pointed_at(WHOLE, "tip") == 1.5
    assert pointed_at(WHOLE, "butt end") == 43.5
    assert pointed_at(HEAD, "sole, on the ground") == 0
    assert pointed_at(HEAD, "bottom of the bore: the tip rests here") == 1.5
    assert 0 < pointed_at(HEAD, "hosel") < PLAN.wanted.head.hosel_top_in


def test_both_shafts_are_whole_and_lie_one_under_the_other():
    pieces = [each for each in WHOLE.patches if hasattr(each, "get_width") and each.get_linestyle() == "solid"]
    axes_of = sorted({round(each.get_y() + each.get_height() / 2, 6) for each in pieces})
    assert axes_of == [-1.5, 1.5]
    for height in axes_of:
        tube = [each for each in pieces if round(each.get_y() + each.get_height() / 2, 6) == height]
        assert min(each.get_x() for each in tube) == 1.5
        assert sum(each.get_width() for each in tube) == pytest.approx(42)


def test_no_word_covers_another_or_leaves_the_picture(words_are_apart):
    words_are_apart(PICTURE.figure)
