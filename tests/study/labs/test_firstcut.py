"""The lab on the first cut: what is drawn is what is cut, and what the rule allows."""

from dataclasses import replace

import pytest

from trimkit.club.club import build_club, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.mechanics.beam import first_shape
from trimkit.mechanics.profile import cut_butt, cut_tip, steel_profile
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
    """Lesson 00: half an inch less is 3.3 cpm, 0.39 of a flex of 8.3 cpm; more is 3.5 cpm, 0.33 of one of 10.4."""
    less, more = (lab.set(tip_trim_in=tip, playing_length_in=37.0).sentence for tip in (3.5, 4.5))
    assert "−3.3 cpm (−0.39 of a flex)" in less
    assert "+3.5 cpm (+0.33 of a flex)" in more
    soft, own, stiff = START.flex_scale.frequency_cpm
    assert (own - soft, stiff - own) == pytest.approx((8.34, 10.45), abs=0.005)
    assert "cut length ≈ 35 7/8 in (911.9 mm)" in more


def test_what_the_plan_says_of_the_first_step_and_of_those_nearer_the_hands_is_so():
    """Lesson 00, plan: each step moved alone by half an inch towards the tip, wall and width as in the table."""
    plan, assembly = START.plan, START.assembly
    head, sections = plan.wanted.head, plan.wanted.shaft.sections

    def cpm(sections, tip=4.0):
        left = cut_butt(cut_tip(steel_profile(sections, tip_section_in=sections[0].to_tip_in), tip), 6.1 - tip)
        club = first_shape(
            left,
            tip_trim_in=0.0,
            cut_length_in=35.9,
            bbgl_in=head.bbgl_in,
            bore_depth_in=head.bore_depth_in,
            cap_thickness_in=0.1,
            head_mass_g=head.head_mass_g,
            cg_height_in=head.cg_height_in,
            inertia_g_cm2=head.inertia_g_cm2,
            clamp_in=assembly.clamp_in,
        )
        return float(club.frequency_cpm)

    before, gains = cpm(sections), []
    for number in range(len(sections) - 1):
        edge, moved = sections[number].to_tip_in - 0.5, list(sections)
        moved[number : number + 2] = (
            replace(sections[number], to_tip_in=edge),
            replace(sections[number + 1], from_tip_in=edge),
        )
        gains.append(cpm(moved) - before)
    whole = cpm(sections, 4.5) - before
    assert 0 < gains[0] < 0.01 * whole
    assert gains[:14] == sorted(gains[:14]), "the nearer the hands, the more"
    assert sum(gains[7:]) > 0.6 * whole
    assert sum(gains) == pytest.approx(whole, rel=0.03)  # the changes add up to first order


def test_what_the_lesson_says_of_two_inches_of_tip_is_so(lab):
    """Common practice, no source: with a plausible steel shaft half an inch of tip trim is worth a few cpm."""
    half = lab.set(tip_trim_in=4.5, playing_length_in=37.0).result.frequency_cpm
    assert 2 < half - lab.set(tip_trim_in=4.0).result.frequency_cpm < 8
