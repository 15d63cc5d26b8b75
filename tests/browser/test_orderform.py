"""The order form under a hand, in a real JupyterLab as a newcomer gets it: file browser open, no setting changed."""

import itertools
import re
import tomllib

import nbformat
import pytest
from playwright.sync_api import expect

from trimkit.club.order.order import open_order, shipped_order

CELL = """from pathlib import Path
from trimkit.study.form.orderform import order_form
form = order_form(folder=Path(FOLDER))
form"""
WINDOWS = ((1366, 768), (1280, 720))
TIP_TRIM = "club 6: tip trim (in)"
FRESH = itertools.count()
SMALL = """form => [...form.querySelectorAll('*')]
  .filter(e => e.offsetParent && parseFloat(getComputedStyle(e).fontSize) < 11)
  .map(e => e.outerHTML.slice(0, 80))"""


@pytest.fixture(scope="module")
def saved(tmp_path_factory):
    """The folder that the form saves into."""
    return tmp_path_factory.mktemp("saved")


@pytest.fixture(scope="module")
def notebook(open_notebook, tmp_path_factory, saved):
    """A notebook with the form of the demo order in its first cell, and again in its second."""
    path = tmp_path_factory.mktemp("made") / "form.ipynb"
    cells = [nbformat.v4.new_code_cell(text) for text in (CELL.replace("FOLDER", repr(str(saved))), "form")]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=kernel), path)
    return open_notebook(path)


@pytest.fixture
def page(notebook):
    """The page, with the form as it was at first."""
    page = notebook.page
    page.set_viewport_size({"width": 1366, "height": 768})
    fresh = f"fresh {next(FRESH)}"
    kernel(page, "from trimkit.club.order.file import order_tables; from trimkit.club.order.order import shipped_order")
    kernel(page, f"form.fill(order_tables(shipped_order())); form.put({{'save as': {fresh!r}, 'replace': False}})")
    expect(page.locator(".trimkit-form").first.get_by_label("save as", exact=True)).to_have_value(fresh)
    return page


@pytest.fixture
def form(page):
    form = page.locator(".trimkit-form").first
    form.evaluate("e => e.scrollIntoView({block: 'start'})")
    expect(cut(form)).to_have_text("4")
    return form


def kernel(page, code):
    """Run code in the kernel and wait until it has."""
    run = "code => jupyterapp.shell.currentWidget.sessionContext.session.kernel.requestExecute({code}).done"
    assert page.evaluate(f"async code => (await ({run})(code)).content.status", code) == "ok"


def field(form, label):
    return form.get_by_label(label, exact=True)


def cut(form, label=TIP_TRIM):
    return form.locator(f'[data-label="{label}"]')


def press(form, name):
    form.get_by_role("button", name=name, exact=True).click()


def says(form, words):
    expect(form.get_by_role("status")).to_contain_text(words)


@pytest.mark.parametrize(("width", "height"), WINDOWS)
def test_the_form_is_on_one_screen_and_nothing_is_cut_off(page, form, width, height, cut_off):
    page.set_viewport_size({"width": width, "height": height})
    expect(page.locator("#filebrowser, .jp-FileBrowser").first).to_be_visible()
    form.evaluate("e => e.scrollIntoView({block: 'start'})")
    seen = page.locator(".jp-WindowedPanel-outer, .jp-Notebook").first.bounding_box()
    assert form.bounding_box()["height"] <= seen["height"]
    assert cut_off(form) == []
    assert form.evaluate(SMALL) == []
    assert form.locator(".box").first.evaluate("e => e.scrollWidth - e.clientWidth") == 0
    for row in form.locator("tr.line").all():
        assert row.bounding_box()["height"] <= 30, "a club takes more than a line"


def test_the_head_is_two_rows_of_the_same_columns(form):
    labels = (
        ("title", "client", "shaft", "grip"),
        (
            "ladder",
            "swingweight",
            "flex, or a place such as R/S 0.5",
            "stepped",
        ),
    )
    first, second = ([field(form, label).bounding_box() for label in row] for row in labels)
    assert [box["x"] for box in first] == [box["x"] for box in second]
    assert [box["width"] for box in first] == [box["width"] for box in second]
    assert len({box["y"] for box in first}) == len({box["y"] for box in second}) == 1


def test_on_a_narrow_page_only_the_table_scrolls_sideways(page, form):
    page.set_viewport_size({"width": 860, "height": 768})
    box = form.locator(".box").first
    expect(box).to_be_visible()
    assert form.bounding_box()["width"] < 600
    assert box.evaluate("e => e.scrollWidth - e.clientWidth") > 0
    assert form.evaluate("e => e.scrollWidth - e.clientWidth") == 0
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") == 0
    field(form, "club 3: BBGL (in)").fill("25")
    field(form, "client").focus()
    fault = form.locator(".faults p")
    expect(fault).to_be_visible()
    assert (
        fault.bounding_box()["x"] + fault.bounding_box()["width"]
        <= box.bounding_box()["x"] + box.bounding_box()["width"]
    )


def test_cuts_follow_what_is_typed_and_a_fault_waits_until_the_field_is_left(page, form):
    bbgl = field(form, "club 6: BBGL (in)")
    bbgl.focus()
    page.keyboard.type("1 1/2")
    expect(cut(form)).to_have_text("4 1/2")
    expect(cut(form, "club 6: cut length (in)")).to_have_text("≈ 35 3/8")
    page.keyboard.type(" feet")
    expect(cut(form)).to_have_text("–")
    expect(form.locator(".faults p")).to_have_count(0)
    page.keyboard.press("Tab")
    fault = form.locator(".faults p")
    expect(fault).to_have_text(re.compile(r"^BBGL: '1 1/2 feet'.*Allowed.*Do next"))
    expect(bbgl).to_have_attribute("aria-invalid", "true")
    assert bbgl.get_attribute("aria-describedby") == fault.locator("xpath=..").get_attribute("id")
    gap = fault.bounding_box()["y"] - bbgl.bounding_box()["y"] - bbgl.bounding_box()["height"]
    assert 0 <= gap < 12, "the fault is not under its line"
    says(form, "1 fault, beside its field: club 6: BBGL.")
    expect(cut(form, "club 7: tip trim (in)")).to_have_text("≈ 4 1/2")
    bbgl.fill("")
    expect(cut(form)).to_have_text("4")
    expect(form.locator(".faults p")).to_have_count(0)
    assert bbgl.get_attribute("aria-invalid") is None


def test_a_cut_that_the_double_check_stops_says_so_under_its_line(form):
    field(form, "club 4: head mass (g)").fill("300")
    expect(form.locator(".faults p")).to_contain_text("The double check stops this cut.")
    expect(form.locator("td.faulty")).to_have_count(1)
    expect(form.locator("td.faulty")).to_have_text("≈ 3")


def test_filled_refused_mended_saved_and_not_written_over(form, saved):
    flex, bbgl = field(form, "flex, or a place such as R/S 0.5"), field(form, "club 3: BBGL (in)")
    flex.fill("Q")
    bbgl.fill("25")
    field(form, "save as").fill("client 08")
    press(form, "Save")
    says(form, "Not saved. 2 faults, each beside its field: flex, or a place such as R/S 0.5; club 3: BBGL.")
    assert not (saved / "client 08.toml").exists()
    flex.fill("R/S 1/2")
    bbgl.fill("1 1/8")
    field(form, "club 1: playing length (in)").fill("97.8 cm")
    form.get_by_role("button", name="Save", exact=True).dblclick()
    says(form, "Saved as client 08.toml, 10 clubs.")
    expect(form.locator(".faults p")).to_have_count(0)
    order = open_order(saved / "client 08.toml")
    assert (order.flex.fraction, order.clubs[2].head.bbgl_in) == (0.5, 1.125)
    assert order.clubs[0].length.playing_length_in == pytest.approx(97.8 / 2.54)
    before = (saved / "client 08.toml").read_bytes()
    flex.fill("S")
    press(form, "Save")
    says(form, "Not saved. 1 fault, beside its field: save as.")
    assert (saved / "client 08.toml").read_bytes() == before
    field(form, "replace a file of that name").check()
    press(form, "Save")
    says(form, "Saved as client 08.toml")
    assert open_order(saved / "client 08.toml").flex.softer == "S"


@pytest.mark.parametrize("times", [5, pytest.param(40, marks=pytest.mark.nightly)])
def test_saved_at_once_after_typing_the_file_has_every_letter(page, form, saved, times):
    for number in range(times):
        field(form, "save as").fill(f"at once {number}")
        field(form, "client").focus()
        page.keyboard.press("ControlOrMeta+a")
        page.keyboard.type(f"client {number}")
        field(form, "club 7: head mass (g)").fill(f"{281 + number / 10}")
        press(form, "Save")
        says(form, f"Saved as at once {number}.toml")
        told = tomllib.loads((saved / f"at once {number}.toml").read_text(encoding="utf-8"))
        assert told["client"] == f"client {number}"
        assert told["club"][6]["head_mass_g"] == pytest.approx(281 + number / 10)


def test_folds_open_sum_up_what_is_in_them_and_open_by_themselves_for_a_fault(page, form):
    summary = form.locator("summary")
    expect(summary).to_contain_text("built to length: club 6-iron · its playing length 37.5 in · ferrule 1.5 g")
    expect(field(form, "ferrule (g)")).to_be_hidden()
    summary.focus()
    page.keyboard.press("Enter")
    expect(field(form, "ferrule (g)")).to_be_visible()
    page.keyboard.press("Enter")
    expect(field(form, "ferrule (g)")).to_be_hidden()
    wedge = form.locator("tbody").nth(9)
    expect(wedge.locator(".sum")).to_have_text("dry fit: bare 42 in · dry fit: fitted 43.5 in")
    press(form, "club 10: more")
    field(form, "club 10: dry fit: fitted (in)").fill("")
    press(form, "Check")
    expect(wedge.locator(".faults p")).to_contain_text("one of the two lengths of a dry fit is missing")
    field(form, "club 10: dry fit: fitted (in)").fill("43 1/4")
    expect(cut(form, "club 10: tip trim (in)")).to_have_text("5 1/2")
    press(form, "club 10: more")
    expect(wedge.locator(".sum")).to_have_text("dry fit: bare 42 in · dry fit: fitted 43 1/4 in")
    kernel(page, "form.fields['[assembly] ferrule_mass_g'].value = '1 stone'")
    expect(field(form, "ferrule (g)")).to_be_visible()
    summary.click()


def test_the_keyboard_goes_along_the_row_and_down_the_column_and_jupyterlab_takes_no_key(page, form):
    cells = page.evaluate("jupyterapp.shell.currentWidget.content.widgets.length")
    field(form, "club 3: head").focus()
    labels = []
    for _ in range(8):
        labels.append(page.evaluate("document.activeElement.getAttribute('aria-label')"))
        page.keyboard.press("Tab")
    names = ("head", "head mass (g)", "bore depth (in)", "BBGL (in)", "playing length (in)", "flex", "more")
    assert labels == [*(f"club 3: {name}" for name in names), "take club 3 out"]
    field(form, "club 3: flex").focus()
    page.keyboard.type("ddabxmycv00")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Backspace")
    assert field(form, "club 3: flex").input_value() == "ddabxmycv0"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "club 4: flex"
    page.keyboard.press("Shift+Enter")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "club 3: flex"
    field(form, "club 3: head").focus()
    page.keyboard.press("ArrowDown")
    expect(field(form, "club 3: head")).to_have_value("class 5-iron")
    assert page.evaluate("jupyterapp.shell.currentWidget.content.widgets.length") == cells


def test_clubs_come_go_and_come_back_under_the_hand(page, form):
    field(form, "club 8: head mass (g)").fill("288.5")
    press(form, "take club 3 out")
    expect(form.locator("tr.line")).to_have_count(9)
    expect(field(form, "club 7: head mass (g)")).to_have_value("288.5")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "take club 3 out"
    press(form, "Put club 3 back")
    expect(form.locator("tr.line")).to_have_count(10)
    expect(field(form, "club 3: head")).to_have_value("class 4-iron")
    press(form, "Add a club")
    expect(form.locator("tr.line")).to_have_count(11)
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "club 11: head"
    press(form, "Check")
    says(form, "11 clubs")


def test_kernel_code_and_a_second_view_and_a_hand_agree(page, form):
    second = page.locator(".trimkit-form").nth(1)
    kernel(page, "form.fields['client'].value = 'by code'")
    expect(field(form, "client")).to_have_value("by code")
    field(form, "client").fill("by hand")
    expect(field(second, "client")).to_have_value("by hand")
    field(form, "club 6: BBGL (in)").fill("1 1/2")
    expect(cut(second)).to_have_text("4 1/2")
    kernel(page, "assert form.fields['client'].value == 'by hand'")
    kernel(page, "assert form.fields['[[club]] 6: bbgl_in'].value == '1 1/2'")


def test_what_is_typed_is_text_wherever_it_shows(page, form):
    words = "<img src=x onerror='window.hit = 1'>"
    for label in ("title", "flex, or a place such as R/S 0.5", "club 2: BBGL (in)"):
        field(form, label).fill(words)
    press(form, "club 5: more")
    field(form, "club 5: reason").fill(words)
    press(form, "club 5: more")
    press(form, "Check")
    says(form, "2 faults")
    expect(form.locator("tbody").nth(4).locator(".sum")).to_have_text(f"reason {words}")
    expect(form.locator(".faults p").first).to_contain_text("<img")
    assert form.locator("img").count() == 0
    assert page.evaluate("window.hit") is None
    assert shipped_order().title != words


def test_without_a_kernel_the_form_says_that_nothing_answers(page, form):
    page.evaluate("jupyterapp.shell.currentWidget.sessionContext.shutdown()")
    field(form, "client").fill("nobody")
    says(form, "No answer from the kernel yet")
    assert field(form, "client").input_value() == "nobody"
