"""A disk that notes in which order it is written to and forced, so that any moment of a power cut can be made again.

A process serves one file over FUSE (the kernel's own protocol, ``linux/fuse.h``); a loop device over that file is the
disk. The kernel passes on every write of the file system and every flush of the disk's cache, and the process notes
them. What is written to ``note`` beside the disk is noted between them. Linux and root only.
"""

from __future__ import annotations

import ctypes
import os
import pickle
import random
import signal
import struct
import subprocess
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

SECTOR = 512
LIBC = ctypes.CDLL(None, use_errno=True)
CLONE_NEWNS, MS_REC, MS_PRIVATE, PR_SET_PDEATHSIG = 0x20000, 0x4000, 0x40000, 1
ROOT, DISK, NOTE = 1, 2, 3
NAMES = {b"disk": DISK, b"note": NOTE}
MOST_WRITTEN = 1 << 20
LOOKUP, FORGET, GETATTR, SETATTR, OPEN, READ, WRITE, STATFS, RELEASE, FSYNC, FLUSH, INIT = (
    *(1, 2, 3, 4, 14, 15, 16, 17),
    *(18, 20, 25, 26),
)
OPENDIR, RELEASEDIR, INTERRUPT, DESTROY, FORGET_MANY = 27, 29, 36, 38, 42
BIG_WRITES, MAX_PAGES = 1 << 5, 1 << 22
ENOENT, ENOSYS = 2, 38


@dataclass(frozen=True)
class Write:
    """Bytes written at an offset."""

    at: int
    raw: bytes


@dataclass(frozen=True)
class Flush:
    """The disk was told to keep what it has; when it answers, all that was written before is safe."""


@dataclass(frozen=True)
class Note:
    """What the process that uses the disk said at this point."""

    text: str


Event = Write | Flush | Note


def called(name: str, *values: object) -> None:
    """Call the C library; raises OSError with the system's reason."""
    if getattr(LIBC, name)(*values) != 0:
        raise OSError(ctypes.get_errno(), f"{name}: {os.strerror(ctypes.get_errno())}")


def own_mounts() -> None:
    """From here on, what this process mounts is seen by it and its children alone, and gone when they are."""
    called("unshare", CLONE_NEWNS)
    called("mount", b"none", b"/", None, MS_REC | MS_PRIVATE, None)


def mount(device: str, place: Path, kind: str, options: str) -> None:
    called("mount", device.encode(), str(place).encode(), kind.encode(), 0, options.encode())


def unmount(place: Path) -> None:
    called("umount2", str(place).encode(), 0)


@contextmanager
def looped(file: Path) -> Iterator[str]:
    """A block device over a file."""
    found = subprocess.run(["losetup", "--find", "--show", file], capture_output=True, text=True, check=True)
    device = found.stdout.strip()
    try:
        yield device
    finally:
        subprocess.run(["losetup", "--detach", device], check=True)


def noted(image: bytes, scratch: Path, use: Callable[[Path, Callable[[str], None]], None], options: str) -> list[Event]:
    """Mount a disk that holds ``image`` (ext4), let ``use`` work on it in this process, and return all that it saw.

    use: is given the place it is mounted at, and what to call to leave a note. What the disk sees when it is unmounted
    afterwards does not count. scratch: an empty folder.
    """
    served, place, kept = scratch / "served", scratch / "mounted", scratch / "events"
    served.mkdir()
    place.mkdir()
    handle = os.open("/dev/fuse", os.O_RDWR)
    mount("logged", served, "fuse", f"fd={handle},rootmode=40000,user_id={os.getuid()},group_id={os.getgid()}")
    child = os.fork()
    if child == 0:
        status = 1
        LIBC.prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
        try:
            kept.write_bytes(pickle.dumps(_serve(handle, bytearray(image))))
            status = 0
        except BaseException:
            traceback.print_exc()
        finally:
            os._exit(status)
    os.close(handle)

    def say(text: str) -> None:
        with (served / "note").open("wb", buffering=0) as note:
            note.write(text.encode())

    with looped(served / "disk") as device:
        mount(device, place, "ext4", options)
        try:
            use(place, say)
            say("end")
        finally:
            unmount(place)
    unmount(served)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) == 0, "the process that serves the disk failed"
    events: list[Event] = pickle.loads(kept.read_bytes())  # written by our own child
    return events[: events.index(Note("end"))]


def _serve(handle: int, image: bytearray) -> list[Event]:
    """Answer the kernel until the file is unmounted; return what was written and forced, in order."""
    events: list[Event] = []

    def attributes(node: int) -> bytes:
        kind, size = (0o040700, 0) if node == ROOT else (0o100600, len(image) if node == DISK else 0)
        return struct.pack("<6Q10I", node, size, size // SECTOR, 0, 0, 0, 0, 0, 0, kind, 1, 0, 0, 0, 4096, 0)

    def answer(code: int, node: int, body: bytes) -> bytes | int:
        if code == INIT:
            _major, minor, ahead, _flags = struct.unpack_from("<4I", body)
            head = struct.pack(
                "<4I2H2I2H", 7, min(minor, 31), ahead, BIG_WRITES | MAX_PAGES, 12, 9, MOST_WRITTEN, 1, 256, 0
            )
            return head.ljust(64, b"\0")
        if code == LOOKUP:
            found = NAMES.get(body.rstrip(b"\0"))
            return ENOENT if found is None else struct.pack("<4Q2I", found, 0, 60, 60, 0, 0) + attributes(found)
        if code in (GETATTR, SETATTR):
            return struct.pack("<Q2I", 60, 0, 0) + attributes(node)
        if code in (OPEN, OPENDIR):
            return struct.pack("<Q2I", 0, int(node == NOTE), 0)  # notes pass by the page cache
        if code == READ:
            _, at, size = struct.unpack_from("<2QI", body)
            return bytes(image[at : at + size])
        if code == WRITE:
            _, at, size = struct.unpack_from("<2QI", body)
            raw = body[40 : 40 + size]
            if node == NOTE:
                events.append(Note(raw.decode()))
            else:
                events.append(Write(at, raw))
                image[at : at + size] = raw
            return struct.pack("<2I", size, 0)
        if code == FSYNC:
            events.append(Flush())
            return b""
        if code == STATFS:
            return struct.pack("<5Q10I", 0, 0, 0, 0, 0, 4096, 255, 4096, *[0] * 7)
        return b"" if code in (RELEASE, RELEASEDIR, FLUSH, DESTROY) else ENOSYS

    while True:
        try:
            asked = os.read(handle, MOST_WRITTEN + 4096)
        except OSError:  # unmounted
            return events
        _, code, unique, node = struct.unpack_from("<2I2Q", asked)
        if code in (FORGET, FORGET_MANY, INTERRUPT):
            continue
        given = answer(code, node, asked[40:])
        error, body = (-given, b"") if isinstance(given, int) else (0, given)
        os.write(handle, struct.pack("<IiQ", 16 + len(body), error, unique) + body)


@dataclass(frozen=True)
class Cut:
    """A moment of a power cut. seen: how many events the disk had seen; kept: of the writes that no flush had made
    safe, how each is found afterwards: how many bytes of it."""

    seen: int
    kept: tuple[int, ...]


def unsafe(events: list[Event], seen: int, *, lies: bool = False) -> list[Write]:
    """The writes that a power cut after so many events may lose. lies: the disk keeps nothing on being told to."""
    last = 0 if lies else max((at + 1 for at, each in enumerate(events[:seen]) if isinstance(each, Flush)), default=0)
    return [each for each in events[last:seen] if isinstance(each, Write)]


def random_cut(events: list[Event], draw: random.Random, *, lies: bool = False) -> Cut:
    """A cut at a random moment: each unsafe write is there, or not, or torn between two sectors; often all or none."""
    seen = draw.randrange(len(events) + 1)
    share = draw.choice((0.0, 1.0, 0.5, 0.9))
    kept = []
    for write in unsafe(events, seen, lies=lies):
        whole = len(write.raw) if draw.random() < share else 0
        torn = share == 0.5 and len(write.raw) > SECTOR and draw.random() < 0.1
        kept.append(draw.randrange(0, len(write.raw), SECTOR) if torn else whole)
    return Cut(seen, tuple(kept))


def after(image: bytes, events: list[Event], cut: Cut, *, lies: bool = False) -> bytearray:
    """What is on the disk when the power is back."""
    found = bytearray(image)
    loose = unsafe(events, cut.seen, lies=lies)
    written = [each for each in events[: cut.seen] if isinstance(each, Write)]
    sizes = [len(each.raw) for each in written[: len(written) - len(loose)]] + list(cut.kept)
    for write, size in zip(written, sizes, strict=True):
        found[write.at : write.at + size] = write.raw[:size]
    return found
