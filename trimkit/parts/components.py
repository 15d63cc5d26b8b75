"""The parts as measured: heads, shafts, grips. Trade units; every name carries its unit.

Positions on a shaft count from the raw tip upwards; heights on a head count from the ground line upwards, along the
shaft axis. The dataclasses refuse values that no part can have (:class:`~trimkit.parts.errors.ComponentError`), so
that nothing downstream needs to check for NaN or a negative mass again.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from enum import StrEnum
from typing import Any

from trimkit.parts.errors import ComponentError
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_in, say_number


class TipKind(StrEnum):
    """Parallel tips may be trimmed; taper tips may not."""

    PARALLEL = "parallel"
    TAPER = "taper"


class FlexKind(StrEnum):
    """Discrete: one shaft, one flex. Combination: one master is cut to two flexes or more."""

    DISCRETE = "discrete"
    COMBINATION = "combination"


class HeadKind(StrEnum):
    """What kind of head it is; hybrids are trimmed by their mass, not by their number."""

    DRIVER = "driver"
    FAIRWAY = "fairway"
    HYBRID = "hybrid"
    IRON = "iron"
    WEDGE = "wedge"


class Material(StrEnum):
    """Steel shafts are described by stepped tube sections, graphite by stations."""

    STEEL = "steel"
    GRAPHITE = "graphite"


STEEL_DENSITY_KG_M3 = 7850.0
"""Density of steel: 7850 kg/m3 (tables of constructional steel)."""
ESTIMATED_WALLS = (
    "walls estimated 10 % wrong put a steel club up to 3 cpm off if its raw shaft was weighed, and up to 15 if not; "
    "stations estimated 10 % wrong put a graphite club up to 13 off either way"
)
"""How far off a prediction from estimated walls may be: computed, for the demo's clubs (``tests/club/README.md``)."""
WALL_WORDS = f"wall thickness; empty for all sections of a shaft where nobody knows it: {ESTIMATED_WALLS}"
HALF_WALLED_STEP = "write in the missing walls, or leave all walls of this shaft empty: it then has no predictions"
INVENTED_PART = Source("part made up for the demo", Standing.INVENTED)


BBGL_WORDS = "bottom of bore to ground line, along the shaft; empty where an order measures it"


def column(least: float, most: float, words: str) -> dict[str, Any]:
    """Return what a field says of its column in a data file: the range, in the column's unit, and the meaning.

    The ranges are wide enough for any real part and narrow enough that millimetres typed into an inch column, or
    ounces into a gram column, are caught. They are limits of plausibility chosen here, not facts about parts.
    """
    # Under a key of its own: pydantic would take "ge" and "le" for limits of the part in a record, which has none.
    return {"column": {"ge": least, "le": most, "description": words}}


def check_numbers(
    what: str, row: object, *, above_0: str = "", at_least_0: str = "", finite: str = "", next_step: str = ""
) -> None:
    """Raise ComponentError for a field of ``row`` that is not a finite number, or not above (at least) 0.

    what: the row in words. above_0, at_least_0, finite: names of fields, separated by spaces.
    """
    for name in f"{above_0} {at_least_0} {finite}".split():
        value = getattr(row, name)
        if not math.isfinite(value):
            raise ComponentError(
                f"{what}: {name} is {value}", "a finite number", next_step or "measure it and write the number"
            )
        below = value < 0 or (value == 0 and name in above_0.split())
        if below and name not in finite.split():
            allowed = "more than 0" if name in above_0.split() else "0 or more"
            raise ComponentError(
                f"{what}: {name} is {value:g}", allowed, next_step or "check the unit and measure again"
            )


@dataclass(frozen=True)
class Head:
    """A club head as measured.

    head_mass_g: mass of the bare head, g.
    bore_diameter_in, bore_depth_in: the hosel's bore; the depth is how far the shaft goes in, in.
    bbgl_in: bottom of bore to ground line along the shaft axis, in; 0 or less for a bore that goes through.
    cg_height_in: height of the center of mass above the ground line, along the shaft axis, in.
    inertia_g_cm2: moment of inertia about the center of mass, axis across the bending plane, g cm^2.

    Raises ComponentError if a value is not finite, or is one that no head can have.
    """

    name: str
    kind: HeadKind
    club: str
    head_mass_g: float = field(metadata=column(150, 400, "mass of the bare head"))
    bore_diameter_in: float = field(metadata=column(0.3, 0.45, "diameter of the hosel's bore"))
    bore_depth_in: float = field(metadata=column(0.5, 4, "how far the shaft goes into the hosel"))
    bbgl_in: float = field(metadata=column(-0.5, 4, BBGL_WORDS))
    cg_height_in: float = field(metadata=column(-0.5, 2.5, "height of the center of mass, along the shaft"))
    inertia_g_cm2: float = field(metadata=column(0, 10000, "moment of inertia about the center"))
    source: Source = INVENTED_PART

    def __post_init__(self) -> None:
        check_numbers(
            f"head {self.name!r}",
            self,
            above_0="head_mass_g bore_diameter_in bore_depth_in",
            at_least_0="inertia_g_cm2",
            finite="bbgl_in cg_height_in",
        )

    @property
    def hosel_top_in(self) -> float:
        """Height of the hosel's upper rim above the ground line, along the shaft axis, in."""
        return self.bbgl_in + self.bore_depth_in


@dataclass(frozen=True)
class HeadWithoutBbgl:
    """A head whose BBGL nobody has measured: it becomes a :class:`Head` when an order gives one. Fields as there."""

    name: str
    kind: HeadKind
    club: str
    head_mass_g: float
    bore_diameter_in: float
    bore_depth_in: float
    cg_height_in: float
    inertia_g_cm2: float
    source: Source = INVENTED_PART

    def with_bbgl(self, bbgl_in: float) -> Head:
        """Return the head with this BBGL, in; raises ComponentError for a value that no head can have.

        The range is the column's: there is no other value to compare a slip of the rule with.
        """
        (limits,) = (field.metadata["column"] for field in fields(Head) if field.name == "bbgl_in")
        if not limits["ge"] <= bbgl_in <= limits["le"]:
            raise ComponentError(
                f"head {self.name!r}: a BBGL of {say_in(bbgl_in)}",
                f"{say_number(limits['ge'])} to {say_in(limits['le'])}",
                "measure the same shaft bare and with the head dry-fitted once more",
            )
        return Head(bbgl_in=bbgl_in, **{field.name: getattr(self, field.name) for field in fields(self)})


@dataclass(frozen=True)
class TubeSection:
    """A piece of steel tube of one outer diameter and one wall; positions from the raw tip, in.

    wall_in: None where nobody knows it; the steps are then known, the stiffness is not.
    """

    from_tip_in: float = field(metadata=column(0, 50, "lower end, from the raw tip"))
    to_tip_in: float = field(metadata=column(0, 50, "upper end, from the raw tip"))
    outer_diameter_in: float = field(metadata=column(0.3, 0.7, "outer diameter"))
    wall_in: float | None = field(default=None, metadata=column(0.005, 0.1, WALL_WORDS))

    def __post_init__(self) -> None:
        part = f"tube section at {self.from_tip_in:g} in"
        wall = () if self.wall_in is None else ("wall_in",)
        check_numbers(part, self, above_0=" ".join(("to_tip_in outer_diameter_in", *wall)), at_least_0="from_tip_in")
        for name, least in (("to_tip_in", self.from_tip_in), ("outer_diameter_in", 2 * (self.wall_in or 0.0))):
            if getattr(self, name) <= least:
                given = f"{part}: {name} is {getattr(self, name):g}"
                raise ComponentError(given, f"more than {least:g}", "check the unit and measure again")


def half_walled(sections: Sequence[TubeSection]) -> int | None:
    """Return the place, from 0, of the first section without a wall among sections that have one; None if all agree."""
    bare = [number for number, section in enumerate(sections) if section.wall_in is None]
    return bare[0] if 0 < len(bare) < len(sections) else None


@dataclass(frozen=True)
class Station:
    """A point on a graphite shaft: position from the raw tip (in), EI (N m^2), mass per length (g/m), diameter (in)."""

    from_tip_in: float = field(metadata=column(0, 50, "place, from the raw tip"))
    ei_n_m2: float = field(metadata=column(1, 300, "bending stiffness EI"))
    mass_g_per_m: float = field(metadata=column(10, 300, "mass per length"))
    outer_diameter_in: float = field(metadata=column(0.3, 0.7, "outer diameter"))

    def __post_init__(self) -> None:
        part = f"station at {self.from_tip_in:g} in"
        check_numbers(part, self, above_0="ei_n_m2 mass_g_per_m outer_diameter_in", at_least_0="from_tip_in")


@dataclass(frozen=True)
class Shaft:
    """A bare shaft as bought.

    flexes: the flexes it can be cut to, softest first; one for a discrete shaft.
    raw_length_in, raw_mass_g: as measured; the mass is None for a piece that nobody weighed and whose walls or stations
    nobody knows.
    tip_section_in: from the raw tip to the first step (steel) or to the end of the parallel tip (graphite), in.
    most_tip_trim_in: the most that its maker lets you cut off the tip, in; None where nobody knows.
    sections (steel) or stations (graphite) describe it from the raw tip to the raw butt; none where nobody knows them.
    ei_factor: how stiff its kind was found to be, as a factor on what they describe.

    Raises ComponentError if no shaft can have a value, if the description has gaps or does not span the raw length, if
    some walls are known and others not, or if the mass of a shaft with walls or stations is not known.
    """

    name: str
    material: Material
    tip_kind: TipKind
    flex_kind: FlexKind
    flexes: tuple[str, ...]
    raw_length_in: float = field(metadata=column(20, 50, "bare length as bought"))
    raw_mass_g: float | None = field(metadata=column(30, 160, "mass as bought"))
    tip_diameter_in: float = field(metadata=column(0.3, 0.45, "outer diameter at the raw tip"))
    butt_diameter_in: float = field(metadata=column(0.5, 0.7, "outer diameter at the raw butt"))
    tip_section_in: float = field(metadata=column(0, 20, "from the raw tip to the first step"))
    most_tip_trim_in: float | None = field(
        default=None, metadata=column(0, 20, "most that its maker lets you cut off the tip; empty where nobody knows")
    )
    sections: tuple[TubeSection, ...] = ()
    stations: tuple[Station, ...] = ()
    source: Source = INVENTED_PART
    ei_factor: float = 1.0

    def __post_init__(self) -> None:
        part = f"shaft {self.name!r}"
        measured = "raw_length_in tip_diameter_in butt_diameter_in ei_factor" + (
            " raw_mass_g" if self.raw_mass_g is not None else ""
        )
        known = "tip_section_in" + (" most_tip_trim_in" if self.most_tip_trim_in is not None else "")
        check_numbers(part, self, above_0=measured, at_least_0=known)
        if self.tip_kind is TipKind.TAPER and self.most_tip_trim_in:
            given = f"{part}: a taper tip with {self.most_tip_trim_in:g} in of tip trim allowed"
            raise ComponentError(given, "0 in, or empty: a taper tip is never trimmed", "correct one of the two")
        self._check_flexes(part)
        if self.material is Material.STEEL:
            self._check_sections(part)
        else:
            self._check_stations(part)
        if self.raw_mass_g is None and not self.unknown:
            raise ComponentError(f"{part}: no raw mass", "its mass in g", "weigh it")

    @property
    def unknown(self) -> str:
        """What is not known of its stiffness along its length, in words; empty where it is known.

        >>> from trimkit.parts.components import FlexKind, Material, Shaft, TipKind
        >>> steel = Shaft("X", Material.STEEL, TipKind.PARALLEL, FlexKind.DISCRETE, ("R",), 41, 110, 0.37, 0.6, 11)
        >>> steel.unknown
        "no tube walls are known for shaft 'X'"
        """
        if self.material is Material.STEEL:
            walls = bool(self.sections) and self.sections[0].wall_in is not None
            return "" if walls else f"no tube walls are known for shaft {self.name!r}"
        return "" if self.stations else f"no stiffness and mass along its length are known for shaft {self.name!r}"

    def _check_flexes(self, part: str) -> None:
        count = len(self.flexes)
        if len(set(self.flexes)) != count:
            raise ComponentError(f"{part}: a flex is named twice", "each flex once", "correct the list of flexes")
        if self.flex_kind is FlexKind.DISCRETE and count != 1:
            raise ComponentError(f"{part}: discrete, but {count} flexes", "exactly one", "correct flexes or flex_kind")
        if self.flex_kind is FlexKind.COMBINATION and count < 2:
            raise ComponentError(f"{part}: combination, but {count} flex", "two or more", "correct flexes or flex_kind")

    def _check_sections(self, part: str) -> None:
        if self.stations:
            raise ComponentError(
                f"{part}: steel with {len(self.stations)} stations",
                "tube sections, or nothing where nobody knows them",
                "move what is known to the sections file",
            )
        if not self.sections:
            return
        if (bare := half_walled(self.sections)) is not None:
            raise ComponentError(
                f"{part}: the section at {self.sections[bare].from_tip_in:g} in has no wall and others have one",
                "a wall for every section, or for none",
                HALF_WALLED_STEP,
            )
        edge = 0.0
        for section in self.sections:
            if abs(section.from_tip_in - edge) > 1e-9:
                raise ComponentError(
                    f"{part}: a section starts at {section.from_tip_in:g} in, the one before it ends at {edge:g} in",
                    "sections that follow one another without gap or overlap",
                    "correct from_tip_in or to_tip_in",
                )
            edge = section.to_tip_in
        self._check_end(part, edge, "sections")

    def _check_stations(self, part: str) -> None:
        if len(self.stations) == 1 or self.sections:
            raise ComponentError(
                f"{part}: graphite with {len(self.stations)} stations and {len(self.sections)} tube sections",
                "two stations or more, or nothing where nobody knows them",
                "add its rows to the stations file",
            )
        if not self.stations:
            return
        places = [station.from_tip_in for station in self.stations]
        if places[0] != 0 or any(b <= a for a, b in itertools.pairwise(places)):
            raise ComponentError(
                f"{part}: stations at {places}", "stations that start at 0 in and rise", "sort and correct from_tip_in"
            )
        self._check_end(part, places[-1], "stations")

    def _check_end(self, part: str, end_in: float, what: str) -> None:
        if abs(end_in - self.raw_length_in) > 1e-9:
            raise ComponentError(
                f"{part}: its {what} end at {end_in:g} in, its raw length is {self.raw_length_in:g} in",
                "the same length",
                "measure the raw length and correct the one that is wrong",
            )


@dataclass(frozen=True)
class Grip:
    """A grip: mass (g), length (in), core diameter (in), cap thickness (in), center of mass from the cap end (in)."""

    name: str
    grip_mass_g: float = field(metadata=column(15, 150, "mass"))
    grip_length_in: float = field(metadata=column(7, 14, "length with the cap"))
    core_diameter_in: float = field(metadata=column(0.5, 0.7, "core size"))
    cap_thickness_in: float = field(metadata=column(0, 0.5, "what the cap adds to the length"))
    cg_from_cap_in: float = field(metadata=column(1, 8, "center of mass, from the cap end"))
    source: Source = INVENTED_PART

    def __post_init__(self) -> None:
        part = f"grip {self.name!r}"
        measured = "grip_mass_g grip_length_in core_diameter_in cg_from_cap_in"
        check_numbers(part, self, above_0=measured, at_least_0="cap_thickness_in")
        if self.cg_from_cap_in >= self.grip_length_in:
            raise ComponentError(
                f"{part}: center of mass at {self.cg_from_cap_in:g} in",
                f"inside the grip's {self.grip_length_in:g} in",
                "measure it",
            )
