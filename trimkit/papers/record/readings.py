"""Every value ever read of each club of a record: since which revision, and what became of it.

A reading counts for a club as long as the club is planned as it was when it was read: the same head, shaft, grip, tip
weight, wanted swingweight and masses put in, every cut within 0.001 in, and for a frequency the same clamp. A build
that was planned otherwise in between ends it, even if a later one is planned as before: nobody can know what was cut
in the meantime. A reading that counts is part of a build that is planned again.

A record says what each revision has, not when a hand read it: the same value read twice in a row is one reading.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from enum import StrEnum

from trimkit.club.order.order import usual_assembly
from trimkit.papers.record.model import Cuts, Measured, Record, RecordedClub, Revision
from trimkit.papers.record.pairing import club_label, paired

QUANTITIES = {
    "playing length": "playing_length_in",
    "frequency": "frequency_cpm",
    "swingweight": "swingweight_oz_in",
    "total mass": "total_mass_g",
}
"""What is read of a finished club, and its field in the record."""
ALL = "all"

_SAME_CUT_IN = 0.001
_CLAMP = ("clamp_in", "root_spring_n_m_per_rad")
_PUT_IN = ("ferrule_mass_g", "tape_mass_g", "epoxy_mass_g")


class Fate(StrEnum):
    """What became of a reading."""

    COUNTS = "counts"
    REPLACED = "replaced"
    WITHDRAWN = "withdrawn"
    BUILT_OTHERWISE = "built otherwise"
    GONE = "not in the set"


@dataclass(frozen=True)
class Reading:
    """A value that was read of a finished club.

    track: the same number for the same club in all revisions. place: in the newest revision, from 0; None if the club
    is no longer in the set. label: what the club was called. value: in the unit of its field. revision, saved_at: the
    first that has it. cuts: of the club then. ended: the revision from which it does not count any more; why: the
    reason it was withdrawn for, or what is built otherwise.
    """

    track: int
    place: int | None
    label: str
    quantity: str
    value: float
    remark: str
    revision: int
    saved_at: str
    cuts: Cuts
    fate: Fate = Fate.COUNTS
    ended: int | None = None
    why: str = ""


def withdrawal(what: str, label: str) -> str:
    """Return how the reason of a revision begins that withdraws a reading (a quantity, or all) of a club."""
    return f"withdrawn: {what} of {label}: "


def readings(record: Record) -> tuple[Reading, ...]:
    """Return every reading of every club, those of a club together in the order in which they were recorded."""
    first = record.revisions[0]
    tracks = list(range(len(first.clubs)))
    known = len(tracks)
    open_: dict[tuple[int, str], Reading] = {}
    done: list[Reading] = []
    before: Revision | None = None
    for revision in record.revisions:
        came_from: dict[int, int] = {}
        if before is not None:
            pairs = paired(before, revision)
            came_from = {new: old for old, new in pairs if old is not None and new is not None}
            gone = [tracks[old] for old, new in pairs if new is None and old is not None]
            left = [key for key in open_ if key[0] in gone]
            done += [replace(open_.pop(key), fate=Fate.GONE, ended=revision.number) for key in left]
            fresh = [n for n in range(len(revision.clubs)) if n not in came_from]
            numbers = {n: known + count for count, n in enumerate(fresh)}
            known += len(fresh)
            tracks = [tracks[came_from[n]] if n in came_from else numbers[n] for n in range(len(revision.clubs))]
        for place, club in enumerate(revision.clubs):
            for quantity in QUANTITIES:
                key = (tracks[place], quantity)
                ended = None
                if key in open_ and before is not None:
                    ended = _ended(open_[key], before, came_from[place], revision, place)
                if ended is not None:
                    done.append(ended)
                    del open_[key]
                value = _value(club, quantity)
                if value is not None and key not in open_:
                    open_[key] = _taken(revision, place, tracks[place], quantity, value)
        before = revision
    places = {track: place for place, track in enumerate(tracks)}
    found = [replace(each, place=places.get(each.track)) for each in (*done, *open_.values())]
    return tuple(sorted(found, key=lambda each: (each.place is None, each.place, each.track, each.revision)))


def counting(record: Record) -> dict[int, Measured]:
    """Return what each club of the newest revision measured, by its place from 0: the readings that count."""
    found: dict[int, dict[str, float]] = {}
    remarks: dict[int, str] = {}
    for each in readings(record):
        if each.place is not None and each.fate is Fate.COUNTS:
            found.setdefault(each.place, {})[QUANTITIES[each.quantity]] = each.value
            remarks[each.place] = each.remark
    for place, club in enumerate(record.latest.clubs):
        if club.measured is not None:
            remarks[place] = club.measured.remark
            found.setdefault(place, {})
    empty = dict.fromkeys(QUANTITIES.values())
    return {
        place: Measured.model_validate(empty | values | {"remark": remarks[place]}) for place, values in found.items()
    }


def merged(earlier: Measured | None, later: Measured) -> Measured:
    """Return what a club measured after one more measuring: a value not read again stays.

    A remark stays until another one is written, or until a value that it may have been about is replaced.
    """
    if earlier is None:
        return later
    names = QUANTITIES.values()
    values = {name: _either(getattr(later, name), getattr(earlier, name)) for name in names}
    replaced = any(None not in (getattr(later, name), getattr(earlier, name)) for name in names)
    return Measured(**values, remark=later.remark or ("" if replaced else earlier.remark))


def carried(record: Record, revision: Revision) -> dict[int, Measured]:
    """Return what counts of the newest revision's readings for a build that is planned again, by its places from 0."""
    counts, found = counting(record), {}
    for old, new in paired(record.latest, revision):
        if old is None or new is None or old not in counts:
            continue
        kept = {
            field: getattr(counts[old], field) if not _otherwise(record.latest, old, revision, new, quantity) else None
            for quantity, field in QUANTITIES.items()
        }
        if any(value is not None for value in kept.values()):
            found[new] = Measured(**kept, remark=counts[old].remark)
    return found


def replaced(record: Record, measured: Mapping[int, Measured]) -> tuple[tuple[Reading, float], ...]:
    """Return the readings that count now and are read again, each with its new value, in the unit of its quantity.

    measured: by the club's place in the set, from 0.
    """
    return tuple(
        (each, value)
        for each in readings(record)
        if each.fate is Fate.COUNTS
        and each.place is not None
        and each.place in measured
        and (value := getattr(measured[each.place], QUANTITIES[each.quantity])) is not None
    )


def same_cuts(one: Cuts, other: Cuts) -> bool:
    """Whether every length of two plans is the same within 0.001 in."""
    return all(abs(getattr(one, name) - getattr(other, name)) <= _SAME_CUT_IN for name in Cuts.model_fields)


def _either(later: float | None, earlier: float | None) -> float | None:
    return earlier if later is None else later


def _value(club: RecordedClub, quantity: str) -> float | None:
    value: float | None = None if club.measured is None else getattr(club.measured, QUANTITIES[quantity])
    return value


def _taken(revision: Revision, place: int, track: int, quantity: str, value: float) -> Reading:
    club = revision.clubs[place]
    remark = "" if club.measured is None else club.measured.remark
    label, when = club_label(revision, place), revision.saved_at
    return Reading(track, place, label, quantity, value, remark, revision.number, when, club.cuts)


def _ended(reading: Reading, before: Revision, old: int, revision: Revision, place: int) -> Reading | None:
    """Return the reading as this revision ends it; None if it still counts."""
    otherwise = _otherwise(before, old, revision, place, reading.quantity)
    value = _value(revision.clubs[place], reading.quantity)
    if otherwise:
        return replace(reading, fate=Fate.BUILT_OTHERWISE, ended=revision.number, why=", ".join(otherwise))
    if value is None:
        label = club_label(revision, place)
        for start in (withdrawal(reading.quantity, label), withdrawal(ALL, label)):
            if revision.reason.startswith(start):
                why = revision.reason.removeprefix(start)
                return replace(reading, fate=Fate.WITHDRAWN, ended=revision.number, why=why)
        return None  # an earlier trimkit left it out of a build that was planned again
    return None if value == reading.value else replace(reading, fate=Fate.REPLACED, ended=revision.number)


def _otherwise(before: Revision, old: int, after: Revision, new: int, quantity: str) -> list[str]:
    """Return in words what of a club is planned otherwise, as far as it matters for a reading."""
    then, now = _planned(before, old), _planned(after, new)
    found = [what for what in then if then[what] != now[what]]
    if not same_cuts(before.clubs[old].cuts, after.clubs[new].cuts):
        found.insert(0, "cuts")
    if quantity == "frequency":
        clamps = [[_inside(revision)[name] for name in _CLAMP] for revision in (before, after)]
        found += ["clamp"] * (clamps[0] != clamps[1])
    return found


def _planned(revision: Revision, place: int) -> dict[str, object]:
    club, order, inside = revision.clubs[place], revision.order, _inside(revision)
    ordered = order.club[place]
    weight = ordered.tip_weight_g if ordered.tip_weight_g is not None else inside["tip_weight_g"]
    return {
        "head": (club.head.name, club.head.head_mass_g, club.head.bore_depth_in, club.bbgl_in),
        "shaft": club.shaft,
        "grip": club.grip,
        "tip weight": weight,
        "wanted swingweight": ordered.wanted_swingweight or order.wanted_swingweight,
        "ferrule, tape or epoxy": [inside[name] for name in _PUT_IN],
    }


def _inside(revision: Revision) -> dict[str, float | None]:
    """Return what is in each club and its clamp, by key of ``[assembly]``: the order's own, else the shop's."""
    said = revision.order.assembly.model_dump(exclude_unset=True)
    return asdict(usual_assembly(revision.shop)) | said
