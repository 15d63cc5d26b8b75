"""A folder in which not everything is a record: what is whole is listed, the rest is named with its fault."""

import json
import os
from datetime import UTC, datetime

import pytest

from trimkit.cli import main
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record
from trimkit.papers.record.file import record_text
from trimkit.papers.record.listing import listed_records
from trimkit.parts.csvfile import MAX_FILE_BYTES


def _folder(path, text):
    path.mkdir()


def _deep(path, text):
    path.write_text('{"format": "trimkit record", "version": 4, "revisions": ' + "[" * 200_000)


def _cut_off(path, text):
    path.write_text(text[: len(text) // 2], encoding="utf-8")


def _changed(**values):
    def write(path, text):
        path.write_text(json.dumps(json.loads(text) | values), encoding="utf-8")

    return write


def _in_last(**values):
    def write(path, text):
        document = json.loads(text)
        document["revisions"][-1] |= values
        path.write_text(json.dumps(document), encoding="utf-8")

    return write


def _raw(raw):
    return lambda path, text: path.write_bytes(raw)


HOSTILE = {
    "a folder": (_folder, "it is a folder"),
    "a link to itself": (lambda path, text: path.symlink_to(path), "it is a link to somewhere else"),
    "a link into nothing": (lambda path, text: path.symlink_to("nothing"), "it is a link to somewhere else"),
    "a link to a record": (lambda path, text: path.symlink_to("whole.record.json"), "it is a link to somewhere else"),
    "a link to the folder": (lambda path, text: path.symlink_to("."), "it is a link to somewhere else"),
    "empty": (_raw(b""), "the file is empty"),
    "blank": (_raw(b" \n\t "), "the file is empty"),
    "too large": (_raw(b" " * (MAX_FILE_BYTES + 1)), "the file has 10 MB"),
    "large and no record": (_raw(b"[" + b"0," * 4_999_000 + b"0]"), "it is not a trimkit record"),
    "another list": (_raw(b"[1, 2, 3]"), "it is not a trimkit record"),
    "another document": (_raw(b'{"name": "x", "version": 4, "revisions": []}'), "it is not a trimkit record"),
    "a number": (_raw(b"1"), "it is not a trimkit record"),
    "a newer version": (_changed(version=99), "written by a newer trimkit (record version 99)"),
    "no revision": (_changed(revisions=[]), "what record.schema.json says"),
    "a version in words": (_changed(version="4"), "its version is '4'"),
    "cut off": (_cut_off, "it is not a JSON document"),
    "nested": (_deep, "it is nested too deeply"),
    "no text": (_raw(b"\xff\xfe\x00\x01"), "byte-order mark of UTF-16"),
    "not UTF-8": (_raw(b'{"format": "\x80"}'), "is not UTF-8 text"),
    "a date of words": (_in_last(saved_at="yesterday"), "saved_at"),
    "no clubs": (_in_last(clubs=[]), "clubs"),
    "an order of another kind": (_in_last(order=[]), "order"),
}


@pytest.fixture(scope="session")
def record():
    woods = build_set(shipped_order("wood_pair"))
    return first_record(woods, datetime(2026, 1, 2, tzinfo=UTC), frequency_sd_cpm=[1.5, 2.5])


@pytest.fixture
def folder(tmp_path, record):
    (tmp_path / "whole.record.json").write_text(record_text(record), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("kind", HOSTILE)
@pytest.mark.parametrize("in_full", [False, True])
def test_a_file_that_is_no_record_is_named_with_its_fault_and_the_others_are_listed(folder, record, kind, in_full):
    write, sentence = HOSTILE[kind]
    write(folder / "bad.record.json", record_text(record))
    found, (fault,) = listed_records(folder, in_full=in_full)
    assert [each.file for each in found] == ["whole.record.json"]
    assert str(fault).startswith("bad.record.json")
    assert sentence in str(fault)
    assert "Do next: " in str(fault)


def test_the_shell_lists_what_is_whole_names_the_rest_and_ends_with_1(folder, record, capsys):
    for number, (write, _) in enumerate(HOSTILE.values()):
        write(folder / f"bad {number:02}.record.json", record_text(record))
    assert main(["records", str(folder), "--csv", str(folder / "list.csv")]) == 1
    said = capsys.readouterr()
    assert "whole.record.json" in said.out
    assert "1 record in " in said.out
    assert (folder / "list.csv").read_text(encoding="utf-8").count("\n") == 2
    assert said.err.startswith(f"trimkit: {len(HOSTILE)} faults were found")
    for number, (_, sentence) in enumerate(HOSTILE.values()):
        (line,) = [line for line in said.err.splitlines() if f" bad {number:02}.record.json" in line]
        assert sentence in line


@pytest.mark.parametrize(
    "name", ["x.json", "record.json.txt", "._x.record.json", ".record.json", ".hidden.record.json"]
)
def test_what_is_not_called_as_a_record_is_passed_over(folder, name):
    (folder / name).write_bytes(b"\0\1")
    found, faults = listed_records(folder, subfolders=True)
    assert (len(found), faults) == (1, ())


def test_a_damage_outside_of_what_is_listed_is_found_by_the_full_reading(folder, record):
    document = json.loads(record_text(record))
    del document["revisions"][0]["clubs"][0]["cuts"]["tip_trim_in"]
    (folder / "bad.record.json").write_text(json.dumps(document), encoding="utf-8")
    assert len(listed_records(folder)[0]) == 2
    found, (fault,) = listed_records(folder, in_full=True)
    assert (len(found), "tip_trim_in" in str(fault)) == (1, True)


def test_a_name_in_a_record_can_neither_run_nor_move_the_terminal(folder, record, capsys):
    order = record.latest.order.model_copy(update={"client": "=1+1\x1b[31m", "title": "a\n\n  b"})
    revision = record.latest.model_copy(update={"order": order})
    text = record_text(record.model_copy(update={"revisions": (revision,)}))
    (folder / "odd.record.json").write_text(text, encoding="utf-8")
    assert main(["records", str(folder), "--csv", str(folder / "list.csv")]) == 0
    said = capsys.readouterr().out
    assert "<U+001B>[31m  a b" in said
    assert "'=1+1" in (folder / "list.csv").read_text(encoding="utf-8")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes on this system")
def test_a_pipe_is_not_waited_for(folder):
    os.mkfifo(folder / "pipe.record.json")
    _, (fault,) = listed_records(folder)
    assert "it is a pipe or a device" in str(fault)


@pytest.mark.parametrize("name", ["nothing", "whole.record.json"])
def test_a_folder_that_is_none_is_a_sentence(folder, name):
    assert main(["records", str(folder / name)]) == 1


def test_no_folder_below_is_gone_round_in_a_ring(folder):
    (folder / "below").mkdir()
    (folder / "below" / "ring").symlink_to(folder)
    found, faults = listed_records(folder, subfolders=True)
    assert (len(found), faults) == (1, ())
