"""Three clubs, alike but for the shaft's stiffness: l-flex 217, r-flex 245 and x-flex 272 cpm.

N. Betzler, The Effect of Differing Shaft Dynamics on the Biomechanics of the Golf Swing, PhD thesis, Edinburgh Napier
University, abstract.

The abstract says that they were matched in all properties but bending stiffness. How the letters between them (A, S)
lie is not in it: even spacing is an assumption. It says nothing of irons.
"""

import pytest

from trimkit.club.flexscale import CPM_PER_FLEX, FlexScale, cpm_a_letter

L_CPM, R_CPM, X_CPM = 217, 245, 272  # as printed, to a whole cpm


def test_a_letter_of_l_a_r():
    assert cpm_a_letter([("L", L_CPM), ("R", R_CPM)]) == (R_CPM - L_CPM) / 2 == 14


def test_a_letter_of_r_s_x():
    assert cpm_a_letter([("R", R_CPM), ("X", X_CPM)]) == (X_CPM - R_CPM) / 2 == 13.5


def test_the_mean_of_both_is_what_counts_as_one_flex_where_a_shaft_has_one():
    assert CPM_PER_FLEX == (14 + 13.5) / 2
    assert FlexScale(("R",), (float(R_CPM),)).flexes_apart(L_CPM, R_CPM) == pytest.approx(-2, abs=0.05)
    assert FlexScale(("R",), (float(R_CPM),)).flexes_apart(X_CPM, R_CPM) == pytest.approx(2, abs=0.05)


def test_a_letter_that_is_none_of_the_five_has_no_place():
    with pytest.raises(ValueError, match="not in tuple"):
        cpm_a_letter([("L", L_CPM), ("M", R_CPM)])
