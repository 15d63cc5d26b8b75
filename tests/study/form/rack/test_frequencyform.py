"""The form of the frequency: from a film or a sensor, shown, and into the form of a set for the club that is chosen."""

import csv

import numpy as np
import pytest

from trimkit.club.set import build_set
from trimkit.papers.tablefiles import write_tables
from trimkit.study import frequency_form

FILM = {"swings": "12", "frames": "576", "rate": "240"}


@pytest.fixture
def form(bench):
    write_tables(build_set(bench.order()), bench.folder / "set")
    return frequency_form(bench)


def rows(bench, name="set/to_measure.csv"):
    with (bench.folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_film_by_hand_arithmetic(form):
    """60 x 12 x 240 / 576 = 300; u = 300 x sqrt(2/3) / 576 = 0.43."""
    form.put(FILM)
    form.press("work")
    assert form.said == "300.0 ± 0.43 cpm."
    assert any("count twice" in line for line in form.shown["found"][0].lines)
    assert "eye protection" in form.shown["cautions"][0].lines[0]


def test_a_short_film_is_told_how_much_to_film(form):
    """For 0.5 cpm of 300 at 240 a second: 300 x sqrt(2/3) / 0.5 = 489.9 frames, 48 a swing: 11 swings."""
    form.put({"swings": "6", "frames": "288", "rate": "240"})
    form.press("work")
    assert "For 0.5 cpm: 11 swings." in form.shown["found"][0].lines


def test_a_sensor_s_file(form, bench):
    time = np.arange(2000) / 200
    reading = np.cos(2 * np.pi * 311.4 / 60 * time) * np.exp(-0.2 * time)
    text = "".join(f"{t:.4f},{r:.4f}\n" for t, r in zip(time, reading, strict=True))
    (bench.folder / "sensor.csv").write_text(f"time_s,reading\n{text}", encoding="utf-8")
    form.put({"series": "sensor.csv"})
    form.press("work")
    assert abs(float(form.said.split(" ± ")[0]) - 311.4) < 0.2
    form.put({"swings": "12"})
    form.press("work")
    assert list(form.faults) == ["series"]


@pytest.mark.parametrize(
    ("key", "text"), [("swings", "12.5"), ("frames", ""), ("rate", "fast"), ("rate error", "x"), ("frames", "9" * 30)]
)
def test_a_count_that_is_none_is_refused_beside_its_field(form, key, text):
    form.put({**FILM, key: text})
    form.press("work")
    assert list(form.faults) == [key]


def test_it_goes_into_the_row_of_the_chosen_club_and_nowhere_else(form, bench):
    before = rows(bench)
    form.put({**FILM, "form": "set/to_measure.csv"})
    form.put({"club": 6})
    form.press("work")
    form.press("write")
    assert form.said == f"Wrote set/to_measure.csv: 6 {before[5]['club']}, 300.0 cpm."
    before[5]["frequency_cpm"] = "300.0"
    assert rows(bench) == before
    assert (f"6: {before[5]['club']}, 300 cpm", 6) in form.fields["club"].field.offered


def test_a_frequency_that_is_there_is_replaced_only_with_its_tick(form, bench):
    form.put({**FILM, "form": "set/to_measure.csv"})
    form.put({"club": 6})
    form.press("work")
    form.press("write")
    form.put({"frames": "570"})
    form.press("work")
    form.press("write")
    assert "has 300 cpm already" in form.faults["replace"][0]
    assert rows(bench)[5]["frequency_cpm"] == "300.0"
    form.put({"replace": True})
    form.press("write")
    assert rows(bench)[5]["frequency_cpm"] == "303.2"  # 60 x 12 x 240 / 570 = 303.16


def test_a_club_of_one_set_is_no_club_of_another(form, bench):
    write_tables(build_set(bench.order()), bench.folder / "other")
    form.put({**FILM, "form": "set/to_measure.csv"})
    form.put({"club": 6})
    form.press("work")
    form.put({"form": "other/to_measure.csv"})
    form.press("write")
    assert form.fields["club"].value == ""
    assert list(form.faults) == ["club"]
    assert not any(row["frequency_cpm"] for row in rows(bench, "other/to_measure.csv"))


def test_no_form_is_chosen(form):
    form.put(FILM)
    form.press("work")
    form.press("write")
    assert list(form.faults) == ["form"]


def test_a_file_that_is_no_form_is_said_beside_it(form, bench):
    (bench.folder / "else.csv").write_text("a,b\n1,2\n", encoding="utf-8")
    form.put({**FILM, "form": "else.csv"})
    assert [value for _, value in form.fields["club"].field.offered] == [""]
    form.press("")
    assert "the column 'a' is not known" in form.faults["form"][0]
