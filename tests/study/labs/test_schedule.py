"""The lab on the trim schedule: the place between flexes is the rule's, the readouts are the pure function's."""

import itertools

import numpy as np
import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import BenchError, TrimRefused
from trimkit.study import schedule_lab
from trimkit.study.labs.schedule import CLUBS, ScheduleParams, flex_at, placed_club, schedule_table
from trimkit.trim.flexplace import FlexPlace

LAB = schedule_lab
BUILT = build_set(shipped_order())
START = BUILT.club("7-iron")


def test_the_lab_begins_with_the_club_of_the_class(lab):
    assert lab.result.club.frequency_cpm == START.frequency_cpm
    assert lab.readout["tip trim"].value == 4.0
    assert lab.readout["flex place asked"].shown == "R"


@pytest.mark.parametrize(("place", "club"), [(0.0, CLUBS[0]), (1.35, "7-iron"), (2.0, CLUBS[-1])])
def test_ends_and_middle_show_what_the_pure_function_says(lab, place, club):
    lab.set(flexes_above=place, club=club)
    pure = placed_club(BUILT, ScheduleParams(place, club))
    assert lab.readout["frequency"].value == pure.club.frequency_cpm
    assert lab.readout["tip trim"].value == pure.club.plan.tip_trim_in
    assert f"{pure.club.frequency_cpm:.1f} cpm" in lab.sentence
    assert lab.sentence.startswith(f"{club} at {pure.club.plan.flex}:")
    (x,), (y,) = lab.scene.live["club"].get_data()
    assert (x, y) == (place, pure.club.frequency_cpm)
    assert lab.scene.live["cut"].get_width() == pure.club.plan.tip_trim_in
    # The marker lies on the curve of the same club.
    assert np.interp(place, pure.flexes_above, pure.curve_cpm) == pytest.approx(pure.club.frequency_cpm, abs=0.1)


@pytest.mark.parametrize(
    ("place", "flex"), [(0.0, FlexPlace.at("A")), (1.0, FlexPlace.at("R")), (1.25, FlexPlace("R", "S", 0.25))]
)
def test_a_place_on_the_axis_is_the_flex_an_order_would_name(place, flex):
    assert flex_at(place, BUILT.order.shaft) == flex


def test_past_the_flexes_it_is_refused():
    with pytest.raises(TrimRefused):
        flex_at(2.1, BUILT.order.shaft)
    with pytest.raises(BenchError, match="0 to 2"):
        schedule_lab().set(flexes_above=2.5)


def test_between_flexes_is_linear_in_tip_trim():
    """Common practice, no source: a place between two flexes of one master is a cut between their two cuts."""
    trims = [placed_club(BUILT, ScheduleParams(p, "7-iron")).club.plan.tip_trim_in for p in (1.0, 1.25, 1.5, 1.75, 2.0)]
    assert np.diff(trims) == pytest.approx([0.375] * 4)


def test_what_the_lesson_says_of_the_schedule_is_so():
    """Lesson 01; the half inch a club is common practice, no source, the numbers are those of the demo shaft."""
    table = schedule_table()
    assert table.loc["7-iron"].tolist() == [2.75, 4.0, 5.5]
    irons = table.loc["2-iron":"9-iron"]
    assert set(np.diff(irons["R_in"])) == {0.5}
    assert set(table["R_in"] - table["A_in"]) == {1.25}
    assert set(table["S_in"] - table["R_in"]) == {1.5}
    assert table.loc["pitching wedge":, "R_in"].tolist() == [5.25] * 4


def test_what_the_lesson_says_of_the_6_iron_half_way_is_so():
    """Lesson 01, worked example: 3 1/2 in in R, 5 in in S, half-way 4 1/4 in."""
    half = placed_club(BUILT, ScheduleParams(1.5, "6-iron"))
    assert half.club.plan.schedule_trim_in == 3.5
    assert half.club.plan.between_flexes_in == 0.75
    assert half.club.plan.tip_trim_in == 4.25


def test_what_the_lesson_says_of_cpm_is_so():
    """Lesson 01: R to S is about 10 cpm on the 7-iron, R to A about 8; half-way agrees within 0.01 of a flex."""
    soft, half, stiff = (placed_club(BUILT, ScheduleParams(p, "7-iron")).club.frequency_cpm for p in (0.0, 1.5, 2.0))
    assert stiff - START.frequency_cpm == pytest.approx(10, abs=0.5)
    assert soft - START.frequency_cpm == pytest.approx(-8, abs=0.5)
    assert half - START.frequency_cpm == pytest.approx(5.25, abs=0.05)
    assert (half - START.frequency_cpm) / (stiff - START.frequency_cpm) == pytest.approx(0.5, abs=0.01)


def test_what_the_exercises_of_the_lesson_ask_has_its_answer():
    """Lesson 01, exercises: 8-iron three quarters A to R; 5-iron cut to 3 1/2 in; discrete: no place between."""
    assert placed_club(BUILT, ScheduleParams(0.75, "8-iron")).club.plan.schedule_trim_in == 3.25
    assert placed_club(BUILT, ScheduleParams(0.75, "8-iron")).club.plan.between_flexes_in == pytest.approx(0.9375)
    schedule = START.plan.wanted.table
    assert str(schedule.place_of(BUILT.club("5-iron").plan.equivalent, 3.5)) == "R/S 0.333"
    discrete = BUILT.order.catalogue.shafts["graphite wood 60 g regular"]
    with pytest.raises(TrimRefused, match="made for R alone"):
        FlexPlace.parse("R/S 0.5", discrete)


def test_what_the_plan_says_of_the_places_by_mechanics_is_so(lab):
    """Lesson 01: asked and by mechanics less than 0.01 of a flex apart on the irons, up to 0.02 on the wedges."""
    apart = {}
    for club, tenth in itertools.product(CLUBS, range(21)):
        now = lab.set(club=club, flexes_above=tenth / 10).result
        soft, middle, stiff = now.ordered.flex_scale.frequency_cpm
        place = np.interp(now.club.frequency_cpm, (soft, middle, stiff), (0, 1, 2))
        apart[club] = max(apart.get(club, 0), abs(place - tenth / 10))
    irons = [part for club, part in apart.items() if club.endswith("iron")]
    assert len(irons) == 6
    assert max(irons) < 0.01
    assert 0.01 < apart["gap wedge"] < apart["sand wedge"] < 0.02


def test_a_step_leaves_the_clamp_just_above_r_on_an_iron_and_further_up_on_a_wedge():
    """Lesson 01, plan: where along R to S the clamp (5 in, from memory) passes a step, by the table of the shaft."""
    steps = [each.to_tip_in for each in START.plan.wanted.shaft.sections[:-1]]

    def passed(club):
        plan = BUILT.club(club).plan
        mouth = plan.tip_trim_in + plan.cut_length_in + 0.1 - 5
        return [(step - mouth) / 1.5 for step in steps if mouth < step < mouth + 1.5]

    assert [passed(club) for club in CLUBS[:6]] == [[pytest.approx(0.089, abs=0.001)]] * 6
    gap, sand = (pytest.approx(place, abs=0.001) for place in (0.256, 0.422))
    assert [passed(club) for club in CLUBS[6:]] == [[gap], [sand]]
