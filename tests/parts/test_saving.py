"""Saves: whole or not at all, one writer at a time, and every refusal of the system as a sentence."""

import os
import signal
import subprocess
import sys
import time

import pytest

from trimkit.parts.errors import SaveError
from trimkit.parts.saving import LEFTOVER, LOCK, LONGEST_NAME, checked_name, one_writer, save_text, save_texts


def test_what_is_saved_is_read_and_nothing_else_is_left(tmp_path):
    path = tmp_path / "a folder with spaces" / "café ½.txt"
    assert save_text(path, "line\nπ\n") == path
    assert path.read_bytes() == "line\nπ\n".encode()
    assert [each.name for each in path.parent.iterdir()] == ["café ½.txt"]


def test_a_file_that_is_there_stays_unless_it_may_be_replaced(tmp_path):
    path = save_text(tmp_path / "a", "old")
    with pytest.raises(SaveError, match="is there already"):
        save_text(path, "new")
    assert path.read_text() == "old"
    save_text(path, "new", replace=True)
    assert path.read_text() == "new"
    assert [each.name for each in tmp_path.iterdir()] == ["a"]


def test_a_saved_file_has_the_rights_any_new_file_has(tmp_path):
    (tmp_path / "plain").write_text("x")
    assert save_text(tmp_path / "a", "x").stat().st_mode == (tmp_path / "plain").stat().st_mode


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda folder: folder / ("n" * 300), "the name is too long"),
        (lambda folder: folder / "null\0in it", "null character"),
        (lambda folder: folder / "file" / "below", "file, not a folder"),
        (lambda folder: folder / "folder", "a folder has this name"),
    ],
)
def test_a_path_that_cannot_be_is_told(tmp_path, make, sentence):
    (tmp_path / "file").write_text("x")
    (tmp_path / "folder").mkdir()
    with pytest.raises(SaveError, match=sentence) as caught:
        save_text(make(tmp_path), "text", replace=True)
    assert caught.value.next_step
    assert {each.name for each in tmp_path.iterdir()} == {"file", "folder"}


def test_half_a_character_is_told(tmp_path):
    with pytest.raises(SaveError, match="half of a surrogate pair"):
        save_text(tmp_path / "a", "x\ud800")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    "name",
    [
        "",
        " ",
        " a",
        "a ",
        ".",
        "..",
        ".a",
        "-a",
        "a.",
        "a/b",
        "a\\b",
        "c:a",
        "a*",
        "a?",
        'a"',
        "a<",
        "a>",
        "a|",
        "a\n",
        "a\0",
    ],
)
def test_a_name_that_some_disk_or_shell_takes_for_something_else_is_refused(name):
    with pytest.raises(SaveError, match="cannot be used") as refusal:
        checked_name(name)
    assert refusal.value.allowed
    assert refusal.value.next_step


def test_a_name_has_an_upper_length_in_bytes():
    assert checked_name("é" * (LONGEST_NAME // 2)) == "é" * (LONGEST_NAME // 2)
    with pytest.raises(SaveError, match="too long"):
        checked_name("é" * (LONGEST_NAME // 2) + "a")


@pytest.mark.parametrize("name", ["a", "évening 2", "client_07-a", "v1.2", "7½ in", "'tis (old)"])
def test_a_plain_name_is_taken_as_it_is(name):
    assert checked_name(name) == name


def at_each_fsync(monkeypatch, do):
    """Do something each time the system is asked to force a file to the disk, after it has."""
    force = os.fsync

    def spied(handle):
        force(handle)
        do(handle)

    monkeypatch.setattr(os, "fsync", spied)


def test_a_text_is_forced_to_the_disk_whole_before_it_gets_its_name_and_the_folder_after(tmp_path, monkeypatch):
    path, forced = tmp_path / "a", []
    at_each_fsync(
        monkeypatch,
        lambda handle: forced.append((os.fstat(handle).st_ino, os.fstat(handle).st_size, path.exists())),
    )
    save_text(path, "n" * 100_000)
    file, folder = path.stat(), tmp_path.stat()
    assert (file.st_ino, 100_000, False) in forced
    assert (folder.st_ino, True) in [(inode, named) for inode, _, named in forced]


def test_several_texts_are_each_forced_to_the_disk(tmp_path, monkeypatch):
    forced = []
    at_each_fsync(monkeypatch, lambda handle: forced.append(os.fstat(handle).st_ino))
    paths = save_texts(tmp_path, {"a": "one", "b": "two"})
    assert {path.stat().st_ino for path in paths} < set(forced)


def test_what_is_needed_to_take_several_texts_back_is_on_the_disk_before_the_first_move(tmp_path, monkeypatch):
    (tmp_path / "a").write_text("old a")
    forced = []

    def note(handle):
        there = os.fstat(handle)
        kept = next(tmp_path.glob(f"{LEFTOVER}*/.kept"), None)
        named = {path.stat().st_ino: path.name for path in (*kept.iterdir(), kept, tmp_path)} if kept else {}
        forced.append((named.get(there.st_ino), there.st_size, (tmp_path / "a").read_text()))

    at_each_fsync(monkeypatch, note)
    save_texts(tmp_path, {"a": "new a", "b": "new b"}, replace=True)
    before = [(name, size) for name, size, text in forced if text == "old a"]
    assert ("a", len("old a")) in before
    assert {".kept", tmp_path.name} <= {name for name, _ in before}
    assert (tmp_path.name, "new a") in [(name, text) for name, _, text in forced]


def test_the_name_of_each_new_folder_is_forced_to_the_disk(tmp_path, monkeypatch):
    forced = []
    at_each_fsync(monkeypatch, lambda handle: forced.append(os.fstat(handle).st_ino))
    save_text(tmp_path / "one" / "two" / "a", "x")
    assert {folder.stat().st_ino for folder in (tmp_path, tmp_path / "one", tmp_path / "one" / "two")} <= set(forced)


def test_a_folder_of_one_of_the_names_leaves_every_file_as_it_was(tmp_path):
    (tmp_path / "a").write_text("old")
    (tmp_path / "b").mkdir()
    with pytest.raises(SaveError, match="a folder has this name") as refusal:
        save_texts(tmp_path, {"a": "new", "b": "new", "c": "new"}, replace=True)
    assert refusal.value.place.file == str(tmp_path / "b")
    assert (tmp_path / "a").read_text() == "old"
    assert {each.name for each in tmp_path.iterdir()} == {"a", "b"}


@pytest.mark.parametrize("replace", [False, True])
def test_what_was_moved_into_place_is_taken_back_if_a_later_text_cannot_be(tmp_path, monkeypatch, replace):
    """Another program makes a folder of the last name while that text is being written."""
    if replace:
        (tmp_path / "a").write_text("old")
    last = "the last text"

    def meanwhile(handle):
        if os.fstat(handle).st_size == len(last):
            (tmp_path / "c").mkdir()

    at_each_fsync(monkeypatch, meanwhile)
    with pytest.raises(SaveError, match=r"folder has this name|is there already"):
        save_texts(tmp_path, {"a": "new", "b": "new", "c": last}, replace=replace)
    assert {each.name for each in tmp_path.iterdir()} == ({"a", "c"} if replace else {"c"})
    if replace:
        assert (tmp_path / "a").read_text() == "old"


def run(code, *words, **more):
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, words)], capture_output=True, text=True, check=False, **more
    )


SAVE = """
import sys
from pathlib import Path
from trimkit.parts.saving import save_text
from trimkit.parts.errors import SaveError
{before}
try:
    save_text(Path(sys.argv[1]), "n" * 1_000_000, replace=True)
except SaveError as error:
    print(error)
    sys.exit(3)
"""


def test_a_file_larger_than_the_system_allows_leaves_the_old_one(tmp_path):
    """The same path through the code as a full disk: the write itself fails half-way."""
    path = save_text(tmp_path / "a", "old")
    limit = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, 50_000))"
    done = run(SAVE.format(before=limit), path)
    assert (done.returncode, done.stderr) == (3, "")
    assert "larger than this system allows" in done.stdout
    assert path.read_text() == "old"
    assert [each.name for each in tmp_path.iterdir()] == ["a"]


def test_a_full_disk_leaves_the_old_file(tmp_path):
    """A real disk of 256 KB, where this system lets one be mounted; elsewhere the size limit above stands for it."""
    disk = tmp_path / "small disk"
    disk.mkdir()
    mount = ["unshare", "-m", "sh", "-c"]
    script = (
        f'mount -t tmpfs -o size=256k tmpfs "{disk}" || exit 77; printf old > "{disk}/a"; '
        f'"{sys.executable}" -c \'{SAVE.format(before="")}\' "{disk}/a"; '
        f'echo "exit $?"; cat "{disk}/a"; echo; ls -A "{disk}"'
    )
    try:
        done = subprocess.run([*mount, script], capture_output=True, text=True, check=False)
    except FileNotFoundError:
        done = None
    if done is None or done.returncode == 77 or "unshare" in done.stderr:
        # No right to mount here: the limit on file size above is the check that always runs.
        assert not list(disk.iterdir())
        return
    lines = done.stdout.splitlines()
    assert "the disk is full" in lines[0]
    assert lines[1:] == ["exit 3", "old", "a"]


def test_a_folder_without_the_right_to_write_is_told(tmp_path):
    folder = tmp_path / "kept"
    folder.mkdir()
    (folder / "a").write_text("old")
    folder.chmod(0o555)
    # Root may write everywhere, so the save is made by a process that has given that right up.
    code = SAVE.format(before="import os; os.geteuid() or os.seteuid(65534)")
    done = run(code, "a", cwd=folder)
    folder.chmod(0o755)
    assert done.returncode == 3, done.stderr
    assert "may not be written to" in done.stdout
    assert (folder / "a").read_text() == "old"


HOLD = """
import sys, time
from pathlib import Path
from trimkit.parts.saving import one_writer
with one_writer(Path(sys.argv[1])):
    print("in", flush=True)
    time.sleep(60)
"""


def test_a_second_writer_is_refused_and_a_killed_one_locks_nobody_out(tmp_path):
    first = subprocess.Popen([sys.executable, "-c", HOLD, str(tmp_path)], stdout=subprocess.PIPE, text=True)
    try:
        assert first.stdout.readline() == "in\n"
        with pytest.raises(SaveError, match="another program is writing"), one_writer(tmp_path):
            pytest.fail("two writers at once")
        (tmp_path / f"{LEFTOVER}{first.pid}-1.tmp").write_text("half")
        (tmp_path / f"{LEFTOVER}{first.pid}-2").mkdir()  # of several texts that are saved together
        (tmp_path / f"{LEFTOVER}{first.pid}-2" / "one.csv").write_text("half")
    finally:
        first.send_signal(signal.SIGKILL)
        first.wait()
        first.stdout.close()
    with one_writer(tmp_path):
        assert [each.name for each in tmp_path.iterdir()] == [LOCK]
    assert not list(tmp_path.iterdir())


def test_what_another_process_is_still_writing_is_left_to_it(tmp_path):
    """A sheet is saved without the lock, perhaps into the folder of a record that is saved at the same moment."""
    at_work = tmp_path / f"{LEFTOVER}{os.getpid()}-1.tmp"
    at_work.write_text("half")
    with one_writer(tmp_path):
        assert at_work.exists()
    assert at_work.read_text() == "half"


def test_writers_that_take_turns_never_meet(tmp_path):
    """Four processes add one to a number 50 times each, under the lock; no addition is lost."""
    (tmp_path / "sum").write_text("0")
    code = (
        "import sys, time\nfrom pathlib import Path\nfrom trimkit.parts.saving import one_writer, save_text\n"
        "from trimkit.parts.errors import SaveError\nfolder = Path(sys.argv[1])\nleft = 50\nwhile left:\n"
        "    try:\n        with one_writer(folder):\n            number = int((folder / 'sum').read_text())\n"
        "            save_text(folder / 'sum', str(number + 1), replace=True)\n            left -= 1\n"
        "    except SaveError:\n        time.sleep(0.001)\n"
    )
    started = time.monotonic()
    writers = [subprocess.Popen([sys.executable, "-c", code, str(tmp_path)]) for _ in range(4)]
    assert [writer.wait(timeout=60) for writer in writers] == [0] * 4
    assert (tmp_path / "sum").read_text() == "200"
    assert time.monotonic() - started < 60
