"""Which further reading helps: what is promised before it is taken is what the fit says after it."""

import numpy as np
import pytest

from trimkit.club.card import Assembly, card_of
from trimkit.club.clamp import BareShaft, FrequencyBench, frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.parts.errors import ModelError
from trimkit.shop.calibration import MOST_UNSURE, WORST_CONDITION, calibrate
from trimkit.shop.calibrationmodel import CalibrationModel
from trimkit.shop.furtherreading import Possible, deviations, further_reading, possible_readings
from trimkit.shop.reading import Reading, club_reading

PLANS = [club.plan for club in build_set(shipped_order()).clubs]
SHAFT = PLANS[0].wanted.shaft
CLAMP = Assembly(root_spring_n_m_per_rad=1200.0)
POINT = np.array([0.97, 1e3 / 1200])
LIMITS = {"most_sd": MOST_UNSURE, "worst_condition": WORST_CONDITION, "error_cpm": 0.5}


def read(held):
    (cpm,) = frequencies_cpm([held], ei_factor=0.97)
    return float(cpm)


def clubs(plans):
    return [club_reading(plan, read(card_of(plan, CLAMP))) for plan in plans]


def jacobian(readings):
    model = CalibrationModel([each.held for each in readings], np.zeros(len(readings), dtype=int))
    return model.derivatives(POINT)


def advice(readings, possible, **changed):
    return further_reading(jacobian(readings), POINT, [SHAFT.name], possible, **LIMITS | changed)


def test_the_reading_that_is_advised_is_enough_and_leaves_what_was_promised():
    few = clubs(PLANS[2:9])
    with pytest.raises(ModelError) as refused:
        calibrate(few)
    found = advice(few, possible_readings((each.shaft, each.held) for each in few))
    assert found.times == 1
    assert found.words in refused.value.next_step
    assert f"{found.ei_factor_sd:.3f}" in refused.value.next_step
    bench = FrequencyBench(200.0, clamp_in=14.0, root_spring_n_m_per_rad=1200.0)
    assert "200 g at its tip, with 14 in in the clamp" in found.words
    bare = BareShaft(profile_of(SHAFT, SHAFT.raw_length_in), bench)
    after = calibrate([*few, Reading("bare", SHAFT.name, bare, read(bare))])
    assert after.factors[0].ei_factor_sd == pytest.approx(found.ei_factor_sd, rel=1e-3)
    assert after.factors[0].ei_factor_sd < MOST_UNSURE


def test_one_that_has_to_be_repeated_is_enough_so_often_and_not_once_less():
    few = clubs(PLANS[3:6])
    found = advice(few, possible_readings((each.shaft, each.held) for each in few))
    assert found.times == 2
    bench = FrequencyBench(200.0, clamp_in=14.0, root_spring_n_m_per_rad=1200.0)
    bare = BareShaft(profile_of(SHAFT, SHAFT.raw_length_in), bench)
    once = Reading("bare", SHAFT.name, bare, read(bare))
    with pytest.raises(ModelError, match="uncertain"):
        calibrate([*few, once])
    assert calibrate([*few, once, once]).factors[0].ei_factor_sd == pytest.approx(found.ei_factor_sd, rel=1e-3)


def test_what_none_alone_can_do_is_said():
    two = clubs(PLANS[:2])
    assert advice(two, possible_readings((each.shaft, each.held) for each in two)).times is None
    with pytest.raises(ModelError, match="no single further reading is enough; read several"):
        calibrate(two)


def test_a_club_of_the_order_that_nobody_read_is_tried_too():
    few, unread = clubs(PLANS[3:6]), PLANS[-1]
    other = Possible(f"the {unread.club}", SHAFT.name, card_of(unread, CLAMP))
    sd, _ = deviations(np.vstack([jacobian(few), jacobian(clubs([unread]))]), 0.5)
    found = advice(few, [other], most_sd=float(sd[0]))
    assert (found.words, found.times) == (f"the {unread.club}", 1)
    assert found.ei_factor_sd == pytest.approx(float(sd[0]))


def test_a_reading_at_one_free_length_more_tells_nothing():
    one = clubs(PLANS[3:4] * 3)
    assert advice(one, [Possible("again", SHAFT.name, one[0].held)]) is None
    assert advice(one, []) is None


def test_nothing_is_advised_that_cannot_be_clamped_or_read():
    bare = BareShaft(profile_of(SHAFT, SHAFT.raw_length_in), FrequencyBench(200.0, clamp_in=41.0))
    few = clubs(PLANS[3:6])
    assert advice(few, [Possible("in the clamp whole", SHAFT.name, bare)]) is None
    depth = possible_readings([(SHAFT.name, card_of(PLANS[0]))])
    assert max(each.held.assembly.clamp_in for each in depth if not isinstance(each.held, BareShaft)) <= 10.5


def test_deviations_are_those_of_the_normal_equations():
    made = np.random.default_rng(3).normal(size=(7, 3)) * [1.0, 30.0, 0.2]
    sd, condition = deviations(made, 0.5)
    assert sd == pytest.approx(0.5 * np.sqrt(np.diag(np.linalg.inv(made.T @ made))))
    assert condition == pytest.approx(np.linalg.cond(made / np.linalg.norm(made, axis=0)))
