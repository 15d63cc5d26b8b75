"""The four forms of the rack in a real JupyterLab with its file browser open: typed, pressed, shown, written."""

import shutil

import nbformat
import pytest
from playwright.sync_api import expect

from trimkit.club.set import build_set
from trimkit.papers.tablefiles import write_tables
from trimkit.parts.catalogue import data_folder
from trimkit.study import shop_bench

CELL = """from trimkit.study import *
bench = shop_bench(FOLDER)
bench.choose("parts", alone=True, order_file="class.toml");"""
FORMS = ("calibrate_form", "frequency_form", "stock_form", "assign_form")
STEEL = "steel parallel 110 g combination"
READ = (("264.4", "5"), ("287.8", "8"), ("353.4", "14"), ("461.9", "20"), ("674", "26"))


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("bench")
    shutil.copytree(data_folder(), folder / "parts", ignore=shutil.ignore_patterns("orders", "shop.toml"))
    shutil.copy(data_folder() / "orders" / "evening_class.toml", folder / "class.toml")
    bench = shop_bench(folder)
    bench.choose("parts", alone=True, order_file="class.toml")
    write_tables(build_set(bench.order()), folder / "set")
    return folder


@pytest.fixture(scope="module")
def forms(open_notebook, tmp_path_factory, folder):
    path = tmp_path_factory.mktemp("made") / "rack.ipynb"
    cells = [CELL.replace("FOLDER", repr(str(folder))), *(f"{name}(bench)" for name in FORMS)]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(each) for each in cells], metadata=kernel)
    nbformat.write(book, path)
    places = open_notebook(path).page.locator(".trimkit-form")
    places.nth(len(FORMS) - 1).wait_for()
    return {name: places.nth(number) for number, name in enumerate(FORMS)}


def field(form, label):
    return form.get_by_label(label, exact=True)


def press(form, name):
    form.get_by_role("button", name=name, exact=True).click()


def says(form, words):
    expect(form.get_by_role("status")).to_contain_text(words, timeout=30_000)


def fill(form, word, rows):
    """Type rows into a table, adding as many as are missing."""
    for number, row in enumerate(rows, start=1):
        first = field(form, f"{word} {number}: {next(iter(row))}")
        if not first.count():
            press(form, f"Add a {word}")
        for label, value in row.items():
            place = field(form, f"{word} {number}: {label}")
            (place.select_option if label == "shaft" else place.fill)(value)


def fits(form, cut_off):
    form.evaluate("e => e.scrollIntoView({block: 'start'})")
    assert cut_off(form) == []


def test_bare_shafts_are_typed_calibrated_and_kept(forms, folder, cut_off):
    form = forms["calibrate_form"]
    rows = [
        {
            "shaft": STEEL,
            "mass (g)": "109.6",
            "frequency (cpm)": cpm,
            "test weight (g)": "205",
            "in the clamp (in)": clamp,
        }
        for cpm, clamp in READ
    ]
    fill(form, "reading", [{**rows[0], "mass (g)": "heavy"}, *rows[1:]])
    press(form, "Calibrate")
    says(form, "1 fault, beside its field: reading 1: mass.")
    field(form, "reading 1: mass (g)").fill("109.6")
    press(form, "Calibrate")
    says(form, "Calibrated from 5 readings.")
    expect(form.locator(".output td").first).to_have_text(STEEL)
    assert form.get_by_role("img").evaluate("e => e.naturalWidth") > 300
    fits(form, cut_off)
    assert not (folder / "parts" / "shop.toml").exists()
    press(form, "Keep in shop.toml")
    says(form, "Wrote parts/shop.toml")
    assert STEEL in (folder / "parts" / "shop.toml").read_text(encoding="utf-8")


def test_a_film_goes_into_the_form_of_a_set(forms, folder, cut_off):
    form = forms["frequency_form"]
    for label, value in (
        ("whole swings on a film", "12"),
        ("frames that they take", "576"),
        ("frames a second", "240"),
    ):
        field(form, label).fill(value)
    press(form, "Find the frequency")
    says(form, "300.0 ± 0.43 cpm.")
    field(form, "write it into the form").select_option("set/to_measure.csv")
    field(form, "for the club").select_option(label="6: 7-iron")
    fits(form, cut_off)
    press(form, "Write it into the form")
    says(form, "Wrote set/to_measure.csv: 6 7-iron, 300.0 cpm.")
    assert "300.0" in (folder / "set" / "to_measure.csv").read_text(encoding="utf-8")


def test_an_order_is_planned_against_typed_pieces(forms, folder, cut_off):
    form = forms["stock_form"]
    piece = {"shaft": STEEL, "length now (in)": "36.5", "off its tip (in)": "3.5", "pieces": "1", "mark": "B3"}
    fill(form, "piece", [{"shaft": STEEL, "length now (in)": "42", "pieces": "6"}, piece])
    press(form, "Plan")
    says(form, "10 clubs planned, 0 short.")
    expect(form.locator(".output caption").first).to_have_text(f"class: {STEEL}")
    fits(form, cut_off)
    press(form, "Write the lists")
    says(form, "into rack.")
    assert (folder / "rack" / "take.csv").exists()


def test_measured_shafts_go_into_heads(forms, folder, cut_off):
    form = forms["assign_form"]
    rows = "".join(f"S{n},109.8,{270 - n / 2},205,5\n" for n in range(10))
    header = "mark,raw_mass_g,raw_frequency_cpm,test_mass_g,clamp_in\n"
    (folder / "measured.csv").write_text(header + rows, encoding="utf-8")
    fill(form, "shaft", [{"mark": "S9"}])
    field(form, "measured shafts").select_option("measured.csv")
    press(form, "Assign")
    says(form, "1 fault, beside its field: measured shafts.")
    field(form, "shaft 1: mark").fill("")
    press(form, "Assign")
    says(form, "Each of 10 heads has its shaft.")
    fits(form, cut_off)
    press(form, "Write the list")
    says(form, "Wrote assigned.csv.")
    assert (folder / "assigned.csv").exists()
