"""What lessons 05 to 08 print, word and number together: each number is computed here and stands in its sentence."""

import json
import math
from pathlib import Path

import pytest

from trimkit.check.stepshares import step_shares
from trimkit.club.card import card_of
from trimkit.club.flexscale import MEASURED_FLEXES, cpm_a_letter
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import both_units, millimetres, nearest_mark
from trimkit.study.labs.beam import HUNG, BeamParams, bend, lesson_shaft, thirds_table
from trimkit.study.labs.flexscale import lesson_reading
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
    yield f"EI is {shaft.tip_ei_n_m2:.0f} at the tip and {shaft.clamp_ei_n_m2:.0f} at the clamp, three times as much"
    assert shaft.clamp_ei_n_m2 / shaft.tip_ei_n_m2 == pytest.approx(3, abs=0.15)
    yield f"2 × 2 × 2 = {2**3} mm"
    yield f"3 × 3 × 3 = {3**3} mm"
    for out, low, drop in ((20, 1, 8), (30, 8, 27)):
        assert drop == (out / 10) ** 3
        yield f"| {out} in | {drop} mm | {drop} − {low} = {drop - low} mm |"
    yield f"19/27 of the drop: **{1900 / 27:.0f} %**. The 10 in at the tip accounts for 1/27: **{100 / 27:.0f} %**"
    yield f"{shaft.length_in - shaft.clamp_in:.0f} in stick out of the clamp"
    table = thirds_table()
    drops, adds = (table[name].round(1) for name in ("the tip drops (mm)", "this third adds (mm)"))
    shares, plain = table["share of the whole (%)"], table["in a plain tube (%)"]
    one, two, _ = table.index
    yield f"with {two} in out the tip drops {drops.iloc[1]} mm, with {one} in only {drops.iloc[0]} mm"
    yield f"adds {drops.iloc[1]} − {drops.iloc[0]} = **{adds.iloc[1]} mm**"
    yield f"{adds.iloc[1]} / {drops.iloc[2]} = **{shares.iloc[1]} %**"
    yield f"the tip third does {shares.iloc[0]} % of the bending, not {plain.iloc[0]} %"
    yield f"the tip third does {shares.iloc[0]} %"
    assert bend(SEVEN, BeamParams(5.0, 1.1, 1000.0, HUNG)).deflection_in < shaft.deflection_in


def sentences_06_of_the_steps():
    shares = step_shares(card_of(SEVEN.plan, SEVEN.assembly), 0.5)
    first, *_, before_clamp, part, held = shares.steps
    assert (before_clamp.number, part.number, held.number) == (14, 15, 16)
    assert first.fraction < 0.01
    yield "Step 1 adds less than 1 %"
    rising = [step.fraction for step in shares.steps[:14]]
    assert rising == sorted(rising)
    most = f"{100 * before_clamp.fraction:.0f} %"
    yield f"each step farther up adds more, up to {most} at step 14, the last before the clamp"
    edge = 31.0  # 35.9 in of cut shaft and 0.1 in of cap, less the clamp's 5 in
    assert part.above_tip_in - 0.5 < edge < part.above_tip_in
    yield "Step 15 starts inside the clamp, so only part of its move counts"
    assert held.in_clamp
    yield f"Moved one at a time, the steps add up to {100 * shares.sum_cpm / shares.whole_cpm:.0f} % of the gain"


def sentences_07():
    soft, middle, stiff = (round(cpm, 1) for cpm in lesson_reading().own.frequency_cpm)
    yield f"**A** {soft} cpm · **R** {middle} cpm · **S** {stiff} cpm"
    yield f"Here A to R is {middle - soft:.1f} cpm and R to S {stiff - middle:.1f} cpm"
    read = lesson_reading(tip_trim_in=4.75)
    cpm = round(read.frequency_cpm, 1)
    yield f"reads {cpm} cpm"
    yield f"from R to the club: {cpm} − {middle} = {cpm - middle:.1f} cpm"
    yield f"from R to S: {stiff} − {middle} = {stiff - middle:.1f} cpm"
    place = (cpm - middle) / (stiff - middle)
    yield f"place: {cpm - middle:.1f} / {stiff - middle:.1f} = **{place:.2f}**, so the club is **R/S {place:.2f}**"
    assert read.own.say(read.frequency_cpm) == f"R/S {place:.2f}"
    trim = 4 + place * 1.5
    yield f"4 + 0.50 × (5.5 − 4) = {trim:.2f} in = **{both_units(trim).replace(' in (', ' in** (')}"
    mean = cpm_a_letter(MEASURED_FLEXES)
    yield f"gave {mean} cpm a letter"
    own = lesson_reading(tip_trim_in=4.5, clamp_in=6.0)
    yield f"with the same head and clamp it is {own.own.say(own.frequency_cpm)} every time"


def sentences_08():
    now = lesson_club()
    yield f"= **{now.balance.swingweight_oz_in:.2f} oz in**"
    yield f"or **{now.balance.swingweight}**"
    head, grip = now.masses["head"], now.masses["grip"]
    yield f"at the head 1.75 × 28.35 / {head.arm_in:.2f} = **{head.g_per_point:.2f} g**"
    yield f"at the grip 1.75 × 28.35 / {-grip.arm_in:.1f} = **{-grip.g_per_point:.2f} g**, the other way"
    assert math.isclose(head.from_cap_in, 37 - 0.36)
    cm = 36.64 * 2.54
    moi, alone = now.balance.moi_kg_cm2, 0.2733 * cm**2
    yield f"36.64 in is {cm:.2f} cm, so the head alone comes to 0.2733 kg × ({cm:.2f} cm)² = **{alone:.0f} kg cm²**"
    yield f"The other parts, bit by bit, add {moi - round(alone):.0f}: {moi:.0f} kg cm²"
    yield f"here computed, {now.masses['shaft'].from_cap_in:.3f} in"
    yield f"here {grip.from_cap_in:.1f} in"


@pytest.mark.parametrize(
    ("number", "sentences"),
    [
        ("05", sentences_05),
        ("06", sentences_06),
        ("06", sentences_06_of_the_steps),
        ("07", sentences_07),
        ("08", sentences_08),
    ],
)
def test_words_and_numbers_stand_together(number, sentences):
    text = lesson(number)
    for sentence in sentences():
        assert sentence in text, sentence
