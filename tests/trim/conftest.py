"""A bench for the tests of the trade's rules: parts and tables made up here, never the demo data."""

import itertools
from types import SimpleNamespace

import pytest

from trimkit.parts.components import (
    FlexKind,
    Grip,
    Head,
    HeadKind,
    Material,
    Shaft,
    Station,
    TipKind,
    TubeSection,
)
from trimkit.parts.sources import Source, Standing
from trimkit.parts.tables import LadderRung, RawLength, ScheduleRow
from trimkit.trim.equivalence import HeadLadder
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import RawFamily
from trimkit.trim.wanted import WantedClub

MADE_UP = Source("made up for this test", Standing.INVENTED)
IRONS = [f"{number}-iron" for number in range(2, 10)]
WEDGES = ["pitching wedge", "gap wedge", "sand wedge", "lob wedge"]
MASTER, TAPER, GRAPHITE = "test master", "test taper", "test graphite"


def steel(name, tip_kind, flexes, raw_length_in=42.0, tip_diameter_in=0.370, tip_section_in=12.0):
    """A steel tube with a parallel tip section, six steps of 2 in, and a parallel butt."""
    edges = [0.0, *(tip_section_in + 2.0 * step for step in range(7)), raw_length_in]
    growth = (0.600 - tip_diameter_in) / 7
    sections = tuple(
        TubeSection(low, high, tip_diameter_in + growth * number, 0.0145)
        for number, (low, high) in enumerate(itertools.pairwise(edges))
    )
    return Shaft(
        name=name,
        material=Material.STEEL,
        tip_kind=tip_kind,
        flex_kind=FlexKind.COMBINATION if len(flexes) > 1 else FlexKind.DISCRETE,
        flexes=tuple(flexes),
        raw_length_in=raw_length_in,
        raw_mass_g=115.0,
        tip_diameter_in=tip_diameter_in,
        butt_diameter_in=0.600,
        tip_section_in=tip_section_in,
        sections=sections,
        source=MADE_UP,
    )


def graphite(name=GRAPHITE, flexes=("R",), raw_length_in=46.0):
    """A graphite shaft whose diameter grows evenly from 0.335 in to 0.600 in."""
    stations = (Station(0.0, 20.0, 45.0, 0.335), Station(raw_length_in, 70.0, 60.0, 0.600))
    return Shaft(
        name=name,
        material=Material.GRAPHITE,
        tip_kind=TipKind.PARALLEL,
        flex_kind=FlexKind.COMBINATION if len(flexes) > 1 else FlexKind.DISCRETE,
        flexes=tuple(flexes),
        raw_length_in=raw_length_in,
        raw_mass_g=65.0,
        tip_diameter_in=0.335,
        butt_diameter_in=0.600,
        tip_section_in=5.0,
        stations=stations,
        source=MADE_UP,
    )


def head(club="6-iron", mass_g=258.0, kind=HeadKind.IRON, bore_in=0.370, bbgl_in=1.0, bore_depth_in=1.25):
    """A head, named like its club."""
    return Head(f"test {club}", kind, club, mass_g, bore_in, bore_depth_in, bbgl_in, 0.9, 2400.0, MADE_UP)


def schedule_rows(shaft=MASTER, starts=(("A", 0.5), ("R", 1.5), ("S", 3.5)), clubs=(*IRONS, *WEDGES), gain=0.5):
    """Rows that gain evenly from club to club, from a start for each flex; written for a BBGL of 1 in."""
    return [
        ScheduleRow(
            shaft, flex, club, start + gain * number, 1.0, Source(f"test schedule, {club} {flex}", MADE_UP.standing)
        )
        for flex, start in starts
        for number, club in enumerate(clubs)
    ]


def ladder_rungs(name="test irons", first_g=232.0, gain_g=6.5, clubs=(*IRONS, *WEDGES), first_in=39.5, step_in=0.5):
    """Rungs of even steps in mass and length."""
    return [
        LadderRung(name, club, first_g + gain_g * number, first_in - step_in * number, MADE_UP)
        for number, club in enumerate(clubs)
    ]


def raw_rows(family=TAPER, first_in=40.25, step_in=0.5, clubs=(*IRONS, "pitching wedge", "gap wedge")):
    """Raw lengths of a taper-tip family in even steps."""
    return [RawLength(family, club, first_in - step_in * number, MADE_UP) for number, club in enumerate(clubs)]


@pytest.fixture(scope="session")
def master():
    return steel(MASTER, TipKind.PARALLEL, ("A", "R", "S"))


@pytest.fixture(scope="session")
def schedule(master):
    return TrimSchedule.from_rows(schedule_rows(), master)


@pytest.fixture(scope="session")
def ladder():
    return HeadLadder.from_rungs(ladder_rungs(), "test irons")


@pytest.fixture(scope="session")
def grip():
    return Grip("test grip", 50.0, 10.5, 0.600, 0.125, 4.0, MADE_UP)


@pytest.fixture(scope="session")
def taper():
    return steel(TAPER, TipKind.TAPER, ("R",), raw_length_in=40.25, tip_diameter_in=0.355, tip_section_in=11.5)


@pytest.fixture(scope="session")
def family(taper):
    return RawFamily.from_rows(raw_rows(), taper)


@pytest.fixture(scope="session")
def wanted(master, schedule, ladder, grip):
    """A 6-iron in R that nothing is wrong with: schedule 3.5 in, playing length 37.5 in."""
    return WantedClub(head(), master, grip, schedule, ladder, FlexPlace.at("R"))


@pytest.fixture(scope="session")
def wanted_taper(taper, family, ladder, grip):
    """A 6-iron on a taper tip that nothing is wrong with: raw length 38.25 in."""
    return WantedClub(head(bore_in=0.355), taper, grip, family, ladder)


@pytest.fixture(scope="session")
def make():
    """The makers above, for tests that want their own parts and tables."""
    return SimpleNamespace(
        steel=steel,
        graphite=graphite,
        head=head,
        schedule_rows=schedule_rows,
        ladder_rungs=ladder_rungs,
        raw_rows=raw_rows,
        source=MADE_UP,
    )


@pytest.fixture(scope="session")
def bench(make, master, schedule, ladder, grip, taper, family, wanted, wanted_taper):
    """Everything above in one place, for tables of cases."""
    return SimpleNamespace(**locals())
