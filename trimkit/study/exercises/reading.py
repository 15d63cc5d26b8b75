"""How an answer is read: the number and the unit in a text as people write it."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

from trimkit.parts.errors import UnitError
from trimkit.parts.units import G_PER_OZ, MM_PER_IN, length_in

# For each unit of an answer, the units it may be written in and how many of them make one.
SAME_AS: dict[str, dict[str, float]] = {
    "in": {"in": 1.0, "mm": MM_PER_IN, "cm": MM_PER_IN / 10},
    "mm": {"mm": 1.0, "cm": 0.1},
    "g": {"g": 1.0, "oz": 1 / G_PER_OZ, "kg": 1e-3},
    "cpm": {"cpm": 1.0, "hz": 1 / 60},
    "kg cm²": {"kg cm²": 1.0, "g cm²": 1000.0},
    "oz in": {"oz in": 1.0, "g in": G_PER_OZ},
    "": {"": 1.0, "%": 100.0},
}
UNCONVERTED = {"mm": ("in", 1 / MM_PER_IN, "1 in is 25.4 mm"), "%": ("", 0.01, "0.25 is 25 %")}
"""For each unit of an answer, a unit that the student has to convert from, how many make one, and how to convert."""
LONGEST = 80
"""The most characters an answer may have; a choice made here."""
COUNTED = ("clubs", "layers")
NAMES = {"in": "inches", "mm": "millimetres", "cm": "centimetres", "g": "grams", "oz": "ounces", "kg": "kilograms"}
NAMES |= {"%": "per cent", "hz": "cycles per second (Hz)", "": "a plain number"}
"""Units in words; any unit not listed is its own word."""
_WRITTEN_AS = {
    "in": ('"', "''", "“", "”", "″", "inch", "inches"),
    "mm": ("millimetre", "millimetres", "millimeters"),
    "g": ("gram", "grams"),
    "layers": ("layer",),
    "clubs": ("club",),
    "flexes": ("flex", "ofaflex"),
    "points": ("point",),
    "%": ("percent",),
    "": ("iron",),
    "cpm per half inch": ("cpm/halfinch", "cpmperhalfin"),
}
_OF_ANSWERS = {name for units in SAME_AS.values() for name in units}
_OF_ANSWERS |= {*COUNTED, "flexes", "points", "times", "N m²", "cpm per half inch"}
_SIGN_WORDS = re.compile(
    r"\b(?:too |more |less )?(shorter|longer|short|long|less|more|softer|stiffer|soft|stiff|heavier|lighter)\b", re.I
)
_ANSWER = re.compile(r"(?P<number>[-+]?\s*[\d./ -]*\d\.?)(?P<unit>[^\d./].*|)", re.DOTALL)
_PLACE = re.compile(r"(?P<low>[A-Za-z]{1,2}\+?)\s*/\s*(?P<high>[A-Za-z]{1,2}\+?)\s+(?P<rest>.+)", re.DOTALL)
_POWER = re.compile(r"(\d+(?:\.\d+)?)[eE]([+-]?\d{1,2})(?!\d)")


def _squeezed(unit: str) -> str:
    """Return a unit in small letters, with ² for 2 and none of the signs that people write between its parts."""
    return re.sub(r"[\s·^-]", "", unit.lower()).replace("2", "²")


_KNOWN = {_squeezed(unit): unit for unit in _OF_ANSWERS}
_KNOWN |= {spelling: unit for unit, spellings in _WRITTEN_AS.items() for spelling in spellings}


def named(unit: str) -> str:
    """Return a unit in words.

    >>> named("in"), named(""), named("cpm")
    ('inches', 'a plain number', 'cpm')
    """
    return NAMES.get(unit, unit)


def read(text: str, unit: str, question: str = "") -> tuple[float, str]:
    """Return the number and the unit of a text; a number without a unit is in the unit asked for.

    text: as people write: ``5 3/4``, ``5.75 in``, ``146 mm``, ``−1/4``, ``5¾"``, ``30 %``, ``A/R 0.3``, ``8.27e7``.
    unit: the one asked for. question: names the two flexes that a place between flexes may refer to.
    Raises UnitError for a text that is not a number with a unit.

    >>> read("146 mm", "in"), read("5¾", "in"), read("30%", "")
    ((146.0, 'mm'), (5.75, 'in'), (30.0, '%'))
    """
    plain = as_typed(text)
    if place := _PLACE.fullmatch(plain):
        return _between(place, unit, question), unit
    return _number(plain, unit)


def _number(plain: str, unit: str) -> tuple[float, str]:
    match = _ANSWER.fullmatch(plain)
    if match is None:
        raise UnitError(f"{plain!r} is not a number", "a number and its unit", _example(unit))
    said = " ".join(match["unit"].split()).rstrip(".")
    if word := _SIGN_WORDS.search(said):
        raise UnitError(
            f"the word {word[0]!r} after the number",
            "a sign before the number",
            "write − or + before the number, as the question says, and only the unit after it",
        )
    number = length_in(match["number"].replace("- ", "-").replace("+ ", "+"))
    return number, _KNOWN.get(_squeezed(said), said) or unit


def _example(unit: str) -> str:
    return {
        "in": "write it like '5 3/4' or '5.75'",
        "": "write it like '0.25', or '25 %' if it is a fraction",
    }.get(unit, "write the number, then the unit, as in '5.75 " + unit + "'")


def _between(place: re.Match[str], unit: str, question: str) -> float:
    """Return the number of a place such as ``A/R 0.3``: the fraction of the way, or flexes from the one asked about."""
    low, high = place["low"].upper(), place["high"].upper()
    part, said = _number(place["rest"], "")
    part = part / SAME_AS[""].get(said, 1.0)
    if unit == "" and f"from {low} to {high}" in question:
        return part
    if unit == "flexes" and f"than {low} " in question:
        return part
    if unit == "flexes" and f"than {high} " in question:
        return part - 1  # 0.86 of the way from A to R is 0.14 of a flex below R
    raise UnitError(
        f"{place[0]!r} is a place between {low} and {high}, which the question does not ask for",
        "what the question asks for",
        _example(unit),
    )


def as_typed(text: str) -> str:
    """Return a text with minus signs, decimal commas and fractions such as ¾ written in plain characters.

    Raises UnitError for a comma that may mean two things, as in ``1,250``, and for a text too long to be an answer.
    """
    if len(text) > LONGEST:
        raise UnitError(f"an answer of {len(text)} characters", f"at most {LONGEST}", "write a number and its unit")
    text = text.strip().replace("−", "-").replace("–", "-").replace("⁄", "/").replace("\N{NO-BREAK SPACE}", " ")
    if re.search(r"\d,\d{3}(?!\d)", text):
        raise UnitError(f"the comma in {text!r} may mean two things", "a point for decimals", "write it with a point")
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    text = _POWER.sub(lambda found: f"{float(found[0]):f}", text)
    return "".join(_fraction(sign) for sign in text)


def _fraction(sign: str) -> str:
    if not unicodedata.decomposition(sign).startswith("<fraction>"):
        return sign
    part = Fraction(unicodedata.numeric(sign)).limit_denominator(100)
    return f" {part.numerator}/{part.denominator}"
