"""One reading of a bare shaft as a file of the rack has it, and the kinds and raw lengths of shafts it may name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from trimkit.club.clamp import FrequencyBench
from trimkit.club.shoptables import ShopFile
from trimkit.parts.catalogue import Catalogue
from trimkit.parts.components import Shaft, TipKind
from trimkit.parts.csvtext import from_inert
from trimkit.parts.errors import BenchError, Place
from trimkit.parts.faults import names_offered
from trimkit.parts.units import say_in
from trimkit.shop.rawshaft import MeasuredShaft

At = Callable[[str], Place]
"""Returns the place of a column in the row that is read."""


def known(name: str, at: At, catalogue: Catalogue) -> Shaft:
    """Return the shaft of this name; raises BenchError if there is none."""
    found = catalogue.shafts.get(name) or catalogue.shafts.get(from_inert(name))
    if found is None:
        given, step = f"there is no shaft {name!r}", "correct its name, or add the shaft to shafts.csv"
        raise BenchError(given, names_offered(name, catalogue.shafts), step, at("shaft"))
    return found


def raw_lengths_in(shaft: Shaft, catalogue: Catalogue) -> tuple[float, ...]:
    """Return the raw lengths, in, that a shaft is made in, longest first: one for a parallel tip, a family's for a
    taper tip.
    """
    if shaft.tip_kind is TipKind.PARALLEL:
        return (shaft.raw_length_in,)
    lengths = {row.raw_length_in for row in catalogue.raw_lengths if row.family == shaft.name}
    return tuple(sorted(lengths, reverse=True))


def made_in(shaft: Shaft, length_in: float, within_in: float, place: Place, catalogue: Catalogue) -> float:
    """Return the raw length of a shaft that is meant by one that was read, in; raises BenchError if there is none."""
    lengths = raw_lengths_in(shaft, catalogue)
    nearest = min(lengths, key=lambda made: abs(made - length_in), default=None)
    if nearest is None or abs(nearest - length_in) > within_in:
        given = f"{say_in(length_in)} is no raw length of shaft {shaft.name!r}"
        step = "measure it again, or from its tip to the first step; or it is another shaft"
        raise BenchError(given, ", ".join(map(say_in, lengths)) or "none: its family has no table", step, place)
    return nearest


@dataclass(frozen=True)
class RackShaft:
    """One reading of a bare shaft as its file has it.

    shaft: its kind; empty where the file leaves it to the order. test_mass_g, test_offset_in, clamp_in: how it was
    read; None where the file does not say. place: its row.
    """

    shaft: str
    measured: MeasuredShaft
    test_mass_g: float | None
    test_offset_in: float | None
    clamp_in: float | None
    place: Place

    def at(self, column: str) -> Place:
        """Return the place of one of its columns."""
        return replace(self.place, column=column)

    def kind(self, catalogue: Catalogue, ordered: Sequence[str] = ()) -> Shaft:
        """Return the shaft that it is one of: as its row says, else the only one ``ordered``.

        Raises BenchError for an unknown name, if nobody says it, and for a taper tip without its raw length.
        """
        if not self.shaft and len(ordered) != 1:
            given = "it does not say its kind" + (f", and the order has {len(ordered)}" if ordered else "")
            allowed = ", ".join(ordered) or "a shaft of shafts.csv"
            raise BenchError(given, allowed, "write its kind into the column shaft", self.at("shaft"))
        shaft = known(self.shaft or ordered[0], self.at, catalogue)
        if shaft.tip_kind is TipKind.TAPER and self.measured.raw_length_in is None:
            given = f"it does not say which raw length of {shaft.name!r} it is"
            lengths = ", ".join(map(say_in, raw_lengths_in(shaft, catalogue)))
            raise BenchError(given, lengths, "measure its length, or read its label", self.at("raw_length_in"))
        return shaft

    def bench(self, shop: ShopFile | None) -> FrequencyBench:
        """Return how it was read: as its row says, else as the shop reads a bare shaft.

        The centre of a test weight of the row's own is at the tip unless the row says otherwise, and its own inertia is
        none. Raises BenchError if neither says the weight's mass, or how much of the butt was in the clamp.
        """
        usual = None if shop is None else shop.frequency_bench
        own = {"test_mass_g": self.test_mass_g, "test_offset_in": self.test_offset_in, "clamp_in": self.clamp_in}
        said = {column: value for column, value in own.items() if value is not None}
        lacks = [column for column in ("test_mass_g", "clamp_in") if column not in said]
        if usual is None and lacks:
            allowed = "a number in its row, or the shop's own for all, under [test_weight] in shop.toml"
            given, step = f"there is no {' and no '.join(lacks)}", "measure it, and write it in one of the two"
            raise BenchError(given, allowed, step, self.at(lacks[0]))
        if usual is None or self.test_mass_g is not None:
            usual = FrequencyBench(0.0, clamp_in=0.0 if usual is None else usual.clamp_in)
        return replace(usual, **said)
