"""The readouts of a club: what is said of a difference is the difference of what is shown."""

import re

import numpy as np
import pytest

from trimkit.club.club import build_club, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.mechanics.balance import POINT_OZ_IN
from trimkit.study.frame.clubreadouts import against, club_readouts, more_or_less

START = build_set(shipped_order()).club("7-iron")
CUT = [
    build_club(recut(START.plan, float(tip), float(length)), START.assembly)
    for tip, length in zip(np.linspace(2, 5, 31), np.linspace(36.9, 37.1, 31), strict=True)
]


def points(shown):
    """A place on the letter scale in points, ten a letter."""
    return "ABCDEFG".index(shown[0]) * 10 + float(shown[1:])


@pytest.mark.parametrize("now", CUT, ids=lambda club: f"{club.plan.tip_trim_in:.1f}")
def test_the_points_between_two_swingweights_are_those_of_their_letters(now):
    said = re.search(r"swingweight (\w\d\.\d), ([+−]\d+\.\d) points", against(now, START))
    between = points(now.swingweight) - points(START.swingweight)
    assert said[1] == now.swingweight
    assert float(said[2].replace("−", "-")) == pytest.approx(between, abs=0.001)
    then, shown = (club_readouts(START, club)[-1] for club in (START, now))
    assert shown.label == "swingweight"
    assert shown.change_said(then) == f"({said[2]} points)"


def test_some_of_them_would_differ_if_the_difference_were_rounded_by_itself():
    """C9.6 beside C9.5 with +0.0 points: two numbers on either side of a half, hardly apart."""
    apart = [
        round((now.swingweight_oz_in - START.swingweight_oz_in) / POINT_OZ_IN, 1)
        - (points(now.swingweight) - points(START.swingweight))
        for now in CUT
    ]
    assert max(map(abs, apart)) > 0.05


def test_a_difference_in_words_has_no_sign_and_says_nothing_of_what_does_not_show():
    assert more_or_less(-0.049, "cpm", 1, "before") == "the same as before"
    assert more_or_less(-0.051, "cpm", 1, "before") == "0.1 cpm less than before"
    assert more_or_less(2.0, "in", 2, "the rule") == "2.00 in more than the rule"
