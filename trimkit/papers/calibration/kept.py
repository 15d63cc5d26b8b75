"""Keep a calibration in the shop's own file, shop.toml: what else is in it stays as it is, comments too."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from trimkit.club.shopfile import shop_from_tables
from trimkit.club.shoptables import LEAST_COMPLIANCE_RAD_PER_N_M
from trimkit.club.tomlfile import text_tables
from trimkit.parts.catalogue import SHOP_FILE
from trimkit.parts.csvfile import file_fault, read_text
from trimkit.parts.errors import BenchError, Place, SaveError
from trimkit.parts.saving import one_writer, save_text
from trimkit.shop.calibration import Calibration

MOST_AMENDED = 50_000
"""Characters of a file that is amended, comments kept: that takes a time that grows with their square; chosen here."""
FACTORS_KEPT = (0.5, 2.0)
"""EI factors that the shop's own file takes; beyond them it is another shaft than described: chosen here."""


def keep(folder: Path, found: Calibration, on: date) -> Path:
    """Write a calibration into the folder's shop.toml and return its path: the whole file, or nothing changed.

    on: the day of the readings. The tables of other kinds of shaft stay; a stated clamp is not written, and one that
    gives too little to be seen is kept as one that does not give. Raises DataFileError with every fault of the file
    there, DataFileError or BenchError if it cannot be amended, SaveError if another writer is in the folder or it
    cannot be written to.
    """
    path = folder / SHOP_FILE
    with one_writer(folder):
        return save_text(path, kept_text(_there(path), found, on), replace=True)


def check_keeping(folder: Path, found: Calibration, on: date) -> None:
    """Raise what :func:`keep` would raise for what the folder holds now, and write nothing.

    Raises SaveError for a file in the folder's place, otherwise as :func:`keep`.
    """
    if folder.exists() and not folder.is_dir():
        given = "it is a file, not a folder"
        raise SaveError(given, "the folder of shop.toml", "name the folder", Place(str(folder)))
    kept_text(_there(folder / SHOP_FILE), found, on)


def kept_text(text: str, found: Calibration, on: date, file: str = SHOP_FILE) -> str:
    """Return the text of a shop's own file with a calibration in it.

    Raises DataFileError for a text that is no shop's own file, with every fault, or cannot be amended without changing
    something else, and BenchError for an EI factor outside :data:`FACTORS_KEPT`.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    for each in found.factors:
        if not FACTORS_KEPT[0] <= each.ei_factor <= FACTORS_KEPT[1]:
            given = f"{each.shaft!r} is {each.ei_factor:.2f} times as stiff as described"
            allowed = f"{FACTORS_KEPT[0]:g} to {FACTORS_KEPT[1]:g} times, to be kept"
            raise BenchError(given, allowed, "correct its description; it is another shaft")
    if len(text) > MOST_AMENDED:
        given, allowed = f"it has {len(text)} characters", f"at most {MOST_AMENDED}, to be amended"
        raise file_fault(Path(file), given, allowed, "take out what is not in use")
    whole = text_tables(text, Path(file), "the shop's own file", "the template")
    shop_from_tables(whole, None, file)
    _amend(whole, found, on, dict, list)
    shop_from_tables(whole, None, file)  # what is kept can be read again
    try:
        document = tomlkit.parse(text)
        _amend(document, found, on, _spaced_table, tomlkit.aot)
        made = tomlkit.dumps(document) if text else tomlkit.dumps(document).lstrip()
        if "\r\n" in text:
            made = made.replace("\r\n", "\n").replace("\n", "\r\n")
        same = tomllib.loads(made) == whole
    except (TOMLKitError, ValueError, RecursionError):
        same = False
    if not same:
        step = "write [clamp] and each [[calibrated]] as a table of its own"
        raise file_fault(Path(file), "it cannot be amended without changing something else", "plain TOML tables", step)
    return made


def _spaced_table() -> Any:
    import tomlkit

    table = tomlkit.table()
    table.trivia.indent = "\n"  # an empty line before it
    return table


def _there(path: Path) -> str:
    return read_text(path) if path.exists() or path.is_symlink() else ""


def _amend(document: Any, found: Calibration, on: date, table: Any, tables: Any) -> None:
    """Put a calibration into the tables of a shop's own file, in place; ``table`` and ``tables`` make new ones."""
    if not found.clamp_stated:
        compliance = found.root_compliance_rad_per_n_m
        rigid = compliance < LEAST_COMPLIANCE_RAD_PER_N_M
        values = {
            "root_compliance_rad_per_n_m": 0.0 if rigid else _short(compliance),
            "root_compliance_sd_rad_per_n_m": _short(found.root_compliance_sd_rad_per_n_m),
            "measured_on": on,
        }
        if "clamp" not in document:
            document["clamp"] = table()
        _put(document["clamp"], values)
    if "calibrated" not in document:
        document["calibrated"] = tables()
    listed = document["calibrated"]
    for factor in found.factors:
        same = [each for each in listed if each["shaft"] == factor.shaft]
        own = same[0] if same else table()
        values = {
            "shaft": factor.shaft,
            "ei_factor": _short(factor.ei_factor),
            "ei_factor_sd": _short(factor.ei_factor_sd),
            "readings": factor.readings,
            "measured_on": on,
        }
        _put(own, values)
        if not same:
            listed.append(own)


def _put(table: Any, values: Mapping[str, object]) -> None:
    for name, value in values.items():
        table[name] = value


def _short(value: float) -> float:
    """Return a number to five digits: more than any of these is sure to."""
    return float(f"{value:.5g}")
