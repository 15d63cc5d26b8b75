"""The flex scale: the shaft's own schedule anchors it, place and frequency go back and forth, nothing is continued."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimkit.club.flexscale import FlexScale
from trimkit.club.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError

BUILT = build_set(shipped_order())
SCALE = FlexScale(("A", "R", "S"), (330.0, 340.0, 352.0))


@given(st.floats(0, 2))
def test_place_and_frequency_go_back_and_forth(place):
    assert SCALE.place(SCALE.at_place(place)) == pytest.approx(place, abs=1e-12)


@given(st.floats(330, 352), st.floats(330, 352))
def test_a_higher_frequency_has_a_higher_place(low, high):
    assert (SCALE.place(low) <= SCALE.place(high)) or low > high


def test_place_is_linear_between_neighbours():
    # numpy's piecewise linear interpolation is the independent way to say the same.
    for cpm in np.linspace(330, 352, 45):
        assert SCALE.place(cpm) == pytest.approx(np.interp(cpm, SCALE.frequency_cpm, (0, 1, 2)), abs=1e-12)


@pytest.mark.parametrize("club", BUILT.clubs, ids=lambda club: club.plan.club)
def test_a_club_cut_to_the_middle_flex_stands_on_it(club):
    assert club.flex_scale.place(club.frequency_cpm) == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize("cpm", [329.9, 352.1, float("nan"), float("inf")])
def test_nothing_is_continued_past_the_last_flex(cpm):
    with pytest.raises(ModelError, match="between two flexes"):
        SCALE.place(cpm)


@pytest.mark.parametrize("place", [-0.01, 2.01, float("nan")])
def test_no_place_outside_the_scale(place):
    with pytest.raises(ModelError, match="0 to 2"):
        SCALE.at_place(place)


def test_a_single_flex_has_no_places_between():
    single = FlexScale(("R",), (310.0,))
    assert single.at_place(0) == 310.0
    with pytest.raises(ModelError, match="between two flexes"):
        single.place(310.0)


def test_the_gap_on_the_side_one_looks_to_counts():
    assert SCALE.parts_of_a_flex(337.5, 340.0) == pytest.approx(-0.25)
    assert SCALE.parts_of_a_flex(343.0, 340.0) == pytest.approx(0.25)
    assert FlexScale(("R",), (310.0,)).parts_of_a_flex(305.0, 310.0) == pytest.approx(-0.5)


@pytest.mark.parametrize(
    ("flexes", "cpm"), [(("A", "R"), (340.0, 340.0)), (("A", "R"), (340.0,)), ((), ()), (("A", "R"), (341.0, 340.0))]
)
def test_a_scale_that_does_not_rise_is_refused(flexes, cpm):
    with pytest.raises(ModelError, match="rising"):
        FlexScale(flexes, cpm)
