"""The command line: one verb for each thing to do with an order, its parts and its record.

Exit codes: 0 done (a measured club outside its tolerance is a verdict, not a refusal), 1 refused (the reason is on
standard error and nothing was written), 2 wrong arguments.
"""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import trimkit
from trimkit.parts.errors import BenchError, SaveError, counted
from trimkit.parts.plaintext import shown

if TYPE_CHECKING:
    from trimkit.club.set import SetBuild
    from trimkit.parts.catalogue import Catalogue

START = "00_start_here.ipynb"
ENDING = ".record.json"


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="trimkit", description="Cut golf shafts by rule, checked by mechanics.")
    parser.add_argument("--version", action="version", version=f"trimkit {trimkit.__version__}")
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="VERB")

    lessons = verbs.add_parser("lessons", help="open the lessons in JupyterLab")
    lessons.add_argument("--no-browser", action="store_true", help="start the server only")
    lessons.add_argument(
        "--port", type=int, metavar="PORT", default=8888, help="port to listen on, on this machine only (default: 8888)"
    )
    lessons.add_argument("jupyter", nargs="*", metavar="OPTION", help="more options for JupyterLab, after --")

    sheet = verbs.add_parser("sheet", help="make the printable sheet of an order")
    sheet.add_argument("order", type=Path, metavar="FILE", help="order file (TOML)")
    _add_parts(sheet)
    sheet.add_argument(
        "--to", type=Path, metavar="FILE", help="HTML file to write (default: the order's name, in this folder)"
    )
    sheet.add_argument("--replace", action="store_true", help="overwrite an older sheet")
    sheet.add_argument("--shop", metavar="NAME", default="", help="the shop's name, for the client's page and the card")
    sheet.add_argument(
        "--record", type=Path, metavar="FILE", help="record of this order: what was measured, for the client's page"
    )

    check = verbs.add_parser("check", help="check a data file, an order, a record, or a whole data folder")
    check.add_argument(
        "path",
        type=Path,
        nargs="?",
        metavar="FILE",
        help="CSV file, workbook, order (TOML), record (JSON) or a folder (default: the data folder)",
    )
    _add_parts(check)

    tables = verbs.add_parser("tables", help="write every table of an order's set as CSV files")
    tables.add_argument("order", type=Path, metavar="FILE", help="order file (TOML)")
    _add_parts(tables)
    tables.add_argument(
        "--to", type=Path, metavar="FOLDER", help="folder to write to (default: the order's name, in this folder)"
    )
    tables.add_argument("--replace", action="store_true", help="overwrite older tables")

    pulled = verbs.add_parser(
        "pulled",
        help="show what the pulled shafts of an order can still become",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Show, for every pulled shaft of an order, each club and flex that it can still become on its\n"
        "head: the tip trim and butt trim still to do and the cut length (in), or why it cannot.",
        epilog="""Such a club in the order, for a parallel tip (lengths in inches as they are now):

  [[club]]
  head = "class 8-iron"
  pulled = true
  raw_length_in = 36.0
  tip_cut_in = 4.0

A taper tip has bought_length_in, the raw length of its family that it was, in place of tip_cut_in.
Then, for example: trimkit pulled drawer.toml --own-parts my_parts""",
    )
    pulled.add_argument("order", type=Path, metavar="FILE", help="order file (TOML)")
    _add_parts(pulled)

    templates = verbs.add_parser("templates", help="make a new folder of templates for your own parts and orders")
    templates.add_argument("folder", type=Path, metavar="FOLDER", help="folder to make")

    record = verbs.add_parser("record", help="make the record of an order; with --reason, add a revision to it")
    record.add_argument("order", type=Path, metavar="FILE", help="order file (TOML)")
    _add_parts(record)
    record.add_argument(
        "--to", type=Path, metavar="FILE", help=f"record, NAME{ENDING} (default: the order's name, in this folder)"
    )
    record.add_argument("--reason", metavar="WHY", help="why the build was planned again; needed if the record exists")

    show = verbs.add_parser("show", help="show a record: cuts, predictions, what was measured")
    show.add_argument("record", type=Path, metavar="FILE", help=f"record, NAME{ENDING}")
    show.add_argument(
        "--revision", type=int, metavar="NUMBER", help="an older revision, by its number (default: the newest)"
    )

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
    return parser


def _add_parts(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--data",
        type=Path,
        metavar="FOLDER",
        help="folder or workbook of parts and tables (default: the shipped demo data)",
    )
    parser.add_argument(
        "--own-parts", type=Path, metavar="FOLDER", help="folder or workbook of your own parts, used beside the others"
    )


def notebooks_folder() -> Path:
    """Return the folder of the lessons: ``notebooks/`` of a checkout or, for an installed package, a copy.

    The copy is made once, in ``trimkit-lessons/`` of the working folder, and never overwritten: it is the reader's.
    """
    package = Path(trimkit.__file__).resolve().parent
    packaged = package / "_notebooks"
    if not packaged.is_dir():
        return package.parent / "notebooks"
    copy = Path.cwd() / "trimkit-lessons"
    if not copy.exists():
        import shutil

        shutil.copytree(packaged, copy)
    return copy


def _lessons(port: int, no_browser: bool, jupyter: Sequence[str]) -> int:
    import signal
    import subprocess

    folder = notebooks_folder()
    command = [sys.executable, "-m", "jupyterlab", str(folder / START)]
    command += [f"--ServerApp.root_dir={folder}", f"--ServerApp.port={port}", "--ServerApp.ip=127.0.0.1"]
    command += [*(["--no-browser"] if no_browser else []), *jupyter]
    print(f"Opening the lessons in {folder}. To stop, press Ctrl-C twice.", flush=True)
    server = subprocess.Popen(command)
    # Ctrl-C reaches JupyterLab too, which asks first and saves its work; stopping this process stops both.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, lambda *_: server.terminate())
    return server.wait()


def _built(chosen: argparse.Namespace, order: Path) -> SetBuild:
    # Every verb imports what it needs itself, so that none waits for another's imports.
    from trimkit.club.order import open_order
    from trimkit.club.set import build_set

    return build_set(open_order(order, chosen.data, chosen.own_parts))


def _sheet(chosen: argparse.Namespace) -> str:
    from trimkit.papers.measured import measured_of
    from trimkit.papers.record.store import read_file
    from trimkit.study.figures.set import write_sheet

    built = _built(chosen, chosen.order)
    measured = () if chosen.record is None else measured_of(read_file(chosen.record).latest, built)
    target = chosen.to or Path.cwd() / f"{chosen.order.stem}.html"
    today = datetime.now().astimezone().date()
    write_sheet(built, target, replace=chosen.replace, shop=chosen.shop, made_on=today, measured=measured)
    return f"Wrote {target}: {counted(len(built.clubs), 'club')}."


def _check(chosen: argparse.Namespace) -> str:
    from trimkit.parts.catalogue import check_file, data_folder, load_catalogue
    from trimkit.parts.components import ESTIMATED_WALLS
    from trimkit.parts.rows import TABLES
    from trimkit.parts.workbook import is_workbook

    path: Path = chosen.path or chosen.data or data_folder()
    how_read: tuple[str, ...] = ()
    silent: list[str] = []
    if path.is_dir() or is_workbook(path):
        parts = load_catalogue(path, own_folder=chosen.own_parts, in_part=True)
        how_read, said = parts.how_read, _parts_said(parts)
        silent = [shaft.unknown for shaft in parts.shafts.values()]
        if chosen.own_parts is not None:
            said += f", with those of {chosen.own_parts}"
        if absent := [name for name in TABLES if name not in parts.rows_read]:
            said += f"; not there, and nothing checked against them: {', '.join(absent)}"
    elif path.suffix == ".toml":
        built = _built(chosen, path)
        how_read, silent = built.order.catalogue.how_read, [club.no_prediction for club in built.clubs]
        said = f"an order of {counted(len(built.clubs), 'club')}, and its sheet can be made"
    elif path.suffix == ".json":
        from trimkit.papers.record.store import read_file

        record = read_file(path)
        clubs, revisions = counted(len(record.latest.clubs), "club"), counted(len(record.revisions), "revision")
        said = f"a record of {clubs}, {revisions}"
    else:
        read = check_file(path)
        said, how_read = counted(len(read.rows), "row"), (f"{path.name}: {read.how_read}",) if read.how_read else ()
    lines = [f"{path}: in order ({said}).", *(f"Read {line}." for line in how_read)]
    lines += [
        f"{why[0].upper()}{why[1:]}: no predictions, its clubs are cut by the rules alone."
        for why in dict.fromkeys(filter(None, silent))
    ]
    if any(silent):
        lines.append(f"Measure them or ask for them: {ESTIMATED_WALLS}.")
    return "\n".join(lines)


def _parts_said(parts: Catalogue) -> str:
    words = {"heads.csv": "head", "shafts.csv": "shaft", "schedules.csv": "schedule row"}
    found = {file: counted(parts.rows_read[file], what) for file, what in words.items() if file in parts.rows_read}
    if parts.heads_without_bbgl:
        found["heads.csv"] += f" ({len(parts.heads_without_bbgl)} without a BBGL, which an order must give)"
    return ", ".join(found.values()) or ", ".join(parts.rows_read)


def _tables(chosen: argparse.Namespace) -> str:
    from trimkit.papers.tablefiles import write_tables

    folder = chosen.to or Path.cwd() / f"{chosen.order.stem} tables"
    paths = write_tables(_built(chosen, chosen.order), folder, replace=chosen.replace)
    return f"Wrote {counted(len(paths), 'table')} into {folder}."


def _pulled(chosen: argparse.Namespace) -> str:
    from trimkit.club.order import open_order
    from trimkit.club.set import wanted_club
    from trimkit.club.trimroom import piece_words, room_lines, trim_room

    order = open_order(chosen.order, chosen.data, chosen.own_parts)
    wanted = [each for each in (wanted_club(order, club) for club in order.clubs) if each.pulled is not None]
    if not wanted:
        given, allowed = f"no shaft of {chosen.order} is pulled from another club", "pulled = true in a [[club]] table"
        raise BenchError(given, allowed, "add it with what was measured, as trimkit pulled --help shows")
    lines = ["A shaft's maker may allow less than these cuts: past that it can break.", ""]
    for each in wanted:
        lines += [f"{each.head.name}: {each.shaft.name}, {piece_words(each)}", *room_lines(trim_room(each)), ""]
    return "\n".join(lines[:-1])


def _templates(chosen: argparse.Namespace) -> str:
    from trimkit.papers.templates import ORDER_FILE, write_templates

    paths = write_templates(chosen.folder)
    return f"Wrote {counted(len(paths), 'file')} into {chosen.folder}. Start with {ORDER_FILE}: it says what to do."


def _record(chosen: argparse.Namespace) -> str:
    from trimkit.papers.record.build import first_record, revised
    from trimkit.papers.record.store import read_file, record_path, save_record

    path = record_path(chosen.to or Path.cwd() / f"{chosen.order.stem}{ENDING}")
    now, reason = datetime.now(UTC), chosen.reason
    if not path.exists():
        record = first_record(_built(chosen, chosen.order), now, reason=reason or "first plan")
    elif reason is None:
        given, allowed = f"{path} is there already", "a new record, or a reason to add a revision to that one"
        raise SaveError(given, allowed, "give a reason with --reason, or another name with --to")
    else:
        record = revised(read_file(path), _built(chosen, chosen.order), now, reason=reason)
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


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb and return the exit code; arguments as in the shell (default: those of the command line)."""
    chosen = _parser().parse_args(arguments)
    verbs = {
        "sheet": _sheet,
        "check": _check,
        "tables": _tables,
        "pulled": _pulled,
        "templates": _templates,
        "record": _record,
        "show": _show,
        "measured": _measured,
    }
    try:
        if chosen.verb == "lessons":
            return _lessons(chosen.port, chosen.no_browser, chosen.jupyter)
        # No plugin of pydantic is used here, and looking for one takes some 4 ms of 115.
        os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
        print(shown(verbs[chosen.verb](chosen)))
    except BenchError as refused:
        print(f"trimkit: {shown(str(refused))}", file=sys.stderr)
        return 1
    except BrokenPipeError:  # whoever read the output has gone, as head does: there is nobody to tell
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except OSError as refused:  # such as a path that the system does not accept
        why = f"{refused.filename}: {refused.strerror}. Allowed: a path that can be read. Do next: check the path."
        print(f"trimkit: {shown(why)}", file=sys.stderr)
        return 1
    return 0


def run() -> int:
    """Run one verb as a process of its own, and return the exit code.

    The process is short: without collecting garbage it starts and ends about 5 % sooner.
    """
    gc.disable()
    return main()
