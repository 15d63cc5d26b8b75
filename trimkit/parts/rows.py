"""What a row of each data file may hold: one pydantic model per file, column by column, with unit and range.

The ranges are wide enough for any real part and narrow enough that millimetres typed into an inch column, or ounces
into a gram column, are caught. They are limits of plausibility chosen here, not facts about parts.

pydantic was chosen over pandera because the files are small, every fault should name its row and column in a sentence
of our own, and reading a part must not pull in pandas.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from trimkit.parts import units
from trimkit.parts.components import FlexKind, HeadKind, Material, TipKind
from trimkit.parts.errors import UnitError


def _quantity(read: Callable[[str], float], may_be_empty: bool = False) -> BeforeValidator:
    """Accept a number, or text with a number and a unit that ``read`` knows; refuse what is not finite.

    may_be_empty: an empty cell is None, a value that nobody knows.
    """

    def checked(value: Any) -> Any:
        if may_be_empty and (value is None or (isinstance(value, str) and not value.strip())):
            return None
        number = read(value) if isinstance(value, str) else value
        if isinstance(number, bool) or not isinstance(number, int | float) or not math.isfinite(number):
            raise UnitError(f"{value!r} is not a finite number", "a number", "measure it and write the number")
        return float(number)

    return BeforeValidator(checked)


def _plain_number(text: str) -> float:
    try:
        return float(text.replace("_", "no digit"))  # Python would read 1_0 as ten
    except ValueError:
        raise UnitError(f"{text!r} is not a number", "a number", "write digits only") from None


Length = _quantity(units.length_in)
LengthIfKnown = _quantity(units.length_in, may_be_empty=True)
Mass = _quantity(units.mass_g)
Plain = _quantity(_plain_number)

Name = Annotated[str, Field(min_length=1, max_length=80, description="name")]


class Row(BaseModel):
    """A row of a data file: no column unknown, no cell empty unless it may be, nothing converted silently."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class HeadRow(Row):
    """heads.csv: one head as measured."""

    head: Name
    kind: HeadKind
    club: Name
    head_mass_g: Annotated[float, Mass, Field(ge=150, le=400, description="mass of the bare head")]
    bore_diameter_in: Annotated[float, Length, Field(ge=0.3, le=0.45, description="diameter of the hosel's bore")]
    bore_depth_in: Annotated[float, Length, Field(ge=0.5, le=4, description="how far the shaft goes into the hosel")]
    bbgl_in: Annotated[
        float, Length, Field(ge=-0.5, le=4, description="bottom of bore to ground line, along the shaft")
    ]
    cg_height_in: Annotated[
        float, Length, Field(ge=-0.5, le=2.5, description="height of the centre of mass, along the shaft")
    ]
    inertia_g_cm2: Annotated[float, Plain, Field(ge=0, le=10000, description="moment of inertia about the centre")]


class ShaftRow(Row):
    """shafts.csv: one bare shaft (for a taper family: its longest raw length) as bought."""

    shaft: Name
    material: Material
    tip_kind: TipKind
    flex_kind: FlexKind
    flexes: Annotated[str, Field(min_length=1, description="flexes it can be cut to, softest first, separated by /")]
    raw_length_in: Annotated[float, Length, Field(ge=20, le=50, description="bare length as bought")]
    raw_mass_g: Annotated[float, Mass, Field(ge=30, le=160, description="mass as bought")]
    tip_diameter_in: Annotated[float, Length, Field(ge=0.3, le=0.45, description="outer diameter at the raw tip")]
    butt_diameter_in: Annotated[float, Length, Field(ge=0.5, le=0.7, description="outer diameter at the raw butt")]
    tip_section_in: Annotated[float, Length, Field(ge=0, le=20, description="from the raw tip to the first step")]


class SectionRow(Row):
    """shaft_sections.csv: one piece of steel tube, counted from the raw tip."""

    shaft: Name
    from_tip_in: Annotated[float, Length, Field(ge=0, le=50, description="lower end, from the raw tip")]
    to_tip_in: Annotated[float, Length, Field(ge=0, le=50, description="upper end, from the raw tip")]
    outer_diameter_in: Annotated[float, Length, Field(ge=0.3, le=0.7, description="outer diameter")]
    wall_in: Annotated[float, Length, Field(ge=0.005, le=0.1, description="wall thickness")]


class StationRow(Row):
    """shaft_stations.csv: bending stiffness and mass per length of a graphite shaft at one place."""

    shaft: Name
    from_tip_in: Annotated[float, Length, Field(ge=0, le=50, description="place, from the raw tip")]
    ei_n_m2: Annotated[float, Plain, Field(ge=1, le=300, description="bending stiffness EI")]
    mass_g_per_m: Annotated[float, Plain, Field(ge=10, le=300, description="mass per length")]
    outer_diameter_in: Annotated[float, Length, Field(ge=0.3, le=0.7, description="outer diameter")]


class GripRow(Row):
    """grips.csv: one grip."""

    grip: Name
    grip_mass_g: Annotated[float, Mass, Field(ge=15, le=150, description="mass")]
    grip_length_in: Annotated[float, Length, Field(ge=7, le=14, description="length with the cap")]
    core_diameter_in: Annotated[float, Length, Field(ge=0.5, le=0.7, description="core size")]
    cap_thickness_in: Annotated[float, Length, Field(ge=0, le=0.5, description="what the cap adds to the length")]
    cg_from_cap_in: Annotated[float, Length, Field(ge=1, le=8, description="centre of mass, from the cap end")]


class ScheduleFileRow(Row):
    """schedules.csv: one line of a trim schedule."""

    shaft: Name
    flex: Annotated[str, Field(min_length=1, max_length=8, description="flex letter of the trade")]
    club: Name
    tip_trim_in: Annotated[float, Length, Field(ge=0, le=12, description="tip trim by the schedule")]
    bbgl_reference_in: Annotated[float, Length, Field(ge=-0.5, le=4, description="BBGL the schedule was written for")]


class LadderFileRow(Row):
    """head_ladder.csv: one rung of a set's head-mass ladder."""

    ladder: Name
    club: Name
    head_mass_g: Annotated[float, Mass, Field(ge=150, le=400, description="head mass this club is designed with")]
    playing_length_in: Annotated[float, Length, Field(ge=18, le=48, description="playing length of this club")]


class RawLengthRow(Row):
    """taper_families.csv: the raw length that a taper-tip family makes for one club."""

    family: Name
    club: Name
    raw_length_in: Annotated[float, Length, Field(ge=20, le=50, description="raw length made for this club")]
    bbgl_reference_in: Annotated[
        float | None, Field(ge=-0.5, le=4, description="BBGL it was made for; empty where nobody knows"), LengthIfKnown
    ] = None


TABLES: dict[str, type[Row]] = {
    "heads.csv": HeadRow,
    "shafts.csv": ShaftRow,
    "shaft_sections.csv": SectionRow,
    "shaft_stations.csv": StationRow,
    "grips.csv": GripRow,
    "schedules.csv": ScheduleFileRow,
    "head_ladder.csv": LadderFileRow,
    "taper_families.csv": RawLengthRow,
}
