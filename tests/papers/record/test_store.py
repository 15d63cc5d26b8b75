"""A folder of records: which names it takes, and that nothing in it is lost."""

from datetime import datetime, timedelta

import pytest

from trimkit.papers.record.build import revised
from trimkit.papers.record.store import ENDING, RecordFolder, record_path, save_record
from trimkit.parts.errors import DataFileError, SaveError
from trimkit.parts.saving import one_writer


def test_names_are_sorted_and_only_records_count(tmp_path, record):
    store = RecordFolder(tmp_path)
    for name in ("c", "a", "b"):
        assert store.save(name, record) == tmp_path / f"{name}{ENDING}"
    (tmp_path / "a.html").write_text("x")
    assert store.names() == ("a", "b", "c")
    assert store.read("b") == record


def test_a_path_that_is_typed_must_be_that_of_a_record(tmp_path):
    assert record_path(tmp_path / f"client 07{ENDING}") == tmp_path / f"client 07{ENDING}"
    with pytest.raises(SaveError, match=r"'client 07\.json' is not a record's name"):
        record_path(tmp_path / "client 07.json")
    with pytest.raises(SaveError):
        record_path(tmp_path / f"..{ENDING}")


def test_what_is_not_there_or_not_whole_is_told_by_its_file(tmp_path):
    store = RecordFolder(tmp_path)
    with pytest.raises(DataFileError):
        store.read("client 07")
    store.path("a").write_text("{}")
    with pytest.raises(DataFileError) as caught:
        store.read("a")
    assert caught.value.faults[0].place.file == f"a{ENDING}"


def test_a_revision_that_was_changed_is_no_growth(tmp_path, woods, record):
    path = save_record(tmp_path / f"a{ENDING}", record)
    text = path.read_text()
    other = record.latest.model_copy(update={"reason": "another"})
    later = datetime.fromisoformat(record.latest.saved_at) + timedelta(days=1)
    for wrong in (
        record.model_copy(update={"revisions": (other,)}),
        revised(record.model_copy(update={"revisions": (other,)}), woods, later, reason="x", frequency_sd_cpm=[1, 1]),
    ):
        with pytest.raises(SaveError, match=r"it holds 1\) unchanged") as refusal:
            save_record(path, wrong)
        assert refusal.value.place.file == str(path)
        assert path.read_text() == text
    grown = revised(record, woods, later, reason="x", frequency_sd_cpm=[1, 1])
    assert save_record(path, grown) == path
    with pytest.raises(SaveError, match=r"it holds 2\) unchanged"):
        save_record(path, record)
    assert save_record(path, grown).read_text() == path.read_text()


def test_one_writer_at_a_time(tmp_path, record):
    with one_writer(tmp_path), pytest.raises(SaveError, match="another program is writing"):
        save_record(tmp_path / f"a{ENDING}", record)
