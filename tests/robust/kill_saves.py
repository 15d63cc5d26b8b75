"""Kill a process while it saves, again and again: the file is then the old one or the new one, whole.

``python tests/robust/kill_saves.py [--kills 1000] [--seed 1]`` prints one line of counts, or the first case that fails.
With ``--in-place`` the file is written in place instead, piece by piece: the check has to catch that.

Each kill has a process of its own (a real fork, a real SIGKILL). It saves a record, as ``trimkit`` does, or an order,
one save after another, and tells through a pipe when it begins one and when it has finished it. After a random time it
is killed. The file must then hold the last finished save, or the one that had begun; and the next save must work, and
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
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from trimkit.club.order.file import order_toml
from trimkit.club.order.order import load_order, shipped_order
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record, revised
from trimkit.papers.record.file import record_text
from trimkit.papers.record.store import read_file, save_record
from trimkit.parts.saving import LEFTOVER, LOCK, one_writer, save_text

VERSIONS = 8
"""How many saves follow one another at most; each has another text, so that one is never taken for another."""


@dataclass(frozen=True)
class Saved:
    """What is saved: its file's name, the text of each version, how version k is saved, and how the file is read."""

    name: str
    texts: tuple[str, ...]
    save: Callable[[Path, int], object]
    read: Callable[[Path], object]


def a_record() -> Saved:
    """A record that grows by one revision with every save."""
    built = build_set(shipped_order("wood_pair"))
    at = datetime(2026, 1, 1, tzinfo=UTC)
    records = [first_record(built, at)]
    for number in range(1, VERSIONS):
        records.append(revised(records[-1], built, at + timedelta(days=number), reason=f"revision {number}"))
    texts = tuple(record_text(record) for record in records)
    return Saved("a.record.json", texts, lambda path, k: save_record(path, records[k]), read_file)


def an_order() -> Saved:
    """An order that is changed and saved in the place of the older one."""
    order = shipped_order()
    text = order_toml(order)
    texts = tuple(text.replace(order.title, f"version {number}") for number in range(VERSIONS))

    def save(path: Path, k: int) -> None:
        with one_writer(path.parent):
            save_text(path, texts[k], replace=True)

    return Saved("a.toml", texts, save, lambda path: load_order(path, order.catalogue))


def in_place(saved: Saved) -> Saved:
    """The same, saved as a careless program would: the old text is thrown away before the new one is written."""

    def save(path: Path, k: int) -> None:
        with path.open("w", encoding="utf-8") as file:
            for start in range(0, len(saved.texts[k]), 1000):
                file.write(saved.texts[k][start : start + 1000])
                file.flush()
                os.fsync(file.fileno())

    return replace(saved, save=save)


def save_until_killed(saved: Saved, path: Path, first: int, pipe: int) -> None:
    """Save one version after another; tell of each when it begins (``b``) and when it is done (``d``)."""
    for number in range(first, VERSIONS):
        os.write(pipe, b"b")
        saved.save(path, number)
        os.write(pipe, b"d")
    signal.pause()


def begun_and_done(saved: Saved, path: Path, first: int, wait_s: float) -> tuple[int, int]:
    """Start a process that saves, kill it, and return how many saves it had begun and how many it had finished."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            save_until_killed(saved, path, first, writing)
        finally:
            os._exit(1)  # only a fault in a save leads here: the parent sees that the child was not killed
    os.close(writing)
    said = os.read(reading, 1)
    time.sleep(wait_s)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    while more := os.read(reading, 1000):
        said += more
    os.close(reading)
    assert os.WIFSIGNALED(status), "the process that saves ended by itself: a save failed"
    assert os.WTERMSIG(status) == signal.SIGKILL
    return said.count(b"b"), said.count(b"d")


def one_kill(saved: Saved, path: Path, first: int, wait_s: float) -> str:
    """Kill once and check everything; return where the kill hit."""
    path.unlink(missing_ok=True)
    if first:
        saved.save(path, first - 1)
    begun, done = begun_and_done(saved, path, first, wait_s)
    old, new = first + done - 1, first + begun - 1
    if path.exists():
        found = path.read_text(encoding="utf-8")
        assert found in (saved.texts[new], saved.texts[old] if old >= 0 else None), "neither the old nor the new text"
        saved.read(path)
        on_disk = saved.texts.index(found)
    else:
        assert old < 0, "the file is gone"
        on_disk = -1
    left = [each.name for each in path.parent.iterdir() if each != path]
    written = any(name.startswith(LEFTOVER) for name in left)
    assert all(name == LOCK or name.startswith(LEFTOVER) for name in left), f"left behind: {left}"
    assert begun > done or not left, f"left behind by a finished save: {left}"
    where = (
        "between saves"
        if begun == done
        else "file in place, not yet tidied"
        if on_disk == new
        else "text half-way"
        if written
        else "lock held"
        if LOCK in left
        else "before the lock"
    )
    following = min(on_disk + 1, VERSIONS - 1)
    saved.save(path, following)
    assert path.read_text(encoding="utf-8") == saved.texts[following], "the next save did not work"
    assert [each.name for each in path.parent.iterdir()] == [path.name], "the next save left something behind"
    return where


def typical_s(saved: Saved, path: Path) -> float:
    """Return how long a save takes here: the median of all versions."""
    times = []
    for number in range(VERSIONS):
        start = time.perf_counter()
        saved.save(path, number)
        times.append(time.perf_counter() - start)
    return sorted(times)[VERSIONS // 2]


def run(kills: int, seed: int, kinds: tuple[Saved, ...]) -> Counter[str]:
    """Kill that many times and return how many kills hit where; raises AssertionError naming the case that failed."""
    draw = random.Random(seed)
    counts: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        paths = [Path(folder) / saved.name / saved.name for saved in kinds]
        for path in paths:
            path.parent.mkdir()
        save_s = [typical_s(saved, path) for saved, path in zip(kinds, paths, strict=True)]
        for number in range(kills):
            which = number % len(kinds)
            first, wait_s = draw.randrange(VERSIONS - 4), draw.uniform(0, 2 * save_s[which])
            try:
                counts[one_kill(kinds[which], paths[which], first, wait_s)] += 1
            except Exception as error:
                case = f"seed {seed}, kill {number} ({kinds[which].name}, from version {first}, {wait_s * 1e3:.3f} ms)"
                raise AssertionError(f"{case}: {error}") from error
    return counts


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--in-place", action="store_true", help="save carelessly, to see it caught")
    chosen = parser.parse_args()
    kinds = (a_record(), an_order())
    start = time.perf_counter()
    counts = run(chosen.kills, chosen.seed, tuple(map(in_place, kinds)) if chosen.in_place else kinds)
    took_s = time.perf_counter() - start
    inside = counts.total() - counts["between saves"]
    listed = ", ".join(f"{count} {where}" for where, count in counts.most_common())
    print(f"{counts.total()} kills, {inside} during a save, every file whole, every next save worked: {listed}")
    print(f"seed {chosen.seed}, {took_s:.1f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
