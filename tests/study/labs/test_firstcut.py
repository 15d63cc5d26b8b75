"""The lab on the first cut: what is drawn is what is cut, and what the rule allows."""

import pytest

from trimkit.club.club import build_club, recut
from trimkit.club.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import TrimRefused
from trimkit.study import first_cut_lab

LAB = first_cut_lab
START = build_set(shipped_order()).club("7-iron")


@pytest.mark.parametrize(("tip", "playing"), [(1.0, 38.0), (3.5, 37.0), (6.0, 38.0)])
def test_ends_and_middle_show_what_the_pure_function_says(lab, tip, playing):
    if tip + playing > 42 + 1.1:
        with pytest.raises(TrimRefused, match="too short"):
            lab.set(tip_trim_in=tip, playing_length_in=playing)
        assert "too short" in lab.sentence
        assert lab.result is None
        return
    lab.set(tip_trim_in=tip, playing_length_in=playing)
    pure = build_club(recut(START.plan, tip, playing), START.assembly)
    assert lab.readout["frequency"].value == pure.frequency_cpm
    assert f"{pure.frequency_cpm:.1f} cpm" in lab.sentence
    drawn = [lab.scene.live[name].get_bbox() for name in ("tip cut", "shaft", "butt cut")]
    assert [box.width for box in drawn] == pytest.approx([tip, pure.plan.cut_length_in, pure.plan.butt_trim_in])
    assert drawn[0].x0 == 0
    assert drawn[-1].x1 == pytest.approx(pure.plan.raw_length_in)


def test_more_off_the_tip_is_stiffer_all_the_way(lab):
    frequencies = [
        lab.set(tip_trim_in=tip, playing_length_in=37.0).result.frequency_cpm for tip in (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)
    ]
    assert frequencies == sorted(frequencies)


def test_what_the_lesson_says_of_parts_of_a_flex_is_so(lab):
    """Lesson 00: half an inch either way is 4.7 cpm; 0.40 of a flex where it is 11.8 cpm wide, 0.34 of one of 13.8."""
    less, more = (lab.set(tip_trim_in=tip, playing_length_in=37.0).sentence for tip in (3.5, 4.5))
    assert "−4.7 cpm (−0.40 of a flex)" in less
    assert "+4.7 cpm (+0.34 of a flex)" in more
    soft, own, stiff = START.flex_scale.frequency_cpm
    assert (own - soft, stiff - own) == pytest.approx((11.8, 13.8), abs=0.05)
    assert "cut length ≈ 35 7/8 in (911.9 mm)" in more


def test_what_the_lesson_says_of_two_inches_of_tip_is_so(lab):
    """Common practice, no source: with a plausible steel shaft half an inch of tip trim is worth a few cpm."""
    half = lab.set(tip_trim_in=4.5, playing_length_in=37.0).result.frequency_cpm
    assert 2 < half - lab.set(tip_trim_in=4.0).result.frequency_cpm < 8
