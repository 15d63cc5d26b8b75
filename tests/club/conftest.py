"""The frequency of a club by an independent finite element library, from the measured parts and the cuts alone."""

import itertools

import numpy as np
import pytest
import scipy.linalg
import scipy.optimize
import skfem
from skfem.helpers import dd

IN = 0.0254


def _finite_element_cpm(club):
    """First frequency of a steel club by scikit-fem (Hermite elements), from the measured parts and the cuts alone.

    scikit-fem is a general-purpose finite element library; steel: E 210 000 N/mm2 (EN 1993-1-1), 7850 kg/m3
    (constructional steel tables). The wall is scaled until the raw shaft has its measured mass.
    """
    plan, shaft, head = club.plan, club.plan.wanted.shaft, club.plan.wanted.head
    outer = np.array([s.outer_diameter_in for s in shaft.sections]) * IN
    wall = np.array([s.wall_in for s in shaft.sections]) * IN
    length = np.array([s.to_tip_in - s.from_tip_in for s in shaft.sections]) * IN

    def raw_kg(factor):
        return float((7850 * np.pi / 4 * (outer**2 - (outer - 2 * factor * wall) ** 2) * length).sum())

    factor = scipy.optimize.brentq(lambda k: raw_kg(k) - shaft.raw_mass_g * 1e-3, 0.5, 1.5, xtol=1e-15)
    inner = outer - 2 * factor * wall
    stiffness, mass = 210e9 * np.pi / 64 * (outer**4 - inner**4), 7850 * np.pi / 4 * (outer**2 - inner**2)
    low = (plan.tip_trim_in + head.bore_depth_in) * IN
    high = (plan.tip_trim_in + plan.cut_length_in + plan.wanted.grip.cap_thickness_in - club.assembly.clamp_in) * IN
    edges = np.array([0, *(s.to_tip_in for s in shaft.sections)]) * IN
    nodes = np.unique(np.concatenate(([low, high], edges[(edges > low) & (edges < high)])))
    nodes = np.unique(
        np.concatenate([np.linspace(a, b, 2 + int((b - a) / (0.8 * IN))) for a, b in itertools.pairwise(nodes)])
    )
    basis = skfem.Basis(skfem.MeshLine(nodes), skfem.ElementLineHermite(), intorder=8)
    piece = np.searchsorted(edges, (nodes[1:] + nodes[:-1]) / 2) - 1
    bend = skfem.BilinearForm(lambda u, v, w: w.ei * dd(u)[0, 0] * dd(v)[0, 0])
    move = skfem.BilinearForm(lambda u, v, w: w.mu * u * v)
    k = bend.assemble(basis, ei=np.repeat(stiffness[piece][:, None], basis.dx.shape[1], 1)).toarray()
    m = move.assemble(basis, mu=np.repeat(mass[piece][:, None], basis.dx.shape[1], 1)).toarray()
    # Rigid at the lower end: the head, its centre e beyond it towards the ground, and the tube inside the hosel.
    depth = head.bore_depth_in * IN
    tube = mass[0] * depth
    head_kg, e = head.head_mass_g * 1e-3, (plan.wanted.bbgl_in + head.bore_depth_in - head.cg_height_in) * IN
    free = basis.nodal_dofs[:, 0]
    for kg, off, own in ((head_kg, e, head.inertia_g_cm2 * 1e-7), (tube, depth / 2, tube * depth**2 / 12)):
        m[np.ix_(free, free)] += [[kg, -kg * off], [-kg * off, own + kg * off**2]]
    kept = np.setdiff1d(np.arange(k.shape[0]), basis.nodal_dofs[:, -1])
    # The first mode as the largest 1/omega^2: the smallest omega^2 would drown in the rounding of the largest.
    size = kept.size
    inverse = scipy.linalg.eigh(
        m[np.ix_(kept, kept)], k[np.ix_(kept, kept)], eigvals_only=True, subset_by_index=[size - 1, size - 1]
    )
    return float(60 / (2 * np.pi * np.sqrt(inverse[0])))


@pytest.fixture(scope="session")
def finite_element_cpm():
    return _finite_element_cpm
