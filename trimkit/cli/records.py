"""The verbs of a record: make it, show it, add what the finished clubs measured, withdraw a wrong reading."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trimkit.cli.arguments import add_parts, built
from trimkit.parts.errors import BenchError, SaveError, counted

if TYPE_CHECKING:
    from trimkit.papers.record.model import Record

ENDING = ".record.json"
PLAIN: Any = argparse.RawDescriptionHelpFormatter


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verbs of a record."""
    record = verbs.add_parser(
        "record",
        help="make the record of an order; with --reason, add a revision to it",
        formatter_class=PLAIN,
        description="Make the record of an order, or add a revision to it with --reason: what was planned, predicted\n"
        "and measured before stays in it. What a club measured still counts if it is planned as it was.",
        epilog="""For example:

  trimkit record evening_class.toml --reason "client now plays a softer flex\"""",
    )
    record.add_argument("order", type=Path, metavar="FILE", help="order file (TOML)")
    add_parts(record)
    record.add_argument(
        "--to", type=Path, metavar="FILE", help=f"record, NAME{ENDING} (default: the order's name, in this folder)"
    )
    record.add_argument("--reason", metavar="WHY", help="why the build was planned again; needed if the record exists")
    record.set_defaults(run=_record)

    show = verbs.add_parser(
        "show",
        help="show a record: cuts, predictions, every reading, every revision",
        formatter_class=PLAIN,
        description="Show a record: cuts (in), predictions (cpm, letter scale, g), what was measured beside them,\n"
        "every reading ever taken and what became of it, and every revision with its reason. A reading counts\n"
        "as long as the club is planned as it was when it was read: head, shaft, grip, tip weight, wanted\n"
        "swingweight, the masses put in, all cuts within 0.001 in; for a frequency, the clamp too. Times of\n"
        "readings and revisions are those of this machine's time zone.",
        epilog="""For example:

  trimkit show evening_class.record.json --revision 2""",
    )
    show.add_argument("record", type=Path, metavar="FILE", help=f"record, NAME{ENDING}")
    show.add_argument(
        "--revision", type=int, metavar="NUMBER", help="an older revision, by its number (default: the newest)"
    )
    show.set_defaults(run=_show)
    _add_readings(verbs)


def _add_readings(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    measured = verbs.add_parser(
        "measured",
        help="add what the finished clubs measured to a record",
        formatter_class=PLAIN,
        description="Add what finished clubs measured to a record, as a new revision. What a club measured before\n"
        "and is not read again stays; a value read again replaces the earlier one, which stays in its own\n"
        "revision.",
        epilog="""For example (7 is the 7-iron, whatever its place in the set):

  trimkit measured evening_class.record.json --club 7 --frequency-cpm 312.5 --playing-length "37 1/16 in\"""",
    )
    measured.add_argument("record", type=Path, metavar="FILE", help=f"record, NAME{ENDING}")
    what = measured.add_mutually_exclusive_group(required=True)
    what.add_argument(
        "--from", dest="form", type=Path, metavar="FILE", help="filled form: to_measure.csv of the verb tables"
    )
    _add_club(what)
    measured.add_argument("--playing-length", metavar="LENGTH", help="such as '37 1/2 in' or '95.3 cm'")
    measured.add_argument("--frequency-cpm", type=float, metavar="CPM", help="cycles per minute")
    measured.add_argument("--swingweight", metavar="SWINGWEIGHT", help="such as D1.5")
    measured.add_argument("--total-mass", metavar="MASS", help="such as '412 g' or '14.5 oz'")
    measured.add_argument("--remark", metavar="WORDS", default="", help="a short remark")
    measured.add_argument(
        "--reason", metavar="WHY", default="measured", help="why a revision is added (default: measured)"
    )
    measured.set_defaults(run=_measured)

    withdraw = verbs.add_parser(
        "withdraw",
        help="withdraw a wrong reading from a record, with the reason",
        formatter_class=PLAIN,
        description="Withdraw a wrong reading of a club. The record gets a new revision without it; the revisions\n"
        "before keep it, and show lists it as withdrawn, with the reason. An earlier reading that it had\n"
        "replaced does not come back by itself: give it again with measured if it was right.",
        epilog="""For example:

  trimkit withdraw evening_class.record.json frequency --club 7-iron --reason "clamp was loose\"""",
    )
    withdraw.add_argument("record", type=Path, metavar="FILE", help=f"record, NAME{ENDING}")
    kinds = ("playing-length", "frequency", "swingweight", "total-mass", "all")
    withdraw.add_argument("what", choices=kinds, metavar="READING", help=f"{', '.join(kinds)}")
    _add_club(withdraw.add_mutually_exclusive_group(required=True))
    withdraw.add_argument("--reason", metavar="WHY", required=True, help="why the reading was wrong")
    withdraw.set_defaults(run=_withdraw)


def _add_club(group: argparse._MutuallyExclusiveGroup) -> None:
    group.add_argument(
        "--club", metavar="CLUB", help="one club, such as 7-iron, 7i, PW; 7 alone is the club numbered 7"
    )
    group.add_argument("--place", type=int, metavar="PLACE", help="one club, by its place in the set, from 1")


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
    return "\n".join(record_lines(record, record.revision(revision_number(record, chosen.revision))))


def revision_number(record: Record, number: int | None, default: int | None = None) -> int:
    """Return the number of the revision asked for, else the default or the newest; raises BenchError for none."""
    last = len(record.revisions)
    if number is not None and not 1 <= number <= last:
        raise BenchError(f"there is no revision {number}", f"1 to {last}", "choose one of them")
    return number or default or last


def _place(record: Record, chosen: argparse.Namespace) -> int:
    from trimkit.papers.measured import place_at, place_of

    if chosen.place is not None:
        return place_at(record.latest, chosen.place)
    return place_of(record.latest, chosen.club)


def _measured(chosen: argparse.Namespace) -> str:
    from trimkit.papers.measured import measured_club, read_measured
    from trimkit.papers.record.build import with_measurements
    from trimkit.papers.record.store import read_file, record_path, save_record
    from trimkit.papers.record.words import measured_lines, replaced_lines

    path = record_path(chosen.record)
    record = read_file(path)
    values = {name: getattr(chosen, name) for name in ("playing_length", "frequency_cpm", "swingweight", "total_mass")}
    given = bool(chosen.remark) or any(value is not None for value in values.values())
    if chosen.form is not None and given:
        raise BenchError("values are given as well as a form", "a form, or one club's values", "put them into the form")
    if chosen.form is not None:
        found = read_measured(chosen.form, record.latest)
    else:
        place = _place(record, chosen)
        if not given:
            raise BenchError("no measured value is given", "one value or more", "say what was measured")
        found = {place: measured_club(**values, remark=chosen.remark)}
    again = replaced_lines(record, found)
    record = with_measurements(record, found, datetime.now(UTC), reason=chosen.reason)
    save_record(path, record)
    return "\n".join([*measured_lines(record.latest), *again, f"Wrote {path}: revision {record.latest.number}."])


def _withdraw(chosen: argparse.Namespace) -> str:
    from trimkit.papers.record.build import withdrawn
    from trimkit.papers.record.store import read_file, record_path, save_record

    path = record_path(chosen.record)
    record = read_file(path)
    what, place = chosen.what.replace("-", " "), _place(record, chosen)
    record = withdrawn(record, place, what, datetime.now(UTC), reason=chosen.reason)
    save_record(path, record)
    number = record.latest.number
    return f"{record.latest.reason}\nWrote {path}: revision {number}; the revisions before it are as they were."
