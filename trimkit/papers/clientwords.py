"""Why each shaft is cut where it is, in the client's words: no term of the trade without an explanation."""

from __future__ import annotations

from html import escape

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


def client_reason(plan: TrimPlan) -> str:
    """Answer in plain words why one club's shaft is cut where it is: head, thin end, length, thick end."""
    said = [*_which(plan), *(_taper(plan) if _is_taper(plan) else _thin_end(plan)), _length(plan), *_thick_end(plan)]
    return " ".join(said)


def _is_taper(plan: TrimPlan) -> bool:
    return plan.wanted.shaft.tip_kind is TipKind.TAPER


def _which(plan: TrimPlan) -> list[str]:
    head, decided = plan.wanted.head, plan.wanted.decisions.trim_as
    way = decided or usual_way(head)
    purpose = "" if decided is None else f" This was decided: {plan.wanted.decisions.reason}."
    if way is TrimAs.MASS:
        weight = say_number(head.head_mass_g, 0)
        like = plain_weight(plan.equivalent)
        return [f"This head weighs {weight} g, {like}, and is cut for that.{purpose}"]
    return [f"It is cut by the number on the head, not by its weight.{purpose}"] if purpose else []


def _thin_end(plan: TrimPlan) -> list[str]:
    schedule = plan.schedule_trim_in
    said = [
        *_pulled(plan),
        f"The cutting table takes {plain_length(schedule) if schedule else 'nothing'} off the thin end.",
    ]
    if plan.between_flexes_in:
        flex = plan.flex
        part = say_number(100 * flex.fraction, 0)
        said.append(
            f"Your flex is {part} % of the way from {flex.softer} to {flex.stiffer}: "
            f"{plain_length(plan.between_flexes_in)} more."
        )
    bore = plan.bbgl_correction_in
    if bore:
        end, size = ("higher", "more") if bore > 0 else ("lower", "less")
        said.append(
            f"Here the shaft ends {plain_length(bore)} {end} than the table expects: that much {size} comes off."
        )
    left = plan.bbgl_uncorrected_in
    if left:
        size = "more" if left > 0 else "less"
        said.append(
            f"For this head {plain_length(left)} {size} would come off; this was left out on purpose "
            f"({plan.wanted.decisions.reason}): this club bends a little {size} easily."
        )
    return said


def _taper(plan: TrimPlan) -> list[str]:
    made = plan.raw_length_in if plan.wanted.pulled is None else plan.wanted.pulled.raw_length_in
    said = [*_pulled(plan), f"It begins with a shaft made {plain_length(made)} long."]
    step = plan.wanted.soft_steps
    if step:
        which, feel = ("longer", "more easily") if step > 0 else ("shorter", "less easily")
        places = "the next" if abs(step) == 1 else f"{abs(step)} places"
        said.append(f"That is the shaft of {places} {which} club, so that it bends a little {feel}, as ordered.")
    bore = taper_bore(plan.wanted, plan.equivalent, plan.cut_length_in)
    if bore is not None and bore.counts(plan.wanted.practice):
        end, feel = ("higher", "more") if bore.off_in > 0 else ("lower", "less")
        said.append(
            f"In this head it ends {plain_length(bore.off_in)} {end} than it is made for: this club bends a little "
            f"{feel} easily."
        )
    return said


def _pulled(plan: TrimPlan) -> list[str]:
    if plan.wanted.pulled is None:
        return []
    off = f", and {plain_length(plan.pulled_in)} is off its thin end already" if plan.pulled_in else ""
    return [f"Its shaft was in another club before{off}."]


def _length(plan: TrimPlan) -> str:
    rule = plan.wanted.length
    if isinstance(rule, GivenLength):
        return "You ordered this length for this club."
    if isinstance(rule, ReferenceLength):
        change = plan.playing_length_in - rule.playing_length_in
        if abs(change) < 1e-9:
            return "Its length is the one you ordered."
        return f"It is {plain_length(change)} {_longer(change)} than your {rule.club}."
    if isinstance(rule, LadderLength) and rule.offset_in:
        return f"It is {plain_length(rule.offset_in)} {_longer(rule.offset_in)} than usual for this set, as ordered."
    return "Its length is the usual one of this set."


def _longer(change_in: float) -> str:
    return "longer" if change_in > 0 else "shorter"


def _thick_end(plan: TrimPlan) -> list[str]:
    said = []
    if plan.extension_in:
        said.append(f"The shaft was {plain_length(plan.extension_in)} too short: a piece is added under the grip.")
    if plan.tape_layers:
        layers = "a layer" if plan.tape_layers == 1 else f"{plan.tape_layers} layers"
        said.append(f"It is thin under the grip: {layers} of tape make up for it.")
    if plan.wanted.decisions.outside_rules:
        said.append("As ordered, it is not for play under the rules of golf.")
    return said


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
    mark = nearest_mark
    if _is_taper(plan):
        thin = "thin end (into the head): never cut"
    elif plan.tip_trim_in:
        thin = f"cut 1, thin end (into the head): {mark(plan.tip_trim_in).mark} off"
    else:
        thin = "thin end (into the head): nothing off"
    cut = "the one cut" if _is_taper(plan) else "cut 2"
    thick = f"thick end (under the grip), {cut}: {mark(plan.butt_trim_in).mark} off"
    if plan.extension_in:
        thick = f"thick end (under the grip): {mark(plan.extension_in).mark} added"
    stays = f"{mark(plan.cut_length_in - plan.extension_in).mark} of shaft stay"
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
