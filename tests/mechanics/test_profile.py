"""What a shaft is along its length, and what is left after cuts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from trimkit.mechanics.profile import Profile, cut_butt, cut_tip, shaft_profile, steel_profile
from trimkit.mechanics.tube import tube_mass_g_per_m, wall_factor_for
from trimkit.parts.components import FlexKind, Material, Shaft, Station, TipKind, TubeSection
from trimkit.parts.errors import ModelError, WallsUnknown

ARRAYS = [
    "edges_in",
    "ei_low_n_m2",
    "ei_high_n_m2",
    "mass_low_g_per_m",
    "mass_high_g_per_m",
    "outer_low_in",
    "outer_high_in",
]
laws = settings(max_examples=60, deadline=None)
both = pytest.mark.parametrize("kind", ["steel", "graphite"])


@pytest.fixture
def shafts(profile, wood_profile):
    return {"steel": profile, "graphite": wood_profile}


@both
def test_a_cut_of_nothing_is_the_identity(shafts, kind):
    for left in (cut_tip(shafts[kind], 0.0), cut_butt(shafts[kind], 0.0)):
        for name in ARRAYS:
            assert np.array_equal(getattr(left, name), getattr(shafts[kind], name))
        assert left.tip_section_in == shafts[kind].tip_section_in


cuts = st.one_of(st.just(0.0), st.floats(0.001, 15))


@laws
@given(tip=cuts, butt=cuts, stations=st.booleans())
def test_mass_and_moment_are_conserved_by_cuts(profile, wood_profile, tip, butt, stations):
    whole = wood_profile if stations else profile
    left = cut_butt(cut_tip(whole, tip), butt)
    pieces = [(float(left.mass_g), float(left.centre_from_tip_in) + tip)]
    length = float(whole.length_in)
    for low, high in ((0.0, tip), (length - butt, length)):
        if high > low:
            piece = whole.section(low, high)
            pieces.append((float(piece.mass_g), float(piece.centre_from_tip_in)))
    assert sum(m for m, _ in pieces) == pytest.approx(float(whole.mass_g), rel=1e-12)
    assert sum(m * x for m, x in pieces) == pytest.approx(float(whole.mass_g * whole.centre_from_tip_in), rel=1e-12)


@laws
@given(first=st.floats(0, 8), second=st.floats(0, 8), stations=st.booleans())
def test_two_cuts_are_one(profile, wood_profile, first, second, stations):
    whole = wood_profile if stations else profile
    twice, once = cut_tip(cut_tip(whole, first), second), cut_tip(whole, first + second)
    assert float(twice.length_in) == pytest.approx(float(once.length_in), rel=1e-14)
    places = np.linspace(0, float(once.length_in) * 0.999, 50)
    assert twice.mass_g == pytest.approx(once.mass_g, rel=1e-12)
    assert twice.tip_section_in == pytest.approx(once.tip_section_in, abs=1e-12)
    if stations:
        assert twice.ei_at(places) == pytest.approx(once.ei_at(places), rel=1e-12)


@both
def test_what_is_left_is_what_was_there(shafts, kind):
    whole = shafts[kind]
    left = cut_butt(cut_tip(whole, 3.25), 2.5)
    places = np.linspace(0.05, float(left.length_in) - 0.05, 101)
    assert left.ei_at(places) == pytest.approx(whole.ei_at(places + 3.25), rel=1e-12)
    assert left.mass_at(places) == pytest.approx(whole.mass_at(places + 3.25), rel=1e-12)
    assert left.outer_at(places) == pytest.approx(whole.outer_at(places + 3.25), rel=1e-12)
    assert left.tip_diameter_in == pytest.approx(float(whole.outer_at(3.25)), rel=1e-12)
    assert left.butt_diameter_in == pytest.approx(float(whole.outer_at(float(whole.length_in) - 2.5)), rel=1e-12)
    assert left.tip_section_in == pytest.approx(whole.tip_section_in - 3.25)


def test_a_cut_through_steps_drops_them(profile):
    assert len(cut_tip(profile, 14.0).edges_in) < len(profile.edges_in)
    assert (np.diff(cut_tip(profile, 11.5).edges_in) > 0).all()


def test_stations_are_joined_by_straight_lines(wood_profile):
    assert float(wood_profile.ei_at(6.9)) == pytest.approx((21.5 + 24) / 2)
    # Trapezia: exact for a linear mass per length; 0.0254 m in an inch.
    mass = trapezoid([62, 58, 55, 53, 51.5, 50.5, 50, 49, 48, 47.5, 47], dx=4.6 * 0.0254)
    assert wood_profile.mass_g == pytest.approx(mass, rel=1e-13)


def test_section_is_a_body(profile):
    # One segment: a rod.
    rod = profile.section(1.0, 4.0)
    assert rod.centre_from_tip_in == pytest.approx(2.5)
    assert rod.mass_g == pytest.approx(float(tube_mass_g_per_m(0.37, 0.0145)) * 3 * 0.0254)
    assert rod.inertia_g_cm2 == pytest.approx(rod.mass_g * (3 * 2.54) ** 2 / 12)


def steel_shaft(raw_mass_g):
    sections = (TubeSection(0, 12, 0.37, 0.016), TubeSection(12, 41, 0.58, 0.014))
    return Shaft(
        "steel parallel",
        Material.STEEL,
        TipKind.PARALLEL,
        FlexKind.DISCRETE,
        ("R",),
        41,
        raw_mass_g,
        0.37,
        0.58,
        12,
        sections=sections,
    )


def graphite_shaft(raw_mass_g):
    stations = (Station(0, 22, 60, 0.335), Station(46, 60, 50, 0.6))
    return Shaft(
        "graphite wood",
        Material.GRAPHITE,
        TipKind.PARALLEL,
        FlexKind.DISCRETE,
        ("R",),
        46,
        raw_mass_g,
        0.335,
        0.6,
        7,
        stations=stations,
    )


def test_mass_by_geometry_is_left_alone_unless_asked():
    profile = shaft_profile(steel_shaft(130))
    by_hand = (
        7850e3
        * np.pi
        * sum((d - t) * t * length * 0.0254**3 for d, t, length in ((0.37, 0.016, 12), (0.58, 0.014, 29)))
    )
    assert profile.mass_g == pytest.approx(by_hand, rel=1e-12)
    assert (profile.scaled, profile.scale_factor, profile.tip_section_in) == ("nothing", 1.0, 12)


@pytest.mark.parametrize("raw_mass_g", [90.0, 110.0])
def test_walls_give_way_to_the_weighed_mass(raw_mass_g):
    plain, scaled = shaft_profile(steel_shaft(raw_mass_g)), shaft_profile(steel_shaft(raw_mass_g), match_mass="wall")
    assert scaled.mass_g == pytest.approx(raw_mass_g, rel=1e-12)
    assert scaled.scaled == "wall"
    heavier = raw_mass_g > plain.mass_g
    assert (scaled.scale_factor > 1) == heavier
    assert (scaled.ei_low_n_m2 > plain.ei_low_n_m2).all() == heavier
    assert np.array_equal(scaled.outer_low_in, plain.outer_low_in)


@pytest.mark.parametrize("shaft", [steel_shaft(110.0), graphite_shaft(66.0)])
def test_density_gives_way_to_the_weighed_mass(shaft):
    plain, scaled = shaft_profile(shaft), shaft_profile(shaft, match_mass="density")
    assert scaled.mass_g == pytest.approx(shaft.raw_mass_g, rel=1e-12)
    assert scaled.scaled == "density"
    assert scaled.scale_factor == pytest.approx(shaft.raw_mass_g / float(plain.mass_g))
    assert np.array_equal(scaled.ei_low_n_m2, plain.ei_low_n_m2)


def test_a_profile_cannot_be_written_to(profile):
    with pytest.raises(ValueError, match="read-only"):
        profile.edges_in[0] = 1.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda p: cut_tip(p, -0.5), "tip_trim_in is -0.5"),
        (lambda p: cut_butt(p, 41.0), "butt_trim_in is 41"),
        (lambda p: cut_tip(p, float("nan")), "tip_trim_in is nan"),
        (lambda p: cut_tip(p, np.array([1.0, 2.0])), "tip_trim_in is an array"),
        (lambda p: p.section(5.0, [6.0, 4.0]), "to_tip_in - from_tip_in is -1 at batch index 1"),
        (lambda p: p.section(-1.0, 4.0), "from_tip_in is -1"),
        (lambda p: p.section(1.0, 42.0), "to_tip_in is 42"),
        (lambda p: p.ei_at([1.0, 41.5]), "from_tip_in is 41.5 at batch index 1"),
        (lambda p: shaft_profile(graphite_shaft(60.0), match_mass="wall"), "for graphite"),
        (lambda p: shaft_profile(steel_shaft(2000.0), match_mass="wall"), "raw mass 2000 g"),
        (lambda p: steel_profile([TubeSection(0, 40, 0.4, 0.015)], wall_factor=0.0), "wall_factor is 0"),
        (lambda p: steel_profile([TubeSection(0, 40, 0.4, 0.015)], wall_factor=15.0), "wall_factor is 15"),
    ],
)
def test_what_no_cut_can_be_is_refused(profile, call, message):
    with pytest.raises(ModelError, match=message):
        call(profile)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"ei_low_n_m2": [20.0, 0.0]}, "ei_low_n_m2 is 0 at batch index 1"),
        ({"mass_high_g_per_m": [-60.0, 60.0]}, "mass_high_g_per_m is -60 at batch index 0"),
        ({"ei_high_n_m2": [20.0, float("nan")]}, "ei_high_n_m2 is nan at batch index 1"),
        ({"edges_in": [0.0, 20.0, 10.0]}, "a segment's length in inches is -10"),
        ({"edges_in": [0.0, 0.0, 0.0]}, "the shaft's length in inches is 0"),
        ({"outer_low_in": [0.4]}, "outer_low_in has shape"),
    ],
)
def test_what_no_shaft_can_be_is_refused(changes, message):
    values = {name: [20.0, 60.0] for name in ARRAYS} | {"edges_in": [0.0, 20.0, 40.0]} | changes
    with pytest.raises(ModelError, match=message):
        Profile(**{name: np.array(value) for name, value in values.items()})


@pytest.mark.parametrize("sections", [(), (TubeSection(0.0, 12.0, 0.37, None), TubeSection(12.0, 41.0, 0.6, None))])
@pytest.mark.parametrize("match", ["no", "wall", "density"])
def test_a_steel_shaft_without_walls_has_no_profile(sections, match):
    flexes = (FlexKind.DISCRETE, ("R",), 41.0, 110.0, 0.37, 0.6, 12.0)
    shaft = Shaft("X", Material.STEEL, TipKind.PARALLEL, *flexes, sections=sections)
    with pytest.raises(WallsUnknown, match="no tube walls are known for shaft 'X'"):
        shaft_profile(shaft, match_mass=match)


def test_a_graphite_shaft_without_stations_has_no_profile():
    shaft = Shaft("X", Material.GRAPHITE, TipKind.PARALLEL, FlexKind.DISCRETE, ("R",), 46.0, 60.0, 0.335, 0.6, 5.0)
    with pytest.raises(WallsUnknown, match="stiffness"):
        shaft_profile(shaft)


@pytest.mark.parametrize("walls", [(), (0.014, None), (None, None)])
def test_a_tube_needs_the_wall_of_every_section(walls):
    sections = [TubeSection(20.0 * n, 20.0 * (n + 1), 0.5, wall) for n, wall in enumerate(walls)]
    with pytest.raises(WallsUnknown):
        steel_profile(sections)
    with pytest.raises(WallsUnknown):
        wall_factor_for(sections, 100.0)
