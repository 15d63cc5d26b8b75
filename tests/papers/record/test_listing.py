"""The records of a folder in a list: what it says of each, and how each is found."""

import csv
import io
import json
import time
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.measured import measured_club
from trimkit.papers.record.build import first_record, with_measurements
from trimkit.papers.record.file import record_text
from trimkit.papers.record.listing import asked_for, listed_records, listing_csv, listing_lines
from trimkit.papers.record.store import RecordFolder
from trimkit.parts.errors import BenchError

OLD = sorted((Path(__file__).parent / "fixtures").glob("record_version_*.json"))


def on(day, hour=12):
    return datetime(2026, 3, day, hour, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path, record):
    """Three records: the pair of woods measured, the evening class not, and one of a person without capitals."""
    store = RecordFolder(tmp_path / "records")
    predicted = record.latest.clubs[0].predicted.frequency_cpm
    found = {0: measured_club(frequency_cpm=predicted + 9.0), 1: measured_club(playing_length=43.0)}
    store.save("woods", with_measurements(record, found, on(5), reason="measured"))
    store.save("irons", first_record(build_set(shipped_order()), on(6)))
    taper = replace(shipped_order("taper_soft_step"), client="Straße  O'Neill", title="tapers")
    store.save("tapers", first_record(build_set(taper), on(7)))
    return store.folder


def files(records):
    return [each.file.removesuffix(".record.json") for each in records]


def test_each_record_is_listed_by_its_newest_revision_the_newest_first(folder, record):
    found, faults = listed_records(folder)
    assert (files(found), faults) == (["tapers", "irons", "woods"], ())
    woods = found[2]
    order = record.latest.order
    assert (woods.client, woods.title, woods.shafts) == (order.client, order.title, (order.shaft,))
    assert (woods.clubs, woods.revisions, woods.measured) == (("driver", "3-wood"), 2, 2)
    assert woods.verdict == "all measured, outside tolerance: driver frequency"
    assert found[1].verdict == "not measured"
    assert woods.saved_at == on(5)


@pytest.mark.parametrize(
    ("findings", "measured", "verdict"),
    [
        (None, 1, "1 of 2 measured, within tolerance"),
        ((), 2, "all measured, nothing to compare with"),
    ],
)
def test_what_was_measured_is_said_in_words(tmp_path, record, findings, measured, verdict):
    club = record.latest.clubs[0]
    values = measured_club(total_mass=club.predicted.total_mass_g)
    done = with_measurements(record, dict.fromkeys(range(measured), values), on(5), reason="measured")
    if findings is not None:
        clubs = tuple(each.model_copy(update={"findings": findings}) for each in done.latest.clubs)
        latest = done.latest.model_copy(update={"clubs": clubs})
        done = done.model_copy(update={"revisions": (*done.revisions[:-1], latest)})
    RecordFolder(tmp_path).save("one", done)
    assert listed_records(tmp_path)[0][0].verdict == verdict


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({}, ["tapers", "irons", "woods"]),
        ({"client": "STRASSE"}, ["tapers"]),
        ({"client": "o'neill straße"}, ["tapers"]),
        ({"client": "client"}, ["irons", "woods"]),
        ({"client": "client 07"}, ["irons"]),
        ({"shaft": "Graphite"}, ["woods"]),
        ({"shaft": "steel 110 PARALLEL"}, ["irons"]),
        ({"club": "7i"}, ["tapers", "irons"]),
        ({"club": "3"}, ["irons", "woods"]),  # a hybrid, a wood
        ({"club": "Driver"}, ["woods"]),
        ({"club": "2-iron"}, []),
        ({"since": date(2026, 3, 6)}, ["tapers", "irons"]),
        ({"until": date(2026, 3, 6)}, ["irons", "woods"]),
        ({"since": date(2026, 3, 6), "until": date(2026, 3, 6)}, ["irons"]),
        ({"since": date(2026, 3, 6), "shaft": "steel", "client": "client"}, ["irons"]),
    ],
)
def test_records_are_found_by_all_that_is_asked_for(folder, asked, found):
    assert files(asked_for(listed_records(folder)[0], **asked)) == found


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"club": "seven"}, "not the name of a club"),
        ({"since": date(2026, 3, 7), "until": date(2026, 3, 6)}, "the earlier day first"),
    ],
)
def test_a_question_that_no_record_can_fit_is_refused(folder, asked, sentence):
    with pytest.raises(BenchError, match=sentence):
        asked_for(listed_records(folder)[0], **asked)


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="the time zone of a process is set on POSIX only")
def test_a_day_is_that_of_the_bench(tmp_path, record, monkeypatch):
    evening = with_measurements(record, {}, on(9, 3), reason="in the evening")  # 22:00 the day before, at UTC-5
    RecordFolder(tmp_path).save("one", evening)
    try:
        monkeypatch.setenv("TZ", "XXX5")
        time.tzset()
        found, _ = listed_records(tmp_path)
        assert found[0].saved_on == date(2026, 3, 8)
        assert asked_for(found, until=date(2026, 3, 8)) == found
    finally:
        monkeypatch.undo()
        time.tzset()


def test_the_quick_reading_and_the_full_one_say_the_same(folder):
    assert listed_records(folder) == listed_records(folder, in_full=True)


@pytest.mark.parametrize("old", OLD, ids=lambda path: path.stem)
def test_a_record_of_an_older_version_is_listed_too(tmp_path, old):
    text = old.read_text(encoding="utf-8")
    (tmp_path / "old.record.json").write_text(text, encoding="utf-8")
    ((listed,), faults) = listed_records(tmp_path)
    assert ((listed,), faults) == listed_records(tmp_path, in_full=True)
    document = json.loads(text)
    last = document.get("revisions", [document])[-1]
    assert faults == ()
    assert (listed.client, listed.title) == (last["order"]["client"], last["order"]["title"])
    assert listed.clubs == tuple(club["club"] for club in last["clubs"])


def test_folders_below_are_looked_into_when_asked(folder, record):
    below = folder / "2025" / "spring"
    below.mkdir(parents=True)
    (below / "woods.record.json").write_text(record_text(record), encoding="utf-8")
    assert len(listed_records(folder)[0]) == 3
    found, faults = listed_records(folder, subfolders=True)
    assert ([each.file for each in found][-1], len(found), faults) == ("2025/spring/woods.record.json", 4, ())


def test_the_table_in_lines_and_the_file_say_the_same(folder):
    found, _ = listed_records(folder)
    head, *lines = listing_lines(found)
    rows = list(csv.DictReader(io.StringIO(listing_csv(found))))
    assert len(lines) == len(rows) == 3
    for line, row, each in zip(lines, rows, found, strict=True):
        cells = [line[head.index(name) :].split("  ")[0] for name in ("date", "client", "shafts", "clubs", "revisions")]
        assert cells[:3] == [row["date"], row["client"], row["shafts"]]
        assert cells[3:] == [str(len(row["clubs"].split("; "))), row["revisions"]]
        assert each.verdict in line
        assert line.endswith(f"  {row['file']}")
    assert rows[2]["outside_tolerance"] == "driver frequency"
    assert rows[0]["client"] == "Straße O'Neill"
    assert listing_lines(()) == []
