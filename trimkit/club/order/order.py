"""The order: which clubs, from which parts, to which flex and length; read from a TOML file and checked as a whole.

A TOML file and a form in a notebook give the same tables of names and values: :func:`order_from_tables` checks them
wherever they come from, and ``trimkit.club.order.file`` writes them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from trimkit.club.card import Assembly
from trimkit.club.order.clubs import ClubOrder, club_order, ladders
from trimkit.club.order.faults import OrderChecker, Part
from trimkit.club.order.tables import MOST_CLUBS, AssemblyTable, ClubTable, LengthTable, OrderHeader
from trimkit.club.shopfile import calibrated_catalogue, read_shop, shop_path
from trimkit.club.shoptables import ShopFile
from trimkit.club.tomlfile import toml_tables
from trimkit.parts.catalogue import Catalogue, data_folder, load_catalogue
from trimkit.parts.components import Grip, Shaft, TipKind
from trimkit.parts.errors import BenchError, DataFileError
from trimkit.trim.clubs import engraved_iron
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.length import LadderLength, LengthRule, ReferenceLength
from trimkit.trim.practice import BenchPractice


@dataclass(frozen=True)
class ClubSpec:
    """What counts for one club of an order: its own parts and wishes where it has some, else the order's.

    ladder: the name. length: the rule for its playing length. assembly: with the club's tip weight.
    """

    shaft: Shaft
    grip: Grip
    ladder: str
    flex: FlexPlace
    soft_steps: int
    length: LengthRule
    assembly: Assembly
    wanted_swingweight: str | None


@dataclass(frozen=True)
class Order:
    """A whole order, every name in it found in the catalogue.

    shaft, grip, ladder, flex, wanted_swingweight, soft_steps, assembly: what counts for every club that has none of
    its own. Read them for a club through :meth:`spec`. assembly: the order's own, where it is silent the shop's. shop:
    the shop's own settings, None without its file; the catalogue's shafts are as stiff as it has calibrated them.
    said_of_assembly: the keys of ``[assembly]`` that the order gives itself.
    """

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
    shop: ShopFile | None = None
    said_of_assembly: tuple[str, ...] = field(default=(), compare=False)

    @property
    def practice(self) -> BenchPractice:
        """The figures of the bench: the shop's own, and the usual ones where it has none."""
        return BenchPractice() if self.shop is None else self.shop.practice

    def spec(self, club: ClubOrder) -> ClubSpec:
        """Return what counts for one club: its own parts and wishes, else the order's.

        Two of the order's do not reach a club of another kind. Its steps do not reach a parallel-tip shaft of the
        club's own where the order's is a taper tip. A reference length does not reach a club whose own ladder lacks the
        reference club: that club takes the lengths of its ladder.
        """
        shaft, length, soft_steps = club.shaft or self.shaft, club.length, club.soft_steps
        if soft_steps is None:
            other_tip = shaft.tip_kind is TipKind.PARALLEL and self.shaft.tip_kind is TipKind.TAPER
            soft_steps = 0 if other_tip else self.soft_steps
        if club.ladder not in (None, self.ladder) and isinstance(length, ReferenceLength):
            rungs = {rung.club for rung in self.catalogue.ladder_rungs if rung.ladder == club.ladder}
            length = length if rungs & {length.club, engraved_iron(length.club)} else LadderLength()
        weight_g = self.assembly.tip_weight_g if club.tip_weight_g is None else club.tip_weight_g
        return ClubSpec(
            shaft=shaft,
            grip=club.grip or self.grip,
            ladder=club.ladder or self.ladder,
            flex=club.flex or self.flex,
            soft_steps=soft_steps,
            length=length,
            assembly=replace(self.assembly, tip_weight_g=weight_g),
            wanted_swingweight=club.wanted_swingweight or self.wanted_swingweight,
        )

    @property
    def specs(self) -> tuple[ClubSpec, ...]:
        """What counts for each club, in the order's sequence."""
        return tuple(self.spec(club) for club in self.clubs)

    @property
    def shafts(self) -> tuple[Shaft, ...]:
        """The shafts that its clubs get, each once, in the sequence of the clubs."""
        return tuple({spec.shaft.name: spec.shaft for spec in self.specs}.values())

    @property
    def grips(self) -> tuple[Grip, ...]:
        """The grips that its clubs get, each once, in the sequence of the clubs."""
        return tuple({spec.grip.name: spec.grip for spec in self.specs}.values())


def load_order(path: Path, catalogue: Catalogue, shop: ShopFile | None = None) -> Order:
    """Read an order file and return the order, its parts taken from the catalogue.

    path: a TOML file such as ``data/orders/evening_class.toml``. shop: the shop's own settings, if it has any. Raises
    DataFileError holding every fault found: each says the file, the table and key (clubs are counted from 1), what is
    allowed and what to do next.
    """
    return order_from_tables(_tables(path), catalogue, path.name, shop)


def open_order(path: Path, data: Path | None = None, own_parts: Path | None = None) -> Order:
    """Read an order file and the parts it names: the shipped ones or those of ``data``, and a shop's own beside them.

    The shop's own file, if there is one, is read too (:func:`trimkit.club.shopfile.shop_path` says where). Raises
    DataFileError holding the faults of the order, of that file and of every data file together.
    """
    faults: list[BenchError] = []
    catalogue, order, shop = None, None, None
    try:
        catalogue = load_catalogue(data, own_folder=own_parts)
    except DataFileError as error:
        faults += error.faults
    try:
        if (own_file := shop_path(data, own_parts)) is not None:
            shop = read_shop(own_file, None if catalogue is None else catalogue.shafts)
    except DataFileError as error:
        faults += error.faults
    try:
        check = OrderChecker(path.name, catalogue)
        order = _checked(check, _tables(path), shop)
        faults += check.faults
    except DataFileError as error:
        faults += error.faults
    if faults or order is None:
        raise DataFileError(tuple(faults))
    return order


def order_from_tables(
    tables: Mapping[str, Any], catalogue: Catalogue, file: str = "the order", shop: ShopFile | None = None
) -> Order:
    """Return the order that tables of names and values describe, as a TOML file holds them or a form gathers them.

    file: what the faults call it. shop: the shop's own settings, if it has any. Raises DataFileError holding every
    fault, as :func:`load_order`.
    """
    check = OrderChecker(file, catalogue)
    order = _checked(check, tables, shop)
    if check.faults or order is None:
        raise DataFileError(tuple(check.faults))
    return order


def _tables(path: Path) -> dict[str, Any]:
    return toml_tables(path, "the order", "the example order")


def _checked(check: OrderChecker, tables: Mapping[str, Any], shop: ShopFile | None = None) -> Order | None:
    if shop is not None:
        check.practice = shop.practice
        check.catalogue = check.catalogue and calibrated_catalogue(check.catalogue, shop)
    first = {name: value for name, value in tables.items() if name not in ("length", "club", "assembly")}
    header = check.table(OrderHeader, "", first)
    if header is not None:
        check.swingweight("wanted_swingweight", header.wanted_swingweight)
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
        _check_reference(check, reference.club, {table.ladder for table in (header, *rows) if table is not None})
    made = [club_order(check, n, row, default, shaft, flex) for n, row in enumerate(rows, start=1) if row is not None]
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
        assembly=replace(usual_assembly(shop), **inside.model_dump(exclude_unset=True)),
        clubs=ordered,
        catalogue=check.catalogue,
        shop=shop,
        said_of_assembly=tuple(sorted(inside.model_fields_set)),
    )


def usual_assembly(shop: ShopFile | None) -> Assembly:
    """Return what is in a club of an order that says nothing of it, and the clamp: the shop's own where it has any."""
    return Assembly(**({} if shop is None else shop.assembly))


def _check_reference(check: OrderChecker, club: str, ladders_used: set[str | None]) -> None:
    """Add a fault if no ladder of the order has the club whose length is given."""
    rungs = () if check.catalogue is None else check.catalogue.ladder_rungs
    known = [rung.club for rung in rungs if rung.ladder in ladders_used]
    if known and not {club, engraved_iron(club)} & set(known):
        given, allowed = f"no ladder of the order has a {club}", "one of its clubs: " + ", ".join(known)
        check.fault("[length] club", given, allowed, "give the length of one of them, or take another ladder")


def shipped_order(name: str = "evening_class") -> Order:
    """Return one of the demo orders that come with the package, by its file's name without the ending.

    Raises DataFileError naming the file if there is no such order.
    """
    return load_order(data_folder() / "orders" / f"{name}.toml", load_catalogue())


def _header_parts(check: OrderChecker, values: Mapping[str, Any]) -> tuple[Shaft | None, Grip | None, FlexPlace | None]:
    """Look up what the header names even if another of its values is refused, so that all faults are told at once."""
    catalogue = check.catalogue
    if catalogue is None:
        return None, None, None
    refused = {fault.place.key for fault in check.faults if fault.place is not None}
    names = {name: value.strip() for name, value in values.items() if isinstance(value, str) and name not in refused}

    def part(key: str, parts: Mapping[str, Part]) -> Part | None:
        return check.named(key, names[key], parts, key) if key in names else None

    shaft, grip = part("shaft", catalogue.shafts), part("grip", catalogue.grips)
    part("ladder", ladders(catalogue))
    if shaft is None or "flex" not in names:
        return shaft, grip, None
    return shaft, grip, check.attempt("flex", lambda: FlexPlace.parse(names["flex"], shaft))
