"""What lessons 05 to 08 print, word and number together: each number is computed here and stands in its sentence."""

import json
import math
from pathlib import Path

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import millimetres, nearest_mark
from trimkit.study.labs.beam import HUNG, BeamParams, bend, lesson_shaft
from trimkit.study.labs.flexscale import OWN, lesson_reading
from trimkit.study.labs.lever import lesson_club

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
SEVEN = build_set(shipped_order()).club("7-iron")


def lesson(number):
    """The text of a lesson's markdown cells."""
    (path,) = NOTEBOOKS.glob(f"{number}_*.ipynb")
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")


def sentences_05():
    four = build_set(shipped_order()).club("4-iron").plan
    yield f"cut length = 38.5 − 1 − 0.1 = **{four.cut_length_in:.1f} in** ({millimetres(four.cut_length_in)})"
    yield f"butt trim = 42 − 2.5 − 37.4 = **{four.butt_trim_in:.1f} in** ({millimetres(four.butt_trim_in)})"
    mark = nearest_mark(four.cut_length_in)
    short = f"{-mark.error_in:.3f} in ({millimetres(-mark.error_in)}) short"
    sixteenths = four.cut_length_in * 16
    yield f"37.4 × 16 = {sixteenths:.1f}, so the nearest sixteenth is {sixteenths:.0f}/16 = {mark.mark}: {short}"


def sentences_06():
    shaft = lesson_shaft()
    yield f"EI = 210 000 N/mm² × 116 mm⁴ / 1 000 000 = **{shaft.tip_ei_n_m2:.1f} N m²**"
    yield f"The same sum gives {shaft.clamp_ei_n_m2:.1f} N m², a good three times as much"
    assert shaft.shaft.ei_at(6.0) < shaft.tip_ei_n_m2 < shaft.shaft.ei_at(7.0)
    yield "among its softest"
    yield "with one small step down at the first step"
    moved = bend(SEVEN, BeamParams(5.0, 1.1, 1000.0, HUNG))
    less, more = shaft.deflection_in - moved.deflection_in, moved.frequency_cpm - shaft.frequency_cpm
    yield f"{less:.2f} in less bend and {more:.0f} cpm more, at the same length"


def sentences_07():
    cut = lesson_reading(tip_trim_in=4.5)
    soft, middle, stiff = cut.scale.frequency_cpm
    place = (cut.frequency_cpm - middle) / (stiff - middle)
    yield f"R reads {middle:.2f}, S {stiff:.2f}"
    yield f"mechanics − rule = **{cut.residual_cpm:+.2f} cpm**"
    assert cut.scale.say(cut.frequency_cpm) == f"R/S {place:.2f}"
    yield f"From A to R it is {middle - soft:.1f} cpm here, from R to S {stiff - middle:.1f} cpm"
    own = lesson_reading(tip_trim_in=4.5, clamp_in=6.0, scale=OWN)
    yield f"the club is {own.scale.say(own.frequency_cpm)} every time"


def sentences_08():
    now = lesson_club()
    yield f"= **{now.balance.swingweight_oz_in:.2f} oz in**"
    yield f"that is **{now.balance.swingweight}**"
    head, grip = now.masses["head"], now.masses["grip"]
    yield f"at the head 1.75 × 28.35 / {head.arm_in:.2f} = **{head.g_per_point:.2f} g**"
    yield f"at the grip 1.75 × 28.35 / {-grip.arm_in:.1f} = **{-grip.g_per_point:.2f} g**, the other way"
    assert math.isclose(head.from_cap_in, 37 - 0.36)


@pytest.mark.parametrize(
    ("number", "sentences"), [("05", sentences_05), ("06", sentences_06), ("07", sentences_07), ("08", sentences_08)]
)
def test_words_and_numbers_stand_together(number, sentences):
    text = lesson(number)
    for sentence in sentences():
        assert sentence in text, sentence
