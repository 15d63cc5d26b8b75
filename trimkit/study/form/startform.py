"""Where the work lies: the shop's own parts, the order to begin with, templates for a shop that has none yet."""

from __future__ import annotations

from collections.abc import Iterator

from trimkit.club.order.order import Order
from trimkit.club.shoptables import ShopFile
from trimkit.papers.templates import ORDER_FILE, write_templates
from trimkit.parts.catalogue import SHOP_FILE, Catalogue
from trimkit.parts.errors import BenchError, DataFileError, counted
from trimkit.parts.saving import checked_name
from trimkit.study.form.bench import DEMO_ORDER, BenchForm, ShopBench, offered
from trimkit.study.form.entries import Values
from trimkit.study.form.orderlines import fault_words
from trimkit.study.form.pieces import Answer, Button, Buttons, Field, Fields, Lines, Output

PARTS, ALONE, ORDER, NEW = "own parts", "alone", "order", "new folder"
COUNTED = {"heads.csv": "head", "shafts.csv": "shaft", "grips.csv": "grip", "schedules.csv": "schedule row"}


def start_form(bench: ShopBench) -> BenchForm:
    """Return the form that chooses the bench's parts and order, and makes a folder of templates in it."""

    def answer(pressed: str, values: Values) -> Answer:
        if pressed == "templates":
            return _templates(bench, values)
        if pressed == "open":
            return _opened(bench, values)
        try:
            return Answer(hints={NEW: "such as my_parts"}, shown={"read": [Lines(read_lines(bench, bench.order()))]})
        except DataFileError as refused:
            return Answer(faults=placed(refused, values[ORDER]))

    pieces = (
        Fields(
            "Parts and order",
            (
                Field(PARTS, "own parts", choices=offered(bench.own_part_places, "none: the demo's, invented")),
                Field(ORDER, "order", choices=offered(bench.order_files, "the demo order")),
                Field(ALONE, "without the demo's parts", tick=True),
            ),
            widths=(1, 1, 0.8),
        ),
        Buttons(
            (
                Button("open", "Open", "Read parts, shop file and order, and fill the form below", main=True),
                Field(NEW, "folder for templates"),
                Button("templates", "Make templates", "Write examples of every table, to be overwritten with your own"),
            )
        ),
        Output("read"),
    )
    return BenchForm(bench, pieces, answer, lambda: "\n".join(read_lines(bench, bench.order())), "Parts and order")


def _opened(bench: ShopBench, values: Values) -> Answer:
    try:
        order = bench.choose(values[PARTS], alone=values[ALONE], order_file=values[ORDER])
    except DataFileError as refused:
        return Answer("Nothing is opened.", faults=placed(refused, values[ORDER]))
    except BenchError as refused:
        return Answer("Nothing is opened.", faults={ORDER: [str(refused)]})
    words = f"Opened: {order.title}, {counted(len(order.clubs), 'club')}."
    return Answer(words, shown={"read": [Lines(read_lines(bench, order))]})


def _templates(bench: ShopBench, values: Values) -> Answer:
    name = values[NEW].strip()
    try:
        paths = write_templates(bench.folder / checked_name(name))
    except BenchError as refused:
        return Answer("Nothing is written.", faults={NEW: [fault_words(refused)]})
    bench.changed()
    chosen = {PARTS: name, ORDER: f"{name}/{ORDER_FILE}", ALONE: False, NEW: ""}
    said = f"Wrote {counted(len(paths), 'file')} into {name}; all that is in them is an invented example."
    return Answer(f"{said} Next: press Open.", values=chosen)


def placed(refused: DataFileError, order_file: str) -> dict[str, list[str]]:
    """Return faults of parts, shop file and order by the field that named the file they are in."""
    faults: dict[str, list[str]] = {}
    for fault in refused.faults:
        at = fault.place.file if fault.place is not None else None
        of_order = bool(order_file) and at == order_file.rpartition("/")[2]
        faults.setdefault(ORDER if of_order else PARTS, []).append(str(fault))
    return faults


def read_lines(bench: ShopBench, order: Order) -> tuple[str, ...]:
    """Return in a line each what was read: parts, shop file, calibrations, order; and how, if not as plain CSV."""
    return (
        f"Parts: {_parts(bench, order.catalogue)}",
        *_shop(bench, order.shop),
        f"Order: {bench.order_file or 'the demo order'}: {order.title}, for {order.client}, "
        f"{counted(len(order.clubs), 'club')}.",
        *(f"Read {line}." for line in order.catalogue.how_read),
    )


def _parts(bench: ShopBench, parts: Catalogue) -> str:
    read = parts.rows_read
    counts = ", ".join(counted(read[file], what) for file, what in COUNTED.items() if file in read)
    if bench.own_parts == DEMO_ORDER:
        return f"the demo's, all invented: {counts}."
    beside = "alone" if bench.alone else "beside the demo's, which are invented"
    return f"those of {bench.own_parts}, {beside}: {counts}."


def _shop(bench: ShopBench, shop: ShopFile | None) -> Iterator[str]:
    if shop is None:
        where = f" ({SHOP_FILE} in the folder of own parts)" if bench.own_parts else ""
        yield f"Shop file: none{where}; the usual clamp, masses and limits apply, and nothing is calibrated."
        return
    yield f"Shop file: {shop.in_words}."
    for each in shop.calibrated:
        yield f"Calibrated: {each.shaft}, stiffness {each.factor_words} ({each.source.text})."
