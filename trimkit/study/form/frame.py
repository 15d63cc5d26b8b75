"""A form in a notebook: what people type, what the answer says beside it, in one widget of plain page elements.

A form is a list of pieces (:mod:`trimkit.study.form.pieces`) and a function that answers::

    def answer(pressed: str, values: Values) -> Answer:
        if pressed != "read":  # "": somebody typed, or the form was just opened
            return Answer()
        name = values["file"]
        if not name:
            return Answer(faults={"file": ["No file is chosen. Do next: choose one."]})
        rows = tuple((row["club"], row["cpm"]) for row in values.rows("readings"))
        return Answer(f"{len(rows)} readings.", shown={"below": [Rows(("club", "cpm"), rows)]})

    Form(
        [
            Fields("Readings", (Field("file", "file", choices=files(folder, "*.csv")), Field("client", "client"))),
            Table("readings", "club", (Field("club", "club", width_px=120), Field("cpm", "frequency", "cpm"))),
            Buttons((Button("read", "Read", main=True),)),
            Output("below"),
        ],
        answer,
    )

As the last line of a cell it shows itself. ``answer`` is called with all values when a person pauses in typing, leaves
a field, or presses a button; it may take its time, but only one runs at once, and the newest values always win. It
changes nothing but what the button is for (a file that is saved), and says all the rest in its :class:`Answer`. A
BenchError that it raises becomes the message; any other error does too and is raised again. Rows come, go and come back
without its help, and it is called afterwards as for typing.

A key is a field's name, or ``TABLE ROW: COLUMN`` for a cell, rows counted from 1. Code reads and sets
``form.fields["client"].value`` and ``form.fields["readings 2: cpm"].value``, calls ``form.press("read")``, and looks at
``form.said``, ``form.faults``, ``form.told`` and ``form.shown``; no page is needed for that.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from threading import RLock
from typing import TYPE_CHECKING, Any

from trimkit.parts.errors import BenchError, counted
from trimkit.study.form.entries import Entry, Values, cell, checked, typed
from trimkit.study.form.pieces import Answer, Buttons, Field, Fields, Piece, Shown, Table, drawn, shape
from trimkit.study.frame.state import live_view

if TYPE_CHECKING:
    from trimkit.study.form.page import FormPage


class Form:
    """Pieces, what people put into them, and what was answered; shown by being the last line of a cell.

    pieces: from top to bottom. answer: given the name of the button ("" for typing) and the values; see the module.
    still: what a page without a kernel shows, as text; unless given the message line, or that it can be filled in.
    """

    fields: dict[str, Entry]

    def __init__(
        self,
        pieces: Sequence[Piece],
        answer: Callable[[str, Values], Answer],
        still: Callable[[], str] | None = None,
        title: str = "Form",
    ) -> None:
        self.pieces, self.title, self._answer, self._still = tuple(pieces), title, answer, still
        self.said, self.fine, self.faults = "", True, dict[str, list[str]]()
        self.told, self.hints, self.shown = dict[str, str](), dict[str, str](), dict[str, tuple[Shown, ...]]()
        self._lock, self._ids = RLock(), itertools.count(1)
        self._page: FormPage | None = None
        self._stale = True
        self._plain = {field.name: field.empty for field in self._plain_fields()}
        self._tables = {each.name: each for each in self.pieces if isinstance(each, Table)}
        self._rows: dict[str, dict[int, dict[str, Any]]] = {name: {} for name in self._tables}
        self._taken: dict[str, tuple[int, dict[str, Any]]] = {}
        self._answered: list[Any] = ["", 0]
        self._name_fields()

    # What a test or a notebook reads and sets

    @property
    def values(self) -> Values:
        """What the fields hold now, by key."""
        return Values(self._plain, {name: list(rows.values()) for name, rows in self._rows.items()})

    def put(self, values: Mapping[str, Any]) -> None:
        """Put values into fields, by key, all or none; None empties one.

        Raises BenchError for a key that is not there, and for a value that is not among a field's choices.
        """
        with self._lock:
            self._put(values)
            self._changed()

    def set_rows(self, table: str, rows: Iterable[Mapping[str, Any]]) -> None:
        """Fill a table anew, a row each; what a row leaves out is empty. Raises BenchError as :meth:`put`."""
        with self._lock:
            self._fill(table, rows)
            self._changed()

    def add_row(self, table: str, row: Mapping[str, Any] | None = None) -> None:
        """Add a row at the end, empty unless given; a full table stays as it is."""
        with self._lock:
            if len(self._rows[table]) < self._tables[table].most:
                self._rows[table][next(self._ids)] = self._new_row(table, row or {})
            self._name_fields()
            self._changed()

    def take_out(self, table: str, number: int) -> None:
        """Take a row out, from 1; the only one stays. :meth:`put_back` brings back the last that was taken."""
        with self._lock:
            rows = self._rows[table]
            if len(rows) > 1 and 1 <= number <= len(rows):
                self._taken[table] = (number, rows.pop(list(rows)[number - 1]))
            self._name_fields()
            self._changed()

    def put_back(self, table: str) -> None:
        """Put the row that was taken out last where it was."""
        with self._lock:
            if table in self._taken:
                number, row = self._taken.pop(table)
                rows = list(self._rows[table].items())
                self._rows[table] = dict([*rows[: number - 1], (next(self._ids), row), *rows[number - 1 :]])
            self._name_fields()
            self._changed()

    def redraw(self, pieces: Sequence[Piece]) -> None:
        """Take pieces of the same fields with other choices, which a page shows after the next answer."""
        self.pieces, self._tables = tuple(pieces), {each.name: each for each in pieces if isinstance(each, Table)}
        self._name_fields()

    def press(self, name: str) -> None:
        """Press a button by its name, or answer what is in the fields ("")."""
        with self._lock:
            self._stale = False
            try:
                self._take(self._answer(name, self.values))
            except BenchError as refused:
                self._take(Answer(str(refused), fine=False))
            except Exception as error:
                # JupyterLab hides what a callback raises: say it where the person looks, and let it go on.
                self._take(Answer(str(error) or type(error).__name__, fine=False))
                raise
            finally:
                self._send()

    @property
    def view(self) -> FormPage:
        """The page's side, made when it is first asked for."""
        with self._lock:
            if self._page is None:
                from trimkit.study.form.page import FormPage

                if self._stale:
                    self.press("")
                self._page = FormPage(self._heard, title=self.title, **self._drawn())
            return self._page

    def _repr_mimebundle_(self, **_kwargs: object) -> dict[str, Any]:
        """The live form, and for a page without a kernel its text."""
        still = self._still() if self._still else self.said
        return live_view(self.view.model_id) | {"text/plain": still or f"{self.title}: run the notebook to fill it in."}

    # What is inside

    def _plain_fields(self) -> Iterator[Field]:
        for piece in self.pieces:
            if isinstance(piece, Fields):
                yield from piece.fields
            elif isinstance(piece, Buttons):
                yield from (each for each in piece.pieces if isinstance(each, Field))

    def _new_row(self, table: str, row: Mapping[str, Any]) -> dict[str, Any]:
        fields = {field.name: field for field in self._tables[table].fields}
        for name in row:
            if name not in fields:
                raise BenchError(f"{table} has no column {name!r}", ", ".join(fields), "use one of these names")
        return {name: checked(field, row.get(name)) for name, field in fields.items()}

    def _fill(self, table: str, rows: Iterable[Mapping[str, Any]]) -> None:
        made = [self._new_row(table, row) for row in rows]
        if len(made) > self._tables[table].most:
            given = f"{counted(len(made), self._tables[table].word)} for one table"
            raise BenchError(given, f"at most {self._tables[table].most}", "split them")
        self._rows[table] = {next(self._ids): row for row in made}
        self._taken.pop(table, None)
        self._name_fields()

    def _name_fields(self) -> None:
        """Give every field its key anew: a cell's changes when a row above it comes or goes."""
        self.fields = {field.name: Entry(self.put, field, self._plain, field.name) for field in self._plain_fields()}
        self._wire = {f"0:{field.name}": field.name for field in self._plain_fields()}
        for name, table in self._tables.items():
            for number, (row, held) in enumerate(self._rows[name].items(), start=1):
                for field in (*table.columns, *table.details):
                    key = cell(name, number, field.name)
                    self._wire[f"{row}:{field.name}"] = key
                    if not field.told:
                        self.fields[key] = Entry(self.put, field, held, key)

    def _entry(self, key: str) -> Entry:
        if key not in self.fields:
            raise BenchError(f"the form has no field {key!r}", "the key of one of its fields", "look at form.fields")
        return self.fields[key]

    def _put(self, values: Mapping[str, Any]) -> None:
        taken = [(entry := self._entry(key), checked(entry.field, value)) for key, value in values.items()]
        for entry, value in taken:
            entry.held[entry.field.name] = value

    def _changed(self) -> None:
        """Answer what code has put in, if a page shows it."""
        self._stale = True
        if self._page is not None:
            self.press("")

    def _take(self, answer: Answer) -> None:
        """Keep what was answered; the values that it changes are put in."""
        for table, rows in answer.rows.items():
            self._fill(table, rows)
        self._put(answer.values)
        places = set(self._wire.values())
        self.faults = {key: list(words) for key, words in answer.faults.items()}
        self.told, self.hints = dict(answer.told), dict(answer.hints)
        self.shown |= {name: tuple(each) for name, each in answer.shown.items()}
        said = [answer.said]
        left = [f"{key}: {word}" for key, words in self.faults.items() if key not in places for word in words]
        if self.faults:
            where = "; ".join(self._read_as(key) for key in self._wire.values() if key in self.faults)
            count = counted(sum(map(len, self.faults.values())), "fault")
            beside = ", beside its field" if count == "1 fault" else ", each beside its field"
            said.append(f"{count}{beside}: {where}." if where else f"{count}.")
        self.said = " ".join(filter(None, [*said, *left]))
        self.fine = answer.fine and not self.faults

    def _read_as(self, key: str) -> str:
        """Return what people call a field: ``club 3: BBGL`` for ``[[club]] 3: bbgl_in``."""
        if key in self._plain:
            return self.fields[key].field.label
        for name, table in self._tables.items():
            number, _, column = key.removeprefix(f"{name} ").partition(": ")
            for field in (*table.columns, *table.details):
                if field.name == column and key == f"{name} {number}: {column}":
                    return f"{table.word} {number}: {field.label}"
        return key

    # To and from the page

    def _heard(self, asked: Mapping[str, Any]) -> None:
        """Take what a page sent: all its fields, and what was pressed; of two with one number the second is dropped."""
        with self._lock:
            page, number = asked["asked"]
            if page == self._answered[0] and number <= self._answered[1]:
                return
            self._answered = [page, number]
            for wire, value in asked["values"].items():
                entry = self.fields.get(self._wire.get(wire, ""))
                if entry is not None:
                    entry.held[entry.field.name] = typed(entry.field, value)
            pressed, table, row = asked["pressed"], asked["table"], asked["row"]
            if table not in self._tables:
                self.press(pressed)
            elif pressed == "take out" and row in self._rows[table]:
                self.take_out(table, list(self._rows[table]).index(row) + 1)
            elif pressed in ("add", "put back"):
                (self.add_row if pressed == "add" else self.put_back)(table)
            else:
                self.press("")

    def _send(self) -> None:
        if self._page is not None:
            for name, drawn in self._drawn().items():
                setattr(self._page, name, drawn)

    def _drawn(self) -> dict[str, Any]:
        """Return shape and state as the page draws them; a field's name there is its row's number and its own name."""
        wires = {key: wire for wire, key in self._wire.items()}

        def by_wire(told: Mapping[str, Any]) -> dict[str, Any]:
            return {wires[key]: each for key, each in told.items() if key in wires}

        state = {
            "answered": list(self._answered),
            "rows": {name: list(rows) for name, rows in self._rows.items()},
            "values": {wires[key]: entry.value for key, entry in self.fields.items()},
            "faults": by_wire(self.faults),
            "told": by_wire(self.told),
            "hints": by_wire(self.hints),
            "taken": {name: number for name, (number, _) in self._taken.items()},
            "said": self.said,
            "fine": self.fine,
            "shown": {name: [drawn(each) for each in shown] for name, shown in self.shown.items()},
        }
        return {"shape": [shape(piece) for piece in self.pieces], "state": state}
