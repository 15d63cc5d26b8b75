"""The sheet on paper: printed by a real Chromium on A4 and Letter, looked at in the PDF, on the page, and in grey.

Contrast: WCAG 2.1, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (lines and marks, 3 to 1), relative luminance as
defined there. Grey: luma 0.299 R + 0.587 G + 0.114 B (ITU-R BT.601), what a grey printer makes of a colour.
"""

import dataclasses
import os
import re
import shutil
import subprocess
from datetime import date

import pytest

from trimkit.check.doublecheck import double_check
from trimkit.club.order.order import shipped_order
from trimkit.club.set import SetBuild, build_set
from trimkit.papers import cautions, equipmentrules
from trimkit.papers.sheet import sheet_html
from trimkit.parts.units import millimetres, nearest_mark
from trimkit.study.figures.set import set_frequency_svg

PAPERS_MM = {"A4": (210, 297), "Letter": (215.9, 279.4)}
SIDES_MM = 2 * 14  # of the sheet's @page margin
PARTS = ("Why each shaft was cut where it was", "Bench card", "Appendix: where every number comes from")
FOOTERS = ("1. For the client", "2. Bench card", "3. Appendix")


def long_named():
    """The evening class's order, every name and title as long as an order may have it, with and without spaces."""
    order = shipped_order()
    one, many = ("Unbreakable" * 8)[:80], ("words without number about a head of the class " * 5)[:80]
    clubs = tuple(
        dataclasses.replace(club, head=dataclasses.replace(club.head, name=many if number % 2 else one))
        for number, club in enumerate(order.clubs)
    )
    grip = dataclasses.replace(order.grip, name=one)
    title, client = ("Title" * 40)[:200], ("a client of many names " * 10)[:200]
    return dataclasses.replace(order, title=title, client=client, clubs=clubs, grip=grip)


def stopped():
    """The evening class's order with one head misread by 30 g, which the double check stops."""
    order = shipped_order()
    head = dataclasses.replace(order.clubs[5].head, head_mass_g=order.clubs[5].head.head_mass_g + 30)
    clubs = (*order.clubs[:5], dataclasses.replace(order.clubs[5], head=head), *order.clubs[6:])
    return dataclasses.replace(order, clubs=clubs)


def twelve():
    """The evening class's order with two wedges more: as many clubs as one card takes."""
    order = shipped_order()
    gap = order.clubs[8]

    def wedge(name, mass_g):
        return dataclasses.replace(gap, head=dataclasses.replace(gap.head, name=name, club=name, head_mass_g=mass_g))

    clubs = (*order.clubs[:8], wedge("pitching wedge", 294.4), *order.clubs[8:], wedge("lob wedge", 309.2))
    return dataclasses.replace(order, clubs=clubs)


def mixed():
    """Woods on graphite, irons on a taper tip and a wedge on a parallel one, in one set."""
    woods, taper, irons = (build_set(shipped_order(name)) for name in ("wood_pair", "taper_soft_step", "evening_class"))
    return SetBuild(irons.order, (*woods.clubs, *taper.clubs[:-1], *irons.clubs[-2:]))


SETS = {
    "evening_class": lambda: build_set(shipped_order()),
    "taper_soft_step": lambda: build_set(shipped_order("taper_soft_step")),
    "wood_pair": lambda: build_set(shipped_order("wood_pair")),
    "twelve": lambda: build_set(twelve()),
    "mixed": mixed,
    "long names": lambda: build_set(long_named()),
    "stopped": lambda: build_set(stopped()),
}
MOST_PAGES = {"evening_class": 7, "taper_soft_step": 6, "wood_pair": 6, "twelve": 7}
"""Pages of the whole sheet; the others are as long as their words."""


@pytest.fixture(scope="module")
def page(browser):
    page = browser.new_page()
    yield page
    page.close()


@pytest.fixture(scope="module", params=SETS)
def sheet(request, page, tmp_path_factory):
    """One order's sheet, open in the browser: name, set, page, folder."""
    built = SETS[request.param]()
    folder = tmp_path_factory.mktemp("sheet")
    shop = "Shop " * 30 if request.param == "long names" else "Evening workshop"
    text = sheet_html(built, set_frequency_svg(built), shop=shop, made_on=date(2026, 9, 30))
    (folder / "sheet.html").write_text(text, encoding="utf-8")
    page.goto((folder / "sheet.html").as_uri())
    page.emulate_media(media="print")
    return request.param, built, page, folder


def printed(sheet, paper):
    """The PDF of a sheet, printed once."""
    _, _, page, folder = sheet
    pdf = folder / f"{paper}.pdf"
    if not pdf.exists():
        page.pdf(path=pdf, format=paper)
    return pdf


def texts(pdf):
    """The text of each page of a PDF, by poppler."""
    if shutil.which("pdftotext") is None and not os.environ.get("CI"):
        pytest.skip("no pdftotext: install poppler-utils")
    done = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True)
    return done.stdout.split("\f")[:-1]


def squeezed(text):
    return "".join(text.split())


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_each_part_starts_on_a_page_of_its_own_and_has_the_pages_it_should(sheet, paper):
    pages = texts(printed(sheet, paper))
    parts = [next(n for n, footer in enumerate(FOOTERS) if footer in page.rstrip().splitlines()[-1]) for page in pages]
    assert parts == sorted(parts)
    assert parts.count(0) == 1
    assert len(pages) <= MOST_PAGES.get(sheet[0], 12)
    for number, title in enumerate(PARTS):
        first = pages[parts.index(number)].strip().splitlines()[0]
        assert first.strip() == title
    assert f"page {len(pages)} of {len(pages)}" in pages[-1]


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_the_card_is_one_page_with_every_club_and_its_cautions_in_full_are_behind_it(sheet, paper):
    name, built, _, _ = sheet
    bench = [page for page in texts(printed(sheet, paper)) if FOOTERS[1] in page.rstrip().splitlines()[-1]]
    assert len(bench) == 2 or name == "long names"
    card, behind = squeezed(bench[0]), squeezed("".join(bench[1:]))
    for number, club in enumerate(built.clubs, start=1):
        assert f"no.{number},{club.plan.wanted.head.head_mass_g:.1f}g" in card
    assert squeezed("Should measure:") in card
    for text in cautions.cautions_for(*{club.plan.wanted.shaft.material for club in built.clubs}).values():
        assert squeezed(text) in behind


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_every_word_of_the_page_is_in_the_pdf(sheet, paper):
    """Nothing is clipped away or hidden: the PDF's letters hold every word that the page's text has."""
    _, built, page, _ = sheet
    pdf = printed(sheet, paper)
    done = subprocess.run(["pdftotext", "-raw", pdf, "-"], capture_output=True, text=True, check=True)
    letters = squeezed(re.sub(r"\d\. (For the client|Bench card|Appendix)\s+page \d+ of \d+", "", done.stdout))
    said = page.evaluate("document.body.innerText").replace("\u00ad", "")
    missing = [word for word in said.split() if len(word) < 25 and word not in letters]
    # A hyphen that ends a line, and a word that goes on after a soft hyphen, come apart in the PDF.
    assert not [word for word in missing if word.replace("-", "") not in letters.replace("-", "").replace("\u00ad", "")]
    layout = squeezed("".join(texts(pdf)))
    for club in built.clubs:
        for length in (club.plan.raw_length_in, club.plan.cut_length_in, club.plan.butt_trim_in):
            assert squeezed(nearest_mark(length).mark.removesuffix(" in")) in layout
            assert squeezed(millimetres(length)) in layout


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_no_element_and_no_text_reaches_over_the_printable_width_or_its_own_cell(sheet, paper):
    _, _, page, _ = sheet
    width = int((PAPERS_MM[paper][0] - SIDES_MM) / 25.4 * 96)
    page.set_viewport_size({"width": width, "height": 900})
    page.emulate_media(media="print")
    over = page.evaluate(
        """width => {
          const out = [];
          for (const e of document.body.querySelectorAll('*')) {
            const box = e.getBoundingClientRect();
            if (box.right > width + 0.5 || box.left < -0.5) out.push(e.tagName + ' ' + box.right);
          }
          const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
          while (walk.nextNode()) {
            const node = walk.currentNode;
            if (!node.data.trim() || node.parentElement.closest('svg')) continue;
            const holder = node.parentElement.closest('td, th, .frame, .stop, section').getBoundingClientRect();
            const range = document.createRange();
            range.selectNodeContents(node);
            for (const r of range.getClientRects())
              if (r.right > holder.right + 0.5 || r.left < holder.left - 0.5 || r.bottom > holder.bottom + 0.5)
                out.push(node.data.trim().slice(0, 40) + ' ' + r.right + ' over ' + holder.right);
          }
          for (const e of document.querySelectorAll('svg text')) {
            const r = e.getBoundingClientRect(), own = e.ownerSVGElement.getBoundingClientRect();
            if (r.right > own.right + 0.5 || r.left < own.left - 0.5) out.push(e.textContent);
          }
          return out;
        }""",
        width,
    )
    assert over == []


def test_no_two_words_of_the_drawing_overlap(sheet):
    _, _, page, _ = sheet
    boxes = page.evaluate(
        "[...document.querySelectorAll('.client svg text')].map(e => {const r = e.getBoundingClientRect();"
        " return [r.left, r.right, r.top, r.bottom]})"
    )
    assert len(boxes) == 3
    for number, one in enumerate(boxes):
        for other in boxes[number + 1 :]:
            assert one[1] <= other[0] or other[1] <= one[0] or one[3] <= other[2] or other[3] <= one[2]


def grey_luminance(colour):
    """WCAG relative luminance of what a grey printer makes of ``rgb(r, g, b)``."""
    red, green, blue = (float(part) for part in re.findall(r"[\d.]+", colour)[:3])
    grey = (0.299 * red + 0.587 * green + 0.114 * blue) / 255
    return grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4


def contrast(one, other):
    """WCAG contrast ratio of two colours once both are grey."""
    light, dark = sorted((grey_luminance(one), grey_luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_of_known_pairs():
    """Black on white is 21 to 1 by definition; #767676 is the lightest grey that passes 4.5 to 1 on white (W3C)."""
    assert contrast("rgb(0, 0, 0)", "rgb(255, 255, 255)") == pytest.approx(21)
    assert (
        contrast("rgb(118, 118, 118)", "rgb(255, 255, 255)") >= 4.5 > contrast("rgb(119, 119, 119)", "rgb(255,255,255)")
    )


def test_every_text_and_every_line_is_legible_in_grey(sheet):
    """Each letter against what lies behind it, each border and each mark of the drawings against the paper.

    Left out: the figure's grid, which carries nothing that the axes do not say.
    """
    _, _, page, _ = sheet
    found = page.evaluate(
        """() => {
          const behind = e => {
            for (; e; e = e.parentElement) {
              const colour = getComputedStyle(e).backgroundColor;
              if (colour !== 'rgba(0, 0, 0, 0)') return colour;
            }
            return 'rgb(255, 255, 255)';
          };
          const text = new Set(), line = new Set(), shape = new Set();
          const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
          while (walk.nextNode()) {
            const e = walk.currentNode.parentElement, style = getComputedStyle(e);
            if (!walk.currentNode.data.trim()) continue;
            text.add((e.closest('svg') ? style.fill : style.color) + ' on ' + behind(e));
          }
          for (const e of document.body.querySelectorAll('*:not(svg *)')) {
            const style = getComputedStyle(e);
            for (const side of ['Top', 'Right', 'Bottom', 'Left'])
              if (style['border' + side + 'Style'] !== 'none' && parseFloat(style['border' + side + 'Width']))
                line.add(style['border' + side + 'Color'] + ' on ' + behind(e));
          }
          for (const e of document.querySelectorAll('svg path, svg use, svg polygon, svg line')) {
            if (e.closest('defs')) continue;
            const axis = e.closest('[id^=matplotlib\\\\.axis]');
            const style = getComputedStyle(e);
            const drawn = [style.fill, style.stroke].filter(c => c !== 'none');
            if (axis && style.stroke === 'rgb(221, 221, 221)') continue;
            if (drawn.length && !drawn.every(c => c === 'rgb(255, 255, 255)')) shape.add(drawn.join(' or '));
          }
          return [[...text], [...line], [...shape]];
        }"""
    )
    text, line, shape = found
    assert len(text) >= 4
    assert line
    assert len(shape) >= 4
    for pair in text:
        assert contrast(*pair.split(" on ")) >= 4.5, pair
    for pair in line:
        assert contrast(*pair.split(" on ")) >= 3, pair
    for pair in shape:
        assert max(contrast(colour, "rgb(255, 255, 255)") for colour in pair.split(" or ")) >= 3, pair


def test_a_grey_printer_s_page_is_paper_with_dark_print_on_it(sheet):
    """Poppler renders every page in grey: mostly paper, and a third or more of the print nearly black."""
    name, _, _, folder = sheet
    if shutil.which("pdftoppm") is None and not os.environ.get("CI"):
        pytest.skip("no pdftoppm: install poppler-utils")
    from PIL import Image

    subprocess.run(["pdftoppm", "-gray", "-r", "150", printed(sheet, "A4"), folder / "grey"], check=True)
    pages = sorted(folder.glob("grey-*.pgm"))
    assert len(pages) == len(texts(printed(sheet, "A4"))), name
    for file in pages:
        counts = Image.open(file).histogram()
        assert len(counts) == 256
        ink = sum(counts[:160])
        assert 0.005 < ink / sum(counts) < 0.2
        assert sum(counts[:80]) > 0.3 * ink


def test_cautions_come_before_the_first_cut_on_the_bench_card_as_printed(sheet):
    bench = [page for page in texts(printed(sheet, "A4")) if FOOTERS[1] in page.rstrip().splitlines()[-1]]
    first = squeezed(bench[0])
    assert squeezed("Before you cut") in first
    assert first.index(squeezed("Before you cut")) < first.index(squeezed("no. 1, "))
    assert squeezed("The makers' instructions, the rules of your workplace and the person in charge") in first
    assert squeezed(cautions.WHO_DECIDES) in squeezed("".join(bench[1:]))
    stops = bool(double_check(sheet[1]).stopped)
    assert (squeezed("Do not cut yet") in first) == stops
    assert stops or sheet[0] != "stopped"
    assert squeezed(equipmentrules.WHO_DECIDES) in squeezed("".join(texts(printed(sheet, "A4"))))
