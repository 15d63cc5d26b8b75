"""The verb that opens the lessons in JupyterLab."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import trimkit

START = "00_start_here.ipynb"
NOTICES = "@jupyterlab/apputils-extension/notification.jupyterlab-settings"
SETTINGS = {NOTICES: '{"fetchNews": "false", "checkForUpdates": false}'}
"""What the lessons' JupyterLab is set to, by file: no question about news over the first lab."""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb ``lessons``."""
    lessons = verbs.add_parser(
        "lessons", help="open the lessons in JupyterLab", epilog="For example: trimkit lessons --port 8890"
    )
    lessons.add_argument("--no-browser", action="store_true", help="start the server only")
    lessons.add_argument(
        "--port", type=int, metavar="PORT", default=8888, help="port to listen on, on this machine only (default: 8888)"
    )
    lessons.add_argument("jupyter", nargs="*", metavar="OPTION", help="more options for JupyterLab, after --")
    lessons.set_defaults(run=_lessons)


def notebooks_folder() -> Path:
    """Return the folder of the lessons: ``notebooks/`` of a checkout or, for an installed package, a copy.

    The copy is made once, in ``trimkit-lessons/`` of the working folder, and never overwritten: it is the reader's.
    """
    from trimkit.study.page.lesson import shipped_folder

    shipped = shipped_folder()
    if shipped.parent != Path(trimkit.__file__).resolve().parent:  # a checkout's own
        return shipped
    copy = Path.cwd() / "trimkit-lessons"
    if not copy.exists():
        import shutil

        shutil.copytree(shipped, copy)
    return copy


def own_settings() -> dict[str, str]:
    """Return where the lessons' JupyterLab keeps settings and layout, as environment variables: a folder of its own.

    The reader's own JupyterLab is left as it is. What the reader changes in the lessons stays: a file is made once.
    """
    from jupyter_core.paths import jupyter_data_dir

    own = Path(jupyter_data_dir()) / "trimkit-lessons"
    for name, text in SETTINGS.items():
        path = own / "settings" / name
        if not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
    return {"JUPYTERLAB_SETTINGS_DIR": str(own / "settings"), "JUPYTERLAB_WORKSPACES_DIR": str(own / "workspaces")}


def _lessons(chosen: argparse.Namespace) -> str:
    import os
    import signal
    import subprocess

    folder = notebooks_folder()
    # /doc shows one notebook at a time, without the list of files; the View menu brings the rest back.
    command = [sys.executable, "-m", "jupyterlab", f"--LabApp.default_url=/doc/tree/{START}"]
    command += [f"--ServerApp.root_dir={folder}", f"--ServerApp.port={chosen.port}", "--ServerApp.ip=127.0.0.1"]
    command += [*(["--no-browser"] if chosen.no_browser else []), *chosen.jupyter]
    print(f"Opening the lessons in {folder}. To stop, press Ctrl-C twice.", flush=True)
    server = subprocess.Popen(command, env=os.environ | own_settings())
    # Ctrl-C reaches JupyterLab too, which asks first and saves its work; stopping this process stops both.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, lambda *_: server.terminate())
    sys.exit(server.wait())
