"""A trim schedule is checked before it is used, and never continued past what it says."""

import dataclasses

import pytest

from trimkit.parts.components import TipKind
from trimkit.parts.errors import DataFileError
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.plan import plan_club
from trimkit.trim.schedule import TrimSchedule

SIX = EquivalentClub("6-iron", "6-iron", 0.0)


def changed(rows, club, flex, /, **changes):
    return [dataclasses.replace(row, **changes) if (row.club, row.flex) == (club, flex) else row for row in rows]


def without(rows, club, flex=None):
    return [row for row in rows if not (row.club == club and flex in (None, row.flex))]


FAULTY = {
    "no rows": (lambda rows: [], "has no schedule"),
    "a flex missing for one club": (lambda rows: without(rows, "7-iron", "S"), "no line for 7-iron S"),
    "a gap in the irons": (lambda rows: without(rows, "5-iron"), "no line for 5-iron A"),
    "a row twice": (lambda rows: [*rows, rows[0]], "2-iron A appears 2 times"),
    "a stiffer flex with less tip trim": (
        lambda rows: changed(rows, "6-iron", "S", tip_trim_in=2.0),
        "6-iron S trims 2 in, R trims 3.5 in",
    ),
    "two flexes with the same tip trim": (
        lambda rows: changed(rows, "lob wedge", "S", tip_trim_in=7.0),
        "more tip trim for the stiffer flex",
    ),
    "a shorter iron with less tip trim": (
        lambda rows: changed(rows, "9-iron", "R", tip_trim_in=4.0),
        "less than the 8-iron's 4.5 in",
    ),
    "two BBGL references for one club": (
        lambda rows: changed(rows, "6-iron", "S", bbgl_reference_in=1.25),
        "6-iron has two BBGL references",
    ),
    "a flex that the shaft does not have": (lambda rows: changed(rows, "6-iron", "S", flex="X"), "flex 'X'"),
    "a club with an unknown name": (lambda rows: changed(rows, "6-iron", "S", club="iron six"), "'iron six'"),
}


@pytest.mark.parametrize("fault", FAULTY)
def test_a_faulty_schedule_is_refused(make, master, fault):
    spoil, words = FAULTY[fault]
    with pytest.raises(DataFileError) as refused:
        TrimSchedule.from_rows(spoil(make.schedule_rows()), master)
    assert words in str(refused.value)


def test_all_faults_are_named_with_their_place(make, master):
    rows = changed(without(make.schedule_rows(), "2-iron", "A"), "9-iron", "R", tip_trim_in=1.0)
    with pytest.raises(DataFileError) as refused:
        TrimSchedule.from_rows(rows, master)
    assert len(refused.value.faults) == 3
    assert "test schedule, 9-iron R" in str(refused.value)


def test_rows_of_other_shafts_are_left_alone(make, master, schedule):
    rows = [*make.schedule_rows("other shaft", (("X", 9.0),)), *make.schedule_rows()]
    assert TrimSchedule.from_rows(rows, master) == schedule


def test_wedges_may_repeat_the_trim_of_the_club_before(make, master):
    rows = make.schedule_rows(gain=0.0)
    assert TrimSchedule.from_rows(rows, master).row("lob wedge", "A").tip_trim_in == 0.5


def test_a_set_of_wedges_may_leave_one_out(make, master):
    schedule = TrimSchedule.from_rows(without(make.schedule_rows(), "gap wedge"), master)
    assert "gap wedge" not in schedule.clubs
    assert schedule.clubs[-3:] == ("pitching wedge", "sand wedge", "lob wedge")


@pytest.mark.parametrize(
    ("flexes", "tip_diameter_in", "clubs", "trims_in"),
    [
        (("R",), 0.370, ("3-iron", "4-iron", "5-iron"), (0.5, 1.0, 1.5)),
        (("L", "A", "R", "S"), 0.370, ("8-iron", "9-iron", "pitching wedge", "sand wedge"), (3.5, 4.0, 4.5, 5.0)),
        (("R", "S"), 0.335, ("driver", "3-wood", "5-wood"), (0.0, 0.5, 1.0)),
        (("S",), 0.350, ("driver",), (0.0,)),
        (("A", "R"), 0.370, ("3-hybrid", "4-hybrid", "5-hybrid"), (0.25, 0.75, 1.25)),
    ],
    ids=["discrete irons", "four flexes, wedges", "two flexes, woods", "one driver", "hybrids"],
)
def test_every_kind_of_club_and_one_to_four_flexes_from_one_shaft(make, flexes, tip_diameter_in, clubs, trims_in):
    shaft = make.steel("shaft", TipKind.PARALLEL, flexes, tip_diameter_in=tip_diameter_in)
    starts = tuple((flex, trims_in[0] + 1.25 * number) for number, flex in enumerate(flexes))
    schedule = TrimSchedule.from_rows(make.schedule_rows("shaft", starts, clubs), shaft)
    assert schedule.clubs == clubs
    for number, flex in enumerate(flexes):
        for club, trim_in in zip(clubs, trims_in, strict=True):
            assert schedule.row(club, flex).tip_trim_in == trim_in + 1.25 * number


def test_the_reference_bbgl_lies_between_those_of_the_two_clubs(make, master):
    rows = [
        dataclasses.replace(row, bbgl_reference_in=2.0) if row.club == "7-iron" else row for row in make.schedule_rows()
    ]
    schedule = TrimSchedule.from_rows(rows, master)
    assert schedule.bbgl_reference_in(EquivalentClub("6-iron", "7-iron", 0.25)) == 1.25


@pytest.mark.parametrize(
    ("trim_in", "words"),
    [
        (3.5, "R"),
        (4.0, "R/S 0.25"),
        (2.0, "softer than A, by 0.5 in of tip trim"),
        (6.5, "stiffer than S, by 1 in of tip trim"),
    ],
)
def test_a_tip_trim_reads_as_a_flex(schedule, trim_in, words):
    assert schedule.say_place_of(SIX, trim_in) == words


def test_a_trim_outside_the_flexes_has_no_place(schedule):
    assert schedule.place_of(SIX, 2.0) is None
    assert schedule.place_of(SIX, 3.5) == FlexPlace.at("R")


def test_a_step_names_its_rows_as_sources(wanted):
    plan = plan_club(dataclasses.replace(wanted, flex=FlexPlace("R", "S", 0.5)))
    schedule_step, flex_step = plan.steps[1:3]
    assert schedule_step.source.text == "test schedule, 6-iron R"
    assert flex_step.source.text.startswith("test schedule, 6-iron S and a place between two flexes")
