"""A set's tables as CSV files: every table, units in the headers, the plans' own numbers, all files or none."""

import csv
import dataclasses
import io
import math
import re
import subprocess
import sys
import tempfile
from decimal import Decimal
from pathlib import Path

import pandas as pd
import pytest

from trimkit.check.ownline import own_line, schedule_clubs_cpm
from trimkit.club.card import card_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.papers.tablefiles import set_files, table_csv, write_tables
from trimkit.parts.csvtext import from_inert
from trimkit.parts.errors import BenchError, SaveError
from trimkit.parts.saving import save_texts
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength
from trimkit.trim.steps import StepKind
from trimkit.trim.wanted import Decisions

BUILDS = {name: build_set(shipped_order(name)) for name in ("evening_class", "taper_soft_step", "wood_pair")}
UNIT = re.compile(r"_(in|g|cpm|kg_cm2|flexes|points|count|cpm_per_half_in)$")
IN_ITS_ROW = {("findings.csv", "amount"), ("findings.csv", "tolerance"), ("to_measure.csv", "place")}


def rows(text):
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


@pytest.mark.parametrize("built", BUILDS.values(), ids=BUILDS)
def test_every_table_of_a_set_is_written_with_units_in_its_headers(built, tmp_path):
    paths = write_tables(built, tmp_path / "my set, ½")
    names = {path.name for path in paths}
    assert names == {path.name for path in (tmp_path / "my set, ½").iterdir()}
    assert {"cut_list.csv", "steps.csv", "predictions.csv", "double_check.csv", "stock.csv", "cautions.csv"} <= names
    for path in paths:
        table = pd.read_csv(path)
        for name in table.columns:
            if pd.api.types.is_numeric_dtype(table[name]) and not table[name].isna().all():
                assert UNIT.search(name) or (path.name, name) in IN_ITS_ROW, (path.name, name)
    cuts = pd.read_csv(tmp_path / "my set, ½" / "cut_list.csv", float_precision="round_trip")
    assert list(cuts.tip_trim_in) == [round(club.plan.tip_trim_in, 3) for club in built.clubs]
    steps = rows((tmp_path / "my set, ½" / "steps.csv").read_bytes().decode())
    kinds = [step.kind for club in built.clubs for step in club.plan.steps]
    assert [row["inches_in"] == "" for row in steps] == [kind is StepKind.CLUB for kind in kinds]
    assert [from_inert(row["reason"]) for row in steps] == [s.reason for c in built.clubs for s in c.plan.steps]


def awkward():
    """The evening class with bores and lengths of many digits, and a driver with an extension, in one set."""
    order = shipped_order()
    clubs = [
        dataclasses.replace(club, head=dataclasses.replace(club.head, bbgl_in=club.head.bbgl_in + 0.0004 * (n + 1)))
        for n, club in enumerate(order.clubs)
    ]
    built = build_set(dataclasses.replace(order, clubs=tuple(clubs), flex=FlexPlace("R", "S", 1 / 3)))
    woods = shipped_order("wood_pair")
    decided = Decisions(extend=True, why="long")
    driver = dataclasses.replace(woods.clubs[0], length=GivenLength(46.7004), decisions=decided)
    return SetBuild(built.order, (*built.clubs, *build_set(dataclasses.replace(woods, clubs=(driver,))).clubs))


@pytest.mark.parametrize("built", [*BUILDS.values(), awkward()], ids=[*BUILDS, "awkward"])
def test_the_cut_list_adds_up_as_printed_and_no_number_is_a_thousandth_off(built):
    """Exact decimals, as somebody adds them on paper."""
    cuts = rows(set_files(built)["cut_list.csv"])
    names = ("tip_trim_in", "cut_length_in", "butt_trim_in", "raw_length_in", "extension_in", "playing_length_in")
    for row, club in zip(cuts, built.clubs, strict=True):
        of = {name: Decimal(value) for name, value in row.items() if name.endswith("_in")}
        assert of["raw_length_in"] + of["extension_in"] == of["tip_trim_in"] + of["cut_length_in"] + of["butt_trim_in"]
        parts = of["schedule_trim_in"] + of["between_flexes_in"] + of["bbgl_correction_in"]
        assert parts == of["tip_trim_in"]
        for name in names:
            assert abs(float(of[name]) - getattr(club.plan, name)) <= 0.0021
            assert abs(of[name].as_tuple().exponent) <= 3
    if len(built.clubs) == 11:
        assert float(cuts[-1]["extension_in"]) > 0


@pytest.mark.parametrize("built", [*BUILDS.values(), awkward()], ids=[*BUILDS, "awkward"])
def test_no_file_has_more_digits_than_a_bench_can_measure(built):
    most = {"_in": 3, "_g": 1, "_cpm": 1}
    seen = set()
    for name, text in set_files(built).items():
        for row in rows(text):
            for column, cell in row.items():
                for ending, decimals in most.items():
                    if column.endswith(ending) and "." in cell and not column.endswith("per_half_in"):
                        assert len(cell.partition(".")[2]) <= decimals, (name, column, cell)
                        assert cell != "-0.0"
                        seen.add(ending)
    assert seen == set(most)


def test_the_cautions_and_who_decides_are_with_the_cuts():
    cautions = rows(set_files(BUILDS["wood_pair"])["cautions.csv"])
    assert any("respirator" in row["caution"] for row in cautions)
    assert "The makers' own instructions" in cautions[-1]["caution"]


def test_the_stock_counts_every_club_once():
    stock = rows(set_files(BUILDS["taper_soft_step"])["stock.csv"])
    assert sum(int(row["needed_count"]) for row in stock) == len(BUILDS["taper_soft_step"].clubs)
    for row in stock:
        clubs = [
            c.plan.club for c in BUILDS["taper_soft_step"].clubs if c.plan.raw_length_in == float(row["raw_length_in"])
        ]
        assert row["clubs"].split(", ") == clubs
        assert int(row["needed_count"]) == len(clubs)
    lengths = [float(row["raw_length_in"]) for row in stock]
    assert lengths == sorted(set(lengths), reverse=True)


def test_the_swingweights_are_those_of_the_clubs_and_what_each_needs():
    files = set_files(BUILDS["evening_class"])
    table = rows(files["swingweights.csv"])
    predicted = {row["club"]: row["swingweight"] for row in rows(files["predictions.csv"])}
    assert [row["club"] for row in table] == [club.plan.club for club in BUILDS["evening_class"].clubs]
    for row, club in zip(table, BUILDS["evening_class"].clubs, strict=True):
        need = club.need
        assert (row["wanted"], row["swingweight"]) == ("D0", predicted[row["club"]])
        numbers = [float(row[name]) for name in ("off_points", "add_tip_weight_g", "head_too_heavy_g")]
        assert numbers == pytest.approx([need.points_off, need.add_g, need.head_too_heavy_g], abs=0.0501)  # to 0.1
        assert row["then_swingweight"] == need.swingweight
        assert float(row["then_frequency_cpm"]) == pytest.approx(need.frequency_cpm, abs=0.0501)
        assert row["beyond_tolerance"] == ("yes" if need.beyond_tolerance else "no")
    assert "swingweights.csv" not in set_files(BUILDS["taper_soft_step"])  # none is wanted


@pytest.mark.parametrize("name", ["evening_class", "taper_soft_step"])
def test_a_club_is_as_far_off_the_line_in_both_files_that_say_so(name):
    files = set_files(BUILDS[name])
    checked = {row["club"]: row for row in rows(files["double_check.csv"])}
    on_line = rows(files["set_line.csv"])
    assert [row["club"] for row in on_line] == [club.plan.club for club in BUILDS[name].clubs]
    for row in on_line:
        beside = checked[row["club"]]
        assert row["deviation_cpm"] == beside["deviation_cpm"]
        assert (row["line_cpm"], row["tolerance_cpm"]) == (beside["line_frequency_cpm"], beside["tolerance_cpm"])
        assert (row["verdict"] == "on the line") == (beside["verdict"] == "agrees; cut it")


def test_the_class_s_own_slope_is_the_one_of_the_double_check_s_line():
    clubs = BUILDS["evening_class"].clubs
    plans = [club.plan for club in clubs]
    lengths, cpm = [plan.playing_length_in for plan in plans], [club.frequency_cpm for club in clubs]
    own = own_line(lengths, cpm, schedule_clubs_cpm([card_of(club.plan, club.assembly) for club in clubs], plans))
    slopes = {
        row["slope"]: float(row["slope_cpm_per_half_in"])
        for row in rows(set_files(BUILDS["evening_class"])["slopes.csv"])
    }
    assert slopes["this set's own"] == round(own.line.slope_cpm_per_half_in, 2)


def test_a_pair_of_woods_is_too_few_for_a_line_of_its_own():
    assert not {"set_line.csv", "slopes.csv"} & set(set_files(BUILDS["wood_pair"]))


def test_clubs_of_one_length_have_no_line_and_say_so_by_its_absence():
    built = BUILDS["evening_class"]
    one = dataclasses.replace(built.order, clubs=built.order.clubs[:1])
    files = set_files(SetBuild(one, built.clubs[:1]))
    assert "set_line.csv" not in files
    assert "cut_list.csv" in files


def test_a_name_that_looks_like_a_formula_is_inert_in_every_file():
    """An order's words are the person's, and a head's name may be anybody's."""
    payload = '=HYPERLINK("http://x","y")'
    order = BUILDS["evening_class"].order
    heads = [dataclasses.replace(club, head=dataclasses.replace(club.head, name=payload)) for club in order.clubs]
    files = set_files(build_set(dataclasses.replace(order, clubs=tuple(heads))))
    for name, text in files.items():
        for row in csv.reader(io.StringIO(text, newline="")):
            for cell in row:
                assert not cell.startswith(("=", "+", "@", "\t", "\r"))
                assert not cell.startswith("-") or math.isfinite(float(cell)), name
    assert rows(files["parts.csv"])[0]["head"] == "'" + payload


def test_a_number_that_is_none_is_refused_with_its_file():
    with pytest.raises(BenchError, match=r"cuts.csv, row 2, column trim_in: the number is inf"):
        table_csv(pd.DataFrame({"club": ["a"], "trim_in": [math.inf]}).set_index("club"), "cuts.csv")


def test_nothing_is_written_over_and_nothing_half(tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / "steps.csv").write_text("mine")
    with pytest.raises(SaveError, match=r"steps.csv is there already.*--replace"):
        write_tables(BUILDS["wood_pair"], folder)
    assert [path.name for path in folder.iterdir()] == ["steps.csv"]
    assert (folder / "steps.csv").read_text() == "mine"
    write_tables(BUILDS["wood_pair"], folder, replace=True)
    assert "reason" in (folder / "steps.csv").read_text()
    assert not [path for path in folder.iterdir() if path.suffix != ".csv"]


@pytest.mark.parametrize("name", ["../out.csv", "a/b.csv", "a\\b.csv", "..", ".", "", "c:x.csv", "nul\0.csv"])
def test_a_name_that_leads_out_of_the_folder_is_refused_and_no_folder_made(tmp_path, name):
    with pytest.raises(SaveError, match="cannot be used"):
        save_texts(tmp_path / "in", {"good.csv": "x", name: "x"}, replace=True)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("replace", [False, True])
def test_a_link_in_the_folder_is_never_written_through(tmp_path, replace):
    outside = tmp_path / "outside.csv"
    outside.write_text("mine")
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / "a.csv").symlink_to(outside)
    if replace:
        save_texts(folder, {"a.csv": "new"}, replace=True)
        assert not (folder / "a.csv").is_symlink()
    else:
        with pytest.raises(SaveError, match="is there already"):
            save_texts(folder, {"a.csv": "new"})
    assert outside.read_text() == "mine"


def test_a_link_to_nowhere_is_not_written_through(tmp_path):
    (tmp_path / "a.csv").symlink_to(tmp_path / "nowhere.csv")
    with pytest.raises(SaveError, match="is there already"):
        save_texts(tmp_path, {"a.csv": "new"})
    assert not (tmp_path / "nowhere.csv").exists()


def test_one_text_that_cannot_be_saved_keeps_the_others_back_and_leaves_no_folder(tmp_path):
    with pytest.raises(SaveError, match="name is too long") as caught:
        save_texts(tmp_path / "new folder", {"good.csv": "x", "n" * 300: "x"})
    assert ".unfinished" not in str(caught.value)
    with pytest.raises(SaveError, match="half of a surrogate pair"):
        save_texts(tmp_path / "new folder", {"good.csv": "x", "bad.csv": "\ud800"})
    assert not list(tmp_path.iterdir())


def test_a_folder_in_a_file_s_place_keeps_the_older_files(tmp_path):
    (tmp_path / "a.csv").write_text("old")
    (tmp_path / "b.csv").mkdir()
    with pytest.raises(SaveError, match="is there already"):
        save_texts(tmp_path, {"a.csv": "new", "b.csv": "new"})
    assert (tmp_path / "a.csv").read_text() == "old"


LIMITED = """
import resource, sys
from pathlib import Path
from trimkit.parts.saving import save_texts
from trimkit.parts.errors import SaveError
resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, 50_000))
try:
    save_texts(Path(sys.argv[1]), {"a.csv": "new", "b.csv": "x" * 100_000}, replace=True)
except SaveError as error:
    print(error)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="the limit on file size is POSIX's")
def test_no_room_for_the_last_file_leaves_every_older_one(tmp_path):
    """The limit on file size stands for a full disk: the write of the second file fails, as on a full disk."""
    for name in ("a.csv", "b.csv"):
        (tmp_path / name).write_text("old")
    done = subprocess.run([sys.executable, "-c", LIMITED, str(tmp_path)], capture_output=True, text=True, check=True)
    assert "larger than this system allows" in done.stdout
    assert str(tmp_path / "b.csv") in done.stdout
    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == {"a.csv": "old", "b.csv": "old"}


READ_ONLY = """
import os, sys
from pathlib import Path
from trimkit.parts.saving import save_texts
from trimkit.parts.errors import SaveError
if os.getuid() == 0:  # root may write everywhere
    os.setgid(65534)
    os.setuid(65534)
for name in ("", "new"):
    try:
        save_texts(Path(sys.argv[1]) / name, {"a.csv": "x"})
    except SaveError as error:
        print(error)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="rights of folders are POSIX's")
def test_a_read_only_folder_is_a_sentence():
    with tempfile.TemporaryDirectory() as name:  # pytest closes the folders above tmp_path to every other user
        folder = Path(name) / "read only"
        Path(name).chmod(0o755)
        folder.mkdir(mode=0o555)
        done = subprocess.run([sys.executable, "-c", READ_ONLY, str(folder)], capture_output=True, text=True)
        assert done.stdout.count("the folder may not be written to") == 2, done.stderr
        assert not list(folder.iterdir())
