"""Bench figures that no source settles: each has a usual value, and a shop sets its own."""

from __future__ import annotations

from dataclasses import dataclass, fields

from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.trim.refusals import finite

SHOP_FIGURE = Source("the shop's own, measured or chosen, in shop.toml", Standing.OWN_DATA)
PRACTICE_SOURCE = Source("usual figure of the bench, to be set to the shop's own", Standing.FROM_MEMORY)


@dataclass(frozen=True)
class BenchPractice:
    """Figures of the bench, from memory, unverified: set them to your shop's own.

    tape_thickness_in: one layer of build-up tape adds twice this to the diameter, in.
    most_build_up_in: a butt further below the grip's core than this needs another grip, in (two common core sizes).
    caliper_in: a caliper's last digit; two diameters closer than this count as equal, in.
    widest_bore_in: a bore this much wider than the tip is the next size up (the smallest step between the common
        tip sizes 0.335, 0.350, 0.355, 0.370 in), in.
    longest_extension_in: longest piece to add at the butt, in.
    extension_insert_in: how far an extension reaches into the shaft, in.
    measuring_error_in: two measurements of a length that differ by more than this call for a third, in.
    own: the names of those that the shop has set itself.
    Raises TrimRefused if a figure is not finite or is negative.
    """

    tape_thickness_in: float = 0.005
    most_build_up_in: float = 0.040
    caliper_in: float = 0.001
    widest_bore_in: float = 0.005
    longest_extension_in: float = 1.0
    extension_insert_in: float = 2.0
    measuring_error_in: float = 1 / 16
    own: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for field in fields(self):
            if field.name == "own":
                continue
            value = finite(f"the bench figure {field.name}", getattr(self, field.name))
            if value < 0 or (value == 0 and field.name == "tape_thickness_in"):
                raise TrimRefused(
                    f"the bench figure {field.name} is {value:g}", "more than 0 in", "measure it and write the number"
                )

    def source(self, name: str) -> Source:
        """Return where the figure of this name comes from: the shop itself, or memory."""
        return SHOP_FIGURE if name in self.own else PRACTICE_SOURCE
