"""Readings from files: finished clubs of an order and bare shafts, and every fault with its row and column."""

from dataclasses import replace

import openpyxl
import pytest

from trimkit.club.card import BenchCard
from trimkit.club.clamp import BareShaft
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.calibration.form import MOST_READINGS, read_readings
from trimkit.papers.measured import measured_form
from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.errors import DataFileError

CATALOGUE = load_catalogue()
SET = build_set(shipped_order())
NAMES = [club.plan.club for club in SET.clubs]
SHAFT = "steel parallel 110 g combination"
BARE = "shaft,raw_length_in,raw_mass_g,test_mass_g,test_offset_in,clamp_in,raw_frequency_cpm\n"


@pytest.fixture
def write(tmp_path):
    def written(text, name="readings.csv"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return written


def filled(read, more=""):
    """The order's form with some frequencies in it, by place from 1."""
    header, *rows = measured_form(NAMES).splitlines()
    cells = [row.split(",") for row in rows]
    for place, cpm in read.items():
        cells[place - 1][3] = str(cpm)
    return "\n".join([header, *(",".join(row) for row in cells)]) + "\n" + more


def faults(*paths, built=SET):
    with pytest.raises(DataFileError) as refused:
        read_readings(paths, CATALOGUE, built)
    return refused.value.faults


def test_the_filled_form_gives_the_clubs_that_have_a_frequency(write):
    read = read_readings([write(filled({1: 285.5, 6: 301.0}))], CATALOGUE, SET)
    assert [(one.what, one.shaft, one.frequency_cpm) for one in read.readings] == [
        (NAMES[0], SHAFT, 285.5),
        (NAMES[5], SHAFT, 301.0),
    ]
    assert read.readings[1].held.playing_length_in == pytest.approx(SET.clubs[5].plan.playing_length_in)
    assert [one.words for one in read.could_read] == [f"the {name} of the order" for name in NAMES[1:5] + NAMES[6:]]


def test_a_measured_playing_length_and_another_depth_in_the_clamp_count(write):
    header, *rows = filled({6: 301.0}).splitlines()
    cells = rows[5].split(",")
    cells[2] = "37.125"
    deeper = [*cells[:3], "320.5", *cells[4:], "8 in"]
    text = "\n".join([header + ",clamp_in", *(row + "," for row in rows[:5]), ",".join(cells) + ",", ",".join(deeper)])
    first, second = read_readings([write(text)], CATALOGUE, SET).readings
    assert isinstance(first.held, BenchCard)
    assert first.held.playing_length_in == pytest.approx(37.125)
    assert (first.held.assembly.clamp_in, second.held.assembly.clamp_in) == (5.0, 8.0)
    assert first.free_length_in - second.free_length_in == pytest.approx(3.0)
    assert second.what == f"{NAMES[5]}, 8 in in the clamp"


def test_the_tip_weight_that_a_wanted_swingweight_needs_is_in_the_club(write):
    heavy = build_set(replace(shipped_order(), wanted_swingweight="D6"))
    (light,), (loaded,) = (read_readings([write(filled({6: 301.0}))], CATALOGUE, s).readings for s in (SET, heavy))
    need = heavy.clubs[5].need.add_g
    assert need > 2
    assert loaded.held.assembly.tip_weight_g == pytest.approx(heavy.clubs[5].assembly.tip_weight_g + need)
    assert loaded.held.assembly.tip_weight_g > light.held.assembly.tip_weight_g


def test_bare_shafts_are_read_with_their_units_and_what_may_be_empty(write):
    path = write(BARE + f"{SHAFT},,4 oz,205,,5,280.4\n{SHAFT},40 in,106.0,205.0,0.25,12.7 cm,301\n")
    first, second = read_readings([path], CATALOGUE).readings
    assert isinstance(first.held, BareShaft)
    # 4 oz are 113.4 g; 12.7 cm are 5 in, by definition.
    assert float(first.held.profile.mass_g) == pytest.approx(113.4, abs=0.05)
    assert float(first.held.profile.length_in) == pytest.approx(42.0)
    assert (first.held.bench.test_mass_g, first.held.bench.test_offset_in) == (205.0, 0.0)
    assert float(second.held.profile.length_in) == pytest.approx(40.0)
    assert (second.held.bench.clamp_in, second.held.bench.test_offset_in) == (pytest.approx(5.0), 0.25)
    short = "shaft,raw_mass_g,test_mass_g,clamp_in,raw_frequency_cpm\n"
    assert len(read_readings([write(short + f"{SHAFT},110,205,5,280\n")], CATALOGUE).readings) == 1


def test_a_bare_shaft_that_does_not_say_its_kind_is_of_the_order_s(write):
    path = write(BARE + ",,110,205,,5,280\n")
    (only,) = read_readings([path], CATALOGUE, SET).readings
    assert only.shaft == SHAFT
    (fault,) = faults(path, built=None)
    assert (fault.place.row, fault.place.column) == (2, "shaft")
    assert fault.given == "it does not say its kind"


def test_a_taper_tip_says_which_raw_length_it_is(write):
    taper = "steel taper 104 g regular"
    (fault,) = faults(write(BARE + f"{taper},38.75,100,205,,5,280\n{taper},,100,205,,5,280\n"))
    assert (fault.place.row, fault.place.column) == (3, "raw_length_in")


def test_several_files_and_a_workbook_are_read_together(write, tmp_path):
    book = openpyxl.Workbook()
    book.active.title = "bare_shafts"
    for row in (BARE.strip().split(","), [SHAFT, None, 110.0, 205.0, None, 5.0, 280.0]):
        book.active.append(row)
    sheet = book.create_sheet("to_measure")
    for row in filled({1: 285.5}).splitlines():
        sheet.append([int(cell) if cell.isdecimal() else cell or None for cell in row.split(",")])
    book.save(tmp_path / "readings.xlsx")
    both = read_readings([tmp_path / "readings.xlsx"], CATALOGUE, SET).readings
    assert [one.what for one in both] == [NAMES[0], "bare shaft, 205 g at its tip, 5 in in the clamp"]
    parted = write(BARE.replace(",", ";") + f"{SHAFT};;110;205;;5;280\n", "bare.csv")
    read = read_readings([tmp_path / "readings.xlsx", parted], CATALOGUE, SET)
    assert len(read.readings) == 3
    assert read.how_read == ("bare.csv: semicolons between columns, no decimals",)


@pytest.mark.parametrize(
    ("row", "column", "sentence"),
    [
        ("oak,,110,205,,5,280", "shaft", "there is no shaft 'oak'"),
        (f"{SHAFT},,110 in,205,,5,280", "raw_mass_g", "has the unit 'in'"),
        (f"{SHAFT},,110,205,,5,", "raw_frequency_cpm", "the cell is empty"),
        (f"{SHAFT},,110,205,,5,nan", "raw_frequency_cpm", "not a finite number"),
        (f"{SHAFT},,110,205,,5,28", "raw_frequency_cpm", "28"),
        (f"{SHAFT},,110,205,,0.5,280", "clamp_in", "0.5"),
        (f"{SHAFT},44,110,205,,5,280", None, "a raw length of 44 in"),
        (f"{SHAFT},22,55,205,,23,280", None, "clamp"),
    ],
)
def test_a_bad_row_is_told_with_its_row_and_column(write, row, column, sentence):
    good = f"{SHAFT},,110,205,,5,280\n"
    (fault,) = faults(write(BARE + good + row + "\n"))
    assert (fault.place.file, fault.place.row, fault.place.column) == ("readings.csv", 3, column)
    assert sentence in fault.given
    assert fault.next_step


def test_faults_of_all_files_come_together(write):
    first = write(BARE + f"oak,,110,205,,5,280\n{SHAFT},,110,205,,5,0\n", "one.csv")
    second = write(filled({1: 285.5}, f"11,{NAMES[0]},,290,,,\n").replace(f"2,{NAMES[1]}", f"2,{NAMES[2]}"), "two.csv")
    found = faults(first, second, write("", "three.csv"))
    assert [(each.place.file, each.place.row) for each in found] == [
        ("one.csv", 3),
        ("two.csv", 3),
        ("two.csv", 12),
        ("three.csv", None),
    ]


def test_a_form_of_clubs_needs_its_order(write):
    (fault,) = faults(write(filled({1: 285.5})), built=None)
    assert "--order" in fault.next_step


def test_a_form_without_a_frequency_says_so(write):
    (fault,) = faults(write(filled({})))
    assert fault.given == "no row has a frequency_cpm"


def test_the_rows_are_bounded(write):
    row = f"{SHAFT},,110,205,,5,280\n"
    assert len(read_readings([write(BARE + row * MOST_READINGS)], CATALOGUE).readings) == MOST_READINGS
    (fault,) = faults(write(BARE + row * (MOST_READINGS + 1)))
    assert fault.allowed == f"at most {MOST_READINGS}"


def test_a_workbook_without_readings_is_refused(tmp_path):
    book = openpyxl.Workbook()
    book.active.title = "heads"
    book.active.append(["head"])
    book.save(tmp_path / "parts.xlsx")
    (fault,) = faults(tmp_path / "parts.xlsx")
    assert "to_measure or bare_shafts" in fault.allowed


def test_a_club_whose_shaft_has_no_walls_cannot_be_compared(write):
    order = shipped_order()
    bare = replace(order.shaft, sections=())
    blind = build_set(replace(order, shaft=bare))
    (fault,) = faults(write(filled({1: 285.5})), built=blind)
    assert (fault.place.row, fault.place.column) == (2, "frequency_cpm")
    assert "no tube walls are known" in fault.given
