"""A taper tip in a head off the BBGL that its raw length is made for.

Nothing can be trimmed off a taper tip to bring the steps back to their height. What the plan can do is say how far off
they are, and which other raw length of the family comes nearest.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from trimkit.parts.sources import Source, Standing
from trimkit.parts.tables import RawLength
from trimkit.parts.units import say_in
from trimkit.trim.bore import BORE_RULE, bbgl_correction_in
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.practice import BenchPractice
from trimkit.trim.stepping import RawFamily, say_step
from trimkit.trim.steps import Note, Severity, StepKind, TrimStep
from trimkit.trim.wanted import WantedClub

SET_MEDIAN = Source("median BBGL of the set's heads; the family's table names no BBGL reference", Standing.DERIVED)


@dataclass(frozen=True)
class TaperBore:
    """How far a head is off the BBGL that its club's raw length is made for, and the raw length that comes nearest.

    bbgl_in, reference_in: of the head; what the raw length is made for, in. by_set: whether the reference is the median
    of the set's heads. nearest: the raw length of the family that brings the steps nearest to their height and still
    reaches; it may be the one in use. soft_steps: how many clubs longer it is than the one in use (+ soft).
    left_in: how far too high (+) or too low (-) the steps stand with it, in.
    """

    bbgl_in: float
    reference_in: float
    by_set: bool
    nearest: RawLength
    soft_steps: int
    left_in: float

    @property
    def off_in(self) -> float:
        """BBGL less reference, in: + the steps stand too high and the club plays softer, - stiffer."""
        return bbgl_correction_in(self.bbgl_in, self.reference_in)

    @property
    def amount(self) -> str:
        """How far off it is, in words: '0.5 in more than the reference (1 in, the median of the set's heads)'."""
        by_set = ", the median of the set's heads" if self.by_set else ""
        more = "more" if self.off_in > 0 else "less"
        return f"{say_in(abs(self.off_in))} {more} than the reference ({say_in(self.reference_in)}{by_set})"

    def counts(self, practice: BenchPractice) -> bool:
        """Return whether the head is off by more than two measurements of one length may differ."""
        return abs(self.off_in) > practice.measuring_error_in + 1e-9

    @property
    def remedy(self) -> str:
        """What can be done about it, in words."""
        if self.soft_steps == 0:
            raw = "no raw length of the family comes nearer"
        else:
            raw = f"take the {self.nearest.club}'s raw length, {say_in(self.nearest.raw_length_in)} "
            raw += f"({say_step(self.soft_steps)} from this one), which brings the steps to their height"
            if abs(self.left_in) > 1e-9:
                raw += f" but for {say_in(abs(self.left_in))}"
        return f"measure the BBGL again; {raw}; or choose another head"


def taper_bore(wanted: WantedClub, club: EquivalentClub, cut_length_in: float) -> TaperBore | None:
    """Answer how far a taper-tip club's head is off its BBGL reference, and which raw length makes up for it best.

    club: as which it is built. cut_length_in: what the raw length must reach, in. A raw length shorter by so much has
    its steps lower by so much: left = BBGL - reference + other raw length - raw length. Derived. Returns None for a
    parallel tip and where no reference is known. Raises TrimRefused if the family lacks a raw length for the club.
    """
    family = wanted.table
    if not isinstance(family, RawFamily):
        return None
    own = family.nearest(club)
    reference = family.bbgl_reference_in(own)
    if reference is None:
        return None
    used, off = family.row(own, wanted.soft_steps), bbgl_correction_in(wanted.bbgl_in, reference)
    at = family.rows.index(used)

    def left_in(row: RawLength) -> float:
        return off + row.raw_length_in - used.raw_length_in

    reaching = [row for row in family.rows if row is used or row.raw_length_in >= cut_length_in - 1e-9]
    # Rounded, so that of two that come equally near the one fewer steps away is taken.
    nearest = min(reaching, key=lambda row: (round(abs(left_in(row)), 9), abs(family.rows.index(row) - at)))
    steps = at - family.rows.index(nearest)
    by_set = family.row(own).bbgl_reference_in is None
    return TaperBore(wanted.bbgl_in, reference, by_set, nearest, steps, left_in(nearest))


def taper_bore_steps(wanted: WantedClub, family: RawFamily, own: str) -> Iterable[TrimStep]:
    """Yield the bore's step of a taper-tip club: 0 in, and what that leaves; none where no reference is known.

    own: the family's club. Raises TrimRefused if the family does not have it.
    """
    reference = family.bbgl_reference_in(own)
    if reference is None:
        return
    row, bbgl, off = family.row(own), wanted.bbgl_in, bbgl_correction_in(wanted.bbgl_in, reference)
    by_set = row.bbgl_reference_in is None
    made_for = f"and the set's heads have {say_in(reference)} (their median)" if by_set else ""
    made_for = made_for or f"and the family's raw lengths are made for {say_in(reference)}"
    reason = f"The bottom of this bore stands {say_in(abs(bbgl))} {'above' if bbgl >= 0 else 'below'} the ground line, "
    reason += made_for
    if abs(off) < 1e-12:
        reason += ": nothing to make up for."
    else:
        side = "high" if off > 0 else "low"
        reason += f": the steps stand {say_in(abs(off))} too {side}, and a taper tip cannot be trimmed for it."
    yield TrimStep(StepKind.BORE, 0.0, reason, (wanted.bbgl_source, SET_MEDIAN if by_set else row.source, BORE_RULE))


def taper_bore_notes(wanted: WantedClub, club: EquivalentClub, cut_length_in: float) -> tuple[Note, ...]:
    """Return the warning about a taper-tip head that is off its BBGL reference by more than a measuring error.

    cut_length_in: of this club, in. Raises TrimRefused as :func:`taper_bore`.
    """
    bore = taper_bore(wanted, club, cut_length_in)
    if bore is None or not bore.counts(wanted.practice):
        return ()
    text = (
        f"The head's BBGL is {say_in(bore.bbgl_in)}, {bore.amount}; a taper tip cannot be trimmed for it, and the club "
        f"plays {'softer' if bore.off_in > 0 else 'stiffer'}."
    )
    return (Note(Severity.WARNING, text, bore.remedy, BORE_RULE),)
