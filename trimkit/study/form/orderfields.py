"""The fields of the order form: one for each name that an order file may hold, and the cuts that it tells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trimkit.club.order.clubs import ladders
from trimkit.club.order.tables import MOST_CLUBS
from trimkit.parts.catalogue import Catalogue
from trimkit.study.form.entries import Values
from trimkit.study.form.pieces import NOTHING, Button, Buttons, Choices, Field, Fields, Piece, Table, aligned

CLUBS = "[[club]]"
SAVE_AS, REPLACE = "save as", "replace"
STEPS: Choices = (
    *((f"{number} soft", number) for number in (1, 2, 3)),
    *((f"{number} hard", -number) for number in (1, 2, 3)),
)
BORE: Choices = (("follow it", "correct"), ("leave it", "leave"), ("as far as it goes", "as far as it goes"))
LENGTH_AND_ASSEMBLY = Fields(
    "Length and assembly",
    (
        Field("[length] club", "built to length: club"),
        Field("[length] playing_length_in", "its playing length", "in"),
        Field("[length] step_in", "step between clubs", "in"),
        Field("[assembly] clamp_in", "in the clamp", "in"),
        Field("[assembly] root_spring_n_m_per_rad", "clamp stiffness", "N m/rad"),
        Field("[assembly] ferrule_mass_g", "ferrule", "g"),
        Field("[assembly] tape_mass_g", "tape", "g"),
        Field("[assembly] epoxy_mass_g", "epoxy", "g"),
        Field("[assembly] tip_weight_g", "tip weight", "g"),
    ),
    widths=(1.2, 1, 1, 1, 1),
    folded=True,
)
CUTS = (
    Field("tip_trim_in", "tip trim", "in", told=True, width_px=54),
    Field("cut_length_in", "cut length", "in", told=True, width_px=66),
    Field("butt_trim_in", "butt trim", "in", told=True, width_px=54),
    Field("frequency_cpm", "plays", "cpm", told=True, width_px=44, title="with the weight for its swingweight in it"),
)
SAVING = Buttons(
    (
        Button("check", "Check", "Say every fault beside its field"),
        Field(SAVE_AS, "save as"),
        Field(REPLACE, "replace a file of that name", tick=True),
        Button("save", "Save", "Write the order as a file beside this notebook", main=True),
    )
)


def named(parts: Mapping[str, Any], none: str | None = None) -> Choices:
    """Return parts by name as the choices of a field; none: how "no part" reads, None where one must be chosen."""
    return (*(() if none is None else ((none, NOTHING),)), *((name, name) for name in parts))


def order_pieces(parts: Catalogue) -> tuple[Piece, ...]:
    """Return the pieces of the order form, which offers the parts of a catalogue."""
    head = Fields(
        "Order",
        (
            Field("title", "title"),
            Field("client", "client"),
            Field("shaft", "shaft", choices=named(parts.shafts)),
            Field("grip", "grip", choices=named(parts.grips)),
            Field("ladder", "ladder", choices=named(ladders(parts))),
            Field("wanted_swingweight", "swingweight"),
            Field("flex", "flex, or a place such as R/S 0.5"),
            Field("soft_steps", "stepped", choices=(("not", NOTHING), *STEPS)),
        ),
        widths=(1.15, 0.5, 1.25, 1.1),
    )
    columns = (
        Field("head", "head", choices=named({**parts.heads, **parts.heads_without_bbgl}), width_px=150),
        Field("head_mass_g", "head mass", "g"),
        Field("bore_depth_in", "bore depth", "in"),
        Field("bbgl_in", "BBGL", "in"),
        Field("playing_length_in", "playing length", "in", width_px=66),
        Field("flex", "flex", width_px=48),
        *CUTS,
    )
    details = (
        Field("bare_shaft_in", "dry fit: bare", "in"),
        Field("dry_fitted_in", "dry fit: fitted", "in"),
        Field("bore", "bore", choices=BORE),
        Field("trim_as", "trim", choices=(("the usual way", NOTHING), ("by mass", "mass"), ("by number", "number"))),
        Field("shaft", "own shaft", choices=named(parts.shafts, "the order's")),
        Field("grip", "own grip", choices=named(parts.grips, "the order's")),
        Field("ladder", "own ladder", choices=named(ladders(parts), "the order's")),
        Field("soft_steps", "stepped", choices=(("as the set", NOTHING), ("not", 0), *STEPS)),
        Field("raw_length_in", "shaft in hand: length", "in"),
        Field("raw_mass_g", "shaft in hand: mass", "g"),
        Field("tip_weight_g", "own tip weight", "g"),
        Field("wanted_swingweight", "own swingweight"),
        Field("pulled", "pulled from another club", tick=True),
        Field("tip_cut_in", "off its tip already", "in"),
        Field("bought_length_in", "taper tip: bought at", "in"),
        Field("extend", "lengthen at the butt", tick=True),
        Field("outside_rules", "not under the rules", tick=True),
        Field("why", "reason", span=3),
    )
    return head, LENGTH_AND_ASSEMBLY, Table(CLUBS, "club", columns, details, most=MOST_CLUBS), SAVING


def form_values(tables: Mapping[str, Any], form: Values) -> dict[str, Any]:
    """Return the values of all fields outside the clubs for the tables of an order; None where a table has none."""
    inside = {
        f"[{name}] {key}": value for name in ("length", "assembly") for key, value in tables.get(name, {}).items()
    }
    known = {**tables, **inside}
    return {key: known.get(key) for key in form if not key.startswith(CLUBS) and key not in (SAVE_AS, REPLACE)}


def tables_of(values: Values) -> dict[str, Any]:
    """Return what the fields hold as tables of names and values, as an order file has them; empty ones are left out."""
    tables: dict[str, Any] = {}
    for key, value in _taken({key: each for key, each in values.items() if not key.startswith(CLUBS)}).items():
        table, _, name = key.rpartition("] ")
        if table:
            tables.setdefault(table.removeprefix("["), {})[name] = value
        elif key not in (SAVE_AS, REPLACE):
            tables[key] = value
    tables["club"] = [_taken(row) for row in values.rows(CLUBS)]
    return tables


def _taken(values: Mapping[str, Any]) -> dict[str, Any]:
    stripped = {name: value.strip() if isinstance(value, str) else value for name, value in values.items()}
    return {name: value for name, value in stripped.items() if value != NOTHING and value is not False}


def order_words(pieces: Sequence[Piece], values: Values) -> str:
    """Return what the fields of an order hold as two tables in words: a line a field, then a line a club.

    Fields and columns that nobody filled in are left out.
    """
    single = [
        (each.label, f"{_shown(each, values[each.name])} {each.unit}".rstrip())
        for piece in pieces
        if isinstance(piece, Fields)
        for each in piece.fields
        if values[each.name] != NOTHING
    ]
    (clubs,) = (piece for piece in pieces if isinstance(piece, Table))
    rows = [dict(row) for row in values.rows(CLUBS)]
    filled = [each for each in clubs.fields if each.name == "head" or any(row[each.name] != each.empty for row in rows)]
    heads = (clubs.word, *(f"{each.label} ({each.unit})" if each.unit else each.label for each in filled))
    lines = [
        (str(number), *(_shown(each, row[each.name]) for each in filled)) for number, row in enumerate(rows, start=1)
    ]
    return f"{aligned(single)}\n\n{aligned((heads, *lines))}"


def _shown(field: Field, value: Any) -> str:
    """A value as its field shows it: a choice by its words, no choice and no tick as nothing."""
    if field.tick:
        return "yes" if value else ""
    if field.choices:
        return next((words for words, each in field.offered if each == value and value != NOTHING), "")
    return str(value)
