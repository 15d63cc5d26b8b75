"""The verbs that look into records: list those of a folder, compare two."""

from __future__ import annotations

import argparse
from datetime import date, datetime
from pathlib import Path

from trimkit.cli.records import ENDING, PLAIN, revision_number
from trimkit.parts.errors import BenchError, DataFileError, Place, counted
from trimkit.parts.plaintext import shown


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verbs ``records`` and ``compare``."""
    records = verbs.add_parser(
        "records",
        help="list the records of a folder, found by client, date, shaft or club",
        formatter_class=PLAIN,
        description="List the records of a folder, the newest first, each by its newest revision: date, client,\n"
        "title, shafts, number of clubs and revisions, what was measured. All that is asked for must fit;\n"
        "capitals do not matter. Dates are those of this machine's time zone.\n\n"
        "A damaged file is named on standard error with its fault, the others are listed, and the exit code\n"
        "is 1. A link is not followed. Only what is listed is read and checked; trimkit check FILE checks\n"
        "every value of one record, --in-full of all of them (some twenty times slower).",
        epilog="""For example:

  trimkit records "my records" --client "client 07" --since 2026-01-01 --club 7i""",
    )
    records.add_argument("folder", type=Path, metavar="FOLDER", help=f"folder of records, NAME{ENDING}")
    records.add_argument("--client", metavar="WORDS", default="", help="words that the client's name has")
    records.add_argument("--since", metavar="DATE", help="that day or later, such as 2026-01-31")
    records.add_argument("--until", metavar="DATE", help="that day or earlier, such as 2026-12-31")
    records.add_argument("--shaft", metavar="WORDS", default="", help="words that the name of one of the shafts has")
    records.add_argument("--club", metavar="CLUB", default="", help="a club of the set, such as 7i; 7: any numbered 7")
    records.add_argument("--subfolders", action="store_true", help="look into the folders below, too")
    records.add_argument("--in-full", action="store_true", help="check every value of every record")
    _add_csv(records, "the list")
    records.set_defaults(run=_records)

    compare = verbs.add_parser(
        "compare",
        help="say what differs between two records, or two revisions of one",
        formatter_class=PLAIN,
        description="Say, club by club, what differs between two records or two revisions: cuts (in), predictions\n"
        "and readings (cpm, letter scale, g) first, then the order, the parts and the rest. Each line has the\n"
        "value of B, that of A as 'before', and what it gained. What reads alike to the last digit shown is\n"
        "only counted; --csv has all.",
        epilog="""For example, the newest two revisions of a record, its first and its newest, and two records:

  trimkit compare evening_class.record.json
  trimkit compare evening_class.record.json --revision-a 1
  trimkit compare client_07.record.json client_08.record.json --csv changes.csv""",
    )
    compare.add_argument("a", type=Path, metavar="A", help=f"record, NAME{ENDING}")
    compare.add_argument("b", type=Path, nargs="?", metavar="B", help="another record (default: A itself)")
    compare.add_argument(
        "--revision-a",
        type=int,
        metavar="NUMBER",
        help="revision of A (default: the newest; without B, the one before)",
    )
    compare.add_argument("--revision-b", type=int, metavar="NUMBER", help="revision of B (default: the newest)")
    _add_csv(compare, "all that differs, with every digit,")
    compare.set_defaults(run=_compare)


def _add_csv(parser: argparse.ArgumentParser, what: str) -> None:
    parser.add_argument("--csv", type=Path, metavar="FILE", help=f"write {what} as CSV, too")
    parser.add_argument("--replace", action="store_true", help="overwrite an older CSV file")


def _day(text: str | None, option: str) -> date | None:
    if text is None:
        return None
    try:
        return datetime.strptime(text.strip(), "%Y-%m-%d").date()
    except ValueError:
        given, allowed = f"{text!r} is not a day", "year-month-day, such as 2026-01-31"
        raise BenchError(given, allowed, "write it so", Place(option)) from None


def _records(chosen: argparse.Namespace) -> str:
    from trimkit.papers.record.listing import asked_for, has_subfolders, listed_records, listing_csv, listing_lines
    from trimkit.parts.saving import save_text

    since, until = _day(chosen.since, "--since"), _day(chosen.until, "--until")
    all_of_them, faults = listed_records(chosen.folder, subfolders=chosen.subfolders, in_full=chosen.in_full)
    wanted = {"client": chosen.client, "shaft": chosen.shaft, "club": chosen.club, "since": since, "until": until}
    found = asked_for(all_of_them, **wanted)
    lines = listing_lines(found)
    if any(wanted.values()):
        lines.append(f"{counted(len(found), 'record')} of {len(all_of_them)} in {chosen.folder}")
    else:
        lines.append(f"{counted(len(found), 'record')} in {chosen.folder}")
    if not chosen.subfolders and has_subfolders(chosen.folder):
        lines.append("The folders below it were not looked into (--subfolders).")
    if chosen.csv is not None:
        lines.append(f"Wrote {save_text(chosen.csv, listing_csv(found), replace=chosen.replace)}.")
    if faults:
        print(shown("\n".join(lines)), flush=True)  # what is whole is listed, whatever else is refused
        raise DataFileError(faults)
    return "\n".join(lines)


def _compare(chosen: argparse.Namespace) -> str:
    from trimkit.papers.record.changewords import comparison_csv, comparison_lines
    from trimkit.papers.record.compare import compare
    from trimkit.papers.record.store import read_file
    from trimkit.papers.record.words import when
    from trimkit.parts.saving import save_text

    first = read_file(chosen.a)
    second = first if chosen.b is None else read_file(chosen.b)
    if chosen.b is None and len(first.revisions) == 1:
        given, allowed = f"{chosen.a} has one revision only", "two revisions, or two records"
        raise BenchError(given, allowed, "name another record as B")
    before = first.revision(
        revision_number(first, chosen.revision_a, len(first.revisions) - 1 if chosen.b is None else None)
    )
    after = second.revision(revision_number(second, chosen.revision_b))
    changes = compare(before, after)
    sides = (("before", chosen.a, first, before), ("now", chosen.b or chosen.a, second, after))
    lines = [
        f"{side}: {path}, revision {one.number} of {len(record.revisions)}, {when(one.saved_at)} ({one.reason}): "
        f"{one.order.title}, for {one.order.client}"
        for side, path, record, one in sides
    ]
    lines += ["", *comparison_lines(changes)]
    if chosen.csv is not None:
        lines.append(f"Wrote {save_text(chosen.csv, comparison_csv(changes), replace=chosen.replace)}.")
    return "\n".join(lines)
