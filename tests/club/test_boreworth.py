"""A taper-tip head off its BBGL reference, by the mechanics: worth what the same club on the right head says."""

from dataclasses import replace

import pytest

from trimkit.club.boreworth import at_bbgl, bore_worth
from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.flexscale import FlexScale
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.trim.bore import DryFit
from trimkit.trim.length import GivenLength
from trimkit.trim.steps import Severity
from trimkit.trim.wanted import Decisions

ORDER = replace(shipped_order("taper_soft_step"), soft_steps=0)
RIGHT = build_set(ORDER)


def built(bbgl_in, club="9-iron", order=ORDER, **changes):
    """The taper-tip set with one head of another BBGL."""
    clubs = tuple(
        replace(each, head=replace(each.head, bbgl_in=bbgl_in), **changes) if each.head.club == club else each
        for each in order.clubs
    )
    return build_set(replace(order, clubs=clubs)).club(club)


@pytest.mark.parametrize("bbgl_in", [0.5, 1.25, 1.5, 2.0])
def test_it_is_worth_the_difference_to_the_set_with_the_right_head(bbgl_in):
    club = built(bbgl_in)
    right = RIGHT.club("9-iron").frequency_cpm
    worth = club.bore
    assert worth.change_cpm == pytest.approx(club.frequency_cpm - right, abs=1e-9)
    assert (worth.change_cpm < 0) is (bbgl_in > 1)
    assert worth.flex_cpm == club.flex_scale.cpm_per_flex
    assert worth.change_flexes == pytest.approx(worth.change_cpm / club.flex_scale.cpm_per_flex)
    other = frequency_cpm(replace(card_of(club.plan, club.assembly), raw_length_in=worth.bore.nearest.raw_length_in))
    assert worth.left_cpm == pytest.approx(other - right, abs=1e-9)
    # Another raw length makes up for most of it; where none is nearer, nothing does.
    assert abs(worth.left_cpm) < 0.3 * abs(worth.change_cpm) or worth.bore.soft_steps == 0


def test_half_an_inch_is_worth_about_what_half_an_inch_of_parallel_length_is():
    """The dry reckoning of the trade: half an inch higher is like one soft step, whose worth is known without it."""
    stepped = build_set(replace(ORDER, soft_steps=1)).club("9-iron").frequency_cpm
    one_step_cpm = stepped - RIGHT.club("9-iron").frequency_cpm
    assert built(1.5).bore.change_cpm == pytest.approx(one_step_cpm, rel=0.25)


def test_its_note_says_cpm_flexes_and_what_is_left_and_stands_behind_the_plan_s():
    club = built(1.5)
    *plans_own, note = club.notes
    assert tuple(plans_own) == club.plan.notes
    assert note.severity is Severity.WARNING
    worth = club.bore
    assert f"makes it {-worth.change_cpm:.1f} cpm softer, {-worth.change_flexes:.2f} of a flex of 13.8 cpm" in note.text
    assert f"with the pitching wedge's raw length it would be {worth.left_cpm:.1f} cpm stiffer" in note.next_step
    assert f"{built(0.5).bore.change_cpm:.1f} cpm stiffer" in built(0.5).bore.note.text
    assert built(1.2).bore.note.next_step.startswith("choose another head")
    assert "raw length" not in built(1.2).bore.note.next_step


@pytest.mark.parametrize("bbgl_in", [1.0, 1.0625, 0.9375])
def test_a_head_within_a_measuring_error_has_none(bbgl_in):
    club = built(bbgl_in)
    assert club.bore is None
    assert club.notes == club.plan.notes


def test_a_parallel_tip_has_none():
    wedge = build_set(shipped_order()).club("sand wedge")
    assert wedge.plan.wanted.bbgl_in == 1.5
    assert wedge.bore is None


def test_the_dry_fit_counts():
    club = built(1.0, dry_fit=DryFit(40.0, 41.5))
    assert club.bore.change_cpm == pytest.approx(built(1.5).bore.change_cpm)


def test_the_same_club_at_another_bbgl_keeps_its_playing_length_and_gets_an_extension_where_it_must():
    card = card_of(built(1.5, length=GivenLength(38.35)).plan)
    assert (card.butt_trim_in, card.extension_in) == (0.0, 0.0)
    other = at_bbgl(card, 1.0)
    assert (other.wanted.bbgl_in, other.playing_length_in) == (1.0, card.playing_length_in)
    assert (other.extension_in, other.butt_trim_in) == (0.5, 0.0)
    assert at_bbgl(card, 2.0).extension_in == 0.0
    assert at_bbgl(replace(card, wanted=replace(card.wanted, dry_fit=DryFit(40.0, 41.5))), 1.0).wanted.bbgl_in == 1.0


def test_a_club_with_an_extension_takes_a_longer_raw_length_without_it():
    decided = Decisions(extend=True, why="as ordered")
    club = built(0.5, length=GivenLength(37.75), decisions=decided)
    assert club.plan.extension_in > 0
    worth = club.bore
    assert worth.bore.nearest.club == "8-iron"
    card = card_of(club.plan, club.assembly)
    longer = replace(card, raw_length_in=worth.bore.nearest.raw_length_in, extension_in=0.0)
    assert worth.left_cpm - worth.change_cpm == pytest.approx(frequency_cpm(longer) - club.frequency_cpm, abs=1e-9)


def test_what_counts_as_a_flex_is_the_scale_s():
    club = built(1.5)
    wide = FlexScale(("R",), club.flex_scale.frequency_cpm, 2 * club.bore.flex_cpm)
    worth = bore_worth(card_of(club.plan, club.assembly), club.plan, wide)
    assert worth.change_flexes == pytest.approx(club.bore.change_flexes / 2)


def test_without_a_reference_in_the_table_the_sets_median_is_taken_from_its_heads_and_dry_fits():
    rows = tuple(replace(row, bbgl_reference_in=None) for row in ORDER.catalogue.raw_lengths)
    order = replace(ORDER, catalogue=replace(ORDER.catalogue, raw_lengths=rows))
    club = built(1.5, order=order)
    assert (club.bore.bore.reference_in, club.bore.bore.by_set) == (1.0, True)
    assert any("median of the set's heads" in note.text for note in club.notes)
    dry = replace(order, clubs=tuple(replace(each, dry_fit=DryFit(40.0, 41.2)) for each in order.clubs))
    for each in build_set(dry).clubs:
        assert each.plan.wanted.table.set_bbgl_in == pytest.approx(1.2)
