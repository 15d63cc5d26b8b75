"""Units: the definitions are exact (international inch and avoirdupois pound, 1959 agreement; NIST SP 811, app. B)."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from trimkit.parts import units
from trimkit.parts.errors import UnitError


def test_inch_is_25_4_mm_exactly_nist_sp811():
    assert math.isclose(units.MM_PER_IN, 25.4, rel_tol=1e-15)


def test_ounce_is_28_349523125_g_exactly_nist_sp811():
    assert math.isclose(units.G_PER_OZ, 28.349523125, rel_tol=1e-15)


def test_the_factors_are_those_of_scipy():
    factors = (units.M_PER_IN, units.MM_PER_IN, units.G_PER_OZ)
    assert factors == pytest.approx((constants.inch, constants.inch * 1e3, constants.oz * 1e3), rel=1e-15)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("38 1/2", 38.5),
        ("38-1/2 in", 38.5),
        ("38.5 in", 38.5),
        ('38.5"', 38.5),
        ("97.79 cm", 38.5),
        ("25.4 mm", 1.0),
        ("1/16", 0.0625),
        ("-1/4 in", -0.25),
        (".5", 0.5),
    ],
)
def test_lengths_as_people_write_them(text, inches):
    assert units.length_in(text) == pytest.approx(inches, rel=1e-14)


@pytest.mark.parametrize("text", ["", "abc", "12 g", "1/0", "38,5", "nan", "inf", "1e3", "3 1/2 1/4", "38 feet"])
def test_what_is_not_a_length_is_refused_and_quoted(text):
    with pytest.raises(UnitError) as caught:
        units.length_in(text)
    assert repr(text) in str(caught.value)
    assert "Do next" in str(caught.value)


def test_a_mass_in_inches_is_refused():
    with pytest.raises(UnitError, match="unit 'in'"):
        units.mass_g("50 in")


def test_a_bare_number_can_be_refused():
    with pytest.raises(UnitError, match="no unit"):
        units.length_in("38", bare_unit=None)


@given(st.floats(-60, 60), st.sampled_from([8, 16, 32, 64]))
def test_the_nearest_mark_is_at_most_half_a_division_away(exact_in, divisions):
    reading = units.nearest_mark(exact_in, divisions)
    assert abs(reading.error_in) <= 0.5 / divisions + 1e-12
    assert reading.exact_in == exact_in


@given(st.integers(-2000, 2000), st.sampled_from([8, 16, 32, 64]))
def test_a_mark_reads_back_as_itself(marks, divisions):
    reading = units.nearest_mark(marks / divisions, divisions)
    assert units.length_in(reading.text.replace("−", "-")) == marks / divisions == reading.marked_in


def test_a_ruler_no_bench_has_is_refused():
    with pytest.raises(UnitError, match="8, 16, 32 or 64"):
        units.nearest_mark(1.0, 10)


@pytest.mark.parametrize("value", [math.nan, math.inf, -2e307])
def test_what_is_not_a_number_has_no_mark(value):
    with pytest.raises(UnitError):
        units.nearest_mark(value)


@pytest.mark.parametrize("text", ["9" * 400 + " in", "9" * 400 + "/1", "1/" + "9" * 5000, "1 " + "9" * 5000 + "/2 mm"])
def test_a_number_too_long_for_any_ruler_is_refused_and_not_computed(text):
    with pytest.raises(UnitError, match="at most 60"):
        units.length_in(text)


@given(st.integers(-400_000, 400_000))
def test_millimetres_round_halves_away_from_nought_as_whole_numbers_do(thousandths):
    """Recomputed in whole numbers: a thousandth of an inch is 254 ten-thousandths of a mm (25.4 mm an inch, exact)."""
    tenths = (abs(thousandths) * 254 + 500) // 1000
    sign = "−" if thousandths < 0 and tenths else ""
    assert units.millimetres(thousandths / 1000) == f"{sign}{tenths // 10}.{tenths % 10} mm"


@given(st.integers(-40_000, 40_000))
def test_a_length_off_its_mark_says_so_and_one_on_it_does_not(thousandths):
    reading = units.nearest_mark(thousandths / 1000)
    on_a_mark = thousandths * 16 % 1000 == 0
    if on_a_mark:
        assert reading.text == reading.mark
    elif reading.marked_in == 0:
        assert units.length_in(reading.text.replace("−", "-")) == thousandths / 1000
    else:
        assert reading.text == f"≈ {reading.mark}"
    assert units.both_units(thousandths / 1000) == f"{reading.text} ({units.millimetres(thousandths / 1000)})"


def test_a_length_too_small_for_decimals_is_about_nought():
    assert units.both_units(1e-5) == "≈ 0 in (0.0 mm)"
    assert units.both_units(1e-12) == "0 in (0.0 mm)"


@pytest.mark.parametrize("value", [math.nan, -math.inf, 1e307])
def test_what_is_not_finite_in_millimetres_is_refused(value):
    with pytest.raises(UnitError, match="a finite number"):
        units.millimetres(value)


@pytest.mark.parametrize(
    ("value", "text"),
    [(100.0, "100 in"), (0.0005, "0.001 in"), (-0.0004, "0 in"), (1 / 3, "0.333 in"), (-2.5, "−2.5 in")],
)
def test_inches_in_a_sentence(value, text):
    assert units.say_in(value) == text


def test_fewer_decimals_on_request():
    assert units.say_number(0.3692, 2) == "0.37"
