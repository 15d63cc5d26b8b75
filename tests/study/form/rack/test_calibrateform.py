"""The form of the calibration: typed or from files it is one thing, refused in words, kept only as it is shown."""

import re
import tomllib

import pytest

from trimkit.club.card import card_of
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.club import finished_club
from trimkit.club.set import build_set
from trimkit.papers.measured import measured_form
from trimkit.study import calibrate_form, order_form
from trimkit.study.form.pieces import Picture
from trimkit.study.form.rack.workedout import NOT_AS_SHOWN

DEPTHS_IN = (5, 8, 14, 20, 26)
COLUMNS = (
    "mark",
    "shaft",
    "raw_length_in",
    "raw_mass_g",
    "raw_frequency_cpm",
    "test_mass_g",
    "test_offset_in",
    "clamp_in",
)


@pytest.fixture
def form(bench, bare_rows):
    form = calibrate_form(bench)
    form.set_rows("bare shafts", bare_rows(DEPTHS_IN, ei_factor=0.95))
    return form


def shop_file(bench):
    return bench.shop_folder / "shop.toml"


def as_file(rows):
    return "\n".join([",".join(COLUMNS), *(",".join(row.get(name, "") for name in COLUMNS) for row in rows)]) + "\n"


def test_a_planted_stiffness_and_clamp_are_found_shown_and_kept_as_shown(form, bench):
    form.press("work")
    assert form.said == "Calibrated from 5 readings."
    kinds, clamp, readings, _words, picture = form.shown["found"]
    factor, sd = map(float, kinds.rows[0][2].split(" ± "))
    assert abs(factor - 0.95) < 2 * sd
    assert clamp.lines[0].startswith("Clamp: 0.0008")  # 1/1200 = 0.00083
    assert [row[3] for row in readings.rows] == [
        f"{float(r['raw_frequency_cpm']):.1f}" for r in form.values.rows("bare shafts")
    ]
    assert isinstance(picture, Picture)
    assert picture.svg.startswith("<svg")
    assert not shop_file(bench).exists()
    form.press("write")
    assert form.said == "Wrote parts/shop.toml: it counts for orders made with these parts."
    (kept,) = tomllib.loads(shop_file(bench).read_text(encoding="utf-8"))["calibrated"]
    assert f"{kept['ei_factor']:.3f}" == kinds.rows[0][2].split(" ± ")[0]
    assert bench.order().shop.calibrated[0].ei_factor == kept["ei_factor"]


def test_typed_rows_and_a_file_of_the_same_rows_are_one_thing(form, bench, bare_rows):
    form.press("work")
    typed = form.shown["found"]
    (bench.folder / "bare_shafts.csv").write_text(as_file(bare_rows(DEPTHS_IN, ei_factor=0.95)), encoding="utf-8")
    form.set_rows("bare shafts", [{}])
    form.put({"shafts": "bare_shafts.csv"})
    form.press("work")
    assert form.shown["found"] == typed


def test_finished_clubs_are_read_from_the_form_of_the_order_also_in_a_folder_of_its_tables(form, bench):
    clubs = [finished_club(club) for club in build_set(bench.order()).clubs]
    names = [club.plan.club for club in clubs]
    predicted = frequencies_cpm([card_of(club.plan, club.assembly) for club in clubs], ei_factor=0.96)
    header, *rows = measured_form(names).splitlines()
    cells = [row.split(",") for row in rows]
    column = header.split(",").index("frequency_cpm")
    for row, cpm in zip(cells, predicted, strict=True):
        row[column] = f"{cpm:.1f}"
    (bench.folder / "set").mkdir()
    text = "\n".join([header, *map(",".join, cells)]) + "\n"
    (bench.folder / "set" / "to_measure.csv").write_text(text, encoding="utf-8")
    form.set_rows("bare shafts", [{}])
    form.put({"clubs": "set/to_measure.csv", "stated": True})
    form.press("work")
    assert list(form.faults) == ["stated"]  # neither order nor shop.toml states the clamp
    shop_file(bench).write_text("[clamp]\nroot_compliance_rad_per_n_m = 0.0\n", encoding="utf-8")
    form.press("work")
    assert form.said == f"Calibrated from {len(names)} readings."
    assert form.shown["found"][0].rows[0][2].startswith("0.960 ")


def test_a_fault_of_a_typed_row_is_beside_its_cell_until_it_is_put_right(form):
    form.put({"bare shafts 2: raw_mass_g": "heavy", "bare shafts 4: shaft": None})
    form.press("work")
    assert set(form.faults) == {"bare shafts 2: raw_mass_g"}
    assert "heavy" in form.faults["bare shafts 2: raw_mass_g"][0]
    form.put({"bare shafts 2: raw_mass_g": "110"})
    form.press("work")
    assert set(form.faults) == {"bare shafts 4: shaft"}
    form.put({"bare shafts 1: clamp_in": "39"})
    form.press("")
    assert set(form.faults) == {"bare shafts 1: clamp_in"}
    assert form.shown["found"] == ()


def test_an_empty_row_between_others_does_not_move_a_fault(form, bare_rows):
    rows = bare_rows((5, 14))
    form.set_rows("bare shafts", [rows[0], {}, {**rows[1], "raw_frequency_cpm": "-3"}])
    form.press("work")
    assert set(form.faults) == {"bare shafts 3: raw_frequency_cpm"}


def test_readings_that_tell_nothing_apart_are_refused_with_the_reading_that_would(form, bare_rows):
    depths_in = [5, 10]
    for _ in range(4):
        form.set_rows("bare shafts", bare_rows(depths_in))
        form.press("work")
        if form.fine:
            break
        assert form.faults == {}
        depths_in.append(int(re.search(r"with (\d+) in in the clamp", form.said)[1]))
    assert len(depths_in) > 2
    assert form.said == f"Calibrated from {len(depths_in)} readings."


def test_what_is_kept_is_what_is_in_the_fields_and_was_shown(form, bench):
    form.press("write")
    assert form.said == NOT_AS_SHOWN
    assert not shop_file(bench).exists()
    form.put({"error": "0.7"})
    form.press("")
    assert form.shown["found"] == ()
    form.press("write")
    assert form.said == NOT_AS_SHOWN
    assert not shop_file(bench).exists()
    form.press("write")
    assert shop_file(bench).exists()


def test_a_file_that_changed_since_is_shown_anew_and_not_kept(form, bench, bare_rows):
    path = bench.folder / "bare_shafts.csv"
    path.write_text(as_file(bare_rows(DEPTHS_IN, ei_factor=0.95)), encoding="utf-8")
    form.set_rows("bare shafts", [{}])
    form.put({"shafts": "bare_shafts.csv"})
    form.press("work")
    path.write_text(as_file(bare_rows(DEPTHS_IN, ei_factor=0.9)), encoding="utf-8")
    form.press("write")
    assert form.said == NOT_AS_SHOWN
    factor, sd = map(float, form.shown["found"][0].rows[0][2].split(" ± "))
    assert abs(factor - 0.9) < 2 * sd
    assert not shop_file(bench).exists()


def test_an_older_calibration_is_replaced_only_with_its_tick_and_the_rest_stays(form, bench):
    text = 'name = "The shed"  # ours\n[clamp]\nroot_compliance_rad_per_n_m = 0.0\n'
    shop_file(bench).write_text(text, encoding="utf-8")
    form.press("work")
    form.press("write")
    assert "the clamp's give" in form.faults["replace"][0]
    assert shop_file(bench).read_text(encoding="utf-8") == text
    form.put({"replace": True})
    form.press("write")
    assert form.said.startswith("Wrote parts/shop.toml")
    assert form.fields["replace"].value is False
    kept = shop_file(bench).read_text(encoding="utf-8")
    assert kept.startswith('name = "The shed"  # ours\n')
    assert tomllib.loads(kept)["clamp"]["root_compliance_rad_per_n_m"] > 0


def test_without_parts_of_its_own_there_is_nothing_to_keep_it_in(form, bench):
    bench.choose()
    form.press("work")
    form.press("write")
    assert form.said.startswith("Nothing is written: the demo's parts have no shop.toml.")
    assert sorted(path.name for path in bench.folder.iterdir()) == ["class.toml", "parts"]


def test_what_another_form_saves_takes_the_result_away(form, bench):
    other = order_form(bench)
    form.press("work")
    assert other.save("new") is not None
    form.press("")
    assert form.shown["found"] == ()


@pytest.mark.parametrize("text", ["0", "-1", "nan", "half", "1_0"])
def test_an_error_of_a_reading_that_is_none_is_refused(form, text):
    form.put({"error": text})
    form.press("work")
    assert not form.fine
    assert form.shown["found"] == ()
