"""A student's sheet on paper: two pages each on A4 and Letter, nothing clipped, room to write."""

import re
import shutil
import subprocess

import pytest

from trimkit.study.course.handouts import key_html, sheets_html

PAPERS_MM = {"A4": (210, 297), "Letter": (215.9, 279.4)}
SIDES_MM = 2 * 13
SEEDS = range(1, 25)
"""Two classes: the longer a question, the longer its sheet."""


@pytest.fixture(scope="module")
def page(browser, tmp_path_factory):
    folder = tmp_path_factory.mktemp("class")
    (folder / "sheets.html").write_text(sheets_html(SEEDS), encoding="utf-8")
    (folder / "key.html").write_text(key_html(range(1, 13)), encoding="utf-8")
    page = browser.new_page()
    page.folder = folder
    yield page
    page.close()


def texts(pdf):
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext: install poppler-utils")
    done = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True)
    return done.stdout.split("\f")[:-1]


def squeezed(text):
    return "".join(text.split())


@pytest.mark.parametrize("paper", [pytest.param("A4", marks=pytest.mark.nightly), "Letter"])
def test_each_student_gets_two_pages_with_their_seed_on_both(page, paper):
    page.goto((page.folder / "sheets.html").as_uri())
    page.pdf(path=page.folder / "sheets.pdf", format=paper)
    pages = texts(page.folder / "sheets.pdf")
    assert [int(re.search(r"Seed (\d+)\s*$", each)[1]) for each in pages] == [seed for seed in SEEDS for _ in "12"]
    for first, second in zip(pages[::2], pages[1::2], strict=True):
        assert first.strip().startswith("Building a club: my sheet")
        evenings = [re.findall(r"^\s*Evening (\d):", each, re.M) for each in (first, second)]
        assert evenings == [["1", "2", "3"], ["4", "5", "6", "7"]]


@pytest.mark.parametrize("paper", [pytest.param("A4", marks=pytest.mark.nightly), "Letter"])
def test_every_word_is_printed_and_nothing_reaches_out_of_its_place(page, paper):
    page.goto((page.folder / "sheets.html").as_uri())
    page.pdf(path=page.folder / "sheets.pdf", format=paper)
    printed = squeezed("".join(texts(page.folder / "sheets.pdf")))
    words = page.evaluate("document.body.innerText").split()
    assert [word for word in words if squeezed(word) not in printed] == []
    page.set_viewport_size({"width": int((PAPERS_MM[paper][0] - SIDES_MM) / 25.4 * 96), "height": 900})
    page.emulate_media(media="print")
    over = page.evaluate(
        """() => {
          const out = [], width = innerWidth;
          for (const e of document.body.querySelectorAll('*'))
            if (e.getBoundingClientRect().right > width + 0.5) out.push(e.outerHTML.slice(0, 80));
          for (const box of document.querySelectorAll('.box')) {
            const own = box.getBoundingClientRect();
            for (const span of box.children) {
              const r = span.getBoundingClientRect();
              if (r.right > own.right || r.bottom > own.bottom + 0.5) out.push(box.innerText);
            }
            const [what, unit] = [...box.children].map(e => e.getBoundingClientRect());
            if (what.bottom > unit.top + 0.5) out.push('over its unit: ' + box.innerText);
          }
          return out;
        }"""
    )
    assert over == []


@pytest.mark.parametrize("paper", [pytest.param("A4", marks=pytest.mark.nightly), "Letter"])
def test_there_is_room_to_write(page, paper):
    """Boxes and lines are 6 mm high or more, chosen here: a pencil's sixteenths fit."""
    page.goto((page.folder / "sheets.html").as_uri())
    page.set_viewport_size({"width": int((PAPERS_MM[paper][0] - SIDES_MM) / 25.4 * 96), "height": 900})
    page.emulate_media(media="print")
    heights = page.evaluate(
        "[...document.querySelectorAll('.box, .recall li')].map(e => e.getBoundingClientRect().height / 96 * 25.4)"
    )
    assert min(heights) >= 6


@pytest.mark.parametrize("paper", [pytest.param("A4", marks=pytest.mark.nightly), "Letter"])
def test_the_key_of_twelve_is_whole_on_its_landscape_pages(page, paper):
    page.goto((page.folder / "key.html").as_uri())
    page.pdf(path=page.folder / "key.pdf", format=paper, landscape=True)
    printed = texts(page.folder / "key.pdf")
    assert len(printed) <= 4
    words = page.evaluate("document.body.innerText").split()
    assert [word for word in words if squeezed(word) not in squeezed("".join(printed))] == []
