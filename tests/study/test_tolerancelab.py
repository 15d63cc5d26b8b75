"""The lab on scatter: readouts are the pure function's, the quick answer is the full model's, the lesson is so."""

import itertools
import math

import numpy as np
import pytest
from scipy import stats

from trimkit.build.tolerance import TOLERANCES, Tolerances, first_order
from trimkit.parts.errors import BenchError, ModelError
from trimkit.study.lab import tolerance_lab
from trimkit.study.tolerancelab import (
    GROUPS,
    SETS,
    SHOWN_SETS,
    ToleranceParams,
    agreement_table,
    class_scatter,
    curves,
    full_sample,
    how_close,
    percent,
    usual_params,
)

START = class_scatter()
USUAL = usual_params()
ENDS = [
    *itertools.product((0.5, 6.0), (0.0, 3.0), (0.0, 2.0), (0.0, 0.125), (0.0, 3.0)),
    (2.0, 2.0, 1.0, 1 / 32, 0.5),
    (2.75, 1.25, 0.5, 3 / 64, 1.25),
]


@pytest.fixture(scope="module")
def lab():
    return tolerance_lab()


@pytest.fixture(autouse=True)
def _fresh(request):
    if "lab" in request.fixturenames:
        request.getfixturevalue("lab").reset()


def boxes_of_texts(lab):
    lab.figure.draw_without_rendering()
    return {name: artist.get_window_extent() for name, artist in lab.scene.live.items() if hasattr(artist, "get_text")}


@pytest.mark.parametrize(("allowed", "ei", "wall", "lengths", "head"), ENDS)
def test_ends_and_middle_show_what_the_pure_function_says(lab, allowed, ei, wall, lengths, head):
    lab.set(allowed_cpm=allowed, ei_percent=ei, wall_percent=wall, lengths_in=lengths, head_mass_g=head)
    pure = how_close(START, ToleranceParams(allowed, ei, wall, lengths, head))
    assert lab.readout["one club within"].value == pytest.approx(100 * pure.club_parts.mean())
    assert lab.readout["all ten"].value == 100 * pure.sample.set_probability.value
    assert lab.readout["±cpm for 9 sets of 10"].value == pure.likely_cpm
    assert f"all ten in {100 * pure.sample.set_probability.value:.1f} %" in lab.sentence
    assert f"{pure.first}: {percent(pure.shares[pure.first])}" in lab.sentence
    (x,), (y,) = lab.scene.live["point whole set"].get_data()
    assert (x, y) == (allowed, 100 * pure.sample.set_probability.value)
    drawn = [lab.scene.live[name].get_ydata() for name in ("within", "outside")]
    assert sum(map(len, drawn)) == SHOWN_SETS * len(START.built.clubs)
    low, high = lab.figure.axes[0].get_ylim()
    assert all(low < y < high - 4 for y in np.concatenate(drawn))  # the words stand above
    assert np.all(np.abs(drawn[0]) <= allowed)
    assert np.all(np.abs(drawn[1]) > allowed)
    width, height = lab.figure.bbox.size
    boxes = boxes_of_texts(lab)
    for name, box in boxes.items():
        assert min(box.x0, box.y0) >= 0, name
        assert box.x1 <= width, name
        assert box.y1 <= height, name
    for one, other in itertools.combinations(boxes, 2):
        assert not boxes[one].overlaps(boxes[other]), (one, other)
    for name in GROUPS:
        end = lab.figure.axes[1].transData.transform((100 * pure.shares[name], 0))[0]
        assert end < boxes[f"part {name}"].x0


@pytest.mark.parametrize("name", ["allowed_cpm", "ei_percent", "wall_percent", "lengths_in", "head_mass_g"])
def test_one_step_of_any_slider_changes_sentence_readouts_and_picture(lab, name):
    control = next(each for each in lab.declared if each.name == name)
    sentence, numbers, picture = lab.sentence, [str(each) for each in lab.readouts], lab.overlay.live("")
    lab.set(**{name: control.default + control.step})
    assert lab.sentence != sentence
    assert [str(each) for each in lab.readouts] != numbers
    assert lab.overlay.live("") != picture


def test_the_ghost_stands_still_and_reset_brings_the_defaults_back(lab):
    before = lab.overlay.background()
    lab.set(allowed_cpm=6.0, ei_percent=3.0, lengths_in=0.125)
    assert lab.overlay.background() == before
    lab.reset()
    assert lab.params == USUAL


def test_the_lab_begins_with_the_bench_s_usual_tolerances(lab):
    assert lab.params.tolerances == Tolerances()
    budget = first_order([club.plan for club in START.built.clubs], Tolerances(), START.built.order.assembly)
    assert lab.result.budget.effect_cpm == pytest.approx(budget.effect_cpm, abs=1e-12)
    assert lab.result.budget.tolerances == TOLERANCES
    assert [name for name, _ in lab.result.budget.ranking][:3] == ["ei_percent", "wall_percent", "bbgl_in"]
    assert sum(lab.result.shares.values()) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize(
    "params",
    [USUAL, ToleranceParams(2.0, 3.0, 2.0, 0.125, 3.0), ToleranceParams(1.0, 0.5, 0.25, 1 / 16, 2.0)],
    ids=["usual", "all at the end", "steady shafts"],
)
def test_the_quick_answer_is_that_of_the_full_model(params):
    """Same draws through the batched beam solver: set by set, and in what is said of them."""
    quick, full = how_close(START, params).sample, full_sample(START, params)
    sd = quick.sd_cpm.max()
    apart = np.abs(quick.deviation_cpm - full.deviation_cpm)
    # What first order leaves out is of second order: sd^2 over the frequency, some tens of it at four sd.
    assert apart.max() < 20 * sd**2 / 310
    assert math.sqrt((apart**2).mean()) < sd**2 / 310 * 1.5
    assert quick.set_probability.value == pytest.approx(full.set_probability.value, abs=0.002)
    for one, other in zip(quick.club_probabilities, full.club_probabilities, strict=True):
        assert one.value == pytest.approx(other.value, abs=0.004)


def test_a_club_s_chance_is_the_normal_distribution_s():
    """scipy.stats.norm beside the sample of 10 000: within four standard errors for each club, at three tolerances."""
    for allowed in (1.0, 2.0, 4.0):
        now = how_close(START, ToleranceParams(allowed, 2.0, 1.0, 1 / 32, 0.5))
        for sampled, sd in zip(now.sample.club_probabilities, now.budget.sd_cpm, strict=True):
            exact = 1 - 2 * stats.norm.sf(allowed / sd)
            assert abs(sampled.value - exact) < 4 * math.sqrt(exact * (1 - exact) / SETS)


def test_the_set_s_chance_is_the_product_of_its_clubs():
    """No tolerance is shared between clubs, so the product of the exact chances lies in the sample's 95 % interval."""
    for allowed in (2.0, 3.0, 4.0):
        now = how_close(START, ToleranceParams(allowed, 2.0, 1.0, 1 / 32, 0.5))
        exact = np.prod(1 - 2 * stats.norm.sf(allowed / now.budget.sd_cpm))
        low, high = now.sample.set_probability.interval
        assert low < exact < high
        assert now.independent == pytest.approx(exact, abs=0.006)


def test_the_curves_pass_through_the_points_and_rise():
    now = how_close(START, USUAL)
    there, one, whole = curves(now)
    at = list(there).index(2.0)
    assert one[at] == pytest.approx(100 * now.club_parts.mean(), abs=1e-9)
    assert whole[at] == pytest.approx(100 * now.sample.set_probability.value, abs=1e-9)
    assert np.all(np.diff(one) >= 0)
    assert np.all(np.diff(whole) >= 0)
    assert np.all(whole <= one)


def test_a_negative_tolerance_is_refused_and_a_slider_keeps_its_bounds(lab):
    with pytest.raises(ModelError, match="ei_percent"):
        how_close(START, ToleranceParams(2.0, -1.0, 1.0, 1 / 32, 0.5))
    with pytest.raises(BenchError, match="0 to 3 %"):
        lab.set(ei_percent=5.0)


def test_every_readout_has_its_unit(lab):
    assert [each.unit for each in lab.readouts] == ["%", "%", "%", "%", "cpm", "cpm"]


def test_what_the_lesson_says_of_club_and_set_is_so():
    """Lesson 10: one club 70 to 76 %, 72.3 % on average; all ten 4.0 % (3.6 to 4.4), the ten multiplied 3.9 %."""
    now = how_close(START, USUAL)
    parts = [round(100 * each) for each in now.club_parts]
    assert (min(parts), max(parts)) == (70, 76)
    assert round(100 * now.club_parts.mean(), 1) == 72.3
    assert round(100 * now.sample.set_probability.value, 1) == 4.0
    assert [round(100 * each, 1) for each in now.sample.set_probability.interval] == [3.6, 4.4]
    assert round(100 * now.independent, 1) == 3.9
    assert round(now.likely_cpm, 1) == 4.7
    assert [round(100 * share) for share in now.shares.values()] == [80, 15, 3, 2, 1]


def test_what_the_lesson_says_of_better_rulers_and_steadier_shafts_is_so():
    """Lesson 10: lengths of 1/64 in: 4.4 %; 1/8 in: 0.6 %; no shaft scatter: all; EI and wall ±1/2 %: 96.1 %."""

    def whole(**changed):
        values = {"allowed_cpm": 2.0, "ei_percent": 2.0, "wall_percent": 1.0, "lengths_in": 1 / 32, "head_mass_g": 0.5}
        return how_close(START, ToleranceParams(**(values | changed))).sample.set_probability.value

    assert round(100 * whole(lengths_in=1 / 64), 1) == 4.4
    assert round(100 * whole(lengths_in=1 / 8), 1) == 0.6
    assert whole(ei_percent=0.0, wall_percent=0.0) > 0.999
    assert round(100 * whole(ei_percent=0.5, wall_percent=0.5), 1) == 96.1


def test_what_the_lesson_s_worked_example_says_is_so():
    """Lesson 10: EI 1 % is half a percent of 334.2 cpm = 1.67; sum of squares 3.50; 1.87 cpm; 2/1.87 = 1.07; 71.5 %."""
    now = how_close(START, USUAL)
    at = now.budget.clubs.index("7-iron")
    effect = dict(zip(now.budget.tolerances, np.abs(now.budget.effect_cpm[at]), strict=True))
    assert round(float(now.budget.frequency_cpm[at]), 1) == 334.2
    assert round(334.2 * 0.005, 2) == 1.67
    assert round(effect["ei_percent"], 2) == 1.67
    assert round(effect["wall_percent"], 2) == 0.72
    assert round(effect["bbgl_in"], 2) == 0.30
    assert [round(effect[name], 2) for name in ("tip_trim_in", "cut_length_in", "clamp_in")] == [0.15] * 3
    assert [round(effect[name], 2) for name in ("head_mass_g", "shaft_mass_percent")] == [0.14, 0.04]
    assert round(float(now.budget.variance_cpm2[at]), 2) == 3.50
    assert round(float(now.budget.sd_cpm[at]), 2) == 1.87
    assert round(1 - 2 * stats.norm.sf(1.07), 3) == 0.715
    assert round(0.715**10, 3) == 0.035


def test_what_the_lesson_says_of_first_order_against_the_full_model_is_so():
    """Lesson 10: 0.1 cpm apart at most in 100 000 clubs, 0.01 rms; the set 4.00 against 3.97 %."""
    table = agreement_table()
    assert table.loc["all ten within (%)"].tolist() == pytest.approx([4.00, 3.97], abs=0.005)
    assert table.loc["apart, at most (cpm)", "full_model"] == pytest.approx(0.10, abs=0.005)
    assert table.loc["apart, rms (cpm)", "full_model"] == pytest.approx(0.01, abs=0.005)
    assert SETS * len(START.built.clubs) == 100_000


def test_two_percentages_differ_by_points(lab):
    before = lab.readout["all ten"].value
    lab.set(allowed_cpm=4.0)
    assert f"({lab.readout['all ten'].value - before:+.1f} % points)" in lab._live.value
