"""The shell's verbs that write a person's files: tables, templates, records; and own parts beside the shipped ones."""

import json
import os
import re
import subprocess
import sys
import tempfile
from datetime import datetime
from pathlib import Path

import pytest

from trimkit.cli import main
from trimkit.club.club import finished_club
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.measured import MeasuredRow
from trimkit.papers.record.store import read_file
from trimkit.papers.templates import ORDER_FILE
from trimkit.parts.catalogue import data_folder, load_catalogue

DEMO = data_folder() / "orders" / "evening_class.toml"
RECORD = "evening_class.record.json"


@pytest.fixture(autouse=True)
def here(tmp_path, monkeypatch):
    folder = tmp_path / "a bench, ½"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


def test_templates_are_whole_beside_the_shipped_parts_and_alone(run, here):
    assert run("templates", "my parts")[0] == 0
    said = run("check", "my parts")[1].splitlines()
    assert said[0].endswith("(1 head, 3 shafts, 1 schedule row).")
    assert said[-1] == "The shop's own file: nothing set yet."
    assert f"{len(load_catalogue().heads) + 1} heads" in run("check", "--own-parts", "my parts")[1]
    order = Path("my parts") / ORDER_FILE
    assert "an order of 1 club" in run("check", order, "--data", "my parts")[1]
    assert "an order of 1 club" in run("check", order, "--own-parts", "my parts")[1]
    for path in Path("my parts").glob("*.csv"):
        assert run("check", path)[0] == 0
    assert run("sheet", order, "--own-parts", "my parts", "--to", "own.html")[0] == 0
    assert "my parts/heads.csv" in Path("own.html").read_text(encoding="utf-8")
    code, _, refused = run("check", order)
    assert code == 1
    assert "there is no shaft 'example steel parallel'" in refused


def test_templates_go_into_a_new_folder_only(run, here):
    Path("full").mkdir()
    Path("full/mine.txt").write_text("mine")
    code, _, refused = run("templates", "full")
    assert (code, "the folder is not empty" in refused) == (1, True)
    assert [path.name for path in Path("full").iterdir()] == ["mine.txt"]


def test_faults_of_own_parts_and_of_the_order_come_together(run, here):
    run("templates", "own")
    heads = Path("own/heads.csv")
    heads.write_text(heads.read_text(encoding="utf-8").replace("265", "-265"), encoding="utf-8")
    order = Path("own") / ORDER_FILE
    order.write_text(order.read_text(encoding="utf-8").replace('flex = "R"', ""), encoding="utf-8")
    code, _, refused = run("sheet", order, "--own-parts", "own", "--to", "sheet.html")
    assert code == 1
    for words in ("own/heads.csv, row 2, column head_mass_g", "example_order.toml, flex"):
        assert words in refused
    assert not Path("sheet.html").exists()


def test_tables_are_written_once_and_replaced_when_told(run, here):
    code, said, _ = run("tables", DEMO)
    folder = here / "evening_class tables"
    assert (code, f"into {folder}" in said) == (0, True)
    cuts = folder / "cut_list.csv"
    assert cuts.read_text(encoding="utf-8").startswith("club,trims_as,schedule_trim_in")
    cuts.write_text("mine")
    code, _, refused = run("tables", DEMO)
    assert (code, "is there already" in refused) == (1, True)
    assert cuts.read_text() == "mine"
    assert run("tables", DEMO, "--replace")[0] == 0
    assert cuts.read_text() != "mine"


PULLED = """
pulled = true
raw_length_in = 36.0
tip_cut_in = 4.0
"""


def test_what_a_pulled_shaft_can_become_is_a_table_for_each(run, here):
    Path("drawer.toml").write_text(DEMO.read_text(encoding="utf-8") + PULLED, encoding="utf-8")
    code, said, _ = run("pulled", "drawer.toml")
    last = shipped_order().clubs[-1].head
    assert code == 0
    lines = said.splitlines()
    assert sum("pulled: 36 in long now, 4 in off its tip, " in line for line in lines) == 1
    assert any(line.startswith(f"{last.name}: ") for line in lines)
    assert any("too stiff: " in line and line.startswith("2-iron") for line in lines)
    assert any(line.count(" in") == 3 and line.startswith("sand wedge") for line in lines)
    assert "maker may allow less" in said


def test_an_order_without_a_pulled_shaft_has_no_such_table(run, here):
    code, _, refused = run("pulled", DEMO)
    assert code == 1
    assert "pulled = true in a [[club]] table" in refused


def test_a_bad_order_makes_no_folder_and_no_record(run, here):
    bad = here / "bad.toml"
    bad.write_text(DEMO.read_text(encoding="utf-8").replace("37.5", "41.5"), encoding="utf-8")
    for verb in ("tables", "record"):
        code, _, refused = run(verb, bad)
        assert (code, "too short" in refused) == (1, True)
    assert [path.name for path in here.iterdir()] == ["bad.toml"]


def test_a_record_is_made_checked_shown_and_grows_only_with_a_reason(run, here):
    assert run("record", DEMO)[0] == 0
    first = read_file(here / RECORD)
    text = Path(RECORD).read_text(encoding="utf-8")
    assert "a record of 10 clubs, 1 revision)" in run("check", RECORD)[1]
    said = run("show", RECORD)[1]
    built = build_set(shipped_order())
    for club in built.clubs:
        line = next(line for line in said.splitlines() if re.search(rf"^\d+ +{club.plan.club}  ", line))
        assert f"{club.plan.tip_trim_in:.3f}" in line
        assert f"{finished_club(club).frequency_cpm:.1f}" in line
    code, _, refused = run("record", DEMO)
    assert (code, "--reason" in refused) == (1, True)
    assert Path(RECORD).read_text(encoding="utf-8") == text
    assert run("record", DEMO, "--reason", " ")[0] == 1
    assert Path(RECORD).read_text(encoding="utf-8") == text
    assert run("record", DEMO, "--reason", "planned anew")[0] == 0
    record = read_file(here / RECORD)
    assert record.revisions[0] == first.revisions[0]
    assert record.latest.reason == "planned anew"
    assert "revision 1 of 2" in run("show", RECORD, "--revision", 1)[1]
    assert "there is no revision 3" in run("show", RECORD, "--revision", 3)[2]


def test_measured_values_from_the_form_of_the_tables(run, here):
    run("record", DEMO)
    run("tables", DEMO, "--to", "out")
    built = build_set(shipped_order())
    stiff = finished_club(built.clubs[0]).frequency_cpm + 2.5
    form = Path("out/to_measure.csv")
    text = form.read_text(encoding="utf-8")
    assert text.splitlines()[0].split(",") == list(MeasuredRow.model_fields)
    text = text.replace("1,3-hybrid,,,,,", f"1,3-hybrid,,{stiff},,,")
    form.write_text(text.replace("4,5-iron,,,,,", "4,5-iron,38,,,,"), encoding="utf-8")
    code, said, _ = run("measured", RECORD, "--from", form)
    assert code == 0
    assert "1 3-hybrid: outside the tolerance: frequency" in said
    assert "difference +2.5 cpm; tolerance 2" in said
    assert "from memory, unverified" in said
    assert "4 5-iron: as predicted" in said
    latest = read_file(here / RECORD).latest
    assert (latest.number, latest.clubs[0].measured.frequency_cpm) == (2, stiff)
    assert said.split("Wrote")[0].strip() in run("show", RECORD)[1]


def test_a_sheet_has_the_shop_s_name_the_day_and_what_its_record_measured(run, here):
    run("record", DEMO)
    run("measured", RECORD, "--club", "7-iron", "--frequency-cpm", 333.3)
    assert run("sheet", DEMO, "--shop", "Bench <&> Co", "--record", RECORD)[0] == 0
    page = Path("evening_class.html").read_text(encoding="utf-8")
    assert "Built by Bench &lt;&amp;&gt; Co." in page
    assert f"{datetime.now().astimezone():%B %Y}." in page
    assert page.count("is 333.3<") == 1
    wood = DEMO.parent / "wood_pair.toml"
    code, _, refused = run("sheet", wood, "--record", RECORD)
    assert (code, "other clubs or other cuts than the order" in refused) == (1, True)
    assert not Path("wood_pair.html").exists()


def test_measured_values_of_one_club_from_options(run, here):
    run("record", DEMO)
    code, said, _ = run("measured", RECORD, "--club", "7-iron", "--playing-length", "94 cm", "--total-mass", "15 oz")
    assert code == 0
    assert "difference +0.008 in" in said  # 94 / 2.54 - 37
    assert run("measured", RECORD, "--place", "6", "--swingweight", "D1", "--remark", "again")[0] == 0
    said = run("show", RECORD)[1]
    seven = finished_club(build_set(shipped_order()).clubs[5])
    points = (215.25 - seven.swingweight_oz_in) / 1.75  # D0 is 213.5 oz in and a point 1.75, as the scale is defined
    assert (
        f"swingweight: predicted {seven.swingweight}, measured D1.0, difference {points:+.1f} points; tolerance 1"
        in said
    )
    assert "difference +0.008 in" in said  # what was measured before stays
    assert "playing length in  add g  frequency cpm  flex  swingweight  total mass g" in said
    club = read_file(here / RECORD).latest.clubs[5]
    assert (club.measured.swingweight_oz_in, club.measured.remark) == (215.25, "again")
    assert club.measured.playing_length_in == pytest.approx(94 / 2.54)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--club", "7-iron"], "no measured value is given"),
        (["--club", "1-iron", "--swingweight", "D0"], "no club of the record is called '1-iron'"),
        (["--club", "11", "--swingweight", "D0"], "10 sand wedge"),
        (["--club", "7-iron", "--frequency-cpm", "nan"], "frequency_cpm"),
        (["--club", "7-iron", "--frequency-cpm", "3000"], "frequency_cpm"),
        (["--club", "7-iron", "--swingweight", "H1"], "H1"),
        (["--club", "7-iron", "--total-mass", "14 in"], "14 in"),
        (["--club", "7-iron", "--swingweight", "D0", "--reason", ""], "no reason is given"),
        (["--from", "none.csv"], "none.csv: the file cannot be read"),
        (["--from", RECORD], "the column"),
        (["--from", "none.csv", "--swingweight", "D0"], "values are given as well as a form"),
    ],
)
def test_what_was_not_measured_is_refused_and_the_record_stays(run, here, words, sentence):
    run("record", DEMO)
    text = Path(RECORD).read_text(encoding="utf-8")
    code, _, refused = run("measured", RECORD, *words)
    assert code == 1
    assert sentence in refused
    assert Path(RECORD).read_text(encoding="utf-8") == text
    assert [path.name for path in here.iterdir()] == [RECORD]


def test_wrong_words_have_their_own_exit_code(run, here):
    for words in (["measured", RECORD], ["measured", RECORD, "--club", "7-iron", "--frequency-cpm", "stiff"]):
        with pytest.raises(SystemExit) as caught:
            main(words)
        assert caught.value.code == 2


def test_a_record_of_a_newer_version_is_left_as_it_is(run, here):
    run("record", DEMO)
    document = json.loads(Path(RECORD).read_text(encoding="utf-8"))
    text = json.dumps(document | {"version": 99, "more": "of it"})
    Path(RECORD).write_text(text, encoding="utf-8")
    for words in (
        ["show", RECORD],
        ["check", RECORD],
        ["measured", RECORD, "--club", "7-iron", "--swingweight", "D0"],
        ["record", DEMO, "--reason", "again"],
    ):
        code, _, refused = run(*words)
        assert code == 1
        assert "written by a newer trimkit (record version 99)" in refused
        assert "bring trimkit up to date" in refused
        assert Path(RECORD).read_text(encoding="utf-8") == text


@pytest.mark.parametrize("name", ["set.json", "record", ".record.json", "..record.json", "a:b.record.json"])
def test_a_name_that_no_record_has_is_refused(run, here, name):
    code, _, refused = run("record", DEMO, "--to", name)
    assert code == 1
    assert "name" in refused
    assert not list(here.iterdir())


def test_a_record_behind_a_link_is_not_written_through(run, here):
    run("record", DEMO, "--to", "real.record.json")
    Path("link.record.json").symlink_to("real.record.json")
    text = Path("real.record.json").read_text(encoding="utf-8")
    for words in (
        ["record", DEMO, "--to", "link.record.json", "--reason", "x"],
        ["measured", "link.record.json", "--club", "7-iron", "--swingweight", "D0"],
    ):
        code, _, refused = run(*words)
        assert (code, "is a link to somewhere else" in refused) == (1, True)
    assert Path("real.record.json").read_text(encoding="utf-8") == text
    assert "10 clubs" in run("check", "link.record.json")[1]


LONG = "n" * 300


@pytest.mark.parametrize(
    "words",
    [
        ["sheet", DEMO, "--to", f"{LONG}.html"],
        ["sheet", DEMO, "--to", f"{LONG}/sheet.html"],
        ["tables", DEMO, "--to", LONG],
        ["tables", DEMO, "--to", f"{DEMO}/out"],
        ["templates", LONG],
        ["record", DEMO, "--to", f"{LONG}.record.json"],
        ["record", DEMO, "--to", f"{LONG}/a.record.json"],
        ["check", f"{LONG}.csv"],
        ["check", "/".join([LONG] * 20)],
        ["check", "--own-parts", LONG],
        ["show", f"{LONG}.record.json"],
        ["measured", f"{LONG}.record.json", "--club", "7-iron", "--swingweight", "D0"],
    ],
)
def test_a_path_that_cannot_be_is_a_sentence(run, here, words):
    assert run(*words)[0] == 1
    assert not list(here.iterdir())


WRITES = """
import os, sys
from trimkit.cli import main
order, writable, readable = sys.argv[1:]
def every_verb():
    return [main(words) for words in (["sheet", order], ["tables", order], ["templates", "new"], ["record", order])]
os.chdir(writable)  # once where one may write, so that all is loaded that root's installation may keep to itself
first = every_verb()
os.chdir(readable)
if os.getuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
print(first, every_verb())
"""


@pytest.mark.skipif(os.name == "nt", reason="rights of folders are POSIX's")
def test_a_read_only_folder_is_a_sentence_for_every_verb_that_writes():
    """Root may write everywhere, so that a child of root gives its rights up; another child never had them.

    A temporary folder of its own: pytest closes those above ``tmp_path`` to every other user.
    """
    with tempfile.TemporaryDirectory() as name:
        writable, readable = Path(name) / "writable", Path(name) / "read only"
        Path(name).chmod(0o755)
        writable.mkdir()
        readable.mkdir(mode=0o555)
        order = DEMO.with_name("wood_pair.toml")
        words = [sys.executable, "-c", WRITES, str(order), str(writable), str(readable)]
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        assert done.stdout.splitlines()[-1] == "[0, 0, 0, 0] [1, 1, 1, 1]", done.stderr
        assert done.stderr.count("the folder may not be written to") == 4
        assert not list(readable.iterdir())


def test_signs_that_a_terminal_obeys_are_written_out(run, here):
    bad = here / "order.toml"
    text = DEMO.read_text(encoding="utf-8").replace("client 07", "client \\u001b[31m")
    bad.write_text(text, encoding="utf-8")
    assert run("record", bad)[0] == 0
    said = run("show", "order.record.json")[1]
    assert "client <U+001B>[31m" in said
    assert "\x1b" not in said


SHOP = {
    "shafts.csv": "shaft,material,tip_kind,flex_kind,flexes,raw_length_in,raw_mass_g,tip_diameter_in,butt_diameter_in,"
    "tip_section_in\nsteel with no drawing,steel,parallel,combination,R/S,41,110,0.37,0.6,11\n",
    "schedules.csv": "shaft,flex,club,tip_trim_in,bbgl_reference_in\n"
    + "".join(
        f"steel with no drawing,{flex},{club}-iron,{start + (club - 4) / 2},1\n"
        for flex, start in (("R", 1), ("S", 2.5))
        for club in range(4, 10)
    ),
}
STEPS = (
    "shaft,from_tip_in,to_tip_in,outer_diameter_in\nsteel with no drawing,0,11,0.37\nsteel with no drawing,11,41,0.6\n"
)


@pytest.fixture
def shop(here):
    """A shop's own parts: a shaft, its schedule, and an order of two irons; no walls, no steps."""
    for file, text in SHOP.items():
        (here / "own").mkdir(exist_ok=True)
        (here / "own" / file).write_text(text, encoding="utf-8")
    order = shipped_order()
    irons = [club.head.name for club in order.clubs if club.head.club in ("5-iron", "8-iron")]
    heads = "".join(f'[[club]]\nhead = "{name}"\n' for name in irons)
    text = f'title = "t"\nclient = "c"\nshaft = "steel with no drawing"\ngrip = "{order.grip.name}"\n'
    (here / "mine.toml").write_text(f'{text}ladder = "{order.ladder}"\nflex = "R"\n{heads}', encoding="utf-8")
    return here


@pytest.mark.parametrize("steps", [False, True])
def test_an_order_without_walls_goes_from_file_to_sheet_tables_record_and_back(shop, capsys, steps):
    if steps:
        (shop / "own" / "shaft_sections.csv").write_text(STEPS, encoding="utf-8")
    parts = ["--own-parts", "own"]
    for checked in ([], ["mine.toml"]):
        assert main(["check", *checked, *parts]) == 0
        said = capsys.readouterr().out.splitlines()
        assert ": in order (" in said[0]
        why = (
            "No tube walls are known for shaft 'steel with no drawing': no predictions, its clubs are cut by the rules"
        )
        assert [line.startswith(why) for line in said[1:]] == [True, False]
        assert "10 % wrong" in said[2]
    for verb in ("sheet", "tables", "record"):
        assert main([verb, "mine.toml", *parts]) == 0
    # By hand: 5-iron 1 + 1/2 in, its head's BBGL of 1.02 in adds 0.02 in; the ladder's 38 in less 1.02 in less 0.1 in.
    cuts = (shop / "mine tables" / "cut_list.csv").read_text(encoding="utf-8").splitlines()
    row = dict(zip(cuts[0].split(","), cuts[1].split(","), strict=True))
    head, grip = shipped_order().catalogue.heads["class 5-iron"], shipped_order().grip
    assert float(row["tip_trim_in"]) == pytest.approx(1.5 + head.bbgl_in - 1)
    assert float(row["cut_length_in"]) == pytest.approx(
        float(row["playing_length_in"]) - head.bbgl_in - grip.cap_thickness_in
    )
    assert "cuts agree; no second opinion" in (shop / "mine.html").read_text(encoding="utf-8")
    assert "agrees; cut it" not in (shop / "mine.html").read_text(encoding="utf-8")
    (shop / "filled.csv").write_text(
        (shop / "mine tables" / "to_measure.csv").read_text(encoding="utf-8").replace("5-iron,,,", "5-iron,38,301,D1"),
        encoding="utf-8",
    )
    capsys.readouterr()
    assert main(["measured", "mine.record.json", "--from", "filled.csv"]) == 0
    assert "1 5-iron: length as planned; nothing else was predicted" in capsys.readouterr().out
    assert main(["show", "mine.record.json"]) == 0
    shown = capsys.readouterr().out
    assert "No prediction: no tube walls are known for shaft 'steel with no drawing'" in shown
    assert "frequency: measured 301.0 cpm; nothing was predicted" in shown
    assert main(["check", "mine.record.json"]) == 0
    assert main(["record", "mine.toml", *parts, "--reason", "planned again"]) == 0


def test_half_of_a_shafts_walls_is_a_sentence_with_its_row(shop, capsys):
    text = STEPS.replace("diameter_in\n", "diameter_in,wall_in\n").replace("0.37\n", "0.37,0.016\n")
    (shop / "own" / "shaft_sections.csv").write_text(text.replace("0.6\n", "0.6,\n"), encoding="utf-8")
    assert main(["sheet", "mine.toml", "--own-parts", "own"]) == 1
    assert "own/shaft_sections.csv, row 3, column wall_in: " in capsys.readouterr().err
    assert not (shop / "mine.html").exists()


def test_a_whole_folder_says_nothing_about_walls(capsys):
    assert main(["check"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == 1
