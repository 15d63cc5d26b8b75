"""The table of bare shafts that people type, with the columns of their file."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from trimkit.club.shoptables import ShopFile
from trimkit.parts.rows import BareShaftRow
from trimkit.parts.units import say_number
from trimkit.study.form.entries import cell
from trimkit.study.form.pieces import Choices, Field, Table

BARE_SHAFTS = "bare shafts"


def bare_shaft_table(word: str, shafts: Callable[[], Choices]) -> Table:
    """Return the table, a row for each reading; word: what a row is. Its columns are those of ``bare_shafts.csv``."""
    looks = {
        "mark": Field("mark", "mark", width_px=70),
        "shaft": Field("shaft", "shaft", choices=shafts),
        "raw_length_in": Field("raw_length_in", "raw length", "in", width_px=62),
        "raw_mass_g": Field("raw_mass_g", "mass", "g"),
        "raw_frequency_cpm": Field("raw_frequency_cpm", "frequency", "cpm", width_px=66),
        "test_mass_g": Field("test_mass_g", "test weight", "g", title="at the tip", width_px=74),
        "test_offset_in": Field("test_offset_in", "its center", "in", title="beyond the tip", width_px=66),
        "clamp_in": Field("clamp_in", "in the clamp", "in", title="of the bare butt", width_px=74),
    }
    return Table(BARE_SHAFTS, word, tuple(looks[name] for name in BareShaftRow.model_fields))


def bare_shaft_hints(rows: Iterable[Mapping[str, Any]], shop: ShopFile | None) -> dict[str, str]:
    """Return what counts where a cell of the table is empty, as the shop reads a bare shaft."""
    usual, hints = None if shop is None else shop.frequency_bench, {}
    for number, row in enumerate(rows, start=1):
        hints[cell(BARE_SHAFTS, number, "test_offset_in")] = "0"
        if usual is not None:
            hints[cell(BARE_SHAFTS, number, "clamp_in")] = say_number(usual.clamp_in)
            if not row["test_mass_g"].strip():
                hints[cell(BARE_SHAFTS, number, "test_mass_g")] = say_number(usual.test_mass_g, 1)
                hints[cell(BARE_SHAFTS, number, "test_offset_in")] = say_number(usual.test_offset_in)
    return hints
