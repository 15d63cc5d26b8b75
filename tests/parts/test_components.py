"""A part with values no part can have is refused, and the sentence names the part and the field."""

import dataclasses
import math

import pytest

from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.components import FlexKind, Grip, Head, Station, TipKind, TubeSection
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


def test_a_steel_shaft_needs_sections_and_a_graphite_one_stations(parts):
    with pytest.raises(ComponentError, match="without tube sections"):
        dataclasses.replace(parts.shafts["steel parallel 110 g combination"], sections=())
    graphite = parts.shafts["graphite wood 60 g regular"]
    with pytest.raises(ComponentError, match="1 stations"):
        dataclasses.replace(graphite, stations=graphite.stations[:1])


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
