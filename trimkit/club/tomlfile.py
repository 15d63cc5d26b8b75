"""Read a TOML file within bounds: what it holds as tables of names and values, checked by whoever asked for it."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from trimkit.parts.csvfile import file_fault, read_text

MOST_CHARACTERS = 500_000
LONGEST_LINE = 4_000
"""Limits of an order and of a shop's own file: room for the most clubs with every key given; chosen here. Python's TOML
reader takes a time that grows with the square of the dots in one key, so a single long line could keep it busy for
hours."""


def toml_tables(path: Path, what: str, example: str) -> dict[str, Any]:
    """Return the tables of a TOML file.

    what: the file in words, such as ``"the order"``. example: where to see how it is written. Raises DataFileError for
    a file that cannot be read, is too long, or is not TOML.
    """
    return text_tables(read_text(path), path, what, example)


def text_tables(text: str, path: Path, what: str, example: str) -> dict[str, Any]:
    """Return the tables of a TOML text, as :func:`toml_tables` returns those of the file at ``path``."""
    longest = max(map(len, text.splitlines()), default=0)
    if len(text) > MOST_CHARACTERS or longest > LONGEST_LINE:
        raise file_fault(
            path,
            f"{what} has {len(text)} characters, {longest} of them in one line",
            f"at most {MOST_CHARACTERS}, and {LONGEST_LINE} in one line",
            "check that it is the right file",
        )
    try:
        return tomllib.loads(text)
    except (RecursionError, ValueError) as error:
        given = f"it is not a TOML file ({error})"
        raise file_fault(
            path,
            given,
            f"TOML, as in {example}",
            "correct that line: decimals with a point, words and numbers with a unit in quotation marks, each key once",
        ) from None
