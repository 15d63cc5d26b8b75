"""The inverse iteration against two other computations of the same clubs: transfer matrix and finite elements.

Transfer matrix: the exact solution in every piece (by power series, so that stiffness and mass may run linearly),
30 digits, the frequency as root of the determinant at the clamp. Finite elements: scikit-fem, Hermite elements, a
general-purpose library.
"""

import itertools

import mpmath
import numpy as np
import pytest
from scipy import linalg
from skfem import Basis, BilinearForm, ElementLineHermite, MeshLine

from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.cantilever import Cantilevers, first_mode, static_shape

AGREEMENT = 1e-9


def clamp_determinant(rows, mass, offset, inertia, omega2):
    """Determinant of deflection and slope at the clamp, for the two free motions of the body at the end."""
    mp = mpmath.mp
    ends = []
    for w, slope in ((mp.mpf(1), mp.mpf(0)), (mp.mpf(0), mp.mpf(1))):
        # The slope is dw/dt, t from the free end towards the clamp; the body's centre lies at t = -offset.
        centre = w - offset * slope
        shear = mass * omega2 * centre
        moment = offset * shear - inertia * omega2 * slope
        state = (w, slope, moment, shear)
        for length, ei_a, ei_b, mu_a, mu_b in rows:
            state = through(state, *map(mp.mpf, (length, ei_a, ei_b, mu_a, mu_b)), omega2)
        ends.append(state[:2])
    return ends[0][0] * ends[1][1] - ends[0][1] * ends[1][0]


def through(state, length, ei_a, ei_b, mu_a, mu_b, omega2):
    """Carry (w, w', EI w'', (EI w'')') through one piece by the power series of (EI w'')'' = omega^2 mu w."""
    w0, slope, moment, shear = state
    rise, heavier = ei_b - ei_a, mu_b - mu_a
    w = [w0, slope * length]
    m = [moment * length**2, shear * length**3]
    factor = omega2 * length**4
    k = 0
    while True:
        w.append((m[k] - rise * (k + 1) * k * w[k + 1]) / (ei_a * (k + 2) * (k + 1)))
        load = mu_a * w[k] + (heavier * w[k - 1] if k else 0)
        m.append(factor * load / ((k + 2) * (k + 1)))
        k += 1
        # Where nothing varies, up to three of four coefficients are zero: only four small ones in a row are the end.
        if k > 8 and max(map(abs, w[-4:])) < max(map(abs, w[:4])) * mpmath.mpf(10) ** -32:
            break
    return (
        mpmath.fsum(w),
        mpmath.fsum(i * c for i, c in enumerate(w)) / length,
        mpmath.fsum(m) / length**2,
        mpmath.fsum(i * c for i, c in enumerate(m)) / length**3,
    )


def transfer_matrix_cpm(case, near_cpm):
    with mpmath.workdps(30):
        rows, mass, offset, inertia = case.free_and_body()
        body = [mpmath.mpf(value) for value in (mass, offset, inertia)]
        start = (mpmath.mpf(near_cpm) * 2 * mpmath.pi / 60) ** 2
        guesses = (start * (1 - mpmath.mpf(10) ** -4), start * (1 + mpmath.mpf(10) ** -4))
        root = mpmath.findroot(lambda x: clamp_determinant(rows, *body, x), guesses, solver="secant", tol=1e-40)
        return float(mpmath.sqrt(root) * 60 / (2 * mpmath.pi))


def finite_element_cpm(case, longest_in=1.0, parts=1, modes=1):
    """Lowest frequencies by scikit-fem, elements no longer than ``longest_in`` and each in so many equal parts."""
    rows, mass, offset, inertia = case.free_and_body()
    ends = np.concatenate(([0.0], np.cumsum([row[0] for row in rows])))
    points = np.concatenate(
        [
            np.linspace(a, b, parts * int(np.ceil((b - a) / (longest_in * 0.0254))) + 1)[:-1]
            for a, b in itertools.pairwise(ends)
        ]
        + [ends[-1:]]
    )
    basis = Basis(MeshLine(points), ElementLineHermite(), intorder=7)

    def along(first, x):
        row = np.clip(np.searchsorted(ends, x, side="right") - 1, 0, len(rows) - 1)
        table = np.array(rows)
        share = (x - ends[row]) / table[row, 0]
        return table[row, first] + share * (table[row, first + 1] - table[row, first])

    @BilinearForm
    def stiffness(u, v, w):
        return along(1, w.x[0]) * u.hess[0, 0] * v.hess[0, 0]

    @BilinearForm
    def inertia_form(u, v, w):
        return along(3, w.x[0]) * u * v

    k, m = stiffness.assemble(basis).toarray(), inertia_form.assemble(basis).toarray()
    tip = basis.get_dofs(lambda x: np.isclose(x[0], 0.0)).all()
    m[np.ix_(tip, tip)] += [[mass, -mass * offset], [-mass * offset, inertia + mass * offset**2]]
    free = np.setdiff1d(np.arange(k.shape[0]), basis.get_dofs(lambda x: np.isclose(x[0], ends[-1])).all())
    # Solved for 1/omega^2, so that rounding spares the lowest frequencies.
    inverse = linalg.eigh(
        m[np.ix_(free, free)],
        k[np.ix_(free, free)],
        eigvals_only=True,
        subset_by_index=(len(free) - modes, len(free) - 1),
    )
    return 60 / (2 * np.pi) / np.sqrt(inverse[::-1])


def test_transfer_matrix_finds_the_tabulated_root_of_a_uniform_cantilever():
    # 1.875104069 squared: first root of cos x cosh x = -1, in every handbook of structural vibration.
    with mpmath.workdps(30):
        root = mpmath.findroot(
            lambda x: clamp_determinant([(1, 1, 1, 1, 1)], 0, 0, 0, x), (12.3, 12.4), solver="secant"
        )
    assert float(root) ** 0.25 == pytest.approx(1.875104069, abs=5e-10)


def up_to(few, many):
    """So many cases in the ordinary run, and all of them at night."""
    return pytest.mark.parametrize("count", [few, pytest.param(many, marks=pytest.mark.nightly)])


@up_to(4, 60)
def test_first_frequency_agrees_with_the_transfer_matrix_on_stepped_clubs(stepped_cases, count):
    deviation = []
    for case in stepped_cases[:count]:
        result = first_frequency(case.profile, **case.club)
        deviation.append(result.frequency_cpm / transfer_matrix_cpm(case, result.frequency_cpm) - 1)
        assert abs(deviation[-1]) <= result.relative_error
    assert np.abs(deviation).max() <= AGREEMENT


@up_to(2, 20)
def test_first_frequency_agrees_with_the_transfer_matrix_on_clubs_of_stations(station_cases, count):
    deviation = []
    for case in station_cases[:count]:
        result = first_frequency(case.profile, **case.club)
        deviation.append(result.frequency_cpm / transfer_matrix_cpm(case, result.frequency_cpm) - 1)
        assert abs(deviation[-1]) <= result.relative_error
    assert np.abs(deviation).max() <= AGREEMENT


@up_to(20, 200)
def test_first_frequency_agrees_with_finite_elements_on_stepped_clubs(stepped_cases, count):
    cases = stepped_cases[:count]
    ours = np.array([first_frequency(case.profile, **case.club).frequency_cpm for case in cases])
    theirs = np.array([finite_element_cpm(case)[0] for case in cases])
    assert np.abs(ours / theirs - 1).max() <= AGREEMENT


def test_finite_elements_come_closer_with_the_fourth_power_of_their_length(station_cases):
    # Where stiffness varies inside elements they are not yet within 1e-9 at 1 in, but on their way to our value.
    ours = np.array([first_frequency(case.profile, **case.club).frequency_cpm for case in station_cases])
    coarse, fine = (
        np.array([finite_element_cpm(case, 5.0, parts)[0] for case in station_cases]) / ours - 1 for parts in (1, 2)
    )
    assert (coarse > 0).all()
    assert coarse / fine == pytest.approx(np.full(len(ours), 16), rel=0.1)


def uniform(elements, mass=1.0, offset=0.0, inertia=0.0, root=0.0, batch=1):
    one = np.ones((elements, 1))
    body = (np.full(batch, value) for value in (mass, offset, inertia, root))
    return Cantilevers(np.full((elements, batch), 1 / elements), one, one, one, one, *body)


@pytest.mark.parametrize("elements", [1, 2, 4])
def test_the_stated_error_covers_the_true_one_on_coarse_elements(elements):
    exact = first_mode(uniform(64), tolerance=1e-12).omega_squared
    mode = first_mode(uniform(elements))
    true_error = abs(np.sqrt(mode.omega_squared / exact) - 1)
    assert 1e-14 < true_error < mode.relative_error


def test_a_body_of_inertia_alone_takes_more_passes_and_its_error_is_covered(eigen):
    beams = uniform(32, mass=0.0, inertia=0.1)
    mode = first_mode(beams)
    assert mode.relative_error <= 1e-9
    assert np.sqrt(mode.omega_squared[0]) == pytest.approx(eigen(beams)[0][0], rel=1e-8)
    loose = first_mode(beams, tolerance=1e-2)
    assert loose.relative_error > 1e-9
    assert abs(np.sqrt(loose.omega_squared / mode.omega_squared) - 1) < loose.relative_error


def test_an_element_without_length_changes_nothing():
    beams = uniform(6)
    lengths = np.insert(beams.lengths, [0, 3, 6], 0.0, axis=0)
    one = np.ones((9, 1))
    padded = Cantilevers(lengths, one, one, one, one, beams.mass, beams.offset, beams.inertia, beams.root_compliance)
    assert first_mode(padded).omega_squared == pytest.approx(first_mode(beams).omega_squared, rel=1e-14)


@pytest.mark.parametrize("stiffness", [1.0, 10.0, 100.0])
def test_root_spring_agrees_with_the_characteristic_equation(stiffness):
    # Rotation spring k at the root of a uniform beam, nothing at its tip:
    # x (cosh x sin x - sinh x cos x) = k (1 + cosh x cos x), a restrained beam of the structural-vibration handbooks.
    x = mpmath.findroot(
        lambda x: (
            x * (mpmath.cosh(x) * mpmath.sin(x) - mpmath.sinh(x) * mpmath.cos(x))
            - stiffness * (1 + mpmath.cosh(x) * mpmath.cos(x))
        ),
        (1.0, 1.8),
        solver="anderson",
    )
    mode = first_mode(uniform(8, mass=0.0, root=1 / stiffness))
    assert np.sqrt(mode.omega_squared[0]) == pytest.approx(float(x) ** 2, rel=1e-9)


def test_static_shape_of_a_uniform_beam_is_the_cubic():
    beams = uniform(5)
    bent = static_shape(beams, np.array([2.0]))
    t = beams.positions[:, 0]
    assert bent.deflection[:, 0] == pytest.approx(2 * (2 - 3 * t + t**3) / 6, abs=1e-14)
    assert bent.tip_slope[0] == pytest.approx(1.0, rel=1e-13)


def tapered(elements, root=0.0):
    """EI from 1 at the free end to 10 at the clamp: no polynomial bends so."""
    ei = np.linspace(1.0, 10.0, elements + 1)[:, None]
    one = np.ones((elements, 1))
    body = (np.array([value]) for value in (0.0, 0.0, 0.0, root))
    return Cantilevers(np.full((elements, 1), 1 / elements), ei[:-1], ei[1:], one, one, *body)


@pytest.mark.parametrize("elements", [1, 2, 4, 8])
@pytest.mark.parametrize("root", [0.0, 0.1, 1.0])
def test_a_bent_shape_s_stated_error_covers_the_true_one(elements, root):
    # Under a unit force at the free end, t from there: w(0) = integral of t^2 / (1 + 9 t) + root, by hand.
    exact = (1 / 2 - 1 / 9 + np.log(10) / 81) / 9 + root
    bent = static_shape(tapered(elements, root), np.array([1.0]))
    true_error = abs(bent.deflection[0, 0] / exact - 1)
    assert true_error < bent.relative_error[0] < 20 * true_error
    # The spring adds to what bends, and nothing to the error in it.
    stiff = static_shape(tapered(elements), np.array([1.0]))
    absolute = stiff.relative_error[0] * stiff.deflection[0, 0]
    assert bent.relative_error[0] * bent.deflection[0, 0] == pytest.approx(absolute, rel=1e-3)


def test_a_bent_shape_grows_with_its_force_and_its_error_does_not():
    one, ten, none = (static_shape(tapered(2, 0.1), np.array([force])) for force in (1.0, 10.0, 0.0))
    assert ten.deflection == pytest.approx(10 * one.deflection)
    assert ten.tip_slope == pytest.approx(10 * one.tip_slope)
    assert ten.relative_error == pytest.approx(one.relative_error)
    assert (none.deflection == 0).all()
    assert 0 <= none.relative_error[0] < 1e-12
