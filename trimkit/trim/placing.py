"""Place one head on the ladder, and say what its mass and its engraved number disagree about, in inches."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from trimkit.parts.components import Head, HeadKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.trim.clubs import with_article
from trimkit.trim.equivalence import EquivalentClub, HeadLadder, TrimAs, usual_way
from trimkit.trim.steps import DECIDED, Note, Severity, StepKind, TrimStep, say_in, say_number

PLACING_RULE = Source("hybrids are trimmed and cut by mass, other heads by their number", Standing.COMMON_PRACTICE)
MOST_RUNGS_OFF = 0.5


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

    @property
    def effect(self) -> str:
        """The likely effect in words, for example 'too stiff and too short'; 'no difference' if there is none."""
        stiffness = _pick(self.tip_trim_in, "too stiff", "too soft")
        length = _pick(self.playing_length_in, "too long", "too short")
        return " and ".join(filter(None, (stiffness, length))) or "no difference"

    def __str__(self) -> str:
        trim = _pick(self.tip_trim_in, "more", "less")
        length = _pick(self.playing_length_in, "longer", "shorter")
        return (
            f"as the {self.by_number} of its number it would lose {say_in(abs(self.tip_trim_in))} {trim or 'more'} at "
            f"the tip and be {say_in(abs(self.playing_length_in))} {length or 'longer'} than as the {self.by_mass} of "
            f"its mass: {self.effect}"
        )


def engraved_conflict(
    head: Head,
    ladder: HeadLadder,
    trim_of: Callable[[EquivalentClub], float],
    length_of: Callable[[EquivalentClub], float],
) -> EngravedConflict:
    """Compare a head placed by its engraved number with the same head placed by its mass.

    trim_of, length_of: tip trim and playing length (in) of a club. Raises TrimRefused if the ladder has no place for
    the mass or the number, or the schedule none for the clubs.
    """
    mass, number = ladder.by_mass(head.head_mass_g), ladder.by_number(head.club)
    return EngravedConflict(mass, number, trim_of(number) - trim_of(mass), length_of(number) - length_of(mass))


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
        reason = f"{head.club} is engraved: it is trimmed and cut as {with_article(str(club))}"
    sources = [ladder.rung(name).source for name in club.clubs]
    if trim_as is not None:
        reason += f"; placed {way.value} on purpose ({why})"
        sources.append(DECIDED)
    else:
        sources.append(PLACING_RULE)
    return club, TrimStep(StepKind.CLUB, 0.0, f"{reason[0].upper()}{reason[1:]}.", tuple(sources))


def placing_notes(
    head: Head,
    ladder: HeadLadder,
    trim_as: TrimAs | None,
    trim_of: Callable[[EquivalentClub], float],
    length_of: Callable[[EquivalentClub], float],
) -> tuple[Note, ...]:
    """Return what to flag about a head whose mass and number disagree.

    A head placed by mass says what its number would have done. Irons and wedges placed by their number are flagged if
    the mass lies more than half a rung away; so is every head placed by its number on purpose. Woods are not.
    """
    way = trim_as or usual_way(head)
    if way is TrimAs.ENGRAVED and trim_as is None and head.kind not in (HeadKind.IRON, HeadKind.WEDGE):
        return ()
    try:
        conflict = engraved_conflict(head, ladder, trim_of, length_of)
    except TrimRefused as refusal:
        return () if way is TrimAs.MASS else _off_the_ladder(head, ladder, refusal)
    if conflict.by_mass == conflict.by_number:
        return ()
    said = f"The engraved number says otherwise: {conflict}."
    if way is TrimAs.MASS:
        return (Note(Severity.NOTE, said, "trim and cut it as its mass says", PLACING_RULE),)
    off = ladder.rungs_off(head.head_mass_g, conflict.by_number.longer)
    if abs(off) <= MOST_RUNGS_OFF:
        return ()
    text = (
        f"The head is {say_number(abs(off), 2)} rungs {'heavier' if off > 0 else 'lighter'} than the ladder's "
        f"{conflict.by_number}; {conflict}."
    )
    remedy = "weigh it again" + ("; bring it up with a tip weight" if off < 0 else "")
    return (Note(Severity.WARNING, text, f"{remedy}, or trim it by its mass on purpose", PLACING_RULE),)


def _off_the_ladder(head: Head, ladder: HeadLadder, refusal: TrimRefused) -> tuple[Note, ...]:
    club = ladder.by_number(head.club).longer
    if abs(ladder.rungs_off(head.head_mass_g, club)) <= MOST_RUNGS_OFF:
        return ()
    return (Note(Severity.WARNING, f"{refusal.given[0].upper()}{refusal.given[1:]}.", "weigh it again", PLACING_RULE),)


def _pick(value_in: float, more: str, less: str) -> str:
    if abs(value_in) < 1e-9:
        return ""
    return more if value_in > 0 else less
