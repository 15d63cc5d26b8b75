"""Compare two recorded builds: differences in what was ordered, cut, predicted and measured, club by club."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from trimkit.papers.record.model import RecordedClub, Revision
from trimkit.papers.record.pairing import club_label, paired
from trimkit.parts.tidytable import tidy_table

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Change:
    """One value that differs: its club, what it is (with its unit in its name), before and after as text.

    difference: after minus before, in the value's unit; None unless both are numbers.
    """

    club: str
    what: str
    before: str
    after: str
    difference: float | None


def compare(before: Revision, after: Revision) -> tuple[Change, ...]:
    """Return everything that differs between two builds, the whole set first, then club by club.

    Clubs are paired by the names of their heads, those of one name in order, then by the names of the clubs; a club
    without a partner is one change. A club is called by its place too if another club of the set has its name. Empty
    if nothing differs.
    """
    found = list(_order_changes(before, after))
    for old, new in paired(before, after):
        if new is None and old is not None:
            found.append(Change(club_label(before, old), "club", before.clubs[old].head.name, "not in the set", None))
        elif old is None and new is not None:
            found.append(Change(club_label(after, new), "club", "not in the set", after.clubs[new].head.name, None))
        elif old is not None and new is not None:
            label = club_label(after, new)
            found += _club_changes(label, before.clubs[old], after.clubs[new])
            ordered = [_ordered(revision, place) for revision, place in ((before, old), (after, new))]
            found += _differences(label, *ordered)
    return tuple(found)


def changes_table(changes: tuple[Change, ...]) -> pd.DataFrame:
    """Return the changes as a table, a row each."""
    return tidy_table(changes, "club", "what", "before", "after", "difference").set_index(["club", "what"])


def _ordered(revision: Revision, place: int) -> dict[str, Any]:
    """Return what the order says of one club, its head apart."""
    return _flat(revision.order.club[place].model_dump(mode="json", exclude={"head"}), "ordered")


def _order_changes(before: Revision, after: Revision) -> Iterator[Change]:
    old, new = (revision.order.model_dump(mode="json", exclude={"club"}) for revision in (before, after))
    yield from _differences("whole set", _flat(old), _flat(new))
    shops = [_flat({"shop's own file": revision.model_dump(mode="json")["shop"]}) for revision in (before, after)]
    yield from _differences("whole set", *shops)
    for part in ("shaft", "grip"):
        values = [_flat(_numbered(part, revision.parts.model_dump(mode="json"))) for revision in (before, after)]
        yield from _differences("whole set", *values)


def _numbered(part: str, parts: dict[str, Any]) -> dict[str, Any]:
    """Return the shafts or grips of a record under "shaft", "shaft 2" and so on: most sets have one."""
    return {part if n == 1 else f"{part} {n}": each for n, each in enumerate(parts[f"{part}s"], start=1)}


def _club_changes(label: str, old: RecordedClub, new: RecordedClub) -> Iterator[Change]:
    for name in ("head", "shaft", "grip", "bbgl_in", "trims_as", "flex", "cuts", "predicted", "measured"):
        values = [_flat({name: club.model_dump(mode="json")[name]}) for club in (old, new)]
        yield from _differences(label, *values)
    decided = ["; ".join(f"{decision.what} ({decision.why})" for decision in club.decisions) for club in (old, new)]
    yield from _differences(label, {"decisions": decided[0]}, {"decisions": decided[1]})
    yield from _differences(label, {"verdict": old.verdict}, {"verdict": new.verdict})


def _flat(values: Any, before: str = "") -> dict[str, Any]:
    if isinstance(values, dict):
        pairs = [(f"{before} {name}".strip(), value) for name, value in values.items()]
    elif isinstance(values, list):
        pairs = [(f"{before} {number}", value) for number, value in enumerate(values, start=1)]
    else:
        return {before: values}
    return {name: each for key, value in pairs for name, each in _flat(value, key).items()}


def _differences(club: str, old: dict[str, Any], new: dict[str, Any]) -> Iterator[Change]:
    for what in dict.fromkeys((*old, *new)):
        before, after = old.get(what), new.get(what)
        if before == after or _said(before) == _said(after) == "none":
            continue
        both = [value for value in (before, after) if isinstance(value, int | float) and not isinstance(value, bool)]
        difference = both[1] - both[0] if len(both) == 2 else None
        yield Change(club, what, _said(before), _said(after), difference)


def _said(value: Any) -> str:
    return "none" if value is None or value == "" else str(value)
