"""The files of the rack, checked against the catalogue: pieces on the shelf, raw lengths on offer, measured shafts.

Nobody is asked for a tip section: it follows from the catalogue, from what is off a parallel tip, and from the raw
length that a taper tip was bought at (:mod:`trimkit.club.pulled`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from trimkit.club.pulled import piece_of
from trimkit.club.shopfile import beside_shipped
from trimkit.papers.rack.bareshaft import At, RackShaft, known, made_in, raw_lengths_in
from trimkit.parts.catalogue import MAY_BE_EMPTY, Catalogue
from trimkit.parts.components import Shaft, TipKind
from trimkit.parts.csvfile import csv_grid
from trimkit.parts.csvtext import csv_text, from_inert
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.grid import Grid, TableRead, checked
from trimkit.parts.rows import MOST_PIECES, RACK_TABLES, BareShaftRow, OfferRow, Row, ShelfRow
from trimkit.parts.units import say_in
from trimkit.parts.workbook import TableFiles, is_workbook
from trimkit.shop.rawshaft import MeasuredShaft
from trimkit.shop.shelf import Offer, Piece
from trimkit.trim.practice import BenchPractice
from trimkit.trim.wanted import Pulled

SHELF, OFFERS, BARE_SHAFTS = RACK_TABLES
MOST_ROWS = 1000
"""Most rows in a file of the rack: choosing among them stays a matter of seconds; chosen here."""
_SAME_IN = 1e-9

ReadT = TypeVar("ReadT")


@dataclass(frozen=True)
class RackPiece(Piece):
    """Identical pieces as the shelf file has them.

    tip_cut_in: off a parallel tip already, in. bought_length_in: raw length that a taper tip was bought at, in; None
    for a parallel tip.
    """

    tip_cut_in: float = 0.0
    bought_length_in: float | None = None


@dataclass(frozen=True)
class RackFile:
    """What a file of the rack holds; how_read: in words, how a file that is not plain was read."""

    pieces: tuple[RackPiece, ...] = ()
    offers: tuple[Offer, ...] = ()
    shafts: tuple[RackShaft, ...] = ()
    how_read: str = ""


def read_rack(path: Path, table: str, catalogue: Catalogue, practice: BenchPractice | None = None) -> RackFile:
    """Read one table of the rack and check every row against the catalogue.

    path: a CSV file of any name, or a workbook with that sheet. table: ``shelf.csv``, ``offers.csv`` or
    ``bare_shafts.csv``. practice: the figures of the bench; None for the usual ones. Raises DataFileError holding every
    fault, each with its row and column.
    """
    grid = TableFiles(path).grid(table) if is_workbook(path) else csv_grid(path)
    return rack_of(grid, table, catalogue, practice)


def rack_of(grid: Grid, table: str, catalogue: Catalogue, practice: BenchPractice | None = None) -> RackFile:
    """Return what the cells of one table of the rack are, as :func:`read_rack` does for a file."""
    return _against_parts(_cells(grid, table), table, grid.file, catalogue, practice)


def check_rack(
    path: Path, catalogue: Catalogue, practice: BenchPractice | None = None
) -> tuple[dict[str, int], tuple[str, ...]]:
    """Check the tables of the rack that a folder or workbook has; return their rows by name, and how they were read.

    A folder that is checked by itself may be used beside the shipped parts, so that their shafts are known too. Where
    the catalogue was read in part, without its shafts or their raw lengths, the cells alone are checked.
    Raises DataFileError holding the faults of all of them.
    """
    files = TableFiles(path)
    rows, how, faults = dict[str, int](), list[str](), list[BenchError]()
    there = [table for table in RACK_TABLES if files.has(table)]
    whole = {"shafts.csv", "taper_families.csv"} <= set(catalogue.rows_read)
    if there and whole and catalogue.own_folder is None:
        catalogue = beside_shipped(catalogue)
    for table in there:
        try:
            read = _cells(files.grid(table), table)
            if whole:
                _against_parts(read, table, files.label(table), catalogue, practice)
        except DataFileError as error:
            faults += error.faults
            continue
        rows[table] = len(read.rows)
        how += [f"{files.label(table)}: {read.how_read}"] if read.how_read else []
    if faults:
        raise DataFileError(tuple(faults))
    return rows, tuple(how)


def _cells(grid: Grid, table: str) -> TableRead[Row]:
    """Return the rows of a table, each cell checked by itself."""
    filled = sum(any(str(cell or "").strip() for cell in cells) for _, cells in grid.rows)
    if filled > MOST_ROWS:
        step = "take pieces that are alike together in one row, with their count"
        raise DataFileError((BenchError(f"it has {filled} rows", f"at most {MOST_ROWS}", step, Place(grid.file)),))
    return checked(grid, RACK_TABLES[table], may_be_empty=table in MAY_BE_EMPTY)


def _against_parts(
    read: TableRead[Row], table: str, file: str, catalogue: Catalogue, practice: BenchPractice | None
) -> RackFile:
    """Return what the rows of a table are; raises DataFileError with the faults of all of them."""
    how = read.how_read
    if table == SHELF:
        bench = practice or BenchPractice()
        return RackFile(pieces=_each(file, read, lambda row, at: _piece(row, at, catalogue, bench)), how_read=how)
    if table == OFFERS:
        return RackFile(offers=_each(file, read, lambda row, at: _offer(row, at, catalogue)), how_read=how)
    return RackFile(shafts=_each(file, read, lambda row, at: _bare_shaft(row, at, catalogue)), how_read=how)


def _each(file: str, read: TableRead[Row], make: Callable[[Any, At], ReadT]) -> tuple[ReadT, ...]:
    """Return what each row makes; raises DataFileError with the faults of all rows, each at its row."""
    made, faults = list[ReadT](), list[BenchError]()
    for number, row in read.rows:

        def at(column: str, number: int = number) -> Place:
            return Place(file, number, column)

        try:
            made.append(make(row, at))
        except BenchError as error:
            faults.append(BenchError(error.given, error.allowed, error.next_step, error.place or Place(file, number)))
    if faults:
        raise DataFileError(tuple(faults))
    return tuple(made)


def _section_in(shaft: Shaft, raw_length_in: float) -> float:
    """Tip section of a new shaft, in: the raw lengths of a taper family differ below the first step alone."""
    return shaft.tip_section_in - (shaft.raw_length_in - raw_length_in)


def new_offer(shaft: Shaft, raw_length_in: float, pack: int = 1, most_packs: int | None = None) -> Offer:
    """Return a raw length (in) of a shaft as an offer, its tip section derived."""
    return Offer(shaft.name, raw_length_in, _section_in(shaft, raw_length_in), pack, most_packs)


def every_offer(shafts: Iterable[str], catalogue: Catalogue) -> tuple[Offer, ...]:
    """Return an offer, one by one and without limit, for every raw length that these shafts are made in."""
    known = (catalogue.shafts[name] for name in dict.fromkeys(shafts))
    return tuple(new_offer(shaft, raw) for shaft in known for raw in raw_lengths_in(shaft, catalogue))


def _piece(row: ShelfRow, at: At, catalogue: Catalogue, practice: BenchPractice) -> RackPiece:
    shaft = known(row.shaft, at, catalogue)
    off, bought = row.tip_cut_in, row.bought_length_in
    if shaft.tip_kind is TipKind.TAPER:
        if off:
            given = f"{say_in(off)} is off the tip of shaft {shaft.name!r}, a taper tip: cut, it fits no bore"
            raise BenchError(
                given, "bought_length_in alone", "do not use a shaft whose taper tip was cut", at("tip_cut_in")
            )
        if bought is None:
            given = f"it is not said which raw length shaft {shaft.name!r}, a taper tip, was bought at"
            allowed = ", ".join(map(say_in, raw_lengths_in(shaft, catalogue)))
            step = "read its label, or measure from its tip to the first step; of a whole one it is its length"
            raise BenchError(given, allowed, step, at("bought_length_in"))
        raw = made_in(shaft, bought, _SAME_IN, at("bought_length_in"), catalogue)
    else:
        raw = shaft.raw_length_in
        if bought is not None:
            given = f"bought_length_in is given for shaft {shaft.name!r}, a parallel tip"
            raise BenchError(given, "an empty cell; it is for taper tips", "give tip_cut_in", at("bought_length_in"))
        if off is None and row.length_in < raw - practice.measuring_error_in:
            given = f"shaft {shaft.name!r} is {say_in(row.length_in)} long and was bought at {say_in(raw)}"
            step = f"measure from its tip to the first step, and take that from {say_in(shaft.tip_section_in)}"
            raise BenchError(given, "tip_cut_in, what is off its tip; 0 for none", step, at("tip_cut_in"))
    was = piece_of(Pulled(shaft, raw, off or 0.0), row.length_in, practice)
    return RackPiece(
        shaft.name,
        row.length_in,
        was.tip_section_in,
        row.count,
        master=not off and row.length_in >= raw - practice.measuring_error_in,
        mark=from_inert(row.mark),
        tip_cut_in=off or 0.0,
        bought_length_in=bought,
    )


def _offer(row: OfferRow, at: At, catalogue: Catalogue) -> Offer:
    shaft = known(row.shaft, at, catalogue)
    raw = made_in(shaft, row.raw_length_in, _SAME_IN, at("raw_length_in"), catalogue)
    return new_offer(shaft, raw, row.pack, row.most_packs)


def _bare_shaft(row: BareShaftRow, at: At, catalogue: Catalogue) -> RackShaft:
    measured = MeasuredShaft(from_inert(row.mark), row.raw_frequency_cpm, row.raw_mass_g, row.raw_length_in)
    read = RackShaft(row.shaft, measured, row.test_mass_g, row.test_offset_in, row.clamp_in, at("shaft"))
    return replace(read, shaft=read.kind(catalogue).name) if row.shaft else read


def merged(pieces: Iterable[Piece], catalogue: Catalogue) -> tuple[RackPiece, ...]:
    """Return pieces as rows of a shelf file, those that are alike in one row, up to the most that a row may have.

    A piece that is none of the file's, such as one just bought, is a whole new shaft.
    """
    counts: dict[RackPiece, int] = {}
    for piece in pieces:
        row = piece if isinstance(piece, RackPiece) else _as_bought(piece, catalogue)
        alike = replace(row, count=0)
        counts[alike] = counts.get(alike, 0) + piece.count
    return tuple(
        replace(alike, count=min(MOST_PIECES, count - before))
        for alike, count in counts.items()
        for before in range(0, count, MOST_PIECES)
    )


def _as_bought(piece: Piece, catalogue: Catalogue) -> RackPiece:
    taper = catalogue.shafts[piece.shaft].tip_kind is TipKind.TAPER
    bought = piece.length_in if taper else None
    return RackPiece(piece.shaft, piece.length_in, piece.tip_section_in, piece.count, bought_length_in=bought)


def shelf_csv(pieces: Iterable[RackPiece]) -> str:
    """Return pieces as the CSV text of a shelf file, in the columns that :func:`read_rack` reads; lengths as read."""
    rows = [[p.shaft, p.length_in, p.tip_cut_in, p.bought_length_in, p.count, p.mark] for p in pieces]
    return csv_text(list(ShelfRow.model_fields), rows, SHELF)
