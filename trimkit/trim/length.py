"""The playing length: per client, from the ladder, from a reference club, or given; and the rules' limits on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_in, say_number
from trimkit.trim.clubs import with_article
from trimkit.trim.equivalence import EquivalentClub, HeadLadder
from trimkit.trim.refusals import finite
from trimkit.trim.steps import Note, Severity, StepKind, TrimStep

LONGEST_IN = 48.0
"""Longest playing length of any club but a putter, in: Equipment Rules Part 2 section 1c."""
SHORTEST_IN = 18.0
"""Shortest playing length of any club, in: Equipment Rules Part 2 section 1c, read second-hand."""
LOCAL_RULE_LONGEST_IN = 46.0
"""Longest playing length where a competition says so, in: Model Local Rule G-10, from 1 January 2022."""
RULES = Source("Equipment Rules Part 2 section 1c", Standing.PUBLISHED)
RULES_SHORTEST = Source("Equipment Rules Part 2 section 1c, read second-hand", Standing.PUBLISHED)
LOCAL_RULE = Source("Model Local Rule G-10, from 1 January 2022", Standing.PUBLISHED)
_ORDER = Source("playing length in the order", Standing.CHOSEN)


class LengthRule(Protocol):
    """Anything that sets the playing length of a club, as a step of the plan."""

    def decide(self, club: EquivalentClub, ladder: HeadLadder) -> TrimStep:
        """Return the step whose inches are the playing length of this club."""
        ...


@dataclass(frozen=True)
class LadderLength:
    """The set's own playing lengths, all of them ``offset_in`` longer (+) or shorter (-) for the client."""

    offset_in: float = 0.0

    def decide(self, club: EquivalentClub, ladder: HeadLadder) -> TrimStep:
        """Return the ladder's playing length plus the offset; raises TrimRefused if the ladder lacks the club."""
        finite("the offset of the playing length", self.offset_in)
        own = ladder.playing_length_in(club)
        reason = f"The ladder gives {with_article(str(club))} {say_in(own)}"
        if self.offset_in:
            reason += f"; the client's clubs are {say_in(abs(self.offset_in))} {_longer(self.offset_in)}"
        sources = (*(ladder.rung(name).source for name in club.clubs), *([_ORDER] if self.offset_in else []))
        return TrimStep(StepKind.PLAYING_LENGTH, own + self.offset_in, reason + ".", sources)


@dataclass(frozen=True)
class ReferenceLength:
    """One club's playing length, and the gap between clubs: the ladder's, or ``gap_in`` shorter for each club."""

    club: str
    playing_length_in: float
    gap_in: float | None = None

    def decide(self, club: EquivalentClub, ladder: HeadLadder) -> TrimStep:
        """Return the reference length, changed by the gaps between the two clubs.

        Ladder's gaps: length = reference + ladder(club) - ladder(reference club). Fixed gap: length = reference -
        gap * (clubs between them). Raises TrimRefused if the ladder lacks a club or a value is not finite.
        """
        finite(f"the playing length of the {self.club}", self.playing_length_in)
        at = ladder.by_number(self.club)
        if self.gap_in is None:
            change = ladder.playing_length_in(club) - ladder.playing_length_in(at)
            how = "as on the ladder"
        else:
            finite("the length gap between clubs", self.gap_in)
            count = ladder.place(club) - ladder.place(at)
            change = -self.gap_in * count
            how = f"{say_number(abs(count), 2)} clubs of {say_in(self.gap_in)} each"
        reason = f"The client's {self.club} plays at {say_in(self.playing_length_in)}"
        if change:
            reason += f"; {with_article(str(club))} is {say_in(abs(change))} {_longer(change)}, {how}"
        sources = (_ORDER, *(ladder.rung(name).source for name in club.clubs if self.gap_in is None and change))
        return TrimStep(StepKind.PLAYING_LENGTH, self.playing_length_in + change, reason + ".", sources)


@dataclass(frozen=True)
class GivenLength:
    """The playing length of this one club, as the order states it."""

    playing_length_in: float

    def decide(self, club: EquivalentClub, ladder: HeadLadder) -> TrimStep:
        """Return the given length; raises TrimRefused if it is not finite."""
        finite("the playing length", self.playing_length_in)
        reason = f"The order gives this club {say_in(self.playing_length_in)}."
        return TrimStep(StepKind.PLAYING_LENGTH, self.playing_length_in, reason, (_ORDER,))


def check_length(playing_length_in: float, outside_rules: bool = False) -> tuple[Note, ...]:
    """Check a playing length (in) against the rules of the game and return what to flag.

    outside_rules: the club is deliberately not for play under the rules; its length is then flagged, not refused.
    The rules measure on a plane at 60 degrees to the ground, so near a limit the length along the shaft does not
    settle the matter; the governing body decides on conformity. Raises TrimRefused over 48 in or under 18 in.
    """
    too_long, too_short = playing_length_in > LONGEST_IN + 1e-9, playing_length_in < SHORTEST_IN - 1e-9
    if too_long or too_short:
        limit = f"at most {say_in(LONGEST_IN)}, putters excepted" if too_long else f"at least {say_in(SHORTEST_IN)}"
        source = RULES if too_long else RULES_SHORTEST
        given = f"the playing length is {say_in(playing_length_in)}"
        if not outside_rules:
            raise TrimRefused(
                given,
                f"{limit} ({source.text})",
                f"choose a {'shorter' if too_long else 'longer'} club; for a club that is not for play under the "
                "rules, say so in the order",
            )
        text = f"The playing length is {say_in(playing_length_in)}; the rules allow {limit}. The order says that "
        text += "the club is not for play under the rules."
        return (Note(Severity.WARNING, text, "mark the club; the governing body decides", source),)
    if playing_length_in > LOCAL_RULE_LONGEST_IN + 1e-9:
        text = (
            f"A playing length of {say_in(playing_length_in)} is over {say_in(LOCAL_RULE_LONGEST_IN)}, which a "
            "competition may set as its limit by a local rule."
        )
        return (Note(Severity.WARNING, text, "ask where the client plays; the governing body decides", LOCAL_RULE),)
    return ()


def _longer(change_in: float) -> str:
    return "longer" if change_in > 0 else "shorter"
