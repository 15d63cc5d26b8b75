"""What one club of an order has of its own, in place of the order's: read, resolved, written, and planned."""

import tomllib
from dataclasses import replace

import pytest

from trimkit.club.card import card_of
from trimkit.club.order.file import order_tables, order_toml
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set, plan_order, wanted_club
from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.components import Material, TipKind
from trimkit.parts.errors import DataFileError, TrimRefused
from trimkit.trim.plan import ClubRefused
from trimkit.trim.stepping import RawFamily
from trimkit.trim.steps import Severity

CATALOGUE = load_catalogue()
CLASS, TAPER, WOODS = (order_tables(shipped_order(name)) for name in ("evening_class", "taper_soft_step", "wood_pair"))
GRAPHITE = next(shaft for shaft in CATALOGUE.shafts.values() if shaft.material is Material.GRAPHITE)


def with_keys(tables, number, **keys):
    """The tables of an order with keys of one club, counted from 1, in place of those it has."""
    clubs = [club | keys if at == number else club for at, club in enumerate(tables["club"], start=1)]
    return tables | {"club": clubs}


def read(tables):
    return order_from_tables(tables, CATALOGUE)


def faults(tables):
    with pytest.raises(DataFileError) as caught:
        read(tables)
    return caught.value.faults


def clubs_of(tables):
    return plan_order(read(tables)).clubs


# Laws


@pytest.mark.parametrize("tables", [CLASS, TAPER, WOODS], ids=["irons", "taper", "woods"])
def test_a_club_that_repeats_the_order_s_values_is_planned_just_the_same(tables):
    order = read(tables)
    own = {name: tables[name] for name in ("shaft", "grip", "ladder", "flex")}
    own |= {"soft_steps": order.soft_steps, "tip_weight_g": order.assembly.tip_weight_g}
    repeated = read(with_keys(tables, 2, **own))
    assert repeated.clubs[1] != order.clubs[1]
    assert repeated.specs == order.specs
    assert plan_order(repeated) == plan_order(order)
    assert [club.assembly for club in build_set(repeated).clubs] == [order.assembly] * len(order.clubs)


@pytest.mark.parametrize(
    "keys",
    [
        {"flex": "S"},
        {"flex": "R/S 0.5"},
        {"tip_weight_g": 4.0},
        {"wanted_swingweight": "D3"},
        {"raw_length_in": 41.0},
        {"raw_mass_g": 118.0},
        {"shaft": TAPER["shaft"]},
    ],
)
def test_what_one_club_has_of_its_own_moves_no_other(keys):
    before, after = clubs_of(CLASS), clubs_of(with_keys(CLASS, 4, **keys))
    assert [each for n, each in enumerate(after) if n != 3] == [each for n, each in enumerate(before) if n != 3]


def test_the_order_s_flex_still_moves_every_club_that_has_none_of_its_own():
    order = read(with_keys(CLASS, 9, flex="A"))
    stiffer = replace(order, flex=replace(order.flex, softer="S", stiffer="S"))
    assert [str(plan.flex) for plan in plan_order(stiffer).every_plan()] == [*["S"] * 8, "A", "S"]


@pytest.mark.parametrize("tables", [CLASS, TAPER, WOODS], ids=["irons", "taper", "woods"])
def test_every_key_of_a_club_survives_the_file(tables):
    shaft = read(tables).shaft
    keys = {
        "shaft": shaft.name,
        "grip": tables["grip"],
        "ladder": tables["ladder"],
        "flex": f"{shaft.flexes[0]}/{shaft.flexes[1]} 0.25" if len(shaft.flexes) > 1 else shaft.flexes[0],
        "soft_steps": 0,
        "raw_length_in": 40.125,
        "raw_mass_g": 60.5,
        "tip_weight_g": 0.0,
        "wanted_swingweight": "D1.5",
    }
    order = read(with_keys(tables, 1, **keys))
    assert order_tables(order)["club"][0] == tables["club"][0] | keys
    assert read(tomllib.loads(order_toml(order))) == order


# Resolved in one place


def test_a_club_s_own_values_count_and_the_order_s_where_it_has_none():
    order = read(with_keys(CLASS, 4, tip_weight_g=3.0, wanted_swingweight="C9", flex="S"))
    own, other = order.spec(order.clubs[3]), order.spec(order.clubs[4])
    assert (own.assembly.tip_weight_g, own.wanted_swingweight, str(own.flex)) == (3.0, "C9", "S")
    assert (other.assembly.tip_weight_g, other.wanted_swingweight, str(other.flex)) == (0.0, "D0", "R")
    assert own.assembly.ferrule_mass_g == order.assembly.ferrule_mass_g > 0
    built = build_set(order)
    assert [club.assembly.tip_weight_g for club in built.clubs] == [0, 0, 0, 3, 0, 0, 0, 0, 0, 0]


def test_no_tip_weight_for_one_club_takes_the_order_s_off_it():
    tables = CLASS | {"assembly": CLASS["assembly"] | {"tip_weight_g": 2.0}}
    order = read(with_keys(tables, 1, tip_weight_g=0))
    assert [spec.assembly.tip_weight_g for spec in order.specs] == [0.0] + [2.0] * 9


def test_the_set_s_shafts_and_grips_are_those_its_clubs_get():
    order = read(with_keys(CLASS, 1, shaft=TAPER["shaft"]))
    assert [shaft.name for shaft in order.shafts] == [TAPER["shaft"], CLASS["shaft"]]
    assert [grip.name for grip in order.grips] == [CLASS["grip"]]
    every = CLASS | {"club": [club | {"shaft": TAPER["shaft"]} for club in CLASS["club"]]}
    assert [shaft.name for shaft in read(every).shafts] == [TAPER["shaft"]]


def test_a_wood_beside_irons_has_a_ladder_of_its_own_and_that_ladder_s_length():
    wood = WOODS["club"][0] | {name: WOODS[name] for name in ("shaft", "ladder")}
    tables = CLASS | {"club": [wood, *CLASS["club"]]}
    driver, *irons = clubs_of(tables)
    alone = clubs_of(WOODS)[0]
    for name in ("tip_trim_in", "cut_length_in", "playing_length_in", "butt_trim_in"):
        assert getattr(driver, name) == getattr(alone, name)
    assert tuple(irons) == clubs_of(CLASS)
    assert read(tables).clubs[0].length == read(tables).clubs[1].length  # the order's rule: it does not reach the wood


def test_another_ladder_that_has_the_reference_club_follows_it():
    rungs = [
        replace(rung, ladder="long", playing_length_in=rung.playing_length_in + 1) for rung in CATALOGUE.ladder_rungs
    ]
    catalogue = replace(CATALOGUE, ladder_rungs=(*CATALOGUE.ladder_rungs, *(r for r in rungs if "iron" in r.club)))
    order = order_from_tables(with_keys(CLASS, 4, ladder="long"), catalogue)
    plans = plan_order(order).every_plan()
    assert plans[3].wanted.ladder.name == "long"
    assert plans[3].playing_length_in == plan_order(read(CLASS)).every_plan()[3].playing_length_in
    hybrid = order_from_tables(
        with_keys(CLASS | {"length": CLASS["length"] | {"club": "6-hybrid"}}, 4, ladder="long"), catalogue
    )
    assert plan_order(hybrid).every_plan()[3].playing_length_in == plans[3].playing_length_in


def test_the_order_s_steps_reach_its_taper_tips_and_not_a_parallel_shaft_of_a_club_s_own():
    order = read(with_keys(TAPER, 7, shaft=CLASS["shaft"], head="class gap wedge"))
    assert [spec.soft_steps for spec in order.specs] == [1] * 6 + [0]
    assert order.specs[6].shaft.tip_kind is TipKind.PARALLEL
    stepped = clubs_of(with_keys(TAPER, 7, shaft=CLASS["shaft"], head="class gap wedge", soft_steps=1))[6]
    assert isinstance(stepped, ClubRefused)
    assert any("one soft step" in fault.given for fault in stepped.faults)
    # The order's own shaft is asked to step: that is still refused.
    assert all(isinstance(club, ClubRefused) for club in clubs_of(CLASS | {"soft_steps": 1}))


def test_the_reference_bbgl_of_a_family_is_the_median_of_the_clubs_on_it():
    rows = tuple(replace(row, bbgl_reference_in=None) for row in CATALOGUE.raw_lengths)
    catalogue = replace(CATALOGUE, raw_lengths=rows)
    tables = TAPER | {"club": [club | {"bbgl_in": 1.0} for club in TAPER["club"]]}
    for number in (1, 2, 3, 4):  # most of the set, and not on the family
        tables = with_keys(tables, number, shaft=CLASS["shaft"], head="class 9-iron", bbgl_in=2.0)
    order = order_from_tables(tables, catalogue)
    table = wanted_club(order, order.clubs[5]).table
    assert isinstance(table, RawFamily)
    assert table.set_bbgl_in == 1.0


# Faults


def test_a_flex_is_read_for_the_club_s_own_shaft():
    (fault,) = faults(with_keys(CLASS, 3, shaft=GRAPHITE.name, flex="S"))
    assert (fault.place.key, fault.given) == ("[[club]] 3: flex", f"shaft {GRAPHITE.name!r} has no flex 'S'")
    order = read(with_keys(CLASS, 3, shaft=GRAPHITE.name, flex=GRAPHITE.flexes[0]))
    assert str(order.specs[2].flex) == GRAPHITE.flexes[0]


@pytest.mark.parametrize("flex", ["S", "R/S 0.5"])
def test_a_club_with_another_shaft_and_no_flex_needs_the_order_s(flex):
    tables = CLASS | {"flex": flex}
    (fault,) = faults(with_keys(tables, 3, shaft=TAPER["shaft"], head="taper-bore 4-iron"))
    assert fault.place.key == "[[club]] 3: flex"
    assert f"the order's flex {flex} is not one that its shaft can be cut to" in fault.given
    assert "R" in fault.allowed.replace(",", "").split()
    assert "flex of its own" in fault.next_step
    read(with_keys(tables, 3, shaft=TAPER["shaft"], head="taper-bore 4-iron", flex="R"))


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("shaft", "no such", "there is no shaft 'no such'"),
        ("grip", "no such", "there is no grip 'no such'"),
        ("ladder", "no such", "there is no ladder 'no such'"),
        ("flex", "Z", "no flex 'Z'"),
        ("flex", "R/S", "cannot be read"),
        ("soft_steps", 4, "-3 to 3"),
        ("soft_steps", True, "soft_steps"),
        ("soft_steps", 1.0, "soft_steps"),
        ("raw_length_in", 19.9, "20 to 50 in"),
        ("raw_length_in", float("nan"), "nan"),
        ("raw_mass_g", 29.9, "30 to 160 g"),
        ("raw_mass_g", "5 in", "units g"),
        ("tip_weight_g", -0.1, "0 to 20 g"),
        ("tip_weight_g", 20.1, "0 to 20 g"),
        ("wanted_swingweight", 3, "wanted_swingweight"),
        ("colour", "red", "'colour' is not known"),
    ],
)
def test_each_fault_of_a_club_s_own_key_has_its_place(key, value, told):
    (fault,) = faults(with_keys(CLASS, 3, **{key: value}))
    assert fault.place.key == f"[[club]] 3: {key}"
    assert told in str(fault)
    assert fault.next_step


def test_a_head_that_is_not_known_is_told_also_where_it_was_weighed():
    (fault,) = faults(with_keys(CLASS, 3, head="no such", head_mass_g=250.0))
    assert fault.place.key == "[[club]] 3: head"


@pytest.mark.parametrize("key", ["outside_rules", "extend"])
def test_a_decision_of_yes_or_no_counts_for_its_club_and_comes_back_from_the_file(key):
    order = read(with_keys(CLASS, 3, **{key: True}))
    assert [getattr(club.decisions, key) for club in order.clubs[1:4]] == [False, True, False]
    assert read(tomllib.loads(order_toml(order))) == order


def test_a_shaft_that_is_not_known_is_told_once_and_with_the_others():
    told = faults(with_keys(CLASS, 3, shaft="x", flex="Z", grip="y", ladder="z"))
    assert [fault.place.key for fault in told] == [f"[[club]] 3: {key}" for key in ("shaft", "grip", "ladder")]


# The shaft in hand


def test_a_parallel_piece_in_hand_has_its_own_raw_length_and_the_same_cuts():
    (before, after) = (clubs_of(tables)[3] for tables in (CLASS, with_keys(CLASS, 4, raw_length_in=41.5)))
    assert after.raw_length_in == 41.5
    assert (after.tip_trim_in, after.cut_length_in) == (before.tip_trim_in, before.cut_length_in)
    assert after.butt_trim_in == pytest.approx(before.butt_trim_in - (before.raw_length_in - 41.5), abs=1e-12)
    assert after.butt_diameter_in == before.butt_diameter_in
    (note,) = set(after.notes) - set(before.notes)
    assert note.severity is Severity.WARNING
    assert "0.5 in is missing" in note.text


def test_a_length_within_a_measuring_error_of_the_catalogue_s_is_no_news():
    raw = read(CLASS).shaft.raw_length_in
    for length in (raw, raw - 1 / 16, raw + 1 / 16):
        plan = clubs_of(with_keys(CLASS, 4, raw_length_in=length))[3]
        assert plan.raw_length_in == length
        assert plan.notes == clubs_of(CLASS)[3].notes
    (refused,) = clubs_of(with_keys(CLASS, 4, raw_length_in=raw + 0.07))[3].faults
    assert "measures" in refused.given
    assert "another shaft" in refused.next_step


def test_a_piece_that_is_too_short_is_refused_as_any_short_shaft():
    (refused,) = clubs_of(with_keys(CLASS, 4, raw_length_in=36.0))[3].faults
    assert "too short" in refused.given


def test_a_taper_piece_in_hand_is_one_of_the_family_s_raw_lengths():
    before = clubs_of(TAPER)[2]
    for length in (before.raw_length_in, before.raw_length_in - 0.06, before.raw_length_in + 0.06):
        assert clubs_of(with_keys(TAPER, 3, raw_length_in=length))[2].raw_length_in == before.raw_length_in
    (refused,) = clubs_of(with_keys(TAPER, 3, raw_length_in=before.raw_length_in - 0.2))[2].faults
    assert "no raw length of family" in refused.given
    family = [row for row in CATALOGUE.raw_lengths if row.family == TAPER["shaft"]]
    assert all(row.club in refused.allowed for row in family)


def test_a_taper_piece_of_another_club_needs_the_step_that_goes_with_it():
    own = next(row for row in CATALOGUE.raw_lengths if row.family == TAPER["shaft"] and row.club == "6-iron")
    (refused,) = clubs_of(with_keys(TAPER, 3, raw_length_in=own.raw_length_in))[2].faults
    assert "the 6-iron's raw length" in refused.given
    assert "one soft step" in refused.given
    assert "soft_steps = 0 (no step)" in refused.next_step
    plan = clubs_of(with_keys(TAPER, 3, raw_length_in=own.raw_length_in, soft_steps=0))[2]
    assert plan.raw_length_in == own.raw_length_in


def test_the_mass_in_hand_is_on_the_card_and_moves_frequency_and_mass_but_no_cut():
    light, heavy = (with_keys(CLASS, 4, raw_mass_g=mass) for mass in (114.0, 118.0))
    before, after = (build_set(read(tables)).clubs[3] for tables in (light, heavy))
    assert [card_of(club.plan, club.assembly).raw_mass_g for club in (before, after)] == [114.0, 118.0]
    assert replace(after.plan, wanted=before.plan.wanted) == before.plan
    kept = after.plan.cut_length_in / after.plan.raw_length_in
    assert after.total_mass_g - before.total_mass_g == pytest.approx(4.0 * kept, rel=0.05)
    assert after.frequency_cpm > before.frequency_cpm
    assert card_of(build_set(read(CLASS)).clubs[3].plan).raw_mass_g is None


def test_a_set_with_a_club_that_cannot_be_cut_is_built_whole_or_not_at_all():
    with pytest.raises(TrimRefused, match="too short"):
        build_set(read(with_keys(CLASS, 4, raw_length_in=30.0)))
