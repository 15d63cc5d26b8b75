"""One club: the prediction is that of the mechanics for just these cuts, and nothing else."""

import dataclasses

import numpy as np
import pytest

from trimkit.club.card import Assembly, card_components, card_of
from trimkit.club.club import Prediction, anchor_trims, build_club, recut
from trimkit.club.order.decisions import decisions_of
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of, sections_at_raw_length
from trimkit.club.set import build_set, plan_order
from trimkit.mechanics.profile import cut_butt, cut_tip
from trimkit.parts.errors import ModelError, TrimRefused, WallsUnknown

PLANS = {plan.club: plan for plan in plan_order(shipped_order()).plans}
TAPER = build_set(shipped_order("taper_soft_step"))


@pytest.mark.parametrize("club", PLANS)
def test_the_scale_is_hit_where_the_rule_hits_the_schedule(club):
    built = build_club(PLANS[club])
    assert built.flex_text == "R"
    assert built.frequency_cpm == pytest.approx(built.flex_scale.frequency_cpm[1], rel=1e-12)


def test_half_way_between_two_flexes_lies_about_half_way_in_frequency():
    order = shipped_order()
    half = dataclasses.replace(order, flex=dataclasses.replace(order.flex, softer="R", stiffer="S", fraction=0.5))
    for club in build_set(half).clubs:
        place = club.flex_scale.flexes_apart(club.frequency_cpm, club.flex_scale.frequency_cpm[1])
        assert place == pytest.approx(0.5, abs=0.05)


def test_mass_is_the_sum_of_the_parts_with_the_shaft_cut_by_its_profile():
    plan = PLANS["7-iron"]
    built = build_club(plan, Assembly(ferrule_mass_g=1.5, tape_mass_g=2.0, epoxy_mass_g=1.5))
    profile = profile_of(plan.wanted.shaft, plan.raw_length_in)
    left = cut_butt(cut_tip(profile, plan.tip_trim_in), plan.butt_trim_in)
    parts = plan.wanted.head.head_mass_g + plan.wanted.grip.grip_mass_g + 5.0
    assert built.total_mass_g == pytest.approx(parts + float(left.mass_g), rel=1e-12)


def test_the_raw_shaft_weighs_what_the_scale_said():
    for plan in PLANS.values():
        profile = profile_of(plan.wanted.shaft, plan.raw_length_in)
        assert float(profile.mass_g) == pytest.approx(plan.wanted.shaft.raw_mass_g, rel=1e-12)
        assert profile.scaled == "wall"


def test_a_flex_that_the_shaft_cannot_be_cut_to_is_left_out_of_the_scale():
    plan = PLANS["4-iron"]
    short = dataclasses.replace(plan, raw_length_in=plan.raw_length_in - 0.5)
    assert list(anchor_trims(plan)) == ["A", "R", "S"]
    longer = dataclasses.replace(short, cut_length_in=plan.cut_length_in + 1.0)
    assert list(anchor_trims(longer)) == ["A", "R"]


def test_recut_moves_the_butt_by_what_the_tip_loses():
    plan = PLANS["7-iron"]
    other = recut(plan, 3.5, plan.playing_length_in)
    assert other.tip_trim_in + other.cut_length_in + other.butt_trim_in == pytest.approx(42.0, abs=1e-12)
    assert other.butt_trim_in == pytest.approx(plan.butt_trim_in + 0.5, abs=1e-12)
    assert build_club(other).frequency_cpm < build_club(plan).frequency_cpm


@pytest.mark.parametrize(("trim", "sentence"), [(-0.1, "0 in or more"), (11.0, "parallel tip"), (6.5, "too short")])
def test_recut_refuses_what_no_saw_can_do(trim, sentence):
    with pytest.raises(TrimRefused, match=sentence):
        recut(PLANS["4-iron"], trim, 39.0 if trim == 6.5 else 38.5)


def test_a_taper_family_differs_below_the_first_step_only():
    shaft = shipped_order("taper_soft_step").shaft
    shorter = sections_at_raw_length(shaft, shaft.raw_length_in - 2)
    lengths = np.array([s.to_tip_in - s.from_tip_in for s in shorter])
    whole = np.array([s.to_tip_in - s.from_tip_in for s in shaft.sections])
    assert np.flatnonzero(np.abs(lengths - whole) > 1e-9).tolist() == [3]
    assert lengths.sum() == pytest.approx(shaft.raw_length_in - 2, abs=1e-9)
    assert [s.outer_diameter_in for s in shorter] == [s.outer_diameter_in for s in shaft.sections]


@pytest.mark.parametrize("raw", [20.0, 41.0])
def test_a_raw_length_outside_the_family_is_refused(raw):
    with pytest.raises(ModelError, match=f"raw length of {raw:g} in"):
        sections_at_raw_length(shipped_order("taper_soft_step").shaft, raw)


@pytest.mark.parametrize("club", TAPER.clubs, ids=lambda c: c.plan.club)
def test_one_soft_step_is_softer_by_a_few_cpm(club):
    """Common practice, no source: a step is worth a few cpm (about a quarter of a flex)."""
    (unstepped,) = build_club(club.plan, club.assembly).flex_scale.frequency_cpm
    assert 2 < unstepped - club.frequency_cpm < 7


def test_an_extension_lies_in_the_clamp_and_weighs_at_the_butt():
    plan = PLANS["4-iron"]
    wanted = dataclasses.replace(
        plan.wanted,
        shaft=dataclasses.replace(plan.wanted.shaft),
        decisions=dataclasses.replace(plan.wanted.decisions, extend=True, why="no longer shaft"),
        length=dataclasses.replace(plan.wanted.length, playing_length_in=40.0),
    )
    from trimkit.trim.plan import plan_club

    extended = plan_club(wanted)
    assert extended.extension_in == pytest.approx(0.4, abs=1e-9)
    built, before = build_club(extended), build_club(plan)
    assert built.frequency_cpm < before.frequency_cpm
    assert built.total_mass_g > before.total_mass_g
    extra = {part.name: part for part in card_components(card_of(extended))}["extension"]
    assert built.total_mass_g - before.total_mass_g > extra.mass_g > 0
    assert extra.from_cap_in < 2


def _unknown(shaft, steps):
    bare = tuple(dataclasses.replace(section, wall_in=None) for section in shaft.sections) if steps else ()
    return dataclasses.replace(shaft, sections=bare, stations=())


@pytest.mark.parametrize("steps", [True, False])
@pytest.mark.parametrize("name", ["evening_class", "taper_soft_step", "wood_pair"])
def test_without_walls_the_rules_cut_as_ever_and_nothing_is_predicted(name, steps):
    order = shipped_order(name)
    built = build_set(order)
    silent = build_set(dataclasses.replace(order, shaft=_unknown(order.shaft, steps)))
    for club, same in zip(silent.clubs, built.clubs, strict=True):
        for cut in ("tip_trim_in", "cut_length_in", "butt_trim_in", "playing_length_in", "raw_length_in", "flex"):
            assert getattr(club.plan, cut) == getattr(same.plan, cut)
        assert (club.predicted, club.need) == (None, None)
        assert order.shaft.name in club.no_prediction
        assert any(club.no_prediction in note.text for note in club.notes)
        assert [step.inches for step in club.plan.steps] == [step.inches for step in same.plan.steps]
        assert same.no_prediction == ""
        assert same.predicted.frequency_cpm == same.frequency_cpm
        for decided, told in zip(decisions_of(club), decisions_of(same), strict=True):
            assert told.what.startswith(decided.what.removesuffix("."))
        assert all(decision.effect_cpm is None for decision in decisions_of(club))


def test_a_wanted_swingweight_that_cannot_be_predicted_is_found_by_trial():
    plan = PLANS["7-iron"]
    silent = dataclasses.replace(plan.wanted, shaft=_unknown(plan.wanted.shaft, steps=True))
    plain, wished = (build_club(dataclasses.replace(plan, wanted=silent), None, wish) for wish in (None, "D2"))
    (note,) = set(wished.notes) - set(plain.notes)
    assert note.text.startswith("Swingweight D2 is wanted; without a prediction")
    assert "by trial before gluing" in note.next_step


NUMBERS = [field.name for field in dataclasses.fields(Prediction) if field.name != "need"]  # None where none is


@pytest.mark.parametrize("number", [*NUMBERS, "flex_text", "swingweight"])
def test_a_number_that_is_not_predicted_is_refused_with_the_reason(number):
    order = shipped_order("wood_pair")
    club = build_set(dataclasses.replace(order, shaft=_unknown(order.shaft, steps=False))).clubs[0]
    with pytest.raises(WallsUnknown, match=f"no prediction for the {club.plan.club}: no stiffness") as refused:
        getattr(club, number)
    assert "measure them or ask for them" in refused.value.next_step


def test_the_numbers_of_a_prediction_are_the_clubs_own():
    club = TAPER.clubs[0]
    assert [getattr(club, name) for name in NUMBERS] == [getattr(club.predicted, name) for name in NUMBERS]
