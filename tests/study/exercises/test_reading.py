"""How an answer is read: notations, spellings of units, places between flexes, and what is refused and why."""

import pytest

from trimkit.parts.errors import UnitError
from trimkit.study.exercises.reading import SAME_AS, named, read

# International inch and avoirdupois ounce, exact by definition (NIST SP 811, appendix B).
ONE_OF = {
    ("in", "mm"): 25.4,
    ("in", "cm"): 2.54,
    ("mm", "cm"): 0.1,
    ("g", "oz"): 1 / 28.349523125,
    ("g", "kg"): 0.001,
    ("cpm", "hz"): 1 / 60,
    ("kg cm²", "g cm²"): 1000,
    ("kg cm²", "kg m²"): 0.0001,
    ("oz in", "g in"): 28.349523125,
    ("", "%"): 100,
}


def test_what_one_unit_is_in_another():
    factors = {(unit, other): factor for unit, others in SAME_AS.items() for other, factor in others.items()}
    assert all(factor == 1 for (unit, other), factor in factors.items() if unit == other)
    assert {pair: factor for pair, factor in factors.items() if pair[0] != pair[1]} == pytest.approx(ONE_OF, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("5 3/4", 5.75),
        ("-5 3/4", -5.75),
        ("5-3/4", 5.75),
        ("- 1/4", -0.25),
        ("+ 1/4", 0.25),
        ("−1/4", -0.25),
        ("–1/4", -0.25),
        ("5¾", 5.75),
        ("¾", 0.75),
        ("5⅓", 5 + 1 / 3),
        ("5 3⁄4", 5.75),
        ("5\N{NO-BREAK SPACE}3/4", 5.75),
        ("5,75", 5.75),
        ("5,7500", 5.75),
        ("5.", 5.0),
        (".5", 0.5),
        ("8.27e3", 8270.0),
        ("8e-2", 0.08),
        ("1E3", 1000.0),
        ("  5  ", 5.0),
        ("5" + " " * 79, 5.0),
    ],
)
def test_a_number_without_a_unit_is_in_the_unit_asked_for(text, number):
    assert read(text, "in") == (pytest.approx(number, rel=1e-12), "in")


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ('5"', "in"),
        ("5''", "in"),
        ("5 ″", "in"),
        ("5 “", "in"),
        ("5 ”", "in"),
        ("5 Inches", "in"),
        ("5 inch", "in"),
        ("5 in.", "in"),
        ("5 MM", "mm"),
        ("5 millimetre", "mm"),
        ("5 millimetres", "mm"),
        ("5 millimeters", "mm"),
        ("5 gram", "g"),
        ("5 grams", "g"),
        ("5 layer", "layers"),
        ("5 club", "clubs"),
        ("5 flex", "flexes"),
        ("5 of a flex", "flexes"),
        ("5 point", "points"),
        ("5 percent", "%"),
        ("5 per  cent", "%"),
        ("5%", "%"),
        ("5 Hz", "hz"),
        ("5-iron", ""),
        ("5 kg cm2", "kg cm²"),
        ("5 kgcm2", "kg cm²"),
        ("5 kgcm²", "kg cm²"),
        ("5 kg cm^2", "kg cm²"),
        ("5 kg m2", "kg m²"),
        ("5 kg·m²", "kg m²"),
        ("5 kg m^2", "kg m²"),
        ("5 cm", "cm"),
        ("5 centimetres", "cm"),
        ("5 ounces", "oz"),
        ("5 kilograms", "kg"),
        ("5 iron", ""),
        ("5 % of the way", "%"),
        ("5 of the way", ""),
        ("5 g cm2", "g cm²"),
        ("5 g cm^2", "g cm²"),
        ("5 ozin", "oz in"),
        ("5 oz·in", "oz in"),
        ("5 oz-in", "oz in"),
        ("5 Nm2", "N m²"),
        ("5 Nm²", "N m²"),
        ("5 N m2", "N m²"),
        ("5 N m^2", "N m²"),
        ("5 N M²", "N m²"),
        ("5 cpm/half inch", "cpm per half inch"),
        ("5 cpm per half in", "cpm per half inch"),
        ("5 times", "times"),
        ("5 Furlong", "Furlong"),
        ("5e100", "e100"),
    ],
)
def test_a_unit_in_its_spellings(text, unit):
    assert read(text, "cpm") == (5.0, unit or "cpm")


FROM_R = "How many flexes stiffer (+) or softer (−) than R is it?"


@pytest.mark.parametrize(
    ("text", "unit", "question", "number"),
    [
        ("A/R 0.3", "", "What fraction of the way from A to R is that?", 0.3),
        ("A/R 0.3 of the way", "", "What fraction of the way from A to R is that?", 0.3),
        ("a / r 30 %", "", "What fraction of the way from A to R is that?", 0.3),
        ("A+/R 1/4", "", "What fraction of the way from A+ to R is that?", 0.25),
        ("R/S 0.14", "flexes", FROM_R, 0.14),
        ("A/R 0.86", "flexes", FROM_R, -0.14),
        ("A/R 86 %", "flexes", FROM_R, -0.14),
    ],
)
def test_a_place_between_flexes(text, unit, question, number):
    assert read(text, unit, question) == (pytest.approx(number), unit)


@pytest.mark.parametrize(
    ("text", "unit", "question"),
    [
        ("R/S 0.3", "", "from A to R"),
        ("A/R 0.3", "in", "from A to R, and than A than R "),
        ("A/R 0.3", "flexes", "from A to R"),
        ("S/X 0.3", "flexes", FROM_R),
        ("R/S 0.3", "", FROM_R),
        ("A/R 0.3", "", FROM_R),
    ],
)
def test_a_place_that_is_not_asked_for_is_refused(text, unit, question):
    with pytest.raises(UnitError, match="does not ask for"):
        read(text, unit, question)


SHORT = "The shaft isn't long enough. How far short is it (a positive number)?"
MORE = "The tip is cut for a stiffer flex. How much more comes off the tip?"
SIGNED = "You cut at the mark, a shorter one. By how many inches is the shaft longer (+) or shorter (−) than planned?"
CHANGE = "A grip is heavier. By how many points does the swingweight change (+ more, − less)?"
LINE = "How many cpm is it above (+, stiffer) or below (−, softer) the line?"


@pytest.mark.parametrize(
    ("text", "unit", "question", "number"),
    [
        ("0.65 too short", "in", SHORT, 0.65),
        ("0.65 in too short", "in", SHORT, 0.65),
        ("0.65 shorter", "in", "How much shorter is it?", 0.65),
        ("1 1/2 in more", "in", MORE, 1.5),
        ('1½" more', "in", MORE, 1.5),
        ("0.02 longer", "in", SIGNED, 0.02),
        ("0.02 in too long", "in", SIGNED, 0.02),
        ("0.02 in Shorter", "in", SIGNED, -0.02),
        ("-0.02 shorter", "in", SIGNED, -0.02),
        ("+0.02 longer", "in", SIGNED, 0.02),
        ("1.2 points less", "points", CHANGE, -1.2),
        ("1.2 more", "points", CHANGE, 1.2),
        ("3 cpm too stiff", "cpm", LINE, 3.0),
        ("3 softer", "cpm", LINE, -3.0),
        ("3 below", "cpm", LINE, -3.0),
        ("1/4 of a flex softer", "flexes", FROM_R, -0.25),
    ],
)
def test_a_word_after_the_number_says_its_sign(text, unit, question, number):
    assert read(text, unit, question) == (pytest.approx(number), unit)


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("0.65 too long", SHORT),
        ("1 1/2 less", MORE),
        ("1 1/2 stiffer", MORE),  # the question's other sentence
        ("-0.02 longer", SIGNED),
        ("+0.02 shorter", SIGNED),
        ("0.02 shorter", ""),
        ("1.2 lighter", CHANGE),
        ("1.2 heavier", CHANGE),
    ],
)
def test_a_word_that_the_question_does_not_ask_about_or_that_contradicts_its_sign_is_refused(text, question):
    with pytest.raises(UnitError, match="after the number") as refused:
        read(text, "in", question)
    assert "'5 3/4'" in refused.value.next_step


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("1,250", "two things"),
        ("-1,250 g", "two things"),
        ("5" + " " * 80, "81 characters"),
        ("about six", "not a number"),
        ("", "not a number"),
        ("5 shorter", "'shorter'"),
        ("5 in too long", "'too long'"),
        ("5 cpm Softer", "'Softer'"),
        ("5 3/0", "3/0"),
    ],
)
def test_what_cannot_be_read_says_why(text, why):
    with pytest.raises(UnitError, match=why):
        read(text, "in")


@pytest.mark.parametrize(
    ("unit", "example"), [("in", "'5 3/4' or '5.75'"), ("", "'0.25', or '25 %'"), ("cpm", "'5.75 cpm'")]
)
def test_a_refusal_shows_how_to_write_it(unit, example):
    with pytest.raises(UnitError) as refused:
        read("six", unit)
    assert example in refused.value.next_step


def test_units_in_words():
    words = {"in": "inches", "mm": "millimeters", "cm": "centimeters", "g": "grams", "oz": "ounces", "kg": "kilograms"}
    words |= {"%": "percent", "hz": "cycles per second (Hz)", "": "a number without a unit", "cpm": "cpm"}
    assert {unit: named(unit) for unit in words} == words


def test_an_answer_has_80_characters_at_most():
    assert read(" " * 75 + "5 in.", "in")[0] == 5
    with pytest.raises(UnitError, match="an answer of 81 characters") as refusal:
        read(" " * 76 + "5 in.", "in")
    assert refusal.value.allowed == "at most 80"
