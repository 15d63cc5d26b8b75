"""What a pulled shaft can still become: every club and flex of its table, planned by the same rules as an order.

Standing: the trade's rules (:mod:`trimkit.trim.plan`), one plan for each club and flex; nothing is computed twice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from trimkit.parts.components import TipKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.units import say_in
from trimkit.trim.clubs import with_article
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength, LadderLength
from trimkit.trim.placing import place_head
from trimkit.trim.plan import ClubRefused, plan_club
from trimkit.trim.refusals import ShaftTooShort, TipTooShort, faults_of
from trimkit.trim.stepping import RawFamily, say_step
from trimkit.trim.wanted import WantedClub

MOST_STEPS = 3
"""Steps of a taper-tip family that an order may ask for."""


@dataclass(frozen=True)
class TrimRoom:
    """One club and flex that a pulled shaft could become: the cuts still to do, or why it cannot.

    tip_trim_in, cut_length_in, butt_trim_in: still to do, in; None where it cannot. soft_steps: of a taper tip, how
    many soft steps (hard ones below 0) that makes it. why_not: empty where it can.
    """

    club: str
    flex: FlexPlace
    soft_steps: int = 0
    tip_trim_in: float | None = None
    cut_length_in: float | None = None
    butt_trim_in: float | None = None
    why_not: str = ""

    @property
    def can(self) -> bool:
        """Whether the shaft can become this club."""
        return not self.why_not

    def __str__(self) -> str:
        stepped = f", {say_step(self.soft_steps)}" if self.soft_steps else ""
        return f"{with_article(self.club)} in {self.flex}{stepped}"


def trim_room(wanted: WantedClub) -> tuple[TrimRoom, ...]:
    """Answer what the pulled shaft of a club can still become on this head: a row for each club and flex of its table.

    wanted: the piece, its table, the length rule (a length given for this club alone counts for it alone, the others
    take the ladder's), the head's bore and BBGL, the grip. Rows: the clubs that both table and ladder have, longest
    first, in the shaft's flexes, softest first, with the flex that is wanted where it lies between two. A taper tip is
    stepped to the raw length it was. No extension is made. Raises nothing.
    """
    flexes = [FlexPlace.at(flex) for flex in wanted.shaft.flexes]
    if wanted.flex is not None and wanted.flex not in flexes:
        flexes.insert(wanted.shaft.flexes.index(wanted.flex.softer) + 1, wanted.flex)
    clubs = [club for club in wanted.table.clubs if club in wanted.ladder.clubs]
    return tuple(_room(wanted, club, flex) for club in clubs for flex in flexes)


def _room(wanted: WantedClub, club: str, flex: FlexPlace) -> TrimRoom:
    steps = wanted.soft_steps
    if wanted.pulled is not None and isinstance(wanted.table, RawFamily):
        steps = wanted.table.steps_to(club, wanted.pulled.raw_length_in) or 0
    if abs(steps) > MOST_STEPS:
        return TrimRoom(club, flex, steps, why_not=f"that would be {say_step(steps)}")
    own_length = not isinstance(wanted.length, GivenLength) or club in _own_clubs(wanted)
    asked = replace(
        wanted,
        head=replace(wanted.head, club=club),
        flex=flex,
        soft_steps=steps,
        length=wanted.length if own_length else LadderLength(),
        decisions=replace(wanted.decisions, trim_as=TrimAs.ENGRAVED, extend=False),
    )
    try:
        plan = plan_club(asked)
    except TrimRefused as refusal:
        return TrimRoom(club, flex, steps, why_not="; ".join(_short(fault) for fault in faults_of(refusal)))
    return TrimRoom(club, flex, steps, plan.tip_trim_in, plan.cut_length_in, plan.butt_trim_in)


def _own_clubs(wanted: WantedClub) -> tuple[str, ...]:
    try:
        return place_head(wanted)[0].clubs
    except TrimRefused:
        return ()


def _short(fault: TrimRefused) -> str:
    if isinstance(fault, TipTooShort):
        return f"too stiff: {say_in(fault.too_far_in)} too much is off its tip"
    if isinstance(fault, ShaftTooShort):
        return f"{say_in(fault.shortfall_in)} too short"
    return fault.given


def nearest_rooms(rooms: Iterable[TrimRoom], club: str, flex: FlexPlace) -> tuple[TrimRoom, ...]:
    """Return what of a pulled shaft's room comes nearest to a club and flex: another club in this flex, and this club
    in another flex; where there is neither, the nearest club in any flex. Empty if it can become none.
    """
    rooms = tuple(rooms)
    clubs = list(dict.fromkeys(room.club for room in rooms))
    flexes = list(dict.fromkeys(room.flex for room in rooms))
    if club not in clubs or flex not in flexes:
        return ()

    def away(room: TrimRoom) -> tuple[int, int]:
        return abs(clubs.index(room.club) - clubs.index(club)), abs(flexes.index(room.flex) - flexes.index(flex))

    able = [room for room in rooms if room.can]
    other_club = [room for room in able if room.flex == flex and room.club != club]
    same_club = [room for room in able if room.club == club]
    found = [min(each, key=away) for each in (other_club, same_club) if each]
    return tuple(found or sorted(able, key=away)[:1])


def with_nearest(refused: ClubRefused) -> ClubRefused:
    """Return a refused club whose first fault says what its pulled shaft can become instead; any other unchanged."""
    wanted = refused.wanted
    if wanted.pulled is None:
        return refused
    try:
        place, flex = place_head(wanted)[0], wanted.checked_flex()
    except TrimRefused:
        return refused
    near = nearest_rooms(trim_room(wanted), place.longer if place.fraction <= 0.5 else place.shorter, flex)
    said = " or ".join(map(str, near))
    instead = f"on this head the pulled shaft can become {said}" if near else "it can become no club on this head"
    first, *others = refused.faults
    fault = TrimRefused(first.given, first.allowed, f"{first.next_step}; {instead}", first.place)
    return replace(refused, faults=(fault, *others))


def piece_words(wanted: WantedClub) -> str:
    """Return what a pulled shaft is now, in words: length, what is off its tip or what it was, what is left of it."""
    shaft, was = wanted.shaft, f"{say_in(wanted.tip_cut_in)} off its tip"
    if wanted.pulled is not None and shaft.tip_kind is TipKind.TAPER:
        was = f"bought at {say_in(wanted.pulled.raw_length_in)}"
    step = "first step" if shaft.sections else "end of its parallel tip"
    return f"pulled: {say_in(shaft.raw_length_in)} long now, {was}, {say_in(shaft.tip_section_in)} from tip to {step}"


def room_lines(rooms: Iterable[TrimRoom]) -> list[str]:
    """Return a pulled shaft's room as lines of text: club, flex, what is still to cut (in), or why it cannot."""
    lines = [f"{'club':<16}{'flex':<9}{'tip trim':>10}{'cut length':>12}{'butt trim':>11}"]
    for room in rooms:
        name = f"{room.club:<16}{room.flex!s:<9}"
        if room.tip_trim_in is None or room.cut_length_in is None or room.butt_trim_in is None:
            lines.append(f"{name}  no: {room.why_not}")
            continue
        cuts = f"{room.tip_trim_in:>7.3f} in{room.cut_length_in:>9.3f} in{room.butt_trim_in:>8.3f} in"
        lines.append(name + cuts + (f"  {say_step(room.soft_steps)}" if room.soft_steps else ""))
    return lines
