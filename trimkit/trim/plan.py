"""The plan of a club or a whole set: every decision as a step, in bench order, and four lengths for each club."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from trimkit.parts.errors import TrimRefused
from trimkit.parts.units import RulerReading, nearest_mark
from trimkit.trim.bore import bore_notes, check_fit, other_bbgl_notes, tip_limit_notes
from trimkit.trim.butt import ButtCut, butt_cut
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import check_length
from trimkit.trim.placing import place_head, placing_notes
from trimkit.trim.refusals import Gathered, RefusedTogether, faults_of
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import flex_shift
from trimkit.trim.steps import Note, StepKind, TrimStep
from trimkit.trim.taperbore import taper_bore_notes
from trimkit.trim.tip import TipCut, tip_cut
from trimkit.trim.wanted import WantedClub


@dataclass(frozen=True)
class TrimPlan:
    """How one club is cut, and why. Lengths are exact, in in; round them only to show them (:meth:`marks`).

    raw_length_in + extension_in = tip_trim_in + cut_length_in + butt_trim_in.
    bbgl_uncorrected_in: the part of the bore's correction that is left undone on purpose.
    butt_diameter_in: outer diameter left at the butt; tape_layers: of build-up tape under the grip.
    """

    wanted: WantedClub
    equivalent: EquivalentClub
    flex: FlexPlace
    raw_length_in: float
    tip_trim_in: float
    playing_length_in: float
    cut_length_in: float
    butt_trim_in: float
    extension_in: float
    bbgl_uncorrected_in: float
    butt_diameter_in: float
    tape_layers: int
    steps: tuple[TrimStep, ...]
    notes: tuple[Note, ...]

    @property
    def club(self) -> str:
        """The club engraved on the head."""
        return self.wanted.head.club

    @property
    def schedule_trim_in(self) -> float:
        """Tip trim by the schedule, in the softer of the flexes the wanted one lies between, in."""
        return self.inches(StepKind.SCHEDULE)

    @property
    def between_flexes_in(self) -> float:
        """What the place between two flexes adds to the tip trim, in."""
        return self.inches(StepKind.FLEX)

    @property
    def bbgl_correction_in(self) -> float:
        """What the head's bore adds to the tip trim, in."""
        return self.inches(StepKind.BORE)

    @property
    def pulled_in(self) -> float:
        """What the tip of a pulled shaft takes off the tip trim still to do, in: 0 or less; 0 for a new shaft."""
        return self.inches(StepKind.PULLED)

    @property
    def flex_shift(self) -> float:
        """How many flexes stiffer (+) or softer (-) stepping makes the club, by common practice; 0 if not stepped."""
        return flex_shift(self.wanted.soft_steps)

    def inches(self, kind: StepKind) -> float:
        """Return the inches of the step of one kind, 0 if the plan has none."""
        return sum(step.inches for step in self.steps if step.kind is kind)

    def marks(self, divisions: int = 16) -> dict[StepKind, RulerReading]:
        """Return tip trim, cut length and butt trim as the nearest marks of a ruler, each with its rounding error.

        Each is rounded by itself; at the saw one sets the tip trim and then the cut length, not the butt trim.
        """
        lengths = {
            StepKind.TIP_TRIM: self.tip_trim_in,
            StepKind.CUT_LENGTH: self.cut_length_in,
            StepKind.BUTT_TRIM: self.butt_trim_in,
        }
        return {kind: nearest_mark(length, divisions) for kind, length in lengths.items()}


def plan_club(wanted: WantedClub) -> TrimPlan:
    """Plan the cuts of one club by the trade's rules.

    In bench order: which club it is, tip end, playing length, butt end. Raises TrimRefused, or RefusedTogether
    with every reason, if the rules do not allow the club; nothing is guessed.
    """
    gathered = Gathered()
    head = wanted.head
    gathered.attempt(lambda: check_fit(head, wanted.shaft, wanted.practice))
    flex = gathered.attempt(wanted.checked_flex)
    placed = gathered.attempt(lambda: place_head(wanted))
    if placed is None or flex is None:
        gathered.refuse()
    club, club_step = placed
    tip = gathered.attempt(lambda: tip_cut(wanted, club))
    length = gathered.attempt(lambda: wanted.length.decide(club, wanted.ladder))
    length_notes = (
        gathered.attempt(lambda: check_length(length.inches, wanted.decisions.outside_rules)) if length else None
    )
    butt = gathered.attempt(lambda: _butt(wanted, tip, length)) if tip and length else None
    if gathered.faults or tip is None or length is None or length_notes is None or butt is None:
        gathered.refuse()
    return TrimPlan(
        wanted=wanted,
        equivalent=club,
        flex=flex,
        raw_length_in=tip.raw_length_in,
        tip_trim_in=tip.tip_trim_in,
        playing_length_in=length.inches,
        cut_length_in=butt.cut_length_in,
        butt_trim_in=butt.butt_trim_in,
        extension_in=butt.extension_in,
        bbgl_uncorrected_in=tip.bbgl_uncorrected_in,
        butt_diameter_in=butt.butt_diameter_in,
        tape_layers=butt.tape_layers,
        steps=(club_step, *tip.steps, length, *butt.steps),
        notes=(
            *placing_notes(wanted),
            *bore_notes(head, wanted.shaft, wanted.dry_fit, _bbgl_reference_in(wanted, club), wanted.practice),
            *other_bbgl_notes(head, wanted.table_bbgl_in, wanted.practice),
            *tip_limit_notes(wanted.shaft, tip.tip_trim_in),
            *tip.notes,
            *taper_bore_notes(wanted, club, butt.cut_length_in),
            *length_notes,
            *butt.notes,
        ),
    )


def _bbgl_reference_in(wanted: WantedClub, club: EquivalentClub) -> float | None:
    table = wanted.table
    if isinstance(table, TrimSchedule):
        return table.bbgl_reference_in(club)
    return table.bbgl_reference_in(table.nearest(club))


def _butt(wanted: WantedClub, tip: TipCut, length: TrimStep) -> ButtCut:
    return butt_cut(
        wanted.shaft,
        wanted.grip,
        raw_length_in=tip.raw_length_in,
        tip_trim_in=tip.tip_trim_in,
        playing_length_in=length.inches,
        bbgl_in=wanted.bbgl_in,
        extend=wanted.decisions.extend,
        why=wanted.decisions.reason,
        practice=wanted.practice,
        cut_before=wanted.pulled is not None,
        kept_by=(*length.sources, wanted.bbgl_source, wanted.grip.source),
        left_by=(tip.raw_source, *(step.source for step in tip.steps if step.kind is StepKind.TIP_TRIM)),
    )


@dataclass(frozen=True)
class ClubRefused:
    """A club that cannot be built as wanted, with every reason."""

    wanted: WantedClub
    faults: tuple[TrimRefused, ...]


@dataclass(frozen=True)
class SetPlan:
    """The clubs of a set in the sequence of the order, each a plan or a refusal."""

    clubs: tuple[TrimPlan | ClubRefused, ...]

    @property
    def plans(self) -> tuple[TrimPlan, ...]:
        """The plans of the clubs that can be built."""
        return tuple(club for club in self.clubs if isinstance(club, TrimPlan))

    @property
    def refusals(self) -> tuple[ClubRefused, ...]:
        """The clubs that cannot be built."""
        return tuple(club for club in self.clubs if isinstance(club, ClubRefused))

    def every_plan(self) -> tuple[TrimPlan, ...]:
        """Return the plans if every club has one; raises TrimRefused (RefusedTogether for several faults) if not."""
        faults = tuple(
            TrimRefused(f"{refused.wanted.head.name}: {fault.given}", fault.allowed, fault.next_step, fault.place)
            for refused in self.refusals
            for fault in refused.faults
        )
        if len(faults) > 1:
            raise RefusedTogether(faults)
        if faults:
            raise faults[0]
        return self.plans


def plan_set(clubs: Iterable[WantedClub]) -> SetPlan:
    """Plan every club of a set; a refused club does not stop the others from being planned. Raises nothing."""
    return SetPlan(tuple(_plan_or_refusal(wanted) for wanted in clubs))


def _plan_or_refusal(wanted: WantedClub) -> TrimPlan | ClubRefused:
    try:
        return plan_club(wanted)
    except TrimRefused as error:
        return ClubRefused(wanted, faults_of(error))
