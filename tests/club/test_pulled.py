"""A pulled shaft: the piece is what the saw left, and a club made of it is the club a new shaft would have made."""

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from trimkit.check.clubcheck import Verdict
from trimkit.check.doublecheck import check_cards
from trimkit.club.card import card_components, card_of, catalogue_mass_g, on_new_shaft
from trimkit.club.clamp import frequency_cpm
from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.pulled import piece_of, with_pulled
from trimkit.club.set import plan_order
from trimkit.mechanics.balance import balance
from trimkit.parts.components import FlexKind, Material, Shaft, Station, TipKind, TubeSection
from trimkit.parts.errors import TrimRefused
from trimkit.trim.plan import plan_club
from trimkit.trim.practice import BenchPractice
from trimkit.trim.steps import StepKind
from trimkit.trim.wanted import Pulled

ORDERS = ("evening_class", "taper_soft_step", "wood_pair")
PLANS = [plan for name in ORDERS for plan in plan_order(shipped_order(name)).every_plan()]
PARALLEL = [plan for plan in PLANS if plan.wanted.shaft.tip_kind is TipKind.PARALLEL]
SHORTER = [
    (longer, shorter)
    for longer, shorter in itertools.permutations(PARALLEL, 2)
    if longer.wanted.shaft == shorter.wanted.shaft and shorter.tip_trim_in >= longer.tip_trim_in
]
parts = st.floats(0, 1)


def tube(name, *edges_diameters_walls, tip_section_in, raw_mass_g):
    """A steel shaft of these (to, diameter, wall), in."""
    edges = [0.0, *(to for to, _, _ in edges_diameters_walls)]
    sections = tuple(
        TubeSection(low, high, outer, wall)
        for (low, high), (_, outer, wall) in zip(itertools.pairwise(edges), edges_diameters_walls, strict=True)
    )
    kind = (Material.STEEL, TipKind.PARALLEL, FlexKind.DISCRETE, ("R",))
    return Shaft(name, *kind, edges[-1], raw_mass_g, 0.37, 0.6, tip_section_in, sections=sections)


def pulled_from(plan, left_in=0.0):
    """What is pulled out of a planned club, and its length (in); left_in: of its butt trim that was left on it."""
    pulled = Pulled(plan.wanted.shaft, plan.raw_length_in, plan.tip_trim_in)
    return pulled, plan.cut_length_in - plan.extension_in + left_in


def finished(plan):
    """Everything a finished club measures: cpm, g, in, oz-in, kg cm2."""
    club = build_club(plan)
    masses = (club.total_mass_g, club.balance_point_in, club.swingweight_oz_in, club.moi_kg_cm2)
    return (club.frequency_cpm, *masses)


@settings(deadline=None)
@given(plan=st.sampled_from(PLANS), part=parts)
def test_a_club_re_shafted_with_its_own_pulled_shaft_is_the_club_it_was(plan, part):
    pulled, length_in = pulled_from(plan, part * plan.butt_trim_in)
    again = plan_club(with_pulled(plan.wanted, pulled, length_in))
    assert again.tip_trim_in == 0
    assert again.cut_length_in == pytest.approx(plan.cut_length_in, abs=1e-12)
    assert again.butt_trim_in == pytest.approx(part * plan.butt_trim_in, abs=1e-9)
    assert finished(again) == pytest.approx(finished(plan), rel=1e-9)
    assert build_club(again).flex_scale.frequency_cpm == pytest.approx(
        build_club(plan).flex_scale.frequency_cpm, rel=1e-9
    )


@settings(deadline=None)
@given(pair=st.sampled_from(SHORTER), part=parts)
def test_a_shaft_pulled_from_a_longer_club_makes_the_shorter_one_that_a_new_shaft_makes(pair, part):
    longer, shorter = pair
    pulled, length_in = pulled_from(longer, part * longer.butt_trim_in)
    assume(length_in - (shorter.tip_trim_in - longer.tip_trim_in) >= shorter.cut_length_in)
    plan = plan_club(with_pulled(shorter.wanted, pulled, length_in))
    assert plan.tip_trim_in + longer.tip_trim_in == pytest.approx(shorter.tip_trim_in, abs=1e-12)
    assert plan.pulled_in == -longer.tip_trim_in
    assert finished(plan) == pytest.approx(finished(shorter), rel=1e-9)


@settings(deadline=None)
@given(plan=st.sampled_from(PLANS), part=parts, factor=st.floats(0.97, 1.03))
def test_a_piece_that_weighs_more_is_off_a_shaft_that_weighed_more_by_as_much(plan, part, factor):
    pulled, length_in = pulled_from(plan, part * plan.butt_trim_in)
    card = card_of(plan_club(with_pulled(plan.wanted, pulled, length_in)))
    weighed = replace(card, raw_mass_g=factor * catalogue_mass_g(card))
    new = on_new_shaft(weighed)
    assert new.wanted == plan.wanted
    assert (new.raw_length_in, new.tip_trim_in) == (plan.raw_length_in, pytest.approx(plan.tip_trim_in, abs=1e-12))
    # Every wall by one factor: mass is not quite proportional to it, hence not to the last digit.
    assert frequency_cpm(weighed) == pytest.approx(frequency_cpm(new), abs=0.01)


@settings(deadline=None)
@given(plan=st.sampled_from(PLANS), part=parts)
def test_what_was_cut_off_and_what_is_left_weigh_what_the_shaft_weighed(plan, part):
    pulled, length_in = pulled_from(plan, part * plan.butt_trim_in)
    piece, whole = piece_of(pulled, length_in), profile_of(plan.wanted.shaft, plan.raw_length_in)
    end = pulled.tip_cut_in + length_in
    cut_off = 0.0
    for low, high in ((0.0, pulled.tip_cut_in), (end, plan.raw_length_in)):
        cut_off += float(whole.section(low, high).mass_g) if high - low > 1e-9 else 0.0
    assert piece.raw_mass_g + cut_off == pytest.approx(float(whole.mass_g), rel=1e-9)
    assert piece.raw_length_in == length_in
    # The steps keep their places on the shaft.
    assert piece.tip_section_in == pytest.approx(float(whole.tip_section_in) - pulled.tip_cut_in, abs=1e-9)
    for place in (0.1 * length_in, 0.5 * length_in, 0.93 * length_in):
        there = profile_of(piece, length_in).ei_at(place)
        assert float(there) == pytest.approx(float(whole.ei_at(place + pulled.tip_cut_in)), rel=1e-6)


@pytest.mark.parametrize("factor", [0.97, 1.0, 1.03])
@pytest.mark.parametrize("club", ["6-iron", "9-iron"])
@pytest.mark.parametrize("name", ORDERS[:2])
def test_the_flex_scale_is_that_of_the_shaft_as_bought_and_as_heavy(name, club, factor):
    plan = next(plan for plan in plan_order(shipped_order(name)).every_plan() if plan.club == club)
    pulled, length_in = pulled_from(plan)
    described = with_pulled(plan.wanted, pulled, length_in).shaft.raw_mass_g
    built = build_club(plan_club(with_pulled(plan.wanted, pulled, length_in, factor * described)))
    new = build_club(plan)
    assert built.flex_scale.flexes == new.flex_scale.flexes
    softer, softer_new = (each.frequency_cpm - each.flex_scale.frequency_cpm[0] for each in (built, new))
    assert softer == pytest.approx(softer_new, abs=0.3)
    assert built.flex_text.split()[1:] == new.flex_text.split()[1:]


def test_a_steel_piece_by_hand():
    """10 in of 0.4 in tube and 30 in of 0.6 in tube, wall 0.02 in; 4 in off the tip, 3 in off the butt."""
    ring = {outer: math.pi * 0.02 * (outer - 0.02) * 0.0254**3 * 7850e3 for outer in (0.4, 0.6)}  # g per in
    mass_g = 10 * ring[0.4] + 30 * ring[0.6]
    shaft = tube("by hand", (10.0, 0.4, 0.02), (40.0, 0.6, 0.02), tip_section_in=10.0, raw_mass_g=mass_g)
    piece = piece_of(Pulled(shaft, 40.0, 4.0), 33.0)
    assert [(s.from_tip_in, s.to_tip_in, s.outer_diameter_in) for s in piece.sections] == [
        (0.0, 6.0, 0.4),
        (6.0, 33.0, 0.6),
    ]
    assert (piece.tip_section_in, piece.raw_length_in, piece.butt_diameter_in) == (6.0, 33.0, 0.6)
    assert piece.raw_mass_g == pytest.approx(6 * ring[0.4] + 27 * ring[0.6], rel=1e-9)
    nearly = piece_of(Pulled(shaft, 40.0, 9.5), 30.5)  # half an inch of its parallel tip is left
    assert [(s.from_tip_in, s.to_tip_in) for s in nearly.sections] == [(0.0, 0.5), (0.5, 30.5)]


def test_a_graphite_piece_by_hand():
    """EI 20 to 66 N m2, 40 to 63 g/m, 0.335 to 0.565 in over 46 in; 4 in off the tip, 2 off the butt; 5 % heavier."""
    stations = (Station(0.0, 20.0, 40.0, 0.335), Station(46.0, 66.0, 63.0, 0.565))
    kind = (Material.GRAPHITE, TipKind.PARALLEL, FlexKind.DISCRETE, ("R",))
    mass_g = 1.05 * 46 * 0.0254 * (40 + 63) / 2
    shaft = Shaft("by hand", *kind, 46.0, mass_g, 0.335, 0.565, 7.0, stations=stations)
    piece = piece_of(Pulled(shaft, 46.0, 4.0), 40.0)
    low, high = piece.stations
    assert (low.from_tip_in, high.from_tip_in, piece.tip_section_in) == (0.0, 40.0, 3.0)
    assert (low.ei_n_m2, high.ei_n_m2) == pytest.approx((24.0, 64.0))
    assert (low.mass_g_per_m, high.mass_g_per_m) == pytest.approx((42.0, 62.0))
    assert piece.butt_diameter_in == high.outer_diameter_in == pytest.approx(0.555)
    assert piece.raw_mass_g == pytest.approx(1.05 * 40 * 0.0254 * 52)


def test_a_station_on_the_cut_is_the_end_and_one_above_it_stays():
    stations = (Station(0.0, 20.0, 40.0, 0.335), Station(20.0, 30.0, 50.0, 0.4), Station(46.0, 66.0, 63.0, 0.565))
    kind = (Material.GRAPHITE, TipKind.PARALLEL, FlexKind.DISCRETE, ("R",))
    pulled = Pulled(Shaft("by hand", *kind, 46.0, 60.0, 0.335, 0.565, 7.0, stations=stations), 46.0, 4.0)
    ends = replace(stations[1], from_tip_in=16.0)
    assert [piece_of(pulled, length_in).stations[1] for length_in in (16.0, 40.0)] == [ends, ends]
    assert [len(piece_of(pulled, length_in).stations) for length_in in (16.0, 40.0)] == [2, 3]


def test_a_taper_piece_lies_below_its_first_step_as_its_own_raw_length_did():
    plan = next(plan for plan in PLANS if plan.wanted.shaft.tip_kind is TipKind.TAPER)
    shaft, raw = plan.wanted.shaft, plan.raw_length_in
    piece = piece_of(Pulled(shaft, raw), raw - 2.0)
    assert raw < shaft.raw_length_in
    assert piece.tip_section_in == pytest.approx(shaft.tip_section_in - (shaft.raw_length_in - raw))
    assert piece.sections[0] == shaft.sections[0]
    # The last step of the longest raw length lies nearer the tip by what this one is shorter.
    last_step_in = shaft.sections[-1].from_tip_in - (shaft.raw_length_in - raw)
    for past_in, section in ((-0.05, shaft.sections[-2]), (0.05, shaft.sections[-1])):
        piece = piece_of(Pulled(shaft, raw), last_step_in + past_in)
        assert piece.butt_diameter_in == section.outer_diameter_in == piece.sections[-1].outer_diameter_in


@pytest.mark.parametrize("steps", [True, False])
def test_a_piece_without_walls_weighs_what_the_scale_says_and_is_cut_as_ever(steps):
    plan = next(plan for plan in PARALLEL if plan.wanted.shaft.material is Material.STEEL)
    bare = tuple(replace(section, wall_in=None) for section in plan.wanted.shaft.sections) if steps else ()
    shaft = replace(plan.wanted.shaft, sections=bare)
    known, length_in = pulled_from(plan, plan.butt_trim_in)
    pulled = Pulled(shaft, known.raw_length_in, known.tip_cut_in)
    assert piece_of(pulled, length_in).raw_mass_g is None
    silent = with_pulled(replace(plan.wanted, shaft=shaft), pulled, length_in, 97.5)
    assert (silent.shaft.raw_mass_g, silent.in_hand.mass_g) == (97.5, 97.5)
    assert silent.shaft.tip_section_in == piece_of(known, length_in).tip_section_in
    assert plan_club(silent).cut_length_in == plan.cut_length_in
    weighed = with_pulled(plan.wanted, known, length_in, 97.5)
    assert weighed.shaft.raw_mass_g == piece_of(known, length_in).raw_mass_g


@pytest.mark.parametrize(
    ("tip_in", "length_in", "words"),
    [
        (10.0, 25.0, "no parallel tip is left"),
        (11.0, 25.0, "no parallel tip is left"),
        (-0.5, 36.0, "−0.5 in is off its tip"),
        (4.0, 36.1, "together 40.1 in; it was bought at 40 in"),
        (math.nan, 36.0, "is nan"),
        (4.0, math.inf, "is inf"),
        (4.0, 0.0, "0 in long now"),
    ],
)
def test_what_cannot_be_left_of_a_shaft_is_refused_in_words(tip_in, length_in, words):
    shaft = tube("40 in", (10.0, 0.4, 0.02), (40.0, 0.6, 0.02), tip_section_in=10.0, raw_mass_g=160.0)
    with pytest.raises(TrimRefused, match=words):
        piece_of(Pulled(shaft, shaft.raw_length_in, tip_in), length_in)


def test_a_taper_tip_that_was_cut_is_refused():
    plan = next(plan for plan in PLANS if plan.wanted.shaft.tip_kind is TipKind.TAPER)
    with pytest.raises(TrimRefused, match="it no longer fits its bore"):
        piece_of(Pulled(plan.wanted.shaft, plan.raw_length_in, 0.5), plan.raw_length_in - 2)


def test_two_lengths_may_add_up_to_a_measuring_error_too_much():
    shaft = tube("40 in", (10.0, 0.4, 0.02), (40.0, 0.6, 0.02), tip_section_in=10.0, raw_mass_g=160.0)
    piece = piece_of(Pulled(shaft, 40.0, 4.0), 36.05)
    assert piece.sections[-1].to_tip_in == piece.raw_length_in == 36.05
    assert piece.butt_diameter_in == 0.6


def test_a_set_on_its_own_pulled_shafts_passes_the_double_check_like_the_set_it_was():
    plans = plan_order(shipped_order("evening_class")).every_plan()
    again = [plan_club(with_pulled(plan.wanted, *pulled_from(plan))) for plan in plans]
    new, check = (check_cards([card_of(plan) for plan in each]) for each in (plans, again))
    assert {club.verdict for club in check.clubs} == {Verdict.CUT}
    for club, was in zip(check.clubs, new.clubs, strict=True):
        assert club.frequency_cpm == pytest.approx(was.frequency_cpm, abs=1e-6)
        assert club.line_cpm == pytest.approx(was.line_cpm, abs=1e-6)
        assert balance_g(club.card) == pytest.approx(balance_g(was.card), rel=1e-9)


def balance_g(card):
    return float(balance(card_components(card)).total_mass_g)


def test_the_step_says_what_is_off_already_and_where_it_is_from():
    plan = PARALLEL[0]
    again = plan_club(with_pulled(plan.wanted, *pulled_from(plan)))
    (step,) = (step for step in again.steps if step.kind is StepKind.PULLED)
    assert step.inches == -plan.tip_trim_in
    assert "is off its tip already" in step.reason
    assert again.inches(StepKind.TIP_TRIM) == 0


def test_a_maker_s_limit_counts_what_is_off_already():
    plan = next(plan for plan in PLANS if plan.wanted.shaft.material is Material.GRAPHITE)
    shaft = replace(plan.wanted.shaft, most_tip_trim_in=1.5)
    assert piece_of(Pulled(shaft, shaft.raw_length_in, 1.0), 40.0).most_tip_trim_in == 0.5
    error = BenchPractice().measuring_error_in
    assert piece_of(Pulled(shaft, shaft.raw_length_in, 1.5 + error), 40.0).most_tip_trim_in == 0.0
    with pytest.raises(TrimRefused, match=r"its maker allows 1\.5 in"):
        piece_of(Pulled(shaft, shaft.raw_length_in, 1.5 + error + 0.01), 40.0)


@pytest.mark.parametrize("mass_g", [None, 99.0])
def test_a_piece_without_walls_is_cut_like_one_with_walls_and_weighs_what_the_scale_says(mass_g):
    plan = next(plan for plan in plan_order(shipped_order()).every_plan() if plan.club == "6-iron")
    pulled, length_in = pulled_from(plan)
    bare = replace(pulled.as_bought, sections=tuple(replace(s, wall_in=None) for s in pulled.as_bought.sections))
    known = plan_club(with_pulled(plan.wanted, pulled, length_in, mass_g))
    cut = plan_club(with_pulled(plan.wanted, replace(pulled, as_bought=bare), length_in, mass_g))
    for number in ("tip_trim_in", "cut_length_in", "butt_trim_in", "raw_length_in", "butt_diameter_in"):
        assert getattr(cut, number) == getattr(known, number)
    assert cut.wanted.shaft.raw_mass_g == mass_g
    silent = build_club(cut, wanted_swingweight="D0")
    assert (silent.predicted, silent.need) == (None, None)
    assert any("Swingweight D0 is wanted" in note.text for note in silent.notes)
