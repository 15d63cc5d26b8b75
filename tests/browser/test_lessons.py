"""Every lesson's first lab in a real JupyterLab in a real Chromium: keyboard, picture, and all of it on one screen."""

from pathlib import Path

import pytest

from trimkit.cli.lessons import notebooks_folder
from trimkit.study import exercises

LESSONS = sorted(path for path in Path(notebooks_folder()).glob("*.ipynb") if path.name[:2] in exercises.LESSONS)
WINDOWS = ((1366, 768), (1280, 720))
FAULTS = """(root, height) => {
  const cell = root.closest('.jp-OutputArea-output'), edge = cell.getBoundingClientRect(), faults = [];
  const all = selector => [...root.querySelectorAll(selector)];
  const must = (good, what) => good || faults.push(what);
  const words = all('.trimkit-readouts div, .trimkit-sentence'), handles = all('.noUi-handle');
  const [still, live] = all('svg').map(svg => svg.getBoundingClientRect());
  must(cell.scrollWidth <= cell.clientWidth, 'a part of the lab is cut off at the right');
  for (const part of [...handles, ...all('svg'), ...words]) {
    const box = part.getBoundingClientRect();
    must(box.left >= edge.left && box.right <= edge.right, `beside the cell: ${part.innerText ?? part.className}`);
  }
  for (const part of [handles[0], root.querySelector('svg[role=img]'), words.at(-1)]) {
    const box = part.getBoundingClientRect();
    must(box.top >= 0 && box.bottom <= height, `off the screen: ${part.innerText ?? part.nodeName}`);
  }
  for (const part of all('.widget-label, .trimkit-readouts div, .trimkit-sentence'))
    must(part.scrollWidth <= part.clientWidth, `cut off: ${part.innerText}`);
  for (const part of words)
    must(part.getBoundingClientRect().right <= live.right + 1, `beyond the picture: ${part.innerText}`);
  for (const side of ['left', 'top', 'right', 'bottom'])
    must(Math.abs(still[side] - live[side]) < 0.1, 'the layers of the picture lie apart');
  return faults;
}"""


@pytest.fixture(params=LESSONS, ids=lambda path: path.stem)
def page(request, open_notebook, tmp_path, only):
    """The lesson as far as its first lab."""
    return open_notebook(only(request.param, "_lab()", tmp_path))


def test_the_lab_follows_the_keys_is_whole_on_either_screen_and_moves_nothing_below_it(page):
    (lab, *_rest) = page.labs()
    first, pixels = lab.picture(), lab.pixels()
    for handle in lab.handles():
        sentence, readouts = lab.sentence(), lab.readouts()
        with lab.changes():
            handle.press("ArrowRight")
        assert lab.sentence() != sentence
        assert lab.readouts() != readouts
    assert lab.pixels() != pixels
    with lab.changes():
        lab.click("Reset")
    page.wait_until_idle()
    assert lab.picture() == first
    for width, height in WINDOWS:
        page.page.set_viewport_size({"width": width, "height": height})
        assert page.page.locator(".jp-FileBrowser").is_visible()
        page.page.wait_for_function(
            "document.querySelector('.jp-NotebookPanel').getBoundingClientRect().right <= innerWidth"
        )
        lab.root.scroll_into_view_if_needed()
        assert lab.root.evaluate(FAULTS, height) == []
    tall = lab.root.bounding_box()["height"]
    for key in ("Home", "End"):  # in the narrower window, where words take most lines
        for handle in lab.handles():
            handle.press(key)
        page.wait_until_idle()
        assert lab.root.bounding_box()["height"] == tall, f"what stands below the lab moves: {lab.sentence()}"
        assert lab.root.evaluate(FAULTS, height) == []
    assert page.errors() == []
