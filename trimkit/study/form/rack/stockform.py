"""The form that plans orders against the shelf: what to take, cut and buy, and who goes short."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

from trimkit.papers.rack.files import OFFERS, SHELF, RackFile, rack_of, read_rack
from trimkit.papers.rack.stock import (
    BRING_THEIR_OWN,
    CAUTIONS_AT_THE_RACK,
    CUT_HEADS,
    TO_MEASURE,
    Stock,
    cut_rows,
    into_the_order,
    packs_words,
    piece_words,
    plan_stock,
    shelf_words,
    write_stock,
)
from trimkit.parts.errors import BenchError, DataFileError, Place, counted
from trimkit.parts.grid import Grid
from trimkit.parts.saving import checked_name
from trimkit.parts.units import say_in
from trimkit.study.form.bench import ShopBench, offered
from trimkit.study.form.entries import Values, cell
from trimkit.study.form.pieces import (
    NOTHING,
    Button,
    Buttons,
    Choices,
    Field,
    Fields,
    Lines,
    Output,
    Rows,
    Shown,
    Table,
)
from trimkit.study.form.rack.workedout import CAUTIONS, FOUND, REPLACE, WORK, WRITE, Found, WorkedOutForm

ORDERS, PIECES = "orders", "shelf"
SHELF_FILE, OFFERS_FILE, FOLDER = "shelf file", "offers file", "folder"
OF_THE_BENCH = "of the bench"
"""The order that is worked on; no file has this name, as it does not end in .toml."""


class StockForm(WorkedOutForm):
    """Orders in sequence, and the shelf; which piece each club is cut from, what to buy, what stays."""

    saving = frozenset({FOLDER, REPLACE})
    save_key = FOLDER

    def __init__(self, bench: ShopBench) -> None:
        columns = (
            Field("shaft", "shaft", choices=self.shaft_choices),
            Field("length_in", "length now", "in", width_px=70),
            Field("tip_cut_in", "off its tip", "in", width_px=66, title="of a parallel tip, already"),
            Field("bought_length_in", "bought at", "in", width_px=66, title="raw length of a taper tip"),
            Field("count", "pieces", width_px=50),
            Field("mark", "mark", width_px=90),
        )
        pieces = (
            Table(ORDERS, "order", (Field("file", "orders, first come first served", choices=self._orders),), most=20),
            Fields(
                "Shelf and offers",
                (
                    Field(SHELF_FILE, "shelf", choices=offered(self.table_files, "none, or typed below")),
                    Field(OFFERS_FILE, "on offer", choices=offered(self.table_files, "every raw length, one by one")),
                ),
            ),
            Table(PIECES, "piece", columns),
            Output(CAUTIONS),
            Buttons(
                (
                    Button(WORK, "Plan", "Find a piece for each club", main=True),
                    Field(FOLDER, "into the folder"),
                    Field(REPLACE, "replace its older lists", tick=True),
                    Button(WRITE, "Write the lists", "Write take, buy, short and shelf_afterwards as CSV, all or none"),
                )
            ),
            Output(FOUND),
        )
        super().__init__(bench, pieces, "Stock", (Lines((" ".join(CAUTIONS_AT_THE_RACK),)),))
        self.set_rows(ORDERS, [{"file": OF_THE_BENCH}])
        self.set_rows(PIECES, [{}, {}])
        self.put({FOLDER: "rack"})

    def _orders(self) -> Choices:
        (own, _), *files = self.order_choices()
        return (("choose an order", NOTHING), (own, OF_THE_BENCH), *files)

    def usual(self, values: Values) -> dict[str, str]:
        """Return what a name of a folder is."""
        return {FOLDER: "a new folder beside this notebook"}

    def read(self, values: Values) -> tuple[Any, ...]:
        """Return the orders with their names, the pieces, and the offers; raises DataFileError with every fault."""
        faults, orders = list[BenchError](), []
        catalogue = self.bench.catalogue()
        shop = self.bench.shop(catalogue.shafts)
        practice = None if shop is None else shop.practice
        chosen = self._chosen(values, faults)
        stems = Counter(Path(name).stem for name in chosen)
        for name, key in chosen.items():
            try:
                order = self.order_of(key, name)
            except DataFileError as error:
                faults += error.faults
                continue
            path = Path(name or "demo order")
            orders.append((path.stem if stems[path.stem] < 2 else path.as_posix(), order))
        read = dict[str, RackFile]()
        try:
            shelf = self.one_of(values, SHELF_FILE, PIECES)
            if isinstance(shelf, Grid):
                read[SHELF] = rack_of(shelf, SHELF, catalogue, practice)
            elif shelf is not None:
                read[SHELF] = read_rack(shelf, SHELF, catalogue, practice)
        except BenchError as error:
            faults += getattr(error, "faults", (error,))
        try:
            if values[OFFERS_FILE]:
                read[OFFERS] = read_rack(self.path_of(values, OFFERS_FILE), OFFERS, catalogue, practice)
        except DataFileError as error:
            faults += error.faults
        if faults:
            raise DataFileError(tuple(faults))
        return orders, read

    def _chosen(self, values: Values, faults: list[BenchError]) -> dict[str, str]:
        """Return the orders by their names, each with the key of its cell; one that is named twice is a fault."""
        chosen: dict[str, str] = {}
        for number, row in enumerate(values.rows(ORDERS), start=1):
            key = cell(ORDERS, number, "file")
            name = self.bench.order_file if row["file"] == OF_THE_BENCH else row["file"]
            if row["file"] == NOTHING:
                continue
            if name in chosen:
                given = "this order is chosen twice"
                faults.append(BenchError(given, "each order once", "take one of them out", Place(key=key)))
            chosen.setdefault(name, key)
        if not chosen:
            step = "choose the first to be served"
            faults.append(BenchError("no order is chosen", "one or more", step, Place(key=cell(ORDERS, 1, "file"))))
        return chosen

    def work_out(self, read: tuple[Any, ...], values: Values) -> Found:
        """Return what to do at the rack: a table of cuts for each order and shaft, what to buy, who goes short."""
        orders, files = read
        pieces = files[SHELF].pieces if SHELF in files else ()
        stock = plan_stock(orders, pieces, files[OFFERS].offers if OFFERS in files else None)
        plan, shown = stock.plan, list[Shown]()
        for (order, shaft), rows in cut_rows(stock).items():
            shown.append(Rows(CUT_HEADS, tuple(rows), f"{order}: {shaft}", frozenset({2})))
        if plan.cuts:
            shown.append(Lines((" ".join(TO_MEASURE),)))
        if into := into_the_order(stock):
            shown.append(Lines((" ".join(into[:2]), *into[2:-1])))
        if plan.short:
            lacks = tuple((each.need.order, each.need.club, each.need.shaft, each.why) for each in plan.short)
            what = f"Short of a shaft: {counted(len(lacks), 'club')}."
            shown.append(Rows(("order", "club", "shaft", "why"), lacks, what))
        if stock.own:
            shown.append(Rows(("order", "club", "shaft"), stock.own, BRING_THEIR_OWN))
        buys = ((offer.shaft, say_in(offer.raw_length_in), packs_words(offer, packs)) for offer, packs in plan.to_buy)
        if buy := tuple(buys):
            shown.append(Rows(("shaft", "raw length", "how many"), buy, "To buy:"))
        else:
            shown.append(Lines(("Nothing to buy.",)))
        left = tuple((str(each.count), each.shaft, piece_words(each)) for each in stock.afterwards)
        heads = ("pieces", "shaft", "left on the shelf")
        shown.append(Rows(heads, left, shelf_words(stock), frozenset({0})) if left else Lines((shelf_words(stock),)))
        how = [f"Read {table.removesuffix('.csv')}: {each.how_read}." for table, each in files.items() if each.how_read]
        shown += [Lines(tuple(how))] if how else []
        empty = "" if pieces else " Nothing is on the shelf: all is to be bought."
        return Found(stock, f"{counted(len(plan.cuts), 'club')} planned, {len(plan.short)} short.{empty}", tuple(shown))

    def write(self, found: Stock, values: Values) -> str:
        """Write the lists into a folder of the bench, all or none."""
        name = checked_name(values[FOLDER].strip())
        paths = write_stock(found, self.bench.path(name), replace=values[REPLACE])
        return f"Wrote {', '.join(path.name for path in paths)} into {name}."


def stock_form(bench: ShopBench) -> StockForm:
    """Return the form that plans orders against the shelf, and writes the lists."""
    return StockForm(bench)
