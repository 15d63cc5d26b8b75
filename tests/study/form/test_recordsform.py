"""The records of the folder in the notebook: found by what one types, shown whole, compared."""

from datetime import UTC, datetime

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.measured import measured_club
from trimkit.papers.record.build import first_record, with_measurements
from trimkit.papers.record.store import save_record
from trimkit.study import records_form, shop_bench

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
LATER = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("records")
    irons = first_record(build_set(shipped_order("evening_class")), NOON)
    read = {5: measured_club(frequency_cpm=308.3)}
    save_record(folder / "irons.record.json", with_measurements(irons, read, LATER, reason="measured"))
    save_record(folder / "woods.record.json", first_record(build_set(shipped_order("wood_pair")), NOON))
    return folder


@pytest.fixture
def form(folder):
    form = records_form(shop_bench(folder))
    form.press("")
    return form


def files(form):
    rows, *_ = form.shown["list"]
    return [row[-1] for row in rows.rows] if hasattr(rows, "rows") else []


def below(form):
    return "\n".join(line for lines in form.shown["below"] for line in lines.lines)


def test_all_records_the_newest_first_each_by_its_newest_revision(form):
    assert files(form) == ["irons.record.json", "woods.record.json"]
    rows, count = form.shown["list"]
    assert rows.rows[0][0] == "2026-05-02"
    assert rows.rows[0][4:7] == ("10", "2", "1 of 10 measured, outside tolerance: 7-iron frequency")
    assert count.lines == ("2 records in this folder.",)


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"club": "7i"}, ["irons.record.json"]),
        ({"club": "driver"}, ["woods.record.json"]),
        ({"shaft": "GRAPHITE"}, ["woods.record.json"]),
        ({"since": "2026-04-01"}, ["irons.record.json"]),
        ({"until": "2026-04-01"}, ["woods.record.json"]),
        ({"client": "nobody at all"}, []),
    ],
)
def test_found_by_what_is_typed(form, asked, found):
    form.put(asked)
    form.press("")
    assert files(form) == found


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"since": "14.3.2026"}, "since"),
        ({"until": "yesterday"}, "until"),
        ({"since": "2026-05-01", "until": "2026-04-01"}, "until"),
        ({"club": "9 x"}, "club"),
    ],
)
def test_what_cannot_be_looked_for_is_told_beside_its_field(form, asked, field):
    form.put(asked)
    form.press("")
    assert list(form.faults) == [field]


def test_a_record_is_shown_with_every_reading_and_revision_the_newest_or_an_older(form):
    form.press("show")
    assert "No record is chosen" in form.faults["record"][0]
    form.fields["record"].value = "irons.record.json"
    form.press("show")
    assert "frequency 308.3 cpm (revision 2" in below(form)
    form.fields["revision"].value = "1"
    form.press("show")
    assert "308.3" not in below(form)
    for wrong in ("3", "0", "-1", "one", "²", "9" * 400):
        form.fields["revision"].value = wrong
        form.press("show")
        assert "Allowed: 1 to 2" in form.faults["revision"][0]
        assert below(form) == ""


def test_two_revisions_and_two_records_are_compared(form):
    form.fields["record"].value = "irons.record.json"
    form.press("compare")
    assert "7-iron: measured frequency 308.3 cpm, before none" in below(form)
    assert below(form).startswith("before: irons.record.json, revision 1 of 2")
    form.fields["other"].value = "woods.record.json"
    form.press("compare")
    assert below(form).startswith("before: woods.record.json, revision 1 of 1")
    assert "7-iron: on the head class 7-iron, before not in the set" in below(form)
    form.put({"other": "", "revision": "1"})
    form.press("compare")
    assert "the first revision" in form.faults["other"][0]


def test_a_damaged_file_is_named_and_the_others_are_listed(tmp_path, folder):
    (tmp_path / "a.record.json").write_bytes((folder / "woods.record.json").read_bytes())
    (tmp_path / "b.record.json").write_text("[]", encoding="utf-8")
    form = records_form(shop_bench(tmp_path))
    form.press("")
    assert files(form) == ["a.record.json"]
    assert "b.record.json" in form.shown["list"][1].lines[1]
    form.fields["record"].value = "b.record.json"
    form.press("show")
    assert "b.record.json" in form.faults["record"][0]
