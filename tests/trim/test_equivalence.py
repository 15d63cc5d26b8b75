"""Which club a head is by its mass: at the rungs, between them, and not outside."""

import dataclasses

import pytest

from trimkit.parts.components import HeadKind
from trimkit.parts.errors import DataFileError, TrimRefused
from trimkit.trim.equivalence import EquivalentClub, HeadLadder, TrimAs, usual_way


@pytest.mark.parametrize(
    ("mass_g", "says"),
    [
        (232.0, "2-iron"),
        (241.1, "3.4-iron"),
        (284.0, "pitching wedge"),
        (280.1, "between 9-iron and pitching wedge (0.4)"),
        (303.5, "lob wedge"),
    ],
)
def test_a_mass_reads_as_a_club(ladder, mass_g, says):
    assert str(ladder.by_mass(mass_g)) == says


def test_length_and_place_follow_the_mass(ladder):
    club = ladder.by_mass(232.0 + 6.5 * 1.5)
    assert ladder.playing_length_in(club) == 38.75
    assert ladder.place(club) == 1.5


def test_a_hybrid_s_number_is_that_of_the_iron_unless_the_ladder_has_hybrids(make, ladder):
    assert ladder.by_number("4-hybrid") == EquivalentClub("4-iron", "4-iron", 0.0)
    hybrids = HeadLadder.from_rungs(make.ladder_rungs("hybrids", clubs=("3-hybrid", "4-hybrid")), "hybrids")
    assert hybrids.by_number("4-hybrid") == EquivalentClub("4-hybrid", "4-hybrid", 0.0)
    assert str(hybrids.by_mass(235.25)) == "3.5-hybrid"


@pytest.mark.parametrize(("mass_g", "rungs"), [(258.0, 0.0), (261.25, 0.5), (251.5, -1.0), (225.5, -5.0)])
def test_how_many_rungs_a_head_is_off(ladder, mass_g, rungs):
    assert ladder.rungs_off(mass_g, "6-iron") == pytest.approx(rungs)


@pytest.mark.parametrize(("mass_g", "rungs"), [(255.0, -0.5), (262.0, 0.5)])
def test_rungs_off_count_by_the_gap_on_that_side(make, mass_g, rungs):
    uneven = [
        dataclasses.replace(rung, head_mass_g=grams)
        for rung, grams in zip(
            make.ladder_rungs(clubs=("5-iron", "6-iron", "7-iron")), (252.0, 258.0, 266.0), strict=True
        )
    ]
    assert HeadLadder.from_rungs(uneven, "test irons").rungs_off(mass_g, "6-iron") == rungs


def test_at_the_ends_the_only_gap_counts_for_both_sides(ladder):
    assert ladder.rungs_off(232.0 - 13.0, "2-iron") == -2.0
    assert ladder.rungs_off(303.5 + 3.25, "lob wedge") == 0.5


@pytest.mark.parametrize("second_g", [252.0, 251.9])
def test_two_rungs_of_the_same_mass_or_falling_ones_are_refused_with_their_row(make, second_g):
    rungs = make.ladder_rungs(clubs=("5-iron", "6-iron", "7-iron"))
    masses = zip(rungs, (252.0, second_g, 266.0), strict=True)
    uneven = [dataclasses.replace(rung, head_mass_g=grams) for rung, grams in masses]
    with pytest.raises(DataFileError, match=r"6-iron .* g after 5-iron 252 g") as refusal:
        HeadLadder.from_rungs(uneven, "test irons")
    assert len(refusal.value.faults) == 1
    assert refusal.value.place.file == uneven[1].source.text


def test_a_ladder_of_one_rung_says_nothing_about_rungs_off(make):
    alone = HeadLadder.from_rungs(make.ladder_rungs("driver", 200.0, clubs=("driver",), first_in=45.0), "driver")
    assert alone.rungs_off(210.0, "driver") == 0.0


FAULTY = {
    "no rungs": (lambda rungs: [], "there is no ladder 'test irons'"),
    "a club twice": (lambda rungs: [*rungs, rungs[3]], "5-iron appears twice"),
    "a lighter head on a shorter club": (
        lambda rungs: [*rungs[:-1], dataclasses.replace(rungs[-1], head_mass_g=290.0)],
        "lob wedge 290 g after sand wedge 297 g",
    ),
    "a longer club after a shorter one": (
        lambda rungs: [*rungs[:-1], dataclasses.replace(rungs[-1], playing_length_in=36.0)],
        "lob wedge 36 in after 34.5 in",
    ),
    "a club with an unknown name": (
        lambda rungs: [dataclasses.replace(rungs[0], club="iron two"), *rungs[1:]],
        "'iron two' is not the name of a club",
    ),
    "irons and woods mixed": (
        lambda rungs: [*rungs, dataclasses.replace(rungs[0], club="driver", head_mass_g=200.0, playing_length_in=45)],
        "mixes irons, woods or hybrids",
    ),
}


@pytest.mark.parametrize("fault", FAULTY)
def test_a_faulty_ladder_is_refused(make, fault):
    spoil, words = FAULTY[fault]
    with pytest.raises(DataFileError, match=words.replace("(", r"\(")):
        HeadLadder.from_rungs(spoil(make.ladder_rungs()), "test irons")


def test_the_order_of_the_rungs_in_the_file_does_not_matter(make, ladder):
    assert HeadLadder.from_rungs(reversed(make.ladder_rungs()), "test irons") == ladder


@pytest.mark.parametrize("kind", HeadKind)
def test_hybrids_go_by_mass_and_all_others_by_their_number(make, kind):
    assert usual_way(make.head(kind=kind)) is (TrimAs.MASS if kind is HeadKind.HYBRID else TrimAs.ENGRAVED)


@pytest.mark.parametrize(("mass_g", "nearest"), [(231.9, "2-iron"), (303.6, "lob wedge")])
def test_outside_the_ladder_the_nearest_end_is_named(ladder, mass_g, nearest):
    with pytest.raises(TrimRefused, match=f"0.1 g .* than the {nearest}"):
        ladder.by_mass(mass_g)


def test_a_place_names_the_one_club_it_is_or_both(ladder):
    assert ladder.by_mass(258.0).clubs == ("6-iron",)
    between = ladder.by_mass(259.3)
    assert between.clubs == ("6-iron", "7-iron")
    assert between.interpolate({"6-iron": 10.0, "7-iron": 20.0}.get) == pytest.approx(12.0)
    assert ladder.by_mass(258.0).interpolate({"6-iron": 10.0}.get) == 10.0
