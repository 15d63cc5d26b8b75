"""A club's mass properties: total mass, balance point, swingweight, MOI; and the mass needed for a wanted value.

Positions x count from the cap end along the shaft, in. Swingweight is the first moment about a fulcrum 14 in from the
cap end, in ounce-inches (grams taken as ounces of mass), read on a scale of letters; MOI is the second moment about the
cap end. The fulcrum and the scale (D0 = 213.5 oz in, 1.75 oz in a point, ten points a letter) are from memory,
unverified. All masses and positions may be arrays that broadcast to one shape.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from trimkit.mechanics.batch import Floats, broadcast, refuse_where
from trimkit.mechanics.profile import Profile
from trimkit.parts.errors import ModelError
from trimkit.parts.units import G_PER_OZ, M_PER_IN

FULCRUM_IN = 14.0
"""Distance of the swingweight scale's fulcrum from the cap end, in: from memory, unverified."""
D0_OZ_IN = 213.5
"""Moment read as D0, oz in: from memory, unverified."""
POINT_OZ_IN = 1.75
"""Moment of one swingweight point, oz in: from memory, unverified."""
POINTS_PER_LETTER = 10
"""From memory, unverified."""

_LETTERS = "ABCDEFG"
_A0_OZ_IN = D0_OZ_IN - _LETTERS.index("D") * POINTS_PER_LETTER * POINT_OZ_IN
_NO_MASS_G = 1e-9
# 1 g cm^2 = 1e-3 kg cm^2; 1 in = 2.54 cm.
_CM_PER_IN = M_PER_IN * 100


@dataclass(frozen=True, eq=False)
class Component:
    """A part of a club: mass (g), centre from the cap end (in), own inertia about its centre across the shaft (g cm^2).

    Raises ModelError for a negative mass or inertia, and for a value that is not a finite number.
    """

    name: str
    mass_g: ArrayLike
    from_cap_in: ArrayLike
    inertia_g_cm2: ArrayLike = 0.0

    def __post_init__(self) -> None:
        _, given = broadcast(mass_g=self.mass_g, from_cap_in=self.from_cap_in, inertia_g_cm2=self.inertia_g_cm2)
        for field in ("mass_g", "inertia_g_cm2"):
            refuse_where(given[field] < 0, f"{self.name}: {field}", given[field], "0 or more", "weigh it again")


@dataclass(frozen=True, eq=False)
class Balance:
    """A club's mass properties, arrays of the batch's shape.

    total_mass_g: g. balance_point_in: from the cap end, in. swingweight_oz_in: first moment about the fulcrum, oz in.
    moi_kg_cm2: second moment about the cap end, kg cm^2.
    """

    total_mass_g: Floats
    balance_point_in: Floats
    swingweight_oz_in: Floats
    moi_kg_cm2: Floats

    @property
    def swingweight_points(self) -> Floats:
        """Swingweight in points above A0 (D0 is 30), the unit of differences."""
        return (self.swingweight_oz_in - _A0_OZ_IN) / POINT_OZ_IN

    @property
    def swingweight(self) -> str:
        """Swingweight of a single club on the letter scale, for example ``'D2.3'``; raises ModelError off the scale."""
        return swingweight_text(float(self.swingweight_oz_in))


def balance(components: Sequence[Component]) -> Balance:
    """Answer how heavy a club is, where it balances, and what its swingweight and MOI are.

    M = sum m, x = sum(m x)/M, S = sum m (x - 14 in), MOI = sum(m x^2 + I). Raises ModelError if there is no component,
    if shapes do not fit, or if the total mass is zero.
    """
    mass, first, second = (_sum(components, power) for power in range(3))
    refuse_where(mass <= 0, "the club's mass in grams", mass, "more than 0", "weigh the parts")
    return Balance(mass, first / mass, (first - FULCRUM_IN * mass) / G_PER_OZ, second * 1e-3)


def _sum(components: Sequence[Component], power: int) -> Floats:
    """Sum of m (power 0), of m x (1; g in), of m x^2 + I (2; g cm^2)."""
    if not components:
        raise ModelError("no component", "one part or more", "name the club's parts")
    named = {}
    for number, part in enumerate(components):
        for field in ("mass_g", "from_cap_in", "inertia_g_cm2"):
            named[f"{field} of {part.name} ({number + 1})"] = getattr(part, field)
    shape, given = broadcast(**named)
    total = np.zeros(shape)
    values = list(given.values())
    for m, x, i in zip(values[0::3], values[1::3], values[2::3], strict=True):
        total = total + (m * (x * _CM_PER_IN) ** 2 + i if power == 2 else m * x**power)
    return total[()]


def club_components(
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
    grip_mass_g: ArrayLike,
    grip_cg_from_cap_in: ArrayLike,
    grip_length_in: ArrayLike,
    ferrule_mass_g: ArrayLike = 0.0,
    ferrule_length_in: ArrayLike = 1.0,
    tape_mass_g: ArrayLike = 0.0,
    epoxy_mass_g: ArrayLike = 0.0,
    tip_weight_g: ArrayLike = 0.0,
    mass_factor: ArrayLike = 1.0,
) -> tuple[Component, ...]:
    """Return a built club's components: head, shaft as cut, grip, and the ferrule, tape, epoxy and tip weight it has.

    Lengths, cuts and head as in :func:`trimkit.mechanics.beam.first_frequency`. grip_cg_from_cap_in, grip_length_in: of
    the grip with its cap, in. The grip counts as a rod of its length about its own centre. The ferrule sits on the
    hosel's top; tape lies under the grip; epoxy fills the bore at half its depth; a tip weight sits at the shaft's
    lower end. mass_factor: on the shaft's mass. The head's centre is taken to lie on the shaft's axis.

    The shaft's mass and centre come from its profile. Raises ModelError for lengths that are not on the shaft.
    """
    _, given = broadcast(
        tip_trim_in=tip_trim_in,
        cut_length_in=cut_length_in,
        bbgl_in=bbgl_in,
        bore_depth_in=bore_depth_in,
        cap_thickness_in=cap_thickness_in,
        cg_height_in=cg_height_in,
        ferrule_length_in=ferrule_length_in,
        grip_length_in=grip_length_in,
        mass_factor=mass_factor,
        grip_mass_g=grip_mass_g,
    )
    trim, cut, bbgl, cap = (given[n] for n in ("tip_trim_in", "cut_length_in", "bbgl_in", "cap_thickness_in"))
    lower_end = cut + cap
    hosel_top = lower_end - given["bore_depth_in"]
    shaft = profile.section(trim, trim + cut)
    grip_length = given["grip_length_in"]
    rod = grip_length**2 / 12 * _CM_PER_IN**2
    return (
        Component("head", head_mass_g, lower_end + bbgl - given["cg_height_in"], inertia_g_cm2),
        Component(
            "shaft",
            shaft.mass_g * given["mass_factor"],
            lower_end + trim - shaft.centre_from_tip_in,
            shaft.inertia_g_cm2 * given["mass_factor"],
        ),
        Component("grip", grip_mass_g, grip_cg_from_cap_in, given["grip_mass_g"] * rod),
        Component("ferrule", ferrule_mass_g, hosel_top - given["ferrule_length_in"] / 2),
        Component("tape", tape_mass_g, (cap + grip_length) / 2),
        Component("epoxy", epoxy_mass_g, (lower_end + hosel_top) / 2),
        Component("tip weight", tip_weight_g, lower_end),
    )


def mass_for_swingweight(components: Sequence[Component], name: str, target_oz_in: ArrayLike) -> Floats:
    """Answer what mass (g) the named component must have for a wanted swingweight (oz in), all others as they are.

    m = (S - sum of the others' moments) / (x - 14 in). Raises ModelError if there is no such component, if it lies on
    the fulcrum, or if only a negative mass would do.
    """
    part, others = _apart(components, name)
    _, given = broadcast(target_oz_in=target_oz_in, position=part.from_cap_in)
    arm = given["position"] - FULCRUM_IN
    refuse_where(np.abs(arm) < 1e-6, f"{name}: distance from the fulcrum in inches", arm, "not 0", "move the weight")
    moment = _sum(others, 1) - FULCRUM_IN * _sum(others, 0)
    return _possible(name, (given["target_oz_in"] * G_PER_OZ - moment) / arm)


def mass_for_moi(components: Sequence[Component], name: str, target_kg_cm2: ArrayLike) -> Floats:
    """Answer what mass (g) the named component must have for a wanted MOI (kg cm^2), its own inertia as it is.

    m = (MOI - I - sum of the others' second moments) / x^2. Raises ModelError as :func:`mass_for_swingweight` does.
    """
    part, others = _apart(components, name)
    _, given = broadcast(target_kg_cm2=target_kg_cm2, position=part.from_cap_in, own=part.inertia_g_cm2)
    arm = given["position"]
    refuse_where(np.abs(arm) < 1e-6, f"{name}: distance from the cap end in inches", arm, "not 0", "move the weight")
    rest = _sum(others, 2) + given["own"]
    return _possible(name, (given["target_kg_cm2"] * 1e3 - rest) / (arm * _CM_PER_IN) ** 2)


def _apart(components: Sequence[Component], name: str) -> tuple[Component, Sequence[Component]]:
    found = [part for part in components if part.name == name]
    if len(found) != 1:
        known = ", ".join(part.name for part in components)
        raise ModelError(f"{len(found)} components named {name!r}", f"one of: {known}", "name the one to change")
    # Kept as a weightless part, so that a club of one component still has others.
    return found[0], [replace(part, mass_g=0.0, inertia_g_cm2=0.0) if part is found[0] else part for part in components]


def _possible(name: str, mass_g: Floats) -> Floats:
    # If the club already meets the target, rounding can put a weightless part just below zero.
    mass_g = np.where(np.abs(mass_g) < _NO_MASS_G, 0.0, mass_g)
    refuse_where(
        mass_g < 0,
        f"the mass in grams that {name} would need",
        mass_g,
        "0 or more",
        "change another part, the length or the target",
    )
    return mass_g[()]


def swingweight_text(moment_oz_in: float) -> str:
    """Return a moment (oz in) on the letter scale, to a tenth of a point; raises ModelError off the scale (A0 to G9.9).

    >>> swingweight_text(213.5), swingweight_text(217.5)
    ('D0.0', 'D2.3')
    """
    broadcast(swingweight_oz_in=moment_oz_in)
    tenths = round((moment_oz_in - _A0_OZ_IN) / POINT_OZ_IN * 10)
    letter, rest = divmod(tenths, 10 * POINTS_PER_LETTER)
    if not 0 <= letter < len(_LETTERS):
        top = swingweight_oz_in(f"{_LETTERS[-1]}9.9")
        raise ModelError(
            f"a swingweight of {moment_oz_in:.1f} oz in",
            f"{_A0_OZ_IN:g} to {top:g} oz in (A0 to G9.9)",
            "check masses and length",
        )
    return f"{_LETTERS[letter]}{rest / 10:.1f}"


def swingweight_words(moment_oz_in: float) -> str:
    """Return a moment (oz in) on the letter scale, or in words which end of the scale (A0 to G9.9) it is beyond.

    For papers: a club off the scale, such as a child's, can still be cut. Raises ModelError if it is not finite.

    >>> swingweight_words(213.5), swingweight_words(140.4), swingweight_words(300.0)
    ('D0.0', 'below A0', 'above G9.9')
    """
    broadcast(swingweight_oz_in=moment_oz_in)
    try:
        return swingweight_text(moment_oz_in)
    except ModelError:
        return "below A0" if moment_oz_in < D0_OZ_IN else "above G9.9"


def swingweight_oz_in(text: str) -> float:
    """Return the moment (oz in) of a swingweight on the letter scale; raises ModelError if it is not on it.

    >>> swingweight_oz_in("D0"), swingweight_oz_in("D2.3"), swingweight_oz_in("C9")
    (213.5, 217.525, 211.75)
    """
    match = re.fullmatch(r"\s*([A-G])\s*(\d(?:\.\d*)?)\s*", text.upper())
    if match is None:
        raise ModelError(f"the swingweight {text!r}", "a letter A to G and points 0 to 9.9", "write it like 'D2.3'")
    points = _LETTERS.index(match[1]) * POINTS_PER_LETTER + float(match[2])
    return round(_A0_OZ_IN + points * POINT_OZ_IN, 9)


def points_between(before: str, after: str) -> float:
    """Return how many points the second of two written swingweights is above the first; + heavier in the head.

    A difference that stands beside two letters is theirs, however they were rounded. Raises ModelError as
    :func:`swingweight_oz_in`.

    >>> points_between("C9.6", "D0")
    0.4
    """
    return round((swingweight_oz_in(after) - swingweight_oz_in(before)) / POINT_OZ_IN, 9)
