"""Everything that the verbs save, as ``kill_saves.py`` saves it: several versions, each with another text.

The texts of the versions are made without saving anything; each is saved as its verb does.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

from trimkit.club.order.file import order_toml
from trimkit.club.order.order import load_order, shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.club.shopfile import read_shop
from trimkit.papers.calibration.form import read_readings
from trimkit.papers.calibration.kept import keep, kept_text
from trimkit.papers.formcell import write_frequency
from trimkit.papers.measured import MeasuredRow, measured_club, measured_form
from trimkit.papers.rack.assigning import assign_shafts, assigned_csv
from trimkit.papers.rack.files import BARE_SHAFTS, OFFERS, SHELF, RackFile, RackShaft, read_rack
from trimkit.papers.rack.stock import plan_stock, stock_files, write_stock
from trimkit.papers.record.build import first_record, revised, with_measurements, withdrawn
from trimkit.papers.record.changewords import comparison_csv
from trimkit.papers.record.compare import compare
from trimkit.papers.record.file import record_text
from trimkit.papers.record.listing import ListedRecord, listing_csv
from trimkit.papers.record.model import Record
from trimkit.papers.record.store import read_file, save_record
from trimkit.papers.tablefiles import set_files, write_tables
from trimkit.papers.templates import template_files, write_templates
from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.csvfile import csv_grid, read_rows
from trimkit.parts.saving import one_writer, save_text
from trimkit.shop.calibration import Calibration, calibrate

VERSIONS = 8
"""How many saves follow one another at most; each has another text, so that one is never taken for another."""
AT = datetime(2026, 1, 1, tzinfo=UTC)
EXAMPLES = Path(__file__).parents[2] / "trimkit" / "papers" / "example"


@dataclass(frozen=True)
class Saved:
    """What is saved: the bytes of each version by file name, how version k is saved into a folder, how it is read.

    once: it is written only where nothing is yet; there is one version of it.
    """

    what: str
    versions: tuple[dict[str, bytes], ...]
    save: Callable[[Path, int], object]
    read: Callable[[Path], object]
    once: bool = False


def one_file(
    name: str, texts: list[str], save: Callable[[Path, int], object], read: Callable[[Path], object] = csv_grid
) -> Saved:
    """One file: how version k is saved under a path, and how it is read from one."""
    assert len(set(texts)) == len(texts)
    versions = tuple({name: text.encode()} for text in texts)
    return Saved(name, versions, lambda folder, k: save(folder / name, k), lambda folder: read(folder / name))


def several_files(
    what: str, texts: list[dict[str, str]], save: Callable[[Path, int], object], *, once: bool = False
) -> Saved:
    """Several files that are saved together: how version k is saved into a folder."""
    versions = tuple({name: text.encode() for name, text in version.items()} for version in texts)
    assert len({tuple(version.values()) for version in versions}) == len(texts)
    return Saved(what, versions, save, lambda folder: [path.read_text() for path in folder.iterdir()], once)


@cache
def woods() -> SetBuild:
    return build_set(shipped_order("wood_pair"))


def a_record() -> Saved:
    """A record that grows by one revision with every save."""
    records = [first_record(woods(), AT)]
    for number in range(1, VERSIONS):
        records.append(revised(records[-1], woods(), AT + timedelta(days=number), reason=f"revision {number}"))
    return of_records("a.record.json", records)


def of_records(name: str, records: list[Record]) -> Saved:
    return one_file(name, list(map(record_text, records)), lambda path, k: save_record(path, records[k]), read_file)


def readings_measured_and_withdrawn() -> Saved:
    """A record to which readings are added and from which they are withdrawn in turns."""
    records = [first_record(woods(), AT)]
    for number in range(1, VERSIONS):
        at = AT + timedelta(days=number)
        if number % 2:
            found = {0: measured_club(frequency_cpm=250.0 + number)}
            records.append(with_measurements(records[-1], found, at, reason="measured"))
        else:
            records.append(withdrawn(records[-1], 0, "frequency", at, reason="clamp was loose"))
    return of_records("measured.record.json", records)


def an_order() -> Saved:
    """An order that is changed and saved in the place of the older one."""
    order = shipped_order()
    texts = [order_toml(order).replace(order.title, f"version {number}") for number in range(VERSIONS)]

    def save(path: Path, k: int) -> None:
        with one_writer(path.parent):
            save_text(path, texts[k], replace=True)

    return one_file("a.toml", texts, save, lambda path: load_order(path, order.catalogue))


@cache
def calibration() -> Calibration:
    """What one bare shaft at three depths in the clamp comes to, the clamp as stated."""
    text, folder = (EXAMPLES / "bare_shafts.csv").read_text(encoding="utf-8"), Path(tempfile.mkdtemp())
    deeper = ((5.0, 309.6), (14.0, 412.4), (26.0, 790.0))
    rows = [f"1,example steel parallel,,111.4,{cpm},205.0,,{clamp_in}" for clamp_in, cpm in deeper]
    (folder / "read.csv").write_text("\n".join([text.splitlines()[0], *rows]), encoding="utf-8")
    read = read_readings([folder / "read.csv"], load_catalogue(EXAMPLES))
    shutil.rmtree(folder)
    return calibrate(read.readings, stated_compliance_rad_per_n_m=0.0, could_read=read.could_read)


def the_shop_s_own_file() -> Saved:
    """``calibrate --keep``: a calibration goes into the shop's own file again and again."""
    found = calibration()
    factors = [replace(found.factors[0], ei_factor=0.9 + number / 100) for number in range(VERSIONS)]
    calibrations = [replace(found, factors=(factor, *found.factors[1:])) for factor in factors]
    texts, day = [""], date(2026, 11, 27)
    for each in calibrations:
        texts.append(kept_text(texts[-1], each, day))
    known = load_catalogue(EXAMPLES).shafts
    return one_file(
        "shop.toml",
        texts[1:],
        lambda path, k: keep(path.parent, calibrations[k], day),
        lambda path: read_shop(path, known),
    )


def a_picture() -> Saved:
    """``calibrate --picture``."""
    from trimkit.study.figures.calibration import calibration_picture, save_picture
    from trimkit.study.figures.set import svg_of

    picture = calibration_picture(calibration())
    pictures = [replace(picture, sentence=f"picture {number}") for number in range(VERSIONS)]
    texts = [svg_of(each.figure, each.sentence) for each in pictures]
    return one_file(
        "residuals.svg",
        texts,
        lambda path, k: save_picture(path, pictures[k], replace=True),
        lambda path: path.read_text(),
    )


def example_rack(table: str) -> RackFile:
    return read_rack(EXAMPLES / table, table, load_catalogue(EXAMPLES))


def four_files_of_the_rack() -> Saved:
    """``stock --to``: four files that belong together."""
    order = load_order(EXAMPLES / "example_order.toml", load_catalogue(EXAMPLES))
    shelf, offers = example_rack(SHELF).pieces, example_rack(OFFERS).offers
    stocks = [
        plan_stock([(f"order {number}", order)], [replace(each, mark=f"no. {number}") for each in shelf], offers)
        for number in range(VERSIONS)
    ]
    return several_files(
        "stock", list(map(stock_files, stocks)), lambda folder, k: write_stock(stocks[k], folder, replace=True)
    )


def marked(shafts: tuple[RackShaft, ...], number: int) -> list[RackShaft]:
    return [replace(each, measured=replace(each.measured, mark=f"{each.measured.mark}-{number}")) for each in shafts]


def an_assignment() -> Saved:
    """``assign --to``."""
    built = build_set(load_order(EXAMPLES / "example_order.toml", load_catalogue(EXAMPLES)))
    shafts = example_rack(BARE_SHAFTS).shafts
    texts = [assigned_csv(assign_shafts(built, marked(shafts, number))) for number in range(VERSIONS)]
    return one_file("assigned.csv", texts, lambda path, k: save_text(path, texts[k], replace=True))


def a_list_of_records() -> Saved:
    """``records --csv``."""
    one = ListedRecord("a.record.json", AT, "client 07", "set", ("shaft",), ("7-iron",), 1, 0, False, ())
    texts = [listing_csv([replace(one, revisions=number) for number in range(many + 1)]) for many in range(VERSIONS)]
    return one_file("records.csv", texts, lambda path, k: save_text(path, texts[k], replace=True))


def a_comparison() -> Saved:
    """``compare --csv``: the first revision against each of the others."""
    record = first_record(woods(), AT)
    for number in range(VERSIONS):
        found = {0: measured_club(frequency_cpm=250.0 + number)}
        record = with_measurements(record, found, AT + timedelta(days=number + 1), reason="measured")
    texts = [comparison_csv(compare(record.revisions[0], each)) for each in record.revisions[1:]]
    return one_file("changes.csv", texts, lambda path, k: save_text(path, texts[k], replace=True))


def a_cell_of_the_form() -> Saved:
    """``frequency --into``: a number goes into the form, which is there from the start."""
    empty = measured_form([club.plan.club for club in woods().clubs])
    first = empty.splitlines()[1]
    texts = [empty.replace(first, first.replace(",,", f",,{250 + number}.0", 1)) for number in range(VERSIONS)]

    def save(path: Path, k: int) -> None:
        if not path.exists():
            save_text(path, texts[0])
        write_frequency(path, 250.0 + k, place=1, replace=True)

    return one_file("to_measure.csv", texts, save, lambda path: read_rows(path, MeasuredRow))


def tables_of_a_set() -> Saved:
    """``tables --to``."""
    sets = [woods(), build_set(shipped_order("taper_soft_step"))]
    return several_files(
        "tables", list(map(set_files, sets)), lambda folder, k: write_tables(sets[k], folder, replace=True)
    )


def templates() -> Saved:
    """``templates``: a new folder of files, with the new ones among them."""
    return several_files("templates", [template_files()], lambda folder, k: write_templates(folder), once=True)


KINDS: tuple[Callable[[], Saved], ...] = (
    a_record,
    an_order,
    readings_measured_and_withdrawn,
    the_shop_s_own_file,
    a_picture,
    four_files_of_the_rack,
    an_assignment,
    a_list_of_records,
    a_comparison,
    a_cell_of_the_form,
    tables_of_a_set,
    templates,
)
