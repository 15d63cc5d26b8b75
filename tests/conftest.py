"""A second computation of a cantilever's modes, which shares only the beam with the package; and mixed sets."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import linalg

from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.components import FlexKind, Material, TipKind

collect_ignore_glob = ["benchmarks/hub/*"]  # run by class_hub.py, in an environment with JupyterHub


def _matrices(beams):
    """Stiffness and mass matrix of Hermite elements, cubic in each (any textbook of finite elements)."""
    kept = beams.lengths[:, 0] > 0

    def column(values):
        return np.broadcast_to(values, beams.lengths.shape)[kept, 0]

    length, count = column(beams.lengths), int(kept.sum())
    points, weights = np.polynomial.legendre.leggauss(4)
    x = (points + 1) / 2
    one, h = np.ones_like(length), length
    scale = np.stack([one, h, one, h])[:, :, None]
    bend = np.stack([12 * x - 6, 6 * x - 4, 6 - 12 * x, 6 * x - 2])[:, None] * scale / h[None, :, None] ** 2
    shape = np.stack([1 - 3 * x**2 + 2 * x**3, x - 2 * x**2 + x**3, 3 * x**2 - 2 * x**3, x**3 - x**2])[:, None] * scale
    ei = (column(beams.ei_low)[:, None] * (1 - x) + column(beams.ei_high)[:, None] * x) * h[:, None] * weights / 2
    mu = (column(beams.mu_low)[:, None] * (1 - x) + column(beams.mu_high)[:, None] * x) * h[:, None] * weights / 2
    stiffness, mass = np.zeros((2, 2 * count + 2, 2 * count + 2))
    for total, values, weight in ((stiffness, bend, ei), (mass, shape, mu)):
        for element, matrix in enumerate(np.einsum("aep,bep,ep->eab", values, values, weight)):
            at = slice(2 * element, 2 * element + 4)
            total[at, at] += matrix
    m, e, j = beams.mass[0], beams.offset[0], beams.inertia[0]
    mass[:2, :2] += [[m, -m * e], [-m * e, j + m * e**2]]
    compliance = float(beams.root_compliance[0])
    free = np.arange(2 * count)
    if compliance > 0:
        stiffness[-1, -1] += 1 / compliance
        free = np.append(free, 2 * count + 1)
    return stiffness[np.ix_(free, free)], mass[np.ix_(free, free)]


def _eigen(beams, count=1):
    """The lowest omega (rad/s) of the first of the cantilevers, and their deflections at the element ends, (count, n).

    Solved as M v = omega^-2 K v, so that rounding spares the lowest.
    """
    stiffness, mass = _matrices(beams)
    inverse, vectors = linalg.eigh(mass, stiffness, subset_by_index=(len(mass) - count, len(mass) - 1))
    deflection = vectors[: 2 * int((beams.lengths[:, 0] > 0).sum()) : 2, ::-1].T
    return 1 / np.sqrt(inverse[::-1]), deflection


@pytest.fixture(scope="session")
def eigen():
    return _eigen


def _mixed_parts():
    """The shipped parts with a graphite shaft for hybrids and a lighter grip beside them, made up for the tests."""
    parts = load_catalogue()
    graphite = next(shaft for shaft in parts.shafts.values() if shaft.material is Material.GRAPHITE)
    stations = tuple(
        replace(station, ei_n_m2=2 * station.ei_n_m2, outer_diameter_in=max(station.outer_diameter_in, 0.37))
        for station in graphite.stations
    )
    hybrid = replace(
        graphite,
        name="graphite hybrid",
        tip_diameter_in=0.37,
        tip_section_in=9.0,
        most_tip_trim_in=None,
        stations=stations,
    )
    usual = next(iter(parts.grips.values()))
    grip = replace(usual, name="light round rubber", grip_mass_g=40.0, core_diameter_in=0.58)
    master = next(shaft for shaft in parts.shafts.values() if shaft.flex_kind is FlexKind.COMBINATION)
    irons = (row for row in parts.schedule_rows if row.shaft == master.name and row.flex == "R" and "iron" in row.club)
    rows = (replace(row, shaft=hybrid.name, flex=hybrid.flexes[0]) for row in irons)
    return replace(
        parts,
        shafts=dict(parts.shafts) | {hybrid.name: hybrid},
        grips=dict(parts.grips) | {grip.name: grip},
        schedule_rows=(*parts.schedule_rows, *rows),
    )


_HEAD = """
title = "{title}"
client = "client 21"
shaft = "{shaft}"
grip = "{grip}"
ladder = "demo irons"
flex = "R"
wanted_swingweight = "D1"
{more}
[length]
club = "6-iron"
playing_length_in = 37.5

[assembly]
ferrule_mass_g = 1.5
tape_mass_g = 2.0
epoxy_mass_g = 1.5
"""


def _clubs(*clubs):
    return "".join("\n[[club]]\n" + "".join(f"{line}\n" for line in club) for club in clubs)


def _mixed_orders():
    """Order files of mixed sets as text, by name."""
    parts = _mixed_parts()
    master = next(shaft.name for shaft in parts.shafts.values() if shaft.flex_kind is FlexKind.COMBINATION)
    taper = next(shaft.name for shaft in parts.shafts.values() if shaft.tip_kind is TipKind.TAPER)
    grip = next(iter(parts.grips))
    hybrid = ('shaft = "graphite hybrid"', 'grip = "light round rubber"', "tip_weight_g = 2.0")
    wedge = ('flex = "A"', 'wanted_swingweight = "D3"')
    irons = _clubs(*([f'head = "class {number}-iron"'] for number in range(4, 10)))
    tapers = _clubs(*([f'head = "taper-bore {number}-iron"'] for number in range(5, 10)))
    ran_out = ("soft_steps = 0", 'why = "no longer raw length"')
    beside = _clubs(
        *([f'head = "class {name}"', f'shaft = "{master}"'] for name in ("gap wedge", "long-hosel sand wedge"))
    )
    steel = _HEAD.format(title="Steel irons, graphite hybrids, soft wedges", shaft=master, grip=grip, more="")
    stepped = _HEAD.format(title="Taper irons, parallel wedges", shaft=taper, grip=grip, more="soft_steps = 3\n")
    return {
        "graphite hybrids": steel
        + _clubs(*([f'head = "class {number}-hybrid"', *hybrid] for number in (3, 4)))
        + irons
        + _clubs(*([f'head = "class {name}"', *wedge] for name in ("gap wedge", "long-hosel sand wedge"))),
        "taper and parallel": stepped + _clubs(['head = "taper-bore 4-iron"', *ran_out]) + tapers + beside,
    }


@pytest.fixture(scope="session")
def mixed_parts():
    """The parts of the mixed sets."""
    return _mixed_parts()


@pytest.fixture(scope="session")
def mixed_orders():
    """Mixed sets as order files' text, by name."""
    return _mixed_orders()
