"""shop.toml: the calibration goes in, everything else stays, and nothing is written that cannot be read again."""

import time
import tomllib
from datetime import date
from types import MappingProxyType

import numpy as np
import pytest

from trimkit.club.shopfile import read_shop
from trimkit.papers.calibration.kept import MOST_AMENDED, check_keeping, keep, kept_text
from trimkit.parts.errors import BenchError, DataFileError, SaveError
from trimkit.parts.saving import one_writer
from trimkit.shop.calibration import Calibration, ShaftFactor

DAY = date(2026, 11, 27)
STEEL, GRAPHITE = "steel parallel 110 g combination", "graphite wood 60 g regular"


def found(factors=MappingProxyType({STEEL: 0.97}), compliance=8.25e-4, stated=False):
    each = [ShaftFactor(shaft, factor, 0.0123, 0.9, 9) for shaft, factor in factors.items()]
    sd = 0.0 if stated else 1.5e-4
    return Calibration((), tuple(each), compliance, sd, stated, 40.0, np.zeros(0), 0.5, 0.5)


OURS = """# our shop
name = "Workshop"  # since 1990

[clamp]
clamp_in = 4.5  # not five
root_compliance_rad_per_n_m = 0.001

[usual]
tape_mass_g = 2.0

[[calibrated]]
shaft = "graphite wood 60 g regular"
ei_factor = 1.02
measured_on = 2026-01-02
"""


def test_a_new_file_has_the_clamp_and_each_kind_of_shaft():
    text = kept_text("", found({STEEL: 0.97, GRAPHITE: 1.051234567}), DAY)
    assert tomllib.loads(text) == {
        "clamp": {
            "root_compliance_rad_per_n_m": 8.25e-4,
            "root_compliance_sd_rad_per_n_m": 1.5e-4,
            "measured_on": DAY,
        },
        "calibrated": [
            {"shaft": STEEL, "ei_factor": 0.97, "ei_factor_sd": 0.0123, "readings": 9, "measured_on": DAY},
            {"shaft": GRAPHITE, "ei_factor": 1.0512, "ei_factor_sd": 0.0123, "readings": 9, "measured_on": DAY},
        ],
    }


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_what_else_is_in_the_file_stays_comments_too(ends):
    before = OURS.replace("\n", ends)
    text = kept_text(before, found(), DAY)
    for line in ("# our shop", 'name = "Workshop"  # since 1990', "clamp_in = 4.5  # not five", "tape_mass_g = 2.0"):
        assert f"{line}{ends}" in text
    assert text.count("\n") == text.count(ends)
    made, old = tomllib.loads(text), tomllib.loads(before)
    assert made["clamp"] | {"clamp_in": 4.5} == made["clamp"]
    assert made["clamp"]["root_compliance_rad_per_n_m"] == 8.25e-4
    assert made["calibrated"][0] == old["calibrated"][0]
    assert made["calibrated"][1]["shaft"] == STEEL
    assert (made["name"], made["usual"]) == (old["name"], old["usual"])


def test_a_kind_that_is_there_is_written_over_and_twice_is_as_once():
    text = kept_text(OURS, found({GRAPHITE: 1.05}), DAY)
    (only,) = tomllib.loads(text)["calibrated"]
    assert (only["ei_factor"], only["measured_on"]) == (1.05, DAY)
    assert kept_text(text, found({GRAPHITE: 1.05}), DAY) == text


def test_a_stated_clamp_is_not_written_and_a_hardly_giving_one_is_rigid():
    assert tomllib.loads(kept_text(OURS, found(stated=True), DAY))["clamp"] == tomllib.loads(OURS)["clamp"]
    assert "clamp" not in tomllib.loads(kept_text("", found(stated=True), DAY))
    assert tomllib.loads(kept_text("", found(compliance=3e-8), DAY))["clamp"]["root_compliance_rad_per_n_m"] == 0


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[clamp\n", "not a TOML file"),
        ("clamp = 3\n", r"\[clamp\] is not a table"),
        ("calibrated = 3\n", r"\[\[calibrated\]\]: it is not a list"),
        ('calibrated = [{shaft = "x", ei_factor = 1.0}]\n', "cannot be amended without changing something else"),
        (f'[[calibrated]]\nshaft = "{STEEL}"\nei_factor = 1.0\n' * 2, "is calibrated twice"),
        ("[clamp]\nclamp_in = 50\n[tolerances]\nfrequency = 2\n", r"(?s)\[clamp\] clamp_in.*\[tolerances\] frequency"),
        ("a." * 3000 + "b = 1\n", "6005 of them in one line"),
    ],
)
def test_a_file_that_cannot_be_amended_is_refused_and_stays(tmp_path, text, sentence):
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    for call in (keep, check_keeping):
        with pytest.raises(DataFileError, match=sentence):
            call(tmp_path, found(), DAY)
    assert path.read_text(encoding="utf-8") == text
    assert [each.name for each in tmp_path.iterdir()] == ["shop.toml"]


@pytest.mark.parametrize("factor", [0.49, 2.1])
def test_another_shaft_than_described_is_not_kept(factor):
    with pytest.raises(BenchError, match="times as stiff as described"):
        kept_text("", found({STEEL: factor}), DAY)


def test_one_writer_at_a_time(tmp_path):
    with one_writer(tmp_path), pytest.raises(SaveError, match="another program is writing"):
        keep(tmp_path, found(), DAY)
    assert keep(tmp_path, found(), DAY) == tmp_path / "shop.toml"
    assert tomllib.loads((tmp_path / "shop.toml").read_text(encoding="utf-8"))["calibrated"][0]["shaft"] == STEEL


def test_a_file_in_the_folder_s_place_is_refused(tmp_path):
    (tmp_path / "mine").write_text("mine", encoding="utf-8")
    with pytest.raises(SaveError, match="not a folder"):
        check_keeping(tmp_path / "mine", found(), DAY)


def test_what_is_kept_is_read_as_the_shop_s_own(tmp_path):
    shop = read_shop(keep(tmp_path, found(), DAY), None)
    assert (shop.clamp.root_compliance_rad_per_n_m, shop.clamp.measured_on) == (8.25e-4, DAY)
    assert [(each.shaft, each.ei_factor) for each in shop.calibrated] == [(STEEL, 0.97)]


def test_a_file_of_the_most_characters_is_amended_in_bounded_time_and_one_more_is_refused():
    lines = [f"# {number}\n" for number in range(MOST_AMENDED // 4)]
    text = "".join(lines)[:MOST_AMENDED]
    start = time.process_time()
    with pytest.raises(DataFileError, match=f"at most {MOST_AMENDED}"):
        kept_text(text + "#", found(), DAY)
    assert time.process_time() - start < 1
    assert STEEL in kept_text(text, found(), DAY)
    assert time.process_time() - start < 20
