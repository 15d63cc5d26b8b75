"""The verbs of the rack: which piece of shaft each club is cut from, and which measured shaft goes into which head."""

from __future__ import annotations

import argparse
from collections import Counter
from pathlib import Path

from trimkit.cli.arguments import add_parts, built
from trimkit.parts.errors import BenchError, DataFileError, counted


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verbs ``stock`` and ``assign``."""
    stock = verbs.add_parser(
        "stock",
        help="plan orders against the shelf: what to take, cut and buy, and who goes short",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Plan one order or more against the shelf: which piece, new or cut before, each club is cut\n"
        "from, its tip trim, cut length and butt trim (in), what stays, what to buy, which clubs go short and why.\n"
        "The first named order is served first. A club whose order gives it a shaft in hand takes none from the shelf.",
        epilog="""The shelf file, lengths in inches:

  shaft,length_in,tip_cut_in,bought_length_in,count,mark
  steel parallel 110 g combination,42,,,6,
  steel parallel 110 g combination,36.5,2.25,,1,B3
  steel taper 104 g regular,38.75,,38.75,4,

tip_cut_in: off a parallel tip already; empty for a whole shaft. bought_length_in: the raw length that a taper tip was
bought at. mark: what is written on the piece. The offers file has shaft, raw_length_in, pack, most_packs (empty: no
limit); without it, every raw length in the catalogue can be bought one by one. A workbook has sheets of these names.

For example: trimkit stock monday.toml tuesday.toml --shelf shelf.csv --to "this week\"""",
    )
    stock.add_argument("orders", type=Path, nargs="+", metavar="ORDER", help="order files (TOML), first come first")
    stock.add_argument(
        "--shelf", type=Path, required=True, metavar="FILE", help="what is on the shelf: CSV or workbook"
    )
    stock.add_argument("--offers", type=Path, metavar="FILE", help="what can be bought: CSV or workbook")
    add_parts(stock)
    stock.add_argument(
        "--to", type=Path, metavar="FOLDER", help="also write CSV files there, with the shelf as it will be afterwards"
    )
    stock.add_argument("--replace", action="store_true", help="overwrite older files")
    stock.set_defaults(run=_stock)

    assign = verbs.add_parser(
        "assign",
        help="put measured bare shafts into the heads of an order",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Find which measured bare shaft goes into which head of an order, so that the set comes\n"
        "closest to its target frequencies (cpm), each kind of shaft by itself; and what that gains.",
        epilog="""The file of measured shafts:

  mark,shaft,raw_length_in,raw_mass_g,raw_frequency_cpm,test_mass_g,test_offset_in,clamp_in
  1,,,109.8,281.5,205,0,5
  2,,,110.4,284.0,205,0,5

mark: what is written on the shaft, each once. shaft may be empty if the order has one kind; raw_length_in (in) if it
is made in one length. raw_mass_g: g. raw_frequency_cpm: cycles per minute, butt in the clamp, the test weight at the
tip. test_mass_g: g; test_offset_in: its center beyond the tip, in, empty for 0; clamp_in: of butt in the clamp, in. An
empty test_mass_g or clamp_in is the one of [test_weight] in the shop.toml beside your parts.

For example: trimkit assign class.toml --shafts bare_shafts.csv --to assigned.csv""",
    )
    assign.add_argument("order", type=Path, metavar="ORDER", help="order file (TOML)")
    assign.add_argument("--shafts", type=Path, required=True, metavar="FILE", help="measured shafts: CSV or workbook")
    add_parts(assign)
    assign.add_argument("--to", type=Path, metavar="FILE", help="also write a CSV file")
    assign.add_argument("--replace", action="store_true", help="overwrite an older file")
    assign.set_defaults(run=_assign)


def _stock(chosen: argparse.Namespace) -> str:
    from trimkit.club.order.order import Order, load_order
    from trimkit.club.shopfile import parts_and_shop
    from trimkit.papers.rack.files import OFFERS, SHELF, RackFile, read_rack
    from trimkit.papers.rack.stock import plan_stock, stock_lines, write_stock

    paths: list[Path] = chosen.orders
    twice = [path for path, often in Counter(path.resolve() for path in paths).items() if often > 1]
    if twice:
        raise BenchError(f"{twice[0].name} is named twice", "each order once", "take one of them out")
    stems = Counter(path.stem for path in paths)
    catalogue, shop = parts_and_shop(chosen.data, chosen.own_parts)
    practice = None if shop is None else shop.practice
    faults, orders, read = list[BenchError](), list[tuple[str, Order]](), dict[str, RackFile]()
    for path in paths:
        try:
            orders.append((path.stem if stems[path.stem] == 1 else str(path), load_order(path, catalogue, shop)))
        except DataFileError as error:
            faults += error.faults
    for path, table in ((chosen.shelf, SHELF), (chosen.offers, OFFERS)):
        try:
            read |= {} if path is None else {table: read_rack(path, table, catalogue, practice)}
        except DataFileError as error:
            faults += error.faults
    if faults:
        raise DataFileError(tuple(faults))
    stock = plan_stock(orders, read[SHELF].pieces, read[OFFERS].offers if OFFERS in read else None)
    lines = [f"Read {table.removesuffix('.csv')}: {each.how_read}." for table, each in read.items() if each.how_read]
    lines += stock_lines(stock)
    if chosen.to is not None:
        paths_written = write_stock(stock, chosen.to, replace=chosen.replace)
        lines += ["", f"Wrote {counted(len(paths_written), 'file')} into {chosen.to}."]
    return "\n".join(lines)


def _assign(chosen: argparse.Namespace) -> str:
    from trimkit.papers.rack.assigning import assign_shafts, assigned_csv, assigned_lines
    from trimkit.papers.rack.files import BARE_SHAFTS, read_rack
    from trimkit.parts.saving import save_text

    made = built(chosen, chosen.order)
    read = read_rack(chosen.shafts, BARE_SHAFTS, made.order.catalogue)
    assigned = assign_shafts(made, read.shafts)
    lines = [f"Read {chosen.shafts.name}: {read.how_read}."] if read.how_read else []
    lines += assigned_lines(assigned)
    if chosen.to is not None:
        save_text(chosen.to, assigned_csv(assigned, chosen.to.name), replace=chosen.replace)
        lines += ["", f"Wrote {chosen.to}."]
    return "\n".join(lines)
