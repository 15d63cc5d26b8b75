"""Two processes that write the same file at once: what each has said it wrote is there, or it was refused in words."""

import csv
import json
import subprocess
import sys
import tomllib

import pytest

from trimkit.cli import main
from trimkit.papers.templates import template_files
from trimkit.parts.catalogue import data_folder

WOODS = data_folder() / "orders" / "wood_pair.toml"
TURNS = 4
CODE = """
import sys
from trimkit.cli import main
sys.stdin.readline()
for words in sys.argv[1].split(chr(31)):
    print(main(words.split(chr(30))), flush=True)
"""


def at_once(*runs):
    """Run verbs in a process for each list of them, started together; return the exit codes and what was refused."""
    processes = [
        subprocess.Popen(
            [sys.executable, "-c", CODE, "\x1f".join("\x1e".join(map(str, words)) for words in verbs)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for verbs in runs
    ]
    for process in processes:
        process.stdin.write("go\n")
        process.stdin.flush()
    said = [process.communicate(timeout=120) for process in processes]
    codes = [[int(line) for line in out.splitlines() if line in ("0", "1", "2")] for out, _ in said]
    assert [len(each) for each in codes] == [len(verbs) for verbs in runs]
    for each, (_, err) in zip(codes, said, strict=True):
        assert "Traceback" not in err
        assert sum(each) == err.count("trimkit: ") == err.count("Do next: ")
    return codes


def nothing_left(folder):
    assert not [path.name for path in folder.rglob(".*")]


@pytest.fixture
def record(tmp_path):
    path = tmp_path / "woods.record.json"
    assert main(["record", str(WOODS), "--to", str(path)]) == 0
    return path


def test_calibrations_kept_at_once(tmp_path):
    for name, text in template_files().items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "shop.toml").unlink()
    header, row, *_ = (tmp_path / "bare_shafts.csv").read_text(encoding="utf-8").splitlines()
    rows = [row, row.replace("example steel parallel,,112.4,322.8", "example graphite,,62.6,228.6")]
    kinds = sorted({row.split(",")[1] for row in rows})
    assert len(kinds) == 2
    runs = []
    for number, kind in enumerate(kinds):
        path = tmp_path / f"mine {number}.csv"
        path.write_text("\n".join([header, *(row for row in rows if row.split(",")[1] == kind)]), encoding="utf-8")
        words = ("calibrate", path, "--data", tmp_path, "--clamp-as-stated", "--keep", tmp_path / "kept")
        runs.append([words] * TURNS)
    (tmp_path / "shop.toml").write_text("[clamp]\nroot_compliance_rad_per_n_m = 0.0\n", encoding="utf-8")
    (tmp_path / "kept").mkdir()
    codes = at_once(*runs)
    done = {kinds[n] for n, each in enumerate(codes) if 0 in each}
    assert done
    kept = tomllib.loads((tmp_path / "kept" / "shop.toml").read_text(encoding="utf-8"))
    assert {each["shaft"] for each in kept["calibrated"]} == done
    assert len(kept["calibrated"]) == len(done)
    nothing_left(tmp_path)


def test_readings_added_at_once(record):
    runs = [
        [("measured", record, "--place", place, "--frequency-cpm", 240 + turn, "--reason", f"{place} {turn}")
         for turn in range(TURNS)]
        for place in (1, 2)
    ]  # fmt: skip
    codes = at_once(*runs)
    said = {f"{n + 1} {turn}" for n, each in enumerate(codes) for turn, code in enumerate(each) if code == 0}
    assert said
    revisions = json.loads(record.read_text(encoding="utf-8"))["revisions"]
    assert sorted(each["reason"] for each in revisions[1:]) == sorted(said)
    nothing_left(record.parent)


def test_a_form_is_filled_in_while_the_record_reads_it(record, tmp_path):
    assert main(["tables", str(WOODS), "--to", str(tmp_path / "set")]) == 0
    form = tmp_path / "set" / "to_measure.csv"
    film = ("frequency", "--film", "--frames", 576, "--frames-per-second", 240, "--into", form, "--replace")
    fill = [(*film, "--place", 1 + turn % 2, "--swings", 10 + turn // 2) for turn in range(TURNS)]
    read = [("measured", record, "--from", form, "--reason", f"turn {turn}") for turn in range(TURNS)]
    filled, taken = at_once(fill, read)
    assert filled == [0] * TURNS
    with form.open(encoding="utf-8", newline="") as file:
        cells = [float(row["frequency_cpm"]) for row in csv.DictReader(file)]
    assert cells == [275.0, 275.0]
    revisions = json.loads(record.read_text(encoding="utf-8"))["revisions"]
    assert len(revisions) == 1 + taken.count(0)
    for each in revisions[1:]:
        found = [club["measured"] for club in each["clubs"]]
        assert all(one is None or one["frequency_cpm"] in (250.0, 275.0) for one in found)
    nothing_left(tmp_path)


def test_two_forms_filled_in_at_once_have_every_number_that_was_said(tmp_path):
    assert main(["tables", str(WOODS), "--to", str(tmp_path / "set")]) == 0
    form = tmp_path / "set" / "to_measure.csv"
    film = ("frequency", "--film", "--swings", 12, "--frames", 576, "--frames-per-second", 240, "--into", form)
    codes = at_once(*([(*film, "--place", place, "--replace")] * TURNS for place in (1, 2)))
    with form.open(encoding="utf-8", newline="") as file:
        cells = [row["frequency_cpm"] for row in csv.DictReader(file)]
    assert cells == ["300.0" if 0 in each else "" for each in codes]
    assert any(cells)
    nothing_left(tmp_path)
