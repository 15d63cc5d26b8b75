"""From the bench's inches and grams to cantilevers: which part of the shaft is free, which moves with the head.

Positions count along the shaft from its raw tip, in. The shaft's lower end lies at ``tip_trim_in``, the hosel's top at
``tip_trim_in + bore_depth_in``; the clamp holds from ``clamp_in`` below the cap end upwards. What lies in the hosel
moves with the head as one rigid body.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Required, TypedDict

import numpy as np
from numpy.typing import ArrayLike

from trimkit.mechanics.batch import Floats, broadcast, refuse_where
from trimkit.mechanics.cantilever import Cantilevers
from trimkit.mechanics.profile import SAME_PLACE_IN, Pieces, Profile
from trimkit.mechanics.sectionmass import body_between
from trimkit.parts.units import M_PER_IN

CLAMP_IN = 5.0
"""Length of the clamp from the cap end, in: from memory, unverified."""


class ClampedClub(TypedDict, total=False):
    """A club in the clamp; numbers, or arrays that broadcast to one shape.

    tip_trim_in, cut_length_in: taken off the tip; left after both cuts, in. bbgl_in, bore_depth_in, cg_height_in: of
    the head, along the shaft axis, in. cap_thickness_in: of the grip, in. head_mass_g, inertia_g_cm2: of the head,
    about its centre. clamp_in: from the cap end, in. root_spring_n_m_per_rad: moment per rotation of the clamp; None if
    it is rigid. ei_factor, mass_factor: on the profile's stiffness and mass.
    """

    tip_trim_in: Required[ArrayLike]
    cut_length_in: Required[ArrayLike]
    bbgl_in: Required[ArrayLike]
    bore_depth_in: Required[ArrayLike]
    cap_thickness_in: Required[ArrayLike]
    head_mass_g: Required[ArrayLike]
    cg_height_in: Required[ArrayLike]
    inertia_g_cm2: Required[ArrayLike]
    clamp_in: ArrayLike
    root_spring_n_m_per_rad: ArrayLike | None
    ei_factor: ArrayLike
    mass_factor: ArrayLike


@dataclass(frozen=True, eq=False)
class Bench:
    """A flat batch of B clubs in the clamp; metres, kilograms; each (B,).

    lower_end, hosel_top, clamp_edge: positions from the raw tip. head_mass, head_offset (of its centre beyond the
    hosel's top), head_inertia.
    """

    lower_end: Floats
    hosel_top: Floats
    clamp_edge: Floats
    head_mass: Floats
    head_offset: Floats
    head_inertia: Floats
    root_compliance: Floats
    ei_factor: Floats
    mass_factor: Floats

    def chunks(self, size: int) -> Iterator[tuple[slice, Bench]]:
        """Yield the batch in parts of at most ``size`` clubs."""
        if self.lower_end.size <= size:
            yield slice(None), self
            return
        for start in range(0, self.lower_end.size, size):
            part = slice(start, start + size)
            yield part, Bench(*(getattr(self, name)[part] for name in self.__dataclass_fields__))


def bench_of(profile: Profile, club: ClampedClub) -> tuple[tuple[int, ...], Bench]:
    """Return the batch's shape and its clubs on the bench; raises ModelError for values no club can have."""
    keywords = {"clamp_in": CLAMP_IN, "ei_factor": 1.0, "mass_factor": 1.0, **club}
    # No root spring means a rigid clamp.
    shape, given = broadcast(**{name: values for name, values in keywords.items() if values is not None})  # type: ignore[arg-type]
    for name in ("cut_length_in", "head_mass_g", "clamp_in", "ei_factor", "mass_factor", "root_spring_n_m_per_rad"):
        if name in given:
            refuse_where(given[name] <= 0, name, given[name], "more than 0", "check the unit and measure again")
    for name in ("tip_trim_in", "bore_depth_in", "cap_thickness_in", "inertia_g_cm2"):
        refuse_where(given[name] < 0, name, given[name], "0 or more", "check the unit and measure again")
    hosel_top = given["tip_trim_in"] + given["bore_depth_in"]
    clamp_edge = given["tip_trim_in"] + given["cut_length_in"] + given["cap_thickness_in"] - given["clamp_in"]
    offset = given["bbgl_in"] + given["bore_depth_in"] - given["cg_height_in"]
    _refuse_geometry(profile, given, hosel_top, clamp_edge, offset)

    in_si = {
        "lower_end": given["tip_trim_in"] * M_PER_IN,
        "hosel_top": hosel_top * M_PER_IN,
        "clamp_edge": clamp_edge * M_PER_IN,
        "head_mass": given["head_mass_g"] * 1e-3,
        "head_offset": offset * M_PER_IN,
        "head_inertia": given["inertia_g_cm2"] * 1e-7,
        "root_compliance": 1 / given.get("root_spring_n_m_per_rad", np.inf),
        "ei_factor": given["ei_factor"],
        "mass_factor": given["mass_factor"],
    }
    rows = np.empty((len(in_si), *shape))
    for number, values in enumerate(in_si.values()):
        rows[number] = values
    flat = dict(zip(in_si, rows.reshape(len(in_si), -1), strict=True))
    return shape, Bench(**flat)


def _refuse_geometry(
    profile: Profile, given: dict[str, Floats], hosel_top: Floats, clamp_edge: Floats, offset: Floats
) -> None:
    used, clamp = given["tip_trim_in"] + given["cut_length_in"], given["clamp_in"]
    refuse_where(
        used > profile.length_in + SAME_PLACE_IN,
        "tip_trim_in + cut_length_in",
        used,
        "at most the raw length",
        "choose a longer shaft or a smaller cut",
    )
    refuse_where(
        clamp < given["cap_thickness_in"], "clamp_in", clamp, "at least the cap's thickness", "clamp the shaft"
    )
    refuse_where(
        clamp_edge <= hosel_top,
        "the free length in inches between clamp and hosel",
        clamp_edge - hosel_top,
        "more than 0",
        "use a shorter clamp or a longer shaft",
    )
    refuse_where(
        hosel_top > profile.tip_section_in + SAME_PLACE_IN,
        "tip_trim_in + bore_depth_in",
        hosel_top,
        f"at most the parallel section, {profile.tip_section_in:g} in",
        "trim less: what is left must still fill the bore",
    )
    refuse_where(
        offset <= hosel_top - clamp_edge,
        "the height in inches of the head's center above the hosel's top",
        -offset,
        "below the clamp",
        "measure cg_height_in from the ground line, along the shaft",
    )


def cantilevers(shaft: Pieces, bench: Bench) -> Cantilevers:
    """Return the free parts of the shafts as cantilevers, each with head and hosel part as the body at its end."""
    ends = np.minimum(np.maximum(shaft.edges, bench.hosel_top), bench.clamp_edge)
    if shaft.stepped:
        ei, mu = shaft.ei_low * bench.ei_factor, shaft.mu_low * bench.mass_factor
        ei_low, ei_high, mu_low, mu_high = ei, ei, mu, mu
    else:
        # An element outside the free part has no length; clipping to its own ends keeps its values positive.
        starts, whole = shaft.edges[:-1], shaft.edges[1:] - shaft.edges[:-1]
        whole = np.where(whole > 0, whole, 1.0)
        low, high = (np.clip((end - starts) / whole, 0.0, 1.0) for end in (ends[:-1], ends[1:]))
        ei_rise, mu_rise = shaft.ei_high - shaft.ei_low, shaft.mu_high - shaft.mu_low
        ei_low, ei_high = ((shaft.ei_low + at * ei_rise) * bench.ei_factor for at in (low, high))
        mu_low, mu_high = ((shaft.mu_low + at * mu_rise) * bench.mass_factor for at in (low, high))
    body = _with_hosel_part(shaft, bench)
    return Cantilevers(ends[1:] - ends[:-1], ei_low, ei_high, mu_low, mu_high, *body, bench.root_compliance)


def _with_hosel_part(shaft: Pieces, bench: Bench) -> tuple[Floats, Floats, Floats]:
    """Return mass, offset beyond the hosel's top and inertia of the head together with the shaft inside it."""
    densities = shaft.mu_low[:, 0], shaft.mu_high[:, 0]
    mass, centre, inertia = body_between(shaft.edges[:, 0], *densities, bench.lower_end, bench.hosel_top)
    mass, inertia, beyond = mass * bench.mass_factor, inertia * bench.mass_factor, bench.hosel_top - centre
    total = bench.head_mass + mass
    offset = (bench.head_mass * bench.head_offset + mass * beyond) / total
    about_centre = bench.head_mass * (bench.head_offset - offset) ** 2 + mass * (beyond - offset) ** 2
    return total, offset, bench.head_inertia + inertia + about_centre
