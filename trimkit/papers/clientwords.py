"""Why each shaft is cut where it is, in the client's words: no term of the trade without an explanation."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import NamedTuple

from trimkit.papers.reasons import clubs_said
from trimkit.parts.components import TipKind
from trimkit.parts.plaintext import shown
from trimkit.parts.units import millimetres, nearest_mark, say_number
from trimkit.trim.clubs import with_article
from trimkit.trim.equivalence import EquivalentClub, TrimAs, usual_way
from trimkit.trim.length import GivenLength, LadderLength, ReferenceLength
from trimkit.trim.plan import TrimPlan
from trimkit.trim.taperbore import taper_bore

SMALLEST_SAID_IN = 1 / 16
"""Anything smaller (in) is given in millimetres: its nearest sixteenth would be 0 or too much. Chosen here."""


def plain_length(length_in: float) -> str:
    """Return a length (in) for a sentence, without its sign: the ruler's nearest mark, or millimetres if it is tiny.

    >>> plain_length(-0.5), plain_length(0.02)
    ('1/2 in', '0.5 mm')
    """
    size_in = abs(length_in)
    return millimetres(size_in) if size_in < SMALLEST_SAID_IN else nearest_mark(size_in).mark


def plain_weight(club: EquivalentClub) -> str:
    """Return, for a client, which clubs have a head of this weight.

    >>> plain_weight(EquivalentClub("2-iron", "3-iron", 0.37)), plain_weight(EquivalentClub("8-iron", "8-iron", 0.0))
    ("between a 2-iron's and a 3-iron's", "like an 8-iron's")
    """
    if club.fraction == 0:
        return f"like {with_article(club.longer)}'s"
    return f"between {with_article(club.longer)}'s and {with_article(club.shorter)}'s"


EVERY_TIP = "What comes off the thin end is the cutting table's number, unless a line below says otherwise."
OWN_WHY = "The order says why this club is made as it is."
USUAL_LENGTH = "The lengths are the usual ones of this set."


class ClientReason(NamedTuple):
    """One reason in plain words: a sentence that may hold for several clubs, and what is a club's own in it, or ''."""

    text: str
    own: str = ""


def client_reasons(plan: TrimPlan) -> tuple[ClientReason, ...]:
    """Answer in plain words why one club's shaft is cut where it is: head, thin end, length, thick end.

    A number that stands in the page's table is not said again.
    """
    said = [*_which(plan), *(_taper(plan) if _is_taper(plan) else _thin_end(plan)), _length(plan), *_thick_end(plan)]
    why = plan.wanted.decisions.why.strip()
    if why and not any(f"{why})" in reason.text for reason in said):
        said.append(ClientReason(OWN_WHY, why))
    return tuple(said)


def reasons_together(plans: Sequence[TrimPlan]) -> dict[str, dict[str, str]]:
    """Return every sentence of a set's reasons once, and under it each club's own words with the clubs they hold for.

    Sentences for most clubs come first.
    """
    names = [plan.club for plan in plans]
    together: dict[str, dict[str, list[int]]] = {}
    for place, plan in enumerate(plans):
        for reason in client_reasons(plan):
            together.setdefault(reason.text, {}).setdefault(reason.own, []).append(place)
    most_first = sorted(together.items(), key=lambda each: -sum(map(len, each[1].values())))
    return {text: {own: clubs_said(names, places) for own, places in parts.items()} for text, parts in most_first}


def _is_taper(plan: TrimPlan) -> bool:
    return plan.wanted.shaft.tip_kind is TipKind.TAPER


def _which(plan: TrimPlan) -> list[ClientReason]:
    head, decided = plan.wanted.head, plan.wanted.decisions.trim_as
    way = decided or usual_way(head)
    purpose = "" if decided is None else f" (decided: {plan.wanted.decisions.reason})"
    if way is TrimAs.MASS:
        weight = f"{say_number(head.head_mass_g, 0)} g, {plain_weight(plan.equivalent)}"
        return [ClientReason(f"It is cut for the weight of its head, not for the number on it{purpose}.", weight)]
    return [ClientReason(f"It is cut by the number on the head, not by its weight{purpose}.")] if purpose else []


def _thin_end(plan: TrimPlan) -> list[ClientReason]:
    said = [*_pulled(plan), ClientReason(EVERY_TIP)]
    if plan.between_flexes_in:
        flex = plan.flex
        part = say_number(100 * flex.fraction, 0)
        text = (
            f"The flex ordered is {part} % of the way from {flex.softer} to {flex.stiffer}; for that, more comes off "
            f"the thin end than for {flex.softer}."
        )
        said.append(ClientReason(text, f"{plain_length(plan.between_flexes_in)} more"))
    bore = plan.bbgl_correction_in
    if bore:
        text = "The shaft ends higher or lower in this head than the table expects; that much more or less comes off."
        size = "higher, so as much more" if bore > 0 else "lower, so as much less"
        said.append(ClientReason(text, f"{plain_length(bore)} {size}"))
    left = plan.bbgl_uncorrected_in
    if left:
        text = (
            f"For this head more or less would come off the thin end; it was left out on purpose "
            f"({plan.wanted.decisions.reason}), which moves the flex to what the table shows."
        )
        said.append(ClientReason(text, f"{plain_length(left)} {'more' if left > 0 else 'less'} was left out"))
    return said


def _taper(plan: TrimPlan) -> list[ClientReason]:
    said = _pulled(plan)
    step = plan.wanted.soft_steps
    if step:
        which = "longer" if step > 0 else "shorter"
        places = "the next" if abs(step) == 1 else f"{abs(step)} places"
        text = f"As ordered, it starts with the shaft of {places} {which} club, which moves its flex."
        said.append(ClientReason(text))
    bore = taper_bore(plan.wanted, plan.equivalent, plan.cut_length_in)
    if bore is not None and bore.counts(plan.wanted.practice):
        end = "higher" if bore.off_in > 0 else "lower"
        text = "The shaft ends higher or lower in this head than it is made for, which moves its flex."
        said.append(ClientReason(text, f"{plain_length(bore.off_in)} {end}"))
    return said


def _pulled(plan: TrimPlan) -> list[ClientReason]:
    if plan.wanted.pulled is None:
        return []
    off = f"{plain_length(plan.pulled_in)} is off its thin end already" if plan.pulled_in else ""
    return [ClientReason("Its shaft was in another club before.", off)]


def _length(plan: TrimPlan) -> ClientReason:
    rule = plan.wanted.length
    if isinstance(rule, GivenLength):
        return ClientReason("The length was ordered for this very club.")
    if isinstance(rule, ReferenceLength):
        return ClientReason(f"The lengths follow from the one ordered for the {rule.club}, by the steps of the set.")
    if isinstance(rule, LadderLength) and rule.offset_in:
        longer = "longer" if rule.offset_in > 0 else "shorter"
        return ClientReason(f"As ordered, it is {plain_length(rule.offset_in)} {longer} than usual for this set.")
    return ClientReason(USUAL_LENGTH)


def _thick_end(plan: TrimPlan) -> list[ClientReason]:
    said = []
    if plan.extension_in:
        text = "The shaft was too short: a piece is added under the grip."
        said.append(ClientReason(text, plain_length(plan.extension_in)))
    if plan.tape_layers:
        layers = "a layer" if plan.tape_layers == 1 else f"{plan.tape_layers} layers"
        said.append(ClientReason("The shaft is thin under the grip; tape makes up for it.", layers))
    if plan.wanted.decisions.outside_rules:
        said.append(ClientReason("As ordered, it is not for play under the rules of golf."))
    return said


def flex_words(flexes: Iterable[str]) -> str:
    """Return in plain words how the places of a page's clubs on their flexes are written; '' for letters alone.

    >>> flex_words(["R", "R/S 0.20"]), flex_words(["R", "1.4 cpm softer than R"])
    ('R/S 0.20 means 0.20 of the way from R to S.', 'cpm means swings a minute.')
    """
    written = list(flexes)
    said = []
    between = next((flex for flex in written if "/" in flex), None)
    if between is not None:
        pair, part = between.split(" ")
        said.append(f"{between} means {part} of the way from {pair.replace('/', ' to ')}.")
    if any("cpm" in flex for flex in written):
        said.append("cpm means swings a minute.")
    return " ".join(said)


def cut_drawing(plan: TrimPlan) -> str:
    """Return an inline SVG of one bare shaft with its two cuts: lengths to scale, thickness not.

    The raw length with any extension is 640 pixels long. Black and greys only; every word is escaped.
    """
    per_in = 640 / (plan.raw_length_in + plan.extension_in)
    tip, keep = plan.tip_trim_in * per_in, (plan.cut_length_in - plan.extension_in) * per_in
    left, cut1 = 20.0, 20.0 + tip
    cut2 = cut1 + keep
    end = cut2 + (plan.butt_trim_in + plan.extension_in) * per_in

    def piece(start: float, stop: float, style: str) -> str:
        def half(x: float) -> float:
            return 5 + 6 * (x - left) / 640

        corners = [(start, -half(start)), (stop, -half(stop)), (stop, half(stop)), (start, half(start))]
        points = " ".join(f"{x:.1f},{50 + y:.1f}" for x, y in corners)
        return (
            f'<polygon points="{points}" stroke="#111111" stroke-width="1.5" {style}/>' if stop - start > 0.05 else ""
        )

    def line(x: float, top: int, bottom: int) -> str:
        return f'<line x1="{x:.1f}" y1="{top}" x2="{x:.1f}" y2="{bottom}" stroke="#111111" stroke-width="2"/>'

    def text(x: float, y: int, anchor: str, words: str) -> str:
        return f'<text x="{x:.1f}" y="{y}" text-anchor="{anchor}" fill="#111111">{escape(shown(words))}</text>'

    off = 'fill="#707070" stroke-dasharray="4 3"'
    thin = f"thin end (into the head){': never cut' if _is_taper(plan) else ', cut 1' if plan.tip_trim_in else ''}"
    cut = "the one cut" if _is_taper(plan) or not plan.tip_trim_in else "cut 2"
    thick = f"thick end (under the grip){': a piece is added' if plan.extension_in else ', ' + cut}"
    stays = f"{nearest_mark(plan.cut_length_in - plan.extension_in).mark} of shaft stay"
    label = f"The {plan.club}'s shaft: {thin}; {stays}; {thick}."
    shapes = [
        piece(left, cut1, off),
        piece(cut1, cut2, 'fill="#ffffff"'),
        piece(cut2, end, off),
        line(cut1, 34, 66) if plan.tip_trim_in else "",
        line(cut2, 34, 66),
        text(left, 22, "start", thin),
        text(left + 640, 22, "end", thick),
        text((cut1 + cut2) / 2, 84, "middle", stays),
    ]
    return (
        f'<svg role="img" aria-label="{escape(shown(label))}" viewBox="0 0 680 92" font-size="13" '
        f'font-family="Verdana, DejaVu Sans, sans-serif">{"".join(shapes)}</svg>'
    )
