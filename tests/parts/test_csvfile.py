"""Bad files: each a clear sentence, nothing swallowed, the file untouched."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from trimkit.parts.csvfile import MAX_FILE_BYTES, read_rows
from trimkit.parts.errors import DataFileError
from trimkit.parts.rows import TABLES

HEADER = "ladder,club,head_mass_g,playing_length_in"
GOOD = "demo,7-iron,265,37"


def read(path, content):
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_rows(path, TABLES["head_ladder.csv"])


@pytest.fixture
def path(tmp_path):
    return tmp_path / "ladder.csv"


def test_rows_are_numbered_as_a_person_counts_them(path):
    rows = read(path, f"{HEADER}\n{GOOD}\n\ndemo,8-iron,9.6 oz,92.71 cm\n")
    assert [number for number, _ in rows] == [2, 4]
    assert rows[1][1].head_mass_g == pytest.approx(9.6 * 28.349523125)
    assert rows[1][1].playing_length_in == pytest.approx(36.5)


@pytest.mark.parametrize(
    ("content", "place", "sentence"),
    [
        (HEADER.replace(",", ";", 1) + f"\n{GOOD}\n", (1, None), "commas and semicolons between its columns"),
        (HEADER.replace(",", "\t") + f"\n{GOOD}\n", (1, None), "tabs between its columns"),
        (f"{HEADER}\ndemo,7-iron,,37\n", (2, "head_mass_g"), "the cell is empty"),
        (f"{HEADER}\ndemo,7-iron,nan,37\n", (2, "head_mass_g"), "'nan'"),
        (f"{HEADER}\ndemo,7-iron,-265,37\n", (2, "head_mass_g"), "150 to 400 g"),
        (f"{HEADER}\ndemo,7-iron,9.35,37\n", (2, "head_mass_g"), "150 to 400 g"),
        (f"{HEADER}\ndemo,7-iron,265,940\n", (2, "playing_length_in"), "18 to 48 in"),
        (f"{HEADER}\ndemo,7-iron,37 in,37\n", (2, "head_mass_g"), "units g, oz"),
        (f"{HEADER}\ndemo,7-iron,265,265 g\n", (2, "playing_length_in"), "units in, mm, cm"),
        (HEADER.replace("_in", "_mm") + f"\n{GOOD}\n", (1, None), "a different unit from 'playing_length_in'"),
        (HEADER.replace("head_mass_g,", "") + "\ndemo,7-iron,37\n", (1, None), "'head_mass_g' is missing"),
        (HEADER + ",colour\n" + GOOD + ",red\n", (1, None), "'colour' is not known"),
        (HEADER + ",club\n" + GOOD + ",7-iron\n", (1, None), "appears 2 times"),
        (f"{HEADER}\n{GOOD},1\n", (2, None), "5 cells"),
        (f'{HEADER}\ndemo,"7-iron,265,37\n', (2, None), "the CSV is broken"),
        (f"{HEADER}\n", (None, None), "no rows"),
        ("", (None, None), "empty"),
        (b"\xff\xfe" + HEADER.encode("utf-16-le"), (1, None), "byte-order mark"),
        (HEADER.encode() + b"\n\xe9\xe8,7-iron,265,37\n", (None, None), "not UTF-8"),
    ],
)
def test_a_bad_file_is_refused_with_place_and_sentence(path, content, place, sentence):
    with pytest.raises(DataFileError) as caught:
        read(path, content)
    fault = caught.value.faults[0]
    assert (fault.place.file, fault.place.row, fault.place.column) == ("ladder.csv", *place)
    assert sentence in str(fault)
    assert fault.next_step


def test_all_faults_of_a_file_are_told_at_once(path):
    with pytest.raises(DataFileError) as caught:
        read(path, f"{HEADER}\n,7-iron,1,37\ndemo,8-iron,272,1\n")
    assert [(f.place.row, f.place.column) for f in caught.value.faults] == [
        (2, "ladder"),
        (2, "head_mass_g"),
        (3, "playing_length_in"),
    ]


def test_a_huge_file_is_refused_unread(path):
    with path.open("wb") as file:
        file.truncate(200_000_000)
    with pytest.raises(DataFileError, match=f"200 MB. Allowed: at most {MAX_FILE_BYTES // 10**6} MB"):
        read_rows(path, TABLES["head_ladder.csv"])


def test_a_folder_in_place_of_a_file_is_refused(tmp_path):
    with pytest.raises(DataFileError, match="cannot be read"):
        read_rows(tmp_path, TABLES["head_ladder.csv"])


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(content=st.one_of(st.binary(max_size=200), st.text(max_size=200).map(lambda t: f"{HEADER}\n{t}".encode())))
def test_whatever_a_file_holds_it_is_rows_in_range_or_a_data_file_error(path, content):
    try:
        rows = read(path, content)
    except DataFileError:
        return
    assert all(150 <= row.head_mass_g <= 400 and 18 <= row.playing_length_in <= 48 for _, row in rows)


def test_the_column_list_of_another_table_is_told(path):
    path.write_text(f"{HEADER}\n{GOOD}\n", encoding="utf-8")
    with pytest.raises(DataFileError) as caught:
        read_rows(path, TABLES["grips.csv"])
    assert any("'grip_mass_g' is missing" in str(fault) for fault in caught.value.faults)


def test_a_plain_number_with_an_underscore_is_not_read_as_another_number(tmp_path):
    header = "head,kind,club,head_mass_g,bore_diameter_in,bore_depth_in,bbgl_in,cg_height_in,inertia_g_cm2"
    path = tmp_path / "heads.csv"
    path.write_text(f"{header}\nmid,iron,7-iron,265,0.37,1.25,1.0,0.3,23_50\n", encoding="utf-8")
    with pytest.raises(DataFileError, match="'23_50'"):
        read_rows(path, TABLES["heads.csv"])
