"""Units at the bench: inches, millimetres, grams, ounces; fractions of an inch as a ruler shows them.

Conversion factors come from ``scipy.constants`` (international inch, avoirdupois ounce: both exact by definition).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from scipy import constants

from trimkit.parts.errors import UnitError

MM_PER_IN = constants.inch * 1e3
M_PER_IN = constants.inch
G_PER_OZ = constants.oz * 1e3
N_PER_KGF = constants.g

# How many of the unit make one inch, one gram: a number divided by this is exact where the definition is.
UNITS_PER_IN = {"in": 1.0, '"': 1.0, "mm": MM_PER_IN, "cm": MM_PER_IN / 10}
UNITS_PER_G = {"g": 1.0, "oz": 1 / G_PER_OZ}

MOST_CHARACTERS = 60
"""In a number with its unit: more than any measurement needs, and few enough to stay finite; chosen here."""

_NUMBER = (
    r"(?P<sign>[-+]?)"
    r"(?:(?P<whole>\d+)[ -]+(?P<num>\d+)/(?P<den>\d+)|(?P<num2>\d+)/(?P<den2>\d+)|(?P<dec>\d+(?:\.\d*)?|\.\d+))"
)
_QUANTITY = re.compile(rf"^\s*{_NUMBER}\s*(?P<unit>[a-z\"]*)\s*$", re.IGNORECASE)


def _read(text: str, units: dict[str, float], bare_unit: str | None) -> float:
    match = _QUANTITY.match(text)
    allowed = "a number and one of the units " + ", ".join(u for u in units if u != '"')
    if match is None:
        raise UnitError(f"{text!r} is not a number with a unit", allowed, "write it like '38 1/2 in' or '97.8 cm'")
    if len(text) > MOST_CHARACTERS:
        raise UnitError(f"a number of {len(text)} characters", f"at most {MOST_CHARACTERS}", "write fewer digits")
    unit = match["unit"].lower() or bare_unit
    if unit not in units:
        said = f"the unit {match['unit']!r}" if match["unit"] else "no unit"
        raise UnitError(f"{text!r} has {said}", allowed, "write the unit behind the number")
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

    text: ``"38 1/2"``, ``"38.5 in"``, ``"97.8 cm"``, ``"12.7 mm"``. bare_unit: the unit of a number without one
    (``None`` refuses it). Raises UnitError if the text is not a number with a length unit.

    >>> length_in("38 1/2"), length_in("38-1/2 in"), length_in("25.4 mm")
    (38.5, 38.5, 1.0)
    """
    return _read(text, UNITS_PER_IN, bare_unit)


def mass_g(text: str, bare_unit: str | None = "g") -> float:
    """Read a mass as people write it (``"52 g"``, ``"1.83 oz"``) and return grams; raises UnitError otherwise.

    >>> mass_g("52 g")
    52.0
    >>> round(mass_g("2 oz"), 3)
    56.699
    """
    return _read(text, UNITS_PER_G, bare_unit)


@dataclass(frozen=True)
class RulerReading:
    """A length as the nearest mark of a ruler: the exact inches, the mark's inches, and the mark in words."""

    exact_in: float
    marked_in: float
    text: str

    @property
    def error_in(self) -> float:
        """What rounding to the mark adds, in; at most half a division either way."""
        return self.marked_in - self.exact_in


def nearest_mark(exact_in: float, divisions: int = 16) -> RulerReading:
    """Return the nearest mark of a ruler with that many divisions per inch (16 or 32).

    Raises UnitError if the length is not finite or the ruler is not one a bench has.

    >>> nearest_mark(1.3).text
    '1 5/16 in'
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


def both_units(exact_in: float, divisions: int = 16) -> str:
    """Return a length as the saw needs it: nearest mark and millimetres, for example ``'1 5/16 in (33.0 mm)'``.

    >>> both_units(1.3)
    '1 5/16 in (33.0 mm)'
    """
    millimetres = f"{exact_in * MM_PER_IN:.1f}".replace("-", "−")
    return f"{nearest_mark(exact_in, divisions).text} ({millimetres} mm)"
