"""Templates: the models' own columns, whole as a folder and beside the shipped parts, an order that can be built."""

import csv
import io

import pytest

from trimkit.club.order.order import open_order
from trimkit.club.set import build_set
from trimkit.papers.orderschema import EXAMPLE_FILE, SCHEMA_FILE
from trimkit.papers.sheet import sheet_html
from trimkit.papers.templates import ORDER_FILE, template_files, write_templates
from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.datapackage import unit_of
from trimkit.parts.errors import SaveError
from trimkit.parts.rows import FILES


def test_every_data_file_has_a_template_with_the_model_s_columns_and_an_example():
    files = template_files()
    assert set(files) == {*FILES, ORDER_FILE, EXAMPLE_FILE, SCHEMA_FILE}
    for name, model in FILES.items():
        header, *rows = csv.reader(io.StringIO(files[name], newline=""))
        assert header == list(model.model_fields)
        assert rows
        assert all(unit_of(column) for column in header if model.model_fields[column].annotation is float)


def test_the_folder_is_whole_and_every_part_calls_itself_an_example(tmp_path):
    folder = tmp_path / "my parts"
    write_templates(folder)
    parts = load_catalogue(folder)
    assert all("example" in name for group in (parts.heads, parts.shafts, parts.grips) for name in group)


@pytest.mark.parametrize("order", [ORDER_FILE, EXAMPLE_FILE])
@pytest.mark.parametrize("beside", [True, False])
def test_its_orders_are_planned_and_predicted_alone_and_beside_the_shipped_parts(tmp_path, beside, order):
    folder = tmp_path / "my parts"
    write_templates(folder)
    where = {"own_parts": folder} if beside else {"data": folder}
    built = build_set(open_order(folder / order, **where))
    (club,) = built.clubs
    assert 290 < club.frequency_cpm < 360  # what the assembled irons of the demo scenario measure: plausible, no more
    assert club.plan.butt_trim_in > 0
    assert "example 7-iron head" in sheet_html(built, "<svg></svg>")


@pytest.mark.parametrize("name", ["heads.csv", "shopping list.txt", ".hidden"])
def test_a_folder_that_holds_anything_is_left_alone(tmp_path, name):
    (tmp_path / name).write_text("mine")
    with pytest.raises(SaveError, match="the folder is not empty"):
        write_templates(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_folder_in_a_file_s_place_is_refused(tmp_path):
    (tmp_path / "file").write_text("mine")
    with pytest.raises(SaveError, match="file, not a folder"):
        write_templates(tmp_path / "file")
    assert (tmp_path / "file").read_text() == "mine"
