"""What became of every reading: kept, replaced, withdrawn, carried into a new plan or left with other cuts."""

import tomllib
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set
from trimkit.club.shopfile import shop_from_tables
from trimkit.papers.measured import measured_club
from trimkit.papers.record.build import first_record, revised, with_measurements, withdrawn
from trimkit.papers.record.file import read_record, record_text
from trimkit.papers.record.model import Measured
from trimkit.papers.record.readings import QUANTITIES, Fate, counting, merged, readings, replaced
from trimkit.papers.record.words import record_lines
from trimkit.parts.catalogue import data_folder
from trimkit.parts.errors import BenchError
from trimkit.trim.length import GivenLength

AT = datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)
SPREAD = [1.5, 2.5]
WOODS = shipped_order("wood_pair")
SHORT = replace(WOODS, clubs=(replace(WOODS.clubs[0], length=GivenLength(44.0)), WOODS.clubs[1]))
BUILDS = {"as before": build_set(WOODS), "shorter driver": build_set(SHORT)}
FIRST = first_record(BUILDS["as before"], AT, frequency_sd_cpm=SPREAD)


def planned(record, order, reason="again"):
    return revised(record, build_set(order), AT, reason=reason, frequency_sd_cpm=SPREAD)


def read(record, place=0, **values):
    return with_measurements(record, {place: measured_club(**values)}, AT, reason="measured")


def fates(record):
    return [(each.place, each.quantity, each.value, each.fate, each.ended) for each in readings(record)]


def test_a_value_read_on_another_day_joins_what_was_read_before():
    record = read(read(FIRST, frequency_cpm=250.0, remark="in the evening"), total_mass=320.0)
    club = record.latest.clubs[0]
    assert (club.measured.frequency_cpm, club.measured.total_mass_g) == (250.0, 320.0)
    assert club.measured.remark == "in the evening"
    assert [finding.quantity for finding in club.findings] == ["frequency", "total mass"]
    assert fates(record) == [
        (0, "frequency", 250.0, Fate.COUNTS, None),
        (0, "total mass", 320.0, Fate.COUNTS, None),
    ]


def test_a_value_read_again_replaces_the_earlier_one_and_its_remark():
    before = read(FIRST, frequency_cpm=250.0, remark="clamp slipped")
    ((reading, value),) = replaced(before, {0: measured_club(frequency_cpm=252.0, total_mass=320.0)})
    assert (reading.value, reading.revision, value) == (250.0, 2, 252.0)
    record = read(before, frequency_cpm=252.0)
    assert fates(record) == [
        (0, "frequency", 250.0, Fate.REPLACED, 3),
        (0, "frequency", 252.0, Fate.COUNTS, None),
    ]
    assert record.latest.clubs[0].measured.remark == ""
    assert record.revisions[1] == before.latest


@pytest.mark.parametrize("what", [*QUANTITIES, "all"])
def test_a_withdrawn_reading_is_gone_from_now_on_and_stays_in_its_revision(what):
    values = {"playing_length": 45.0, "frequency_cpm": 250.0, "swingweight": 214.0, "total_mass": 320.0}
    before = read(FIRST, 1, **values)
    record = withdrawn(before, 1, what, AT, reason="clamp was loose")
    assert record.revisions[:2] == before.revisions
    assert record.latest.reason == f"withdrawn: {what} of 3-wood: clamp was loose"
    gone = set(QUANTITIES) if what == "all" else {what}
    assert {finding.quantity for finding in record.latest.clubs[1].findings} == set(QUANTITIES) - gone
    assert (record.latest.clubs[1].measured is None) == (what == "all")
    for each in readings(record):
        if each.quantity in gone:
            assert (each.fate, each.ended, each.why) == (Fate.WITHDRAWN, 3, "clamp was loose")
        else:
            assert (each.fate, each.ended) == (Fate.COUNTS, None)


def test_the_last_reading_withdrawn_leaves_a_club_that_was_not_measured():
    record = withdrawn(read(FIRST, frequency_cpm=250.0), 0, "frequency", AT, reason="x")
    assert (record.latest.clubs[0].measured, record.latest.clubs[0].findings) == (None, ())
    assert record.latest.clubs[0].verdict == "not measured"
    again = read(record, frequency_cpm=250.0)  # the same number, read properly
    assert [fate for _, _, _, fate, _ in fates(again)] == [Fate.WITHDRAWN, Fate.COUNTS]


@pytest.mark.parametrize(
    ("place", "what", "reason", "sentence"),
    [
        (1, "frequency", "x", "no frequency of the 3-wood counts now"),
        (1, "all", "x", "no reading of the 3-wood counts now"),
        (0, "total mass", "x", "Allowed: what was read of it: frequency"),
        (0, "frequency", " \t", "no reason is given"),
        (0, "loft", "x", "'loft' is not read of a club"),
    ],
)
def test_what_was_not_measured_or_has_no_reason_is_not_withdrawn(place, what, reason, sentence):
    with pytest.raises(BenchError) as caught:
        withdrawn(read(FIRST, frequency_cpm=250.0), place, what, AT, reason=reason)
    assert sentence in str(caught.value)


def test_a_withdrawal_cannot_be_made_twice():
    once = withdrawn(read(FIRST, frequency_cpm=250.0), 0, "frequency", AT, reason="x")
    with pytest.raises(BenchError, match="no frequency of the driver counts now"):
        withdrawn(once, 0, "frequency", AT, reason="x")


def test_a_reading_counts_in_a_new_plan_of_the_same_club_and_no_other():
    record = read(read(FIRST, frequency_cpm=250.0), 1, frequency_cpm=260.0, remark="dry")
    other = planned(record, SHORT)
    driver, wood = other.latest.clubs
    assert (driver.measured, driver.findings) == (None, ())
    assert wood.measured == record.latest.clubs[1].measured
    assert wood.findings[0].predicted == wood.predicted.frequency_cpm
    assert fates(other) == [
        (0, "frequency", 250.0, Fate.BUILT_OTHERWISE, 4),
        (1, "frequency", 260.0, Fate.COUNTS, None),
    ]
    (ended, _) = readings(other)
    assert ended.why == "cuts"
    assert ended.cuts == FIRST.latest.clubs[0].cuts
    back = planned(other, WOODS)
    assert back.latest.clubs[0].cuts == FIRST.latest.clubs[0].cuts
    assert fates(back) == fates(other)  # what was cut in between, nobody knows


@pytest.mark.parametrize(
    ("update", "lost", "why"),
    [
        ({"wanted_swingweight": "D5"}, {"frequency", "total mass"}, "wanted swingweight"),
        ({"client": "client 99"}, set(), ""),
        ({"assembly": {"tip_weight_g": 3.0}}, {"frequency", "total mass"}, "tip weight"),
        ({"assembly": {"epoxy_mass_g": 3.0}}, {"frequency", "total mass"}, "ferrule, tape or epoxy"),
        ({"assembly": {"clamp_in": 6.0}}, {"frequency"}, "clamp"),
        ({"assembly": {"root_spring_n_m_per_rad": 4000.0}}, {"frequency"}, "clamp"),
    ],
)
def test_what_a_reading_depends_on_ends_it(update, lost, why):
    record = read(FIRST, frequency_cpm=250.0, total_mass=320.0)
    order = FIRST.latest.order
    values = {
        name: getattr(order, name).model_copy(update=value) if isinstance(value, dict) else value
        for name, value in update.items()
    }
    plan = FIRST.latest.model_copy(update={"order": order.model_copy(update=values), "number": 3})
    grown = record.model_copy(update={"revisions": (*record.revisions, plan)})
    assert {each.quantity for each in readings(grown) if each.fate is Fate.BUILT_OTHERWISE} == lost
    assert {each.why for each in readings(grown) if each.fate is Fate.BUILT_OTHERWISE} == ({why} if lost else set())
    # An earlier trimkit left what counts out of a new plan: it counts, and the next measuring takes it along.
    kept = {"frequency_cpm": 250.0, "total_mass_g": 320.0}
    kept = {
        field: kept[field] for field in (QUANTITIES[what] for what in ("frequency", "total mass") if what not in lost)
    }
    assert {n: found.model_dump(exclude_none=True, exclude={"remark"}) for n, found in counting(grown).items()} == (
        {0: kept} if kept else {}
    )
    more = read(grown, playing_length=45.0).latest.clubs[0].measured
    assert more.model_dump(exclude_none=True, exclude={"remark"}) == kept | {"playing_length_in": 45.0}


def woods_in(shop, **said):
    """The pair of woods, its order silent but for what is said, in a shop with this file of its own."""
    tables = tomllib.loads((data_folder() / "orders" / "wood_pair.toml").read_text(encoding="utf-8"))
    own = shop_from_tables(shop, None)
    return build_set(order_from_tables({**tables, "assembly": said}, WOODS.catalogue, shop=own))


def first_in(shop, **said):
    return first_record(woods_in(shop, **said), AT, frequency_sd_cpm=SPREAD)


@pytest.mark.parametrize(
    ("shop", "said", "lost", "why"),
    [
        ({"clamp": {"clamp_in": 6.0}}, {}, {"frequency"}, "clamp"),
        ({"clamp": {"root_compliance_rad_per_n_m": 0.001}}, {}, {"frequency"}, "clamp"),
        ({"usual": {"epoxy_mass_g": 3.0}}, {}, {"frequency", "total mass"}, "ferrule, tape or epoxy"),
        ({"usual": {"epoxy_mass_g": 3.0}}, {"epoxy_mass_g": 0.0}, set(), ""),
        ({"clamp": {"clamp_in": 6.0}}, {"clamp_in": 5.0}, set(), ""),
        ({"name": "shop", "tolerances": {"frequency_cpm": 9.0}}, {}, set(), ""),
    ],
)
def test_another_clamp_or_other_masses_of_the_shop_end_a_reading_where_the_order_is_silent(shop, said, lost, why):
    record = read(first_in({}, **said), frequency_cpm=250.0, total_mass=320.0)
    again = revised(record, woods_in(shop, **said), AT, reason="again", frequency_sd_cpm=SPREAD)
    ended = [each for each in readings(again) if each.fate is Fate.BUILT_OTHERWISE]
    assert {each.quantity for each in ended} == lost
    assert {each.why for each in ended} == ({why} if lost else set())
    kept = {"frequency": 250.0, "total mass": 320.0}
    measured = again.latest.clubs[0].measured
    for quantity, value in kept.items():
        assert (measured and getattr(measured, QUANTITIES[quantity])) == (None if quantity in lost else value)


def test_the_shop_s_own_tolerances_judge_in_every_revision():
    first = first_in({"tolerances": {"frequency_cpm": 9.0}})
    off = first.latest.clubs[0].predicted.frequency_cpm + 5.0  # out by the usual 2 cpm
    measured = read(first, frequency_cpm=off, total_mass=320.0)
    again = revised(measured, woods_in({"tolerances": {"frequency_cpm": 4.0}}), AT, reason="x", frequency_sd_cpm=SPREAD)
    left = withdrawn(again, 0, "total mass", AT, reason="x")
    found = [record.latest.clubs[0].findings[0] for record in (measured, again, left)]
    assert [(each.quantity, each.tolerance, each.within) for each in found] == [
        ("frequency", 9.0, True),
        ("frequency", 4.0, False),
        ("frequency", 4.0, False),
    ]
    # An earlier trimkit left the readings out of a new plan; what is shown of it is judged as well.
    plan = first.latest.model_copy(update={"number": 3})
    grown = measured.model_copy(update={"revisions": (*measured.revisions, plan)})
    assert any("difference +5.0 cpm; tolerance 9" in line for line in record_lines(grown, grown.latest))


@pytest.mark.parametrize("part", ["shaft", "grip", "head", "head_mass_g", "bbgl_in", "cuts"])
def test_another_part_or_cut_ends_every_reading_of_the_club(part):
    record = read(FIRST, frequency_cpm=250.0, total_mass=320.0)
    club = FIRST.latest.clubs[0]
    update = {
        "shaft": {"shaft": "another"},
        "grip": {"grip": "another"},
        "head": {"head": replace(club.head, name="another head")},
        "head_mass_g": {"head": replace(club.head, head_mass_g=club.head.head_mass_g + 1)},
        "bbgl_in": {"bbgl_in": club.bbgl_in + 0.01},
        "cuts": {"cuts": club.cuts.model_copy(update={"tip_trim_in": club.cuts.tip_trim_in + 0.0011})},
    }[part]
    plan = FIRST.latest.model_copy(
        update={"clubs": (club.model_copy(update=update), FIRST.latest.clubs[1]), "number": 3}
    )
    grown = record.model_copy(update={"revisions": (*record.revisions, plan)})
    assert [each.fate for each in readings(grown)] == [Fate.BUILT_OTHERWISE] * 2
    assert counting(grown) == {}
    near = club.cuts.model_copy(update={"tip_trim_in": club.cuts.tip_trim_in + 0.0009})
    plan = plan.model_copy(update={"clubs": (club.model_copy(update={"cuts": near}), FIRST.latest.clubs[1])})
    grown = record.model_copy(update={"revisions": (*record.revisions, plan)})
    assert [each.fate for each in readings(grown)] == [Fate.COUNTS] * 2


def test_a_club_that_left_the_set_keeps_its_readings_and_a_newcomer_has_none():
    record = read(read(FIRST, frequency_cpm=250.0), 1, frequency_cpm=260.0)
    alone = replace(WOODS, clubs=WOODS.clubs[1:])
    gone = revised(record, build_set(alone), AT, reason="driver sold", frequency_sd_cpm=[2.5])
    assert fates(gone) == [
        (0, "frequency", 260.0, Fate.COUNTS, None),
        (None, "frequency", 250.0, Fate.GONE, 4),
    ]
    assert readings(gone)[1].label == "driver"
    back = planned(gone, WOODS)
    assert back.latest.clubs[0].measured is None
    assert back.latest.clubs[1].measured.frequency_cpm == 260.0
    assert {(each.place, each.fate) for each in readings(back)} == {(1, Fate.COUNTS), (None, Fate.GONE)}


def test_a_remark_alone_changes_no_reading():
    record = with_measurements(read(FIRST, frequency_cpm=250.0), {0: measured_club(remark="dry")}, AT, reason="x")
    assert record.latest.clubs[0].measured == measured_club(frequency_cpm=250.0, remark="dry")
    assert fates(record) == [(0, "frequency", 250.0, Fate.COUNTS, None)]
    assert merged(None, measured_club(remark="dry")).remark == "dry"


def test_a_remark_stays_when_one_value_is_withdrawn_and_goes_with_all():
    record = withdrawn(read(FIRST, frequency_cpm=250.0, remark="dry"), 0, "frequency", AT, reason="x")
    assert record.latest.clubs[0].measured == measured_club(remark="dry")
    assert withdrawn(record, 0, "all", AT, reason="x").latest.clubs[0].measured is None


VALUES = {
    "playing length": st.sampled_from([43.0, 44.5]),
    "frequency": st.sampled_from([249.0, 250.5, 263.0]),
    "swingweight": st.sampled_from([212.0, 215.25]),
    "total mass": st.sampled_from([318.0, 320.5]),
}
PLACES = st.sampled_from([0, 1])
MEASURING = st.tuples(st.just("measured"), PLACES, st.fixed_dictionaries({}, optional=VALUES))
STEPS = st.one_of(
    MEASURING,
    MEASURING,
    st.tuples(st.just("withdraw"), PLACES, st.sampled_from([*QUANTITIES, "all"])),
    st.tuples(st.just("revise"), st.sampled_from(list(BUILDS)), st.none()),
)


class Bench:
    """What somebody with a notebook would have written down: every value, and what became of it."""

    def __init__(self):
        self.notes = {(place, quantity): [] for place in (0, 1) for quantity in QUANTITIES}
        self.plan = "as before"

    def counts(self, place):
        ours = {quantity: self.notes[place, quantity] for quantity in QUANTITIES}
        return {quantity: notes[-1][0] for quantity, notes in ours.items() if notes and notes[-1][1] == "counts"}

    def end(self, place, quantity, fate):
        notes = self.notes[place, quantity]
        if notes and notes[-1][1] == "counts":
            notes[-1] = (notes[-1][0], fate)

    def measured(self, place, values):
        for quantity, value in values.items():
            if self.counts(place).get(quantity) != value:
                self.end(place, quantity, "replaced")
                self.notes[place, quantity].append((value, "counts"))

    def withdraw(self, place, what):
        for quantity in QUANTITIES if what == "all" else [what]:
            self.end(place, quantity, "withdrawn")

    def revise(self, build, _):
        if build != self.plan:  # only the driver is built otherwise
            for quantity in QUANTITIES:
                self.end(0, quantity, "built otherwise")
        self.plan = build


def grown(record, step, at):
    verb, first, second = step
    if verb == "measured":
        values = dict.fromkeys(QUANTITIES.values()) | {QUANTITIES[q]: value for q, value in second.items()}
        return with_measurements(record, {first: Measured(**values, remark="")}, at, reason="measured")
    if verb == "withdraw":
        return withdrawn(record, first, second, at, reason="wrong: twice")
    return revised(record, BUILDS[first], at, reason="again", frequency_sd_cpm=SPREAD)


@settings(deadline=None, max_examples=20)
@given(st.lists(STEPS, max_size=9))
def test_after_any_sequence_older_revisions_are_the_same_bytes_and_the_readings_those_given(steps):
    record, bench = FIRST, Bench()
    for number, step in enumerate(steps):
        verb, first, second = step
        if verb == "withdraw":
            there = bench.counts(first)
            if not (there if second == "all" else second in there):
                with pytest.raises(BenchError, match="counts now, so none can be withdrawn"):
                    grown(record, step, AT)
                continue
        before = record_text(record)
        record = grown(record, step, AT + timedelta(minutes=number))
        getattr(bench, verb)(first, second)
        assert record_text(record).startswith(before.removesuffix("\n ]\n}\n"))
    found = {key: [] for key in bench.notes}
    for each in readings(read_record(record_text(record))):
        found[each.place, each.quantity].append((each.value, str(each.fate)))
    assert found == bench.notes
    for place, club in enumerate(record.latest.clubs):
        values = {} if club.measured is None else club.measured.model_dump(exclude={"remark"}, exclude_none=True)
        assert values == {QUANTITIES[quantity]: value for quantity, value in bench.counts(place).items()}
        assert {each.quantity: each.measured for each in club.findings} == bench.counts(place)
