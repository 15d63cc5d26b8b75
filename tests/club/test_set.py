"""A set is built whole or not at all, and its frequencies are those of an independent finite element library."""

import dataclasses

import pytest

from trimkit.club.order.file import order_tables
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set, plan_order
from trimkit.parts.errors import TrimRefused
from trimkit.trim.steps import Severity


@pytest.mark.parametrize("club", build_set(shipped_order()).clubs, ids=lambda c: c.plan.club)
def test_each_club_of_the_class_agrees_with_scikit_fem(club, finite_element_cpm):
    assert club.frequency_cpm == pytest.approx(finite_element_cpm(club), rel=1e-8)


def test_every_inch_of_every_demo_set_is_accounted_for():
    for name in ("evening_class", "taper_soft_step", "wood_pair"):
        for club in build_set(shipped_order(name)).clubs:
            plan = club.plan
            total = plan.tip_trim_in + plan.cut_length_in + plan.butt_trim_in
            assert total == pytest.approx(plan.raw_length_in, abs=1e-12)


def test_the_long_hosel_is_trimmed_half_an_inch_more_than_the_schedule():
    plan = build_set(shipped_order()).club("sand wedge").plan
    assert plan.tip_trim_in == pytest.approx(plan.schedule_trim_in + 0.5, abs=1e-12)


def test_the_hybrids_are_cut_as_longer_irons_than_their_number():
    built = build_set(shipped_order())
    for number in (3, 4):
        equivalent = built.club(f"{number}-hybrid").plan.equivalent
        assert number - 1 <= int(equivalent.longer[0]) < number


def test_the_set_keeps_the_order_of_the_order():
    order = shipped_order()
    assert [c.plan.wanted.head.name for c in build_set(order).clubs] == [c.head.name for c in order.clubs]


def test_a_set_with_a_club_that_cannot_be_cut_is_not_built_and_the_others_stay_planned():
    order = shipped_order()
    wrong = dataclasses.replace(order.clubs[3], head=order.catalogue.heads["taper-bore 5-iron"])
    bad = dataclasses.replace(order, clubs=(*order.clubs[:3], wrong, *order.clubs[4:]))
    assert len(plan_order(bad).plans) == len(order.clubs) - 1
    with pytest.raises(TrimRefused, match="taper-bore 5-iron"):
        build_set(bad)


def test_an_unknown_club_is_named_with_those_there_are():
    with pytest.raises(KeyError, match="the clubs are"):
        build_set(shipped_order()).club("putter")


def test_swingweights_of_the_demo_irons_lie_where_irons_lie():
    """From memory, unverified: assembled irons play near D0."""
    for club in build_set(shipped_order()).clubs:
        assert club.swingweight[:2] in {"C9", "D0", "D1"}


@pytest.mark.parametrize(
    ("bbgl_in", "warned"), [(2.5, True), (1.0, False), (1.0 + 1 / 16, False), (1.0 + 1 / 16 + 0.01, True)]
)
def test_a_bbgl_typed_into_the_order_that_is_not_the_table_s_is_a_warning(bbgl_in, warned):
    """Cut and line follow from it alone, so nothing else would tell a slip of the pen."""
    tables = order_tables(shipped_order())
    seven = next(club for club in tables["club"] if club["head"].endswith("7-iron"))
    seven["bbgl_in"] = bbgl_in
    order = order_from_tables(tables, shipped_order().catalogue)
    assert order.catalogue.heads[seven["head"]].bbgl_in == 1.0
    notes = [note for note in build_set(order).club("7-iron").notes if "The order gives a BBGL" in note.text]
    assert [note.severity for note in notes] == [Severity.WARNING] * warned
