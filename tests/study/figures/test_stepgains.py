"""The figure of what each step gives: its bars are the shares, each over its own step of the drawn club."""

import pytest

from trimkit.check.stepshares import step_shares
from trimkit.club.card import card_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import step_gain_picture

SEVEN = build_set(shipped_order()).club("7-iron")
SHARES = step_shares(card_of(SEVEN.plan, SEVEN.assembly), 0.5)


@pytest.fixture(scope="module")
def picture():
    return step_gain_picture()


def test_a_bar_is_a_step_s_gain_over_its_place_from_the_ground_line(picture):
    bars, drawn = picture.figure.axes
    # 1 in of BBGL; 4 in off the tip: a step at p from the raw tip is p - 4 + 1 from the ground line.
    places = [section.from_tip_in - 3.0 for section in SEVEN.plan.wanted.shaft.sections[1:]]
    centres = [patch.get_x() + patch.get_width() / 2 for group in bars.containers for patch in group.patches]
    heights = [patch.get_height() for group in bars.containers for patch in group.patches]
    assert centres == pytest.approx(places)
    assert heights == [step.change_cpm for step in SHARES.steps]
    numbers = {text.get_text(): text.get_position()[0] for text in drawn.texts if text.get_text().isdigit()}
    assert numbers == {str(number): pytest.approx(place) for number, place in enumerate(places, start=1)}
    assert bars.get_xlim() == drawn.get_xlim()


def test_each_bar_says_its_percent_and_its_cpm(picture):
    said = [text.get_text() for text in picture.figure.axes[0].texts if "%\n" in text.get_text()]
    assert len(said) == len(SHARES.steps) == 16
    for text, step in zip(said, SHARES.steps, strict=True):
        percent, cpm = text.split(" %\n")
        assert float(percent) == pytest.approx(100 * step.change_cpm / SHARES.whole_cpm, abs=0.5)
        assert float(cpm) == pytest.approx(step.change_cpm, abs=0.005)
    assert said[0] == "0.7 %\n0.02"


def test_only_the_step_that_the_cut_brings_out_of_the_clamp_has_another_fill(picture):
    fills = [patch.get_facecolor() for group in picture.figure.axes[0].containers for patch in group.patches]
    edge = 37.0 - 5.0
    partly = [1.0 + step.above_tip_in - 0.5 < edge < 1.0 + step.above_tip_in for step in SHARES.steps]
    assert partly.count(True) == 1
    assert [fill != fills[0] for fill in fills] == partly


def test_no_word_covers_another_or_leaves_the_picture(picture, words_are_apart):
    words_are_apart(picture.figure)


def test_the_sentence_has_the_picture_s_numbers(picture):
    assert picture.sentence == (
        f"1/2 in more off the tip of the 7-iron, same playing length: +{SHARES.whole_cpm:.2f} cpm. Step 1, nearest the "
        f"head, adds {SHARES.steps[0].change_cpm:.2f} cpm (0.7 %), step 14 the most, "
        f"{SHARES.steps[13].change_cpm:.2f} cpm (10 %); step 16 in the clamp adds nothing."
    )


def test_a_cut_the_other_way_draws_what_is_lost():
    picture = step_gain_picture(cut_in=-0.5)
    bars = picture.figure.axes[0]
    heights = [patch.get_height() for group in bars.containers for patch in group.patches]
    assert sum(heights) < 0
    low, high = bars.get_ylim()
    assert low < min(heights)
    assert max(0, *heights) < high
