"""A part with values no part can have is refused, and the sentence names the part and the field."""

import dataclasses
import math

import pytest

from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.components import FlexKind, Grip, Head, Material, Station, TipKind, TubeSection
from trimkit.parts.errors import ComponentError


@pytest.fixture(scope="module")
def parts():
    return load_catalogue()


@pytest.mark.parametrize(
    "field", ["head_mass_g", "bore_diameter_in", "bore_depth_in", "bbgl_in", "cg_height_in", "inertia_g_cm2"]
)
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_head_refuses_what_is_not_a_number(parts, field, value):
    head = next(iter(parts.heads.values()))
    with pytest.raises(ComponentError, match=field):
        dataclasses.replace(head, **{field: value})


@pytest.mark.parametrize("field", ["head_mass_g", "bore_diameter_in", "bore_depth_in"])
@pytest.mark.parametrize("value", [0.0, -1.0])
def test_a_head_refuses_zero_and_less(parts, field, value):
    head = next(iter(parts.heads.values()))
    with pytest.raises(ComponentError, match=f"{field} is {value:g}"):
        dataclasses.replace(head, **{field: value})


def test_a_bore_that_goes_through_is_allowed(parts):
    head = next(iter(parts.heads.values()))
    assert dataclasses.replace(head, bbgl_in=-0.25).hosel_top_in == head.bore_depth_in - 0.25


def test_a_gap_between_sections_is_refused_with_both_places(parts):
    shaft = parts.shafts["steel parallel 110 g combination"]
    with pytest.raises(ComponentError, match=r"starts at 10\.8667 in, the one before it ends at 0 in"):
        dataclasses.replace(shaft, sections=shaft.sections[2:])


def test_sections_that_end_short_of_the_raw_length_are_refused(parts):
    shaft = parts.shafts["steel parallel 110 g combination"]
    with pytest.raises(ComponentError, match="end at 37 in, its raw length is 42 in"):
        dataclasses.replace(shaft, sections=shaft.sections[:-1])


@pytest.mark.parametrize(
    ("kind", "flexes"),
    [(FlexKind.DISCRETE, ("R", "S")), (FlexKind.COMBINATION, ("R",)), (FlexKind.COMBINATION, ("R", "R"))],
)
def test_flexes_must_fit_the_kind_of_shaft(parts, kind, flexes):
    shaft = parts.shafts["steel parallel 110 g combination"]
    with pytest.raises(ComponentError, match="flex"):
        dataclasses.replace(shaft, flex_kind=kind, flexes=flexes)


def _of(parts, material):
    return next(shaft for shaft in parts.shafts.values() if shaft.material is material)


def _bare(section):
    return dataclasses.replace(section, wall_in=None)


def test_steel_has_no_stations_and_graphite_no_sections_nor_a_single_station(parts):
    steel, graphite = _of(parts, Material.STEEL), _of(parts, Material.GRAPHITE)
    for stations in (graphite.stations, graphite.stations[:1]):
        with pytest.raises(ComponentError, match=r"steel with \d+ stations"):
            dataclasses.replace(steel, stations=stations)
        with pytest.raises(ComponentError, match=r"steel with \d+ stations"):
            dataclasses.replace(steel, sections=(), stations=stations)
    with pytest.raises(ComponentError, match="1 stations"):
        dataclasses.replace(graphite, stations=graphite.stations[:1])
    for stations in ((), graphite.stations):
        with pytest.raises(ComponentError, match="and 1 tube sections"):
            dataclasses.replace(graphite, stations=stations, sections=steel.sections[:1])


def test_what_is_not_known_of_a_shaft_is_said_and_a_known_one_says_nothing(parts):
    steel, graphite = _of(parts, Material.STEEL), _of(parts, Material.GRAPHITE)
    assert (steel.unknown, graphite.unknown) == ("", "")
    walls = f"no tube walls are known for shaft {steel.name!r}"
    assert dataclasses.replace(steel, sections=()).unknown == walls
    steps_only = dataclasses.replace(steel, sections=tuple(map(_bare, steel.sections)))
    assert steps_only.unknown == walls
    assert "no stiffness and mass along its length" in dataclasses.replace(graphite, stations=()).unknown


@pytest.mark.parametrize("place", [0, 3, -1])
def test_walls_are_known_for_every_section_or_for_none(parts, place):
    steel = _of(parts, Material.STEEL)
    sections = list(steel.sections)
    sections[place] = _bare(sections[place])
    with pytest.raises(ComponentError, match=f"section at {sections[place].from_tip_in:g} in has no wall"):
        dataclasses.replace(steel, sections=tuple(sections))


@pytest.mark.parametrize("change", [{"to_tip_in": 3.0}, {"outer_diameter_in": 0.0}, {"from_tip_in": -1.0}])
def test_a_section_without_a_wall_is_still_a_section(parts, change):
    first = _bare(_of(parts, Material.STEEL).sections[1])
    with pytest.raises(ComponentError):
        dataclasses.replace(first, **change)


def test_steps_without_walls_must_still_span_the_shaft(parts):
    steel = _of(parts, Material.STEEL)
    with pytest.raises(ComponentError, match="its sections end at"):
        dataclasses.replace(steel, sections=tuple(map(_bare, steel.sections[:-1])))


def test_stations_must_rise_from_zero(parts):
    graphite = parts.shafts["graphite wood 60 g regular"]
    with pytest.raises(ComponentError, match="start at 0 in and rise"):
        dataclasses.replace(graphite, stations=graphite.stations[::-1])


def test_a_wall_thicker_than_the_tube_is_refused():
    with pytest.raises(ComponentError, match="outer_diameter_in"):
        TubeSection(0, 1, outer_diameter_in=0.03, wall_in=0.0165)


def test_a_station_without_stiffness_is_refused():
    with pytest.raises(ComponentError, match="ei_n_m2 is 0"):
        Station(0, ei_n_m2=0, mass_g_per_m=50, outer_diameter_in=0.4)


def test_a_grip_has_its_centre_inside():
    with pytest.raises(ComponentError, match="inside the grip"):
        Grip("g", 50, 10.5, 0.6, 0.1, cg_from_cap_in=11)


def test_a_head_cannot_be_changed_in_place():
    head = next(iter(load_catalogue().heads.values()))
    assert isinstance(head, Head)
    with pytest.raises(dataclasses.FrozenInstanceError):
        head.head_mass_g = 1.0  # type: ignore[misc]


@pytest.mark.parametrize("limit_in", [-0.5, math.nan])
def test_a_maker_s_limit_is_a_length(parts, limit_in):
    shaft = next(iter(parts.shafts.values()))
    with pytest.raises(ComponentError, match="most_tip_trim_in"):
        dataclasses.replace(shaft, most_tip_trim_in=limit_in)


def test_a_taper_tip_has_no_limit_but_none_at_all(parts):
    taper = next(shaft for shaft in parts.shafts.values() if shaft.tip_kind is TipKind.TAPER)
    assert dataclasses.replace(taper, most_tip_trim_in=0.0).most_tip_trim_in == 0.0
    with pytest.raises(ComponentError, match="a taper tip is never trimmed"):
        dataclasses.replace(taper, most_tip_trim_in=1.0)
