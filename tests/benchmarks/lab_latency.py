"""From a hand on a slider to pixels: how long a lab's picture takes, in a real JupyterLab and a real Chromium.

    python tests/benchmarks/lab_latency.py NOTEBOOK [--lab N] [--slider LABEL] [--keys 40] [--drags 3]
        [--scale 1 2] [file beside it ...]

For every lab of the notebook (or the N-th, counted from 0) and every display scale it presses arrow keys on one slider
and drags it, 90 moves in 1.5 s. All times are the page's own: a key counts from the event's time stamp to the
second animation frame after the picture's element was replaced, which is when the frame that shows it has been drawn;
that includes up to two frames (33 ms at 60 frames a second) of waiting for the display, which no design avoids.

Nothing else runs in the page while it measures: no polling, no frames but those that a change asks for, and what page
and kernel say to each other is not listened to.

``drag took``: from the first move until the picture of the last. ``after release``: from the button's release until
then. ``shift``: the sum of the browser's layout shifts in which the lab moved. ``blank``: of the
two frames after each change, those without a picture.
"""

import argparse
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "browser"))
from conftest import NotebookPage, chromium_page, find_chromium, jupyterlab

MOVES, DRAG_S = 90, 1.5
PROBE = """root => {
  const probe = window.probe = {drawn: [], down: null, up: null, first: null, shift: 0, blank: 0, frames: 0};
  const pictures = '.widget-html, .widget-image, .widget-output';
  const mine = node => (node.nodeType === 1 ? node : node.parentElement)?.closest(pictures);
  const look = () => {
    probe.frames += 1;
    if (![...root.querySelectorAll('svg, img')].some(e => e.getBoundingClientRect().width > 200)) probe.blank += 1;
  };
  let told = null;
  probe.next = () => probe.drawn.length ? null : new Promise(done => told = done);
  probe.watch = new MutationObserver(changes => {
    if (!changes.some(c => mine(c.target))) return;
    requestAnimationFrame(() => {
      look();
      requestAnimationFrame(() => {
        const now = performance.now();
        if (now - (probe.drawn.at(-1) ?? -9) > 1) { look(); probe.drawn.push(now); }
        told?.(); told = null;
      });
    });
  });
  probe.watch.observe(root, {subtree: true, childList: true, attributes: true, attributeFilter: ['src']});
  addEventListener('keydown', e => probe.down = e.timeStamp, true);
  addEventListener('pointerup', e => probe.up = e.timeStamp, true);
  addEventListener('pointermove', e => probe.first ??= e.timeStamp, true);
  const inside = source => source.node && root.contains(source.node);  // JupyterLab draws the cells around it late
  probe.shifts = new PerformanceObserver(list => list.getEntries()
    .filter(e => e.sources.some(inside)).forEach(e => probe.shift += e.value));
  probe.shifts.observe({type: 'layout-shift'});
}"""


def keys(page, handle, count):
    """Milliseconds from each key press to its pixels."""
    handle.focus()
    taken = []
    for index in range(count):
        page.evaluate("probe.drawn.length = 0")
        page.keyboard.press("ArrowLeft" if index % 2 else "ArrowRight")  # never past an end
        page.evaluate("probe.next()")
        page.wait_for_timeout(120)
        taken.append(page.evaluate("probe.drawn[0] - probe.down"))
    return taken


def drag(page, handle, rightwards):
    """One drag over 60 % of the track: seconds until the last picture, pictures a second, ms after release."""
    track = handle.locator("xpath=ancestor::*[contains(@class,'noUi-base')]").bounding_box()
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    goal = track["x"] + track["width"] * (0.8 if rightwards else 0.2)
    page.mouse.move(x, y)
    page.mouse.down()
    page.evaluate("Object.assign(probe, {first: null, up: null}); probe.drawn.length = 0")
    start = time.perf_counter()
    for move in range(1, MOVES + 1):
        time.sleep(max(0.0, start + DRAG_S * move / MOVES - time.perf_counter()))
        page.mouse.move(x + (goal - x) * move / MOVES, y)
    page.mouse.up()
    page.wait_for_timeout(700)
    first, up, drawn = page.evaluate("[probe.first, probe.up, probe.drawn]")
    return (drawn[-1] - first) / 1000, 1000 * len(drawn) / (drawn[-1] - first), max(0.0, drawn[-1] - up)


def measured(page, lab, handle, count, drags):
    """The row of numbers of one lab."""
    page.evaluate(PROBE, lab.root.element_handle())
    keys(page, handle, 6)  # an even number: back where the slider began
    taken = sorted(keys(page, handle, count))
    dragged = [drag(page, handle, index % 2 == 0) for index in range(drags)]
    shift, blank, frames = page.evaluate("[probe.shift, probe.blank, probe.frames]")
    page.evaluate("probe.watch.disconnect(); probe.shifts.disconnect()")
    took, rate, after = (statistics.median(column) for column in zip(*dragged, strict=True))
    p95 = taken[round(0.95 * (len(taken) - 1))]
    return statistics.median(taken), p95, took, rate, after, shift, f"{blank}/{frames}"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("notebook", type=Path)
    parser.add_argument("beside", type=Path, nargs="*", help="files the notebook reads")
    parser.add_argument("--lab", type=int)
    parser.add_argument("--slider", help="the label of the slider to move (default: the first; a coarse one won't do)")
    parser.add_argument("--keys", type=int, default=40)
    parser.add_argument("--drags", type=int, default=3)
    parser.add_argument("--without-extension", action="store_true", help="a server without the package's extension")
    parser.add_argument("--scale", type=float, nargs="+", default=[1, 2])
    given = parser.parse_args()
    print(f"{given.notebook.name}: {given.keys} keys, {given.drags} drags of {DRAG_S} s and {MOVES} moves; medians")
    print("lab  scale  key ms  p95 ms  drag took s  pictures/s  after release ms  shift  blank")
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch, "notebooks")
        folder.mkdir()
        for file in (given.notebook, *given.beside):
            shutil.copy(file, folder)
        extension = not given.without_extension
        with jupyterlab(folder, Path(scratch, "jupyter"), extension) as (address, token):
            for scale in given.scale:
                with chromium_page(find_chromium(), scale) as page:
                    notebook = NotebookPage(page, address, token, given.notebook.name)
                    for index, lab in enumerate(notebook.labs()):
                        if given.lab in (None, index):
                            handle = lab.handle(given.slider) if given.slider else lab.handles()[0]
                            row = measured(page, lab, handle, given.keys, given.drags)
                            key, p95, took, rate, after, shift, blank = row
                            print(
                                f"{index:3}  {scale:5g}  {key:6.0f}  {p95:6.0f}  {took:11.2f}  {rate:10.1f}  "
                                f"{after:16.0f}  {shift:5.3f}  {blank}",
                                flush=True,
                            )
                    print("\n".join(notebook.errors()))


if __name__ == "__main__":
    main()
