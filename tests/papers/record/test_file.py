"""A record's text is read strictly: every bound at its edge, every fault at its place."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record, reopened
from trimkit.papers.record.file import MOST_IN_A_LIST, MOST_NAMES, read_record, record_text
from trimkit.papers.record.model import VERSION, RecordedNote
from trimkit.parts.errors import DataFileError, SaveError
from trimkit.parts.sources import Source, Standing
from trimkit.trim.steps import Severity


@pytest.fixture
def document(record):
    return json.loads(record_text(record))


def faults(document, file="a.record.json"):
    text = document if isinstance(document, str) else json.dumps(document)
    with pytest.raises(DataFileError) as caught:
        read_record(text, file)
    return caught.value.faults


def note(text):
    return RecordedNote(severity=Severity.NOTE, text=text, next_step="x", source=Source("made up", Standing.INVENTED))


def of_version_4(document):
    """The same record as version 4 wrote it: without settings of the shop's own."""
    old = json.loads(json.dumps(document)) | {"version": 4}
    for revision in old["revisions"]:
        assert revision.pop("shop") is None
        for shaft in revision["parts"]["shafts"]:
            assert shaft.pop("ei_factor") == 1.0
    return old


def of_version_3(document):
    """The same record as version 3 wrote it: one shaft and one grip for all clubs."""
    old = of_version_4(document) | {"version": 3}
    for revision in old["revisions"]:
        for shaft in revision["parts"]["shafts"]:
            del shaft["most_tip_trim_in"]
        for part in ("shaft", "grip"):
            (revision["parts"][part],) = revision["parts"].pop(f"{part}s")
            for club in revision["clubs"]:
                assert club.pop(part) == revision["parts"][part]["name"]
    return old


def with_notes(record, notes):
    revision = record.latest
    club = revision.clubs[0].model_copy(update={"notes": notes})
    revision = revision.model_copy(update={"clubs": (club, *revision.clubs[1:])})
    return record.model_copy(update={"revisions": (revision,)})


def test_what_is_written_is_what_is_read(record):
    text = record_text(record)
    assert read_record(text) == record
    assert text == record_text(read_record(text))
    assert text.endswith("}\n")


@pytest.mark.parametrize("version", [True, 0, -1, 1.5, "2", None])
def test_a_version_is_a_whole_number_from_1(document, version):
    (fault,) = faults(document | {"version": version})
    assert fault.given == f"its version is {version!r}"
    assert fault.allowed == f"a number from 1 to {VERSION}"
    assert fault.place.file == "a.record.json"


def test_a_newer_version_is_named_and_read_no_further(document):
    (fault,) = faults({"format": document["format"], "version": VERSION + 1, "anything": 1})
    assert f"record version {VERSION + 1}" in fault.given
    assert fault.allowed == f"versions up to {VERSION}"
    assert "left as it is" in fault.next_step


def test_without_a_name_a_fault_is_of_the_record(document):
    with pytest.raises(DataFileError) as caught:
        read_record("{}")
    assert caught.value.faults[0].place.file == "the record"


@pytest.mark.parametrize("count", [MOST_NAMES, MOST_NAMES + 1])
def test_as_many_names_in_one_place_as_any_record_needs(count):
    (fault,) = faults(json.dumps({str(n): n for n in range(count)}))
    assert ("not a JSON document" in fault.given) == (count > MOST_NAMES)
    if count > MOST_NAMES:
        assert f"{count} names are in one place" in fault.given


@pytest.mark.parametrize("where", ["top", "deep"])
def test_a_list_is_as_long_as_any_record_needs(document, where):
    """The longest counts, wherever it stands; what stands beside it is then not looked at."""
    for count in (MOST_IN_A_LIST, MOST_IN_A_LIST + 1):
        if where == "top":
            document["revisions"] = [1] * count
        else:
            document["revisions"][0]["clubs"][1]["notes"] = [[], [1] * count, 2]
        first = faults(document)[0]
        assert (first.given == f"a list of {count} is in it") == (count > MOST_IN_A_LIST)
    assert first.allowed == f"at most {MOST_IN_A_LIST}"
    assert first.place.file == "a.record.json"


def test_a_record_is_not_written_larger_than_it_can_be_read(record):
    large = with_notes(record, tuple(note("n" * 2000) for _ in range(MOST_IN_A_LIST)))
    with pytest.raises(SaveError, match="grown to more than 10 MB"):
        record_text(large)
    smaller = with_notes(record, tuple(note("n" * 2000) for _ in range(1000)))
    assert read_record(record_text(smaller)) == smaller


def test_half_a_character_cannot_be_written_or_read(record, document):
    with pytest.raises(DataFileError, match="half of a surrogate pair"):
        record_text(with_notes(record, (note("x").model_copy(update={"text": "x\ud800"}),)))
    document["revisions"][0]["reason"] = "x\ud800"
    (fault,) = faults(document)
    assert "half of a surrogate pair" in fault.given


def test_every_fault_of_the_first_bad_club_is_told_with_its_place(document):
    club = document["revisions"][0]["clubs"][1]
    club["flex"] = 5
    club["cuts"]["tip_trim_in"] = "x"
    club["steps"][2]["reason"] = None
    told = faults(document)
    places = {fault.place.key for fault in told}
    start = "revisions > 1 > clubs > 2 > "
    assert places >= {f"{start}flex", f"{start}cuts > tip_trim_in", f"{start}steps > 3 > reason"}
    assert {fault.place.file for fault in told} == {"a.record.json"}
    assert {fault.allowed for fault in told} == {"what record.schema.json says"}
    assert not [fault.given for fault in told if fault.given.endswith(".") or fault.given.startswith("Value error")]


def test_a_fault_in_a_sentence_of_ours_is_told_without_the_library_s_words(document):
    document["revisions"][0]["clubs"][0]["cuts"]["butt_trim_in"] += 1e-5
    fault = faults(document)[0]
    assert fault.given.startswith("the cuts of driver do not add up to the raw length: -1e-05 in are left")
    assert fault.place.key == "revisions > 1 > clubs > 1"
    document["revisions"][0]["clubs"][0]["cuts"]["butt_trim_in"] -= 1e-5 - 1e-8  # a rounding
    assert read_record(json.dumps(document)).latest.clubs[0].club == "driver"


def test_a_gap_is_never_filled(document):
    """Where a part of the package would fill in a usual value, the reader tells the place instead."""
    del document["revisions"][0]["clubs"][1]["head"]["source"]
    del document["revisions"][0]["parts"]["grips"][0]["source"]
    told = faults(document)
    assert {fault.place.key for fault in told} == {
        "revisions > 1 > clubs > 2 > head > source",
        "revisions > 1 > parts > grips > 1 > source",
    }
    assert {fault.allowed for fault in told} == {"every value written out"}


def test_a_record_of_version_1_gets_what_it_could_not_hold(document):
    revision = of_version_3(document)["revisions"][0]
    old = {name: value for name, value in revision.items() if name not in ("number", "reason")}
    old |= {"format": document["format"], "version": 1}
    for club in old["clubs"]:
        del club["decisions"], club["findings"], club["predicted"]["frequency_sd_cpm"]
    record = read_record(json.dumps(old))
    assert (record.version, record.latest.number, record.latest.reason) == (VERSION, 1, "first plan")
    assert [club.predicted.frequency_sd_cpm for club in record.latest.clubs] == [None, None]
    assert [(club.decisions, club.findings) for club in record.latest.clubs] == [((), ())] * 2
    assert record.latest.saved_at == revision["saved_at"]
    del old["clubs"][0]["predicted"]
    (fault,) = faults(old)
    assert "damaged record of version 1" in fault.given


def test_nesting_without_end_is_told(document):
    document["revisions"] = "here"
    text = json.dumps(document).replace('"here"', "[" * 50_000 + "]" * 50_000)
    (fault,) = faults(text)
    assert fault.given == "it is nested too deeply"
    assert (fault.allowed, fault.next_step) == ("a trimkit record", "restore a good copy")


def test_a_record_of_version_2_knows_no_bbgl_reference_and_is_planned_again_all_the_same():
    built = build_set(shipped_order("taper_soft_step"))
    new = json.loads(record_text(first_record(built, datetime(2026, 5, 1, tzinfo=UTC))))
    old = of_version_3(new) | {"version": 2}
    for row in old["revisions"][0]["parts"]["raw_lengths"]:
        assert row.pop("bbgl_reference_in") == 1.0
    record = read_record(json.dumps(old))
    assert record.version == VERSION
    assert {row.bbgl_reference_in for row in record.latest.parts.raw_lengths} == {None}
    again = build_set(reopened(record.latest))
    assert [club.plan.cut_length_in for club in again.clubs] == [club.plan.cut_length_in for club in built.clubs]
    del old["revisions"][0]["parts"]
    (fault,) = faults(old)
    assert "damaged record of version 2" in fault.given


def test_a_record_of_version_3_gives_every_club_its_one_shaft_and_grip(document):
    old = of_version_3(document)
    record = read_record(json.dumps(old))
    for revision in document["revisions"]:
        revision["parts"]["shafts"][0]["most_tip_trim_in"] = None
    assert json.loads(record_text(record)) == document
    assert record.version == VERSION
    del old["revisions"][0]["parts"]["grip"]
    (fault,) = faults(old)
    assert "damaged record of version 3" in fault.given


def test_a_record_that_version_3_wrote_opens_and_gives_the_same_cuts():
    text = (Path(__file__).parent / "fixtures" / "record_version_3.json").read_text(encoding="utf-8")
    written = json.loads(text)
    assert written["version"] == 3
    record = read_record(text)
    assert len(record.revisions) == len(written["revisions"]) == 2
    for revision, old in zip(record.revisions, written["revisions"], strict=True):
        cuts = [club["cuts"] for club in old["clubs"]]
        assert [club.cuts.model_dump() for club in revision.clubs] == cuts
        for club, recorded in zip(build_set(reopened(revision)).clubs, cuts, strict=True):
            assert club.plan.tip_trim_in == pytest.approx(recorded["tip_trim_in"], abs=1e-9)
            assert club.plan.cut_length_in == pytest.approx(recorded["cut_length_in"], abs=1e-9)
    assert record.latest.clubs[0].measured.frequency_cpm == 251.0


def test_a_record_of_version_4_had_no_shop_file(document):
    old = of_version_4(document)
    assert json.loads(record_text(read_record(json.dumps(old)))) == document
    del old["revisions"][0]["parts"]["shafts"]
    (fault,) = faults(old)
    assert "damaged record of version 4" in fault.given


def test_a_record_that_version_4_wrote_opens_and_gives_the_same_cuts_and_predictions():
    text = (Path(__file__).parent / "fixtures" / "record_version_4.json").read_text(encoding="utf-8")
    written = json.loads(text)
    assert written["version"] == 4
    record = read_record(text)
    assert [revision.shop for revision in record.revisions] == [None] * len(written["revisions"])
    for revision, old in zip(record.revisions, written["revisions"], strict=True):
        for club, recorded in zip(build_set(reopened(revision)).clubs, old["clubs"], strict=True):
            assert club.plan.tip_trim_in == pytest.approx(recorded["cuts"]["tip_trim_in"], abs=1e-9)
            assert club.frequency_cpm == pytest.approx(recorded["predicted"]["frequency_cpm"], rel=1e-9)


@pytest.mark.parametrize("missing", ["predicted", "cuts"])
def test_a_prediction_may_be_null_and_never_left_out(document, missing):
    del document["revisions"][0]["clubs"][0][missing]
    assert f"revisions > 1 > clubs > 1 > {missing}" in {fault.place.key for fault in faults(document)}


def test_a_record_with_half_of_a_shafts_walls_is_refused():
    document = json.loads(record_text(first_record(build_set(shipped_order()), datetime(2026, 1, 2, tzinfo=UTC))))
    document["revisions"][0]["parts"]["shafts"][0]["sections"][4]["wall_in"] = None
    assert any("has no wall and others have one" in fault.given for fault in faults(document))


def test_a_prediction_is_null_only_beside_a_note_that_says_why(document):
    document["revisions"][0]["clubs"][0]["predicted"] = None
    assert any("no prediction and no note that says why" in fault.given for fault in faults(document))
