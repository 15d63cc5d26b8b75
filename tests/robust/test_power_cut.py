"""A power cut while something is saved loses nothing: `power_cut.py` on a real ext4 disk, by night and as root."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).with_name("power_cut.py")
NOT_HERE = 77

pytestmark = pytest.mark.nightly


def cut(*words):
    done = subprocess.run([sys.executable, SCRIPT, *map(str, words)], capture_output=True, text=True, check=False)
    if done.returncode == NOT_HERE:
        pytest.skip(done.stdout)
    return done


def test_a_power_cut_leaves_the_old_file_or_the_new_one_and_keeps_what_was_saved():
    done = cut("--cuts", 300, "--seed", 11)
    assert done.returncode == 0, done.stderr
    between = int(re.search(r"(\d+) between saves", done.stdout)[1])
    assert between < 150, "too few cuts hit a save to say anything"


@pytest.mark.parametrize(
    ("careless", "kind", "wrong"), [("in-place", "a record", "neither old nor new|is gone"), ("no-force", "order", "")]
)
def test_a_save_that_is_careless_is_caught(careless, kind, wrong):
    done = cut("--cuts", 100, "--seed", 11, "--careless", careless, "--only", kind)
    assert done.returncode == 1
    assert re.search(rf"AssertionError: seed 11, cut \d+ .*({wrong})", done.stderr)
