"""Stock on the shelf: plain counting of what an order takes, leaves and wants bought."""

import dataclasses

from hypothesis import given
from hypothesis import strategies as st

from trimkit.trim.plan import plan_club
from trimkit.trim.stock import ShelfItem, StockLine, count_stock


def test_a_set_on_one_master_takes_one_piece_a_club(wanted, make):
    plans = [plan_club(dataclasses.replace(wanted, head=make.head(f"{number}-iron"))) for number in (4, 5, 6)]
    (line,) = count_stock(plans, [ShelfItem("test master", 42.0, 5)])
    assert line == StockLine("test master", 42.0, 5, ("4-iron", "5-iron", "6-iron"))
    assert (line.left, line.to_buy) == (2, 0)


def test_a_taper_family_takes_the_raw_length_of_each_club_as_stepped(wanted_taper, make):
    plans = [
        plan_club(dataclasses.replace(wanted_taper, head=make.head(f"{number}-iron", bore_in=0.355), soft_steps=1))
        for number in (5, 6)
    ]
    lines = count_stock(plans, [ShelfItem("test taper", 38.75, 1), ShelfItem("test taper", 38.25, 2)])
    assert [(line.raw_length_in, line.clubs, line.left, line.to_buy) for line in lines] == [
        (39.25, ("5-iron",), 0, 1),
        (38.75, ("6-iron",), 0, 0),
        (38.25, (), 2, 0),
    ]


def test_items_of_the_same_shaft_and_length_add_up():
    shelf = [ShelfItem("b", 42.0, 2), ShelfItem("b", 42.0 + 1e-9, 3), ShelfItem("a", 42.0, 1)]
    assert [(line.shaft, line.on_shelf) for line in count_stock([], shelf)] == [("a", 1), ("b", 5)]


def test_an_empty_shelf_has_everything_to_buy(wanted):
    (line,) = count_stock([plan_club(wanted)])
    assert (line.left, line.to_buy) == (0, 1)


@given(on_shelf=st.integers(0, 40), taken=st.integers(0, 40))
def test_nothing_is_lost_in_counting(on_shelf, taken):
    line = StockLine("shaft", 42.0, on_shelf, ("6-iron",) * taken)
    assert line.left - line.to_buy == on_shelf - taken
    assert line.left == 0 or line.to_buy == 0
