"""Pins saved from the what-if bench in a real JupyterLab: pin twice, type a name, save, read the files."""

import csv
import json
from pathlib import Path

import pytest

from trimkit.cli.lessons import notebooks_folder

LESSON = Path(notebooks_folder(), "11_what_if_bench.ipynb")


@pytest.fixture(scope="module")
def lab(open_notebook, only, tmp_path_factory):
    return open_notebook(only(LESSON, "_lab()", tmp_path_factory.mktemp("lesson"))).labs()[0]


def pin_after(lab, slider):
    with lab.changes():
        lab.handle(slider).press("ArrowRight")
    rows = lab.root.locator(".trimkit-pins tbody tr")
    number = rows.count()
    lab.click("Pin this one")
    rows.nth(number).wait_for()


def saved(lab, button):
    """Press a button for saving and return the new sentence about it."""
    place = lab.root.locator(".trimkit-saved")
    before = place.inner_text()
    lab.click(button)
    lab.page.wait_for_function(
        "([root, before]) => (root.querySelector('.trimkit-saved')?.innerText ?? '') !== before",
        arg=[lab.root.element_handle(), before],
    )
    return place.inner_text()


def test_two_pins_are_saved_and_read_back_and_never_written_over_unasked(lab):
    assert "nothing is pinned" in saved(lab, "Save pins as CSV")
    pin_after(lab, "head mass")
    pin_after(lab, "grip mass")
    name = lab.root.get_by_label("file name")
    name.fill("evening tries")
    name.press("Tab")

    sentence = saved(lab, "Save pins as CSV")
    assert sentence.startswith("Saved 2 pins in ")
    path = Path(sentence.removeprefix("Saved 2 pins in "))
    assert path.name == "evening tries.csv"
    assert (path.parent / LESSON.name).exists()
    with path.open(encoding="utf-8", newline="") as file:
        first, second = csv.DictReader(file)
    assert [(row["pin"], row["club"], float(row["head mass, heavier + (g)"])) for row in (first, second)] == [
        ("A", "7-iron", 0.5),
        ("B", "7-iron", 0.5),
    ]
    assert [float(row["grip mass, heavier + (g)"]) for row in (first, second)] == [0.0, 1.0]
    shown = lab.root.locator(".trimkit-pins tbody tr").nth(1).locator("td").all_inner_texts()
    assert second["swingweight as shown"] in shown

    whole = path.read_bytes()
    assert "is there already" in saved(lab, "Save pins as CSV")
    assert path.read_bytes() == whole

    sentence = saved(lab, "Save pins as JSON")
    made = json.loads(Path(sentence.removeprefix("Saved 2 pins in ")).read_text(encoding="utf-8"))
    assert [pin["pin"] for pin in made["pins"]] == ["A", "B"]
    assert made["pins"][1]["params"]["grip_mass_g"] == 1.0

    name.fill("../outside")
    name.press("Tab")
    assert "cannot be used" in saved(lab, "Save pins as CSV")
    assert not (path.parent.parent / "outside.csv").exists()


def test_what_is_saved_and_said_is_on_the_page_and_not_cut_off(lab):
    lab.root.locator(".trimkit-saved").scroll_into_view_if_needed()
    box = lab.root.locator(".trimkit-saved").bounding_box()
    assert box["x"] + box["width"] <= 1366
    assert lab.root.locator(".trimkit-saved").evaluate("e => e.scrollWidth <= e.clientWidth")
