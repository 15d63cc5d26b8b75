"""The order as a form in a notebook: the same thing as the order file, typed into fields, checked whole, and saved."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from trimkit.club.order.file import order_tables, order_toml
from trimkit.club.order.order import Order, order_from_tables, shipped_order
from trimkit.club.order.tables import MOST_CLUBS
from trimkit.club.set import plan_order
from trimkit.parts.errors import BenchError, DataFileError
from trimkit.parts.saving import checked_name, save_texts
from trimkit.study.form.orderfields import ASSEMBLY, DECIDED, LENGTH, MEASURED, OWN, WHO, WISH, Field, named, put, taken
from trimkit.study.frame.controls import button
from trimkit.study.frame.lab import VIEW_MIME
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import ClubRefused

STYLE = """<style>
.trimkit-order { max-width: 1000px; }
.trimkit-order .trimkit-fault { border-left: 4px solid #D55E00; padding-left: 8px; margin: 0 0 4px; line-height: 1.3; }
.trimkit-order .trimkit-fine { border-left: 4px solid #0072B2; padding-left: 8px; margin: 0; line-height: 1.3; }
.trimkit-order .trimkit-faulty input, .trimkit-order .trimkit-faulty select { border: 2px solid #D55E00 !important; }
.trimkit-order .widget-html-content { line-height: 1.3; }
</style>"""


class OrderForm:
    """An order to type in: ``order()`` is what the file would give, ``save(name)`` writes that file.

    A field's ``value`` may be set by code: ``form.fields["flex"].value = "R/S 0.5"``, those of a club under
    ``"[[club]] 3: bbgl_in"``. Lengths and masses are text with or without a unit (``38 1/2``, ``97.8 cm``, ``2 oz``);
    an empty field is left out. ``faults``: of the last check, by field; ``said``: the last sentence.
    """

    fields: dict[str, Any]
    _lines: list[tuple[tuple[str, ...], Any]]

    def __init__(self, order: Order, folder: Path) -> None:
        self.catalogue, self.shop, self.folder = order.catalogue, order.shop, folder
        self.faults: dict[str, list[str]] = {}
        self.said = ""
        self._clubs: list[dict[str, Any]] = []
        self._widgets()
        self.fill(order_tables(order))

    # What a test or a notebook reads and sets

    def fill(self, tables: Mapping[str, Any]) -> None:
        """Put the tables of an order, as its file holds them, into the fields; fields they leave out are emptied."""
        for field in self._header:
            put(self.fields[field.name], tables.get(field.name))
        for table, group in (("length", LENGTH), ("assembly", ASSEMBLY)):
            for field in group:
                put(self.fields[f"[{table}] {field.name}"], tables.get(table, {}).get(field.name))
        self._set_clubs([dict(club) for club in tables["club"]])

    def tables(self) -> dict[str, Any]:
        """Return what the fields hold as tables of names and values, as an order file has them."""
        tables = taken({field.name: self.fields[field.name] for field in self._header})
        for table, group in (("length", LENGTH), ("assembly", ASSEMBLY)):
            inside = taken({field.name: self.fields[f"[{table}] {field.name}"] for field in group})
            if inside:
                tables[table] = inside
        tables["club"] = [taken(club) for club in self._clubs]
        return tables

    def order(self) -> Order:
        """Return the order in the fields; raises DataFileError with every fault."""
        return order_from_tables(self.tables(), self.catalogue, "the form", self.shop)

    def check(self) -> Order | None:
        """Say every fault beside its field, or that there is none; return the order if there is none.

        A club that the rules refuse to cut is told at its head; the order can be saved all the same.
        """
        try:
            order = self.order()
        except DataFileError as error:
            told = [(fault.place.key or "" if fault.place else "", _words(fault)) for fault in error.faults]
            self._show(told + self._flex_fault({key for key, _ in told}))
            return None
        refused = [
            (f"[[club]] {number}: head", f"cannot be cut so: {fault.given}. Do next: {fault.next_step}.")
            for number, club in enumerate(plan_order(order).clubs, start=1)
            if isinstance(club, ClubRefused)
            for fault in club.faults
        ]
        self._show(refused, f"The order is whole: {len(order.clubs)} clubs.")
        return order

    def save(self, name: str | None = None, *, replace: bool | None = None) -> Path | None:
        """Save the order as NAME.toml and return the path, or say why not.

        name, replace: None for what stands in the field and the box. A file that is there is replaced only if told.
        """
        name = self.name.value if name is None else name
        order = self.check()
        if order is None:
            return None
        try:
            checked_name(name)
            told = self.replace.value if replace is None else replace
            (path,) = save_texts(self.folder, {f"{name}.toml": order_toml(order)}, replace=told)
        except BenchError as error:
            self._say(f"Not saved: {_words(error)}", "fault")
            return None
        self.replace.value = False
        self._say(f"Saved as {path.name}, {len(order.clubs)} clubs.", "fine")
        return path

    def add_club(self) -> None:
        """Add a club at the end, its head the first of the data."""
        self._set_clubs([*(taken(club) for club in self._clubs), {"head": next(iter(self.catalogue.heads))}])

    def remove_club(self) -> None:
        """Take the last club out; the first one stays."""
        self._set_clubs([taken(club) for club in self._clubs[: max(1, len(self._clubs) - 1)]])

    # What is on the screen

    def _flex_fault(self, told: set[str]) -> list[tuple[str, str]]:
        """Look at the flex also where another fault of the header keeps the order from being read so far."""
        text = self.fields["flex"].value.strip()
        if text and "flex" not in told:
            try:
                FlexPlace.parse(text, self.catalogue.shafts[self.fields["shaft"].value])
            except BenchError as error:
                return [("flex", _words(error))]
        return []

    def _show(self, faults: list[tuple[str, str]], fine: str = "") -> None:
        """Put each fault under the line of its field; a fault of no field goes into the last line."""
        self.faults = {}
        for key, words in faults:
            self.faults.setdefault(key, []).append(words)
        for key, field in self.fields.items():
            (field.add_class if key in self.faults else field.remove_class)("trimkit-faulty")
        for keys, place in self._lines:
            told = [
                f'<div class="trimkit-fault">{escape(self.fields[key].description)}: {escape(words)}</div>'
                for key in keys
                for words in self.faults.get(key, ())
            ]
            place.value = "".join(told)
        left = [f"{key}: {words}" for key, words in faults if key not in self.fields]
        if faults:
            count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
            where = "; ".join(key.replace("[[club]]", "club") for key in self.fields if key in self.faults)
            self._say(" ".join([fine, f"{count}, each beside its field: {where}.", *left]).strip(), "fault")
        else:
            self._say(fine, "fine")

    def _say(self, words: str, look: str) -> None:
        self.said = words
        self._said.value = f'<div class="trimkit-{look}" role="status">{escape(words)}</div>'

    def _line(self, group: tuple[Field, ...], prefix: str) -> list[Any]:
        made = {f"{prefix}{field.name}": field.widget() for field in group}
        self.fields |= made
        place = widgets.HTML(layout=widgets.Layout(margin="0", flex="0 0 auto"))
        self._lines.append((tuple(made), place))
        row = widgets.Layout(flex_flow="row wrap", flex="0 0 auto")
        return [widgets.HBox(list(made.values()), layout=row), place]

    def _widgets(self) -> None:
        parts = self.catalogue
        ladders = dict.fromkeys(rung.ladder for rung in parts.ladder_rungs)
        what = (
            Field("shaft", "shaft", 400, named(parts.shafts)),
            Field("grip", "grip", 300, named(parts.grips)),
            Field("ladder", "ladder", 220, named(ladders)),
        )
        self._header = (*WHO, *what, *WISH)
        self._heads = named({**parts.heads, **parts.heads_without_bbgl})
        self._own = (
            Field("shaft", "own shaft", 400, named(parts.shafts, "the order's")),
            Field("grip", "own grip", 300, named(parts.grips, "the order's")),
            Field("ladder", "own ladder", 220, named(ladders, "the order's")),
            *OWN,
        )
        self.fields, self._lines = {}, []
        top = [each for group in (WHO, what, WISH) for each in self._line(group, "")]
        top += [*self._line(LENGTH, "[length] "), *self._line(ASSEMBLY, "[assembly] ")]
        self._fixed = len(self._lines)
        self._club_box = widgets.VBox(layout={"max_height": "270px", "overflow": "auto", "border": "1px solid #ccc"})
        self._said = widgets.HTML(layout=widgets.Layout(margin="0"))
        self.name = widgets.Text(description="save as", placeholder="a name without .toml", layout={"width": "300px"})
        self.replace = widgets.Checkbox(
            description="replace a file of that name", indent=False, layout={"width": "210px"}
        )
        buttons = [
            button("Check", "Say every fault beside its field", self.check),
            button("Add a club", "A club more at the end", self.add_club),
            button("Take the last club out", "One club less", self.remove_club),
        ]
        save = button("Save", "Write the order as a file beside this notebook", self.save)
        self.buttons = {each.description: each for each in (*buttons, save)}
        rows = [widgets.HBox(buttons), widgets.HBox([self.name, self.replace, save]), self._said]
        self.view = widgets.VBox([widgets.HTML(STYLE), *top, self._club_box, *rows])
        self.view.add_class("trimkit-order")

    def _set_clubs(self, clubs: list[dict[str, Any]]) -> None:
        clubs = clubs[:MOST_CLUBS]
        self.fields = {key: field for key, field in self.fields.items() if not key.startswith("[[club]]")}
        self._lines, self._clubs, shown = self._lines[: self._fixed], [], []
        for number, club in enumerate(clubs, start=1):
            prefix = f"[[club]] {number}: "
            head = Field("head", f"{number}. head", 250, self._heads)
            shown += [*self._line((head, *MEASURED), prefix), *self._line(DECIDED, prefix)]
            shown += self._line(self._own, prefix)
            mine = {
                field.name: self.fields[f"{prefix}{field.name}"] for field in (head, *MEASURED, *DECIDED, *self._own)
            }
            for name, widget in mine.items():
                put(widget, club.get(name))
            self._clubs.append(mine)
        self._club_box.children = shown
        self._show([])

    def _repr_mimebundle_(self, **_kwargs: object) -> dict[str, Any]:
        """The live form, and for a page without a kernel the order as its file holds it, or its faults."""
        try:
            text = order_toml(self.order())
        except BenchError as refused:
            text = str(refused)
        return {
            VIEW_MIME: {"version_major": 2, "version_minor": 0, "model_id": self.view.model_id},
            "text/plain": text,
        }


def order_form(order: Order | None = None, folder: Path | None = None) -> OrderForm:
    """Return the form, filled with an order (the demo's unless given), that saves into a folder (the notebook's)."""
    return OrderForm(order or shipped_order(), folder or Path.cwd())


def _words(fault: BenchError) -> str:
    return f"{fault.given}. Allowed: {fault.allowed}. Do next: {fault.next_step}."
