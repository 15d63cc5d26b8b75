"""What the order decides for a club that takes it off the set's line on purpose, and whether that explains how far.

A decision explains a club if the same club without it would lie on the line. Standing: derived, by the mechanics.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from trimkit.check.wrongcuts import Cause
from trimkit.club.boreworth import BoreWorth, at_bbgl
from trimkit.club.card import BenchCard, on_other_raw_length
from trimkit.club.clamp import frequencies_cpm, frequency_cpm
from trimkit.parts.errors import BenchError
from trimkit.parts.units import say_in
from trimkit.trim.bore import BoreChoice
from trimkit.trim.equivalence import usual_way
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.stepping import RawFamily, say_step


def on_purpose(plan: TrimPlan, bore: BoreWorth | None, usual_steps: int) -> tuple[Cause, ...]:
    """Return the decisions in the order that take a club off the line, each as its cause; raises nothing.

    bore: what a taper-tip head off its BBGL reference is worth. usual_steps: by how many soft steps the clubs beside it
    are stepped.
    """
    return tuple(Cause(f"decided in the order: {what}", 0.0, 0.0) for what in _decided(plan, bore, usual_steps))


def _decided(plan: TrimPlan, bore: BoreWorth | None, usual_steps: int) -> Iterable[str]:
    decisions = plan.wanted.decisions
    if bore is not None and decisions.bore is not BoreChoice.CORRECT:
        yield f"its BBGL {bore.bore.amount}, {bore.effect}"
    if isinstance(plan.wanted.table, RawFamily) and plan.wanted.soft_steps != usual_steps:
        yield f"{say_step(plan.wanted.soft_steps)}, where most of the set has {say_step(usual_steps)}"
    if plan.bbgl_uncorrected_in:
        yield f"{say_in(abs(plan.bbgl_uncorrected_in))} of the bore's correction left out"
    if decisions.trim_as is not None and decisions.trim_as is not usual_way(plan.wanted.head):
        yield f"placed {decisions.trim_as.value}, as a {plan.equivalent}"


def undecided_cpm(card: BenchCard, plan: TrimPlan, bore: BoreWorth | None, usual_steps: int) -> float | None:
    """Answer what frequency (cpm) a club would have without what the order decides for it.

    Stepped as the clubs beside it, placed the usual way, its bore corrected; a taper-tip head that was left off its
    BBGL reference at that reference. Where the shaft has nothing left to take the correction back, f = f(as cut) -
    [f(as cut + left) - f(as cut)], left the correction that is missing, in: the same inches on the other side. Returns
    None if the order decides nothing of that, or if such a club cannot be cut.
    """
    if not on_purpose(plan, bore, usual_steps):
        return None
    wanted, left = plan.wanted, plan.bbgl_uncorrected_in
    if isinstance(wanted.table, RawFamily):
        wanted = wanted.stepped(usual_steps)
    plain = replace(wanted, decisions=replace(wanted.decisions, trim_as=None))
    try:
        try:
            usual = plan_club(replace(plain, decisions=replace(plain.decisions, bore=BoreChoice.CORRECT)))
            mirrored_in = 0.0
        except BenchError:
            usual = plan_club(plain)
            mirrored_in = abs(left)
        made = on_other_raw_length(card, usual)
        if bore is not None and wanted.decisions.bore is not BoreChoice.CORRECT:
            made = at_bbgl(made, bore.bore.reference_in)
        if not mirrored_in:
            return frequency_cpm(made)
        own, further = frequencies_cpm([made], {"tip_trim_in": [[0.0], [mirrored_in]]})[:, 0].tolist()
        return float(2 * own - further)
    except BenchError:
        return None
