"""What a row of each data file may hold: one pydantic model per file, made from the fields of the part it describes.

pydantic was chosen over pandera because the files are small, every fault should name its row and column in a sentence
of our own, and reading a part must not pull in pandas.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import fields
from typing import Annotated, Any, get_type_hints

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, create_model

from trimkit.parts import units
from trimkit.parts.components import Grip, Head, Shaft, Station, TubeSection
from trimkit.parts.errors import UnitError
from trimkit.parts.tables import LadderRung, RawLength, ScheduleRow


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
_MAY_BE_EMPTY = {Length: LengthIfKnown}
_READ_BY_UNIT = {"_in": Length, "_g": Mass}  # a cell of any other column is a plain number

Name = Annotated[str, Field(min_length=1, max_length=80, description="name")]


class Row(BaseModel):
    """A row of a data file: no column unknown, no cell empty unless it may be, nothing converted silently."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


_NOT_IN_ITS_ROW = ("name", "source", "sections", "stations")


def _row(part: type, words: str, first: str | None = None, **texts: Any) -> type[Row]:
    """Return the row of a part's file: its first column if the part has no such field, then the part's own fields."""
    columns: dict[str, Any] = {} if first is None else {first: Name}
    kinds = get_type_hints(part)
    for field in fields(part):
        if field.name in _NOT_IN_ITS_ROW:
            continue
        if field.name in texts:
            columns[field.name] = texts[field.name]
        elif "column" in field.metadata:
            quantity = next((read for end, read in _READ_BY_UNIT.items() if field.name.endswith(end)), Plain)
            limits = Field(**field.metadata["column"])
            if kinds[field.name] == (float | None):
                columns[field.name] = (Annotated[float | None, limits, _MAY_BE_EMPTY[quantity]], None)
            else:
                columns[field.name] = Annotated[float, quantity, limits]
        else:
            columns[field.name] = Name if kinds[field.name] is str else kinds[field.name]
    return create_model(part.__name__, __base__=Row, __doc__=words, **columns)


FLEXES = Annotated[str, Field(min_length=1, description="flexes it can be cut to, softest first, separated by /")]
FLEX = Annotated[str, Field(min_length=1, max_length=8, description="flex letter of the trade")]
REFERENCE = Annotated[
    float | None, Field(ge=-0.5, le=4, description="BBGL it was made for; empty where nobody knows"), LengthIfKnown
]
TABLES: dict[str, type[Row]] = {
    "heads.csv": _row(Head, "one head as measured.", "head"),
    "shafts.csv": _row(
        Shaft, "one bare shaft (for a taper family: its longest raw length) as bought.", "shaft", flexes=FLEXES
    ),
    "shaft_sections.csv": _row(TubeSection, "one piece of steel tube, counted from the raw tip.", "shaft"),
    "shaft_stations.csv": _row(
        Station, "bending stiffness and mass per length of a graphite shaft at one place.", "shaft"
    ),
    "grips.csv": _row(Grip, "one grip.", "grip"),
    "schedules.csv": _row(ScheduleRow, "one line of a trim schedule.", flex=FLEX),
    "head_ladder.csv": _row(LadderRung, "one rung of a set's head-mass ladder."),
    "taper_families.csv": _row(
        RawLength, "the raw length that a taper-tip family makes for one club.", bbgl_reference_in=(REFERENCE, None)
    ),
}
