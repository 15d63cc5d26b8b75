"""A process that is killed while it saves loses nothing: a few kills here, a thousand by ``kill_saves.py``."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).with_name("kill_saves.py")


def killed(*words):
    return subprocess.run([sys.executable, SCRIPT, *map(str, words)], capture_output=True, text=True, check=False)


@pytest.mark.parametrize(
    ("kills", "seed"), [(24, 11), *(pytest.param(500, seed, marks=pytest.mark.nightly) for seed in (12, 13))]
)
def test_a_killed_save_leaves_the_old_file_or_the_new_one(kills, seed):
    done = killed("--kills", kills, "--seed", seed)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(f"{kills} kills, ")
    during = int(re.search(r"(\d+) during a save", done.stdout)[1])
    assert during >= kills / 2, "too few kills hit a save to say anything"


@pytest.mark.parametrize(
    "kind", ["files of the rack", *(pytest.param(kind, marks=pytest.mark.nightly) for kind in ("tables", "templates"))]
)
def test_several_files_killed_before_any_step_are_all_old_or_all_new_once_the_next_writer_was_there(kind):
    done = killed("--every-step", "--only", kind)
    assert done.returncode == 0, done.stderr
    assert int(re.search(r"(\d+) between two moves", done.stdout)[1]) >= 6


@pytest.mark.parametrize("kind", ["order", "files of the rack"])
def test_a_save_that_tears_the_file_is_caught(kind):
    done = killed("--kills", 60, "--seed", 11, "--in-place", "--only", kind)
    assert done.returncode == 1
    assert re.search(r"AssertionError: seed 11, kill \d+ .*(neither old nor new|is gone|nothing shows it)", done.stderr)
