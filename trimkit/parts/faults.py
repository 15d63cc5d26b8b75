"""Turn what pydantic finds into sentences for the person at the bench."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from trimkit.parts.errors import BenchError, Place

MOST_NEAREST = 3
_MOST_COMPARED = 500  # names; comparing each of them with a long order's every wrong name stays a matter of seconds
_MOST_LISTED = 12
_MOST_SHOWN = 40


def nearest(name: str, known: Iterable[str]) -> list[str]:
    """Return at most three of the known names that a wrong one may have been meant to be, the nearest first.

    >>> nearest("Class 9 iron", ["class 4-iron", "class 9-iron", "long hosel wedge"])[0], nearest("colour", ["head"])
    ('class 9-iron', [])
    """
    folded = {each.casefold(): each for each in list(known)[:_MOST_COMPARED]}
    return [folded[each] for each in difflib.get_close_matches(name[:80].casefold(), folded, MOST_NEAREST)]


def names_offered(name: str, known: Iterable[str]) -> str:
    """Return what is allowed in place of an unknown name: the nearest names, or all if none is near and there are few.

    >>> names_offered("gripp", ["head", "grip", "shaft"]), names_offered("x", ["head", "grip"])
    ('the nearest of 3: grip', 'head, grip')
    """
    listed = list(known)
    if near := nearest(name, listed):
        return f"the nearest of {len(listed)}: {', '.join(near)}"
    if len(listed) <= _MOST_LISTED:
        return ", ".join(listed) or "none; there is no name yet"
    return f"one of {len(listed)} names, none of them near it (the first is {listed[0]})"


def _limits(model: type[BaseModel], column: str) -> str | None:
    found = {k: getattr(m, k) for m in model.model_fields[column].metadata for k in ("ge", "le") if hasattr(m, k)}
    if not found:
        return None
    unit = column.rsplit("_", 1)[-1] if column.endswith(("_in", "_g")) else ""
    return f"{found['ge']:g} to {found['le']:g} {unit}".strip()


def _given(value: Any) -> str:
    """Return what was given, for a sentence: as a file has it, cut off where it is long.

    >>> _given(True), _given("x" * 50), _given(4)
    ('true', "'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx' and so on", '4')
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return repr(value) if len(value) <= _MOST_SHOWN else f"{value[:_MOST_SHOWN]!r} and so on"
    try:
        shown = str(value)
    except ValueError:  # Python writes out no number of more than 4300 digits
        return "a number of thousands of digits"
    return shown if len(shown) <= _MOST_SHOWN else f"{shown[:_MOST_SHOWN]} and so on"


def _kind(detail: ErrorDetails, limits: str | None) -> tuple[str, str] | None:
    """Return what is allowed, and what to do, where a value is of another kind than its key; None for another fault."""
    kind, given = detail["type"], detail.get("ctx", {})
    if kind.startswith("bool"):
        return "true or false, without quotation marks", "write one of them"
    if kind.startswith("int"):
        return "a whole number" + (f" from {limits}" if limits else ""), "write a whole number"
    if kind == "string_type":
        return "text in quotation marks", "put it in quotation marks"
    if kind == "string_too_long":
        return f"at most {given['max_length']} characters", "shorten it"
    if kind in ("enum", "literal_error"):
        return "one of " + str(given["expected"]).replace("'", "").replace(" or ", ", "), "choose one of them"
    if kind == "finite_number":
        return "a number", "measure it and write the number"
    return None


def _bound(detail: ErrorDetails) -> str | None:
    limit = detail.get("ctx", {})
    if detail["type"] == "greater_than_equal":
        return f"{limit['ge']:g} or more"
    return f"at most {limit['le']:g}" if detail["type"] == "less_than_equal" else None


def _fault(model: type[BaseModel], detail: ErrorDetails, place: Callable[[str], Place]) -> BenchError:
    column, given = str(detail["loc"][0]), f"{_given(detail['input'])} is given"
    limits = _limits(model, column) if column in model.model_fields else None
    cause = detail.get("ctx", {}).get("error")
    if detail["type"] == "extra_forbidden":
        known = names_offered(column, model.model_fields)
        return BenchError(f"{column!r} is not known", known, "remove it or correct its name", place(column))
    if detail["type"] == "missing":
        return BenchError(f"{column!r} is missing", limits or "a value", f"add {column}", place(column))
    if detail["input"] == "":
        return BenchError("the cell is empty", limits or "a value", "fill it in", place(column))
    if isinstance(cause, BenchError):
        return BenchError(cause.given, cause.allowed, cause.next_step, place(column))
    if (kind := _kind(detail, limits)) is not None:
        return BenchError(given, *kind, place(column))
    if (limits := limits or _bound(detail)) is not None:
        whole = column in model.model_fields and model.model_fields[column].annotation in (int, int | None)
        step = "write a number in that range" if whole else "check the unit and measure again"
        return BenchError(given, limits, step, place(column))
    return BenchError(given, detail["msg"], "correct it", place(column))


def faults_of(model: type[BaseModel], error: ValidationError, place: Callable[[str], Place]) -> list[BenchError]:
    """Return one BenchError for each fault that pydantic found in one row (or one table of an order).

    place: returns the place of a column in that row.
    """
    return [_fault(model, detail, place) for detail in error.errors()]
