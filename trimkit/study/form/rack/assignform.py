"""The form that puts measured bare shafts into the heads of an order."""

from __future__ import annotations

from collections.abc import Mapping

from trimkit.club.set import build_set
from trimkit.papers.rack.assigning import (
    CLUB_HEADS,
    MEANING,
    Assigned,
    assign_shafts,
    assigned_csv,
    club_rows,
    gain_lines,
    left_out_lines,
)
from trimkit.papers.rack.files import BARE_SHAFTS as TABLE
from trimkit.papers.rack.files import rack_of, read_rack
from trimkit.parts.errors import BenchError
from trimkit.parts.grid import Grid
from trimkit.parts.saving import checked_name, save_texts
from trimkit.study.form.bench import ShopBench, offered
from trimkit.study.form.entries import Values
from trimkit.study.form.pieces import Button, Buttons, Field, Fields, Lines, Output, Rows, Shown
from trimkit.study.form.rack.bareshafts import BARE_SHAFTS, bare_shaft_hints, bare_shaft_table
from trimkit.study.form.rack.workedout import FOUND, REPLACE, WORK, WRITE, Found, WorkedOutForm

ORDER, SHAFTS, SAVE_AS = "order", "shafts", "save as"


class AssignForm(WorkedOutForm):
    """Measured bare shafts in; which one goes into which head, and what that gains over taking them as they lie."""

    saving = frozenset({SAVE_AS, REPLACE})
    save_key = SAVE_AS
    no_shaft = "the order's"

    def __init__(self, bench: ShopBench) -> None:
        head = Fields(
            "Order and shafts",
            (
                Field(ORDER, "order", choices=self.order_choices),
                Field(SHAFTS, "measured shafts", choices=offered(self.table_files, "none, or typed below")),
            ),
        )
        pieces = (
            head,
            bare_shaft_table("shaft", self.shaft_choices),
            Buttons(
                (
                    Button(WORK, "Assign", "Find which shaft goes into which head", main=True),
                    Field(SAVE_AS, "save as"),
                    Field(REPLACE, "replace a file of that name", tick=True),
                    Button(WRITE, "Write the list", "Write what is shown as a CSV file beside this notebook"),
                )
            ),
            Output(FOUND),
        )
        super().__init__(bench, pieces, "Assign")
        self.set_rows(BARE_SHAFTS, [{}, {}])
        self.put({SAVE_AS: "assigned"})

    def usual(self, values: Values) -> Mapping[str, str]:
        """Return how the shop reads a bare shaft."""
        try:
            shop = self.bench.shop()
        except BenchError:  # said when it is used
            shop = None
        return {SAVE_AS: "a name without .csv"} | bare_shaft_hints(values.rows(BARE_SHAFTS), shop)

    def read(self, values: Values) -> tuple[Assigned, str]:
        """Return the assignment, and how the file was read.

        Raises DataFileError with every fault of order and rows; BenchError without rows or where no assignment can be.
        """
        order = self.order_of(ORDER, values[ORDER] or None)
        given = self.one_of(values, SHAFTS, BARE_SHAFTS)
        if given is None:
            step = "choose a file, or type a row for each shaft"
            raise BenchError("no measured shaft is given", "one for each club or more", step)
        if isinstance(given, Grid):
            read = rack_of(given, TABLE, order.catalogue)
        else:
            read = read_rack(given, TABLE, order.catalogue)
        return assign_shafts(build_set(order), read.shafts), read.how_read

    def work_out(self, read: tuple[Assigned, str], values: Values) -> Found:
        """Return the assignment as a table for each kind of shaft, and what it gains."""
        assigned, how_read = read
        shown: list[Shown] = []
        for kind in assigned.kinds:
            shown.append(Rows(CLUB_HEADS, tuple(club_rows(kind)), kind.shaft, frozenset(range(2, len(CLUB_HEADS)))))
            shown.append(Lines(tuple(gain_lines(kind))))
        how = [f"Read: {how_read}."] if how_read else []
        shown.append(Lines((*left_out_lines(assigned), " ".join(MEANING), *how)))
        clubs = sum(len(kind.clubs) for kind in assigned.kinds)
        return Found(assigned, f"Each of {clubs} heads has its shaft.", tuple(shown))

    def write(self, found: Assigned, values: Values) -> str:
        """Write the assignment as a CSV file into the bench's folder."""
        file = f"{checked_name(values[SAVE_AS].strip())}.csv"
        save_texts(self.bench.folder, {file: assigned_csv(found, file)}, replace=values[REPLACE])
        return f"Wrote {file}. Mark each shaft with its club before you cut it."


def assign_form(bench: ShopBench) -> AssignForm:
    """Return the form that puts measured bare shafts into the heads of an order, and writes the list."""
    return AssignForm(bench)
