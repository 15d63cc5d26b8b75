"""A form that works something out from its fields, shows it, and writes it only if it is what is shown.

Its two buttons are ``work`` and ``write``. What is shown goes away as soon as a field that it rests on changes, or
another form of the bench has saved something. ``write`` works it out anew from the files as they are then; if that
gives something else than what is shown, it is shown instead, and nothing is written.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from trimkit.club.order.order import Order
from trimkit.parts.errors import BenchError, DataFileError, Place, SaveError
from trimkit.parts.grid import Grid
from trimkit.parts.rows import TABLES
from trimkit.study.form.bench import BenchForm, ShopBench
from trimkit.study.form.entries import Values, cell
from trimkit.study.form.pieces import NOTHING, Answer, Choices, Field, Piece, Shown

WORK, WRITE, REPLACE = "work", "write", "replace"
FOUND, CAUTIONS = "found", "cautions"
TABLE_FILES = ("*.csv", "*.xlsx")
NOT_AS_SHOWN = "Nothing is written: this is what fields and files give now. Look at it, then press the button again."


@dataclass(frozen=True)
class Found:
    """What was worked out: for writing it, and as it is said and shown."""

    result: Any
    said: str
    shown: tuple[Shown, ...]


class WorkedOutForm(BenchForm):
    """A form of the bench whose answer is worked out, shown, and then written.

    saving: names of fields that only say where it is written. places: where a fault is shown, by the name of the file
    or typed table that it is in; :meth:`read` fills it. save_key: the field beside which it is said why nothing
    could be saved. no_shaft: how a cell without a shaft reads.
    """

    saving: frozenset[str] = frozenset({REPLACE})
    save_key: str = REPLACE
    no_shaft: str = "choose a shaft"

    def __init__(self, bench: ShopBench, pieces: Sequence[Piece], title: str, cautions: Sequence[Shown] = ()) -> None:
        self.bench, self._shafts = bench, tuple[str, ...]()
        self._look_for_shafts()
        self._cautions = tuple(cautions)
        self._found: Found | None = None
        self._found_for: Any = None
        self._blamed = False
        self.places: dict[str, str] = {}
        super().__init__(bench, pieces, self._answer_to, title=title)

    # What each form says for itself

    def read(self, values: Values) -> Any:
        """Return what files and typed rows hold; raises BenchError with every fault, each at its place."""
        raise NotImplementedError

    def work_out(self, read: Any, values: Values) -> Found:
        """Return what is to be shown; raises BenchError where it is refused."""
        raise NotImplementedError

    def write(self, found: Any, values: Values) -> str:
        """Write the result and return what was written, in words; raises BenchError where it is refused."""
        raise NotImplementedError

    def usual(self, values: Values) -> Mapping[str, str]:
        """Return what counts where a field is empty, by its key."""
        return {}

    # The answer

    def _answer_to(self, pressed: str, values: Values) -> Answer:
        self._look_for_shafts()
        asked = ({key: value for key, value in values.items() if key not in self.saving}, self.bench.changes)
        if self._found_for != asked:
            self._found = None
        try:
            if pressed == WRITE:
                return self._write(values, asked)
            if pressed == WORK:
                self._keep(self._worked_out(values), asked)
                assert self._found is not None
                return self._say(self._found.said)
            if self._blamed:  # faults stay beside their cells until they are put right
                self.read(values)
        except BenchError as refused:
            return self._refused(refused, pressed)
        self._blamed = False
        return self._say("" if self._found is None else self._found.said)

    def _worked_out(self, values: Values) -> Found:
        self._found = None
        self.places = {}
        found = self.work_out(self.read(values), values)
        self._blamed = False
        return found

    def _keep(self, found: Found, asked: Any) -> None:
        self._found, self._found_for = found, asked

    def _write(self, values: Values, asked: Any) -> Answer:
        before, found = self._found, self._worked_out(values)
        self._keep(found, asked)
        if before is None or (before.said, before.shown) != (found.said, found.shown):
            return self._say(NOT_AS_SHOWN, fine=False)
        try:
            said = self.write(found.result, values)
        except BenchError as refused:
            faults, unplaced = self._blame(refused, self.save_key if isinstance(refused, SaveError) else None)
            return self._say(
                " ".join(["Nothing is written:", *unplaced] if unplaced else ["Nothing is written."]),
                fine=False,
                faults=faults,
            )
        self.bench.changed()
        self._found_for = (asked[0], self.bench.changes)
        return self._say(said, values={REPLACE: False})

    def _say(self, said: str, **more: Any) -> Answer:
        shown = () if self._found is None else self._found.shown
        return Answer(said, hints=self.usual(self.values), shown={CAUTIONS: self._cautions, FOUND: shown}, **more)

    def _refused(self, refused: BenchError, pressed: str) -> Answer:
        faults, unplaced = self._blame(refused)
        self._blamed = bool(faults)
        said = unplaced if pressed else []  # it was said when the button was pressed
        return self._say("\n".join(said), fine=False, faults=faults)

    def _blame(self, refused: BenchError, elsewhere: str | None = None) -> tuple[dict[str, list[str]], list[str]]:
        """Return the faults by field, and the sentences of those that have none. elsewhere: a field for all."""
        faults, unplaced = dict[str, list[str]](), list[str]()
        for fault in getattr(refused, "faults", (refused,)):
            key, where = (elsewhere, "") if elsewhere is not None else self._place(fault.place or Place())
            if key is None:
                unplaced.append(str(fault))
            else:
                faults.setdefault(key, []).append(f"{where}{self.bench.words(fault)}")
        return faults, unplaced

    def _place(self, place: Place) -> tuple[str | None, str]:
        """Return the key of the field beside which a fault is shown, None for none, and where in a file it is."""
        if place.key is not None and place.file is None:
            return (place.key if place.key in self.fields else None), ""
        if place.file is None or place.file not in self.places:
            return None, ""
        key = self.places[place.file]
        if key in self._tables:
            at = cell(key, place.row or 0, place.column or "")
            if at not in self.fields and place.row is not None:
                at = cell(key, place.row, self._tables[key].fields[0].name)  # of a row as a whole
            return (at, "") if at in self.fields else (None, "")
        inside = str(Place(None, place.row, place.column, place.key))
        return key, f"{inside}: " if inside else ""

    # Files and typed rows

    def path_of(self, values: Values, key: str) -> Path:
        """Return the path of the file that is chosen in a field; its faults are shown there."""
        path = self.bench.path(values[key])
        self.places[path.name] = key
        return path

    def typed(self, values: Values, table: str) -> Grid | None:
        """Return the rows that are typed into a table as cells, numbered as they are shown; None if all are empty."""
        self.places[table] = table
        rows = [(number, row) for number, row in enumerate(values.rows(table), start=1)]
        filled = tuple(
            (number, tuple(row.values())) for number, row in rows if any(str(v).strip() for v in row.values())
        )
        return Grid(table, tuple(rows[0][1]), filled) if filled else None

    def order_of(self, key: str, name: str | None, load: Callable[[str], Order] | None = None) -> Order:
        """Return an order of the bench (None: the one that is worked on); its file's faults are those of a field.

        load: reads it by its name; the bench's own way unless given. Raises DataFileError with every fault.
        """
        chosen = self.bench.order_file if name is None else name
        try:
            return (load or self.bench.order)(chosen)
        except DataFileError as error:
            raise DataFileError(tuple(_moved(fault, Path(chosen).name, key) for fault in error.faults)) from None

    def one_of(self, values: Values, key: str, table: str) -> Path | Grid | None:
        """Return the chosen file or the typed rows, None for neither; raises BenchError for both."""
        rows = self.typed(values, table)
        if not values[key]:
            return rows
        if rows is not None:
            given, allowed = "a file is chosen, and rows are typed as well", "one of the two"
            raise BenchError(given, allowed, "choose no file, or take the rows out", Place(key=key))
        return self.path_of(values, key)

    def table_files(self) -> tuple[str, ...]:
        """Return the CSV files and workbooks of the bench, without its tables of parts."""
        return tuple(name for name in self.bench.files(*TABLE_FILES) if Path(name).name not in TABLES)

    def form_files(self) -> tuple[str, ...]:
        """Return these and the forms ``to_measure*.csv`` in the folders of the bench's folder."""
        folder = self.bench.folder
        below = (each for each in sorted(folder.glob("[!.~]*/to_measure*.csv")) if each.is_file())
        names = (each.relative_to(folder).as_posix() for each in below if not each.is_symlink())
        return tuple(dict.fromkeys((*self.table_files(), *names)))

    def order_choices(self) -> Choices:
        """Return the orders of the bench as choices, first the one that is worked on."""
        own = f"{self.bench.order_file or 'the demo order'}, of this bench"
        return ((own, NOTHING), *((name, name) for name in self.bench.order_files()))

    def shaft_choices(self) -> Choices:
        """Return the shafts of the bench's parts, and those that rows hold, as choices."""
        held = (row.get("shaft", NOTHING) for rows in getattr(self, "_rows", {}).values() for row in rows.values())
        names = dict.fromkeys((*self._shafts, *filter(None, held)))
        return ((self.no_shaft, NOTHING), *((name, name) for name in names))

    def _look_for_shafts(self) -> None:
        try:
            self._shafts = tuple(self.bench.catalogue().shafts)
        except BenchError:  # said where they are used
            return


def _moved(fault: BenchError, file: str, key: str) -> BenchError:
    """Return a fault of one file as one of the field that it is chosen in."""
    place = fault.place
    if place is None or place.file != file:
        return fault
    inside = str(Place(None, place.row, place.column, place.key))
    given = f"{inside}: {fault.given}" if inside else fault.given
    return BenchError(given, fault.allowed, fault.next_step, Place(key=key))


def number_in(values: Values, field: Field, *, whole: bool = False, usual: float | None = None) -> float:
    """Return the number in a field; raises BenchError, at the field, for text that is none, or for none.

    whole: only digits are taken. usual: what an empty field counts as, in the unit of the field; None: it
    must not be empty.
    """
    text = values[field.name].strip()
    if not text and usual is not None:
        return usual
    try:
        if whole and not (text.isascii() and text.isdigit() and len(text) < 10):
            raise ValueError
        return int(text) if whole else float(text.replace("_", "no digit"))
    except ValueError:
        given = f"{text!r} is no number" if text else "nothing is given"
        allowed = "a whole number" if whole else "a number, with a point for the decimals"
        raise BenchError(given, allowed, "write digits", Place(key=field.name)) from None
