"""The order form under a hand, in a real JupyterLab: a refusal beside the field, mended, saved, not written over."""

import nbformat
import pytest
from playwright.sync_api import expect

from trimkit.club.order.order import open_order, shipped_order

CELL = """from pathlib import Path
from trimkit.study.form.orderform import order_form
form = order_form(folder=Path(FOLDER))
form"""


@pytest.fixture(scope="module")
def saved(tmp_path_factory):
    """The folder that the form saves into."""
    return tmp_path_factory.mktemp("saved")


@pytest.fixture(scope="module")
def page(open_notebook, tmp_path_factory, saved):
    """A notebook with the form of the demo order."""
    path = tmp_path_factory.mktemp("made") / "form.ipynb"
    cell = nbformat.v4.new_code_cell(CELL.replace("FOLDER", repr(str(saved))))
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=[cell], metadata=kernel), path)
    return open_notebook(path)


@pytest.fixture(scope="module")
def form(page):
    form = page.page.locator(".trimkit-order")
    form.wait_for()
    return form


def press(page, name):
    """Press a button once the kernel has what was typed: JupyterLab sends fields and buttons on separate threads."""
    page.wait_until_idle()
    page.page.locator(".trimkit-order").get_by_role("button", name=name, exact=True).click()


def says(form, words):
    expect(form.get_by_role("status")).to_contain_text(words)


def test_the_form_is_on_one_screen_and_no_field_of_a_club_is_squashed(form):
    form.evaluate("e => e.scrollIntoView({block: 'start'})")
    box = form.bounding_box()
    assert box["width"] <= 1366
    assert box["height"] <= 660
    for number in (0, len(shipped_order().clubs) - 1):
        field = form.get_by_label("bore depth (in)").nth(number)
        field.scroll_into_view_if_needed()
        row = field.locator("xpath=ancestor::div[contains(@class, 'widget-hbox')][1]").bounding_box()
        assert row["height"] >= field.bounding_box()["height"] >= 24


def test_filled_refused_mended_saved_and_not_written_over(page, form, saved):
    flex, bbgl = form.get_by_label("flex, or a place like R/S 0.5"), form.get_by_label("BBGL (in)").nth(2)
    flex.fill("Q")
    bbgl.fill("25")
    form.get_by_label("playing length (in)").first.fill("97.8 cm")
    press(page, "Check")
    says(form, "2 faults, each beside its field: flex; club 3: bbgl_in.")
    told = form.locator(".trimkit-fault", has_text="Allowed: -0.5 to 4 in")
    gap = told.bounding_box()["y"] - bbgl.bounding_box()["y"]
    assert 0 < gap < 60, "the fault does not stand beside its field"
    form.get_by_label("save as").fill("client 08")
    press(page, "Save")
    says(form, "2 faults")
    assert list(saved.iterdir()) == []
    flex.fill("R/S 1/2")
    bbgl.fill("1 1/8")
    press(page, "Save")
    says(form, "Saved as client 08.toml, 10 clubs.")
    expect(form.locator(".trimkit-fault")).to_have_count(0)
    order = open_order(saved / "client 08.toml")
    assert (order.flex.fraction, order.clubs[2].head.bbgl_in) == (0.5, 1.125)
    assert order.clubs[0].length.playing_length_in == pytest.approx(97.8 / 2.54)
    before = (saved / "client 08.toml").read_bytes()
    flex.fill("S")
    press(page, "Save")
    says(form, "Not saved")
    assert (saved / "client 08.toml").read_bytes() == before
    form.get_by_label("replace a file of that name").check()
    press(page, "Save")
    says(form, "Saved as client 08.toml")
    assert open_order(saved / "client 08.toml").flex.softer == "S"
