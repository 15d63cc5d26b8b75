"""The same club on two neighboring raw shafts of a taper-tip family, one above the other, before the saw.

x: inches from the tip, the same for both, so that every step of the longer raw length lies to the right of its partner.
"""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.patches import Polygon

from trimkit.club.profiles import sections_at_raw_length
from trimkit.parts.components import TubeSection
from trimkit.parts.units import nearest_mark, ruled, say_number
from trimkit.study.figures.callouts import INK, WORDS, bare_axes, dimension_line, draw_pieces, measure
from trimkit.study.figures.set import Picture
from trimkit.study.frame.style import NOW, REFERENCE, REFUSED, SERIES, styled_figure
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.stepping import RawFamily, say_step

OWN_AT, STEPPED_AT = 1.0, -1.0
"""Heights of the axes of the two shafts."""
ACROSS = 1.2
"""How many heights an inch of diameter has."""
FILLS = {OWN_AT: REFERENCE.colour, STEPPED_AT: NOW.colour}
"""The club's own raw length gray and the other blue, as in the lab."""
WASTE = SERIES[2].colour


def raw_pair_picture(plan: TrimPlan) -> Picture:
    """Return the drawing of a stepped taper-tip club's raw shaft under the club's own, and the sentence under it.

    The whole shafts with every step joined to its partner; then both ends larger. Lengths along the shaft are to scale,
    widths are not. Raises what :func:`trimkit.trim.plan.plan_club` raises for the unstepped club.
    """
    plans = {OWN_AT: plan_club(plan.wanted.stepped(0)), STEPPED_AT: plan}
    with styled_figure(8.2, 6.2) as figure:
        axes = figure.subplot_mosaic([["whole", "whole"], ["head", "grip"]], height_ratios=(1.25, 1.0))
        bare_axes(*axes.values())
        for each in axes.values():
            for height, shaft in plans.items():
                _draw_shaft(each, shaft, height)
        _say_whole(axes["whole"], plans)
        _say_head_end(axes["head"], plans)
        _say_grip_end(axes["grip"], plans)
    return Picture(figure, _sentence(plans[OWN_AT], plan))


def raw_steps(plan: TrimPlan) -> list[float]:
    """Return how far each step of a taper-tip club's raw shaft is from its tip, in, the one nearest the tip first."""
    return [section.from_tip_in for section in _above_the_first_step(plan)]


def _above_the_first_step(plan: TrimPlan) -> tuple[TubeSection, ...]:
    shaft = plan.wanted.shaft
    below = sum(section.to_tip_in <= shaft.tip_section_in + 1e-9 for section in shaft.sections)
    return sections_at_raw_length(shaft, plan.raw_length_in)[below:]


def _draw_shaft(axes: Axes, plan: TrimPlan, height: float) -> None:
    first, tip = raw_steps(plan)[0], plan.wanted.shaft.sections[0]
    thin, thick = (ACROSS * each / 2 for each in (tip.outer_diameter_in, _below_the_first_step(plan)))
    cone = [(0, height - thin), (0, height + thin), (first, height + thick), (first, height - thick)]
    axes.add_patch(Polygon(cone, facecolor=FILLS[height], alpha=0.3))
    axes.add_patch(Polygon(cone, facecolor="none", edgecolor=INK, linewidth=0.8))
    edges = (first, plan.cut_length_in, plan.raw_length_in)
    draw_pieces(axes, _above_the_first_step(plan), edges, height=height, across=ACROSS, fills=(FILLS[height], WASTE))
    saw = plan.cut_length_in
    axes.plot([saw, saw], [height - 0.55, height + 0.55], color=REFUSED, linewidth=2.2)


def _below_the_first_step(plan: TrimPlan) -> float:
    """Outer diameter (in) of the tube just below the first step."""
    shaft = plan.wanted.shaft
    return [each for each in shaft.sections if each.to_tip_in <= shaft.tip_section_in + 1e-9][-1].outer_diameter_in


def _joined(axes: Axes, plans: dict[float, TrimPlan]) -> None:
    """Join each step of the upper shaft to the same step of the lower one."""
    for before, after in zip(*(raw_steps(plan) for plan in plans.values()), strict=True):
        axes.plot([before, after], [OWN_AT - 0.38, STEPPED_AT + 0.38], color="#777777", linewidth=0.9)


def _words(axes: Axes, x: float, y: float, said: str, side: str = "left", colour: str = INK) -> None:
    axes.text(x, y, said, color=colour, fontsize=WORDS, ha=side, va="center")


def _say_whole(axes: Axes, plans: dict[float, TrimPlan]) -> None:
    own, stepped = plans[OWN_AT], plans[STEPPED_AT]
    longest = max(own.raw_length_in, stepped.raw_length_in)
    axes.set(xlim=(-0.6, longest + 0.6), ylim=(-3.2, 2.2))
    axes.set_title(f"Two raw shafts, tip to tip, each about to be cut for a {own.club}", fontsize=12.5)
    _joined(axes, plans)
    _words(
        axes, 7.5, OWN_AT + 0.85, f"no step: the {own.club}'s own raw length, {nearest_mark(own.raw_length_in).text}"
    )
    family = stepped.wanted.table
    assert isinstance(family, RawFamily)
    made_for = family.row(stepped.club, stepped.wanted.soft_steps).club
    raw = nearest_mark(stepped.raw_length_in).text
    said = f"{say_step(stepped.wanted.soft_steps)}: the {made_for}'s raw length, {raw}"
    _words(axes, 7.5, STEPPED_AT - 0.8, said, colour=NOW.colour)
    _words(axes, 0, OWN_AT + 0.85, "head end")
    _words(axes, longest, OWN_AT + 0.85, "grip end", "right")
    _words(axes, own.cut_length_in - 0.25, 0, "saw", "right", REFUSED)
    said = f"cut length {say_number(own.cut_length_in, 2)} in on both"
    measure(axes, said, 0, own.cut_length_in, -2.4, (own.cut_length_in / 2, -2.85))


def _say_head_end(axes: Axes, plans: dict[float, TrimPlan]) -> None:
    """From the tip to the third step, with the first one's place on each shaft."""
    first, _second, third = raw_steps(plans[OWN_AT])[:3]
    axes.set(xlim=(-0.6, third + 1.6), ylim=(-2.6, 2.6))
    axes.set_title("The head end, larger", fontsize=12.5)
    for height, plan in plans.items():
        place, above = raw_steps(plan)[0], height + (0.75 if height > 0 else -0.75)
        dimension_line(axes, 0, place, above)
        said = f"first step: {nearest_mark(place).text}"
        _words(
            axes, place / 2, above + (0.45 if height > 0 else -0.45), said, "center", INK if height > 0 else NOW.colour
        )
    shift = raw_steps(plans[STEPPED_AT])[0] - first
    _words(axes, first - 0.25, 0, f"every step {ruled(abs(shift))}", "right")
    arrow = {
        "arrowstyle": "-|>",
        "color": NOW.colour,
        "linewidth": 2.4,
        "mutation_scale": 16,
        "shrinkA": 0,
        "shrinkB": 0,
    }
    axes.plot([first, first], [OWN_AT - 0.38, -0.3], color=INK, linestyle=":", linewidth=1.1)
    axes.plot([first + shift] * 2, [STEPPED_AT + 0.38, 0.3], color=INK, linestyle=":", linewidth=1.1)
    axes.annotate("", (first + shift, 0), (first, 0), arrowprops=arrow)


def _say_grip_end(axes: Axes, plans: dict[float, TrimPlan]) -> None:
    """The saw cut and what comes off on each shaft."""
    longest, cut = max(plan.raw_length_in for plan in plans.values()), plans[OWN_AT].cut_length_in
    axes.set(xlim=(longest - 8.2, longest + 0.4), ylim=(-2.6, 2.6))
    axes.set_title("The grip end, larger", fontsize=12.5)
    _words(axes, cut - 0.15, 0, "saw", "right", REFUSED)
    for height, plan in plans.items():
        above = height + (0.75 if height > 0 else -0.75)
        dimension_line(axes, cut, plan.raw_length_in, above)
        said = f"butt trim {say_number(plan.butt_trim_in, 2)} in"
        _words(
            axes,
            plan.raw_length_in,
            above + (0.45 if height > 0 else -0.45),
            said,
            "right",
            INK if height > 0 else NOW.colour,
        )


def _sentence(own: TrimPlan, stepped: TrimPlan) -> str:
    shift = raw_steps(stepped)[0] - raw_steps(own)[0]
    return (
        f"A {own.club} from its own raw length, {ruled(own.raw_length_in)}, and one from "
        f"{ruled(stepped.raw_length_in)}, {say_step(stepped.wanted.soft_steps)}. Cut to the same "
        f"{say_number(own.cut_length_in, 2)} in, the second has every step {ruled(abs(shift))} nearer the "
        f"{'grip' if shift > 0 else 'head'}; its butt trim is {say_number(stepped.butt_trim_in, 2)} in instead of "
        f"{say_number(own.butt_trim_in, 2)} in. Lengths are to scale; widths are drawn larger."
    )
