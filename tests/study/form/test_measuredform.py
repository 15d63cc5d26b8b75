"""What was measured, in the notebook: typed, judged as one types, saved as a revision, withdrawn with a reason."""

import shutil

import pytest

from trimkit.papers.record.readings import Fate, readings
from trimkit.papers.record.store import read_file
from trimkit.study import measured_form, order_form, plan_form, shop_bench


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A folder with an order and its record."""
    bench = shop_bench(tmp_path_factory.mktemp("made"))
    order_form(bench).save("client 08")
    plan_form(bench).press("record")
    return bench.folder


@pytest.fixture
def bench(made, tmp_path):
    shutil.copytree(made, tmp_path, dirs_exist_ok=True)
    bench = shop_bench(tmp_path)
    bench.choose(order_file="client 08.toml")
    return bench


@pytest.fixture
def form(bench):
    form = measured_form(bench)
    form.press("")
    return form


@pytest.fixture
def record(tmp_path):
    return lambda: read_file(tmp_path / "client 08.record.json")


def told(form):
    (lines,) = form.shown["findings"]
    return "\n".join(lines.lines)


def test_without_a_record_there_is_nothing_to_fill_in(tmp_path):
    form = measured_form(shop_bench(tmp_path))
    form.press("")
    assert form.faults == {}
    assert form.values.rows("readings") == []
    form.press("save")
    assert "No record is chosen" in form.faults["record"][0]


def test_the_benchs_own_record_is_chosen_with_a_line_for_each_of_its_clubs(form):
    assert form.values["record"] == "client 08.record.json"
    assert len(form.values.rows("readings")) == 10
    assert form.told["readings 6: name"] == "7-iron"
    assert form.told["readings 6: verdict"].split("\n")[0] == "not measured"


def test_what_is_typed_is_judged_at_once_and_counts_only_when_it_is_saved(form, record):
    predicted = record().latest.clubs[5].predicted.frequency_cpm
    form.fields["readings 6: frequency_cpm"].value = "308.3"
    form.fields["readings 7: playing_length_in"].value = "92.71 cm"  # 36 1/2 in x 2.54
    form.press("")
    assert form.said == "Not saved yet."
    verdict, differences = form.told["readings 6: verdict"].split("\n")
    assert verdict == "outside the tolerance: frequency"
    assert differences == f"frequency {308.3 - predicted:+.2f} cpm"
    assert form.told["readings 7: verdict"].startswith("as predicted")
    assert len(record().revisions) == 1
    form.fields["reason"].value = "after the cure"
    form.press("save")
    assert form.said == "Saved: 2 clubs measured, revision 2."
    latest = record().latest
    assert latest.reason == "after the cure"
    assert latest.clubs[6].measured.playing_length_in == pytest.approx(36.5)
    assert form.values["readings 6: frequency_cpm"] == ""
    assert form.hints["readings 6: frequency_cpm"] == "308.3"
    assert form.hints["readings 7: playing_length_in"] == "36.500"


def test_faults_are_beside_their_cells_and_keep_all_from_being_saved(form, record):
    form.put(
        {
            "readings 1: frequency_cpm": "292.4",
            "readings 2: frequency_cpm": "fast",
            "readings 3: playing_length_in": "38 apples",
            "readings 4: swingweight": "Q9",
            "readings 5: total_mass_g": "2",
            "readings 6: frequency_cpm": "3000",
            "readings 7: playing_length_in": "nan",
        }
    )
    form.press("save")
    assert set(form.faults) == {
        "readings 2: frequency_cpm",
        "readings 3: playing_length_in",
        "readings 4: swingweight",
        "readings 5: total_mass_g",
        "readings 6: frequency_cpm",
        "readings 7: playing_length_in",
    }
    assert form.said.startswith("Nothing is saved.")
    assert len(record().revisions) == 1
    assert form.values["readings 1: frequency_cpm"] == "292.4"


def test_a_shift_that_all_clubs_share_is_said_first(form, record):
    for place, club in enumerate(record().latest.clubs, start=1):
        form.fields[f"readings {place}: frequency_cpm"].value = f"{club.predicted.frequency_cpm - 12:.1f}"
    form.press("")
    first = told(form).split("\n")[0]
    assert "12.0 cpm" in first
    assert "calibrate" in told(form)


def test_a_second_reading_says_which_it_replaces_and_the_first_stays_in_its_revision(form, record):
    form.fields["readings 6: frequency_cpm"].value = "308.3"
    form.press("save")
    form.fields["readings 6: frequency_cpm"].value = "312.0"
    form.press("")
    assert "7-iron: frequency 312.0 cpm replaces 308.3 cpm of revision 2" in told(form)
    form.press("save")
    assert [(each.value, each.fate) for each in readings(record())] == [(308.3, Fate.REPLACED), (312.0, Fate.COUNTS)]


def test_a_wrong_reading_is_withdrawn_with_a_reason_only(form, record):
    form.fields["readings 6: frequency_cpm"].value = "308.3"
    form.press("save")
    form.press("withdraw")
    assert "Choose the club" in form.faults["club"][0]
    form.put({"club": 6, "what": "frequency"})
    form.press("withdraw")
    assert "no reason" in form.faults["why"][0]
    form.put({"why": "clamp was loose", "what": "swingweight"})
    form.press("withdraw")
    assert "no swingweight of the 7-iron counts now" in form.faults["what"][0]
    assert len(record().revisions) == 2
    form.fields["what"].value = "frequency"
    form.press("withdraw")
    assert "revision 3" in form.said
    (one,) = readings(record())
    assert (one.fate, one.why) == (Fate.WITHDRAWN, "clamp was loose")
    assert "readings 6: frequency_cpm" not in form.hints


def test_nothing_typed_and_nothing_saved(form, record):
    form.press("save")
    assert form.said == "Nothing is saved: no reading is typed in."
    assert len(record().revisions) == 1


def test_a_record_that_grew_meanwhile_is_not_lost(bench, form, record):
    other = measured_form(bench)
    other.press("")
    other.fields["readings 1: swingweight"].value = "D0"
    other.press("save")
    form.fields["readings 2: swingweight"].value = "D1"
    form.press("save")
    assert [club.measured is not None for club in record().latest.clubs[:3]] == [True, True, False]


def test_another_record_begins_with_empty_lines_and_a_damaged_one_is_told(bench, form, tmp_path):
    form.fields["readings 6: frequency_cpm"].value = "308.3"
    form.press("")
    (tmp_path / "other.record.json").write_bytes((tmp_path / "client 08.record.json").read_bytes())
    (tmp_path / "damaged.record.json").write_text("{", encoding="utf-8")
    form.fields["record"].value = "other.record.json"
    form.press("")
    assert form.values["readings 6: frequency_cpm"] == ""
    form.fields["record"].value = "damaged.record.json"
    form.press("")
    assert "damaged.record.json" in form.faults["record"][0]
    assert form.values.rows("readings") == []
