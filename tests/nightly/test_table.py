"""The night's table names what is worse than last time, and nothing else."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).with_name("table.py")


@pytest.fixture
def night(tmp_path):
    """Write a night's table of one part: its exit status and what it says."""

    def written(date, result="passed", seconds=100, said="figure page opens 0.50 s\n", machine="two cores"):
        (tmp_path / "parts.tsv").write_text(f"pages\t{result}\t{seconds}\n")
        (tmp_path / "pages.txt").write_text(f"before\n{said}after\n")
        words = [sys.executable, SCRIPT, tmp_path, date, machine]
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        assert done.stderr == ""
        return done.returncode, done.stdout

    return written


def test_the_first_night_has_nothing_to_be_worse_than(night, tmp_path):
    status, said = night("2026-01-01")
    assert status == 0
    assert "| pages | passed | 100 |" in said
    assert "| pages: page opens | 0.5 s |" in said
    assert json.loads((tmp_path / "table-2026-01-01.json").read_text())["machine"] == "two cores"
    assert (tmp_path / "table-2026-01-01.md").read_text() in said


@pytest.mark.parametrize(
    ("change", "worse"),
    [
        ({}, None),
        ({"result": "FAILED"}, "pages passed on 2026-01-01 and fails now"),
        ({"seconds": 150}, None),
        ({"seconds": 151}, "pages took 151 s, 100 s on 2026-01-01"),
        ({"said": "figure page opens 0.65 s\n"}, None),
        ({"said": "figure page opens 0.66 s\n"}, "page opens is 0.66 s, 0.5 on 2026-01-01"),
        ({"said": "figure page opens 660 ms\n"}, None),
        ({"seconds": 900, "said": "figure page opens 9 s\n", "machine": "another"}, None),
        ({"result": "FAILED", "machine": "another"}, "pages passed on 2026-01-01 and fails now"),
    ],
)
def test_what_is_worse_than_last_time_is_named(night, change, worse):
    night("2026-01-01")
    status, said = night("2026-01-02", **change)
    assert (status, "Worse:" in said) == ((1, True) if worse else (0, False))
    assert worse is None or f"{worse}." in said


def test_it_is_held_against_the_newest_earlier_table(night):
    night("2026-01-01")
    night("2026-01-02", seconds=200)
    assert night("2026-01-03", seconds=250)[0] == 0
    assert night("2026-01-02", seconds=160)[0] == 1
