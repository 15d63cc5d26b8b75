"""The frame of a form: keys, rows that come and go, one answer at a time, and messages of a page that come late."""

import threading
import time

import pytest

from trimkit.parts.errors import BenchError
from trimkit.study.form.frame import Form
from trimkit.study.form.pieces import Answer, Button, Buttons, Field, Fields, Lines, Output, Picture, Rows, Table, files

CLUBS = Table(
    "readings",
    "club",
    (Field("club", "club"), Field("cpm", "frequency", "cpm"), Field("twice", "twice", "cpm", told=True)),
    details=(Field("note", "note"),),
    most=4,
)


@pytest.fixture
def form(tmp_path):
    """A form that doubles numbers, with a file to choose; ``asked`` are the buttons that it was asked for."""

    def answer(pressed, values):
        asked.append(pressed)
        if pressed == "crash":
            raise ZeroDivisionError("no such thing")
        if pressed == "refuse":
            raise BenchError("it was refused", "something else", "do that")
        told, faults = {}, {}
        for number, row in enumerate(values.rows("readings"), start=1):
            try:
                told[f"readings {number}: twice"] = f"{2 * float(row['cpm']):g}"
            except ValueError:
                faults[f"readings {number}: cpm"] = [f"{row['cpm']!r} is no number"]
        shown = {"below": [Lines(("a line",)), Rows(("cpm",), (("1",),)), Picture("<svg/>", "a picture")]}
        return Answer("", faults=faults, told=told, shown=shown if pressed == "show" else {})

    asked = []
    pieces = [
        Fields(
            "Head",
            (
                Field("client", "client"),
                Field("grip", "grip", choices=(("thin", 1), ("thick", 2))),
                Field("file", "file", choices=files(tmp_path, "*.csv")),
            ),
        ),
        CLUBS,
        Buttons((Button("show", "Show"), Field("replace", "replace", tick=True))),
        Output("below"),
    ]
    form = Form(pieces, answer)
    form.asked = asked
    form.set_rows("readings", [{"club": "6-iron", "cpm": 300.5}, {"club": "7-iron", "cpm": "310"}])
    return form


def sent(form, number, pressed="", table="", row=0, page="a page", **values):
    """Let the form hear what a page would send; values by the names that the page has for the fields."""
    form.view  # noqa: B018  a page has to be there
    form._heard({"asked": [page, number], "values": values, "pressed": pressed, "table": table, "row": row})


def test_a_fresh_form_has_the_first_choices_and_no_texts(form):
    assert dict(form.values) == {
        "client": "",
        "grip": 1,
        "file": "",
        "replace": False,
        "readings 1: club": "6-iron",
        "readings 1: cpm": "300.5",
        "readings 1: note": "",
        "readings 2: club": "7-iron",
        "readings 2: cpm": "310",
        "readings 2: note": "",
    }


def test_an_answer_fills_told_cells_and_puts_faults_beside_their_fields(form):
    form.press("")
    assert form.told == {"readings 1: twice": "601", "readings 2: twice": "620"}
    assert (form.said, form.fine) == ("", True)
    form.fields["readings 2: cpm"].value = "many"
    form.press("")
    assert form.faults == {"readings 2: cpm": ["'many' is no number"]}
    assert form.said == "1 fault, beside its field: club 2: frequency."
    assert form.fine is False


def test_code_is_refused_a_choice_or_a_field_that_is_not_there_and_nothing_is_put_in(form):
    with pytest.raises(BenchError, match="grip is 3"):
        form.put({"client": "x", "grip": 3})
    with pytest.raises(BenchError, match="no field 'readings 3: cpm'"):
        form.put({"client": "x", "readings 3: cpm": 1})
    with pytest.raises(BenchError, match="no column 'mass'"):
        form.set_rows("readings", [{"mass": 3}])
    assert form.values["client"] == ""
    form.put({"grip": 2, "client": 1e-5, "replace": True})
    assert [form.values[key] for key in ("grip", "client", "replace")] == [2, "0.00001", True]
    form.put({"grip": None, "client": None, "replace": None})
    assert [form.values[key] for key in ("grip", "client", "replace")] == [1, "", False]


def test_rows_come_and_go_and_come_back_with_what_was_in_them(form):
    before = form.values.rows("readings")
    form.take_out("readings", 1)
    assert [row["club"] for row in form.values.rows("readings")] == ["7-iron"]
    form.take_out("readings", 1)
    assert len(form.values.rows("readings")) == 1
    form.put_back("readings")
    assert form.values.rows("readings") == before
    for _ in range(5):
        form.add_row("readings", {"club": "new"})
    assert [row["club"] for row in form.values.rows("readings")] == ["6-iron", "7-iron", "new", "new"]
    with pytest.raises(BenchError, match="5 clubs for one table"):
        form.set_rows("readings", [{}] * 5)


def test_a_cell_keeps_its_place_on_the_page_when_a_row_above_it_goes(form):
    sent(form, 1, **{"2:cpm": "311"})
    sent(form, 2, "take out", "readings", row=1, **{"2:cpm": "312"})
    sent(form, 3, **{"1:cpm": "99", "2:cpm": "313", "nowhere": "x"})
    assert form.values.rows("readings") == [{"club": "7-iron", "cpm": "313", "note": ""}]
    sent(form, 4, "put back", "readings")
    sent(form, 5, "add", "readings")
    assert [row["cpm"] for row in form.values.rows("readings")] == ["300.5", "313", ""]
    assert form.view.state["rows"]["readings"][1] == 2


def test_of_two_messages_the_newer_counts_whichever_comes_last(form):
    sent(form, 2, "show", **{"0:client": "new"})
    sent(form, 1, **{"0:client": "old"})
    assert form.values["client"] == "new"
    assert form.view.state["answered"] == ["a page", 2]
    sent(form, 1, page="another page", **{"0:client": "newest"})
    assert form.values["client"] == "newest"


def test_what_no_page_can_send_is_not_taken_over(form):
    sent(form, 1, **{"0:grip": 9, "0:client": "x" * 9_000, "0:replace": "yes"})
    assert form.values["grip"] == 1
    assert len(form.values["client"]) == 2_000
    assert form.values["replace"] is True


def test_a_refusal_is_the_message_and_a_crash_is_too_and_is_raised_again(form):
    sent(form, 1, "refuse")
    assert form.view.state["said"] == "it was refused. Allowed: something else. Do next: do that."
    with pytest.raises(ZeroDivisionError):
        sent(form, 2, "crash")
    assert form.view.state["said"] == "no such thing"
    assert form.view.state["answered"] == ["a page", 2]
    assert form.view.state["fine"] is False


def test_files_are_looked_up_anew_and_only_those_of_the_folder(form, tmp_path):
    def offered():
        (field,) = [each for each in form.view.shape[0]["fields"] if each["name"] == "file"]
        return [words for words, _ in field["choices"]]

    assert offered() == ["choose a file"]
    for name in ("b.csv", "a.csv", ".hidden.csv", "c.toml"):
        (tmp_path / name).write_text("x", encoding="utf-8")
    (tmp_path / "folder.csv").mkdir()
    form.press("")
    assert offered() == ["choose a file", "a.csv", "b.csv"]
    form.fields["file"].value = "a.csv"
    (tmp_path / "a.csv").unlink()
    sent(form, 1, **{"0:file": "a.csv"})
    assert form.values["file"] == ""


def test_an_output_keeps_what_it_shows_until_another_answer_shows_something(form):
    form.press("show")
    drawn = [each["kind"] for each in form.view.state["shown"]["below"]]
    assert drawn == ["Lines", "Rows", "Picture"]
    form.press("")
    assert [each["kind"] for each in form.view.state["shown"]["below"]] == drawn


def test_an_answer_fills_a_table_anew_and_puts_values_in_but_no_more_rows_than_it_takes():
    def answer(pressed, values):
        return Answer(rows={"readings": [{"club": str(n)} for n in range(int(pressed))]}, values={"client": "read"})

    form = Form([Fields("Head", (Field("client", "client"),)), CLUBS], answer)
    form.press("2")
    assert [row["club"] for row in form.values.rows("readings")] == ["0", "1"]
    assert form.values["client"] == "read"
    form.press("5")
    assert form.said.startswith("5 clubs for one table")
    assert len(form.values.rows("readings")) == 2


def test_a_fault_of_no_field_is_in_the_message():
    form = Form([Fields("Head", (Field("client", "client"),))], lambda pressed, values: Answer(faults={"x": ["odd"]}))
    form.press("")
    assert form.said == "1 fault. x: odd"


def test_only_one_answer_runs_at_once():
    running, most = [], []

    def answer(pressed, values):
        running.append(pressed)
        most.append(len(running))
        time.sleep(0.01)
        running.pop()
        return Answer(values["client"])

    form = Form([Fields("Head", (Field("client", "client"),))], answer)
    threads = [
        threading.Thread(target=sent, args=(form, number), kwargs={"0:client": str(number)}) for number in range(9)
    ]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert max(most) == 1
    assert form.said == form.values["client"] == "8"
