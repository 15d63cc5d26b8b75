"""One reading: what it is of, and what cannot be one."""

import math

import pytest

from trimkit.club.card import card_of
from trimkit.club.clamp import FrequencyBench
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.errors import ComponentError, ModelError
from trimkit.shop.reading import Reading, club_reading, raw_reading

PLAN = build_set(shipped_order()).clubs[0].plan
SHAFTS = load_catalogue().shafts
STEEL, TAPER = SHAFTS["steel parallel 110 g combination"], SHAFTS["steel taper 104 g regular"]
BENCH = FrequencyBench(200.0)


@pytest.mark.parametrize("bad", [math.nan, math.inf, 0.0, -1.0])
def test_a_reading_that_cannot_be_is_refused(bad):
    with pytest.raises(ComponentError, match="frequency_cpm"):
        club_reading(PLAN, bad)
    with pytest.raises(ComponentError, match="frequency_cpm"):
        Reading("one", "a shaft", card_of(PLAN), bad)


def test_the_free_length_is_from_the_clamp_to_the_hosel_or_the_tip():
    bare = raw_reading(STEEL, BENCH, 280.0, raw_mass_g=109.6)
    assert bare.free_length_in == pytest.approx(42.0 - 5.0)
    head = PLAN.wanted.head
    # Cap end to ground line, less the clamp, the hosel's bore and what lies below the bore.
    by_hand = PLAN.playing_length_in - 5.0 - PLAN.wanted.bbgl_in - head.bore_depth_in
    assert club_reading(PLAN, 300.0).free_length_in == pytest.approx(by_hand)


@pytest.mark.parametrize("shaft", [STEEL, TAPER], ids=["parallel", "taper"])
def test_a_bare_shaft_is_as_long_and_as_heavy_as_it_was_measured(shaft):
    for length, mass_g in ((shaft.raw_length_in, 100.0), (shaft.raw_length_in - 1.0, 101.5)):
        held = raw_reading(shaft, BENCH, 280.0, raw_mass_g=mass_g, raw_length_in=length).held
        assert float(held.profile.length_in) == pytest.approx(length)
        assert float(held.profile.mass_g) == pytest.approx(mass_g, rel=1e-3)


def test_a_short_parallel_shaft_lacks_its_butt_and_a_short_taper_its_lower_piece():
    short = raw_reading(STEEL, BENCH, 280.0, raw_mass_g=106.0, raw_length_in=40.0).held.profile
    assert short.tip_section_in == pytest.approx(STEEL.tip_section_in)
    short = raw_reading(TAPER, BENCH, 280.0, raw_mass_g=101.0, raw_length_in=39.25).held.profile
    assert short.tip_section_in == pytest.approx(TAPER.tip_section_in - 1.0)


def test_a_shaft_longer_than_its_kind_is_refused():
    with pytest.raises(ModelError, match="at a raw length of 43 in"):
        raw_reading(STEEL, BENCH, 280.0, raw_mass_g=112.0, raw_length_in=43.0)
