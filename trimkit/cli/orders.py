"""The verbs of an order: its sheet, its tables, the pulled shafts in it, and templates to start from."""

from __future__ import annotations

import argparse
from datetime import datetime
from pathlib import Path

from trimkit.cli.arguments import add_parts, built
from trimkit.parts.errors import BenchError, counted


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verbs of an order."""
    sheet = verbs.add_parser(
        "sheet",
        help="make the printable sheet of an order",
        epilog="Lengths on it are in inches and millimeters, masses in grams, frequencies in cpm. "
        "For example: trimkit sheet class.toml --own-parts my_parts --to class.html",
    )
    sheet.add_argument("order", type=Path, metavar="FILE", help="order file (TOML)")
    add_parts(sheet)
    sheet.add_argument(
        "--to", type=Path, metavar="FILE", help="HTML file to write (default: the order's name, in this folder)"
    )
    sheet.add_argument("--replace", action="store_true", help="overwrite an older sheet")
    sheet.add_argument(
        "--shop",
        metavar="NAME",
        default="",
        help="the shop's name, for the client's page and the card (default: the one in its shop.toml)",
    )
    sheet.add_argument(
        "--record", type=Path, metavar="FILE", help="record of this order: what was measured, for the client's page"
    )
    sheet.set_defaults(run=_sheet)

    tables = verbs.add_parser(
        "tables",
        help="write every table of an order's set as CSV files",
        epilog="A column's unit is at the end of its name: _in inches, _g grams, _cpm cycles per minute. "
        "For example: trimkit tables class.toml --own-parts my_parts --to class_tables",
    )
    tables.add_argument("order", type=Path, metavar="FILE", help="order file (TOML)")
    add_parts(tables)
    tables.add_argument(
        "--to", type=Path, metavar="FOLDER", help="folder to write to (default: the order's name, in this folder)"
    )
    tables.add_argument("--replace", action="store_true", help="overwrite older tables")
    tables.set_defaults(run=_tables)

    pulled = verbs.add_parser(
        "pulled",
        help="show what the pulled shafts of an order can still become",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Show, for every pulled shaft of an order, each club and flex that it can still become on its\n"
        "head: the tip trim and butt trim still to do and the cut length (in), or why it cannot.",
        epilog="""Such a club in the order, for a parallel tip (lengths in inches as they are now):

  [[club]]
  head = "class 8-iron"
  pulled = true
  raw_length_in = 36.0
  tip_cut_in = 4.0

A taper tip has bought_length_in, the raw length of its family that it was, in place of tip_cut_in.
Then, for example: trimkit pulled drawer.toml --own-parts my_parts""",
    )
    pulled.add_argument("order", type=Path, metavar="FILE", help="order file (TOML)")
    add_parts(pulled)
    pulled.set_defaults(run=_pulled)

    templates = verbs.add_parser(
        "templates",
        help="make a new folder of templates for your own parts and orders",
        epilog="Each file says its units. For example: trimkit templates my_parts",
    )
    templates.add_argument("folder", type=Path, metavar="FOLDER", help="folder to make")
    templates.set_defaults(run=_templates)


def _sheet(chosen: argparse.Namespace) -> str:
    from trimkit.papers.measured import measured_of
    from trimkit.papers.record.store import read_file
    from trimkit.study.figures.set import write_sheet

    made = built(chosen, chosen.order)
    measured = () if chosen.record is None else measured_of(read_file(chosen.record).latest, made)
    target = chosen.to or Path.cwd() / f"{chosen.order.stem}.html"
    today = datetime.now().astimezone().date()
    write_sheet(made, target, replace=chosen.replace, shop=chosen.shop, made_on=today, measured=measured)
    return f"Wrote {target}: {counted(len(made.clubs), 'club')}."


def _tables(chosen: argparse.Namespace) -> str:
    from trimkit.papers.tablefiles import write_tables

    folder = chosen.to or Path.cwd() / f"{chosen.order.stem} tables"
    paths = write_tables(built(chosen, chosen.order), folder, replace=chosen.replace)
    return f"Wrote {counted(len(paths), 'table')} into {folder}."


def _pulled(chosen: argparse.Namespace) -> str:
    from trimkit.club.order.order import open_order
    from trimkit.club.set import wanted_club
    from trimkit.club.trimroom import piece_words, room_lines, trim_room

    order = open_order(chosen.order, chosen.data, chosen.own_parts)
    wanted = [each for each in (wanted_club(order, club) for club in order.clubs) if each.pulled is not None]
    if not wanted:
        given, allowed = f"no shaft of {chosen.order} is pulled from another club", "pulled = true in a [[club]] table"
        raise BenchError(given, allowed, "add it with what was measured, as trimkit pulled --help shows")
    lines = ["A shaft's maker may allow less than these cuts: past that it can break.", ""]
    for each in wanted:
        lines += [f"{each.head.name}: {each.shaft.name}, {piece_words(each)}", *room_lines(trim_room(each)), ""]
    return "\n".join(lines[:-1])


def _templates(chosen: argparse.Namespace) -> str:
    from trimkit.papers.templates import ORDER_FILE, write_templates

    paths = write_templates(chosen.folder)
    return f"Wrote {counted(len(paths), 'file')} into {chosen.folder}. Start with {ORDER_FILE}: it says what to do."
