"""What the model leaves out: sizes for a typical iron, each against a computation by other means where there is one."""

import numpy as np
import pytest
from scipy import linalg

from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.neglected import neglected_effects, refined
from trimkit.parts.errors import ModelError


@pytest.fixture
def effects(profile, iron):
    return {n.effect: n.change_cpm for n in neglected_effects(profile, **iron)}


# Largest size of each for a typical iron, cpm: what DEVELOPERS.md states.
SIZES = {
    "shear of the shaft": (-0.1, 0),
    "rotary inertia of the shaft's own sections": (-0.002, 0),
    "twist: head's centre beside the axis, swing across the face": (-3, -0.5),
    "head's centre beside the axis, swing in the plane of the face": (-2, -0.3),
    "hosel that bends": (-0.02, 0),
    "rubber grip between shaft and clamp": (-12, -2),
    "grip's mass below the clamp": (-0.01, 0),
    "gravity, club hanging (none if it lies level)": (1, 3),
    "damping": (-0.01, 0),
}


def test_each_effect_has_the_size_that_is_stated(effects):
    assert effects.keys() == SIZES.keys()
    for effect, (low, high) in SIZES.items():
        assert low < effects[effect] < high, effect


def timoshenko_cpm(profile, club, shear_coefficient, rotary):
    """Linear Timoshenko elements by matrices, shear locking kept off by one-point integration; many elements."""
    young, density, nu = 210e9, 7850.0, 0.3
    low = (club["tip_trim_in"] + club["bore_depth_in"]) * 0.0254
    high = (club["tip_trim_in"] + club["cut_length_in"] + club["cap_thickness_in"] - 5.0) * 0.0254
    # More elements would lose the small differences to rounding.
    count = 120
    ends = np.linspace(0, high - low, count + 1)
    middle = ((ends[1:] + ends[:-1]) / 2 + low) / 0.0254
    h = ends[1] - ends[0]
    ei = profile.ei_at(middle)
    mu = profile.mass_at(middle) * 1e-3
    ga = shear_coefficient * young / (2 * (1 + nu)) * mu / density
    turning = density * ei / young * rotary
    bands = np.zeros((2, 4, 2 * count + 2))
    # Unknowns w, theta; gamma = dw/dt - theta.
    bend = np.array([0, -1, 0, 1]) / h
    shear = np.array([-1 / h, -0.5, 1 / h, -0.5])
    for e in range(count):
        k = ei[e] * h * np.outer(bend, bend) + ga[e] * h * np.outer(shear, shear)
        m = np.diag([mu[e], turning[e], mu[e], turning[e]]) * h / 2
        for i in range(4):
            for j in range(i, 4):
                bands[0, 3 - (j - i), 2 * e + j] += k[i, j]
                bands[1, 3 - (j - i), 2 * e + j] += m[i, j]
    head = club["head_mass_g"] * 1e-3
    offset = (club["bbgl_in"] + club["bore_depth_in"] - club["cg_height_in"]) * 0.0254
    inertia = club["inertia_g_cm2"] * 1e-7
    bands[1, 3, 0] += head
    bands[1, 3, 1] += inertia + head * offset**2
    bands[1, 2, 1] += -head * offset
    stiffness, mass = bands[:, :, :-2]
    # Inverse iteration on banded matrices.
    v = np.ones(stiffness.shape[1])

    def times(band, x):
        y = band[3] * x
        for d in (1, 2, 3):
            y[d:] += band[3 - d, d:] * x[:-d]
            y[:-d] += band[3 - d, d:] * x[d:]
        return y

    factor = linalg.cholesky_banded(stiffness)
    for _ in range(8):
        load = times(mass, v)
        new = linalg.cho_solve_banded((factor, False), load)
        omega2 = (new @ load) / (new @ times(mass, new))
        v = new / np.abs(new).max()
    return np.sqrt(omega2) * 60 / (2 * np.pi)


def test_shear_and_rotary_inertia_agree_with_timoshenko_elements(profile, iron, effects):
    coefficient = 2 * 1.3 / (4 + 3 * 0.3)
    stiff = timoshenko_cpm(profile, iron, coefficient * 1e3, 0.0)
    sheared = timoshenko_cpm(profile, iron, coefficient, 0.0)
    turning = timoshenko_cpm(profile, iron, coefficient * 1e3, 1.0)
    assert sheared - stiff == pytest.approx(effects["shear of the shaft"], rel=0.05)
    assert turning - stiff == pytest.approx(effects["rotary inertia of the shaft's own sections"], rel=0.1)


def test_more_places_change_no_frequency(profile, iron):
    fine = refined(profile, [3.3, 20.0, 33.1])
    assert len(fine.edges_in) == len(profile.edges_in) + 3
    assert first_frequency(fine, **iron).frequency_cpm == pytest.approx(
        first_frequency(profile, **iron).frequency_cpm, rel=1e-9
    )


def test_no_offset_no_twist(profile, iron):
    effects = {n.effect: n.change_cpm for n in neglected_effects(profile, heel_toe_offset_in=0.0, **iron)}
    assert effects["twist: head's centre beside the axis, swing across the face"] == pytest.approx(0, abs=1e-9)
    assert effects["head's centre beside the axis, swing in the plane of the face"] == pytest.approx(0, abs=1e-9)


def test_refuses_batches_and_stations(profile, wood_profile, iron, driver):
    with pytest.raises(ModelError, match=r"a batch of shape \(2,\)"):
        neglected_effects(profile, **iron | {"head_mass_g": np.array([250.0, 260.0])})
    with pytest.raises(ModelError, match="shaft of stations"):
        neglected_effects(wood_profile, **driver)
