"""What a taper-tip head off its BBGL reference is worth by the mechanics, in cycles per minute and in flexes.

Standing: a what-if of the mechanics on the parts in hand; which raw length makes up for it is by the trade's rules.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from trimkit.club.card import BenchCard, on_new_shaft
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.flexscale import CPM_PER_FLEX_SOURCE, FlexScale
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_number
from trimkit.trim.plan import TrimPlan
from trimkit.trim.steps import Note, Severity
from trimkit.trim.taperbore import TaperBore, taper_bore

WHAT_IF = Source(
    f"the same club by the beam calculation, its head at the BBGL reference; {CPM_PER_FLEX_SOURCE.text}",
    Standing.DERIVED,
)


@dataclass(frozen=True)
class BoreWorth:
    """A taper-tip club whose head is off its BBGL reference.

    bore: the same in inches, with the raw length that comes nearest. change_cpm: club less the same club with its head
    at the reference, + stiffer. flex_cpm: what counts as one flex at this club, cpm. left_cpm: what is left of
    change_cpm with the nearest raw length.
    """

    bore: TaperBore
    change_cpm: float
    flex_cpm: float
    left_cpm: float

    @property
    def change_flexes(self) -> float:
        """The same in flexes, + stiffer."""
        return self.change_cpm / self.flex_cpm

    @property
    def effect(self) -> str:
        """What it does to the club in words: cpm, flexes, and what counts as one flex."""
        return f"{_cpm(self.change_cpm)}, {abs(self.change_flexes):.2f} of a flex of {say_number(self.flex_cpm, 1)} cpm"

    @property
    def note(self) -> Note:
        """The warning that stands beside the plan's own."""
        step = "choose another head, or agree on it with the client, before cutting"
        if self.bore.soft_steps:
            other = f"with the {self.bore.nearest.club}'s raw length it would be {_cpm(self.left_cpm)}"
            step = f"{other}; choose that, another head, or agree on it with the client, before cutting"
        return Note(Severity.WARNING, f"By the beam calculation its BBGL makes it {self.effect}.", step, WHAT_IF)


def _cpm(change_cpm: float) -> str:
    return f"{abs(change_cpm):.1f} cpm {'softer' if change_cpm < 0 else 'stiffer'}"


def at_bbgl(card: BenchCard, bbgl_in: float) -> BenchCard:
    """Return the same club on a head of another BBGL (in), at the same playing length; raises nothing.

    The cut length makes up the difference, and an extension is granted where the raw length would not reach.
    """
    head = replace(card.wanted.head, bbgl_in=bbgl_in)
    cut = card.cut_length_in + card.wanted.bbgl_in - bbgl_in
    return replace(
        card,
        wanted=replace(card.wanted, head=head, dry_fit=None),
        cut_length_in=cut,
        extension_in=max(0.0, cut + card.tip_trim_in - card.raw_length_in),
    )


def bore_worth(card: BenchCard, plan: TrimPlan, scale: FlexScale) -> BoreWorth | None:
    """Answer what a head off its BBGL reference is worth in a taper-tip club, by the mechanics.

    plan: what the rules say for the club. scale: what a flex is at it. change = f(club) - f(club with its head at the
    reference). Derived. Returns None for a parallel tip, where no reference is known, and for a head within a
    measuring error of it. Raises ModelError if a frequency cannot be computed.
    """
    bore = taper_bore(plan.wanted, plan.equivalent, plan.cut_length_in)
    if bore is None or not bore.counts(plan.wanted.practice):
        return None
    meant = at_bbgl(card, bore.reference_in)
    raw = bore.nearest.raw_length_in
    other = on_new_shaft(card, raw) if bore.soft_steps else card
    own_cpm, meant_cpm, other_cpm = (float(cpm) for cpm in frequencies_cpm([card, meant, other]))
    change_cpm = own_cpm - meant_cpm
    flex_cpm = scale.gap_cpm(meant_cpm, stiffer=change_cpm >= 0)
    return BoreWorth(bore, change_cpm, flex_cpm, other_cpm - meant_cpm)
