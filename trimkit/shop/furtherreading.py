"""Which one further reading would tell a shaft's stiffness from the clamp's give.

Each reading that could be taken adds its row of derivatives to those at hand; the standard deviations follow before it
is taken. Standing: derived; which readings are tried is chosen here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from trimkit.club.clamp import BareShaft, FrequencyBench
from trimkit.club.profiles import profile_of
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.clamped import CLAMP_IN
from trimkit.parts.errors import ModelError
from trimkit.parts.units import say_in
from trimkit.shop.calibrationmodel import CalibrationModel
from trimkit.shop.reading import Held

DEEPER_IN = (3.0, 6.0, 9.0, 15.0)
"""How much deeper a club or bare shaft is clamped for a further reading, in: chosen here."""
USUAL_TEST_MASS_G = 200.0
"""Of the weight on a bare shaft that nobody has read yet, g: chosen here; much the mass of a driver's head."""
FASTEST_CPM = 800.0
"""Most that a frequency machine is taken to read, cpm: chosen here."""
MOST_REPEATS = 20
"""How often one further reading may have to be repeated before it is no advice: chosen here."""


@dataclass(frozen=True)
class Possible:
    """A reading that could be taken: in words, of which shaft, and what would be in the clamp."""

    words: str
    shaft: str
    held: Held


@dataclass(frozen=True)
class Further:
    """A further reading worth taking: in words, how often to read it, and the largest sd of an EI factor after it.

    times: 1 if one reading is enough; None if :data:`MOST_REPEATS` of them are not.
    """

    words: str
    times: int | None
    ei_factor_sd: float


def possible_readings(taken: Iterable[tuple[str, Held]]) -> Iterator[Possible]:
    """Yield what else could be read of what was read: deeper in the clamp, and a bare shaft of a club's kind.

    taken: the shaft and what was in the clamp, one a reading. A club goes no deeper than its grip is long: jaws half on
    the grip and half on the shaft do not clamp.
    """
    taken = tuple(taken)
    bare = {shaft for shaft, held in taken if isinstance(held, BareShaft)}
    for shaft, held in taken:
        if isinstance(held, BareShaft):
            for depth in (held.bench.clamp_in + more for more in DEEPER_IN):
                yield _bare(shaft, replace(held, bench=replace(held.bench, clamp_in=depth)))
            continue
        for depth in (held.assembly.clamp_in + more for more in DEEPER_IN):
            if depth <= held.wanted.grip.grip_length_in:
                deeper = replace(held, assembly=replace(held.assembly, clamp_in=depth))
                yield Possible(f"the {held.club} with {say_in(depth)} in the clamp", shaft, deeper)
        if shaft not in bare:
            bare.add(shaft)
            profile = profile_of(held.wanted.shaft, held.described_length_in)
            for more in (0.0, *DEEPER_IN):
                bench = FrequencyBench(USUAL_TEST_MASS_G, clamp_in=CLAMP_IN + more)
                yield _bare(shaft, BareShaft(profile, bench))


def _bare(shaft: str, held: BareShaft) -> Possible:
    words = f"a bare {shaft}, {held.bench.test_mass_g:g} g at its tip, with {say_in(held.bench.clamp_in)} in the clamp"
    return Possible(words, shaft, held)


def further_reading(
    jacobian: Floats,
    point: Floats,
    kinds: Sequence[str],
    possible: Iterable[Possible],
    *,
    error_cpm: float,
    most_sd: float,
    worst_condition: float,
) -> Further | None:
    """Answer which further reading leaves the EI factors surest, and how often it has to be taken.

    jacobian: of the readings at hand at the fitted point, shape (n, kinds + 1). error_cpm: of one reading. Enough is
    the fewest times that bring every factor's standard deviation to most_sd or less and the condition of the scaled
    Jacobian to worst_condition or less. None if nothing else can be clamped or told apart.
    What is of a shaft that was not read brings an unknown of its own and is passed over.
    """
    found: list[tuple[float, str, Floats]] = []
    for each in possible:
        if each.shaft not in kinds:
            continue
        model = CalibrationModel([each.held], np.array([kinds.index(each.shaft)]))
        try:
            row, cpm = model.derivatives(point), model.cpm(point)
        except ModelError:  # it cannot be clamped like that
            continue
        if cpm[0] > FASTEST_CPM:
            continue
        sd, condition = _after(jacobian, row, 1, error_cpm)
        if condition <= worst_condition:
            found.append((sd, each.words, row))
    if not found:
        return None
    _, words, row = min(found, key=lambda each: each[0])
    for times in range(1, MOST_REPEATS + 1):
        sd, _ = _after(jacobian, row, times, error_cpm)
        if sd <= most_sd:
            return Further(words, times, sd)
    return Further(words, None, sd)


def _after(jacobian: Floats, row: Floats, times: int, error_cpm: float) -> tuple[float, float]:
    """Return the largest sd of an EI factor and the condition with one more reading taken so many times."""
    whole = np.vstack([jacobian, np.sqrt(times) * row])
    sd, condition = deviations(whole, error_cpm)
    return float(sd[:-1].max()), condition


def deviations(jacobian: Floats, error_cpm: float) -> tuple[Floats, float]:
    """Return the standard deviations of the parameters, shape (parts,), and the condition of the scaled Jacobian.

    jacobian: cpm for one of each parameter, shape (n, parts). error_cpm: of one reading.
    s sqrt(diag((J^T J)^-1)), by the singular values of J with its columns scaled to length 1; infinite where they
    leave a parameter free.
    """
    lengths = np.linalg.norm(jacobian, axis=0)
    _, singular, right = np.linalg.svd(jacobian / lengths, full_matrices=False)
    with np.errstate(divide="ignore"):
        return error_cpm * np.linalg.norm(right.T / singular, axis=1) / lengths, float(singular[0] / singular[-1])
