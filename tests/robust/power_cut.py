"""Cut the power while a process saves: what it saves is then the old one or the new one, whole, and stays.

``python tests/robust/power_cut.py [--cuts 1000] [--seed 1] [--only WORDS]`` needs Linux, root, ext4, loop devices and
FUSE; it prints one line of counts, or the first case that fails. Ends with 77 where the system does not allow it, and
says what is missing.

A process saves all versions of each kind of file (``saves.py``) on an ext4 disk that notes every write and every flush
(``logged_disk.py``). Then the power is cut at random moments of what was noted: all that was written before the last
flush is there; of what came after it each write is there, or not, or torn between two sectors. The disk is mounted
again, the journal replayed, and the files are looked at: each must be that of the last save that had returned, or of
the one that had begun; of several files all old or all new once the next writer was there. The next save must work.
What cannot be seen here: a disk that reports a flush and has not done it (``--lies`` shows what that does), and file
systems other than ext4.

``--careless in-place`` writes over the old file, ``--careless no-force`` leaves out fsync: the check has to catch both.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from functools import partial
from pathlib import Path

import logged_disk as disk
from kill_saves import MEMORY, STEPS, checked, in_place, whole
from saves import KINDS, Saved

SIZE_BYTES = 24 << 20
NOT_HERE = 77
"""Exit status where the system does not allow it."""
FOLDER = Path("bench", "work")
"""Where the files are saved on the disk; neither folder is there before the first save."""


def missing() -> list[str]:
    """What this system lacks for it."""
    needed = {
        "Linux": sys.platform == "linux",
        "root": hasattr(os, "geteuid") and os.geteuid() == 0,
        "FUSE (/dev/fuse)": os.path.exists("/dev/fuse"),
        "loop devices (/dev/loop-control)": os.path.exists("/dev/loop-control"),
        "mkfs.ext4 and losetup": bool(shutil.which("mkfs.ext4") and shutil.which("losetup")),
    }
    lacks = [what for what, there in needed.items() if not there]
    if not lacks:
        try:
            if os.fork() == 0:  # a container may have root and not be allowed to mount
                try:
                    disk.own_mounts()
                    os._exit(0)
                finally:
                    os._exit(1)
            if os.wait()[1] != 0:
                lacks.append("the right to mount (CAP_SYS_ADMIN)")
        except OSError as error:
            lacks.append(str(error))
    return lacks


def empty_disk(scratch: Path) -> bytes:
    """An empty ext4 file system."""
    file = scratch / "empty"
    file.touch()
    os.truncate(file, SIZE_BYTES)
    subprocess.run(["mkfs.ext4", "-q", "-F", "-b", "4096", "-E", "lazy_itable_init=0", file], check=True)
    return file.read_bytes()


def force_at_random(place: Path) -> None:
    """Before one step in three, force a file of another program to the disk, and with it what ext4 has in hand."""
    other = os.open(place / "another program's file", os.O_CREAT | os.O_WRONLY)
    draw, force = random.Random(3), os.fsync

    def look(event: str, _values: tuple[object, ...]) -> None:
        if event in STEPS and draw.random() < 1 / 3:
            os.pwrite(other, draw.randbytes(100), 0)
            force(other)

    sys.addaudithook(look)


def saved_on_it(saved: Saved, place: Path, say: Callable[[str], None], *, force: bool) -> None:
    """Save all versions in a process of its own, as after a power cut no process is left; note beginning and end."""
    child = os.fork()
    if child == 0:
        status = 1
        try:
            force_at_random(place)
            if not force:
                os.fsync = lambda _: None
            for k in range(len(saved.versions)):
                say("begins")
                saved.save(place / FOLDER, k)
                say("done")
            status = 0
        finally:
            os._exit(status)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0, "the process that saves failed"


def one_cut(saved: Saved, found: bytearray, begun: int, done: int, scratch: Path) -> str:
    """Put the disk as it was found into a machine and look at the files; return where the cut hit."""
    file, place = scratch / "found", scratch / "again"
    file.write_bytes(found)
    place.mkdir(exist_ok=True)
    with disk.looped(file) as device:
        disk.mount(device, place, "ext4", "")
        try:
            (place / FOLDER).mkdir(parents=True, exist_ok=True)
            return whole(saved, place / FOLDER, done - 1, begun - 1, tidy=False)
        finally:
            disk.unmount(place)


def run(cuts: int, seed: int, kinds: list[Saved], options: str, *, force: bool, lies: bool) -> Counter[str]:
    """Cut that many times; return how many cuts hit where. AssertionError names the case that failed."""
    draw = random.Random(seed)
    counts: Counter[str] = Counter()
    with tempfile.TemporaryDirectory(dir=MEMORY if os.path.isdir(MEMORY) else None) as whole_scratch:
        empty = empty_disk(Path(whole_scratch))
        for which, saved in enumerate(kinds):
            scratch = Path(whole_scratch, str(which))
            scratch.mkdir()
            use = partial(saved_on_it, saved, force=force)
            events = disk.noted(empty, scratch, use, options)
            for number in range(which, cuts, len(kinds)):
                cut = disk.random_cut(events, draw, lies=lies)
                said = [each.text for each in events[: cut.seen] if isinstance(each, disk.Note)]
                found = disk.after(empty, events, cut, lies=lies)
                case = f"seed {seed}, cut {number} ({saved.what}, after {cut.seen} of {len(events)} events)"
                begun, done = said.count("begins"), said.count("done")
                counts[checked(case, lambda: one_cut(saved, found, begun, done, scratch))] += 1  # noqa: B023
    return counts


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cuts", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", help="kinds of save whose name has these words")
    parser.add_argument("--careless", choices=("in-place", "no-force"), help="save carelessly, to see it caught")
    parser.add_argument("--lies", action="store_true", help="the disk keeps nothing on being told to")
    parser.add_argument("--mounted", default="", help="options the disk is mounted with while it is saved to")
    chosen = parser.parse_args()
    if lacks := missing():
        print(f"not tried here: this system lacks {', '.join(lacks)}")
        return NOT_HERE
    disk.own_mounts()
    kinds = [make() for make in KINDS if chosen.only in make.__name__.replace("_", " ")]
    if chosen.careless == "in-place":
        kinds = [in_place(saved) for saved in kinds]
    start = time.perf_counter()
    force = chosen.careless != "no-force"
    counts = run(chosen.cuts, chosen.seed, kinds, chosen.mounted, force=force, lies=chosen.lies)
    listed = ", ".join(f"{count} {where}" for where, count in counts.most_common())
    print(f"{counts.total()} power cuts, every file whole and kept, every next save worked: {listed}")
    print(f"{len(kinds)} kinds of save, seed {chosen.seed}, {time.perf_counter() - start:.1f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
