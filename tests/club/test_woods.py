"""Woods from order to frequency: bores that end at three heights, each brought back to where its schedule's club is.

The cuts are sums by hand of the order's rows: schedule + (BBGL - reference), in.
"""

from dataclasses import replace

import pytest

from trimkit.check.clubcheck import Verdict
from trimkit.check.doublecheck import double_check
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import TrimRefused
from trimkit.trim.bore import BoreChoice

ORDER = shipped_order("wood_bores")
BUILT = build_set(ORDER)
# Club, schedule + (BBGL - reference), bottom of the bore, in words of the plan.
BY_HAND = (
    ("driver", 0.0 + (0.9 - 0.25), "A shallow bore"),
    ("3-wood", 0.5 + (-0.05 - 0.25), "The bore goes through"),
    ("5-wood", 1.0 + (0.05 - 0.25), "A deep bore"),
)


@pytest.mark.parametrize(("club", "tip_trim_in", "said"), BY_HAND)
def test_each_bore_has_its_cut_and_its_words(club, tip_trim_in, said):
    built = BUILT.club(club)
    assert built.plan.tip_trim_in == pytest.approx(tip_trim_in, abs=1e-12)
    assert sum(note.text.startswith(said) for note in built.notes) == 1


def test_a_corrected_bore_comes_within_a_cpm_of_the_schedule_s_own_club():
    """The rule puts the steps back to their height; the mechanics, which knows no rule, agrees."""
    assert [club.verdict for club in double_check(BUILT).clubs] == [Verdict.CUT] * 3
    rungs = {rung.club: rung.head_mass_g for rung in ORDER.catalogue.ladder_rungs if rung.ladder == ORDER.ladder}
    heads = tuple(
        replace(club, head=replace(club.head, head_mass_g=rungs[club.head.club])) for club in ORDER.clubs
    )  # the heads' own masses move the frequency too
    for club in double_check(build_set(replace(ORDER, clubs=heads))).clubs:
        assert abs(club.deviation_cpm) < 1.0


def test_left_as_it_is_each_bore_moves_the_frequency_the_way_the_rule_says():
    def left(club):
        return replace(club, decisions=replace(club.decisions, bore=BoreChoice.LEAVE, why="to feel it"))

    uncorrected = build_set(replace(ORDER, clubs=tuple(left(club) for club in ORDER.clubs)))
    change = {
        club.plan.club: other.frequency_cpm - club.frequency_cpm
        for club, other in zip(BUILT.clubs, uncorrected.clubs, strict=True)
    }
    assert change["driver"] < -0.5  # a bore too shallow, left: softer
    assert change["3-wood"] > 0.2  # bores too deep, left: stiffer
    assert change["5-wood"] > 0.2


def test_a_fairway_wood_s_tip_ends_at_its_maker_s_limit():
    """2 in by the shaft's table: the 5-wood's 1 in and 1 in more of BBGL, and a sixteenth is too much."""
    (five,) = (club for club in ORDER.clubs if club.head.club == "5-wood")

    def at(bbgl_in):
        return build_set(replace(ORDER, clubs=(replace(five, head=replace(five.head, bbgl_in=bbgl_in)),)))

    assert at(1.25).clubs[0].plan.tip_trim_in == pytest.approx(2.0)
    with pytest.raises(TrimRefused, match="allows 2 in"):
        at(1.3125)
