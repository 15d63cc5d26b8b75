"""The order as a form in a notebook: the same thing as the order file, typed into fields, checked whole, and saved."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from trimkit.club.order.file import order_tables, order_toml
from trimkit.club.order.order import Order, order_from_tables, shipped_order
from trimkit.parts.catalogue import Catalogue
from trimkit.parts.errors import BenchError, counted
from trimkit.parts.saving import checked_name, save_texts
from trimkit.study.form.bench import BenchForm, ShopBench
from trimkit.study.form.entries import Values, cell, checked
from trimkit.study.form.orderfields import CLUBS, REPLACE, SAVE_AS, form_values, order_pieces, order_words, tables_of
from trimkit.study.form.orderlines import FILE, OrderLines, fault_words, order_lines
from trimkit.study.form.pieces import Answer, Table
from trimkit.trim.flexplace import FlexPlace

HINTS = {
    SAVE_AS: "a name without .toml",
    "wanted_swingweight": "none",
    "[length] club": "none: the ladder's",
    "[length] step_in": "the ladder's",
    "[assembly] clamp_in": "5",
    "[assembly] root_spring_n_m_per_rad": "does not give",
    **{f"[assembly] {name}": "0" for name in ("ferrule_mass_g", "tape_mass_g", "epoxy_mass_g", "tip_weight_g")},
}


class OrderForm(BenchForm):
    """An order to type in: ``order()`` is what the file would give, ``save(name)`` writes that file in the bench.

    It begins with the bench's order, and anew whenever the bench opens one; an order that it has saved is from then on
    the bench's.

    A field's ``value`` may be set by code: ``form.fields["flex"].value = "R/S 0.5"``, those of a club under
    ``"[[club]] 3: bbgl_in"``. Lengths and masses are text with or without a unit (``38 1/2``, ``97.8 cm``, ``2 oz``);
    an empty field is left out. After :meth:`check`, and while a page shows the form: ``told`` has the cuts of each club
    (``"[[club]] 3: tip_trim_in"``), ``faults`` what is wrong by field, ``said`` the message.
    """

    def __init__(self, order: Order, bench: ShopBench) -> None:
        self.catalogue, self.shop = order.catalogue, order.shop
        self._saved: Path | None = None
        super().__init__(bench, order_pieces(order.catalogue), self._answer_to, self._text, "Order")
        self._begin(order)

    def _begin(self, order: Order) -> None:
        self._opened = self.bench.opened
        self.fill(order_tables(order))
        self.put({SAVE_AS: Path(self.bench.order_file).stem})

    def look_again(self) -> None:
        """Begin with the order that the bench has opened since; else read parts and shop file anew, and keep the rest.

        Where they are refused it goes on with those that it had, and says why.
        """
        with self._lock:
            try:
                if self._opened != self.bench.opened:
                    order = self.bench.order()
                    self.redraw(order_pieces(order.catalogue))
                    self.catalogue, self.shop = order.catalogue, order.shop
                    self._begin(order)
                elif self.bench.own_parts:
                    catalogue = self.bench.catalogue()
                    shop = self.bench.shop(catalogue.shafts)
                    self._offer(catalogue)
                    self.catalogue, self.shop = catalogue, shop
                super().look_again()
            except BenchError as refused:
                self._take(Answer(f"The parts of this form are those of before. {refused}", fine=False))
                self._send()

    def _offer(self, catalogue: Catalogue) -> None:
        """Offer the parts of a catalogue; raises BenchError, and changes nothing, if it lacks one that is chosen."""
        before = self.pieces
        self.redraw(order_pieces(catalogue))
        try:
            for entry in self.fields.values():
                checked(entry.field, entry.value)
        except BenchError:
            self.redraw(before)
            raise

    def fill(self, tables: Mapping[str, Any]) -> None:
        """Put the tables of an order, as its file holds them, into the fields; fields they leave out are emptied."""
        self.put(form_values(tables, self.values))
        self.set_rows(CLUBS, tables["club"])

    def tables(self) -> dict[str, Any]:
        """Return what the fields hold as tables of names and values, as an order file has them."""
        return tables_of(self.values)

    def order(self) -> Order:
        """Return the order in the fields; raises DataFileError with every fault."""
        return order_from_tables(self.tables(), self.catalogue, FILE, self.shop)

    def check(self) -> Order | None:
        """Say every fault beside its field, or that there is none; return the order if it is whole.

        A club that the rules refuse to cut, or that the double check stops, is told in its line; the order can be
        saved all the same.
        """
        self.press("check")
        return order_lines(self.tables(), self.catalogue, self.shop).order

    def save(self, name: str | None = None, *, replace: bool | None = None) -> Path | None:
        """Save the order as NAME.toml and return the path, or say why not.

        name, replace: None for what is in the field and the box. A file that is there is replaced only if told.
        """
        given = {SAVE_AS: name, REPLACE: replace}
        self.put({key: value for key, value in given.items() if value is not None})
        self.press("save")
        return self._saved

    def _answer_to(self, pressed: str, values: Values) -> Answer:
        tables, self._saved = tables_of(values), None
        lines = order_lines(tables, self.catalogue, self.shop)
        faults: dict[str, list[str]] = {}
        for key, words in (*lines.faults, *self._flex_fault(values, lines)):
            faults.setdefault(key, []).append(self._labelled(words))
        told, hints = dict[str, str](), dict(HINTS)
        for number, line in lines.clubs.items():
            told |= {cell(CLUBS, number, name): text for name, text in line.told.items()}
            hints |= {cell(CLUBS, number, name): text for name, text in line.hints.items()}
            for name, words in line.faults.items():
                faults.setdefault(cell(CLUBS, number, name), []).append(words)
        said = ""
        order, clubs = lines.order, counted(len(tables["club"]), "club")
        if order is not None and pressed == "check":
            said = f"The order is whole: {clubs}."
        elif order is not None and pressed == "save":
            try:
                self._saved = self._write(order, values)
                self.bench.order_file = self._saved.name
                self.bench.changed()
                said = f"Saved as {self._saved.name}, {clubs}."
            except BenchError as error:
                said = "Not saved."
                faults[SAVE_AS] = [self.bench.words(error)]
        elif pressed == "save":
            said = "Not saved."
        after = {} if self._saved is None else {REPLACE: False}
        return Answer(f"{said} {lines.whole_set}".strip(), not lines.whole_set, faults, told, hints, after)

    def _labelled(self, words: str) -> str:
        """Return a fault with the labels of the form in place of the names that an order file has."""
        for piece in self.pieces:
            if isinstance(piece, Table):
                for field in piece.fields:
                    if "_" in field.name:
                        words = words.replace(field.name, f"'{field.label}'")
        return words.replace("pulled = true", "the tick 'pulled from another club'")

    def _write(self, order: Order, values: Values) -> Path:
        name = checked_name(values[SAVE_AS])
        (path,) = save_texts(self.bench.folder, {f"{name}.toml": order_toml(order)}, replace=values[REPLACE])
        return path

    def _flex_fault(self, values: Values, lines: OrderLines) -> list[tuple[str, str]]:
        """Look at the flex also where another fault of the header keeps the order from being read so far."""
        text = values["flex"].strip()
        if text and lines.order is None and "flex" not in {key for key, _ in lines.faults}:
            try:
                FlexPlace.parse(text, self.catalogue.shafts[values["shaft"]])
            except BenchError as error:
                return [("flex", fault_words(error))]
        return []

    def _text(self) -> str:
        """What a page without a kernel shows: the order as tables in words, or its faults."""
        try:
            self.order()
        except BenchError as refused:
            return str(refused)
        return order_words(self.pieces, self.values)


def order_form(order: Order | ShopBench | None = None, folder: Path | None = None) -> OrderForm:
    """Return the form of a bench, on its parts and with its order; or of one order (the demo's unless given).

    folder: where one order is saved, the notebook's unless given; a bench has its own.
    """
    if isinstance(order, ShopBench):
        return OrderForm(order.order(), order)
    return OrderForm(order or shipped_order(), ShopBench(folder or Path.cwd()))
