"""``trimkit lessons`` opens JupyterLab on the first lesson, in a real browser."""

import os
import socket
import subprocess
import sys
import time

import pytest

from trimkit.cli.lessons import START


@pytest.mark.nightly
def test_it_opens_the_browser_on_the_first_lesson(browser, tmp_path):
    """The person's browser is a script here that writes down what it is to open; Chromium then opens that."""
    opened = tmp_path / "opened"
    script = tmp_path / "browser"
    script.write_text(f'#!/bin/sh\nprintf %s "$1" > {opened}.part && mv {opened}.part {opened}\n', encoding="utf-8")
    script.chmod(0o755)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    homes = {name: str(tmp_path / name) for name in ("JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR")}
    homes["BROWSER"] = f"{script} %s"
    command = [sys.executable, "-m", "trimkit", "lessons", "--port", str(port), "--", "--allow-root"]
    with (tmp_path / "log").open("w") as log:
        server = subprocess.Popen(command, cwd=tmp_path, env=os.environ | homes, stdout=log, stderr=subprocess.STDOUT)
        try:
            end = time.monotonic() + 90
            while not opened.exists() and server.poll() is None and time.monotonic() < end:
                time.sleep(0.1)
            assert opened.exists(), (tmp_path / "log").read_text()[-2000:]
            page = browser.new_page()
            page.goto(opened.read_text(encoding="utf-8"), timeout=90_000)
            page.wait_for_url(f"**/doc/tree/{START}*", timeout=90_000)
            page.locator(".jp-NotebookPanel:has-text('Start here')").first.wait_for(timeout=90_000)
            page.locator(".jp-Notebook-ExecutionIndicator[data-status=idle]").first.wait_for(timeout=90_000)
            page.wait_for_timeout(3000)  # the question about news comes late, if it comes
            assert page.locator(".Toastify__toast").count() == 0
            assert not page.locator(".jp-FileBrowser").first.is_visible()
            page.close()
        finally:
            server.terminate()
            server.wait(20)
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", port)) != 0  # JupyterLab ended with the verb that started it
