"""The lab on head mass: the place on the ladder is the rule's, the clubs are the pure function's."""

import numpy as np
import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import BenchError, ModelError
from trimkit.parts.units import both_units, millimetres
from trimkit.study import head_weight_lab
from trimkit.study.labs.headmass import (
    ENGRAVED,
    HEAVIEST_G,
    LIGHTEST_G,
    MassParams,
    hybrid_table,
    ladder_table,
    lesson_hybrid,
    set_line,
    two_ways,
)
from trimkit.trim.placing import engraved_conflict

LAB = head_weight_lab
BUILT = build_set(shipped_order())
START = lesson_hybrid()
LINE = set_line(START)


def ways(mass, engraved="4-hybrid"):
    return two_ways(START, LINE, MassParams(mass, engraved))


def test_the_lab_begins_with_the_club_of_the_class(lab):
    ordered = BUILT.club("4-hybrid").plan.wanted
    assert lab.result.by_mass.plan.wanted.head.head_mass_g == ordered.head.head_mass_g
    assert lab.result.by_mass.frequency_cpm == START.frequency_cpm
    assert lab.readout["it is"].shown == "a 3.28-iron"


def test_the_lab_s_head_has_the_bore_that_the_schedule_is_written_for():
    plan = START.plan
    assert plan.bbgl_correction_in == 0
    assert plan.tip_trim_in == plan.schedule_trim_in
    assert plan.equivalent == BUILT.club("4-hybrid").plan.equivalent


@pytest.mark.parametrize(("mass", "engraved"), zip((LIGHTEST_G, 257.3, HEAVIEST_G), reversed(ENGRAVED), strict=True))
def test_ends_and_middle_show_what_the_pure_function_says(lab, mass, engraved):
    lab.set(head_mass_g=mass, engraved=engraved)
    pure = ways(mass, engraved)
    assert lab.readout["frequency by mass"].value == pure.by_mass.frequency_cpm
    assert lab.readout["frequency by number"].value == pure.by_number.frequency_cpm
    assert lab.readout["tip trim by mass"].value == pure.by_mass.plan.tip_trim_in
    assert lab.readout["length by number"].value == pure.by_number.plan.playing_length_in
    assert f"A {engraved} of {mass:.1f} g" in lab.sentence
    for way, club in (("mass", pure.by_mass), ("number", pure.by_number)):
        (off,), _ = lab.scene.live[f"flex {way}"].get_data()
        assert off == pure.flexes_off(club)
        assert lab.scene.live[f"{way} drawn grip"].get_xy()[:, 0].max() == club.plan.playing_length_in
        words = lab.scene.live[f"{way} cut"].get_text()
        assert f"{club.plan.tip_trim_in:.2f} in off the tip, {club.plan.playing_length_in:.2f} in long" in words


def test_the_two_clubs_lie_on_one_ground_line_and_the_dashes_mark_the_one_cut_by_mass(lab):
    """By hand, a 4-hybrid of 257.3 g: BBGL 1 in + section 9 in - 2.792 in of trim, and 38.208 in of length."""
    lab.set(head_mass_g=257.3)
    heads = [lab.scene.live[f"{way} drawn head"].get_xy()[:, 0].min() for way in ("mass", "number")]
    assert heads[0] == heads[1]
    marks = sorted({x for segment in lab.scene.live["marks"].get_segments() for x in segment[:, 0]})
    assert marks == pytest.approx([10 - 2.792, 38.208], abs=0.001)
    first = [lab.scene.live[f"{way} drawn steps"].get_segments()[0][0, 0] for way in ("mass", "number")]
    assert first == pytest.approx([10 - 2.792, 10 - 2.5], abs=0.001)


def test_the_two_ways_differ_as_the_rule_says():
    conflict = engraved_conflict(START.plan.wanted)
    pure = ways(248.8)
    assert pure.by_number.plan.tip_trim_in - pure.by_mass.plan.tip_trim_in == pytest.approx(conflict.tip_trim_in)
    assert pure.by_number.plan.playing_length_in - pure.by_mass.plan.playing_length_in == pytest.approx(
        conflict.playing_length_in
    )


def test_by_its_mass_a_head_lies_on_the_line_of_the_set():
    for mass in (240.5, 244.0, 255.0, 262.0, 270.0, 274.0):
        pure = ways(mass)
        assert pure.flexes_off(pure.by_mass) == pytest.approx(0, abs=0.02)


def test_where_number_and_mass_agree_the_sentence_says_so(lab):
    lab.set(head_mass_g=253.5)
    assert "Its number says the same." in lab.sentence
    assert lab.result.flexes_off(lab.result.by_number) == pytest.approx(0, abs=1e-9)


def test_a_light_head_by_its_number_is_too_stiff_and_a_heavy_one_too_soft():
    """Common practice, no source: a light head that is trimmed by its engraved number ends up too stiff, too short."""
    light, heavy = ways(244.0), ways(262.0)
    assert light.flexes_off(light.by_number) > 0.2
    assert light.by_number.plan.playing_length_in < light.by_mass.plan.playing_length_in
    assert heavy.flexes_off(heavy.by_number) < -0.2
    assert heavy.by_number.plan.playing_length_in > heavy.by_mass.plan.playing_length_in


def test_outside_the_line_there_is_no_flex():
    with pytest.raises(ModelError, match=r"39.5"):
        LINE.scale_at(40)
    with pytest.raises(BenchError, match=r"240\.5"):
        head_weight_lab().set(head_mass_g=230.0)


def test_what_the_lesson_says_of_the_ladder_is_so():
    """Lesson 03; 6 to 7 g a club is common practice, no source, the numbers are those of the demo ladder."""
    table = ladder_table()
    assert set(np.diff(table["head mass (g)"])) == {6.5, 7.0}
    assert set(np.diff(table["playing length (in)"])) == {-0.5}
    assert set(np.diff(table["tip trim for R (in)"])) == {0.5}
    assert table.loc["2-iron"].tolist() == [240.5, 39.5, 1.5]
    assert table.loc["4-iron"].tolist() == [253.5, 38.5, 2.5]


def test_what_the_lesson_says_of_the_3_hybrid_is_so():
    """Lesson 03, worked example: 242.9 g is 2.4 / 6.5 of the way from the 2-iron to the 3-iron; sums by hand."""
    plan = lesson_hybrid("3-hybrid").plan
    part = (242.9 - 240.5) / (247 - 240.5)
    assert plan.wanted.head.head_mass_g == 242.9
    assert plan.equivalent.fraction == pytest.approx(part)
    assert (plan.tip_trim_in, plan.playing_length_in) == pytest.approx((1.5 + part / 2, 39.5 - part / 2))
    assert (round(part, 3), round(plan.tip_trim_in, 3), round(plan.playing_length_in, 3)) == (0.369, 1.685, 39.315)
    assert both_units(plan.tip_trim_in) == "≈ 1 11/16 in (42.8 mm)"
    assert both_units(plan.playing_length_in) == "≈ 39 5/16 in (998.6 mm)"
    table = hybrid_table()
    assert table["tip trim (in)"].tolist() == [1.685, 2.0]
    assert table["playing length (in)"].tolist() == [39.315, 39.0]
    assert table["cut as"].tolist() == ["2.37-iron", "3-iron"]
    assert (2.0 - 1.685, millimetres(2 - plan.tip_trim_in)) == (pytest.approx(0.315), "8.0 mm")


def test_what_the_lesson_says_of_the_light_head_is_so():
    """Lesson 03, Explain: cut as the set's 4-iron, 4.7 g less of head are 2.7 cpm, 0.27 of a flex."""
    pure = ways(248.8)
    four = next(club for club in LINE.clubs if club.plan.club == "4-iron")
    for name in ("tip_trim_in", "playing_length_in", "cut_length_in"):
        assert getattr(pure.by_number.plan, name) == getattr(four.plan, name)
    assert four.plan.wanted.head.head_mass_g - 248.8 == pytest.approx(4.7)
    assert pure.by_number.frequency_cpm - four.frequency_cpm == pytest.approx(2.7, abs=0.05)
    assert pure.flexes_off(pure.by_number) == pytest.approx(0.27, abs=0.005)


def test_what_the_exercises_of_the_lesson_ask_has_its_answer():
    """Lesson 03, exercises: a 5-hybrid of 255 g; a 4-iron of 250 g; the mass at a quarter of a flex too stiff."""
    ladder = START.plan.wanted.ladder
    club = ladder.by_mass(255.0)
    assert club.fraction == pytest.approx(1.5 / 6.5)
    assert club.interpolate(lambda name: START.plan.wanted.table.row(name, "R").tip_trim_in) == pytest.approx(
        2.615, abs=0.001
    )
    assert ladder.playing_length_in(club) == pytest.approx(38.385, abs=0.001)
    assert ladder.rung("4-iron").head_mass_g - 250 == 3.5
    off = [ways(mass).flexes_off(ways(mass).by_number) for mass in (249.0, 249.1)]
    assert off[0] > 0.25 > off[1]


def test_what_the_lesson_lets_one_predict_is_not_in_the_first_picture(lab):
    """Lesson 03: a heavy 4-hybrid of 257.3 g, while the lab opens with a light one."""
    heavy = ways(257.3)
    assert str(heavy.by_mass.plan.equivalent) == "4.58-iron"
    assert heavy.by_number.plan.playing_length_in - heavy.by_mass.plan.playing_length_in == pytest.approx(
        0.29, abs=0.005
    )
    assert heavy.flexes_off(heavy.by_number) == pytest.approx(-0.26, abs=0.005)
    assert not any(answer in lab.sentence for answer in ("4.58", "soft", "longer"))
