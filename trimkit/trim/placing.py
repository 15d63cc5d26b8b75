"""Place one head on the ladder, and say by how many inches its mass and its engraved number disagree."""

from __future__ import annotations

from dataclasses import dataclass

from trimkit.parts.components import HeadKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_in, say_number
from trimkit.trim.clubs import with_article
from trimkit.trim.equivalence import EquivalentClub, TrimAs, usual_way
from trimkit.trim.stepping import RawFamily
from trimkit.trim.steps import DECIDED, Note, Severity, StepKind, TrimStep
from trimkit.trim.wanted import WantedClub

PLACING_RULE = Source("hybrids are trimmed and cut by mass, other heads by their number", Standing.COMMON_PRACTICE)
# How far, in rungs, a head placed by its number may be off that number's mass before it is flagged; chosen here.
_MOST_RUNGS_OFF = 0.5
_WOODS = (HeadKind.DRIVER, HeadKind.FAIRWAY)


@dataclass(frozen=True)
class EngravedConflict:
    """What trimming by the engraved number would change, compared with trimming by mass.

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
        by_number = f"by its number, as {with_article(str(self.by_number))},"
        by_mass = f"by its mass, as {with_article(str(self.by_mass))}"
        if self.taper_tip:
            tip = _pick(self.tip_trim_in, f"take a raw length {tip} shorter", f"take a raw length {tip} longer")
        else:
            tip = _pick(self.tip_trim_in, f"lose {tip} more at the tip", f"lose {tip} less at the tip")
        length = _pick(self.playing_length_in, f"be {length} longer", f"be {length} shorter")
        change = " and ".join(filter(None, (tip, length)))
        if not change:
            return f"{by_number} it would be cut the same as {by_mass}"
        return f"{by_number} it would {change} than {by_mass}: {self.effect}"


def engraved_conflict(wanted: WantedClub) -> EngravedConflict:
    """Compare a head placed by its engraved number with the same head placed by its mass.

    Raises TrimRefused if the ladder has no place for the mass or the number, or the table none for the clubs.
    """
    ladder, table = wanted.ladder, wanted.table
    mass, number = ladder.by_mass(wanted.head.head_mass_g), ladder.by_number(wanted.head.club)

    def tip_in(club: EquivalentClub) -> float:
        if isinstance(table, RawFamily):
            return -table.row(table.nearest(club)).raw_length_in
        return table.trim_in(club, wanted.checked_flex())

    trim_in = tip_in(number) - tip_in(mass)
    length_in = wanted.length.decide(number, ladder).inches - wanted.length.decide(mass, ladder).inches
    return EngravedConflict(mass, number, trim_in, length_in, isinstance(table, RawFamily))


def place_head(wanted: WantedClub) -> tuple[EquivalentClub, TrimStep]:
    """Return the club a head is trimmed and cut as, and the step that says so.

    By common practice hybrids go by mass and all others by their number, unless decided otherwise. Raises
    TrimRefused if the ladder has no place for the head.
    """
    head, ladder, decisions = wanted.head, wanted.ladder, wanted.decisions
    way = decisions.trim_as or usual_way(head)
    if way is TrimAs.MASS:
        club = ladder.by_mass(head.head_mass_g)
        rungs = " and ".join(f"{name} ({ladder.rung(name).head_mass_g:g} g)" for name in club.clubs)
        facts = f"The head weighs {say_number(head.head_mass_g, 1)} g, {'between' if club.fraction else 'like'} {rungs}"
    else:
        club = ladder.by_number(head.club)
        facts = f"The head is engraved {head.club}"
    reason = f"{facts}: it is trimmed and cut as {with_article(str(club))}"
    if way is TrimAs.MASS and str(club) != head.club:
        reason += f", although {head.club} is engraved"
    if decisions.trim_as is not None:
        reason += f"; placed {way.value} on purpose ({decisions.reason})"
    rule = PLACING_RULE if decisions.trim_as is None else DECIDED
    sources = (*(ladder.rung(name).source for name in club.clubs), rule)
    return club, TrimStep(StepKind.CLUB, 0.0, reason + ".", sources)


def placing_notes(wanted: WantedClub) -> tuple[Note, ...]:
    """Return what to flag about a head whose mass and number disagree; the head itself has a place on the ladder.

    A head placed by its mass says what its number would have done, if the number is on the ladder. A head placed by
    its number is flagged if its mass lies more than half a rung away (a hybrid: at all). A wood keeps its number
    whatever it weighs; the note says what its mass moves instead.
    """
    head, ladder = wanted.head, wanted.ladder
    by_mass = (wanted.decisions.trim_as or usual_way(head)) is TrimAs.MASS
    try:
        conflict = engraved_conflict(wanted)
        agree, said = conflict.by_mass == conflict.by_number, str(conflict)
    except TrimRefused as refusal:
        agree, said = by_mass, refusal.given
    if agree:
        return ()
    if by_mass:
        text = f"The engraved number says otherwise: {said}."
        return (Note(Severity.NOTE, text, "trim and cut it as its mass says", PLACING_RULE),)
    club = ladder.by_number(head.club).longer
    off = ladder.rungs_off(head.head_mass_g, club)
    if abs(off) <= (0.0 if head.kind is HeadKind.HYBRID else _MOST_RUNGS_OFF):
        return ()
    if head.kind in _WOODS:
        grams = head.head_mass_g - ladder.rung(club).head_mass_g
        more = "more" if grams > 0 else "less"
        text = (
            f"The head weighs {say_number(abs(grams), 1)} g {more} than the ladder's {club}. "
            "A wood is cut by its number all the same; the mass moves its swingweight and its frequency."
        )
        step = "weigh it again, and look at the swingweight before the tip is cut"
        return (Note(Severity.NOTE, text, step, PLACING_RULE),)
    rungs = say_number(abs(off), 2)
    text = (
        f"The head is {rungs} {'rung' if rungs == '1' else 'rungs'} {'heavier' if off > 0 else 'lighter'} than the "
        f"ladder's {club}; {said}."
    )
    remedy = "weigh it again" + ("; bring it up with a tip weight" if off < 0 else "")
    return (Note(Severity.WARNING, text, f"{remedy}; or trim it by its mass on purpose", PLACING_RULE),)


def _pick(value_in: float, more: str, less: str) -> str:
    if abs(value_in) < 1e-9:
        return ""
    return more if value_in > 0 else less
