"""What can hurt somebody at the bench, said once for the sheet; a lesson says what belongs to its own work.

These are reminders, not instructions for safe work: what comes first stands in :data:`WHO_DECIDES`.
Standing: common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from trimkit.parts.components import Material
from trimkit.parts.sources import Source, Standing

CAUTION_SOURCE = Source("reminders of the bench", Standing.COMMON_PRACTICE)

WHO_DECIDES = (
    "These are reminders, not a training. The makers' own instructions and safety data sheets, the rules of your "
    "workplace and, in a class, the person in charge come before this sheet. If you are not sure, ask first."
)


class Work(StrEnum):
    """The work that a caution belongs to; the value is its heading."""

    CUTTING = "Cutting"
    STEEL_DUST = "Steel dust"
    GRAPHITE_DUST = "Graphite dust"
    EPOXY = "Epoxy"
    HEAT = "Pulling a head with heat"
    TOO_FAR = "A shaft trimmed too far"


@dataclass(frozen=True)
class Caution:
    """One caution: the work it belongs to, and what to do, in words for a beginner."""

    work: Work
    text: str


CAUTIONS = (
    Caution(
        Work.CUTTING,
        "Wear eye protection with side shields for cutting, grinding and pulling. Keep the guards on the saw, hold the "
        "shaft in a clamp made for it, and tie back sleeves and hair.",
    ),
    Caution(
        Work.STEEL_DUST,
        "Sparks and hot chips fly: nothing that burns beside the saw, no graphite dust in the same extractor. The cut "
        "edge is sharp and hot: let it cool, then take off the burr.",
    ),
    Caution(
        Work.GRAPHITE_DUST,
        "Its dust harms lungs, eyes and skin: cut wet or with extraction, wear a respirator fit for it, wipe up wet, "
        "never blow it away.",
    ),
    Caution(
        Work.EPOXY,
        "Wear nitrile gloves and air the room. Let it cure for as long as its maker says before the first swing.",
    ),
    Caution(
        Work.HEAT,
        "Heat in short passes and no hotter than needed, pull straight, away from people. Burning glue gives off "
        "fumes: air the room. Never heat graphite without control. Head and hosel stay hot for long.",
    ),
    Caution(
        Work.TOO_FAR,
        "A shaft trimmed beyond its maker's limit can break in the swing. Never cut further than the maker allows; "
        "what was cut off cannot be put back: mark such a shaft and do not play it.",
    ),
)


def cautions_for(material: Material | None = None) -> tuple[Caution, ...]:
    """Return the cautions for work on a shaft; with a material, without those for the dust of the other one."""
    other = {Material.STEEL: Work.GRAPHITE_DUST, Material.GRAPHITE: Work.STEEL_DUST}
    left_out = None if material is None else other[material]
    return tuple(caution for caution in CAUTIONS if caution.work is not left_out)
