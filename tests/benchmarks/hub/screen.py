"""A student with a screen: a real Chromium, driven as :mod:`student` is, by the same commands.

Without FILES it opens the lesson and closes; with ``--files`` it then prints what the page fetched from its own server.
"""

import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[2] / "browser"))
from conftest import chromium_page, find_chromium
from lab_latency import PROBE
from playwright.sync_api import TimeoutError as NothingCame
from student import LESSON, PATIENCE_S, follow

LONGEST_MS, HASTE_MS = 10000, 5000
NEXT = f"Promise.race([probe.next(), new Promise(done => setTimeout(done, {LONGEST_MS}))])"


class Screen:
    """One account of the hub in a Chromium of its own."""

    def __init__(self, page, address, name, password):
        self.page, self.address, self.name, self.password = page, address, name, password
        page.set_default_timeout(PATIENCE_S * 1000)
        self.fetched = []
        page.on("requestfinished", self._note)

    def _note(self, request):
        own = f"{self.address}/user/{self.name}/"
        path = request.url.removeprefix(own)
        if request.method == "GET" and path != request.url and ("static/" in path or "lab/extensions/" in path):
            self.fetched.append(path)

    def open_lesson(self):
        page, start = self.page, time.monotonic()
        page.goto(f"{self.address}/hub/user-redirect/doc/tree/{LESSON}")  # the link that the class is given
        page.fill("input[name=username]", self.name)
        page.fill("input[name=password]", self.password)
        page.click("#login_submit")
        page.wait_for_url(lambda url: f"{self.address}/user/{self.name}/doc" in url)
        up = time.monotonic() - start
        page.locator(".jp-Notebook-ExecutionIndicator[data-status=idle]").wait_for()
        end = start + PATIENCE_S
        while True:  # a click on a page that is still loading is lost, or brings up a question: do as a person does
            try:
                if page.locator(".jp-Dialog").count():
                    page.locator(".jp-Dialog .jp-mod-accept").first.click(timeout=HASTE_MS)
                page.get_by_role("menuitem", name="Run", exact=True).click(timeout=HASTE_MS)
                page.get_by_text("Run All Cells", exact=True).click(timeout=HASTE_MS)
                page.locator("[data-status=busy], .trimkit-lab").first.wait_for(timeout=HASTE_MS)
                break
            except NothingCame:
                if time.monotonic() > end:
                    raise
                page.keyboard.press("Escape")  # a menu that is still open would close at the next click
        lab = page.locator(".trimkit-lab")
        lab.locator("svg[role=img]").wait_for()
        picture = time.monotonic() - start
        lab.scroll_into_view_if_needed()
        page.evaluate(PROBE, lab.element_handle())
        return {"up_s": up, "picture_s": picture}

    def use(self, seconds, seed):
        """Bursts of keys and pauses; returns the milliseconds from each key to its pixels."""
        page, hand, waited, end = self.page, random.Random(seed), [], time.monotonic() + seconds
        sliders = page.locator(".trimkit-lab input[type=range]").all()
        time.sleep(hand.uniform(0, 3))
        while time.monotonic() < end:
            slider = hand.choice(sliders)
            slider.focus()
            value, last = slider.evaluate("e => [e.valueAsNumber, +e.max]")
            key, free = hand.choice((("ArrowLeft", value), ("ArrowRight", last - value)))
            for _ in range(int(min(free, hand.randint(3, 12)))):
                page.evaluate("probe.drawn.length = 0")
                page.keyboard.press(key)
                page.evaluate(NEXT)
                waited.append(page.evaluate(f"(probe.drawn[0] ?? probe.down + {LONGEST_MS}) - probe.down"))
                page.wait_for_timeout(hand.uniform(100, 250))
            page.wait_for_timeout(hand.uniform(2000, 8000))
        return waited


if __name__ == "__main__":
    with chromium_page(find_chromium()) as page:
        screen = Screen(page, *sys.argv[1:4])
        if sys.argv[4:] == ["--files"]:
            screen.open_lesson()
            page.wait_for_timeout(3000)
            print("\n".join(dict.fromkeys(screen.fetched)))
        else:
            follow(screen)
