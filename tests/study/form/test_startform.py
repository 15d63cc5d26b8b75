"""Where the work lies: own parts and an order are opened or refused beside their fields; templates; what was read."""

import tomllib

import pytest

from trimkit.papers.templates import write_templates
from trimkit.study import order_form, shop_bench, start_form


@pytest.fixture
def bench(tmp_path):
    return shop_bench(tmp_path)


@pytest.fixture
def form(bench):
    return start_form(bench)


def read(form):
    (shown,) = form.shown["read"]
    return "\n".join(shown.lines)


def test_from_an_empty_folder_to_templates_and_their_order_in_the_order_form(bench, form, tmp_path):
    order = order_form(bench)
    form.press("")
    assert "the demo's, all invented: 22 heads" in read(form)
    assert list(tmp_path.iterdir()) == []
    form.fields["new folder"].value = "my_parts"
    form.press("templates")
    made = len(list((tmp_path / "my_parts").iterdir()))
    assert form.said.startswith(f"Wrote {made} files into my_parts")
    assert order.values["title"] == "Evening class, irons and hybrids"
    form.press("open")
    assert form.said == "Opened: Example order, 1 club."
    assert "those of my_parts, beside the demo's" in read(form)
    assert order.values["title"] == "Example order"
    assert order.tables()["shaft"] == "example steel parallel"
    assert (bench.own_parts, bench.order_file) == ("my_parts", "my_parts/example_order.toml")


@pytest.mark.parametrize("name", ["", " ", "../outside", "/tmp/outside", ".hidden", "a/b"])
def test_templates_go_into_the_folder_or_nowhere(form, tmp_path, name):
    form.fields["new folder"].value = name
    form.press("templates")
    assert "file name" in form.faults["new folder"][0]
    assert list(tmp_path.iterdir()) == []


def test_templates_are_never_written_over(form, tmp_path):
    write_templates(tmp_path / "mine")
    (tmp_path / "mine" / "heads.csv").write_text("my own", encoding="utf-8")
    form.fields["new folder"].value = "mine"
    form.press("templates")
    assert "not empty" in form.faults["new folder"][0]
    assert (tmp_path / "mine" / "heads.csv").read_text(encoding="utf-8") == "my own"


def test_faults_of_parts_and_of_the_order_are_beside_their_own_fields_and_nothing_is_opened(bench, form, tmp_path):
    write_templates(tmp_path / "mine")
    grips = tmp_path / "mine" / "grips.csv"
    grips.write_text(grips.read_text(encoding="utf-8").replace("example grip,", "example grip,heavy"), encoding="utf-8")
    (tmp_path / "bad.toml").write_text('title = "no more"\nflex = 3\n', encoding="utf-8")
    form.put({"own parts": "mine", "order": "bad.toml"})
    form.press("open")
    assert form.said.startswith("Nothing is opened.")
    assert "grips.csv, row 2" in " ".join(form.faults["own parts"])
    assert "bad.toml" in " ".join(form.faults["order"])
    assert (bench.own_parts, bench.order_file, bench.opened) == ("", "", 0)


def test_calibrations_of_the_shop_file_are_said_and_reach_the_cuts_of_the_order_form(bench, form, tmp_path):
    write_templates(tmp_path / "mine")
    order = order_form(bench)
    order.press("")
    before = float(order.told["[[club]] 6: frequency_cpm"].split("\n")[0])
    text = '[[calibrated]]\nshaft = "steel parallel 110 g combination"\nei_factor = 0.81\nei_factor_sd = 0.01\n'
    (tmp_path / "mine" / "shop.toml").write_text(text, encoding="utf-8")
    form.fields["own parts"].value = "mine"
    form.press("open")
    assert "Calibrated: steel parallel 110 g combination, stiffness × 0.81 ± 0.01" in read(form)
    order.press("")
    after = float(order.told["[[club]] 6: frequency_cpm"].split("\n")[0])
    # f goes with the root of EI, for the same mass: sqrt(0.81) = 0.9
    assert after == pytest.approx(0.9 * before, abs=0.15)


def test_a_shop_file_that_changes_later_counts_and_what_was_typed_stays(bench, form, tmp_path):
    write_templates(tmp_path / "mine")
    form.fields["own parts"].value = "mine"
    form.press("open")
    order = order_form(bench)
    order.fields["client"].value = "somebody"
    order.view  # noqa: B018, as a page shows it
    (tmp_path / "mine" / "shop.toml").write_text("[usual]\ntape_mass_g = 3.5\n", encoding="utf-8")
    bench.changed()
    form.fields["new folder"].value = "more"
    form.press("templates")
    assert order.shop.usual.tape_mass_g == 3.5
    assert order.values["client"] == "somebody"
    (tmp_path / "mine" / "shop.toml").write_text("[usual]\ntape_mass_g = true\n", encoding="utf-8")
    form.fields["new folder"].value = "again"
    form.press("templates")
    assert order.said.startswith("The parts of this form are those of before.")
    assert order.shop.usual.tape_mass_g == 3.5


def test_a_chosen_part_that_is_gone_is_told_and_never_another_in_its_place(bench, form, tmp_path):
    write_templates(tmp_path / "mine")
    form.put({"own parts": "mine", "order": "mine/example_order.toml"})
    form.press("open")
    order = order_form(bench)
    order.view  # noqa: B018, as a page shows it
    grips = tmp_path / "mine" / "grips.csv"
    grips.write_text(grips.read_text(encoding="utf-8").replace("example grip,", "other grip,"), encoding="utf-8")
    form.fields["new folder"].value = "more"
    form.press("templates")
    assert order.said.startswith("The parts of this form are those of before. grip is 'example grip'")
    assert order.tables()["grip"] == "example grip"
    assert "example grip" in dict(order.fields["grip"].field.offered)


def test_an_order_saved_in_the_order_form_is_the_benchs(bench, tmp_path):
    order = order_form(bench)
    order.save("client 08")
    assert bench.order_file == "client 08.toml"
    assert tomllib.loads((tmp_path / "client 08.toml").read_text(encoding="utf-8"))["client"] == "client 07"
    assert bench.order().title == "Evening class, irons and hybrids"


def test_one_without_the_demos_parts_offers_its_own_alone(bench, form, tmp_path):
    write_templates(tmp_path / "mine")
    order = order_form(bench)
    form.put({"own parts": "mine", "order": "mine/example_order.toml", "alone": True})
    form.press("open")
    assert "alone" in read(form)
    offered = [name for name, _ in order.fields["[[club]] 1: head"].field.offered]
    assert offered
    assert all(name.startswith("example") for name in offered)
