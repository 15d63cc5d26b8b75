"""What is said of a club off its line, off its BBGL reference or off the rule: by how much, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable

from trimkit.check.consistency import Check, Disagreement
from trimkit.check.inverse import TargetTrim, nearest_raw_length
from trimkit.club.boreworth import BoreWorth, at_bbgl
from trimkit.club.card import BenchCard, on_other_raw_length
from trimkit.club.clamp import frequency_cpm
from trimkit.parts.errors import TrimRefused
from trimkit.parts.units import say_in
from trimkit.trim.bore import BoreChoice
from trimkit.trim.plan import TrimPlan, plan_club


def say_side(cpm: float) -> str:
    """Return a difference in frequency (cpm) in words.

    >>> say_side(2.04), say_side(-3.0)
    ('2.0 cpm stiffer', '3.0 cpm softer')
    """
    return f"{abs(cpm):.1f} cpm {'stiffer' if cpm > 0 else 'softer'}"


def off_line(
    card: BenchCard, deviation_cpm: float, to_line: TargetTrim | None, tolerance_cpm: float, explained: bool
) -> Disagreement:
    """Return the finding for a club off its line.

    deviation_cpm: cpm, + too stiff. to_line: the tip trim that would put it on the line; None if it is not known.
    explained: whether what the order decides is all that takes it off the line.
    """
    text = f"By the beam calculation it would be {say_side(deviation_cpm)} than the set's line calls for."
    if to_line is None:
        step = "find the mistake before cutting"
    elif to_line.met:
        step = f"find the mistake; {say_in(abs(to_line.change_in))} {'more' if to_line.change_in > 0 else 'less'} off "
        step += "the tip would put it on the line"
    else:
        step = f"find the mistake; no tip trim puts it on the line ({to_line.limit})"
        step += _say_raw_length(card, to_line)
    why = card.wanted.decisions.why.strip()
    if explained and why:
        step = f"cut it as the order decides ({why})"
    elif explained:
        step = f"the order decides it: write the reason there (why) and it may be cut so; without one, {step}"
    return Disagreement(Check.LINE, deviation_cpm, tolerance_cpm, "cpm", text, step)


def _say_raw_length(card: BenchCard, to_line: TargetTrim) -> str:
    """Return in words which raw length of a taper-tip family comes nearest to the line; '' for a parallel tip."""
    raw = nearest_raw_length(card, to_line.target_cpm)
    if raw is None:
        return ""
    if raw.row.raw_length_in == card.raw_length_in:
        return ": no other raw length of the family comes nearer"
    left = raw.frequency_cpm - to_line.target_cpm
    return f": the {raw.row.club}'s, {say_in(raw.row.raw_length_in)}, comes nearest, {say_side(left)}"


def off_reference(
    card: BenchCard, plan: TrimPlan, cpm: float, bore: BoreWorth, usual_steps: int, tolerance_cpm: float
) -> Iterable[Disagreement]:
    """Yield the finding for a taper-tip head whose BBGL moves its club further than allowed (cpm).

    Off its reference, a taper tip cannot be trimmed back. change = f(card) - f(the same club, stepped as those beside
    it, its head at the reference): another raw length taken to make up for it counts. One of two clubs this way off
    moves the line between them, so the line alone may miss it. Raises ModelError if a frequency cannot be computed.
    """
    meant = card
    if plan.wanted.soft_steps != usual_steps:
        try:
            meant = on_other_raw_length(card, plan_club(plan.wanted.stepped(usual_steps)))
        except TrimRefused:
            return  # its raw length ran out: nothing to compare it with
    change_cpm = cpm - frequency_cpm(at_bbgl(meant, bore.bore.reference_in))
    if abs(change_cpm) <= tolerance_cpm + 1e-9:
        return
    text = f"The head's BBGL is {say_in(bore.bore.bbgl_in)}, {bore.bore.amount}: it makes the club {bore.effect}."
    step, why = bore.bore.remedy, card.wanted.decisions.why.strip()
    if card.wanted.decisions.bore is not BoreChoice.CORRECT:
        step = f"cut it as the order decides ({why})" if why else "the order decides it: write the reason there (why)"
    yield Disagreement(Check.REFERENCE, change_cpm, tolerance_cpm, "cpm", text, step)


def off_rule(card: BenchCard, plan: TrimPlan, tolerance_in: float) -> Iterable[Disagreement]:
    """Yield the findings for cuts that are further off the rule's than allowed (in)."""
    for what, own, rule in (
        ("tip trim", card.tip_trim_in, plan.tip_trim_in),
        ("cut length", card.cut_length_in, plan.cut_length_in),
    ):
        if not abs(own - rule) <= tolerance_in + 1e-9:
            text = f"The card's {what} is {own:.3f} in, the rule's {rule:.3f} in."
            step = "work the cut out again from the parts in hand"
            yield Disagreement(Check.RULE, own - rule, tolerance_in, "in", text, step)
