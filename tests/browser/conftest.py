"""A real JupyterLab in a real Chromium, as pytest fixtures.

``open_notebook(path)`` gives a :class:`NotebookPage` with its cells run; ``page.labs()`` are its labs. All tests of a
worker share one JupyterLab and one page. Chromium is ``TRIMKIT_CHROMIUM`` or the first of ``chromium``,
``chromium-browser``, ``google-chrome`` on the path. Where there is none the tests are skipped, but they fail when
``CI`` or ``TRIMKIT_REQUIRE_BROWSER`` is set.
"""

import os
import re
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections import deque
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import TimeoutError as NothingCame
from playwright.sync_api import expect, sync_playwright

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
FLAGS = (
    "--no-sandbox",  # root, as in most containers, may not use it
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
WINDOW = {"width": 1366, "height": 768}
PATIENCE_S = 90
OPEN = """async name => {
  const {commands, shell} = jupyterapp;
  const before = shell.currentWidget;
  if (before?.context) {
    await before.sessionContext.shutdown();
    before.context.model.dirty = false;  // else JupyterLab asks whether to save it
    before.dispose();  // at once: the next notebook may have the same name, and would be this one again
  }
  const opened = await commands.execute('docmanager:open', {path: name, factory: 'Notebook'});
  await opened.context.ready;
  await opened.sessionContext.ready;
  await opened.sessionContext.session.kernel.info;
}"""
ASKED = """async code => {
  const {kernel} = jupyterapp.shell.currentWidget.sessionContext.session;
  const asked = kernel.requestExecute({code, store_history: false});
  let said = '';
  asked.onIOPub = message => { said += message.content.text ?? message.content.evalue ?? ''; };
  await asked.done;
  return said;
}"""
SETTLED = """async () => {
  const {kernel} = jupyterapp.shell.currentWidget.sessionContext.session;
  const frame = () => new Promise(done => requestAnimationFrame(done));
  const shown = () => [...document.querySelectorAll('.trimkit-lab, .trimkit-exercises')].map(e => e.innerText).join();
  for (let before = null, now = shown(); now !== before || kernel.status !== 'idle';) {
    await kernel.requestCommInfo({target_name: 'none'});
    await new Promise(done => setTimeout(done, 60));
    await frame(); await frame();
    [before, now] = [now, shown()];
  }
}"""


def find_chromium():
    """Where Chromium is, or None."""
    given = os.environ.get("TRIMKIT_CHROMIUM")
    return given or next((found for name in BROWSERS if (found := shutil.which(name))), None)


@contextmanager
def jupyterlab(folder, scratch):
    """A JupyterLab over ``folder`` as a newcomer gets it, who has no settings yet; gives its address and token."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    homes = {
        "JUPYTER_CONFIG_DIR": scratch / "config",
        "JUPYTER_DATA_DIR": scratch / "data",
        "JUPYTER_RUNTIME_DIR": scratch / "runtime",
        "JUPYTERLAB_SETTINGS_DIR": scratch / "settings",
        "JUPYTERLAB_WORKSPACES_DIR": scratch / "workspaces",
        "IPYTHONDIR": scratch / "ipython",
    }
    surroundings = {name: str(path) for name, path in homes.items()}
    token = secrets.token_hex(16)
    command = [
        sys.executable,
        "-m",
        "jupyterlab",
        "--no-browser",
        "--allow-root",
        "--LabApp.expose_app_in_browser=True",
    ]
    command += ["--ServerApp.ip=127.0.0.1", f"--ServerApp.port={port}", "--ServerApp.port_retries=0"]
    command += [f"--IdentityProvider.token={token}", f"--ServerApp.root_dir={folder}"]
    scratch.mkdir(exist_ok=True)
    log = scratch / "jupyterlab.log"
    with log.open("w") as out:
        server = subprocess.Popen(command, stdout=out, stderr=subprocess.STDOUT, env=os.environ | surroundings)
        try:
            _wait_for(f"http://127.0.0.1:{port}/api/status?token={token}", server, log)
            yield f"http://127.0.0.1:{port}", token
        finally:
            server.terminate()
            try:
                server.wait(20)
            except subprocess.TimeoutExpired:
                server.kill()
                server.wait()


def _wait_for(url, server, log):
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        try:
            with urllib.request.urlopen(url, timeout=5):
                return
        except OSError:
            if server.poll() is not None:
                break
            time.sleep(0.1)
    raise RuntimeError(f"JupyterLab did not start:\n{log.read_text()[-2000:]}")


@contextmanager
def headless(executable):
    """A headless Chromium. Playwright lets a process have one at a time."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable, args=list(FLAGS))
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def chromium_page(executable, scale=1):
    """A page of a headless Chromium of its own; ``scale`` is the display's pixels per CSS pixel."""
    with headless(executable) as browser:
        yield browser.new_page(viewport=WINDOW, device_scale_factor=scale)


class Traffic:
    """What page and kernel said to each other last, for the report when a picture does not come.

    Every message is copied to here for it, which costs a lab's speed.
    """

    def __init__(self, page):
        self._last = deque(maxlen=30)
        page.on("websocket", self._listen)
        page.on("console", lambda said: self._last.append(f"console {said.type}: {said.text[:200]}"))

    def _listen(self, socket):
        if "/channels" in socket.url:
            socket.on("framesent", lambda frame: self._note("page:  ", frame))
            socket.on("framereceived", lambda frame: self._note("kernel:", frame))
            socket.on("close", lambda _: self._last.append("the websocket closed"))

    def _note(self, who, frame):
        self._last.append((time.monotonic(), who, frame))  # read only if somebody asks

    def __str__(self):
        return "\n".join(each if isinstance(each, str) else self._line(*each) for each in self._last)

    def _line(self, when, who, frame):
        text = frame if isinstance(frame, str) else frame.decode("latin1")
        words = re.findall(r'"(?:msg_type|execution_state|method|msg_id)": ?"([^"]+)"', text)
        return f"{when:.3f} {who} {' '.join(word[-20:] for word in words)} ({len(text)} bytes)"


class NotebookPage:
    """One notebook in JupyterLab, every cell run, in place of the one before; fails at once if a cell does."""

    def __init__(self, page, address, token, name, traffic=None):
        self.page, self.traffic = page, traffic
        if page.url == "about:blank":
            page.goto(f"{address}/lab?reset&token={token}", timeout=PATIENCE_S * 1000)
            page.wait_for_function("window.jupyterapp?.restored.then(() => true)", timeout=PATIENCE_S * 1000)
        self.name = name
        self.open()
        self.run()

    def open(self):
        """Open the notebook as it is on the disk, in place of the one that is open, and run nothing."""
        self.page.evaluate(OPEN, self.name)

    def in_kernel(self, code):
        """What code run in the notebook's kernel prints."""
        return self.page.evaluate(ASKED, code)

    def run(self):
        """Run every cell and wait for all that they show."""
        self.page.evaluate("jupyterapp.commands.execute('notebook:run-all-cells')")
        if self.errors():
            pytest.fail(f"a cell failed: {'; '.join(self.errors())}")
        self.wait_until_idle()

    def wait_until_idle(self):
        """Until the kernel has done all that it was asked, and what the page shows of labs and exercises stands still.

        The kernel answers in the order in which it was asked, but for controls that have a thread of their own in it.
        """
        self.page.evaluate(SETTLED)

    def outputs(self):
        """Every output of every cell, as the notebook would save it (also of cells that are scrolled away)."""
        return self.page.evaluate(
            "[...jupyterapp.shell.currentWidget.content.model.cells].flatMap(c => c.toJSON().outputs ?? [])"
        )

    def errors(self):
        """Every error in an output, as 'name: value'."""
        return [f"{o['ename']}: {o['evalue']}" for o in self.outputs() if o["output_type"] == "error"]

    def labs(self):
        """The labs of this notebook, in order."""
        places = self.page.locator(".trimkit-lab")
        places.first.wait_for(timeout=PATIENCE_S * 1000)
        return [LabOnPage(self.page, places.nth(index), self.traffic) for index in range(places.count())]

    def screenshot(self, path):
        """A picture of the window as a person sees it."""
        self.page.screenshot(path=path)


class LabOnPage:
    """One lab on the page: its controls by label, what it shows, and a wait for what it will show."""

    def __init__(self, page, root, traffic):
        self.page, self.root, self.traffic = page, root, traffic
        root.scroll_into_view_if_needed()
        self.live = root.locator("svg[role=img]")
        self.live.wait_for()

    def slider(self, label):
        return self.root.locator(".trimkit-slider", has=self.page.locator("label", has_text=label))

    def handle(self, label):
        """The slider that takes the keys."""
        return self.slider(label).locator("input[type=range]")

    def handles(self):
        return self.root.locator("input[type=range]").all()

    def typed(self, label, text):
        """Type into a slider's number and leave it with Enter."""
        box = self.slider(label).locator("input[type=number]")
        box.fill(text)
        box.press("Enter")

    def number(self, label):
        """The number that a slider shows."""
        return self.slider(label).locator("input[type=number]").input_value()

    def thumb(self, handle):
        """Where a slider's thumb is, and how far it can go: x, y and the length of its way, in CSS pixels."""
        box = handle.bounding_box()
        place = handle.evaluate("e => (e.valueAsNumber - e.min) / (e.max - e.min)")
        return box["x"] + 8 + place * (box["width"] - 16), box["y"] + box["height"] / 2, box["width"] - 16

    def drag(self, handle, fraction, moves=20):
        """Drag a handle by a fraction of its track."""
        x, y, way = self.thumb(handle)
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        self.page.mouse.move(x + fraction * way, y, steps=moves)
        self.page.mouse.up()

    def held(self, handle, fraction, then):
        """Hold a slider's thumb, move it by a fraction of its track, do something, move on, and let go."""
        x, y, way = self.thumb(handle)
        mouse = self.page.mouse
        mouse.move(x, y)
        mouse.down()
        mouse.move(x + fraction * way, y, steps=12)
        then()
        mouse.move(x + 1.5 * fraction * way, y, steps=6)
        mouse.up()

    def to_top(self):
        """Scroll until the lab's upper edge is at the window's."""
        self.root.evaluate("root => root.scrollIntoView({block: 'start'})")

    def click(self, button):
        self.root.get_by_role("button", name=button).click()

    def sentence(self):
        return self.root.locator(".trimkit-sentence").inner_text()

    def says(self, sentence):
        """Wait for a sentence."""
        expect(self.root.locator(".trimkit-sentence")).to_have_text(sentence, timeout=PATIENCE_S * 1000)

    def readouts(self):
        return self.root.locator(".trimkit-readouts div").all_inner_texts()

    def picture(self):
        """What the live layer shows, as SVG text."""
        return self.live.inner_html()

    def pixels(self):
        """What the eye sees of the picture, as PNG bytes."""
        return self.live.screenshot()

    @contextmanager
    def changes(self):
        """The live picture must change by what is done in this block; waits for it."""
        before = self.picture()
        yield
        try:
            self.page.wait_for_function(
                "([root, before]) => root.querySelector('svg[role=img]').innerHTML !== before",
                arg=[self.root.element_handle(), before],
                timeout=PATIENCE_S * 1000,
                polling=20,  # ms; the default looks once a frame, and a headless page need not draw any
            )
        except NothingCame:
            focus = self.page.evaluate("document.activeElement.outerHTML.slice(0, 200)")
            pytest.fail(f"No other picture came. The focus is on {focus}. The last messages:\n{self.traffic}")


def axe(page, within="html"):
    """What axe-core has against a page, or the part of it that a selector names."""
    import axe_playwright_python

    page.evaluate(Path(axe_playwright_python.__file__).with_name("axe.min.js").read_text(encoding="utf-8"))
    found = page.evaluate("within => axe.run(within, {resultTypes: ['violations']})", within)
    assert len(found["passes"]) > 10
    return [(each["id"], each["nodes"][0]["html"]) for each in found["violations"]]


@pytest.fixture(scope="session")
def chromium():
    """Where Chromium is; without it, skip, or fail where the browser tests are required."""
    found = find_chromium()
    if found is None:
        reason = f"no Chromium: install one of {', '.join(BROWSERS)}, or point TRIMKIT_CHROMIUM to it"
        if os.environ.get("CI") or os.environ.get("TRIMKIT_REQUIRE_BROWSER"):
            pytest.fail(reason)
        pytest.skip(reason)
    return found


@pytest.fixture(scope="session")
def serve():
    """A context manager: a JupyterLab over a folder, with a scratch folder of its own; gives address and token."""
    return jupyterlab


@pytest.fixture(scope="session")
def browser(chromium):
    """The one Chromium of all tests of a worker."""
    with headless(chromium) as browser:
        yield browser


@pytest.fixture(scope="session")
def jupyter(browser, tmp_path_factory):
    """One JupyterLab and one page of the browser: the folder it serves, the page, address and token, the traffic."""
    folder, scratch = tmp_path_factory.mktemp("notebooks"), tmp_path_factory.mktemp("jupyter")
    with jupyterlab(folder, scratch) as (address, token):
        page = browser.new_page(viewport=WINDOW)
        yield folder, page, address, token, Traffic(page)
        page.close()


@pytest.fixture(scope="session")
def open_notebook(jupyter):
    """A function that opens a copy of a notebook (and of files beside it) and runs it."""
    return partial(opened, *jupyter)


def opened(folder, page, address, token, traffic, path, *beside):
    """Copy a notebook, and files beside it, to where JupyterLab serves them; open it and run it."""
    page.set_viewport_size(WINDOW)
    for file in (path, *beside):
        shutil.copy(file, folder)
    return NotebookPage(page, address, token, Path(path).name, traffic)


@pytest.fixture(scope="session")
def only():
    """A function that copies a lesson as far as the first cell with some words in its code, without other code.

    nbval runs the rest of every lesson; a cell that shows a lab or exercises imports what it needs.
    """

    def copied(lesson, words, folder):
        book = nbformat.read(lesson, as_version=4)
        last = next(at for at, cell in enumerate(book.cells) if cell.cell_type == "code" and words in cell.source)
        book.cells = [cell for cell in book.cells[:last] if cell.cell_type != "code"] + book.cells[last : last + 2]
        path = folder / Path(lesson).name
        nbformat.write(book, path)
        return path

    return copied


NOT_INSIDE = """form => {
  const edge = form.getBoundingClientRect();
  return [...form.querySelectorAll('input, select, button, th, td, p, img')]
    .filter(e => e.offsetParent && !e.classList.contains('unseen'))
    .filter(e => e.getBoundingClientRect().right > edge.right + 1 || e.getBoundingClientRect().left < edge.left - 1)
    .map(e => e.getAttribute('aria-label') ?? e.textContent);
}"""
CUT_OFF = """form => [...form.querySelectorAll('input[type=text], th, .told, button, .name')]
  .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display !== 'inline')
  .map(e => e.getAttribute('aria-label') ?? e.textContent)"""


@pytest.fixture(scope="session")
def cut_off():
    """What of a form in a page sticks out of it, or holds more than it shows."""

    def found(form):
        return form.evaluate(NOT_INSIDE) + form.evaluate(CUT_OFF)

    return found
