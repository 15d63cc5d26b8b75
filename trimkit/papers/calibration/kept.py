"""Keep a calibration in the shop's own file, shop.toml: what else is in it stays as it is, comments too."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from trimkit.club.tomlfile import LONGEST_LINE, MOST_CHARACTERS
from trimkit.parts.csvfile import file_fault, read_text
from trimkit.parts.errors import BenchError, Place, SaveError
from trimkit.parts.saving import one_writer, save_text
from trimkit.shop.calibration import Calibration

SHOP_FILE = "shop.toml"
MOST_AMENDED = 50_000
"""Characters of a file that is amended, comments kept: that takes a time that grows with their square; chosen here."""
FACTORS_KEPT = (0.5, 2.0)
"""EI factors that the shop's own file takes; beyond them it is another shaft than described: chosen here."""
LEAST_COMPLIANCE_RAD_PER_N_M = 1e-6
"""A clamp that gives less is kept as one that does not give: no frequency machine sees it; chosen here."""


def keep(folder: Path, found: Calibration, on: date) -> Path:
    """Write a calibration into the folder's shop.toml and return its path: the whole file, or nothing changed.

    on: the day of the readings. The tables of other kinds of shaft stay; a stated clamp is not written. Raises
    DataFileError or BenchError if the file there cannot be read or amended, SaveError if another writer is in the
    folder or it cannot be written to.
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


def stated_compliance(folder: Path) -> float | None:
    """Return how far the clamp gives (rad per N m) by the folder's shop.toml; None where it does not say.

    Raises DataFileError for a file that cannot be read, or a value that is no number of 0 or more.
    """
    path = folder / SHOP_FILE
    clamp = _tables(_there(path), path).get("clamp", {})
    value = clamp.get("root_compliance_rad_per_n_m") if isinstance(clamp, dict) else clamp
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 0.1:
        given = f"[clamp] root_compliance_rad_per_n_m is {value!r}"
        raise file_fault(path, given, "0 to 0.1 rad for each N m", "correct it")
    return float(value)


def kept_text(text: str, found: Calibration, on: date, file: str = SHOP_FILE) -> str:
    """Return the text of a shop's own file with a calibration in it.

    Raises DataFileError for a text that is no TOML or cannot be amended without changing something else, and BenchError
    for an EI factor outside :data:`FACTORS_KEPT`.
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
    whole = _tables(text, Path(file))
    _amend(whole, found, on, file, dict, list)
    try:
        document = tomlkit.parse(text)
        _amend(document, found, on, file, _spaced_table, tomlkit.aot)
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
    return read_text(path) if path.exists() and path.stat().st_size else ""


def _tables(text: str, path: Path) -> dict[str, Any]:
    longest = max(map(len, text.splitlines()), default=0)
    if len(text) > MOST_CHARACTERS or longest > LONGEST_LINE:
        given = f"it has {len(text)} characters, {longest} of them in one line"
        allowed = f"at most {MOST_CHARACTERS}, and {LONGEST_LINE} in one line"
        raise file_fault(path, given, allowed, "check that it is the right file")
    try:
        return tomllib.loads(text)
    except (RecursionError, ValueError) as error:
        raise file_fault(path, f"it is not a TOML file ({error})", "TOML", "correct that line") from None


def _amend(document: Any, found: Calibration, on: date, file: str, table: Any, tables: Any) -> None:
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
        if not isinstance(document["clamp"], Mapping):
            raise file_fault(Path(file), "clamp is not a table", "[clamp] and its keys", "write it so")
        _put(document["clamp"], values)
    if "calibrated" not in document:
        document["calibrated"] = tables()
    listed = document["calibrated"]
    if not isinstance(listed, list) or not all(isinstance(each, Mapping) for each in listed):
        step = "write each as a [[calibrated]] table"
        raise file_fault(Path(file), "calibrated is not a list of tables", "[[calibrated]] tables", step)
    for factor in found.factors:
        same = [each for each in listed if each.get("shaft") == factor.shaft]
        if len(same) > 1:
            given = f"{factor.shaft!r} is calibrated {len(same)} times"
            raise file_fault(Path(file), given, "each shaft once", "take out the older ones")
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
