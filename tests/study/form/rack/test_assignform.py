"""The form of the assignment gives what the verb assign gives, names faults beside their cells, and writes its list."""

import pytest

from trimkit.cli import main
from trimkit.study import assign_form
from trimkit.study.form.pieces import Rows

READINGS_CPM = (268.9, 262.0, 266.1, 263.4, 270.2, 264.8, 265.5, 267.3, 261.2, 269.5, 264.1)


def row(mark, cpm):
    return {"mark": mark, "raw_mass_g": "109.8", "raw_frequency_cpm": f"{cpm}", "test_mass_g": "205", "clamp_in": "5"}


@pytest.fixture
def form(bench):
    form = assign_form(bench)
    form.set_rows("bare shafts", [row(f"S{n}", cpm) for n, cpm in enumerate(READINGS_CPM, start=1)])
    return form


def test_the_list_is_that_of_the_verb_and_each_shaft_is_taken_once(form, bench, capsys):
    form.press("work")
    assert form.said == "Each of 10 heads has its shaft."
    (table,) = [each for each in form.shown["found"] if isinstance(each, Rows)]
    assert len({line[1] for line in table.rows}) == 10
    assert not (bench.folder / "assigned.csv").exists()
    form.press("write")
    assert form.said == "Wrote assigned.csv. Mark each shaft with its club before you cut it."
    rows = "".join(f"S{n},109.8,{cpm},205,5\n" for n, cpm in enumerate(READINGS_CPM, start=1))
    path = bench.folder / "bare_shafts.csv"
    path.write_text(f"mark,raw_mass_g,raw_frequency_cpm,test_mass_g,clamp_in\n{rows}", encoding="utf-8")
    words = ["assign", bench.folder / "class.toml", "--shafts", path, "--data", bench.folder / "parts"]
    assert main([*map(str, words), "--to", str(bench.folder / "verb.csv")]) == 0
    assert (bench.folder / "verb.csv").read_bytes() == (bench.folder / "assigned.csv").read_bytes()
    assert form.shown["found"][1].lines[0] in capsys.readouterr().out
    form.set_rows("bare shafts", [{}])
    form.put({"shafts": "bare_shafts.csv"})
    form.press("work")
    assert form.shown["found"][0] == table


def test_a_mark_that_is_there_twice_and_a_weight_that_nobody_gives_are_named_at_their_cells(form):
    form.put({"bare shafts 3: mark": "S1", "bare shafts 5: test_mass_g": ""})
    form.press("work")
    assert set(form.faults) == {"bare shafts 3: mark", "bare shafts 5: test_mass_g"}
    form.put({"bare shafts 5: test_mass_g": "205 g"})
    form.press("")
    assert set(form.faults) == {"bare shafts 3: mark"}
    form.put({"bare shafts 3: mark": "S3"})
    form.press("")
    assert form.faults == {}
    assert form.shown["found"] == ()


def test_the_test_weight_of_the_shop_s_own_file_counts_and_is_shown_where_a_cell_is_empty(form, bench):
    form.press("work")
    written = form.shown["found"]
    (bench.shop_folder / "shop.toml").write_text("[test_weight]\nmass_g = 205\nclamp_in = 5\n", encoding="utf-8")
    for number in range(1, len(READINGS_CPM) + 1):
        form.put({f"bare shafts {number}: test_mass_g": "", f"bare shafts {number}: clamp_in": ""})
    form.press("work")
    assert form.shown["found"] == written
    assert form.hints["bare shafts 1: test_mass_g"] == "205"
    assert form.hints["bare shafts 1: clamp_in"] == "5"


def test_too_few_shafts_are_refused_in_words(form):
    form.set_rows("bare shafts", [row("S1", 265.0)])
    form.press("work")
    assert not form.fine
    assert "shaft" in form.said
    assert form.shown["found"] == ()


def test_a_list_is_replaced_only_with_its_tick_and_stays_in_the_folder(form, bench):
    (bench.folder / "assigned.csv").write_text("mine", encoding="utf-8")
    form.press("work")
    form.press("write")
    assert "is there already" in form.faults["save as"][0]
    assert (bench.folder / "assigned.csv").read_text(encoding="utf-8") == "mine"
    form.put({"save as": "../assigned"})
    form.press("write")
    assert list(form.faults) == ["save as"]
    assert not (bench.folder.parent / "assigned.csv").exists()
    form.put({"save as": "assigned", "replace": True})
    form.press("write")
    assert (bench.folder / "assigned.csv").read_text(encoding="utf-8").startswith("shaft,club,")
