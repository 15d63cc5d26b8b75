"""A lesson's page from a file, and a lab in JupyterLab, in Firefox: by WebDriver BiDi (a W3C draft that it speaks).

Firefox is ``TRIMKIT_FIREFOX`` or the first of ``firefox-esr``, ``firefox`` on the path. Where there is none the test is
skipped, but it fails when ``CI`` or ``TRIMKIT_REQUIRE_BROWSER`` is set.
"""

import json
import os
import shutil
import socket
import subprocess
import time

import nbformat
import pytest
import websocket

from trimkit.study import schedule_lab
from trimkit.study.page.export import write_page

BROWSERS = ("firefox-esr", "firefox")
PATIENCE_S = 90
ARROW_RIGHT = "\ue014"
AWAKE = "Boolean(document.querySelector('.awake .trimkit-readouts b'))"
SENTENCE = "document.querySelector('.trimkit-sentence')?.textContent"
RUN = """(async () => {
  await jupyterapp.restored;
  const opened = await jupyterapp.commands.execute('docmanager:open', {path: 'lab.ipynb', factory: 'Notebook'});
  await opened.context.ready;
  await opened.sessionContext.ready;
  await opened.sessionContext.session.kernel.info;
  await jupyterapp.commands.execute('notebook:run-all-cells');
})()"""


class Firefox:
    """One window of a headless Firefox with a profile of its own, and what it asked the network for."""

    def __init__(self, executable, profile):
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        command = [executable, "--headless", "--no-remote", "--profile", str(profile)]
        command += ["--remote-debugging-port", str(port), "about:blank"]
        self._browser = subprocess.Popen(
            command, env=os.environ | {"HOME": str(profile)}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        self._count, self.events, self._line = 0, [], None
        try:
            self._line = self._connected(port)
            self.tell("session.new", capabilities={})
            self._window = self.tell("browsingContext.getTree")["contexts"][0]["context"]
            self.tell("session.subscribe", events=["network.beforeRequestSent", "log.entryAdded"])
        except BaseException:
            self.close()
            raise

    def _connected(self, port):
        end = time.monotonic() + PATIENCE_S
        while True:
            try:
                return websocket.create_connection(
                    f"ws://127.0.0.1:{port}/session", timeout=PATIENCE_S, suppress_origin=True
                )
            except OSError:
                if time.monotonic() > end or self._browser.poll() is not None:
                    raise
                time.sleep(0.2)

    def tell(self, method, **params):
        """Send a command and return its result; events that come meanwhile are kept."""
        self._count += 1
        self._line.send(json.dumps({"id": self._count, "method": method, "params": params}))
        while (said := json.loads(self._line.recv())).get("id") != self._count:
            self.events.append(said)
        assert said["type"] == "success", said
        return said["result"]

    def open(self, url):
        self.tell("browsingContext.navigate", context=self._window, url=url, wait="complete")

    def reload(self):
        self.tell("browsingContext.reload", context=self._window, wait="complete")

    def size(self, width, height):
        self.tell("browsingContext.setViewport", context=self._window, viewport={"width": width, "height": height})

    def value(self, expression):
        """What an expression gives in the page."""
        asked = {"target": {"context": self._window}, "awaitPromise": True}
        said = self.tell("script.evaluate", expression=expression, **asked)
        assert said["type"] == "success", said
        return said["result"].get("value")

    def becomes(self, expression, wanted):
        """Wait until an expression gives a value."""
        end = time.monotonic() + PATIENCE_S
        while (now := self.value(expression)) != wanted:
            assert time.monotonic() < end, f"{expression}: {now!r}, not {wanted!r}"
            time.sleep(0.05)

    def press(self, *keys):
        strokes = [{"type": kind, "value": key} for key in keys for kind in ("keyDown", "keyUp")]
        actions = [{"type": "key", "id": "keys", "actions": strokes}]
        self.tell("input.performActions", context=self._window, actions=actions)

    def close(self):
        if self._line is not None:
            self._line.close()
        self._browser.terminate()
        self._browser.wait(PATIENCE_S)


@pytest.fixture(scope="module")
def firefox(tmp_path_factory):
    found = os.environ.get("TRIMKIT_FIREFOX") or next((path for name in BROWSERS if (path := shutil.which(name))), None)
    if found is None:
        reason = f"no Firefox: install one of {', '.join(BROWSERS)}, or point TRIMKIT_FIREFOX to it"
        if os.environ.get("CI") or os.environ.get("TRIMKIT_REQUIRE_BROWSER"):
            pytest.fail(reason)
        pytest.skip(reason)
    browser = Firefox(found, tmp_path_factory.mktemp("firefox"))
    yield browser
    browser.close()


def test_the_lab_moves_what_is_typed_stays_and_nobody_is_asked(firefox, tmp_path):
    path, lab = write_page("01", tmp_path / "lesson 01.html"), schedule_lab()
    for width, height in ((1366, 768), (500, 844)):  # a window of Firefox is no narrower
        firefox.size(width, height)
        firefox.open(path.as_uri())
        firefox.becomes(AWAKE, True)
        assert firefox.value("document.documentElement.scrollWidth - document.documentElement.clientWidth") == 0
    firefox.value("document.querySelector('.awake input[type=range]').focus()")
    before = firefox.value("document.querySelector('.trimkit-live').innerHTML")
    firefox.press(ARROW_RIGHT, ARROW_RIGHT)
    flex = lab.declared[0]
    there = flex.positions[flex.positions.index(flex.default) + 2]
    firefox.becomes(SENTENCE, lab.frame_of({"flexes_above": there}).sentence)
    assert firefox.value("document.querySelector('.trimkit-live').innerHTML") != before
    firefox.value("document.querySelector('textarea').focus()")
    firefox.press(*"half")
    firefox.reload()
    assert firefox.value("document.querySelector('textarea').value") == "half"
    asked = [each["params"]["request"]["url"] for each in firefox.events if each["method"].startswith("network")]
    assert [url for url in asked if not url.startswith(("data:", "file:"))] == []
    assert [each["params"]["text"] for each in firefox.events if each["method"] == "log.entryAdded"] == []


@pytest.mark.nightly
def test_a_lab_in_jupyterlab_follows_keys_and_reset(firefox, serve, tmp_path):
    folder, lab = tmp_path / "notebooks", schedule_lab()
    folder.mkdir()
    cells = [nbformat.v4.new_code_cell("from trimkit import study\nstudy.schedule_lab()")]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=kernel), folder / "lab.ipynb")
    with serve(folder, tmp_path / "jupyter") as (address, token):
        firefox.size(1366, 768)
        firefox.open(f"{address}/lab?reset&token={token}")
        firefox.becomes("typeof jupyterapp", "object")
        firefox.value(RUN)
        firefox.becomes(SENTENCE, lab.frame.sentence)
        flex = lab.declared[0]
        at = flex.positions.index(flex.default)
        firefox.value("document.querySelector('.trimkit-lab input[type=range]').focus()")
        for step in (1, 2, 3):
            firefox.press(ARROW_RIGHT)
            firefox.becomes(SENTENCE, lab.frame_of({flex.name: flex.positions[at + step]}).sentence)
        cut_off = "(e => e.getBoundingClientRect().right - innerWidth)(document.querySelector('.trimkit-lab'))"
        assert firefox.value(cut_off) <= 0
        firefox.value("document.querySelector('.trimkit-lab button').click()")
        firefox.becomes(SENTENCE, lab.frame.sentence)
