"""What differs between two recorded builds, as a fitter reads it: cuts, predictions and readings first, then the rest.

``7-iron: tip trim 2.000 in, before 1.500 in (+0.500 in)``
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from trimkit.mechanics.balance import points_between, swingweight_text
from trimkit.papers.record.compare import Change
from trimkit.parts.csvtext import csv_text
from trimkit.parts.errors import ModelError

_FIRST = (
    "club",
    "cuts tip_trim_in",
    "cuts cut_length_in",
    "cuts butt_trim_in",
    "cuts playing_length_in",
    "cuts extension_in",
    "cuts raw_length_in",
    "predicted",
    "predicted add_tip_weight_g",
    "predicted frequency_cpm",
    "predicted flex",
    "predicted swingweight_oz_in",
    "predicted total_mass_g",
    "measured",
    "measured playing_length_in",
    "measured frequency_cpm",
    "measured swingweight_oz_in",
    "measured total_mass_g",
    "measured remark",
    "verdict",
)
"""What matters before the saw and after it, in this order."""
_NAMED = {
    "cuts playing_length_in": "planned playing length",
    "cuts extension_in": "butt extension",
    "predicted add_tip_weight_g": "tip weight to add",
    "predicted frequency_sd_cpm": "standard deviation of the predicted frequency",
    "predicted moi_kg_cm2": "predicted MOI",
    "measured remark": "remark",
    "trims_as": "trimmed as",
    "bbgl_in": "BBGL",
    "head head_mass_g": "head mass",
    "grip grip_mass_g": "grip mass",
    "length club": "club built to the reference length",
    "length playing_length_in": "reference length",
    "length step_in": "step between clubs",
    "ordered why": "reason in the order",
}
_UNITS = {
    "_n_m_per_rad": ("N m per rad", "g"),
    "_rad_per_n_m": ("rad per N m", "g"),
    "_kg_cm2": ("kg cm²", ".0f"),
    "_g_cm2": ("g cm²", ".0f"),
    "_g_per_m": ("g per m", ".1f"),
    "_n_m2": ("N m²", ".2f"),
    "_oz_in": ("oz in", ".1f"),
    "_cpm": ("cpm", ".1f"),
    "_in": ("in", ".3f"),
    "_g": ("g", ".1f"),
}
"""The unit at the end of a name, how it is written, and to how many decimals; longer ends first."""
_YES_NO = {"True": "yes", "False": "no"}
_OF_ANOTHER_PART = re.compile(r"(shaft|grip)( \d+)? (?!name$|raw_length_in$|raw_mass_g$|grip_mass_g$)")


def what_words(what: str) -> tuple[str, str]:
    """Return what a change is about in words, and its unit ("" for none).

    >>> what_words("cuts tip_trim_in"), what_words("predicted frequency_cpm"), what_words("shaft stations 2 ei_n_m2")
    (('tip trim', 'in'), ('predicted frequency', 'cpm'), ('shaft station 2 EI', 'N m²'))
    """
    end = _end(what)
    unit = _UNITS[end][0] if end else ""
    if what in _NAMED:
        return _NAMED[what], unit
    words = what.removesuffix(end).removeprefix("cuts ").removeprefix("assembly ").replace("_", " ")
    words = re.sub(r"\b(section|station|flexe)s (\d+)", lambda m: f"{m[1].removesuffix('e')} {m[2]}", words)
    words = re.sub(r"\bbbgl\b", "BBGL", re.sub(r"\bei$", "EI", words)).removesuffix(" name")
    return words, unit


def change_words(change: Change) -> str:
    """Return one change as a sentence without a full stop; empty if both values read alike to the last digit shown."""
    if change.what == "club":
        if change.after == "not in the set":
            return f"{change.club}: not in the set, before on the head {change.before}"
        return f"{change.club}: on the head {change.after}, before not in the set"
    words, unit = what_words(change.what)
    points = _points(change)
    if points:
        before, after, difference = points
    else:
        before, after = (_value(change.what, text) for text in (change.before, change.after))
        difference = ""
        if change.difference is not None:
            shape = _UNITS[end][1] if (end := _end(change.what)) else "g"
            # Of the numbers as they are shown: whoever takes one from the other finds the same.
            shown = float(f"{float(change.after):{shape}}") - float(f"{float(change.before):{shape}}")
            difference = f" ({shown:+{shape}} {unit}".rstrip() + ")"
    return "" if before == after else f"{change.club}: {words} {after}, before {before}{difference}"


def comparison_lines(changes: Sequence[Change]) -> list[str]:
    """Return what differs in lines under two headings: cuts, predictions and readings; then order, parts and the rest.

    A value that reads alike to the last digit shown, where a part comes from, and the inside of a shaft or grip that is
    another one altogether, are counted in the last line and are in :func:`comparison_csv`.
    """
    first: list[tuple[str, str]] = []
    rest: list[tuple[str, str]] = []
    silent = 0
    whole = {(each.what, each.before, each.after) for each in changes if each.club == "whole set"}
    of_clubs = {(each.club, each.what) for each in changes}
    others = {
        each.what.removesuffix(" name") for each in changes if re.fullmatch(r"(shaft|grip)( \d+)? name", each.what)
    }
    for change in sorted(changes, key=lambda each: _FIRST.index(each.what) if each.what in _FIRST else len(_FIRST)):
        words, of_part = change_words(change), _OF_ANOTHER_PART.match(change.what)
        said_above = change.club != "whole set" and (change.what, change.before, change.after) in whole
        said_above |= change.what == "head bbgl_in" and (change.club, "bbgl_in") in of_clubs
        said_above |= change.what.endswith(" name") and (change.what[:-5], change.before, change.after) in whole
        if said_above:
            continue
        if not words or " source " in change.what or (of_part and of_part[0].strip() in others):
            silent += 1
        else:
            (first if change.what in _FIRST else rest).append((change.club, words))
    order = list(dict.fromkeys(each.club for each in changes))
    lines = []
    for heading, found in (("Cut, predicted, measured:", first), ("Ordered, built from, and the rest:", rest)):
        if found:
            lines += [heading, *(f"  {words}" for _, words in sorted(found, key=lambda each: order.index(each[0]))), ""]
    if silent:
        lines.append(f"Left out here: {silent} of no weight (below the last digit, or a part's inside and source).")
    return lines or ["Nothing differs."]


def comparison_csv(changes: Iterable[Change]) -> str:
    """Return all changes as CSV text, a row each; numbers with every digit, in the row's unit."""
    rows = []
    for each in changes:
        words, unit = what_words(each.what)
        numbers = each.difference is not None or unit
        cells = [_number(text) if numbers else text for text in (each.before, each.after)]
        rows.append((each.club, words, unit, *cells, each.difference))
    return csv_text(["club", "what", "unit", "before", "after", "difference"], rows)


def _end(what: str) -> str:
    return next((end for end in _UNITS if what.endswith(end)), "")


def _number(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def _value(what: str, text: str) -> str:
    number, end = _number(text), _end(what)
    if not end or isinstance(number, str):
        return _YES_NO.get(text, " ".join(text.split()))
    if end == "_oz_in":
        return _letters(number) or f"{number:.1f} oz in"
    unit, shape = _UNITS[end]
    return f"{number:z{shape}} {unit}" if shape != "g" else f"{number:g} {unit}"


def _letters(moment_oz_in: float) -> str:
    try:
        return swingweight_text(moment_oz_in)
    except ModelError:  # off the letter scale: oz in say it
        return ""


def _points(change: Change) -> tuple[str, str, str] | None:
    """Return a change of swingweight on the letter scale with its points; None if it is none, or off the scale."""
    if _end(change.what) != "_oz_in" or change.difference is None:
        return None
    before, after = _letters(float(change.before)), _letters(float(change.after))
    return (before, after, f" ({points_between(before, after):+.1f} points)") if before and after else None
