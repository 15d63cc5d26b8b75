"""The butt end: what is left over or missing, and how the grip sits on it."""

import dataclasses
import math

import pytest

from trimkit.parts.components import TipKind
from trimkit.parts.errors import TrimRefused
from trimkit.trim.butt import butt_cut, cut_length_in, extension_mass_g, grip_fit, outer_diameter_in
from trimkit.trim.length import LadderLength
from trimkit.trim.plan import plan_club
from trimkit.trim.practice import PRACTICE_SOURCE, BenchPractice
from trimkit.trim.refusals import ShaftTooShort
from trimkit.trim.steps import DECIDED, Severity, StepKind
from trimkit.trim.wanted import Decisions


def test_the_cut_length_is_the_playing_length_without_bore_bottom_and_cap():
    assert cut_length_in(playing_length_in=37.5, bbgl_in=1.0, cap_thickness_in=0.125) == 36.375


def test_the_butt_trim_is_what_is_left_over(master, grip):
    cut = butt_cut(master, grip, raw_length_in=42.0, tip_trim_in=3.5, playing_length_in=37.5, bbgl_in=1.0)
    assert (cut.cut_length_in, cut.butt_trim_in, cut.extension_in, cut.tape_layers) == (36.375, 2.125, 0.0, 0)
    assert cut.steps[0].reason == (
        "37.5 in playing length, less 1 in below the shaft's end, less 0.125 in of grip cap: 36.375 in to keep."
    )
    assert cut.steps[1].reason.endswith("42 in raw, less 3.5 in at the tip and 36.375 in to keep: 2.125 in.")


def test_a_through_bore_makes_the_cut_length_longer_than_the_club_without_its_cap(master, grip):
    cut = butt_cut(master, grip, raw_length_in=42.0, tip_trim_in=0.0, playing_length_in=37.5, bbgl_in=-0.125)
    assert cut.cut_length_in == 37.5
    assert "plus 0.125 in of shaft below the ground line" in cut.steps[0].reason


def test_an_extension_that_is_decided_is_a_step_with_its_mass_and_a_caution(wanted):
    decisions = Decisions(extend=True, why="the client is tall")
    plan = plan_club(dataclasses.replace(wanted, length=LadderLength(2.5), decisions=decisions))
    assert (plan.extension_in, plan.butt_trim_in) == (0.375, 0.0)
    step = plan.steps[-1]
    assert step.kind is StepKind.EXTENSION
    assert "0.375 in too short" in step.reason
    assert "about 8.1 g" in step.reason
    assert "the client is tall" in step.reason
    (caution,) = plan.notes
    assert caution.severity is Severity.CAUTION
    assert "maker" in caution.next_step


def short_by(shaft, grip, inches, **more):
    """Cut lengths that need so much more shaft than there is: 42 in raw, 3.5 in off the tip."""
    length = 42.0 - 3.5 + 1.0 + 0.125 + inches
    return butt_cut(shaft, grip, raw_length_in=42.0, tip_trim_in=3.5, playing_length_in=length, bbgl_in=1.0, **more)


def test_an_extension_is_a_step_of_its_inches_with_what_they_rest_on(master, make, grip):
    for shaft, density in ((master, True), (make.graphite("test master", ("A", "R", "S"), 42.0), False)):
        cut = short_by(shaft, grip, 0.5, extend=True, why="tall")
        step = cut.steps[-1]
        assert (step.kind, step.inches, cut.extension_in, cut.butt_trim_in) == (StepKind.EXTENSION, 0.5, 0.5, 0.0)
        assert any("density" in source.text for source in step.sources) == density
        assert step.sources[0] == DECIDED
        assert step.sources[-1] == PRACTICE_SOURCE
        assert cut.butt_diameter_in == pytest.approx(0.600)


def test_the_longest_extension_is_an_inch_and_a_mark_too_short_is_no_case_for_one(master, grip):
    assert short_by(master, grip, 1.0, extend=True, why="tall").extension_in == 1.0
    cases = [
        (1.0 + 1 / 64, True, "at most 1 in", "longer shaft"),
        (0.5, False, "decided on in the order", "a butt extension of 0.5 in"),
        (1 / 16, False, "decided on in the order", "a butt extension of 1/16 in"),
        (1 / 16 - 1e-3, False, "a shaft that is long enough", "less than a ruler's mark"),
    ]
    for inches, extend, allowed, step in cases:
        with pytest.raises(ShaftTooShort) as refused:
            short_by(master, grip, inches, extend=extend, why="tall")
        assert refused.value.shortfall_in == pytest.approx(inches)
        assert allowed in refused.value.allowed
        assert step in refused.value.next_step
        assert "too short: 42 in raw, less 3.5 in at the tip" in refused.value.given


def test_a_rounding_is_no_shortfall(master, grip):
    cut = short_by(master, grip, 5e-10)
    assert (cut.butt_trim_in, cut.extension_in, len(cut.steps), cut.notes) == (0.0, 0.0, 2, ())
    assert short_by(master, grip, -0.25).butt_trim_in == pytest.approx(0.25)


@pytest.mark.parametrize(
    ("bbgl_in", "words"),
    [
        (0.5, "less 0.5 in below the shaft's end"),
        (0.0, "less 0 in below the shaft's end"),
        (-0.5, "plus 0.5 in of shaft"),
    ],
)
def test_the_ground_line_lies_below_or_above_the_shaft_s_end(master, grip, bbgl_in, words):
    cut = butt_cut(master, grip, raw_length_in=42.0, tip_trim_in=3.5, playing_length_in=37.5, bbgl_in=bbgl_in)
    assert words in cut.steps[0].reason
    assert cut.cut_length_in == 37.375 - bbgl_in


def test_one_layer_is_one_layer_and_the_most_that_tape_makes_up_is_taken(grip):
    _, (note,) = grip_fit(0.590, grip)
    assert "in 1 layer makes 0.01 in" in note.text
    assert grip_fit(0.600 - 0.040, grip)[0] == 4
    with pytest.raises(TrimRefused, match=r"at most 0\.04 in to build up") as refused:
        grip_fit(0.600 - 0.041, grip)
    assert "the butt measures 0.559 in" in refused.value.given


def test_a_steel_extension_weighs_what_a_steel_tube_of_that_size_weighs(master):
    outer_m, inner_m, length_m = 0.600 * 0.0254, (0.600 - 2 * 0.0145) * 0.0254, 2.5 * 0.0254
    by_volume_g = math.pi / 4 * (outer_m**2 - inner_m**2) * length_m * 7850.0 * 1e3
    assert extension_mass_g(master, 0.5, 2.0) == pytest.approx(by_volume_g, rel=1e-12)


def test_a_graphite_extension_weighs_what_the_butt_weighs_for_its_length(make):
    assert extension_mass_g(make.graphite(), 0.5, 2.0) == pytest.approx(60.0 * 2.5 * 0.0254)


@pytest.mark.parametrize(
    ("from_tip_in", "diameter_in"),
    [
        (0.0, 0.370),
        (12.0, 0.370),
        (12.1, 0.370 + 0.230 / 7),
        (24.0, 0.370 + 6 * 0.230 / 7),
        (24.1, 0.600),
        (42.0, 0.600),
    ],
)
def test_a_steel_tube_is_as_thick_as_its_section_and_as_the_thinner_one_at_a_step(master, from_tip_in, diameter_in):
    assert outer_diameter_in(master, from_tip_in) == pytest.approx(diameter_in, abs=1e-12)


def test_a_graphite_shaft_grows_evenly_between_its_stations(make):
    assert outer_diameter_in(make.graphite(), 23.0) == pytest.approx((0.335 + 0.600) / 2)
    assert outer_diameter_in(make.graphite(), 46.0) == pytest.approx(0.600)


def test_a_raw_length_a_hair_longer_than_its_description_ends_in_the_butt_diameter(make, master):
    for shaft in (make.graphite(), master):
        hair = dataclasses.replace(shaft, raw_length_in=shaft.raw_length_in + 5e-10)
        assert outer_diameter_in(hair, hair.raw_length_in) == 0.600


@pytest.mark.parametrize("from_tip_in", [-0.1, 42.1])
def test_there_is_no_diameter_outside_the_shaft(master, from_tip_in):
    with pytest.raises(TrimRefused, match="0 in to 42 in"):
        outer_diameter_in(master, from_tip_in)


@pytest.mark.parametrize(
    ("butt_in", "layers"),
    [(0.620, 0), (0.600, 0), (0.5995, 0), (0.598, 1), (0.597, 1), (0.590, 1), (0.580, 2), (0.5601, 4)],
)
def test_layers_of_build_up_tape(grip, butt_in, layers):
    found, notes = grip_fit(butt_in, grip)
    assert found == layers
    assert len(notes) == (1 if layers else 0)


def test_thicker_tape_wants_fewer_layers(grip):
    assert grip_fit(0.580, grip, BenchPractice(tape_thickness_in=0.010))[0] == 1


def test_the_tape_note_has_its_figures_and_says_to_measure(grip):
    _, (note,) = grip_fit(0.580, grip)
    assert note.severity is Severity.WARNING
    assert "0.02 in to build up; tape of 0.005 in in 2 layers makes 0.02 in" in note.text
    assert "measure" in note.next_step


def test_a_butt_further_below_the_core_than_tape_makes_up_is_refused(grip):
    with pytest.raises(TrimRefused, match="smaller core"):
        grip_fit(0.5599, grip)


def test_the_butt_that_is_left_is_measured_where_it_is_cut(make, wanted):
    shaft = dataclasses.replace(make.graphite("test master", ("A", "R", "S"), 42.0), tip_diameter_in=0.370)
    plan = plan_club(dataclasses.replace(wanted, shaft=shaft, table=wanted.table))
    assert plan.butt_diameter_in == pytest.approx(0.335 + 0.265 * (42.0 - 2.125) / 42.0)
    assert plan.tape_layers == 1


def test_a_taper_tip_s_butt_counts_from_the_butt_end_it_shares_with_its_family(make, wanted_taper):
    grown = make.graphite("test taper", ("R",), 40.25)
    shaft = dataclasses.replace(grown, tip_kind=TipKind.TAPER, tip_diameter_in=0.355)
    plan = plan_club(dataclasses.replace(wanted_taper, shaft=shaft))
    assert (plan.raw_length_in, plan.butt_trim_in) == (38.25, 1.875)
    assert plan.butt_diameter_in == pytest.approx(0.335 + 0.265 * (40.25 - 1.875) / 40.25)


def _without_walls(shaft):
    bare = tuple(dataclasses.replace(section, wall_in=None) for section in shaft.sections)
    return dataclasses.replace(shaft, sections=bare)


def test_an_extension_of_unknown_tube_has_no_mass_and_says_so(master, make, wanted):
    graphite = dataclasses.replace(make.graphite(), stations=())
    unknown = (_without_walls(master), dataclasses.replace(master, sections=()), graphite)
    assert [extension_mass_g(shaft, 0.5, 2.0) for shaft in unknown] == [None, None, None]
    decisions = Decisions(extend=True, why="the client is tall")
    club = dataclasses.replace(wanted, shaft=unknown[0], length=LadderLength(2.5), decisions=decisions)
    (step,) = [step for step in plan_club(club).steps if step.kind is StepKind.EXTENSION]
    assert "weigh it" in step.reason


def test_steps_without_walls_still_tell_the_butt_from_the_cut(master, grip):
    cuts = {"raw_length_in": 42.0, "tip_trim_in": 0.0, "playing_length_in": 37.5, "bbgl_in": 1.0}
    thin = dataclasses.replace(grip, core_diameter_in=0.62)
    assert butt_cut(_without_walls(master), thin, **cuts) == butt_cut(master, thin, **cuts)


def test_without_diameters_the_grip_is_fitted_to_the_raw_butt_and_a_note_says_so(master, grip):
    cuts = {"raw_length_in": 42.0, "playing_length_in": 37.5, "bbgl_in": 1.0}
    unknown = dataclasses.replace(master, sections=())
    cut = butt_cut(unknown, grip, tip_trim_in=0.0, **cuts)
    assert cut.butt_diameter_in == unknown.butt_diameter_in
    (note,) = cut.notes
    assert "fitted to the raw butt, 0.6 in" in note.text
    assert "measure the butt" in note.next_step
    assert butt_cut(unknown, grip, tip_trim_in=5.625, **cuts).notes == ()  # nothing comes off the butt
