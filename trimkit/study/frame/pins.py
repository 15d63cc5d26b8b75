"""A lab whose pins can be saved in the working folder: CSV for a spreadsheet, JSON for a program."""

from __future__ import annotations

import json
from dataclasses import asdict
from functools import partial
from html import escape
from pathlib import Path

import ipywidgets as widgets

import trimkit
from trimkit.parts.csvtext import csv_text
from trimkit.parts.errors import BenchError, SaveError
from trimkit.parts.saving import checked_name, save_text
from trimkit.study.frame.controls import button, titled
from trimkit.study.frame.lab import Lab, Params, Result

FORMS = ("csv", "json")


def pin_path(name: str, form: str, folder: Path) -> Path:
    """Return where pins are saved under a typed name: in ``folder`` and nowhere else, with the form's ending.

    name: its own ending .csv or .json is dropped. Raises SaveError as :func:`trimkit.parts.saving.checked_name`.
    """
    asked = name.strip()
    stem = next((asked[: -len(end) - 1] for end in FORMS if asked.lower().endswith(f".{end}")), asked)
    return folder / f"{checked_name(stem)}.{form}"


class SavingLab(Lab[Params, Result]):
    """A :class:`trimkit.study.frame.lab.Lab` with a row for saving its pins under it; params must be a dataclass.

    saved: the sentence that the row shows, the path of the file or why there is none.
    """

    saved: str = ""

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

    def _save(self, form: str) -> None:
        try:
            path = self.save(form, self.file_name.value, replace=self.replace.value)
        except BenchError as refusal:
            self._say(str(refusal), refused=True)
        except Exception as error:
            self._say(str(error) or type(error).__name__, refused=True)
            raise
        else:
            count = f"{len(self.pins)} pin{'' if len(self.pins) == 1 else 's'}"
            self._say(f"Saved {count} in {path}", refused=False)

    def _say(self, sentence: str, *, refused: bool) -> None:
        self.saved = sentence
        look = "trimkit-saved trimkit-refused" if refused else "trimkit-saved"
        self._answer.value = f'<p class="{look}" role="status">{escape(sentence)}</p>'

    def _widgets(self) -> None:
        super()._widgets()
        self.file_name = widgets.Text(
            value="pins", description="file name", layout={"width": "250px"}, style={"description_width": "auto"}
        )
        self.replace = widgets.Checkbox(
            description="replace a file of that name", indent=False, layout={"width": "auto"}
        )
        row: list[widgets.Widget] = [self.file_name]
        for form in FORMS:
            tooltip = "Write the pins to a file in the folder of the notebook"
            row.append(button(f"Save pins as {form.upper()}", tooltip, partial(self._save, form)))
            self.buttons[row[-1].description] = row[-1]
        self._answer = widgets.HTML(layout=widgets.Layout(margin="0"))
        main, pins = self.view.children
        self.view.children = (main, widgets.HBox([*row, self.replace]), self._answer, pins)
