"""What each step gives when the tip is cut: against finite elements, and by the laws of small changes."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
import scipy.linalg
import scipy.optimize
import skfem
from skfem.helpers import dd

from trimkit.check.stepshares import step_shares
from trimkit.club.card import Assembly, card_of
from trimkit.club.club import club_frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError

IN = 0.0254
BUILT = {club.plan.club: club for club in build_set(shipped_order()).clubs}
SEVEN = BUILT["7-iron"]
CARD = card_of(SEVEN.plan, SEVEN.assembly)
HALF = step_shares(CARD, 0.5)


class FiniteElements:
    """A steel club in a rigid clamp by scikit-fem, a general-purpose library, from measured parts and cuts alone.

    E 210 000 N/mm2 (EN 1993-1-1), 7850 kg/m3 (constructional steel tables). The wall is scaled to the raw shaft's mass.
    steps_in: moved towards the tip by so much, by number from the tip.
    """

    def __init__(self, card, moved_in=()):
        shaft, head = card.wanted.shaft, card.wanted.head
        outer = np.array([s.outer_diameter_in for s in shaft.sections]) * IN
        wall = np.array([s.wall_in for s in shaft.sections]) * IN
        edges = np.array([0, *(s.to_tip_in for s in shaft.sections)]) * IN

        def raw_kg(factor):
            return float((7850 * np.pi / 4 * (outer**2 - (outer - 2 * factor * wall) ** 2) * np.diff(edges)).sum())

        factor = scipy.optimize.brentq(lambda k: raw_kg(k) - shaft.raw_mass_g * 1e-3, 0.5, 1.5, xtol=1e-15)
        inner = outer - 2 * factor * wall
        self.ei, self.mu = 210e9 * np.pi / 64 * (outer**4 - inner**4), 7850 * np.pi / 4 * (outer**2 - inner**2)
        for step, by in dict(moved_in).items():
            edges[step] -= by * IN
        self.edges = edges
        low = (card.tip_trim_in + head.bore_depth_in) * IN
        high = (card.tip_trim_in + card.cut_length_in + card.wanted.grip.cap_thickness_in - card.assembly.clamp_in) * IN
        ends = np.unique(np.concatenate(([low, high], edges[(edges > low) & (edges < high)])))
        nodes = np.unique(
            np.concatenate([np.linspace(a, b, 2 + int((b - a) / (0.8 * IN))) for a, b in itertools.pairwise(ends)])
        )
        basis = skfem.Basis(skfem.MeshLine(nodes), skfem.ElementLineHermite(), intorder=8)
        piece = np.searchsorted(edges, (nodes[1:] + nodes[:-1]) / 2) - 1
        each = np.ones(basis.dx.shape[1])
        bend = skfem.BilinearForm(lambda u, v, w: w.ei * dd(u)[0, 0] * dd(v)[0, 0])
        move = skfem.BilinearForm(lambda u, v, w: w.mu * u * v)
        k = bend.assemble(basis, ei=np.outer(self.ei[piece], each)).toarray()
        m = move.assemble(basis, mu=np.outer(self.mu[piece], each)).toarray()
        depth = head.bore_depth_in * IN
        tube = self.mu[0] * depth
        head_kg = (head.head_mass_g + card.assembly.tip_weight_g) * 1e-3
        offset = (card.wanted.bbgl_in + head.bore_depth_in - head.cg_height_in) * IN
        free = basis.nodal_dofs[:, 0]
        for kg, off, own in ((head_kg, offset, head.inertia_g_cm2 * 1e-7), (tube, depth / 2, tube * depth**2 / 12)):
            m[np.ix_(free, free)] += [[kg, -kg * off], [-kg * off, own + kg * off**2]]
        kept = np.setdiff1d(np.arange(k.shape[0]), basis.nodal_dofs[:, -1])
        inverse, shape = scipy.linalg.eigh(
            m[np.ix_(kept, kept)], k[np.ix_(kept, kept)], subset_by_index=[kept.size - 1, kept.size - 1]
        )
        self.omega2 = 1 / inverse[0]
        self.cpm = float(60 / (2 * np.pi) * np.sqrt(self.omega2))
        self.shape = np.zeros(k.shape[0])
        self.shape[kept] = shape[:, 0] / np.sqrt(shape[:, 0] @ m[np.ix_(kept, kept)] @ shape[:, 0])
        self.basis = basis

    def at(self, place_m):
        """Deflection of the first mode there (modal mass 1), and the bending moment, continuous over a step."""
        probe = np.array([[place_m - 1e-7, place_m + 1e-7]])
        cells = self.basis.mesh.element_finder()(probe[0])
        inside = self.basis.mapping.invF(probe[:, :, None], tind=cells)
        field = [
            self.basis.elem.gbasis(self.basis.mapping, inside, dof, tind=cells)[0] for dof in range(self.basis.Nbfun)
        ]
        dofs = self.basis.element_dofs[:, cells]
        w = sum(self.shape[dofs[n]][:, None] * np.asarray(each) for n, each in enumerate(field))[:, 0]
        bent = sum(self.shape[dofs[n]][:, None] * each.hess[0, 0] for n, each in enumerate(field))[:, 0]
        piece = np.searchsorted(self.edges, probe[0]) - 1
        return float(w.mean()), float((self.ei[piece] * bent).mean())


@pytest.mark.parametrize("club", ["4-iron", "7-iron", "9-iron"])
@pytest.mark.parametrize("number", [1, 8, 14])
def test_a_step_alone_against_finite_elements(club, number):
    card = card_of(BUILT[club].plan, BUILT[club].assembly)
    share = step_shares(card, 0.5).steps[number - 1]
    by_elements = FiniteElements(card, {number: 0.5}).cpm - FiniteElements(card).cpm
    assert share.change_cpm == pytest.approx(by_elements, abs=1e-7)


def test_all_steps_moved_are_the_cut_by_finite_elements_and_by_the_cut_itself():
    """At one playing length the cut is nothing but the steps: what lies in the hosel is the same tube."""
    every = {step.number: 0.5 for step in HALF.steps}
    assert HALF.whole_cpm == pytest.approx(FiniteElements(CARD, every).cpm - FiniteElements(CARD).cpm, abs=2e-5)
    trim = CARD.tip_trim_in
    before, after = club_frequencies_cpm(SEVEN.plan, SEVEN.assembly, (trim, trim + 0.5))
    assert (HALF.before_cpm, HALF.whole_cpm) == pytest.approx((before, after - before), abs=1e-9)


@pytest.mark.parametrize("number", [1, 3, 8, 14])
def test_a_small_move_is_first_order_perturbation(number):
    """Rayleigh: d(omega^2) = d [M^2 (1/EI below - 1/EI above) - omega^2 w^2 (mu above - mu below)], modal mass 1.

    The mode by finite elements. The moment M is continuous over the step, so it is M that counts, not the curvature.
    """
    fe, cut_in = FiniteElements(CARD), 1e-3
    w, moment = fe.at(fe.edges[number])
    stiffer = moment**2 * (1 / fe.ei[number - 1] - 1 / fe.ei[number])
    heavier = fe.omega2 * w**2 * (fe.mu[number] - fe.mu[number - 1])
    law = fe.cpm * (stiffer - heavier) * cut_in * IN / (2 * fe.omega2)
    share = step_shares(CARD, cut_in).steps[number - 1].change_cpm
    assert share == pytest.approx(law, rel=2e-3, abs=2e-8)


def test_single_shares_add_up_but_for_a_small_rest_of_second_order():
    assert HALF.sum_cpm + HALF.together_cpm == pytest.approx(HALF.whole_cpm, abs=1e-12)
    assert abs(HALF.together_cpm) < 0.02 * HALF.whole_cpm
    # Below a quarter of an inch the step at the clamp's edge is in the clamp before and after.
    rests = [step_shares(CARD, cut).together_cpm for cut in (0.02, 0.01)]
    assert rests[0] / rests[1] == pytest.approx(4, rel=0.02)


def test_half_the_cut_gives_half_of_every_share_the_smaller_the_nearer():
    for step, half, tenth, twentieth in zip(
        *(step_shares(CARD, d).steps for d in (0.5, 0.25, 0.01, 0.005)), strict=True
    ):
        if step.number < 15:
            assert half.change_cpm == pytest.approx(step.change_cpm / 2, rel=0.1)
            assert twentieth.change_cpm == pytest.approx(tenth.change_cpm / 2, rel=0.005)


def test_more_off_the_tip_stiffens_and_less_softens():
    assert HALF.whole_cpm > 0 > step_shares(CARD, -0.5).whole_cpm
    assert HALF.shorter_cpm > 0


def test_steps_in_the_clamp_give_nothing_and_one_at_its_edge_gives_part():
    *_, entering, held = HALF.steps
    assert (held.in_clamp, held.change_cpm, held.fraction) == (True, 0.0, 0.0)
    assert not entering.in_clamp
    edge = CARD.cut_length_in + CARD.wanted.grip.cap_thickness_in - CARD.assembly.clamp_in
    assert entering.above_tip_in - 0.5 < edge < entering.above_tip_in
    just = step_shares(CARD, entering.above_tip_in - edge).steps[-2]
    assert just.in_clamp
    assert just.change_cpm == pytest.approx(0, abs=1e-9)


def test_a_shorter_clamp_lets_the_last_step_out():
    out = step_shares(card_of(SEVEN.plan, replace(SEVEN.assembly, clamp_in=2.0)))
    assert not any(step.in_clamp for step in out.steps)
    assert all(step.change_cpm > 0 for step in out.steps)


def test_places_and_diameters_are_the_shafts_own():
    sections = CARD.wanted.shaft.sections
    assert [step.number for step in HALF.steps] == list(range(1, len(sections)))
    for step, (below, above) in zip(HALF.steps, itertools.pairwise(sections), strict=True):
        assert step.above_tip_in == pytest.approx(below.to_tip_in - CARD.tip_trim_in)
        assert (step.below_in, step.above_in) == (below.outer_diameter_in, above.outer_diameter_in)
    assert sum(step.fraction for step in HALF.steps) == pytest.approx(HALF.sum_cpm / HALF.whole_cpm)


def test_what_a_shorter_club_adds_is_the_cut_without_the_length_kept():
    shorter = replace(CARD, tip_trim_in=CARD.tip_trim_in + 0.5, cut_length_in=CARD.cut_length_in - 0.5)
    both = FiniteElements(shorter).cpm - FiniteElements(CARD).cpm
    assert HALF.whole_cpm + HALF.shorter_cpm == pytest.approx(both, abs=2e-5)


def test_what_the_module_says_of_the_evening_classs_seven_iron_is_so():
    """Invented parts: figures of the words, not evidence. The step nearest the head gives next to nothing."""
    assert HALF.whole_cpm == pytest.approx(3.49, abs=0.005)
    assert HALF.steps[0].fraction == pytest.approx(0.007, abs=0.0005)
    free = [step.fraction for step in HALF.steps[:14]]
    assert free == sorted(free)
    assert (free[1], free[-1]) == pytest.approx((0.02, 0.10), abs=0.005)


@pytest.mark.parametrize("cut", [0.0, 1.9, -1.9, float("nan"), float("inf")])
def test_a_cut_of_nothing_or_past_a_neighbour_is_refused(cut):
    with pytest.raises(ModelError, match="smaller cut"):
        step_shares(CARD, cut)


def test_a_cut_that_the_club_does_not_allow_is_refused():
    most = CARD.wanted.shaft.tip_section_in - CARD.wanted.head.bore_depth_in
    with pytest.raises(ModelError, match="still fill the bore"):
        step_shares(replace(CARD, tip_trim_in=most - 0.1, cut_length_in=33.0), 0.5)
    with pytest.raises(ModelError, match="tip_trim_in"):
        step_shares(replace(CARD, tip_trim_in=0.25), -0.5)


def test_other_shafts_are_refused():
    taper = build_set(shipped_order("taper_soft_step")).clubs[0]
    with pytest.raises(ModelError, match="taper tip"):
        step_shares(card_of(taper.plan, Assembly()))
    graphite = build_set(shipped_order("wood_pair")).clubs[0]
    with pytest.raises(ModelError, match="graphite"):
        step_shares(card_of(graphite.plan, Assembly()))
    one = replace(CARD.wanted.shaft.sections[0], to_tip_in=42.0)
    plain = replace(CARD.wanted.shaft, sections=(one,))
    with pytest.raises(ModelError, match="without a step"):
        step_shares(replace(CARD, wanted=replace(CARD.wanted, shaft=plain)))
