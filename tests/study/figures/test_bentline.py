"""The figure of the bent line: its marks are the clubs, its bent line the double check's, its sentence says both."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from trimkit.check.doublecheck import double_check
from trimkit.check.ownline import own_line, schedule_clubs_cpm
from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.study import bent_line_picture

BUILT = build_set(shipped_order())


@pytest.fixture(scope="module")
def picture():
    return bent_line_picture()


@pytest.fixture(scope="module")
def drawn(picture):
    """The straight line, the bent one and the clubs, each its heights in the picture, cpm."""
    return {line.get_label(): np.array(line.get_ydata(), dtype=float) for line in picture.figure.axes[0].lines}


def test_the_clubs_lie_off_the_straight_median_line_as_drawn(drawn):
    """The repeated median by SciPy; the line lies where half of the clubs are on either side of it."""
    length = np.array([club.plan.playing_length_in for club in BUILT.clubs])
    cpm = np.array([club.frequency_cpm for club in BUILT.clubs])
    beside = cpm - stats.siegelslopes(cpm, length).slope * length
    assert drawn["the clubs"] == pytest.approx(beside - np.median(beside), abs=1e-6)
    assert set(drawn["straight line ±2 cpm"]) == {0.0}


def test_the_bent_line_is_the_double_check_s(drawn):
    off = [club.deviation_cpm for club in double_check(BUILT).clubs]
    assert drawn["the clubs"] - drawn["bent line"] == pytest.approx(off, abs=1e-9)
    assert max(map(abs, off)) == pytest.approx(0.6, abs=0.05)  # what lesson 09 says
    assert off[-1] == pytest.approx(0.5, abs=0.05)  # what lesson 12 says of the wedge


def test_the_9_iron_alone_is_outside_the_straight_line_s_band(picture, drawn):
    names = [label.get_text() for label in picture.figure.axes[0].get_xticklabels()]
    assert [name for name, off in zip(names, drawn["the clubs"], strict=True) if abs(off) > 2] == ["9"]
    assert "9-iron is +2.5 cpm off the straight line, and +0.1 cpm off the bent one" in picture.sentence
    assert picture.sentence.startswith("All ten clubs are cut right: two hybrids, six irons, two wedges.")
    assert picture.sentence.endswith("the 7-iron, +0.6 cpm.")
    assert [text.get_text() for text in picture.figure.axes[0].texts] == ["+2.5"]


def test_the_schedule_bends_where_the_lesson_says():
    """From iron to iron 1/2 in, from the 9-iron to the gap wedge 1/4 in, to the sand wedge nothing more."""
    trims = [BUILT.club(name).plan.schedule_trim_in for name in ("8-iron", "9-iron", "gap wedge", "sand wedge")]
    assert trims == [4.5, 5.0, 5.25, 5.25]


def test_a_hybrid_head_s_higher_centre_of_mass_lifts_the_line_before_the_4_iron():
    """A 4-hybrid with the 4-iron head's centre, 0.1 in lower, would swing slower by most of what the line drops."""
    hybrid, iron = BUILT.club("4-hybrid"), BUILT.club("4-iron")
    card, centre = card_of(hybrid.plan, hybrid.assembly), iron.plan.wanted.head.cg_height_in
    head = replace(card.wanted.head, cg_height_in=centre)
    assert card.wanted.head.cg_height_in - centre == pytest.approx(0.1)
    lower = frequency_cpm(replace(card, wanted=replace(card.wanted, head=head)))
    assert frequency_cpm(card) - lower == pytest.approx(1.4, abs=0.05)


def test_what_is_left_of_the_irons_is_their_heads():
    """With the ladder's head masses every iron lies on the bent line; as built, up to 0.6 cpm off it."""
    cards = [card_of(club.plan, club.assembly) for club in BUILT.clubs]
    plans = [club.plan for club in BUILT.clubs]
    ideal = []
    for card, plan in zip(cards, plans, strict=True):
        mass = plan.equivalent.interpolate(lambda name, of=plan: of.wanted.ladder.rung(name).head_mass_g)
        head = replace(card.wanted.head, head_mass_g=mass)
        ideal.append(frequency_cpm(replace(card, wanted=replace(card.wanted, head=head))))
    own = own_line([plan.playing_length_in for plan in plans], ideal, schedule_clubs_cpm(cards, plans))
    off = [abs(cpm - asked) for cpm, asked in zip(ideal, own.asked_cpm, strict=True)]
    irons = [each for each, plan in zip(off, plans, strict=True) if "iron" in plan.club]
    assert len(irons) == 6
    assert max(irons) < 0.1


def test_the_irons_cross_the_straight_line(drawn):
    assert (round(drawn["the clubs"][2], 1), round(drawn["the clubs"][7], 1)) == (-1.3, 2.5)
