"""What one step of a taper tip is worth: the trade's quarter, or third, of a flex beside the mechanics, club by club.

A taper-tip family has one flex. Where its maker sells the same raw lengths in the next flex, the gap between the two in
one club says what a flex is there (:func:`family_gaps_cpm`). Without it two stand-ins are used and named: one stated
figure (:data:`trimkit.club.flexscale.CPM_PER_FLEX`, derived from three drivers; users set their own), and the gap
between two flexes of a parallel-tip master at the same clubs.

The shipped family (invented) gives 3.2 to 3.8 cpm for a soft step: 0.23 to 0.28 of a flex of 13.75 cpm, near the
quarter; 0.32 to 0.35 of R to S of the shipped master, near the third; 0.33 to 0.35 of its own gap from R to A, which is
invented too (`tests/check/test_stepworth.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trimkit.club.card import card_of, on_other_raw_length
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.flexscale import CPM_PER_FLEX
from trimkit.club.set import SetBuild
from trimkit.parts.components import TipKind
from trimkit.parts.errors import ModelError, TrimRefused
from trimkit.trim.plan import plan_club
from trimkit.trim.stepping import OTHERS_FLEX_PER_STEP, flex_shift


@dataclass(frozen=True)
class StepWorth:
    """One club of a taper-tip set, stepped.

    step: + soft, - hard. unstepped_cpm, stepped_cpm: by the mechanics. rule_flexes: by common practice, a quarter of a
    flex a step (others say a third: third_cpm). cpm_per_flex: what counts as one flex, cpm; yardstick: where that comes
    from.
    """

    club: str
    step: int
    unstepped_cpm: float
    stepped_cpm: float
    rule_flexes: float
    cpm_per_flex: float
    yardstick: str

    @property
    def change_cpm(self) -> float:
        """What stepping changes by the mechanics, cpm."""
        return self.stepped_cpm - self.unstepped_cpm

    @property
    def mechanics_flexes(self) -> float:
        """The same in flexes, by the yardstick."""
        return self.change_cpm / self.cpm_per_flex

    @property
    def rule_cpm(self) -> float:
        """What the rule's fraction of a flex comes to, cpm by the yardstick."""
        return self.rule_flexes * self.cpm_per_flex

    @property
    def third_cpm(self) -> float:
        """What the third of a flex that others say comes to, cpm by the yardstick."""
        return flex_shift(self.step, OTHERS_FLEX_PER_STEP) * self.cpm_per_flex

    @property
    def difference_cpm(self) -> float:
        """Mechanics minus rule (the quarter), cpm: negative where a soft step softens more than the rule says."""
        return self.change_cpm - self.rule_cpm


def flex_gaps_cpm(built: SetBuild, softer: str, stiffer: str) -> dict[str, float]:
    """Return the gap (cpm) between two flexes of a set's shaft, at each club that can be cut to both.

    By the mechanics, from the shaft's own schedule at the same club, head and length: f(stiffer) - f(softer). Raises
    ModelError if no club has both flexes.
    """
    gaps = {}
    for club in built.clubs:
        scale = dict(zip(club.flex_scale.flexes, club.flex_scale.frequency_cpm, strict=True))
        if softer in scale and stiffer in scale:
            gaps[club.plan.club] = scale[stiffer] - scale[softer]
    if not gaps:
        raise ModelError(
            f"flexes {softer} and {stiffer} of shaft {_say_shafts(built)}",
            "two flexes that a club of the set can be cut to",
            "choose two of " + ", ".join(dict.fromkeys(flex for shaft in built.order.shafts for flex in shaft.flexes)),
        )
    return gaps


def family_gaps_cpm(softer: SetBuild, stiffer: SetBuild) -> dict[str, float]:
    """Return the gap (cpm) between two taper-tip families, at each club that is in both sets.

    softer, stiffer: one order on either family, stepped alike. By the beam: f(stiffer) - f(softer), same club, head and
    length. Raises ModelError if the sets have no club in common.
    """
    cpm = {club.plan.club: club.frequency_cpm for club in softer.clubs}
    gaps = {club.plan.club: club.frequency_cpm - cpm[club.plan.club] for club in stiffer.clubs if club.plan.club in cpm}
    if not gaps:
        clubs = ", ".join(club.plan.club for club in stiffer.clubs)
        raise ModelError(f"sets of {', '.join(cpm)} and of {clubs}", "a club in both", "build both from one order")
    return gaps


def step_worth(
    built: SetBuild,
    step: int,
    cpm_per_flex: float | Mapping[str, float] = CPM_PER_FLEX,
    yardstick: str = "one stated figure",
) -> tuple[StepWorth, ...]:
    """Answer what a step is worth for every taper-tip club of a set whose family has the raw length for it.

    built: a set on taper tips, stepped or not. step: +1 for one soft step, -1 for one hard step.
    cpm_per_flex: one figure, or one for each club (:func:`family_gaps_cpm`, :func:`flex_gaps_cpm`); clubs without one
    are left out.
    change = f(stepped) - f(unstepped), same head and length. The rule: -1/4 flex a soft step, others say -1/3:
    common practice, no source. Raises ModelError for a parallel tip, for no step, and for a figure that is not more
    than 0.
    """
    tapers = [club for club in built.clubs if club.plan.wanted.shaft.tip_kind is TipKind.TAPER]
    if not tapers or step == 0:
        raise ModelError(
            f"{step} step(s) of shaft {_say_shafts(built)}",
            "1 step or more of a taper tip",
            "choose a taper-tip set",
        )
    rows = []
    for club in tapers:
        flex = cpm_per_flex.get(club.plan.club) if isinstance(cpm_per_flex, Mapping) else cpm_per_flex
        if flex is None:
            continue
        if not flex > 0:
            raise ModelError(f"{flex} cpm per flex", "more than 0 cpm", "state what counts as one flex")
        try:
            plans = [plan_club(club.plan.wanted.stepped(each)) for each in (0, step)]
        except TrimRefused:
            continue
        own = card_of(club.plan, club.assembly)
        plain, stepped = frequencies_cpm([on_other_raw_length(own, plan) for plan in plans])
        worth = StepWorth(club.plan.club, step, float(plain), float(stepped), flex_shift(step), flex, yardstick)
        rows.append(worth)
    return tuple(rows)


def _say_shafts(built: SetBuild) -> str:
    return ", ".join(repr(shaft.name) for shaft in built.order.shafts)
