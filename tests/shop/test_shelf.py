"""The shelf: the integer programme against plain enumeration, and every refusal in words."""

import dataclasses
import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.order.order import shipped_order
from trimkit.club.pulled import with_pulled
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError, TrimRefused
from trimkit.shop.shelf import (
    MOST_PAIRS,
    Need,
    Offer,
    Piece,
    needs_of,
    plan_shelf,
    pulled_piece,
    why_not,
)
from trimkit.trim.plan import plan_club
from trimkit.trim.refusals import RefusedTogether
from trimkit.trim.wanted import Pulled, ShaftInHand

STEEL = "a steel shaft"
CLASS = build_set(shipped_order())
MASTER = CLASS.order.shaft
TAPER = build_set(shipped_order("taper_soft_step"))
CLASS_NEEDS = needs_of("class", [club.plan for club in CLASS.clubs])
TAPER_NEEDS = needs_of("taper", [club.plan for club in TAPER.clubs])


def masters_used(plan):
    return sum(cut.piece.master and not cut.bought for cut in plan.cuts)


def need(tip_section=8.0, cut=36.0, order="one", club="7-iron", **more):
    return Need(order, club, STEEL, tip_section, cut, **more)


def enumerated(needs, shelf, offers):
    """The best values of the goals by trying every piece for every club: no programme, no bounds, no solver."""
    pieces = [*shelf, *(offer.piece for offer in offers)]
    orders = list(dict.fromkeys(each.order for each in needs))
    best = None
    for chosen in itertools.product([None, *range(len(pieces))], repeat=len(needs)):
        used = [(n, p) for n, p in zip(needs, chosen, strict=True) if p is not None]
        if any(why_not(n, pieces[p]) for n, p in used):
            continue
        counts = [chosen.count(p) for p in range(len(pieces))]
        if any(n > piece.count for n, piece in zip(counts, shelf, strict=False)):
            continue
        packs = [math.ceil(n / offer.pack) for n, offer in zip(counts[len(shelf) :], offers, strict=True)]
        if any(o.most_packs is not None and k > o.most_packs for k, o in zip(packs, offers, strict=True)):
            continue
        short = [n for n, p in zip(needs, chosen, strict=True) if p is None]
        value = (
            len(short),
            *(sum(n.order == order for n in short) for order in orders[:-1]),
            sum(k * offer.pack for k, offer in zip(packs, offers, strict=True)),
            sum(p < len(shelf) and pieces[p].master for _, p in used),
            sum(pieces[p].length_in - n.cut_length_in for n, p in used),
        )
        best = value if best is None or value < best else best
    return best


needs_drawn = st.lists(
    st.builds(
        need,
        st.sampled_from([6.0, 7.0, 8.0, 9.0]),
        st.sampled_from([34.0, 35.0, 36.0, 37.0]),
        st.sampled_from(["one", "two"]),
        taper=st.booleans(),
    ),
    min_size=1,
    max_size=4,
)
pieces_drawn = st.lists(
    st.builds(
        Piece,
        st.just(STEEL),
        st.sampled_from([35.0, 36.0, 38.0, 41.0]),
        st.sampled_from([6.0, 8.0, 10.0]),
        st.integers(0, 2),
        st.booleans(),
    ),
    max_size=3,
)
offers_drawn = st.lists(
    st.builds(
        Offer,
        st.just(STEEL),
        st.sampled_from([37.0, 41.0]),
        st.sampled_from([7.0, 10.0]),
        st.integers(1, 3),
        st.sampled_from([None, 0, 1]),
    ),
    max_size=2,
)


@settings(max_examples=120, deadline=None)
@given(needs_drawn, pieces_drawn, offers_drawn)
def test_every_goal_is_that_of_plain_enumeration(needs, shelf, offers):
    plan = plan_shelf(needs, shelf, offers)
    orders = list(dict.fromkeys(each.order for each in needs))
    found = (
        len(plan.short),
        *(sum(each.need.order == order for each in plan.short) for order in orders[:-1]),
        plan.bought,
        masters_used(plan),
        plan.waste_in,
    )
    assert found == pytest.approx(enumerated(needs, shelf, offers), abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(needs_drawn, pieces_drawn, offers_drawn)
def test_nothing_appears_and_nothing_gets_lost(needs, shelf, offers):
    plan = plan_shelf(needs, shelf, offers)
    assert len(plan.cuts) + len(plan.short) == len(needs)
    shelf_count, left = sum(piece.count for piece in shelf), sum(piece.count for piece in plan.left)
    assert shelf_count - left == sum(not cut.bought for cut in plan.cuts)
    assert plan.bought - sum(piece.count for piece in plan.spare) == sum(cut.bought for cut in plan.cuts)
    for cut in plan.cuts:
        assert cut.tip_trim_in >= 0
        assert cut.butt_trim_in >= 0
        total = cut.tip_trim_in + cut.need.cut_length_in + cut.butt_trim_in
        assert total == pytest.approx(cut.piece.length_in, abs=1e-6)


def test_new_masters_are_cut_as_the_plans_say():
    offers = [Offer(MASTER.name, MASTER.raw_length_in, MASTER.tip_section_in)]
    plan = plan_shelf(CLASS_NEEDS, [], offers)
    assert plan.bought == len(CLASS.clubs)
    trims = {cut.need.club: (cut.tip_trim_in, cut.butt_trim_in) for cut in plan.every_cut()}
    for club in CLASS.clubs:
        assert trims[club.plan.club] == pytest.approx((club.plan.tip_trim_in, club.plan.butt_trim_in), abs=1e-9)


def test_a_leftover_spares_a_master_where_it_is_long_enough():
    tip_section = MASTER.tip_section_in - 4.5  # 4.5 in cut off its tip and some off its butt
    pulled = Piece(MASTER.name, 36.0, tip_section, 1, master=False)
    master = Piece(MASTER.name, MASTER.raw_length_in, MASTER.tip_section_in, 20)
    plan = plan_shelf(CLASS_NEEDS, [pulled, master])
    assert masters_used(plan) == len(CLASS.clubs) - 1
    (cut,) = [cut for cut in plan.cuts if not cut.piece.master]
    assert cut.need.tip_section_in <= tip_section
    assert cut.need.cut_length_in <= 36.0 - cut.tip_trim_in + 1e-9
    # Whichever of them it goes to, the others come off masters: all ways lose the same.
    every_length = 36.0 + (len(CLASS.clubs) - 1) * MASTER.raw_length_in
    assert plan.waste_in == pytest.approx(every_length - sum(need.cut_length_in for need in CLASS_NEEDS))


def test_of_two_leftovers_the_one_that_loses_less_is_taken():
    long, short = (Piece(STEEL, length, 8.5, master=False) for length in (39.0, 36.75))
    (cut,) = plan_shelf([need()], [long, short]).every_cut()
    assert (cut.piece, cut.tip_trim_in, cut.butt_trim_in) == (short, 0.5, 0.25)


def test_a_pulled_shaft_is_a_piece_and_its_club_needs_what_it_needs_of_a_new_one():
    seven, eight = (next(c.plan for c in CLASS.clubs if c.plan.club == name) for name in ("7-iron", "8-iron"))
    was = Pulled(seven.wanted.shaft, seven.raw_length_in, seven.tip_trim_in)
    wanted = with_pulled(eight.wanted, was, seven.cut_length_in)
    piece = pulled_piece(wanted)
    shaft = seven.wanted.shaft
    assert piece == Piece(shaft.name, seven.cut_length_in, shaft.tip_section_in - seven.tip_trim_in, master=False)
    (own,), (new,) = needs_of("one", [plan_club(wanted)]), needs_of("one", [eight])
    assert own.tip_section_in == pytest.approx(new.tip_section_in, abs=1e-9)
    assert (own.shaft, own.cut_length_in) == (new.shaft, pytest.approx(new.cut_length_in, abs=1e-9))
    (cut,) = plan_shelf([new], [piece]).every_cut()
    assert cut.tip_trim_in == pytest.approx(plan_club(wanted).tip_trim_in, abs=1e-6)
    with pytest.raises(TrimRefused, match="is new"):
        pulled_piece(eight.wanted)


def test_packs_are_bought_whole_and_the_spare_is_said():
    plan = plan_shelf([need(club=str(n)) for n in range(7)], [], [Offer(STEEL, 41.0, 11.0, pack=6)])
    assert plan.to_buy[0][1] == 2
    assert plan.bought == 12
    assert plan.spare == (Piece(STEEL, 41.0, 11.0, 5),)


def test_a_taper_tip_takes_its_own_raw_length_and_no_other():
    name = TAPER_NEEDS[0].shaft
    lengths = [club.plan.raw_length_in for club in TAPER.clubs]
    longest = max(lengths)
    # The table describes the family's longest raw length; a shorter one lacks the difference below its first step.
    below = TAPER.order.shaft.tip_section_in - TAPER.order.shaft.raw_length_in
    offers = [Offer(name, raw, below + raw) for raw in sorted(set(lengths))]
    plan = plan_shelf(TAPER_NEEDS, [], offers)
    assert [cut.piece.length_in for cut in plan.every_cut()] == lengths
    assert all(cut.tip_trim_in == 0 for cut in plan.cuts)
    only_longest = plan_shelf(TAPER_NEEDS, [], [Offer(name, longest, below + longest)])
    assert len(only_longest.short) == len(lengths) - lengths.count(longest)
    assert all("a taper tip is never trimmed" in each.why for each in only_longest.short)


def test_the_earlier_order_keeps_the_last_shaft():
    needs = [need(order="client 03"), need(order="client 07", club="8-iron")]
    plan = plan_shelf(needs, [Piece(STEEL, 41.0, 11.0, 1)])
    assert [cut.need.order for cut in plan.cuts] == ["client 03"]
    with pytest.raises(TrimRefused, match=r"order 'client 07', 8-iron: .*taken by another club"):
        plan.every_cut()


def test_where_all_else_is_equal_the_least_is_cut_off():
    needs = [need(order="first", cut=40.0), need(order="second", cut=36.0), need(order="second", cut=35.0)]
    plan = plan_shelf(needs, [Piece(STEEL, 41.0, 8.0, 1), Piece(STEEL, 36.0, 8.0, 1)])
    assert [each.need.cut_length_in for each in plan.short] == [35.0]
    assert plan.waste_in == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("piece", "why"),
    [
        (Piece(STEEL, 41.0, 7.0), "its tip section is 1 in too short"),
        (Piece(STEEL, 36.5, 9.0), "it is 0.5 in too short"),
        (Piece("another", 41.0, 11.0), "there is no shaft 'a steel shaft'"),
    ],
)
def test_why_a_club_goes_short_is_said(piece, why):
    plan = plan_shelf([need()], [piece])
    with pytest.raises(TrimRefused, match=why):
        plan.every_cut()


def test_several_clubs_short_are_refused_together():
    with pytest.raises(RefusedTogether) as refused:
        plan_shelf(CLASS_NEEDS, []).every_cut()
    assert len(refused.value.faults) == len(CLASS.clubs)


def test_more_pairs_than_a_person_can_wait_for_are_refused_and_pieces_in_one_row_are_one():
    needs = [need(club=str(n)) for n in range(51)]
    masters = [Piece(STEEL, 41.0, 11.0, mark=str(n)) for n in range(1000)]
    assert len(needs) * len(masters) > MOST_PAIRS
    with pytest.raises(ModelError, match=f"fit in more than {MOST_PAIRS} ways"):
        plan_shelf(needs, masters)
    assert len(plan_shelf(needs, [Piece(STEEL, 41.0, 11.0, 1000)]).cuts) == 51


def test_an_empty_order_is_refused():
    with pytest.raises(ModelError, match="no club"):
        plan_shelf([], [])


@pytest.mark.parametrize(
    ("kind", "given_"),
    [
        (Piece, {"length_in": math.nan, "tip_section_in": 8.0}),
        (Piece, {"length_in": 0.0, "tip_section_in": 0.0}),
        (Piece, {"length_in": 40.0, "tip_section_in": 41.0}),
        (Piece, {"length_in": 40.0, "tip_section_in": 8.0, "count": -1}),
        (Piece, {"length_in": 40.0, "tip_section_in": 8.0, "count": 1.5}),
        (Offer, {"raw_length_in": 40.0, "tip_section_in": -1.0}),
        (Offer, {"raw_length_in": 40.0, "tip_section_in": 8.0, "pack": 0}),
        (Offer, {"raw_length_in": 40.0, "tip_section_in": 8.0, "most_packs": -1}),
    ],
)
def test_a_shelf_that_cannot_be_is_refused(kind, given_):
    with pytest.raises(TrimRefused, match=r"again|number"):
        kind(STEEL, **given_)


def test_a_parallel_piece_in_hand_needs_the_tip_section_of_a_whole_shaft():
    plan = CLASS.club("6-iron").plan
    short = plan_club(dataclasses.replace(plan.wanted, in_hand=ShaftInHand(plan.raw_length_in - 1)))
    assert short.raw_length_in == plan.raw_length_in - 1
    assert needs_of("x", [short]) == needs_of("x", [plan])
