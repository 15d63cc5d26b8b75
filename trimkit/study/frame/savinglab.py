"""A lab whose pins can be saved: a file name, a button for each format, and a sentence that says where they are."""

from __future__ import annotations

from functools import partial
from html import escape
from pathlib import Path
from typing import TypeVar

import ipywidgets as widgets

from trimkit.parts.errors import BenchError, SaveError
from trimkit.study.frame.controls import button
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.pinfile import FORMS, pin_path, pins_csv, pins_json, save_pins

Params = TypeVar("Params")
Result = TypeVar("Result")


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
        text = (
            pins_csv(self.pins, self.declared, self._then)
            if form == "csv"
            else pins_json(self.title, self.pins, self._then)
        )
        return save_pins(path, text, replace=replace)

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
        narrow = widgets.Layout(width="250px")
        self.file_name = widgets.Text(
            value="pins", description="file name", layout=narrow, style={"description_width": "auto"}
        )
        self.replace = widgets.Checkbox(
            value=False,
            description="replace a file of that name",
            indent=False,
            layout=widgets.Layout(width="auto"),
        )
        row: list[widgets.Widget] = [self.file_name]
        for form in FORMS:
            tooltip = "Write the pins to a file in the folder of the notebook"
            row.append(button(f"Save pins as {form.upper()}", tooltip, partial(self._save, form)))
            self.buttons[row[-1].description] = row[-1]
        self._answer = widgets.HTML(layout=widgets.Layout(margin="0"))
        main, pins = self.view.children
        self.view.children = (main, widgets.HBox([*row, self.replace]), self._answer, pins)
