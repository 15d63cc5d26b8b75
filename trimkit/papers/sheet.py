"""The sheet of a set: one self-contained HTML page to print, in three parts that each start on a new sheet of paper.

A page for the client, in plain words (:mod:`trimkit.papers.clientwords`); a bench card for the saw; an appendix with
the source, standing and assumptions of every number (:mod:`trimkit.papers.appendix`). Each part has its own template.
"""

from __future__ import annotations

import itertools

import trimkit
from trimkit.check.doublecheck import ClubCheck, SetCheck, double_check
from trimkit.club.set import SetBuild
from trimkit.papers import cautions, equipmentrules
from trimkit.papers.appendix import STANDINGS, WORDS, assumptions, stated_figures
from trimkit.papers.clientwords import client_reason, cut_drawing
from trimkit.parts.components import TipKind
from trimkit.parts.plaintext import shown
from trimkit.parts.units import millimetres, nearest_mark, quantity, signed
from trimkit.trim.steps import StepKind, TrimStep

DIVISIONS = 16


def mark(exact_in: float) -> str:
    """Return a length (in) as the nearest mark of the ruler, for the saw; the sheet says that it is the nearest.

    >>> mark(3.97)
    '4 in'
    """
    return nearest_mark(exact_in, DIVISIONS).mark


def mark_parts(exact_in: float) -> tuple[str, str]:
    """Return a length's nearest mark (in) as whole inches and fraction, to print them apart; either may be empty.

    >>> mark_parts(3.97), mark_parts(1.44), mark_parts(-0.25)
    (('4', ''), ('1', '7/16'), ('', '−1/4'))
    """
    *whole, last = mark(exact_in).removesuffix(" in").split(" ")
    return (" ".join(whole), last) if "/" in last else (last, "")


def exact(exact_in: float) -> str:
    """Return a length in decimals, in millimetres, and what the nearest mark adds to it.

    >>> exact(3.97)
    '3.970 in, 100.8 mm; mark +0.030 in'
    >>> exact(2.5)
    '2.500 in, 63.5 mm'
    """
    error = nearest_mark(exact_in, DIVISIONS).error_in
    mark = f"; mark {signed(error, 3)} in" if abs(error) >= 0.0005 else ""
    return f"{quantity(exact_in, 'in')}, {millimetres(exact_in)}{mark}"


def step_inches(step: TrimStep) -> str:
    """Return the inches of a step as the sheet shows them; corrections carry their sign."""
    if step.kind is StepKind.CLUB:
        return ""
    sign = "+" if step.kind in (StepKind.FLEX, StepKind.BORE) else ""
    return quantity(step.inches, "in", 3, sign)


def frequency_sentence(built: SetBuild) -> str:
    """Return the set's frequencies in one sentence, for the figure's caption and for a screen reader.

    Of the clubs that have a prediction; why there is none, if no club has one.
    """
    known = [club for club in built.clubs if club.predicted is not None]
    if not known:
        return f"No frequency is predicted: {built.clubs[0].no_prediction}."
    first, last = known[0], known[-1]
    return (
        f"The frequency rises from {first.frequency_cpm:.1f} cpm ({first.plan.club}, "
        f"{first.plan.playing_length_in:.2f} in) to {last.frequency_cpm:.1f} cpm ({last.plan.club}, "
        f"{last.plan.playing_length_in:.2f} in)."
    )


def blocked(check: SetCheck, club: ClubCheck) -> bool:
    """Return whether a club must not be cut yet: its numbers disagree, or something is wrong with the whole set."""
    return bool(check.whole_set) or club.verdict.stops


def sheet_html(built: SetBuild, figure_svg: str) -> str:
    """Return the whole page as text, without scripts or links to fetch; words from orders and data files are escaped.

    figure_svg: an inline SVG made by this package's own figures, inserted as it is; empty for no figure.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    order = built.order
    check = double_check(built)
    looked_at = [equipmentrules.rule_flags(club.plan) for club in built.clubs]
    environment = Environment(
        loader=PackageLoader("trimkit.papers", "."),
        autoescape=True,
        finalize=lambda value: shown(value) if type(value) is str else value,
        undefined=StrictUndefined,
        trim_blocks=True,
    )
    return environment.get_template("sheet.html.j2").render(
        order=order,
        clubs=built.clubs,
        taper=order.shaft.tip_kind is TipKind.TAPER,
        check=check,
        checked=tuple(zip(built.clubs, check.clubs, strict=True)),
        blocked=blocked,
        cautions=cautions.cautions_for(order.shaft.material),
        cautions_decided_by=cautions.WHO_DECIDES,
        rules_decided_by=equipmentrules.WHO_DECIDES,
        looked_at=looked_at,
        raised=equipmentrules.raised_together(itertools.chain.from_iterable(looked_at)),
        assumptions=assumptions(built),
        stated=stated_figures(built, check.tolerances),
        standings=STANDINGS,
        words=WORDS,
        client_reason=client_reason,
        cut_drawing=Markup(cut_drawing(built.clubs[0].plan)),  # escaped where it is made
        figure_svg=Markup(figure_svg),  # our own figure; matplotlib escapes its texts
        figure_sentence=frequency_sentence(built),
        divisions=DIVISIONS,
        mark=mark,
        mark_parts=mark_parts,
        millimetres=millimetres,
        exact=exact,
        step_inches=step_inches,
        version=trimkit.__version__,
    )
