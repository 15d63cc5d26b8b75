"""Laws that hold for every cut, whatever the numbers: sums, sides, order, rounding, the height of the first step."""

import dataclasses
import itertools

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from trimkit.parts.components import HeadKind
from trimkit.parts.errors import TrimRefused
from trimkit.trim.bore import BoreChoice
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength, LadderLength
from trimkit.trim.plan import plan_club
from trimkit.trim.practice import BenchPractice
from trimkit.trim.steps import TIP_PARTS, StepKind
from trimkit.trim.wanted import Decisions

EXACT = 1e-12
bbgls = st.floats(-0.4, 2.5)
parts = st.floats(0, 1)
masses = st.floats(232.0, 303.5)
pairs = st.sampled_from([("A", "R"), ("R", "S")])
lengths = st.floats(34.0, 38.0)


def with_bore(wanted, bbgl_in):
    return dataclasses.replace(wanted, head=dataclasses.replace(wanted.head, bbgl_in=bbgl_in))


def with_hybrid(wanted, mass_g):
    head = dataclasses.replace(wanted.head, kind=HeadKind.HYBRID, club="4-hybrid", head_mass_g=mass_g)
    return dataclasses.replace(wanted, head=head)


@given(bbgl=bbgls, mass=masses, pair=pairs, part=parts, length=lengths)
def test_tip_trim_cut_length_and_butt_trim_make_the_raw_length(wanted, bbgl, mass, pair, part, length):
    flex = FlexPlace.between(*pair, part, wanted.shaft)
    asked = dataclasses.replace(with_bore(with_hybrid(wanted, mass), bbgl), flex=flex, length=GivenLength(length))
    decisions = Decisions(bore=BoreChoice.AS_FAR_AS_IT_GOES, extend=True)
    practice = BenchPractice(longest_extension_in=9.0)
    plan = plan_club(dataclasses.replace(asked, decisions=decisions, practice=practice))
    cuts = plan.tip_trim_in + plan.cut_length_in + plan.butt_trim_in
    assert cuts - plan.extension_in == pytest.approx(plan.raw_length_in, abs=EXACT)
    assert min(plan.tip_trim_in, plan.cut_length_in, plan.butt_trim_in, plan.extension_in) >= 0
    assert plan.butt_trim_in == 0 or plan.extension_in == 0


@given(bbgl=bbgls, mass=masses, pair=pairs, part=parts)
def test_the_order_of_the_corrections_does_not_matter(wanted, bbgl, mass, pair, part):
    flex = FlexPlace.between(*pair, part, wanted.shaft)
    asked = dataclasses.replace(with_hybrid(wanted, mass), flex=flex)
    schedule, plain = wanted.table, plan_club(asked)
    bore_first = schedule.trim_in(plain.equivalent, FlexPlace.at(pair[0])) + (bbgl - 1.0)
    assume(bore_first > 0)
    plan = plan_club(with_bore(asked, bbgl))
    flex_adds = plain.tip_trim_in - schedule.trim_in(plain.equivalent, FlexPlace.at(pair[0]))
    assert plan.tip_trim_in == pytest.approx(bore_first + flex_adds, abs=EXACT)
    inches = [step.inches for step in plan.steps if step.kind in TIP_PARTS]
    for order in itertools.permutations(inches):
        assert sum(order) == pytest.approx(plan.tip_trim_in, abs=EXACT)


@given(pair=pairs, part=parts, mass=masses)
def test_a_place_between_two_flexes_is_the_same_cut_from_either_side(wanted, pair, part, mass):
    asked = with_hybrid(wanted, mass)
    from_softer = FlexPlace.between(*pair, part, wanted.shaft)
    from_stiffer = FlexPlace.between(*reversed(pair), 1 - part, wanted.shaft)
    trims = [plan_club(dataclasses.replace(asked, flex=flex)).tip_trim_in for flex in (from_softer, from_stiffer)]
    assert trims[0] == pytest.approx(trims[1], abs=EXACT)


@given(eighths=st.integers(0, 8), pair=pairs)
def test_equal_places_are_equal_objects(master, eighths, pair):
    from_softer = FlexPlace.between(*pair, eighths / 8, master)
    assert from_softer == FlexPlace.between(*reversed(pair), 1 - eighths / 8, master)
    assert FlexPlace.parse(str(from_softer), master) == from_softer


@given(pair=pairs, part=parts, mass=masses)
def test_a_cut_between_two_flexes_lies_between_their_cuts_and_reads_back_as_that_place(wanted, pair, part, mass):
    club = wanted.ladder.by_mass(mass)
    low, trim, high = (
        wanted.table.trim_in(club, flex)
        for flex in (FlexPlace.at(pair[0]), FlexPlace.between(*pair, part, wanted.shaft), FlexPlace.at(pair[1]))
    )
    assert low - EXACT <= trim <= high + EXACT
    place = wanted.table.place_of(club, trim)
    assert place is not None
    assert wanted.table.trim_in(club, place) == pytest.approx(trim, abs=1e-8)


@given(bbgl=bbgls)
def test_the_first_step_stands_at_the_same_height_whatever_the_bore(wanted, bbgl):
    plan = plan_club(with_bore(wanted, bbgl))
    height = bbgl + wanted.shaft.tip_section_in - plan.tip_trim_in
    assert height == pytest.approx(1.0 + wanted.shaft.tip_section_in - 3.5, abs=EXACT)


@given(bbgl=bbgls)
def test_the_bore_moves_the_cut_length_by_as_much_the_other_way(wanted, bbgl):
    plan, plain = plan_club(with_bore(wanted, bbgl)), plan_club(wanted)
    assert plan.cut_length_in - plain.cut_length_in == pytest.approx(1.0 - bbgl, abs=EXACT)
    assert plan.butt_trim_in == pytest.approx(plain.butt_trim_in, abs=EXACT)


@given(bbgl=st.floats(-5.0, 0.99))
def test_a_negative_sum_is_always_refused_and_never_cut(wanted, bbgl):
    asked = dataclasses.replace(with_bore(wanted, bbgl), flex=FlexPlace.at("A"))
    if 2.5 + (bbgl - 1.0) >= 0:
        assert plan_club(asked).tip_trim_in >= 0
    else:
        with pytest.raises(TrimRefused, match="short, and nothing can be added at the tip"):
            plan_club(asked)


@given(mass=masses, heavier=st.floats(0, 10))
def test_a_heavier_hybrid_is_never_trimmed_less_nor_cut_longer(wanted, mass, heavier):
    assume(mass + heavier <= 303.5)
    light, heavy = (plan_club(with_hybrid(wanted, grams)) for grams in (mass, mass + heavier))
    assert heavy.tip_trim_in >= light.tip_trim_in - EXACT
    assert heavy.playing_length_in <= light.playing_length_in + EXACT


@given(mass=masses)
def test_trim_and_length_follow_the_same_place_on_the_ladder(wanted, mass):
    plan = plan_club(with_hybrid(wanted, mass))
    clubs_along = (mass - 232.0) / 6.5
    assert plan.tip_trim_in == pytest.approx(1.5 + 0.5 * clubs_along, abs=1e-9)
    assert plan.playing_length_in == pytest.approx(39.5 - 0.5 * clubs_along, abs=1e-9)


@given(offset=st.floats(-3.0, 2.0))
def test_a_longer_client_costs_the_butt_alone(wanted, offset):
    plan, plain = plan_club(dataclasses.replace(wanted, length=LadderLength(offset))), plan_club(wanted)
    assert plan.tip_trim_in == plain.tip_trim_in
    assert plan.butt_trim_in == pytest.approx(plain.butt_trim_in - offset, abs=EXACT)


@given(mass=masses, divisions=st.sampled_from([16, 32]))
def test_the_plan_stays_exact_while_its_marks_show_their_rounding(wanted, mass, divisions):
    plan = plan_club(with_hybrid(wanted, mass))
    marks = plan.marks(divisions)
    exact = {
        StepKind.TIP_TRIM: plan.tip_trim_in,
        StepKind.CUT_LENGTH: plan.cut_length_in,
        StepKind.BUTT_TRIM: plan.butt_trim_in,
    }
    for kind, reading in marks.items():
        assert reading.exact_in == exact[kind]
        assert abs(reading.error_in) <= 0.5 / divisions + EXACT
        assert reading.marked_in * divisions == round(reading.marked_in * divisions)


@given(step=st.integers(-3, 3), length=st.floats(30.0, 36.0))
def test_a_taper_tip_is_never_trimmed_whatever_its_step(wanted_taper, step, length):
    plan = plan_club(dataclasses.replace(wanted_taper, soft_steps=step, length=GivenLength(length)))
    assert plan.tip_trim_in == 0
    assert plan.cut_length_in + plan.butt_trim_in == pytest.approx(38.25 + 0.5 * step, abs=EXACT)


@given(first=st.integers(-3, 3), second=st.integers(-3, 3), club=st.sampled_from(["5-iron", "6-iron", "7-iron"]))
def test_two_steppings_add_up(family, first, second, club):
    once, both = family.find(club, first), family.find(club, first + second)
    if once is not None:
        assert family.find(once.club, second) == both
