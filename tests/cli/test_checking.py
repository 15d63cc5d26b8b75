"""The verb check: an order that is in order has a sheet; a folder or a workbook is checked for what is there."""

import csv
import io

import openpyxl
import pytest

from trimkit.cli import main
from trimkit.papers.templates import EXAMPLE_FILE, ORDER_FILE, template_files
from trimkit.parts.catalogue import data_folder
from trimkit.parts.rows import TABLES

DRY_FIT = "bare_shaft_in = 41.0\ndry_fitted_in = 42.125\n"


@pytest.fixture
def run(capsys):
    def verb(*words):
        code = main([str(word) for word in words])
        said = capsys.readouterr()
        assert (code == 0) == (said.err == "")
        return code, said.out + said.err

    return verb


@pytest.fixture
def parts(tmp_path):
    folder = tmp_path / "parts"
    folder.mkdir()
    for name, text in template_files().items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


@pytest.fixture
def workbook(tmp_path):
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name in TABLES:
        sheet = book.create_sheet(name.removesuffix(".csv"))
        for cells in csv.reader(io.StringIO(template_files()[name])):
            sheet.append([float(cell) if cell.replace(".", "", 1).isdigit() else cell for cell in cells])
    book.save(tmp_path / "parts.xlsx")
    return tmp_path / "parts.xlsx"


@pytest.mark.parametrize("order", ["evening_class", "taper_soft_step", "wood_pair"])
def test_what_check_calls_in_order_has_a_sheet(run, order, tmp_path):
    path = data_folder() / "orders" / f"{order}.toml"
    assert run("check", path)[0] == 0
    assert run("sheet", path, "--to", tmp_path / "sheet.html")[0] == 0


def test_an_order_that_no_saw_can_cut_is_refused_as_the_sheet_refuses_it(run, parts, tmp_path):
    order = parts / ORDER_FILE
    order.write_text(order.read_text(encoding="utf-8") + "playing_length_in = 48\n", encoding="utf-8")
    code, said = run("check", order, "--data", parts)
    assert code == 1
    assert "too short" in said
    assert run("sheet", order, "--data", parts, "--to", tmp_path / "sheet.html") == (1, said)
    assert not (tmp_path / "sheet.html").exists()


def test_a_folder_with_some_of_the_tables_is_checked_for_what_is_there(run, parts):
    for name in ("grips.csv", "shaft_sections.csv"):
        (parts / name).unlink()
    (parts / "gripps.csv").write_text("x\n", encoding="utf-8")
    code, said = run("check", parts)
    assert code == 0
    assert "1 head, 3 shafts, 1 schedule row; not there, and nothing checked against them: " in said
    assert "shaft_sections.csv, grips.csv" in said
    assert "passed over, as no data file has the name 'gripps.csv'" in said
    (parts / "heads.csv").write_text((parts / "heads.csv").read_text().replace("265.0", "2650"), encoding="utf-8")
    assert "150 to 400 g" in run("check", parts)[1]


def test_rows_of_an_unknown_shaft_are_told_as_far_as_the_shafts_are_there(run, parts):
    path = parts / "schedules.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("example steel", "exmaple steel"), encoding="utf-8")
    (parts / "grips.csv").unlink()
    code, said = run("check", parts)
    assert code == 1
    assert "the nearest of 3: example steel parallel" in said
    (parts / "shafts.csv").unlink()
    assert run("check", parts)[0] == 0


def test_a_folder_without_any_table_is_refused(run, tmp_path):
    (tmp_path / "head.csv").write_text("x\n", encoding="utf-8")
    code, said = run("check", tmp_path)
    assert code == 1
    assert "no data file has the name 'head.csv'" in said


@pytest.mark.parametrize("order", [ORDER_FILE, EXAMPLE_FILE])
@pytest.mark.parametrize("option", ["--data", "--own-parts"])
def test_a_workbook_is_taken_where_a_folder_is(run, parts, workbook, order, option, tmp_path):
    assert "1 head, 3 shafts, 1 schedule row" in run("check", workbook)[1]
    code, said = run("check", parts / order, option, workbook)
    assert code == 0
    assert "Read parts.xlsx: sheets " in said
    assert run("sheet", parts / order, option, workbook, "--to", tmp_path / f"{option}.html")[0] == 0


def test_an_order_names_the_nearest_head_instead_of_all(run, parts):
    order = parts / ORDER_FILE
    order.write_text(order.read_text(encoding="utf-8").replace("7-iron head", "7 iron head"), encoding="utf-8")
    code, said = run("check", order, "--own-parts", parts)
    assert code == 1
    assert "there is no head 'example 7 iron head'. Allowed: the nearest of " in said
    assert ": example 7-iron head. Do next: " in said
    assert "class 4-iron" not in said


@pytest.fixture
def unmeasured(parts):
    """The templates with a head whose BBGL nobody measured."""
    path = parts / "heads.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("1.25,1.0,", "1.25,,"), encoding="utf-8")
    return parts


def test_a_head_without_bbgl_is_in_order_and_counted(run, unmeasured):
    code, said = run("check", unmeasured)
    assert code == 0
    assert "1 head (1 without a BBGL, which an order must give)" in said


def test_without_a_bbgl_in_data_and_order_the_order_says_how_to_measure_it(run, unmeasured):
    code, said = run("check", unmeasured / ORDER_FILE, "--data", unmeasured)
    assert code == 1
    assert "[[club]] 1: bbgl_in: the BBGL of head 'example 7-iron head' is not known" in said
    assert "measure a shaft bare, then from cap end to ground line with the head dry-fitted" in said


def test_a_dry_fit_that_gives_no_bbgl_of_any_head_is_refused(run, unmeasured):
    order = unmeasured / ORDER_FILE
    text = order.read_text(encoding="utf-8") + DRY_FIT.replace("42.125", "51.25")
    order.write_text(text, encoding="utf-8")
    code, said = run("check", order, "--data", unmeasured)
    assert code == 1
    assert "a BBGL of 10.25 in. Allowed: −0.5 to 4 in" in said
