"""What an order may say, in one place: an example with every key, and a JSON Schema, both made from the tables' fields.

``python -m trimkit.papers.orderschema`` prints the text of ``data/order.schema.json``; a test keeps the two in step.
"""

from __future__ import annotations

import json
from datetime import date
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from trimkit.club.order.file import toml_text
from trimkit.club.order.tables import MOST_CLUBS, AssemblyTable, ClubTable, LengthTable, OrderHeader
from trimkit.parts.datapackage import unit_of
from trimkit.parts.rows import Row
from trimkit.parts.units import MOST_CHARACTERS, say_number

EXAMPLE_FILE, SCHEMA_FILE = "order.toml", "order.schema.json"
_TABLES: dict[str, type[Row]] = {
    "": OrderHeader,
    "[length]": LengthTable,
    "[assembly]": AssemblyTable,
    "[[club]]": ClubTable,
}
_LIMITS = {"ge": "minimum", "le": "maximum", "min_length": "minLength", "max_length": "maxLength"}
_DAY = {"type": "string", "format": "date", "pattern": r"^\d{4}-\d\d-\d\d$"}
_TYPES = {str: "string", float: "number", int: "integer", bool: "boolean"}
_HAS_A_NUMBER = r"[\d¼-¾⅐-⅞]"
_ABOUT = """\
# Every key that an order may have. Everything here is invented: write your own over it.
# A key behind "#" may be left out; take the "#" away to use it. A length or a mass is a number in the unit that its
# name ends with, or text with a unit: "37 1/2 in", "37½", "95.3 cm", "9.4 oz".
# Check it:  trimkit check FOLDER/order.toml --data FOLDER
# Do not cut anything by an example. The makers' own instructions come first.
"""


def _kind_and_limits(field: FieldInfo) -> tuple[Any, dict[str, Any]]:
    """Return the kind of a key's value, without the None that stands for a key left out, and its limits."""
    kind, metadata = field.annotation, list(field.metadata)
    if type(None) in get_args(kind):
        (kind,) = (each for each in get_args(kind) if each is not type(None))
    if get_origin(kind) is Annotated:
        kind, *inner = get_args(kind)
        metadata += [item for each in inner for item in getattr(each, "metadata", ())]
    limits = {word: getattr(item, name) for item in metadata for name, word in _LIMITS.items() if hasattr(item, name)}
    return kind, limits


def _property(name: str, field: FieldInfo) -> dict[str, Any]:
    kind, limits = _kind_and_limits(field)
    said = {"description": field.description, "examples": field.examples}
    if kind is date:  # JSON has no dates
        return said | {"examples": list(map(str, field.examples or ()))} | _DAY
    if get_origin(kind) is Literal:
        return {**said, "enum": list(get_args(kind))}
    own = {"type": _TYPES[kind], **limits}
    if kind is not float:
        return {**said, **own}
    # The reader takes text as well; its unit and range are beyond a schema.
    text = {"type": "string", "maxLength": MOST_CHARACTERS, "pattern": _HAS_A_NUMBER}
    unit = unit_of(name)
    return {**said, **({"unit": unit} if unit else {}), "anyOf": [own, text]}


def table_schema(model: type[Row], *required: str, **more: Any) -> dict[str, Any]:
    """Return the JSON Schema of one table: a key for each field of its model, then tables of its own, ``more``."""
    fields = {name: field for name, field in model.model_fields.items() if name not in more}
    return {
        "type": "object",
        "description": " ".join((model.__doc__ or "").split("\n\n")[0].replace("``", "").split()),
        "properties": {name: _property(name, field) for name, field in fields.items()} | more,
        "required": [name for name, field in fields.items() if field.is_required()] + list(required),
        "additionalProperties": False,
    }


def schema_text() -> str:
    """Return the text of ``order.schema.json``, JSON Schema draft 2020-12.

    It takes every order that the reader takes. Whether a part is in the data, and whether a club can be cut, only
    ``trimkit check`` can say.
    """
    clubs = {"type": "array", "minItems": 1, "maxItems": MOST_CLUBS, "items": table_schema(ClubTable)}
    tables = {"length": table_schema(LengthTable), "assembly": table_schema(AssemblyTable), "club": clubs}
    return document_text("order", "An order", table_schema(OrderHeader, "club", **tables))


def document_text(name: str, title: str, table: dict[str, Any]) -> str:
    """Return the text of a JSON Schema, draft 2020-12, of a whole file."""
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": f"urn:trimkit:{name}", "title": title}
    return json.dumps(head | table, indent=2, ensure_ascii=False) + "\n"


def _said(name: str, field: FieldInfo) -> str:
    """Return a key's description with its unit and range, or its choices."""
    kind, limits = _kind_and_limits(field)
    if get_origin(kind) is Literal:
        return f"{field.description}: {', '.join(map(json.dumps, get_args(kind)))}"
    if "minimum" not in limits:
        return field.description or ""
    least, most = say_number(limits["minimum"]), say_number(limits["maximum"])
    return f"{field.description}; {least} to {most} {unit_of(name) or ''}".rstrip()


def key_lines(name: str, field: FieldInfo, *, off: bool) -> list[str]:
    """Return a key with its example, below what it means; off: behind ``#``."""
    (value, *_) = field.examples or ("",)
    key = f"{name} = {value}" if isinstance(value, date) else toml_text({name: value}).strip()
    return [f"# {_said(name, field)}", f"#{key}" if off else key]


def example_text() -> str:
    """Return an order with every key that an order may have, those that may be left out behind ``#``.

    As it is, it is an order for the parts of the templates.
    """
    lines = [_ABOUT.rstrip()]
    for mark, model in _TABLES.items():
        lines += ["", *([mark] if mark else [])]
        for name, field in model.model_fields.items():
            lines += key_lines(name, field, off=not field.is_required())
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(schema_text(), end="")
