"""What a row of each data file may hold: one pydantic model per file, made from the fields of the part it describes.

pydantic was chosen over pandera because the files are small, every fault should name its row and column in a sentence
of our own, and reading a part must not pull in pandas.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import fields
from datetime import date
from enum import Enum
from typing import Annotated, Any, get_type_hints

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, create_model

from trimkit.parts import units
from trimkit.parts.components import Grip, Head, Shaft, Station, TubeSection
from trimkit.parts.errors import BenchError, UnitError
from trimkit.parts.faults import names_offered, nearest
from trimkit.parts.tables import LadderRung, RawLength, ScheduleRow

_MOST_BITS = 1000  # a whole number longer than this is no float


def _quantity(read: Callable[[str], float], may_be_empty: bool = False) -> BeforeValidator:
    """Accept a number, or text with a number and a unit that ``read`` knows; refuse what is not finite.

    may_be_empty: an empty cell is None, a value that nobody knows.
    """

    def checked(value: Any) -> Any:
        if may_be_empty and (value is None or (isinstance(value, str) and not value.strip())):
            return None
        number = read(value) if isinstance(value, str) else value
        if isinstance(number, int) and number.bit_length() > _MOST_BITS:
            raise UnitError("a number of hundreds of digits is given", "a number", "measure it and write the number")
        if isinstance(number, bool) or not isinstance(number, int | float) or not math.isfinite(number):
            given = (
                f"{value} is not a finite number" if isinstance(value, date) else f"{value!r} is not a finite number"
            )
            raise UnitError(given, "a number", "measure it and write the number")
        return float(number)

    return BeforeValidator(checked)


def _plain_number(text: str) -> float:
    try:
        return float(text.replace("_", "no digit"))  # Python would read 1_0 as ten
    except ValueError:
        step = units.MADE_A_DATE if units.is_date(text) else "write digits, and a point for the decimals"
        raise UnitError(f"{text!r} is not a number", "a number without a unit", step) from None


Length = _quantity(units.length_in)
LengthIfKnown = _quantity(units.length_in, may_be_empty=True)
Mass = _quantity(units.mass_g)
Plain = _quantity(_plain_number)
_READ_BY_UNIT = {"_in": Length, "_g": Mass}  # a cell of any other column is a plain number

Name = Annotated[str, Field(min_length=1, max_length=80, description="name")]


def _whole(value: Any) -> Any:
    """Accept a whole number of 0 or more, as a number or in digits; what is empty is left to the column."""
    if value is None or (isinstance(value, str) and not value.strip()):
        return value
    text = value.strip() if isinstance(value, str) else f"{value:.15g}" if isinstance(value, int | float) else ""
    if isinstance(value, bool) or not (text.isascii() and text.isdigit() and len(text) < 10):
        raise BenchError(f"{value!r} is not a whole number", "a whole number such as 3", "count again")
    return int(text)


def _whole_if_known(value: Any) -> Any:
    whole = _whole(value)
    return whole if isinstance(whole, int) else None


_WEDGES = {"pw": "pitching wedge", "gw": "gap wedge", "sw": "sand wedge", "lw": "lob wedge"}
_WOODS = {"i": "iron", "w": "wood", "h": "hybrid"}
_NUMBERED = re.compile(r"([1-9]) ?(iron|wood|hybrid|i|w|h)")
CLUBS = (
    *(f"{number}-{kind}" for kind in _WOODS.values() for number in range(1, 10) if (number, kind) != (1, "wood")),
    *("driver", *_WEDGES.values()),
)
"""The clubs that a table may name, written out."""
_SUCH_AS = "names such as 4-iron, 3-wood, 3-hybrid, driver, " + ", ".join(_WEDGES.values())


def club_name(text: str) -> str:
    """Return a club's name written out, from what people write: ``7i``, ``7 Iron``, ``PW``, ``3w``, ``4 hybrid``.

    Common practice, no source. AW and UW are not among them: makers give them to wedges of different lofts. Raises
    BenchError, with the nearest names, for a club that has no place in a set.

    >>> club_name("7i"), club_name("7 Iron"), club_name("PW"), club_name("Driver")
    ('7-iron', '7-iron', 'pitching wedge', 'driver')
    """
    words = " ".join(text.casefold().replace("-", " ").split())
    numbered = _NUMBERED.fullmatch(words)
    if numbered is not None:
        words = f"{numbered[1]}-{_WOODS.get(numbered[2], numbered[2])}"
    words = _WEDGES.get(words, words)
    if words in CLUBS:
        return words
    near = names_offered(text, CLUBS) if nearest(text, CLUBS) else _SUCH_AS
    step = "write what it is built as, such as gap wedge" if words in ("aw", "uw") else "correct the club's name"
    raise BenchError(f"{text!r} is not the name of a club", near, step)


def _club(value: Any) -> Any:
    return club_name(value) if isinstance(value, str) and value.strip() else value


Club = Annotated[Name, BeforeValidator(_club)]
_AnyCase = BeforeValidator(lambda value: value.strip().lower() if isinstance(value, str) else value)


class Row(BaseModel):
    """A row of a data file: no column unknown, no cell empty unless it may be, nothing guessed."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


_NOT_IN_ITS_ROW = ("name", "source", "sections", "stations", "ei_factor")


def _row(part: type, words: str, first: str | None = None, may_lack: str = "", **texts: Any) -> type[Row]:
    """Return the row of a part's file: its first column if the part has no such field, then the part's own fields.

    may_lack: a length that may be absent.
    """
    columns: dict[str, Any] = {} if first is None else {first: Name}
    kinds = get_type_hints(part)
    for field in fields(part):
        if field.name in _NOT_IN_ITS_ROW:
            continue
        if field.name in texts:
            columns[field.name] = texts[field.name]
        elif field.name == may_lack:
            columns[may_lack] = (Annotated[float | None, Field(**field.metadata["column"]), LengthIfKnown], None)
        elif "column" in field.metadata:
            quantity = next((read for end, read in _READ_BY_UNIT.items() if field.name.endswith(end)), Plain)
            limits = Field(**field.metadata["column"])
            if field.default is None:  # a length that nobody may know
                columns[field.name] = (Annotated[float | None, limits, LengthIfKnown], None)
            else:
                columns[field.name] = Annotated[float, quantity, limits]
        elif isinstance(kinds[field.name], type) and issubclass(kinds[field.name], Enum):
            columns[field.name] = Annotated[kinds[field.name], _AnyCase]
        else:
            columns[field.name] = Club if field.name == "club" else Name
    return create_model(part.__name__, __base__=Row, __doc__=words, **columns)


FLEXES = Annotated[str, Field(min_length=1, description="flexes it can be cut to, softest first, separated by /")]
FLEX = Annotated[str, Field(min_length=1, max_length=8, description="flex letter of the trade")]
TABLES: dict[str, type[Row]] = {
    "heads.csv": _row(Head, "one head as measured.", "head", may_lack="bbgl_in"),
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
    "taper_families.csv": _row(RawLength, "the raw length that a taper-tip family makes for one club."),
}


_RAW = Field(ge=20, le=50, description="bare length as bought")
_MARK = Annotated[str, Field(max_length=40, description="what is written on it, or on its place on the shelf")]
MOST_PIECES = 1000
"""Most pieces in one row, and most packs: chosen here."""


class ShelfRow(Row):
    """one piece of shaft on the shelf, or several that are alike."""

    shaft: Name
    length_in: Annotated[float, Field(ge=1, le=50, description="bare length as it is now"), Length]
    tip_cut_in: Annotated[
        float | None, Field(ge=0, le=20, description="off a parallel tip already; empty as bought"), LengthIfKnown
    ] = None
    bought_length_in: Annotated[
        float | None, Field(ge=20, le=50, description="raw length a taper tip was bought at"), LengthIfKnown
    ] = None
    count: Annotated[int, Field(ge=0, le=MOST_PIECES, description="how many of them"), BeforeValidator(_whole)]
    mark: _MARK = ""


class OfferRow(Row):
    """one raw length of a shaft that can be bought."""

    shaft: Name
    raw_length_in: Annotated[float, _RAW, Length]
    pack: Annotated[int, Field(ge=1, le=MOST_PIECES, description="shafts in a pack"), BeforeValidator(_whole)]
    most_packs: Annotated[
        int | None,
        Field(ge=0, le=MOST_PIECES, description="packs there are; empty for no limit"),
        BeforeValidator(_whole_if_known),
    ] = None


class BareShaftRow(Row):
    """one reading of a bare shaft, butt in the clamp, the test weight at its tip."""

    mark: Annotated[str, Field(max_length=40, description="what is written on the shaft")] = ""
    shaft: Annotated[str, Field(max_length=80, description="its kind; empty if the order has one kind")] = ""
    raw_length_in: Annotated[float | None, _RAW, LengthIfKnown] = None
    raw_mass_g: Annotated[float, Field(ge=30, le=160, description="its mass"), Mass]
    raw_frequency_cpm: Annotated[float, Field(ge=50, le=1500, description="what the machine reads"), Plain]
    test_mass_g: Annotated[
        float | None,
        Field(ge=20, le=1000, description="test weight at the tip; empty for the shop's"),
        _quantity(units.mass_g, True),
    ] = None
    test_offset_in: Annotated[
        float | None, Field(ge=-4, le=4, description="its center beyond the tip; empty for 0"), LengthIfKnown
    ] = None
    clamp_in: Annotated[
        float | None, Field(ge=1, le=30, description="of butt in the clamp; empty for the shop's"), LengthIfKnown
    ] = None


RACK_TABLES: dict[str, type[Row]] = {
    "shelf.csv": ShelfRow,
    "offers.csv": OfferRow,
    "bare_shafts.csv": BareShaftRow,
}
"""What a shop counts and measures: no parts, so that no order needs them. A folder or workbook may have them beside the
parts; a file of one of these tables may have any name."""
FILES = {**TABLES, **RACK_TABLES}
