"""CSV text: read back the same by Python's csv and by pandas, and nothing in it that a spreadsheet would run.

OWASP, "CSV Injection" (https://owasp.org/www-community/attacks/CSV_Injection), asks that no cell begin with = + - @,
tab (0x09) or carriage return (0x0D), and since August 2025 line feed (0x0A), and that a single quote be put before it.
The form is that of RFC 4180, section 2.
"""

import csv
import io
import math
from decimal import Decimal

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimkit.parts.components import TipKind
from trimkit.parts.csvtext import csv_text, from_inert, inert
from trimkit.parts.errors import BenchError

OWASP = ("=", "+", "-", "@", "\t", "\r", "\n")
TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=30)
HOSTILE = st.builds("".join, st.lists(st.sampled_from([*OWASP, "'", '"', ",", ";", " ", "1", "x", "＝"]), max_size=6))
NUMBER = st.floats(allow_nan=False, allow_infinity=False)


def read(text):
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


@pytest.mark.parametrize("first", OWASP)
def test_owasp_text_that_begins_like_a_formula_gets_an_apostrophe(first):
    for payload in (f"{first}1+1", f"{first}cmd|' /C calc'!A0", first, f" {first}SUM(A1)", f"'{first}x"):
        cell = read(csv_text(["remark"], [[payload]]))[1][0]
        assert cell == "'" + payload
        assert from_inert(cell) == payload


def test_owasp_a_quote_or_a_comma_starts_no_cell_of_its_own():
    for payload in ('",=1+1', "x,=1+1", 'x"\r\n=1+1', ";=1+1"):
        assert read(csv_text(["a", "b"], [[payload, 1.5]]))[1] == [payload, "1.5"]


def test_rfc_4180_lines_end_in_crlf_and_quotes_are_doubled():
    assert csv_text(["say", "length_in"], [['1/2" "cut"', 2]]) == 'say,length_in\r\n"1/2"" ""cut""",2\r\n'


def test_a_column_s_name_is_text_too():
    assert read(csv_text(["=1+1"], []))[0] == ["'=1+1"]


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (-0.25, "-0.25"),
        (-3, "-3"),
        (np.float64(-0.1), "-0.1"),
        (np.int64(-7), "-7"),
        (1e-300, "1e-300"),
        (True, "true"),
        (np.True_, "true"),
        (False, "false"),
        (None, ""),
        (TipKind.PARALLEL, "parallel"),
        ("-0.25", "'-0.25"),
        ("−0.25 in", "−0.25 in"),
    ],
)
def test_a_number_stays_a_number_and_a_text_stays_a_text(value, cell):
    assert read(csv_text(["x", "y"], [[value, "end"]]))[1] == [cell, "end"]


@pytest.mark.parametrize(
    ("columns", "row", "sentence"),
    [
        (["club", "trim_in"], ["7-iron", math.nan], "mine.csv, row 2, column trim_in: the number is nan"),
        (["club", "trim_in"], ["7-iron", -math.inf], "the number is -inf"),
        (["club", "trim_in"], ["7-iron", [1.0]], "of type list"),
        (["club", "trim_in"], ["7-iron", 1j], "of type complex"),
        (["club", "trim_in"], ["7\0iron", 1.0], "row 2, column club: the text holds a null character"),
        (["club", "trim_in"], ["7-iron"], "the row has 1 cells"),
        (["club", "club"], ["7-iron", 1.0], "the columns are club, club"),
        (["", "club"], ["7-iron", 1.0], "each name once"),
        ([], [], "the columns are none"),
    ],
)
def test_what_no_cell_can_hold_is_refused_with_its_place(columns, row, sentence):
    with pytest.raises(BenchError) as caught:
        csv_text(columns, [row], file="mine.csv")
    assert sentence in str(caught.value)
    assert "Do next:" in str(caught.value)


def test_a_decimal_is_refused_and_not_rounded():
    with pytest.raises(BenchError, match="Decimal"):
        csv_text(["x_in"], [[Decimal("0.1")]])


@given(st.lists(st.tuples(TEXT | HOSTILE, NUMBER, TEXT | HOSTILE), max_size=6))
def test_law_python_reads_back_what_was_written(rows):
    found = read(csv_text(["club", "trim_in", "reason"], rows))
    assert [(from_inert(a), float(b), from_inert(c)) for a, b, c in found[1:]] == rows


@given(st.lists(st.tuples(TEXT | HOSTILE, NUMBER, TEXT | HOSTILE), min_size=1, max_size=6))
def test_law_pandas_reads_back_what_was_written(rows):
    text = csv_text(["club", "trim_in", "reason"], rows)
    words = {"club": str, "reason": str}
    table = pd.read_csv(io.StringIO(text, newline=""), dtype=words, keep_default_na=False, float_precision="round_trip")
    found = [(from_inert(a), float(b), from_inert(c)) for a, b, c in table.itertuples(index=False)]
    assert found == rows


@given(TEXT | HOSTILE)
def test_law_no_text_begins_like_a_formula_and_none_is_lost(text):
    cell = inert(text)
    assert not cell.startswith((*OWASP, "＝", "＋", "－", "＠"))
    assert from_inert(cell) == text
    assert from_inert(inert(cell)) == cell


@given(NUMBER)
def test_law_a_number_keeps_every_digit_and_its_sign(number):
    assert float(read(csv_text(["x_in", "end"], [[number, ""]]))[1][0]) == number
