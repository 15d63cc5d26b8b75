"""The shop's own file at the shell: checked, on the sheet, in the tables, kept in the record, never taken over."""

import csv
import json
from pathlib import Path

import pytest

from trimkit.cli import main
from trimkit.papers.record.file import read_record, record_text
from trimkit.papers.templates import ORDER_FILE

SHAFT = "example steel parallel"
OWN = f"""
name = "Corner <bench>"
[clamp]
clamp_in = 5.25
root_compliance_rad_per_n_m = 2e-4
measured_on = 2026-11-20
[tolerances]
frequency_cpm = 7.5
set_cpm = 3
[[calibrated]]
shaft = "{SHAFT}"
ei_factor = 0.96
ei_factor_sd = 0.015
readings = 9
measured_on = 2026-11-21
"""


@pytest.fixture
def run(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def verb(*words):
        code = main([str(word) for word in words])
        said = capsys.readouterr()
        return code, said.out + said.err

    assert verb("templates", "mine")[0] == 0
    return verb


@pytest.fixture
def own(run):
    Path("mine/shop.toml").write_text(OWN, encoding="utf-8")
    return Path("mine") / ORDER_FILE


def cpm(folder):
    with (Path(folder) / "predictions.csv").open(encoding="utf-8", newline="") as file:
        return [float(row["frequency_cpm"]) for row in csv.DictReader(file)]


def test_check_says_what_it_holds(run, own):
    for words in (("mine",), ("mine/shop.toml",), ("--data", "mine"), (own, "--data", "mine")):
        code, said = run("check", *words)
        assert code == 0
        assert "clamp 5.25 in" in said
        assert "1 kind of shaft calibrated on 21 November 2026" in said
    assert "shop's own file" not in run("check")[1]


def test_check_tells_its_faults_with_those_of_the_parts(run, own):
    Path("mine/shop.toml").write_text(OWN.replace(SHAFT, "example steel square"), encoding="utf-8")
    for words in (("mine",), ("mine/shop.toml",), (own, "--data", "mine"), ("mine/shop.toml", "--data", "mine")):
        code, said = run("check", *words)
        assert code == 1
        assert "shop.toml, [[calibrated]] 1: shaft: there is no shaft 'example steel square'" in said
        assert SHAFT in said
    Path("mine/heads.csv").write_text("head\n", encoding="utf-8")
    code, said = run("check", "mine")
    assert code == 1
    assert "heads.csv" in said


def test_the_template_changes_no_byte_of_sheet_and_tables(run):
    order = Path("mine") / ORDER_FILE
    for to in ("with", "without"):
        assert run("sheet", order, "--data", "mine", "--to", f"{to}.html")[0] == 0
        assert run("tables", order, "--data", "mine", "--to", to)[0] == 0
        if to == "with":
            Path("mine/shop.toml").unlink()
    assert Path("with.html").read_bytes() == Path("without.html").read_bytes()
    files = sorted(path.name for path in Path("with").iterdir())
    assert files == sorted(path.name for path in Path("without").iterdir())
    assert "shop.csv" not in files
    assert all((Path("with") / name).read_bytes() == (Path("without") / name).read_bytes() for name in files)


def test_sheet_and_tables_use_it_and_say_so(run, own):
    assert run("sheet", own, "--data", "mine", "--to", "own.html")[0] == 0
    page = Path("own.html").read_text(encoding="utf-8")
    assert "Built by Corner &lt;bench&gt;." in page
    assert "Cpm: 5.25 in of the butt in the clamp." in page
    for words in ("× 0.96 ± 0.015", "measured on 21 November 2026, from 9 readings", "0.2 mrad per N m", "7.5 cpm"):
        assert words in page
    assert run("sheet", own, "--data", "mine", "--shop", "Another", "--to", "other.html")[0] == 0
    assert "Built by Another." in Path("other.html").read_text(encoding="utf-8")
    assert run("tables", own, "--own-parts", "mine", "--to", "own")[0] == 0
    said = Path("own/shop.csv").read_text(encoding="utf-8")
    assert "clamp of the frequency machine" in said
    assert "from your own data files" in said
    Path("mine/shop.toml").unlink()
    assert run("tables", own, "--own-parts", "mine", "--to", "plain")[0] == 0
    assert all(new < old for new, old in zip(cpm("own"), cpm("plain"), strict=True))


def test_an_orders_own_clamp_wins_and_the_card_says_so(run, own):
    own.write_text(
        own.read_text(encoding="utf-8").replace("[assembly]", "[assembly]\nclamp_in = 4.5"), encoding="utf-8"
    )
    assert run("sheet", own, "--data", "mine", "--to", "own.html")[0] == 0
    page = Path("own.html").read_text(encoding="utf-8")
    assert "Cpm: 4.5 in of the butt in the clamp, by the order; the shop's usual is 5.25 in." in page.replace(
        "&#39;", "'"
    )
    assert "clamped over 4.5 in from the cap end (from the order)" in page


def test_a_record_keeps_it_and_judges_by_it_when_it_is_gone(run, own):
    assert run("record", own, "--data", "mine")[0] == 0
    path = Path(f"{own.stem}.record.json")
    (revision,) = json.loads(path.read_text(encoding="utf-8"))["revisions"]
    assert revision["shop"]["clamp"] == {
        "clamp_in": 5.25,
        "root_compliance_rad_per_n_m": 2e-4,
        "measured_on": "2026-11-20",
    }
    assert [shaft["ei_factor"] for shaft in revision["parts"]["shafts"]] == [0.96]
    Path("mine/shop.toml").unlink()
    predicted = revision["clubs"][0]["predicted"]["frequency_cpm"]
    code, said = run("measured", path, "--place", 1, "--frequency-cpm", predicted + 7.4)
    assert (code, "tolerance 7.5 (the shop's own, chosen, in shop.toml" in said) == (0, True)
    assert "as predicted" in said
    assert "the shop's own file: Corner" in run("show", path)[1]
    record = read_record(path.read_text(encoding="utf-8"))
    assert read_record(record_text(record)) == record
    assert run("record", own, "--data", "mine", "--reason", "no shop file")[0] == 0
    assert json.loads(path.read_text(encoding="utf-8"))["revisions"][-1]["shop"] is None
    assert "the shop's own file" not in run("show", path)[1].split("revision 3")[0]


def test_a_folder_checked_by_itself_may_calibrate_and_have_on_its_shelf_what_is_shipped(run):
    """Own parts are used beside the shipped ones, so that names of both are known; no other is."""
    shelf = Path("mine/shelf.csv")
    for shaft, code in (("steel parallel 110 g combination", 0), ("steel of nobody", 1)):
        Path("mine/shop.toml").write_text(f'[[calibrated]]\nshaft = "{shaft}"\nei_factor = 0.96\n', encoding="utf-8")
        assert run("check", "mine")[0] == code
        Path("mine/shop.toml").write_text("", encoding="utf-8")
    Path("mine/shop.toml").unlink()
    header = shelf.read_text(encoding="utf-8").splitlines()[0]
    for row, code in (
        ("steel parallel 110 g combination,42,,,6,", 0),
        ("steel taper 104 g regular,38.75,,38.75,1,", 0),
        ("steel of nobody,42,,,6,", 1),
    ):
        shelf.write_text(f"{header}\n{row}\n", encoding="utf-8")
        assert run("check", "mine")[0] == code
