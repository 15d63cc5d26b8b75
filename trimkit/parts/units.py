"""Units at the bench: inches, millimetres, grams, ounces; fractions of an inch as a ruler shows them.

The conversion factors are exact by definition (international inch and avoirdupois pound, 1959; NIST SP 811, app. B).
They are written out because loading ``scipy.constants`` takes longer than checking a whole data folder.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

from trimkit.parts.errors import UnitError

M_PER_IN = 0.0254
MM_PER_IN = 25.4
G_PER_OZ = 453.59237 / 16

# How many of the unit make one inch, one gram: a number divided by this is exact where the definition is.
UNITS_PER_IN = {"in": 1.0, "mm": MM_PER_IN, "cm": MM_PER_IN / 10}
UNITS_PER_G = {"g": 1.0, "oz": 1 / G_PER_OZ}
_WORDS = {'"': "in", "inch": "in", "inches": "in", "gram": "g", "grams": "g", "ounce": "oz", "ounces": "oz"}
_SIGNS = str.maketrans({"″": '"', "”": '"', "⁄": "/", "−": "-"})

_TENTHS = Context(prec=400, rounding=ROUND_HALF_UP)  # digits for any float in millimetres

MARK_IS_EXACT_IN = 1e-9
"""A length at most this far from a mark, in, is on the mark: room for rounding in binary, no more."""

MOST_CHARACTERS = 60
"""Longest text of a number with its unit: more than any measurement needs, few enough to stay finite; chosen here."""

_NUMBER = (
    r"(?P<sign>[-+]?)"
    r"(?:(?P<whole>\d+)[ -]+(?P<num>\d+)/(?P<den>\d+)|(?P<num2>\d+)/(?P<den2>\d+)|(?P<dec>\d+(?:\.\d*)?|\.\d+))"
)
_QUANTITY = re.compile(rf"^\s*{_NUMBER}\s*(?P<unit>[a-z\"]*)\s*$", re.IGNORECASE)
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_DATE = re.compile(
    rf"^\s*(?:\d{{1,4}}[-. /]+{_MONTH}|{_MONTH}[-. /]+\d{{1,4}})(?:[-. /]+\d{{2,4}})?\s*$"
    r"|^\s*(?:\d{4}-\d{1,2}-\d{1,2}|\d{1,2}([-./])\d{1,2}\1\d{2,4})(?:[ T][\d:.]+)?\s*$",
    re.IGNORECASE,
)
MADE_A_DATE = "format the cells as text, then type the fraction again, or write it in decimals such as 0.5"
"""What to do where a spreadsheet has made a date of a fraction such as 1/2."""


def is_date(text: str) -> bool:
    """Return whether text is a date, as a spreadsheet writes one.

    >>> is_date("01-Feb"), is_date("2026-02-01"), is_date("1/2/2026"), is_date("1/2"), is_date("1-1/2")
    (True, True, True, False, False)
    """
    return len(text) <= MOST_CHARACTERS and _DATE.match(text) is not None


def _spelled(text: str) -> str:
    """Return text with its fraction signs written out and the signs of the keyboard: ``1½″`` is ``1 1/2"``."""
    letters: list[str] = []
    for letter in text:
        if unicodedata.decomposition(letter).startswith("<fraction>"):
            letter = f"{' ' if letters and letters[-1].isdigit() else ''}{unicodedata.normalize('NFKC', letter)} "
        letters.append(letter)
    return "".join(letters).translate(_SIGNS)


def _read(text: str, units: dict[str, float], bare_unit: str | None) -> float:
    allowed = "a number and one of the units " + ", ".join(units)
    example = "'9.4 oz'" if "oz" in units else "'38 1/2 in' or '97.8 cm'"
    if len(text) > MOST_CHARACTERS:
        raise UnitError(f"a number of {len(text)} characters", f"at most {MOST_CHARACTERS}", "write fewer digits")
    match = _QUANTITY.match(_spelled(text))
    if is_date(text):
        raise UnitError(f"{text!r} is a date", f"{allowed}; a spreadsheet makes dates of fractions", MADE_A_DATE)
    if match is None and "," in text:
        raise UnitError(f"{text!r} has a comma", f"{allowed}, with a decimal point", "write a point for the decimals")
    if match is None:
        raise UnitError(f"{text!r} is not a number with a unit", allowed, f"write it like {example}")
    unit = _WORDS.get(match["unit"].lower(), match["unit"].lower()) or bare_unit
    if unit not in units:
        said = f"the unit {match['unit']!r}" if match["unit"] else "no unit"
        raise UnitError(f"{text!r} has {said}", allowed, "write the unit after the number")
    if match["dec"] is not None:
        value = float(match["dec"])
    else:
        denominator = int(match["den"] or match["den2"])
        if denominator == 0:
            raise UnitError(f"{text!r} divides by zero", "a fraction such as 1/2", "correct the fraction")
        value = int(match["whole"] or 0) + int(match["num"] or match["num2"]) / denominator
    return (-value if match["sign"] == "-" else value) / units[unit]


def length_in(text: str, bare_unit: str | None = "in") -> float:
    """Read a length as people write it and return inches.

    text: ``"38 1/2"``, ``"38½"``, ``"38.5 in"``, ``"38.5 inches"``, ``"97.8 cm"``, ``"12.7 mm"``. bare_unit: the
    unit of a number without one (``None`` refuses it). Raises UnitError if the text is not a number with a length unit.

    >>> length_in("38 1/2"), length_in("38-1/2 in"), length_in("25.4 mm"), length_in("1½″"), length_in("1.5 inches")
    (38.5, 38.5, 1.0, 1.5, 1.5)
    """
    return _read(text, UNITS_PER_IN, bare_unit)


def mass_g(text: str, bare_unit: str | None = "g") -> float:
    """Read a mass as people write it (``"52 g"``, ``"52 grams"``, ``"1.83 oz"``) and return grams.

    Raises UnitError if the text is not a number with a mass unit.

    >>> mass_g("52 g")
    52.0
    >>> round(mass_g("2 oz"), 3)
    56.699
    """
    return _read(text, UNITS_PER_G, bare_unit)


def true_minus(text: str) -> str:
    """Return text with its numbers as people print them: a minus sign where the keyboard has a hyphen."""
    return text.replace("-", "−")


def quantity(value: float, unit: str = "", decimals: int = 3, sign: str = "") -> str:
    """Return a number with its unit and a fixed number of decimals; what rounds to zero has no minus.

    sign: ``"+"`` puts a plus before zero and positive numbers.

    >>> quantity(-0.5, "in", 2), quantity(2, "cpm", 0, "+"), quantity(-0.001, "in", 1)
    ('−0.50 in', '+2 cpm', '0.0 in')
    """
    return true_minus(f"{value:{sign}z.{decimals}f} {unit}".rstrip())


def signed(value: float, decimals: int) -> str:
    """Return a difference, without unit, with its sign.

    >>> signed(-0.25, 2), signed(0.001, 1), signed(-0.001, 1)
    ('−0.25', '+0.0', '+0.0')
    """
    return quantity(value, "", decimals, "+")


def say_number(value: float, decimals: int = 3) -> str:
    """Return a number, without unit, for a sentence: at most ``decimals`` decimals, no trailing zeros.

    >>> say_number(0.4), say_number(2.0), say_number(-1e-9)
    ('0.4', '2', '0')
    """
    text = quantity(value, "", decimals)
    return text.rstrip("0").rstrip(".") if "." in text else text


def say_in(value_in: float) -> str:
    """Return a length for a sentence: decimals, or the ruler's mark where three decimals would round one off.

    >>> say_in(1.5), say_in(-0.25), say_in(38.0), say_in(1 / 16), say_in(38.1875)
    ('1.5 in', '−0.25 in', '38 in', '1/16 in', '38 3/16 in')
    """
    if math.isfinite(value_in) and abs(round(value_in, 3) - value_in) > MARK_IS_EXACT_IN:
        reading = nearest_mark(value_in)
        if abs(reading.error_in) <= MARK_IS_EXACT_IN:
            return reading.mark
    return f"{say_number(value_in)} in"


def millimetres(exact_in: float) -> str:
    """Return a length (in) in millimetres, to the tenth; a half is rounded away from 0, as people do.

    The length is first taken to a millionth of a mm, so that a half stays a half in binary. Raises UnitError if
    the length is not finite in mm.

    >>> millimetres(5.75), millimetres(-0.25), millimetres(0.0)
    ('146.1 mm', '−6.4 mm', '0.0 mm')
    """
    if not math.isfinite(exact_in * MM_PER_IN):
        raise UnitError(f"a length of {exact_in} in", "a finite number", "measure it again")
    tenths = Decimal(repr(round(exact_in * MM_PER_IN, 6))).quantize(Decimal("0.1"), context=_TENTHS)
    return true_minus(f"{tenths if tenths else abs(tenths)} mm")


@dataclass(frozen=True)
class RulerReading:
    """A length as the nearest mark of a ruler: the exact inches, the mark's inches, and the mark in words."""

    exact_in: float
    marked_in: float
    mark: str

    @property
    def text(self) -> str:
        """The length in words: the mark, with "≈" before it where it is off; decimals where the mark is 0.

        Off means by more than 1e-9 in; for a length under 0.0005 in the decimals are 0 as well, and "≈ 0 in" stays.
        """
        if abs(self.error_in) <= MARK_IS_EXACT_IN:
            return self.mark
        if self.marked_in == 0 and abs(self.exact_in) >= 0.0005:
            return quantity(self.exact_in, "in", 3)
        return f"≈ {self.mark}"

    @property
    def error_in(self) -> float:
        """What rounding to the mark adds, in; at most half a division either way."""
        return self.marked_in - self.exact_in


def nearest_mark(exact_in: float, divisions: int = 16) -> RulerReading:
    """Return the nearest mark of a ruler with that many divisions per inch (16 or 32).

    Raises UnitError if the length is not finite or the ruler is not one a bench has.

    >>> nearest_mark(1.3).text, nearest_mark(1.3).mark, nearest_mark(0.025).text
    ('≈ 1 5/16 in', '1 5/16 in', '0.025 in')
    >>> nearest_mark(37.5).text, nearest_mark(-0.25).text, nearest_mark(0.0).text
    ('37 1/2 in', '−1/4 in', '0 in')
    """
    if divisions not in (8, 16, 32, 64):
        raise UnitError(f"a ruler with {divisions} marks per inch", "8, 16, 32 or 64", "choose one of them")
    if not math.isfinite(exact_in * divisions):
        raise UnitError(f"a length of {exact_in} in", "a finite number", "measure it again")
    marked = Fraction(round(exact_in * divisions), divisions)
    whole, rest = divmod(abs(marked), 1)
    words = " ".join(part for part in (str(whole) if whole or not rest else "", str(rest) if rest else "") if part)
    return RulerReading(exact_in, float(marked), f"{'−' if marked < 0 else ''}{words} in")


def ruled(value_in: float) -> str:
    """Return a length (in) exactly: as a fraction where it lies on a sixteenth, else with up to three decimals.

    >>> ruled(37.125), ruled(35.9), ruled(0.025)
    ('37 1/8 in', '35.9 in', '0.025 in')
    """
    mark = nearest_mark(value_in)
    return mark.text if abs(mark.error_in) <= MARK_IS_EXACT_IN else say_in(value_in)


def both_units(exact_in: float, divisions: int = 16) -> str:
    """Return a length as the saw needs it: the nearest mark, then the length itself in millimetres.

    "≈" says that the mark is not exact; the millimetres are those of the exact length (:func:`millimetres`). Where the
    nearest mark is 0 and the length is not, it is in decimals. Raises UnitError as :func:`nearest_mark`.

    >>> both_units(35.9), both_units(37.5), both_units(0.025)
    ('≈ 35 7/8 in (911.9 mm)', '37 1/2 in (952.5 mm)', '0.025 in (0.6 mm)')
    """
    return f"{nearest_mark(exact_in, divisions).text} ({millimetres(exact_in)})"
