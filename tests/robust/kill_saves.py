"""Kill a process while it saves, again and again: what it saves is then the old one or the new one, whole.

``python tests/robust/kill_saves.py [--kills 1000] [--seed 1] [--only WORDS]`` kills at random moments and prints one
line of counts, or the first case that fails. ``--every-step`` kills before every single call that the save makes to
the system's files instead: between two moves, between a move and the tidying up. With ``--in-place`` everything is
written in place, piece by piece: the check has to catch that.

Each kill has a process of its own (a real fork, a real SIGKILL). It saves as the verbs of ``trimkit`` do
(``saves.py``), one save after another, and tells through a pipe when it begins one and when it has finished it. Each
file must then be as in the last finished save, or as in the one that had begun. Several files that are saved together
must all be old or all be new, at the latest when the next writer has been in the folder. The next save must work, and
leave nothing else behind.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from saves import KINDS, Saved

from trimkit.parts.errors import SaveError
from trimkit.parts.saving import LEFTOVER, LOCK, one_writer

MEMORY = "/dev/shm"
"""A disk in memory, where the system has one: many thousand small files in little time."""
STEPS = ("os.link", "os.rename", "os.remove", "os.rmdir", "os.mkdir", "os.listdir", "os.scandir", "open")
"""Audit events of Python for the calls before which ``--every-step`` kills."""


def in_place(saved: Saved) -> Saved:
    """The same, saved as a careless program would: the old text is thrown away before the new one is written."""

    def save(folder: Path, k: int) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        for name, raw in saved.versions[k].items():
            with (folder / name).open("wb") as file:
                for start in range(0, len(raw), 1000):
                    file.write(raw[start : start + 1000])
                    file.flush()
                    os.fsync(file.fileno())

    return replace(saved, save=save)


def save_until_killed(saved: Saved, folder: Path, first: int, pipe: int, step: int | None) -> None:
    """Save one version after another; tell of each when it begins (``b``) and when it is done (``d``).

    step: the call of the first save before which the process kills itself; None for none. Then it saves once.
    """
    if step is not None:
        left, within = step, str(folder)

        def count(event: str, values: tuple[object, ...]) -> None:
            nonlocal left
            if event in STEPS and (str(values[0]).startswith(within) or not os.path.isabs(str(values[0]))):
                if left == 0:
                    os.kill(os.getpid(), signal.SIGKILL)
                left -= 1

        sys.addaudithook(count)
    for number in range(first, len(saved.versions)):
        os.write(pipe, b"b")
        saved.save(folder, number)
        os.write(pipe, b"d")
        if step is not None:
            break
    signal.pause()


def begun_and_done(saved: Saved, folder: Path, first: int, wait_s: float, step: int | None) -> tuple[int, int]:
    """Start a process that saves, kill it, and return how many saves it had begun and how many it had finished."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            save_until_killed(saved, folder, first, writing, step)
        finally:
            os._exit(1)  # only a fault in a save leads here: the parent sees that the child was not killed
    os.close(writing)
    said = os.read(reading, 1)
    if step is not None:
        said += os.read(reading, 1)  # that it is done, or nothing: it has killed itself
    else:
        time.sleep(wait_s)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    while more := os.read(reading, 1000):
        said += more
    os.close(reading)
    assert os.WIFSIGNALED(status), "the process that saves ended by itself: a save failed"
    assert os.WTERMSIG(status) == signal.SIGKILL
    return said.count(b"b"), said.count(b"d")


def files(saved: Saved, folder: Path) -> dict[str, bytes]:
    """What is there of the files that are saved, by name."""
    names = {name for version in saved.versions for name in version}
    return {name: (folder / name).read_bytes() for name in names if (folder / name).exists()}


def one_kill(saved: Saved, folder: Path, first: int, wait_s: float = 0.0, step: int | None = None) -> str:
    """Kill once and check everything; return where the kill hit."""
    for path in folder.iterdir():
        path.unlink()
    if first:
        saved.save(folder, first - 1)
    begun, done = begun_and_done(saved, folder, first, wait_s, step)
    return whole(saved, folder, first + done - 1, first + begun - 1)


def whole(saved: Saved, folder: Path, old: int, new: int, *, tidy: bool = True) -> str:
    """Check what a save left that ended at any moment, and that the next one works; return how far it had come.

    old: the version that was saved last, -1 for none; new: the one whose save had begun, the same if none had.
    tidy: a finished save must have left nothing else behind.
    """
    versions = (*saved.versions, {})  # number -1: nothing is there yet
    found = files(saved, folder)
    for name in {*versions[old], *versions[new]}:
        either = (versions[old].get(name), versions[new].get(name))
        assert found.get(name) in either, f"{name} is gone" if name not in found else f"{name} is neither old nor new"
    mixed = found not in (versions[old], versions[new])
    assert not mixed or len(saved.versions[0]) > 1
    left = [each.name for each in folder.iterdir() if each.name not in found]
    written = any(name.startswith(LEFTOVER) for name in left)
    assert all(name == LOCK or name.startswith(LEFTOVER) for name in left), f"left behind: {left}"
    assert new > old or not left or not tidy, f"left behind by a finished save: {left}"
    assert not mixed or written, "some files are new and some old, and nothing shows it"
    where = (
        "between saves"
        if new == old
        else "between two moves"
        if mixed
        else "in place, not yet tidied"
        if found == versions[new]
        else "half-written"
        if written
        else "lock held"
        if LOCK in left
        else "before the lock"
    )
    if len(saved.versions[0]) > 1:
        with one_writer(folder):
            found = files(saved, folder)
        told = {name: "old" if found.get(name) == versions[old].get(name) else "new" for name in versions[new]}
        assert found in (versions[old], versions[new]), f"some files are new and some old: {told}; beside them: {left}"
    on_disk = old if found == versions[old] else new
    if found:
        saved.read(folder)
    following = min(on_disk + 1, len(saved.versions) - 1)
    try:
        saved.save(folder, following)
    except SaveError:
        assert saved.once, "the next save was refused"
        assert found, "the next save was refused, though nothing is there"
    assert files(saved, folder) == saved.versions[following], "the next save did not work"
    left = sorted({each.name for each in folder.iterdir()} - set(saved.versions[following]))
    assert not left, f"the next save left something behind: {left}"
    return where


def typical_s(saved: Saved, folder: Path) -> float:
    """Return how long a save takes here: the median of all versions."""
    times = []
    for number in range(len(saved.versions)):
        start = time.perf_counter()
        saved.save(folder, number)
        times.append(time.perf_counter() - start)
    return sorted(times)[len(times) // 2]


def checked(case: str, kill: Callable[[], str]) -> str:
    try:
        return kill()
    except Exception as error:
        raise AssertionError(f"{case}: {error}") from error


def run(kills: int, seed: int, kinds: tuple[Saved, ...]) -> Counter[str]:
    """Kill that many times at random and return how many kills hit where; AssertionError names the case that failed."""
    draw = random.Random(seed)
    counts: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as whole:
        folders = [Path(whole, str(number)) for number in range(len(kinds))]
        for folder in folders:
            folder.mkdir()
        save_s = [typical_s(saved, folder) for saved, folder in zip(kinds, folders, strict=True)]
        for number in range(kills):
            which = number % len(kinds)
            saved, folder = kinds[which], folders[which]
            first = draw.randrange(max(len(saved.versions) - 4, 1))
            wait_s = draw.uniform(0, 2 * save_s[which])
            case = f"seed {seed}, kill {number} ({saved.what}, from version {first}, {wait_s * 1e3:.3f} ms)"
            counts[checked(case, lambda: one_kill(saved, folder, first, wait_s))] += 1  # noqa: B023
    return counts


def every_step(kinds: tuple[Saved, ...]) -> Counter[str]:
    """Kill each kind of save before each of its steps, into an empty folder and over older files."""
    counts: Counter[str] = Counter()
    with tempfile.TemporaryDirectory(dir=MEMORY if os.path.isdir(MEMORY) else None) as folder:
        for saved in kinds:
            for first in range(1 if saved.once else 2):
                where, step = "", 0
                while where != "between saves":
                    case = f"step {step} ({saved.what}, from version {first})"
                    where = checked(case, lambda: one_kill(saved, Path(folder), first, step=step))  # noqa: B023
                    counts[where] += 1
                    step += 1
                assert step > 5, "the save has hardly a step: the kills do not see it"
    return counts


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", help="kinds of save whose name has these words")
    parser.add_argument("--every-step", action="store_true", help="kill before every step instead of at random")
    parser.add_argument("--in-place", action="store_true", help="save carelessly, to see it caught")
    chosen = parser.parse_args()
    kinds = tuple(make() for make in KINDS if chosen.only in make.__name__.replace("_", " "))
    if chosen.in_place:
        kinds = tuple(map(in_place, kinds))
    start = time.perf_counter()
    counts = every_step(kinds) if chosen.every_step else run(chosen.kills, chosen.seed, kinds)
    took_s = time.perf_counter() - start
    inside = counts.total() - counts["between saves"]
    listed = ", ".join(f"{count} {where}" for where, count in counts.most_common())
    print(f"{counts.total()} kills, {inside} during a save, every file whole, every next save worked: {listed}")
    print(f"{len(kinds)} kinds of save, {'every step' if chosen.every_step else f'seed {chosen.seed}'}, {took_s:.1f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
