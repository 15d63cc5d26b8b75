"""Mass, balance point, swingweight and MOI, and the masses that give wanted ones."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.mechanics.balance import (
    Component,
    balance,
    club_components,
    mass_for_moi,
    mass_for_swingweight,
    swingweight_oz_in,
    swingweight_text,
)
from trimkit.parts.errors import ModelError

G_PER_OZ = 28.349523125
laws = settings(max_examples=60, deadline=None)


def test_two_parts_by_hand():
    # 100 g at 40 in and 50 g at 4 in.
    parts = [Component("head", 100.0, 40.0, 2000.0), Component("grip", 50.0, 4.0)]
    club = balance(parts)
    assert club.total_mass_g == 150
    assert club.balance_point_in == pytest.approx(28)
    assert club.swingweight_oz_in == pytest.approx((100 * 26 - 50 * 10) / G_PER_OZ)
    assert club.moi_kg_cm2 == pytest.approx((100 * 101.6**2 + 2000 + 50 * 10.16**2) / 1000)


def test_a_rod_balances_in_its_middle_and_swings_as_a_third_of_its_mass():
    rod = Component("rod", 120.0, 20.0, 120.0 * (40 * 2.54) ** 2 / 12)
    club = balance([rod])
    assert club.balance_point_in == 20
    assert club.moi_kg_cm2 == pytest.approx(120 * (40 * 2.54) ** 2 / 3 / 1000)


def test_the_shaft_hangs_between_cap_and_bore(profile, iron, grip):
    shaft = club_components(profile, **iron, **grip)[1]
    piece = profile.section(2.0, 38.0)
    assert shaft.mass_g == pytest.approx(float(piece.mass_g))
    # From the cap: cap thickness and the butt's end down to the centre.
    assert shaft.from_cap_in == pytest.approx(0.1 + 38.0 - float(piece.centre_from_tip_in))


def test_parts_stand_where_they_are_fitted(profile, iron, grip):
    parts = {part.name: part for part in club_components(profile, **iron, **grip)}
    # Playing length 37.1 in: the head's centre 0.9 in above the ground, the hosel's top 2.25 in.
    assert parts["head"].from_cap_in == pytest.approx(36.2)
    assert parts["tip weight"].from_cap_in == pytest.approx(36.1)
    assert parts["epoxy"].from_cap_in == pytest.approx(37.1 - 1.625)
    assert parts["ferrule"].from_cap_in == pytest.approx(37.1 - 2.25 - 0.5)
    assert parts["tape"].from_cap_in == pytest.approx((0.1 + 10.5) / 2)


def test_the_grip_turns_as_a_rod_of_its_length(profile, iron, grip):
    turning = {part.name: part for part in club_components(profile, **iron, **grip)}["grip"]
    assert turning.inertia_g_cm2 == pytest.approx(50 * (10.5 * 2.54) ** 2 / 12)


def test_a_batch_is_the_loop(profile, iron, grip):
    masses, trims = np.array([250.0, 260.0, 270.0]), np.array([[1.0], [2.0]])
    many = balance(club_components(profile, **iron | {"head_mass_g": masses, "tip_trim_in": trims}, **grip))
    assert many.moi_kg_cm2.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        one = balance(
            club_components(profile, **iron | {"head_mass_g": masses[j], "tip_trim_in": float(trims[i, 0])}, **grip)
        )
        assert many.swingweight_oz_in[i, j] == pytest.approx(float(one.swingweight_oz_in))
        assert many.moi_kg_cm2[i, j] == pytest.approx(float(one.moi_kg_cm2))


@laws
@given(head=st.floats(180, 320), tenths=st.integers(-200, 400), name=st.sampled_from(["head", "tip weight", "grip"]))
def test_the_mass_for_a_swingweight_gives_it(head, tenths, name):
    parts = [Component("head", head, 36.0, 2500.0), Component("grip", 50.0, 4.0), Component("tip weight", 0.0, 35.0)]
    points = tenths / 10
    part = next(p for p in parts if p.name == name)
    target = float(balance(parts).swingweight_oz_in) + 1.75 * points
    # What a point more takes at its distance from the fulcrum, 14 in from the cap end.
    expected = part.mass_g + 1.75 * points * G_PER_OZ / (part.from_cap_in - 14)
    if expected < 0:
        with pytest.raises(ModelError, match=f"{name} would need is -"):
            mass_for_swingweight(parts, name, target)
        return
    mass = mass_for_swingweight(parts, name, target)
    assert mass == pytest.approx(expected, abs=1e-9)
    changed = [Component(p.name, mass if p is part else p.mass_g, p.from_cap_in, p.inertia_g_cm2) for p in parts]
    assert balance(changed).swingweight_oz_in == pytest.approx(target, abs=1e-9)


@laws
@given(target=st.floats(2300, 3000))
def test_the_mass_for_an_moi_gives_it(target):
    parts = [Component("head", 200.0, 36.0, 2500.0), Component("grip", 50.0, 4.0)]
    mass = mass_for_moi(parts, "head", target)
    changed = [Component("head", mass, 36.0, 2500.0), parts[1]]
    assert balance(changed).moi_kg_cm2 == pytest.approx(target, rel=1e-12)


def test_wanted_values_may_be_a_batch():
    parts = [Component("head", 200.0, 36.0), Component("grip", 50.0, 4.0)]
    masses = mass_for_swingweight(parts, "head", [200.0, 210.0, 220.0])
    assert np.diff(masses) == pytest.approx([10 * G_PER_OZ / 22] * 2)


# From memory, unverified: D0 at 213.5 oz in, 1.75 oz in a point, ten points a letter.
@pytest.mark.parametrize(
    ("text", "moment"), [("D0", 213.5), ("D2", 217.0), ("C9", 211.75), ("E0", 231.0), ("A0", 161.0)]
)
def test_the_letter_scale(text, moment):
    assert swingweight_oz_in(text) == moment
    assert swingweight_text(moment) == f"{text}.0"


@laws
@given(tenths=st.integers(0, 699))
def test_text_and_moment_are_each_others_inverse(tenths):
    text = f"{'ABCDEFG'[tenths // 100]}{tenths % 100 / 10:.1f}"
    assert swingweight_text(swingweight_oz_in(text)) == text


def test_rounding_up_to_the_next_letter():
    assert swingweight_text(213.5 - 0.01) == "D0.0"
    assert swingweight_text(213.5 - 0.2) == "C9.9"


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda p: swingweight_text(160.0), "a swingweight of 160.0 oz in"),
        (lambda p: swingweight_text(float("nan")), "swingweight_oz_in is nan"),
        (lambda p: swingweight_oz_in("H2"), "the swingweight 'H2'"),
        (lambda p: swingweight_oz_in("D12"), "the swingweight 'D12'"),
        (lambda p: balance([]), "no component"),
        (lambda p: balance([Component("head", [0.0, 0.0], 36.0)]), "mass in grams is 0 at batch index 0"),
        (
            lambda p: balance([Component("a", [1.0, 2.0], 3.0), Component("b", [1.0] * 3, 3.0)]),
            "shapes that do not fit",
        ),
        (lambda p: Component("head", [250.0, -1.0], 36.0), "head: mass_g is -1 at batch index 1"),
        (lambda p: mass_for_swingweight(p, "hosel", 213.5), "0 components named 'hosel'"),
        (lambda p: mass_for_swingweight(p, "ring", 213.5), "distance from the fulcrum in inches is 0"),
        (lambda p: mass_for_swingweight(p, "head", [-10.0, -40.0]), "head would need is .* at batch index 1"),
        (lambda p: mass_for_moi(p, "head", 5.0), "head would need is -"),
    ],
)
def test_what_cannot_be_is_refused(call, message):
    parts = [Component("head", 250.0, 36.0), Component("grip", 50.0, 4.0), Component("ring", 5.0, 14.0)]
    with pytest.raises(ModelError, match=message):
        call(parts)
