"""Read the shop's own file, and make the parts as stiff as it has calibrated them.

``shop.toml`` lies beside the shop's parts; :mod:`trimkit.club.shoptables` says what it may hold.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from trimkit.club.order.faults import OrderChecker
from trimkit.club.shoptables import MOST_CALIBRATED, TABLES, CalibratedShaft, ShopFile, TipWeight
from trimkit.club.tomlfile import toml_tables
from trimkit.parts.catalogue import SHOP_FILE, Catalogue, load_catalogue
from trimkit.parts.errors import BenchError, DataFileError
from trimkit.parts.workbook import is_workbook


def shop_path(data: Path | None, own_parts: Path | None) -> Path | None:
    """Return where the shop's own file is: beside its own parts, or beside the data if it has none; None: nowhere.

    data, own_parts: folder or workbook; None for the shipped data, or for no parts of its own.
    """
    parts = own_parts or data
    if parts is None:
        return None
    path = (parts.parent if is_workbook(parts) else parts) / SHOP_FILE
    # A link that leads nowhere is a fault to tell, not a file that is not there.
    return path if path.exists() or path.is_symlink() else None


def read_shop(path: Path, shafts: Iterable[str] | None) -> ShopFile:
    """Read a shop's own file.

    shafts: the names that the catalogue has; None where it cannot be read itself. Raises DataFileError holding every
    fault of the file, each with its table and key (calibrated shafts are counted from 1).
    """
    return shop_from_tables(toml_tables(path, "the shop's own file", "the template"), shafts, path.name)


def parts_and_shop(
    data: Path | None, own_parts: Path | None, *, in_part: bool = False
) -> tuple[Catalogue, ShopFile | None]:
    """Return the parts as their tables describe them, and the shop's own file beside them (None without one).

    data, own_parts: as in :func:`shop_path`. in_part: whether ``data`` may lack tables. Raises DataFileError holding
    the faults of both.
    """
    faults, parts, shop = list[BenchError](), None, None
    try:
        parts = load_catalogue(data, own_folder=own_parts, in_part=in_part)
    except DataFileError as error:
        faults += error.faults
    try:
        if (own_file := shop_path(data, own_parts)) is not None:
            shop = read_shop(own_file, None if parts is None else shafts_of(parts) if in_part else parts.shafts)
    except DataFileError as error:
        faults += error.faults
    if faults or parts is None:
        raise DataFileError(tuple(faults))
    return parts, shop


def shafts_of(parts: Catalogue) -> Iterable[str] | None:
    """Return the names that a shop's own file may calibrate: of a folder that is checked by itself, and the shipped
    ones, beside which it may be used; None if the folder has no shafts.
    """
    return beside_shipped(parts).shafts if "shafts.csv" in parts.rows_read else None


def beside_shipped(parts: Catalogue) -> Catalogue:
    """Return parts with the shipped shafts and raw lengths beside them, as own parts are used; theirs go first."""
    shipped = load_catalogue()
    families = {each.family for each in parts.raw_lengths}
    lengths = (each for each in shipped.raw_lengths if each.family not in families)
    return replace(parts, shafts=shipped.shafts | parts.shafts, raw_lengths=(*lengths, *parts.raw_lengths))


def shop_from_tables(tables: Mapping[str, Any], shafts: Iterable[str] | None, file: str = SHOP_FILE) -> ShopFile:
    """Return the settings that tables of names and values describe.

    shafts: as in :func:`read_shop`. file: what the faults call it. Raises DataFileError holding every fault.
    """
    check = OrderChecker(file, None)
    listed = tables.get("calibrated", [])
    first = {name: value for name, value in tables.items() if name not in TABLES and name != "calibrated"}
    shop = check.table(ShopFile, "", first)
    found = {name: check.table(model, f"[{name}] ", tables[name]) for name, model in TABLES.items() if name in tables}
    weight = found.get("test_weight")
    if isinstance(weight, TipWeight) and weight.mass_g is None and weight.model_fields_set:
        given = "the weight at the tip has no mass"
        check.fault("[test_weight] mass_g", given, "its mass in g", "weigh it, or leave the whole table out")
    if not isinstance(listed, list | tuple):
        check.fault("[[calibrated]]", "it is not a list", "a [[calibrated]] table for each shaft", "write it so")
        listed = []
    if len(listed) > MOST_CALIBRATED:
        given, allowed = f"there are {len(listed)} calibrated shafts", f"at most {MOST_CALIBRATED}"
        check.fault("[[calibrated]]", given, allowed, "keep those that you use")
        listed = []
    places = [f"[[calibrated]] {number}: " for number in range(1, len(listed) + 1)]
    rows = [check.table(CalibratedShaft, place, each) for place, each in zip(places, listed, strict=True)]
    known = None if shafts is None else dict.fromkeys(shafts, "")
    taken = set[str]()
    for place, row in zip(places, rows, strict=True):
        if row is None:
            continue
        if row.shaft in taken:
            check.fault(f"{place}shaft", f"{row.shaft!r} is calibrated twice", "each shaft once", "keep the newer one")
        elif known is not None:
            check.named(f"{place}shaft", row.shaft, known, "shaft")
        taken.add(row.shaft)
    if check.faults or shop is None:
        raise DataFileError(tuple(check.faults))
    calibrated = tuple(row for row in rows if row is not None)
    return shop.model_copy(update=found | ({"calibrated": calibrated} if listed else {}))


def calibrated_catalogue(catalogue: Catalogue, shop: ShopFile | None) -> Catalogue:
    """Return the same parts, each shaft as stiff as the shop has found its kind; the catalogue itself without a file.

    A shaft's stiffness is set, not multiplied: twice is as once.
    """
    if shop is None:
        return catalogue
    factors = {each.shaft: each.ei_factor for each in shop.calibrated}
    shafts = {
        name: shaft if shaft.ei_factor == factors.get(name, 1.0) else replace(shaft, ei_factor=factors.get(name, 1.0))
        for name, shaft in catalogue.shafts.items()
    }
    return replace(catalogue, shafts=shafts)
