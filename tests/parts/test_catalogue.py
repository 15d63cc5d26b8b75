"""The shipped data load; a fault anywhere in a folder is told with its file, row and column."""

import shutil

import pytest

from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.components import Material
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
    with pytest.raises(DataFileError, match=r"grips.csv, row 3: .* appears twice"):
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
    edit(folder, "shafts.csv", ",42,109.6", ",41,109.6")
    with pytest.raises(DataFileError, match=r"shafts.csv, row 2: .*sections end at 42 in"):
        load_catalogue(folder)


def test_a_missing_file_is_named(folder):
    (folder / "grips.csv").unlink()
    with pytest.raises(DataFileError, match=r"grips.csv: the file cannot be read"):
        load_catalogue(folder)


LOST = "shaft that nobody has"


@pytest.mark.parametrize(
    ("file", "row", "column"),
    [
        ("shaft_sections.csv", f"{LOST},0,42,0.37,0.017", "shaft"),
        ("shaft_stations.csv", f"{LOST},0,22,62,0.335", "shaft"),
        ("schedules.csv", f"{LOST},R,7-iron,2,1", "shaft"),
        ("taper_families.csv", f"{LOST},7-iron,37,1", "family"),
    ],
)
def test_rows_of_a_shaft_that_is_not_there_are_a_fault(folder, file, row, column):
    path = folder / file
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join([*lines, row, row]) + "\n", encoding="utf-8")
    with pytest.raises(DataFileError) as caught:
        load_catalogue(folder)
    (fault,) = caught.value.faults
    assert (fault.place.file, fault.place.row, fault.place.column) == (file, len(lines) + 1, column)
    assert LOST in fault.given
    assert "2 row(s)" in fault.given
    assert "steel parallel 110 g combination" in fault.allowed
    assert "shafts.csv" in fault.next_step


def test_lost_rows_of_all_files_come_together_and_with_the_other_faults(folder):
    edit(folder, "shaft_sections.csv", "steel taper 104 g regular,", "steel taper,")
    edit(folder, "taper_families.csv", "steel taper 104 g regular,", "steel tapir,")
    edit(folder, "heads.csv", "254.2", "-254.2")
    with pytest.raises(DataFileError) as caught:
        load_catalogue(folder)
    said = str(caught.value)
    for word in ("'steel taper'", "'steel tapir'", "-254.2"):
        assert word in said


def test_a_bad_shafts_file_does_not_make_every_row_a_lost_one(folder):
    edit(folder, "shafts.csv", ",42,109.6", ",42,-109.6")
    with pytest.raises(DataFileError) as caught:
        load_catalogue(folder)
    assert [fault.place.file for fault in caught.value.faults] == ["shafts.csv"]


def test_own_rows_may_belong_to_a_shipped_shaft_and_to_no_unknown_one(tmp_path):
    own = tmp_path / "own"
    own.mkdir()
    row = "{},R,{},2,1\n"
    header = "shaft,flex,club,tip_trim_in,bbgl_reference_in\n"
    (own / "schedules.csv").write_text(header + row.format("steel taper 104 g regular", "7-iron"), encoding="utf-8")
    assert len(load_catalogue(own_folder=own).schedule_rows) == len(load_catalogue().schedule_rows) + 1
    (own / "schedules.csv").write_text(header + row.format(LOST, "7-iron"), encoding="utf-8")
    with pytest.raises(DataFileError, match=r"own/schedules.csv, row 2, column shaft: no shaft has the name"):
        load_catalogue(own_folder=own)


def raw_lengths(folder, *lines):
    (folder / "taper_families.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return load_catalogue(folder).raw_lengths


def test_a_family_without_a_bbgl_reference_reads_as_it_always_did(folder):
    old = raw_lengths(folder, "family,club,raw_length_in", "steel taper 104 g regular,7-iron,37.75")
    assert [(row.raw_length_in, row.bbgl_reference_in) for row in old] == [(37.75, None)]


@pytest.mark.parametrize(
    ("cell", "reference_in"),
    [("", None), ("  ", None), ("1", 1.0), ("0", 0.0), ("-0.5", -0.5), ("25.4 mm", 1.0), ("1 1/8", 1.125)],
)
def test_a_bbgl_reference_is_a_length_or_an_empty_cell(folder, cell, reference_in):
    header = "family,club,raw_length_in,bbgl_reference_in"
    (row,) = raw_lengths(folder, header, f"steel taper 104 g regular,7-iron,37.75,{cell}")
    assert row.bbgl_reference_in == (None if reference_in is None else pytest.approx(reference_in))


@pytest.mark.parametrize("cell", ["25.4", "-0.6", "nan", "inf", "1e999", "1_0", "about an inch", "None", "true", "=1"])
def test_a_bbgl_reference_that_is_none_is_refused_with_its_place(folder, cell):
    header = "family,club,raw_length_in,bbgl_reference_in"
    with pytest.raises(DataFileError) as caught:
        raw_lengths(folder, header, f"steel taper 104 g regular,7-iron,37.75,{cell}")
    (fault,) = caught.value.faults
    assert (fault.place.file, fault.place.row, fault.place.column) == ("taper_families.csv", 2, "bbgl_reference_in")
    assert fault.next_step


def test_a_column_that_may_be_missing_is_still_asked_for_in_its_own_unit(folder):
    with pytest.raises(DataFileError, match="a different unit from 'bbgl_reference_in'"):
        raw_lengths(folder, "family,club,raw_length_in,bbgl_reference_mm", "steel taper 104 g regular,7-iron,37.75,25")
    with pytest.raises(DataFileError, match="'raw_length_in' is missing"):
        raw_lengths(folder, "family,club,bbgl_reference_in", "steel taper 104 g regular,7-iron,1")


def walls(folder, change):
    """Rewrite the wall of each section: change gets the row's number and the old cell."""
    path = folder / "shaft_sections.csv"
    header, *lines = path.read_text(encoding="utf-8").splitlines()
    rows = [line.rsplit(",", 1) for line in lines]
    cells = [f"{row},{change(number, wall)}" for number, (row, wall) in enumerate(rows, start=2)]
    path.write_text("\n".join([header, *cells]) + "\n", encoding="utf-8")


@pytest.mark.parametrize("way", ["no file", "no row", "no wall", "no column"])
def test_a_steel_shaft_without_walls_loads_and_says_so(folder, way):
    path = folder / "shaft_sections.csv"
    header, *lines = path.read_text(encoding="utf-8").splitlines()
    if way == "no file":
        path.unlink()
    elif way == "no row":
        path.write_text(header + "\n", encoding="utf-8")
    elif way == "no wall":
        walls(folder, lambda number, wall: " " if number % 2 else "")
    else:
        cut = [line.rsplit(",", 1)[0] for line in (header, *lines)]
        path.write_text("\n".join(cut) + "\n", encoding="utf-8")
    for name, shaft in load_catalogue(folder).shafts.items():
        assert bool(shaft.unknown) == (shaft.material is Material.STEEL)
        known = load_catalogue().shafts[name].sections if way in ("no wall", "no column") else ()
        assert [s.to_tip_in for s in shaft.sections] == [s.to_tip_in for s in known]


def test_a_graphite_shaft_without_stations_loads_and_says_so(folder):
    (folder / "shaft_stations.csv").unlink()
    unknown = [shaft for shaft in load_catalogue(folder).shafts.values() if shaft.unknown]
    assert {shaft.material for shaft in unknown} == {Material.GRAPHITE}


def test_a_section_without_a_wall_among_others_is_refused_with_its_row(folder):
    walls(folder, lambda number, wall: "" if number in (5, 6) else wall)
    with pytest.raises(DataFileError) as caught:
        load_catalogue(folder)
    (fault,) = caught.value.faults
    assert (fault.place.file, fault.place.row, fault.place.column) == ("shaft_sections.csv", 5, "wall_in")
    assert "for every section of a shaft, or for none" in fault.allowed


def test_one_shaft_may_have_walls_and_the_next_none(folder):
    first = load_catalogue(folder).shafts
    steel = [shaft for shaft in first.values() if shaft.material is Material.STEEL]
    walls(folder, lambda number, wall: "" if number <= len(steel[0].sections) + 1 else wall)
    assert [bool(load_catalogue(folder).shafts[shaft.name].unknown) for shaft in steel] == [
        True,
        *[False] * (len(steel) - 1),
    ]


@pytest.mark.parametrize("cell", ["0", "-0.014", "0.2", "nan", "thin", "None", "14 mm"])
def test_a_wall_is_a_thickness_or_an_empty_cell(folder, cell):
    walls(folder, lambda number, wall: cell if number == 4 else "")
    with pytest.raises(DataFileError) as caught:
        load_catalogue(folder)
    places = {(fault.place.file, fault.place.row, fault.place.column) for fault in caught.value.faults}
    assert places == {("shaft_sections.csv", 4, "wall_in")}
