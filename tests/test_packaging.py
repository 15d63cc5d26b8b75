"""What a person installs: a wheel that carries its data and lessons, and a checkout that reads its own."""

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

import trimkit
from trimkit.cli.lessons import START
from trimkit.papers.templates import ORDER_FILE
from trimkit.parts.catalogue import data_folder
from trimkit.parts.rows import TABLES

ROOT = Path(trimkit.__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """A wheel built from the checkout, as ``pip`` builds it."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(folder), str(ROOT)]
    subprocess.run(command, check=True, capture_output=True, text=True)
    (found,) = folder.glob("trimkit-*.whl")
    return found


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    """A Python that has the wheel installed, and the libraries of this environment beside it."""
    folder = tmp_path_factory.mktemp("installed")
    venv.create(folder, with_pip=False)
    python = folder / ("Scripts" if os.name == "nt" else "bin") / "python"
    ask = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = Path(subprocess.run([python, "-c", ask], capture_output=True, text=True, check=True).stdout.strip())
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
    # The libraries come from here; only trimkit itself must be the wheel's.
    here = next(path for path in sys.path if path.endswith("site-packages"))
    (site / "libraries.pth").write_text(here + "\n", encoding="utf-8")
    return python, site


def test_the_wheel_carries_data_lessons_the_sheet_s_template_and_what_a_form_s_page_needs(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    for path in (ROOT / "data").rglob("*.*"):
        assert f"trimkit/_data/{path.relative_to(ROOT / 'data').as_posix()}" in names
    assert f"trimkit/_notebooks/{START}" in names
    templates = ("sheet", "sheet_client", "sheet_bench", "sheet_appendix")
    assert {f"trimkit/papers/{name}.html.j2" for name in templates} <= set(names)
    assert {"trimkit/study/form/form.js", "trimkit/study/form/form.css"} <= set(names)
    assert {f"trimkit/papers/example/{name}" for name in (*TABLES, ORDER_FILE)} <= set(names)
    assert not [name for name in names if "sheets/" in name or "checkpoint" in name]


def test_an_installed_wheel_finds_its_own_data_and_makes_a_sheet(installed, tmp_path):
    python, site = installed
    ask = "from trimkit.parts.catalogue import data_folder; print(data_folder())"
    found = subprocess.run([python, "-c", ask], cwd=tmp_path, capture_output=True, text=True, check=True).stdout.strip()
    assert Path(found) == site / "trimkit" / "_data"
    order = site / "trimkit" / "_data" / "orders" / "evening_class.toml"
    done = subprocess.run(
        [python, "-m", "trimkit", "sheet", str(order)], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "evening_class.html").is_file()


def test_an_installed_wheel_gives_the_reader_a_copy_of_the_lessons_and_never_writes_over_it(installed, tmp_path):
    python, _ = installed
    ask = "from trimkit.cli.lessons import notebooks_folder; print(notebooks_folder())"

    def asked():
        return Path(
            subprocess.run([python, "-c", ask], cwd=tmp_path, capture_output=True, text=True, check=True).stdout.strip()
        )

    folder = asked()
    assert folder.resolve() == (tmp_path / "trimkit-lessons").resolve()
    (folder / START).write_text("mine", encoding="utf-8")
    assert (asked() / START).read_text(encoding="utf-8") == "mine"


def test_a_checkout_reads_the_data_beside_the_package_whatever_else_is_installed():
    assert data_folder() == ROOT / "data"
