"""Files that are too large, or no files at all, are refused before they are read: in little time and memory.

The large files are sparse: they hold 200 MB of zeros and take no room on the disk. A child process measures itself:
its peak memory (``resource.getrusage``, POSIX) with the large file against that with the same small one.
"""

import json
import os
import subprocess
import sys
import time
from datetime import UTC, datetime

import pytest

from trimkit.club.order.file import toml_text
from trimkit.club.order.order import load_order, shipped_order
from trimkit.club.order.tables import MOST_CLUBS, ClubTable
from trimkit.club.set import build_set
from trimkit.club.tomlfile import LONGEST_LINE, MOST_CHARACTERS
from trimkit.papers.record.build import first_record
from trimkit.papers.record.file import MOST_IN_A_LIST, MOST_NAMES, read_record, record_text
from trimkit.papers.record.store import read_file
from trimkit.parts.catalogue import check_file, load_catalogue
from trimkit.parts.csvfile import MAX_FILE_BYTES, MAX_ROWS, read_text
from trimkit.parts.errors import DataFileError

LARGE_BYTES = 200_000_000
READERS = {
    "heads.csv": check_file,
    "order.toml": lambda path: load_order(path, load_catalogue()),
    "set.record.json": read_file,
}
MEASURED = """
import resource, sys
from pathlib import Path
from trimkit.club.order.order import load_order
from trimkit.papers.record.store import read_file
from trimkit.parts.catalogue import check_file, load_catalogue
from trimkit.parts.errors import DataFileError
path = Path(sys.argv[1])
catalogue = load_catalogue()
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
read = {".csv": check_file, ".toml": lambda path: load_order(path, catalogue), ".json": read_file}[path.suffix]
try:
    read(path)
except DataFileError as error:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)
    print(error)
"""


@pytest.fixture(params=READERS)
def large(tmp_path, request):
    path = tmp_path / request.param
    with path.open("wb") as file:
        file.truncate(LARGE_BYTES)
    return path


def test_200_mb_are_refused_at_once(large):
    start = time.perf_counter()
    with pytest.raises(DataFileError, match="the file has 200 MB") as caught:
        READERS[large.name](large)
    took_s = time.perf_counter() - start
    assert "at most 10 MB" in str(caught.value)
    assert large.name in str(caught.value)
    assert took_s < 2  # the catalogue of the order is loaded in that time as well


@pytest.mark.skipif(sys.platform != "linux", reason="ru_maxrss counts kB on Linux only")
def test_200_mb_are_refused_without_being_swallowed(large):
    done = subprocess.run([sys.executable, "-c", MEASURED, str(large)], capture_output=True, text=True, check=True)
    grown_kb, said = done.stdout.split("\n", 1)
    assert "the file has 200 MB" in said
    assert int(grown_kb) < 5_000  # of 200 000


def test_a_file_of_the_largest_size_is_read_and_one_byte_more_is_not(tmp_path):
    path = tmp_path / "heads.csv"
    path.write_bytes(b"x" * MAX_FILE_BYTES)
    assert len(read_text(path)) == MAX_FILE_BYTES
    path.write_bytes(b"x" * (MAX_FILE_BYTES + 1))
    with pytest.raises(DataFileError, match="at most 10 MB"):
        read_text(path)


@pytest.mark.parametrize(
    ("text", "refused"),
    [
        ("a." * 100_000 + "a = 1\n", "200005 of them in one line"),
        ("[" + "a." * 100_000 + "a]\n", "200003 of them in one line"),
        ("[[club]]\n" * 100_000, "the order has 900000 characters"),
        ("[[club]]\n" * (MOST_CHARACTERS // 9), "clubs. Allowed: at most 200"),
        ("".join(f"key_{number} = 1\n" for number in range(3_000)), "'key_2999' is not known"),
        pytest.param(
            "".join(f"key_{number} = 1\n" for number in range(30_000)),
            "'key_29999' is not known",
            marks=pytest.mark.nightly,
        ),
        (f"{'a.' * (LONGEST_LINE // 2 - 3)}a = 1\n" * 100, "it is not a TOML file"),
        (f"x = {'[' * (LONGEST_LINE - 10)}\n", "it is not a TOML file"),
    ],
    ids=[
        "dotted key",
        "dotted table",
        "too long",
        "too many clubs",
        "too many keys",
        "ten times as many",
        "longest lines",
        "nested",
    ],
)
def test_an_order_made_to_keep_the_reader_busy_is_refused_in_bounded_time(tmp_path, text, refused):
    path = tmp_path / "order.toml"
    path.write_text(text, encoding="utf-8")
    start = time.perf_counter()
    with pytest.raises(DataFileError) as caught:
        load_order(path, load_catalogue())
    assert refused in str(caught.value)
    assert time.perf_counter() - start < 20


def test_an_order_of_the_most_clubs_with_every_key_is_within_the_bounds():
    club = {name: "x" * 200 if name in ("head", "why") else 1234.123456789012 for name in ClubTable.model_fields}
    text = toml_text({"club": [club | {"why": "\x01" * 200}] * MOST_CLUBS})
    assert len(text) < MOST_CHARACTERS
    assert max(map(len, text.splitlines())) < LONGEST_LINE


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="a system without pipes in folders")
def test_a_pipe_is_refused_and_not_waited_for(tmp_path):
    path = tmp_path / "heads.csv"
    os.mkfifo(path)
    with pytest.raises(DataFileError, match="it is a pipe or a device"):
        check_file(path)


@pytest.mark.skipif(not os.path.exists("/dev/zero"), reason="a system without /dev/zero")
def test_a_link_to_a_device_without_end_is_refused(tmp_path):
    path = tmp_path / "heads.csv"
    path.symlink_to("/dev/zero")
    with pytest.raises(DataFileError, match="it is a pipe or a device"):
        check_file(path)


def test_a_folder_of_a_file_s_name_is_a_sentence(tmp_path):
    (tmp_path / "heads.csv").mkdir()
    with pytest.raises(DataFileError, match="the file cannot be read"):
        check_file(tmp_path / "heads.csv")


@pytest.mark.parametrize("row", ["demo,7-iron,-1,37", "", ",,,", '"""'])
def test_a_csv_of_nearly_10_mb_is_refused_before_its_rows_are_looked_at(tmp_path, row):
    path = tmp_path / "head_ladder.csv"
    lines = (MAX_FILE_BYTES - 100) // (len(row) + 1)
    path.write_text("ladder,club,head_mass_g,playing_length_in\n" + f"{row}\n" * lines, encoding="utf-8")
    start = time.perf_counter()
    with pytest.raises(DataFileError, match=f"the file has {lines + 1} lines. Allowed: at most {MAX_ROWS}"):
        check_file(path)
    assert time.perf_counter() - start < 5


def test_a_header_of_a_million_columns_is_one_fault(tmp_path):
    path = tmp_path / "head_ladder.csv"
    path.write_text(",".join(f"c{number}" for number in range(1_000_000)) + "\n1\n", encoding="utf-8")
    start = time.perf_counter()
    with pytest.raises(DataFileError, match="the header has 1000000 columns") as caught:
        check_file(path)
    assert len(caught.value.faults) == 1
    assert time.perf_counter() - start < 10


def test_as_many_bad_rows_as_a_file_may_have_are_all_told_in_bounded_time(tmp_path):
    path = tmp_path / "head_ladder.csv"
    bad = "demo,7-iron,-1,37\n" * (MAX_ROWS - 1)
    path.write_text("ladder,club,head_mass_g,playing_length_in\n" + bad, encoding="utf-8")
    start = time.perf_counter()
    with pytest.raises(DataFileError) as caught:
        check_file(path)
    assert len(caught.value.faults) == MAX_ROWS - 1
    assert time.perf_counter() - start < 30  # some 3 s on a machine with nothing else to do


def _whole_record():
    return json.loads(
        record_text(first_record(build_set(shipped_order("wood_pair")), datetime(2026, 1, 2, tzinfo=UTC)))
    )


def _put(document, place, value):
    *way, last = place
    part = document
    for step in way:
        part = part[step]
    part[last] = value
    return json.dumps(document, separators=(",", ":"))


CLUBS = ("revisions", 0, "clubs")
ROWS = ("revisions", 0, "parts", "schedule_rows")


@pytest.mark.parametrize("place", [("revisions",), CLUBS, (*CLUBS, 0, "steps"), ROWS])
def test_a_list_that_is_too_long_is_one_fault(place):
    text = _put(_whole_record(), place, [{}] * (MOST_IN_A_LIST + 1))
    with pytest.raises(DataFileError, match=f"a list of {MOST_IN_A_LIST + 1} is in it") as caught:
        read_record(text)
    assert len(caught.value.faults) == 1


def test_more_names_in_one_place_than_there_may_be_are_one_fault():
    for count, said in ((MOST_NAMES, "Extra inputs"), (MOST_NAMES + 1, f"{MOST_NAMES + 1} names are in one place")):
        text = _put(_whole_record(), (*CLUBS, 0, "cuts"), {f"name {number}": 1 for number in range(count)})
        with pytest.raises(DataFileError, match=said):
            read_record(text)


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (ROWS, [{}] * MOST_IN_A_LIST),
        (("revisions",), [{"clubs": [{}] * 200}] * 500),
        pytest.param(("revisions",), [{}] * 3_000_000, marks=pytest.mark.nightly),
        pytest.param(CLUBS, [{}] * 3_000_000, marks=pytest.mark.nightly),
        pytest.param((*CLUBS, 0, "steps"), [{}] * 3_000_000, marks=pytest.mark.nightly),
        pytest.param(
            (*CLUBS, 0, "cuts"), {f"name {number}": 1 for number in range(500_000)}, marks=pytest.mark.nightly
        ),
    ],
    ids=["rows", "clubs in revisions", "revisions", "clubs", "steps", "names"],
)
def test_a_record_full_of_faults_is_refused_in_bounded_time_with_a_bounded_number_of_them(place, value):
    text = _put(_whole_record(), place, value)
    assert len(text) < MAX_FILE_BYTES
    start = time.perf_counter()
    with pytest.raises(DataFileError) as caught:
        read_record(text)
    assert time.perf_counter() - start < 30
    assert len(caught.value.faults) < 10 * MOST_IN_A_LIST
