"""First frequencies: laws that hold for every club."""

import numpy as np
import pytest

from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.profile import steel_profile
from trimkit.parts.components import TubeSection


@pytest.fixture
def profile():
    outer = np.linspace(0.370, 0.580, 18)
    edges = np.concatenate(([0.0], np.linspace(11.5, 33.0, 17), [41.0]))
    pieces = zip(edges[:-1], edges[1:], outer, strict=True)
    return steel_profile([TubeSection(low, high, od, 0.0145) for low, high, od in pieces], tip_section_in=11.5)


IRON = {
    "tip_trim_in": 2.0,
    "cut_length_in": 36.0,
    "bbgl_in": 1.0,
    "bore_depth_in": 1.25,
    "cap_thickness_in": 0.1,
    "head_mass_g": 262.0,
    "cg_height_in": 0.9,
    "inertia_g_cm2": 2500.0,
}


def test_a_heavier_head_is_slower(profile):
    cpm = first_frequency(profile, **IRON | {"head_mass_g": np.linspace(240, 300, 7)}).frequency_cpm
    assert (np.diff(cpm) < 0).all()
