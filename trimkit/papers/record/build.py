"""Make, revise and reopen the record of a build, and add what its finished clubs measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path

from pydantic import ValidationError

import trimkit
from trimkit.club.club import ClubBuild, finished_club
from trimkit.club.order.decisions import decisions_of
from trimkit.club.order.file import order_tables
from trimkit.club.order.order import Order, order_from_tables
from trimkit.club.set import SetBuild
from trimkit.papers.measured import FinishedTolerances, differences
from trimkit.papers.record.model import (
    FORMAT,
    MOST_REVISIONS,
    VERSION,
    Cuts,
    Measured,
    Predicted,
    Record,
    RecordedClub,
    RecordedNote,
    RecordedOrder,
    RecordedParts,
    RecordedStep,
    Revision,
)
from trimkit.papers.record.pairing import club_label
from trimkit.papers.record.readings import ALL, QUANTITIES, carried, counting, merged, withdrawal
from trimkit.parts.catalogue import Catalogue
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.shop.spread import frequency_spread
from trimkit.trim.steps import Note


def first_record(
    built: SetBuild, at: datetime, *, reason: str = "first plan", frequency_sd_cpm: Sequence[float] | None = None
) -> Record:
    """Return the record of a build with its first revision.

    at: when, with its time zone. frequency_sd_cpm: standard deviation of each club's predicted frequency, cpm; None
    for that of the usual tolerances (:func:`trimkit.shop.spread.frequency_spread`), with a note on its standing.
    Raises BenchError if no file can hold the order, or if ``at`` has no time zone.
    """
    return Record(format=FORMAT, version=VERSION, revisions=(_revision(1, built, at, reason, frequency_sd_cpm),))


def revised(
    record: Record,
    built: SetBuild,
    at: datetime,
    *,
    reason: str,
    frequency_sd_cpm: Sequence[float] | None = None,
    tolerances: FinishedTolerances | None = None,
) -> Record:
    """Return the record with one more revision, for a build that was planned again; every older one stays.

    What a club measured still counts, beside its new prediction, if the club is planned as it was
    (:mod:`trimkit.papers.record.readings`). tolerances: None for the shop's own, and the usual ones where it has none.
    Raises BenchError if no reason is given, or as :func:`first_record`.
    """
    new = _revision(len(record.revisions) + 1, built, at, reason, frequency_sd_cpm)
    return _grown(record, _with_measured(new, carried(record, new), tolerances))


def with_measurements(
    record: Record,
    measured: Mapping[int, Measured],
    at: datetime,
    *,
    reason: str,
    tolerances: FinishedTolerances | None = None,
) -> Record:
    """Return the record with one more revision, in which some clubs have their measurements and the verdict.

    measured: by the club's place in the set, from 0; what is None in it was not read, and an earlier reading of it
    stays. tolerances: None for the shop's own, and the usual ones where it has none. Raises BenchError for a place that
    no club has, or if no reason is given.
    """
    last = record.latest
    if wrong := sorted(set(measured) - set(range(len(last.clubs)))):
        raise BenchError(f"there is no club at place {wrong[0]}", f"0 to {len(last.clubs) - 1}", "correct the place")
    earlier = counting(record)
    found = {place: merged(earlier.get(place), values) for place, values in measured.items()}
    return _grown(record, _next(record, _with_measured(last, found, tolerances), at, reason))


def withdrawn(
    record: Record,
    place: int,
    what: str,
    at: datetime,
    *,
    reason: str,
    tolerances: FinishedTolerances | None = None,
) -> Record:
    """Return the record with one more revision, in which a reading of a club is withdrawn; every older one stays.

    place: the club's place in the set, from 0. what: a quantity of :data:`trimkit.papers.record.readings.QUANTITIES`,
    or ``"all"``. tolerances: as in :func:`with_measurements`. Raises BenchError for another quantity, for what the club
    does not measure now, or if no reason is given.
    """
    if what != ALL and what not in QUANTITIES:
        raise BenchError(f"{what!r} is not read of a club", f"{', '.join(QUANTITIES)} or {ALL}", "name one of them")
    label, there = club_label(record.latest, place), counting(record).get(place)
    names = list(QUANTITIES.values()) if what == ALL else [QUANTITIES[what]]
    read = {} if there is None else {q: getattr(there, name) for q, name in QUANTITIES.items()}
    if there is None or not (any(getattr(there, name) is not None for name in names) or (what == ALL and there.remark)):
        said = ", ".join(quantity for quantity, value in read.items() if value is not None)
        given = f"no {'reading' if what == ALL else what} of the {label} counts now, so none can be withdrawn"
        step = "name the club and the reading that was wrong; trimkit show lists them all"
        raise BenchError(given, f"what was read of it: {said}" if said else "a club that was measured", step)
    if not reason.strip():
        raise BenchError("no reason is given for the withdrawal", "a few words", "say why the reading was wrong")
    left = there.model_copy(update=dict.fromkeys(names))
    gone = what == ALL or not (left.remark or any(getattr(left, name) is not None for name in QUANTITIES.values()))
    new = _with_measured(record.latest, {place: None if gone else left}, tolerances)
    return _grown(record, _next(record, new, at, withdrawal(what, label) + reason))


def reopened(revision: Revision) -> Order:
    """Return the order of a revision with the parts recorded in it: built again, it gives the same cuts.

    Raises DataFileError if the order and the parts of the revision do not fit together.
    """
    parts = revision.parts
    catalogue = Catalogue(
        folder=Path("record"),
        heads={head.name: head for head in parts.heads},
        shafts={shaft.name: shaft for shaft in parts.shafts},
        grips={grip.name: grip for grip in parts.grips},
        schedule_rows=parts.schedule_rows,
        ladder_rungs=parts.ladder_rungs,
        raw_lengths=parts.raw_lengths,
    )
    tables = revision.order.model_dump(mode="json", exclude_unset=True)
    return order_from_tables(tables, catalogue, "the record", revision.shop)


def _with_measured(
    revision: Revision, measured: Mapping[int, Measured | None], tolerances: FinishedTolerances | None
) -> Revision:
    """Return a revision in which the clubs at these places, from 0, have measured this, with the verdict."""
    limits, clubs = tolerances or FinishedTolerances.of_shop(revision.shop), list(revision.clubs)
    for n, found in measured.items():
        findings = () if found is None else differences(clubs[n].predicted, clubs[n].cuts, found, limits)
        clubs[n] = clubs[n].model_copy(update={"measured": found, "findings": findings})
    return revision.model_copy(update={"clubs": tuple(clubs)})


def _next(record: Record, revision: Revision, at: datetime, reason: str) -> Revision:
    update = {
        "number": record.latest.number + 1,
        "saved_at": _moment(at),
        "package_version": trimkit.__version__,
        "reason": reason,
    }
    return revision.model_copy(update=update)


def _moment(at: datetime) -> str:
    if at.tzinfo is None:
        raise BenchError("the time has no time zone", "a time with its zone", "use datetime.now(UTC)")
    return at.astimezone(UTC).isoformat(timespec="seconds")


def _grown(record: Record, revision: Revision) -> Record:
    if not revision.reason.strip():
        raise BenchError("no reason is given for the revision", "a few words", "say why the build was revised")
    if revision.number > MOST_REVISIONS:
        raise BenchError(f"it would be revision {revision.number}", f"up to {MOST_REVISIONS}", "start a new record")
    if revision.saved_at < record.latest.saved_at:
        raise BenchError(
            f"the revision is dated {revision.saved_at}, before the last one ({record.latest.saved_at})",
            "a later time",
            "set this machine's clock",
        )
    return record.model_copy(update={"revisions": (*record.revisions, revision)})


def _revision(
    number: int, built: SetBuild, at: datetime, reason: str, frequency_sd_cpm: Sequence[float] | None
) -> Revision:
    order, catalogue = built.order, built.order.catalogue
    # A head whose BBGL the data does not know is recorded with that of the order.
    heads = {club.head.name: club.head for club in order.clubs} | catalogue.heads
    names = dict.fromkeys(club.head.name for club in order.clubs)
    shafts = {shaft.name: shaft for shaft in (order.shaft, *order.shafts)}
    grips = {grip.name: grip for grip in (order.grip, *order.grips)}
    ladders = {order.ladder, *(spec.ladder for spec in order.specs)}
    spread: Sequence[tuple[float | None, tuple[Note, ...]]]
    if frequency_sd_cpm is None:
        spread = [(each.sd_cpm, (each.note,)) for each in frequency_spread(built)]
    else:
        spread = [(float(sd), ()) for sd in frequency_sd_cpm]
    try:
        return Revision(
            number=number,
            saved_at=_moment(at),
            package_version=trimkit.__version__,
            reason=reason,
            order=RecordedOrder.model_validate(order_tables(order)),
            shop=order.shop,
            parts=RecordedParts(
                shafts=tuple(shafts.values()),
                grips=tuple(grips.values()),
                heads=tuple(heads[name] for name in names),
                schedule_rows=tuple(row for row in catalogue.schedule_rows if row.shaft in shafts),
                ladder_rungs=tuple(rung for rung in catalogue.ladder_rungs if rung.ladder in ladders),
                raw_lengths=tuple(row for row in catalogue.raw_lengths if row.family in shafts),
            ),
            clubs=tuple(_club(club, *each) for club, each in zip(built.clubs, spread, strict=True)),
        )
    except ValidationError as error:
        faults = []
        for detail in error.errors(include_input=False, include_url=False):
            place = Place("the record", key=str(detail["loc"]))
            faults.append(BenchError(detail["msg"], "what record.schema.json says", "correct it", place))
        raise DataFileError(tuple(faults)) from None


def _predicted(club: ClubBuild, sd_cpm: float | None) -> Predicted | None:
    if club.predicted is None:
        return None
    made = finished_club(club)
    return Predicted(
        add_tip_weight_g=made.assembly.tip_weight_g - club.assembly.tip_weight_g,
        frequency_cpm=made.frequency_cpm,
        frequency_sd_cpm=sd_cpm,
        flex=made.flex_text,
        swingweight_oz_in=made.swingweight_oz_in,
        total_mass_g=made.total_mass_g,
        balance_point_in=made.balance_point_in,
        moi_kg_cm2=made.moi_kg_cm2,
    )


def _club(club: ClubBuild, sd_cpm: float | None, sd_notes: tuple[Note, ...]) -> RecordedClub:
    plan, about_sd = club.plan, () if club.predicted is None else sd_notes
    return RecordedClub(
        club=plan.club,
        head=plan.wanted.head,
        shaft=plan.wanted.shaft.name,
        grip=plan.wanted.grip.name,
        bbgl_in=plan.wanted.bbgl_in,
        trims_as=str(plan.equivalent),
        flex=str(plan.flex),
        steps=tuple(
            RecordedStep(step=step.label, inches_in=step.inches, reason=step.reason, sources=step.sources)
            for step in plan.steps
        ),
        notes=tuple(RecordedNote.model_validate(note, from_attributes=True) for note in (*club.notes, *about_sd)),
        decisions=decisions_of(club),
        cuts=Cuts.model_validate(plan, from_attributes=True),
        predicted=_predicted(club, sd_cpm),
        measured=None,
        findings=(),
    )
