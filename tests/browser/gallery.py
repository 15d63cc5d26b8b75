"""Make the pictures of the README: ``python tests/browser/gallery.py`` runs every lesson in a real JupyterLab.

With numbers such as ``09 10`` only those lessons; with ``page`` only ``figures/page_02.png``, a lesson's
page opened from its file.

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
PAGE_HEIGHT_PX = 1010


def main():
    sys.path.insert(0, str(Path(__file__).parent))
    from conftest import WINDOW, NotebookPage, chromium_page, find_chromium, jupyterlab

    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch, "notebooks")
        shutil.copytree(ROOT / "notebooks", folder, ignore=shutil.ignore_patterns("sheets", ".*"))
        with jupyterlab(folder, Path(scratch)) as (address, token), chromium_page(find_chromium()) as page:
            page.set_viewport_size(WINDOW | {"height": HEIGHT_PX})
            chosen = sys.argv[1:] or exercises.LESSONS
            for lesson in sorted(path for path in folder.glob("*.ipynb") if path.name[:2] in chosen):
                (lab, *_rest) = NotebookPage(page, address, token, lesson.name).labs()
                # A newcomer is asked once about news, over the corner of the window: not a part of the lab.
                page.add_style_tag(content=".Toastify { display: none }")
                handle = lab.handles()[0]
                handle.focus()
                for _ in range(MOVES):
                    if handle.evaluate("e => e.value === e.max"):
                        break
                    with lab.changes():
                        handle.press("ArrowRight")
                page.mouse.move(2, 2)
                lab.root.screenshot(path=ROOT / "figures" / f"{lesson.stem}.png")
                print(f"figures/{lesson.stem}.png")


def picture_of_a_page():
    """Write ``figures/page_02.png``: the page of lesson 02 from its file, a slider moved."""
    sys.path.insert(0, str(Path(__file__).parent))
    from conftest import WINDOW, chromium_page, find_chromium

    from trimkit.study.page.export import write_page

    with tempfile.TemporaryDirectory() as scratch, chromium_page(find_chromium()) as page:
        page.set_viewport_size(WINDOW | {"height": PAGE_HEIGHT_PX})
        page.goto(write_page("02", Path(scratch, "02.html")).as_uri())
        lab = page.locator(".trimkit-lab")
        for _ in range(MOVES):
            lab.locator("input[type=range]").first.press("ArrowRight")
        page.locator("h2", has_text="Predict").evaluate("e => { e.scrollIntoView(); scrollBy(0, -12); }")
        page.screenshot(path=ROOT / "figures" / "page_02.png")
        print("figures/page_02.png")


if __name__ == "__main__":
    if "page" not in sys.argv:
        main()
    if sys.argv[1:] in ([], ["page"]):
        picture_of_a_page()
