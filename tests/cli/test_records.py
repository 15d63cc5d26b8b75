"""A year with the shell's verbs of a record: readings added, replaced and withdrawn, records found and compared."""

import csv
import io
import itertools
import os
import re
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from trimkit.cli import main
from trimkit.papers.measured import measured_club
from trimkit.papers.record.build import with_measurements
from trimkit.papers.record.store import read_file, save_record
from trimkit.parts.catalogue import data_folder
from trimkit.parts.errors import SaveError

IRONS = data_folder() / "orders" / "evening_class.toml"
WOODS = data_folder() / "orders" / "wood_pair.toml"
RECORD = "evening_class.record.json"
PAIR = "wood_pair.record.json"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Both records as their orders make them, as text by name."""
    folder = tmp_path_factory.mktemp("made")
    for order in (IRONS, WOODS):
        assert main(["record", str(order), "--to", str(folder / f"{order.stem}.record.json")]) == 0
    return {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.record.json")}


@pytest.fixture(autouse=True)
def here(tmp_path, monkeypatch, made):
    for name, text in made.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def rows_of(name):
    return csv.DictReader(io.StringIO(Path(name).read_text(encoding="utf-8")))


def whole(path):
    """The bytes of all revisions of a record but the end of the document."""
    return path.read_bytes().removesuffix(b"\n ]\n}\n")


def test_7_is_the_7_iron_and_not_the_seventh_club(run, here):
    assert [club.club for club in read_file(here / RECORD).latest.clubs].index("7-iron") == 5
    code, said, _ = run("measured", RECORD, "--club", "7", "--frequency-cpm", 312)
    assert (code, said.splitlines()[0]) == (0, "6 7-iron: as predicted")
    assert (
        run("measured", RECORD, "--place", "7", "--frequency-cpm", 317)[1].splitlines()[2] == "7 8-iron: as predicted"
    )
    measured = [club.measured and club.measured.frequency_cpm for club in read_file(here / RECORD).latest.clubs]
    assert measured == [None] * 5 + [312.0, 317.0] + [None] * 3


@pytest.mark.parametrize(
    ("which", "sentence"),
    [
        (["--club", "4"], "'4' may mean 2 clubs of the record. Allowed: the 4-hybrid (--club 4-hybrid), the 4-iron"),
        (["--club", "2"], "no club of the record is called '2'. Allowed: one of 1 3-hybrid"),
        (["--place", "11"], "there is no place 11 in the set"),
        (["--place", "0"], "there is no place 0 in the set"),
    ],
)
@pytest.mark.parametrize("verb", ["measured", "withdraw"])
def test_a_club_that_is_not_clear_is_asked_for(run, here, made, verb, which, sentence):
    words = ["--swingweight", "D0"] if verb == "measured" else ["all", "--reason", "x"]
    code, _, refused = run(verb, RECORD, *which, *words)
    assert (code, sentence in refused) == (1, True)
    assert Path(RECORD).read_text(encoding="utf-8") == made[RECORD]


def test_a_reading_is_added_replaced_and_withdrawn_and_the_record_only_grows(run, here):
    path = here / RECORD
    texts = [whole(path)]
    run("measured", RECORD, "--club", "7i", "--frequency-cpm", 312, "--total-mass", "420 g")
    texts.append(whole(path))
    said = run("measured", RECORD, "--club", "7i", "--frequency-cpm", 311)[1]
    assert "7-iron: frequency 311.0 cpm replaces 312.0 cpm of revision 2, which stays in the record" in said
    assert "total mass: predicted" in said  # what was not read again stays
    texts.append(whole(path))
    code, said, _ = run("withdraw", RECORD, "frequency", "--club", "7-iron", "--reason", "clamp was loose")
    assert code == 0
    assert said.splitlines()[0] == "withdrawn: frequency of 7-iron: clamp was loose"
    texts.append(whole(path))
    for before, after in itertools.pairwise(texts):
        assert after.startswith(before)
        assert len(after) > len(before)
    club = read_file(path).latest.clubs[5]
    assert (club.measured.frequency_cpm, club.measured.total_mass_g) == (None, 420.0)
    said = run("show", RECORD)[1]
    for line in (
        r"    frequency 312\.0 cpm \(revision 2, [-\d]+ [:\d]+\): replaced in revision 3",
        r"    frequency 311\.0 cpm \(revision 3, [-\d]+ [:\d]+\): withdrawn in revision 4: clamp was loose",
        r"    total mass 420\.0 g \(revision 2, [-\d]+ [:\d]+\): counts",
        r"   1  [-\d]+ [:\d]+  first plan",
        r"   4  [-\d]+ [:\d]+  withdrawn: frequency of 7-iron: clamp was loose",
    ):
        assert re.search(f"^{line}$", said, re.MULTILINE), line
    # Planned again without a change of the club: the reading still counts.
    assert run("record", IRONS, "--reason", "asked for again")[0] == 0
    said = run("show", RECORD)[1]
    assert "No club has been measured yet." not in said
    assert "    total mass: predicted " in said
    assert re.search(r"total mass 420\.0 g \(revision 2, .*\): counts$", said, re.MULTILINE)
    assert whole(path).startswith(texts[-1])


def test_a_reading_of_other_cuts_stays_in_sight_and_does_not_count(run, here):
    run("measured", RECORD, "--club", "7i", "--frequency-cpm", 312)
    longer = here / "longer.toml"
    longer.write_text(IRONS.read_text(encoding="utf-8").replace("37.5", "37.75"), encoding="utf-8")
    assert run("record", longer, "--to", RECORD, "--reason", "a quarter of an inch longer")[0] == 0
    said = run("show", RECORD)[1]
    assert "No club has been measured yet." in said
    old = read_file(here / RECORD).revisions[0].clubs[5].cuts
    then = f"when read tip trim {old.tip_trim_in:.3f} in, cut length {old.cut_length_in:.3f} in"
    (line,) = [line for line in said.splitlines() if line.startswith("    frequency 312.0 cpm")]
    assert line.endswith(f"does not count, planned otherwise in revision 3 (cuts); {then}")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["swingweight", "--club", "7", "--reason", "x"], "no swingweight of the 7-iron counts now"),
        (["all", "--club", "8", "--reason", "x"], "no reading of the 8-iron counts now"),
        (["frequency", "--club", "7", "--reason", "  "], "no reason is given"),
        (["frequency", "--club", "7", "--reason", "n" * 2001], "2000 characters"),
    ],
)
def test_what_was_not_read_or_has_no_reason_is_not_withdrawn(run, here, words, sentence):
    run("measured", RECORD, "--club", "7", "--frequency-cpm", 312)
    before = Path(RECORD).read_bytes()
    code, _, refused = run("withdraw", RECORD, *words)
    assert (code, sentence in refused) == (1, True)
    assert Path(RECORD).read_bytes() == before


@pytest.mark.parametrize("words", [["frequency", "--club", "7"], ["loft", "--club", "7", "--reason", "x"], ["all"]])
def test_a_withdrawal_without_its_words_has_the_code_of_wrong_arguments(run, words):
    with pytest.raises(SystemExit) as caught:
        main(["withdraw", RECORD, *words])
    assert caught.value.code == 2


def test_values_from_the_form_and_from_options_are_judged_alike(run, here):
    """The same numbers, once in the form and once as options: the same record, findings and lines."""
    form = (
        "place,club,playing_length_in,frequency_cpm,swingweight,total_mass_g,remark\n6,7-iron,37 1/8,318,D3,430,dry\n"
    )
    Path("form.csv").write_text(form, encoding="utf-8")
    Path("other.record.json").write_bytes(Path(RECORD).read_bytes())
    first = run("measured", RECORD, "--from", "form.csv")[1].splitlines()
    values = ["--playing-length", "37 1/8", "--frequency-cpm", "318", "--swingweight", "D3", "--total-mass", "430"]
    second = run("measured", "other.record.json", "--club", "7", *values, "--remark", "dry")[1].splitlines()
    assert first[:-1] == second[:-1]
    assert "outside the tolerance: playing length, frequency, swingweight, total mass" in first[0]
    assert read_file(here / RECORD).latest.clubs == read_file(here / "other.record.json").latest.clubs
    again = run("measured", RECORD, "--from", "form.csv")[1]
    assert "7-iron: frequency 318.0 cpm is what revision 2 has already" in again


def test_records_are_listed_and_found(run, here):
    run("measured", PAIR, "--club", "driver", "--total-mass", "300 g")
    code, said, _ = run("records", ".")
    lines = said.splitlines()
    assert (code, len(lines), lines[-1]) == (0, 4, "2 records in .")
    assert lines[0].split() == ["date", "client", "title", "shafts", "clubs", "revisions", "measured", "file"]
    (pair,) = [line for line in lines if line.endswith(PAIR)]
    assert "1 of 2 measured, outside tolerance: driver total mass" in pair
    assert pair.startswith(f"{datetime.now().astimezone():%Y-%m-%d}")
    for words in (
        ["--client", "CLIENT 07"],
        ["--shaft", "steel"],
        ["--club", "7"],
        ["--client", "07", "--shaft", "STEEL parallel", "--club", "sw"],
    ):
        said = run("records", ".", *words)[1]
        assert (RECORD in said, PAIR in said, "1 record of 2 in ." in said) == (True, False, True)
    assert run("records", ".", "--until", "2026-01-01")[1] == "0 records of 2 in .\n"
    assert run("records", ".", "--since", "2026-01-01", "--csv", "list.csv")[0] == 0
    assert [row["file"] for row in rows_of("list.csv")] == [line.split()[-1] for line in lines[1:3]]
    code, _, refused = run("records", ".", "--csv", "list.csv")
    assert (code, "list.csv is there already" in refused) == (1, True)
    assert run("records", ".", "--csv", "list.csv", "--replace")[0] == 0


def test_the_folders_below_are_named_and_looked_into_when_asked(run, here, made):
    (here / "2025").mkdir()
    (here / "2025" / PAIR).write_text(made[PAIR], encoding="utf-8")
    assert "The folders below it were not looked into (--subfolders)." in run("records", ".")[1]
    said = run("records", ".", "--subfolders")[1]
    assert (f"2025/{PAIR}" in said, "3 records in ." in said, "not looked into" in said) == (True, True, False)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--since", "31.1.2026"], "--since: '31.1.2026' is not a day"),
        (["--until", "2026-02-30"], "--until: '2026-02-30' is not a day"),
        (["--since", "2026-02-02", "--until", "2026-02-01"], "the earlier day first"),
        (["--club", "seven"], "'seven' is not the name of a club"),
    ],
)
def test_a_question_that_cannot_be_answered_is_refused(run, words, sentence):
    code, said, refused = run("records", ".", *words)
    assert (code, said, sentence in refused) == (1, "", True)


def test_two_revisions_of_a_record_are_compared_in_words(run, here):
    run("measured", RECORD, "--club", "7", "--frequency-cpm", 312)
    stiff = here / "stiff.toml"
    stiff.write_text(IRONS.read_text(encoding="utf-8").replace('flex = "R"', 'flex = "S"'), encoding="utf-8")
    assert run("record", stiff, "--to", RECORD, "--reason", "stiffer")[0] == 0
    code, said, _ = run("compare", RECORD, "--csv", "changes.csv")
    assert code == 0
    record = read_file(here / RECORD)
    old, new = (record.revision(number).clubs[5].cuts.tip_trim_in for number in (2, 3))
    assert f"  7-iron: tip trim {new:.3f} in, before {old:.3f} in ({new - old:+.3f} in)\n" in said
    assert "  7-iron: measured frequency none, before 312.0 cpm\n" in said
    assert "  whole set: flex S, before R\n" in said
    assert said.index("sand wedge: predicted frequency") < said.index("whole set: flex S")
    assert re.search(r"^before: .*, revision 2 of 3, .* \(measured\): Evening class", said, re.MULTILINE)
    assert re.search(r"^now: .*, revision 3 of 3, .* \(stiffer\): ", said, re.MULTILINE)
    rows = {(row["club"], row["what"]): row for row in rows_of("changes.csv")}
    row = rows["7-iron", "tip trim"]
    assert (row["unit"], float(row["before"]), float(row["after"])) == ("in", old, new)
    first = run("compare", RECORD, "--revision-a", 1, "--revision-b", 2)[1]
    assert "  7-iron: measured frequency 312.0 cpm, before none\n" in first
    assert "tip trim" not in first
    assert run("compare", RECORD, RECORD)[1].splitlines()[-1] == "Nothing differs."


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ([RECORD], "has one revision only"),
        ([RECORD, PAIR, "--revision-a", "2"], "there is no revision 2. Allowed: 1 to 1"),
        ([RECORD, PAIR, "--revision-b", "0"], "there is no revision 0. Allowed: 1 to 1"),
        ([RECORD, "none.record.json"], "none.record.json: the file cannot be read"),
    ],
)
def test_what_cannot_be_compared_is_refused(run, words, sentence):
    code, said, refused = run("compare", *words)
    assert (code, said, sentence in refused) == (1, "", True)


def test_two_records_are_compared_club_by_club(run):
    said = run("compare", PAIR, RECORD)[1]
    assert "  driver: not in the set, before on the head demo driver\n" in said
    assert "  7-iron: on the head class 7-iron, before not in the set\n" in said
    assert "package" not in said


@pytest.mark.parametrize("verb", ["records", "compare", "withdraw", "measured", "show", "record"])
def test_every_verb_of_a_record_has_an_example_that_can_be_read(verb, capsys):
    with pytest.raises(SystemExit) as caught:
        main([verb, "--help"])
    assert caught.value.code == 0
    said = capsys.readouterr().out
    assert f"\n  trimkit {verb} " in said
    assert max(len(line) for line in said.splitlines()) <= 105


ADD = """
import sys
from trimkit.cli import main
sys.stdin.read(1)  # until both are there
sys.exit(main(["measured", sys.argv[1], "--place", sys.argv[2], "--frequency-cpm", "310"]))
"""


@pytest.mark.parametrize("turn", range(3))
def test_two_who_add_readings_at_once_lose_nothing(here, turn):
    """Each is in the record, or was told that it is not and why."""
    before = whole(here / RECORD)
    command = [sys.executable, "-c", ADD, RECORD]
    pipes = dict.fromkeys(("stdin", "stdout", "stderr"), subprocess.PIPE)
    both = [
        subprocess.Popen([*command, str(place)], text=True, env=os.environ | {"PYTHONUTF8": "1"}, **pipes)
        for place in (1, 2)
    ]
    for one in both:
        one.stdin.write("g")
        one.stdin.flush()
    said = [one.communicate(timeout=120)[1] for one in both]
    latest = read_file(here / RECORD).latest
    codes = [one.returncode for one in both]
    assert 0 in codes
    for place, (code, error) in enumerate(zip(codes, said, strict=True)):
        assert (latest.clubs[place].measured is not None) == (code == 0)
        assert code == 0 or "another program is writing" in error or "somebody else may have saved it" in error
    assert latest.number == 1 + codes.count(0)
    assert whole(here / RECORD).startswith(before)


def test_a_reading_from_a_record_read_too_early_is_refused_and_the_other_stays(run, here):
    """The writer that comes second read the file before the first one saved."""
    early = read_file(here / RECORD)
    run("measured", RECORD, "--club", "7", "--frequency-cpm", 312)
    now = datetime.now().astimezone()
    late = with_measurements(early, {0: measured_club(total_mass=400.0)}, now, reason="late")
    text = Path(RECORD).read_bytes()
    with pytest.raises(SaveError, match="somebody else may have saved it in the meantime"):
        save_record(here / RECORD, late)
    assert Path(RECORD).read_bytes() == text
