"""The pins of a lab as a file in the working folder: CSV for a spreadsheet, JSON for a program."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import trimkit
from trimkit.parts.csvtext import csv_text
from trimkit.parts.errors import SaveError
from trimkit.parts.saving import checked_name, save_text
from trimkit.study.frame.controls import Control, titled
from trimkit.study.frame.lab import Pin, Readout

FORMS = ("csv", "json")


def pin_path(name: str, form: str, folder: Path) -> Path:
    """Return where pins are saved under a typed name: in ``folder`` and nowhere else, with the form's ending.

    name: its own ending .csv or .json is dropped. Raises SaveError as :func:`trimkit.parts.saving.checked_name`.
    """
    asked = name.strip()
    stem = next((asked[: -len(end) - 1] for end in FORMS if asked.lower().endswith(f".{end}")), asked)
    return folder / f"{checked_name(stem)}.{form}"


def _standing(readout: Readout, before: Readout) -> float | None:
    """What a readout's difference is taken from, in ``unit``; None if it is not compared."""
    if not readout.compare:
        return None
    return before.value if readout.before is None else readout.before


def pins_csv(pins: Sequence[Pin[Any]], controls: Sequence[Control], reference: Sequence[Readout]) -> str:
    """Return pins as CSV text, a row a pin: settings, then each readout as number, as shown, and its difference.

    Each column of numbers has its unit in its name. reference: the readouts that differences are taken from.
    """
    columns = ["pin", *(titled(each.label, getattr(each, "unit", "")) for each in controls)]
    rows: list[list[object]] = [[pin.letter, *(getattr(pin.params, each.name) for each in controls)] for pin in pins]
    for place, first in enumerate(pins[0].readouts):
        label = titled(first.label, first.unit)
        columns.append(label)
        columns += [f"{first.label} as shown"] if first.shown is not None else []
        columns += [f"change of {label}"] if first.compare else []
        for row, pin in zip(rows, pins, strict=True):
            now = pin.readouts[place]
            row.append(now.value)
            if first.shown is not None:
                row.append(str(now))
            if (before := _standing(now, reference[place])) is not None:
                row.append(now.value - before)
    return csv_text(columns, rows)


def pins_json(title: str, pins: Sequence[Pin[Any]], reference: Sequence[Readout]) -> str:
    """Return pins as JSON text: params by name (the unit stands in it), readouts with value, unit, text, difference."""
    made = {
        "made_by": f"trimkit {trimkit.__version__}",
        "what": title,
        "standing": "computed by an idealised model from made-up parts; not measured",
        "pins": [
            {
                "pin": pin.letter,
                "params": asdict(pin.params),
                "readouts": [
                    {
                        "label": now.label,
                        "value": now.value,
                        "unit": now.unit,
                        "shown": str(now),
                        "change": None if (before := _standing(now, then)) is None else now.value - before,
                    }
                    for now, then in zip(pin.readouts, reference, strict=True)
                ],
            }
            for pin in pins
        ],
    }
    return json.dumps(made, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def save_pins(path: Path, text: str, *, replace: bool = False) -> Path:
    """Save the text of pins whole or not at all; raises SaveError if the file is there and may not be replaced."""
    if path.exists() and not replace:
        raise SaveError(
            f"{path.name} is there already", "a new file", "type another name, or tick 'replace a file of that name'"
        )
    return save_text(path, text, replace=replace)
