"""From a hand on a slider to pixels: how long a lab's picture takes, in a real JupyterLab and a real Chromium.

    python tests/benchmarks/lab_latency.py NOTEBOOK [--slider LABEL] [--keys 40] [--drags 3] [--random SECONDS]
        [--scale 1 2] [file beside it ...]

For the first lab of the notebook and every display scale it presses arrow keys on one slider, drags it, 90 moves in
1.5 s, and drags it again with the pictures switched off. With --random it then uses all controls at random. All times
are the page's own: a key counts from the event's time stamp to the second animation frame after the picture's element
was replaced, which is when the frame that shows it has been drawn; that includes up to two frames (33 ms at 60 frames
a second) of waiting for the display, which no design avoids.

Nothing else runs in the page while it measures: no polling, no frames but those that a change asks for, and what page
and kernel say to each other is not listened to.

``drag``: from the first move until the picture of the last. ``off``: the same without pictures. ``hand``: how long the
driver took for its moves. ``pictures/s``: of them, between the first and the last. ``after``: from the button's release
until the last picture. ``shift``: the sum of the browser's layout shifts in which the lab moved. ``blank``: of the two
frames after each change, those without a picture. ``cached``: share of the moves, without those of a drag, that the
page answered by itself, at once; ``miss``: the longest wait of the others. ``cores``: processor time of the kernel over
the time of the random use. ``MB``: what the page's JavaScript holds
more at its end.
"""

import argparse
import random
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "browser"))
from conftest import NotebookPage, chromium_page, find_chromium, jupyterlab

MOVES, DRAG_S = 90, 1.5
KEYS = ("ArrowRight", "ArrowLeft", "ArrowUp", "ArrowDown", "PageUp", "PageDown", "Home", "End")
ASKED = """async code => {
  const asked = jupyterapp.shell.currentWidget.sessionContext.session.kernel
    .requestExecute({code, store_history: false});
  let said = '';
  asked.onIOPub = message => { said += message.content.text ?? ''; };
  await asked.done;
  return said;
}"""
PROBE = """root => {
  const probe = window.probe = {drawn: [], down: null, up: null, first: null, last: null, shift: 0, blank: 0,
    frames: 0, hits: 0, misses: []};
  const live = root.querySelector('.trimkit-live');
  const look = () => {
    probe.frames += 1;
    if (live.firstElementChild?.getBoundingClientRect().width < 200) probe.blank += 1;
  };
  let told = null, asked = null;
  probe.next = () => probe.drawn.length ? null : new Promise(done => told = done);
  probe.watch = new MutationObserver(() => {
    if (asked !== null) { probe.misses.push(performance.now() - asked); asked = null; }
    requestAnimationFrame(() => {
      look();
      requestAnimationFrame(() => {
        const now = performance.now();
        if (now - (probe.drawn.at(-1) ?? -9) > 1) { look(); probe.drawn.push(now); }
        told?.(); told = null;
      });
    });
  });
  probe.watch.observe(live, {childList: true});
  addEventListener('keydown', e => probe.down = e.timeStamp, true);
  addEventListener('pointerup', e => probe.up = e.timeStamp, true);
  addEventListener('pointermove', e => { probe.first ??= e.timeStamp; probe.last = e.timeStamp; }, true);
  let before = null, dragging = false;
  addEventListener('pointerdown', () => dragging = true, true);
  addEventListener('pointerup', () => dragging = false, true);
  addEventListener('input', () => before = live.firstElementChild, true);
  addEventListener('input', e => {
    if (dragging || e.target.closest('.trimkit-saving')) return;  // a drag's are spaced on purpose; a box of no control
    if (before !== live.firstElementChild) { probe.hits += 1; asked = null; }
    else asked ??= performance.now();
  });
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


def drag(lab, handle, rightwards):
    """One drag over 60 % of the track: how long it took in the page, and the driver's hand; s."""
    page = lab.page
    x, y, way = lab.thumb(handle)
    goal = handle.bounding_box()["x"] + 8 + way * (0.8 if rightwards else 0.2)
    page.mouse.move(x, y)
    page.mouse.down()
    page.evaluate("Object.assign(probe, {first: null, up: null}); probe.drawn.length = 0")
    start = time.perf_counter()
    for move in range(1, MOVES + 1):
        time.sleep(max(0.0, start + DRAG_S * move / MOVES - time.perf_counter()))
        page.mouse.move(x + (goal - x) * move / MOVES, y)
    page.mouse.up()
    hand = time.perf_counter() - start
    page.wait_for_timeout(900)
    first, last, up, drawn = page.evaluate("[probe.first, probe.last, probe.up, probe.drawn]")
    end = drawn[-1] if drawn else last
    pictures = len(drawn) / (drawn[-1] - drawn[0]) * 1000 if len(drawn) > 1 else 0.0
    return (end - first) / 1000, hand, pictures, max(0.0, end - up)


def measured(lab, handle, count, drags, name):
    """The row of numbers of one lab, and the figures of it that the nightly table compares."""
    page = lab.page
    page.evaluate(PROBE, lab.root.element_handle())
    keys(page, handle, 6)  # an even number: back where the slider began
    taken = sorted(keys(page, handle, count))
    dragged = [drag(lab, handle, index % 2 == 0) for index in range(drags)]
    shift, blank, frames = page.evaluate("[probe.shift, probe.blank, probe.frames]")
    page.evaluate("root => root.querySelector('.trimkit-live').style.display = 'none'", lab.root.element_handle())
    off = statistics.median(drag(lab, handle, (drags + index) % 2 == 0)[0] for index in range(drags))
    page.evaluate("root => root.querySelector('.trimkit-live').style.display = ''", lab.root.element_handle())
    took, hand, rate, after = (statistics.median(column) for column in zip(*dragged, strict=True))
    median, p95 = statistics.median(taken), taken[round(0.95 * (len(taken) - 1))]
    figures = (("key, median", median, "ms"), ("key, p95", p95, "ms"), ("drag", took, "s"))
    row = (
        f"{median:6.0f}  {p95:6.0f}  {took:5.2f}  {off:5.2f}  {hand:5.2f}  {rate:10.1f}  {after:5.0f}"
        f"  {shift:5.3f}  {blank}/{frames}"
    )
    return "\n".join([row, *(f"figure {name}, {what} {value:.2f} {unit}" for what, value, unit in figures)])


def used_at_random(lab, seconds):
    """All controls at random: share of moves from the cache, longest miss, the kernel's share of a core, memory."""
    page, hand = lab.page, random.Random(1)
    handles = lab.handles()
    boxes = lab.root.locator("input[type=number]").all()
    others = lab.root.locator("input[type=radio], input[type=checkbox]").all()
    clock = "import time; print(time.process_time())"
    heap = "performance.memory.usedJSHeapSize / 1e6"
    page.evaluate("Object.assign(probe, {hits: 0, misses: []})")
    before, held, start = float(page.evaluate(ASKED, clock)), page.evaluate(heap), time.perf_counter()
    while time.perf_counter() - start < seconds:
        at, what = hand.randrange(len(handles)), hand.random()
        if what < 0.6:
            for _ in range(hand.randint(1, 8)):
                handles[at].press(hand.choice(KEYS[:4]) if hand.random() < 0.8 else hand.choice(KEYS[4:]))
                page.wait_for_timeout(hand.randint(30, 250))
        elif what < 0.8:
            drag(lab, handles[at], hand.random() < 0.5)
        elif what < 0.9 and others:
            hand.choice(others).click()
        else:
            boxes[at].focus()
            boxes[at].press(hand.choice(("ArrowUp", "ArrowDown")))
        page.wait_for_timeout(hand.randint(200, 1500))
    spent = float(page.evaluate(ASKED, clock)) - before
    hits, misses, now = page.evaluate(f"[probe.hits, probe.misses, {heap}]")
    return (
        f"cached {hits}/{hits + len(misses)} = {hits / (hits + len(misses)):.1%}, longest miss "
        f"{max(misses, default=0):.0f} ms, kernel {spent / (time.perf_counter() - start):.2f} cores, "
        f"page {now - held:+.1f} MB"
    )


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("notebook", type=Path)
    parser.add_argument("beside", type=Path, nargs="*", help="files the notebook reads")
    parser.add_argument("--slider", help="the label of the slider to move (default: the first; a coarse one won't do)")
    parser.add_argument("--keys", type=int, default=40)
    parser.add_argument("--drags", type=int, default=3)
    parser.add_argument("--random", type=float, default=0, help="seconds of random use")
    parser.add_argument("--scale", type=float, nargs="+", default=[1, 2])
    given = parser.parse_args()
    print(f"{given.notebook.name}: {given.keys} keys, {given.drags} drags of {DRAG_S} s and {MOVES} moves; medians")
    print("scale  key ms  p95 ms  drag s  off s  hand s  pictures/s  after ms  shift  blank")
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch, "notebooks")
        folder.mkdir()
        for file in (given.notebook, *given.beside):
            shutil.copy(file, folder)
        with jupyterlab(folder, Path(scratch, "jupyter")) as (address, token):
            for scale in given.scale:
                with chromium_page(find_chromium(), scale) as page:
                    notebook = NotebookPage(page, address, token, given.notebook.name)
                    lab = notebook.labs()[0]
                    lab.to_top()
                    page.wait_for_timeout(2000)
                    handle = lab.handle(given.slider) if given.slider else lab.handles()[0]
                    name = f"{given.notebook.stem} at {scale:g}x"
                    print(f"{scale:5g}  {measured(lab, handle, given.keys, given.drags, name)}", flush=True)
                    if given.random:
                        print(f"       {used_at_random(lab, given.random)}", flush=True)
                    print("\n".join(notebook.errors()))


if __name__ == "__main__":
    main()
