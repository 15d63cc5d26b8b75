"""trimkit: cut golf shafts by the trade's rules, check the cut by mechanics, and see why.

The names below are all that a notebook or a script needs, each loaded when it is first used, so that
``import trimkit`` stays quick. Labs, figures, the order form and the exercises are in :mod:`trimkit.study`.
"""

from collections.abc import Callable
from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_HOME = {
    # an order and its set
    "open_order": "club.order.order",
    "shipped_order": "club.order.order",
    "build_set": "club.set",
    "FlexPlace": "trim.flexplace",
    "BoreChoice": "trim.bore",
    "Decisions": "trim.wanted",
    "plan_club": "trim.plan",
    "engraved_conflict": "trim.placing",
    "step_set": "trim.stepping",
    "butt_cut": "trim.butt",
    # before the saw
    "double_check": "check.doublecheck",
    "SetLine": "check.setline",
    "against_line": "check.setline",
    "first_order": "shop.tolerance",
    # tables, sheet, record
    "parts_table": "papers.tables",
    "cut_list": "papers.tables",
    "steps_table": "papers.tables",
    "prediction_table": "papers.tables",
    "write_tables": "papers.tablefiles",
    "write_sheet": "study.figures.set",
    "first_record": "papers.record.build",
    "revised": "papers.record.build",
    "reopened": "papers.record.build",
    "with_measurements": "papers.record.build",
    "measured_club": "papers.measured",
    "RecordFolder": "papers.record.store",
    "compare": "papers.record.compare",
    "changes_table": "papers.record.compare",
    # words and refusals
    "both_units": "parts.units",
    "BenchError": "parts.errors",
    "TrimRefused": "parts.errors",
    "ShaftTooShort": "trim.refusals",
}
"""Each public name and the module that it lives in."""

__all__ = [*_HOME]


def lazily(package: str, home: dict[str, str]) -> Callable[[str], Any]:
    """Return a module's ``__getattr__`` (PEP 562): it loads a name of ``home`` when first asked for it.

    The function raises AttributeError for any other name.
    """

    def load(name: str) -> Any:
        if name not in home:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        return getattr(import_module(f"{package}.{home[name]}"), name)

    return load


__getattr__ = lazily(__name__, _HOME)
