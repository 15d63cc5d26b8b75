"""Orders against the shelf file: by hand, against every way there is, and nothing gained or lost on the way."""

import csv
import io
import itertools
import math
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import plan_order
from trimkit.papers.rack.files import RackPiece, new_offer, read_rack
from trimkit.papers.rack.stock import plan_stock, stock_files, stock_lines, write_stock
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.errors import BenchError, SaveError, TrimRefused
from trimkit.trim.refusals import RefusedTogether

PARTS = load_catalogue()
STEEL, TAPER, WOOD = "steel parallel 110 g combination", "steel taper 104 g regular", "graphite wood 60 g regular"
MASTER = PARTS.shafts[STEEL]
NO_OFFER = ()


def order(*clubs, name="evening_class", **header):
    """The shipped order with these clubs alone: the number of each in the order, and what is changed in its table."""
    tables = tomllib.loads((data_folder() / "orders" / f"{name}.toml").read_text(encoding="utf-8"))
    tables["club"] = [{**tables["club"][n], **more} for n, more in clubs]
    return order_from_tables({**tables, **header}, PARTS)


def piece(length_in, tip_cut_in=0.0, count=1, mark=""):
    master = tip_cut_in == 0 and length_in == MASTER.raw_length_in
    section = MASTER.tip_section_in - tip_cut_in
    return RackPiece(STEEL, length_in, section, count, master, mark, tip_cut_in)


SEVEN, EIGHT, SIX = (5, {}), (6, {}), (4, {})


def test_a_seven_iron_from_a_pulled_piece_by_hand():
    # 37 in to play, 1 in of bore bottom, 0.1 in of cap: 35.9 in to keep. The schedule takes 4 in off the tip, and the
    # piece has lost 3.5 of them: 0.5 in are left to cut. 36.5 - 0.5 - 35.9 = 0.1 in at the butt.
    stock = plan_stock([("one", order(SEVEN))], [piece(36.5, 3.5, mark="B3"), piece(42.0, count=2)], NO_OFFER)
    (cut,) = stock.plan.cuts
    assert cut.piece.mark == "B3"
    assert (cut.tip_trim_in, cut.need.cut_length_in) == pytest.approx((0.5, 35.9), abs=1e-9)
    assert cut.butt_trim_in == pytest.approx(0.1, abs=1e-9)
    assert [(left.length_in, left.count) for left in stock.afterwards] == [(42.0, 2)]
    said = "\n".join(stock_lines(stock))
    assert "0.500 (1/2 in)  35.900 (≈ 35 7/8 in)  0.100 (≈ 1/8 in)" in said
    assert "3 before, 1 taken, 2 left" in said
    assert "Nothing to buy." in said


@pytest.mark.parametrize(
    ("name", "number", "length_in", "section_in", "off", "bought_in"),
    [("evening_class", 5, 36.53125, 5.5, 3.5, None), ("taper_soft_step", 3, 37.0, 6.5, 0.0, 38.25)],
)
def test_a_piece_written_into_its_order_as_it_is_said_is_cut_as_at_the_rack(
    name, number, length_in, section_in, off, bought_in
):
    wanted = order((number, {}), name=name)
    (plan,) = plan_order(wanted).every_plan()
    used = RackPiece(plan.wanted.shaft.name, length_in, section_in, 1, False, "", off, bought_in)
    stock = plan_stock([("one", wanted)], [used], NO_OFFER)
    (cut,) = stock.plan.cuts
    (said,) = [line for line in stock_lines(stock) if "pulled = true" in line]
    keys = tomllib.loads(said.partition(": ")[2].replace(", ", "\n"))
    (again,) = plan_order(order((number, keys), name=name)).every_plan()
    assert again.wanted.shaft.raw_length_in == length_in
    assert (again.tip_trim_in, again.cut_length_in, again.butt_trim_in) == pytest.approx(
        (cut.tip_trim_in, cut.need.cut_length_in, cut.butt_trim_in), abs=1e-9
    )


@pytest.mark.parametrize(("off", "fits"), [(4.0, True), (4.0625, True), (4.07, False)])
def test_a_tip_cut_too_far_by_a_measuring_error_still_makes_the_club_as_a_pulled_shaft_of_an_order_does(off, fits):
    stock = plan_stock([("one", order(SEVEN))], [piece(36.0, off)], NO_OFFER)
    assert len(stock.plan.cuts) == fits
    club = {"pulled": True, "raw_length_in": 36.0, "tip_cut_in": off}
    assert len(plan_order(order((5, club))).plans) == fits


def test_a_club_with_a_shaft_in_hand_takes_none():
    hands = [
        {"raw_length_in": 41.75},
        {"raw_mass_g": 110.0},
        {"pulled": True, "raw_length_in": 37.0, "tip_cut_in": 3.0},
    ]
    clubs = [(n, hand) for n, hand in zip((4, 5, 6), hands, strict=True)]
    stock = plan_stock([("one", order(*clubs, (7, {})))], [piece(42.0, count=4)], NO_OFFER)
    assert [cut.need.club for cut in stock.plan.cuts] == ["9-iron"]
    assert [club for _, club, _ in stock.own] == ["6-iron", "7-iron", "8-iron"]
    said = "\n".join(stock_lines(stock))
    assert "one, 6-iron: a shaft measured for it, 41.75 in" in said
    assert "one, 7-iron: a shaft measured for it, 110 g" in said
    assert "one, 8-iron: a pulled shaft, 37 in long" in said
    with pytest.raises(BenchError, match="a shaft of its own in hand"):
        plan_stock([("one", order(*clubs))], [], None)


def test_the_order_named_first_is_served_first():
    orders = [("late", order(SEVEN)), ("early", order(SEVEN))]
    for named in (orders, orders[::-1]):
        plan = plan_stock(named, [piece(42.0)], NO_OFFER).plan
        assert [cut.need.order for cut in plan.cuts] == [named[0][0]]
        assert [each.need.order for each in plan.short] == [named[1][0]]
        assert "every piece that fits is taken by another club" in plan.short[0].why


def test_without_offers_each_club_of_the_demo_orders_can_be_bought_for_and_is_cut_as_its_plan_says():
    orders = [(name, shipped_order(name)) for name in ("evening_class", "taper_soft_step", "wood_pair")]
    stock = plan_stock(orders, [], None)
    plans = [(name, plan) for name, order in orders for plan in plan_order(order).plans]
    found = [(c.need.order, c.need.club, c.piece.length_in, c.tip_trim_in, c.butt_trim_in) for c in stock.plan.cuts]
    for (name, plan), cut in zip(plans, found, strict=True):
        assert cut[:2] == (name, plan.club)
        assert cut[2:] == pytest.approx((plan.raw_length_in, plan.tip_trim_in, plan.butt_trim_in), abs=1e-9)
    assert stock.plan.bought == len(plans)


def test_no_piece_loses_more_at_the_tip_than_its_maker_allows():
    # The 3-wood takes 0.8 in and the maker allows 1.5: of a tip that has lost 0.5, 0.3 may and need come off.
    limit = PARTS.shafts[WOOD].most_tip_trim_in
    used = RackPiece(WOOD, 44.0, PARTS.shafts[WOOD].tip_section_in - 0.5, 1, False, "", 0.5)
    (cut,) = plan_stock([("one", order((1, {}), name="wood_pair"))], [used], NO_OFFER).plan.cuts
    assert cut.tip_trim_in == pytest.approx(0.3)
    assert used.tip_cut_in + cut.tip_trim_in <= limit


def test_a_club_that_cannot_be_cut_is_refused_with_its_order():
    long = order((5, {"playing_length_in": 47.0}), (6, {"playing_length_in": 47.0}))
    with pytest.raises(RefusedTogether) as refused:
        plan_stock([("good", order(SEVEN)), ("bad", long)], [], None)
    assert all("order 'bad', class" in str(fault) for fault in refused.value.faults)
    with pytest.raises(TrimRefused, match="order 'bad', class 8-iron"):
        plan_stock([("bad", order((6, {"playing_length_in": 47.0})))], [], None)


def test_two_clubs_of_one_name_are_told_apart():
    plan = plan_stock([("one", order(SIX, SEVEN, SEVEN))], [], None).plan
    assert [cut.need.club for cut in plan.cuts] == ["6-iron", "7-iron (club 2)", "7-iron (club 3)"]


CLUBS = st.lists(st.sampled_from(range(4, 10)), min_size=1, max_size=2, unique=True)
PIECES = st.lists(
    st.builds(
        piece,
        st.sampled_from([33.75, 35.0, 35.9, 36.5, 37.0, 39.0, 42.0]),
        st.sampled_from([0.0, 1.0, 2.5, 3.5, 4.0, 4.04, 5.0]),
        st.integers(0, 2),
    ).filter(lambda p: p.length_in + p.tip_cut_in <= 42.0),
    max_size=3,
)
PACKS = st.none() | st.tuples(st.integers(1, 3), st.sampled_from([None, 0, 1]))
ORDERS = {
    chosen: order(*[(n, {}) for n in chosen]) for k in (1, 2) for chosen in itertools.permutations(range(4, 10), k)
}
CUTS = {chosen: [(p.tip_trim_in, p.cut_length_in) for p in plan_order(made).plans] for chosen, made in ORDERS.items()}


def best_by_trying_everything(clubs, shelf, pack):
    """The goals' best values over every way to give pieces to clubs: from trims, lengths and the file's columns alone.

    clubs: (number of the order, tip trim, cut length). A piece makes a club if no more is off its tip than the club
    takes, and a ruler's sixteenth, and if what the tip cut leaves is long enough.
    """
    rack = [(each.length_in, each.tip_cut_in, each.master) for each in shelf for _ in range(each.count)]
    new, limit = (0, 0) if pack is None else (pack[0], math.inf if pack[1] is None else pack[1])

    def fits(club, place):
        length, off, _ = (42.0, 0.0, True) if place == "new" else rack[place]
        return off <= club[1] + 1 / 16 + 1e-9 and length - max(club[1] - off, 0) >= club[2] - 1e-6

    best = None
    for chosen in itertools.product([None, "new", *range(len(rack))], repeat=len(clubs)):
        taken = [place for place in chosen if isinstance(place, int)]
        if len(set(taken)) < len(taken) or (pack is None and "new" in chosen):
            continue
        packs = math.ceil(chosen.count("new") / new) if new else 0
        if packs > limit or not all(p is None or fits(c, p) for c, p in zip(clubs, chosen, strict=True)):
            continue
        lengths = [42.0 if place == "new" else rack[place][0] for place in chosen if place is not None]
        kept = [club[2] for club, place in zip(clubs, chosen, strict=True) if place is not None]
        short = [club[0] for club, place in zip(clubs, chosen, strict=True) if place is None]
        value = (len(short), short.count(0), packs * new, sum(rack[p][2] for p in taken), sum(lengths) - sum(kept))
        best = value if best is None else min(best, value)
    return best


@settings(max_examples=60, deadline=None)
@given(CLUBS, CLUBS, PIECES, PACKS)
def test_no_other_way_is_better_and_nothing_gets_lost(first, second, shelf, pack):
    offers = () if pack is None else (new_offer(MASTER, 42.0, *pack),)
    named = [("first", ORDERS[tuple(first)]), ("second", ORDERS[tuple(second)])]
    stock = plan_stock(named, shelf, offers)
    plan = stock.plan
    clubs = [(n, *cut) for n, chosen in enumerate((first, second)) for cut in CUTS[tuple(chosen)]]
    found = (
        len(plan.short),
        sum(each.need.order == "first" for each in plan.short),
        plan.bought,
        sum(cut.piece.master and not cut.bought for cut in plan.cuts),
        plan.waste_in,
    )
    assert found == pytest.approx(best_by_trying_everything(clubs, shelf, pack), abs=1e-6)
    before, after = sum(p.count for p in shelf), sum(p.count for p in stock.afterwards)
    assert before + plan.bought == after + len(plan.cuts)
    assert len(plan.cuts) + len(plan.short) == len(clubs)
    told = list(csv.DictReader(io.StringIO(stock_files(stock)["take.csv"])))
    for row, cut in zip(told, plan.cuts, strict=True):
        tip, keep, butt, length = (float(row[f"{n}_in"]) for n in ("tip_trim", "cut_length", "butt_trim", "length"))
        assert min(tip, butt) >= 0
        assert tip + keep + butt == pytest.approx(length, abs=1e-9)
        assert tip == pytest.approx(cut.tip_trim_in, abs=0.0011)
        assert keep == pytest.approx(cut.need.cut_length_in, abs=0.0006)


def test_the_files_are_written_together_and_the_shelf_can_be_used_next_week(tmp_path):
    named = [("one", order(SIX, SEVEN, EIGHT))]
    shelf = [piece(36.5, 3.5, mark="=B3"), piece(35.0, 5.0, 2, "drawer"), piece(42.0, count=1)]
    stock = plan_stock(named, shelf, (new_offer(MASTER, 42.0, 6),))
    paths = write_stock(stock, tmp_path / "week")
    assert [path.name for path in paths] == ["take.csv", "buy.csv", "short.csv", "shelf_afterwards.csv"]
    after = read_rack(tmp_path / "week" / "shelf_afterwards.csv", "shelf.csv", PARTS).pieces
    assert [(p.length_in, p.tip_cut_in, p.count, p.master, p.mark) for p in after] == [
        (35.0, 5.0, 2, False, "drawer"),
        (42.0, 0.0, 5, True, ""),
    ]
    (bought,) = csv.DictReader(io.StringIO((tmp_path / "week" / "buy.csv").read_text(encoding="utf-8")))
    assert (bought["packs_count"], bought["pack_count"], bought["shafts_count"]) == ("1", "6", "6")
    with pytest.raises(SaveError, match="is there already"):
        write_stock(stock, tmp_path / "week")
    write_stock(stock, tmp_path / "week", replace=True)


def test_why_a_club_goes_short_names_the_nearest_pieces_alone():
    shelf = [piece(30.0 + n / 4, 5.0, mark=f"no. {n}") for n in range(12)]
    (short,) = plan_stock([("one", order(SEVEN))], shelf, NO_OFFER).plan.short
    assert "'no. 11'" in short.why
    assert "'no. 0'" not in short.why
    assert short.why.endswith("and 9 more")
