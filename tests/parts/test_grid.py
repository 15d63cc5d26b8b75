"""Tables as people have them: read with what was done said in a line, or refused where there are two readings."""

import pytest

from trimkit.parts.csvfile import csv_grid
from trimkit.parts.errors import DataFileError
from trimkit.parts.grid import NOTES, checked
from trimkit.parts.rows import TABLES

HEADER = "head,kind,club,head_mass_g,bore_diameter_in,bore_depth_in,bbgl_in,cg_height_in,inertia_g_cm2"
GOOD = "my head,iron,7-iron,265,0.37,1.25,1.0,0.35,2500"
G_PER_OZ = 28.349523125  # by definition of the pound, 1959


@pytest.fixture
def read(tmp_path):
    def table(*lines, semicolons=False):
        text = "\n".join(lines) + "\n"
        path = tmp_path / "heads.csv"
        path.write_text(text.replace(",", ";").replace("'", ",") if semicolons else text, encoding="utf-8")
        return checked(csv_grid(path), TABLES["heads.csv"])

    return table


@pytest.fixture
def refused(read):
    def faults(*lines, **how):
        with pytest.raises(DataFileError) as caught:
            read(*lines, **how)
        return caught.value.faults

    return faults


def with_depth(cell):
    return GOOD.replace("1.25", cell)


def only(table):
    ((_, row),) = table.rows
    return row


def test_a_plain_table_has_nothing_to_say(read):
    table = read(HEADER, GOOD)
    assert table.how_read == ""
    assert only(table).bore_depth_in == 1.25


def test_a_byte_order_mark_is_passed_over_and_said(read):
    table = read(f"\ufeff{HEADER}", GOOD)
    assert only(table) == only(read(HEADER, GOOD))
    assert "byte-order mark" in table.how_read


def test_semicolons_with_decimal_commas_are_the_same_table(read):
    """In these lines an apostrophe is the comma of the file."""
    table = read(HEADER, GOOD.replace(".", "'"), semicolons=True)
    assert only(table) == only(read(HEADER, GOOD))
    assert table.how_read == "semicolons between columns, decimal commas"
    assert read(HEADER, GOOD, semicolons=True).how_read == "semicolons between columns, decimal points"


def test_a_comma_in_a_name_is_no_decimal_sign(read):
    table = read(HEADER, GOOD.replace("my head", "my head' left").replace(".", "'"), semicolons=True)
    assert only(table).head == "my head, left"


@pytest.mark.parametrize("cell", ["1'250", "-1'250", "1'250 in", "12'500"])
def test_a_comma_before_three_digits_has_two_readings(refused, cell):
    (fault,) = refused(HEADER, with_depth(cell).replace(".", "'"), semicolons=True)
    assert (fault.place.row, fault.place.column) == (2, "bore_depth_in")
    assert "can be read in two ways" in fault.given


@pytest.mark.parametrize(("cell", "inches"), [("0'750", 0.75), ("1'2500", 1.25), ("1'25", 1.25), ("1 1/4", 1.25)])
def test_a_comma_with_one_reading_is_read(read, cell, inches):
    assert only(read(HEADER, with_depth(cell).replace(".", "'"), semicolons=True)).bore_depth_in == inches


def test_a_point_before_three_digits_is_decimal_only_where_another_number_shows_it(read, refused):
    whole = "my head,iron,7-iron,265,3/8,1 1/4,1,3/8,2.500"
    (fault,) = refused(HEADER, whole, semicolons=True)
    assert "'2.500' can be read in two ways: 2.500 or 2500" in fault.given
    assert only(read(HEADER, whole.replace("3/8,2", "0.35,2"), semicolons=True)).inertia_g_cm2 == 2.5


def test_both_decimal_signs_in_one_file_are_one_fault(refused):
    (fault,) = refused(HEADER, GOOD.replace("0.37", "0'37"), semicolons=True)
    assert "'1.25' has a decimal point, and '0,37' in row 2 a comma" in fault.given
    assert (fault.place.row, fault.place.column, fault.allowed) == (
        2,
        "bore_depth_in",
        "one decimal sign in a whole file",
    )


def test_a_file_with_semicolons_and_whole_numbers_has_no_decimals(read):
    whole = "my head,iron,7-iron,265,3/8,1 1/4,1,3/8,2500"
    assert read(HEADER, whole, semicolons=True).how_read.startswith("semicolons between columns, no decimals; ")


def test_rows_with_commas_under_a_header_with_semicolons_are_told(refused):
    (fault,) = refused(HEADER.replace(",", ";"), GOOD)
    assert "',' between its cells, and the header ';'" in fault.given
    (fault,) = refused(HEADER, GOOD.replace(",", ";"))
    assert "';' between its cells, and the header ','" in fault.given
    (fault,) = refused(HEADER, "one; of a pair,iron")
    assert (fault.given, fault.allowed) == ("the row has 2 cells", "9 cells, as in the header")
    assert fault.next_step == "check commas and quotes"
    (fault,) = refused(HEADER, "my head,iron", semicolons=True)
    assert fault.next_step == "check semicolons and quotes"


def test_a_header_of_too_many_columns_is_one_fault(refused):
    names = [f"colour{n}" for n in range(101)]
    (fault,) = refused(",".join(names), ",".join("x" * 101))
    assert (fault.given, fault.place.row) == ("the header has 101 columns", 1)
    assert fault.allowed == f"the columns {HEADER.replace(',', ', ')}"
    assert len(refused(",".join(names[:100]), ",".join("x" * 100))) > 100


def test_a_decimal_comma_in_a_file_with_commas_is_refused(refused):
    (fault,) = refused(HEADER, with_depth('"1,25"'))
    assert "'1,25' has a comma" in fault.given
    assert "point" in fault.next_step


def test_empty_rows_and_columns_are_left_out_and_counted(read):
    table = read(f"{HEADER},,", f"{GOOD},,", ",,,,,,,,,,", "", ",,")
    assert only(table) == only(read(HEADER, GOOD))
    assert table.how_read == "3 empty rows and 2 empty columns left out"
    assert only(read(HEADER, f"{GOOD},,,")) == only(table)


def test_faults_of_every_kind_come_in_the_sequence_of_the_rows(refused):
    faults = refused(HEADER, with_depth("deep"), f"{GOOD},red", GOOD.replace("265", "heavy"), GOOD[:-5])
    assert [fault.place.row for fault in faults] == [2, 3, 4, 5]


def test_a_column_with_values_and_no_name_is_refused(refused):
    (fault,) = refused(f"{HEADER},", f"{GOOD},red")
    assert fault.given == "a column has values but no name"
    (fault,) = refused(HEADER, f"{GOOD},red")
    assert fault.given == "the row has 10 cells, and some beyond the header's 9 are filled"


@pytest.mark.parametrize("name", [*sorted(NOTES), "Notes"])
def test_a_column_of_notes_is_ignored_and_said(read, name):
    table = read(f"{name},{HEADER}", f"=bought 3 May,{GOOD}")
    assert only(table) == only(read(HEADER, GOOD))
    assert f"the column {name!r} taken as notes" in table.how_read


@pytest.mark.parametrize(
    ("cell", "inches"),
    [
        ("1½", 1.5),
        ("1 ½", 1.5),
        ('"1 1/2"""', 1.5),
        ("1-1/2", 1.5),
        ("1½″", 1.5),
        ("38.1 mm", 1.5),
        ("1.5 inch", 1.5),
        ("1.5 Inches", 1.5),
        ("½", 0.5),
        ("1⅜", 1.375),
        ("1 1⁄4", 1.25),
    ],
)
def test_lengths_as_people_write_them(read, cell, inches):
    table = read(HEADER, with_depth(cell))
    assert only(table).bore_depth_in == pytest.approx(inches, abs=1e-12)
    assert f"as {inches:g} in" in table.how_read


def test_of_several_numbers_with_a_unit_one_is_written_out_and_the_others_counted(read):
    lines = [GOOD.replace("my head", name).replace("1.25", "1 1/4") for name in "abc"]
    assert read(HEADER, *lines[:2]).how_read == "1 1/4 as 1.25 in and 1 more number with a unit or a fraction"
    assert read(HEADER, *lines).how_read == "1 1/4 as 1.25 in and 2 more numbers with a unit or a fraction"


@pytest.mark.parametrize(("cell", "grams"), [("274 grams", 274), ("9.4 ounces", 9.4 * G_PER_OZ), ("274 g", 274)])
def test_masses_as_people_write_them(read, cell, grams):
    assert only(read(HEADER, GOOD.replace("265", cell))).head_mass_g == pytest.approx(grams)


@pytest.mark.parametrize("cell", ["1½½", "½5", "1½/2", "1 1/2/3", "11⁄", "1 inch 1/2", "½ 1"])
def test_a_length_with_a_sign_too_many_is_not_guessed(refused, cell):
    (fault,) = refused(HEADER, with_depth(cell))
    assert repr(cell) in fault.given


@pytest.mark.parametrize(
    "cell", ["01-Feb", "2-Jan", "Jan-02", "1. Feb", "2026-02-01", "1/2/2026", "2026-01-02 00:00:00"]
)
def test_a_date_is_told_as_what_a_spreadsheet_made_of_a_fraction(refused, cell):
    for line in (with_depth(cell), GOOD.replace("2500", cell)):
        (fault,) = refused(HEADER, line)
        assert "format the cells as text" in fault.next_step


def test_words_in_any_case_and_short_names_are_written_out_and_said(read):
    table = read(HEADER, GOOD.replace("iron,7-iron", "IRON,7i"), GOOD.replace("iron,7-iron", "Wedge,PW"))
    assert [(row.kind, row.club) for _, row in table.rows] == [("iron", "7-iron"), ("wedge", "pitching wedge")]
    assert table.how_read == "IRON as iron, 7i as 7-iron, Wedge as wedge and 1 more such name"


def test_an_unknown_column_is_told_with_the_nearest(refused):
    (fault,) = refused(HEADER.replace("inertia", "inertai"), GOOD)[:1]
    assert fault.allowed == "the nearest of 9: inertia_g_cm2"
