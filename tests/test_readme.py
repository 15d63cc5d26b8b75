"""What the README says can be done is done here: its Python runs, its files and verbs exist, CI runs its commands."""

import re
import shlex
import shutil
from pathlib import Path

import pytest

from trimkit.cli import main

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language):
    return re.findall(rf"```{language}\n(.*?)```", README, re.S)


def verbs(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    return set(re.findall(r"^    (\w+)(?:  | *$)", capsys.readouterr().out, re.M)) - {"VERB"}


def test_its_python_runs_and_prints_a_club(capsys):
    (code,) = blocks("python")
    exec(compile(code, "README.md", "exec"), {})
    assert re.search(r"-iron [\d.]+ in [\d.]+ cpm [A-G]\d", capsys.readouterr().out)


@pytest.mark.parametrize("link", re.findall(r"\]\(((?!http)[^)]+)\)", README))
def test_its_links_lead_somewhere(link):
    assert (ROOT / link).exists()


def example_lines(verb, capsys):
    """The lines of a table or an order that the help of a verb shows."""
    with pytest.raises(SystemExit):
        main([verb, "--help"])
    return [line.strip() for line in capsys.readouterr().out.splitlines() if line.startswith("  ")]


def test_its_week_is_walked_from_an_empty_folder(tmp_path, monkeypatch, capsys):
    """Every verb of the table, in its order, as it is printed; what a verb reads is made by those before it.

    Two files are a person's own, and are taken from the help that shows how they are written. Two verbs are tried
    elsewhere: lessons opens a server, and stick fetches 150 MB (tests/cli/test_stick.py).
    """
    monkeypatch.chdir(tmp_path)
    shutil.copytree(ROOT / "data", "data")
    readings = [line for line in example_lines("calibrate", capsys) if line.count(",") == 7]
    Path("readings.csv").write_text("\n".join(readings))
    pulled = example_lines("pulled", capsys)
    order = Path("data/orders/evening_class.toml").read_text().split("[[club]]")[0]
    given = pulled[pulled.index("[[club]]") :][:5]
    Path("my_order.toml").write_text(order + "\n".join(given))

    week = [shlex.split(line)[1:] for line in re.findall(r"\| `(trimkit [^`]+)` \|$", README, re.M)]
    for words in week:
        if words[0] not in ("lessons", "stick"):
            assert main(words) == 0, (words, capsys.readouterr().err)
    assert {words[0] for words in week} == verbs(capsys)


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


def test_a_parser_takes_its_lines_for_powershell_and_sees_the_commands_that_bash_has():
    """Tree-sitter's grammar of PowerShell: a program of its own, and no shell that could run them."""
    tree_sitter = pytest.importorskip("tree_sitter")
    grammar = tree_sitter.Language(pytest.importorskip("tree_sitter_powershell").language())
    parser = tree_sitter.Parser(grammar)

    def commands(node):
        if node.type == "command":
            yield node.text.decode()
        for child in node.children:
            yield from commands(child)

    assert parser.parse(b"py -m venv .venv && (").root_node.has_error
    for bash, power in zip(blocks("sh"), blocks("powershell"), strict=True):
        tree = parser.parse(power.encode()).root_node
        assert not tree.has_error
        expected = bash.strip().replace("python3", "py").replace(".venv/bin/", ".venv\\Scripts\\").split(" && ")
        assert list(commands(tree)) == expected
