"""The lab on head mass: the place on the ladder is the rule's, the clubs are the pure function's."""

import numpy as np
import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import BenchError, ModelError
from trimkit.study import head_weight_lab
from trimkit.study.labs.headmass import ENGRAVED, HEAVIEST_G, LIGHTEST_G, MassParams, ladder_table, set_line, two_ways
from trimkit.trim.placing import engraved_conflict

LAB = head_weight_lab
BUILT = build_set(shipped_order())
START = BUILT.club("4-hybrid")
LINE = set_line(START)


def ways(mass, engraved="4-hybrid"):
    return two_ways(START, LINE, MassParams(mass, engraved))


def test_the_lab_begins_with_the_club_of_the_class(lab):
    assert lab.result.by_mass.frequency_cpm == START.frequency_cpm
    assert lab.readout["it is"].shown == "a 3.28-iron"


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
        (x,), (y,) = lab.scene.live[f"cpm {way}"].get_data()
        assert (x, y) == (club.plan.playing_length_in, club.frequency_cpm)
        (x,), (y,) = lab.scene.live[f"trim {way}"].get_data()
        assert (x, y) == (club.plan.playing_length_in, club.plan.tip_trim_in)


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
    gaps = np.diff(table.loc["2-iron":"9-iron", "head_mass_g"])
    assert set(gaps) == {6.5, 7.0}
    assert set(np.diff(table.loc["2-iron":"9-iron", "playing_length_in"])) == {-0.5}
    assert table.loc[["2-iron", "3-iron", "4-iron"], "head_mass_g"].tolist() == [240.5, 247.0, 253.5]
    assert table.loc[["2-iron", "3-iron"], "playing_length_in"].tolist() == [39.5, 39.0]


def test_what_the_lesson_says_of_the_3_hybrid_is_so():
    """Lesson 03, worked example: 242.9 g is 0.369 of the way from the 2-iron to the 3-iron."""
    plan = BUILT.club("3-hybrid").plan
    assert plan.wanted.head.head_mass_g == 242.9
    assert plan.equivalent.fraction == pytest.approx(0.369, abs=0.0005)
    assert plan.schedule_trim_in == pytest.approx(1.685, abs=0.0005)
    assert plan.bbgl_correction_in == -0.25
    assert plan.tip_trim_in == pytest.approx(1.435, abs=0.0005)
    assert plan.playing_length_in == pytest.approx(39.315, abs=0.0005)
    conflict = engraved_conflict(plan.wanted)
    assert conflict.tip_trim_in == pytest.approx(0.32, abs=0.005)
    assert conflict.playing_length_in == pytest.approx(-0.32, abs=0.005)


def test_what_the_lesson_says_of_flexes_and_cpm_is_so():
    """Lesson 03: by its number the 4-hybrid gains 5.7 cpm, 3.1 of them for its length; 0.27 of a flex; a rung 0.37."""
    pure, rung = ways(248.8), ways(247.0)
    assert pure.by_number.frequency_cpm - pure.by_mass.frequency_cpm == pytest.approx(5.7, abs=0.05)
    own = dict(zip(LINE.lengths_in, LINE.flex_cpm(1), strict=True))[38.5]
    assert own - pure.by_mass.frequency_cpm == pytest.approx(3.1, abs=0.05)
    assert pure.by_number.frequency_cpm - own == pytest.approx(2.6, abs=0.05)
    assert pure.flexes_off(pure.by_number) == pytest.approx(0.27, abs=0.005)
    assert pure.by_number.plan.tip_trim_in - pure.by_mass.plan.tip_trim_in == pytest.approx(0.36, abs=0.005)
    assert rung.flexes_off(rung.by_number) == pytest.approx(0.37, abs=0.005)


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


def test_what_the_lesson_says_of_the_set_s_line_is_so():
    """Lesson 03: its clubs have this hybrid's bore, a quarter inch less off the tip than the schedule."""
    schedule = START.plan.wanted.table
    for club in LINE.clubs:
        assert club.plan.tip_trim_in == schedule.row(club.plan.club, "R").tip_trim_in - 0.25
    by_number = ways(248.8).by_number.plan
    assert (by_number.tip_trim_in, by_number.playing_length_in) == (2.25, 38.5)  # on the set's line
