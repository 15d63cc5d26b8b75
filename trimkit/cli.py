"""The shell's way in: ``trimkit lessons``, ``trimkit sheet ORDER``, ``trimkit check FILE``.

Exit codes: 0 done, 1 refused (the reason is on standard error and nothing was written), 2 wrong words on the command
line.
"""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import trimkit
from trimkit.parts.errors import BenchError
from trimkit.parts.plaintext import shown

START = "00_start_here.ipynb"


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="trimkit", description="Cut golf shafts by rule, checked by mechanics.")
    parser.add_argument("--version", action="version", version=f"trimkit {trimkit.__version__}")
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="VERB")

    lessons = verbs.add_parser("lessons", help="open the lessons in JupyterLab")
    lessons.add_argument("--no-browser", action="store_true", help="start the server only")
    lessons.add_argument("--port", type=int, default=8888, help="port to listen on, on this machine only (8888)")
    lessons.add_argument("jupyter", nargs="*", help="further options for JupyterLab, after --")

    sheet = verbs.add_parser("sheet", help="make the printable sheet of an order")
    sheet.add_argument("order", type=Path, help="order file (TOML)")
    sheet.add_argument("--data", type=Path, help="folder of parts and tables (default: the shipped demo data)")
    sheet.add_argument("--to", type=Path, help="HTML file to write (default: the order's name, in this folder)")
    sheet.add_argument("--replace", action="store_true", help="write over an older sheet")

    check = verbs.add_parser("check", help="check a data file, an order, or a whole data folder")
    check.add_argument("path", type=Path, help="CSV file, order file (TOML), or folder")
    check.add_argument("--data", type=Path, help="folder of parts that an order is checked against")
    return parser


def notebooks_folder() -> Path:
    """Return the folder of the lessons: ``notebooks/`` of a checkout, or for an installed package a copy of its own.

    A copy is made once, in ``trimkit-lessons/`` of the working folder, and is never written over: it is the reader's.
    """
    package = Path(trimkit.__file__).resolve().parent
    packaged = package / "_notebooks"
    if not packaged.is_dir():
        return package.parent / "notebooks"
    copy = Path.cwd() / "trimkit-lessons"
    if not copy.exists():
        shutil.copytree(packaged, copy)
    return copy


def _lessons(port: int, no_browser: bool, jupyter: Sequence[str]) -> int:
    folder = notebooks_folder()
    command = [sys.executable, "-m", "jupyterlab", str(folder / START)]
    command += [f"--ServerApp.root_dir={folder}", f"--ServerApp.port={port}", "--ServerApp.ip=127.0.0.1"]
    command += [*(["--no-browser"] if no_browser else []), *jupyter]
    print(f"Opening the lessons in {folder}. Stop with Ctrl-C.")
    try:
        return subprocess.call(command)
    except KeyboardInterrupt:
        return 0


def _sheet(order: Path, data: Path | None, to: Path | None, replace: bool) -> int:
    # Imported here: the other verbs need neither matplotlib nor pandas.
    from trimkit.build.order import load_order
    from trimkit.build.set import build_set
    from trimkit.build.sheet import write_sheet
    from trimkit.parts.catalogue import load_catalogue
    from trimkit.study.figures import set_frequency_svg

    built = build_set(load_order(order, load_catalogue(data)))
    target = to or Path.cwd() / f"{order.stem}.html"
    write_sheet(built, target, figure_svg=set_frequency_svg(built), replace=replace)
    print(f"Wrote {target}: {len(built.clubs)} clubs.")
    return 0


def _check(path: Path, data: Path | None) -> int:
    from trimkit.build.order import load_order
    from trimkit.parts.catalogue import check_file, load_catalogue

    if path.is_dir():
        parts = load_catalogue(path)
        said = f"{len(parts.heads)} heads, {len(parts.shafts)} shafts, {len(parts.schedule_rows)} schedule rows"
    elif path.suffix == ".toml":
        said = f"an order of {len(load_order(path, load_catalogue(data)).clubs)} clubs"
    else:
        said = f"{check_file(path)} rows"
    print(f"{path}: in order ({said}).")
    return 0


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb and return the exit code; arguments as in the shell (default: those of the command line)."""
    chosen = _parser().parse_args(arguments)
    try:
        if chosen.verb == "lessons":
            return _lessons(chosen.port, chosen.no_browser, chosen.jupyter)
        if chosen.verb == "sheet":
            return _sheet(chosen.order, chosen.data, chosen.to, chosen.replace)
        return _check(chosen.path, chosen.data)
    except BenchError as refused:
        print(f"trimkit: {shown(str(refused))}", file=sys.stderr)
        return 1
