"""Write an order as the tables, and as the TOML text, that it can be read back from."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from trimkit.club.order.clubs import BORE_WORDS, TRIM_AS_WORDS, ClubOrder
from trimkit.club.order.order import Order, usual_assembly
from trimkit.club.order.tables import MEASURABLE, AssemblyTable, ClubTable, LengthTable, OrderHeader
from trimkit.parts.components import TipKind
from trimkit.parts.errors import BenchError
from trimkit.parts.rows import Row
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength, LadderLength, LengthRule, ReferenceLength
from trimkit.trim.wanted import Pulled, ShaftInHand

_BORE_WORDS = {choice: words for words, choice in BORE_WORDS.items()}
_TRIM_AS_WORDS = {choice: words for words, choice in TRIM_AS_WORDS.items()}


def order_tables(order: Order) -> dict[str, Any]:
    """Return an order as tables of names and values: :func:`trimkit.club.order.order_from_tables` gives it back.

    Values that are as usual are left out. Raises BenchError for an order that no file can hold: a head that is not in
    the order's catalogue, or clubs whose lengths follow from different rules.
    """
    rule = _set_rule(order)
    header = OrderHeader.model_construct(
        title=order.title,
        client=order.client,
        shaft=order.shaft.name,
        grip=order.grip.name,
        ladder=order.ladder,
        flex=_flex_text(order.flex),
        wanted_swingweight=order.wanted_swingweight,
        soft_steps=order.soft_steps or None,
    )
    tables = _unusual(header)
    if isinstance(rule, ReferenceLength):
        tables["length"] = _unusual(
            LengthTable.model_construct(club=rule.club, playing_length_in=rule.playing_length_in, step_in=rule.gap_in)
        )
    if inside := _assembly_keys(order):
        tables["assembly"] = inside
    tables["club"] = [_unusual(_club_table(order, club)) for club in order.clubs]
    return tables


def _assembly_keys(order: Order) -> dict[str, Any]:
    """Return what the order itself says of the assembly: the shop's own values are not the order's to decide."""
    usual, inside = asdict(usual_assembly(order.shop)), asdict(order.assembly)
    own = [name for name in AssemblyTable.model_fields if inside[name] != usual[name] or name in order.said_of_assembly]
    keys = {name: inside[name] for name in own}
    if keys.get("root_spring_n_m_per_rad", 0.0) is None:
        given, allowed = "the order's clamp is rigid, and the shop's own gives", "a stiffness of the clamp, N m per rad"
        raise BenchError(given, allowed, "give one, or leave the clamp to the shop's own file")
    return keys


def _unusual(table: Row) -> dict[str, Any]:
    return table.model_dump(exclude_defaults=True)


def order_toml(order: Order) -> str:
    """Return an order as the text of a TOML file; read back with the same parts, it is the same order.

    Raises BenchError as :func:`order_tables`, and for a number that is not finite.
    """
    return toml_text(order_tables(order))


def toml_text(tables: dict[str, Any]) -> str:
    """Return tables of names and values (one level of tables, and lists of tables) as TOML.

    Raises BenchError for a value that is not text, a finite number or true/false.

    >>> print(toml_text({"title": 'say "R"', "length": {"step_in": 0.5}, "club": [{"extend": True}]}), end="")
    title = "say \\"R\\""
    <BLANKLINE>
    [length]
    step_in = 0.5
    <BLANKLINE>
    [[club]]
    extend = true
    """
    lines = [f"{key} = {_value(key, value)}" for key, value in tables.items() if not isinstance(value, dict | list)]
    for key, value in tables.items():
        for mark, table in [(f"[{key}]", value)] if isinstance(value, dict) else _listed(key, value):
            lines += ["", mark, *(f"{name} = {_value(name, each)}" for name, each in table.items())]
    return "\n".join(lines) + "\n"


def _listed(key: str, value: Any) -> list[tuple[str, dict[str, Any]]]:
    return [(f"[[{key}]]", table) for table in value] if isinstance(value, list) else []


def _value(key: str, value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float) and math.isfinite(value):
        return repr(value)
    if isinstance(value, str):
        return '"' + "".join(_letter(letter) for letter in value) + '"'
    raise BenchError(f"{key} is {value!r}", "text, a finite number or yes/no", "write it again")


def _letter(letter: str) -> str:
    if letter in '"\\':
        return "\\" + letter
    return f"\\u{ord(letter):04x}" if ord(letter) < 32 or ord(letter) == 127 else letter


def _flex_text(flex: FlexPlace) -> str:
    # In a file every digit counts; a sentence shows three.
    return flex.softer if flex.fraction == 0 else f"{flex.softer}/{flex.stiffer} {flex.fraction!r}"


def _set_rule(order: Order) -> LengthRule:
    rules = {club.length for club in order.clubs if not isinstance(club.length, GivenLength)}
    if len(rules) > 1 or any(isinstance(rule, LadderLength) and rule.offset_in for rule in rules):
        raise BenchError(
            f"the clubs' lengths follow from {len(rules)} rules and offsets",
            "the ladder's lengths, or one reference length for all, or a length of its own for a club",
            "give the clubs their own playing lengths",
        )
    return next(iter(rules), LadderLength())


def _pulled_keys(pulled: Pulled | None) -> dict[str, Any]:
    if pulled is None:
        return {}
    taper = pulled.as_bought.tip_kind is TipKind.TAPER
    own = {"bought_length_in": pulled.raw_length_in} if taper else {"tip_cut_in": pulled.tip_cut_in}
    return {"pulled": True, **own}


def _club_table(order: Order, club: ClubOrder) -> ClubTable:
    catalogue, name = order.catalogue, club.head.name
    base = catalogue.heads.get(name) or catalogue.heads_without_bbgl.get(name)
    if base is None:
        raise BenchError(
            f"the head {club.head.name!r} is not in the order's data",
            "a head of the data, with what was measured on it",
            "add the head to the data first",
        )
    measured = {
        name: getattr(club.head, name)
        for name in MEASURABLE
        if name in club.measured or getattr(club.head, name) != getattr(base, name, club.bbgl_in)
    }
    dry_fit = {} if club.dry_fit is None else asdict(club.dry_fit)
    given = club.length.playing_length_in if isinstance(club.length, GivenLength) else None
    decided = club.decisions
    in_hand = club.in_hand or ShaftInHand()
    return ClubTable.model_construct(
        head=club.head.name,
        shaft=None if club.shaft is None else club.shaft.name,
        grip=None if club.grip is None else club.grip.name,
        ladder=club.ladder,
        flex=None if club.flex is None else _flex_text(club.flex),
        soft_steps=club.soft_steps,
        raw_length_in=in_hand.length_in,
        raw_mass_g=in_hand.mass_g,
        **_pulled_keys(in_hand.pulled),
        tip_weight_g=club.tip_weight_g,
        wanted_swingweight=club.wanted_swingweight,
        **measured,
        **dry_fit,
        playing_length_in=given,
        trim_as=_TRIM_AS_WORDS[decided.trim_as],
        bore=_BORE_WORDS[decided.bore],
        extend=decided.extend,
        outside_rules=decided.outside_rules,
        why=decided.why,
    )
