"""The record: whole, strict, growing only; an independent JSON Schema library agrees with it."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import jsonschema
import pytest

from trimkit.club.club import finished_club
from trimkit.club.order.file import order_tables
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set
from trimkit.club.shoptables import CalibratedShaft, Clamp, ShopFile
from trimkit.papers.measured import FinishedTolerances, measured_club
from trimkit.papers.record.build import first_record, reopened, revised, with_measurements
from trimkit.papers.record.compare import changes_table, compare
from trimkit.papers.record.file import read_record, record_text
from trimkit.papers.record.model import VERSION, schema_text
from trimkit.papers.record.store import RecordFolder
from trimkit.parts.catalogue import data_folder
from trimkit.parts.errors import BenchError, DataFileError, SaveError
from trimkit.shop.sampling import sample_sets
from trimkit.shop.spread import frequency_spread
from trimkit.trim.bore import BoreChoice
from trimkit.trim.wanted import Decisions

AT = datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)
BUILDS = {name: build_set(shipped_order(name)) for name in ("evening_class", "taper_soft_step", "wood_pair")}
BUILT = BUILDS["evening_class"]
RECORD = first_record(BUILT, AT, frequency_sd_cpm=[1.0] * len(BUILT.clubs))
OLD = Path(__file__).parent / "fixtures" / "record_version_1.json"


def left_softer():
    order = BUILT.order
    club = replace(order.clubs[-1], decisions=Decisions(bore=BoreChoice.LEAVE, why="part shots"))
    return build_set(replace(order, clubs=(*order.clubs[:-1], club)))


@pytest.mark.parametrize("built", BUILDS.values(), ids=BUILDS)
def test_a_record_is_read_back_as_it_was_and_built_again_to_the_same_cuts(built):
    record = read_record(record_text(first_record(built, AT)))
    assert record == first_record(built, AT)
    again = build_set(reopened(record.latest))
    assert [club.plan for club in again.clubs] == [club.plan for club in built.clubs]
    for written, club in zip(record.latest.clubs, built.clubs, strict=True):
        assert written.cuts.tip_trim_in == club.plan.tip_trim_in
        assert [step.reason for step in written.steps] == [step.reason for step in club.plan.steps]
        assert all(step.sources for step in written.steps)


def test_the_published_schema_is_this_one_and_the_standard_s_own_validator_accepts_it_and_every_record():
    """jsonschema is the outside check: JSON Schema draft 2020-12."""
    text = (data_folder() / "record.schema.json").read_text(encoding="utf-8")
    assert text == schema_text(), "run: python -m trimkit.papers.record.model > data/record.schema.json"
    validator = jsonschema.Draft202012Validator(json.loads(text))
    validator.check_schema(json.loads(text))
    for built in BUILDS.values():
        validator.validate(json.loads(record_text(first_record(built, AT))))
    bad = json.loads(record_text(RECORD))
    bad["revisions"][0]["order"]["assembly"]["ferrule_mass_g"] = -1
    assert not validator.is_valid(bad)


def change(path, value):
    document = json.loads(record_text(RECORD))
    part = document
    for key in path[:-1]:
        part = part[key]
    if value is None:
        del part[path[-1]]
    else:
        part[path[-1]] = value
    return json.dumps(document)


CLUB = ("revisions", 0, "clubs", 0)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (change(("version",), VERSION + 1), "written by a newer trimkit"),
        (change(("version",), "2"), "its version is '2'"),
        (change(("format",), "x"), "not a trimkit record"),
        (change((*CLUB, "predicted", "frequency_cpm"), float("nan")), "NaN is not a number"),
        (change((*CLUB, "predicted", "frequency_cpm"), 1e999), "Infinity is not a number"),
        (
            change((*CLUB, "predicted", "frequency_cpm"), 1.0).replace(
                '"frequency_cpm": 1.0', '"frequency_cpm": 1e999'
            ),
            "",
        ),
        (change((*CLUB, "predicted", "frequency_cpm"), "300"), "clubs > 1 > predicted > frequency_cpm"),
        (change((*CLUB, "cuts", "tip_trim_in"), 9.0), "do not add up"),
        (change((*CLUB, "head", "source"), None), "head > source"),
        (change((*CLUB, "head", "head_mass_g"), -3.0), "head_mass_g is -3"),
        (change((*CLUB, "colour"), "red"), "colour"),
        (change(("revisions", 0, "number"), 2), "not 1, 2, 3"),
        ("[" * 100_000, "nested too deeply"),
        ('{"format": "trimkit record", "format": "trimkit record"}', "given twice"),
        ("[]", "names and values"),
        (record_text(RECORD)[:-200], "not a JSON document"),
        ('{"format": "trimkit record", "version": 1}', "damaged record of version 1"),
    ],
)
def test_what_is_not_a_whole_record_is_a_sentence_with_its_place(text, sentence):
    with pytest.raises(DataFileError) as caught:
        read_record(text, "a.record.json")
    assert sentence in str(caught.value)
    assert all(fault.place.file == "a.record.json" and fault.next_step for fault in caught.value.faults)


def test_a_record_of_the_first_version_is_brought_up_with_nothing_lost():
    old = json.loads(OLD.read_text(encoding="utf-8"))
    record = read_record(OLD.read_text(encoding="utf-8"))
    assert (record.version, len(record.revisions)) == (VERSION, 1)
    assert record.latest.saved_at == old["saved_at"]
    now = json.loads(record_text(record))["revisions"][0]
    for before, after in zip(old["clubs"], now["clubs"], strict=True):
        assert before["cuts"] == after["cuts"]
        assert before["steps"] == after["steps"]
        assert after["predicted"]["frequency_sd_cpm"] is None
    assert read_record(record_text(record)) == record


def test_a_revision_is_added_and_the_older_ones_stay():
    again = revised(RECORD, left_softer(), AT + timedelta(days=1), reason="wedge for part shots")
    assert again.revisions[0] == RECORD.latest
    decision = again.latest.clubs[-1].decisions[0]
    assert decision.what.startswith("Left softer on purpose: 0.5 in")
    assert decision.why == "part shots"
    assert decision.effect_cpm < 0
    for wrong in ({"reason": " "}, {"reason": "x" * 3000}):
        with pytest.raises(BenchError):
            revised(RECORD, BUILT, AT, **wrong)
    with pytest.raises(BenchError, match="before the last one"):
        revised(RECORD, BUILT, AT - timedelta(days=1), reason="x")


@pytest.mark.parametrize("built", BUILDS.values(), ids=BUILDS)
def test_a_record_says_how_sure_each_frequency_is_and_what_that_rests_on(built):
    """By another way, random draws: the spread of 4000 sets is the record's within 5 %, 4.5 standard errors of it."""
    written = first_record(built, AT).latest.clubs
    plans = [club.plan for club in built.clubs]
    draws = sample_sets(plans, assembly=built.order.assembly, sets=4000).deviation_cpm
    assert [club.predicted.frequency_sd_cpm for club in written] == pytest.approx(draws.std(axis=0), rel=0.05)
    for club in written:
        (note,) = [note for note in club.notes if "Standard deviation" in note.text]
        assert f"{club.predicted.frequency_sd_cpm:.1f} cpm" in note.text
        assert "from memory" in note.text


def test_a_club_with_no_room_for_the_tolerances_has_no_spread_and_a_note_says_why_the_others_keep_theirs():
    order = BUILT.order
    head = replace(order.clubs[0].head, bbgl_in=order.clubs[0].head.bbgl_in - BUILT.clubs[0].plan.tip_trim_in + 0.03)
    clubs = (replace(order.clubs[0], head=head), *order.clubs[1:])
    spread = frequency_spread(build_set(replace(order, clubs=clubs)))
    assert spread[0].sd_cpm is None
    assert "its tip trim is" in spread[0].note.text
    assert [each.sd_cpm for each in spread[1:]] == pytest.approx([each.sd_cpm for each in frequency_spread(BUILT)[1:]])


def test_measured_clubs_get_differences_and_a_verdict_with_tolerances_of_a_known_standing():
    club = RECORD.latest.clubs[0]
    near = measured_club(
        playing_length=f"{club.cuts.playing_length_in * 2.54} cm", frequency_cpm=club.predicted.frequency_cpm - 1.5
    )
    far = measured_club(frequency_cpm=RECORD.latest.clubs[1].predicted.frequency_cpm + 9, swingweight="D9")
    found = with_measurements(RECORD, {0: near, 1: far}, AT, reason="measured after the cure").latest.clubs
    assert found[0].verdict == "as predicted"
    assert found[0].findings[1].difference == pytest.approx(-1.5)
    assert found[1].verdict == "outside the tolerance: frequency, swingweight"
    assert found[2].verdict == "not measured"
    assert all(finding.tolerance_source.text for each in found for finding in each.findings)
    loose = FinishedTolerances(frequency_cpm=10, swingweight_points=30)
    assert (
        with_measurements(RECORD, {1: far}, AT, reason="x", tolerances=loose).latest.clubs[1].verdict == "as predicted"
    )
    with pytest.raises(BenchError, match="no club at place 99"):
        with_measurements(RECORD, {99: far}, AT, reason="x")


@pytest.mark.parametrize("values", [{"frequency_cpm": float("nan")}, {"total_mass": "14 in"}, {"swingweight": "H1"}])
def test_a_measurement_no_club_can_have_is_refused(values):
    with pytest.raises(BenchError):
        measured_club(**values)


def test_two_builds_are_compared_value_by_value():
    again = revised(RECORD, left_softer(), AT, reason="x", frequency_sd_cpm=[1.0] * len(BUILT.clubs))
    assert compare(RECORD.latest, RECORD.latest) == ()
    changes = compare(*again.revisions)
    assert {change.club for change in changes} == {BUILT.clubs[-1].plan.club}
    trim = next(change for change in changes if change.what == "cuts tip_trim_in")
    assert trim.difference == pytest.approx(-0.5)
    assert "decisions" in {change.what for change in changes}
    assert len(changes_table(changes)) == len(changes)


def test_a_folder_keeps_records_and_refuses_to_lose_a_revision(tmp_path):
    store = RecordFolder(tmp_path / "client records")
    assert store.names() == ()
    store.save("client 07", RECORD)
    mine, yours = (revised(RECORD, BUILT, AT, reason=who) for who in ("mine", "yours"))
    store.save("client 07", mine)
    with pytest.raises(SaveError, match="somebody else may have saved it"):
        store.save("client 07", yours)
    with pytest.raises(SaveError, match="does not carry every revision"):
        store.save("client 07", RECORD)
    assert store.read("client 07") == mine
    assert store.names() == ("client 07",)
    assert [path.name for path in store.folder.iterdir()] == ["client 07.record.json"]


@pytest.mark.parametrize("name", ["../out", "a/b", "a\\b", "", " ", ".hidden", "n" * 300, "a\nb", "c:d", "..", "nul\0"])
def test_a_name_that_leads_out_of_the_folder_is_refused(tmp_path, name):
    with pytest.raises(SaveError):
        RecordFolder(tmp_path).save(name, RECORD)
    assert not list(tmp_path.iterdir())


def test_a_link_out_of_the_folder_is_not_followed(tmp_path):
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "a.record.json").symlink_to(tmp_path / "out.json")
    with pytest.raises(SaveError, match="a link"):
        RecordFolder(tmp_path / "in").save("a", RECORD)
    assert not (tmp_path / "out.json").exists()


def test_a_torn_or_newer_file_is_not_replaced(tmp_path):
    store = RecordFolder(tmp_path)
    for text in (record_text(RECORD)[:500], change(("version",), VERSION + 1)):
        store.path("a").write_text(text, encoding="utf-8")
        with pytest.raises(DataFileError):
            store.save("a", RECORD)
        assert store.path("a").read_text(encoding="utf-8") == text


def _without_walls(name="evening_class"):
    order = BUILDS[name].order
    return build_set(replace(order, shaft=replace(order.shaft, sections=(), stations=())))


@pytest.mark.parametrize("name", BUILDS)
def test_a_build_without_walls_is_recorded_read_back_and_built_again(name):
    built = _without_walls(name)
    text = record_text(first_record(built, AT))
    record = read_record(text)
    jsonschema.validate(json.loads(text), json.loads(schema_text()))
    for club, same in zip(record.latest.clubs, BUILDS[name].clubs, strict=True):
        assert club.predicted is None
        assert built.order.shaft.name in club.no_prediction
        assert "standard deviation" not in " ".join(note.text for note in club.notes)
        assert club.cuts.tip_trim_in == same.plan.tip_trim_in
        assert club.verdict == "not measured"
    assert [club.plan for club in build_set(reopened(record.latest)).clubs] == [club.plan for club in built.clubs]


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        ({"playing_length": 38.52}, "length as planned; nothing else was predicted"),
        ({"playing_length": 38.7, "frequency_cpm": 300.0}, "outside the tolerance: playing length"),
        ({"frequency_cpm": 300.0, "swingweight": "D1", "total_mass": 410.0}, "measured; nothing was predicted"),
    ],
)
def test_what_a_club_without_a_prediction_measured_is_kept_and_its_length_compared(values, verdict):
    record = first_record(_without_walls(), AT)
    place = next(n for n, club in enumerate(record.latest.clubs) if club.cuts.playing_length_in == 38.5)
    measured = measured_club(**values)
    record = read_record(record_text(with_measurements(record, {place: measured}, AT, reason="measured")))
    club = record.latest.clubs[place]
    assert (club.measured, club.verdict) == (measured, verdict)
    assert [each.quantity for each in club.findings] == ["playing length"] * ("playing_length" in values)


def test_walls_that_become_known_change_the_predictions_alone():
    record = first_record(_without_walls(), AT)
    record = revised(record, BUILT, AT, reason="the maker sent the walls", frequency_sd_cpm=[1.0] * len(BUILT.clubs))
    changes = compare(*record.revisions)
    clubs = [change for change in changes if change.club != "whole set"]
    assert {change.what.split()[0] for change in clubs} == {"predicted"}
    (first, *_) = [change for change in clubs if change.what == "predicted frequency_cpm"]
    assert (first.before, first.after) == ("none", str(finished_club(BUILT.clubs[0]).frequency_cpm))


def test_a_prediction_has_the_weight_in_that_the_wanted_swingweight_needs():
    """What the card tells to add is in the club that is measured: the record foresees it so."""
    built = build_set(replace(shipped_order(), wanted_swingweight="D1"))
    for club, recorded in zip(built.clubs, first_record(built, AT).latest.clubs, strict=True):
        foreseen, need = recorded.predicted, club.need
        assert foreseen.add_tip_weight_g == pytest.approx(need.add_g, abs=1e-9)
        assert foreseen.total_mass_g == pytest.approx(club.total_mass_g + need.add_g, abs=1e-9)
        assert foreseen.swingweight_oz_in == pytest.approx(213.5 + 1.75, abs=1e-9)
        assert foreseen.frequency_cpm == pytest.approx(need.frequency_cpm, abs=1e-9)
        assert foreseen.frequency_cpm < club.frequency_cpm


def test_more_than_a_tip_weight_is_not_foreseen():
    built = build_set(replace(shipped_order(), wanted_swingweight="F0"))
    for club, recorded in zip(built.clubs, first_record(built, AT).latest.clubs, strict=True):
        assert club.need.add_g > 20
        assert recorded.predicted.add_tip_weight_g == 0
        assert recorded.predicted.frequency_cpm == club.frequency_cpm


def test_a_build_with_a_shops_own_file_is_built_again_as_it_was_and_the_file_is_compared():
    kind = CalibratedShaft(shaft=BUILT.order.shaft.name, ei_factor=0.9, measured_on=date(2026, 11, 20))
    shop = ShopFile(clamp=Clamp(clamp_in=5.5, root_compliance_rad_per_n_m=1e-4), calibrated=(kind,))
    built = build_set(order_from_tables(order_tables(BUILT.order), BUILT.order.catalogue, shop=shop))
    revision = read_record(record_text(first_record(built, AT))).latest
    assert revision.shop == shop
    again = build_set(reopened(revision))
    assert again.clubs == built.clubs
    assert order_tables(again.order) == order_tables(built.order)
    changes = {change.what: change for change in compare(RECORD.latest, revision)}
    assert changes["shop's own file clamp clamp_in"].after == "5.5"
    assert changes["shop's own file calibrated 1 ei_factor"].after == "0.9"
    assert changes["shaft ei_factor"].difference == pytest.approx(-0.1)
