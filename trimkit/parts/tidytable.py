"""Things as a tidy table: a row each, a column for each of their attributes. pandas is loaded by the first call."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from operator import attrgetter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd


def tidy_table(rows: Iterable[Any], *names: str, **named: str | Callable[[Any], object]) -> pd.DataFrame:
    """Return a table of things, a row each; its columns are there even if there is no row.

    names: attributes, under their own names. named: for other columns, an attribute of an attribute (``"head.club"``)
    or what makes the cell from the thing.

    >>> table = tidy_table([3 + 4j], "real", size=abs)
    >>> table.to_dict("list")
    {'real': [3.0], 'size': [5.0]}
    """
    import pandas as pd

    rows, columns = list(rows), {**{name: name for name in names}, **named}
    cells = {name: attrgetter(way) if isinstance(way, str) else way for name, way in columns.items()}
    return pd.DataFrame({name: [cell(row) for row in rows] for name, cell in cells.items()})
