"""The drawing of a club with its parts named: each word points at its part, and the lengths are the plan's."""

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import club_parts_picture

PLAN = build_set(shipped_order()).club("7-iron").plan
PICTURE = club_parts_picture(PLAN)
BOTH, HEAD_END, GRIP_END = PICTURE.figure.axes
WORDS = (
    (
        *("head", "hosel", "first step", "another step", "shaft", "grip", "tip", "butt", "ground\nline"),
        *("playing length", "tip trim", "cut length", "butt trim", "raw length"),
    ),
    ("bore", "BBGL", "tip of the shaft", "hosel", "ground line"),
    ("cap", "butt of the shaft", "grip"),
)


def pointed_at(axes, words):
    """Where the leader line from these words ends, along the shaft (in)."""
    (found,) = (text for text in axes.texts if text.get_text() == words)
    return found.xy[0]


def measured(axes):
    """The dimension lines, from and to (in)."""
    return [(text.xyann[0], text.xy[0]) for text in axes.texts if not text.get_text()]


@pytest.mark.parametrize(("axes", "words"), zip(PICTURE.figure.axes, WORDS, strict=True), ids=("both", "head", "grip"))
def test_it_has_the_words_of_the_first_lesson(axes, words):
    said = [text.get_text() for text in axes.texts]
    for word in words:
        assert any(text.startswith(word) for text in said), word


def test_every_leader_line_ends_at_its_part():
    """The 7-iron: BBGL 1 in, bore 1 1/4 in deep, tip trim 4 in, cap 0.1 in; first step 9 in from the raw tip."""
    assert pointed_at(BOTH, "first step") == pytest.approx(9.0)
    assert 3 < pointed_at(BOTH, "head") < 5
    assert 3 < pointed_at(BOTH, "hosel") < 5.25
    assert 5.25 < pointed_at(BOTH, "shaft") < 29.5
    assert 29.5 < pointed_at(BOTH, "grip") < 40
    assert pointed_at(HEAD_END, "tip of the shaft") == 1
    assert 1 < pointed_at(HEAD_END, "bore") < 2.25
    assert pointed_at(GRIP_END, "butt of the shaft") == pytest.approx(36.9)
    assert 36.9 < pointed_at(GRIP_END, "cap") < 37


def test_what_is_measured_off_is_the_length_that_is_written_on_it():
    (playing, raw), (bbgl,) = measured(BOTH), measured(HEAD_END)
    assert playing == (3, 40)
    assert raw == (0, 42)
    assert bbgl == (0, 1)
    said = " ".join(text.get_text() for text in BOTH.texts)
    for words in ("playing length 37 in", "raw length 42 in", "tip trim 4 in", "≈ 35 7/8 in", "≈ 2 1/8 in"):
        assert words in said


def test_the_raw_shaft_lies_with_its_kept_piece_under_the_club_and_the_saw_cuts_at_its_ends():
    cuts = sorted({float(line.get_xdata()[0]) for line in BOTH.lines if line.get_linestyle() == "-"})
    assert cuts == pytest.approx([4, 39.9])
    tube = [patch for patch in BOTH.patches if hasattr(patch, "get_width")]
    assert min(each.get_x() for each in tube) == 0
    assert max(each.get_x() + each.get_width() for each in tube) == pytest.approx(42)
    assert sum(each.get_width() for each in tube) == pytest.approx(42)
    heights = [each.get_height() for each in sorted(tube, key=lambda each: each.get_x())]
    assert heights == sorted(heights), "wider from the tip to the butt"


def test_no_word_covers_another_or_leaves_the_picture(words_are_apart):
    words_are_apart(PICTURE.figure)


def test_the_sentence_has_the_same_numbers():
    for words in ("42 in (1066.8 mm)", "4 in (101.6 mm)", "≈ 2 1/8 in (53.3 mm)", "≈ 35 7/8 in (911.9 mm)"):
        assert words in PICTURE.sentence
