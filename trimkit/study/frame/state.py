"""One state of a lab: its values and all that was made of them, what a page shows of it, and what is kept of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from trimkit.study.frame.controls import Value
from trimkit.study.frame.readout import Readout

Params = TypeVar("Params")
Result = TypeVar("Result")
VIEW_MIME = "application/vnd.jupyter.widget-view+json"


@dataclass(frozen=True)
class Frame:
    """What a page shows of one state of a lab: the live layer as SVG, and the words under it as plain text.

    readouts: of each its label, its number with unit, and its difference to the reference. refused: the sentence is an
    error's; there is no picture and no number then.
    """

    picture: str
    readouts: tuple[tuple[str, str, str], ...]
    sentence: str
    refused: bool = False

    def told(self) -> dict[str, Any]:
        """Return the frame as JSON has it."""
        return {
            "picture": self.picture,
            "readouts": self.readouts,
            "sentence": self.sentence,
            "refused": self.refused,
        }


@dataclass(frozen=True)
class Pin(Generic[Params]):
    """A what-if that was kept: its letter, the params and what was read."""

    letter: str
    params: Params
    readouts: tuple[Readout, ...]


@dataclass(frozen=True)
class State(Generic[Params, Result]):
    """Where a lab is: its controls' values and all that the chain made of them, or the error of a step."""

    values: dict[str, Value]
    params: Params
    result: Result | None
    readouts: tuple[Readout, ...]
    sentence: str
    frame: Frame
    error: Exception | None = None


def letter_of(index: int) -> str:
    """Return the letter of a pin by its number from 0: A to Z, then AA, AB and so on."""
    return (letter_of(index // 26 - 1) if index >= 26 else "") + chr(ord("A") + index % 26)


def live_view(model_id: str) -> dict[str, Any]:
    """Return the part of an output by which JupyterLab shows a live widget, by its model's id."""
    return {VIEW_MIME: {"version_major": 2, "version_minor": 0, "model_id": model_id}}
