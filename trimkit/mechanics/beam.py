"""The first bending frequency of a club in a clamp, and of a raw shaft with a test weight.

An Euler-Bernoulli cantilever: clamped over ``clamp_in`` from the cap end, free down to the hosel's top, rigid inside
the hosel, a rigid head at its end (:mod:`trimkit.mechanics.cantilever` says how it is solved). Left out are shear, the
torsion that the heel-toe offset of the head's centre couples in, damping, gravity, give of the hosel, and the grip;
:mod:`trimkit.mechanics.neglected` puts numbers to them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import constants

from trimkit.mechanics.batch import Floats, broadcast, refuse_where
from trimkit.mechanics.cantilever import first_mode
from trimkit.mechanics.clamped import Bench, Pieces, cantilevers, pieces
from trimkit.mechanics.profile import Profile

CLAMP_IN = 5.0
"""Length of the clamp from the cap end, in: from memory, unverified."""
TOLERANCE = 1e-9
"""Relative error of a frequency above which it is refused: chosen here, far below what a machine reads."""
_CHUNK = 512
_SAME_PLACE_IN = 1e-9


@dataclass(frozen=True, eq=False)
class FrequencyResult:
    """First bending frequencies of a batch; every array has the batch's shape (a plain number for a single club).

    frequency_cpm: cycles per minute. relative_error: bound of the computation's own error (not of the model's).
    dunkerley_cpm: a lower bound by Dunkerley's sum. clamp_in, root_spring_n_m_per_rad: as assumed; None is a clamp that
    does not give.
    """

    frequency_cpm: Floats
    relative_error: Floats
    dunkerley_cpm: Floats
    clamp_in: ArrayLike
    root_spring_n_m_per_rad: ArrayLike | None


def first_frequency(
    profile: Profile,
    *,
    tip_trim_in: ArrayLike,
    cut_length_in: ArrayLike,
    bbgl_in: ArrayLike,
    bore_depth_in: ArrayLike,
    cap_thickness_in: ArrayLike,
    head_mass_g: ArrayLike,
    cg_height_in: ArrayLike,
    inertia_g_cm2: ArrayLike,
    clamp_in: ArrayLike = CLAMP_IN,
    root_spring_n_m_per_rad: ArrayLike | None = None,
    ei_factor: ArrayLike = 1.0,
    mass_factor: ArrayLike = 1.0,
) -> FrequencyResult:
    """Answer how many cycles per minute a club makes in the clamp: its first bending frequency.

    profile: the raw shaft (or a stack of them, whose leading axes broadcast too). tip_trim_in, cut_length_in: taken off
    the tip; left after both cuts, in. bbgl_in, bore_depth_in, cg_height_in: of the head, along the shaft axis, in.
    cap_thickness_in: of the grip, in. head_mass_g, inertia_g_cm2: of the head, about its centre. clamp_in: from the cap
    end, in. root_spring_n_m_per_rad: moment per rotation of a clamp that gives; None if it does not. ei_factor,
    mass_factor: on the profile's stiffness and mass. All broadcast to one shape.

    The head's centre lies e = bbgl + bore_depth - cg_height beyond the free end.

    Raises ModelError, with the batch index, for values no club can have: not finite, zero or negative mass, longer
    than the shaft, a clamp that reaches the hosel or ends in the cap, a bore deeper than what is left of the parallel
    section, a head's centre above the clamp; and where the relative error is above 1e-9.
    """
    rigid = root_spring_n_m_per_rad is None
    shape, given = broadcast(
        profile=np.zeros(profile.edges_in.shape[:-1]),
        tip_trim_in=tip_trim_in,
        cut_length_in=cut_length_in,
        bbgl_in=bbgl_in,
        bore_depth_in=bore_depth_in,
        cap_thickness_in=cap_thickness_in,
        head_mass_g=head_mass_g,
        cg_height_in=cg_height_in,
        inertia_g_cm2=inertia_g_cm2,
        clamp_in=clamp_in,
        root_spring_n_m_per_rad=1.0 if root_spring_n_m_per_rad is None else root_spring_n_m_per_rad,
        ei_factor=ei_factor,
        mass_factor=mass_factor,
    )
    _refuse_signs(given)
    hosel_top = given["tip_trim_in"] + given["bore_depth_in"]
    clamp_edge = given["tip_trim_in"] + given["cut_length_in"] + given["cap_thickness_in"] - given["clamp_in"]
    offset = given["bbgl_in"] + given["bore_depth_in"] - given["cg_height_in"]
    _refuse_geometry(profile, given, hosel_top, clamp_edge, offset)

    def flat(values: Floats, unit: float = 1.0) -> Floats:
        return np.broadcast_to(values * unit, shape).reshape(-1)

    root = np.zeros(()) if rigid else 1 / given["root_spring_n_m_per_rad"]
    bench = Bench(
        lower_end=flat(given["tip_trim_in"], constants.inch),
        hosel_top=flat(hosel_top, constants.inch),
        clamp_edge=flat(clamp_edge, constants.inch),
        head_mass=flat(given["head_mass_g"], 1e-3),
        head_offset=flat(offset, constants.inch),
        head_inertia=flat(given["inertia_g_cm2"], 1e-7),
        root_compliance=flat(root),
        ei_factor=flat(given["ei_factor"]),
        mass_factor=flat(given["mass_factor"]),
        which=_which(profile, shape),
    )
    return _solve(pieces(profile), bench, shape, given["clamp_in"], None if rigid else root_spring_n_m_per_rad)


def raw_shaft_frequency(
    profile: Profile,
    *,
    test_mass_g: ArrayLike,
    test_offset_in: ArrayLike = 0.0,
    test_inertia_g_cm2: ArrayLike = 0.0,
    clamp_in: ArrayLike = CLAMP_IN,
    root_spring_n_m_per_rad: ArrayLike | None = None,
) -> FrequencyResult:
    """Answer how many cycles per minute a bare shaft makes, butt in the clamp, a test weight at its tip.

    test_mass_g: of the weight. test_offset_in: of its centre beyond the tip, in. test_inertia_g_cm2: about its centre.
    The clamp holds ``clamp_in`` of the bare butt. Everything else, and what is raised, as in :func:`first_frequency`.
    """
    return first_frequency(
        profile,
        tip_trim_in=0.0,
        cut_length_in=profile.length_in,
        bbgl_in=0.0,
        bore_depth_in=0.0,
        cap_thickness_in=0.0,
        head_mass_g=test_mass_g,
        cg_height_in=-np.asarray(test_offset_in, dtype=np.float64),
        inertia_g_cm2=test_inertia_g_cm2,
        clamp_in=clamp_in,
        root_spring_n_m_per_rad=root_spring_n_m_per_rad,
    )


def _which(profile: Profile, shape: tuple[int, ...]) -> np.ndarray:
    leading = profile.edges_in.shape[:-1]
    return np.broadcast_to(np.arange(math.prod(leading)).reshape(leading), shape).reshape(-1)


def _solve(
    shaft: Pieces, bench: Bench, shape: tuple[int, ...], clamp_in: Floats, root_spring: ArrayLike | None
) -> FrequencyResult:
    cpm, error, lower = (np.empty(bench.which.size) for _ in range(3))
    for part, clubs in bench.chunks(_CHUNK):
        mode = first_mode(cantilevers(shaft, clubs), tolerance=TOLERANCE)
        cpm[part] = np.sqrt(mode.omega_squared) * (60 / (2 * math.pi))
        lower[part] = np.sqrt(mode.dunkerley) * (60 / (2 * math.pi))
        error[part] = mode.relative_error
    error = error.reshape(shape)
    refuse_where(
        ~(error <= TOLERANCE),
        "the frequency's relative error",
        error,
        f"at most {TOLERANCE:g}",
        "describe the shaft by more, shorter segments",
    )
    return FrequencyResult(cpm.reshape(shape)[()], error[()], lower.reshape(shape)[()], clamp_in[()], root_spring)


def _refuse_signs(given: dict[str, Floats]) -> None:
    for name in ("cut_length_in", "head_mass_g", "clamp_in", "ei_factor", "mass_factor", "root_spring_n_m_per_rad"):
        refuse_where(given[name] <= 0, name, given[name], "more than 0", "check the unit and measure again")
    for name in ("tip_trim_in", "bore_depth_in", "cap_thickness_in", "inertia_g_cm2"):
        refuse_where(given[name] < 0, name, given[name], "0 or more", "check the unit and measure again")


def _refuse_geometry(
    profile: Profile, given: dict[str, Floats], hosel_top: Floats, clamp_edge: Floats, offset: Floats
) -> None:
    used = given["tip_trim_in"] + given["cut_length_in"]
    refuse_where(
        used > profile.length_in + _SAME_PLACE_IN,
        "tip_trim_in + cut_length_in",
        used,
        "at most the raw length",
        "choose a longer shaft or a smaller cut",
    )
    refuse_where(
        given["clamp_in"] < given["cap_thickness_in"],
        "clamp_in",
        given["clamp_in"],
        "at least the cap's thickness",
        "clamp the shaft, not the cap",
    )
    refuse_where(
        clamp_edge <= hosel_top,
        "the free length in inches between clamp and hosel",
        clamp_edge - hosel_top,
        "more than 0",
        "use a shorter clamp or a longer shaft",
    )
    refuse_where(
        hosel_top > profile.tip_section_in + _SAME_PLACE_IN,
        "tip_trim_in + bore_depth_in",
        hosel_top,
        f"at most the parallel section, {profile.tip_section_in:g} in",
        "trim less: what is left must still fill the bore",
    )
    refuse_where(
        offset <= hosel_top - clamp_edge,
        "the height in inches of the head's centre above the hosel's top",
        -offset,
        "below the clamp",
        "measure cg_height_in from the ground line, along the shaft",
    )
