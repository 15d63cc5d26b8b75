"""The verb frequency: a film or a series in, words out, and the number in the form for the finished clubs."""

import csv
import io
from datetime import UTC, datetime

import numpy as np
import pytest

from trimkit.cli import main
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.measured import read_measured
from trimkit.papers.record.build import first_record
from trimkit.papers.swingwords import CAUTION
from trimkit.parts.catalogue import data_folder

FILM = ("--film", "--swings", 12, "--frames", 576, "--frames-per-second", 240)


@pytest.fixture
def run(capsys):
    def verb(*words):
        code = main(["frequency", *(str(word) for word in words)])
        said = capsys.readouterr()
        assert "Traceback" not in said.err
        assert (code == 0) == (said.err == "")
        return code, said.out + said.err

    return verb


@pytest.fixture
def form(tmp_path):
    assert main(["tables", str(data_folder() / "orders" / "evening_class.toml"), "--to", str(tmp_path / "set")]) == 0
    return tmp_path / "set" / "to_measure.csv"


@pytest.fixture
def series(tmp_path):
    time = np.arange(2000) / 200
    turning = 2 * np.pi * 311.4 / 60
    reading = 9.8 + 6 * np.exp(-0.008 * turning * time) * np.cos(turning * time)
    reading += 0.3 * np.random.default_rng(7).normal(size=time.size)
    path = tmp_path / "sensor.csv"
    path.write_text("time_s,reading\n" + "".join(f"{a:.4f},{b:.3f}\n" for a, b in zip(time, reading, strict=True)))
    return path


def test_a_film_in_words(run):
    code, said = run(*FILM)
    assert code == 0
    assert said.startswith("300.0 cpm, standard uncertainty 0.43 cpm: 12 swings in 576 frames at 240 a second.")
    assert "48.0 frames a swing" in said
    assert "change it by 25 cpm" in said
    assert "For 0.5 cpm" not in said
    assert CAUTION in said


def test_a_short_film_is_told_how_much_to_film(run):
    assert "For 0.5 cpm: 11 swings." in run("--film", "--swings", 6, "--frames", 288, "--frames-per-second", 240)[1]
    assert "find out the rate more closely" in run(*FILM, "--rate-error-percent", 0.2)[1]
    assert "0.74 cpm" in run(*FILM, "--rate-error-percent", 0.2)[1]


def test_a_series_in_words(run, series):
    code, said = run(series)
    assert code == 0
    assert said.startswith("311.4 cpm, standard uncertainty 0.0")
    for part in ("passes", "spectrum", "zeta 0.", "readings a swing", "sensor's clock", "a quarter", CAUTION):
        assert part in said


def test_the_help_warns_of_playing_rates_and_of_the_club(capsys):
    with pytest.raises(SystemExit):
        main(["frequency", "--help"])
    said = capsys.readouterr().out
    assert "phones play slow motion" in said
    assert CAUTION in said


@pytest.mark.parametrize("club", ["7-iron", "7i", "7"])
def test_it_goes_into_the_form_and_is_read_from_there(run, series, form, club):
    before = form.read_bytes()
    code, said = run(series, "--into", form, "--club", club)
    assert code == 0
    assert "6 7-iron, 311.4 cpm." in said
    assert form.read_bytes() == before.replace(b"6,7-iron,,,", b"6,7-iron,,311.4,")
    record = first_record(build_set(shipped_order("evening_class")), datetime(2026, 1, 1, tzinfo=UTC), reason="plan")
    assert {n: club.frequency_cpm for n, club in read_measured(form, record.latest).items()} == {5: 311.4}


def test_a_filled_cell_is_replaced_only_when_told(run, form):
    assert run(*FILM, "--into", form, "--place", 6)[0] == 0
    filled = form.read_bytes()
    code, said = run(*FILM, "--into", form, "--place", 6)
    assert code == 1
    assert "the 6 7-iron has 300 cpm already" in said
    assert form.read_bytes() == filled
    code, _ = run("--film", "--swings", 12, "--frames", 570, "--frames-per-second", 240, "--into", form,
                  "--club", "7i", "--replace")  # fmt: skip
    assert code == 0
    assert form.read_bytes() == filled.replace(b"300.0", b"303.2")  # 12 x 60 x 240 / 570 = 303.16


@pytest.mark.parametrize(
    ("change", "written"),
    [
        (lambda text: text.replace(",", ";"), ";300,0;"),
        (lambda text: text.replace(",", ";").replace("1;3-hybrid;;", "1;3-hybrid;39.5;"), ";300.0;"),
        (lambda text: text.replace("\r\n", "\n"), ",300.0,"),
        (lambda text: "\ufeff" + text, ",300.0,"),
        (lambda text: text.replace("1,3-hybrid,,,,,", '1,3-hybrid,"39 1/2""",,D1,,"a, ""b""\nc"'), ",300.0,"),
        (lambda text: text.replace("1,3-hybrid,,", '1,3-hybrid,39 1/2",'), ",300.0,"),
        (lambda text: text.replace("place,club", ' Place ,"club"'), ",300.0,"),
        (lambda text: text.replace("2,4-hybrid", '"",,,,,,\r\n,,\r\n2,4h'), ",300.0,"),
    ],
)
def test_the_rest_of_the_form_stays_as_it_is(run, form, change, written):
    text = change(form.read_bytes().decode())
    form.write_bytes(text.encode())
    code, said = run(*FILM, "--into", form, "--place", 6)
    assert code == 0, said
    after = form.read_bytes().decode()
    assert written in after
    number = written.strip(",;")
    assert after.replace(number, "", 1) == text
    sign = ";" if ";" in text else ","
    before_rows, rows = (list(csv.reader(io.StringIO(each, newline=""), delimiter=sign)) for each in (text, after))
    changed = [(n, k) for n, row in enumerate(rows) for k, cell in enumerate(row) if cell != before_rows[n][k]]
    assert [(rows[n][:2], k) for n, k in changed] == [(["6", "7-iron"], 3)]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--film", "--swings", 12), "a film without its counts"),
        ((*FILM, "--into", "form.csv"), "a form or a club alone"),
        ((*FILM, "--club", "7i"), "a form or a club alone"),
        ((*FILM, "--replace"), "a form or a club alone"),
        ((*FILM, "--into", "form.csv", "--club", "7i", "--place", 6), "a club in two ways"),
        (("absent.csv",), "cannot be read"),
        (("absent.csv", "--swings", 5), "counts of a film as well as a series"),
        (("--film", "--swings", 12, "--frames", 76, "--frames-per-second", 30), "6.3 frames"),
        ((*FILM, "--rate-error-percent", "nan"), "nan"),
    ],
)
def test_refused_in_words(run, words, said):
    code, words_said = run(*words)
    assert code == 1
    assert said in words_said
    assert "Do next:" in words_said


@pytest.mark.parametrize(
    ("club", "said"),
    [
        (("--club", "driver"), "no clubs of the form are called 'driver'"),
        (("--place", 99), "no clubs of the form are at place 99"),
        (("--club", "4"), "2 clubs of the form are called '4'"),
    ],
)
def test_a_club_the_form_does_not_have_once(run, form, club, said):
    before = form.read_bytes()
    code, words = run(*FILM, "--into", form, *club)
    assert (code, form.read_bytes()) == (1, before)
    assert said in words
    assert "6 7-iron" in words


def test_a_frequency_the_form_does_not_take_is_not_written(run, form):
    before = form.read_bytes()
    code, said = run(
        "--film", "--swings", 20, "--frames", 400, "--frames-per-second", 300, "--into", form, "--place", 6
    )
    assert (code, form.read_bytes()) == (1, before)  # 900 cpm; the form takes up to 800
    assert "row 7, column frequency_cpm" in said
