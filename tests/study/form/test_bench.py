"""The shop bench: what it finds in its folder and reads, how its forms hear of each other, that it stays inside."""

import pytest

from trimkit.papers.templates import write_templates
from trimkit.parts.errors import BenchError, DataFileError
from trimkit.study import shop_bench
from trimkit.study.form.bench import BenchForm, offered
from trimkit.study.form.pieces import Answer, Field, Fields, Lines, Output


@pytest.fixture
def bench(tmp_path):
    write_templates(tmp_path / "my_parts")
    return shop_bench(tmp_path)


def test_an_empty_folder_has_nothing_and_the_demo_order(tmp_path):
    bench = shop_bench(tmp_path)
    assert (bench.own_part_places(), bench.order_files(), bench.record_files()) == ((), (), ())
    assert bench.shop() is None
    assert [club.head.name for club in bench.order().clubs][:2] == ["class 3-hybrid", "class 4-hybrid"]
    assert list(tmp_path.iterdir()) == []


def test_own_parts_are_used_beside_the_demos_or_alone(bench):
    assert bench.own_part_places() == ("my_parts",)
    assert bench.order_files() == ("my_parts/example_order.toml", "my_parts/order.toml")
    demo = set(bench.catalogue().heads)
    bench.choose("my_parts")
    both = set(bench.catalogue().heads)
    bench.choose("my_parts", alone=True, order_file="my_parts/example_order.toml")
    own = set(bench.catalogue().heads)
    assert demo | own == both
    assert demo & own == set()
    assert bench.order().catalogue.own_folder is None


def test_a_choice_that_is_refused_leaves_the_bench_as_it_was(bench):
    bench.choose("my_parts")
    with pytest.raises(DataFileError, match="shaft"):
        bench.choose("my_parts", alone=True)  # the demo order on parts that lack its shaft
    assert (bench.own_parts, bench.alone, bench.order_file) == ("my_parts", False, "")
    assert (bench.opened, bench.changes) == (1, 1)


def test_the_shops_own_file_counts_for_every_order(bench, tmp_path):
    (tmp_path / "my_parts" / "shop.toml").write_text('name = "The shed"\n[clamp]\nclamp_in = 6.0\n', encoding="utf-8")
    bench.choose("my_parts")
    assert bench.shop().name == "The shed"
    assert bench.order().shop.name == "The shed"
    assert bench.order().assembly.clamp_in == 6.0
    (tmp_path / "my_parts" / "shop.toml").write_text("[clamp]\nclamp_in = -6.0\n", encoding="utf-8")
    with pytest.raises(DataFileError, match="clamp_in"):
        bench.order()


def test_what_is_offered_is_looked_up_anew_and_never_a_hidden_file_or_a_link(bench, tmp_path):
    choices = offered(bench.order_files, "the demo order")
    own = tuple((name, name) for name in ("my_parts/example_order.toml", "my_parts/order.toml"))
    assert choices() == (("the demo order", ""), *own)
    (tmp_path / "one.toml").write_text("", encoding="utf-8")
    (tmp_path / ".two.toml").write_text("", encoding="utf-8")
    (tmp_path / "~three.toml").write_text("", encoding="utf-8")
    (tmp_path / "four.toml").symlink_to(tmp_path / "one.toml")
    (tmp_path / "folder.toml").mkdir()
    assert choices() == (("the demo order", ""), ("one.toml", "one.toml"), *own)


@pytest.mark.parametrize("name", ["../there.toml", "/etc/passwd", "my_parts/../../there.toml"])
def test_nothing_outside_the_folder_is_read_or_written(bench, name):
    with pytest.raises(BenchError, match="outside"):
        bench.path(name)


def test_a_link_out_of_the_folder_is_outside(bench, tmp_path, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (tmp_path / "link").symlink_to(elsewhere)
    with pytest.raises(BenchError, match="outside"):
        bench.path("link/there.toml")


def test_forms_hear_of_what_another_has_changed_and_the_newer_of_two_counts(bench, tmp_path):
    heard = []

    def form(title, change=False):
        def answer(pressed, values):
            heard.append((title, pressed))
            if pressed == "save":
                bench.changed()
            return Answer("done", shown={"below": [Lines((title,))]})

        made = BenchForm(bench, [Fields("F", (Field("a", "a"),)), Output("below")], answer, title=title)
        made.view  # noqa: B018, as a page shows it
        return made

    one, two = form("one"), form("two")
    older = form("three")
    form("three")
    heard.clear()
    one.press("save")
    assert heard == [("one", "save"), ("two", ""), ("three", "")]
    assert one.said == "done"
    two.press("")
    assert heard[-1] == ("two", "")
    assert len(heard) == 4
    assert older is not bench.forms["three"]
