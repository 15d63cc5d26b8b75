"""Flags against the published Equipment Rules (Part 2 sections 1c, 2a, 3) and Model Local Rule G-10.

The limits below are the printed ones, written here again: 48 in and 18 in (1c, the latter read second-hand), 46 in
(G-10), 5 in (2a), 7 in and 1.75 in (3).
"""

import dataclasses

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.equipmentrules import WHO_DECIDES, Flag, flags_table, rule_flags, set_flags
from trimkit.parts.sources import Standing

PLANS = [club.plan for club in build_set(shipped_order()).clubs]
PRINTED = {
    "longest club": ("at most 48 in", "Part 2 section 1c"),
    "longest club where a local rule says so": ("at most 46 in", "Model Local Rule G-10"),
    "shortest club": ("at least 18 in", "Part 2 section 1c"),
    "shaft straight down to": ("at most 5 in", "Part 2 section 2a"),
    "grip length": ("at least 7 in", "Part 2 section 3"),
    "grip across": ("at most 1.75 in", "Part 2 section 3"),
}


def flags(plan):
    return {flag.item: flag for flag in rule_flags(plan)}


def changed(*, head=None, grip=None, outside_rules=False, **plan):
    own = PLANS[4]
    wanted = own.wanted
    wanted = dataclasses.replace(
        wanted,
        head=dataclasses.replace(wanted.head, **(head or {})),
        grip=dataclasses.replace(wanted.grip, **(grip or {})),
        decisions=dataclasses.replace(wanted.decisions, outside_rules=outside_rules),
    )
    return dataclasses.replace(own, wanted=wanted, **plan)


def test_every_limit_and_its_section_are_the_printed_ones():
    for plan in PLANS:
        found = flags(plan)
        assert list(found) == list(PRINTED)
        for item, (limit, section) in PRINTED.items():
            assert found[item].limit == limit
            assert section in found[item].source.text
            assert found[item].source.standing is Standing.PUBLISHED
    assert "second-hand" in found["shortest club"].source.text


@pytest.mark.parametrize(
    ("length_in", "item", "flag"),
    [
        (48.0625, "longest club", Flag.OUTSIDE),
        (48.0, "longest club", Flag.NEAR),
        (47.76, "longest club", Flag.NEAR),
        (47.75, "longest club", Flag.NONE),
        (46.0625, "longest club where a local rule says so", Flag.OUTSIDE),
        (46.0, "longest club where a local rule says so", Flag.NEAR),
        (45.0, "longest club where a local rule says so", Flag.NONE),
        (17.9, "shortest club", Flag.OUTSIDE),
        (18.0, "shortest club", Flag.NEAR),
        (35.0, "shortest club", Flag.NONE),
    ],
)
def test_a_length_outside_or_near_its_limit_is_flagged(length_in, item, flag):
    found = flags(changed(playing_length_in=length_in))[item]
    assert found.flag is flag
    assert found.known_in == length_in
    assert found.raised == (flag is not Flag.NONE)


@pytest.mark.parametrize(("rim_in", "flag"), [(5.1, Flag.OUTSIDE), (5.0, Flag.NEAR), (2.25, Flag.NONE)])
def test_the_hosel_s_rim_is_compared_with_section_2a(rim_in, flag):
    plan = changed(head={"bbgl_in": rim_in - 1.25, "bore_depth_in": 1.25})
    assert flags(plan)["shaft straight down to"].flag is flag


@pytest.mark.parametrize(("grip_in", "flag"), [(6.9, Flag.OUTSIDE), (7.0, Flag.NEAR), (10.5, Flag.NONE)])
def test_the_grip_s_length_is_compared_with_section_3(grip_in, flag):
    assert flags(changed(grip={"grip_length_in": grip_in}))["grip length"].flag is flag


def test_what_is_not_known_is_flagged_and_not_guessed():
    found = flags(PLANS[0])["grip across"]
    assert found.flag is Flag.UNKNOWN
    assert found.known_in is None


def test_a_flag_leaves_the_decision_to_the_governing_body_and_none_is_a_verdict():
    plans = [*PLANS, changed(playing_length_in=49.0, outside_rules=True)]
    for flag in set_flags(plans):
        assert ("governing body decides" in flag.text) == flag.raised
        assert "conform" not in flag.text
    assert "the governing body decides" in WHO_DECIDES
    assert "not for play under the rules" in flags(plans[-1])["longest club"].text


def test_the_table_has_a_row_for_every_club_and_rule_with_its_unit():
    table = flags_table(PLANS)
    assert len(table) == len(PLANS) * len(PRINTED)
    assert table.loc[("6-iron", "longest club"), "known_in"] == 37.5
    assert set(table["who_decides"]) == {"the governing body"}
