"""Every lesson's first lab in JupyterLab as a newcomer gets it: keyboard, picture, and all of it whole at any width.

Nothing is toggled and no setting is changed: the file browser is open and the first run's notice is on the screen.
"""

from pathlib import Path

import pytest

from trimkit.cli.lessons import notebooks_folder
from trimkit.study import exercises

from .conftest import axe

LESSONS = sorted(path for path in Path(notebooks_folder()).glob("*.ipynb") if path.name[:2] in exercises.LESSONS)
WINDOWS = ((1366, 768), (1280, 720))
WIDTHS = (1100, 860, 760, 759, 560, 456, 391, 390, 360)
"""Widths of a cell in CSS pixels; the layout changes at 760, the smallest letters at 390."""
ROOMY = {"width": 1700, "height": 900}
"""A window with a cell of more than the widest of them."""
FAULTS = """root => {
  const faults = [], edge = root.getBoundingClientRect(), cell = root.closest('.jp-OutputArea-output');
  const all = selector => [...root.querySelectorAll(selector)];
  const must = (good, what) => good || faults.push(what);
  const [still, live] = all('.trimkit-layer svg').map(svg => svg.getBoundingClientRect());
  const least = root.clientWidth > 390 ? 11 : 10;
  must(cell.scrollWidth <= cell.clientWidth, 'a part of the lab is cut off at the right');
  for (const part of all('input, select, button, label, legend, svg, p, .trimkit-readouts div')) {
    const box = part.getBoundingClientRect(), name = part.innerText || part.title || part.type || part.nodeName;
    must(box.left >= edge.left - 1 && box.right <= edge.right + 1, `beside the lab: ${name}`);
    must(part.nodeName === 'svg' || part.scrollWidth <= part.clientWidth + 1, `cut off: ${name}`);
    if (part.innerText) must(parseFloat(getComputedStyle(part).fontSize) >= least, `small: ${name}`);
  }
  for (const side of ['left', 'top', 'right', 'bottom'])
    must(Math.abs(still[side] - live[side]) < 0.1, 'the layers of the picture lie apart');
  const boxes = [];
  for (const text of all('svg text')) {
    if (!text.textContent.trim()) continue;
    const size = parseFloat(getComputedStyle(text).fontSize) * live.width / text.ownerSVGElement.viewBox.baseVal.width;
    must(size >= least - 0.01, `${size.toFixed(1)} px: ${text.textContent}`);
    const box = text.getBoundingClientRect();
    must(box.left >= live.left - 1 && box.right <= live.right + 1 && box.top >= live.top - size / 3
      && box.bottom <= live.bottom + size / 3, `out of the picture: ${text.textContent}`);
    boxes.push([text.textContent, box, size]);
  }
  boxes.forEach(([one, a, size], at) => boxes.slice(at + 1).forEach(([two, b]) => {
    const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
    const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    if (wide > 1 && high > 0.45 * size) faults.push(`over each other: ${one} | ${two}`);
  }));
  return faults;
}"""
TOGETHER = """(root, name) => {
  const slider = [...root.querySelectorAll('input[type=range]')].find(e => e.id.endsWith(`-${name}`));
  const panel = document.querySelector('.jp-NotebookPanel .jp-WindowedPanel-outer').getBoundingClientRect();
  return [slider, root.querySelector('.trimkit-picture')].every(part => {
    const box = part.getBoundingClientRect();
    return box.top >= panel.top && box.bottom <= panel.bottom;
  });
}"""
WIDE = """(root, width) => new Promise(done => {
  root.parentElement.style.width = width ? `${width}px` : '';
  root.closest('.jp-OutputArea-output').style.overflow = width ? 'visible' : '';
  requestAnimationFrame(() => requestAnimationFrame(() => requestAnimationFrame(done)));
})"""


OFTEN = ("02", "08", "10")
"""Lessons of the ordinary suite: the tallest picture, the widest words, the most crowded; nightly has them all."""


@pytest.fixture(
    params=[
        pytest.param(path, id=path.stem, marks=() if path.stem[:2] in OFTEN else pytest.mark.nightly)
        for path in LESSONS
    ]
)
def page(request, open_notebook, tmp_path, only):
    """The lesson as far as its first lab."""
    return open_notebook(only(request.param, "_lab()", tmp_path))


def test_the_lab_follows_the_keys_and_is_whole_at_any_width(page):
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
        lab.to_top()
        assert lab.root.evaluate(FAULTS) == []
        for handle in lab.handles():
            name = handle.get_attribute("id").split("-", 2)[2]
            lab.to_top()
            assert lab.root.evaluate(TOGETHER, name), f"{name} and the picture are not on one screen"
    tall = lab.root.bounding_box()["height"]
    for key in ("Home", "End"):  # in the narrower window, where words take most lines
        for handle in lab.handles():
            handle.press(key)
        page.wait_until_idle()
        assert lab.root.bounding_box()["height"] == tall, f"what is below the lab moves: {lab.sentence()}"
        assert lab.root.evaluate(FAULTS) == []
    lab.click("Reset")
    page.wait_until_idle()
    faults = {}
    page.page.set_viewport_size(ROOMY)
    for width in WIDTHS:
        lab.root.evaluate(WIDE, width)
        faults[width] = lab.root.evaluate(FAULTS)
    lab.root.evaluate(WIDE, 0)
    assert {width: found for width, found in faults.items() if found} == {}
    assert axe(page.page, ".trimkit-lab") == []
    assert page.errors() == []
