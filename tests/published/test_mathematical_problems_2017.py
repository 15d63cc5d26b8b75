"""Frequency Equation of Flexural Vibrating Cantilever Beam Considering the Rotary Inertial Moment of an Attached Mass.

Mathematical Problems in Engineering 2017, article 1568019, Table 1: uniform beam, tip mass equal to the beam's mass
(mass ratio 1), rotary inertia ratio J. Tolerance: half of the last printed digit.

Erratum: the frequencies printed for J > 0 *rise* with J, which no inertia can do. They are those of a body with the
inertia -J: a sign is reversed in the frequency equation. Only the column J = 0 can be a check.
"""

import pytest

J_ZERO = [(1, 1.557298, 6), (2, 16.25009, 5), (3, 50.89584, 5), (4, 105.1983, 4), (5, 179.2320, 4)]
FIRST_AS_PRINTED = [(0.001, 1.55867, 5), (0.01, 1.571098, 6), (0.1, 1.70226, 5)]


@pytest.mark.parametrize(
    ("mode", "printed", "digits"), [pytest.param(*row, id=f"Table 1, J = 0, frequency {row[0]}") for row in J_ZERO]
)
def test_tip_mass_equal_to_the_beams_mass(beam, mode, printed, digits):
    assert beam(mass=1.0).lowest(mode, count=128)[-1] == pytest.approx(printed, abs=0.5 * 10**-digits)


def test_tip_mass_equal_to_the_beams_mass_by_inverse_iteration(beam):
    assert beam(mass=1.0).first() == pytest.approx(1.557298, abs=0.5e-6)


@pytest.mark.parametrize(
    ("inertia", "printed", "digits"), [pytest.param(*row, id=f"Table 1, J = {row[0]:g}") for row in FIRST_AS_PRINTED]
)
def test_erratum_printed_frequencies_are_those_of_negative_inertia(beam, inertia, printed, digits):
    assert beam(mass=1.0, inertia=-inertia).lowest(1)[0] == pytest.approx(printed, abs=0.5 * 10**-digits)
    assert beam(mass=1.0, inertia=inertia).first() < 1.557298 < printed
