"""Hostile text in an order, in parts or in a record is only shown: in the sheet, notebooks, a lab and the shell.

The same order is built twice, with hostile text and with plain text in every free field. The pages must have the same
skeleton, tag by tag and attribute by attribute, and show the hostile text as text.
"""

import ast
import csv
import html
import io
import re
from datetime import UTC, datetime
from html.parser import HTMLParser
from pathlib import Path

import ipywidgets
import pandas as pd
import pytest

import trimkit
from trimkit.check.doublecheck import double_check
from trimkit.check.tables import double_check_table
from trimkit.cli import main
from trimkit.club.order.file import order_tables, toml_text
from trimkit.club.order.order import load_order
from trimkit.club.set import build_set
from trimkit.papers.measured import measured_club
from trimkit.papers.record.build import first_record, reopened, revised, with_measurements
from trimkit.papers.record.compare import changes_table, compare
from trimkit.papers.record.file import read_record, record_text
from trimkit.papers.tables import cut_list, parts_table, prediction_table, steps_table
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.parts.plaintext import shown
from trimkit.parts.rows import TABLES
from trimkit.study import exercises
from trimkit.study.figures.set import set_frequency_picture, write_sheet
from trimkit.study.form.orderform import order_form
from trimkit.study.frame.controls import Choice, Slider, Switch
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import styled_figure

HOSTILE = {
    "script": '<script>alert(1)</script>"><img src=x onerror=alert(1)>',
    "svg": '\'><svg onload=alert(1)><a xlink:href="javascript:alert(1)">x</a>',
    "ends": "</style></svg></title><script>x()</script>]]>--><!-- <?php",
    "entities": "&lt;script&gt; &#60;b&#62; &amp;amp; =1+1|'@SUM(1)'!A1",
    "template": "{{ 7 * 7 }}{% raw %}{# x #} ${7*7} <%= 7 %> $\\frac{1}{2}$ %s {0} \\",
    "signs": "\x1b[2J\x1b[31mred\x07 iron \u202e5.73\u202c \u2066x a\0b",
}
PLAIN = "plain words"
FORBIDDEN = {"script", "iframe", "object", "embed", "link", "base", "form", "foreignobject", "animate", "set", "audio"}


class Skeleton(HTMLParser):
    """A page's tags with the names of their attributes, its comments and the like, in order; and all its text."""

    def __init__(self, text):
        super().__init__()
        self.bones, self.words, self.values = [], "", []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.bones.append((tag, tuple(name for name, _ in attrs)))
        self.values += attrs

    def handle_endtag(self, tag):
        self.bones.append(f"/{tag}")

    def handle_data(self, data):
        self.words += data

    def handle_comment(self, data):
        self.bones.append("a comment")

    def unknown_decl(self, data):
        self.bones.append("a declaration")

    def handle_pi(self, data):
        self.bones.append("an instruction")


def assert_runs_nothing(text):
    page = Skeleton(text)
    tags = {bone[0].lower() for bone in page.bones if isinstance(bone, tuple)}
    assert not tags & FORBIDDEN
    for name, value in page.values:
        assert not name.lower().startswith("on")
        assert not re.match(r"\s*(javascript|vbscript|data):", value or "", re.IGNORECASE)
        if name.lower() in ("href", "xlink:href", "src", "action"):
            assert value.startswith("#")
    assert shown(text) == text, "a control character is left in"
    return page


def assert_inert(hostile_text, plain_text, words):
    """The hostile page runs nothing, has the plain page's bones, and shows the hostile text as text."""
    page = assert_runs_nothing(hostile_text)
    assert page.bones == Skeleton(plain_text).bones
    assert " ".join(shown(words).split()) in " ".join(page.words.split())


def renamed(folder, words):
    """The evening class's set, from tables and an order with the words in every free field."""
    new = {name: f"{name[:5]} {words}" for name in ("steel parallel 110 g combination", "round rubber 46 g core 0.580")}
    new["demo irons"] = f"irons {words}"
    tables = order_tables(load_order(data_folder() / "orders" / "evening_class.toml", load_catalogue()))
    for number, club in enumerate(tables["club"]):
        new.setdefault(club["head"], f"{number} {words}")
        club |= {"head": new[club["head"]], "why": f"because {words}", "bore": "leave"}
    tables |= {"title": f"title {words}", "client": f"client {words}"}
    tables |= {key: new[tables[key]] for key in ("shaft", "grip", "ladder")}
    for name in TABLES:
        rows = list(csv.reader(io.StringIO((data_folder() / name).read_text(encoding="utf-8"))))
        file = io.StringIO()
        csv.writer(file, lineterminator="\n").writerows([[new.get(cell, cell) for cell in row] for row in rows])
        (folder / name).write_text(file.getvalue(), encoding="utf-8")
    (folder / "order.toml").write_text(toml_text(tables), encoding="utf-8")
    return build_set(load_order(folder / "order.toml", load_catalogue(folder)))


@pytest.fixture(scope="module", params=HOSTILE, ids=HOSTILE.keys())
def words(request):
    return HOSTILE[request.param]


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    return renamed(tmp_path_factory.mktemp("plain"), PLAIN)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory, words):
    return renamed(tmp_path_factory.mktemp("hostile"), words)


def test_the_sheet_and_its_svg(hostile, plain, words, tmp_path):
    pages = []
    for number, built in enumerate((hostile, plain)):
        path = write_sheet(built, tmp_path / f"{number}.html")
        pages.append(path.read_text(encoding="utf-8"))
    assert_inert(*pages, f"title {words}")
    assert_inert(*pages, f"because {words}")
    for name in (hostile.order.shaft.name, hostile.order.clubs[0].head.name, hostile.order.client):
        assert_inert(*pages, name)


def recorded(built, words):
    at = datetime(2026, 1, 1, tzinfo=UTC)
    record = revised(first_record(built, at), built, at, reason=f"reason {words}")
    measured = measured_club(frequency_cpm=300.0, remark=f"remark {words}")
    record = read_record(record_text(with_measurements(record, {0: measured}, at, reason=f"measured {words}")))
    return record, build_set(reopened(record.latest))


def notebook_tables(built, words):
    """Every table that a notebook shows of a set and its record, as the notebook gets it."""
    record, again = recorded(built, words)
    check = double_check(built)
    tables = [make(each) for each in (built, again) for make in (parts_table, cut_list, steps_table, prediction_table)]
    tables += [double_check_table(check), changes_table(compare(record.revisions[0], record.latest))]
    with pd.option_context("display.max_colwidth", None, "display.max_rows", None):
        return [table._repr_html_() for table in tables]


def test_the_tables_of_a_set_and_of_its_record(hostile, plain, words):
    for mine, other in zip(notebook_tables(hostile, words), notebook_tables(plain, PLAIN), strict=True):
        assert Skeleton(mine).bones == Skeleton(other).bones
        assert not {bone[0] for bone in Skeleton(mine).bones if isinstance(bone, tuple)} & FORBIDDEN


def test_the_record_keeps_the_words_as_they_are(hostile, words):
    record, again = recorded(hostile, words)
    assert again.order.title == f"title {words}"
    assert record.latest.clubs[0].measured.remark == f"remark {words}"
    assert [club.plan.tip_trim_in for club in again.clubs] == [club.plan.tip_trim_in for club in hostile.clubs]


def test_the_picture_of_a_set(hostile, plain):
    assert set_frequency_picture(hostile)._repr_mimebundle_() == set_frequency_picture(plain)._repr_mimebundle_()


def a_lab(words):
    """A lab with the words wherever a lab shows text."""

    def build(_reference):
        with styled_figure(6, 3) as figure:
            return Scene(figure, {"said": figure.text(0.5, 0.5, "")})

    return Lab(
        title=f"title {words}",
        controls=[
            Slider("number", f"slider {words}", f"in {words}", 0, 1, 0.1, 0.5),
            Choice("choice", f"choice {words}", (f"one {words}", "two"), "two"),
            Switch("switch", f"switch {words}", False),
        ],
        params=lambda **values: type("Params", (), values)(),
        compute=lambda params: params,
        build=build,
        draw=lambda live, result, _reference: live["said"].set_text("".join(filter(str.isprintable, words))),
        read=lambda result: [
            Readout(f"readout {words}", 1.0, f"cpm {words}"),
            Readout("x", 1.0, shown=f"shown {words}"),
        ],
        describe=lambda result, reference: f"sentence {words}",
    )


def every_widget(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from every_widget(child)


def test_a_lab_s_layers_and_its_words_are_told_as_plain_text(words):
    """Words and pins reach the page as text, which lab.js never reads as HTML; the layers are SVG, which it does."""
    mine, other = a_lab(words), a_lab(PLAIN)
    for lab, said in ((mine, words), (other, PLAIN)):
        lab.set(choice=f"one {said}")
        lab.pin()
    for layer in (lambda lab: lab.told()["still"], lambda lab: lab.frame.picture):
        assert bones(layer(mine)) == bones(layer(other))
    assert html.escape(f"sentence {words}") in mine.frame.picture
    assert mine.frame.sentence == f"sentence {words}"
    assert f"one {words}" in mine.pins_told()[0]


def test_the_page_s_script_takes_nothing_but_the_two_layers_as_html():
    script = Path(trimkit.study.frame.lab.__file__).with_name("lab.js").read_text(encoding="utf-8")
    taken = re.findall(r"(?:innerHTML|outerHTML) *= *([^;]+);", script)
    assert taken == ["told.still", "shown.picture"]
    assert not re.search(r"insertAdjacentHTML|document\.write|\beval\(|new Function|createContextualFragment", script)


def bones(text):
    page = Skeleton(text)
    tags = {bone[0].lower() for bone in page.bones if isinstance(bone, tuple)}
    assert not tags & FORBIDDEN
    assert not [name for name, _ in page.values if name.startswith("on")]
    return page.bones


def test_an_answer_and_a_checker(words):
    asked = exercises.show("02", seed=1).asked[0]
    for text in (f"5 {words}", words):
        asked.answer(text)
        for each in every_widget(asked.view):
            if isinstance(each, ipywidgets.HTML):
                bones(each.value)
                assert "<script" not in each.value.lower()


def test_an_order_form_says_its_faults_and_keeps_the_words_in_their_fields(words, tmp_path):
    form = order_form(folder=tmp_path)
    for name in ("title", "flex", "[length] club", "[[club]] 1: bbgl_in", "[[club]] 2: why"):
        form.fields[name].value = words
    assert form.check() is None
    assert {"flex", "[length] club", "[[club]] 1: bbgl_in"} <= set(form.faults)
    assert form.view.state["values"]["0:title"] == words
    assert "flex" in form._repr_mimebundle_()["text/plain"]
    assert not list(tmp_path.iterdir())


def test_a_form_s_script_reads_no_text_as_html_or_as_code():
    script = (Path(trimkit.__file__).parent / "study/form/form.js").read_text(encoding="utf-8")
    assert "textContent" in script
    assert not re.search(
        r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|Function\(|setAttribute\(.on", script
    )
    assert not re.search(r"https?:", script)


def test_what_notebooks_show_is_all_looked_at_here():
    """Whatever draws itself in a notebook is in this list, and is tested above or shows no free text."""
    found = set()
    for module in Path(trimkit.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                own = {each.name for each in node.body if isinstance(each, ast.FunctionDef)}
                found |= (
                    {node.name} if any(re.fullmatch(r"_(repr_\w+|ipython_display)_", name) for name in own) else set()
                )
    assert found == {"Lab", "Picture", "Checker", "Form"}


def test_the_shell_says_it_without_obeying_it(words, tmp_path, capsys):
    renamed(tmp_path, words)
    order = tmp_path / "order.toml"
    order.write_text(order.read_text(encoding="utf-8").replace('grip = "', 'grip = "no '), encoding="utf-8")
    assert main(["check", str(order), "--data", str(tmp_path)]) == 1
    said = capsys.readouterr()
    assert said.err.startswith("trimkit: ")
    assert shown(said.out + said.err) == said.out + said.err
