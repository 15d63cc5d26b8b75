"""The readings that a calibration goes by, from files: finished clubs of an order, and bare shafts.

Finished clubs: the form ``to_measure.csv`` of an order's tables, filled in; a column ``clamp_in`` may be added, and a
club may then have a row for each depth. Bare shafts: ``bare_shafts.csv``, a row for each reading of a shaft.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Annotated

from pydantic import Field

from trimkit.club.card import BenchCard, card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.club import ClubBuild, finished_club
from trimkit.club.set import SetBuild
from trimkit.club.shoptables import ShopFile
from trimkit.papers.measured import MeasuredRow, wrong_place
from trimkit.papers.rack.bareshaft import RackShaft
from trimkit.papers.rack.files import BARE_SHAFTS, rack_of
from trimkit.parts.catalogue import Catalogue
from trimkit.parts.csvfile import csv_grid
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.grid import Grid, checked
from trimkit.parts.rows import LengthIfKnown
from trimkit.parts.units import say_in
from trimkit.parts.workbook import TableFiles, is_workbook
from trimkit.shop.furtherreading import Possible
from trimkit.shop.reading import Reading, raw_reading

MOST_READINGS = 200
"""Most readings of one calibration: many more than tell anything new, few enough to be fitted in seconds."""
CLUBS_FILE = "to_measure.csv"


class ClubReadingRow(MeasuredRow):
    """A row of the form: a finished club and its frequency; clamp_in: where it is not the order's."""

    clamp_in: Annotated[
        float | None, Field(ge=3, le=12, description="of the club's butt in the clamp, grip on"), LengthIfKnown
    ] = None


@dataclass(frozen=True)
class ReadingsRead:
    """The readings of all files, what else of the order could be read, and how files that are not plain were read."""

    readings: tuple[Reading, ...]
    could_read: tuple[Possible, ...]
    how_read: tuple[str, ...]


def read_readings(
    paths: Sequence[Path | Grid], catalogue: Catalogue, built: SetBuild | None = None, shop: ShopFile | None = None
) -> ReadingsRead:
    """Return the readings of some files, each a CSV file or a workbook with sheets of these names.

    paths: one may be a table of bare shafts that somebody typed, as its cells.
    built: the set whose finished clubs were read; None where only bare shafts were. The shafts of both are as they are
    described, not as an earlier calibration found them. A club is taken as it was planned, with the tip weight that its
    wanted swingweight needs, and at its measured playing length where the form has it. shop: the shop's own settings:
    its test weight counts for a bare shaft whose row has none.

    Raises DataFileError holding every fault: of a file, a cell, a name, a club's place, and of a reading that nothing
    can be compared with; if there are more than :data:`MOST_READINGS`, or none.
    """
    readings: list[Reading] = []
    faults: list[BenchError] = []
    how_read: list[str] = []
    for path in paths:
        try:
            grids = _grids(path)
        except DataFileError as error:
            faults += error.faults
            continue
        for grid, table in grids:
            try:
                if table == BARE_SHAFTS:
                    made, how = _bare_readings(grid, catalogue, built, shop, faults)
                else:
                    made, how = _club_readings(grid, built, faults)
            except DataFileError as error:
                faults += error.faults
                continue
            readings += made
            how_read += [f"{grid.file}: {how}"] if how else []
    names = ", ".join(path.file if isinstance(path, Grid) else path.name for path in paths)
    if len(readings) > MOST_READINGS:
        given = f"there are {len(readings)} readings"
        faults.append(BenchError(given, f"at most {MOST_READINGS}", "leave out those that repeat others", Place(names)))
    if not readings and not faults:
        given = "no row has a frequency_cpm"
        faults.append(BenchError(given, "one or more", "fill in what was read", Place(names)))
    if faults:
        raise DataFileError(tuple(faults))
    read = {id(reading.held.wanted) for reading in readings if isinstance(reading.held, BenchCard)}
    unread = [club for club in (() if built is None else built.clubs) if id(club.plan.wanted) not in read]
    could = tuple(
        Possible(f"the {club.plan.club} of the order", club.plan.wanted.shaft.name, _card(club))
        for club in unread
        if club.predicted is not None
    )
    return ReadingsRead(tuple(readings), could, tuple(how_read))


def stated_compliance(built: SetBuild | None, shop: ShopFile | None) -> float:
    """Return how far the clamp gives by the order, or else by the shop's own file, rad for each N m.

    Raises BenchError where neither says it.
    """
    spring = None if built is None else built.order.assembly.root_spring_n_m_per_rad
    stated = 1 / spring if spring is not None else None if shop is None else shop.clamp.root_compliance_rad_per_n_m
    if stated is None:
        given = "neither the order nor the shop's own file states how far the clamp gives"
        allowed = "root_spring_n_m_per_rad under [assembly], or root_compliance_rad_per_n_m under [clamp] in shop.toml"
        raise BenchError(given, allowed, "write it there (0 in shop.toml: it does not give), or let it be fitted")
    return stated


def _grids(path: Path | Grid) -> list[tuple[Grid, str]]:
    """Return the tables of a file, each with its name; raises DataFileError if it cannot be read or has neither."""
    if isinstance(path, Grid):
        return [(path, BARE_SHAFTS)]
    if not is_workbook(path):
        grid = csv_grid(path)
        columns = {name.strip().casefold() for name in grid.header}
        return [(grid, CLUBS_FILE if "place" in columns else BARE_SHAFTS)]
    files = TableFiles(path, also=CLUBS_FILE)
    there = [name for name in (CLUBS_FILE, BARE_SHAFTS) if files.has(name)]
    if not there:
        given, allowed = "it has no sheet of readings", "a sheet to_measure or bare_shafts"
        raise DataFileError((BenchError(given, allowed, "name the sheet so", Place(path.name)),))
    return [(files.grid(name), name) for name in there]


def _bare_readings(
    grid: Grid, catalogue: Catalogue, built: SetBuild | None, shop: ShopFile | None, faults: list[BenchError]
) -> tuple[list[Reading], str]:
    read = rack_of(grid, BARE_SHAFTS, catalogue)
    kinds = () if built is None else tuple(shaft.name for shaft in built.order.shafts)
    rows = read.shafts[: MOST_READINGS + 1]  # more would only be refused with these
    made = [_one(each.place, faults, partial(_bare, each, catalogue, kinds, shop)) for each in rows]
    return [each for each in made if each is not None], read.how_read


def _club_readings(grid: Grid, built: SetBuild | None, faults: list[BenchError]) -> tuple[list[Reading], str]:
    if built is None:
        given, allowed = "it is the form of an order's finished clubs", "that order as well"
        raise DataFileError((BenchError(given, allowed, "name it with --order", Place(grid.file)),))
    clubs = checked(grid, ClubReadingRow)
    names = [club.plan.club for club in built.clubs]
    found: list[Reading] = []
    for number, row in clubs.rows[: MOST_READINGS + 1]:
        wrong = wrong_place(row, names, Place(grid.file, number, "place"))
        if wrong is not None:
            faults.append(wrong)
        elif row.frequency_cpm is not None:
            one = _one(Place(grid.file, number), faults, partial(_club, row, built.clubs[row.place - 1]))
            found += [] if one is None else [one]
    return found, clubs.how_read


def _one(row: Place, faults: list[BenchError], make: Callable[[], Reading]) -> Reading | None:
    """Return the reading of a row, or None with its fault: a name or a mass that cannot be, a clamp too deep."""
    try:
        reading = make()
        frequency_cpm(reading.held)
    except BenchError as error:
        column = None if error.place is None else error.place.column
        faults.append(BenchError(error.given, error.allowed, error.next_step, replace(row, column=column)))
        return None
    return reading


def _bare(row: RackShaft, catalogue: Catalogue, kinds: Sequence[str], shop: ShopFile | None) -> Reading:
    shaft, read = row.kind(catalogue, kinds), row.measured
    bench, mass_g, length_in = row.bench(shop), read.raw_mass_g, read.raw_length_in
    return raw_reading(shaft, bench, read.raw_frequency_cpm, raw_mass_g=mass_g, raw_length_in=length_in)


def _club(row: ClubReadingRow, club: ClubBuild) -> Reading:
    if club.predicted is None:
        given = f"{club.no_prediction}, so that the {row.club} has no frequency to be compared with"
        step = "leave its frequency_cpm empty"
        raise BenchError(given, "clubs whose walls or stations are known", step, Place(column="frequency_cpm"))
    card = _card(club)
    if row.playing_length_in is not None:
        longer = row.playing_length_in - card.playing_length_in
        card = replace(card, cut_length_in=card.cut_length_in + longer)
    what = row.club
    if row.clamp_in is not None:
        card = replace(card, assembly=replace(card.assembly, clamp_in=row.clamp_in))
        what += f", {say_in(row.clamp_in)} in the clamp"
    assert row.frequency_cpm is not None
    return Reading(what, club.plan.wanted.shaft.name, card, row.frequency_cpm)


def _card(club: ClubBuild) -> BenchCard:
    made = finished_club(club)
    return card_of(made.plan, made.assembly)
