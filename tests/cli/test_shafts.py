"""The verbs of the rack as a person runs them: what they print and write, and that a refusal writes nothing."""

import csv
import re
import shutil

import pytest

from trimkit.cli import main
from trimkit.club.order.order import shipped_order
from trimkit.club.set import plan_order
from trimkit.papers.templates import ORDER_FILE, write_templates
from trimkit.parts.catalogue import data_folder
from trimkit.parts.units import nearest_mark

STEEL = "steel parallel 110 g combination"
ORDERS = data_folder() / "orders"
CLASS, TAPER = ORDERS / "evening_class.toml", ORDERS / "taper_soft_step.toml"
SHELF = f"""shaft,length_in,tip_cut_in,bought_length_in,count,mark
{STEEL},42,,,6,
{STEEL},36.5,3.5,,1,B3
steel taper 104 g regular,37,,39.25,1,T1
"""


@pytest.fixture
def run(capsys, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)

    def verb(*words):
        code = main([str(word) for word in words])
        said = capsys.readouterr()
        assert (code == 0) == (said.err == "")
        assert "Traceback" not in said.err
        return code, said.out + said.err

    return verb


@pytest.fixture
def shelf(tmp_path):
    path = tmp_path / "shelf.csv"
    path.write_text(SHELF, encoding="utf-8")
    return path


def test_the_cuts_at_the_rack_are_those_of_the_plan_less_what_is_off_already(run, shelf):
    code, said = run("stock", CLASS, "--shelf", shelf)
    assert code == 0
    for plan in plan_order(shipped_order()).plans:
        (line,) = [line for line in said.splitlines() if line.startswith(f"{plan.club} ")]
        off = 3.5 if "B3: cut before, 36.5 in, 3.5 in off its tip" in line else 0.0
        trim = plan.tip_trim_in - off
        length = 36.5 if off else 42.0
        for cut in (trim, plan.cut_length_in, length - trim - plan.cut_length_in):
            assert f"{cut:.3f} ({nearest_mark(round(cut, 9)).text})" in line
    assert said.count("B3: cut before") == 1
    assert said.count("buy new, 42 in") == 3
    assert f"  3 shafts {STEEL}, 42 in" in said
    assert "On the shelf: 8 before, 7 taken, 1 left." in said


def test_next_week_starts_from_what_this_week_left(run, shelf, tmp_path):
    assert run("stock", CLASS, TAPER, "--shelf", shelf, "--to", "week 1")[0] == 0
    after = tmp_path / "week 1" / "shelf_afterwards.csv"
    assert run("check", after, "--data", data_folder())[1].endswith("(0 rows, checked against the parts).\n")
    code, said = run("stock", CLASS, "--shelf", after)
    assert code == 0
    assert f"  10 shafts {STEEL}, 42 in" in said


def test_what_is_there_is_not_written_over(run, shelf, tmp_path):
    assert run("stock", CLASS, "--shelf", shelf, "--to", "out")[0] == 0
    (tmp_path / "out" / "buy.csv").write_text("mine", encoding="utf-8")
    code, said = run("stock", CLASS, "--shelf", shelf, "--to", "out")
    assert code == 1
    assert "is there already" in said
    assert (tmp_path / "out" / "buy.csv").read_text(encoding="utf-8") == "mine"
    assert run("stock", CLASS, "--shelf", shelf, "--to", "out", "--replace")[0] == 0
    assert (tmp_path / "out" / "buy.csv").read_text(encoding="utf-8").startswith("shaft,")


def test_where_little_can_be_bought_clubs_go_short_and_it_is_said_why(run, shelf, tmp_path):
    offers = tmp_path / "offers.csv"
    offers.write_text(f"shaft,raw_length_in,pack,most_packs\n{STEEL},42,1,1\n", encoding="utf-8")
    code, said = run("stock", CLASS, "--shelf", shelf, "--offers", offers)
    assert code == 0
    assert "Short of a shaft: 2 clubs." in said
    assert len(re.findall(r"  evening_class, .*: it needs .* every piece that fits is taken", said)) == 2


def test_faults_of_orders_shelf_and_offers_come_together_and_nothing_is_written(run, tmp_path):
    (tmp_path / "order.toml").write_text("title = 1\n", encoding="utf-8")
    (tmp_path / "shelf.csv").write_text(SHELF.replace("42,,,6", "nan,,,6"), encoding="utf-8")
    (tmp_path / "offers.csv").write_text("shaft,raw_length_in,pack\noak,42,1\n", encoding="utf-8")
    code, said = run("stock", "order.toml", "--shelf", "shelf.csv", "--offers", "offers.csv", "--to", "out")
    assert code == 1
    for place in ("order.toml, title", "shelf.csv, row 2, column length_in", "offers.csv, row 2, column shaft"):
        assert place in said
    assert not (tmp_path / "out").exists()


def test_an_order_named_twice_is_refused_and_two_of_one_name_are_told_apart(run, shelf, tmp_path):
    assert "is named twice" in run("stock", CLASS, CLASS, "--shelf", shelf)[1]
    other = tmp_path / "evening_class.toml"
    other.write_text(CLASS.read_text(encoding="utf-8"), encoding="utf-8")
    code, said = run("stock", CLASS, "evening_class.toml", "--shelf", shelf)
    assert code == 0
    assert f"evening_class.toml: {STEEL}" in said.splitlines()
    assert f"{CLASS}: {STEEL}" in said.splitlines()


def test_measured_shafts_are_assigned_and_written(run, tmp_path):
    rows = [f"no. {n},,,{109 + n / 10},{278 + n},205,0,5" for n in range(12)]
    head = "mark,shaft,raw_length_in,raw_mass_g,raw_frequency_cpm,test_mass_g,test_offset_in,clamp_in"
    (tmp_path / "bare.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    code, said = run("assign", CLASS, "--shafts", "bare.csv", "--to", "assigned.csv")
    assert code == 0
    table = list(csv.DictReader((tmp_path / "assigned.csv").read_text(encoding="utf-8").splitlines()))
    assert len(table) == 12
    for row in table[:10]:
        line = next(line for line in said.splitlines() if line.startswith(f"{row['club']} "))
        assert re.search(rf"{row['mark']} .*{row['target_cpm']} +{row['expected_cpm']} ", line)
    assert f"Left over: {', '.join(row['mark'] for row in table[10:])}." in said
    assert run("assign", CLASS, "--shafts", "bare.csv", "--to", "assigned.csv")[0] == 1
    (tmp_path / "bare.csv").write_text("\n".join([head, *rows[:9]]) + "\n", encoding="utf-8")
    code, said = run("assign", CLASS, "--shafts", "bare.csv")
    assert code == 1
    assert f"9 measured shafts '{STEEL}' of 42 in for 10 clubs" in said


def test_check_knows_a_file_of_the_rack_by_its_name_or_its_header(run, shelf, tmp_path):
    plain = run("check", shelf)
    assert plain == (
        0,
        f"{shelf}: in order (3 rows, not checked against the parts: name them with --data or --own-parts).\n",
    )
    shelf.rename(tmp_path / "monday.csv")
    assert "in order (3 rows, checked against the parts)" in run("check", "monday.csv", "--data", data_folder())[1]
    (tmp_path / "monday.csv").write_text(SHELF.replace(",3.5,", ",9.5,"), encoding="utf-8")
    assert run("check", "monday.csv")[0] == 0
    code, said = run("check", "monday.csv", "--data", data_folder())
    assert code == 1
    assert "monday.csv, row 3: 9.5 in is off the tip" in said
    (tmp_path / "other.csv").write_text("shaft,colour\nx,red\n", encoding="utf-8")
    assert "no data file has this name" in run("check", "other.csv")[1]


def test_a_folder_of_templates_is_in_order_with_its_rack_and_both_verbs_run_on_it(run, tmp_path):
    parts = tmp_path / "parts"
    write_templates(parts)
    said = run("check", parts)[1].splitlines()
    assert "The rack: 3 rows of shelf.csv, 2 rows of offers.csv, 2 rows of bare_shafts.csv." in said
    order, beside = parts / ORDER_FILE, ("--own-parts", parts)
    assert "example mark" in run("stock", order, *beside, "--shelf", parts / "shelf.csv")[1]
    code, said = run("assign", order, *beside, "--shafts", parts / "bare_shafts.csv")
    assert code == 0
    assert "Far off" not in said
    text = (parts / "shelf.csv").read_text(encoding="utf-8")
    (parts / "shelf.csv").write_text(text.replace("example steel taper", "exmaple taper"), encoding="utf-8")
    for words in ([parts], [data_folder(), *beside]):
        code, said = run("check", *words)
        assert code == 1
        assert "row 4, column shaft: there is no shaft 'exmaple taper'" in said


@pytest.fixture
def parts(tmp_path):
    shutil.copytree(data_folder(), tmp_path / "parts", ignore=shutil.ignore_patterns("orders"))
    return tmp_path / "parts"


def test_stock_goes_by_the_shop_s_own_figures_of_the_bench(run, parts, tmp_path):
    """A shaft of 41.9 in is a whole one of 42 in if the shop's tape reads no closer than 1/8 in."""
    shelf = tmp_path / "shelf.csv"
    shelf.write_text(f"shaft,length_in,tip_cut_in,bought_length_in,count,mark\n{STEEL},41.9,,,10,\n", encoding="utf-8")
    words = ("stock", CLASS, "--data", parts, "--shelf", shelf)
    code, said = run(*words)
    assert code == 1
    assert "row 2, column tip_cut_in: " in said
    (parts / "shop.toml").write_text("[bench]\nmeasuring_error_in = 0.125\n", encoding="utf-8")
    code, said = run(*words)
    assert code == 0
    assert "On the shelf: 10 before, 10 taken, 0 left." in said
    assert run("check", shelf, "--data", parts)[0] == 0
    (parts / "shop.toml").write_text('[[calibrated]]\nshaft = "oak"\nei_factor = 1.0\n', encoding="utf-8")
    code, said = run(*words)
    assert code == 1
    assert "shop.toml, [[calibrated]] 1: shaft: there is no shaft 'oak'" in said


def test_assign_reads_bare_shafts_as_the_shop_does(run, parts, tmp_path):
    head = "mark,shaft,raw_length_in,raw_mass_g,raw_frequency_cpm,test_mass_g,test_offset_in,clamp_in\n"
    for name, how in (("said.csv", "205,,4.5"), ("silent.csv", ",,")):
        rows = [f"no. {n},,,{109 + n / 10},{278 + n},{how}\n" for n in range(11)]
        (tmp_path / name).write_text(head + "".join(rows), encoding="utf-8")
    words = ("assign", CLASS, "--data", parts, "--shafts")
    said = run(*words, "said.csv")
    assert said[0] == 0
    assert "there is no test_mass_g and no clamp_in" in run(*words, "silent.csv")[1]
    (parts / "shop.toml").write_text("[test_weight]\nmass_g = 205\nclamp_in = 4.5\n", encoding="utf-8")
    assert run(*words, "silent.csv") == said
