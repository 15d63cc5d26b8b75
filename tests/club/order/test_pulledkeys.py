"""A pulled shaft in an order: its keys, what they refuse, the way there and back, and the check of its mass."""

from dataclasses import replace

import pytest

from trimkit.check.clubcheck import Verdict
from trimkit.check.consistency import Check
from trimkit.check.doublecheck import double_check
from trimkit.club.order.file import order_tables, order_toml
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set, plan_order
from trimkit.parts.errors import DataFileError, TrimRefused

CATALOGUE = shipped_order().catalogue
IRONS, TAPERS = shipped_order("evening_class"), shipped_order("taper_soft_step")
MASTER, FAMILY = IRONS.shaft, TAPERS.shaft
RAW = {row.club: row.raw_length_in for row in CATALOGUE.raw_lengths if row.family == FAMILY.name}
SEVEN = next(plan for plan in plan_order(IRONS).every_plan() if plan.club == "7-iron")
OF_SEVEN = {"pulled": True, "tip_cut_in": SEVEN.tip_trim_in, "raw_length_in": SEVEN.cut_length_in}


def tables(order, club, **keys):
    """The tables of an order of one club, with more keys for it."""
    given = order_tables(order)
    given["club"] = [table | keys for table in given["club"] if club in table["head"]]
    return given


def ordered(order, club, **keys):
    return order_from_tables(tables(order, club, **keys), CATALOGUE)


def faults(order, club, **keys):
    with pytest.raises(DataFileError) as refused:
        ordered(order, club, **keys)
    return {str(fault.place.key): fault for fault in refused.value.faults}


def test_a_pulled_parallel_tip_has_what_is_off_already_taken_off_its_trim():
    order = ordered(IRONS, "8-iron", **OF_SEVEN)
    (plan,) = plan_order(order).every_plan()
    new = next(each for each in plan_order(IRONS).every_plan() if each.club == "8-iron")
    assert plan.tip_trim_in == pytest.approx(new.tip_trim_in - SEVEN.tip_trim_in)
    assert plan.raw_length_in == SEVEN.cut_length_in
    (club,), (was,) = build_set(order).clubs, [c for c in build_set(IRONS).clubs if c.plan.club == "8-iron"]
    assert club.frequency_cpm == pytest.approx(was.frequency_cpm, abs=1e-6)
    assert club.swingweight_oz_in == pytest.approx(was.swingweight_oz_in, abs=1e-9)


def test_a_pulled_taper_tip_is_built_as_the_raw_length_it_was():
    bought = RAW["6-iron"]
    order = ordered(TAPERS, "7-iron", pulled=True, bought_length_in=bought, raw_length_in=bought - 1.5)
    (club,), (was,) = build_set(order).clubs, [c for c in build_set(TAPERS).clubs if c.plan.club == "7-iron"]
    assert TAPERS.soft_steps == 1
    assert (club.plan.raw_length_in, club.plan.tip_trim_in) == (bought - 1.5, 0.0)
    assert club.plan.butt_trim_in == pytest.approx(was.plan.butt_trim_in - 1.5)
    assert club.frequency_cpm == pytest.approx(was.frequency_cpm, abs=1e-6)
    assert club.flex_scale.frequency_cpm == pytest.approx(was.flex_scale.frequency_cpm, abs=1e-6)


@pytest.mark.parametrize(
    ("order", "club", "keys"),
    [
        (IRONS, "8-iron", OF_SEVEN | {"raw_mass_g": 98.5}),
        (IRONS, "9-iron", OF_SEVEN | {"tip_cut_in": 0.0}),
        (TAPERS, "7-iron", {"pulled": True, "bought_length_in": RAW["6-iron"], "raw_length_in": 37.0}),
    ],
)
def test_its_keys_come_back_from_the_file(order, club, keys):
    made = ordered(order, club, **keys)
    again = order_from_tables(order_tables(made), CATALOGUE)
    assert again == made
    assert again.clubs[0].in_hand.pulled.as_bought == order.shaft
    assert "pulled = true\n" in order_toml(made)


@pytest.mark.parametrize(
    ("order", "club", "keys", "at", "words"),
    [
        (IRONS, "8-iron", {"tip_cut_in": 4.0}, "tip_cut_in", "not pulled from another club"),
        (TAPERS, "7-iron", {"bought_length_in": 38.25}, "bought_length_in", "not pulled from another club"),
        (IRONS, "8-iron", {"pulled": True, "tip_cut_in": 4.0}, "raw_length_in", "has no length"),
        (IRONS, "8-iron", {"pulled": True, "raw_length_in": 36.0}, "tip_cut_in", "how much is off the tip"),
        (IRONS, "8-iron", OF_SEVEN | {"bought_length_in": MASTER.raw_length_in}, "bought_length_in", "a parallel tip"),
        (IRONS, "8-iron", OF_SEVEN | {"tip_cut_in": MASTER.tip_section_in}, "tip_cut_in", "no parallel tip is left"),
        (
            IRONS,
            "8-iron",
            OF_SEVEN | {"raw_length_in": 39.0},
            "tip_cut_in",
            "it was bought at",
        ),
        (IRONS, "8-iron", OF_SEVEN | {"tip_cut_in": -1.0}, "tip_cut_in", "-1.0 is given"),
        (IRONS, "8-iron", OF_SEVEN | {"pulled": "yes"}, "pulled", "yes"),
        (TAPERS, "7-iron", {"pulled": True, "raw_length_in": 36.0}, "bought_length_in", "which raw length"),
        (
            TAPERS,
            "7-iron",
            {"pulled": True, "raw_length_in": 36.0, "bought_length_in": RAW["6-iron"] + 0.1},
            "bought_length_in",
            "no raw length of its family",
        ),
        (
            TAPERS,
            "7-iron",
            {"pulled": True, "raw_length_in": 36.0, "bought_length_in": RAW["6-iron"], "tip_cut_in": 0.5},
            "tip_cut_in",
            "cut, it fits no bore",
        ),
        (
            TAPERS,
            "7-iron",
            {"pulled": True, "raw_length_in": RAW["6-iron"] + 0.25, "bought_length_in": RAW["6-iron"]},
            "raw_length_in",
            f"long now; it was bought at {RAW['6-iron']:g} in",
        ),
    ],
)
def test_what_a_pulled_shaft_cannot_be_is_a_fault_at_its_key(order, club, keys, at, words):
    found = faults(order, club, **keys)
    assert words in found[f"[[club]] 1: {at}"].given


def test_a_raw_length_of_another_family_is_none_of_this_one():
    other = [replace(row, family="another", raw_length_in=row.raw_length_in + 0.2) for row in CATALOGUE.raw_lengths]
    catalogue = replace(CATALOGUE, raw_lengths=(*CATALOGUE.raw_lengths, *other))
    bought = RAW["6-iron"] + 0.2
    given = tables(TAPERS, "7-iron", pulled=True, bought_length_in=bought, raw_length_in=36.0)
    with pytest.raises(DataFileError) as refused:
        order_from_tables(given, catalogue)
    assert [fault.place.key for fault in refused.value.faults] == ["[[club]] 1: bought_length_in"]


def test_an_order_whose_own_shaft_is_faulty_says_so_and_nothing_of_the_piece():
    given = tables(IRONS, "8-iron", **OF_SEVEN) | {"shaft": "no such shaft"}
    with pytest.raises(DataFileError) as refused:
        order_from_tables(given, CATALOGUE)
    assert [str(fault.place.key) for fault in refused.value.faults] == ["shaft"]


def test_a_club_that_the_pulled_shaft_cannot_make_is_refused_with_what_it_can_become():
    with pytest.raises(TrimRefused) as refused:
        build_set(ordered(IRONS, "4-iron", **OF_SEVEN))
    assert "too stiff" in str(refused.value)
    assert "on this head the pulled shaft can become a 7-iron in R" in refused.value.next_step


def test_too_short_names_the_shortfall_the_extension_and_the_nearest_club():
    keys = OF_SEVEN | {"raw_length_in": SEVEN.cut_length_in - 0.5}
    with pytest.raises(TrimRefused, match=r"the shaft is 0\.5 in too short") as refused:
        build_set(ordered(IRONS, "7-iron", **keys))
    assert "decide on a butt extension of 0.5 in" in refused.value.next_step
    assert "on this head the pulled shaft can become a " in refused.value.next_step
    extended = build_set(ordered(IRONS, "7-iron", **keys, extend=True, why="the client has no other")).clubs[0]
    assert extended.plan.extension_in == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("factor", "stopped"), [(0.96, True), (0.98, False), (1.0, False), (1.02, False), (1.04, True)]
)
def test_its_mass_is_checked_against_what_is_left_of_the_description(factor, stopped):
    """Of a 7-iron's shaft some tenth is gone: against the raw mass as bought every piece would be far too light."""
    described = plan_order(ordered(IRONS, "7-iron", **OF_SEVEN)).every_plan()[0].wanted.shaft.raw_mass_g
    assert described < 0.92 * MASTER.raw_mass_g
    order = ordered(IRONS, "7-iron", **OF_SEVEN, raw_mass_g=round(factor * described, 2))
    (club,) = double_check(build_set(order)).clubs
    found = [finding for finding in club.findings if finding.check is Check.RAW_MASS]
    assert bool(found) == stopped
    if stopped:
        assert "what is left of the pulled shaft" in found[0].text
        assert club.verdict is Verdict.STOP


def test_as_left_leaves_no_parallel_tip_for_the_bore_it_is_refused():
    head_in = SEVEN.wanted.head.bore_depth_in
    off = MASTER.tip_section_in - head_in + 0.25
    with pytest.raises(TrimRefused) as refused:
        build_set(ordered(IRONS, "7-iron", pulled=True, tip_cut_in=off, raw_length_in=30.0))
    assert "too stiff" in str(refused.value)
    assert "it can become no club on this head" in refused.value.next_step


def test_a_set_may_mix_new_and_pulled_shafts_and_its_line_stays_the_schedules():
    given = order_tables(IRONS)
    for table in given["club"]:
        if table["head"].endswith("8-iron"):
            table |= OF_SEVEN
    mixed, plain = (double_check(build_set(each)) for each in (order_from_tables(given, CATALOGUE), IRONS))
    assert [club.verdict for club in mixed.clubs] == [club.verdict for club in plain.clubs]
    for one, other in zip(mixed.clubs, plain.clubs, strict=True):
        assert one.line_cpm == pytest.approx(other.line_cpm, abs=1e-6)
        assert one.deviation_flexes == pytest.approx(other.deviation_flexes, abs=1e-6)
