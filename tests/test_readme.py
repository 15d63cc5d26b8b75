"""What the README says can be done is done here: its Python runs, its files and verbs exist, CI runs its commands."""

import re
from pathlib import Path

import pytest

from trimkit.cli import main

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language):
    return re.findall(rf"```{language}\n(.*?)```", README, re.S)


def test_its_python_runs_and_prints_a_club(capsys):
    (code,) = blocks("python")
    exec(compile(code, "README.md", "exec"), {})
    assert re.search(r"-iron [\d.]+ in [\d.]+ cpm [A-G]\d", capsys.readouterr().out)


@pytest.mark.parametrize("link", re.findall(r"\]\(((?!http)[^)]+)\)", README))
def test_its_links_lead_somewhere(link):
    assert (ROOT / link).exists()


def test_its_verbs_are_the_command_s(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    said = capsys.readouterr().out
    for verb in re.findall(r"^\| `trimkit (\w+)", README, re.M):
        assert re.search(rf"^\s+{verb}\s", said, re.M)


def test_it_opens_with_the_job_then_a_picture_then_the_commands():
    parts = README.split("\n\n")
    assert parts[1].startswith("`trimkit` is for people who assemble golf clubs")
    assert parts[2].startswith("![")
    assert parts[3] == "## Two commands"


def test_the_test_command_is_the_one_that_ci_runs():
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    install, run = next(block for block in blocks("sh") if "pytest" in block).strip().split(" && ")
    assert install.replace("install", "install --quiet --disable-pip-version-check") in ci
    assert run in ci
