"""Place one head on the ladder, and say what its mass and its engraved number disagree about, in inches."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from trimkit.parts.components import Head, HeadKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.trim.clubs import with_article
from trimkit.trim.equivalence import EquivalentClub, HeadLadder, TrimAs, usual_way
from trimkit.trim.steps import DECIDED, Note, Severity, StepKind, TrimStep, say_in, say_number

PLACING_RULE = Source("hybrids are trimmed and cut by mass, other heads by their number", Standing.COMMON_PRACTICE)
# How far from its number's rung a head placed by its number may weigh before it is flagged; chosen here.
_MOST_RUNGS_OFF = {
    HeadKind.IRON: 0.5,
    HeadKind.WEDGE: 0.5,
    HeadKind.HYBRID: 0.0,
    HeadKind.FAIRWAY: math.inf,
    HeadKind.DRIVER: math.inf,
}


@dataclass(frozen=True)
class EngravedConflict:
    """What trimming by the engraved number would change against trimming by mass.

    tip_trim_in: how much more (+) or less (−) would come off the tip, in; for a taper tip, how much shorter its raw
    length would be. playing_length_in: how much longer (+) or shorter (−) the club would get, in.
    """

    by_mass: EquivalentClub
    by_number: EquivalentClub
    tip_trim_in: float
    playing_length_in: float
    taper_tip: bool = False

    @property
    def effect(self) -> str:
        """The likely effect in words, for example 'too stiff and too short'; 'no difference' if there is none."""
        stiffness = _pick(self.tip_trim_in, "too stiff", "too soft")
        length = _pick(self.playing_length_in, "too long", "too short")
        return " and ".join(filter(None, (stiffness, length))) or "no difference"

    def __str__(self) -> str:
        tip, length = say_in(abs(self.tip_trim_in)), say_in(abs(self.playing_length_in))
        if self.taper_tip:
            tip = _pick(self.tip_trim_in, f"take a raw length {tip} shorter", f"take a raw length {tip} longer")
        else:
            tip = _pick(self.tip_trim_in, f"lose {tip} more at the tip", f"lose {tip} less at the tip")
        length = _pick(self.playing_length_in, f"be {length} longer", f"be {length} shorter")
        change = " and ".join(filter(None, (tip, length))) or "be no other"
        than = f"than as the {self.by_mass} of its mass"
        return f"as the {self.by_number} of its number it would {change} {than}: {self.effect}"


def engraved_conflict(
    head: Head,
    ladder: HeadLadder,
    trim_of: Callable[[EquivalentClub], float],
    length_of: Callable[[EquivalentClub], float],
    taper_tip: bool = False,
) -> EngravedConflict:
    """Compare a head placed by its engraved number with the same head placed by its mass.

    trim_of, length_of: tip trim and playing length (in) of a club; of a taper tip, trim_of is minus its raw length.
    Raises TrimRefused if the ladder has no place for the mass or the number, or the schedule none for the clubs.
    """
    mass, number = ladder.by_mass(head.head_mass_g), ladder.by_number(head.club)
    trim_in, length_in = trim_of(number) - trim_of(mass), length_of(number) - length_of(mass)
    return EngravedConflict(mass, number, trim_in, length_in, taper_tip)


def place_head(head: Head, ladder: HeadLadder, trim_as: TrimAs | None, why: str) -> tuple[EquivalentClub, TrimStep]:
    """Return the club a head is trimmed and cut as, and the step that says so.

    trim_as: decided on purpose for this head, with the reason ``why``; None follows common practice (hybrids by mass,
    all others by their number). Raises TrimRefused if the ladder has no place for the head.
    """
    way = trim_as or usual_way(head)
    if way is TrimAs.MASS:
        club = ladder.by_mass(head.head_mass_g)
        rungs = " and ".join(f"{name} ({ladder.rung(name).head_mass_g:g} g)" for name in club.clubs)
        reason = (
            f"The head weighs {say_number(head.head_mass_g, 1)} g, {'between' if club.part else 'like'} {rungs}: it is "
            f"trimmed and cut as {with_article(str(club))}, although {head.club} is engraved"
            if str(club) != head.club
            else f"The head weighs {say_number(head.head_mass_g, 1)} g, like the ladder's {club}"
        )
    else:
        club = ladder.by_number(head.club)
        reason = f"The head is engraved {head.club}: it is trimmed and cut as {with_article(str(club))}"
    sources = [ladder.rung(name).source for name in club.clubs]
    if trim_as is not None:
        reason += f"; placed {way.value} on purpose ({why})"
        sources.append(DECIDED)
    else:
        sources.append(PLACING_RULE)
    return club, TrimStep(StepKind.CLUB, 0.0, reason + ".", tuple(sources))


def placing_notes(
    head: Head,
    ladder: HeadLadder,
    trim_as: TrimAs | None,
    trim_of: Callable[[EquivalentClub], float],
    length_of: Callable[[EquivalentClub], float],
    taper_tip: bool = False,
) -> tuple[Note, ...]:
    """Return what to flag about a head whose mass and number disagree.

    A head placed by its mass says what its number would have done, if that is on the ladder. A head placed by its
    number is flagged if its mass lies more than half a rung away (a hybrid: at all); woods are not.
    """
    try:
        conflict = str(engraved_conflict(head, ladder, trim_of, length_of, taper_tip))
    except TrimRefused as refusal:
        conflict = refusal.given
        if (trim_as or usual_way(head)) is TrimAs.MASS:
            return ()
    if (trim_as or usual_way(head)) is TrimAs.MASS:
        if ladder.by_mass(head.head_mass_g) == ladder.by_number(head.club):
            return ()
        text = f"The engraved number says otherwise: {conflict}."
        return (Note(Severity.NOTE, text, "trim and cut it as its mass says", PLACING_RULE),)
    club = ladder.by_number(head.club).longer
    off = ladder.rungs_off(head.head_mass_g, club)
    if abs(off) <= _MOST_RUNGS_OFF[head.kind]:
        return ()
    text = (
        f"The head is {say_number(abs(off), 2)} rung{'' if abs(off) == 1 else 's'} "
        f"{'heavier' if off > 0 else 'lighter'} than the ladder's {club}; "
        f"{conflict}."
    )
    remedy = "weigh it again" + ("; bring it up with a tip weight" if off < 0 else "")
    return (Note(Severity.WARNING, text, f"{remedy}; or trim it by its mass on purpose", PLACING_RULE),)


def _pick(value_in: float, more: str, less: str) -> str:
    if abs(value_in) < 1e-9:
        return ""
    return more if value_in > 0 else less
