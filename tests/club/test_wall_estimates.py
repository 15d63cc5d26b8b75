"""How far off a prediction is if the walls are estimated: every wall, the tip section's, or the butt third's 10 % off.

    python tests/club/test_wall_estimates.py

prints the table of tests/club/README.md. Steel: the walls. Graphite: stiffness and mass per length of the stations
there, as of a tube with thicker walls. Weighed: the raw mass is the scale's, so the profile is scaled to it; not
weighed: it is what the estimated walls come to.
"""

import math
import re
from dataclasses import dataclass, replace

import pytest

from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.mechanics.balance import POINT_OZ_IN
from trimkit.mechanics.profile import steel_profile
from trimkit.parts.components import ESTIMATED_WALLS, Material

ORDERS = ("evening_class", "taper_soft_step", "wood_pair")
PARTS = ("every wall", "tip section", "butt third")


def _reach_in(shaft, part):
    """From and to, from the raw tip, in."""
    low = 2 / 3 * shaft.raw_length_in if part == "butt third" else 0.0
    return low, shaft.tip_section_in if part == "tip section" else shaft.raw_length_in


def estimated(shaft, part, factor, weighed):
    """The shaft with the walls of a part of it times a factor."""
    low, high = _reach_in(shaft, part)
    if shaft.material is Material.STEEL:
        pieces = []
        for section in shaft.sections:
            ends = [section.from_tip_in, *(at for at in (low, high) if section.from_tip_in < at < section.to_tip_in)]
            for start, end in zip(ends, [*ends[1:], section.to_tip_in], strict=True):
                inside = low <= start and end <= high
                wall = section.wall_in * (factor if inside else 1)
                pieces.append(replace(section, from_tip_in=start, to_tip_in=end, wall_in=wall))
        changed = replace(shaft, sections=tuple(pieces))
    else:
        changed = replace(
            shaft,
            stations=tuple(
                replace(s, ei_n_m2=s.ei_n_m2 * factor, mass_g_per_m=s.mass_g_per_m * factor)
                if low <= s.from_tip_in <= high
                else s
                for s in shaft.stations
            ),
        )
    if weighed:
        return changed
    own, other = (profile_of(each, each.raw_length_in) for each in (shaft, changed))
    if shaft.material is Material.STEEL:
        return replace(changed, raw_mass_g=float(steel_profile(changed.sections, wall_factor=own.scale_factor).mass_g))
    return replace(changed, raw_mass_g=shaft.raw_mass_g * own.scale_factor / other.scale_factor)


@dataclass(frozen=True)
class Off:
    """How far a club's prediction is off: cpm, flexes by which a reading is misplaced, points of swingweight."""

    cpm: float
    flexes: float
    points: float


def off(club, part, factor, weighed):
    plan = club.plan
    shaft = estimated(plan.wanted.shaft, part, factor, weighed)
    other = build_club(replace(plan, wanted=replace(plan.wanted, shaft=shaft)), club.assembly)
    return Off(
        other.frequency_cpm - club.frequency_cpm,
        other.flex_scale.flexes_apart(club.frequency_cpm, other.frequency_cpm),
        (other.swingweight_oz_in - club.swingweight_oz_in) / POINT_OZ_IN,
    )


def table():
    print("| shaft | 10 % off | raw mass | cpm at +10 % | cpm at −10 % | most flexes | most swingweight points |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for order in ORDERS:
        built = build_set(shipped_order(order))
        for weighed in (True, False):
            for part in PARTS:
                ways = [[off(club, part, factor, weighed) for club in built.clubs] for factor in (1.1, 0.9)]
                cpm = [f"{min(o.cpm for o in way):+z.1f} to {max(o.cpm for o in way):+z.1f}" for way in ways]
                flexes = max(abs(o.flexes) for way in ways for o in way)
                points = max(abs(o.points) for way in ways for o in way)
                mass = "weighed" if weighed else "not weighed"
                name = f"{built.order.shaft.name}, {len(built.clubs)} clubs"
                print(f"| {name} | {part} | {mass} | {cpm[0]} | {cpm[1]} | {flexes:.2f} | {points:.1f} |")


IRON = build_set(shipped_order()).club("7-iron")


def _with(club, shaft):
    plan = replace(club.plan, wanted=replace(club.plan.wanted, shaft=shaft))
    return build_club(plan, club.assembly)


@pytest.mark.parametrize("weighed", [True, False])
@pytest.mark.parametrize("part", PARTS)
def test_an_estimate_is_as_far_off_as_scikit_fem_says(part, weighed, finite_element_cpm):
    shaft = estimated(IRON.plan.wanted.shaft, part, 1.1, weighed)
    by_elements = finite_element_cpm(_with(IRON, shaft)) - finite_element_cpm(IRON)
    assert off(IRON, part, 1.1, weighed).cpm == pytest.approx(by_elements, abs=1e-5)


@pytest.mark.parametrize("part", PARTS)
def test_an_unweighed_shaft_has_the_mass_of_its_estimated_rings(part):
    shaft = IRON.plan.wanted.shaft
    found = estimated(shaft, part, 1.1, weighed=False)

    def grams(sections):
        return sum(
            7850e3 * math.pi * (s.outer_diameter_in - s.wall_in) * s.wall_in * (s.to_tip_in - s.from_tip_in) * 0.0254**3
            for s in sections
        )

    # The drawing is a little off its scale; what the estimate adds to it is not.
    assert found.raw_mass_g - shaft.raw_mass_g == pytest.approx(grams(found.sections) - grams(shaft.sections), rel=0.02)


def test_a_scale_takes_out_what_all_walls_of_a_steel_shaft_have_in_common():
    for order in ORDERS[:2]:
        for club in build_set(shipped_order(order)).clubs:
            assert off(club, "every wall", 1.1, weighed=True).cpm == pytest.approx(0, abs=1e-6)


def test_without_a_scale_every_wall_counts_by_nearly_the_root_of_its_stiffness():
    """A shaft without mass would gain the root of a thin ring's 10 %; its own mass takes some of that back."""
    gain = off(IRON, "every wall", 1.1, weighed=False).cpm / IRON.frequency_cpm
    assert 0.5 * (math.sqrt(1.1) - 1) < gain < math.sqrt(1.1) - 1


def test_the_sentence_where_walls_are_asked_for_says_what_was_computed():
    def most(orders, weighed):
        clubs = [club for order in orders for club in build_set(shipped_order(order)).clubs]
        return max(
            abs(off(club, part, factor, weighed).cpm) for club in clubs for part in PARTS for factor in (0.9, 1.1)
        )

    said = re.search(r"up to (\d+) cpm .* weighed, .* up to (\d+) .* graphite .* up to (\d+)", ESTIMATED_WALLS).groups()
    steel, graphite = ORDERS[:2], ORDERS[2:]
    found = most(steel, True), most(steel, False), most(graphite, True)
    assert [int(each) for each in said] == pytest.approx(found, rel=0.15)


if __name__ == "__main__":
    table()
