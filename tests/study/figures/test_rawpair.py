"""Two raw shafts of one family: steps, saw and waste are where the plans have them, and so are the words."""

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import raw_pair_picture
from trimkit.study.figures.rawpair import OWN_AT, STEPPED_AT, raw_steps
from trimkit.trim.plan import plan_club

PLAN = build_set(shipped_order("taper_soft_step")).club("7-iron").plan
OWN = plan_club(PLAN.wanted.stepped(0))
PICTURE = raw_pair_picture(PLAN)
WHOLE, HEAD_END, GRIP_END = PICTURE.figure.axes


def tubes(axes, height):
    """The pieces of the shaft at this height, from and to (in): without its tip, which is drawn as a cone."""
    found = [each for each in axes.patches if hasattr(each, "get_width")]
    found = [each for each in found if each.get_y() + each.get_height() / 2 == pytest.approx(height)]
    return [(each.get_x(), each.get_x() + each.get_width()) for each in found]


def measured(axes):
    """The dimension lines and arrows, from and to (in)."""
    return sorted((text.xyann[0], text.xy[0]) for text in axes.texts if not text.get_text())


def test_every_step_of_the_longer_raw_length_is_half_an_inch_further_from_the_tip():
    """By hand: 8.5 in on the family's longest, 2.5 in less on the 7-iron's own raw length, 2 in on the 6-iron's."""
    assert (raw_steps(OWN)[0], raw_steps(PLAN)[0]) == pytest.approx((6.0, 6.5))
    assert [after - before for before, after in zip(raw_steps(OWN), raw_steps(PLAN), strict=True)] == pytest.approx(
        [0.5] * len(raw_steps(OWN))
    )
    links = [each.get_xdata() for each in WHOLE.lines if len(set(each.get_xdata())) == 2]
    assert [tuple(each) for each in links] == [*zip(raw_steps(OWN), raw_steps(PLAN), strict=True)]


@pytest.mark.parametrize("axes", PICTURE.figure.axes, ids=("whole", "head end", "grip end"))
def test_both_shafts_are_drawn_to_their_ends_and_sawn_at_the_same_place(axes):
    for height, plan, end in ((OWN_AT, OWN, 37.75), (STEPPED_AT, PLAN, 38.25)):
        pieces = tubes(axes, height)
        assert min(low for low, _ in pieces) == pytest.approx(raw_steps(plan)[0])
        assert max(high for _, high in pieces) == pytest.approx(end)
        steps = {round(low, 6) for low, _ in pieces} - {35.9}
        assert steps == {round(step, 6) for step in raw_steps(plan)}
    saws = [each.get_xdata()[0] for each in axes.lines if each.get_linewidth() == 2.2]
    assert saws == pytest.approx([35.9, 35.9])


def test_what_is_measured_off_is_what_is_written_on_it():
    assert measured(WHOLE) == [(0, pytest.approx(35.9))]
    assert measured(HEAD_END) == [pytest.approx(each) for each in ((0, 6), (0, 6.5), (6, 6.5))]
    assert measured(GRIP_END) == [pytest.approx((35.9, 37.75)), pytest.approx((35.9, 38.25))]
    said = " ".join(text.get_text() for axes in PICTURE.figure.axes for text in axes.texts)
    for words in (
        *("no step: the 7-iron's own raw length, 37 3/4 in", "one soft step: the 6-iron's raw length, 38 1/4 in"),
        *("first step: 6 in", "first step: 6 1/2 in", "every step 1/2 in", "cut length 35.9 in"),
        *("butt trim 1.85 in", "butt trim 2.35 in", "head end", "grip end"),
    ):
        assert words in said


def test_a_hard_step_points_the_other_way():
    hard = raw_pair_picture(plan_club(PLAN.wanted.stepped(-1)))
    assert measured(hard.figure.axes[1])[-1] == pytest.approx((6, 5.5))
    assert "every step 1/2 in nearer the head" in hard.sentence


def test_no_word_covers_another_or_leaves_the_picture(words_are_apart):
    words_are_apart(PICTURE.figure)


def test_the_sentence_has_the_same_numbers():
    for words in ("37 3/4 in", "38 1/4 in", "35.9 in", "1/2 in nearer the grip", "2.35 in instead of 1.85 in"):
        assert words in PICTURE.sentence
