"""The shipped data load; a fault anywhere in a folder is told with its file, row and column."""

import shutil

import pytest

from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.errors import DataFileError
from trimkit.parts.sources import Standing


@pytest.fixture
def folder(tmp_path):
    copy = tmp_path / "data of a shop"
    shutil.copytree(data_folder(), copy)
    return copy


def edit(folder, file, old, new):
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_the_demo_data_are_whole_and_say_they_are_invented():
    parts = load_catalogue()
    kinds = [head.kind.value for head in parts.heads.values()]
    assert {"iron", "wedge", "hybrid", "driver", "fairway"} == set(kinds)
    sources = [part.source for group in (parts.heads, parts.shafts, parts.grips) for part in group.values()]
    sources += [row.source for row in (*parts.schedule_rows, *parts.ladder_rungs, *parts.raw_lengths)]
    assert all(source.standing is Standing.INVENTED for source in sources)


def test_a_row_knows_the_file_and_row_it_came_from(folder):
    parts = load_catalogue(folder)
    row = parts.schedule_rows[0]
    line = (folder / "schedules.csv").read_text(encoding="utf-8").splitlines()[1]
    assert row.source.text == "schedules.csv, row 2"
    assert line.startswith(f"{row.shaft},{row.flex},{row.club},{row.tip_trim_in}")


def test_a_name_that_stands_twice_is_refused(folder):
    header, grip = (folder / "grips.csv").read_text(encoding="utf-8").splitlines()
    (folder / "grips.csv").write_text("\n".join([header, grip, grip]) + "\n", encoding="utf-8")
    with pytest.raises(DataFileError, match=r"grips.csv, row 3: .* stands twice"):
        load_catalogue(folder)


def test_faults_of_all_files_come_together(folder):
    edit(folder, "heads.csv", "254.2", "-254.2")
    edit(folder, "schedules.csv", "0.25,1.0", "nan,1.0")
    with pytest.raises(DataFileError) as caught:
        load_catalogue(folder)
    places = {(fault.place.file, fault.place.row, fault.place.column) for fault in caught.value.faults}
    assert places == {("heads.csv", 2, "head_mass_g"), ("schedules.csv", 2, "tip_trim_in")}
    assert "2 faults" in str(caught.value)


def test_a_shaft_whose_sections_do_not_fit_is_told_with_its_row(folder):
    edit(folder, "shafts.csv", ",42,116.4", ",41,116.4")
    with pytest.raises(DataFileError, match=r"shafts.csv, row 2: .*sections end at 42 in"):
        load_catalogue(folder)


def test_a_missing_file_is_named(folder):
    (folder / "grips.csv").unlink()
    with pytest.raises(DataFileError, match=r"grips.csv: the file cannot be read"):
        load_catalogue(folder)
