"""The verb calibrate, as a person runs it: from the form of an order and from bare shafts, kept, drawn, refused."""

import shutil
import tomllib

import numpy as np
import pytest

from trimkit.cli import main
from trimkit.club.card import card_of
from trimkit.club.clamp import frequencies_cpm, with_root_spring
from trimkit.club.club import finished_club
from trimkit.club.order.order import load_order
from trimkit.club.set import build_set
from trimkit.papers.measured import measured_form
from trimkit.papers.templates import write_templates
from trimkit.parts.catalogue import data_folder, load_catalogue

DEMO = data_folder() / "orders" / "evening_class.toml"
SPRING = 1200.0


BARE = """mark,shaft,raw_length_in,raw_mass_g,raw_frequency_cpm,test_mass_g,test_offset_in,clamp_in
,example steel parallel,,111.4,309.6,205.0,,5.0
,example steel parallel,,111.4,336.3,205.0,,8.0
,example steel parallel,,111.4,412.4,205.0,,14.0
,example steel parallel,,111.4,529.9,205.0,,20.0
,example steel parallel,,111.4,790.0,205.0,,26.0
,example graphite,,62.6,228.6,205.0,,5.0
,example graphite,,62.6,305.7,205.0,,14.0
,example graphite,,62.6,463.0,205.0,,23.0
"""
"""Invented readings of two of the template's shafts."""


@pytest.fixture(scope="module")
def form():
    """The demo order's form, filled with what its clubs read if 4 % softer and in a clamp that gives."""
    made = [finished_club(club) for club in build_set(load_order(DEMO, load_catalogue())).clubs]
    held = [with_root_spring(card_of(club.plan, club.assembly), SPRING) for club in made]
    noise = 0.1 * np.random.default_rng(6).standard_normal(len(held))
    cpm = frequencies_cpm(held, ei_factor=0.96) + noise
    header, *rows = measured_form([club.plan.club for club in made]).splitlines()
    cells = [row.split(",") for row in rows]
    for cell, read in zip(cells, cpm, strict=True):
        cell[3] = f"{read:.2f}"
    return "\n".join([header, *(",".join(cell) for cell in cells)]) + "\n"


@pytest.fixture
def run(tmp_path, form, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "to_measure.csv").write_text(form, encoding="utf-8")

    def ran(*words):
        code = main(["calibrate", *map(str, words)])
        said = capsys.readouterr()
        assert "Traceback" not in said.err
        return code, said.out if code == 0 else said.err

    return ran


def bare(folder):
    """The template's folder, with readings that a calibration can go by."""
    write_templates(folder / "mine")
    path = folder / "mine" / "bare_shafts.csv"
    path.write_text(BARE, encoding="utf-8")
    return path


def kept(folder):
    return tomllib.loads((folder / "shop.toml").read_text(encoding="utf-8"))


def test_a_set_that_was_measured_is_calibrated_and_nothing_is_written(run, tmp_path):
    code, said = run("to_measure.csv", "--order", DEMO)
    assert code == 0
    assert said.startswith("Calibrated from 10 readings.\n")
    (row,) = [line for line in said.splitlines() if line.startswith("steel parallel 110 g combination  10")]
    factor, sd = (float(row.split(" ± ")[n].split()[-1 if n == 0 else 0]) for n in (0, 1))
    assert abs(factor - 0.96) < 2 * sd
    assert [path.name for path in tmp_path.iterdir()] == ["to_measure.csv"]


def test_the_picture_and_the_shop_s_file_are_written_and_said(run, tmp_path):
    code, said = run("to_measure.csv", "--order", DEMO, "--picture", "residuals.svg", "--keep", "parts")
    assert code == 0
    assert "Wrote residuals.svg." in said
    assert (tmp_path / "residuals.svg").read_text(encoding="utf-8").startswith("<svg")
    found = kept(tmp_path / "parts")
    (shaft,) = found["calibrated"]
    assert shaft["shaft"] == "steel parallel 110 g combination"
    assert abs(shaft["ei_factor"] - 0.96) < 2 * shaft["ei_factor_sd"]
    sd = found["clamp"]["root_compliance_sd_rad_per_n_m"]
    assert abs(found["clamp"]["root_compliance_rad_per_n_m"] - 1 / SPRING) < 2 * sd


def test_again_with_a_calibration_in_force_it_starts_from_the_described_shaft(run, tmp_path):
    """A factor on a factor would give 0.92 for 0.96: the second calibration is the first, word for word."""
    shutil.copytree(data_folder(), tmp_path / "parts", ignore=shutil.ignore_patterns("orders"))
    words = ("to_measure.csv", "--order", DEMO, "--data", "parts", "--keep", "parts")
    code, first = run(*words)
    before = (tmp_path / "parts" / "shop.toml").read_text(encoding="utf-8")
    assert (code, first) == run(*words)
    assert (tmp_path / "parts" / "shop.toml").read_text(encoding="utf-8") == before
    (shaft,) = kept(tmp_path / "parts")["calibrated"]
    assert abs(shaft["ei_factor"] - 0.96) < 2 * shaft["ei_factor_sd"]


def test_bare_shafts_again_start_from_the_described_shaft_too(run, tmp_path):
    bare(tmp_path)
    words = ("mine/bare_shafts.csv", "--data", "mine", "--keep", "mine")
    code, first = run(*words)
    assert (code, first) == run(*words)
    assert code == 0
    assert {each["shaft"] for each in kept(tmp_path / "mine")["calibrated"]} == {
        "example steel parallel",
        "example graphite",
    }


def test_readings_in_a_folder_of_parts_are_calibrated_beside_the_shipped_parts_and_checked(run, tmp_path, capsys):
    path = bare(tmp_path)
    assert run(path, "--own-parts", "mine")[0] == 0
    assert main(["check", str(path)]) == 0
    assert main(["check", str(tmp_path / "mine")]) == 0
    assert main(["check", "--own-parts", str(tmp_path / "mine")]) == 0
    said = capsys.readouterr().out
    assert "bare_shafts.csv: in order (8 rows, not checked against the parts" in said
    assert said.count("8 rows of bare_shafts.csv") == 2
    path.write_text(BARE.replace("example graphite", "oak", 1), encoding="utf-8")
    assert main(["check", str(tmp_path / "mine")]) == 1
    assert "bare_shafts.csv, row 7, column shaft: there is no shaft 'oak'" in capsys.readouterr().err


def test_the_rows_in_the_help_can_be_calibrated(run, tmp_path, capsys):
    with pytest.raises(SystemExit):
        main(["calibrate", "--help"])
    lines = [line.strip() for line in capsys.readouterr().out.splitlines()]
    start = next(n for n, line in enumerate(lines) if line.startswith("mark,shaft,"))
    rows = lines[start : lines.index("", start)]
    (tmp_path / "bare.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    code, said = run("bare.csv")
    assert code == 0
    assert said.startswith(f"Calibrated from {len(rows) - 1} readings of 2 kinds of shaft.")


def test_a_bare_shaft_is_read_with_the_shop_s_test_weight_where_its_row_has_none(run, tmp_path):
    path = bare(tmp_path)
    own = run(path, "--own-parts", "mine")
    path.write_text(BARE.replace(",205.0,,5.0", ",,,").replace(",205.0,", ",,"), encoding="utf-8")
    code, said = run(path, "--own-parts", "mine")
    assert code == 1
    assert "row 2, column test_mass_g: there is no test_mass_g and no clamp_in" in said
    assert "row 3, column test_mass_g: there is no test_mass_g." in said
    assert "[test_weight] in shop.toml" in said
    (tmp_path / "mine" / "shop.toml").write_text("[test_weight]\nmass_g = 205.0\nclamp_in = 5.0\n", encoding="utf-8")
    assert run(path, "--own-parts", "mine") == own


def test_the_clubs_of_an_order_were_in_the_shop_s_clamp_with_its_usual_masses(run, tmp_path):
    """What a shop.toml says, an order that says the same gives the same calibration, to the last digit."""
    shutil.copytree(data_folder(), tmp_path / "parts", ignore=shutil.ignore_patterns("orders"))
    text = DEMO.read_text(encoding="utf-8")
    start = text.index("[assembly]")
    silent = text[:start] + text[text.index("[", start + 1) :]
    (tmp_path / "silent.toml").write_text(silent, encoding="utf-8")
    said = "[assembly]\nclamp_in = 4.25\nferrule_mass_g = 4.0\ntape_mass_g = 3.0\nepoxy_mass_g = 2.0\n"
    (tmp_path / "said.toml").write_text(silent + "\n" + said, encoding="utf-8")
    words = ("--data", "parts", "--clamp-as-stated")
    stated = "[clamp]\nroot_compliance_rad_per_n_m = 0.0\n"
    usual = "clamp_in = 4.25\n[usual]\nferrule_mass_g = 4.0\ntape_mass_g = 3.0\nepoxy_mass_g = 2.0\n"
    calibrated = '[[calibrated]]\nshaft = "steel parallel 110 g combination"\nei_factor = 0.8\n'
    (tmp_path / "parts" / "shop.toml").write_text(stated, encoding="utf-8")
    by_order, usually = (
        run("to_measure.csv", "--order", "said.toml", *words),
        run("to_measure.csv", "--order", "silent.toml", *words),
    )
    (tmp_path / "parts" / "shop.toml").write_text(stated + usual + calibrated, encoding="utf-8")
    by_shop = run("to_measure.csv", "--order", "silent.toml", *words)
    assert by_shop == by_order
    assert by_shop[0] == 0
    assert by_shop != usually


def test_a_damaged_shop_s_file_is_refused_with_its_faults(run, tmp_path):
    shutil.copytree(data_folder(), tmp_path / "parts", ignore=shutil.ignore_patterns("orders"))
    path = tmp_path / "parts" / "shop.toml"
    path.write_text("# mine\n[clamp]\nclamp_in = 50\n[usual]\nglue_g = 2\n", encoding="utf-8")
    before = path.read_text(encoding="utf-8")
    for words in (("--keep", "parts"), ("--data", "parts")):
        code, said = run("to_measure.csv", "--order", DEMO, *words)
        assert code == 1
        assert "[clamp] clamp_in" in said
        assert "[usual] glue_g" in said
    assert path.read_text(encoding="utf-8") == before


def test_the_clamp_as_stated_is_the_orders_or_the_shops(run, tmp_path):
    code, said = run("to_measure.csv", "--order", DEMO, "--clamp-as-stated")
    assert code == 1
    assert "neither the order nor the shop's own file states" in said
    text = DEMO.read_text(encoding="utf-8")
    assert "[assembly]" in text
    stated = text.replace("[assembly]", f"[assembly]\nroot_spring_n_m_per_rad = {SPRING}")
    (tmp_path / "own.toml").write_text(stated, encoding="utf-8")
    code, said = run("to_measure.csv", "--order", "own.toml", "--clamp-as-stated", "--keep", "kept")
    assert code == 0
    assert "Clamp: as stated, 0.000833 rad for each N m" in said
    found = kept(tmp_path / "kept")
    assert "clamp" not in found
    assert found["calibrated"][0]["ei_factor"] == pytest.approx(0.96, abs=3 * found["calibrated"][0]["ei_factor_sd"])
    assert found["calibrated"][0]["ei_factor_sd"] < 0.002
    bare(tmp_path)
    (tmp_path / "mine" / "shop.toml").write_text("[clamp]\nroot_compliance_rad_per_n_m = 0.0\n", encoding="utf-8")
    code, said = run("mine/bare_shafts.csv", "--own-parts", "mine", "--clamp-as-stated")
    assert code == 0
    assert "Clamp: as stated, it does not give." in said


def test_too_few_readings_are_refused_with_the_reading_that_helps(run, tmp_path, form):
    header, *rows = form.splitlines()
    few = [row if n in (3, 4, 5) else ",".join([*row.split(",")[:3], "", "", "", ""]) for n, row in enumerate(rows)]
    (tmp_path / "few.csv").write_text("\n".join([header, *few]) + "\n", encoding="utf-8")
    code, said = run("few.csv", "--order", DEMO, "--keep", "parts", "--picture", "p.png")
    assert code == 1
    assert "leave the EI factor uncertain by" in said
    assert "read " in said.split("Do next:")[1]
    assert "which would leave it uncertain by 0.0" in said
    assert sorted(path.name for path in tmp_path.iterdir()) == ["few.csv", "to_measure.csv"]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["to_measure.csv"], "--order"),
        (["absent.csv"], "cannot be read"),
        (["to_measure.csv", "--order", DEMO, "--picture", "p.pdf"], ".svg or .png"),
        (["to_measure.csv", "--order", DEMO, "--picture", "to_measure.csv"], ".svg or .png"),
        (["to_measure.csv", "--order", DEMO, "--reading-error", "0"], "reading error"),
        (["to_measure.csv", "--order", DEMO, "--reading-error", "nan"], "reading error"),
        (["to_measure.csv", "--order", DEMO, "--keep", "to_measure.csv"], "not a folder"),
    ],
)
def test_what_is_refused_is_a_sentence_and_writes_nothing(run, tmp_path, form, words, sentence):
    code, said = run(*words)
    assert code == 1
    assert sentence in said
    assert "Do next:" in said
    assert [path.name for path in tmp_path.iterdir()] == ["to_measure.csv"]
    assert (tmp_path / "to_measure.csv").read_text(encoding="utf-8") == form


def test_a_shop_s_file_that_cannot_be_amended_stops_the_picture_too(run, tmp_path):
    (tmp_path / "shop.toml").write_text("calibrated = 3\n", encoding="utf-8")
    code, said = run("to_measure.csv", "--order", DEMO, "--picture", "p.png", "--keep", ".")
    assert code == 1
    assert "shop.toml, [[calibrated]]: it is not a list" in said
    assert not (tmp_path / "p.png").exists()
    assert (tmp_path / "shop.toml").read_text(encoding="utf-8") == "calibrated = 3\n"
