"""The figure of shafts assigned to heads."""

from __future__ import annotations

from trimkit.parts.errors import ModelError
from trimkit.shop.assignment import Assignment
from trimkit.study.figures.set import Picture, short_name
from trimkit.study.frame.style import ALLOWED_BAND, NOW, REFERENCE, styled_figure


def assignment_picture(before: Assignment, after: Assignment, tolerance_cpm: float) -> Picture:
    """Draw every club's deviation from its target (cpm) with two assignments, and the tolerance as a band.

    tolerance_cpm: either way. Raises ModelError if the two are of different clubs.
    """
    if before.matrix.plans != after.matrix.plans:
        raise ModelError("two assignments of different clubs", "two of the same set", "compare like with like")
    names = [short_name(plan.club) for plan in after.matrix.plans]
    with styled_figure(8.2, 4.4) as figure:
        axes = figure.add_subplot()
        axes.axhspan(-tolerance_cpm, tolerance_cpm, color=ALLOWED_BAND, alpha=0.15)
        for edge in (-tolerance_cpm, tolerance_cpm):
            axes.axhline(edge, color=ALLOWED_BAND, linewidth=1.0)
        axes.axhline(0, color="black", linewidth=0.8)
        for place, (start, end) in enumerate(zip(before.deviation_cpm, after.deviation_cpm, strict=True)):
            axes.plot([place, place], [start, end], color="#999999", linewidth=1.2)
        for assignment, pen in ((before, REFERENCE), (after, NOW)):
            label = f"{assignment.how}: {assignment.rms_cpm:.1f} cpm rms"
            axes.plot(range(len(names)), assignment.deviation_cpm, **pen.mark(9), label=label)
        axes.set_xticks(range(len(names)), names)
        axes.set_xlabel("club, in the order's order")
        axes.set_ylabel("frequency less target (cpm)")
        figure.legend(loc="outside upper center", ncols=2, frameon=False)
    kept = [sum(abs(d) <= tolerance_cpm for d in each.deviation_cpm) for each in (before, after)]
    sentence = (
        f"{len(after.chosen)} clubs, how many within {tolerance_cpm:g} cpm of their targets: {before.how} {kept[0]} "
        f"({before.rms_cpm:.1f} cpm rms, worst {before.worst_cpm:.1f}), {after.how} {kept[1]} "
        f"({after.rms_cpm:.1f} cpm rms, worst {after.worst_cpm:.1f})."
    )
    return Picture(figure, sentence)
