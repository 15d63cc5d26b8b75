"""First frequencies: laws that hold for every club, what the trade expects, and what is refused."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants

from trimkit.mechanics.beam import CPM_PER_RAD_S, first_frequency, first_shape, tip_deflection
from trimkit.mechanics.clamped import bench_of, cantilevers
from trimkit.mechanics.profile import Profile, cut_butt, cut_tip, steel_profile
from trimkit.mechanics.tube import tube_ei_n_m2, tube_mass_g_per_m
from trimkit.parts.components import TubeSection
from trimkit.parts.errors import ModelError

laws = settings(max_examples=40, deadline=None)


def cpm(profile, **club):
    return first_frequency(profile, **club).frequency_cpm


@st.composite
def clubs(draw):
    trim = draw(st.floats(0, 4))
    return {
        "tip_trim_in": trim,
        "cut_length_in": draw(st.floats(33, 40.5 - trim)),
        "bbgl_in": draw(st.floats(-0.2, 1.5)),
        "bore_depth_in": draw(st.floats(0.75, 1.75)),
        "cap_thickness_in": draw(st.floats(0.05, 0.3)),
        "head_mass_g": draw(st.floats(180, 320)),
        "cg_height_in": draw(st.floats(0.6, 1.2)),
        "inertia_g_cm2": draw(st.floats(0, 5000)),
    }


@laws
@given(club=clubs(), more=st.floats(0.01, 60))
def test_a_heavier_head_is_slower(profile, club, more):
    assert cpm(profile, **club | {"head_mass_g": club["head_mass_g"] + more}) < cpm(profile, **club)


@laws
@given(club=clubs(), more=st.floats(1, 5000))
def test_a_head_with_more_inertia_is_slower(profile, club, more):
    assert cpm(profile, **club | {"inertia_g_cm2": club["inertia_g_cm2"] + more}) < cpm(profile, **club)


@laws
@given(club=clubs(), more=st.floats(0.01, 0.5))
def test_more_tip_trim_is_faster(profile, club, more):
    # The same cut length: less is cut from the butt.
    assert cpm(profile, **club | {"tip_trim_in": club["tip_trim_in"] + more}) > cpm(profile, **club)


@laws
@given(club=clubs(), more=st.floats(0.01, 0.5))
def test_a_longer_club_is_slower(profile, club, more):
    assert cpm(profile, **club | {"cut_length_in": club["cut_length_in"] + more}) < cpm(profile, **club)


@laws
@given(club=clubs(), more=st.floats(0.01, 0.5))
def test_a_taller_hosel_left_uncorrected_is_slower(profile, club, more):
    # BBGL grows at the same playing length and tip trim: softer tube stands above the hosel.
    taller = {"bbgl_in": club["bbgl_in"] + more, "cut_length_in": club["cut_length_in"] - more}
    assert cpm(profile, **club | taller) < cpm(profile, **club)


@laws
@given(club=clubs())
def test_four_times_the_stiffness_doubles_the_frequency(profile, club):
    once, twice = cpm(profile, **club, ei_factor=[1.0, 4.0])
    assert twice == pytest.approx(2 * once, rel=1e-12)


@laws
@given(club=clubs(), factor=st.floats(0.5, 2))
def test_all_masses_scaled_together_scale_the_frequency_by_the_root(profile, club, factor):
    scaled = {name: club[name] * factor for name in ("head_mass_g", "inertia_g_cm2")}
    assert cpm(profile, **club | scaled, mass_factor=factor) == pytest.approx(
        cpm(profile, **club) / math.sqrt(factor), rel=1e-10
    )


@laws
@given(club=clubs(), share=st.floats(0.05, 0.95))
def test_trimming_the_profile_first_is_the_same_club(profile, club, share):
    trimmed = club["tip_trim_in"] * share
    left = cut_tip(profile, trimmed)
    left = cut_butt(left, float(left.length_in) - (club["tip_trim_in"] - trimmed) - club["cut_length_in"])
    rest = club | {"tip_trim_in": club["tip_trim_in"] - trimmed}
    assert cpm(left, **rest) == pytest.approx(cpm(profile, **club), rel=1e-9)


@laws
@given(
    outer=st.floats(0.35, 0.65),
    wall=st.floats(0.01, 0.03),
    free=st.floats(20, 40),
    mass=st.floats(10, 400),
)
def test_dunkerley_below_exact_below_rayleigh_with_33_140ths_of_the_shaft(outer, wall, free, mass):
    # Rayleigh's quotient of the static shape: the beam acts at the tip with 33/140 of its mass (Lord Rayleigh; any
    # textbook). Dunkerley: 1/omega^2 < 1/omega_beam^2 + 1/omega_mass^2, with 3.516 for the bare cantilever.
    tube = steel_profile([TubeSection(0, free + 5, outer, wall)])
    length, ei = free * constants.inch, float(tube_ei_n_m2(outer, wall))
    beam_kg, tip_kg = float(tube_mass_g_per_m(outer, wall)) * 1e-3 * length, mass * 1e-3
    none = dict.fromkeys(("tip_trim_in", "bbgl_in", "bore_depth_in", "cap_thickness_in", "cg_height_in"), 0.0)
    ours = cpm(tube, **none, cut_length_in=free + 5, head_mass_g=mass, inertia_g_cm2=0.0)
    rayleigh = math.sqrt(3 * ei / (length**3 * (tip_kg + 33 / 140 * beam_kg))) * 60 / (2 * math.pi)
    squared_period_ratio = beam_kg * length**3 / (3.516015**2 * ei) + tip_kg * length**3 / (3 * ei)
    dunkerley = 60 / (2 * math.pi * math.sqrt(squared_period_ratio))
    assert dunkerley < ours < rayleigh


def test_batch_of_clubs_and_parameters_is_the_loop(profile, iron):
    masses, factors = np.linspace(240, 300, 4), np.array([[0.95], [1.0], [1.05]])
    result = first_frequency(profile, **iron | {"head_mass_g": masses}, ei_factor=factors)
    assert result.frequency_cpm.shape == result.relative_error.shape == (3, 4)
    for i, j in np.ndindex(3, 4):
        one = first_frequency(profile, **iron | {"head_mass_g": masses[j]}, ei_factor=factors[i, 0])
        assert result.frequency_cpm[i, j] == pytest.approx(one.frequency_cpm, rel=1e-12)


def test_batches_beyond_one_chunk_are_the_same_clubs(wood_profile, driver):
    masses = np.linspace(190, 215, 1201)
    many = cpm(wood_profile, **driver | {"head_mass_g": masses})
    some = cpm(wood_profile, **driver | {"head_mass_g": masses[::300]})
    assert many[::300] == pytest.approx(some, rel=1e-12)
    assert (np.diff(many) < 0).all()


def test_a_single_club_gives_plain_numbers(profile, iron):
    result = first_frequency(profile, **iron)
    assert isinstance(result.frequency_cpm, float)
    assert isinstance(result.relative_error, float)
    assert result.clamp_in == 5.0
    assert result.root_spring_n_m_per_rad is None


def test_a_clamp_that_gives_reads_lower_and_a_stiff_one_does_not(profile, iron):
    springs = np.array([500.0, 5e3, 5e4, 1e12])
    soft = cpm(profile, **iron, root_spring_n_m_per_rad=springs)
    rigid = cpm(profile, **iron)
    assert (np.diff(soft) > 0).all()
    assert soft[-1] == pytest.approx(rigid, rel=1e-8)


def test_shape_falls_from_the_hosel_to_the_clamp(profile, iron):
    swing = first_shape(profile, **iron | {"head_mass_g": np.array([250.0, 270.0])})
    assert swing.from_tip_in.shape == swing.deflection.shape
    assert swing.from_tip_in[:, 0] == pytest.approx([3.25, 3.25])
    assert swing.from_tip_in[:, -1] == pytest.approx([33.1, 33.1])
    assert swing.deflection[:, 0] == pytest.approx([1, 1])
    assert swing.deflection[:, -1] == pytest.approx([0, 0], abs=1e-15)
    assert (np.diff(swing.deflection, axis=1) <= 0).all()
    assert swing.frequency_cpm == pytest.approx(cpm(profile, **iron | {"head_mass_g": np.array([250.0, 270.0])}))


@pytest.mark.parametrize("spring", [None, 2000.0])
def test_frequency_and_shape_agree_with_the_general_eigen_solver(profile, iron, eigen, spring):
    club = iron | {"root_spring_n_m_per_rad": spring}
    swing = first_shape(profile, **club)
    beams = cantilevers(profile.divided(2.5), bench_of(profile, club)[1])
    (omega,), (deflection,) = eigen(beams)
    assert swing.frequency_cpm == pytest.approx(omega * CPM_PER_RAD_S, rel=1e-8)
    assert swing.frequency_cpm == pytest.approx(cpm(profile, **club), rel=1e-9)
    assert swing.deflection[:-1][beams.lengths[:, 0] > 0] == pytest.approx(deflection / deflection[0], abs=1e-6)


def test_tip_deflection_of_a_uniform_tube_is_the_textbooks():
    tube = steel_profile([TubeSection(0, 41, 0.5, 0.015)])
    length, ei = 36 * constants.inch, float(tube_ei_n_m2(0.5, 0.015))
    bent = tip_deflection(tube, force_n=np.array([5.0, 10.0]), root_spring_n_m_per_rad=2000.0)
    by_hand = np.array([5.0, 10.0]) * (length**3 / (3 * ei) + length**2 / 2000)
    assert bent.deflection_in * constants.inch == pytest.approx(by_hand, rel=1e-12)
    assert bent.along_in[:, 0] == pytest.approx(bent.deflection_in)
    assert bent.along_in[:, -1] == pytest.approx([0, 0])
    assert bent.from_tip_in[:, [0, -1]] == pytest.approx(np.array([[0, 36], [0, 36]]))
    assert bent.slope_rad == pytest.approx(np.array([5.0, 10.0]) * (length**2 / (2 * ei) + length / 2000), rel=1e-12)


def test_half_an_inch_of_tip_trim_is_worth_a_few_cpm(profile, iron):
    # Common practice, no source: combination shafts gain a flex (about 10 cpm) by 1 to 2 in of tip trim.
    before, after = cpm(profile, **iron | {"tip_trim_in": np.array([2.0, 2.5])})
    assert 2.5 < after - before < 6


def test_tip_trim_by_the_same_amount_makes_good_a_larger_bbgl(profile, iron):
    # Trade rule (derived: the steps then stand at the same height); what it leaves is about 1 cpm in half an inch.
    taller = {"bbgl_in": 1.5, "cut_length_in": 35.5}
    before = cpm(profile, **iron)
    uncorrected = cpm(profile, **iron | taller) - before
    corrected = cpm(profile, **iron | taller | {"tip_trim_in": 2.5}) - before
    assert -6 < uncorrected < -2
    assert 0 < corrected < 1


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"head_mass_g": [250.0, math.nan]}, "head_mass_g is nan at batch index 1"),
        ({"cut_length_in": math.inf}, "cut_length_in is inf"),
        ({"head_mass_g": [[250.0], [0.0]]}, r"head_mass_g is 0 at batch index \(1, 0\)"),
        ({"head_mass_g": -3.0}, "head_mass_g is -3"),
        ({"inertia_g_cm2": [1.0, -1.0]}, "inertia_g_cm2 is -1 at batch index 1"),
        ({"ei_factor": [1.0, 1.0, 0.0]}, "ei_factor is 0 at batch index 2"),
        ({"mass_factor": -1.0}, "mass_factor is -1"),
        ({"root_spring_n_m_per_rad": 0.0}, "root_spring_n_m_per_rad is 0"),
        ({"tip_trim_in": -0.5}, "tip_trim_in is -0.5"),
        ({"tip_trim_in": [2.0, 6.0]}, "tip_trim_in \\+ cut_length_in is 42 at batch index 1"),
        ({"clamp_in": 35.0}, "free length in inches between clamp and hosel is -0.15"),
        ({"clamp_in": 0.05}, "clamp_in is 0.05"),
        ({"bore_depth_in": [1.25, 10.0]}, "tip_trim_in \\+ bore_depth_in is 12 at batch index 1"),
        ({"cg_height_in": [0.9, 35.0]}, "head's center above the hosel's top is 32.75 at batch index 1"),
        ({"head_mass_g": []}, r"an empty batch \(head_mass_g\)"),
        ({"head_mass_g": [250.0] * 3, "tip_trim_in": [1.0] * 2}, "shapes that do not fit: .*tip_trim_in \\(2,\\)"),
        ({"head_mass_g": "heavy"}, "head_mass_g is 'heavy'"),
    ],
)
def test_what_no_club_can_be_is_refused_with_its_place_in_the_batch(profile, iron, changes, message):
    with pytest.raises(ModelError, match=message) as refusal:
        first_frequency(profile, **iron | changes)
    assert refusal.value.allowed
    assert refusal.value.next_step


def test_a_frequency_that_cannot_be_bounded_is_refused(iron):
    # Stiffness that falls by six orders inside one segment: no halving resolves it to 1e-9.
    edges, one = np.array([0.0, 41.0]), np.ones(1)
    wild = Profile(edges, 1e-6 * one, 60 * one, 60 * one, 60 * one, 0.4 * one, 0.4 * one)
    with pytest.raises(ModelError, match="relative error"):
        first_frequency(wild, **iron | {"tip_trim_in": 0.0, "bore_depth_in": 0.0, "cut_length_in": [41.0, 40.0]})
