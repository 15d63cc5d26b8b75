"""Spoiled files and words through the verbs: refused in words with nothing written, or done, with sound files.

Whatever is read: no other exception, no NaN in a file, no formula, no terminal command passed on, no file opened but
those that are named and the program's own, and no other program started.
"""

import contextlib
import csv
import io
import json
import re
import sys
import sysconfig
import tempfile
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trimkit
from trimkit.cli import main
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.measured import measured_club, measured_form
from trimkit.papers.record.build import first_record, with_measurements
from trimkit.papers.record.file import record_text
from trimkit.papers.templates import template_files
from trimkit.parts.catalogue import data_folder
from trimkit.parts.plaintext import shown

NIGHTLY = settings.get_profile("nightly")
SIZE = NIGHTLY if settings.default is NIGHTLY else settings(settings.get_profile("small"), max_examples=5)
ORDERS = data_folder() / "orders"
CLASS, WOODS = (str(ORDERS / f"{name}.toml") for name in ("evening_class", "wood_pair"))
BUILT = build_set(shipped_order("wood_pair"))
NAMES = [club.plan.club for club in BUILT.clubs]
TEMPLATES = template_files()
STEEL = "steel parallel 110 g combination"
SHELF = f"shaft,length_in,tip_cut_in,bought_length_in,count,mark\n{STEEL},42,,,6,\n{STEEL},36.5,3.5,,1,B3\n"
OFFERS = f"shaft,raw_length_in,pack,most_packs\n{STEEL},42,6,\n"
SHAFTS = "mark,shaft,raw_length_in,raw_mass_g,raw_frequency_cpm,test_mass_g,test_offset_in,clamp_in\n" + "".join(
    f"no. {n},,,{109 + n / 10},{278 + n},205,0,5\n" for n in range(12)
)
READ = ((5.0, 309.6), (8.0, 336.3), (14.0, 412.4), (20.0, 529.9), (26.0, 790.0))
READINGS = SHAFTS.splitlines()[0] + "".join(
    f"\n1,example steel parallel,,111.4,{cpm},205.0,,{clamp_in}" for clamp_in, cpm in READ
)
HEAD, *ROWS = measured_form(NAMES).splitlines()
FORM = "\n".join([HEAD, *(row.replace(",,,,,", ",43.0,255.5,D2,330,fine", 1) for row in ROWS)]) + "\n"
EMPTY = measured_form(NAMES)
RECORD = with_measurements(
    first_record(BUILT, datetime(2026, 1, 2, tzinfo=UTC)),
    {0: measured_club(frequency_cpm=255.5, remark="first")},
    datetime(2026, 1, 3, tzinfo=UTC),
    reason="measured",
)
SHOP = """name = "our bench"

[clamp]
clamp_in = 5.0
root_compliance_rad_per_n_m = 0.0002
measured_on = 2026-11-20

[usual]
tape_mass_g = 2.0

[[calibrated]]
shaft = "example steel parallel"
ei_factor = 0.98
"""
ODD = st.sampled_from(
    [
        *("", " ", "nan", "-inf", "1e999", "1e308", "-1", "-0.0", "37,5", "1,250", "0x10", "1_0", "٣", "37 1/2", "1/0"),
        *(
            "9" * 400,
            "95.25 cm",
            "4 oz",
            "=1+1",
            "@x",
            "\t=1",
            "＝1",
            "\0",
            "\x1b[2J",
            "\u202e",
            "\u2028",
            "3.0",
            "1e2",
        ),
        *(STEEL, "../../x", "/etc/passwd", "{{1}}", "__import__('os')", "x" * 3000, '"', "7", "D2.5", "2026-13-01"),
    ]
)
CELL = st.one_of(ODD, st.floats().map(str), st.floats(0, 400).map(lambda x: f"{x:.2f}"), st.text(max_size=12))
ROOTS = tuple(
    {str(Path(each).resolve()) for each in (*sysconfig.get_paths().values(), Path(trimkit.__file__).parents[1])}
)
OPENED: list[str] = []
STARTED: list[str] = []
WATCHING: list[bool] = []


def _watch(event, values):
    if WATCHING and event == "open" and isinstance(values[0], str | bytes | Path):
        OPENED.append(str(values[0]))
    elif WATCHING and event in ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "socket.connect"):
        STARTED.append(event)


sys.addaudithook(_watch)


@st.composite
def spoiled(draw, text):
    """The bytes of a CSV or TOML text with one or two cells, rows, lines or bytes changed."""
    lines = text.splitlines()
    for _ in range(draw(st.integers(1, 2))):
        at, how = draw(st.integers(0, len(lines) - 1)), draw(st.sampled_from(["cell", "cell", "cell", "out", "twice"]))
        if how == "cell":
            cells = re.split(r"([,=])", lines[at])
            cells[2 * draw(st.integers(0, len(cells) // 2))] = draw(CELL)
            lines[at] = "".join(cells)
        elif how == "twice":
            lines.insert(at, lines[at])
        elif len(lines) > 1:
            del lines[at]
    raw = bytearray("\n".join(lines).encode("utf-8", "surrogatepass"))
    if draw(st.integers(0, 4)) == 0 and raw:
        raw[draw(st.integers(0, len(raw) - 1))] = draw(st.integers(0, 255))
    return bytes(raw)


@pytest.fixture(scope="session")
def bench(count):
    """Runs one case: files put into a new folder, a verb, what the folder then has; says whether it was done."""
    memory = "/dev/shm" if Path("/dev/shm").is_dir() else None

    def case(kind, files, words, *, may_write=(), may_list=False):
        taken = count(kind)
        with tempfile.TemporaryDirectory(dir=memory) as name:
            folder = Path(name)
            for file, raw in files.items():
                (folder / file).parent.mkdir(parents=True, exist_ok=True)
                (folder / file).write_bytes(raw)
            code, out, err = said(folder, [word.replace("FOLDER/", f"{name}/") for word in words])
            found = {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
            folders = {p for p in folder.rglob("*") if p.is_dir() and not any(p.iterdir())}
        written = {file for file, raw in found.items() if files.get(file) != raw}
        assert set(files) <= set(found)
        assert all(file.startswith(may_write) for file in written) if may_write else not written
        assert not folders
        if code:
            assert may_list or not written
            refused(code, err)
        else:
            taken()
        typed = {cell for raw in files.values() for cell in re.split(r'[,;\r\n"]', raw.decode("utf-8", "replace"))}
        for file in written:
            if file.endswith(".csv") and file not in files:
                sound(found[file].decode(), {cell.strip() for cell in typed})
        return code, out, found

    return case


def said(folder, words):
    """The exit code and what was said, on a watch for what is opened; a word such as -1 may end in exit code 2."""
    out, err = io.StringIO(), io.StringIO()
    OPENED.clear()
    STARTED.clear()
    WATCHING.append(True)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                code = main(words)
            except SystemExit as end:
                code = end.code
    finally:
        WATCHING.clear()
    assert not STARTED
    roots = (
        str(folder),
        *ROOTS,
        sys.prefix,
        sys.base_prefix,
        str(Path.home() / ".cache"),
        str(Path.home() / ".config"),
    )
    own = (".done", ".kept")  # parts/saving.py clears these folders of its own away by their bare names
    strange = [each for each in OPENED if not each.startswith(roots) and "matplotlib" not in each and each not in own]
    assert not [each for each in strange if not each.startswith(("/usr/", "/etc/", "/proc/")) or "passwd" in each]
    text = out.getvalue() + err.getvalue()
    assert shown(text) == text or code == 2
    return code, out.getvalue(), err.getvalue()


def refused(code, err):
    assert code in (1, 2)
    assert "Traceback" not in err
    if code == 1:
        assert err.startswith("trimkit: ")
        assert "Allowed: " in err
        assert "Do next: " in err


def sound(text, typed):
    """A CSV file that can neither run nor hold what is no number, unless it was typed as a word."""
    for row in csv.reader(io.StringIO(text, newline="")):
        for cell in row:
            number = re.fullmatch(r"-?\d+(\.\d+)?(e[-+]\d+)?", cell)
            assert number or not cell.lstrip(" \xa0").startswith(
                ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
            )
            assert cell.casefold() not in ("nan", "inf", "-inf") or cell in typed


def raw(text):
    return text if isinstance(text, bytes) else text.encode()


@SIZE
@given(st.data())
def test_stock(bench, data):
    which = data.draw(st.sampled_from(["shelf", "offers"]))
    files = {"shelf.csv": raw(SHELF), "offers.csv": raw(OFFERS)}
    files[f"{which}.csv"] = data.draw(spoiled(SHELF if which == "shelf" else OFFERS))
    words = ["stock", CLASS, "--shelf", "FOLDER/shelf.csv", "--offers", "FOLDER/offers.csv", "--to", "FOLDER/week"]
    code, _, found = bench("verb stock", files, words, may_write="week/")
    assert code or len(found) == 6


@SIZE
@given(st.data())
def test_assign(bench, data):
    files = {"bare.csv": data.draw(spoiled(SHAFTS))}
    words = ["assign", CLASS, "--shafts", "FOLDER/bare.csv", "--to", "FOLDER/assigned.csv"]
    code, _, found = bench("verb assign", files, words, may_write="assigned.csv")
    assert code or "assigned.csv" in found


@SIZE
@given(st.data())
def test_frequency_into_a_spoiled_form(bench, data):
    before = data.draw(spoiled(data.draw(st.sampled_from([FORM, EMPTY, EMPTY.replace(",", ";")]))))
    words = ["frequency", "--film", "--swings=12", "--frames=576", "--frames-per-second=240", "--into"]
    words += ["FOLDER/form.csv", "--place=1", *data.draw(st.sampled_from([[], ["--replace"]]))]
    code, out, found = bench("verb frequency, form", {"form.csv": before}, words, may_write="form.csv")
    if code == 0:
        old, new = before.decode("utf-8"), found["form.csv"].decode("utf-8")
        at = (
            next(n for n, (a, b) in enumerate(zip(f"{old}\0", f"{new}\1", strict=False)) if a != b) if old != new else 0
        )
        assert old == new or re.match(r"[\d.,]*300[.,]0|0[.,]0", new[max(at - 3, 0) :].lstrip(',;"\n')) or "300" in new
        assert len(old.splitlines()) == len(new.splitlines())
        assert "300.0 cpm" in out


@SIZE
@given(CELL, CELL, CELL, CELL, CELL)
def test_frequency_with_spoiled_words(bench, swings, frames, rate, off, club):
    words = ["frequency", "--film", f"--swings={swings}", f"--frames={frames}", f"--frames-per-second={rate}"]
    words += [f"--rate-error-percent={off}", "--into", "FOLDER/form.csv", f"--club={club}"]
    bench("verb frequency, words", {"form.csv": raw(EMPTY)}, words, may_write="form.csv")


@SIZE
@given(st.data())
def test_calibrate_with_spoiled_readings(bench, data):
    files = {f"parts/{name}": raw(text) for name, text in TEMPLATES.items() if not name.startswith("shop.")}
    files["readings.csv"] = data.draw(spoiled(READINGS))
    stated = data.draw(st.sampled_from([[], ["--clamp-as-stated"]]))
    files["parts/shop.toml"] = raw(SHOP)
    words = ["calibrate", "FOLDER/readings.csv", "--data", "FOLDER/parts", "--keep", "FOLDER/mine", *stated]
    code, _, found = bench("verb calibrate, readings", files, words, may_write="mine/shop.toml")
    assert code or b"nan" not in found["mine/shop.toml"]


@SIZE
@given(st.data())
def test_calibrate_into_a_spoiled_file_of_the_shop(bench, data):
    files = {f"parts/{name}": raw(text) for name, text in TEMPLATES.items() if not name.startswith("shop.")}
    files |= {"parts/shop.toml": data.draw(spoiled(SHOP)), "readings.csv": raw(READINGS)}
    words = ["calibrate", "FOLDER/readings.csv", "--data", "FOLDER/parts", "--keep", "FOLDER/parts"]
    words += data.draw(st.sampled_from([[], ["--clamp-as-stated"]]))
    bench("verb calibrate, shop.toml", files, words, may_write="parts/shop.toml")


@SIZE
@given(st.data())
def test_check_of_templates_with_a_spoiled_file(bench, data):
    name = data.draw(st.sampled_from(["shop.toml", "shelf.csv", "offers.csv", "bare_shafts.csv"]))
    files = {f"parts/{each}": raw(text) for each, text in TEMPLATES.items()} | {"parts/shop.toml": raw(SHOP)}
    files[f"parts/{name}"] = data.draw(spoiled(files[f"parts/{name}"].decode()))
    bench(
        "verb check, new files", files, ["check", data.draw(st.sampled_from(["FOLDER/parts", f"FOLDER/parts/{name}"]))]
    )


@SIZE
@given(st.data())
def test_measured_from_a_spoiled_form(bench, data):
    files = {"a.record.json": raw(record_text(RECORD)), "form.csv": data.draw(spoiled(FORM))}
    words = ["measured", "FOLDER/a.record.json", "--from", "FOLDER/form.csv", "--reason", data.draw(CELL)]
    code, _, found = bench("verb measured, form", files, words, may_write="a.record.json")
    if code == 0:  # merged: the readings before it are still in their own revision
        assert json.loads(found["a.record.json"])["revisions"][:2] == json.loads(files["a.record.json"])["revisions"]


@SIZE
@given(CELL, CELL, CELL, CELL, CELL, CELL)
def test_measured_with_spoiled_words(bench, club, length, cpm, swingweight, mass, remark):
    words = ["measured", "FOLDER/a.record.json", f"--club={club}", f"--playing-length={length}"]
    words += [f"--frequency-cpm={cpm}", f"--swingweight={swingweight}", f"--total-mass={mass}", f"--remark={remark}"]
    bench("verb measured, words", {"a.record.json": raw(record_text(RECORD))}, words, may_write="a.record.json")


@SIZE
@given(st.sampled_from(["frequency", "playing-length", "all"]), st.one_of(st.sampled_from(NAMES), CELL), CELL)
def test_withdraw_with_spoiled_words(bench, what, club, reason):
    files = {"a.record.json": raw(record_text(RECORD))}
    words = ["withdraw", "FOLDER/a.record.json", what, f"--club={club}", f"--reason={reason}"]
    code, _, found = bench("verb withdraw", files, words, may_write="a.record.json")
    if code == 0:
        assert json.loads(found["a.record.json"])["revisions"][:2] == json.loads(files["a.record.json"])["revisions"]


@st.composite
def spoiled_record(draw):
    """The bytes of a record with one or two values changed, however deep, or one byte."""
    document = json.loads(record_text(RECORD))
    for _ in range(draw(st.integers(1, 2))):
        part = document["revisions"][draw(st.integers(0, 1))] if draw(st.booleans()) else document
        while True:
            key = draw(st.sampled_from(sorted(part) if isinstance(part, dict) else range(len(part))))
            if not isinstance(part[key], dict | list) or not part[key]:
                break
            part = part[key]
        part[key] = draw(st.one_of(CELL, st.floats(), st.none(), st.booleans(), st.integers(), st.just([])))
    text = bytearray(json.dumps(document).encode("utf-8", "surrogatepass"))
    if draw(st.integers(0, 5)) == 0:
        text[draw(st.integers(0, len(text) - 1))] = draw(st.integers(0, 255))
    return bytes(text)


@SIZE
@given(spoiled_record(), CELL, CELL, CELL, st.booleans())
def test_records(bench, record, client, since, club, in_full):
    files = {"in/a.record.json": raw(record_text(RECORD)), "in/b.record.json": record}
    words = ["records", "FOLDER/in", "--csv", "FOLDER/list.csv"]
    words += [f"--client={client}", f"--since={since}", f"--club={club}"] if len(client) == 1 else []
    words += ["--in-full"] if in_full else []
    bench("verb records", files, words, may_write="list.csv", may_list=True)


@SIZE
@given(spoiled_record(), st.booleans())
def test_compare(bench, record, both):
    files = {"a.record.json": raw(record_text(RECORD)), "b.record.json": record}
    words = ["compare", "FOLDER/b.record.json", *(["FOLDER/a.record.json"] if both else [])]
    bench("verb compare", files, [*words, "--csv", "FOLDER/changes.csv"], may_write="changes.csv")


@SIZE
@given(spoiled_record(), st.sampled_from(["show", "withdraw"]))
def test_a_spoiled_record_of_today_is_shown_or_withdrawn_from(bench, record, verb):
    words = [verb, "FOLDER/b.record.json"]
    words += ["frequency", "--place=1", "--reason=clamp was loose"] if verb == "withdraw" else []
    bench(f"verb {verb}, record", {"b.record.json": record}, words, may_write="b.record.json")
