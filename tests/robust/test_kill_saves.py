"""A process that is killed while it saves loses nothing: a few kills here, a thousand by ``kill_saves.py``."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).with_name("kill_saves.py")


def killed(*words):
    return subprocess.run([sys.executable, SCRIPT, *map(str, words)], capture_output=True, text=True, check=False)


@pytest.mark.parametrize("seed", [11, *(pytest.param(seed, marks=pytest.mark.nightly) for seed in (12, 13))])
def test_a_killed_save_leaves_the_old_file_or_the_new_one(seed):
    done = killed("--kills", 20, "--seed", seed)
    assert done.returncode == 0, done.stderr
    kills, during = map(int, re.match(r"(\d+) kills, (\d+) during a save", done.stdout).groups())
    assert kills == 20
    assert during >= 10, "too few kills hit a save to say anything"


def test_a_save_that_tears_the_file_is_caught():
    done = killed("--kills", 60, "--seed", 11, "--in-place")
    assert done.returncode == 1
    assert re.search(r"AssertionError: seed 11, kill \d+ .*(neither the old nor the new text|is gone)", done.stderr)
