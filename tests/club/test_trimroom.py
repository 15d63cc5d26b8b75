"""What a pulled shaft can still become: each row is the plan of that club on a new shaft, less what is off already."""

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.order.order import shipped_order
from trimkit.club.pulled import with_pulled
from trimkit.club.set import plan_order
from trimkit.club.trimroom import TrimRoom, nearest_rooms, piece_words, room_lines, trim_room, with_nearest
from trimkit.parts.components import HeadKind
from trimkit.parts.errors import Place, TrimRefused
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength, LadderLength
from trimkit.trim.plan import ClubRefused, plan_club, plan_set
from trimkit.trim.wanted import Decisions, Pulled

IRONS = {plan.club: plan for plan in plan_order(shipped_order("evening_class")).every_plan()}
TAPERS = {plan.club: plan for plan in plan_order(shipped_order("taper_soft_step")).every_plan()}


def pulled(wanted, *, off_in=0.0, long_in=36.0, bought_in=None):
    """The same club on a pulled shaft of its kind."""
    return with_pulled(wanted, Pulled(wanted.shaft, bought_in or wanted.shaft.raw_length_in, off_in), long_in)


@settings(max_examples=20, deadline=None)
@given(part=st.floats(0, 0.9), left=st.floats(25, 38), wanted=st.sampled_from([p.wanted for p in IRONS.values()]))
def test_a_row_is_the_new_shafts_club_less_what_is_off_already_or_says_by_how_much_it_is_not(part, left, wanted):
    off = part * wanted.shaft.tip_section_in
    left = min(left, wanted.shaft.raw_length_in - off)
    piece = pulled(wanted, off_in=off, long_in=left)
    rooms = trim_room(piece)
    for room in rooms:
        decided = Decisions(trim_as=TrimAs.ENGRAVED)
        head = replace(wanted.head, club=room.club)
        new = plan_club(replace(wanted, head=head, flex=room.flex, decisions=decided))
        to_do = new.tip_trim_in - off
        stiff = to_do < -1 / 16 - 1e-9
        reaches = left - max(to_do, 0.0) - new.cut_length_in
        fits = not stiff and reaches >= -1e-9
        assert room.can == fits
        if fits:
            assert room.tip_trim_in == pytest.approx(max(to_do, 0.0), abs=1e-9)
            assert room.cut_length_in == pytest.approx(new.cut_length_in, abs=1e-12)
            assert room.butt_trim_in == pytest.approx(reaches, abs=2e-9)
        else:
            assert ("too stiff" in room.why_not) == stiff
            assert ("too short" in room.why_not) == (not stiff and reaches < -1e-9)
    clubs = [club for club in wanted.table.clubs if club in wanted.ladder.clubs]
    assert [(room.club, str(room.flex)) for room in rooms] == list(itertools.product(clubs, wanted.shaft.flexes))


def test_a_row_that_leaves_too_little_tip_for_the_bore_says_so():
    """The bore takes all but 2.5 in of the parallel tip: no more than that may come off."""
    wanted = IRONS["7-iron"].wanted
    bore_in = wanted.shaft.tip_section_in - 2.5
    rooms = trim_room(pulled(replace(wanted, head=replace(wanted.head, bore_depth_in=bore_in)), long_in=41.0))
    usual = trim_room(pulled(wanted, long_in=41.0))
    for room, whole in zip(rooms, usual, strict=True):
        if whole.can:
            assert room.can == (whole.tip_trim_in <= 2.5)
            assert room.can or "of tip trim would leave" in room.why_not
    assert {room.can for room in rooms} == {True, False}


def test_a_club_that_the_ladder_lacks_has_no_row():
    wanted = IRONS["7-iron"].wanted
    short = replace(wanted.ladder, rungs=tuple(rung for rung in wanted.ladder.rungs if rung.club != "6-iron"))
    assert "6-iron" in wanted.table.clubs
    clubs = {room.club for room in trim_room(pulled(replace(wanted, ladder=short), off_in=1.0))}
    assert clubs == set(wanted.table.clubs) & set(wanted.ladder.clubs) - {"6-iron"}


def test_a_row_for_a_place_between_two_flexes_lies_between_theirs():
    wanted = replace(IRONS["7-iron"].wanted, flex=FlexPlace("R", "S", 0.25))
    rooms = [room for room in trim_room(pulled(wanted, off_in=1.0, long_in=41.0)) if room.club == "7-iron"]
    assert [str(room.flex) for room in rooms] == ["A", "R", "R/S 0.25", "S"]
    _, softer, between, stiffer = (room.tip_trim_in for room in rooms)
    assert between == pytest.approx(0.75 * softer + 0.25 * stiffer)


def test_a_length_given_for_one_club_counts_for_that_club_alone():
    wanted = replace(IRONS["7-iron"].wanted, length=GivenLength(36.0))
    rooms = trim_room(pulled(wanted, off_in=1.0, long_in=41.0))
    ladder = trim_room(replace(pulled(wanted, off_in=1.0, long_in=41.0), length=LadderLength()))
    shorter_in = wanted.ladder.rung("7-iron").playing_length_in - 36.0
    for own, usual in zip(rooms, ladder, strict=True):
        if usual.can:
            less_in = shorter_in if own.club == "7-iron" else 0.0
            assert own.cut_length_in == pytest.approx(usual.cut_length_in - less_in)
    assert sum(room.can for room in rooms) > 12


def test_a_taper_tip_is_stepped_to_the_raw_length_it_was_and_no_further_than_an_order_may():
    wanted = TAPERS["7-iron"].wanted
    left_in = wanted.table.row("6-iron").raw_length_in - 0.5
    rooms = trim_room(pulled(wanted, bought_in=left_in + 0.5, long_in=left_in))
    steps = {room.club: room.soft_steps for room in rooms}
    assert (steps["5-iron"], steps["6-iron"], steps["7-iron"], steps["8-iron"]) == (-1, 0, 1, 2)
    for room in rooms:
        if abs(room.soft_steps) > 3:
            side = "soft" if room.soft_steps > 0 else "hard"
            assert room.why_not == f"that would be {abs(room.soft_steps)} {side} steps"
            continue
        new = plan_club(replace(wanted, head=replace(wanted.head, club=room.club), soft_steps=0))
        assert room.can == (new.cut_length_in <= left_in)
        assert room.tip_trim_in == (0.0 if room.can else None)
    assert {0, 1, 2, 3} <= {room.soft_steps for room in rooms if room.can}


def _rooms(*can):
    clubs, flexes = ("4-iron", "5-iron", "6-iron", "7-iron"), ("A", "R", "S")
    able = {tuple(each.split()) for each in can}
    return [
        TrimRoom(club, FlexPlace.at(flex), why_not="" if (club, flex) in able else "no")
        for club, flex in itertools.product(clubs, flexes)
    ]


@pytest.mark.parametrize(
    ("can", "nearest"),
    [
        (["7-iron R", "6-iron R", "5-iron S"], ["6-iron R", "5-iron S"]),
        (["7-iron R"], ["7-iron R"]),
        (["4-iron R", "7-iron R"], ["4-iron R"]),
        (["5-iron A", "5-iron S"], ["5-iron A"]),
        (["7-iron A", "7-iron S", "6-iron S"], ["6-iron S"]),
        ([], []),
    ],
)
def test_the_nearest_is_another_club_in_this_flex_and_this_club_in_another(can, nearest):
    found = nearest_rooms(_rooms(*can), "5-iron", FlexPlace.at("R"))
    assert [f"{room.club} {room.flex}" for room in found] == nearest


def test_of_a_taper_tip_the_nearest_is_another_club_and_this_one_stepped_each_said_once():
    eight = TAPERS["8-iron"].wanted
    seven_in = next(row.raw_length_in for row in eight.table.rows if row.club == "7-iron")
    piece = pulled(replace(eight, soft_steps=0), long_in=36.0, bought_in=seven_in)
    (refused,) = plan_set([piece]).clubs
    said = with_nearest(refused).faults[0].next_step
    assert said.endswith("the pulled shaft can become a 7-iron in R or an 8-iron in R, one soft step")


@pytest.mark.parametrize(
    ("can", "nearest"),
    [
        (["4-iron S", "6-iron S"], "6-iron S"),
        (["7-iron A", "7-iron R"], "7-iron R"),
        (["4-iron A", "6-iron R", "5-iron R"], "6-iron R"),
    ],
)
def test_the_nearest_to_the_last_club_in_the_last_flex_is_the_one_before(can, nearest):
    (found,) = nearest_rooms(_rooms(*can), "7-iron", FlexPlace.at("S"))
    assert f"{found.club} {found.flex}" == nearest


def test_a_club_or_flex_that_is_in_no_row_has_no_nearest():
    rooms = _rooms("5-iron R")
    assert nearest_rooms(rooms, "3-wood", FlexPlace.at("R")) == ()
    assert nearest_rooms(rooms, "5-iron", FlexPlace.at("X")) == ()


def test_a_refused_club_is_told_what_its_pulled_shaft_can_become():
    seven = IRONS["7-iron"]
    piece = pulled(seven.wanted, off_in=seven.tip_trim_in, long_in=seven.cut_length_in)
    four = replace(IRONS["4-iron"].wanted, shaft=piece.shaft, in_hand=piece.in_hand)
    (refused,) = plan_set([four]).clubs
    told = TrimRefused(*(getattr(refused.faults[0], name) for name in ("given", "allowed", "next_step")), Place("a"))
    (fault,) = with_nearest(replace(refused, faults=(told,))).faults
    assert fault.place == Place("a")
    too_far = seven.tip_trim_in - IRONS["4-iron"].tip_trim_in
    assert f"{too_far:g} in too much is gone" in fault.given
    assert fault.next_step.endswith("on this head the pulled shaft can become a 7-iron in R")


@pytest.mark.parametrize(("part", "club"), [(0.25, "4-iron"), (0.75, "5-iron")])
def test_a_hybrid_between_two_clubs_is_told_of_the_nearer_one(part, club):
    seven, four = IRONS["7-iron"], IRONS["4-iron"].wanted
    longer, shorter = (four.ladder.rung(name).head_mass_g for name in ("4-iron", "5-iron"))
    mass_g = longer + part * (shorter - longer)
    hybrid = replace(four, head=replace(four.head, kind=HeadKind.HYBRID, head_mass_g=mass_g))
    piece = pulled(hybrid, off_in=seven.tip_trim_in, long_in=seven.wanted.shaft.raw_length_in - seven.tip_trim_in)
    (refused,) = plan_set([piece]).clubs
    (fault,) = with_nearest(refused).faults
    assert fault.next_step.endswith(f" or a {club} in S")


def test_a_club_with_no_place_or_no_flex_is_told_of_no_other():
    piece = pulled(IRONS["4-iron"].wanted, off_in=4.0)
    (refused,) = plan_set([replace(piece, flex=FlexPlace.at("X"))]).clubs
    assert with_nearest(refused) is refused


def test_a_piece_in_words_is_what_to_measure_on_it():
    parallel = pulled(IRONS["7-iron"].wanted, off_in=1.5, long_in=37.25)
    left = f"{parallel.shaft.tip_section_in:g} in from tip to first step"
    assert piece_words(parallel) == f"pulled: 37.25 in long now, 1.5 in off its tip, {left}"
    bought = TAPERS["7-iron"].wanted.table.row("6-iron").raw_length_in
    taper = pulled(TAPERS["7-iron"].wanted, bought_in=bought, long_in=bought - 1)
    assert piece_words(taper).startswith(f"pulled: {bought - 1:g} in long now, bought at {bought:g} in, ")
    graphite = plan_order(shipped_order("wood_pair")).every_plan()[0].wanted
    assert piece_words(pulled(graphite, long_in=40.0)).endswith("in from tip to end of its parallel tip")


def test_a_pulled_shaft_that_is_too_short_for_every_club_is_told_so():
    (refused,) = plan_set([pulled(IRONS["7-iron"].wanted, off_in=1.0, long_in=30.0)]).clubs
    (fault,) = with_nearest(refused).faults
    assert "too short" in fault.given
    assert fault.next_step.endswith("it can become no club on this head")


def test_a_new_shaft_that_is_refused_stays_as_it_was():
    wanted = replace(IRONS["7-iron"].wanted, length=GivenLength(47.0))
    (refused,) = plan_set([wanted]).clubs
    assert isinstance(refused, ClubRefused)
    assert with_nearest(refused) is refused


def test_the_lines_say_each_cut_with_its_unit_and_why_not():
    seven = IRONS["7-iron"]
    piece = pulled(seven.wanted, off_in=seven.tip_trim_in, long_in=seven.cut_length_in + 0.25)
    lines = room_lines(trim_room(piece))
    assert lines[0].split() == ["club", "flex", "tip", "trim", "cut", "length", "butt", "trim"]
    (own,) = (line for line in lines if line.startswith("7-iron") and line.split()[1] == "R")
    assert own.split() == f"7-iron R 0.000 in {seven.cut_length_in:.3f} in 0.250 in".split()
    (longer,) = (line for line in lines if line.startswith("4-iron") and line.split()[1] == "R")
    assert "no: too stiff: 1.5 in too much is off its tip" in longer
    row = TAPERS["7-iron"].wanted.table.row("6-iron").raw_length_in
    taper = room_lines(trim_room(pulled(TAPERS["7-iron"].wanted, bought_in=row, long_in=row - 0.5)))
    assert next(line for line in taper if line.startswith("7-iron")).endswith("in  one soft step")
