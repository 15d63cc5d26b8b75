"""A shaft along its length: bending stiffness, mass, outer diameter; and what is left of it after a cut.

A profile is a row of segments from the tip upwards. In each, stiffness, mass per length and diameter run linearly from
its lower to its upper end: a piece of steel tube has the same value at both, a graphite shaft runs from station to
station.

Masses and centres are integrals of these numbers: derived.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from trimkit.mechanics.batch import Floats, broadcast, refuse_where
from trimkit.mechanics.sectionmass import SectionMass, body_between
from trimkit.mechanics.tube import WALLS_STEP, tube_ei_n_m2, tube_mass_g_per_m, wall_factor_for, walls_in
from trimkit.parts.components import Material, Shaft, TubeSection
from trimkit.parts.errors import ModelError, WallsUnknown
from trimkit.parts.units import M_PER_IN

Scaled = Literal["nothing", "wall", "density"]

# Positions closer than this are the same place on a shaft: far below any saw, far above rounding; chosen here.
SAME_PLACE_IN = 1e-9


_CM_PER_IN = M_PER_IN * 100
# Longer segments are divided: with four Gauss points a piece, a club's frequency is then exact to about 1e-10.
_LONGEST_ELEMENT_IN = 4.0


@dataclass(frozen=True, eq=False)
class Pieces:
    """A profile's segments as the solver takes them: E elements, in m, N m^2 and kg/m; (E + 1, 1) and (E, 1)."""

    edges: Floats
    ei_low: Floats
    ei_high: Floats
    mu_low: Floats
    mu_high: Floats
    stepped: bool


@dataclass(frozen=True, eq=False)
class Profile:
    """A shaft along its length, positions from its tip (in); n segments.

    edges_in: ends of the segments, rising, shape (n + 1,); the first is 0.
    ei_low_n_m2, ei_high_n_m2: bending stiffness at the lower and upper end of each segment, N m^2, shape (n,).
    mass_low_g_per_m, mass_high_g_per_m: mass per length there, g/m.
    outer_low_in, outer_high_in: outer diameter there, in.
    tip_section_in: from the tip to the first step (what may lie in a bore), in; ``inf`` where it is not known.
    scaled, scale_factor: what was scaled, and by how much, to agree with the measured raw mass.

    Raises ModelError for values that no shaft can have.
    """

    edges_in: Floats
    ei_low_n_m2: Floats
    ei_high_n_m2: Floats
    mass_low_g_per_m: Floats
    mass_high_g_per_m: Floats
    outer_low_in: Floats
    outer_high_in: Floats
    tip_section_in: float = math.inf
    scaled: Scaled = "nothing"
    scale_factor: float = 1.0

    def __post_init__(self) -> None:
        for name in _ARRAYS:
            array = np.array(getattr(self, name), dtype=np.float64)
            refuse_where(~np.isfinite(array), name, array, "finite numbers", "correct the shaft's description")
            array.setflags(write=False)
            object.__setattr__(self, name, array)
        count = self.edges_in.size - 1
        for name in _ARRAYS[1:]:
            values = getattr(self, name)
            if self.edges_in.ndim != 1 or values.shape != (count,) or count < 1:
                raise ModelError(
                    f"{name} has shape {values.shape} beside edges_in of shape {self.edges_in.shape}",
                    "one edge more than there are segments",
                    "give each segment its values",
                )
            refuse_where(values <= 0, name, values, "more than 0", "correct the shaft's description")
        lengths = np.diff(self.edges_in)
        refuse_where(lengths < 0, "a segment's length in inches", lengths, "0 or more", "sort the segments")
        refuse_where(self.length_in <= 0, "the shaft's length in inches", self.length_in, "more than 0", "measure it")

    @property
    def length_in(self) -> Floats:
        """Length of the shaft, in."""
        return np.asarray(self.edges_in[-1] - self.edges_in[0])[()]

    @cached_property
    def pieces(self) -> Pieces:
        """The segments as the solver takes them, worked out once."""
        return self.divided(_LONGEST_ELEMENT_IN)

    def divided(self, longest_in: float) -> Pieces:
        """Return the segments divided into pieces of at most this length (in)."""
        lengths = np.diff(self.edges_in)
        parts = np.maximum(np.ceil(lengths / longest_in), 1).astype(int)
        owner = np.repeat(np.arange(lengths.size), parts)
        number = np.arange(owner.size) - np.repeat(np.cumsum(parts) - parts, parts)

        def at(fraction: Floats, low: Floats, high: Floats) -> Floats:
            return np.where(fraction == 1, high[owner], low[owner] + fraction * (high - low)[owner])[:, None]

        low, high = number / parts[owner], (number + 1) / parts[owner]
        edges = np.concatenate([self.edges_in[:1, None], at(high, self.edges_in[:-1], self.edges_in[1:])])
        return Pieces(
            edges * M_PER_IN,
            at(low, self.ei_low_n_m2, self.ei_high_n_m2),
            at(high, self.ei_low_n_m2, self.ei_high_n_m2),
            at(low, self.mass_low_g_per_m, self.mass_high_g_per_m) * 1e-3,
            at(high, self.mass_low_g_per_m, self.mass_high_g_per_m) * 1e-3,
            stepped=self.stepped,
        )

    @cached_property
    def stepped(self) -> bool:
        """True if stiffness and mass per length are constant in every segment."""
        constant_ei = np.array_equal(self.ei_low_n_m2, self.ei_high_n_m2)
        return constant_ei and np.array_equal(self.mass_low_g_per_m, self.mass_high_g_per_m)

    @property
    def mass_g(self) -> Floats:
        """Mass, g: the integral of the mass per length."""
        return self.section(0.0, self.length_in).mass_g

    @property
    def centre_from_tip_in(self) -> Floats:
        """Position of the centre of mass from the tip, in."""
        return self.section(0.0, self.length_in).centre_from_tip_in

    def section(self, from_tip_in: ArrayLike, to_tip_in: ArrayLike) -> SectionMass:
        """Return mass, centre and own inertia of the piece between two positions (in; arrays broadcast).

        Raises ModelError if the piece is not on the shaft or has no length.
        """
        _, given = broadcast(from_tip_in=from_tip_in, to_tip_in=to_tip_in, length=self.length_in)
        low, high, length = given["from_tip_in"], given["to_tip_in"], given["length"]
        refuse_where(low < 0, "from_tip_in", low, "0 or more", "count positions from the tip upwards")
        refuse_where(
            high > length + SAME_PLACE_IN, "to_tip_in", high, "at most the shaft's length", "choose a longer shaft"
        )
        refuse_where(high <= low, "to_tip_in - from_tip_in", high - low, "more than 0", "give the lower end first")
        mass, centre, inertia = body_between(
            self.edges_in, self.mass_low_g_per_m, self.mass_high_g_per_m, low, np.minimum(high, length)
        )
        return SectionMass(mass * M_PER_IN, centre, inertia * M_PER_IN * _CM_PER_IN**2)

    def ei_at(self, from_tip_in: ArrayLike) -> Floats:
        """Return the bending stiffness at positions from the tip (in), N m^2; at a step the value above it."""
        return self._at(from_tip_in, self.ei_low_n_m2, self.ei_high_n_m2)

    def mass_at(self, from_tip_in: ArrayLike) -> Floats:
        """Return the mass per length at positions from the tip (in), g/m; at a step the value above it."""
        return self._at(from_tip_in, self.mass_low_g_per_m, self.mass_high_g_per_m)

    def outer_at(self, from_tip_in: ArrayLike) -> Floats:
        """Return the outer diameter at positions from the tip (in), in; at a step the value above it."""
        return self._at(from_tip_in, self.outer_low_in, self.outer_high_in)

    def _at(self, from_tip_in: ArrayLike, low: Floats, high: Floats) -> Floats:
        place = np.asarray(from_tip_in, dtype=np.float64)
        outside = ~((place >= 0) & (place <= self.length_in))
        refuse_where(outside, "from_tip_in", place, f"0 to {float(self.length_in):g}", "choose a place on the shaft")
        segment = np.clip(np.searchsorted(self.edges_in, place, side="right") - 1, 0, low.size - 1)
        fraction = (place - self.edges_in[segment]) / np.diff(self.edges_in)[segment]
        return np.asarray(low[segment] + fraction * (high - low)[segment])

    @property
    def tip_diameter_in(self) -> float:
        """Outer diameter at the tip end, in."""
        return float(self.outer_at(0.0))

    @property
    def butt_diameter_in(self) -> float:
        """Outer diameter at the butt end, in."""
        return float(self.outer_at(self.length_in))


_ARRAYS = (
    "edges_in",
    "ei_low_n_m2",
    "ei_high_n_m2",
    "mass_low_g_per_m",
    "mass_high_g_per_m",
    "outer_low_in",
    "outer_high_in",
)


def steel_profile(
    sections: Sequence[TubeSection], *, wall_factor: float = 1.0, tip_section_in: float = math.inf
) -> Profile:
    """Return the profile of a stepped steel tube; every wall times ``wall_factor``, outer diameters kept.

    Raises ModelError if the factor is not positive or leaves no bore, WallsUnknown for sections without walls.
    """
    broadcast(wall_factor=wall_factor)
    outer = np.array([section.outer_diameter_in for section in sections])
    wall = walls_in(sections) * wall_factor
    bad = wall_factor <= 0 or bool((2 * wall >= outer).any())
    refuse_where(
        bad, "wall_factor", wall_factor, "more than 0, with a bore left", "check the raw mass and the sections"
    )
    ei, mass = tube_ei_n_m2(outer, wall), tube_mass_g_per_m(outer, wall)
    edges = np.array([0.0, *(section.to_tip_in for section in sections)])
    return Profile(edges, ei, ei, mass, mass, outer, outer, tip_section_in)


def shaft_profile(shaft: Shaft, *, match_mass: Literal["no", "wall", "density"] = "no") -> Profile:
    """Return the profile of a bare shaft from its tube sections (steel) or stations (graphite).

    match_mass: what to scale where the measured raw mass disagrees with the geometry. ``"no"``: nothing. ``"wall"``
    (steel only): every wall by one factor, so that stiffness follows. ``"density"``: the mass per length by one factor,
    stiffness as it was. The profile records which, and the factor.

    Raises WallsUnknown for a shaft without sections, walls or stations; ModelError if walls are to be scaled on
    graphite, or if no wall gives the mass.
    """
    raw_mass_g = shaft.raw_mass_g
    if shaft.unknown or raw_mass_g is None:
        raise WallsUnknown(shaft.unknown, "walls of every tube section (steel) or stations (graphite)", WALLS_STEP)
    tip = shaft.tip_section_in
    if shaft.material is Material.STEEL:
        profile = steel_profile(shaft.sections, tip_section_in=tip)
    else:
        columns = np.array([(s.from_tip_in, s.ei_n_m2, s.mass_g_per_m, s.outer_diameter_in) for s in shaft.stations]).T
        place, ei, mass, outer = columns
        profile = Profile(place, ei[:-1], ei[1:], mass[:-1], mass[1:], outer[:-1], outer[1:], tip)
    if match_mass == "no":
        return profile
    if match_mass == "density":
        factor = raw_mass_g / float(profile.mass_g)
        return replace(
            profile,
            mass_low_g_per_m=profile.mass_low_g_per_m * factor,
            mass_high_g_per_m=profile.mass_high_g_per_m * factor,
            scaled="density",
            scale_factor=factor,
        )
    if shaft.material is not Material.STEEL:
        raise ModelError(
            f"shaft {shaft.name!r}: match_mass 'wall' for graphite", "'no' or 'density'", "choose 'density'"
        )
    factor = wall_factor_for(shaft.sections, raw_mass_g)
    return replace(
        steel_profile(shaft.sections, wall_factor=factor, tip_section_in=tip), scaled="wall", scale_factor=factor
    )


def cut_tip(profile: Profile, tip_trim_in: float) -> Profile:
    """Return what is left after ``tip_trim_in`` (in) is cut off the tip; positions count from the new tip.

    Raises ModelError if the cut is negative, or nothing is left. Whether a taper tip may be cut is a rule of the
    trade, not a matter of mechanics.
    """
    tip = profile.tip_section_in - tip_trim_in
    return replace(_between(profile, "tip_trim_in", tip_trim_in, tip_trim_in, 0.0), tip_section_in=tip)


def cut_butt(profile: Profile, butt_trim_in: float) -> Profile:
    """Return what is left after ``butt_trim_in`` (in) is cut off the butt; raises ModelError as :func:`cut_tip`."""
    return _between(profile, "butt_trim_in", butt_trim_in, 0.0, butt_trim_in)


def _between(profile: Profile, name: str, trim_in: float, tip_in: float, butt_in: float) -> Profile:
    shape, _ = broadcast(**{name: trim_in})
    if shape:
        raise ModelError(f"{name} is an array", "one cut", "cut once, or give arrays to the frequency itself")
    refuse_where(trim_in < 0, name, trim_in, "0 or more", "nothing can be added back by a cut")
    left = profile.length_in - trim_in
    refuse_where(left <= 0, name, trim_in, "less than the shaft's length", "measure the shaft and the cut again")
    old = profile.edges_in
    edges = np.clip(old, tip_in, old[-1] - butt_in)
    raw = np.where(np.diff(old) > 0, np.diff(old), 1.0)
    low, high = (edges[:-1] - old[:-1]) / raw, (edges[1:] - old[:-1]) / raw
    kept = np.diff(edges) > 0

    def ends(lower: Floats, upper: Floats) -> tuple[Floats, Floats]:
        rise = upper - lower
        # A whole segment keeps its own numbers, so that a cut of zero changes nothing.
        at_low, at_high = lower + low * rise, np.where(high == 1, upper, lower + high * rise)
        return at_low[kept], at_high[kept]

    ei_low, ei_high = ends(profile.ei_low_n_m2, profile.ei_high_n_m2)
    mass_low, mass_high = ends(profile.mass_low_g_per_m, profile.mass_high_g_per_m)
    outer_low, outer_high = ends(profile.outer_low_in, profile.outer_high_in)
    return replace(
        profile,
        edges_in=np.concatenate((edges[:1], edges[1:][kept])) - tip_in,
        ei_low_n_m2=ei_low,
        ei_high_n_m2=ei_high,
        mass_low_g_per_m=mass_low,
        mass_high_g_per_m=mass_high,
        outer_low_in=outer_low,
        outer_high_in=outer_high,
    )
