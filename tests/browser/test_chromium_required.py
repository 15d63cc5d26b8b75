"""Without Chromium the browser tests are skipped with a reason, but never where they are required."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ONE_TEST = Path(__file__).with_name("test_lab_frame.py")


@pytest.mark.nightly
@pytest.mark.parametrize(
    ("setting", "said"), [({}, "1 skipped"), ({"CI": "1"}, "1 error"), ({"TRIMKIT_REQUIRE_BROWSER": "1"}, "1 error")]
)
def test_a_missing_chromium_is_said(setting, said, tmp_path):
    hidden = {"CI", "TRIMKIT_REQUIRE_BROWSER", "TRIMKIT_CHROMIUM", "PYTEST_ADDOPTS"}
    surroundings = {name: value for name, value in os.environ.items() if name not in hidden} | setting
    command = [sys.executable, "-m", "pytest", f"{ONE_TEST}::test_a_screen_reader_gets_the_sentence", "-q", "-rs"]
    command += ["-o", "addopts=--import-mode=importlib", "-p", "no:cacheprovider"]
    done = subprocess.run(command, env=surroundings | {"PATH": str(tmp_path)}, capture_output=True, text=True)
    assert said in done.stdout
    assert "no Chromium: install one of chromium" in done.stdout
