"""A lab under a hand, in a real JupyterLab: keys, mouse, typing, buttons, errors, and one screen for all of it."""

import shutil
import subprocess
import sys
import time
from pathlib import Path

import nbformat
import pytest

LAB = Path(__file__).with_name("demo_lab.py")
KERNEL = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
START = "The tip hangs 2.27 in below the clamp; the reference hangs 2.27 in."
# Counts frames without a picture and whatever moves in the lab; JupyterLab's own bars around it may move.
WATCH = """root => { window.seen = {shifts: [], blank: 0, frames: 0, on: true};
  const inside = ({node, currentRect: at}) => {
    if (node) return root.contains(node);
    const box = root.getBoundingClientRect();
    return at.left >= box.left && at.right <= box.right && at.top >= box.top && at.bottom <= box.bottom; };
  const told = ({node, previousRect: was, currentRect: is}) =>
    `${node?.className ?? node?.nodeName} from ${was.x}, ${was.y}, ${was.width} x ${was.height}`
    + ` to ${is.x}, ${is.y}, ${is.width} x ${is.height}`;
  new PerformanceObserver(list => list.getEntries().forEach(entry =>
    seen.shifts.push(...entry.sources.filter(inside).map(told)))).observe({type: 'layout-shift'});
  const look = () => { seen.frames += 1;
    if (root.querySelectorAll('svg').length !== 2 || !root.querySelector('svg[role=img] path')) seen.blank += 1;
    if (seen.on) requestAnimationFrame(look); };
  look(); }"""


@pytest.fixture(scope="module")
def notebook(tmp_path_factory):
    """A notebook of one lab."""
    path = tmp_path_factory.mktemp("made") / "beam.ipynb"
    made = nbformat.v4.new_notebook(
        cells=[
            nbformat.v4.new_markdown_cell("# A beam"),
            nbformat.v4.new_code_cell("import demo_lab\ndemo_lab.make()"),
        ],
        metadata=KERNEL,
    )
    nbformat.write(made, path)
    return path


@pytest.fixture(scope="module")
def page(open_notebook, notebook):
    return open_notebook(notebook, LAB)


def test_a_cell_that_fails_is_told_at_once(open_notebook, tmp_path):
    path = tmp_path / "faulty.ipynb"
    cells = [nbformat.v4.new_code_cell(code) for code in ("1 / 0", "import time; time.sleep(60)")]
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=KERNEL), path)
    start = time.monotonic()
    with pytest.raises(pytest.fail.Exception, match="ZeroDivisionError"):
        open_notebook(path)
    assert time.monotonic() - start < 60


@pytest.fixture
def lab(page):
    lab = page.labs()[0]
    lab.click("Reset")
    lab.says(START)
    return lab


def test_an_arrow_key_moves_picture_readout_and_sentence(lab):
    pixels, readouts = lab.pixels(), lab.readouts()
    with lab.changes():
        lab.handle("Length").press("ArrowRight")
    assert lab.pixels() != pixels
    assert lab.readouts() != readouts
    assert lab.sentence() != START


def test_the_tab_key_reaches_sliders_numbers_and_buttons(lab, page):
    lab.handle("Length").focus()
    passed = []
    for _ in range(9):
        page.page.keyboard.press("Tab")
        passed.append(page.page.evaluate("document.activeElement.className + document.activeElement.type"))
    assert any("widget-readout" in name for name in passed)
    assert any("noUi-handle" in name for name in passed)
    assert any("checkbox" in name for name in passed)
    assert sum("jupyter-button" in name or "submit" in name for name in passed) >= 2


def test_a_number_can_be_typed(lab):
    with lab.changes():
        lab.typed("Load", "300")
    lab.says("The tip hangs 3.41 in below the clamp; the reference hangs 2.27 in.")


def test_a_drag_ends_with_the_picture_of_the_last_value(lab, page):
    with lab.changes():
        lab.drag(lab.handle("Length"), 0.3, moves=40)
    page.wait_until_idle()
    dragged, value = (lab.picture(), lab.sentence()), lab.number("Length")
    assert value != "30.000"
    lab.click("Reset")
    lab.says(START)
    lab.typed("Length", value)
    page.wait_until_idle()
    assert (lab.picture(), lab.sentence()) == dragged


def test_buttons_and_boxes_change_the_picture(lab):
    with lab.changes():
        lab.root.get_by_role("button", name="soft").click()
    with lab.changes():
        lab.root.get_by_role("checkbox").click()


def test_reset_brings_back_picture_and_handles(lab):
    picture = lab.picture()
    with lab.changes():
        lab.handle("Load").press("ArrowLeft")
    lab.click("Reset")
    lab.says(START)
    assert lab.picture() == picture
    assert lab.number("Load") == "200"


def test_pins_are_kept_in_a_table_with_units(lab):
    pins = lab.root.locator(".trimkit-pins tbody tr")
    lab.click("Pin this one")
    pins.wait_for()
    with lab.changes():
        lab.handle("Load").press("ArrowRight")
    lab.click("Pin this one")
    pins.nth(1).wait_for()
    assert lab.root.locator(".trimkit-pins th").all_inner_texts()[:3] == ["pin", "Length (in)", "Load (g)"]
    assert lab.root.locator(".trimkit-pins tbody td:nth-child(3)").all_inner_texts() == ["200", "205"]
    lab.click("Clear pins")
    lab.root.locator(".trimkit-pins").wait_for(state="detached")


def test_an_error_in_a_callback_is_a_sentence_in_the_lab_and_goes_when_it_is_mended(lab):
    lab.typed("Length", "40")
    with lab.changes():
        lab.typed("Load", "300")
    refused = lab.root.locator(".trimkit-refused")
    refused.wait_for()
    assert "shorten it <or> unload it" in refused.inner_text()
    lab.click("Reset")
    lab.says(START)
    assert refused.count() == 0


def test_controls_picture_readouts_and_sentence_are_on_one_screen(lab, page, tmp_path):
    lab.to_top()
    window = page.page.viewport_size
    parts = [*lab.handles(), *lab.root.get_by_role("button").all(), lab.live]
    parts += [lab.root.locator(".trimkit-readouts"), lab.root.locator(".trimkit-sentence")]
    boxes = [part.bounding_box() for part in parts]
    for part in parts:
        assert part.is_visible()
    assert min(box["y"] for box in boxes) >= 0
    assert max(box["y"] + box["height"] for box in boxes) <= window["height"] - 24  # the status bar
    assert max(box["x"] + box["width"] for box in boxes) <= window["width"]
    page.screenshot(tmp_path / "lab.png")
    assert (tmp_path / "lab.png").stat().st_size > 10_000


def test_every_text_of_the_picture_is_inside_it(lab):
    frame = lab.live.bounding_box()
    for text in lab.root.locator("svg text").all():
        box = text.bounding_box()
        assert frame["x"] - 1 <= box["x"]
        assert box["x"] + box["width"] <= frame["x"] + frame["width"] + 1
        assert frame["y"] - 1 <= box["y"]
        assert box["y"] + box["height"] <= frame["y"] + frame["height"] + 1


def test_both_layers_lie_exactly_over_each_other(lab):
    layers = [svg.bounding_box() for svg in lab.root.locator(".widget-gridbox svg").all()]
    assert len(layers) == 2
    assert layers[0] == pytest.approx(layers[1], abs=0.5)


def test_nothing_shifts_and_no_frame_is_blank_while_a_slider_moves(lab, page):
    page.page.evaluate(WATCH, lab.root.element_handle())
    for _ in range(15):
        with lab.changes():
            lab.handle("Length").press("ArrowRight")
    lab.drag(lab.handle("Length"), 0.2)
    page.wait_until_idle()
    seen = page.page.evaluate("seen.on = false, seen")
    assert seen["frames"] > 30
    assert seen["shifts"] == []
    assert seen["blank"] == 0


def test_a_move_asks_the_server_for_nothing(lab):
    """A busy kernel has its own tab icon in JupyterLab, fetched for each picture: the server extension ends that."""
    asked = []
    lab.page.on("request", lambda request: asked.append(request.url))
    before = lab.sentence()
    for key in ("ArrowRight", "ArrowLeft") * 5:
        lab.handles()[0].press(key)
        lab.page.wait_for_timeout(60)
    lab.says(before)
    assert not [url for url in asked if "/api/" not in url]  # JupyterLab itself asks for files and kernels now and then


def test_a_screen_reader_gets_the_sentence(lab):
    assert lab.live.get_attribute("aria-label") == f"A beam under load. {START}"
    assert not any(each.is_visible() for each in lab.page.locator(".trimkit-still").all())  # said once, by the lab


@pytest.mark.nightly
def test_a_page_without_a_kernel_shows_the_picture(notebook, tmp_path):
    shutil.copy(LAB, tmp_path)
    shutil.copy(notebook, tmp_path)
    command = [sys.executable, "-m", "nbconvert", "--to", "html", "--execute", "--no-input"]
    command += ["--ExecutePreprocessor.store_widget_state=False", notebook.name]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    html = notebook.with_suffix(".html").name
    text = (tmp_path / html).read_text(encoding="utf-8")
    assert 'src="data:image/png;base64,' in text
    assert f'<p class="trimkit-still">{START}</p>' in text
    assert "application/vnd.jupyter.widget-state+json" not in text
