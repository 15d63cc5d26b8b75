"""A shop's own parts stand beside the shipped ones, say where they come from, and are never mixed up with them."""

import pytest

from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.errors import DataFileError
from trimkit.parts.sources import Standing

HEADS = "head,kind,club,head_mass_g,bore_diameter_in,bore_depth_in,bbgl_in,cg_height_in,inertia_g_cm2\n"
OWN = "shop 7-iron,iron,7-iron,9.65 oz,0.370,1 1/4,25.4 mm,0.35,2500\n"


@pytest.fixture
def own(tmp_path):
    folder = tmp_path / "my shop"
    folder.mkdir()
    (folder / "heads.csv").write_text(HEADS + OWN, encoding="utf-8")
    return folder


def faults(own):
    with pytest.raises(DataFileError) as caught:
        load_catalogue(own_folder=own)
    return caught.value.faults


def test_own_parts_are_added_and_say_their_folder_and_standing(own):
    parts, shipped = load_catalogue(own_folder=own), load_catalogue()
    assert set(parts.heads) == {*shipped.heads, "shop 7-iron"}
    head = parts.heads["shop 7-iron"]
    assert str(head.source) == f"my shop/heads.csv, row 2 ({Standing.OWN_DATA.value})"
    assert head.head_mass_g == pytest.approx(9.65 * 28.349523125)
    assert (head.bore_depth_in, head.bbgl_in) == (1.25, pytest.approx(1.0))
    for name, part in shipped.heads.items():
        assert parts.heads[name] == part
        assert part.source.standing is Standing.INVENTED
    assert parts.shafts == shipped.shafts


def test_a_name_that_stands_in_both_is_refused_with_its_place(own):
    (own / "heads.csv").write_text(HEADS + OWN.replace("shop 7-iron", "class 7-iron"), encoding="utf-8")
    (fault,) = faults(own)
    assert (fault.place.file, fault.place.row) == ("my shop/heads.csv", 2)
    assert "'class 7-iron' is in data/heads.csv as well" in str(fault)


def test_own_schedule_lines_are_not_mixed_into_a_shipped_schedule(own):
    shaft = next(iter(load_catalogue().shafts))
    lines = f"shaft,flex,club,tip_trim_in,bbgl_reference_in\n{shaft},R,1-iron,0.1,1.0\n"
    (own / "schedules.csv").write_text(lines, encoding="utf-8")
    (fault,) = faults(own)
    assert "names of your own" in fault.allowed


def test_faults_of_both_folders_come_together_each_with_its_folder(own, tmp_path):
    (own / "heads.csv").write_text(HEADS + OWN.replace("9.65 oz", "nan"), encoding="utf-8")
    (own / "grip.csv").write_text("x\n", encoding="utf-8")
    places = [str(fault.place) for fault in faults(own)]
    assert places == ["my shop/grip.csv", "my shop/heads.csv, row 2, column head_mass_g"]


def test_a_folder_that_is_empty_or_not_there_is_told(tmp_path):
    assert "no CSV file" in str(faults(tmp_path)[0])
    assert "not a readable folder" in str(faults(tmp_path / "gone")[0])


def test_another_data_folder_is_not_called_invented(tmp_path):
    for path in data_folder().glob("*.csv"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    assert {head.source.standing for head in load_catalogue(tmp_path).heads.values()} == {Standing.OWN_DATA}
