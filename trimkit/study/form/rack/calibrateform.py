"""The form that makes the predictions agree with what the shop's own frequency machine reads."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from trimkit.club.order.order import Order, load_order
from trimkit.parts.catalogue import data_folder
from trimkit.parts.errors import BenchError, Place
from trimkit.parts.grid import Grid
from trimkit.shop.calibration import READING_ERROR_CPM, Calibration, calibrate
from trimkit.study.form.bench import ShopBench, offered
from trimkit.study.form.entries import Values
from trimkit.study.form.pieces import Button, Buttons, Field, Fields, Lines, Output, Picture, Rows
from trimkit.study.form.rack.bareshafts import BARE_SHAFTS, bare_shaft_hints, bare_shaft_table
from trimkit.study.form.rack.workedout import CAUTIONS, FOUND, REPLACE, WORK, WRITE, Found, WorkedOutForm, number_in

CLUBS, ORDER, SHAFTS, STATED = "clubs", "order", "shafts", "stated"
ERROR = Field("error", "error of one reading", "cpm", title="standard deviation: read one club ten times")
CAUTION = "Clamp a bare shaft only as its maker allows; pad the jaws, and never crush graphite."


class CalibrateForm(WorkedOutForm):
    """Readings of finished clubs and of bare shafts in; how stiff each kind of shaft is, and how far the clamp gives.

    The finished clubs are those of an order; the shafts are taken as their tables describe them, not as an earlier
    calibration found them.
    """

    def __init__(self, bench: ShopBench) -> None:
        head = Fields(
            "Readings",
            (
                Field(CLUBS, "finished clubs", choices=offered(self.form_files, "none")),
                Field(ORDER, "of the order", choices=self.order_choices),
                Field(SHAFTS, "bare shafts", choices=offered(self.table_files, "none, or typed below")),
                ERROR,
                Field(STATED, "clamp as stated: do not fit it", tick=True, span=2),
            ),
        )
        pieces = (
            head,
            bare_shaft_table("reading", self.shaft_choices),
            Output(CAUTIONS),
            Buttons(
                (
                    Button(WORK, "Calibrate", "Find what makes the model agree with the readings", main=True),
                    Button(WRITE, "Keep in shop.toml", "Write what is shown into the file beside your own parts"),
                    Field(REPLACE, "replace what it has of this clamp and these shafts", tick=True),
                )
            ),
            Output(FOUND),
        )
        super().__init__(bench, pieces, "Calibrate", (Lines((CAUTION,)),))
        self.set_rows(BARE_SHAFTS, [{}, {}])

    def usual(self, values: Values) -> Mapping[str, str]:
        """Return the usual error of a reading, and how the shop reads a bare shaft."""
        try:
            shop = self.bench.shop()
        except BenchError:  # said when it is used
            shop = None
        return {ERROR.name: f"{READING_ERROR_CPM:g}"} | bare_shaft_hints(values.rows(BARE_SHAFTS), shop)

    def read(self, values: Values) -> tuple[Any, ...]:
        """Return the readings, the error of one (cpm), and how far the clamp gives (rad per N m) if that is stated.

        Raises DataFileError with every fault of files and rows; BenchError without readings, for an error that is no
        number, and where nobody states how far the clamp gives.
        """
        from trimkit.club.set import build_set
        from trimkit.club.shopfile import parts_and_shop
        from trimkit.papers.calibration.form import read_readings, stated_compliance

        error_cpm = number_in(values, ERROR, usual=READING_ERROR_CPM)
        catalogue, shop = parts_and_shop(*self.bench.places)
        if shop is not None:
            shop = shop.model_copy(update={"calibrated": ()})
        built, rows = None, self.typed(values, BARE_SHAFTS)
        if values[CLUBS]:

            def load(name: str) -> Order:
                demo = data_folder() / "orders" / "evening_class.toml"
                return load_order(self.bench.path(name) if name else demo, catalogue, shop)

            built = build_set(self.order_of(ORDER, values[ORDER] or None, load))
        paths = [self.path_of(values, key) for key in (CLUBS, SHAFTS) if values[key]]
        given: list[Path | Grid] = [*paths, *([] if rows is None else [rows])]
        if not given:
            step = "choose a file, or type readings of bare shafts"
            raise BenchError("no reading is given", "finished clubs, bare shafts, or both", step)
        read = read_readings(given, catalogue, built, shop)
        try:
            stated = stated_compliance(built, shop) if values[STATED] else None
        except BenchError as fault:
            raise BenchError(fault.given, fault.allowed, fault.next_step, Place(key=STATED)) from None
        return read, error_cpm, stated

    def work_out(self, read: tuple[Any, ...], values: Values) -> Found:
        """Return the calibration: its tables, the clamp in words, and the picture of the residuals."""
        from trimkit.papers.calibration import words
        from trimkit.study.figures.calibration import calibration_picture
        from trimkit.study.figures.set import svg_of

        readings, error_cpm, stated = read
        found = calibrate(
            readings.readings,
            stated_compliance_rad_per_n_m=stated,
            reading_error_cpm=error_cpm,
            could_read=readings.could_read,
        )
        picture = calibration_picture(found)
        how_read = (f"Read {line}." for line in readings.how_read)
        shown = (
            Rows(words.KIND_HEADS, tuple(words.kind_rows(found)), numbers=frozenset({1, 2})),
            Lines(tuple(words.clamp_lines(found))),
            Rows(words.READING_HEADS, tuple(words.reading_rows(found)), numbers=frozenset({2, 3, 4, 5})),
            Lines((words.worst_words(found), words.error_words(found), *how_read)),
            Picture(svg_of(picture.figure, picture.sentence), picture.sentence),
        )
        return Found(found, words.calibrated_words(found), shown)

    def write(self, found: Calibration, values: Values) -> str:
        """Keep a calibration in the shop's own file, beside its own parts.

        Raises BenchError without own parts, and where the file has one of these already and the tick is not set;
        otherwise as :func:`trimkit.papers.calibration.kept.keep`.
        """
        from trimkit.papers.calibration.kept import keep

        folder = self.bench.shop_folder
        if folder is None:
            step = "choose your own parts in the first form, then calibrate again"
            raise BenchError("the demo's parts have no shop.toml", "a folder of your own parts", step)
        if (there := self._there(found)) and not values[REPLACE]:
            given = f"shop.toml has {', '.join(there)} already"
            raise BenchError(given, "the tick beside the button", "tick it to replace them", Place(key=REPLACE))
        path = keep(folder, found, datetime.now().astimezone().date())
        return f"Wrote {path.relative_to(self.bench.folder).as_posix()}: it counts for orders made with these parts."

    def _there(self, found: Calibration) -> list[str]:
        """Return, in words, what the shop's own file has already of what is to be kept."""
        shop = self.bench.shop()
        if shop is None:
            return []
        own = [each.shaft for each in shop.calibrated if each.shaft in {factor.shaft for factor in found.factors}]
        clamp = not found.clamp_stated and shop.clamp.root_compliance_rad_per_n_m is not None
        return (["the clamp's give"] if clamp else []) + own


def calibrate_form(bench: ShopBench) -> CalibrateForm:
    """Return the form that finds how stiff the shop's shafts are and how far its clamp gives, and keeps it."""
    return CalibrateForm(bench)
