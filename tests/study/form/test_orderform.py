"""The form is the file: the same order either way, every fault at once beside its field, nothing written over."""

import re
import tomllib

import pytest

from trimkit.club.order.file import order_tables, toml_text
from trimkit.club.order.order import open_order, shipped_order
from trimkit.club.order.tables import AssemblyTable, ClubTable, LengthTable, OrderHeader
from trimkit.parts.errors import BenchError, DataFileError
from trimkit.study.form.orderform import order_form

NAMES = ("evening_class", "taper_soft_step", "wood_pair")


@pytest.fixture
def form(tmp_path):
    return order_form(folder=tmp_path)


@pytest.mark.parametrize("name", NAMES)
def test_the_form_gives_the_order_the_file_gives_and_saves_that_file(tmp_path, name):
    form = order_form(shipped_order(name), tmp_path)
    assert form.order() == shipped_order(name)
    path = form.save("mine")
    assert path == tmp_path / "mine.toml"
    assert open_order(path) == form.order() == shipped_order(name)
    assert [each.name for each in tmp_path.iterdir()] == ["mine.toml"]


def test_there_is_a_field_for_every_name_an_order_file_may_hold(form):
    wanted = set(OrderHeader.model_fields)
    wanted |= {f"[length] {name}" for name in LengthTable.model_fields}
    wanted |= {f"[assembly] {name}" for name in AssemblyTable.model_fields}
    clubs = range(1, len(shipped_order().clubs) + 1)
    wanted |= {f"[[club]] {number}: {name}" for number in clubs for name in ClubTable.model_fields}
    assert set(form.fields) == wanted | {"save as", "replace"}


TYPED = {
    "flex": "R/S 1/2",
    "[length] playing_length_in": "97.8 cm",
    "[assembly] clamp_in": "127 mm",
    "[assembly] root_spring_n_m_per_rad": "50000",
    "[[club]] 6: head_mass_g": "9.6 oz",
    "[[club]] 6: bbgl_in": "1 1/8",
    "[[club]] 6: playing_length_in": "38 1/2",
    "[[club]] 7: playing_length_in": "38.5 in",
    "[[club]] 10: bore": "leave",
    "[[club]] 10: why": 'he said "softer"',
    "[[club]] 1: trim_as": "number",
}


def test_what_is_typed_is_the_order_of_the_same_words_in_a_file(form, tmp_path):
    for key, text in TYPED.items():
        form.fields[key].value = text
    form.fields["[[club]] 2: outside_rules"].value = True
    written = tmp_path / "written.toml"
    written.write_text(toml_text(form.tables()), encoding="utf-8")
    order = form.order()
    assert open_order(written) == order
    assert order.clubs[5].length.playing_length_in == order.clubs[6].length.playing_length_in == 38.5
    assert order.clubs[5].head.bbgl_in == 1.125
    assert order.clubs[5].head.head_mass_g == pytest.approx(9.6 * 28.349523125)
    assert order.flex.fraction == 0.5
    assert open_order(form.save("typed")) == order
    assert order_form(order, tmp_path).tables() == order_form(open_order(tmp_path / "typed.toml")).tables()


def test_every_fault_is_told_at_once_beside_its_field(form, tmp_path):
    wrong = {
        "title": "",
        "flex": "Q",
        "[length] playing_length_in": "about 38",
        "[assembly] ferrule_mass_g": "1 stone",
        "[[club]] 3: bbgl_in": "25 in",
        "[[club]] 9: dry_fitted_in": "41",
    }
    for key, text in wrong.items():
        form.fields[key].value = text
    assert form.check() is None
    assert set(form.faults) == set(wrong)
    assert form.said == (
        f"{len(wrong)} faults, each beside its field: title; flex, or a place such as R/S 0.5; its playing length; "
        "ferrule; club 3: BBGL; club 9: dry fit: fitted."
    )
    assert form.fine is False
    assert all("Do next" in words for told in form.faults.values() for words in told)
    assert "'dry fit: bare' and 'dry fit: fitted' together" in form.faults["[[club]] 9: dry_fitted_in"][0]
    assert form.save("bad") is None
    assert form.said.startswith("Not saved. 6 faults")
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(DataFileError):
        form.order()
    form.fill(order_tables(shipped_order()))
    assert form.check() == shipped_order()
    assert form.faults == {}
    assert (form.said, form.fine) == ("The order is whole: 10 clubs.", True)


def test_a_club_the_rules_refuse_is_told_at_its_head(form):
    form.fields["[[club]] 4: playing_length_in"].value = "42 1/2"
    assert form.check() is not None
    assert set(form.faults) == {"[[club]] 4: head"}
    assert "too short" in form.faults["[[club]] 4: head"][0]
    assert "[[club]] 4: tip_trim_in" not in form.told
    assert "[[club]] 5: tip_trim_in" in form.told


def test_a_cut_that_the_double_check_stops_is_told_at_the_cut_and_can_be_saved(form, tmp_path):
    form.fields["[[club]] 4: head_mass_g"].value = "300"
    assert form.save("heavy") == tmp_path / "heavy.toml"
    (key,) = form.faults
    assert key == "[[club]] 4: tip_trim_in"
    assert "double check stops" in form.faults[key][0]
    assert "another club's head" in form.faults[key][0]
    assert form.said == "Saved as heavy.toml, 10 clubs. 1 fault, beside its field: club 4: tip trim."


def test_a_file_that_is_there_is_not_written_over_unless_told(form, tmp_path):
    form.fields["save as"].value = "mine"
    form.press("save")
    before = (tmp_path / "mine.toml").read_text(encoding="utf-8")
    form.fields["client"].value = "client 08"
    form.press("save")
    assert form.said.startswith("Not saved. 1 fault, beside its field: save as.")
    assert (tmp_path / "mine.toml").read_text(encoding="utf-8") == before
    form.fields["replace"].value = True
    form.press("save")
    assert form.said == "Saved as mine.toml, 10 clubs."
    assert tomllib.loads((tmp_path / "mine.toml").read_text(encoding="utf-8"))["client"] == "client 08"
    assert form.fields["replace"].value is False


def test_a_name_that_leads_out_of_the_folder_is_refused_in_words(form, tmp_path):
    for name in ("", " ", "../out", "a/b", "a\\b", ".hidden", "a\nb", "c:d", "n" * 300, "nul\0", "a?"):
        assert form.save(name) is None
        assert form.said.startswith("Not saved")
        assert list(tmp_path.iterdir()) == []
    assert not (tmp_path.parent / "out.toml").exists()


def test_clubs_come_and_go_and_what_was_typed_stays(form):
    form.fields["[[club]] 2: bbgl_in"].value = "1 1/16"
    form.add_row("[[club]]")
    assert len(form.order().clubs) == 11
    form.take_out("[[club]]", 1)
    assert form.fields["[[club]] 1: bbgl_in"].value == "1 1/16"
    form.put_back("[[club]]")
    assert form.fields["[[club]] 2: bbgl_in"].value == "1 1/16"
    for _ in range(20):
        form.take_out("[[club]]", 1)
    assert len(form.tables()["club"]) == 1
    form.fill(order_tables(shipped_order()))
    assert form.order() == shipped_order()


def test_a_part_that_is_not_there_is_refused(form):
    with pytest.raises(BenchError, match="shaft is 'no such'"):
        form.fill(order_tables(shipped_order()) | {"shaft": "no such"})


def test_a_page_without_a_kernel_shows_the_order_in_words_or_the_faults(form):
    head, clubs = form._repr_mimebundle_()["text/plain"].split("\n\n")
    said = dict(re.split(r" {2,}", line, maxsplit=1) for line in head.splitlines())
    assert (said["client"], said["shaft"]) == ("client 07", "steel parallel 110 g combination")
    assert said["flex, or a place such as R/S 0.5"] == "R"
    assert (said["its playing length"], said["ferrule"]) == ("37.5 in", "1.5 g")
    assert "stepped" not in said
    heads, *rows = [re.split(r" {2,}", line) for line in clubs.splitlines()]
    assert heads == ["club", "head", "dry fit: bare (in)", "dry fit: fitted (in)"]
    assert [row[1] for row in rows] == [each["head"] for each in order_tables(shipped_order())["club"]]
    assert rows[0] == ["1", "class 3-hybrid"]
    assert rows[9] == ["10", "class long-hosel sand wedge", "42", "43.5"]
    form.put({"[[club]] 10: bore": "leave", "[[club]] 10: why": "partial shots", "[[club]] 2: extend": True})
    heads, *rows = [re.split(r" {2,}", line) for line in form._repr_mimebundle_()["text/plain"].splitlines()[-11:]]
    assert heads[-3:] == ["bore", "lengthen at the butt", "reason"]
    assert rows[9][-2:] == ["leave it", "partial shots"]
    assert rows[1][-1] == "yes"
    form.fields["flex"].value = "Q"
    assert "flex" in form._repr_mimebundle_()["text/plain"]
