"""A recorded build in plain lines, for the shell: cuts, predictions, measurements, differences and verdict."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from trimkit.club.order.tables import ClubTable
from trimkit.mechanics.balance import POINT_OZ_IN, swingweight_text, swingweight_words
from trimkit.papers.measured import FinishedTolerances, differences
from trimkit.papers.record.model import Cuts, Difference, Measured, Predicted, Record, RecordedClub, Revision
from trimkit.papers.record.readings import QUANTITIES, Fate, Reading, counting, readings, replaced, same_cuts
from trimkit.papers.record.shift import about_line, common_shifts, shift_lines
from trimkit.parts.errors import ModelError
from trimkit.parts.units import quantity, say_in

FROM_THE_SHEET = (
    "Cut from the sheet, not from these lines: it has the double check and the cautions. The makers' own "
    "instructions come first."
)


FLEX = (
    "Flex: where the club lies on its own shaft's flexes, by its frequency; as R/S 0.20, 0.20 of the way from R to S."
)


def record_lines(record: Record, revision: Revision) -> list[str]:
    """Return one revision of a record in lines: a heading, a line a club (in, cpm, g), and what was measured."""
    head = ["place", "club", "tip trim in", "cut length in", "butt trim in", "playing length in"]
    head += ["add g", "frequency cpm", "flex", "swingweight", "total mass g"]
    table = [head, *(_club_cells(place, club) for place, club in enumerate(revision.clubs, start=1))]
    widths = [max(len(row[column]) for row in table) for column in range(len(head))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in table]
    return [
        f"{revision.order.title}, for {revision.order.client}",
        *_parts_lines(revision),
        *([] if revision.shop is None else [f"the shop's own file: {revision.shop.in_words}"]),
        f"revision {revision.number} of {len(record.revisions)}, {when(revision.saved_at)}, by trimkit "
        f"{revision.package_version}: {revision.reason}",
        "",
        "Cuts are the plan's; frequency, flex, swingweight and total mass are calculated, with the tip",
        "weight in that the wanted swingweight needs (add g).",
        FLEX,
        *lines,
        *dict.fromkeys(club.no_prediction for club in revision.clubs if club.predicted is None),
        "",
        *measured_lines(_with_what_counts(record, revision)),
        "",
        *readings_lines(record, revision),
        *revisions_lines(record),
        "",
        FROM_THE_SHEET,
    ]


def _with_what_counts(record: Record, revision: Revision) -> Revision:
    """Return a revision with the readings that count for it: an earlier trimkit left them out of a newer plan."""
    clubs, limits = list(revision.clubs), FinishedTolerances.of_shop(revision.shop)
    for place, found in counting(_until(record, revision)).items():
        if found != (club := clubs[place]).measured:
            findings = differences(club.predicted, club.cuts, found, limits)
            clubs[place] = club.model_copy(update={"measured": found, "findings": findings})
    return revision.model_copy(update={"clubs": tuple(clubs)})


def _until(record: Record, revision: Revision) -> Record:
    return record.model_copy(update={"revisions": (*record.revisions[: revision.number - 1], revision)})


def when(saved_at: str) -> str:
    """Return the time of a revision in the time of this machine, to the minute."""
    return f"{datetime.fromisoformat(saved_at).astimezone():%Y-%m-%d %H:%M}"


def revisions_lines(record: Record) -> list[str]:
    """Return every revision in a line: its number, when it was saved, and why."""
    return [
        "Revisions:",
        *(f"{each.number:4d}  {when(each.saved_at)}  {_one_line(each.reason)}" for each in record.revisions),
    ]


def readings_lines(record: Record, revision: Revision) -> list[str]:
    """Return every reading taken up to a revision, club by club, and what became of it; none if there is none."""
    found = readings(_until(record, revision))
    if not found:
        return []
    lines = [f"All readings up to revision {revision.number}:"]
    for track in dict.fromkeys(each.track for each in found):
        of_club = [each for each in found if each.track == track]
        last = of_club[-1]
        if last.place is None:
            now = None
            lines.append(f"{last.label}: no longer in the set")
        else:
            now = revision.clubs[last.place].cuts
            lines.append(f"{last.place + 1} {revision.clubs[last.place].club}: {_cut(now)}")
        lines += [f"    {_reading(each, now)}" for each in of_club]
    return [*lines, ""]


def _reading(one: Reading, now: Cuts | None) -> str:
    """Return a reading in words; with its cuts where they are not those that the club is planned with now."""
    since = f"revision {one.revision}, {when(one.saved_at)}"
    fate = {
        Fate.COUNTS: "counts",
        Fate.REPLACED: f"replaced in revision {one.ended}",
        Fate.WITHDRAWN: f"withdrawn in revision {one.ended}: {_one_line(one.why)}",
        Fate.BUILT_OTHERWISE: f"does not count, planned otherwise in revision {one.ended} ({one.why})",
        Fate.GONE: f"not in the set since revision {one.ended}",
    }[one.fate]
    then = f"; when read {_cut(one.cuts)}" if now is None or not same_cuts(one.cuts, now) else ""
    remark = f"; remark: {_one_line(one.remark)}" if one.remark else ""
    return f"{one.quantity} {value_words(one.quantity, one.value)} ({since}): {fate}{then}{remark}"


def _one_line(text: str) -> str:
    """Return what a person wrote in one line, so that no part of it can be taken for another entry."""
    return " ".join(text.split())


def _cut(cuts: Cuts) -> str:
    return f"tip trim {cuts.tip_trim_in:.3f} in, cut length {cuts.cut_length_in:.3f} in"


def value_words(quantity: str, value: float) -> str:
    """Return what was read of a finished club with its unit; a swingweight on the letter scale, or in oz in if off it.

    >>> value_words("frequency", 312), value_words("swingweight", 213.5), value_words("swingweight", 399)
    ('312.0 cpm', 'D0.0', '399.0 oz in')
    """
    if quantity == "swingweight":
        try:
            return swingweight_text(value)
        except ModelError:  # off the letter scale: oz in say it
            return f"{value:.1f} oz in"
    unit, decimals = {"playing length": ("in", 3), "frequency": ("cpm", 1), "total mass": ("g", 1)}[quantity]
    return f"{value:.{decimals}f} {unit}"


def replaced_lines(record: Record, measured: Mapping[int, Measured]) -> list[str]:
    """Return a line for each reading that these, by place from 0, replace; call it before they are recorded."""
    lines = []
    for one, value in replaced(record, measured):
        words, before = (value_words(one.quantity, each) for each in (value, one.value))
        if value == one.value:
            lines.append(f"{one.label}: {one.quantity} {words} is what revision {one.revision} has already")
        else:
            stays = f"replaces {before} of revision {one.revision}, which stays in the record"
            lines.append(f"{one.label}: {one.quantity} {words} {stays}")
    return lines


def _parts_lines(revision: Revision) -> list[str]:
    """Return shaft, flex and grip in one line; in a set of several, a line for each with its clubs."""
    clubs: dict[tuple[str, str, str], list[str]] = {}
    for recorded, ordered in zip(revision.clubs, revision.order.club, strict=True):
        shaft = recorded.shaft + (f" (pulled: {_piece(ordered)})" if ordered.pulled else "")
        parts = (shaft, ordered.flex or revision.order.flex, recorded.grip)
        clubs.setdefault(parts, []).append(recorded.club)
    lines = {f"shaft {shaft}, flex ordered {flex}, grip {grip}": names for (shaft, flex, grip), names in clubs.items()}
    return list(lines) if len(lines) == 1 else [f"{line}: {', '.join(names)}" for line, names in lines.items()]


def _piece(ordered: ClubTable) -> str:
    """Return what a pulled shaft was measured as, in words: its length now, and what was cut off or what it was."""
    now = f"{say_in(ordered.raw_length_in)} long" if ordered.raw_length_in is not None else "not measured"
    if ordered.bought_length_in is not None:
        return f"{now}, bought at {say_in(ordered.bought_length_in)}"
    return f"{now}, {say_in(ordered.tip_cut_in or 0.0)} off its tip"


def measured_lines(revision: Revision) -> list[str]:
    """Return, club by club, what was measured beside what was predicted: difference, tolerance and verdict.

    A swingweight is on the letter scale with its difference in points, or in oz in if it is off the scale. A shift that
    all clubs of a kind of shaft share comes first, and each of them is also judged about it.
    """
    shifts = common_shifts(revision)
    lines = list(shift_lines(revision, shifts))
    for place, club in enumerate(revision.clubs, start=1):
        if club.measured is None:
            continue
        lines.append(f"{place} {club.club}: {club.verdict}")
        lines += [f"    {each.quantity}: {_beside(each)} ({each.tolerance_source})" for each in club.findings]
        if (about := about_line(place - 1, shifts)) is not None:
            lines.append(f"    frequency {about}")
        if club.predicted is None:
            lines += [f"    {said}; nothing was predicted" for said in _measured_alone(club.measured)]
        if club.measured.remark:
            lines.append(f"    remark: {club.measured.remark}")
    return lines or ["No club has been measured yet."]


def _measured_alone(measured: Measured) -> Iterator[str]:
    """What was measured of a club without a prediction, its length apart."""
    for what in ("frequency", "swingweight", "total mass"):
        if (value := getattr(measured, QUANTITIES[what])) is not None:
            yield f"{what}: measured {value_words(what, value)}"


def _beside(one: Difference) -> str:
    unit, difference, tolerance = one.unit, one.difference, one.tolerance
    places = 3 if unit == "in" else 1
    predicted, measured = f"{one.predicted:.{places}f}", f"{one.measured:.{places}f}"
    if unit == "oz in":
        try:
            predicted, measured = swingweight_text(one.predicted), swingweight_text(one.measured)
        except ModelError:  # off the letter scale: oz in say it
            pass
        else:
            difference, tolerance, unit = difference / POINT_OZ_IN, tolerance / POINT_OZ_IN, "points"
    foreseen = "planned" if one.quantity == "playing length" else "predicted"
    off = f"{round(difference, places) + 0.0:+.{places}f}".replace("-", "−")  # + 0.0: no minus before a zero
    return f"{foreseen} {predicted}, measured {measured}, difference {off} {unit}; tolerance {round(tolerance, 6):g}"


def _club_cells(place: int, club: RecordedClub) -> list[str]:
    lengths = (club.cuts.tip_trim_in, club.cuts.cut_length_in, club.cuts.butt_trim_in, club.cuts.playing_length_in)
    predicted = club.predicted
    return [
        str(place),
        club.club,
        *(f"{length:.3f}" for length in lengths),
        *(("none",) * 5 if predicted is None else _foreseen(predicted)),
    ]


def _foreseen(predicted: Predicted) -> tuple[str, ...]:
    weight, add = swingweight_words(predicted.swingweight_oz_in), quantity(predicted.add_tip_weight_g, "", 1)
    return add, f"{predicted.frequency_cpm:.1f}", predicted.flex, weight, f"{predicted.total_mass_g:.1f}"
