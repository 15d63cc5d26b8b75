"""Turn what pydantic finds into sentences for the person at the bench."""

from __future__ import annotations

from collections.abc import Callable

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from trimkit.parts.errors import BenchError, Place


def _limits(model: type[BaseModel], column: str) -> str | None:
    found = {k: getattr(m, k) for m in model.model_fields[column].metadata for k in ("ge", "le") if hasattr(m, k)}
    if not found:
        return None
    unit = column.rsplit("_", 1)[-1] if column.endswith(("_in", "_g")) else ""
    return f"{found['ge']:g} to {found['le']:g} {unit}".strip()


def _fault(model: type[BaseModel], detail: ErrorDetails, place: Callable[[str], Place]) -> BenchError:
    column, given = str(detail["loc"][0]), f"{detail['input']!r} is given"
    limits = _limits(model, column) if column in model.model_fields else None
    cause = detail.get("ctx", {}).get("error")
    if detail["type"] == "extra_forbidden":
        known = ", ".join(model.model_fields)
        return BenchError(f"{column!r} is not known", known, "remove it or correct its name", place(column))
    if detail["type"] == "missing":
        return BenchError(f"{column!r} is missing", limits or "a value", f"add {column}", place(column))
    if detail["input"] == "":
        return BenchError("the cell is empty", limits or "a value", "fill it in", place(column))
    if isinstance(cause, BenchError):
        return BenchError(given, cause.allowed, cause.next_step, place(column))
    if detail["type"] == "enum":
        allowed = f"one of {detail['ctx']['expected']}".replace("'", "")
        return BenchError(given, allowed, "choose one of them", place(column))
    if limits is not None:
        return BenchError(given, limits, "check the unit and measure again", place(column))
    return BenchError(given, detail["msg"], "correct it", place(column))


def faults_of(model: type[BaseModel], error: ValidationError, place: Callable[[str], Place]) -> list[BenchError]:
    """Return one BenchError for each fault that pydantic found in one row (or one table of an order).

    place: returns the place of a column in that row.
    """
    return [_fault(model, detail, place) for detail in error.errors()]
