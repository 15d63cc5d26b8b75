"""Where a number comes from, and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Standing(StrEnum):
    """How far a number can be trusted; shown beside it on every sheet."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice, no source"
    FROM_MEMORY = "from memory, unverified"
    DERIVED = "derived here"
    MEASURED = "measured"
    OWN_DATA = "from your own data files"
    CHOSEN = "chosen in the order"
    INVENTED = "invented for the demo"


@dataclass(frozen=True)
class Source:
    """A source in words (author and year, a file and its row, a rule) and its standing."""

    text: str
    standing: Standing

    def __str__(self) -> str:
        return f"{self.text} ({self.standing.value})"
