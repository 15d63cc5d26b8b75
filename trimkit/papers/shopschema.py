"""What a shop's own file may say: a template with every key, and a JSON Schema, both made from the tables' fields.

``python -m trimkit.papers.shopschema`` prints the text of ``data/shop.schema.json``; a test keeps the two in step.
"""

from __future__ import annotations

from trimkit.club.shoptables import MOST_CALIBRATED, TABLES, CalibratedShaft, ShopFile
from trimkit.papers.orderschema import document_text, key_lines, table_schema

SCHEMA_FILE = "shop.schema.json"
_ABOUT = """\
# The shop's own file. It lies beside your parts and counts for every order made with them. Where an order says
# something itself, the order wins. As it is here it changes nothing: every key is behind "#". Measure, write your own
# number over the example, and take the "#" away.
# A length or a mass is a number in the unit that its name ends with, or text with a unit: "5 1/4 in", "13.3 cm".
# Check it:  trimkit check FOLDER/shop.toml
"""
_WORDS = {
    "clamp": "The clamp of your frequency machine, as it holds finished clubs.",
    "test_weight": "How you read a bare shaft: a weight at its tip, its bare butt in the clamp.",
    "usual": "What goes into a club besides its parts, where the order says nothing. Without a number: 0.",
    "bench": "Figures of your bench. The numbers here are what counts without them.",
    "tolerances": "How far off is still good, either way. The numbers here are what counts without them.",
    "calibrated": "One [[calibrated]] for each kind of shaft that you found stiffer or softer than its description "
    'says.\n# A factor of 1 is as described. Take the "#" away from [[calibrated]] as well.',
}


def schema_text() -> str:
    """Return the text of ``shop.schema.json``, JSON Schema draft 2020-12.

    It takes every file that the reader takes. Whether a shaft is in the data, and whether one is calibrated twice, only
    ``trimkit check`` can say.
    """
    shafts = {"type": "array", "maxItems": MOST_CALIBRATED, "items": table_schema(CalibratedShaft)}
    tables = {name: table_schema(model) for name, model in TABLES.items()}
    return document_text("shop", "A shop's own file", table_schema(ShopFile, **tables, calibrated=shafts))


def template_text() -> str:
    """Return a shop's own file with every key that it may have, each behind ``#``: as it is, it changes nothing."""
    lines = [_ABOUT.rstrip(), "", *key_lines("name", ShopFile.model_fields["name"], off=True)]
    marks = {name: f"[{name}]" for name in TABLES} | {"calibrated": "#[[calibrated]]"}
    for name, model in (TABLES | {"calibrated": CalibratedShaft}).items():
        lines += ["", f"# {_WORDS[name]}", marks[name]]
        for key, field in model.model_fields.items():
            lines += key_lines(key, field, off=True)
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(schema_text(), end="")
