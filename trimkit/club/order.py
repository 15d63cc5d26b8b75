"""The order: which clubs, from which parts, to which flex and length; read from a TOML file and checked as a whole.

A TOML file and a form in a notebook give the same tables of names and values: :func:`order_from_tables` checks them
wherever they come from, and ``trimkit.club.orderfile`` writes them.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from trimkit.club.card import Assembly
from trimkit.club.ordertables import MEASURABLE, MOST_CLUBS, AssemblyTable, ClubTable, LengthTable, OrderHeader
from trimkit.parts.catalogue import Catalogue, data_folder, load_catalogue
from trimkit.parts.components import Grip, Head, Shaft
from trimkit.parts.csvfile import file_fault, read_text
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.faults import faults_of
from trimkit.parts.sources import Source, Standing
from trimkit.trim.bore import BoreChoice, DryFit
from trimkit.trim.equivalence import TrimAs
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import GivenLength, LadderLength, LengthRule, ReferenceLength
from trimkit.trim.wanted import Decisions

Part = TypeVar("Part")

MOST_CHARACTERS = 500_000
LONGEST_LINE = 4_000
"""Limits of an order file: room for the most clubs with every key given; chosen here. Python's TOML reader takes a time
that grows with the square of the dots in one key, so a single long line could keep it busy for hours."""


@dataclass(frozen=True)
class ClubOrder:
    """One club of an order: its head with the measured values, and the decisions made for it.

    length: the rule for this club's playing length. dry_fit: two lengths that give the BBGL. decisions: what is decided
    on purpose, and why in the client's words. measured: the names of the head's values that the order gives in place
    of the data's.
    """

    head: Head
    length: LengthRule
    dry_fit: DryFit | None = None
    decisions: Decisions = field(default_factory=Decisions)
    measured: tuple[str, ...] = ()

    @property
    def bbgl_in(self) -> float:
        """The BBGL that counts, in: of the dry fit if there is one, else of the head."""
        return self.head.bbgl_in if self.dry_fit is None else self.dry_fit.bbgl_in


@dataclass(frozen=True)
class Order:
    """A whole order, every name in it found in the catalogue."""

    title: str
    client: str
    shaft: Shaft
    grip: Grip
    ladder: str
    flex: FlexPlace
    wanted_swingweight: str | None
    soft_steps: int
    assembly: Assembly
    clubs: tuple[ClubOrder, ...]
    catalogue: Catalogue


class _Checker:
    """Checks the tables of one order and gathers every fault; without a catalogue it leaves out the names of parts."""

    def __init__(self, file: str, catalogue: Catalogue | None) -> None:
        self.file, self.catalogue, self.faults = file, catalogue, list[BenchError]()

    def table(self, model: type[Part], where: str, values: Any) -> Part | None:
        assert issubclass(model, BaseModel)
        if not isinstance(values, Mapping):
            self.fault(where, f"{where} is not a table", "a table of names and values", "write it as in the example")
            return None
        try:
            return model.model_validate(values)
        except ValidationError as error:
            self.faults += faults_of(model, error, lambda key: Place(self.file, key=f"{where}{key}"))
            return None

    def fault(self, key: str, given: str, allowed: str, next_step: str) -> None:
        self.faults.append(BenchError(given, allowed, next_step, Place(self.file, key=key)))

    def named(self, key: str, name: str, parts: Mapping[str, Part], what: str) -> Part | None:
        if name not in parts:
            self.fault(
                key,
                f"there is no {what} {name!r}",
                ", ".join(parts) if parts else f"no {what} is in the data",
                f"correct the name, or add the {what} to the data",
            )
        return parts.get(name)

    def attempt(self, key: str, make: Callable[[], Part]) -> Part | None:
        try:
            return make()
        except BenchError as error:
            self.fault(key, error.given, error.allowed, error.next_step)
            return None


def load_order(path: Path, catalogue: Catalogue) -> Order:
    """Read an order file and return the order, its parts taken from the catalogue.

    path: a TOML file such as ``data/orders/evening_class.toml``. Raises DataFileError holding every fault found: each
    says the file, the table and key (clubs are counted from 1), what is allowed and what to do next.
    """
    return order_from_tables(_tables(path), catalogue, path.name)


def open_order(path: Path, data: Path | None = None, own_parts: Path | None = None) -> Order:
    """Read an order file and the parts it names: the shipped ones or those of ``data``, and a shop's own beside them.

    Raises DataFileError holding the faults of the order and of every data file together.
    """
    faults: list[BenchError] = []
    catalogue, order = None, None
    try:
        catalogue = load_catalogue(data, own_folder=own_parts)
    except DataFileError as error:
        faults += error.faults
    try:
        check = _Checker(path.name, catalogue)
        order = _checked(check, _tables(path))
        faults += check.faults
    except DataFileError as error:
        faults += error.faults
    if faults or order is None:
        raise DataFileError(tuple(faults))
    return order


def order_from_tables(tables: Mapping[str, Any], catalogue: Catalogue, file: str = "the order") -> Order:
    """Return the order that tables of names and values describe, as a TOML file holds them or a form gathers them.

    file: what the faults call it. Raises DataFileError holding every fault, as :func:`load_order`.
    """
    check = _Checker(file, catalogue)
    order = _checked(check, tables)
    if check.faults or order is None:
        raise DataFileError(tuple(check.faults))
    return order


def _tables(path: Path) -> dict[str, Any]:
    text = read_text(path)
    longest = max(len(line) for line in text.splitlines())
    if len(text) > MOST_CHARACTERS or longest > LONGEST_LINE:
        raise file_fault(
            path,
            f"the order has {len(text)} characters, {longest} of them in one line",
            f"at most {MOST_CHARACTERS}, and {LONGEST_LINE} in one line",
            "check that it is the right file",
        )
    try:
        return tomllib.loads(text)
    except (RecursionError, ValueError) as error:
        given = f"it is not a TOML file ({error})"
        raise file_fault(path, given, "TOML, as in the example order", "correct that line") from None


def _checked(check: _Checker, tables: Mapping[str, Any]) -> Order | None:
    first = {name: value for name, value in tables.items() if name not in ("length", "club", "assembly")}
    header = check.table(OrderHeader, "", first)
    shaft, grip, flex = _header_parts(check, first)
    inside = check.table(AssemblyTable, "[assembly] ", tables.get("assembly", {}))
    length, clubs = tables.get("length"), tables.get("club", [])
    reference = None if length is None else check.table(LengthTable, "[length] ", length)
    if not isinstance(clubs, list | tuple) or not clubs:
        check.fault("[[club]]", "there is no club in the order", "one [[club]] table or more", "add a club")
        clubs = []
    if len(clubs) > MOST_CLUBS:
        check.fault("[[club]]", f"there are {len(clubs)} clubs", f"at most {MOST_CLUBS}", "split the order")
        return None
    rows = [check.table(ClubTable, f"[[club]] {number}: ", club) for number, club in enumerate(clubs, start=1)]
    default: LengthRule = LadderLength()
    if reference is not None:
        default = ReferenceLength(reference.club, reference.playing_length_in, reference.step_in)
    made = [_club(check, n, row, default) for n, row in enumerate(rows, start=1) if row is not None]
    ordered = tuple(club for club in made if club is not None)
    if check.catalogue is None or header is None or inside is None or shaft is None or grip is None or flex is None:
        return None
    return Order(
        title=header.title,
        client=header.client,
        shaft=shaft,
        grip=grip,
        ladder=header.ladder,
        flex=flex,
        wanted_swingweight=header.wanted_swingweight,
        soft_steps=header.soft_steps or 0,
        assembly=Assembly(**inside.model_dump()),
        clubs=ordered,
        catalogue=check.catalogue,
    )


def shipped_order(name: str = "evening_class") -> Order:
    """Return one of the demo orders that come with the package, by its file's name without the ending.

    Raises DataFileError naming the file if there is no such order.
    """
    return load_order(data_folder() / "orders" / f"{name}.toml", load_catalogue())


def _header_parts(check: _Checker, values: Mapping[str, Any]) -> tuple[Shaft | None, Grip | None, FlexPlace | None]:
    """Look up what the header names even if another of its values is refused, so that all faults are told at once."""
    catalogue = check.catalogue
    if catalogue is None:
        return None, None, None
    refused = {fault.place.key for fault in check.faults if fault.place is not None}
    names = {name: value.strip() for name, value in values.items() if isinstance(value, str) and name not in refused}

    def part(key: str, parts: Mapping[str, Part]) -> Part | None:
        return check.named(key, names[key], parts, key) if key in names else None

    shaft, grip = part("shaft", catalogue.shafts), part("grip", catalogue.grips)
    part("ladder", {rung.ladder: rung for rung in catalogue.ladder_rungs})
    if shaft is None or "flex" not in names:
        return shaft, grip, None
    return shaft, grip, check.attempt("flex", lambda: FlexPlace.parse(names["flex"], shaft))


BORE_WORDS = {
    "correct": BoreChoice.CORRECT,
    "leave": BoreChoice.LEAVE,
    "as far as it goes": BoreChoice.AS_FAR_AS_IT_GOES,
}
TRIM_AS_WORDS = {"mass": TrimAs.MASS, "number": TrimAs.ENGRAVED, None: None}


def _club(check: _Checker, number: int, row: ClubTable, default: LengthRule) -> ClubOrder | None:
    where = f"[[club]] {number}: "
    head = None
    if check.catalogue is not None:
        head = check.named(f"{where}head", row.head, check.catalogue.heads, "head")
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
    )
