"""Scatter by first order: the quick answer is the full model's and the normal distribution's, and the lesson is so."""

import itertools
import math
from dataclasses import replace
from pathlib import Path

import nbformat
import numpy as np
import pytest
from scipy import stats

from trimkit.parts.errors import ModelError
from trimkit.shop.sampling import sample_sets
from trimkit.study.labs.closeness import (
    SEED,
    SETS,
    ToleranceParams,
    all_within,
    batch_table,
    class_scatter,
    how_close,
    usual_params,
)

START = class_scatter()
USUAL = usual_params()
LESSON = Path(__file__).resolve().parents[3] / "notebooks" / "10_how_close.ipynb"


def full_sample(params):
    """The same sets through the full model: the same draws, every club solved anew."""
    plans, assembly = [club.plan for club in START.built.clubs], START.built.order.assembly
    return sample_sets(
        plans, params.tolerances, assembly=assembly, tolerance_cpm=params.allowed_cpm, sets=SETS, seed=SEED
    )


@pytest.mark.parametrize(
    "params",
    [USUAL, ToleranceParams(2.0, 3.0, 2.0, 0.125, 3.0), ToleranceParams(1.0, 0.5, 0.25, 1 / 16, 2.0)],
    ids=["usual", "all at the end", "steady shafts"],
)
def test_the_quick_answer_is_that_of_the_full_model(params):
    """Same draws through the batched beam solver: set by set, and in what is said of them."""
    quick, full = how_close(START, params).sample, full_sample(params)
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
        assert all_within(now.club_fractions) == pytest.approx(exact, abs=0.006)


def lesson():
    """The words of lesson 10."""
    cells = nbformat.read(LESSON, as_version=4).cells
    return "\n".join(cell.source for cell in cells if cell.cell_type == "markdown")


def whole(**changed):
    """How many sets of a hundred are good."""
    return 100 * how_close(START, replace(USUAL, **changed)).sample.set_probability.value


def test_why_errors_add_as_squares_by_hand():
    """Two errors of 3 and 1 cpm, each up or down: the mean of the squares is the sum of the squares."""
    text = lesson()
    together = []
    for ei, bbgl in itertools.product((3, -3), (1, -1)):
        together.append(ei + bbgl)
        assert f"| {ei:+d} | {bbgl:+d} | {ei + bbgl:+d} cpm | {(ei + bbgl) ** 2} |".replace("-", "−") in text
    assert np.mean(np.square(together)) == 3**2 + 1**2 == 10
    assert "(16 + 4 + 4 + 16) / 4 = 10, and that is 3² + 1²" in text
    assert f"√10 = {math.sqrt(10):.1f} cpm" in text
    assert f"The 1 cpm added only {math.sqrt(10) - 3:.1f}" in text


def test_what_the_lesson_says_of_club_and_set_is_so():
    now, text = how_close(START, USUAL), lesson()
    part = now.club_fractions.mean()
    assert round(4 * part) == 3
    assert f"{whole():.0f} sets in a hundred are good: all ten clubs within it" in text
    sd = now.club_cpm / 2
    assert f"half of ±{now.club_cpm:.2f} cpm: {sd:.1f} cpm" in text
    assert sd < 2  # so more than the two in three that lie within one sd
    assert f"the lab counts {100 * part:.0f} in 100" in text
    part = round(part, 2)
    assert f"The chance of two good ones is {part} × {part} = {part**2:.2f}" in text
    assert f"Multiply ten of them: {part**10:.3f}, or **{100 * part**10:.0f} sets in 100**" in text
    assert SETS * len(now.budget.clubs) == 100_000


def test_what_the_lesson_s_worked_example_says_is_so():
    """The sides of the lab's squares, mean square of ten clubs; EI's by hand: frequency goes with its root."""
    now, text = how_close(START, USUAL), lesson()
    planned = now.budget.frequency_cpm
    by_hand = math.sqrt(np.mean(np.square(planned * 0.01)))  # 2 % of EI is 1 % of frequency, to first order
    sides = {name: round(side, 2) for name, side in now.group_cpm.items()}
    assert sides["EI"] == pytest.approx(by_hand, abs=0.01)
    assert f"with 2 % more EI: about {batch_table()['change (cpm)'].mean():.1f} cpm more, averaged over the ten" in text
    names = ("EI", "wall", "BBGL", "cuts and clamp", "masses")
    for name, side in zip(names, sides.values(), strict=True):
        assert f"| {name} | {side:.2f} | {side**2:.2f} |" in text
    whole = sum(side**2 for side in sides.values())
    assert f"| sum | | **{whole:.2f}** |" in text
    assert f"√{whole:.2f} = **±{math.sqrt(whole):.1f} cpm**" in text
    assert f"{math.sqrt(whole):.1f}" == f"{now.club_cpm:.1f}"
    share = sides["EI"] ** 2 / whole
    assert f"{sides['EI'] ** 2:.2f} / {whole:.2f} = **{100 * share:.0f} %**" in text


def test_what_the_lesson_says_of_a_batch_is_so():
    """A whole batch with 2 % more EI: by hand every club rises by the root of 1.02, and keeps its place on the line."""
    table, text = batch_table(), lesson()
    planned, change = table["as planned (cpm)"], table["change (cpm)"]
    assert change.to_numpy() == pytest.approx((math.sqrt(1.02) - 1) * planned.to_numpy(), rel=1e-6)
    assert f"every club reads {change.min():.1f} to {change.max():.1f} cpm above its plan" in text
    off = (table["off the line, planned (cpm)"], table["off the line, stiffer batch (cpm)"])
    assert "Each is as far off it as before, to within 0.1 cpm" in text
    assert (off[1] - off[0]).abs().max() < 0.05
    assert batch_table(0.0)["change (cpm)"].abs().max() == 0


def test_without_the_shafts_scatter_nearly_every_set_is_good():
    assert whole(ei_percent=0.0, wall_percent=0.0) > 99.9


def test_chances_multiply_and_what_is_none_is_refused():
    assert all_within([0.5, 0.5, 1.0]) == 0.25
    assert all_within([]) == 1.0
    for part in (1.01, -0.1, np.nan):
        with pytest.raises(ModelError, match="0 to 1"):
            all_within([0.5, part])


def test_a_negative_tolerance_is_refused():
    with pytest.raises(ModelError, match="ei_percent"):
        how_close(START, ToleranceParams(2.0, -1.0, 1.0, 1 / 32, 0.5))
