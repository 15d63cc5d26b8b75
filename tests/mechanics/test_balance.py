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
    swingweight_words,
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
    assert club.moi_kg_cm2 == pytest.approx((100 * 101.6**2 + 2000 + 50 * 10.16**2) / 1000, rel=1e-12)


def test_a_part_of_less_than_a_gram_still_balances():
    assert balance([Component("weight", 0.5, 35.0)]).balance_point_in == pytest.approx(35)


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


def test_the_grip_swings_as_a_rod_about_its_own_centre(profile, iron, grip):
    part = next(part for part in club_components(profile, **iron, **grip) if part.name == "grip")
    assert (part.mass_g, part.from_cap_in) == (50.0, 4.1)
    # A uniform rod: m L^2 / 12, any handbook of mechanics; 50 g and 10.5 in.
    assert part.inertia_g_cm2 == pytest.approx(50 * 26.67**2 / 12)


def test_the_shaft_s_moments_are_those_of_its_slices(profile, iron, grip):
    # 2 in off the tip and 36 in long: the slice at x from the raw tip hangs 38.1 in - x below the cap.
    edges = np.linspace(2.0, 38.0, 36001)
    x = (edges[1:] + edges[:-1]) / 2
    slices = [profile.mass_at(x) * 0.0254 * np.diff(edges), (38.1 - x) * 2.54]  # g/m, so g; cm
    shaft = balance(club_components(profile, **iron, **grip)[1:2])
    assert shaft.total_mass_g == pytest.approx(slices[0].sum(), rel=1e-4)
    assert shaft.balance_point_in * 2.54 == pytest.approx((slices[0] * slices[1]).sum() / slices[0].sum(), rel=1e-4)
    assert shaft.moi_kg_cm2 == pytest.approx((slices[0] * slices[1] ** 2).sum() / 1000, rel=1e-4)


def test_a_heavier_shaft_of_the_same_shape_changes_the_shaft_alone(profile, iron, grip):
    plain, heavier = (club_components(profile, **iron, **grip, mass_factor=factor) for factor in (1.0, 1.25))
    for one, other in zip(plain, heavier, strict=True):
        factor = 1.25 if one.name == "shaft" else 1.0
        assert other.mass_g == pytest.approx(factor * one.mass_g)
        assert other.inertia_g_cm2 == pytest.approx(factor * one.inertia_g_cm2)
        assert other.from_cap_in == pytest.approx(one.from_cap_in)


def test_what_is_not_named_weighs_nothing(profile, iron, grip):
    parts = {part.name: part for part in club_components(profile, **iron, **grip)}
    assert [parts[name].mass_g for name in ("ferrule", "tape", "epoxy", "tip weight")] == [0, 0, 0, 0]
    assert [float(parts[name].inertia_g_cm2) for name in ("ferrule", "tape", "epoxy", "tip weight")] == [0, 0, 0, 0]
    named = {"ferrule_mass_g": 1.0, "tape_mass_g": 2.0, "epoxy_mass_g": 3.0, "tip_weight_g": 4.0}
    parts = {part.name: part for part in club_components(profile, **iron, **grip, **named)}
    assert [parts[name].mass_g for name in ("ferrule", "tape", "epoxy", "tip weight")] == [1, 2, 3, 4]
    assert (parts["head"].mass_g, parts["head"].inertia_g_cm2) == (262.0, 2500.0)


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


def test_the_mass_that_is_there_is_the_mass_for_what_is_there():
    parts = [Component("head", 200.0, 36.0, 2500.0), Component("lead", 0.0, 35.0, 40.0), Component("grip", 50.0, 4.0)]
    club = balance(parts)
    for name, mass in (("head", 200.0), ("lead", 0.0), ("grip", 50.0)):
        assert mass_for_swingweight(parts, name, club.swingweight_oz_in) == pytest.approx(mass, abs=1e-9)
        assert mass_for_moi(parts, name, club.moi_kg_cm2) == pytest.approx(mass, abs=1e-9)
    # Rounding is no negative mass; a millionth of a gram is.
    assert mass_for_swingweight(parts, "lead", club.swingweight_oz_in - 1e-12) == 0
    with pytest.raises(ModelError, match="lead would need is -"):
        mass_for_swingweight(parts, "lead", club.swingweight_oz_in - 1e-6)


def test_one_component_alone_can_be_asked_for():
    # 100 g at 34 in: 20 in beyond the fulcrum, and 86.36 cm from the cap.
    parts = [Component("head", 7.0, 34.0)]
    assert mass_for_swingweight(parts, "head", 100 * 20 / G_PER_OZ) == pytest.approx(100)
    assert mass_for_moi(parts, "head", 100 * 86.36**2 / 1000) == pytest.approx(100)


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


def test_swingweight_of_a_club_on_the_letter_scale_and_in_points():
    # 217 oz in about the fulcrum, 14 in from the cap: D2, two points above D0, which is 30 above A0.
    club = balance([Component("head", 217.0 * G_PER_OZ / 22, 36.0)])
    assert club.swingweight == "D2.0"
    assert club.swingweight_points == pytest.approx(32)


def test_the_scale_ends_at_a0_and_g99():
    assert swingweight_text(161.0) == "A0.0"
    assert swingweight_text(161.0 + 69.9 * 1.75) == "G9.9"
    for beyond in (161.0 - 0.1 * 1.75, 161.0 + 70 * 1.75):
        with pytest.raises(ModelError, match=r"161 to 283\.325 oz in \(A0 to G9\.9\)"):
            swingweight_text(beyond)


def test_a_club_beyond_the_scale_is_told_at_which_end_and_one_on_it_as_ever():
    low, high = 161.0, 161.0 + 69.9 * 1.75
    assert [swingweight_words(low), swingweight_words(high)] == ["A0.0", "G9.9"]
    assert [swingweight_words(low - 0.175), swingweight_words(high + 0.175)] == ["below A0", "above G9.9"]
    with pytest.raises(ModelError, match="swingweight_oz_in is nan"):
        swingweight_words(float("nan"))


@pytest.mark.parametrize("text", [" d 2.3 ", "D2.3", "d2.30"])
def test_spaces_and_small_letters_are_read(text):
    assert swingweight_oz_in(text) == pytest.approx(217.525, abs=1e-12)


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
        (lambda p: mass_for_moi([Component("cap", 5.0, 0.0)], "cap", 5.0), "distance from the cap end in inches is 0"),
        (lambda p: Component("head", 250.0, 36.0, -0.5), r"head: inertia_g_cm2 is -0\.5"),
        (lambda p: Component("head", 250.0, float("inf")), "from_cap_in is inf"),
        (lambda p: mass_for_moi([*p, p[0]], "head", 5.0), "2 components named 'head'.*one of: head, grip, ring, head"),
    ],
)
def test_what_cannot_be_is_refused(call, message):
    parts = [Component("head", 250.0, 36.0), Component("grip", 50.0, 4.0), Component("ring", 5.0, 14.0)]
    with pytest.raises(ModelError, match=message):
        call(parts)
