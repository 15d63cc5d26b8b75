"""A shift that finished clubs share is told once, by kind of shaft; an odd club does not hide in it."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.measured import FinishedTolerances, differences, measured_club
from trimkit.papers.record.build import first_record
from trimkit.papers.record.shift import common_shifts
from trimkit.papers.record.words import measured_lines

SET = build_set(shipped_order())
PLANNED = first_record(SET, datetime(2026, 1, 2, tzinfo=UTC), frequency_sd_cpm=[1.0] * len(SET.clubs)).latest
SHAFT = PLANNED.clubs[0].shaft
SIDE = st.sampled_from([-1, 1])
SMALL = st.floats(-0.9, 0.9)


def finished(off_cpm, shafts=None, tolerance_cpm=2.0):
    """The evening class's clubs, each measured so far from its prediction; the rest not measured."""
    clubs = list(PLANNED.clubs)
    for place, off in enumerate(off_cpm):
        club = clubs[place]
        read = measured_club(frequency_cpm=club.predicted.frequency_cpm + off)
        limits = FinishedTolerances(frequency_cpm=tolerance_cpm)
        changes = {"measured": read, "findings": differences(club.predicted, club.cuts, read, limits)}
        changes["shaft"] = club.shaft if shafts is None else shafts[place]
        clubs[place] = club.model_copy(update=changes)
    return PLANNED.model_copy(update={"clubs": tuple(clubs)})


@given(st.floats(3.1, 40), SIDE, st.lists(SMALL, min_size=4, max_size=10))
def test_what_all_clubs_share_is_common_and_leaves_each_its_own_difference(size, side, own):
    (shift,) = common_shifts(finished([side * size + each for each in own]))
    assert shift.shaft == SHAFT
    assert shift.odd == ()
    assert min(own) - 1e-9 <= shift.shift_cpm - side * size <= max(own) + 1e-9
    for place, each in enumerate(own):
        assert shift.shift_cpm + shift.about_cpm[place] == pytest.approx(side * size + each)
    assert shift.spread_cpm == pytest.approx(max(abs(side * size + each - shift.shift_cpm) for each in own))


@given(st.floats(3.1, 40), SIDE, st.lists(SMALL, min_size=4, max_size=10), st.data())
def test_one_odd_club_neither_hides_the_shift_nor_hides_in_it(size, side, own, data):
    """Wherever it lies, on its prediction too, beyond what the others and the tolerance reach."""
    place = data.draw(st.integers(0, len(own) - 1))
    off = [side * size + each for each in own]
    off[place] = side * size + data.draw(SIDE) * data.draw(st.floats(4, 30))
    (shift,) = common_shifts(finished(off))
    assert shift.odd == (place,)
    assert abs(shift.shift_cpm - side * size) <= 0.9 + 1e-9


@given(st.lists(st.floats(-2, 2), min_size=1, max_size=10))
def test_clubs_within_their_tolerance_share_nothing(off):
    assert common_shifts(finished(off)) == ()


@pytest.mark.parametrize(
    "off",
    [
        [-12.0, -12.1, -11.9],  # three
        [-12.0, -12.0, 12.0, 12.0, -12.0, 12.0],  # no side in common
        [-4.0, -7.0, -10.0, -13.0, -16.0, -19.0],  # all low, each by another amount
        [-12.0, -12.0, -12.0, 0.0, 0.0],  # three of five
    ],
)
def test_what_is_not_shared_is_not_called_common(off):
    assert common_shifts(finished(off)) == ()
    assert measured_lines(finished(off))[0].startswith("1 3-hybrid: ")


def test_the_tolerance_decides_what_a_shift_is():
    off = [-3.0, -3.1, -2.9, -3.0]
    assert len(common_shifts(finished(off))) == 1
    assert common_shifts(finished(off, tolerance_cpm=3.5)) == ()


def test_two_kinds_of_shaft_are_told_apart():
    shafts = [SHAFT] * 5 + ["another shaft"] * 5
    first, second = common_shifts(finished([-12.0] * 5 + [6.0] * 5, shafts))
    assert (first.shaft, first.shift_cpm) == (SHAFT, pytest.approx(-12.0))
    assert (second.shaft, second.shift_cpm) == ("another shaft", pytest.approx(6.0))
    lines = measured_lines(finished([-12.0] * 5 + [6.0] * 5, shafts))
    assert "read about 12.0 cpm lower" in lines[0]
    assert "read about 6.0 cpm higher" in lines[1]
    assert not any("before the shafts" in line for line in lines)
    assert any("before the shafts" in line for line in measured_lines(finished([-12.0] * 5 + [-6.0] * 5, shafts)))
    # A kind that is as predicted is judged as it is, beside one that is shifted.
    (only,) = common_shifts(finished([-12.0] * 5 + [0.5] * 5, shafts))
    assert set(only.about_cpm) == set(range(5))


def test_nine_clubs_twelve_low_are_one_sentence_and_a_tenth_is_named():
    off = [-12.0, -11.0, -12.5, -12.0, -13.0, -12.0, -11.5, -12.0, -12.0, -5.0]
    lines = measured_lines(finished(off))
    assert lines[0] == (
        f"Common shift: 9 of the 10 clubs on {SHAFT} read about 12.0 cpm lower than predicted (the median), each "
        "within 1.0 cpm of that."
    )
    assert lines[1].startswith("    Not so: 10 sand wedge.")
    assert "softer than described" in lines[2]
    assert "trimkit calibrate" in lines[3]
    about = [line for line in lines if line.startswith("    frequency about the common shift of −12.0 cpm: ")]
    assert len(about) == 10
    assert about[1].endswith("+1.0 cpm, within the tolerance of 2.0")
    assert about[-1].endswith("+7.0 cpm, outside the tolerance of 2.0")
    # What is recorded stays: each club's own verdict is against its prediction.
    assert sum(line.endswith("outside the tolerance: frequency") for line in lines) == 10
