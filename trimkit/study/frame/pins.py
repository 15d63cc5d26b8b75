"""A lab whose pins can be saved in the working folder: CSV for a spreadsheet, JSON for a program."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

import trimkit
from trimkit.parts.csvtext import csv_text
from trimkit.parts.errors import BenchError, SaveError, counted
from trimkit.parts.saving import checked_name, save_text
from trimkit.study.frame.controls import Value, titled
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.state import Params, Result

FORMS = ("csv", "json")


def pin_path(name: str, form: str, folder: Path) -> Path:
    """Return where pins are saved under a typed name: in ``folder`` and nowhere else, with the form's ending.

    name: its own ending .csv or .json is dropped. Raises SaveError as :func:`trimkit.parts.saving.checked_name`.
    """
    asked = name.strip()
    stem = next((asked[: -len(end) - 1] for end in FORMS if asked.lower().endswith(f".{end}")), asked)
    return folder / f"{checked_name(stem)}.{form}"


class SavingLab(Lab[Params, Result]):
    """A :class:`trimkit.study.frame.lab.Lab` whose pins can be saved; params must be a dataclass."""

    def save(self, form: str, name: str = "pins", *, replace: bool = False) -> Path:
        """Save the pins as ``csv`` or ``json`` in the working folder and return the path.

        Raises SaveError if nothing is pinned, the name or the form cannot be, or the file is there and ``replace`` is
        not given.
        """
        if form not in FORMS:
            raise SaveError(f"the form {form!r}", " or ".join(FORMS), "choose one of them")
        if not self.pins:
            raise SaveError("nothing is pinned", "one pin or more", "press 'Pin this one' first")
        path = pin_path(name, form, Path.cwd())
        if path.exists() and not replace:
            next_step = "type another name, or tick 'replace a file of that name'"
            raise SaveError(f"{path.name} is there already", "a new file", next_step)
        return save_text(path, self._csv() if form == "csv" else self._json(), replace=replace)

    def _csv(self) -> str:
        """A row for each pin: its settings, then each readout as a number, as shown, and its difference."""
        rows = []
        for pin in self.pins:
            row = self._settings(pin)
            for now, then in zip(pin.readouts, self._then, strict=True):
                label = titled(now.label, now.unit)
                row[label] = now.value
                if now.shown is not None:
                    row[f"{now.label} as shown"] = now.shown
                if (change := now.change_from(then)) is not None:
                    row[f"change of {label}"] = change
            rows.append(row)
        return csv_text(list(rows[0]), [list(row.values()) for row in rows])

    def _json(self) -> str:
        made = {
            "made_by": f"trimkit {trimkit.__version__}",
            "what": self.title,
            "standing": "computed by an idealised model from made-up parts; not measured",
            "pins": [
                {
                    "pin": pin.letter,
                    "params": asdict(pin.params),  # type: ignore[call-overload]  # any lab's params, here a dataclass
                    "readouts": [
                        {
                            "label": now.label,
                            "value": now.value,
                            "unit": now.unit,
                            "shown": str(now),
                            "change": now.change_from(then),
                        }
                        for now, then in zip(pin.readouts, self._then, strict=True)
                    ],
                }
                for pin in self.pins
            ],
        }
        return json.dumps(made, indent=1, ensure_ascii=False, allow_nan=False) + "\n"

    def told(self) -> dict[str, Any]:
        """As :meth:`Lab.told`, and the forms that pins can be saved in."""
        return super().told() | {"saves": list(FORMS)}

    def press(self, button: Mapping[str, Any], values: Mapping[str, Value]) -> dict[str, Any] | None:
        """As :meth:`Lab.press`; a button that saves says where the file is, or why there is none."""
        if button["name"] != "save":
            return super().press(button, values)
        try:
            path = self.save(button["form"], button["file"], replace=button["replace"])
        except (BenchError, OSError) as refusal:
            return {"text": str(refusal), "refused": True}
        return {"text": f"Saved {counted(len(self.pins), 'pin')} in {path}", "refused": False}
