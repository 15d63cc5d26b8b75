"""The derivatives that the calibration goes by, against SciPy's own differences."""

import numpy as np
import pytest
from scipy.differentiate import jacobian

from trimkit.club.card import card_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.shop.calibrationmodel import CalibrationModel

STEEL = [card_of(club.plan) for club in build_set(shipped_order()).clubs][:3]
WOODS = [card_of(club.plan) for club in build_set(shipped_order("wood_pair")).clubs]
MODEL = CalibrationModel([*STEEL, *WOODS], np.array([0, 0, 0, 1, 1]))


@pytest.mark.parametrize("point", [(0.97, 1.05, 0.8), (1.3, 0.7, 0.01)])
def test_derivatives_are_those_of_scipys_adaptive_differences(point):
    def cpm(x):  # scipy asks for many points at once, the parts of the point first
        flat = x.reshape(3, -1)
        return np.array([MODEL.cpm(column) for column in flat.T]).T.reshape(5, *x.shape[1:])

    reference = jacobian(cpm, np.array(point), initial_step=1e-3).df
    assert MODEL.derivatives(np.array(point)) == pytest.approx(reference, rel=1e-6, abs=1e-6)


def test_a_clamp_that_does_not_give_is_varied_upwards():
    rigid, hardly = (MODEL.derivatives(np.array([1.0, 1.0, c])) for c in (0.0, 2e-4))
    assert rigid == pytest.approx(hardly, rel=1e-3)
    assert (rigid[:, -1] < 0).all()
