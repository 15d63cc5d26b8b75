"""Arguments that several verbs share, and what they stand for."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trimkit.club.set import SetBuild


def add_parts(parser: argparse.ArgumentParser) -> None:
    """Add the options that say where parts and tables are."""
    parser.add_argument(
        "--data",
        type=Path,
        metavar="FOLDER",
        help="folder or workbook of parts and tables (default: the shipped demo data)",
    )
    parser.add_argument(
        "--own-parts", type=Path, metavar="FOLDER", help="folder or workbook of your own parts, used beside the others"
    )


def built(chosen: argparse.Namespace, order: Path) -> SetBuild:
    """Return the set of an order file, its parts found as the options say."""
    # Every verb imports what it needs itself, so that none waits for another's imports.
    from trimkit.club.order.order import open_order
    from trimkit.club.set import build_set

    return build_set(open_order(order, chosen.data, chosen.own_parts))
