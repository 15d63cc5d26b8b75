"""The shell's verbs, run as a person runs them: exit codes, sentences, and nothing written over."""

import re
import shlex
import subprocess
import sys

import pytest

import trimkit
from trimkit import cli
from trimkit.cli import main
from trimkit.cli.lessons import notebooks_folder
from trimkit.parts.catalogue import data_folder, load_catalogue

DEMO = data_folder() / "orders" / "evening_class.toml"


def run(*words, cwd):
    return subprocess.run(
        [sys.executable, "-m", "trimkit", *map(str, words)], cwd=cwd, capture_output=True, text=True, check=False
    )


def test_a_sheet_is_made_beside_the_person_and_not_written_over(tmp_path, capsys, monkeypatch):
    first = run("sheet", DEMO, cwd=tmp_path)
    assert (first.returncode, first.stderr) == (0, "")
    page = tmp_path / "evening_class.html"
    assert "10 clubs" in first.stdout
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    page.write_text("mine", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert main(["sheet", str(DEMO)]) == 1
    assert "is there already" in capsys.readouterr().err
    assert page.read_text(encoding="utf-8") == "mine"
    assert main(["sheet", str(DEMO), "--replace"]) == 0
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('"class 9-iron"', '"class 1-iron"', "there is no head 'class 1-iron'"),
        ('shaft = "steel', 'shaft = "oak', "there is no shaft 'oak"),
        ('flex = "R"', 'flex = "X"', "has no flex 'X'"),
        ("37.5", "nan", "nan is not a finite number"),
        ("37.5", "-37.5", "18 to 50 in"),
        ("37.5", '"265 g"', "units in, mm, cm"),
        ('"class 9-iron"', '"class 9-iron"\nhead_mass_g = ""', "the cell is empty"),
        ("37.5", "41.5", "too short"),
        ("client =", "client ;", "not a TOML file"),
    ],
)
def test_a_bad_order_is_a_sentence_and_no_sheet(tmp_path, capsys, monkeypatch, old, new, sentence):
    monkeypatch.chdir(tmp_path)
    text = DEMO.read_text(encoding="utf-8")
    assert old in text
    bad = tmp_path / "bad.toml"
    bad.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert main(["sheet", str(bad)]) == 1
    said = capsys.readouterr()
    assert said.err.startswith("trimkit: ")
    assert sentence in said.err
    assert "Do next:" in said.err
    assert "Traceback" not in said.err
    assert said.out == ""
    assert [path.name for path in tmp_path.iterdir()] == ["bad.toml"]


def test_a_schedule_without_that_flex_is_a_sentence(tmp_path, capsys):
    for path in data_folder().glob("*.csv"):
        text = path.read_text(encoding="utf-8")
        if path.name == "schedules.csv":
            text = "\n".join(line for line in text.splitlines() if ",S," not in line) + "\n"
        (tmp_path / path.name).write_text(text, encoding="utf-8")
    assert main(["sheet", str(DEMO), "--data", str(tmp_path), "--to", str(tmp_path / "sheet.html")]) == 1
    assert "has no line for 2-iron S" in capsys.readouterr().err
    assert not (tmp_path / "sheet.html").exists()


def test_check_says_what_it_found(capsys):
    assert main(["check", str(data_folder())]) == 0
    assert main(["check", str(data_folder() / "heads.csv")]) == 0
    assert main(["check", str(DEMO)]) == 0
    said = capsys.readouterr().out.splitlines()
    assert f"{len(load_catalogue().heads)} heads" in said[0]
    assert f"{len(load_catalogue().heads)} rows" in said[1]
    assert "10 clubs" in said[2]


def test_check_says_how_a_file_was_read_and_leaves_it_as_it_is(tmp_path, capsys):
    heads = (data_folder() / "heads.csv").read_text(encoding="utf-8")
    path = tmp_path / "heads.csv"
    for content, sentence in ((heads.replace(",", ";"), "semicolons"), ("\ufeff" + heads, "byte-order mark")):
        path.write_text(content, encoding="utf-8")
        assert main(["check", str(path)]) == 0
        said = capsys.readouterr().out.splitlines()
        assert f"{len(load_catalogue().heads)} rows" in said[0]
        assert said[1].startswith("Read heads.csv: ")
        assert sentence in said[1]
        assert path.read_text(encoding="utf-8") == content
    assert main(["check", str(tmp_path / "head.csv")]) == 1
    assert "heads.csv" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "needless"),
    [
        (["sheet", DEMO], {"scipy", "pandas", "IPython", "ipywidgets", "jupyterlab", "notebook"}),
        (["check", data_folder()], {"scipy", "pandas", "IPython", "ipywidgets", "jupyterlab", "matplotlib", "jinja2"}),
    ],
)
def test_a_verb_loads_no_library_that_it_does_not_need(tmp_path, words, needless):
    given = [str(word) for word in words]
    script = f"import sys; from trimkit.cli import main; main({given!r}); print(*sys.modules, file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", script], cwd=tmp_path, capture_output=True, text=True, check=True)
    loaded = set(done.stderr.split())
    assert "trimkit.parts.catalogue" in loaded
    assert not loaded & needless


@pytest.mark.parametrize(
    ("words", "code", "said"), [(["cut"], 2, "usage: trimkit"), (["--version"], 0, f"trimkit {trimkit.__version__}")]
)
def test_wrong_words_are_refused_with_the_usage_and_the_version_is_the_package_s(capsys, words, code, said):
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == code
    assert said in "".join(capsys.readouterr())


def test_the_lessons_of_a_checkout_are_its_notebooks():
    assert (notebooks_folder() / "00_start_here.ipynb").is_file()


def test_a_reader_that_goes_away_gets_no_second_sentence(tmp_path):
    """As ``trimkit show RECORD | head -1``: the pipe is closed before the record is printed."""
    command = [sys.executable, "-m", "trimkit", "check", str(data_folder() / "heads.csv")]
    with subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        process.stdout.close()
        said = process.stderr.read()
    assert said == ""
    assert process.returncode == 1


def test_the_help_of_every_verb_has_an_example_that_its_parser_takes():
    parser = cli._parser()
    found = next(action.choices for action in parser._actions if action.dest == "verb")
    assert len(found) > 15
    for verb, own in found.items():
        example = re.search(rf"[Ff]or example.*?(trimkit {verb}\b[^\n]*)", own.epilog or "", re.S)
        assert example, verb
        parser.parse_args(shlex.split(example[1])[1:])
