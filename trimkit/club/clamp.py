"""Clubs and bare shafts in the frequency machine's clamp: the way from a club to its frequency, many at once.

Standing: frequencies by :mod:`trimkit.mechanics.beam`; the usual clamp length is from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from trimkit.club.card import BenchCard
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.clamped import CLAMP_IN
from trimkit.mechanics.profile import Profile
from trimkit.parts.errors import ModelError


@dataclass(frozen=True)
class FrequencyBench:
    """How a shop reads a bare shaft: the test weight at the tip, and the clamp at the butt.

    test_mass_g: of the weight, g. test_offset_in: of its centre beyond the tip, in. test_inertia_g_cm2: about its
    centre. clamp_in: of bare butt in the clamp, in (5 in: from memory). root_spring_n_m_per_rad: rotational stiffness
    of the clamp; None for a rigid one.
    """

    test_mass_g: float
    test_offset_in: float = 0.0
    test_inertia_g_cm2: float = 0.0
    clamp_in: float = CLAMP_IN
    root_spring_n_m_per_rad: float | None = None


@dataclass(frozen=True, eq=False)
class BareShaft:
    """A bare shaft, butt in the clamp, the bench's test weight at its tip."""

    profile: Profile
    bench: FrequencyBench


def _club_numbers(card: BenchCard) -> dict[str, float]:
    wanted, head = card.wanted, card.wanted.head
    return {
        "tip_trim_in": card.tip_trim_in,
        "cut_length_in": card.cut_length_in - card.extension_in,
        "bbgl_in": wanted.bbgl_in,
        "bore_depth_in": head.bore_depth_in,
        # An extension lies inside the clamp, as the cap does.
        "cap_thickness_in": wanted.grip.cap_thickness_in + card.extension_in,
        "head_mass_g": head.head_mass_g + card.assembly.tip_weight_g,
        "cg_height_in": head.cg_height_in,
        "inertia_g_cm2": head.inertia_g_cm2,
        "clamp_in": card.assembly.clamp_in,
    }


def _bare_numbers(shaft: BareShaft) -> dict[str, float]:
    bench = shaft.bench
    return {
        "tip_trim_in": 0.0,
        "cut_length_in": float(shaft.profile.length_in),
        "bbgl_in": 0.0,
        "bore_depth_in": 0.0,
        "cap_thickness_in": 0.0,
        "head_mass_g": bench.test_mass_g,
        "cg_height_in": -bench.test_offset_in,
        "inertia_g_cm2": bench.test_inertia_g_cm2,
        "clamp_in": bench.clamp_in,
    }


def clamped_numbers(held: BenchCard | BareShaft) -> dict[str, float]:
    """Return what the mechanics needs to know of a club or bare shaft in the clamp: lengths in in, masses in g, g cm^2.

    The names are those of :func:`trimkit.mechanics.beam.first_frequency`; a tip weight and a test weight count as head.
    """
    return _club_numbers(held) if isinstance(held, BenchCard) else _bare_numbers(held)


def root_spring_n_m_per_rad(held: BenchCard | BareShaft) -> float | None:
    """Return the rotational stiffness of the clamp that holds a club or bare shaft; None for a rigid clamp."""
    return (held.assembly if isinstance(held, BenchCard) else held.bench).root_spring_n_m_per_rad


def with_root_spring(held: BenchCard | BareShaft, spring_n_m_per_rad: float | None) -> BenchCard | BareShaft:
    """Return the same club or bare shaft in a clamp of another rotational stiffness; None for a rigid clamp."""
    if isinstance(held, BenchCard):
        return replace(held, assembly=replace(held.assembly, root_spring_n_m_per_rad=spring_n_m_per_rad))
    return replace(held, bench=replace(held.bench, root_spring_n_m_per_rad=spring_n_m_per_rad))


def frequencies_cpm(
    row: Sequence[BenchCard | BareShaft],
    changes: Mapping[str, ArrayLike] | None = None,
    *,
    ei_factor: ArrayLike = 1.0,
    mass_factor: ArrayLike = 1.0,
    profiles: Sequence[Profile] | None = None,
) -> Floats:
    """Answer what each of n clubs or bare shafts makes in the clamp, one batched call for each profile among them.

    changes: what is added to the numbers of :func:`clamped_numbers`, in their units. changes, ei_factor and mass_factor
    broadcast to shape (..., n), the clubs last. profiles: of the raw shafts, one a club; None: their own. Returns cpm,
    shape (..., n).

    Raises ModelError as :func:`trimkit.mechanics.beam.first_frequency` does, for an empty row, for a change of
    anything else, and for shapes that do not end in n.
    """
    numbers = [clamped_numbers(held) for held in row]
    added, factors = dict(changes or {}), {"ei_factor": ei_factor, "mass_factor": mass_factor}
    shape = _shape(numbers, added, factors)
    profiles = profiles or [held.profile for held in row]
    groups: dict[tuple[int, float | None], list[int]] = {}
    for n, (held, profile) in enumerate(zip(row, profiles, strict=True)):
        groups.setdefault((id(profile), root_spring_n_m_per_rad(held)), []).append(n)
    found = np.empty(shape)
    for (_, spring), columns in groups.items():
        of = _columns(columns, len(row))
        # A plain number where the group is a single club: its arithmetic is ten times as fast.
        given: dict[str, ArrayLike] = {
            name: numbers[columns[0]][name] if len(columns) == 1 else np.array([numbers[n][name] for n in columns])
            for name in numbers[0]
        }
        moved = {name: np.add(given[name], of(change)) for name, change in added.items()}
        chosen = {name: of(values) for name, values in factors.items()}
        result = first_frequency(profiles[columns[0]], **(given | moved | chosen), root_spring_n_m_per_rad=spring)
        found[..., columns] = np.atleast_1d(result.frequency_cpm)
    return found


def frequency_cpm(held: BenchCard | BareShaft) -> float:
    """Return the frequency (cpm) of one club or bare shaft; raises ModelError if it cannot be computed."""
    return float(frequencies_cpm([held])[0])


def _shape(
    numbers: Sequence[Mapping[str, float]], added: Mapping[str, ArrayLike], factors: Mapping[str, ArrayLike]
) -> tuple[int, ...]:
    """Return the shape of the answer, or refuse what does not fit the row of clubs."""
    unknown = sorted(set(added) - set(numbers[0])) if numbers else []
    if not numbers or unknown:
        given = f"a change of {', '.join(unknown)}" if unknown else "no club"
        allowed = "one club or more" + (", changed in " + ", ".join(numbers[0]) if numbers else "")
        raise ModelError(given, allowed, "correct the call")
    shapes = {np.shape(values) for values in (*added.values(), *factors.values())} - {()}
    try:
        shape = np.broadcast_shapes((len(numbers),), *shapes)
    except ValueError:
        shape = ()
    if shape[-1:] != (len(numbers),):
        raise ModelError(
            f"changes of shapes {', '.join(map(str, sorted(shapes)))} for {len(numbers)} clubs",
            "arrays whose last axis is the clubs'",
            "give one value for each club, or one for all",
        )
    return shape


def _columns(columns: list[int], count: int) -> Callable[[ArrayLike], ArrayLike]:
    """Return a function that picks these clubs' values from an array whose last axis runs over all clubs."""

    def of(values: ArrayLike) -> ArrayLike:
        array = np.asarray(values, dtype=np.float64)
        return array if len(columns) == count or array.ndim == 0 or array.shape[-1] == 1 else array[..., columns]

    return of
