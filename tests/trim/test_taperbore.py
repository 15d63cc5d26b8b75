"""A taper tip in a head off its BBGL reference: told in inches, with the raw length that comes nearest."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimkit.parts.errors import ComponentError
from trimkit.parts.sources import Standing
from trimkit.trim.bore import BORE_RULE, DryFit
from trimkit.trim.length import GivenLength
from trimkit.trim.plan import plan_club
from trimkit.trim.stepping import RawFamily
from trimkit.trim.steps import TIP_PARTS, Severity, StepKind
from trimkit.trim.taperbore import SET_MEDIAN, taper_bore


def referenced(make, taper, reference_in=1.0, set_bbgl_in=None):
    rows = [replace(row, bbgl_reference_in=reference_in) for row in make.raw_rows()]
    return RawFamily.from_rows(rows, taper, set_bbgl_in)


@pytest.fixture
def ask(make, taper, wanted_taper):
    """The bore and the plan of a taper-tip 6-iron (raw length 38.25 in) whose head has this BBGL."""

    def ask(bbgl_in, reference_in=1.0, set_bbgl_in=None, **changes):
        head = replace(wanted_taper.head, bbgl_in=bbgl_in)
        wanted = replace(wanted_taper, head=head, table=referenced(make, taper, reference_in, set_bbgl_in), **changes)
        plan = plan_club(wanted)
        return taper_bore(wanted, plan.equivalent, plan.cut_length_in), plan

    return ask


def bore_step(plan):
    (step,) = [step for step in plan.steps if step.kind is StepKind.BORE]
    return step


def bore_notes(plan):
    return [note for note in plan.notes if "the reference" in note.text]


@pytest.mark.parametrize(
    ("bbgl_in", "club", "soft_steps", "left_in"),
    [
        (1.0, "6-iron", 0, 0.0),
        (1.2, "6-iron", 0, 0.2),
        (1.25, "6-iron", 0, 0.25),  # half-way: no step rather than one
        (1.3, "7-iron", -1, -0.2),
        (1.5, "7-iron", -1, 0.0),
        (2.1, "8-iron", -2, 0.1),
        (0.5, "5-iron", 1, 0.0),
        (0.7, "5-iron", 1, 0.2),
        (0.8, "6-iron", 0, -0.2),
        (0.75, "6-iron", 0, -0.25),
    ],
)
def test_the_raw_length_that_brings_the_steps_nearest_to_their_height(ask, bbgl_in, club, soft_steps, left_in):
    bore, _ = ask(bbgl_in)
    assert (bore.nearest.club, bore.soft_steps) == (club, soft_steps)
    assert bore.off_in == pytest.approx(bbgl_in - 1)
    assert bore.left_in == pytest.approx(left_in)


@given(bbgl_in=st.floats(0.5, 2.5), soft_steps=st.integers(-2, 2))
def test_no_other_raw_length_that_reaches_leaves_less(make, taper, wanted_taper, bbgl_in, soft_steps):
    head = replace(wanted_taper.head, bbgl_in=bbgl_in)
    wanted = replace(wanted_taper, head=head, table=referenced(make, taper), soft_steps=soft_steps)
    plan = plan_club(wanted)
    bore = taper_bore(wanted, plan.equivalent, plan.cut_length_in)
    # The height of the first step above the ground line, by the head and by the reference, up to a constant.
    meant = 1.0 + plan.raw_length_in
    left = {row.club: bbgl_in + row.raw_length_in - meant for row in wanted.table.rows}
    assert left[bore.nearest.club] == pytest.approx(bore.left_in)
    assert min(map(abs, left.values())) == pytest.approx(abs(bore.left_in), abs=1e-8)
    # As one would order it: so many steps more than the set's.
    assert wanted.table.row("6-iron", soft_steps + bore.soft_steps) == bore.nearest


def test_a_raw_length_that_does_not_reach_is_not_offered(ask):
    # 38.25 in of raw length; 0.25 in are left over, so that the 7-iron's 37.75 in would be too short.
    bore, plan = ask(1.5, length=GivenLength(39.625))
    assert plan.butt_trim_in == pytest.approx(0.25)
    assert (bore.nearest.club, bore.left_in) == ("6-iron", 0.5)
    assert "no raw length of the family comes nearer" in bore_notes(plan)[0].next_step
    bore, plan = ask(1.5, length=GivenLength(39.375))
    assert plan.butt_trim_in == pytest.approx(0.5)
    assert bore.nearest.club == "7-iron"


@pytest.mark.parametrize(
    ("bbgl_in", "words", "remedy"),
    [
        (
            1.5,
            "BBGL is 1.5 in, 0.5 in more than the reference (1 in); a taper tip cannot be trimmed for it, and the club "
            "plays softer",
            "take the 7-iron's raw length, 37.75 in (one hard step from this one), which brings the steps to their "
            "height; or choose another head",
        ),
        (
            0.4,
            "BBGL is 0.4 in, 0.6 in less than the reference (1 in); a taper tip cannot be trimmed for it, and the club "
            "plays stiffer",
            "take the 5-iron's raw length, 38.75 in (one soft step from this one), which brings the steps to their "
            "height but for 0.1 in; or",
        ),
        (1.2, "0.2 in more than the reference (1 in)", "no raw length of the family comes nearer; or choose another"),
    ],
)
def test_the_note_tells_inches_and_what_can_be_done(ask, bbgl_in, words, remedy):
    _, plan = ask(bbgl_in)
    (note,) = bore_notes(plan)
    assert (note.severity, note.source) == (Severity.WARNING, BORE_RULE)
    assert words in note.text
    assert remedy in note.next_step
    assert note.next_step.startswith("measure the BBGL again")


@pytest.mark.parametrize(("bbgl_in", "count"), [(1.0, 0), (1.0625, 0), (0.9375, 0), (1.07, 1), (0.93, 1)])
def test_a_measuring_error_is_no_warning_but_stands_in_the_step(ask, bbgl_in, count):
    bore, plan = ask(bbgl_in)
    assert len(bore_notes(plan)) == count
    assert bore.counts(plan.wanted.practice) is bool(count)
    assert ("nothing to make up for" in bore_step(plan).reason) is (bbgl_in == 1.0)


@pytest.mark.parametrize(
    ("bbgl_in", "words"),
    [
        (1.0, "1 in above the ground line, and the family's raw lengths are made for 1 in: nothing to make up for."),
        (1.5, "stands 1.5 in above the ground line, and the family's raw lengths are made for 1 in: the steps stand "
              "0.5 in too high, and a taper tip cannot be trimmed for it."),
        (0.5, "stands 0.5 in above the ground line, and the family's raw lengths are made for 1 in: the steps stand "
              "0.5 in too low"),
        (0.0, "stands 0 in above the ground line"),
        (-0.2, "stands 0.2 in below the ground line, and the family's raw lengths are made for 1 in: the steps stand "
               "1.2 in too low"),
    ],
)  # fmt: skip
def test_the_step_trims_nothing_and_says_how_high_the_steps_stand(ask, bbgl_in, words):
    _, plan = ask(bbgl_in)
    step = bore_step(plan)
    assert words in step.reason
    assert step.inches == 0.0
    assert step.sources[0] == plan.wanted.head.source
    assert sum(plan.inches(kind) for kind in TIP_PARTS) == plan.tip_trim_in == 0.0
    assert plan.bbgl_uncorrected_in == 0.0  # nothing is left out on purpose
    kinds = [each.kind for each in plan.steps]
    assert kinds.index(StepKind.RAW_LENGTH) < kinds.index(StepKind.BORE) < kinds.index(StepKind.TIP_TRIM)


def test_the_median_of_the_sets_heads_counts_where_the_table_names_none_and_says_so(ask):
    bore, plan = ask(1.5, reference_in=None, set_bbgl_in=1.1)
    assert (bore.reference_in, bore.by_set) == (1.1, True)
    step = bore_step(plan)
    assert "the set's heads have 1.1 in (their median)" in step.reason
    assert SET_MEDIAN in step.sources
    assert step.source.standing is not Standing.PUBLISHED
    assert "0.4 in more than the reference (1.1 in, the median of the set's heads)" in bore_notes(plan)[0].text
    # The table's own comes first.
    bore, plan = ask(1.5, reference_in=1.0, set_bbgl_in=1.1)
    assert (bore.reference_in, bore.by_set) == (1.0, False)
    assert SET_MEDIAN not in bore_step(plan).sources
    assert "median" not in bore_step(plan).reason + bore_notes(plan)[0].text


def test_without_either_nothing_is_said(ask, wanted):
    bore, plan = ask(1.5, reference_in=None)
    assert bore is None
    assert bore_notes(plan) == []
    assert StepKind.BORE not in [step.kind for step in plan.steps]
    parallel = plan_club(wanted)
    assert taper_bore(wanted, parallel.equivalent, parallel.cut_length_in) is None


def test_the_dry_fit_counts_before_the_heads_table(ask):
    bore, plan = ask(1.0, dry_fit=DryFit(40.0, 41.5))
    assert (bore.bbgl_in, bore.off_in) == (1.5, 0.5)
    assert "dry fit, measured" in bore_step(plan).source.text


def test_a_stepped_club_keeps_its_own_clubs_reference(make, taper, wanted_taper):
    rows = [replace(row, bbgl_reference_in=1.0 + 0.1 * number) for number, row in enumerate(make.raw_rows())]
    family = RawFamily.from_rows(rows, taper)
    wanted = replace(wanted_taper, table=family, head=replace(wanted_taper.head, bbgl_in=1.4))
    for steps in (-1, 0, 1):
        plan = plan_club(replace(wanted, soft_steps=steps))
        bore = taper_bore(plan.wanted, plan.equivalent, plan.cut_length_in)
        assert (bore.reference_in, bore.off_in) == (pytest.approx(1.4), pytest.approx(0.0))
        assert "made for 1.4 in" in bore_step(plan).reason


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_reference_that_is_no_number_is_refused(make, value):
    with pytest.raises(ComponentError, match="bbgl_reference_in"):
        replace(make.raw_rows()[0], bbgl_reference_in=value)
