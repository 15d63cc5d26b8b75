"""What the form tells of a club while one types is what the cut list and the bench card say of it."""

import pytest

from trimkit.club.order.file import order_tables
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.benchcard import target
from trimkit.parts.units import length_in
from trimkit.study.form.orderlines import order_lines

ORDERS = ("evening_class", "taper_soft_step", "wood_pair", "wood_bores")


@pytest.mark.parametrize("name", ORDERS)
def test_cuts_and_frequency_are_those_of_the_bench_card(name):
    order = shipped_order(name)
    lines = order_lines(order_tables(order), order.catalogue)
    assert lines.order == order
    for line, club in zip(lines.clubs.values(), build_set(order).clubs, strict=True):
        for column in ("tip_trim_in", "cut_length_in", "butt_trim_in"):
            mark, exact = line.told[column].split("\n")
            assert length_in(mark.removeprefix("≈ ")) == pytest.approx(getattr(club.plan, column), abs=1 / 32)
            assert length_in(exact.split(", ")[0]) == pytest.approx(getattr(club.plan, column), abs=0.0005)
        reached = target(club).frequency_cpm
        assert line.told["frequency_cpm"].split("\n")[0] == ("–" if reached is None else f"{reached:.1f}")


def test_a_cut_by_hand_arithmetic():
    # 7-iron: schedule 4 in for a BBGL of 1 in; a BBGL of 1 1/2 in adds 1/2 in at the tip. Cut length: playing length
    # 37 in less 1 1/2 in less the grip's cap of 0.1 in. Butt: what is left of 42 in.
    tables = order_tables(shipped_order())
    tables["club"][5]["bbgl_in"] = 1.5
    line = order_lines(tables, shipped_order().catalogue).clubs[6]
    assert line.told["tip_trim_in"] == "4 1/2\n4.5 in, 114.3 mm"
    assert line.told["cut_length_in"] == "≈ 35 3/8\n35.4 in, 899.2 mm"
    assert line.told["butt_trim_in"] == "≈ 2 1/8\n2.1 in, 53.3 mm"


def test_where_a_field_is_empty_the_hint_is_what_is_used():
    line = order_lines(order_tables(shipped_order()), shipped_order().catalogue).clubs[10]
    # The wedge's own dry fit: 43 1/2 less 42.
    assert (line.hints["bbgl_in"], line.hints["flex"], line.hints["playing_length_in"]) == ("1 1/2", "R", "35 1/4")


def test_a_club_with_a_fault_leaves_the_others_planned_and_one_of_the_order_none():
    tables = order_tables(shipped_order())
    before = order_lines(tables, shipped_order().catalogue).clubs
    tables["club"][2]["bbgl_in"] = "25"
    lines = order_lines(tables, shipped_order().catalogue)
    assert lines.order is None
    assert [key for key, _ in lines.faults] == ["[[club]] 3: bbgl_in"]
    assert set(lines.clubs) == set(range(1, 11)) - {3}
    assert {number: line.told for number, line in lines.clubs.items()} == {
        number: line.told for number, line in before.items() if number != 3
    }
    tables["flex"] = "Q"
    assert order_lines(tables, shipped_order().catalogue).clubs == {}
