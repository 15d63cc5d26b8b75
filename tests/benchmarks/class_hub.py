"""A class on one JupyterHub: time to the first picture, how the sliders keep up, what it takes, what it withstands.

    python tests/benchmarks/class_hub.py --proxy NODE_MODULES/.bin [--sizes 5 10 25] [--screens 3] [--seconds 90]
        [--trials] [--beforehand]

Runs hub/jupyterhub_config.py, the recipe that the instructor's plan quotes, as root on Linux: accounts student01 ...
are made with ``useradd`` and deleted afterwards. For each size all students log in within ten seconds, open lesson 02,
and then move its sliders in bursts with pauses. ``--screens`` of them are real Chromiums, the others speak the same
protocols without drawing. Everything runs on this one machine, on 127.0.0.1; clients and browsers, which a room has on
its students' own laptops, take their share of its processor and are counted apart.

``--beforehand``: the instructor has started all servers before the students log in. ``--trials`` adds hub/trials.py.
``--measure no`` runs them alone. Needs ``jupyterhub`` beside trimkit, ``configurable-http-proxy`` from npm, Chromium.
"""

import argparse
import json
import os
import platform
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from importlib.metadata import version
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "hub"))
import room
import trials

HERE = Path(__file__).parent / "hub"
ARRIVE_S = 10
HEAD = (
    "students",
    "server up s",
    "first picture s",
    "key to frame ms",
    "on screens ms",
    "MiB a student",
    "GiB",
    "cores",
)


class Seat:
    """A student's client, a process of its own that takes a command a line."""

    def __init__(self, script, name, password, *more):
        command = [sys.executable, str(HERE / script), room.ADDRESS, name, password, *more]
        self.screen = script == "screen.py"
        self.process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def tell(self, command):
        self.process.stdin.write(command + "\n")
        self.process.stdin.flush()

    def answer(self):
        line = self.process.stdout.readline()
        return json.loads(line) if line else {"error": "the client ended"}

    def leave(self):
        self.process.stdin.close()
        self.process.wait(60)


def fetched_files(passwords, scratch):
    """Paths that a browser fetches to show the lesson, seen in a real one; written to a file for the others."""
    name = next(iter(passwords))
    command = [sys.executable, str(HERE / "screen.py"), room.ADDRESS, name, passwords[name], "--files"]
    said = subprocess.run(command, stdout=subprocess.PIPE, text=True, timeout=600, check=True).stdout
    path = scratch / "files.txt"
    path.write_text(said, encoding="utf-8")
    return path


def spread(values):
    """Median and the value that 95 of 100 do not exceed."""
    ranked = sorted(values)
    return f"{statistics.median(ranked):.0f} / {ranked[round(0.95 * (len(ranked) - 1))]:.0f}" if ranked else "–"


def lesson_with(passwords, count, given, process, files):
    """One class: returns its row of the table, and what was seen beside it."""
    students = room.names(count)
    screens = students[: min(given.screens, count)]
    if given.beforehand:
        trials.start_all(passwords, students)
    seats = [
        Seat(
            "screen.py" if name in screens else "student.py",
            name,
            passwords[name],
            *([] if name in screens else [files]),
        )
        for name in students
    ]
    failed = [answer for seat in seats if (answer := seat.answer()) != "ready"]
    meter = room.Meter(process, students, [seat.process.pid for seat in seats])
    meter.begin()
    for seat in seats:
        seat.tell("open")
        time.sleep(ARRIVE_S / count)
    opened = [seat.answer() for seat in seats]
    failed += [each for each in opened if "error" in each]
    opening = meter.end()
    time.sleep(15)  # frames of the neighborhood are made
    meter.begin()
    for number, seat in enumerate(seats):
        seat.tell(f"use {given.seconds} {number}")
    used = [seat.answer() for seat in seats]
    failed += [each for each in used if "error" in each]
    moving = meter.end()
    each_mib = [sum(map(room.pss_mib, room.of_user(name))) for name in students]
    beside_mib = sum(map(room.pss_mib, room.family(process, "root")))
    for seat in seats:
        seat.leave()
    moves = [
        wait
        for seat, waits in zip(seats, used, strict=True)
        if not seat.screen and "error" not in waits
        for wait in waits
    ]
    keys = [
        wait for seat, waits in zip(seats, used, strict=True) if seat.screen and "error" not in waits for wait in waits
    ]
    missed = [wait for wait in moves if wait]
    fine = [each for each in opened if "error" not in each]
    row = (
        count,
        spread(each["up_s"] for each in fine),
        spread(each["picture_s"] for each in fine),
        spread(moves),
        spread(keys),
        f"{statistics.median(each_mib):.0f}",
        f"{(sum(each_mib) + beside_mib) / 1024:.1f}",
        f"{opening['students'] + opening['hub']:.2f}, {moving['students'] + moving['hub']:.2f}",
    )
    notes = [f"{len(moves)} moves, {len(missed)} of them asked for: {spread(missed)} ms; {len(keys)} keys on screens"]
    for what, cores in (("opening", opening), ("moving", moving)):
        shares = ", ".join(f"{who} {cores[who]:.2f}" for who in ("students", "hub", "clients", "machine"))
        notes.append(f"{what}, {cores['took']:.0f} s, cores: {shares}")
    work = opening["took"] * opening["students"] / count
    notes.append(f"{work:.1f} s of a core for each student until all had opened; hub and proxy {beside_mib:.0f} MiB")
    figures = (
        ("first picture, median", [each["picture_s"] for each in fine], "s"),
        ("key on a screen, median", keys, "ms"),
        ("memory of a student, median", each_mib, "MiB"),
    )
    notes += [
        f"figure hub of {count}, {what} {statistics.median(got):.1f} {unit}" for what, got, unit in figures if got
    ]
    return row, notes + [f"FAILED: {each}" for each in failed]


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--proxy", type=Path, required=True, help="folder of the command configurable-http-proxy")
    parser.add_argument("--sizes", type=int, nargs="+", default=[5, 10, 25])
    parser.add_argument("--screens", type=int, default=3)
    parser.add_argument("--seconds", type=float, default=90, help="how long the sliders are moved")
    parser.add_argument("--beforehand", action="store_true")
    parser.add_argument("--trials", action="store_true")
    parser.add_argument("--measure", choices=("yes", "no"), default="yes")
    given = parser.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that the accounts are deleted then too
    packages = ", ".join(
        f"{name} {version(name)}" for name in ("jupyterhub", "jupyterlab", "jupyter-server", "ipykernel")
    )
    machine = f"{os.cpu_count()} cores, {platform.system()} {platform.machine()}, Python {platform.python_version()}"
    print(f"{machine}, {packages}")
    sizes = given.sizes if given.measure == "yes" else []
    with tempfile.TemporaryDirectory() as folder, room.accounts(max([*sizes, 5])) as passwords:
        scratch = Path(folder)
        files = None
        for number, count in enumerate(sizes):
            with room.hub(given.proxy.resolve(), scratch) as process:
                files = files or str(fetched_files(passwords, scratch))
                if not number:
                    print(f"a page fetches {len(Path(files).read_text().split())} files")
                    print(f"| {' | '.join(HEAD)} |\n|{' --- |' * len(HEAD)}")
                trials.stop_all(passwords)
                row, notes = lesson_with(passwords, count, given, process, files)
                print(f"| {' | '.join(map(str, row))} |", *notes, sep="\n", flush=True)
        if given.trials:
            trials.run(passwords, given.proxy.resolve(), scratch)


if __name__ == "__main__":
    main()
