"""Tolerances to first order: against the uncertainties package, against whole profiles, and laws."""

import dataclasses
import math

import numpy as np
import pytest
import uncertainties
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.card import Assembly
from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.profile import steel_profile
from trimkit.parts.errors import ModelError
from trimkit.parts.sources import Standing
from trimkit.shop.spread import frequency_spread
from trimkit.shop.tolerance import (
    TOLERANCE_SOURCES,
    TOLERANCES,
    Tolerances,
    contributions_table,
    first_order,
    scattered,
)
from trimkit.trim.bore import BoreChoice
from trimkit.trim.plan import plan_club
from trimkit.trim.wanted import ShaftInHand

PLANS = {name: [c.plan for c in build_set(shipped_order(name)).clubs] for name in ("evening_class", "taper_soft_step")}
WOODS = [club.plan for club in build_set(shipped_order("wood_pair")).clubs]
NOTHING = Tolerances(**dict.fromkeys(TOLERANCES, 0.0))


def bench_cpm(plan, tip_trim, cut_length, bbgl, head_mass, shaft_mass, wall, ei, clamp):
    """What a club measures whose bench was off by so much: written down anew from what happens at the bench.

    The tip is trimmed by the plan, by what the BBGL was read too large, and by the saw's error; the cut length, short
    by that same BBGL, is then measured from the new tip. The head itself is as it is.
    """
    wanted, parallel = plan.wanted, plan.tip_trim_in > 0
    profile = profile_of(wanted.shaft, plan.raw_length_in)
    if wall and wanted.shaft.sections and parallel:
        profile = steel_profile(wanted.shaft.sections, wall_factor=profile.scale_factor * (1 + wall / 100))
    return float(
        first_frequency(
            profile,
            tip_trim_in=plan.tip_trim_in + (tip_trim + bbgl if parallel else 0.0),
            cut_length_in=plan.cut_length_in - bbgl + cut_length,
            bbgl_in=wanted.bbgl_in,
            bore_depth_in=wanted.head.bore_depth_in,
            cap_thickness_in=wanted.grip.cap_thickness_in,
            head_mass_g=wanted.head.head_mass_g + head_mass,
            cg_height_in=wanted.head.cg_height_in,
            inertia_g_cm2=wanted.head.inertia_g_cm2,
            clamp_in=5.0 + clamp,
            ei_factor=1 + ei / 100,
            mass_factor=1 + shaft_mass / 100,
        ).frequency_cpm
    )


@pytest.mark.parametrize("number", [0, 5, 9])
def test_variance_agrees_with_the_uncertainties_package(number):
    """uncertainties (E. O. Lebigot) propagates the same spreads through the solver wrapped as a plain function."""
    plan, tolerances = PLANS["evening_class"][number], Tolerances()
    errors = [uncertainties.ufloat(0.0, getattr(tolerances, name) / 2) for name in TOLERANCES]
    wrapped = uncertainties.wrap(lambda *values: bench_cpm(plan, *values))(*errors)
    budget = first_order([plan], tolerances)
    assert budget.frequency_cpm[0] == pytest.approx(wrapped.nominal_value, rel=1e-12)
    assert budget.sd_cpm[0] == pytest.approx(wrapped.std_dev, rel=1e-3)
    parts = wrapped.error_components()
    assert np.abs(budget.effect_cpm[0]) == pytest.approx([parts[error] for error in errors], rel=2e-3)


@pytest.mark.parametrize("name", PLANS)
def test_each_effect_is_that_of_a_bench_off_by_one_standard_deviation(name):
    plans = [plan for plan in PLANS[name] if plan.tip_trim_in > 0] or PLANS[name][:3]
    budget = first_order(plans)
    for n, plan in enumerate(plans):
        for k, tolerance in enumerate(TOLERANCES):
            if tolerance == "wall_percent" and name == "taper_soft_step":
                continue
            sd = getattr(Tolerances(), tolerance) / 2
            high, low = (bench_cpm(plan, *(sign * sd * (j == k) for j in range(len(TOLERANCES)))) for sign in (1, -1))
            assert budget.effect_cpm[n, k] == pytest.approx((high - low) / 2, rel=2e-3, abs=1e-6), tolerance


def test_signs_are_those_of_the_bench():
    effect = dict(zip(TOLERANCES, first_order(PLANS["evening_class"]).effect_cpm.T, strict=True))
    for stiffer in ("tip_trim_in", "bbgl_in", "wall_percent", "ei_percent", "clamp_in"):
        assert (effect[stiffer] > 0).all(), stiffer
    for softer in ("cut_length_in", "head_mass_g", "shaft_mass_percent"):
        assert (effect[softer] < 0).all(), softer


def test_two_percent_of_stiffness_is_about_one_percent_of_frequency():
    budget = first_order(PLANS["evening_class"], dataclasses.replace(NOTHING, ei_percent=4.0))
    # f goes as the square root of EI, exactly: half of (sqrt(1.02) - sqrt(0.98)).
    expected = budget.frequency_cpm * (math.sqrt(1.02) - math.sqrt(0.98)) / 2
    assert budget.sd_cpm == pytest.approx(expected, rel=1e-9)


def test_a_taper_tip_knows_no_tip_trim_and_graphite_no_wall():
    taper = dict(zip(TOLERANCES, first_order(PLANS["taper_soft_step"]).effect_cpm.T, strict=True))
    assert not taper["tip_trim_in"].any()
    # Without a tip trim a BBGL misread is a cut length misread, the other way round.
    assert taper["bbgl_in"] == pytest.approx(-taper["cut_length_in"], rel=1e-9)
    woods = dict(zip(TOLERANCES, first_order(WOODS).effect_cpm.T, strict=True))
    assert not woods["wall_percent"].any()
    assert (woods["ei_percent"] > 0).all()


def test_a_bore_left_uncorrected_moves_the_butt_only():
    wanted = PLANS["evening_class"][-1].wanted
    left = plan_club(
        dataclasses.replace(wanted, decisions=dataclasses.replace(wanted.decisions, bore=BoreChoice.LEAVE))
    )
    bbgl, cut = (first_order([left]).effect_cpm[0, TOLERANCES.index(name)] for name in ("bbgl_in", "cut_length_in"))
    assert bbgl == pytest.approx(-cut, rel=1e-9)


scale = st.floats(0.1, 3.0)


@settings(max_examples=20, deadline=None)
@given(scale, st.sampled_from(TOLERANCES))
def test_an_effect_grows_with_its_tolerance_and_leaves_the_others(by, name):
    plans = PLANS["evening_class"][:2]
    usual, wider = Tolerances(), dataclasses.replace(Tolerances(), **{name: by * getattr(Tolerances(), name)})
    before, after = first_order(plans, usual).effect_cpm, first_order(plans, wider).effect_cpm
    k = TOLERANCES.index(name)
    assert after[:, k] == pytest.approx(by * before[:, k], rel=2e-3)
    assert np.delete(after, k, 1) == pytest.approx(np.delete(before, k, 1), rel=1e-12)


def test_shares_add_up_and_nothing_varies_without_tolerances():
    budget = first_order(PLANS["evening_class"])
    assert budget.share.sum(axis=1) == pytest.approx(1)
    assert sum(part for _, part in budget.ranking) == pytest.approx(1)
    still = first_order(PLANS["evening_class"], NOTHING)
    assert not still.sd_cpm.any()
    assert not still.share.any()
    assert still.frequency_cpm == pytest.approx([build_club(p).frequency_cpm for p in PLANS["evening_class"]])


def test_a_clamp_that_gives_makes_length_matter_less():
    stiff = first_order(PLANS["evening_class"])
    gives = first_order(PLANS["evening_class"], assembly=Assembly(root_spring_n_m_per_rad=1000.0))
    assert (gives.sd_cpm < stiff.sd_cpm).all()


def test_every_usual_tolerance_has_a_standing_that_does_not_claim_too_much():
    assert tuple(TOLERANCE_SOURCES) == TOLERANCES
    assert {source.standing for source in TOLERANCE_SOURCES.values()} <= {Standing.FROM_MEMORY, Standing.INVENTED}


@pytest.mark.parametrize("name", TOLERANCES)
@pytest.mark.parametrize("value", [math.nan, math.inf, -0.01])
def test_a_tolerance_that_cannot_be_is_refused(name, value):
    with pytest.raises(ModelError, match=name):
        Tolerances(**{name: value})


def test_errors_larger_than_the_cut_are_refused_in_words():
    with pytest.raises(ModelError, match=r"3-hybrid: its tip trim is 1\.435 in"):
        scattered(PLANS["evening_class"], Tolerances(tip_trim_in=0.5))
    with pytest.raises(ModelError, match="no club"):
        scattered([])


def test_the_table_has_a_row_a_club_and_tolerance():
    budget = first_order(PLANS["evening_class"])
    table = contributions_table(budget)
    assert len(table) == len(budget.clubs) * len(TOLERANCES)
    assert table.groupby("club").share_percent.sum().to_numpy() == pytest.approx(100)
    by_club = table.groupby("club", sort=False).variance_cpm2.sum()
    assert by_club.to_numpy() == pytest.approx(budget.variance_cpm2)
    assert table.usual_value.str.contains("memory|invented").all()


def test_clubs_with_assemblies_of_their_own_spread_as_each_alone():
    plans = PLANS["evening_class"][2:5]
    assemblies = [Assembly(tip_weight_g=weight) for weight in (0.0, 6.0, 3.0)]
    together = first_order(plans, None, assemblies)
    for at, (plan, own) in enumerate(zip(plans, assemblies, strict=True)):
        alone = first_order([plan], None, own)
        assert together.frequency_cpm[at] == pytest.approx(alone.frequency_cpm[0], rel=1e-12)
        assert together.sd_cpm[at] == pytest.approx(alone.sd_cpm[0], rel=1e-9)
    plain = first_order(plans)
    assert together.frequency_cpm[1] < plain.frequency_cpm[1] - 1


def test_a_short_parallel_piece_spreads_as_the_whole_shaft_it_comes_from():
    plan = PLANS["evening_class"][4]
    short = plan_club(dataclasses.replace(plan.wanted, in_hand=ShaftInHand(plan.raw_length_in - 1)))
    assert first_order([short]).effect_cpm == pytest.approx(first_order([plan]).effect_cpm, abs=1e-9)


def test_the_record_s_spread_counts_each_club_s_own_tip_weight():
    order = shipped_order()
    clubs = tuple(dataclasses.replace(club, tip_weight_g=8.0 if n == 4 else None) for n, club in enumerate(order.clubs))
    built = build_set(dataclasses.replace(order, clubs=clubs))
    plan = built.clubs[4].plan
    own = first_order([plan], None, built.clubs[4].assembly).sd_cpm[0]
    assert frequency_spread(built)[4].sd_cpm == pytest.approx(own, rel=1e-9)
    assert own != pytest.approx(first_order([plan], None, order.assembly).sd_cpm[0], rel=1e-4)
