"""How an answer is read: the number and the unit in a text as people write it."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

from trimkit.parts.errors import UnitError
from trimkit.parts.units import G_PER_OZ, MM_PER_IN, UNITS_PER_G, UNITS_PER_IN, length_in

# For each unit of an answer, the units it may be written in and how many of them make one.
SAME_AS: dict[str, dict[str, float]] = {
    "in": UNITS_PER_IN,
    "mm": {"mm": 1.0, "cm": 0.1},
    "g": UNITS_PER_G | {"kg": 1e-3},
    "cpm": {"cpm": 1.0, "hz": 1 / 60},
    "kg cm²": {"kg cm²": 1.0, "g cm²": 1000.0, "kg m²": 1e-4},
    "oz in": {"oz in": 1.0, "g in": G_PER_OZ},
    "": {"": 1.0, "%": 100.0},
}
UNCONVERTED = {"mm": ("in", 1 / MM_PER_IN, "1 in is 25.4 mm"), "%": ("", 0.01, "0.25 is 25 %")}
"""For each unit of an answer, a unit that the student has to convert from, how many make one, and how to convert."""
LONGEST = 80
"""The most characters an answer may have; a choice made here."""
COUNTED = ("clubs", "layers")
NAMES = {"in": "inches", "mm": "millimeters", "cm": "centimeters", "g": "grams", "oz": "ounces", "kg": "kilograms"}
NAMES |= {"%": "percent", "hz": "cycles per second (Hz)", "": "a number without a unit"}
"""Units in words; any unit not listed is its own word."""
_WRITTEN_AS = {
    "in": ('"', "''", "“", "”", "″", "inch", "inches"),
    "mm": ("millimeter", "millimeters", "millimetre", "millimetres"),
    "cm": ("centimeter", "centimeters", "centimetre", "centimetres"),
    "g": ("gram", "grams"),
    "kg": ("kilogram", "kilograms"),
    "oz": ("ounce", "ounces"),
    "layers": ("layer",),
    "clubs": ("club",),
    "flexes": ("flex", "ofaflex"),
    "points": ("point",),
    "%": ("percent", "%oftheway"),
    "": ("iron", "oftheway"),
    "cpm per half inch": ("cpm/halfinch", "cpmperhalfin"),
}
_OF_ANSWERS = {name for units in SAME_AS.values() for name in units}
_OF_ANSWERS |= {*COUNTED, "flexes", "points", "times", "N m²", "cpm per half inch"}
_WAY_WORDS = {"short": "shorter", "long": "longer", "soft": "softer", "stiff": "stiffer"}
_WAY = re.compile(
    r"\b(?:too )?(shorter|longer|short|long|less|more|softer|stiffer|soft|stiff|heavier|lighter|above|below)\b", re.I
)
_ANSWER = re.compile(r"(?P<number>[-+]?\s*[\d./ -]*\d\.?)(?P<unit>[^\d./].*|)", re.DOTALL)
_PLACE = re.compile(r"(?P<low>[A-Za-z]{1,2}\+?)\s*/\s*(?P<high>[A-Za-z]{1,2}\+?)\s+(?P<rest>.+)", re.DOTALL)
_POWER = re.compile(r"(\d+(?:\.\d+)?)[eE]([+-]?\d{1,2})(?!\d)")


def _squeezed(unit: str) -> str:
    """Return a unit in small letters, with ² for 2 and none of the signs that people write between its parts."""
    return re.sub(r"[\s·^-]", "", unit.lower()).replace("2", "²")


_KNOWN = {_squeezed(unit): unit for unit in _OF_ANSWERS}
_KNOWN |= {spelling: unit for unit, spellings in _WRITTEN_AS.items() for spelling in spellings}

KNOWN_UNITS = frozenset(_KNOWN.values())
"""Every unit that an answer can be read in."""


def named(unit: str) -> str:
    """Return a unit in words.

    >>> named("in"), named(""), named("cpm")
    ('inches', 'a number without a unit', 'cpm')
    """
    return NAMES.get(unit, unit)


def read(text: str, unit: str, question: str = "") -> tuple[float, str]:
    """Return the number and the unit of a text; a number without a unit is in the unit asked for.

    text: as people write: ``5 3/4``, ``5.75 in``, ``146 mm``, ``−1/4``, ``5¾"``, ``30 %``, ``A/R 0.3``, ``8.27e7``,
    ``0.02 shorter``. unit: the one asked for. question: names the two flexes that a place between flexes may refer to,
    and the sign of a word such as shorter.
    Raises UnitError for a text that is not a number with a unit.

    >>> read("146 mm", "in"), read("5¾", "in"), read("30%", "")
    ((146.0, 'mm'), (5.75, 'in'), (30.0, '%'))
    """
    plain = as_typed(text)
    if place := _PLACE.fullmatch(plain):
        return _between(place, unit, question), unit
    return _number(plain, unit, question)


def _number(plain: str, unit: str, question: str = "") -> tuple[float, str]:
    match = _ANSWER.fullmatch(plain)
    if match is None:
        raise UnitError(f"{plain!r} is not a number", "a number and its unit", example_of(unit))
    said = " ".join(match["unit"].split()).rstrip(".")
    number = length_in(match["number"].replace("- ", "-").replace("+ ", "+"))
    if way := _WAY.search(said):
        number = _with_its_sign(number, way, unit, question, signed=plain[0] in "+-")
        said = f"{said[: way.start()]} {said[way.end() :]}".strip()
    return number, _KNOWN.get(_squeezed(said), said) or unit


def _with_its_sign(number: float, way: re.Match[str], unit: str, question: str, *, signed: bool) -> float:
    """Return a number with the sign that the question gives to the word after it: 0.02 shorter is −0.02.

    A word that the question asks about without a sign leaves the number as it is.
    """
    word = way[1].lower()
    asked = re.split(r"\.\s", question.rpartition("?")[0])[-1]
    either = "|".join({word, _WAY_WORDS.get(word, word)})
    found = re.search(rf"\b(?:{either}) \(([+−])|([+−]),? (?:{either})\b", asked)
    if found:
        sign = -1.0 if (found[1] or found[2]) == "−" else 1.0
        if not signed or number * sign >= 0:
            return sign * abs(number)
    elif re.search(rf"\b(?:{either})\b", asked) and not re.search(r"\([+−]", asked):
        return number
    raise UnitError(
        f"the word {way[0]!r} after the number",
        "a sign before the number",
        f"write − or + before the number, as the question says, and only the unit after it: {example_of(unit)}",
    )


def example_of(unit: str) -> str:
    """Return how to write an answer in a unit, with an example.

    >>> example_of("in"), example_of("cpm")
    ("write it like '5 3/4' or '5.75'", "write the number, then the unit, as in '5.75 cpm'")
    """
    return {
        "in": "write it like '5 3/4' or '5.75'",
        "": "write it like '0.25', or '25 %' if it is a fraction",
    }.get(unit, f"write the number, then the unit, as in '5.75 {unit}'")


def decimals_typed(plain: str) -> tuple[int | None, int]:
    """Return how many decimals were typed (None for a fraction), and how many significant digits.

    plain: as :func:`as_typed` returns it.

    >>> decimals_typed("5.750 in"), decimals_typed("-0.05"), decimals_typed("5 3/4"), decimals_typed("D2")
    ((3, 4), (2, 1), (None, 0), (0, 1))
    """
    found = re.search(r"\d*\.?\d+", plain)
    if found is None or re.search(r"\d\s*/\s*\d", plain):
        return None, 0
    whole, _, part = found[0].partition(".")
    return len(part), len((whole + part).lstrip("0"))


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
        example_of(unit),
    )


def as_typed(text: str) -> str:
    """Return a text with minus signs, decimal commas and fractions such as ¾ written in plain characters.

    Raises UnitError for a comma that may mean two things, as in ``1,250``, and for a text too long to be an answer.
    """
    if len(text) > LONGEST:
        raise UnitError(f"an answer of {len(text)} characters", f"at most {LONGEST}", "write it like '5.75 in'")
    text = text.strip().replace("−", "-").replace("–", "-").replace("⁄", "/").replace("\N{NO-BREAK SPACE}", " ")
    if re.search(r"\d,\d{3}(?!\d)", text):
        raise UnitError(
            f"the comma in {text!r} may mean two things", "a point for decimals", "write it with a point, as in '5.75'"
        )
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    text = _POWER.sub(lambda found: f"{float(found[0]):f}", text)
    return "".join(_fraction(sign) for sign in text)


def _fraction(sign: str) -> str:
    if not unicodedata.decomposition(sign).startswith("<fraction>"):
        return sign
    part = Fraction(unicodedata.numeric(sign)).limit_denominator(100)
    return f" {part.numerator}/{part.denominator}"
