"""Measured shafts into heads: against every permutation, a planted truth, and refusals in words."""

import csv
import io
import itertools
import tomllib
from dataclasses import replace

import numpy as np
import pytest

from trimkit.club.card import card_of
from trimkit.club.clamp import BareShaft, FrequencyBench, frequencies_cpm
from trimkit.club.club import finished_club
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.club.shopfile import shop_from_tables
from trimkit.papers.rack.assigning import assign_shafts, assigned_csv, assigned_lines
from trimkit.papers.rack.bareshaft import RackShaft
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.errors import BenchError, DataFileError, ModelError, Place
from trimkit.shop.rawshaft import MeasuredShaft

PARTS = load_catalogue()
STEEL, TAPER, WOOD = "steel parallel 110 g combination", "steel taper 104 g regular", "graphite wood 60 g regular"
BENCH = FrequencyBench(205.0)


def tables(name, clubs):
    found = tomllib.loads((data_folder() / "orders" / f"{name}.toml").read_text(encoding="utf-8"))
    found["club"] = [{**found["club"][n], **more} for n, more in clubs]
    return found


def made(*clubs, name="evening_class", shop=None):
    return build_set(order_from_tables(tables(name, clubs), PARTS, shop=shop))


def read_on(bench, ei, kind=STEEL, raw_length_in=None):
    """A bare shaft's reading on a bench if it is so much stiffer than described, and as heavy."""
    shaft = PARTS.shafts[kind]
    profile = profile_of(shaft, raw_length_in or shaft.raw_length_in)
    return float(frequencies_cpm([BareShaft(profile, bench)], ei_factor=ei)[0]), float(profile.mass_g)


def shaft(mark, ei, kind="", bench=BENCH, said=True, raw_length_in=None, row=2):
    cpm, grams = read_on(bench, ei, kind or STEEL, raw_length_in)
    given = (bench.test_mass_g, bench.test_offset_in, bench.clamp_in) if said else (None, None, None)
    return RackShaft(kind, MeasuredShaft(mark, cpm, grams, raw_length_in), *given, Place("mine.csv", row, "shaft"))


def stiffened(club, ei):
    return float(frequencies_cpm([card_of(club.plan, finished_club(club).assembly)], ei_factor=ei)[0])


FOUR = made((3, {}), (4, {}), (5, {}), (6, {}))
FACTORS = (0.94, 1.05, 0.99, 1.02, 1.08)


def test_no_permutation_comes_closer_and_the_gain_is_that_over_the_file_s_sequence():
    assigned = assign_shafts(FOUR, [shaft(f"no. {n}", ei) for n, ei in enumerate(FACTORS)])
    (kind,) = assigned.kinds
    # Each club with each shaft, from the planted factors alone: what reading and fitting them back must give.
    cards = [finished_club(club) for club in FOUR.clubs]
    targets = np.array([club.frequency_cpm for club in cards])
    ways = {
        chosen: np.array([stiffened(club, FACTORS[j]) for club, j in zip(FOUR.clubs, chosen, strict=True)]) - targets
        for chosen in itertools.permutations(range(5), 4)
    }
    rms = {chosen: float(np.sqrt(np.mean(off**2))) for chosen, off in ways.items()}
    assert kind.best.chosen == min(rms, key=rms.get)
    assert kind.best.rms_cpm == pytest.approx(min(rms.values()), abs=1e-4)
    assert kind.lying.chosen == (0, 1, 2, 3)
    assert kind.lying.rms_cpm == pytest.approx(rms[0, 1, 2, 3], abs=1e-4)
    assert kind.lying.worst_cpm == pytest.approx(np.abs(ways[0, 1, 2, 3]).max(), abs=1e-4)
    assert kind.left == tuple(set(range(5)) - set(kind.best.chosen))


def test_a_shaft_as_described_is_on_target_however_it_was_read():
    heavy = FrequencyBench(190.0, 0.5, clamp_in=4.5)
    shafts = [shaft("a", 1.0), shaft("b", 1.0, bench=heavy), shaft("c", 1.0), shaft("d", 1.0, bench=heavy)]
    (kind,) = assign_shafts(FOUR, shafts).kinds
    assert kind.best.worst_cpm == pytest.approx(0, abs=1e-3)
    for club, target in zip(FOUR.clubs, kind.best.matrix.target_cpm, strict=True):
        assert target == pytest.approx(finished_club(club).frequency_cpm)


SHOP = {
    "test_weight": {"mass_g": 230.0, "offset_in": 0.25, "inertia_g_cm2": 120.0, "clamp_in": 4.5},
    "clamp": {"root_compliance_rad_per_n_m": 1 / 1200},
}
CLUBS = ((3, {}), (4, {}), (5, {}), (6, {}))


def test_the_shop_s_test_weight_and_clamp_count_where_the_file_says_nothing():
    built = made(*CLUBS, shop=shop_from_tables(SHOP, None))
    bench = FrequencyBench(230.0, 0.25, 120.0, 4.5, 1200.0)
    unsaid = [shaft(f"no. {n}", 1.0, bench=bench, said=False) for n in range(4)]
    assert assign_shafts(built, unsaid).kinds[0].best.worst_cpm == pytest.approx(0, abs=1e-3)


def test_a_weight_of_the_row_s_own_is_at_the_tip_and_in_the_shop_s_clamp():
    built = made(*CLUBS, shop=shop_from_tables(SHOP, None))
    bench = FrequencyBench(190.0, 0.0, 0.0, 4.5, 1200.0)
    said = [replace(shaft(str(n), 1.0, bench=bench), test_offset_in=None, clamp_in=None) for n in range(4)]
    assert assign_shafts(built, said).kinds[0].best.worst_cpm == pytest.approx(0, abs=1e-3)


def test_a_kind_that_the_shop_has_calibrated_is_expected_to_be_so():
    """Shafts 6 % softer than described, all of them: on target if the kind is calibrated so, and low if it is not."""
    soft = [shaft(f"no. {n}", 0.94) for n in range(4)]
    calibrated = [{"shaft": STEEL, "ei_factor": 0.94}]
    built = made(*CLUBS, shop=shop_from_tables({"calibrated": calibrated}, PARTS.shafts))
    best = assign_shafts(built, soft).kinds[0].best
    assert best.worst_cpm == pytest.approx(0, abs=1e-3)
    plain = assign_shafts(FOUR, soft).kinds[0].best
    assert (plain.deviation_cpm < -8).all()
    assert best.frequency_cpm == pytest.approx(plain.frequency_cpm, abs=1e-3)


@pytest.mark.parametrize(
    ("lacks", "column", "said"),
    [
        (("test_mass_g", "clamp_in"), "test_mass_g", "there is no test_mass_g and no clamp_in"),
        (("test_mass_g",), "test_mass_g", "there is no test_mass_g"),
        (("clamp_in",), "clamp_in", "there is no clamp_in"),
    ],
)
def test_how_a_shaft_was_read_is_never_guessed(lacks, column, said):
    shafts = [shaft("a", 1.0), *(replace(shaft(str(n), 1.0, row=n), **dict.fromkeys(lacks)) for n in (3, 4))]
    with pytest.raises(DataFileError) as refused:
        assign_shafts(FOUR, shafts)
    assert [(each.given, each.place.row, each.place.column) for each in refused.value.faults] == [
        (said, 3, column),
        (said, 4, column),
    ]
    assert "[test_weight] in shop.toml" in refused.value.faults[0].allowed


def test_each_row_has_a_mark_of_its_own():
    shafts = [shaft("a", 1.0, row=2), shaft("b", 1.0, row=3), shaft("a", 1.0, row=4), shaft("", 1.0, row=5)]
    with pytest.raises(DataFileError) as refused:
        assign_shafts(FOUR, shafts)
    assert [(each.given, each.place.row, each.place.column) for each in refused.value.faults] == [
        ("the mark 'a' is in row 2 as well", 4, "mark"),
        ("it has no mark", 5, "mark"),
    ]


def test_two_kinds_are_assigned_each_by_itself():
    both = tables("evening_class", [(4, {}), (5, {})])
    woods = tables("wood_pair", [(0, {})])
    own = {"shaft": WOOD, "grip": woods["grip"], "ladder": woods["ladder"], "flex": "R"}
    both["club"] += [{**each, **own} for each in woods["club"]]
    built = build_set(order_from_tables(both, PARTS))
    shafts = [shaft("w", 1.0, WOOD), shaft("s1", 1.01, STEEL), shaft("t", 1.0, TAPER, raw_length_in=38.75)]
    shafts += [shaft("s2", 0.99, STEEL), shaft("s3", 1.2, STEEL)]
    assigned = assign_shafts(built, shafts)
    put = {k.shaft: [k.best.matrix.shafts[j].mark for j in k.best.chosen] for k in assigned.kinds}
    assert set(put[STEEL]) == {"s1", "s2"}
    assert put[WOOD] == ["w"]
    assert assigned.others == ("t",)
    said = "\n".join(assigned_lines(assigned))
    assert "Left over: s3." in said
    assert "Far off their description: s3 (stiffer by 20%)" in said
    assert "no club of the order takes: t." in said
    with pytest.raises(DataFileError, match="column shaft: it does not say its kind, and the order has 2"):
        assign_shafts(built, [*shafts, shaft("?", 1.0)])


def test_a_taper_tip_goes_to_a_club_of_its_raw_length():
    built = build_set(shipped_order("taper_soft_step"))
    lengths = [club.plan.raw_length_in for club in built.clubs]
    shafts = [shaft(f"no. {n}", 1.0, TAPER, raw_length_in=raw) for n, raw in enumerate(reversed(lengths))]
    (kind,) = assign_shafts(built, shafts).kinds
    assert [kind.best.matrix.shafts[j].raw_length_in for j in kind.best.chosen] == lengths
    assert kind.best.worst_cpm == pytest.approx(0, abs=1e-3)
    unsaid = RackShaft("", MeasuredShaft("x", 300.0, 100.0), 205.0, None, 5.0, Place("mine.csv", 9, "shaft"))
    with pytest.raises(DataFileError, match="row 9, column raw_length_in: it does not say which raw length"):
        assign_shafts(built, [*shafts, unsaid])


def test_fewer_shafts_than_clubs_are_refused_in_a_sentence():
    with pytest.raises(ModelError, match=rf"3 measured shafts '{STEEL}' of 42 in for 4 clubs") as refused:
        assign_shafts(FOUR, [shaft(f"no. {n}", 1.0) for n in range(3)])
    assert refused.value.next_step == "measure 1 more of that raw length, or build fewer clubs"


def test_a_club_with_a_shaft_in_hand_keeps_it():
    built = made((4, {}), (5, {"raw_mass_g": 110.0}))
    assigned = assign_shafts(built, [shaft("a", 1.0)])
    assert [club.plan.club for club in assigned.kinds[0].clubs] == ["6-iron"]
    assert assigned.own == ("7-iron",)
    assert "Their order gives them a shaft of their own: 7-iron." in assigned_lines(assigned)
    with pytest.raises(BenchError, match="a shaft of its own in hand"):
        assign_shafts(made((5, {"raw_mass_g": 110.0})), [shaft("a", 1.0)])


@pytest.mark.parametrize("kind", ["", STEEL])
def test_a_parallel_shaft_of_another_length_is_refused(kind):
    odd = RackShaft(kind, MeasuredShaft("a", 290.0, 110.0, 41.0), 205.0, 0.0, 5.0, Place("mine.csv", 2, "shaft"))
    with pytest.raises(DataFileError, match="row 2, column raw_length_in: 41 in is no raw length"):
        assign_shafts(FOUR, [odd])


def test_a_length_within_a_thirty_second_is_the_raw_length_meant():
    lengths = [41.98, 42.02, 42.0, None]
    shafts = [shaft(str(n), 1.0) for n in range(4)]
    read = [replace(s, measured=replace(s.measured, raw_length_in=raw)) for s, raw in zip(shafts, lengths, strict=True)]
    assert assign_shafts(FOUR, read).kinds[0].best.worst_cpm == pytest.approx(0, abs=1e-3)


def test_the_file_has_every_club_and_every_shaft_once():
    assigned = assign_shafts(FOUR, [shaft(f"no. {n}", ei) for n, ei in enumerate(FACTORS)])
    (kind,) = assigned.kinds
    rows = list(csv.DictReader(io.StringIO(assigned_csv(assigned))))
    assert sorted(row["mark"] for row in rows) == [f"no. {n}" for n in range(5)]
    assert [row["club"] for row in rows] == ["5-iron", "6-iron", "7-iron", "8-iron", ""]
    for row, off in zip(rows, kind.best.deviation_cpm, strict=False):
        assert float(row["off_by_cpm"]) == pytest.approx(off, abs=0.051)
        assert float(row["expected_cpm"]) - float(row["target_cpm"]) == pytest.approx(off, abs=0.101)
