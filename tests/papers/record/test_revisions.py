"""How a record grows: numbers, times, reasons, measurements; and that it can be built again from itself alone."""

import tomllib
from datetime import UTC, datetime, timedelta, timezone

import pytest

import trimkit
from trimkit.club.order.file import order_tables
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record, reopened, revised, with_measurements
from trimkit.papers.record.model import MOST_REVISIONS, Measured
from trimkit.parts.errors import BenchError

AT = datetime(2026, 1, 2, 3, 4, 5, 678, tzinfo=UTC)
SPREAD = [1.5, 2.5]


def measured(**values):
    names = ("playing_length_in", "frequency_cpm", "swingweight_oz_in", "total_mass_g")
    return Measured(**dict.fromkeys(names) | {"remark": ""} | values)


def test_the_first_revision_says_when_by_what_and_why(woods):
    record = first_record(woods, AT.astimezone(timezone(timedelta(hours=-5))), frequency_sd_cpm=SPREAD)
    (revision,) = record.revisions
    assert (revision.number, revision.reason) == (1, "first plan")
    assert revision.saved_at == "2026-01-02T03:04:05+00:00"
    assert revision.package_version == trimkit.__version__
    assert first_record(woods, AT, reason="trial", frequency_sd_cpm=SPREAD).latest.reason == "trial"
    with pytest.raises(BenchError, match="no time zone"):
        first_record(woods, datetime(2026, 1, 2), frequency_sd_cpm=SPREAD)


def test_every_club_carries_its_plan_and_its_predictions(woods):
    record = first_record(woods, AT, frequency_sd_cpm=SPREAD)
    for club, written, spread in zip(woods.clubs, record.latest.clubs, SPREAD, strict=True):
        plan = club.plan
        assert (written.club, written.head, written.flex) == (plan.club, plan.wanted.head, str(plan.flex))
        assert (written.bbgl_in, written.trims_as) == (plan.wanted.bbgl_in, str(plan.equivalent))
        assert [(step.step, step.inches_in) for step in written.steps] == [(s.label, s.inches) for s in plan.steps]
        assert [(note.text, note.next_step) for note in written.notes] == [(n.text, n.next_step) for n in plan.notes]
        assert (written.cuts.raw_length_in, written.cuts.butt_trim_in) == (plan.raw_length_in, plan.butt_trim_in)
        predicted = written.predicted
        assert predicted.frequency_sd_cpm == spread
        assert predicted.frequency_cpm == club.frequency_cpm
        assert predicted.swingweight_oz_in == club.swingweight_oz_in
        assert predicted.total_mass_g == club.total_mass_g
        assert predicted.balance_point_in == club.balance_point_in
        assert predicted.moi_kg_cm2 == club.moi_kg_cm2
        assert (written.measured, written.findings, written.decisions) == (None, (), ())


def test_only_what_the_order_rests_on_is_written(woods):
    parts = first_record(woods, AT, frequency_sd_cpm=SPREAD).latest.parts
    assert [head.name for head in parts.heads] == ["demo driver", "demo 3-wood"]
    assert {row.shaft for row in parts.schedule_rows} == {woods.order.shaft.name}
    assert {rung.ladder for rung in parts.ladder_rungs} == {woods.order.ladder}
    assert (parts.shafts, parts.grips, parts.raw_lengths) == ((woods.order.shaft,), (woods.order.grip,), ())
    assert len(parts.schedule_rows) < len(woods.order.catalogue.schedule_rows)
    assert len(parts.ladder_rungs) < len(woods.order.catalogue.ladder_rungs)


def test_a_taper_family_is_written_with_its_raw_lengths_and_built_again():
    built = build_set(shipped_order("taper_soft_step"))
    revision = first_record(built, AT, frequency_sd_cpm=[1.0] * len(built.clubs)).latest
    assert {row.family for row in revision.parts.raw_lengths} == {built.order.shaft.name}
    assert [club.plan for club in build_set(reopened(revision)).clubs] == [club.plan for club in built.clubs]


def test_a_revision_needs_a_reason_and_a_later_time(woods, record):
    again = revised(record, woods, AT, reason="as before", frequency_sd_cpm=SPREAD)
    assert [revision.number for revision in again.revisions] == [1, 2]
    assert (again.latest.reason, again.revisions[0]) == ("as before", record.latest)
    with pytest.raises(BenchError, match="no reason is given"):
        revised(record, woods, AT, reason=" \t", frequency_sd_cpm=SPREAD)
    with pytest.raises(BenchError, match=r"dated 2026-01-02T03:04:04\+00:00, before the last one \(.*05\+00:00\)"):
        revised(record, woods, AT - timedelta(seconds=1), reason="x", frequency_sd_cpm=SPREAD)
    with pytest.raises(BenchError, match="character"):
        revised(record, woods, AT, reason="n" * 2001, frequency_sd_cpm=SPREAD)


def test_a_record_holds_500_revisions(record):
    last = record.latest.model_copy(update={"number": MOST_REVISIONS - 1})
    nearly = record.model_copy(update={"revisions": (last,)})
    full = with_measurements(nearly, {}, AT, reason="x")
    assert full.latest.number == MOST_REVISIONS == 500
    with pytest.raises(BenchError, match=r"revision 501.*up to 500"):
        with_measurements(full, {}, AT, reason="x")


def test_what_a_club_measured_is_set_beside_its_prediction(record):
    club = record.latest.clubs[1]
    found = measured(
        playing_length_in=club.cuts.playing_length_in + 1 / 16,
        frequency_cpm=club.predicted.frequency_cpm - 2.1,
        swingweight_oz_in=club.predicted.swingweight_oz_in + 1.7,
        total_mass_g=club.predicted.total_mass_g + 3.0,
    )
    grown = with_measurements(record, {1: found}, AT + timedelta(hours=1), reason="after the cure")
    first, second = grown.latest.clubs
    assert first == record.latest.clubs[0]
    assert second.measured == found
    # The usual tolerances: a sixteenth of an inch, 2 cpm, one point of 1.75 oz in, 3 g.
    told = [(each.quantity, each.unit, each.tolerance, each.within) for each in second.findings]
    assert told == [
        ("playing length", "in", 1 / 16, True),
        ("frequency", "cpm", 2.0, False),
        ("swingweight", "oz in", 1.75, True),
        ("total mass", "g", 3.0, True),
    ]
    assert [each.difference for each in second.findings] == pytest.approx([1 / 16, -2.1, 1.7, 3.0])
    assert (grown.latest.number, grown.latest.reason) == (2, "after the cure")
    assert grown.latest.saved_at == "2026-01-02T04:04:05+00:00"
    assert grown.latest.package_version == trimkit.__version__
    assert grown.revisions[0] == record.latest


@pytest.mark.parametrize("place", [-1, 2])
def test_a_place_that_no_club_has_is_refused(record, place):
    with pytest.raises(BenchError, match=f"no club at place {place}. Allowed: 0 to 1"):
        with_measurements(record, {0: measured(), place: measured()}, AT, reason="x")


def test_a_mixed_set_is_written_with_every_part_it_rests_on_and_no_other(mixed_orders, mixed_parts):
    built = build_set(order_from_tables(tomllib.loads(mixed_orders["graphite hybrids"]), mixed_parts))
    revision = first_record(built, AT, frequency_sd_cpm=[1.0] * 10).latest
    parts, order = revision.parts, built.order
    assert parts.shafts == (order.shaft, mixed_parts.shafts["graphite hybrid"])  # the order's first
    assert parts.grips == (order.grip, mixed_parts.grips["light round rubber"])
    assert {row.shaft for row in parts.schedule_rows} == {order.shaft.name, "graphite hybrid"}
    assert parts.raw_lengths == ()
    assert [(club.shaft, club.grip) for club in revision.clubs] == [("graphite hybrid", "light round rubber")] * 2 + [
        (order.shaft.name, order.grip.name)
    ] * 8
    assert [club.plan for club in build_set(reopened(revision)).clubs] == [club.plan for club in built.clubs]


def test_a_wood_beside_irons_is_written_with_its_own_ladder():
    irons, woods = (order_tables(shipped_order(name)) for name in ("evening_class", "wood_pair"))
    wood = woods["club"][0] | {name: woods[name] for name in ("shaft", "ladder")}
    order = order_from_tables(irons | {"club": [wood, *irons["club"][:2]]}, shipped_order().catalogue)
    revision = first_record(build_set(order), AT, frequency_sd_cpm=[1.0] * 3).latest
    assert {rung.ladder for rung in revision.parts.ladder_rungs} == {irons["ladder"], woods["ladder"]}
    assert [club.plan for club in build_set(reopened(revision)).clubs] == [c.plan for c in build_set(order).clubs]
