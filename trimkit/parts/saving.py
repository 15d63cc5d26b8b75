"""Save a text, or several together, whole or not at all, and let one writer into a folder at a time.

A text is written beside its place, forced to the disk, and renamed into place: whoever reads the path, at whatever
moment, finds the old text or the new one. That holds for a process that is killed at any point, and on ext4 for a power
cut (``tests/robust/power_cut.py``), if the disk keeps what it says it has written; a save that has returned is kept.
"""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import shutil
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from trimkit.parts.errors import Place, SaveError

LEFTOVER = ".unfinished-"
LOCK = ".one-writer.lock"
_KEPT, _DONE, _MOVING = ".kept", ".done", ".moving"  # no text can have these names
LONGEST_NAME = 200
"""Most bytes in a file name without its ending: any disk takes this, with room for the ending; chosen here."""
_FORBIDDEN = frozenset('/\\:*?"<>|')
_DEVICES = frozenset(["CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$"]) | {
    f"{port}{number}" for port in ("COM", "LPT") for number in "123456789¹²³"
}
"""What Windows takes for a device, with any ending (Microsoft Learn, "Naming Files, Paths, and Namespaces")."""

_WHY = {
    errno.ENOSPC: ("the disk is full", "free some space, or choose another disk"),
    errno.EDQUOT: ("the disk quota is used up", "free some space, or choose another disk"),
    errno.EFBIG: ("the file would be larger than this system allows", "free some space, or choose another disk"),
    errno.EACCES: ("the folder may not be written to", "choose another folder, or ask for permission to write there"),
    errno.EPERM: ("the folder may not be written to", "choose another folder, or ask for permission to write there"),
    errno.EROFS: ("the disk is read-only", "choose another folder"),
    errno.ENAMETOOLONG: ("the name is too long for this disk", "choose a shorter name"),
    errno.ENOTDIR: ("a part of the path is a file, not a folder", "choose another folder"),
    errno.EEXIST: ("a part of the path is a file, not a folder", "choose another folder"),
    errno.EISDIR: ("a folder has this name", "choose another name"),
}


def cannot_save(path: Path, error: OSError) -> SaveError:
    """Return what the system refused as a sentence with a next step."""
    why, step = _WHY.get(error.errno or 0, (error.strerror or str(error), "choose another folder"))
    return SaveError(f"the file cannot be written: {why}", "a folder that can be written to", step, Place(str(path)))


def save_text(path: Path, text: str, *, replace: bool = False) -> Path:
    """Save a text as UTF-8 under a path and return the path; otherwise as :func:`save_bytes`.

    Raises SaveError as that does, and for half of a surrogate pair.
    """
    try:
        raw = text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise SaveError(
            f"character {error.start + 1} of the text is half of a surrogate pair, not a character",
            "text that can be written as UTF-8",
            "write the name or the reason again",
            Place(str(path)),
        ) from None
    return save_bytes(path, raw, replace=replace)


def save_bytes(path: Path, raw: bytes, *, replace: bool = False) -> Path:
    """Save bytes under a path and return the path: written, forced to the disk, then renamed into place.

    replace: whether a file of that name may be replaced. Raises SaveError if it may not, or if the system refuses
    (disk full, no permission to write, name too long); what was there stays as it was. What a killed writer left
    half-written in the folder is cleared away.
    """
    if "\0" in str(path):
        raise SaveError("the name holds a null character", "a name of letters and digits", "choose another name")
    try:
        if path.exists() and not replace:
            raise _is_there(path)
        _make_folder(path.parent)
        _clear_leftovers(path.parent, ".tmp")
        name = path.parent / f"{LEFTOVER}{os.getpid()}-{secrets.token_hex(8)}.tmp"
        try:
            with name.open("xb") as file:
                file.write(raw)
                file.flush()
                os.fsync(file.fileno())
            _into_place(name, path, replace)
        finally:
            with contextlib.suppress(OSError):
                os.unlink(name)
        _force(path.parent)
    except OSError as error:
        raise cannot_save(path, error) from error
    return path


def checked_name(name: str) -> str:
    """Return a file name, unchanged, if it stays in its folder and every disk takes it; raises SaveError otherwise."""
    bad = not name or name != name.strip() or name[0] in ".-" or name.endswith(".")
    if bad or _FORBIDDEN & set(name) or not name.isprintable():
        raise SaveError(
            f"the file name {name!r} cannot be used",
            'letters, digits, spaces and signs other than / \\ : * ? " < > |, no full stop or hyphen first, no '
            "full stop last; the file stays in its folder",
            "type a plain name such as evening-class",
        )
    if name.split(".")[0].rstrip().upper() in _DEVICES:
        raise SaveError(
            f"the file name {name!r} cannot be used: Windows takes it for a device",
            "a name other than con, prn, aux, nul, com1 to com9 and lpt1 to lpt9",
            "add a word to the name",
        )
    if (size := len(name.encode("utf-8", "replace"))) > LONGEST_NAME:
        raise SaveError(
            f"the file name is too long ({size} bytes)", f"at most {LONGEST_NAME} bytes", "choose a shorter name"
        )
    return name


def save_texts(folder: Path, texts: Mapping[str, str], *, replace: bool = False) -> tuple[Path, ...]:
    """Save several texts in one folder, all or none, and return their paths.

    texts: by file name. All are written in full beside their places before the first is moved into place. If one cannot
    be moved, those already moved are taken back, and a folder made for them is removed. replace: whether files of those
    names may be replaced. Raises SaveError as :func:`save_text` and :func:`checked_name`, if a folder has one of the
    names, and if another writer is at work in the folder.

    A process killed between two moves, or a power cut there, leaves some of the files new; the next writer in the
    folder takes these back, except those that somebody has changed in the meantime. On a disk without links they stay.
    """
    for name in texts:
        checked_name(name)
    if len({name.casefold() for name in texts}) < len(texts):
        raise SaveError(
            "two of the files would have names that differ in capitals alone",
            "names that are different on every disk",
            "change one of the names",
            Place(str(folder)),
        )
    new = not os.path.lexists(folder)
    try:
        with one_writer(folder):
            there = [name for name in texts if os.path.lexists(folder / name)]
            if there and not replace:
                raise _is_there(folder / there[0], len(there))
            for name in there:
                if (folder / name).is_dir() and not (folder / name).is_symlink():
                    raise cannot_save(folder / name, IsADirectoryError(errno.EISDIR, "a folder"))
            return _all_into_place(folder, texts, replace)
    except BaseException:
        if new:
            with contextlib.suppress(OSError):
                folder.rmdir()
        raise


def _all_into_place(folder: Path, texts: Mapping[str, str], replace: bool) -> tuple[Path, ...]:
    beside = folder / f"{LEFTOVER}{os.getpid()}-{secrets.token_hex(8)}"
    kept = beside / _KEPT
    placed: list[Path] = []
    path = folder
    try:
        kept.mkdir(parents=True)
        for name, text in texts.items():
            path = folder / name
            if os.path.lexists(path):
                shutil.copy2(path, kept / name, follow_symlinks=False)
                _force(kept / name)
            save_text(beside / name, text)
        _force(kept)
        _force(folder)  # from here on all is there that is needed to take the moves back
        for name in texts:
            path = folder / name
            _into_place(_linked(beside / name) if replace else beside / name, path, replace)
            placed.append(path)
        _force(folder)
    except BaseException as error:
        _take_back(placed, kept)
        if isinstance(error, OSError):
            raise cannot_save(path, error) from error
        if isinstance(error, SaveError) and error.place is not None:  # name the place it was meant for
            raise SaveError(error.given, error.allowed, error.next_step, Place(str(path))) from error
        raise
    else:
        with contextlib.suppress(OSError):
            kept.rename(beside / _DONE)  # from here on nothing is taken back
            _force(beside)
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return tuple(placed)


def _linked(name: Path) -> Path:
    """Return a second name of a text, to be moved: the first one then shows which texts are in place."""
    second = name.with_name(_MOVING)
    try:
        os.link(name, second)
    except OSError:  # a disk without links
        return name
    return second


def _take_back(placed: Iterable[Path], kept: Path) -> None:
    """Put back what was there before these files; remove those where nothing was."""
    for path in placed:
        if os.path.lexists(kept / path.name):
            os.replace(kept / path.name, path)
        else:
            path.unlink(missing_ok=True)


def _is_there(path: Path, count: int = 1) -> SaveError:
    more = f", and {count - 1} more of these files" if count > 1 else ""
    return SaveError(
        f"{path} is there already{more}",
        "a new file, or permission to replace the old one",
        "choose another name, or say that it may be replaced (--replace in the shell)",
    )


def _into_place(name: Path, path: Path, replace: bool) -> None:
    if replace:
        os.replace(name, path)
        return
    try:
        os.link(name, path)  # unlike a rename, it fails if somebody was quicker
    except FileExistsError:
        raise _is_there(path) from None
    except OSError:  # a disk without links
        if path.exists():
            raise _is_there(path) from None
        os.replace(name, path)


def _force(path: Path) -> None:
    """Force a file, or a folder's own entries, to the disk, where the system can do that; a link has nothing to."""
    if os.name == "nt" or path.is_symlink():
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _make_folder(folder: Path) -> None:
    """Make a folder and those above it that are not there, and force each new one's name to the disk."""
    if not folder.is_dir():
        _make_folder(folder.parent)
        folder.mkdir(exist_ok=True)
        with contextlib.suppress(PermissionError):  # a folder that one may write to and not read
            _force(folder.parent)


@contextlib.contextmanager
def one_writer(folder: Path) -> Iterator[None]:
    """Keep every other writer out of a folder while the block runs.

    The system itself drops the lock when a process ends, however it ends, so that a killed writer locks nobody out.
    What a killed writer left unfinished is cleared away or taken back (:func:`save_texts`). Raises SaveError if another
    writer is in, or if the folder cannot be written to.
    """
    try:
        _make_folder(folder)
        handle = _locked(folder / LOCK)
    except OSError as error:
        raise cannot_save(folder, error) from error
    try:
        _clear_leftovers(folder)
        yield
    finally:
        with contextlib.suppress(OSError):
            os.unlink(folder / LOCK)
        os.close(handle)


def _clear_leftovers(folder: Path, ending: str = "") -> None:
    """Clear away what killed writers left in a folder; of several texts only under its lock."""
    for leftover in folder.glob(f"{LEFTOVER}*{ending}"):
        if not (leftover.suffix and _writer_lives(leftover)):  # a writer of several would hold the lock
            _clear_away(leftover)


def _clear_away(leftover: Path) -> None:
    """Remove one text that was never finished, or the folder of several; take back those that are in place alone."""
    with contextlib.suppress(OSError):
        if leftover.is_dir() and not leftover.is_symlink():
            if (leftover / _KEPT).exists():
                _take_back(_alone_in_place(leftover), leftover / _KEPT)
                _force(leftover.parent)
            shutil.rmtree(leftover)
        else:
            leftover.unlink()


def _alone_in_place(beside: Path) -> list[Path]:
    """Return which of several texts are in their places, as they were written; none if all of them are."""
    last_move_ns = beside.stat().st_mtime_ns  # whatever was written later, somebody else wrote
    texts = [text for text in beside.iterdir() if text.name not in (_KEPT, _MOVING)]
    found = [
        path
        for text, path in ((text, beside.parent / text.name) for text in texts)
        if path.exists() and path.samefile(text) and text.stat().st_mtime_ns <= last_move_ns
    ]
    return found if len(found) < len(texts) else []


def _writer_lives(leftover: Path) -> bool:
    """Whether the process writing this file is still alive: one that is saving another file holds no lock."""
    process = leftover.name.removeprefix(LEFTOVER).split("-")[0]
    if os.name == "nt" or not process.isdigit():
        return False  # Windows lets nobody remove an open file
    try:
        os.kill(int(process), 0)  # signal 0 only asks
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def _locked(path: Path) -> int:
    """Return the handle of the lock file, locked; tries again if its last holder removed it in the meantime."""
    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
        try:
            if not _take(handle):
                raise SaveError(
                    "another program is writing to this folder",
                    "one writer at a time",
                    "wait until it has finished and save again; nothing is lost",
                    Place(str(path.parent)),
                )
            with contextlib.suppress(FileNotFoundError):
                if os.stat(path).st_ino == os.fstat(handle).st_ino:
                    return handle
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)


def _take(handle: int) -> bool:
    if sys.platform == "win32":
        import msvcrt

        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
    else:
        import fcntl

        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
    return True
