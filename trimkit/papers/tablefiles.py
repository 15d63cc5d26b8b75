"""Every table of a set as CSV files in one folder: all of them or none, safe to open in a spreadsheet."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

from trimkit.check.doublecheck import double_check
from trimkit.check.tables import causes_table, double_check_table, findings_table, line_table, slope_table
from trimkit.club.set import SetBuild
from trimkit.papers import appendix, tables
from trimkit.papers.equipmentrules import flags_table
from trimkit.papers.measured import measured_form
from trimkit.parts.csvtext import csv_text
from trimkit.parts.saving import save_texts
from trimkit.trim.steps import StepKind

if TYPE_CHECKING:
    import pandas as pd


def set_tables(built: SetBuild) -> dict[str, pd.DataFrame]:
    """Return every table of a set by its name. The unit of a number is in its column's name or in its row's ``unit``.

    The swingweights are left out where none is wanted, and the shop's own figures where its file has none. The two
    tables of the set's lines are left out if it has none: fewer than four clubs on one shaft in one flex, or all of one
    length (:attr:`trimkit.check.doublecheck.SetCheck.line_reports`).
    """
    check = double_check(built)
    found = {
        "cautions": tables.cautions_table(built),
        "parts": tables.parts_table(built),
        "cut_list": tables.cut_list(built).assign(extension_in=[club.plan.extension_in for club in built.clubs]),
        "steps": _steps(built),
        "notes": tables.notes_table(built),
        "stock": tables.stock_table(built),
        "predictions": tables.prediction_table(built),
        "double_check": double_check_table(check),
        "findings": findings_table(check),
        "likely_causes": causes_table(check).set_index("club"),
        "playing_rules": flags_table(club.plan for club in built.clubs),
    }
    if any(club.need is not None for club in built.clubs):
        found["swingweights"] = tables.swingweight_table(built)
    if appendix.shop_figures(built):
        found["shop"] = tables.shop_table(built)
    reports = check.line_reports
    return found | {"set_line": line_table(*reports), "slopes": slope_table(*reports)} if reports else found


def _steps(built: SetBuild) -> pd.DataFrame:
    steps = [step for club in built.clubs for step in club.plan.steps]
    inches = [
        math.nan if step.kind is StepKind.CLUB else step.inches for step in steps
    ]  # its label is a club, not a length
    return tables.steps_table(built).assign(inches_in=inches)


DECIMALS = {"in": 3, "g": 1, "cpm": 1, "oz in": 2, "points": 1, "oz_in": 2, "flexes": 2, "cm2": 0}
"""Decimals of the numbers in the files by their unit: no scale, ruler or frequency machine of a bench shows more."""


def _cuts_rounded(cuts: pd.DataFrame) -> pd.DataFrame:
    """Return the cut list in thousandths of an inch, so that its sums are exact as printed.

    What is left over takes what rounding leaves: the bore's part in the tip trim, the butt trim in the raw length.
    """
    lengths = [name for name in cuts.columns if name.endswith("_in")]
    thousandths = cuts[lengths].mul(1000).round().astype("int64")
    beside = {"schedule_trim_in", "between_flexes_in", "pulled_in"} & set(lengths)
    parts = thousandths[sorted(beside)].sum(axis=1)
    thousandths["bbgl_correction_in"] = thousandths["tip_trim_in"] - parts
    whole = thousandths["raw_length_in"] + thousandths["extension_in"]
    thousandths["butt_trim_in"] = whole - thousandths["tip_trim_in"] - thousandths["cut_length_in"]
    return cuts.assign(**{name: thousandths[name] / 1000 for name in lengths})


def _rounded(table: pd.DataFrame) -> pd.DataFrame:
    """Return a table with every number to the decimals of its unit: of its column's name, or of its row."""
    found = table.copy()
    for name in found.select_dtypes("number").columns:
        unit = name.removesuffix("_per_half_in")
        decimals = 2 if unit != name else DECIMALS.get(unit.rsplit("_", 1)[-1])
        if decimals is not None:
            found[name] = found[name].round(decimals) + 0.0  # which takes the minus from a zero
    if "unit" in found.columns and "amount" in found.columns:
        each = zip(found["amount"], found["unit"], strict=True)
        found["amount"] = [round(amount, DECIMALS.get(unit, 3)) for amount, unit in each]
    return found


def table_csv(table: pd.DataFrame, file: str | None = None) -> str:
    """Return a table as CSV text, its index as the first columns; a missing value is an empty cell.

    file: what the faults call it. Raises BenchError as :func:`trimkit.parts.csvtext.csv_text`.
    """
    whole = table.reset_index()
    missing = whole.isna().to_numpy()
    rows = [
        [None if gap else value for gap, value in zip(gaps, row, strict=True)]
        for gaps, row in zip(missing, whole.itertuples(index=False, name=None), strict=True)
    ]
    return csv_text([str(name) for name in whole.columns], rows, file)


def set_files(built: SetBuild) -> dict[str, str]:
    """Return the texts of a set's CSV files by their names, with an empty form for what is measured later.

    Numbers are rounded as :data:`DECIMALS` says; the sums of the cut list hold as printed.
    """
    found = set_tables(built)
    found["cut_list"] = _cuts_rounded(found["cut_list"])
    texts = {f"{name}.csv": table_csv(_rounded(table), f"{name}.csv") for name, table in found.items()}
    return texts | {"to_measure.csv": measured_form([club.plan.club for club in built.clubs])}


def write_tables(built: SetBuild, folder: Path, *, replace: bool = False) -> tuple[Path, ...]:
    """Write every table of a set as CSV files into a folder, all or none, and return their paths.

    replace: whether older files of those names may be replaced. Raises SaveError if one is there and may not be
    replaced, or if the folder cannot be written to.
    """
    return save_texts(folder, set_files(built), replace=replace)
