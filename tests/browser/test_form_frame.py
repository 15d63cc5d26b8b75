"""A form of the frame in a real JupyterLab: files of a folder, outputs, a refusal, a crash, told cells."""

import nbformat
import pytest
from playwright.sync_api import expect

CELL = '''import time
from pathlib import Path
from trimkit.parts.csvfile import read_text
from trimkit.parts.errors import BenchError
from trimkit.study.form.frame import Form
from trimkit.study.form.pieces import *
folder = Path(FOLDER)
SVG = """<svg xmlns="http://www.w3.org/2000/svg" width="120" height="40"><rect width="120" height="40"/></svg>"""

def answer(pressed, values):
    if pressed == "slow":
        time.sleep(1.5)
        return Answer("done")
    if pressed == "crash":
        raise ZeroDivisionError("no such thing")
    if not values["file"]:
        return Answer(faults={"file": ["No file is chosen. Do next: choose one."]} if pressed else {})
    if pressed != "read":
        rows = values.rows("readings")
        return Answer(told={f"readings {n}: twice": f"{2 * float(row['cpm'])}" for n, row in enumerate(rows, 1)})
    rows = [line.split(",") for line in read_text(folder / values["file"]).split()]
    if not rows[0][1:]:
        raise BenchError("the file has one column", "club and cpm", "choose another")
    shown = Rows(("club", "cpm"), tuple(map(tuple, rows)), "readings", frozenset({1}))
    return Answer(
        f"{len(rows)} readings.",
        rows={"readings": [{"club": club, "cpm": cpm} for club, cpm in rows]},
        shown={"below": [Lines(("read", "<b>from a file</b>")), shown, Picture(SVG, "a black box")]},
    )

form = Form([
    Fields("Readings", (Field("file", "file", choices=files(folder, "*.csv")), Field("client", "client"))),
    Table("readings", "club", (
        Field("club", "club", width_px=120), Field("cpm", "frequency", "cpm"),
        Field("twice", "twice", "cpm", told=True),
    ), fixed=True),
    Buttons((Button("read", "Read", main=True), Button("crash", "Crash"), Button("slow", "Slow"))),
    Output("below"),
], answer)
form'''


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("readings")
    (folder / "set.csv").write_text("6-iron,300.5\n<i>7</i>,310\n", encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def form(open_notebook, tmp_path_factory, folder):
    path = tmp_path_factory.mktemp("made") / "frame.ipynb"
    cell = nbformat.v4.new_code_cell(CELL.replace("FOLDER", repr(str(folder))))
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=[cell], metadata=kernel), path)
    form = open_notebook(path).page.locator(".trimkit-form")
    form.wait_for()
    return form


def press(form, name):
    form.get_by_role("button", name=name, exact=True).click()


def says(form, words):
    expect(form.get_by_role("status")).to_have_text(words)


def test_a_file_is_chosen_read_and_shown_as_text_table_and_picture(form, folder):
    file = form.get_by_label("file", exact=True)
    press(form, "Read")
    expect(form.locator(".faults p")).to_have_text("file: No file is chosen. Do next: choose one.")
    (folder / "later.csv").write_text("one\n", encoding="utf-8")
    press(form, "Read")
    expect(file.locator("option")).to_have_text(["choose a file", "later.csv", "set.csv"])
    file.select_option("set.csv")
    expect(form.locator(".faults p")).to_have_count(0)
    press(form, "Read")
    says(form, "2 readings.")
    expect(form.get_by_label("club 2: club", exact=True)).to_have_value("<i>7</i>")
    below = form.locator(".output")
    expect(below.locator("p")).to_have_text(["read", "<b>from a file</b>"])
    expect(below.locator("td")).to_have_text(["6-iron", "300.5", "<i>7</i>", "310"])
    expect(below.locator("th")).to_have_text(["club", "cpm"])
    assert below.locator("i, b").count() == 0
    assert below.get_by_role("img").evaluate("e => [e.alt, e.naturalWidth, e.naturalHeight]") == [
        "a black box",
        120,
        40,
    ]


def test_told_cells_follow_and_outputs_stay_while_one_types(form):
    form.get_by_label("club 1: frequency (cpm)", exact=True).fill("301")
    expect(form.locator('[data-label="club 1: twice (cpm)"]')).to_have_text("602.0")
    expect(form.locator(".output td")).to_have_count(4)


def test_a_refusal_and_a_crash_are_said_and_the_form_goes_on(form):
    form.get_by_label("file", exact=True).select_option("later.csv")
    press(form, "Read")
    says(form, "the file has one column. Allowed: club and cpm. Do next: choose another.")
    press(form, "Crash")
    says(form, "no such thing")
    form.get_by_label("file", exact=True).select_option("set.csv")
    press(form, "Read")
    says(form, "2 readings.")


def test_a_button_that_takes_its_time_says_so_and_what_is_typed_meanwhile_stays(form):
    press(form, "Slow")
    says(form, "At work …")
    says(form, "done")
    press(form, "Slow")
    client = form.get_by_label("client", exact=True)
    client.fill("typed meanwhile")
    says(form, "At work …")
    says(form, "")
    expect(client).to_have_value("typed meanwhile")
