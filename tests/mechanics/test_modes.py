"""Several modes of one club by the general eigen-solver."""

import numpy as np
import pytest

from trimkit.mechanics.beam import first_frequency, first_shape
from trimkit.mechanics.modes import club_modes
from trimkit.parts.errors import ModelError


def test_first_mode_is_the_one_of_the_inverse_iteration(profile, iron):
    modes = club_modes(profile, count=3, **iron)
    result = first_frequency(profile, **iron)
    assert modes.frequency_cpm[0] == pytest.approx(result.frequency_cpm, rel=1e-8)
    assert (np.diff(modes.frequency_cpm) > 0).all()
    assert modes.relative_error.max() < 1e-5


def test_first_shape_is_the_one_of_the_inverse_iteration(profile, iron):
    modes, swing = club_modes(profile, **iron), first_shape(profile, **iron)
    # Both are known at element ends; those of the coarser are among those of the finer.
    nearest = np.abs(modes.from_tip_in[:, None] - swing.from_tip_in).argmin(axis=0)
    shared = np.abs(modes.from_tip_in[nearest] - swing.from_tip_in) < 1e-9
    assert shared.sum() > 20
    assert modes.deflection[0, nearest[shared]] == pytest.approx(swing.deflection[shared], abs=1e-6)


def test_with_a_clamp_that_gives(profile, iron):
    soft = iron | {"root_spring_n_m_per_rad": 2000.0}
    assert club_modes(profile, count=1, **soft).frequency_cpm[0] == pytest.approx(
        first_frequency(profile, **soft).frequency_cpm, rel=1e-8
    )


def test_a_higher_mode_has_one_node_more(wood_profile, driver):
    # A light head: with a heavy one the last node lies in the head, not on the shaft.
    modes = club_modes(wood_profile, count=4, **driver | {"head_mass_g": 1.0, "inertia_g_cm2": 0.0})
    signs = np.sign(modes.deflection[:, :-1])
    assert list((np.diff(signs, axis=1) != 0).sum(axis=1)) == [0, 1, 2, 3]
    assert np.abs(modes.deflection).max(axis=1) == pytest.approx(np.ones(4))
    assert modes.deflection[:, -1] == pytest.approx(np.zeros(4))


def test_refuses_a_batch_and_too_many_modes(profile, iron):
    with pytest.raises(ModelError, match=r"a batch of shape \(2,\)"):
        club_modes(profile, **iron | {"head_mass_g": np.array([250.0, 260.0])})
    with pytest.raises(ModelError, match="7 modes"):
        club_modes(profile, count=7, **iron)
