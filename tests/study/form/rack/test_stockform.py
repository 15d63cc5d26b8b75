"""The form of the shelf gives what the verb stock gives, names faults beside their cells, and writes all or nothing."""

import pytest

from trimkit.cli import main
from trimkit.study import stock_form
from trimkit.study.form.pieces import Lines, Rows

STEEL = "steel parallel 110 g combination"
SHELF = (
    {"shaft": STEEL, "length_in": "42", "count": "6"},
    {"shaft": STEEL, "length_in": "36 1/2", "tip_cut_in": "3.5", "count": "1", "mark": "B3"},
)
FILES = ("buy.csv", "shelf_afterwards.csv", "short.csv", "take.csv")


@pytest.fixture
def form(bench):
    form = stock_form(bench)
    form.set_rows("shelf", SHELF)
    return form


def shelf_file(bench):
    text = f"shaft,length_in,tip_cut_in,bought_length_in,count,mark\n{STEEL},42,,,6,\n{STEEL},36.5,3.5,,1,B3\n"
    (bench.folder / "shelf.csv").write_text(text, encoding="utf-8")
    return bench.folder / "shelf.csv"


def test_the_lists_are_those_of_the_verb(form, bench, capsys):
    form.press("work")
    assert form.said == "10 clubs planned, 0 short."
    assert not (bench.folder / "rack").exists()
    form.press("write")
    assert form.said == "Wrote take.csv, buy.csv, short.csv, shelf_afterwards.csv into rack."
    words = ["stock", bench.folder / "class.toml", "--shelf", shelf_file(bench), "--data", bench.folder / "parts"]
    assert main([*map(str, words), "--to", str(bench.folder / "verb")]) == 0
    said = capsys.readouterr().out
    assert sorted(path.name for path in (bench.folder / "rack").iterdir()) == list(FILES)
    for name in FILES:
        assert (bench.folder / "rack" / name).read_bytes() == (bench.folder / "verb" / name).read_bytes()
    for table in (each for each in form.shown["found"] if isinstance(each, Rows)):
        for row in table.rows:
            assert all(text in said for text in row)
    (lines,) = [each.lines for each in form.shown["found"] if isinstance(each, Lines) and "[[club]]" in each.lines[0]]
    assert "pulled = true, raw_length_in = 36.5, tip_cut_in = 3.5" in lines[1]
    assert lines[1].strip() in said


def test_a_file_is_the_same_as_its_rows(form, bench):
    form.press("work")
    typed = [each for each in form.shown["found"] if isinstance(each, Rows)]
    shelf_file(bench)
    form.put({"shelf file": "shelf.csv"})
    form.press("work")
    assert list(form.faults) == ["shelf file"]  # one of the two
    form.set_rows("shelf", [{}])
    form.press("work")
    assert [each for each in form.shown["found"] if isinstance(each, Rows)] == typed


def test_the_first_order_is_served_first_and_one_twice_is_named_at_its_cell(form, bench):
    (bench.folder / "monday.toml").write_bytes((bench.folder / "class.toml").read_bytes())
    form.set_rows("orders", [{"file": "monday.toml"}, {}, {"file": "of the bench"}, {"file": "monday.toml"}])
    form.press("work")
    assert list(form.faults) == ["orders 4: file"]
    form.take_out("orders", 4)
    form.press("work")
    captions = [each.caption for each in form.shown["found"] if isinstance(each, Rows)]
    assert captions[:2] == [f"monday: {STEEL}", f"class: {STEEL}"]
    served = form.shown["found"][0].rows
    assert sum("B3" in row[1] for row in served) == 1
    form.set_rows("orders", [{}])
    form.press("work")
    assert list(form.faults) == ["orders 1: file"]


def test_faults_of_order_shelf_and_offers_are_all_named_at_once_each_at_its_place(form, bench):
    (bench.folder / "bad.toml").write_text('title = "x"\n', encoding="utf-8")
    (bench.folder / "offers.csv").write_text(f"shaft,raw_length_in,pack\n{STEEL},41,1\n", encoding="utf-8")
    form.set_rows("orders", [{"file": "bad.toml"}])
    form.put({"shelf 1: count": "some", "shelf 2: tip_cut_in": "", "offers file": "offers.csv"})
    form.press("work")
    assert set(form.faults) == {"orders 1: file", "shelf 1: count", "offers file"}
    assert form.faults["offers file"][0].startswith("row 2, column raw_length_in: 41 in is no raw length")
    form.put({"shelf 1: count": "6"})
    form.press("")
    assert set(form.faults) == {"orders 1: file", "shelf 2: tip_cut_in", "offers file"}


def test_lists_are_replaced_only_with_the_tick_and_then_all(form, bench):
    form.press("work")
    (bench.folder / "rack").mkdir()
    (bench.folder / "rack" / "short.csv").write_text("mine", encoding="utf-8")
    form.press("write")
    assert "is there already" in form.faults["folder"][0]
    assert [path.name for path in (bench.folder / "rack").iterdir()] == ["short.csv"]
    form.put({"replace": True})
    form.press("write")
    assert sorted(path.name for path in (bench.folder / "rack").iterdir()) == list(FILES)
    assert form.fields["replace"].value is False


@pytest.mark.parametrize("name", ["../out", "/tmp/out", "a/b", "", ".hidden", "link"])
def test_nothing_is_written_outside_the_folder(form, bench, name, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (bench.folder / "link").symlink_to(elsewhere)
    before = sorted(bench.folder.iterdir())
    form.put({"folder": name})
    form.press("work")
    form.press("write")
    assert not form.fine
    assert sorted(bench.folder.iterdir()) == before
    assert list(elsewhere.iterdir()) == []


def test_an_empty_shelf_is_said(form):
    form.set_rows("shelf", [{}, {}])
    form.press("work")
    assert form.said == "10 clubs planned, 0 short. Nothing is on the shelf: all is to be bought."
