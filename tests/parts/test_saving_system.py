"""Saves when the system is odd: rare errors, disks without links, others at work at the same moment."""

import errno
import fcntl
import os
import tempfile
from pathlib import Path

import pytest

from trimkit.parts.errors import SaveError
from trimkit.parts.saving import LEFTOVER, LOCK, cannot_save, one_writer, save_text, save_texts


def open_files():
    return len(os.listdir("/dev/fd"))


def names(folder):
    return {each.name for each in folder.iterdir()}


def at_fsync(monkeypatch, do):
    """Do something each time the system is asked to force a file to the disk, after it has."""
    force = os.fsync

    def spied(handle):
        force(handle)
        do(handle)

    monkeypatch.setattr(os, "fsync", spied)


def no_links(monkeypatch):
    """A disk that knows no links, as memory sticks have it."""

    def refused(name, path):
        raise OSError(errno.EPERM, "Operation not permitted", path)

    monkeypatch.setattr(os, "link", refused)


@pytest.mark.parametrize(
    ("error", "sentence", "step"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), "the disk is full", "free some space"),
        (OSError(errno.EROFS, "Read-only file system"), "the disk is read-only", "choose another folder"),
        (OSError(errno.EIO, "Input/output error"), "Input/output error", "choose another folder"),
        (OSError("nothing more is known"), "nothing more is known", "choose another folder"),
    ],
)
def test_what_the_system_refuses_is_told_with_the_place_and_a_next_step(error, sentence, step):
    told = cannot_save(Path("clubs") / "a.html", error)
    assert told.given == f"the file cannot be written: {sentence}"
    assert told.allowed == "a folder that can be written to"
    assert told.next_step.startswith(step)
    assert told.place.file == str(Path("clubs") / "a.html")


def test_folders_above_a_file_are_made(tmp_path):
    assert save_text(tmp_path / "client 07" / "2026" / "a", "x").read_text() == "x"
    paths = save_texts(tmp_path / "client 08" / "2026", {"b": "y", "a": "x"})
    assert [(path.name, path.read_text()) for path in paths] == [("b", "y"), ("a", "x")]
    assert names(tmp_path / "client 08" / "2026") == {"a", "b"}


def test_a_file_that_is_there_or_cannot_be_is_told_by_its_path(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(SaveError, match=f"{tmp_path / 'file'} is there already"):
        save_text(tmp_path / "file", "new")
    with pytest.raises(SaveError, match="a file, not a folder") as refusal:
        save_text(tmp_path / "file" / "below", "new")
    assert refusal.value.place.file == str(tmp_path / "file" / "below")


def test_no_file_stays_open(tmp_path):
    before = open_files()
    save_text(tmp_path / "a", "x")
    save_texts(tmp_path, {"b": "x", "c": "y"})
    with one_writer(tmp_path):
        held = open_files()
        with pytest.raises(SaveError, match="another program is writing"), one_writer(tmp_path):
            pass
        assert open_files() == held
    assert open_files() == before


def test_who_was_quicker_keeps_the_name(tmp_path, monkeypatch):
    path = tmp_path / "a"
    at_fsync(monkeypatch, lambda handle: path.write_text("theirs"))
    with pytest.raises(SaveError, match=f"{path} is there already") as refusal:
        save_text(path, "mine")
    assert "more of these files" not in str(refusal.value)
    assert path.read_text() == "theirs"
    assert names(tmp_path) == {"a"}


def test_a_disk_without_links_is_written_to_and_never_over_another_s_file(tmp_path, monkeypatch):
    no_links(monkeypatch)
    assert save_text(tmp_path / "a", "mine").read_text() == "mine"
    path = tmp_path / "b"
    at_fsync(monkeypatch, lambda handle: path.write_text("theirs"))
    with pytest.raises(SaveError, match=f"{path} is there already"):
        save_text(path, "mine")
    assert path.read_text() == "theirs"
    assert names(tmp_path) == {"a", "b"}


def test_half_a_character_is_told_with_its_number_and_place(tmp_path):
    with pytest.raises(SaveError, match="character 3 of the text") as refusal:
        save_text(tmp_path / "a", "xy\ud800z")
    assert refusal.value.place.file == str(tmp_path / "a")
    with pytest.raises(SaveError, match="character 1 of the text") as refusal:
        save_texts(tmp_path / "new", {"a": "x", "b": "\ud800"})
    assert refusal.value.place.file == str(tmp_path / "new" / "b")
    assert refusal.value.allowed
    assert refusal.value.next_step
    assert names(tmp_path) == set()


def test_files_that_are_there_are_counted(tmp_path):
    for name in "bcd":
        (tmp_path / name).write_text("old")
    with pytest.raises(SaveError, match=f"{tmp_path / 'b'} is there already, and 2 more of these files"):
        save_texts(tmp_path, {"a": "new", "b": "new", "c": "new", "d": "new"})
    with pytest.raises(SaveError, match=f"{tmp_path / 'b'} is there already, and 1 more of these files"):
        save_texts(tmp_path, {"a": "new", "b": "new", "c": "new"})
    with pytest.raises(SaveError, match=f"{tmp_path / 'b'} is there already") as refusal:
        save_texts(tmp_path, {"a": "new", "b": "new"})
    assert "more of these files" not in str(refusal.value)
    assert names(tmp_path) == {"b", "c", "d"}


@pytest.mark.parametrize("made_before", [False, True])
def test_a_folder_stays_only_if_it_was_there(tmp_path, made_before):
    folder = tmp_path / "set"
    if made_before:
        folder.mkdir()
    with pytest.raises(SaveError, match="half of a surrogate pair"):
        save_texts(folder, {"a": "x", "b": "\ud800"})
    assert folder.exists() == made_before
    with pytest.raises(SaveError, match="cannot be used"):
        save_texts(folder, {"../b": "x"})
    assert folder.exists() == made_before


def test_a_disk_that_fails_last_gets_everything_taken_back(tmp_path, monkeypatch):
    (tmp_path / "a").write_text("old")
    (tmp_path / "b").symlink_to(tmp_path / "a")
    moved = []

    def fails(handle):
        if os.fstat(handle).st_ino == tmp_path.stat().st_ino and "c" in names(tmp_path):
            moved.extend(names(tmp_path))
            raise OSError(errno.EIO, "Input/output error")

    at_fsync(monkeypatch, fails)
    with pytest.raises(SaveError, match="Input/output error") as refusal:
        save_texts(tmp_path, {"a": "new", "b": "new", "c": "new"}, replace=True)
    assert "c" in moved
    assert Path(refusal.value.place.file).parent == tmp_path
    assert names(tmp_path) == {"a", "b"}
    assert (tmp_path / "a").read_text() == "old"
    assert (tmp_path / "b").is_symlink()


def test_a_link_is_replaced_and_what_it_leads_to_stays(tmp_path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "a").symlink_to(tmp_path / "folder")
    (path,) = save_texts(tmp_path, {"a": "new"}, replace=True)
    assert path.read_text() == "new"
    assert not path.is_symlink()
    assert names(tmp_path) == {"a", "folder"}


def test_a_folder_that_cannot_be_is_told_by_its_place(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(SaveError, match="a file, not a folder") as refusal, one_writer(tmp_path / "file" / "below"):
        pass
    assert refusal.value.place.file == str(tmp_path / "file" / "below")


def test_a_second_writer_is_told_the_folder_and_what_to_do(tmp_path):
    with one_writer(tmp_path / "a" / "b"):
        with pytest.raises(SaveError, match="another program is writing") as refusal, one_writer(tmp_path / "a" / "b"):
            pass
        assert refusal.value.place.file == str(tmp_path / "a" / "b")
        assert refusal.value.next_step.startswith("wait")
        with pytest.raises(SaveError, match="another program is writing"):
            save_texts(tmp_path / "a" / "b", {"x": "x"})
    assert names(tmp_path / "a" / "b") == set()


def test_the_lock_has_the_rights_any_new_file_has(tmp_path):
    (tmp_path / "plain").write_text("x")
    with one_writer(tmp_path):
        assert (tmp_path / LOCK).stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_a_block_that_fails_gives_the_folder_back(tmp_path):
    with pytest.raises(ZeroDivisionError), one_writer(tmp_path):
        _ = 1 / 0
    with one_writer(tmp_path):
        assert names(tmp_path) == {LOCK}


@pytest.mark.parametrize("again", [False, True])
def test_a_lock_that_its_last_holder_took_away_is_taken_anew(tmp_path, monkeypatch, again):
    """The last holder removes the lock file after it was opened here; perhaps a third writer makes it again."""
    path, flock, turns = tmp_path / LOCK, fcntl.flock, []

    def late(handle, how):
        turns.append(handle)
        if len(turns) == 1:
            path.unlink()
            if again:
                path.write_text("")
        flock(handle, how)

    monkeypatch.setattr(fcntl, "flock", late)
    before = open_files()
    with one_writer(tmp_path):
        assert open_files() == before + 1
        with pytest.raises(SaveError, match="another program is writing"), one_writer(tmp_path):
            pass
    assert open_files() == before


# Linux numbers its processes up to 2^22.
@pytest.mark.parametrize("process", [f"{2**22 + 1}", f"{10**30}", "nobody", ""])
def test_what_no_living_process_can_be_writing_is_cleared_away(tmp_path, process):
    (tmp_path / f"{LEFTOVER}{process}-1.tmp").write_text("half")
    with one_writer(tmp_path):
        assert names(tmp_path) == {LOCK}


def test_several_texts_of_a_dead_writer_are_taken_back_though_another_process_has_its_number_now(tmp_path):
    """After a power cut the numbers begin anew; who writes several texts holds the lock."""
    beside = tmp_path / f"{LEFTOVER}{os.getpid()}-1"
    (beside / ".kept").mkdir(parents=True)
    (beside / ".kept" / "a").write_text("old")
    for name in ("a", "b"):
        (beside / name).write_text("new")
    os.link(beside / "a", tmp_path / "a")
    with one_writer(tmp_path):
        assert names(tmp_path) == {LOCK, "a"}
    assert (tmp_path / "a").read_text() == "old"


def test_a_link_among_the_leftovers_is_removed_and_not_followed(tmp_path):
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "a").write_text("x")
    (tmp_path / f"{LEFTOVER}x").symlink_to(tmp_path / "kept")
    with one_writer(tmp_path):
        assert names(tmp_path) == {LOCK, "kept"}
    assert (tmp_path / "kept" / "a").read_text() == "x"


def test_a_leftover_that_cannot_be_removed_stops_nobody(tmp_path, monkeypatch):
    (tmp_path / f"{LEFTOVER}x").write_text("half")

    def refused(path):
        raise PermissionError(errno.EPERM, "Operation not permitted", path)

    monkeypatch.setattr(Path, "unlink", refused)
    with one_writer(tmp_path):
        assert LOCK in names(tmp_path)


def test_another_user_s_save_is_left_to_it():
    """Asked after a process of somebody else, the system refuses to say: it lives. Only root can play two users."""
    with tempfile.TemporaryDirectory() as name:  # pytest's own folders are closed to other users
        folder = Path(name)
        folder.chmod(0o777)
        at_work = folder / f"{LEFTOVER}{os.getpid()}-1.tmp"
        at_work.write_text("half")
        child = os.fork()
        if not child:
            code = 1
            try:
                if os.geteuid() == 0:
                    os.setuid(65534)
                with one_writer(folder):
                    code = 0 if at_work.exists() else 2
            finally:
                os._exit(code)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
        with one_writer(folder):
            assert at_work.exists()


def test_what_another_program_puts_into_a_new_folder_stays(tmp_path, monkeypatch):
    folder = tmp_path / "set"
    at_fsync(monkeypatch, lambda handle: (folder / "theirs").write_text("x"))
    with pytest.raises(SaveError, match="half of a surrogate pair"):
        save_texts(folder, {"a": "x", "b": "\ud800"})
    assert names(folder) == {"theirs"}


def test_a_lock_that_somebody_takes_away_is_not_missed(tmp_path):
    before = open_files()
    with one_writer(tmp_path):
        (tmp_path / LOCK).unlink()
    assert open_files() == before


def test_a_save_that_is_broken_off_takes_everything_back(tmp_path, monkeypatch):
    (tmp_path / "a").write_text("old")

    def broken_off(handle):
        if os.fstat(handle).st_ino == tmp_path.stat().st_ino and (tmp_path / "b").exists():
            raise KeyboardInterrupt

    at_fsync(monkeypatch, broken_off)
    with pytest.raises(KeyboardInterrupt):
        save_texts(tmp_path, {"a": "new", "b": "new"}, replace=True)
    assert names(tmp_path) == {"a"}
    assert (tmp_path / "a").read_text() == "old"
