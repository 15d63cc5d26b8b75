"""A lab under a hand, in a real JupyterLab: keys, mouse, typing, buttons, errors, races, and a kernel that is gone."""

import json
import random
import shutil
import subprocess
import sys
import time
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import expect

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
    """A notebook of one lab that is shown twice."""
    path = tmp_path_factory.mktemp("made") / "beam.ipynb"
    made = nbformat.v4.new_notebook(
        cells=[
            nbformat.v4.new_markdown_cell("# A beam"),
            nbformat.v4.new_code_cell("import demo_lab\nlab = demo_lab.make()\nlab"),
            nbformat.v4.new_code_cell("lab"),
        ],
        metadata=KERNEL,
    )
    nbformat.write(made, path)
    return path


@pytest.fixture(scope="module")
def page(open_notebook, notebook):
    return open_notebook(notebook, LAB)


def state(page):
    """Values, pins and sentence as the kernel has them, once the page's last words have arrived."""
    page.page.wait_for_timeout(400)
    page.wait_until_idle()
    return json.loads(
        page.in_kernel("import json; print(json.dumps([list(lab.values.values()), lab.pins_told(), lab.sentence]))")
    )


def frame_alone(page, values):
    """The live layer that a lab of its own, in the test's process, gives for these values."""
    sys.path.insert(0, str(LAB.parent))
    try:
        import demo_lab
    finally:
        sys.path.remove(str(LAB.parent))
    alone = demo_lab.make()
    return alone.frame_of(dict(zip(alone.defaults, values, strict=True)))


def assert_one_state(page):
    """Both views, the kernel, and a lab computed alone agree; returns the values."""
    values, _pins, sentence = state(page)
    alone = frame_alone(page, values)
    assert alone.sentence == sentence
    for lab in page.labs():
        assert lab.sentence() == alone.sentence
        shown = [float(box.input_value()) for box in lab.root.locator("input[type=number]").all()]
        assert shown == pytest.approx(values[:2], abs=5e-4)
        same = "([root, picture]) => { const own = document.createElement('div'); own.innerHTML = picture;"
        same += " return root.querySelector('.trimkit-live').innerHTML === own.innerHTML; }"
        assert page.page.evaluate(same, [lab.root.element_handle(), alone.picture])
    return values


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


def test_the_tab_key_goes_through_all_controls_in_order_and_the_focus_is_seen(lab, page):
    lab.slider("Length").locator("input[type=number]").focus()
    passed = []
    for _ in range(8):
        page.page.keyboard.press("Tab")
        passed.append(
            page.page.evaluate("(e => e.type + ' ' + getComputedStyle(e).outlineWidth)(document.activeElement)")
        )
    types = ["range", "number", "range", "radio", "checkbox", "button", "button", "button"]
    assert passed == [f"{each} 3px" for each in ["range", *types[1:]]]


def test_home_end_and_page_keys_and_no_key_is_lost_to_jupyterlab(lab, page):
    handle = lab.handle("Length")
    cells = len(page.page.evaluate("jupyterapp.shell.currentWidget.content.model.toJSON().cells"))
    for key, number in (("End", "40.000"), ("PageDown", "38.000"), ("Home", "20.000"), ("PageUp", "22.000")):
        handle.press(key)
        assert lab.number("Length") == number
    handle.press("ArrowUp")
    assert lab.number("Length") == "22.125"
    assert handle.get_attribute("aria-valuetext") == "22.125 in"
    for key in ("a", "b", "d", "d", "x", "m"):  # JupyterLab's own keys for cells
        handle.press(key)
    assert len(page.page.evaluate("jupyterapp.shell.currentWidget.content.model.toJSON().cells")) == cells
    page.wait_until_idle()
    assert assert_one_state(page)[0] == 22.125


def test_each_control_has_a_label_with_its_unit(lab):
    for name in ("Length (in)", "Load (g)"):
        assert lab.root.get_by_role("slider", name=name, exact=True).count() == 1
        assert lab.root.get_by_role("spinbutton", name=f"{name}, typed", exact=True).count() == 1
    assert lab.root.get_by_role("group", name="Clamp").get_by_role("radio").count() == 2
    assert lab.root.get_by_role("checkbox", name="Count shear too").count() == 1


def test_the_sentence_is_said_once_after_a_pause(lab, page):
    spoken = lab.root.locator(".trimkit-spoken")
    page.page.wait_for_timeout(1000)
    page.page.evaluate(
        "e => { window.said = []; const told = () => said.push(e.textContent);"
        " new MutationObserver(told).observe(e, {childList: true}); }",
        spoken.element_handle(),
    )
    for _ in range(4):
        lab.handle("Length").press("ArrowRight")
    page.page.wait_for_timeout(1500)
    assert page.page.evaluate("said") == [lab.sentence()]
    assert spoken.get_attribute("aria-live") == "polite"


def test_a_number_can_be_typed(lab):
    with lab.changes():
        lab.typed("Load", "300")
    lab.says("The tip hangs 3.41 in below the clamp; the reference hangs 2.27 in.")


def test_a_number_that_is_no_place_of_the_slider_is_taken_as_typed(lab, page):
    with lab.changes():
        lab.typed("Length", "30.05")
    assert assert_one_state(page)[0] == 30.05


@pytest.mark.parametrize("text", ["41", ""])
def test_a_number_out_of_bounds_is_refused_and_nothing_moves(lab, text):
    lab.typed("Length", text)
    said = lab.root.locator(".trimkit-saved.trimkit-refused")
    expect(said).to_have_text(
        f"Length (in) was set to {text or 'nothing'}. Allowed: 20 to 40 in. Do next: choose a value in this range."
    )
    assert lab.number("Length") == "30.000"
    assert lab.sentence() == START


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
        lab.root.get_by_role("radio", name="soft").click()
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
    refused = lab.root.locator(".trimkit-sentence.trimkit-refused")
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
    layers = [svg.bounding_box() for svg in lab.root.locator(".trimkit-layer svg").all()]
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


# Races


def test_a_key_and_reset_at_once(lab, page):
    for turn in range(10):
        lab.handle("Length").press(("ArrowRight", "End", "Home")[turn % 3])
        lab.click("Reset")
        if turn % 3 == 0:
            assert assert_one_state(page) == [30, 200, "hard", False]
    assert assert_one_state(page) == [30, 200, "hard", False]


@pytest.mark.nightly
def test_reset_and_a_key_at_once(lab, page):
    for turn in range(6):
        lab.handle("Length").press("End")
        lab.click("Reset")
        lab.handle("Length").press("ArrowRight" if turn % 2 else "ArrowLeft")
        assert assert_one_state(page)[0] == 30 + (0.125 if turn % 2 else -0.125)


def test_a_pin_during_a_drag_is_of_what_was_seen(lab, page):
    lab.click("Clear pins")
    seen = []

    def pin():
        lab.page.wait_for_timeout(600)  # so that the last picture has come
        seen.append((lab.number("Length"), lab.sentence()))
        lab.root.get_by_role("button", name="Pin this one").evaluate("e => e.click()")

    lab.held(lab.handle("Length"), 0.2, pin)
    values = assert_one_state(page)
    ((_letter, length, *_rest, tip, _root),) = state(page)[1]
    assert float(length) == pytest.approx(float(seen[0][0]), abs=0.01) != values[0]
    assert f"{float(tip):.2f} in" in seen[0][1]
    lab.click("Clear pins")


def test_reset_in_the_middle_of_a_drag(lab, page):
    lab.held(lab.handle("Length"), 0.2, lambda: lab.root.get_by_role("button", name="Reset").evaluate("e => e.click()"))
    assert_one_state(page)


def test_code_moves_another_slider_during_a_drag_and_both_moves_stay(lab, page):
    lab.held(lab.handle("Length"), 0.2, lambda: page.in_kernel("lab.set(load_g=250)"))
    values = assert_one_state(page)
    assert values[0] > 30
    assert values[1] == 250


def test_one_view_s_move_is_the_other_s(lab, page):
    other = page.labs()[1]
    for turn in range(6):
        (lab, other)[turn % 2].handle("Load").press("ArrowLeft")
        (lab, other)[1 - turn % 2].handle("Length").press("ArrowRight")
    assert assert_one_state(page)[:2] == [30.75, 170]
    other.root.evaluate("e => e.scrollIntoView()")


@pytest.mark.nightly
def test_a_random_hand(lab, page):
    """Keys on all controls, without a pause, and code in between: page, kernel and a lab alone agree."""
    hand = random.Random(14)
    for turn in range(60):
        handle = lab.handle(hand.choice(("Length", "Load")))
        handle.press(hand.choice(("ArrowRight", "ArrowLeft", "PageUp", "PageDown", "Home", "End")))
        if turn % 7 == 0:
            lab.root.get_by_role("checkbox").click()
        if turn % 11 == 0:
            page.in_kernel(f"lab.set(load_g={hand.randrange(100, 290, 5)})")
        if turn % 20 == 19:
            assert_one_state(page)


# Without a kernel


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


def test_when_the_kernel_is_gone_the_page_says_so_and_shows_only_what_it_has(page, lab):
    page.page.wait_for_timeout(1500)  # frames of the surroundings come
    page.page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart()")
    status = lab.root.locator(".trimkit-status")
    expect(status).to_contain_text("The kernel is gone", timeout=30_000)
    with lab.changes():
        lab.handle("Length").press("ArrowRight")
    assert lab.sentence() == frame_alone(page, [30.125, 200, "hard", False]).sentence
    expect(status).to_contain_text("The kernel is gone")
    old = lab.picture()
    lab.typed("Length", "31.0625")  # no place of the slider: nobody has made it
    expect(status).to_contain_text("It has none of these values; the picture is an older one.")
    assert lab.picture() == old
    assert float(lab.root.locator(".trimkit-live").evaluate("e => getComputedStyle(e).opacity")) < 0.5
    assert lab.root.get_by_role("button", name="Pin this one").is_disabled()
    page.run()
    (lab, _other) = page.labs()
    lab.says(START)
    expect(lab.root.locator(".trimkit-status")).to_have_text("")
