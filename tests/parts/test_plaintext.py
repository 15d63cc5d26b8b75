"""Signs that a terminal or the direction of writing obeys are written out; every other text stays as it is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimkit.parts.plaintext import shown

# Unicode Standard Annex 9 (Unicode Bidirectional Algorithm), section 2: all the directional formatting characters.
UAX9 = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


@pytest.mark.parametrize("sign", [*UAX9, "\0", "\x07", "\x1b", "\x7f", "\x9b", "\r", "\ud800"])
def test_a_sign_that_is_obeyed_is_written_out_by_its_number(sign):
    assert shown(f"a{sign}b") == f"a<U+{ord(sign):04X}>b"


@pytest.mark.parametrize(
    "text", ["½ in", "naïve café", "two\nlines\tand a tab", "−1/4″", "שלום", "می‌خواهم", "👩‍🔧", ""]
)
def test_words_of_any_language_stay(text):
    assert shown(text) == text


@given(st.text())
def test_nothing_obeyed_is_left_and_a_second_time_changes_nothing(text):
    once = shown(text)
    assert shown(once) == once
    assert not set(once) & set(UAX9)
