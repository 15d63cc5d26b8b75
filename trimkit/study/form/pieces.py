"""What a form in a notebook is made of: fields, tables with a row a thing, buttons, and what it shows under them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

NOTHING = ""
"""The value of an empty field."""
MOST_FILES = 500
"""Files that a field offers; chosen here."""

Choices = tuple[tuple[str, Any], ...]
"""What a field offers: what people read, and the value (text, a number, true or false)."""


@dataclass(frozen=True)
class Field:
    """One field, or one column of a table: its key, what people read, its unit, and what may be put in.

    A field takes text, also for a number (``38 1/2``, ``97.8 cm``), unless it has choices or is a tick. choices: what
    is offered, or a function that is asked anew for each answer (:func:`files`). told: a column that the form fills
    in itself. span: columns of the grid that it takes. width_px: of a column of a table; those with choices take what
    is left over. title: more words, for the mouse.
    """

    name: str
    label: str
    unit: str = ""
    choices: Choices | Callable[[], Choices] = ()
    tick: bool = False
    told: bool = False
    words: bool = False
    span: int = 1
    width_px: int = 58
    title: str = ""

    @property
    def offered(self) -> Choices:
        """What it offers now; empty for text."""
        return self.choices() if callable(self.choices) else self.choices

    @property
    def empty(self) -> Any:
        """Its value before anybody put one in: the first of its choices, no tick, or no text."""
        if self.tick:
            return False
        return next((value for _, value in self.offered), NOTHING)


@dataclass(frozen=True)
class Fields:
    """Fields in an aligned grid, their labels above them.

    widths: of the grid's columns, as shares of the whole. folded: behind a line that sums up what is in them.
    """

    title: str
    fields: tuple[Field, ...]
    widths: tuple[float, ...] = (1, 1, 1, 1)
    folded: bool = False


@dataclass(frozen=True)
class Table:
    """A table with a row a thing, such as a club; a cell's key is ``NAME ROW: COLUMN``, rows counted from 1.

    word: what a row is. details: fields of a row that are rarely used, behind a fold of their own. fixed: rows neither
    come nor go by hand. most: rows at the most.
    """

    name: str
    word: str
    columns: tuple[Field, ...]
    details: tuple[Field, ...] = ()
    fixed: bool = False
    most: int = 200

    @property
    def fields(self) -> tuple[Field, ...]:
        """Columns and details that people fill in."""
        return tuple(each for each in (*self.columns, *self.details) if not each.told)


@dataclass(frozen=True)
class Button:
    """A button: its name, which the answer is given when it is pressed, what people read, and what it does."""

    name: str
    label: str
    title: str = ""
    main: bool = False


@dataclass(frozen=True)
class Buttons:
    """A line of buttons, and fields beside them."""

    pieces: tuple[Button | Field, ...]


@dataclass(frozen=True)
class Output:
    """A place for what an answer shows under this name."""

    name: str


Piece = Fields | Table | Buttons | Output


@dataclass(frozen=True)
class Lines:
    """Lines of plain text; mono: in letters of one width, for a table made of text."""

    lines: tuple[str, ...]
    mono: bool = False


@dataclass(frozen=True)
class Rows:
    """A table to read: heads with their units, and rows of text; numbers: columns set to the right."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    numbers: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Picture:
    """A picture as SVG text, which the page shows as an image, and the sentence that says what it shows."""

    svg: str
    words: str


Shown = Lines | Rows | Picture


@dataclass(frozen=True)
class Answer:
    """What a form says to its fields or to a button; all texts are plain.

    said: the message line; fine: whether it is good news. faults: sentences by the key of a field or a told cell; a key
    that the form does not have goes into the message line. told: texts of told cells by key; a second line is for the
    mouse. hints: what counts where
    a field is empty, by key, shown grey in it. values: fields to change, by key. rows: tables to fill anew, by name.
    shown: what each output shows; an output that is left out stays as it is.
    """

    said: str = ""
    fine: bool = True
    faults: Mapping[str, Sequence[str]] = field(default_factory=dict)
    told: Mapping[str, str] = field(default_factory=dict)
    hints: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Any] = field(default_factory=dict)
    rows: Mapping[str, Sequence[Mapping[str, Any]]] = field(default_factory=dict)
    shown: Mapping[str, Sequence[Shown]] = field(default_factory=dict)


def files(folder: Path, pattern: str, none: str = "choose a file") -> Callable[[], Choices]:
    """Return choices for a field: the files of a folder whose names fit the pattern, looked up anew each time.

    none: how "no file" reads, the first choice. A hidden file, and one in a folder of the folder, is not offered.
    """

    def found() -> Choices:
        names = sorted(each.name for each in folder.glob(pattern) if each.is_file() and not each.name.startswith("."))
        return ((none, NOTHING), *((name, name) for name in names[:MOST_FILES]))

    return found


def shape(piece: Piece) -> dict[str, Any]:
    """Return a piece as the page draws it, with what its fields offer now."""
    if isinstance(piece, Table):
        own: dict[str, Any] = {"name": piece.name, "word": piece.word, "fixed": piece.fixed}
        own |= {
            "columns": [_field(each) for each in piece.columns],
            "details": [_field(each) for each in piece.details],
        }
    elif isinstance(piece, Fields):
        own = {"title": piece.title, "widths": list(piece.widths), "folded": piece.folded}
        own |= {"fields": [_field(each) for each in piece.fields]}
    elif isinstance(piece, Buttons):
        own = {"pieces": [_field(each) if isinstance(each, Field) else _button(each) for each in piece.pieces]}
    else:
        own = {"name": piece.name}
    return {"kind": type(piece).__name__} | own


def _button(button: Button) -> dict[str, Any]:
    return {"kind": "button", "name": button.name, "label": button.label, "title": button.title, "main": button.main}


def _field(field: Field) -> dict[str, Any]:
    offered = [list(each) for each in field.offered]
    kind = "told" if field.told else "tick" if field.tick else "choice" if offered else "text"
    look = {"span": field.span, "width": field.width_px, "title": field.title, "words": field.words}
    return {"kind": kind, "name": field.name, "label": field.label, "unit": field.unit, "choices": offered, **look}


def drawn(shown: Shown) -> dict[str, Any]:
    """Return what an output shows as the page draws it."""
    own = {each.name: getattr(shown, each.name) for each in fields(shown)}
    return {"kind": type(shown).__name__} | {k: sorted(v) if isinstance(v, frozenset) else v for k, v in own.items()}


def aligned(table: Sequence[Sequence[str]]) -> str:
    """Return rows of text, the heads first, as lines in letters of one width, each column as wide as its longest."""
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in table
    )
