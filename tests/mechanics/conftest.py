"""Clubs to compute with. All invented, and never the evidence of a check: they are what two computations agree on."""

from dataclasses import dataclass

import numpy as np
import pytest

from trimkit.mechanics.profile import Profile, steel_profile
from trimkit.parts.components import TubeSection

INCH = 0.0254
E_STEEL, RHO_STEEL = 210e9, 7850.0


@dataclass(frozen=True)
class Case:
    """A shaft as rows (from, to, then what describes the row) and the club it is built into; inches and grams."""

    rows: list
    club: dict
    profile: Profile

    def free_and_body(self):
        """What is free to bend and the body at its end, in SI, worked out from heights above the ground line.

        Returns rows (length, EI at the lower end, at the upper end, mass per length at both), mass, offset, inertia.
        """
        c = self.club
        playing_length = c["bbgl_in"] + c["cut_length_in"] + c["cap_thickness_in"]
        hosel_top = c["bbgl_in"] + c["bore_depth_in"]
        clamp_edge = playing_length - c.get("clamp_in", 5.0)
        free, inside = [], []
        for low, high, ei, mu in self.rows:
            bottom, top = (c["bbgl_in"] + s - c["tip_trim_in"] for s in (low, high))

            def at(height, values, bottom=bottom, top=top):
                return values[0] + (values[1] - values[0]) * (height - bottom) / (top - bottom)

            for start, end, pieces in ((hosel_top, clamp_edge, free), (c["bbgl_in"], hosel_top, inside)):
                a, b = max(bottom, start), min(top, end)
                if b > a:
                    pieces.append(((b - a) * INCH, at(a, ei), at(b, ei), at(a, mu), at(b, mu), a, b))
        mass = c["head_mass_g"] * 1e-3
        first = mass * c["cg_height_in"] * INCH
        second = c["inertia_g_cm2"] * 1e-7 + mass * (c["cg_height_in"] * INCH) ** 2
        for length, _, _, mu_a, mu_b, a, b in inside:
            # Moments of a linear mass per length by Simpson's rule, exact to the third degree.
            for z, mu, share in ((a, mu_a, 1 / 6), ((a + b) / 2, (mu_a + mu_b) / 2, 4 / 6), (b, mu_b, 1 / 6)):
                mass += share * length * mu
                first += share * length * mu * z * INCH
                second += share * length * mu * (z * INCH) ** 2
        centre = first / mass
        rows = [piece[:5] for piece in free]
        return rows, mass, hosel_top * INCH - centre, second - mass * centre**2


def random_club(rng, length_in, tip_section_in):
    trim = rng.uniform(0, 4)
    bore = rng.uniform(0.75, 1.75)
    bbgl = rng.uniform(-0.2, 2.0)
    return {
        "tip_trim_in": trim,
        "cut_length_in": rng.uniform(33.0, length_in - trim),
        "bbgl_in": bbgl,
        "bore_depth_in": min(bore, tip_section_in - trim),
        "cap_thickness_in": rng.uniform(0.05, 0.3),
        "head_mass_g": rng.uniform(190, 310),
        "cg_height_in": rng.uniform(0.6, 1.2),
        "inertia_g_cm2": rng.uniform(1500, 5000),
        "clamp_in": rng.uniform(4.5, 7.0),
    }


def stepped_case(rng):
    steps = int(rng.integers(1, 20))
    length, tip = rng.uniform(39, 42), rng.uniform(9.5, 12.5)
    # Steps 0.2 in apart or more: in shorter elements a stiffness matrix loses the digits that are compared here.
    gaps = np.cumsum(rng.uniform(0.3, 1.5, steps))
    edges = np.concatenate(([0.0, tip], tip + (33.0 - tip) * gaps[:-1] / gaps[-1], [length]))
    outer = np.sort(rng.uniform(0.35, 0.64, steps + 1))
    wall = rng.uniform(0.011, 0.022, steps + 1)
    sections = [TubeSection(*values) for values in zip(edges[:-1], edges[1:], outer, wall, strict=True)]
    rows = []
    for low, high, od, t in zip(edges[:-1], edges[1:], outer * INCH, wall * INCH, strict=True):
        inner = od - 2 * t
        ei = E_STEEL * np.pi / 64 * (od**4 - inner**4)
        mu = RHO_STEEL * np.pi / 4 * (od**2 - inner**2)
        rows.append((low, high, (ei, ei), (mu, mu)))
    club = random_club(rng, length, tip)
    return Case(rows, club, steel_profile(sections, tip_section_in=tip))


def station_case(rng):
    count, length = int(rng.integers(6, 14)), rng.uniform(43, 46)
    edges = np.linspace(0, length, count)
    ei = rng.uniform(18, 26) + np.cumsum(rng.uniform(0.0, 2 * 45 / count, count))
    mu = rng.uniform(45, 70) * 1e-3 * rng.uniform(0.9, 1.1, count)
    outer = np.linspace(0.335, 0.6, count)
    profile = Profile(edges, ei[:-1], ei[1:], mu[:-1] * 1e3, mu[1:] * 1e3, outer[:-1], outer[1:], 7.0)
    rows = [(edges[k], edges[k + 1], (ei[k], ei[k + 1]), (mu[k], mu[k + 1])) for k in range(count - 1)]
    club = random_club(rng, length, 7.0) | {"tip_trim_in": rng.uniform(0, 2)}
    club["cut_length_in"] = rng.uniform(40.0, length - club["tip_trim_in"])
    return Case(rows, club, profile)


@pytest.fixture(scope="session")
def stepped_cases():
    rng = np.random.default_rng(20261125)
    return [stepped_case(rng) for _ in range(200)]


@pytest.fixture(scope="session")
def station_cases():
    rng = np.random.default_rng(7)
    return [station_case(rng) for _ in range(20)]


@pytest.fixture(scope="session")
def profile():
    """A parallel steel shaft: 41 in, 0.370 to 0.580 in in 17 steps, 11.5 in of parallel tip."""
    outer = np.linspace(0.370, 0.580, 18)
    edges = np.concatenate(([0.0], np.linspace(11.5, 33.0, 17), [41.0]))
    pieces = zip(edges[:-1], edges[1:], outer, strict=True)
    return steel_profile([TubeSection(low, high, od, 0.0145) for low, high, od in pieces], tip_section_in=11.5)


@pytest.fixture(scope="session")
def wood_profile():
    """A graphite wood shaft: 46 in, EI 21 to 66 N m^2 at eleven stations."""
    place = np.linspace(0, 46, 11)
    ei = np.array([22, 21.5, 24, 28, 32, 36.5, 41, 46, 52, 60, 66.0])
    mass = np.array([62, 58, 55, 53, 51.5, 50.5, 50, 49, 48, 47.5, 47.0])
    outer = np.array([0.335, 0.335, *np.linspace(0.35, 0.6, 9)])
    return Profile(place, ei[:-1], ei[1:], mass[:-1], mass[1:], outer[:-1], outer[1:], 7.0)


@pytest.fixture
def iron():
    """A mid iron in the clamp."""
    return {
        "tip_trim_in": 2.0,
        "cut_length_in": 36.0,
        "bbgl_in": 1.0,
        "bore_depth_in": 1.25,
        "cap_thickness_in": 0.1,
        "head_mass_g": 262.0,
        "cg_height_in": 0.9,
        "inertia_g_cm2": 2500.0,
    }


@pytest.fixture
def driver():
    """A driver in the clamp."""
    return {
        "tip_trim_in": 0.5,
        "cut_length_in": 44.5,
        "bbgl_in": 0.25,
        "bore_depth_in": 1.5,
        "cap_thickness_in": 0.1,
        "head_mass_g": 201.5,
        "cg_height_in": 1.05,
        "inertia_g_cm2": 4100.0,
    }


@pytest.fixture
def grip():
    """A grip's keywords of club_components."""
    return {"grip_mass_g": 50.0, "grip_cg_from_cap_in": 4.1, "grip_length_in": 10.5}
