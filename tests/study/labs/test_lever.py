"""A club on the lever: hand sums agree with it, its rules of thumb are reproduced, and what lesson 08 says is so."""

import itertools
from dataclasses import replace

import pytest

from trimkit.club.club import build_club, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.parts.errors import TrimRefused
from trimkit.study.labs.lever import (
    BalanceParams,
    lesson_club,
    moment_table,
    ordered_params,
    remedies_table,
    weigh,
)
from trimkit.trim.plan import plan_club

START = build_set(shipped_order()).club("7-iron")
G_PER_OZ = 28.3495  # avoirdupois ounce, 28.349523125 g by definition (yard and pound agreement, 1959), as one writes it


def test_untouched_it_is_the_club_of_the_class():
    now = lesson_club()
    assert now.balance.swingweight_oz_in == pytest.approx(START.swingweight_oz_in)
    assert now.balance.moi_kg_cm2 == pytest.approx(START.moi_kg_cm2)
    assert now.balance.balance_point_in == pytest.approx(START.balance_point_in)
    assert now.frequency_cpm == pytest.approx(START.frequency_cpm)


@pytest.mark.parametrize("length", [36.5, 37.25, 37.5])
def test_another_length_is_the_club_recut(length):
    cut = build_club(recut(START.plan, 4.0, length), START.assembly)
    now = lesson_club(playing_length_in=length)
    assert now.balance.moi_kg_cm2 == pytest.approx(cut.moi_kg_cm2)
    assert now.frequency_cpm == pytest.approx(cut.frequency_cpm)


def test_the_moments_add_up_to_the_swingweight():
    for head, tip in itertools.product((263.3, 283.3), (0.0, 8.0)):
        now = lesson_club(head_mass_g=head, tip_weight_g=tip)
        total = sum(mass.moment_oz_in for mass in now.masses.values())
        assert total == pytest.approx(float(now.balance.swingweight_oz_in), rel=1e-12)


@pytest.mark.parametrize("points", [-3.0, 0.0, 2.5])
def test_what_is_said_to_meet_the_target_meets_it(points):
    now = lesson_club(target_points=points)
    assert lesson_club(head_mass_g=now.head_mass_g).points == pytest.approx(30 + points, abs=1e-9)
    if now.tip_weight_g is not None:
        assert lesson_club(tip_weight_g=now.tip_weight_g).points == pytest.approx(30 + points, abs=1e-9)
    else:
        assert now.points > 30 + points


def test_the_remedy_in_words_says_when_no_weight_will_do():
    assert lesson_club().remedy == "a tip weight of 1.0 g"
    assert "no tip weight makes it lighter" in lesson_club(target_points=-3.0).remedy
    assert "would have to be" in lesson_club(target_points=6.0).remedy


def test_a_club_longer_than_its_shaft_is_refused():
    with pytest.raises(TrimRefused, match="too short"):
        lesson_club(playing_length_in=44.0)


def test_the_trade_s_rules_of_thumb_for_one_point():
    """About 2 g at the head, 5 g at the grip the other way, a sixth of an inch: common practice, no source."""
    now = lesson_club()
    assert now.masses["head"].g_per_point == pytest.approx(2, abs=0.25)
    assert now.masses["grip"].g_per_point == pytest.approx(-5, abs=0.25)
    assert now.in_per_point == pytest.approx(1 / 6, abs=0.02)


# What lesson 08 says


def test_lesson_one_point_here():
    now = lesson_club()
    assert now.masses["head"].g_per_point == pytest.approx(2.19, abs=0.005)
    assert now.masses["grip"].g_per_point == pytest.approx(-5.01, abs=0.005)
    assert now.in_per_point == pytest.approx(0.15, abs=0.005)
    by_hand = 1.75 * G_PER_OZ / 22.64, 1.75 * G_PER_OZ / 9.9
    assert by_hand == pytest.approx((2.19, 5.01), abs=0.005)
    longer = lesson_club(playing_length_in=37.5)
    assert longer.masses["head"].g_per_point == pytest.approx(2.14, abs=0.005)
    head = (longer.masses["head"].moment_oz_in - now.masses["head"].moment_oz_in) / 1.75
    assert head == pytest.approx(2.8, abs=0.05)


def test_lesson_the_worked_example_by_hand():
    head = 273.3 * (36.64 - 14) / G_PER_OZ
    shaft = 93.73 * (16.711 - 14) / G_PER_OZ
    grip = 46.0 * (4.1 - 14) / G_PER_OZ
    assert (head, shaft, grip) == pytest.approx((218.26, 8.96, -16.06), abs=0.005)
    table = moment_table()
    said = [float(each.replace("−", "-")) for each in table["moment (oz in)"]]
    assert said[:3] == pytest.approx([head, shaft, grip], abs=0.01)
    assert said[3:] == [1.59, 212.75]
    total = 218.26 + 8.96 - 16.06 + 1.59
    assert total == pytest.approx(212.75, abs=0.001)
    assert (total - 213.5) / 1.75 == pytest.approx(-0.43, abs=0.005)
    now = lesson_club()
    assert now.balance.swingweight == "C9.6"
    assert now.balance.swingweight_oz_in == pytest.approx(212.75, abs=0.005)
    missing = (213.5 - 212.75) * 28.35
    assert missing == pytest.approx(21.3, abs=0.05)
    assert now.masses["tip weight"].from_cap_in == pytest.approx(36.0)
    assert missing / (36.0 - 14) == pytest.approx(1.0, abs=0.05)
    assert now.tip_weight_g == pytest.approx(1.0, abs=0.05)


def test_lesson_the_point_of_balance_and_the_mass():
    now = lesson_club()
    assert float(now.balance.balance_point_in) == pytest.approx(28.43, abs=0.005)
    assert float(now.balance.total_mass_g) == pytest.approx(418.0, abs=0.05)
    assert float(now.balance.moi_kg_cm2) == pytest.approx(2635, abs=0.5)


def test_lesson_what_it_asks_to_predict():
    """10 g more grip: 2 points down; 10 g out of the head: 4.6 points down; for C7.0 no tip weight will do."""
    now = lesson_club()
    assert lesson_club(grip_mass_g=56.0).points - now.points == pytest.approx(-2.0, abs=0.05)
    assert lesson_club(head_mass_g=263.3).points - now.points == pytest.approx(-4.6, abs=0.05)
    table = remedies_table()
    assert table.loc["C7.0"].to_list() == ["none will do", "267.7"]
    assert table.loc["D0.0", "tip weight (g)"] == "1.0"
    for target, head in table["or head mass (g)"].items():
        assert lesson_club(head_mass_g=float(head)).balance.swingweight == target


def test_lesson_exercises():
    """A: D2 needs 5.3 g at the head; B: half an inch and a 16 g grip cancel; C: two ways to C7.6."""
    now = lesson_club(target_points=2.0)
    assert now.head_mass_g - 273.3 == pytest.approx(2.4 * 2.19, abs=0.1)
    assert pytest.approx(5.3, abs=0.05) == 2.4 * 2.19
    assert lesson_club(head_mass_g=278.8).balance.swingweight == "D2.1"
    longer = lesson_club(playing_length_in=37.5)
    points = longer.points - lesson_club().points
    assert points == pytest.approx(3.3, abs=0.1)
    back = lesson_club(playing_length_in=37.5, grip_mass_g=46.0 + 5 * 3.3)
    assert back.points == pytest.approx(lesson_club().points, abs=0.1)
    assert back.balance.moi_kg_cm2 - lesson_club().balance.moi_kg_cm2 > 50
    grip, head = lesson_club(grip_mass_g=56.0), lesson_club(head_mass_g=269.0)
    assert grip.balance.swingweight == head.balance.swingweight == "C7.6"
    assert grip.balance.moi_kg_cm2 - lesson_club().balance.moi_kg_cm2 == pytest.approx(2, abs=0.5)
    assert head.balance.moi_kg_cm2 - lesson_club().balance.moi_kg_cm2 == pytest.approx(-37, abs=0.5)
    assert grip.frequency_cpm == lesson_club().frequency_cpm


def with_head(start, **changed):
    """A planned club as it is built with another head, its cuts as they were."""
    wanted = start.plan.wanted
    return build_club(plan_club(replace(wanted, head=replace(wanted.head, **changed))), start.assembly)


def test_lesson_a_tip_weight_counts_in_two_places():
    """As a part of the head for the frequency, at the shaft's lower end for balance; and what the difference is."""
    head, weight = START.plan.wanted.head, 2.0
    now, before = lesson_club(tip_weight_g=weight), lesson_club()
    mass = head.head_mass_g + weight
    assert now.frequency_cpm == pytest.approx(with_head(START, head_mass_g=mass).frequency_cpm, rel=1e-9)
    assert now.frequency_cpm - before.frequency_cpm == pytest.approx(-1.08, abs=0.005)
    lower_end = START.plan.cut_length_in + START.plan.wanted.grip.cap_thickness_in
    assert now.masses["tip weight"].from_cap_in == pytest.approx(lower_end)
    assert now.masses["head"].from_cap_in - lower_end == pytest.approx(0.64)
    # Where it sits: one body of head and weight, its inertia by Steiner's theorem.
    apart = head.bbgl_in - head.cg_height_in
    both = with_head(
        START,
        head_mass_g=mass,
        cg_height_in=head.cg_height_in + weight / mass * apart,
        inertia_g_cm2=head.inertia_g_cm2 + head.head_mass_g * weight / mass * (2.54 * apart) ** 2,
    )
    assert both.frequency_cpm - before.frequency_cpm == pytest.approx(-1.01, abs=0.005)


def test_glossary_where_the_heads_centre_is():
    """The bench numbers are those of the class's 7-iron on its raw shaft; what an error of the height does."""
    wanted = START.plan.wanted
    head, raw = wanted.head, profile_of(wanted.shaft, START.plan.raw_length_in).section(0, 42)
    mass, alone = float(raw.mass_g), 42 - float(raw.centre_from_tip_in)
    assert mass == pytest.approx(109.6, abs=0.05)
    assert alone == pytest.approx(19.41, abs=0.005)
    centre = 42 + head.bbgl_in - head.cg_height_in
    edge = (head.head_mass_g * centre + mass * alone) / (head.head_mass_g + mass)
    assert edge == pytest.approx(35.99, abs=0.005)
    both, shaft = (273.3 + 109.6) * 35.99, 109.6 * 19.41
    assert both == pytest.approx(13780.6, abs=0.05)
    assert shaft == pytest.approx(2127.3, abs=0.05)
    height = 43 - (both - shaft) / 273.3
    assert height == pytest.approx(head.cg_height_in, abs=0.005)
    for off in (-0.125, 0.125):
        moved = with_head(START, cg_height_in=head.cg_height_in + off)
        assert abs(moved.frequency_cpm - START.frequency_cpm) == pytest.approx(2.0, abs=0.05)
        points = (moved.swingweight_oz_in - START.swingweight_oz_in) / 1.75
        assert abs(points) == pytest.approx(0.7, abs=0.05)
    reading = (273.3 + 109.6) / 273.3 / 16
    assert reading == pytest.approx(0.09, abs=0.005)
    moved = with_head(START, cg_height_in=head.cg_height_in + reading)
    assert moved.frequency_cpm - START.frequency_cpm == pytest.approx(1.4, abs=0.05)


def test_params_and_target():
    assert ordered_params(START) == BalanceParams(273.3, 46.0, 37.0, 0.0, 0.0)
    assert ordered_params(START).target == "D0.0"
    assert weigh(START, ordered_params(START)).points == lesson_club().points
