"""Describe the data files as a Frictionless data package: columns, types, units, limits, source, standing.

``python -m trimkit.parts.datapackage`` prints the text of ``data/datapackage.json``; a test keeps the two in step.
"""

from __future__ import annotations

import json
from enum import Enum
from typing import Any

from trimkit import __version__
from trimkit.parts.rows import TABLES, Row
from trimkit.parts.sources import Standing

UNITS = {"_in": "in", "_g": "g", "_cpm": "cpm", "_n_m2": "N m^2", "_g_per_m": "g/m", "_g_cm2": "g cm^2"}


def unit_of(column: str) -> str | None:
    """Return the unit that a column's name ends with, or None for a column of text.

    >>> unit_of("mass_g_per_m"), unit_of("bbgl_in"), unit_of("club")
    ('g/m', 'in', None)
    """
    return next((UNITS[end] for end in sorted(UNITS, key=len, reverse=True) if column.endswith(end)), None)


def _field(model: type[Row], name: str) -> dict[str, Any]:
    info = model.model_fields[name]
    kind = info.annotation
    constraints: dict[str, Any] = {"required": info.is_required()}
    if isinstance(kind, type) and issubclass(kind, Enum):
        constraints["enum"] = [member.value for member in kind]
    for frictionless_name, attribute in (("minimum", "ge"), ("maximum", "le")):
        for item in info.metadata:
            if hasattr(item, attribute):
                constraints[frictionless_name] = getattr(item, attribute)
    field: dict[str, Any] = {
        "name": name,
        "type": "number" if kind in (float, float | None) else "string",
        "constraints": constraints,
    }
    if info.description:
        field["description"] = info.description
    unit = unit_of(name)
    if unit is not None:
        field["unit"] = unit
    return field


def data_package() -> dict[str, Any]:
    """Return the Frictionless descriptor of the shipped data files, as a JSON-like dictionary."""
    return {
        "$schema": "https://datapackage.org/profiles/1.0/datapackage.json",
        "profile": "tabular-data-package",
        "name": "trimkit-demo-data",
        "title": "An evening class in club assembly: parts, schedules and lengths",
        "version": __version__,
        "description": "Every number here is made up for the lessons. None of it is evidence of anything.",
        "licenses": [{"name": "MIT", "title": "MIT License", "path": "https://opensource.org/license/mit"}],
        "sources": [{"title": "trimkit authors, made up for the demo"}],
        "standing": Standing.INVENTED.value,
        "resources": [
            {
                "name": file.removesuffix(".csv").replace("_", "-"),
                "path": file,
                "profile": "tabular-data-resource",
                "description": model.__doc__,
                "format": "csv",
                "mediatype": "text/csv",
                "encoding": "utf-8",
                "standing": Standing.INVENTED.value,
                "schema": {"fields": [_field(model, name) for name in model.model_fields]},
            }
            for file, model in TABLES.items()
        ],
    }


def descriptor_text() -> str:
    """Return the text of ``datapackage.json``."""
    return json.dumps(data_package(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    print(descriptor_text(), end="")
