"""Whatever is typed: a finite number that an independent reading agrees with, or a refusal in a sentence."""

import math
import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.order.order import shipped_order
from trimkit.mechanics.balance import swingweight_oz_in, swingweight_text
from trimkit.papers.measured import measured_club
from trimkit.papers.record.store import RecordFolder
from trimkit.parts.errors import BenchError, SaveError
from trimkit.parts.units import both_units, length_in, mass_g, nearest_mark
from trimkit.study.exercises.bank import LESSONS, exercises_of
from trimkit.study.exercises.exercise import LETTER_SCALE
from trimkit.study.exercises.marking import check
from trimkit.trim.flexplace import FlexPlace

SIZE = settings.get_profile("nightly" if settings.default is settings.get_profile("nightly") else "small")

# The international inch and the avoirdupois ounce, exact by definition (NIST SP 811, appendix B).
UNITS = {
    "in": 1,
    '"': 1,
    "mm": 1 / Fraction("25.4"),
    "cm": 1 / Fraction("2.54"),
    "g": 1,
    "oz": Fraction("28.349523125"),
}

DIGITS = st.one_of(st.integers(0, 99).map(str), st.sampled_from(["", "0", "00", "9" * 400, "9" * 5000, "٣", "²", "½"]))
SIGNS = st.sampled_from(["", "-", "+", "−", "--", " "])
BETWEEN = st.sampled_from(["", " ", "-", "/", ".", ",", "e", "_", "\n", "\0"])
ENDS = st.sampled_from(
    ["", " in", '"', "mm", " cm", " MM", "g", " oz", " kg", " feet", "nan", "inf", "\u202e", "\x1b[31m"]
)
WRITTEN = st.builds(
    lambda *parts: "".join(parts),
    SIGNS,
    DIGITS,
    BETWEEN,
    DIGITS,
    BETWEEN,
    st.one_of(st.just("/"), BETWEEN),
    DIGITS,
    ENDS,
)
ANYTHING = st.one_of(
    WRITTEN, st.text(max_size=30), st.from_regex(r"-?\d{1,3}([ -]\d{1,2}/\d{1,3}|\.\d{0,3})? ?(in|mm|cm|g|oz)?")
)


def read_by_hand(text):
    """Another reading of the same text: exact fractions, and no regular expression for the whole."""
    text = text.strip().lower()
    unit = next((unit for unit in sorted(UNITS, key=len, reverse=True) if text.endswith(unit)), "")
    number = text.removesuffix(unit).strip()
    negative, number = number.startswith("-"), number.lstrip("+-")
    pieces = re.split("[ -]+", number)
    value = sum(Fraction(piece.removesuffix(".")) for piece in pieces)
    return (-value if negative else value) * UNITS.get(unit, 1)


@SIZE
@given(ANYTHING)
@pytest.mark.parametrize("read", [length_in, mass_g])
def test_a_typed_quantity_is_what_stands_there_or_is_refused(count, read, text):
    count("quantities")
    try:
        value = read(text)
    except BenchError:
        return
    assert math.isfinite(value)
    assert value == pytest.approx(float(read_by_hand(text)), rel=1e-12)


@SIZE
@given(st.floats(), st.sampled_from([8, 16, 32, 64, 0, -1, 3]))
def test_any_number_has_a_mark_or_is_refused(count, number, divisions):
    count("marks")
    try:
        reading = nearest_mark(number, divisions)
        assert both_units(number, divisions).startswith(reading.text)
    except BenchError:
        return
    assert abs(reading.error_in) <= 0.5 / divisions
    assert "nan" not in reading.text


SHAFT = shipped_order().shaft
PLACES = st.builds(
    lambda start, slash, toward, part: f"{start}{slash}{toward} {part}",
    st.sampled_from(["A", "R", "S", "X", ""]),
    st.sampled_from(["/", "", " / ", "//"]),
    st.sampled_from(["R", "S", "A", ""]),
    st.one_of(st.floats().map(repr), ANYTHING, st.sampled_from(["1e400", "1e99999999", "1/0", "1/3", "0", "1", "-0"])),
)


@SIZE
@given(st.one_of(PLACES, st.text(max_size=20)))
def test_a_typed_flex_is_a_place_on_the_shaft_or_is_refused(count, text):
    count("flexes")
    try:
        place = FlexPlace.parse(text, SHAFT)
    except BenchError:
        return
    assert {place.softer, place.stiffer} <= set(SHAFT.flexes)
    assert 0 <= place.fraction < 1
    named = re.match(r"\s*([^\s/]+)(?:\s*/\s*([^\s/]+))?", text).groups()
    assert {flex for flex in named if flex} <= set(SHAFT.flexes)


LETTERS = st.builds(lambda letter, rest: letter + rest, st.sampled_from("ABCDEFGHdg²Ⅾ"), ANYTHING)


@SIZE
@given(st.one_of(LETTERS, ANYTHING))
def test_a_typed_swingweight_is_on_the_scale_or_is_refused(count, text):
    count("swingweights")
    try:
        moment = swingweight_oz_in(text)
    except BenchError:
        return
    assert math.isfinite(moment)
    assert swingweight_text(moment)[0] == text.strip()[0].upper()


VALUES = st.one_of(st.none(), st.floats(), st.integers(), st.booleans(), ANYTHING, LETTERS)


@SIZE
@given(VALUES, VALUES, VALUES, VALUES, st.text(max_size=20))
def test_a_measurement_is_finite_or_is_refused(count, length, cpm, swingweight, mass, remark):
    count("measurements")
    try:
        found = measured_club(
            playing_length=length, frequency_cpm=cpm, swingweight=swingweight, total_mass=mass, remark=remark
        )
    except BenchError:
        return
    values = (found.playing_length_in, found.frequency_cpm, found.swingweight_oz_in, found.total_mass_g)
    for given_value, value in zip((length, cpm, swingweight, mass), values, strict=True):
        assert (value is None) == (given_value is None)
        assert value is None or (math.isfinite(value) and not isinstance(given_value, bool))


EXERCISES = [each for lesson in LESSONS for each in exercises_of(lesson, seed=5)]


@SIZE
@given(st.sampled_from(EXERCISES), st.one_of(ANYTHING, LETTERS, st.text()))
def test_any_answer_gets_a_marking_and_a_right_one_has_the_answer_s_number(count, asked, text):
    count("answers")
    marking = check(asked, text)
    assert marking.sentence
    if marking.right and asked.unit != LETTER_SCALE:
        assert re.search(r"\d|[½¼¾⅛⅜⅝⅞]", text)
    assert check(asked, asked.answer_text).right


@SIZE
@given(
    st.one_of(st.text(max_size=40), st.sampled_from(["..", "a/../../b", "con", "a\u202e", "~", "-rf", "$(x)", "%s"]))
)
def test_a_typed_name_stays_in_its_folder_or_is_refused(count, tmp_path_factory, name):
    count("names")
    folder = RecordFolder(tmp_path_factory.getbasetemp())
    try:
        path = folder.path(name)
    except SaveError:
        return
    assert path.parent == folder.folder
    assert path.resolve().is_relative_to(folder.folder.resolve())
