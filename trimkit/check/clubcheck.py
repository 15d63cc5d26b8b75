"""One club after the double check: the verdict in words, how far it is off, the likely cause."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from trimkit.check.consistency import Check, CheckTolerances, Disagreement
from trimkit.check.inverse import TargetTrim, trim_for
from trimkit.check.offline import say_side
from trimkit.check.wrongcuts import Cause
from trimkit.club.boreworth import BoreWorth
from trimkit.club.card import BenchCard
from trimkit.club.flexscale import FlexScale
from trimkit.parts.errors import ModelError
from trimkit.parts.units import say_in
from trimkit.trim.bore import BoreChoice
from trimkit.trim.plan import TrimPlan


class Verdict(StrEnum):
    """What the check says before the saw."""

    CUT = "agrees; cut it"
    DECIDED = "off the line as decided; cut it"
    CUTS_AGREE = "cuts agree; no second opinion"
    STOP = "stop: it does not agree"
    IMPOSSIBLE = "stop: no shaft can be cut like this"

    @property
    def stops(self) -> bool:
        """Whether the club must not be cut as its card says."""
        return self in (Verdict.STOP, Verdict.IMPOSSIBLE)


@dataclass(frozen=True)
class ClubCheck:
    """One club, checked. What could not be computed is None, and a finding says why.

    plan: what the rules say for the parts in hand. frequency_cpm: of the club on the card; rule_cpm: of the club cut by
    the rule; line_cpm: what the set's line calls for; all by the mechanics, cpm. flex_scale: the shaft's flexes at
    this club. bore: what a taper-tip head off its BBGL reference is worth, else None. findings: what disagrees. causes:
    likely mistakes, best first; empty where nothing disagrees, or where
    the finding itself names the number. undecided_cpm: what the club would have without the decisions that take it off
    the line, cpm; None where there are none or nobody could cut such a club. Where the shaft's walls or stations are
    not known the mechanics did not look: :attr:`no_second_opinion`.
    """

    card: BenchCard
    plan: TrimPlan | None
    frequency_cpm: float | None
    rule_cpm: float | None
    line_cpm: float | None
    flex_scale: FlexScale | None
    findings: tuple[Disagreement, ...]
    causes: tuple[Cause, ...]
    tolerances: CheckTolerances
    bore: BoreWorth | None = None
    undecided_cpm: float | None = None

    @property
    def verdict(self) -> Verdict:
        """Stop if anything disagrees by more than its tolerance, unless the order decides it and says why."""
        if self.frequency_cpm is None and not self.no_second_opinion:
            return Verdict.IMPOSSIBLE
        if not self.findings:
            return Verdict.CUTS_AGREE if self.no_second_opinion else Verdict.CUT
        as_decided = self.explained and bool(self.card.wanted.decisions.why.strip())
        return Verdict.DECIDED if as_decided else Verdict.STOP

    @property
    def no_second_opinion(self) -> str:
        """Why the mechanics did not look at this club, in words; empty if it did."""
        return self.card.wanted.shaft.unknown

    @property
    def explained(self) -> bool:
        """Whether only the line and the BBGL reference miss the club, and not without what the order decides."""
        if self.undecided_cpm is None or self.line_cpm is None:
            return False
        checks = {finding.check for finding in self.findings}
        bore_decided = self.card.wanted.decisions.bore is not BoreChoice.CORRECT
        if checks - {Check.LINE, Check.REFERENCE} or (Check.REFERENCE in checks and not bore_decided):
            return False
        return abs(self.undecided_cpm - self.line_cpm) <= self.tolerances.frequency_cpm + 1e-9

    @property
    def verdict_text(self) -> str:
        """The verdict in words; where the order decides it, with how much and why; where nothing else looked, why."""
        if why := self.no_second_opinion:
            none = "" if self.verdict is Verdict.CUTS_AGREE else "; no second opinion"
            return f"{self.verdict.value}{none}: {why}"
        if self.verdict is not Verdict.DECIDED or self.frequency_cpm is None or self.undecided_cpm is None:
            return self.verdict.value
        off, decided = self.deviation_cpm or 0.0, self.frequency_cpm - self.undecided_cpm
        return (
            f"{self.verdict.value}: {say_side(off)} than the line, {say_side(decided)} by the decision "
            f"({self.card.wanted.decisions.why.strip()})"
        )

    @property
    def deviation_cpm(self) -> float | None:
        """How far the card's club lies off the set's line, cpm, + too stiff."""
        if self.frequency_cpm is None or self.line_cpm is None:
            return None
        return self.frequency_cpm - self.line_cpm

    @cached_property
    def to_line(self) -> TargetTrim | None:
        """The tip trim that would put the club on the line; None if it cannot be computed. Solved when first asked."""
        if self.rule_cpm is None or self.frequency_cpm is None or self.line_cpm is None:
            return None
        try:
            return trim_for(self.card, self.line_cpm)
        except ModelError:
            return None

    @property
    def deviation_flexes(self) -> float | None:
        """The deviation in flexes of this shaft at this club, + too stiff."""
        if self.flex_scale is None or self.line_cpm is None or self.frequency_cpm is None:
            return None
        return self.flex_scale.flexes_apart(self.frequency_cpm, self.line_cpm)

    @property
    def cause(self) -> str:
        """The likely cause in words, with any that explain the card equally well; else the first finding."""
        if not self.causes:
            return self.findings[0].text if self.findings else ""
        best = self.causes[0]
        if not best.explains:
            return f"none of the mistakes tried; nearest: {best.mistake} ({say_in(best.misfit_in)} off)"
        same = [cause.mistake for cause in self.causes[1:] if cause.explains and _as_good(cause, best)]
        return best.mistake + (f" (or: {'; '.join(same[:2])})" if same else "")


def _as_good(cause: Cause, best: Cause) -> bool:
    return abs((cause.misfit_cpm or 0.0) - (best.misfit_cpm or 0.0)) <= 0.25
