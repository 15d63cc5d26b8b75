"""Every fault of a table says what was given, what is allowed, what to do, and at which row it stands."""

import dataclasses

import pytest

from trimkit.parts.errors import DataFileError, Place, TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.trim.equivalence import HeadLadder
from trimkit.trim.refusals import Gathered, RefusedTogether, ShaftTooShort, faults_of, finite
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import RawFamily


def numbered(rows):
    """The same rows, each with its number as its source."""
    return [dataclasses.replace(row, source=Source(f"row {n}", Standing.INVENTED)) for n, row in enumerate(rows)]


def spoilt(rows, at, **changes):
    return [dataclasses.replace(row, **changes) if n == at else row for n, row in enumerate(rows)]


TABLES = {
    "schedule": (
        lambda make: numbered(make.schedule_rows()),
        lambda rows, bench: TrimSchedule.from_rows(rows, bench.master),
    ),
    "family": (
        lambda make: numbered(make.raw_rows()),
        lambda rows, bench: RawFamily.from_rows(rows, bench.taper),
    ),
    "ladder": (
        lambda make: numbered(make.ladder_rungs()),
        lambda rows, bench: HeadLadder.from_rungs(rows, "test irons"),
    ),
}
FAULTS = [
    ("schedule", 3, {"club": "5 iron"}, "row 3"),
    ("schedule", 3, {"club": "6-iron"}, "row"),
    ("schedule", 3, {"flex": "X"}, "row 3"),
    ("schedule", 3, {"tip_trim_in": 9.0}, "row"),
    ("schedule", 3, {"tip_trim_in": 0.0}, "row"),
    ("schedule", 3, {"bbgl_reference_in": 1.5}, "row"),
    ("family", 0, {"raw_length_in": 41.0}, "row 0"),
    ("family", 4, {"raw_length_in": 39.0}, "row 4"),
    ("family", 4, {"club": "7-iron"}, "row"),
    ("family", 4, {"club": "6 iron"}, "row 4"),
    ("ladder", 4, {"head_mass_g": 251.5}, "row 4"),
    ("ladder", 4, {"playing_length_in": 38.25}, "row 4"),
    ("ladder", 4, {"club": "7-iron"}, "row"),
    ("ladder", 4, {"club": "six"}, "row 4"),
]


def well_told(fault):
    words = (fault.given, fault.allowed, fault.next_step)
    return all(isinstance(word, str) and word for word in words) and len(set(words)) == 3


@pytest.mark.parametrize(("table", "at", "changes", "place"), FAULTS)
def test_a_fault_of_a_table_is_told_at_its_row(bench, table, at, changes, place):
    rows, read = TABLES[table]
    assert read(rows(bench.make), bench)
    with pytest.raises(DataFileError) as caught:
        read(spoilt(rows(bench.make), at, **changes), bench)
    for fault in caught.value.faults:
        assert well_told(fault)
        assert fault.place is None or isinstance(fault.place, Place)
    told = [fault for fault in caught.value.faults if fault.place is not None]
    assert place in str(told[0].place)


@pytest.mark.parametrize("table", TABLES)
def test_an_empty_table_and_a_mixed_one_are_told(bench, table):
    rows, read = TABLES[table]
    with pytest.raises(DataFileError) as caught:
        read([], bench)
    assert all(map(well_told, caught.value.faults))
    with pytest.raises(DataFileError, match="3-wood" if table == "schedule" else "mixes") as caught:
        read(spoilt(rows(bench.make), 0, club="3-wood"), bench)
    assert all(map(well_told, caught.value.faults))


def test_several_refusals_are_numbered_and_the_first_speaks_for_all():
    place = Place("heads.csv", 3)
    first, second = TrimRefused("a", "b", "c", place), ShaftTooShort(0.5, "d", "e", "f")
    together = RefusedTogether((first, second))
    assert (together.given, together.allowed, together.next_step, together.place) == ("a", "b", "c", place)
    lines = str(together).splitlines()
    assert lines[0] == "2 things are in the way; nothing was cut."
    assert lines[1:] == [f"  1. {first}", f"  2. {second}"]
    assert faults_of(together) == (first, second)
    assert faults_of(second) == (second,)
    assert (second.shortfall_in, second.place) == (0.5, None)


def test_what_is_refused_together_is_kept_flat():
    def refuse(error):
        raise error

    gathered = Gathered()
    one, two, three = (TrimRefused(word, "allowed", "next") for word in ("one", "two", "three"))
    assert gathered.attempt(lambda: refuse(one)) is None
    with pytest.raises(TrimRefused) as caught:
        gathered.refuse()
    assert caught.value is one
    assert gathered.attempt(lambda: refuse(RefusedTogether((two, three)))) is None
    assert gathered.faults == [one, two, three]
    with pytest.raises(RefusedTogether) as caught:
        gathered.refuse()
    assert caught.value.faults == (one, two, three)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_number_that_is_none_is_told_with_what_it_was_for(value):
    with pytest.raises(TrimRefused, match=f"^head mass is {value}") as caught:
        finite("head mass", value)
    assert well_told(caught.value)
