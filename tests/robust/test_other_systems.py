"""What differs on other systems, as far as it can be tried on this one."""

import dataclasses
import os
import subprocess
import sys
import warnings
from pathlib import Path, PureWindowsPath

import pytest

import trimkit
from trimkit.club.order.order import open_order
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.errors import SaveError
from trimkit.parts.saving import checked_name, save_text, save_texts

ROOT = Path(trimkit.__file__).resolve().parents[1]
DEMO = data_folder() / "orders" / "evening_class.toml"
SHIPPED = [
    path.relative_to(ROOT)
    for top in ("trimkit", "data", "notebooks", "tests", "figures")
    for path in sorted((ROOT / top).rglob("*"))
    if "__pycache__" not in path.parts and ".ipynb_checkpoints" not in path.parts
]
DEVICES = ["con", "PRN", "aux", "nul", "COM1", "com9", "lpt1", "LPT9", "COM¹", "lpt³", "CONIN$", "conout$"]


def reserved(name):
    """Whether Python's own library takes a name for one of Windows' devices."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        return PureWindowsPath(name).is_reserved()


@pytest.mark.parametrize("name", [f"{device}{ending}" for device in DEVICES for ending in ("", ".html", ".a.csv")])
def test_a_name_that_windows_takes_for_a_device_is_refused(name):
    assert reserved(name)
    with pytest.raises(SaveError, match="Windows takes it for a device"):
        checked_name(name)


@pytest.mark.parametrize("name", ["console", "com10", "com", "auxiliary.csv", "nul-7", "a.con", "lpt0"])
def test_a_name_that_only_looks_like_a_device_is_taken(name):
    assert not reserved(name)
    assert checked_name(name) == name


def test_nothing_shipped_has_a_name_that_windows_refuses():
    bad = set('<>:"\\|?*')
    assert [path for path in SHIPPED if reserved(path) or bad & set(path.as_posix()) or path.name[-1] in " ."] == []


def test_nothing_shipped_differs_in_capitals_alone():
    folded = {path.as_posix().casefold() for path in SHIPPED}
    assert len(folded) == len(SHIPPED) > 300


def test_nothing_shipped_has_a_path_too_long_for_windows():
    """260 characters with the drive (Microsoft Learn, "Maximum Path Length Limitation"), half of them the folder's."""
    assert max(len(path.as_posix()) for path in SHIPPED) <= 130


def test_files_whose_names_differ_in_capitals_alone_are_refused_before_one_is_written(tmp_path):
    with pytest.raises(SaveError, match="differ in capitals alone"):
        save_texts(tmp_path / "new", {"Cuts.csv": "a", "cuts.csv": "b"})
    assert not (tmp_path / "new").exists()


def test_a_path_longer_than_windows_takes_by_default_is_saved_and_a_longer_one_than_linux_takes_is_a_sentence(tmp_path):
    deep = tmp_path.joinpath(*["a folder of some forty characters, or so"] * 8)
    assert save_text(deep / "cuts.csv", "a").read_text(encoding="utf-8") == "a"
    with pytest.raises(SaveError, match="the name is too long for this disk"):
        save_text(deep.joinpath(*["a folder of some forty characters, or so"] * 120) / "cuts.csv", "a")


def test_line_ends_of_windows_change_nothing_in_parts_and_orders(tmp_path):
    folders = {end: tmp_path / name / "parts" for end, name in ((b"\n", "lf"), (b"\r\n", "crlf"))}
    for end, folder in folders.items():
        folder.mkdir(parents=True)
        for path in [*data_folder().glob("*.csv"), DEMO]:
            (folder / path.name).write_bytes(path.read_bytes().replace(b"\r\n", b"\n").replace(b"\n", end))
    lf, crlf = (load_catalogue(folder) for folder in folders.values())
    assert crlf == dataclasses.replace(lf, folder=crlf.folder)
    orders = [open_order(folder / DEMO.name, folder) for folder in folders.values()]
    assert orders[1].clubs == orders[0].clubs
    assert len(orders[1].clubs) == 10


def shell(*words, cwd, **environment):
    return subprocess.run(
        [sys.executable, "-m", "trimkit", *map(str, words)],
        cwd=cwd,
        env=os.environ | {"PYTHONPATH": str(ROOT)} | environment,
        capture_output=True,
        check=False,
    )


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp1252", "cp932"])
def test_a_terminal_without_utf_8_gets_every_word_it_can_show(tmp_path, encoding):
    order = DEMO.read_text(encoding="utf-8").replace("client 07", "Jürgen Łuk ½")
    (tmp_path / "o.toml").write_text(order, encoding="utf-8")
    assert shell("record", "o.toml", cwd=tmp_path).returncode == 0
    done = shell("show", "o.record.json", cwd=tmp_path, PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (0, b"")
    assert "Jürgen Łuk ½".encode(encoding, "backslashreplace") in done.stdout


def test_a_folder_with_spaces_and_umlauts_goes_from_templates_to_sheet_and_record(tmp_path):
    home = tmp_path / "Jürgens Schläger, größer"
    home.mkdir()
    for words in (
        ["templates", "meine Teile"],
        ["sheet", "meine Teile/example_order.toml", "--own-parts", "meine Teile", "--to", "für Öl.html"],
        ["record", "meine Teile/example_order.toml", "--own-parts", "meine Teile"],
    ):
        done = shell(*words, cwd=home)
        assert done.returncode == 0, done.stderr.decode()
    assert (home / "für Öl.html").is_file()


def test_a_file_that_another_process_holds_locked_is_refused_in_words(tmp_path):
    code = "import sys, pathlib\nfrom trimkit.parts.saving import one_writer\n"
    code += "with one_writer(pathlib.Path(sys.argv[1])):\n print('in', flush=True)\n sys.stdin.readline()"
    command = [sys.executable, "-c", code, str(tmp_path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as holder:
        assert holder.stdout.readline() == "in\n"
        with pytest.raises(SaveError, match="another program is writing"):
            save_texts(tmp_path, {"cuts.csv": "a"})
        holder.communicate("out\n")
    assert save_texts(tmp_path, {"cuts.csv": "a"}) == (tmp_path / "cuts.csv",)
