"""The card's targets: the weight that a wanted swingweight needs, by hand, and what the club measures with it."""

import dataclasses

import pytest

from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.benchcard import Target, groups, target, targets, wanted_swingweights

BUILT = build_set(shipped_order())
G_PER_OZ = 28.349523125


@pytest.mark.parametrize("club", BUILT.clubs, ids=lambda club: club.plan.club)
def test_the_weight_is_the_missing_moment_over_its_arm(club):
    """Hand arithmetic: a tip weight at the shaft's lower end acts on an arm of playing length - BBGL - 14 in."""
    plan, aim = club.plan, target(build_club(club.plan, club.assembly, "D5"))  # 213.5 + 5 x 1.75 = 222.25 oz in
    missing_oz_in = 222.25 - club.swingweight_oz_in
    arm_in = plan.playing_length_in - plan.wanted.bbgl_in - 14
    assert missing_oz_in > 0
    assert aim.add_g == pytest.approx(missing_oz_in / arm_in * G_PER_OZ, rel=1e-9)
    assert aim.swingweight == "D5.0"
    assert aim.total_mass_g == pytest.approx(club.total_mass_g + aim.add_g)
    heavier = dataclasses.replace(club.assembly, tip_weight_g=aim.add_g)
    assert aim.frequency_cpm == pytest.approx(frequency_cpm(card_of(plan, heavier)))
    assert aim.frequency_cpm < club.frequency_cpm
    assert aim.flex == club.flex_text


def test_a_club_that_is_over_it_gets_no_weight_and_the_points_it_is_over():
    club = BUILT.clubs[0]
    aim = target(build_club(club.plan, club.assembly, "C5"))  # 213.5 - 5 x 1.75 = 204.75 oz in
    assert aim.add_g == 0
    assert aim.over_points == pytest.approx((club.swingweight_oz_in - 204.75) / 1.75)
    assert (aim.frequency_cpm, aim.swingweight) == (club.frequency_cpm, club.swingweight)


def test_without_a_wanted_swingweight_the_club_is_to_measure_what_is_predicted():
    built = build_set(dataclasses.replace(BUILT.order, wanted_swingweight=None))
    for club, aim in zip(BUILT.clubs, targets(built), strict=True):
        said = (club.frequency_cpm, club.flex_text, club.swingweight, club.total_mass_g)
        assert aim == Target(None, 0.0, *said)


def test_a_weight_that_is_in_already_is_taken_out_again():
    """A tip weight of 4 g in, and a swingweight that the club has without it."""
    club = BUILT.clubs[0]
    heavy = dataclasses.replace(club.assembly, tip_weight_g=4.0)
    aim = target(build_club(club.plan, heavy, "D0"))
    assert aim.add_g == pytest.approx(target(club).add_g - 4.0)
    assert aim.add_g < -3
    assert aim.total_mass_g == pytest.approx(club.total_mass_g + target(club).add_g)
    assert aim.swingweight == "D0.0"


def test_less_than_the_scale_reads_is_no_weight_and_moves_no_target():
    club = BUILT.clubs[0]
    for missing_g, told in ((0.04, False), (0.06, True)):
        in_it = dataclasses.replace(club.assembly, tip_weight_g=target(club).add_g - missing_g)
        nearly = build_club(club.plan, in_it, "D0")
        aim = target(nearly)
        assert aim.add_g == (pytest.approx(missing_g, abs=1e-6) if told else 0.0)
        assert (aim.frequency_cpm == nearly.frequency_cpm) is not told


def test_the_wanted_swingweight_is_named_once_where_all_clubs_share_it():
    assert wanted_swingweights(BUILT) == "D0"
    first, *others = BUILT.order.clubs
    own = dataclasses.replace(BUILT.order, clubs=(dataclasses.replace(first, wanted_swingweight="D2"), *others))
    assert wanted_swingweights(build_set(own)) == "the swingweight wanted for each club"
    assert wanted_swingweights(build_set(dataclasses.replace(BUILT.order, wanted_swingweight=None))) == ""


def test_a_set_of_one_shaft_is_one_group_and_a_club_with_its_own_splits_it():
    (whole,) = groups(BUILT.clubs)
    assert whole.clubs == BUILT.clubs
    assert whole.raw_length_in == BUILT.order.shaft.raw_length_in
    taper = build_set(shipped_order("taper_soft_step"))
    mixed = groups((*BUILT.clubs[:2], *taper.clubs, *BUILT.clubs[2:]))
    assert [group.taper for group in mixed] == [False, True, False]
    assert [len(group.clubs) for group in mixed] == [2, len(taper.clubs), len(BUILT.clubs) - 2]
    assert mixed[1].raw_length_in is None
    assert [group.shaft.name for group in mixed] == [
        BUILT.order.shaft.name,
        taper.order.shaft.name,
        BUILT.order.shaft.name,
    ]


def test_a_raw_length_that_differs_by_a_mark_is_not_the_group_s():
    first, second, *_ = BUILT.clubs
    shorter = dataclasses.replace(second.plan, raw_length_in=second.plan.raw_length_in - 1 / 16)
    (group,) = groups((first, dataclasses.replace(second, plan=shorter)))
    assert group.raw_length_in is None


def test_another_grip_or_flex_is_another_group():
    first, second, *_ = BUILT.clubs
    grip = dataclasses.replace(second.plan.wanted.grip, name="another grip")
    regripped = dataclasses.replace(second.plan, wanted=dataclasses.replace(second.plan.wanted, grip=grip))
    flex = dataclasses.replace(second.plan.flex, softer="S", stiffer="S")
    for plan in (regripped, dataclasses.replace(second.plan, flex=flex)):
        assert len(groups((first, dataclasses.replace(second, plan=plan)))) == 2
