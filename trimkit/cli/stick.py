"""The verb that packs trimkit, all it needs, and the lesson pages into a folder: for a class without the internet."""

from __future__ import annotations

import argparse
import json
import os
import platform
import re
import shutil
import sys
import tempfile
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path
from typing import TYPE_CHECKING

import trimkit
from trimkit.parts.errors import BenchError
from trimkit.parts.saving import LEFTOVER, cannot_save

if TYPE_CHECKING:
    from trimkit.cli.wheels import Wheel

NAMES = ("linux", "linux-arm", "windows", "macos", "macos-intel")
READ_ME = """trimkit {version} on a stick

Without installing anything: open pages/index.html in a browser. The labs in the lessons move.

To install it you need Python {python} on {systems}, and no internet connection.
Open a shell in this folder (on Windows: PowerShell) and type

  Linux, macOS:  python3 install.py
  Windows:       py install.py

It goes into a new folder, trimkit-class, in your home folder, and the last line says how to open the lessons.
To put it elsewhere, name a folder: python3 install.py FOLDER. To get rid of it, delete that folder.

What is here: wheels/ the packages, trimkit's own among them, with all lessons and the demo's data; pages/ the
lessons as pages; install.py the installation; stick.json which Python and which systems this stick is for.
"""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb ``stick``."""
    stick = verbs.add_parser(
        "stick",
        help="pack trimkit, all it needs and the lesson pages into a folder, for a class without internet",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Pack trimkit's own wheel, the wheels of all it needs, and the lesson pages into a new folder,\n"
        "with install.py, which installs from it without the internet. Packing itself needs the internet\n"
        "and takes minutes. It fits 64-bit systems: Linux with glibc 2.28 or newer, macOS 12 or newer.",
        epilog="For example, for a class with laptops of two kinds:\n\n"
        "  trimkit stick class_stick --for windows --for macos --python 3.12 --python 3.13",
    )
    stick.add_argument("folder", type=Path, metavar="FOLDER", help="folder to make; it must not be there yet")
    stick.add_argument(
        "--for",
        dest="systems",
        action="append",
        choices=NAMES,
        metavar="SYSTEM",
        help=f"what to pack for: {', '.join(NAMES)}; may be given again (default: this system)",
    )
    stick.add_argument(
        "--python",
        action="append",
        metavar="VERSION",
        help="of the students' Python, as 3.12; may be given again (default: this one's)",
    )
    stick.set_defaults(run=_stick)


def this_system() -> str:
    """Return the name of the system this runs on; raises BenchError if a stick cannot be packed for it."""
    from trimkit.cli.wheels import SYSTEMS

    for name, system in SYSTEMS.items():
        if (system.sys_platform, system.platform_machine) == (sys.platform, platform.machine()):
            return name
    raise BenchError(
        f"this is {sys.platform} on {platform.machine()}", f"a stick for {', '.join(SYSTEMS)}", "choose one with --for"
    )


def _stick(chosen: argparse.Namespace) -> str:
    from trimkit.study.page.export import write_pages

    folder: Path = chosen.folder
    systems = tuple(dict.fromkeys(chosen.systems or [this_system()]))
    pythons = tuple(dict.fromkeys(chosen.python or ["{}.{}".format(*sys.version_info)]))
    if folder.exists() or folder.is_symlink():
        raise BenchError(f"{folder} is there already", "a new folder", "name another folder, or remove this one")
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=f"{LEFTOVER}{os.getpid()}-") as beside:
            made = Path(beside) / "stick"
            lines = pack_wheels(made / "wheels", systems, pythons, Path(beside))
            write_pages(made / "pages")
            write_words(made, systems, pythons)
            made.rename(folder)
    except OSError as error:
        raise cannot_save(folder, error) from error
    size = f"{_megabytes(folder)} MB, {_megabytes(folder / 'pages')} MB of it lesson pages"
    return "\n".join([*lines, f"Packed {folder}: {size}. How to use it: {folder / 'READ_ME.txt'}."])


def pack_wheels(folder: Path, systems: Sequence[str], pythons: Sequence[str], beside: Path) -> list[str]:
    """Put the wheels for each system and Python into a folder; return a line for each, with its size.

    beside: a folder for what is only needed meanwhile. Raises BenchError for a Python that trimkit does not run on, and
    as the functions of :mod:`trimkit.cli.wheels` do.
    """
    from trimkit.cli.wheels import fetch

    folder.mkdir(parents=True)
    own = _own_wheel(beside)
    for python in pythons:
        if not re.fullmatch(r"3\.\d{1,2}", python) or not own.python.contains(f"{python}.0"):
            raise BenchError(f"--python {python}", f"a version such as 3.12 ({own.python})", "name another version")
    lines = []
    for system in systems:
        for python in pythons:
            wheels = [own, *fetch(own, system, python, beside / f"{system}-{python}")]
            for wheel in wheels:
                shutil.copyfile(wheel.path, folder / wheel.path.name)
            size = sum(wheel.path.stat().st_size for wheel in wheels)
            lines.append(f"{system}, Python {python}: {len(wheels)} wheels, {size / 1e6:.0f} MB.")
    return lines


def write_words(folder: Path, systems: Sequence[str], pythons: Sequence[str]) -> None:
    """Write the words for the reader, the installation, and what it needs to know."""
    from trimkit.cli.wheels import SYSTEMS

    shutil.copyfile(Path(__file__).with_name("stickinstall.py"), folder / "install.py")
    told = {"python": pythons, "systems": {name: SYSTEMS[name].sys_platform for name in systems}}
    (folder / "stick.json").write_text(json.dumps(told, indent=2) + "\n", encoding="utf-8")
    words = {"version": trimkit.__version__, "python": " or ".join(pythons), "systems": " or ".join(systems)}
    # Notepad of older Windows needs its own line ends.
    (folder / "READ_ME.txt").write_text(READ_ME.format(**words), encoding="utf-8", newline="\r\n")


def _own_wheel(beside: Path) -> Wheel:
    from trimkit.cli.wheels import build_wheel, packed_again

    into = beside / "own"
    into.mkdir()
    root = Path(trimkit.__file__).resolve().parents[1]
    if (root / "pyproject.toml").is_file():  # a checkout
        return build_wheel(root, into)
    try:
        return packed_again(distribution("trimkit"), into)
    except PackageNotFoundError:
        raise BenchError(
            "this trimkit was copied here, not installed",
            "a checkout, or an installation with pip",
            "install it as the README says, and try again",
        ) from None


def _megabytes(folder: Path) -> str:
    return f"{sum(path.stat().st_size for path in folder.rglob('*') if path.is_file()) / 1e6:.0f}"
