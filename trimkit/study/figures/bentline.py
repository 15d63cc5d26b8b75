"""Figure: ten clubs, all cut right, against a straight line, and the set's line, bent where the schedule bends."""

from __future__ import annotations

from trimkit.check.ownline import own_line, schedule_clubs_cpm
from trimkit.check.setline import SET_TOLERANCE_CPM, fit_line
from trimkit.club.card import card_of
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.units import signed
from trimkit.study.figures.set import Picture, short_name
from trimkit.study.frame.style import ALLOWED_BAND, NOW, SERIES, styled_figure


def bent_line_picture() -> Picture:
    """Draw how far the demo set's clubs lie off a straight median line (cpm), the double check's own line among them.

    The zero line is the straight one. The bent one is :func:`trimkit.check.ownline.own_line`, as the double check asks.
    """
    clubs = build_set(shipped_order()).clubs
    plans = [club.plan for club in clubs]
    length, cpm = [plan.playing_length_in for plan in plans], [club.frequency_cpm for club in clubs]
    straight = [fit_line(length, cpm).at_cpm(each) for each in length]
    schedule = schedule_clubs_cpm([card_of(each.plan, each.assembly) for each in clubs], plans)
    asked = [each for each in own_line(length, cpm, schedule).asked_cpm if each is not None]
    off = {plan.club: each - line for plan, each, line in zip(plans, cpm, straight, strict=True)}
    off_bent = {plan.club: each - line for plan, each, line in zip(plans, cpm, asked, strict=True)}
    bent = [line - flat for line, flat in zip(asked, straight, strict=True)]
    band, pen = SET_TOLERANCE_CPM, SERIES[1]
    with styled_figure(9.8, 4.4) as figure:
        axes = figure.add_subplot()
        axes.axhspan(-band, band, facecolor=ALLOWED_BAND, alpha=0.2, edgecolor=ALLOWED_BAND)
        axes.axhline(0, color="#333333", linewidth=1.5, label=f"straight line ±{band:g} cpm")
        axes.plot(range(len(bent)), bent, color=pen.colour, linestyle=pen.dash, linewidth=2.0, label="bent line")
        axes.plot(range(len(off)), list(off.values()), **NOW.mark(9), label="the clubs")
        axes.set(xlim=(-0.5, len(off) - 0.5), ylim=(-4, 4), ylabel="off the straight line (cpm)")
        axes.set_xticks(range(len(off)), [short_name(club) for club in off])
        axes.set_xlabel("clubs, longer ones on the left")
        axes.grid(visible=False, axis="x")
        at = [*off].index("9-iron")
        axes.annotate(
            signed(off["9-iron"], 1), (at, off["9-iron"]), (0, 9), textcoords="offset points", ha="center", fontsize=12
        )
        axes.legend(loc="lower left", fontsize=12, frameon=False, ncols=3)
    worst = max(off_bent, key=lambda club: abs(off_bent[club]))
    return Picture(
        figure,
        "All ten clubs are cut right: two hybrids, six irons, two wedges. "
        f"The 9-iron is {signed(off['9-iron'], 1)} cpm off the straight line, and "
        f"{signed(off_bent['9-iron'], 1)} cpm off the bent one. Farthest off the bent line is the {worst}, "
        f"{signed(off_bent[worst], 1)} cpm.",
    )
