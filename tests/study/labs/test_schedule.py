"""The lab on the trim schedule: the place between flexes is the rule's, the readouts are the pure function's."""

import itertools

import numpy as np
import pytest

from trimkit.club.club import build_club, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import BenchError, TrimRefused
from trimkit.study import schedule_lab
from trimkit.study.labs.schedule import (
    CLUBS,
    ScheduleParams,
    by_the_schedule,
    flex_at,
    placed_club,
    schedule_of,
    schedule_table,
)
from trimkit.trim.flexplace import FlexPlace

LAB = schedule_lab
BUILT = build_set(shipped_order())
PLAIN = by_the_schedule(BUILT)
START = BUILT.club("7-iron")


def test_the_lab_begins_with_the_club_of_the_class(lab):
    assert lab.result.club.frequency_cpm == START.frequency_cpm
    assert lab.readout["tip trim"].value == 4.0
    assert lab.readout["flex place asked"].shown == "R"


@pytest.mark.parametrize(("place", "club"), [(0.0, CLUBS[0]), (1.35, "7-iron"), (2.0, CLUBS[-1])])
def test_ends_and_middle_show_what_the_pure_function_says(lab, place, club):
    lab.set(flexes_above=place, club=club)
    pure = placed_club(PLAIN, ScheduleParams(place, club))
    assert lab.readout["frequency"].value == pure.club.frequency_cpm
    assert lab.readout["tip trim"].value == pure.club.plan.tip_trim_in
    assert f"{pure.club.frequency_cpm:.1f} cpm" in lab.sentence
    assert lab.sentence.startswith(f"{club} at {pure.club.plan.flex}:")
    column, live = CLUBS.index(club), lab.scene.live
    for name, value in (("trim", pure.club.plan.tip_trim_in), ("cpm", pure.club.frequency_cpm)):
        (x,), (y,) = live[f"{name} club"].get_data()
        assert (x, y) == (column, value)
        assert live[f"{name} row"].get_ydata()[column] == pytest.approx(value, rel=1e-9), "on its own row"


def test_the_row_of_a_place_is_each_club_cut_to_it(lab):
    lab.set(flexes_above=1.35, club="7-iron")
    for name, value in (("trim", "tip trim"), ("cpm", "frequency")):
        row = list(lab.scene.live[f"{name} row"].get_ydata())
        for club, shown in zip(CLUBS, row, strict=True):
            assert lab.set(club=club).readout[value].value == pytest.approx(shown, rel=1e-9)


def test_at_a_whole_flex_the_row_is_that_flex_s_line(lab):
    """The lines are anchored by the shaft's own schedule, each club computed by itself."""
    for number in (0, 1, 2):
        row = lab.set(flexes_above=float(number)).result.row_cpm
        assert row == pytest.approx([club.flex_scale.frequency_cpm[number] for club in PLAIN], rel=1e-9)


@pytest.mark.parametrize(("place", "club", "trim", "playing"), [(1.0, "7-iron", 4.0, 37.0), (2.0, "9-iron", 6.5, 36.0)])
def test_the_drawn_club_has_its_steps_where_the_cut_puts_them(lab, place, club, trim, playing):
    """BBGL 1 in and the first step 9 in from the raw tip: it is 1 + 9 in − tip trim above the ground."""
    lab.set(flexes_above=place, club=club)
    segments = lab.scene.live["drawn steps"].get_segments()
    assert float(segments[0][0][0]) == pytest.approx(10 - trim)
    assert lab.scene.live["drawn grip"].get_xy()[:, 0].max() == pytest.approx(playing)


def test_every_head_of_the_lab_has_the_bbgl_of_the_schedule():
    for club, built in zip(PLAIN, map(BUILT.club, CLUBS), strict=True):
        assert club.plan.wanted.bbgl_in == 1.0
        assert club.plan.bbgl_correction_in == 0
        assert club.plan.tip_trim_in == schedule_of(club).row(club.plan.club, "R").tip_trim_in
        assert club.plan.playing_length_in == built.plan.playing_length_in
        assert club.frequency_cpm == pytest.approx(built.frequency_cpm, abs=0.05)


def test_what_the_lesson_says_of_the_way_from_the_7_iron_to_the_8_iron_is_so():
    """Lesson 01, one flex, many frequencies: length, tip trim and head, one after the other."""
    seven, eight = (PLAIN[CLUBS.index(club)] for club in ("7-iron", "8-iron"))
    shorter, trimmed = (build_club(recut(seven.plan, trim, 36.5), seven.assembly).frequency_cpm for trim in (4.0, 4.5))
    changes = (shorter - seven.frequency_cpm, trimmed - shorter, eight.frequency_cpm - trimmed)
    assert changes == pytest.approx((5.4, 3.4, -4.1), abs=0.05)
    assert eight.frequency_cpm - seven.frequency_cpm == pytest.approx(4.7, abs=0.05)
    heads = [club.plan.wanted.head.head_mass_g for club in (seven, eight)]
    assert heads[1] - heads[0] == pytest.approx(8, abs=0.2)


def test_what_the_answers_say_of_313_cpm_in_every_iron_is_so():
    """313 cpm is R on the 7-iron, beyond S on the 4-iron and below A on the 9-iron."""
    four, seven, nine = (PLAIN[CLUBS.index(club)].flex_scale.frequency_cpm for club in ("4-iron", "7-iron", "9-iron"))
    assert round(seven[1]) == 313
    assert four[2] < 313 < nine[0]


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
    trims = [placed_club(PLAIN, ScheduleParams(p, "7-iron")).club.plan.tip_trim_in for p in (1.0, 1.25, 1.5, 1.75, 2.0)]
    assert np.diff(trims) == pytest.approx([0.375] * 4)


def test_what_the_lesson_says_of_the_schedule_is_so():
    """Lesson 01; the half inch a club is common practice, no source, the numbers are those of the demo shaft."""
    table = schedule_table()
    assert table.columns.tolist() == [f"flex {flex}: tip trim (in)" for flex in "ARS"]
    soft, middle, stiff = (table[column] for column in table)
    assert table.loc["7-iron"].tolist() == [2.75, 4.0, 5.5]
    assert set(np.diff(middle.loc["2-iron":"9-iron"])) == {0.5}
    assert set(middle - soft) == {1.25}
    assert set(stiff - middle) == {1.5}
    assert middle.loc["pitching wedge":].tolist() == [5.25] * 4


def test_what_the_lesson_says_of_the_6_iron_half_way_is_so():
    """Lesson 01, worked example: 3 1/2 in in R, 5 in in S, half-way 4 1/4 in."""
    half = placed_club(PLAIN, ScheduleParams(1.5, "6-iron"))
    assert half.club.plan.schedule_trim_in == 3.5
    assert half.club.plan.between_flexes_in == 0.75
    assert half.club.plan.tip_trim_in == 4.25


def test_what_the_lesson_says_of_cpm_is_so():
    """Lesson 01: R to S is about 10 cpm on the 7-iron, R to A about 8; half-way agrees within 0.01 of a flex."""
    soft, half, stiff = (placed_club(PLAIN, ScheduleParams(p, "7-iron")).club.frequency_cpm for p in (0.0, 1.5, 2.0))
    assert stiff - START.frequency_cpm == pytest.approx(10, abs=0.5)
    assert soft - START.frequency_cpm == pytest.approx(-8, abs=0.5)
    assert half - START.frequency_cpm == pytest.approx(5.25, abs=0.05)
    assert (half - START.frequency_cpm) / (stiff - START.frequency_cpm) == pytest.approx(0.5, abs=0.01)


def test_what_the_exercises_of_the_lesson_ask_has_its_answer():
    """Lesson 01, exercises: 8-iron three quarters A to R; 5-iron cut to 3 1/2 in; discrete: no place between."""
    assert placed_club(PLAIN, ScheduleParams(0.75, "8-iron")).club.plan.schedule_trim_in == 3.25
    assert placed_club(PLAIN, ScheduleParams(0.75, "8-iron")).club.plan.between_flexes_in == pytest.approx(0.9375)
    schedule = START.plan.wanted.table
    assert str(schedule.place_of(BUILT.club("5-iron").plan.equivalent, 3.5)) == "R/S 0.333"
    discrete = BUILT.order.catalogue.shafts["graphite wood 60 g regular"]
    with pytest.raises(TrimRefused, match="made for R alone"):
        FlexPlace.parse("R/S 0.5", discrete)


def test_what_the_lesson_says_of_the_rule_against_the_beam_model_is_so(lab):
    """Lesson 01, limits: place asked and place by frequency are less than 0.01 apart on irons, 0.02 on the wedge."""
    apart = {}
    for club, tenth in itertools.product(CLUBS, range(21)):
        now = lab.set(club=club, flexes_above=tenth / 10).result
        place = np.interp(now.club.frequency_cpm, now.ordered.flex_scale.frequency_cpm, (0, 1, 2))
        apart[club] = max(apart.get(club, 0), abs(place - tenth / 10))
    irons = [part for club, part in apart.items() if club.endswith("iron")]
    assert len(irons) == 6
    assert max(irons) < 0.01 < apart["gap wedge"] < 0.02
