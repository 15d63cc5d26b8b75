"""The double check before the saw: what is about to be cut, against the rule, the mechanics, and the set's own line.

It checks each club in four ways. The *rule's own cut*: the plan is remade from the parts and compared with the card
in inches. The *set's line*: the frequency of the card's club against a robust line through all cards. The *BBGL
reference* of a taper tip: what a head off it does to the club. *Consistency*: do the measurements agree?

A schedule bends the line on purpose (wedges stop gaining tip trim), so the bend is taken out before the line is fitted
and put back for each club (:mod:`trimkit.check.ownline`). To that extent the line depends on the schedule: a slip in
the schedule itself is caught by comparing its rows with their neighbours.

Standing: derived from rule and mechanics; the frequency tolerance is from memory, the others are chosen here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from trimkit.check.clubcheck import ClubCheck
from trimkit.check.consistency import Check, CheckTolerances, Disagreement, consistency
from trimkit.check.offline import off_line, off_reference, off_rule, say_side
from trimkit.check.onpurpose import on_purpose, undecided_cpm
from trimkit.check.ownline import LineGroup, line_groups
from trimkit.check.setline import LineReport, OffLine, SetLine
from trimkit.check.wrongcuts import Cause, cutting_causes
from trimkit.check.wrongparts import ladder_causes, parts_causes, refused_causes
from trimkit.club.card import BenchCard, card_of
from trimkit.club.clamp import frequency_cpm as club_frequency_cpm
from trimkit.club.club import build_club
from trimkit.club.set import SetBuild
from trimkit.parts.errors import BenchError, ModelError, TrimRefused
from trimkit.parts.units import say_in
from trimkit.trim.plan import TrimPlan, plan_club


@dataclass(frozen=True)
class SetCheck:
    """A whole set checked, in the order of the cards.

    groups: the clubs of each shaft and flex, with the robust line through them, the schedule's bend taken out.
    """

    clubs: tuple[ClubCheck, ...]
    groups: tuple[LineGroup, ...]
    tolerances: CheckTolerances

    @property
    def line(self) -> SetLine | None:
        """The line of a set on one shaft in one flex; None if it has none, or several."""
        return self.groups[0].line if len(self.groups) == 1 else None

    @property
    def judged(self) -> tuple[str, ...]:
        """What was done with which clubs: a sentence for each shaft and flex."""
        return tuple(group.said for group in self.groups)

    @property
    def stopped(self) -> tuple[ClubCheck, ...]:
        """The clubs that must not be cut as their cards say."""
        return tuple(club for club in self.clubs if club.verdict.stops)

    @property
    def no_second_opinion(self) -> str:
        """Which clubs the mechanics did not look at and why, in a sentence for each reason; empty if it saw all."""
        silent: dict[str, list[str]] = {}
        for club in self.clubs:
            if club.no_second_opinion:
                silent.setdefault(club.no_second_opinion, []).append(club.card.club)

        def named(names: list[str]) -> str:
            return "any club" if len(names) == len(self.clubs) else ", ".join(names)

        return " ".join(
            f"No second opinion by the beam calculation for {named(of)}: {why}." for why, of in silent.items()
        )

    @property
    def line_reports(self) -> tuple[LineReport, ...]:
        """The clubs of each shaft and flex against their own line, bent where the schedule bends it.

        Clubs without a line are left out, and a club whose frequency or place on the line could not be computed.
        """
        return tuple(self._report(group, group.line) for group in self.groups if group.line is not None)

    def _report(self, group: LineGroup, line: SetLine) -> LineReport:
        clubs = []
        for each in (self.clubs[place] for place in group.places):
            if each.plan is not None and each.frequency_cpm is not None and each.line_cpm is not None:
                of = (each.card.club, each.plan.playing_length_in, each.frequency_cpm, each.line_cpm)
                clubs.append(OffLine(*of, self.tolerances.frequency_cpm))
        return LineReport(line, tuple(clubs), group.name if len(self.groups) > 1 else "")

    @property
    def whole_set(self) -> str:
        """What is off about the set, or all clubs of one shaft and flex, as a whole; empty if nothing is."""
        return " ".join(filter(None, map(self._whole, self.groups)))

    def blocks(self, club: ClubCheck) -> bool:
        """Return whether a club must not be cut yet: it stops, or all clubs of its shaft and flex are off together."""
        beside = (group for group in self.groups for place in group.places if self.clubs[place] is club)
        return club.verdict.stops or any(map(self._whole, beside))

    def _whole(self, group: LineGroup) -> str:
        shift, clubs = group.shift_cpm, [self.clubs[place] for place in group.places]
        if shift is None or abs(shift) <= self.tolerances.frequency_cpm:
            return ""
        if group.line is None and not all(club.verdict.stops for club in clubs):
            return ""  # the few clubs are compared with the schedule one by one, and one of them agrees
        which = "The whole set is" if len(self.groups) == 1 else f"The clubs on {group.name}, are all"
        if len(self.groups) > 1 and len(clubs) == 1:
            return ""  # what its own finding says already
        bores = [club.bore.bore.off_in for club in clubs if club.bore is not None]
        heads = ""
        if 2 * len(bores) > len(clubs):
            off = float(np.median(bores))
            heads = f" Their heads have {say_in(abs(off))} {'more' if off > 0 else 'less'} BBGL than the reference."
        return (
            f"{which} {say_side(shift)} than the schedule's own clubs: was one mistake made for all "
            f"of them (flex row, shaft, scale)?{heads}"
        )


def double_check(built: SetBuild, tolerances: CheckTolerances | None = None) -> SetCheck:
    """Answer, before the saw, whether each club of a planned set may be cut as planned; see :func:`check_cards`.

    tolerances: None for the shop's own, and the usual ones where it has none.
    """
    tolerances = tolerances or CheckTolerances.of_shop(built.order.shop)
    return check_cards([card_of(club.plan, club.assembly) for club in built.clubs], tolerances)


def check_cards(cards: Sequence[BenchCard], tolerances: CheckTolerances | None = None) -> SetCheck:
    """Answer, before the saw, whether each club may be cut as its card says, and if not, the most likely reason.

    cards: what is about to be cut. tolerances: None for the usual ones. deviation = f(card) - bend - line(L), where L
    is the playing length that is wanted; the line is a repeated median (:func:`trimkit.check.setline.fit_line`) through
    the clubs on the same shaft in the same flex. With fewer than four of them: deviation = f(card) - f(the schedule's
    own club). Raises ModelError if there is no card.
    """
    if not cards:
        raise ModelError("no card", "one card or more", "give the cards of the set")
    tolerances = tolerances or CheckTolerances()
    plans = [_plan(card) for card in cards]
    faults = [_consistency(card, plan, tolerances) for card, plan in zip(cards, plans, strict=True)]
    cpm = [_frequency(card) for card in cards]
    lengths = [
        card.playing_length_in if isinstance(plan, TrimRefused) else plan.playing_length_in
        for card, plan in zip(cards, plans, strict=True)
    ]
    groups, asked = line_groups(cards, plans, lengths, cpm)
    steps = {place: group.soft_steps for group in groups for place in group.places}
    rule_cards = [
        None if isinstance(plan, TrimRefused) else card_of(plan, card.assembly)
        for card, plan in zip(cards, plans, strict=True)
    ]
    clubs = []
    for number, (card, plan) in enumerate(zip(cards, plans, strict=True)):
        others = [rule for at, rule in enumerate(rule_cards) if rule is not None and at != number]
        judged = cpm[number], asked[number], faults[number], others, steps[number]
        clubs.append(_check(card, plan, *judged, tolerances))
    return SetCheck(tuple(clubs), groups, tolerances)


def _plan(card: BenchCard) -> TrimPlan | TrimRefused:
    try:
        return plan_club(card.wanted)
    except TrimRefused as refusal:
        return refusal


def _consistency(
    card: BenchCard, plan: TrimPlan | TrimRefused, tolerances: CheckTolerances
) -> tuple[Disagreement, ...]:
    if isinstance(plan, TrimRefused):
        refused = Disagreement(
            Check.RULE, np.inf, 0.0, "in", f"The rules refuse this club: {plan.given}.", plan.next_step
        )
        return (refused, *consistency(card, None, tolerances))
    return consistency(card, plan, tolerances)


def _frequency(card: BenchCard) -> float | None:
    try:
        return club_frequency_cpm(card)
    except BenchError:
        return None


def _check(
    card: BenchCard,
    plan: TrimPlan | TrimRefused,
    cpm: float | None,
    line_cpm: float | None,
    faults: tuple[Disagreement, ...],
    others: Sequence[BenchCard],
    usual_steps: int,
    tolerances: CheckTolerances,
) -> ClubCheck:
    if isinstance(plan, TrimRefused):
        return ClubCheck(card, None, cpm, None, line_cpm, None, faults, refused_causes(card), tolerances)
    try:
        predicted = build_club(plan, card.assembly).predicted
    except ModelError:
        return ClubCheck(card, plan, cpm, None, line_cpm, None, faults, (), tolerances)
    rule_cpm, scale, bore = None, None, None
    if predicted is not None:
        rule_cpm, scale, bore = predicted.frequency_cpm, predicted.flex_scale, predicted.bore
    findings = [*faults, *off_rule(card, plan, tolerances.cut_in)]
    rule_missed = any(finding.check is Check.RULE for finding in findings)
    checked = ClubCheck(card, plan, cpm, rule_cpm, line_cpm, scale, (), (), tolerances, bore)
    off_cpm = checked.deviation_cpm or 0.0
    line_missed = abs(off_cpm) > tolerances.frequency_cpm + 1e-9
    off_bore = list[Disagreement]()
    if bore is not None and cpm is not None and not rule_missed:
        off_bore += off_reference(card, plan, cpm, bore, usual_steps, tolerances.frequency_cpm)
    if line_missed or off_bore:
        checked = replace(checked, undecided_cpm=undecided_cpm(card, plan, bore, usual_steps))
    if line_missed:
        explained = replace(checked, findings=tuple(off_bore)).explained and not findings
        findings.insert(0, off_line(card, off_cpm, checked.to_line, tolerances.frequency_cpm, explained))
    findings += off_bore
    causes: tuple[Cause, ...] = ()
    if rule_missed or (cpm is None and predicted is not None):
        causes = cutting_causes(card, plan, others)
    elif (line_missed or off_bore) and line_cpm is not None:
        wrong_parts = parts_causes(card, plan, line_cpm, bore, tolerances.frequency_cpm)
        causes = (*on_purpose(plan, bore, usual_steps), *wrong_parts)
    else:
        off_rung = next((finding for finding in findings if finding.check is Check.LADDER), None)
        causes = () if off_rung is None else ladder_causes(card, off_rung.tolerance)
    return replace(checked, findings=tuple(findings), causes=causes)
