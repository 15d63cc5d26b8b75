"""The sheet of a set: one self-contained HTML page to print, in three parts that each start on a new sheet of paper.

A page for the client, in plain words (:mod:`trimkit.papers.clientwords`); a bench card for the saw
(:mod:`trimkit.papers.benchcard`) with its cautions in full behind it; an appendix with the source, standing and
assumptions of every number (:mod:`trimkit.papers.appendix`, :mod:`trimkit.papers.reasons`). Each part has its own
template.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from datetime import date

import trimkit
from trimkit.check.clubcheck import ClubCheck, Verdict
from trimkit.check.consistency import Check
from trimkit.check.doublecheck import SetCheck, double_check
from trimkit.club.set import SetBuild
from trimkit.mechanics.balance import swingweight_text
from trimkit.papers import benchcard, cautions, equipmentrules
from trimkit.papers.appendix import STANDINGS, assumptions, stated_figures, words
from trimkit.papers.clientwords import cut_drawing, flex_words, reasons_together
from trimkit.papers.reasons import SourceKeys, clubs_said, in_marks, notes_together, read_first, reasons, step_of
from trimkit.papers.record.model import Measured
from trimkit.parts.plaintext import shown
from trimkit.parts.units import millimetres, nearest_mark, quantity, signed
from trimkit.trim.steps import StepKind

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


def mark_error(exact_in: float) -> str:
    """Return what the nearest mark adds to a length, in in; empty if the length lies on it.

    >>> mark_error(3.97), mark_error(2.5)
    ('+0.030', '')
    """
    error = nearest_mark(exact_in, DIVISIONS).error_in
    return signed(error, 3) if abs(error) >= 0.0005 else ""


def dash(value: float | str | None, decimals: int = 1) -> str:
    """Return a number with its decimals, or words as they are; a dash for what is not known.

    value: in the unit that its column names, cpm or g.

    >>> dash(327.61), dash("D0.4"), dash(None)
    ('327.6', 'D0.4', '–')
    """
    if value is None:
        return "–"
    return value if isinstance(value, str) else quantity(value, "", decimals)


def frequency_sentence(built: SetBuild) -> str:
    """Return the set's frequencies in one sentence, for a picture's caption and for a screen reader.

    Of the clubs that have a prediction; why there is none, if no club has one.
    """
    known = [club for club in built.clubs if benchcard.predicted(club) is not None]
    if not known:
        return f"No frequency is predicted: {built.clubs[0].no_prediction}."
    first, last = known[0], known[-1]
    way = "rises" if last.frequency_cpm >= first.frequency_cpm else "falls"
    return (
        f"The frequency {way} from {first.frequency_cpm:.1f} cpm ({first.plan.club}, "
        f"{first.plan.playing_length_in:.2f} in) to {last.frequency_cpm:.1f} cpm ({last.plan.club}, "
        f"{last.plan.playing_length_in:.2f} in)."
    )


def blocked(check: SetCheck, club: ClubCheck) -> bool:
    """Return whether a club must not be cut yet: its numbers disagree, or all clubs of its shaft and flex are off."""
    return check.blocks(club)


def check_words(club: ClubCheck) -> str:
    """Return a club's double check in words; how far it is off the set's line only where that stops it."""
    if club.verdict is Verdict.CUT:
        return "agrees"
    if club.verdict is Verdict.CUTS_AGREE:
        return club.verdict.value  # why: in a note, once
    if club.verdict is Verdict.DECIDED:
        return club.verdict_text
    off = club.deviation_cpm
    if off is None or all(found.check is not Check.LINE for found in club.findings):
        return "stop"
    return f"stop: {abs(off):.1f} cpm {'stiffer' if off > 0 else 'softer'} than the set's line"


def sheet_html(
    built: SetBuild,
    figure_svg: str,
    *,
    shop: str = "",
    made_on: date | None = None,
    measured: Sequence[Measured | None] = (),
) -> str:
    """Return the whole page as text, without scripts or links to fetch; words from people are escaped.

    figure_svg: an inline SVG made by this package's own figures, inserted as it is; empty for no figure. shop: the
    shop's name, for the client's page and the card; empty for the one in its own file. made_on: the date on them.
    measured: what the finished clubs measured, a value a club in the order's sequence
    (:func:`trimkit.papers.measured.measured_of`); empty before that.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    check = double_check(built)
    plans, targets = [club.plan for club in built.clubs], benchcard.targets(built)
    looked_at = [equipmentrules.rule_flags(plan) for plan in plans]
    materials = {plan.wanted.shaft.material for plan in plans}
    said = reasons(built.clubs)
    figures, notes = stated_figures(built, check.tolerances), notes_together(built.clubs)
    sources = [source for plan in plans for step in plan.steps for source in step.sources]
    shown_sources = [*sources, *(note.source for note in notes), *(figure.source for figure in figures)]
    shown_sources += [each.source for plan in plans for each in (plan.wanted.head, plan.wanted.grip, plan.wanted.shaft)]
    shown_sources += [flag.source for row in looked_at for flag in row]
    found = {source.standing for source in shown_sources}
    environment = Environment(
        loader=PackageLoader("trimkit.papers", "."),
        autoescape=True,
        finalize=lambda value: shown(value) if type(value) is str else value,
        undefined=StrictUndefined,
        trim_blocks=True,
    )
    return environment.get_template("sheet.html.j2").render(
        title=built.order.title,
        client=built.order.client,
        shop=shop or ("" if built.order.shop is None else built.order.shop.name),
        clamp_words=benchcard.clamp_words(built),
        made_on="" if made_on is None else f"{made_on.day} {made_on:%B %Y}",
        groups=benchcard.groups(built.clubs),
        clubs=built.clubs,
        targets=targets,
        flex_words=flex_words([*(str(plan.flex) for plan in plans), *(each.flex or "" for each in targets)]),
        wanted_swingweight=benchcard.wanted_swingweights(built),
        measured=[*measured, *[None] * (len(built.clubs) - len(measured))],
        no_prediction=benchcard.NO_PREDICTION,
        check=check,
        checked=tuple(zip(built.clubs, check.clubs, strict=True)),
        blocked=blocked,
        check_words=check_words,
        cautions=cautions.cautions_for(*materials),
        in_short=cautions.IN_SHORT,
        cautions_decided_by=cautions.WHO_DECIDES,
        rules_decided_by=equipmentrules.WHO_DECIDES,
        raised=equipmentrules.raised_together(itertools.chain.from_iterable(looked_at)),
        passed=equipmentrules.passed_together(itertools.chain.from_iterable(looked_at)),
        assumptions=assumptions(built),
        stated=figures,
        standings={standing: meaning for standing, meaning in STANDINGS.items() if standing in found},
        words=words(built),
        client_reasons=reasons_together(plans),
        cut_drawing=Markup(cut_drawing(plans[0])),  # escaped where it is made
        figure_svg=Markup(figure_svg),  # our own figure; matplotlib escapes its texts
        kinds=StepKind,
        reasons=said,
        notes=notes,
        read_first=read_first(notes),
        keys=SourceKeys(sources),
        part_keys=SourceKeys(plan.wanted.head.source for plan in plans),
        shafts=list({plan.wanted.as_new.shaft.name: plan.wanted.as_new.shaft for plan in plans}.values()),
        grips=list({plan.wanted.grip.name: plan.wanted.grip for plan in plans}.values()),
        step_of=step_of,
        clubs_said=clubs_said,
        in_marks=in_marks,
        divisions=DIVISIONS,
        mark=mark,
        mark_parts=mark_parts,
        mark_error=mark_error,
        millimetres=millimetres,
        swingweight_text=swingweight_text,
        exact=exact,
        dash=dash,
        version=trimkit.__version__,
    )
