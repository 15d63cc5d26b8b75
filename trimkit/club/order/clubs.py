"""One club of an order: what its ``[[club]]`` table may say, read and checked against the order's own values."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from trimkit.club.order.faults import OrderChecker
from trimkit.club.order.tables import MEASURABLE, ClubTable
from trimkit.club.pulled import piece_of
from trimkit.parts.catalogue import Catalogue
from trimkit.parts.components import Grip, Head, HeadWithoutBbgl, Shaft, TipKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_in
from trimkit.trim.bore import BoreChoice, DryFit
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength, LengthRule
from trimkit.trim.wanted import Decisions, Pulled, ShaftInHand

BORE_WORDS = {
    "correct": BoreChoice.CORRECT,
    "leave": BoreChoice.LEAVE,
    "as far as it goes": BoreChoice.AS_FAR_AS_IT_GOES,
}
TRIM_AS_WORDS = {"mass": TrimAs.MASS, "number": TrimAs.ENGRAVED, None: None}


@dataclass(frozen=True)
class ClubOrder:
    """One club of an order: its head with the measured values, its own parts and wishes, the decisions made for it.

    shaft, grip, ladder, flex, soft_steps, tip_weight_g (g), wanted_swingweight: this club's own; None: the order's
    (:meth:`trimkit.club.order.Order.spec` says which counts). in_hand: what was measured on its raw shaft.
    length: the rule for this club's playing length. dry_fit: two lengths that give the BBGL. decisions: what is decided
    on purpose, and why in the client's words. measured: the names of the head's values that the order gives in place
    of the data's.
    """

    head: Head
    length: LengthRule
    dry_fit: DryFit | None = None
    decisions: Decisions = field(default_factory=Decisions)
    measured: tuple[str, ...] = ()
    shaft: Shaft | None = None
    grip: Grip | None = None
    ladder: str | None = None
    flex: FlexPlace | None = None
    soft_steps: int | None = None
    tip_weight_g: float | None = None
    wanted_swingweight: str | None = None
    in_hand: ShaftInHand | None = None

    @property
    def bbgl_in(self) -> float:
        """The BBGL that counts, in: of the dry fit if there is one, else of the head."""
        return self.head.bbgl_in if self.dry_fit is None else self.dry_fit.bbgl_in


def ladders(catalogue: Catalogue) -> dict[str, str]:
    """Return the names of the catalogue's ladders, each by itself."""
    return {rung.ladder: rung.ladder for rung in catalogue.ladder_rungs}


def club_order(
    check: OrderChecker,
    number: int,
    row: ClubTable,
    default: LengthRule,
    order_shaft: Shaft | None,
    order_flex: FlexPlace | None,
) -> ClubOrder | None:
    """Return one club of an order, or None with its faults gathered.

    number: its place, from 1. default: the length rule of a club that has no length of its own. order_shaft,
    order_flex: of the order, None where they are faulty themselves.
    """
    where = f"[[club]] {number}: "
    check.swingweight(f"{where}wanted_swingweight", row.wanted_swingweight)
    found: Head | HeadWithoutBbgl | None = None
    shaft, grip, flex = None, None, None
    if (catalogue := check.catalogue) is not None:
        known: dict[str, Head | HeadWithoutBbgl] = {**catalogue.heads, **catalogue.heads_without_bbgl}
        found = check.named(f"{where}head", row.head, known, "head")
        if row.shaft is not None:
            shaft = check.named(f"{where}shaft", row.shaft, catalogue.shafts, "shaft")
        if row.grip is not None:
            grip = check.named(f"{where}grip", row.grip, catalogue.grips, "grip")
        if row.ladder is not None:
            check.named(f"{where}ladder", row.ladder, ladders(catalogue), "ladder")
        flex = _club_flex(check, f"{where}flex", row, shaft if row.shaft is not None else order_shaft, order_flex)
    if (row.bare_shaft_in is None) != (row.dry_fitted_in is None):
        check.fault(
            f"{where}dry_fitted_in",
            "one of the two lengths of a dry fit is missing",
            "bare_shaft_in and dry_fitted_in together, or neither",
            "measure the same shaft bare and with the head dry-fitted",
        )
        return None
    dry_fit = None
    if row.bare_shaft_in is not None and row.dry_fitted_in is not None:
        bare, fitted = row.bare_shaft_in, row.dry_fitted_in
        dry_fit = check.attempt(f"{where}dry_fitted_in", lambda: DryFit(bare, fitted))
    head = _with_bbgl(check, where, found, row.bbgl_in, dry_fit) if isinstance(found, HeadWithoutBbgl) else found
    if head is None:
        return None
    measured = {name: getattr(row, name) for name in MEASURABLE if getattr(row, name) is not None}
    if measured:
        source = Source(f"{head.source.text}; {', '.join(measured)} from the order", Standing.MEASURED)
        head = replace(head, source=source, **measured)
    return ClubOrder(
        head=head,
        length=default if row.playing_length_in is None else GivenLength(row.playing_length_in),
        dry_fit=dry_fit,
        decisions=Decisions(
            trim_as=TRIM_AS_WORDS[row.trim_as],
            bore=BORE_WORDS[row.bore],
            extend=row.extend,
            outside_rules=row.outside_rules,
            why=row.why,
        ),
        measured=tuple(measured),
        shaft=shaft,
        grip=grip,
        ladder=row.ladder,
        flex=flex,
        soft_steps=row.soft_steps,
        tip_weight_g=row.tip_weight_g,
        wanted_swingweight=row.wanted_swingweight,
        in_hand=_in_hand(check, where, row, shaft if row.shaft is not None else order_shaft),
    )


def _in_hand(check: OrderChecker, where: str, row: ClubTable, shaft: Shaft | None) -> ShaftInHand | None:
    """Return what was measured on the shaft of a club, or None; what a pulled one cannot be is a fault."""
    if not row.pulled:
        for key in ("tip_cut_in", "bought_length_in"):
            if getattr(row, key) is not None:
                given = f"{key} is given for a shaft that is not pulled from another club"
                step = f"add pulled = true, or remove {key}"
                check.fault(f"{where}{key}", given, f"{key} beside pulled = true", step)
        measured = row.raw_length_in is not None or row.raw_mass_g is not None
        return ShaftInHand(row.raw_length_in, row.raw_mass_g) if measured else None
    if row.raw_length_in is None:
        given, allowed = "the pulled shaft has no length", "raw_length_in, its length as it is now"
        check.fault(f"{where}raw_length_in", given, allowed, "measure the bare shaft as it is now")
    if shaft is None or check.catalogue is None:
        return None
    parallel = shaft.tip_kind is TipKind.PARALLEL
    pulled = _trimmed(check, where, row, shaft) if parallel else _of_a_family(check, where, row, shaft, check.catalogue)
    if pulled is None or row.raw_length_in is None:
        return None
    length_in, key = row.raw_length_in, "tip_cut_in" if row.tip_cut_in else "raw_length_in"
    piece = check.attempt(f"{where}{key}", lambda: piece_of(pulled, length_in, check.practice))
    return None if piece is None else ShaftInHand(length_in, row.raw_mass_g, pulled)


def _trimmed(check: OrderChecker, where: str, row: ClubTable, shaft: Shaft) -> Pulled | None:
    """Return what a pulled parallel tip was: something may be off its tip."""
    first_step = f"measure from its tip to the first step, and take that from {say_in(shaft.tip_section_in)}"
    if row.bought_length_in is not None:
        given = f"bought_length_in is given for shaft {shaft.name!r}, a parallel tip"
        check.fault(f"{where}bought_length_in", given, "bought_length_in for a taper tip alone", "give tip_cut_in")
    if row.tip_cut_in is None:
        given = f"it is not said how much is off the tip of the pulled shaft {shaft.name!r}"
        check.fault(f"{where}tip_cut_in", given, "tip_cut_in, 0 or more", first_step)
        return None
    return Pulled(shaft, shaft.raw_length_in, row.tip_cut_in)


def _of_a_family(check: OrderChecker, where: str, row: ClubTable, shaft: Shaft, catalogue: Catalogue) -> Pulled | None:
    """Return what a pulled taper tip was: one of the raw lengths of its family."""
    lengths = {each.club: each.raw_length_in for each in catalogue.raw_lengths if each.family == shaft.name}
    bought = row.bought_length_in
    if row.tip_cut_in is not None:
        given = f"tip_cut_in is given for shaft {shaft.name!r}, a taper tip, which is never cut: cut, it fits no bore"
        step = "give bought_length_in alone; do not use a shaft whose taper tip was cut"
        check.fault(f"{where}tip_cut_in", given, "tip_cut_in for a parallel tip alone", step)
        return None
    if bought in lengths.values() and bought is not None:
        return Pulled(shaft, bought)
    given = f"it is not said which raw length of its family the pulled shaft {shaft.name!r} was"
    if bought is not None:
        given = f"the pulled shaft {shaft.name!r} was bought at {say_in(bought)}, which is no raw length of its family"
    allowed = "bought_length_in, one of " + ", ".join(f"{say_in(raw)} ({club})" for club, raw in lengths.items())
    check.fault(f"{where}bought_length_in", given, allowed, "measure from its tip to the first step, or read its label")
    return None


def _with_bbgl(
    check: OrderChecker, where: str, head: HeadWithoutBbgl, bbgl_in: float | None, dry_fit: DryFit | None
) -> Head | None:
    """Return a head whose BBGL the data does not know with that of the order: its bbgl_in, or the dry fit's."""
    if bbgl_in is not None:
        return check.attempt(f"{where}bbgl_in", lambda: head.with_bbgl(bbgl_in))
    if dry_fit is None:
        check.fault(
            f"{where}bbgl_in",
            f"the BBGL of head {head.name!r} is not known ({head.source.text} leaves it empty)",
            "bbgl_in, or bare_shaft_in and dry_fitted_in, in the order",
            "measure a shaft bare, then from cap end to ground line with the head dry-fitted on it: the difference is "
            "the BBGL",
        )
        return None
    found = check.attempt(f"{where}dry_fitted_in", lambda: head.with_bbgl(dry_fit.bbgl_in))
    source = Source(f"{head.source.text}; bbgl_in from the order's dry fit", Standing.MEASURED)
    return None if found is None else replace(found, source=source)


def _club_flex(
    check: OrderChecker, key: str, row: ClubTable, shaft: Shaft | None, order_flex: FlexPlace | None
) -> FlexPlace | None:
    """Return the club's own flex, read for its shaft; without one, look whether its own shaft has the order's."""
    if shaft is None:
        return None
    if row.flex is not None:
        text = row.flex
        return check.attempt(key, lambda: FlexPlace.parse(text, shaft))
    if row.shaft is not None and order_flex is not None:
        try:
            FlexPlace.between(order_flex.softer, order_flex.stiffer, order_flex.fraction, shaft)
        except TrimRefused as refusal:
            check.fault(
                key,
                f"this club has a shaft of its own and no flex of its own, and the order's flex {order_flex} is not "
                f"one that its shaft can be cut to: {refusal.given}",
                refusal.allowed,
                "give this club a flex of its own",
            )
    return None
