"""The calibration in words: the numbers of the fit, and what they mean, by hand arithmetic."""

from dataclasses import replace

import pytest

from trimkit.club.card import Assembly, card_of
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.calibration.words import calibration_lines, clamp_lines, error_words, factor_words, worst_words
from trimkit.shop.calibration import ShaftFactor, calibrate
from trimkit.shop.reading import club_reading

PLANS = [club.plan for club in build_set(shipped_order()).clubs]
NAMES = [plan.club for plan in PLANS]


def read(spring, noise=()):
    cpm = frequencies_cpm([card_of(p, Assembly(root_spring_n_m_per_rad=spring)) for p in PLANS], ei_factor=0.97)
    more = [*noise, *[0.0] * (len(PLANS) - len(noise))]
    return [club_reading(plan, float(f) + off) for plan, f, off in zip(PLANS, cpm, more, strict=True)]


FOUND = calibrate(read(1200.0), reading_error_cpm=0.2)


@pytest.mark.parametrize(
    ("factor", "sd", "words"),
    [
        # sqrt(0.81) = 0.9, sqrt(1.21) = 1.1
        (0.81, 0.01, "19.0 % softer than described: its clubs read about 10.0 % lower"),
        (1.21, 0.01, "21.0 % stiffer than described: its clubs read about 10.0 % higher"),
        (0.97, 0.016, "as described, as far as these readings tell"),
        (0.97, 0.014, "3.0 % softer than described: its clubs read about 1.5 % lower"),
    ],
)
def test_a_factor_in_words(factor, sd, words):
    assert factor_words(ShaftFactor("a shaft", factor, sd, 0.9, 9)) == words


def test_the_lines_have_every_factor_and_every_reading():
    lines = calibration_lines(FOUND)
    assert lines[0] == "Calibrated from 10 readings."
    (row,) = [line for line in lines if line.startswith(f"{FOUND.factors[0].shaft}  10")]
    assert f"  0.970 ± {FOUND.factors[0].ei_factor_sd:.3f}  " in row
    for name, reading in zip(NAMES, FOUND.readings, strict=True):
        (row,) = [line for line in lines if line.startswith(f"{name} ")]
        assert row.split()[-4:] == [
            f"{reading.free_length_in:.2f}",
            *[f"{reading.frequency_cpm:.1f}"] * 2,
            row.split()[-1],
        ]
        assert row.split()[-1] in ("+0.0", "−0.0")


def test_the_clamp_is_told_at_the_7_iron_in_cpm():
    """A rigid clamp's reading less the planted one, both straight from the mechanics."""
    place = NAMES.index("7-iron")
    (rigid,) = frequencies_cpm([card_of(PLANS[place])], ei_factor=0.97)
    cost = float(rigid) - FOUND.readings[place].frequency_cpm
    first, second, _ = clamp_lines(FOUND)
    # 1 / 1200 N m per rad
    assert first.startswith("Clamp: 0.000833 ± 0.0000")
    assert "a root spring of 1,200 N m per rad" in first
    assert second.startswith(f"The clamp gives about {cost:.1f} ± ")
    assert "at the 7-iron" in second


def test_a_clamp_that_may_not_give_and_one_that_was_stated_are_told_so():
    rigid = calibrate(read(None), reading_error_cpm=0.3)
    _, cost_sd = rigid.clamp_cost_cpm(rigid.readings[NAMES.index("7-iron")])
    assert clamp_lines(rigid)[1].startswith("The clamp may not give at all; if it does, at most about ")
    assert f"{2 * cost_sd:.1f} cpm" in clamp_lines(rigid)[1]
    (said,) = clamp_lines(calibrate(read(1200.0), stated_compliance_rad_per_n_m=1 / 1200))
    assert said.startswith("Clamp: as stated, 0.000833 rad for each N m")
    (said,) = clamp_lines(calibrate(read(None), stated_compliance_rad_per_n_m=0.0))
    assert said.startswith("Clamp: as stated, it does not give.")


def test_the_worst_reading_is_named_and_read_again_if_it_is_far_off():
    off = calibrate(read(1200.0, [0, 0, 0, 0.9]), reading_error_cpm=0.5)
    assert worst_words(off).startswith(f"Farthest off: {NAMES[3]}, +0.")
    assert not worst_words(off).endswith("read it again.")
    far = calibrate(read(1200.0, [0, 0, 0, 0.9]), reading_error_cpm=0.2)
    assert worst_words(far).endswith("more than 3 times the error of one reading: read it again.")


def test_the_reading_error_says_where_it_comes_from():
    assert "0.2 cpm, as stated" in error_words(FOUND)
    assert "0.5 cpm, from memory" in error_words(replace(FOUND, stated_error_cpm=0.5, reading_error_cpm=0.5))
    wide = error_words(replace(FOUND, reading_error_cpm=0.75))
    assert "0.75 cpm, the scatter of the residuals, which is more than the stated 0.2 cpm" in wide
