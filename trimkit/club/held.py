"""Planned clubs and bare shafts as the frequency machine holds them, and many of them changed a little, at once.

Standing: frequencies by :mod:`trimkit.mechanics.beam`; the usual clamp length is from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from trimkit.club.club import Assembly, profile_of
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.clamped import CLAMP_IN
from trimkit.mechanics.profile import Profile
from trimkit.parts.errors import ModelError
from trimkit.trim.plan import TrimPlan

NUMBERS = (
    "tip_trim_in",
    "cut_length_in",
    "bbgl_in",
    "bore_depth_in",
    "cap_thickness_in",
    "head_mass_g",
    "cg_height_in",
    "inertia_g_cm2",
    "clamp_in",
)
"""The numbers of a held club that may be changed, each with its unit in its name."""


@dataclass(frozen=True)
class FrequencyBench:
    """How a shop reads a bare shaft: the test weight at the tip, and the clamp at the butt.

    test_mass_g: of the weight, g. test_offset_in: of its centre beyond the tip, in. test_inertia_g_cm2: about its
    centre. clamp_in: of bare butt in the clamp, in (5 in: from memory). root_spring_n_m_per_rad: of a clamp that
    gives; None for one that does not.
    """

    test_mass_g: float
    test_offset_in: float = 0.0
    test_inertia_g_cm2: float = 0.0
    clamp_in: float = CLAMP_IN
    root_spring_n_m_per_rad: float | None = None


@dataclass(frozen=True)
class Held:
    """One club, or one bare shaft with a test weight, in the clamp: the numbers the mechanics takes.

    profile: the raw shaft. Lengths in in, head (or test weight) in g and g cm^2, as in
    :func:`trimkit.mechanics.beam.first_frequency`. An extension at the butt counts as cap: it lies in the clamp.
    """

    profile: Profile
    tip_trim_in: float
    cut_length_in: float
    bbgl_in: float
    bore_depth_in: float
    cap_thickness_in: float
    head_mass_g: float
    cg_height_in: float
    inertia_g_cm2: float
    clamp_in: float = CLAMP_IN


def held_club(plan: TrimPlan, assembly: Assembly | None = None) -> Held:
    """Return a planned club as its assembly says it is clamped; a tip weight counts as head."""
    assembly, wanted = assembly or Assembly(), plan.wanted
    return Held(
        profile=profile_of(wanted.shaft, plan.raw_length_in),
        tip_trim_in=plan.tip_trim_in,
        cut_length_in=plan.cut_length_in - plan.extension_in,
        bbgl_in=wanted.bbgl_in,
        bore_depth_in=wanted.head.bore_depth_in,
        cap_thickness_in=wanted.grip.cap_thickness_in + plan.extension_in,
        head_mass_g=wanted.head.head_mass_g + assembly.tip_weight_g,
        cg_height_in=wanted.head.cg_height_in,
        inertia_g_cm2=wanted.head.inertia_g_cm2,
        clamp_in=assembly.clamp_in,
    )


def held_raw(profile: Profile, bench: FrequencyBench) -> Held:
    """Return a bare shaft, butt in the clamp, the bench's test weight at its tip."""
    return Held(
        profile=profile,
        tip_trim_in=0.0,
        cut_length_in=float(profile.length_in),
        bbgl_in=0.0,
        bore_depth_in=0.0,
        cap_thickness_in=0.0,
        head_mass_g=bench.test_mass_g,
        cg_height_in=-bench.test_offset_in,
        inertia_g_cm2=bench.test_inertia_g_cm2,
        clamp_in=bench.clamp_in,
    )


def held_frequencies_cpm(
    clubs: Sequence[Held],
    changes: Mapping[str, ArrayLike] | None = None,
    *,
    ei_factor: ArrayLike = 1.0,
    mass_factor: ArrayLike = 1.0,
    root_spring_n_m_per_rad: ArrayLike | None = None,
) -> Floats:
    """Answer what a row of n held clubs measures, in one batched call for each profile among them.

    changes: what is added to each of :data:`NUMBERS`, in its unit. changes, ei_factor, mass_factor and root spring
    (N m/rad; None does not give) broadcast to shape (..., n), the clubs last. Returns cpm, shape (..., n).

    Raises ModelError as :func:`trimkit.mechanics.beam.first_frequency` does, for an empty row, for a change of
    anything else, and for shapes that do not end in n.
    """
    changes = dict(changes or {})
    unknown = sorted(set(changes) - set(NUMBERS))
    if not clubs or unknown:
        given = f"a change of {', '.join(unknown)}" if unknown else "no club"
        raise ModelError(given, "one club or more, changed in " + ", ".join(NUMBERS), "correct the call")
    extra = {"ei_factor": ei_factor, "mass_factor": mass_factor}
    if root_spring_n_m_per_rad is not None:
        extra["root_spring_n_m_per_rad"] = root_spring_n_m_per_rad
    shapes = [np.shape(values) for values in (*changes.values(), *extra.values())]
    try:
        shape = np.broadcast_shapes((len(clubs),), *shapes)
    except ValueError:
        shape = ()
    if shape[-1:] != (len(clubs),):
        raise ModelError(
            f"changes of shapes {', '.join(map(str, shapes))} for {len(clubs)} clubs",
            "arrays whose last axis is the clubs'",
            "give one value for each club, or one for all",
        )
    found = np.empty(shape)
    for profile in {id(club.profile): club.profile for club in clubs}.values():
        columns = [n for n, club in enumerate(clubs) if club.profile is profile]
        every = len(columns) == len(clubs)

        def of(values: ArrayLike, columns: list[int] = columns, every: bool = every) -> ArrayLike:
            array = np.asarray(values, dtype=np.float64)
            return array if every or array.ndim == 0 or array.shape[-1] == 1 else array[..., columns]

        numbers = {
            name: np.array([getattr(clubs[n], name) for n in columns]) + of(changes.get(name, 0.0)) for name in NUMBERS
        }
        result = first_frequency(profile, **numbers, **{name: of(values) for name, values in extra.items()})
        found[..., columns] = result.frequency_cpm
    return found
