"""A class's stick: what it says when it cannot be packed or installed, what it holds, and that it installs offline."""

import json
import os
import shutil
import subprocess
import sys
import zipfile
from importlib.metadata import distribution

import pytest
from packaging.utils import parse_wheel_filename

from trimkit.cli import stick
from trimkit.cli.wheels import SYSTEMS, environment_of, missing, packed_again, read_wheel

HERE = "{}.{}".format(*sys.version_info)


@pytest.fixture
def wheel(tmp_path):
    """Writes a wheel that holds nothing but what it needs."""

    def written(name, version, *needs):
        path = tmp_path / f"{name}-{version}-py3-none-any.whl"
        metadata = [f"Name: {name}", f"Version: {version}", *(f"Requires-Dist: {need}" for need in needs)]
        with zipfile.ZipFile(path, "w") as archive:
            archive.writestr(f"{name}-{version}.dist-info/METADATA", "\n".join(metadata) + "\n\nText\n")
        return read_wheel(path)

    return written


def names(needs):
    return sorted(str(need) for need in needs)


def test_a_folder_that_is_there_is_left_alone(run, tmp_path):
    code, _, refused = run("stick", tmp_path)
    assert code == 1
    assert "is there already" in refused
    assert list(tmp_path.iterdir()) == []


def test_the_names_of_the_verb_are_the_systems_that_wheels_are_known_for():
    assert set(stick.NAMES) == set(SYSTEMS)


@pytest.mark.parametrize(
    ("system", "python", "expected"),
    [
        ("windows", "3.11", ["always", "only-nt", "only-win"]),
        ("linux", "3.11", ["always", "only-posix"]),
        ("macos", "3.12", ["always", "apple", "only-posix", "young"]),
        ("macos-intel", "3.13", ["always", "only-posix", "young"]),
    ],
)
def test_conditions_are_read_for_the_system_asked_for_and_not_for_this_one(wheel, system, python, expected):
    own = wheel(
        "own",
        "1",
        "always",
        'only-win; sys_platform == "win32"',
        'only-nt; os_name == "nt"',
        'only-posix; os_name != "nt"',
        'young; python_version >= "3.12"',
        'apple; platform_system == "Darwin" and platform_machine == "arm64"',
        'never; extra == "test"',
    )
    assert names(missing(own, {}, environment_of(SYSTEMS[system], python))) == expected


def test_what_a_package_leads_to_is_followed_with_its_extras_and_asked_for_once(wheel):
    own = wheel("own", "1", "a[x]>=2", "b")
    found = {"a": wheel("a", "2.1", 'c<3; extra == "x"', 'd; extra == "y"', "e>=1"), "b": wheel("b", "1", "c>=2", "e")}
    seen = environment_of(SYSTEMS["linux"], "3.11")
    assert names(missing(own, found, seen)) == ["c<3,>=2", "e>=1"]
    found |= {"c": wheel("c", "2.5"), "e": wheel("e", "0.9", "own")}
    assert names(missing(own, found, seen)) == ["e>=1"]
    found["e"] = wheel("e", "1.0", "a")
    assert missing(own, found, seen) == []


def test_an_installed_package_is_packed_again_into_a_wheel_that_pip_installs(tmp_path):
    packed = packed_again(distribution("packaging"), tmp_path)
    assert packed.version == distribution("packaging").version
    command = [sys.executable, "-m", "pip", "install", "-q", "--no-index", "--no-deps", "--target", str(tmp_path / "t")]
    subprocess.run([*command, str(packed.path)], check=True, capture_output=True)
    origin = distribution("packaging").locate_file("packaging")
    for path in origin.glob("*.py"):
        assert (tmp_path / "t" / "packaging" / path.name).read_bytes() == path.read_bytes()


def install(folder, *words, **environment):
    command = [sys.executable, str(folder / "install.py"), *map(str, words)]
    return subprocess.run(command, env=os.environ | environment, capture_output=True, text=True, check=False)


@pytest.fixture
def packed(tmp_path):
    """A stick with its words and no wheels, as the verb writes them."""

    def written(*, system=None, python=HERE):
        folder = tmp_path / "stick"
        (folder / "wheels").mkdir(parents=True)
        stick.write_words(folder, [system or stick.this_system()], [python])
        return folder

    return written


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"python": "3.10"}, f"this stick is for Python 3.10, and this is Python {HERE}. Do next: run this with"),
        ({"system": "windows"}, "this stick is for windows. Do next: ask for a stick for this system"),
    ],
)
@pytest.mark.skipif(sys.platform == "win32", reason="a stick for Windows fits there")
def test_a_stick_for_another_python_or_system_says_so_and_installs_nothing(packed, tmp_path, given, said):
    done = install(packed(**given), tmp_path / "class")
    assert done.returncode == 1
    assert said in done.stderr
    assert "pages/index.html" in done.stderr
    assert not (tmp_path / "class").exists()


def test_a_full_folder_is_left_alone(packed, tmp_path):
    (tmp_path / "class").mkdir()
    (tmp_path / "class" / "mine.txt").write_text("mine")
    done = install(packed(), tmp_path / "class")
    assert (done.returncode, "is there already" in done.stderr) == (1, True)
    assert [path.name for path in (tmp_path / "class").iterdir()] == ["mine.txt"]


def test_a_stick_that_has_lost_its_wheels_leaves_nothing_half_installed(packed, tmp_path):
    done = install(packed(), tmp_path / "class")
    assert done.returncode == 1
    assert "pip could not install from the stick" in done.stderr
    assert not (tmp_path / "class").exists()


def test_its_words_name_the_commands_and_end_their_lines_for_every_editor(packed):
    folder = packed(python="3.12")
    raw = (folder / "READ_ME.txt").read_bytes()
    assert raw.count(b"\r\n") == raw.count(b"\n") > 10
    assert "py install.py" in raw.decode()
    assert json.loads((folder / "stick.json").read_text(encoding="utf-8"))["python"] == ["3.12"]


@pytest.mark.nightly
def test_a_stick_installs_without_a_network_in_a_fresh_environment_and_makes_a_sheet(run, tmp_path):
    folder = tmp_path / "a stick, größer"
    code, said, refused = run("stick", folder, "--for", stick.this_system(), "--for", "windows")
    assert code == 0, refused
    assert f"{stick.this_system()}, Python {HERE}: " in said
    assert {"READ_ME.txt", "install.py", "pages", "stick.json", "wheels"} == {path.name for path in folder.iterdir()}
    assert (folder / "pages" / "index.html").is_file()
    wheels = [parse_wheel_filename(path.name) for path in (folder / "wheels").iterdir()]
    windows = {name for name, *_, tags in wheels if any("win" in tag.platform.split("_")[0] for tag in tags)}
    assert {"numpy", "pandas", "scipy", "matplotlib", "pywinpty"} <= windows
    nowhere = dict.fromkeys(("PIP_INDEX_URL", "http_proxy", "https_proxy", "ALL_PROXY"), "http://127.0.0.1:9/")
    alone = ["unshare", "--user", "--map-root-user", "--net"]  # no network at all, where the system allows that
    if shutil.which("unshare") is None or subprocess.run([*alone, "true"], check=False).returncode:
        alone = []
    home = tmp_path / "class"
    command = [*alone, sys.executable, str(folder / "install.py"), str(home)]
    clean = {name: text for name, text in os.environ.items() if not name.startswith(("PIP_", "PYTHON"))}
    done = subprocess.run(command, env=clean | nowhere, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    python = home / ("Scripts" if os.name == "nt" else "bin") / "python"

    def asked(*words):
        return subprocess.run(
            [*alone, python, *words], env=clean, cwd=tmp_path, capture_output=True, text=True, check=True
        )

    where = asked("-c", "from trimkit.parts.catalogue import data_folder; print(data_folder())").stdout.strip()
    assert where.startswith(str(home))
    asked("-m", "trimkit", "sheet", os.path.join(where, "orders", "evening_class.toml"))
    assert (tmp_path / "evening_class.html").is_file()
    asked("-m", "pip", "check")
    again = "from importlib.metadata import distribution as d; from pathlib import Path; import trimkit.cli.wheels as w"
    asked("-c", f"{again}; print(w.packed_again(d('trimkit'), Path('.')).path)")
    (own,) = (folder / "wheels").glob("trimkit-*.whl")
    (repacked,) = tmp_path.glob("trimkit-*.whl")
    assert sorted(zipfile.ZipFile(repacked).namelist()) == sorted(zipfile.ZipFile(own).namelist())
