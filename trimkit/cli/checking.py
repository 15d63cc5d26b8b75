"""The verb that checks files before anything is made from them."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from trimkit.cli.arguments import add_parts, built
from trimkit.parts.errors import counted

if TYPE_CHECKING:
    from trimkit.parts.catalogue import Catalogue


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb ``check``."""
    check = verbs.add_parser("check", help="check a data file, an order, a shop.toml, a record, or a whole data folder")
    check.add_argument(
        "path",
        type=Path,
        nargs="?",
        metavar="FILE",
        help="CSV file, workbook, order (TOML), shop.toml, record (JSON) or a folder (default: the data folder)",
    )
    add_parts(check)
    check.set_defaults(run=_check)


def _check(chosen: argparse.Namespace) -> str:
    from trimkit.club.shopfile import parts_and_shop
    from trimkit.papers.rack.files import check_rack
    from trimkit.parts.catalogue import SHOP_FILE, check_file, data_folder, rack_table
    from trimkit.parts.components import ESTIMATED_WALLS
    from trimkit.parts.rows import TABLES
    from trimkit.parts.workbook import is_workbook

    path: Path = chosen.path or chosen.data or data_folder()
    how_read: tuple[str, ...] = ()
    silent, beside, shop = list[str](), list[str](), None
    if path.is_dir() or is_workbook(path):
        parts, shop = parts_and_shop(path, chosen.own_parts, in_part=True)
        how_read, said = parts.how_read, _parts_said(parts)
        silent = [shaft.unknown for shaft in parts.shafts.values()]
        if chosen.own_parts is not None:
            said += f", with those of {chosen.own_parts}"
        practice = None if shop is None else shop.practice
        rack, told = check_rack(path, parts, practice)
        how_read += told
        if chosen.own_parts is not None:
            own, told = check_rack(chosen.own_parts, parts, practice)
            rack, how_read = {name: rack.get(name, 0) + own.get(name, 0) for name in rack | own}, how_read + told
        if absent := [name for name in TABLES if name not in parts.rows_read]:
            said += f"; not there, and nothing checked against them: {', '.join(absent)}"
        if rack:
            beside.append("The rack: " + ", ".join(f"{counted(rows, 'row')} of {name}" for name, rows in rack.items()))
    elif path.name == SHOP_FILE:
        from trimkit.club.shopfile import read_shop

        said = f"the shop's own file: {read_shop(path, _shafts_beside(chosen)).in_words}"
    elif path.suffix == ".toml":
        made = built(chosen, path)
        how_read, silent = made.order.catalogue.how_read, [club.no_prediction for club in made.clubs]
        said, shop = f"an order of {counted(len(made.clubs), 'club')}, and its sheet can be made", made.order.shop
    elif path.suffix == ".json":
        from trimkit.papers.record.store import read_file

        record = read_file(path)
        clubs, revisions = counted(len(record.latest.clubs), "club"), counted(len(record.revisions), "revision")
        said = f"a record of {clubs}, {revisions}"
    else:
        read = check_file(path)
        said, how_read = counted(len(read.rows), "row"), (f"{path.name}: {read.how_read}",) if read.how_read else ()
        if (table := rack_table(path)) is not None:
            said += _beside_parts(chosen, path, table)
    if shop is not None:
        beside.append(f"The shop's own file: {shop.in_words}")
    lines = [f"{path}: in order ({said}).", *(f"{line}." for line in beside), *(f"Read {line}." for line in how_read)]
    lines += [
        f"{why[0].upper()}{why[1:]}: no predictions, its clubs are cut by the rules alone."
        for why in dict.fromkeys(filter(None, silent))
    ]
    if any(silent):
        lines.append(f"Measure them or ask for them: {ESTIMATED_WALLS}.")
    return "\n".join(lines)


def _shafts_beside(chosen: argparse.Namespace) -> Iterable[str] | None:
    """Return the names that a shop's own file may calibrate: of the options' parts, else of the folder it lies in."""
    from trimkit.club.shopfile import shafts_of
    from trimkit.parts.catalogue import load_catalogue

    if chosen.data is not None or chosen.own_parts is not None:
        return load_catalogue(chosen.data, own_folder=chosen.own_parts).shafts
    return shafts_of(load_catalogue(chosen.path.parent, in_part=True))


def _beside_parts(chosen: argparse.Namespace, path: Path, table: str) -> str:
    """Check a table of the rack against the parts that the options name, and say so."""
    from trimkit.club.shopfile import parts_and_shop
    from trimkit.papers.rack.files import read_rack

    if chosen.data is None and chosen.own_parts is None:
        return ", not checked against the parts: name them with --data or --own-parts"
    parts, shop = parts_and_shop(chosen.data, chosen.own_parts)
    read_rack(path, table, parts, None if shop is None else shop.practice)
    return ", checked against the parts"


def _parts_said(parts: Catalogue) -> str:
    words = {"heads.csv": "head", "shafts.csv": "shaft", "schedules.csv": "schedule row"}
    found = {file: counted(parts.rows_read[file], what) for file, what in words.items() if file in parts.rows_read}
    if parts.heads_without_bbgl:
        found["heads.csv"] += f" ({len(parts.heads_without_bbgl)} without a BBGL, which an order must give)"
    return ", ".join(found.values()) or ", ".join(parts.rows_read) or "no part"
