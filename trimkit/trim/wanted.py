"""What is wanted for one club: its parts, its tables, its flex and length, and what was decided on purpose."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from trimkit.parts.components import Grip, Head, Shaft
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source
from trimkit.trim.bore import DRY_FIT, BoreChoice, DryFit
from trimkit.trim.equivalence import HeadLadder, TrimAs
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import LadderLength, LengthRule
from trimkit.trim.practice import BenchPractice
from trimkit.trim.schedule import TrimSchedule
from trimkit.trim.stepping import RawFamily


@dataclass(frozen=True)
class Decisions:
    """Deliberate departures from the usual way; the plan records each with the reason ``why``.

    trim_as: place the head by mass or by its engraved number; None: the usual way for its kind.
    bore: follow the head's bore, leave it uncorrected, or correct as far as the tip goes.
    extend: build the club even though the shaft is too short. outside_rules: the club is not for play under the rules.
    """

    trim_as: TrimAs | None = None
    bore: BoreChoice = BoreChoice.CORRECT
    extend: bool = False
    outside_rules: bool = False
    why: str = ""

    @property
    def reason(self) -> str:
        """The reason as the plan shows it."""
        return self.why or "no reason written down"


@dataclass(frozen=True)
class Pulled:
    """What a shaft from another club was before it was cut.

    as_bought: the shaft as its data describe it. raw_length_in: at which it was bought, in: of a taper tip, the raw
    length of its family that it was. tip_cut_in: off its tip already, in; 0 for a taper tip.
    """

    as_bought: Shaft
    raw_length_in: float
    tip_cut_in: float = 0.0


@dataclass(frozen=True)
class ShaftInHand:
    """What was measured on the one raw shaft that this club gets, in place of what the catalogue says of its kind.

    length_in: raw length, in; None: the catalogue's. mass_g: raw mass, g; None: not weighed.
    pulled: of a shaft from another club, what it was; its length and mass are then those of the piece it is now.
    """

    length_in: float | None = None
    mass_g: float | None = None
    pulled: Pulled | None = None


@dataclass(frozen=True)
class WantedClub:
    """One club before any cut.

    table: the shaft's trim schedule (parallel tip) or its family of raw lengths (taper tip).
    flex: where between the shaft's flexes; None for a shaft with one flex. length: what sets the playing length.
    soft_steps: taper tips only; +1 is one soft step, -1 one hard step.
    dry_fit: the two measurements of the bore; without them the head's own ``bbgl_in`` is used.
    in_hand: what was measured on the shaft for this club; None if nothing was. If it was pulled from another club,
    ``shaft`` is the piece as it is now. table_bbgl_in: what the head's table says, where the order may say otherwise;
    None where nobody knows.
    """

    head: Head
    shaft: Shaft
    grip: Grip
    table: TrimSchedule | RawFamily
    ladder: HeadLadder
    flex: FlexPlace | None = None
    length: LengthRule = field(default_factory=LadderLength)
    soft_steps: int = 0
    dry_fit: DryFit | None = None
    decisions: Decisions = field(default_factory=Decisions)
    practice: BenchPractice = field(default_factory=BenchPractice)
    in_hand: ShaftInHand | None = None
    table_bbgl_in: float | None = None

    @property
    def pulled(self) -> Pulled | None:
        """Of a shaft from another club, what it was; None for a new one."""
        return None if self.in_hand is None else self.in_hand.pulled

    @property
    def tip_cut_in(self) -> float:
        """What is off the shaft's tip already, in; 0 unless it was pulled from another club."""
        return 0.0 if self.pulled is None else self.pulled.tip_cut_in

    @property
    def as_new(self) -> WantedClub:
        """The same club on its shaft as bought; the club itself unless its shaft was pulled from another."""
        return self if self.pulled is None else replace(self, shaft=self.pulled.as_bought, in_hand=None)

    @property
    def bbgl_in(self) -> float:
        """The BBGL to use, in: from the dry fit if there is one, else the head's own."""
        return self.head.bbgl_in if self.dry_fit is None else self.dry_fit.bbgl_in

    @property
    def bbgl_source(self) -> Source:
        """Where the BBGL to use comes from: the dry fit if there is one, else the head's own row."""
        return self.head.source if self.dry_fit is None else DRY_FIT

    def stepped(self, soft_steps: int) -> WantedClub:
        """Return the same taper-tip club stepped so, on the raw length it then takes: not on the one in hand."""
        new = self.as_new
        in_hand = None if new.in_hand is None else replace(new.in_hand, length_in=None)
        return replace(new, soft_steps=soft_steps, in_hand=in_hand)

    def checked_flex(self) -> FlexPlace:
        """Return the flex that is wanted, checked against the shaft.

        Raises TrimRefused if none is named and the shaft has several, or if the shaft cannot be cut there.
        """
        if self.flex is not None:
            return FlexPlace.between(self.flex.softer, self.flex.stiffer, self.flex.fraction, self.shaft)
        if len(self.shaft.flexes) == 1:
            return FlexPlace.at(self.shaft.flexes[0])
        raise TrimRefused(
            f"no flex is named for shaft {self.shaft.name!r}",
            "one of its flexes " + ", ".join(self.shaft.flexes) + ", or a place between two",
            "name the flex",
        )
