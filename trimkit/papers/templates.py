"""Templates for a shop's own parts: each CSV file with an example in it, and orders that use them.

They are the files of the folder ``example/`` beside this module, an order with every key that an order may have, a
shop's own file with every key behind ``#``, and the schemas of the two. Everything in them is invented and called an
example; overwrite it with your own.
"""

from __future__ import annotations

from pathlib import Path

from trimkit.papers import shopschema
from trimkit.papers.orderschema import EXAMPLE_FILE, SCHEMA_FILE, example_text, schema_text
from trimkit.parts.catalogue import SHOP_FILE
from trimkit.parts.errors import Place, SaveError
from trimkit.parts.saving import LOCK, one_writer, save_texts

ORDER_FILE = "example_order.toml"
_EXAMPLES = Path(__file__).with_name("example")


def template_files() -> dict[str, str]:
    """Return the texts of the templates by file name: CSV files with examples, orders, the shop's own file, schemas."""
    files = {path.name: path.read_text(encoding="utf-8") for path in sorted(_EXAMPLES.iterdir())}
    shop = {SHOP_FILE: shopschema.template_text(), shopschema.SCHEMA_FILE: shopschema.schema_text()}
    return {**files, EXAMPLE_FILE: example_text(), SCHEMA_FILE: schema_text(), **shop}


def write_templates(folder: Path) -> tuple[Path, ...]:
    """Write the templates into a new or empty folder, all or none, and return their paths.

    Raises SaveError if the folder holds anything, or cannot be written to.
    """
    if folder.is_dir():
        with one_writer(folder):  # which clears away what a killed writer left
            filled = any(each.name != LOCK for each in folder.iterdir())
        if filled:
            given, place = "the folder is not empty", Place(str(folder))
            raise SaveError(given, "a new folder", "name a folder that is not there yet", place)
    return save_texts(folder, template_files())
