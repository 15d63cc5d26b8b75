"""The sheet: self-contained, inert, whole or not there, and printed by a real browser."""

import dataclasses
import os
import re
import shutil
import subprocess
from html.parser import HTMLParser

import pytest

from trimkit.build.benchcard import card_of
from trimkit.build.doublecheck import Verdict, double_check
from trimkit.build.order import shipped_order
from trimkit.build.set import build_set
from trimkit.build.sheet import CAUTIONS, sheet_html, write_sheet
from trimkit.parts.errors import BenchError
from trimkit.parts.units import nearest_mark
from trimkit.study.figures import set_frequency_svg

BUILT = build_set(shipped_order())
FIGURE = set_frequency_svg(BUILT)
HTML = sheet_html(BUILT, FIGURE)


class Page(HTMLParser):
    """Collects the tags with their attributes, and the text, of a page."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.words, self.open = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in {"meta", "br", "path", "use", "rect", "img"}:
            self.open.append(tag)

    def handle_endtag(self, tag):
        if tag in self.open:
            while self.open.pop() != tag:
                pass

    def handle_data(self, data):
        self.words.append(data)


PAGE = Page(HTML)


def test_the_page_needs_nothing_from_outside_and_runs_nothing():
    names = {tag for tag, _ in PAGE.tags}
    assert not names & {"script", "link", "img", "iframe", "object", "embed", "form", "input"}
    for _, attributes in PAGE.tags:
        assert not any(name.startswith("on") for name in attributes)
        for name in ("src", "href", "xlink:href"):
            assert attributes.get(name, "#").startswith("#")
    assert not re.search(r"url\((?!#)|@import", HTML)


def test_every_tag_is_closed():
    assert not [tag for tag in PAGE.open if tag not in {"html", "body"}]


def test_every_cut_stands_on_it_as_mark_and_exactly():
    text = " ".join(" ".join(PAGE.words).split())
    for club in BUILT.clubs:
        for length in (club.plan.tip_trim_in, club.plan.cut_length_in, club.plan.butt_trim_in):
            assert nearest_mark(length).text in text
            assert f"{length:.3f} in" in text


def test_every_step_s_reason_and_sources_and_every_caution_and_note_stand_on_it():
    text = " ".join(" ".join(PAGE.words).split())
    wanted = [step.reason for club in BUILT.clubs for step in club.plan.steps]
    wanted += [str(source) for club in BUILT.clubs for step in club.plan.steps for source in step.sources]
    wanted += [note.text for club in BUILT.clubs for note in club.plan.notes]
    for sentence in (*wanted, *CAUTIONS):
        assert " ".join(sentence.split()) in text


def test_the_cautions_come_before_the_first_cut():
    assert HTML.index("Before you cut") < HTML.index("At the saw")


def test_the_double_check_of_every_club_stands_on_it():
    check = double_check([card_of(club.plan) for club in BUILT.clubs], BUILT.order.assembly)
    assert not check.stopped
    assert HTML.count(f"{Verdict.CUT.value}</td>") == len(BUILT.clubs)
    assert "Do not cut yet" not in HTML


def test_a_club_that_fails_the_double_check_is_told_before_the_first_cut():
    """A head misread by 30 g: the sheet says so above the cuts, with the likely cause."""
    order = BUILT.order
    heavy = dataclasses.replace(order.clubs[5].head, head_mass_g=order.clubs[5].head.head_mass_g + 30)
    clubs = (*order.clubs[:5], dataclasses.replace(order.clubs[5], head=heavy), *order.clubs[6:])
    page = sheet_html(build_set(dataclasses.replace(order, clubs=clubs)), FIGURE)
    assert page.index("Do not cut yet") < page.index("At the saw")
    assert re.search(r"<li>7-iron: [^<]*head", page)


def test_a_taper_tip_is_never_told_to_be_trimmed_and_each_club_s_raw_length_stands_at_the_saw():
    taper = build_set(shipped_order("taper_soft_step"))
    page = sheet_html(taper, FIGURE)
    saw = page[page.index("At the saw") : page.index("What it should measure")]
    assert "Never trim a taper tip" in saw
    assert "Trim the tip first" not in page
    assert saw.count("a taper tip is never trimmed") == len(taper.clubs)
    for club in taper.clubs:
        assert f">{nearest_mark(club.plan.raw_length_in).text}<" in saw


def test_words_from_people_are_inert():
    nasty = "<script>alert(1)</script>\"'&"
    order = dataclasses.replace(BUILT.order, client=nasty, title=nasty)
    text = sheet_html(dataclasses.replace(BUILT, order=order), FIGURE)
    assert "<script" not in text
    assert "&lt;script&gt;" in text


def test_the_same_set_gives_the_same_page():
    assert sheet_html(build_set(shipped_order()), set_frequency_svg(BUILT)) == HTML


def test_a_sheet_that_is_there_is_left_alone_unless_said_otherwise(tmp_path):
    path = tmp_path / "with space" / "sheet.html"
    write_sheet(BUILT, path, figure_svg=FIGURE)
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(BenchError, match="is there already"):
        write_sheet(BUILT, path, figure_svg=FIGURE)
    assert path.read_text(encoding="utf-8") == "mine"
    write_sheet(BUILT, path, figure_svg=FIGURE, replace=True)
    assert path.read_text(encoding="utf-8") == HTML
    assert [file.name for file in path.parent.iterdir()] == ["sheet.html"]


def test_a_folder_that_is_a_file_is_told(tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(BenchError, match="cannot be written"):
        write_sheet(BUILT, tmp_path / "file" / "sheet.html", figure_svg=FIGURE)


def chromium():
    found = os.environ.get("TRIMKIT_CHROMIUM") or next(
        filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None
    )
    if found is None and not (os.environ.get("CI") or os.environ.get("TRIMKIT_REQUIRE_BROWSER")):
        pytest.skip("no Chromium to print with: install chromium, or point TRIMKIT_CHROMIUM to it")
    assert found, "no Chromium to print with"
    return found


def test_it_prints_whole_on_a4_and_letter(tmp_path):
    """Chromium prints it; every cut and reason is in the PDF's text, so nothing is clipped away."""
    page = tmp_path / "sheet.html"
    write_sheet(BUILT, page, figure_svg=FIGURE)
    for size, paper in (("A4", "210mm 297mm"), ("Letter", "8.5in 11in")):
        sized = tmp_path / f"{size}.html"
        sized.write_text(HTML.replace("@page {", f"@page {{ size: {paper};"), encoding="utf-8")
        pdf = tmp_path / f"{size}.pdf"
        command = [chromium(), "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        command += [f"--user-data-dir={tmp_path / 'profile'}", "--no-pdf-header-footer", f"--print-to-pdf={pdf}"]
        subprocess.run([*command, sized.as_uri()], check=True, capture_output=True, timeout=90)
        assert pdf.read_bytes().startswith(b"%PDF")
        if shutil.which("pdftotext") is None:
            continue
        text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout
        words = "".join(text.split())
        assert 3 <= text.count("\f") <= 8
        for club in BUILT.clubs:
            assert nearest_mark(club.plan.cut_length_in).text.replace(" ", "") in words
