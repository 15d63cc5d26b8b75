"""The form for measured values: written empty, read back filled, every fault with its cell."""

import csv
import dataclasses
import io
from datetime import UTC, datetime

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.measured import measured_club, measured_form, measured_of, place_at, place_of, read_measured
from trimkit.papers.record.build import first_record, with_measurements
from trimkit.parts.errors import BenchError, DataFileError
from trimkit.trim.length import GivenLength

REVISION = first_record(build_set(shipped_order()), datetime(2026, 1, 2, tzinfo=UTC)).latest
HEADER = "place,club,playing_length_in,frequency_cpm,swingweight,total_mass_g,remark\n"


@pytest.fixture
def path(tmp_path):
    return tmp_path / "to measure.csv"


def fill(path, *lines):
    path.write_text(HEADER + "\n".join(lines) + "\n", encoding="utf-8")
    return read_measured(path, REVISION)


def test_the_form_names_every_club_and_is_empty(path):
    text = measured_form([club.club for club in REVISION.clubs])
    rows = list(csv.DictReader(io.StringIO(text)))
    assert text.splitlines()[0] + "\n" == HEADER
    assert [row["club"] for row in rows] == [club.club for club in REVISION.clubs]
    assert not any(value for row in rows for name, value in row.items() if name not in ("place", "club"))
    path.write_text(text, encoding="utf-8")
    with pytest.raises(DataFileError, match="no row has a measured value"):
        read_measured(path, REVISION)


def test_values_are_read_in_their_units_and_empty_cells_are_nothing(path):
    found = fill(path, "1,3-hybrid,99.9 cm,310.5,D0,14.1 oz,", "2,4-hybrid,,,,,", "3,4-iron,38 1/2,,,,'=cut again")
    assert set(found) == {0, 2}
    assert found[0].playing_length_in == pytest.approx(99.9 / 2.54)
    assert found[0].total_mass_g == pytest.approx(14.1 * 28.349523125)
    assert (found[0].frequency_cpm, found[0].swingweight_oz_in) == (310.5, 213.5)
    assert (found[2].playing_length_in, found[2].frequency_cpm, found[2].remark) == (38.5, None, "=cut again")


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("11,3-iron,,300,,,", "row 2, column place: place 11 with club '3-iron': no such place"),
        ("1,4-iron,,300,,,", "place 1 is the 3-hybrid"),
        ("0,3-hybrid,,300,,,", "column place"),
        ("1.5,3-hybrid,,300,,,", "column place"),
        ("1,3-hybrid,,nan,,,", "column frequency_cpm"),
        ("1,3-hybrid,,3000,,,", "50 to 800"),
        ("1,3-hybrid,,300 g,,,", "column frequency_cpm"),
        ("1,3-hybrid,38 g,,,,", "column playing_length_in"),
        ("1,3-hybrid,,,H1,,", "column swingweight"),
        ("1,3-hybrid,,,,1,", "column total_mass_g"),
        ("1,3-hybrid,,300,,", "the row has 6 cells"),
    ],
)
def test_a_bad_cell_is_told_with_its_place(path, line, sentence):
    with pytest.raises(DataFileError) as caught:
        fill(path, line)
    assert sentence in str(caught.value)
    assert "Do next:" in str(caught.value)


def test_a_record_gives_what_was_measured_to_the_sheet_of_its_own_order():
    built = build_set(shipped_order())
    record = first_record(built, datetime(2026, 1, 2, tzinfo=UTC))
    assert measured_of(record.latest, built) == (None,) * len(built.clubs)
    made = measured_club(frequency_cpm=301.0)
    done = with_measurements(record, {2: made}, datetime(2026, 1, 3, tzinfo=UTC), reason="measured")
    assert measured_of(done.latest, built)[2] == made


@pytest.mark.parametrize("club", ["another", "recut", "fewer"])
def test_a_record_of_other_clubs_or_other_cuts_is_refused(club):
    order = shipped_order()
    record = first_record(build_set(order), datetime(2026, 1, 2, tzinfo=UTC))
    first, *others = order.clubs
    changed = {
        "another": (first, others[1], others[0], *others[2:]),
        "recut": (dataclasses.replace(first, length=GivenLength(38.0)), *others),
        "fewer": tuple(others),
    }[club]
    with pytest.raises(BenchError, match="other clubs or other cuts than the order"):
        measured_of(record.latest, build_set(dataclasses.replace(order, clubs=changed)))


def test_all_faults_come_together(path):
    with pytest.raises(DataFileError) as caught:
        fill(path, "1,3-hybrid,,300,,,", "1,3-hybrid,,301,,,", "3,9-iron,,301,,,", "4,5-iron,,,Z9,,")
    said = str(caught.value)
    assert "3 faults" in said
    for words in ("place 1 is given twice", "place 3 is the 4-iron", "row 5, column swingweight"):
        assert words in said


def set_of(*names):
    """A revision of one of the demo's clubs under each of these names."""
    clubs = tuple(REVISION.clubs[0].model_copy(update={"club": name}) for name in names)
    return REVISION.model_copy(update={"clubs": clubs})


IRONS = [f"{number}-iron" for number in range(2, 10)]


@pytest.mark.parametrize(
    ("names", "said", "place"),
    [
        (IRONS, "7", 5),  # the 7-iron, though the seventh club is the 8-iron
        (IRONS, " 7 Iron ", 5),
        (IRONS, "7i", 5),
        (["3-wood", "5-wood", "5-iron"], "3", 0),
        (["3-wood", "7-iron", "7-wood"], "7w", 2),
        (["driver", "pitching wedge"], "PW", 1),
    ],
)
def test_a_club_is_found_by_what_people_write_and_a_number_is_never_a_place(names, said, place):
    assert place_of(set_of(*names), said) == place


@pytest.mark.parametrize(
    ("names", "said", "asked"),
    [
        (["7-iron", "7-wood", "7-hybrid"], "7", "the 7-iron (--club 7-iron), the 7-wood (--club 7-wood), the 7-hybrid"),
        (["sand wedge", "7-iron", "sand wedge"], "sw", "the sand wedge (--place 1), the sand wedge (--place 3)"),
        (["7-iron", "7-iron"], "7", "the 7-iron (--place 1), the 7-iron (--place 2)"),
        (["4-iron", "5-iron"], "1", "one of 1 4-iron, 2 5-iron. Do next: write the club's name"),
        (["4-iron", "5-iron"], "2i", "no club of the record is called '2-iron'"),
        (["4-iron", "5-iron"], "44", "no club of the record is called '44'"),
        (["4-iron", "5-iron"], "", "no club of the record is called ''"),
        (["4-iron", "5-iron"], "²", "no club of the record is called '²'"),
    ],
)
def test_a_word_that_may_mean_several_clubs_or_none_asks(names, said, asked):
    with pytest.raises(BenchError) as caught:
        place_of(set_of(*names), said)
    assert asked in str(caught.value)


def test_a_place_is_counted_from_1_and_only_where_a_club_is():
    assert [place_at(set_of(*IRONS), place) for place in (1, 7, 8)] == [0, 6, 7]
    for place in (0, 9, -1):
        with pytest.raises(BenchError, match=rf"there is no place {place} in the set. Allowed: 1 2-iron, 2 3-iron"):
            place_at(set_of(*IRONS), place)
