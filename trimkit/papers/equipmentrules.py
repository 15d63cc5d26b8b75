"""What the published Equipment Rules say about numbers that a plan knows: flags, never a verdict.

A flag says that a number is outside a limit, near it, or not known: measure it as the rules say, and ask. Only the
governing body decides whether a club conforms (:data:`WHO_DECIDES`). Of the many rules only those for a plan's own
numbers are checked: length, how high the hosel reaches, the grip.

Standing: limits published, Equipment Rules Part 2 sections 1c, 2a and 3, and Model Local Rule G-10; the shortest length
was read second-hand. How near counts as near is chosen here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from trimkit.parts.sources import Source, Standing
from trimkit.parts.tidytable import tidy_table
from trimkit.parts.units import say_in
from trimkit.trim.length import (
    LOCAL_RULE,
    LOCAL_RULE_LONGEST_IN,
    LONGEST_IN,
    RULES,
    RULES_SHORTEST,
    SHORTEST_IN,
)
from trimkit.trim.plan import TrimPlan

if TYPE_CHECKING:
    import pandas as pd

STRAIGHT_DOWN_TO_IN = 5.0
GRIP_SHORTEST_IN = 7.0
GRIP_WIDEST_IN = 1.75
RULES_SHAFT = Source("Equipment Rules Part 2 section 2a", Standing.PUBLISHED)
RULES_GRIP = Source("Equipment Rules Part 2 section 3", Standing.PUBLISHED)

NEAR_IN = 0.25
"""A length closer to its limit than this (in) is flagged too, as the rules measure differently. Chosen here."""

WHO_DECIDES = (
    "Flags, not a verdict: the governing body decides whether a club conforms. Only the numbers named here are "
    "checked; the Equipment Rules ask for much more, and measure in their own way."
)


class Flag(StrEnum):
    """The result of comparing one number with its limit."""

    OUTSIDE = "flag: outside the limit"
    NEAR = "flag: near the limit"
    UNKNOWN = "flag: not known here"
    NONE = "nothing to flag"


@dataclass(frozen=True)
class RuleFlag:
    """One rule compared with one club.

    item: what is compared. known_in: the club's number, in; None if it is not known. limit: in words, with unit.
    source: section and standing. text: a sentence for the person at the bench.
    """

    club: str
    item: str
    known_in: float | None
    limit: str
    source: Source
    flag: Flag
    text: str

    @property
    def raised(self) -> bool:
        """Whether someone has to check."""
        return self.flag is not Flag.NONE


def rule_flags(plan: TrimPlan) -> tuple[RuleFlag, ...]:
    """Answer which published limits a planned club is outside of, near to, or cannot be compared with.

    Compared: the playing length along the shaft (in) with the longest and shortest that the rules and a model local
    rule allow; the height of the hosel's rim above the ground line (in), where the visible shaft ends; the grip's
    length (in). A grip's outer diameter is not among its measured values, so it is always flagged. Raises nothing.
    """
    length, grip_length = plan.playing_length_in, plan.wanted.grip.grip_length_in
    grip = "Measure it on the finished club"
    measure = "Measure it as the rules do, sole against a plane at 60 degrees to the ground"
    hosel = "The height is that of the hosel's rim along the shaft; measure from the sole as the rules do"
    return (
        _look(plan, "longest club", length, LONGEST_IN, RULES, measure),
        _look(plan, "longest club where a local rule says so", length, LOCAL_RULE_LONGEST_IN, LOCAL_RULE, measure),
        _look(plan, "shortest club", length, SHORTEST_IN, RULES_SHORTEST, measure, least=True),
        _look(plan, "shaft straight down to", plan.wanted.head.hosel_top_in, STRAIGHT_DOWN_TO_IN, RULES_SHAFT, hosel),
        _look(plan, "grip length", grip_length, GRIP_SHORTEST_IN, RULES_GRIP, grip, least=True),
        RuleFlag(
            plan.club,
            "grip across",
            None,
            f"at most {say_in(GRIP_WIDEST_IN)}",
            RULES_GRIP,
            Flag.UNKNOWN,
            f"The grip's outer diameter is not in the data: measure it at its widest on the finished club; at most "
            f"{say_in(GRIP_WIDEST_IN)}. The governing body decides.",
        ),
    )


def set_flags(plans: Iterable[TrimPlan]) -> tuple[RuleFlag, ...]:
    """Return every rule compared with every club, in the order of the plans."""
    return tuple(flag for plan in plans for flag in rule_flags(plan))


def raised_together(flags: Iterable[RuleFlag]) -> dict[RuleFlag, tuple[str, ...]]:
    """Return the flags that were raised, each wording once, with the clubs it was raised for."""
    together: dict[tuple[str, str], tuple[RuleFlag, list[str]]] = {}
    for flag in flags:
        if flag.raised:
            together.setdefault((flag.item, flag.text), (flag, []))[1].append(flag.club)
    return {flag: tuple(clubs) for flag, clubs in together.values()}


def passed_together(flags: Iterable[RuleFlag]) -> dict[RuleFlag, str]:
    """Return the first flag of every rule that raised none for some clubs, with those clubs' numbers in words."""
    together: dict[str, list[RuleFlag]] = {}
    for flag in flags:
        if not flag.raised and flag.known_in is not None:
            together.setdefault(flag.item, []).append(flag)
    return {passed[0]: _say_range(passed) for passed in together.values()}


def _say_range(passed: list[RuleFlag]) -> str:
    least, most = (choose(passed, key=lambda flag: flag.known_in or 0.0) for choose in (min, max))
    if least.known_in == most.known_in:
        return f"{say_in(least.known_in or 0.0)}"
    return f"{say_in(least.known_in or 0.0)} ({least.club}) to {say_in(most.known_in or 0.0)} ({most.club})"


def flags_table(plans: Iterable[TrimPlan]) -> pd.DataFrame:
    """Return the flags of clubs as a table, a row a club and rule: number known (in), limit, section, flag, words."""
    return tidy_table(
        set_flags(plans),
        "club",
        "item",
        "known_in",
        "limit",
        rule="source.text",
        standing="source.standing.value",
        flag="flag.value",
        who_decides=lambda _: "the governing body",
        text="text",
    ).set_index(["club", "item"])


def _look(
    plan: TrimPlan, item: str, known_in: float, limit_in: float, source: Source, how: str, *, least: bool = False
) -> RuleFlag:
    room_in = known_in - limit_in if least else limit_in - known_in
    limit = f"at {'least' if least else 'most'} {say_in(limit_in)}"
    if room_in < -1e-9:
        flag, said = Flag.OUTSIDE, f"{say_in(known_in)}, where the rule says {limit}."
    elif room_in < NEAR_IN - 1e-9:
        flag, said = Flag.NEAR, f"{say_in(known_in)}, within {say_in(NEAR_IN)} of the limit: {limit}."
    else:
        flag, said = Flag.NONE, f"{say_in(known_in)}; the limit is {limit}."
    text = said if flag is Flag.NONE else f"{said} {how}. The governing body decides."
    if flag is Flag.OUTSIDE and plan.wanted.decisions.outside_rules:
        text += " The order says that the club is not for play under the rules."
    return RuleFlag(plan.club, item, known_in, limit, source, flag, text)
