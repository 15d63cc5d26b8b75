"""The shop bench in a real JupyterLab: from nothing to a saved record with a measurement in it, by hand alone."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from trimkit.cli.lessons import notebooks_folder
from trimkit.papers.record.readings import counting
from trimkit.papers.record.store import read_file

WINDOWS = ((1366, 768), (1280, 720))
PATIENCE_MS = 20_000
TOO_WIDE = """form => [form, ...form.querySelectorAll('.box, .grid, .buttons, p')]
  .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1).map(e => e.className || e.textContent)"""
CUT_OFF = """form => [...form.querySelectorAll('th, .told, button, .name')]
  .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display !== 'inline')
  .map(e => e.getAttribute('aria-label') ?? e.textContent)"""


@pytest.fixture
def page(open_notebook):
    return open_notebook(Path(notebooks_folder()) / "13_shop_bench.ipynb").page


def form(page, title):
    found = page.get_by_role("group", name=title, exact=True)
    found.scroll_into_view_if_needed()
    return found


def field(form, label):
    return form.get_by_label(label, exact=True)


def press(form, name):
    form.get_by_role("button", name=name, exact=True).click()


def says(form, words):
    expect(form.get_by_role("status")).to_contain_text(words, timeout=PATIENCE_MS)


def test_from_nothing_to_a_record_with_a_measurement(page, jupyter):
    folder = jupyter[0]
    before = set(folder.iterdir())

    start = form(page, "Parts and order")
    field(start, "folder for templates").fill("bench parts")
    press(start, "Make templates")
    says(start, "into bench parts")
    press(start, "Open")
    says(start, "Opened: Example order, 1 club.")
    expect(field(form(page, "Order"), "title")).to_have_value("Example order", timeout=PATIENCE_MS)
    field(start, "order").select_option("the demo order")
    press(start, "Open")
    says(start, "10 clubs.")

    order = form(page, "Order")
    expect(order.locator("tr.line")).to_have_count(10, timeout=PATIENCE_MS)
    field(order, "club 3: BBGL (in)").fill("25")
    field(order, "save as").fill("bench client")
    press(order, "Save")
    says(order, "Not saved. 1 fault, beside its field: club 3: BBGL.")
    expect(order.locator(".faults p")).to_contain_text("Do next")
    field(order, "club 3: BBGL (in)").fill("")
    press(order, "Save")
    says(order, "Saved as bench client.toml, 10 clubs.")

    plan = form(page, "Plan and double check")
    expect(plan.locator("caption")).to_contain_text("bench client.toml", timeout=PATIENCE_MS)
    expect(plan.locator("tbody tr").nth(5).locator("td")).to_contain_text(["6 7-iron", "4", "≈ 35 7/8", "≈ 2 1/8"])
    press(plan, "Write the sheet")
    says(plan, "Wrote bench client.html")
    press(plan, "Make the record, or add a revision")
    says(plan, "Wrote bench client.record.json: 10 clubs, revision 1.")
    press(plan, "Make the record, or add a revision")
    says(plan, "Nothing is written. 1 fault, beside its field: reason for the revision.")

    measured = form(page, "What was measured")
    expect(measured.locator("tr.line")).to_have_count(10, timeout=PATIENCE_MS)
    field(measured, "club 6: frequency (cpm)").fill("308.3 cpm")
    press(measured, "Save the readings")
    says(measured, "Nothing is saved. 1 fault, beside its field: club 6: frequency.")
    field(measured, "club 6: frequency (cpm)").fill("308.3")
    expect(measured.locator('[data-label="club 6: verdict"]')).to_have_text("outside the tolerance: frequency")
    press(measured, "Save the readings")
    says(measured, "Saved: 1 club measured, revision 2.")

    found = form(page, "Records")
    expect(found.locator("tbody tr").first).to_contain_text("bench client.record.json", timeout=PATIENCE_MS)
    field(found, "record").select_option("bench client.record.json")
    press(found, "Show the record")
    expect(found.locator("pre")).to_contain_text("frequency 308.3 cpm (revision 2", timeout=PATIENCE_MS)

    record = read_file(folder / "bench client.record.json")
    assert {place: each.frequency_cpm for place, each in counting(record).items()} == {5: 308.3}
    made = {each.name for each in set(folder.iterdir()) - before} - {".ipynb_checkpoints"}
    assert made == {"bench parts", "bench client.toml", "bench client.html", "bench client.record.json"}

    for width, height in WINDOWS:
        page.set_viewport_size({"width": width, "height": height})
        expect(page.locator(".jp-FileBrowser").first).to_be_visible()
        for title in ("Parts and order", "Order", "Plan and double check", "What was measured", "Records"):
            shown = form(page, title)
            assert shown.evaluate(TOO_WIDE) == [], title
            assert shown.evaluate(CUT_OFF) == [], title
