"""The verbs of a record: make it, show it, add what the finished clubs measured."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime
from pathlib import Path

from trimkit.cli.arguments import add_parts, built
from trimkit.parts.errors import BenchError, SaveError, counted

ENDING = ".record.json"


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verbs of a record."""
    record = verbs.add_parser("record", help="make the record of an order; with --reason, add a revision to it")
    record.add_argument("order", type=Path, metavar="FILE", help="order file (TOML)")
    add_parts(record)
    record.add_argument(
        "--to", type=Path, metavar="FILE", help=f"record, NAME{ENDING} (default: the order's name, in this folder)"
    )
    record.add_argument("--reason", metavar="WHY", help="why the build was planned again; needed if the record exists")
    record.set_defaults(run=_record)

    show = verbs.add_parser("show", help="show a record: cuts, predictions, what was measured")
    show.add_argument("record", type=Path, metavar="FILE", help=f"record, NAME{ENDING}")
    show.add_argument(
        "--revision", type=int, metavar="NUMBER", help="an older revision, by its number (default: the newest)"
    )
    show.set_defaults(run=_show)

    measured = verbs.add_parser("measured", help="add what the finished clubs measured to a record")
    measured.add_argument("record", type=Path, metavar="FILE", help=f"record, NAME{ENDING}")
    what = measured.add_mutually_exclusive_group(required=True)
    what.add_argument(
        "--from", dest="form", type=Path, metavar="FILE", help="filled form: to_measure.csv of the verb tables"
    )
    what.add_argument("--club", metavar="CLUB", help="one club, by its name or its place in the set")
    measured.add_argument("--playing-length", metavar="LENGTH", help="such as '37 1/2 in' or '95.3 cm'")
    measured.add_argument("--frequency-cpm", type=float, metavar="CPM", help="cycles per minute")
    measured.add_argument("--swingweight", metavar="SWINGWEIGHT", help="such as D1.5")
    measured.add_argument("--total-mass", metavar="MASS", help="such as '412 g' or '14.5 oz'")
    measured.add_argument("--remark", metavar="WORDS", default="", help="a short remark")
    measured.add_argument(
        "--reason", metavar="WHY", default="measured", help="why a revision is added (default: measured)"
    )
    measured.set_defaults(run=_measured)


def _record(chosen: argparse.Namespace) -> str:
    from trimkit.papers.record.build import first_record, revised
    from trimkit.papers.record.store import read_file, record_path, save_record

    path = record_path(chosen.to or Path.cwd() / f"{chosen.order.stem}{ENDING}")
    now, reason = datetime.now(UTC), chosen.reason
    if not path.exists():
        record = first_record(built(chosen, chosen.order), now, reason=reason or "first plan")
    elif reason is None:
        given, allowed = f"{path} is there already", "a new record, or a reason to add a revision to that one"
        raise SaveError(given, allowed, "give a reason with --reason, or another name with --to")
    else:
        record = revised(read_file(path), built(chosen, chosen.order), now, reason=reason)
    save_record(path, record)
    return f"Wrote {path}: {counted(len(record.latest.clubs), 'club')}, revision {record.latest.number}."


def _show(chosen: argparse.Namespace) -> str:
    from trimkit.papers.record.store import read_file
    from trimkit.papers.record.words import record_lines

    record = read_file(chosen.record)
    number, last = chosen.revision, len(record.revisions)
    if number is not None and not 1 <= number <= last:
        raise BenchError(f"there is no revision {number}", f"1 to {last}", "choose one of them")
    return "\n".join(record_lines(record, record.revision(number or last)))


def _measured(chosen: argparse.Namespace) -> str:
    from trimkit.papers.measured import measured_club, place_of, read_measured
    from trimkit.papers.record.build import with_measurements
    from trimkit.papers.record.store import read_file, record_path, save_record
    from trimkit.papers.record.words import measured_lines

    path = record_path(chosen.record)
    record = read_file(path)
    values = {name: getattr(chosen, name) for name in ("playing_length", "frequency_cpm", "swingweight", "total_mass")}
    given = bool(chosen.remark) or any(value is not None for value in values.values())
    if chosen.form is not None and given:
        raise BenchError("values are given as well as a form", "a form, or one club's values", "put them into the form")
    if chosen.form is not None:
        found = read_measured(chosen.form, record.latest)
    else:
        place = place_of(record.latest, chosen.club)
        if not given:
            raise BenchError("no measured value is given", "one value or more", "say what was measured")
        found = {place: measured_club(**values, remark=chosen.remark)}
    record = with_measurements(record, found, datetime.now(UTC), reason=chosen.reason)
    save_record(path, record)
    return "\n".join([*measured_lines(record.latest), f"Wrote {path}: revision {record.latest.number}."])
