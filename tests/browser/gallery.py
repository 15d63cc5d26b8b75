"""Make the pictures of the README: ``python tests/browser/gallery.py`` runs every lesson in a real JupyterLab.

Writes ``figures/<lesson>.png``, the first lab of each lesson as a person sees it in a window 1366 wide, its first
slider moved by a few steps. The window is high enough that nothing of JupyterLab's own frame is in the picture.
"""

import shutil
import sys
import tempfile
from pathlib import Path

from trimkit.study import exercises

ROOT = Path(__file__).resolve().parents[2]
MOVES = 8
HEIGHT_PX = 900


def main():
    sys.path.insert(0, str(Path(__file__).parent))
    from conftest import WINDOW, NotebookPage, chromium_page, find_chromium, jupyterlab

    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch, "notebooks")
        shutil.copytree(ROOT / "notebooks", folder, ignore=shutil.ignore_patterns("sheets", ".*"))
        with jupyterlab(folder, Path(scratch)) as (address, token), chromium_page(find_chromium()) as page:
            page.set_viewport_size(WINDOW | {"height": HEIGHT_PX})
            for lesson in sorted(path for path in folder.glob("*.ipynb") if path.name[:2] in exercises.LESSONS):
                (lab, *_rest) = NotebookPage(page, address, token, lesson.name).labs()
                handle = lab.handles()[0]
                handle.focus()
                for _ in range(MOVES):
                    if handle.get_attribute("aria-valuenow") == handle.get_attribute("aria-valuemax"):
                        break
                    with lab.changes():
                        handle.press("ArrowRight")
                page.mouse.move(2, 2)
                lab.root.screenshot(path=ROOT / "figures" / f"{lesson.stem}.png")
                print(f"figures/{lesson.stem}.png")


if __name__ == "__main__":
    main()
