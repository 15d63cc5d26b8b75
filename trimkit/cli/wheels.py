"""Wheels for a computer that is not on the net: trimkit's own, and those of all packages it needs there.

``pip download`` takes wheels for another system, but reads the conditions of a dependency (``colorama; sys_platform ==
"win32"``) as this computer would. So pip fetches, and the conditions are read here, for the system that is asked for.
"""

from __future__ import annotations

import base64
import csv
import hashlib
import io
import re
import subprocess
import sys
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from email.parser import BytesHeaderParser
from importlib.metadata import Distribution
from pathlib import Path

from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name

from trimkit.parts.errors import BenchError

_MOST_ROUNDS = 30  # the tree of packages is seven deep; more rounds mean that two versions take turns
_MADE_BY_INSTALLING = frozenset({"INSTALLER", "RECORD", "REQUESTED", "direct_url.json"})


@dataclass(frozen=True)
class System:
    """A kind of computer: the wheels it takes, most wanted first, and what the conditions of a dependency see there."""

    platforms: tuple[str, ...]
    sys_platform: str
    platform_system: str
    platform_machine: str


def _linux(machine: str) -> System:
    wheels = (*(f"manylinux_2_{minor}_{machine}" for minor in range(28, 16, -1)), f"manylinux2014_{machine}")
    return System(wheels, "linux", "Linux", machine)


SYSTEMS: Mapping[str, System] = {
    "linux": _linux("x86_64"),
    "linux-arm": _linux("aarch64"),
    "windows": System(("win_amd64",), "win32", "Windows", "AMD64"),
    "macos": System(("macosx_12_0_arm64",), "darwin", "Darwin", "arm64"),
    "macos-intel": System(("macosx_12_0_x86_64",), "darwin", "Darwin", "x86_64"),
}
"""By the name that the verb takes. Linux with glibc 2.28 or newer (2018), macOS 12 or newer, 64 bits."""


@dataclass(frozen=True)
class Wheel:
    """A wheel file and what it says about itself."""

    path: Path
    name: str
    version: str
    python: SpecifierSet
    needs: tuple[Requirement, ...]


def read_wheel(path: Path) -> Wheel:
    """Return what a wheel's METADATA says (Core metadata specifications, packaging.python.org)."""
    with zipfile.ZipFile(path) as archive:
        metadata = next(name for name in archive.namelist() if re.fullmatch(r"[^/]+\.dist-info/METADATA", name))
        told = BytesHeaderParser().parsebytes(archive.read(metadata))
    needs = tuple(Requirement(text) for text in told.get_all("Requires-Dist", ()))
    name = canonicalize_name(told["Name"])
    return Wheel(path, name, told["Version"], SpecifierSet(told["Requires-Python"] or ""), needs)


def environment_of(system: System, python: str) -> dict[str, str]:
    """Return what the conditions of a dependency see on that system (Dependency specifiers, packaging.python.org)."""
    return {
        **{name: str(value) for name, value in default_environment().items()},
        "sys_platform": system.sys_platform,
        "platform_system": system.platform_system,
        "platform_machine": system.platform_machine,
        "os_name": "nt" if system.sys_platform == "win32" else "posix",
        "python_version": python,
        "python_full_version": f"{python}.0",
        "platform_python_implementation": "CPython",
        "implementation_name": "cpython",
    }


def missing(own: Wheel, found: Mapping[str, Wheel], environment: Mapping[str, str]) -> list[Requirement]:
    """Return what a package needs in that environment, it and all it leads to, that is not among the wheels found.

    found: by name. A package that several others need is asked for once, with all their versions and extras.
    """
    found = {own.name: own, **found}
    asked: dict[str, Requirement] = {}
    followed: set[tuple[str, str]] = set()
    queue = [(own, "")]
    while queue:
        wheel, extra = queue.pop()
        if (wheel.name, extra) in followed:
            continue
        followed.add((wheel.name, extra))
        for need in wheel.needs:
            if need.marker is not None and not need.marker.evaluate({**environment, "extra": extra}):
                continue
            name = canonicalize_name(need.name)
            so_far = asked.setdefault(name, Requirement(need.name))
            so_far.specifier &= need.specifier
            so_far.extras |= need.extras
            if name in found:
                queue += [(found[name], each) for each in ("", *sorted(need.extras))]
    return [
        need
        for name, need in asked.items()
        if name not in found or not need.specifier.contains(found[name].version, prereleases=True)
    ]


def fetch(own: Wheel, system: str, python: str, into: Path) -> list[Wheel]:
    """Fetch with pip the wheels of all that a wheel needs on a system of :data:`SYSTEMS` with this Python, as ``3.11``.

    Each is the newest that satisfies what is known when it is fetched. Raises BenchError if pip cannot fetch one.
    """
    environment = environment_of(SYSTEMS[system], python)
    found: dict[str, Wheel] = {}
    for turn in range(_MOST_ROUNDS):
        short = missing(own, found, environment)
        if not short:
            return list(found.values())
        folder = into / str(turn)
        _pip(
            ["download", "--no-deps", "--only-binary=:all:", "--dest", str(folder)]
            + ["--implementation", "cp", "--python-version", python]
            + [f"--platform={platform}" for platform in SYSTEMS[system].platforms]
            + [f"{need.name}{need.specifier}" for need in short],
            f"the packages for {system} and Python {python} could not be fetched",
        )
        found |= {wheel.name: wheel for wheel in map(read_wheel, folder.glob("*.whl"))}
    raise BenchError(
        f"the packages for {system} and Python {python} do not agree on their versions: {short[0]}",
        "versions that fit each other",
        "try another --python, or try again when that package has a new version",
    )


def build_wheel(checkout: Path, into: Path) -> Wheel:
    """Build the wheel of a checkout, as pip does. Raises BenchError if pip cannot."""
    _pip(["wheel", "--no-deps", "--wheel-dir", str(into), str(checkout)], "trimkit's own wheel could not be built")
    (path,) = into.glob("*.whl")
    return read_wheel(path)


def packed_again(installed: Distribution, into: Path) -> Wheel:
    """Return the wheel that a package was installed from, packed again from its files.

    Its form is that of the binary distribution format (packaging.python.org). What installing added is left out.

    Raises BenchError if it was installed in another way.
    """
    about = f"{canonicalize_name(installed.name).replace('-', '_')}-{installed.version}"
    tags = re.findall(r"^Tag: (\S+)", installed.read_text("WHEEL") or "", re.M)
    if tags != ["py3-none-any"] or installed.files is None:
        raise BenchError(
            f"{installed.name} was not installed from a wheel that fits every system",
            "an installation from a wheel or a checkout",
            "install it with pip, and try again",
        )
    path = into / f"{about}-py3-none-any.whl"
    record = io.StringIO()
    lines = csv.writer(record, lineterminator="\n")
    with zipfile.ZipFile(path, "x", zipfile.ZIP_DEFLATED) as archive:
        for file in installed.files:
            made = file.parent.name.endswith(".dist-info") and file.name in _MADE_BY_INSTALLING
            if made or ".." in file.parts or "__pycache__" in file.parts:
                continue
            raw = file.read_binary()
            digest = base64.urlsafe_b64encode(hashlib.sha256(raw).digest()).rstrip(b"=").decode()
            archive.writestr(file.as_posix(), raw)
            lines.writerow([file.as_posix(), f"sha256={digest}", len(raw)])
        lines.writerow([f"{about}.dist-info/RECORD", "", ""])
        archive.writestr(f"{about}.dist-info/RECORD", record.getvalue())
    return read_wheel(path)


def _pip(words: list[str], failed: str) -> None:
    command = [sys.executable, "-m", "pip", words[0], "--quiet", "--disable-pip-version-check", *words[1:]]
    done = subprocess.run(command, capture_output=True, text=True, errors="replace", check=False)
    if done.returncode:
        lines = [line.strip() for line in done.stderr.splitlines() if line.strip()]
        why = next((line for line in reversed(lines) if line.startswith("ERROR")), lines[-1] if lines else "no reason")
        raise BenchError(
            f"{failed}; pip says: {why}",
            "pip, a connection to the package index, and a package that has a wheel for that system and Python",
            "check the connection, or choose another --for or --python; nothing was written",
        )
